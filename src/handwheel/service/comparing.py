"""Compare plans: the best one and others beside it, every sheet checked; as text, as JSON, or one taken."""

from __future__ import annotations

import msgspec
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.domain.comparing import Asked, Comparison, Option
from handwheel.domain.errors import NoPlanError
from handwheel.domain.part import Part
from handwheel.domain.plan import Plan
from handwheel.domain.refusal import Refusal
from handwheel.domain.shop import Shop
from handwheel.planner.alternatives import alternatives
from handwheel.report.comparison_text import SIDE_BY_SIDE
from handwheel.report.comparison_text import comparison_text as text_of
from handwheel.report.wording import Wording
from handwheel.service.advising import advised
from handwheel.service.codec import written_exactly
from handwheel.service.jobs import FAILED_CHECK, Said, refusal_lines, require_passed
from handwheel.service.wording import wording_without_shop

COMPARISON_SCHEMA = 1


def compare_plans(part: Part, shop: Shop, *, said: Said | None = None) -> Comparison:
    """Plan a part in a shop, and beside it on another bar, held another way, and with gentler cuts.

    Parameters
    ----------
    part : Part
        What `read_part` returns.
    shop : Shop
        What `read_shop` returns.
    said : callable, optional
        Is told which plan is being made, for somebody who waits; nothing hangs on it.

    Returns
    -------
    Comparison
        Its ``options``, the best plan first: each with what was asked, its plan and its account, or the reason why
        there is none. Every sheet has passed the check; one that does not is not given, and the reason says so.

    Raises
    ------
    NoPlanError
        If there is no plan at all; says what would make one possible.
    FailedCheckError
        If the check refuses the sheet of the best plan.

    Examples
    --------
    >>> from handwheel import read_part, read_shop
    >>> from handwheel.service.demo import demo_path
    >>> compared = compare_plans(read_part(demo_path("bush")), read_shop(demo_path("inch-lathe")))
    >>> [option.asked.value for option in compared.options if option.plan is not None]
    ['best plan', 'gentler']
    """
    found = alternatives(part, shop, said=said)
    if said is not None:
        said("replaying the sheets on a model of the lathe")
    return replace(found, options=tuple(_checked(option, shop) for option in found.options))


def _checked(option: Option, shop: Shop) -> Option:
    """The option, with its advice tables, if its sheet passes the check; else without its plan."""
    if option.plan is None:
        return option
    report = check_sheet(option.plan.sheet, shop)
    if option.asked is Asked.BEST:
        require_passed(option.plan, report)
    if report.ok:
        return replace(option, plan=advised(option.plan, shop))
    told = "; ".join(refusal_lines(report, option.plan.sheet))
    return Option(asked=option.asked, demand=option.demand, reason=f"its sheet {FAILED_CHECK}: {told}")


def comparison_text(
    comparison: Comparison, *, width: int = SIDE_BY_SIDE, show: str | None = None, words: str | None = None
) -> str:
    """Plans of a comparison as plain text: side by side from 80 columns on, else one below the other.

    Parameters
    ----------
    comparison : Comparison
        From `compare_plans`.
    width : int
        Longest line, 40 to 200. [characters]
    show : str or None
        Unit of lengths, ``"mm"``, ``"inch"`` or ``"both"``; both if it is not given.
    words : str or None
        ``"british"`` or ``"american"``; British if it is not given.

    Returns
    -------
    str
        What differs, what is the same in all, and for each plan what was asked, what comes and goes.

    Raises
    ------
    OutOfRangeError
        If the width is outside 40 to 200 columns.
    InputError
        If there is no such unit, or there are no such words.

    Examples
    --------
    >>> from handwheel import read_part, read_shop
    >>> from handwheel.service.demo import demo_path
    >>> compared = compare_plans(read_part(demo_path("bush")), read_shop(demo_path("inch-lathe")))
    >>> max(map(len, comparison_text(compared, width=40).splitlines())) <= 40
    True
    """
    plans = tuple(option.plan for option in comparison.options if option.plan is not None)
    named = (plans[0].sheet.part if plans else None, *map(_names, comparison.options))
    return text_of(comparison, width=width, wording=wording_without_shop(*named, show=show, words=words))


def worded_comparison(comparison: Comparison, *, width: int, wording: Wording) -> str:
    """The same in a wording that knows the names of its shop; raises `OutOfRangeError` as `comparison_text` does."""
    return text_of(comparison, width=width, wording=wording)


def _names(option: Option) -> tuple[str, ...]:
    """Names of the shop in an option's account."""
    found = option.account
    return () if found is None else (found.bar.bar, *found.tools, *(held.name for held in found.held))


def comparison_json(comparison: Comparison) -> str:
    """Write a comparison as JSON: every option with its number, its account, the id of its plan; not the plans."""
    told = {
        "schema": COMPARISON_SCHEMA,
        "part": comparison.part,
        "shop": comparison.shop,
        "options": [_told(number, option) for number, option in enumerate(comparison.options, start=1)],
    }
    return msgspec.json.format(msgspec.json.encode(told, enc_hook=written_exactly), indent=2).decode() + "\n"


def _told(number: int, option: Option) -> dict[str, object]:
    fields = msgspec.structs.asdict(option)
    plan = option.plan
    return {"number": number, **fields, "plan": None if plan is None else plan.id}


def take_plan(part: Part, shop: Shop, number: int, *, said: Said | None = None) -> Plan:
    """Compare, and take the plan of a number, counted from 1.

    Raises
    ------
    NoPlanError
        If there is no plan at all, or none of that number; says why.
    """
    option = compare_plans(part, shop, said=said).options[number - 1]
    if option.plan is None:
        head = f"no plan {number} ({option.asked.value}; {option.demand}) for {part.name!r} on {shop.name!r}"
        lines = (f"{head}:", f"  {option.reason}")
        raise NoPlanError(Refusal(head=head, troubles=(), lines=lines))
    return option.plan
