"""From part and shop to a plan: the cheapest order over all variants, written as a sheet with its proof."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from handwheel import __version__
from handwheel.domain.errors import NoPlanError
from handwheel.domain.findings import Proof
from handwheel.domain.part import Part
from handwheel.domain.plan import Plan, Sheet
from handwheel.domain.shop import Shop
from handwheel.planner.attempt import Made, attempt
from handwheel.planner.holdings import HOLDING_MODELS, HoldingModel
from handwheel.planner.kinds import KINDS
from handwheel.planner.known_answers import KnownAnswers
from handwheel.planner.search import Search
from handwheel.planner.way import Kind

PROGRAM = f"handwheel {__version__}"
RULES = (
    "costs: cutting, handling of each pass, tool change with its zeros, drill change, measuring",
    "costs: swinging the top slide (all zeros lost), making a holding ready, re-gripping and indicating",
    "rough before finish: bore and outside are finished after both are roughed",
    "steps of an outside or a hole are cut in the order from the largest outside (smallest bore) outward",
    "as drawn; turned end for end if the ends have different steps and that is cheaper, or if nothing else goes",
    "the bar with the least metal that cleans up, the narrowest blade that reaches; others only if these give no plan",
    "the two last cuts on a diameter by the shop's habit; lighter ones, as deep as may be, only if nothing else goes",
    "lighter ones too where those by habit would bend more than a quarter of the tolerance away, and lighter ones less",
    "surfaces that must run true to each other are finished in one holding",
    "what hangs on the bar before parting keeps a web of half a millimetre and a quarter of the wall",
)


def nobody_listens(doing: str) -> None:
    """Say to nobody what is being done."""
    del doing


def make_plan(
    part: Part,
    shop: Shop,
    *,
    kinds: Sequence[Kind] = KINDS,
    models: Sequence[tuple[str, HoldingModel]] = HOLDING_MODELS,
    parent: str = "",
    said: Callable[[str], None] | None = None,
    written: Callable[[Sheet], None] | None = None,
) -> Plan:
    """Cheapest checked order for a part in a shop, written as a sheet.

    Parameters
    ----------
    part, shop
        What is wanted, and what there is.
    kinds, models
        Kinds of step and of holding that may be used.
    parent : str
        Id of the plan that this one replaces.
    said : callable, optional
        Is told what is being done, for somebody who waits; nothing hangs on it.
    written : callable, optional
        Is given the sheet as soon as there is one, before the plan round it is made; nothing hangs on it either.

    Raises
    ------
    NoPlanError
        With what would make it possible (tried), what failed, and what was tried.
    """
    search, made = best_of(part, shop, kinds, models, known=KnownAnswers(), said=said)
    if written is not None:
        written(made.written.sheet)
    return plan_of(part, shop, search, made, parent=parent)


def best_of(
    part: Part,
    shop: Shop,
    kinds: Sequence[Kind],
    models: Sequence[tuple[str, HoldingModel]],
    *,
    known: KnownAnswers,
    said: Callable[[str], None] | None = None,
) -> tuple[Search, Made]:
    """Cheapest order with its sheet, and the search that found it; raises `NoPlanError` as `make_plan` does."""
    tell = said or nobody_listens
    tell("finding the cheapest order of cuts")
    tried = attempt(part, shop, kinds, models, known=known)
    if tried.made is None:
        from handwheel.planner.refusal import refusal  # noqa: PLC0415 - a plan does without its modules

        raise NoPlanError(refusal(part, shop, tried, kinds=kinds, models=models, known=known, said=tell))
    return tried.search, tried.made


def plan_of(part: Part, shop: Shop, search: Search, made: Made, *, parent: str = "", asked: str = "") -> Plan:
    """Plan of an order that was found and written; ``asked`` is what was asked beyond the rules, told among them."""
    # loaded once there is a sheet to tell of, which is being checked meanwhile
    from handwheel.planner.explain import findings_for, reasons_for, turned_findings  # noqa: PLC0415 - as said above
    from handwheel.planner.uses import digest, used_of_shop  # noqa: PLC0415 - as said above

    best, written = made.solved, made.written
    uses = used_of_shop(written.sheet, shop)
    return Plan(
        id=digest(part, uses, PROGRAM, asked) if asked else digest(part, uses, PROGRAM),
        program=PROGRAM,
        uses=uses,
        steps=tuple(way.step for way in best.ways),
        sheet=written.sheet,
        proof=Proof(
            cost_ms=best.order.cost_ms,
            bound_ms=min(best.order.cost_ms, *search.open_bounds),
            states_visited=search.visited,
            alternatives=search.alternatives,
            rules=(*RULES, f"asked for: {asked}") if asked else RULES,
        ),
        times=written.times,
        reasons=reasons_for(best.job, best.ways),
        findings=(
            *turned_findings(drawn=part, cut=best.job.part),
            *findings_for(best.job, best.ways),
            *written.findings,
        ),
        parent=parent,
    )
