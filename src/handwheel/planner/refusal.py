"""From a search that found no order to a refusal: what would make it possible, what was tried, what failed."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import count
from math import ceil

from msgspec.structs import replace

from handwheel.data.materials import Material, material
from handwheel.domain.acts import SetSpeed
from handwheel.domain.part import BACK_FACE, BACK_INNER_EDGE, Part, Units
from handwheel.domain.plan import Sheet
from handwheel.domain.refusal import Refusal, Trouble
from handwheel.domain.remedies import AddToShop
from handwheel.domain.remedy_words import remedy_words
from handwheel.domain.said import said, said_short
from handwheel.domain.shop import Shop
from handwheel.domain.tools import ToolKind
from handwheel.planner import offers
from handwheel.planner.attempt import Attempt, attempt
from handwheel.planner.holdings import HoldingModel
from handwheel.planner.kinds.part import reach_needed_mm
from handwheel.planner.kit import kits
from handwheel.planner.known_answers import KnownAnswers
from handwheel.planner.remedying import Trial, remedied
from handwheel.planner.search import Shortfall
from handwheel.planner.uses import used_things
from handwheel.planner.variants import bars_that_clean_up, least_bar_dia_mm, most_tube_bore_mm
from handwheel.planner.way import Kind, NoWay

MOST_TROUBLES = 6
"""Kinds of trouble that are told; more are counted: the nearest ones decide what to do."""
BORE_ROOM_MM = 10.0
"""What a boring bar needs beyond the width of the ring: allowance, blade, overrun, its own clearance."""
NO_ORDER = NoWay(
    step="order of steps",
    code="no-order",
    tried="every order of the steps",
    why="every single step is possible, but no order of them keeps every face reachable and every surface true",
    remedy="another way to hold the ring for its second side, or no demand that the surfaces run true to each other",
)


def refusal(
    part: Part,
    shop: Shop,
    tried: Attempt,
    *,
    kinds: Sequence[Kind],
    models: Sequence[tuple[str, HoldingModel]],
    known: KnownAnswers,
    said: Callable[[str], None],
) -> Refusal:
    """Say why an attempt gave no plan, and look for what would give a plan.

    ``known`` is what the attempt has worked out; ``said`` is told which try is being made, for somebody who waits.
    """
    shortfalls = _all_shortfalls(part, shop, tried)
    numbers = count(1)

    def retry(other_part: Part, other_shop: Shop, most_jobs: int) -> Trial:
        said(f"no order found; trying what would help: {next(numbers)}")
        again = attempt(other_part, other_shop, kinds, models, any_order=True, most_jobs=most_jobs, known=known)
        return _trial(other_part, other_shop, again)

    found = remedied(
        part,
        shop,
        shortfalls,
        retry=retry,
        kits=kits(part, shop),
    )
    whole = Refusal(
        head=f"no plan for {part.name!r} on {shop.name!r}",
        troubles=troubles_of((*shortfalls, *found.further[:1])),
        remedies=found.needed,
        might_help=found.untried,
        tries=found.tries,
        hazards=tuple(hazard.text for hazard in material(part.material).hazards if hazard.gate),
    )
    return replace(whole, lines=tuple(_lines(whole, shop, part.units)))


def _trial(part: Part, shop: Shop, tried: Attempt) -> Trial:
    """What came of planning a changed part and shop: whether there is an order, else what is lacking still."""
    shortfalls = _all_shortfalls(part, shop, tried)
    used = frozenset[str]() if tried.made is None else _used(tried.made.written.sheet, shop)
    return Trial(found=tried.made is not None, shortfalls=shortfalls, jobs=tried.search.posed, used=used)


def _used(sheet: Sheet, shop: Shop) -> frozenset[str]:
    """Names of what a sheet uses of the shop, its spindle speeds too."""
    speeds = (act for act in sheet.acts if isinstance(act, SetSpeed))
    return frozenset((*(name for name, _ in used_things(sheet, shop)), *(f"speed {act.rpm:g}" for act in speeds)))


def _all_shortfalls(part: Part, shop: Shop, tried: Attempt) -> tuple[Shortfall, ...]:
    found = (*lacking_things(part, shop), *(with_mute_steps(part, shortfall) for shortfall in tried.shortfalls))
    return nearest_first(found)


def lacking_things(part: Part, shop: Shop) -> tuple[Shortfall, ...]:
    """What no variant can do without and the shop does not have: bar, blade, something for the second side."""
    metal = material(part.material)
    looked_for = (
        _no_bar(part, shop, metal),
        _no_turning_tool(shop),
        _no_boring_bar(part, shop),
        _no_blade(part, shop),
        _no_holding(part, shop),
    )
    found = [trouble for trouble in looked_for if trouble is not None]
    return (Shortfall(lacking=tuple(trouble.step for trouble in found), troubles=tuple(found)),) if found else ()


def _no_bar(part: Part, shop: Shop, metal: Material) -> NoWay | None:
    if bars_that_clean_up(part, shop, metal):
        return None
    least = ceil(10.0 * least_bar_dia_mm(part, shop, metal)) / 10.0
    remedies = (AddToShop(thing=offers.bar(part, least_dia_mm=least, units=shop.units)),)
    if not any(bar.material == part.material for bar in shop.bars):
        return NoWay(
            step="bar",
            code="no-bar-of-the-metal",
            tried="every bar of the shop",
            why=f"the shop has no bar of {metal.name}",
            remedy=f"add one of at least Ø {said(least, part.units, places=1)}",
            remedies=remedies,
        )
    if any(bar.material == part.material and float(bar.dia_lower_mm) >= least for bar in shop.bars):
        return NoWay(
            step="bar",
            code="tube-too-hollow",
            tried=f"every tube of {metal.name}",
            why=f"its bore is above Ø {said(most_tube_bore_mm(part, shop, metal), part.units, places=1)}, and "
            "boring would not clean it up",
            remedy=f"a tube with a smaller bore, or solid bar of Ø {said(least, part.units, places=1)}",
            remedies=remedies,
        )
    return NoWay(
        step="bar",
        code="bar-too-small",
        tried=f"every bar of {metal.name}",
        why=f"no bar of {metal.name} is large enough",
        remedy=f"Ø {said(least, part.units, places=1)} or more is needed",
        remedies=remedies,
    )


def _no_blade(part: Part, shop: Shop) -> NoWay | None:
    if any(tool.kind is ToolKind.PARTING for tool in shop.tools):
        return None
    reach = ceil(reach_needed_mm(part.outside_radius_mm - part.bore_radius_mm, None))
    return NoWay(
        step="part-off",
        code="no-blade",
        tried="every tool of the shop",
        why="the shop has no parting blade",
        remedy=f"add one that reaches {said_short(reach, part.units)}",
        remedies=(AddToShop(thing=offers.blade(shop, reach_mm=reach)),),
    )


def _no_turning_tool(shop: Shop) -> NoWay | None:
    if any(tool.kind is ToolKind.TURNING for tool in shop.tools):
        return None
    return NoWay(
        step="turning",
        code="no-turning-tool",
        tried="every tool of the shop",
        why="the shop has no tool for turning and facing",
        remedy="add one",
        remedies=(AddToShop(thing=offers.turning_tool()),),
    )


def _no_boring_bar(part: Part, shop: Shop) -> NoWay | None:
    if any(tool.kind is ToolKind.BORING for tool in shop.tools):
        return None
    deep = ceil(part.width_mm + BORE_ROOM_MM)
    hole = 2.0 * part.bore_radius_mm
    return NoWay(
        step="boring",
        code="no-boring-bar",
        tried="every tool of the shop",
        why="the shop has no boring bar",
        remedy=f"add one that goes into Ø {said(hole, part.units, places=1)} and reaches "
        f"{said_short(deep, part.units)}",
        remedies=(AddToShop(thing=offers.boring_bar(hole_dia_mm=hole, reach_mm=deep)),),
    )


def _no_holding(part: Part, shop: Shop) -> NoWay | None:
    if shop.holdings:
        return None
    return NoWay(
        step="second side",
        code="no-holding",
        tried="every holding of the shop",
        why="nothing holds the ring for its second side",
        remedy="add soft jaws, a stub mandrel or a flat plate",
        remedies=tuple(AddToShop(thing=means) for means in offers.holdings(part)),
    )


def nearest_first(shortfalls: Iterable[Shortfall]) -> tuple[Shortfall, ...]:
    """Shortfalls with the fewest steps lacking first; those that lack the same for the same reasons once."""
    once: dict[tuple[tuple[str, ...], frozenset[str]], Shortfall] = {}
    for shortfall in shortfalls:
        reasons = frozenset(trouble.why for trouble in shortfall.troubles)
        once.setdefault((shortfall.lacking, reasons), shortfall)
    return tuple(sorted(once.values(), key=lambda shortfall: len(shortfall.lacking) or len(once)))


def short_reason(part: Part, shop: Shop, tried: Attempt) -> str:
    """Why an attempt gave no plan, in one line: the nearest trouble and what would help, nothing tried for it."""
    return _line(troubles_of(_all_shortfalls(part, shop, tried))[:1]).strip()


def troubles_of(shortfalls: Sequence[Shortfall]) -> tuple[Trouble, ...]:
    """Troubles of the nearest shortfalls, each once; what is lacking without a word gets one."""
    once: dict[tuple[str, str, str], Trouble] = {}
    for shortfall in shortfalls:
        for trouble in telling(shortfall):
            once.setdefault((trouble.step, trouble.code, trouble.tried), _as_trouble(trouble))
    return tuple(once.values())


def telling(shortfall: Shortfall) -> tuple[NoWay, ...]:
    """Troubles that say why a variant falls short: those of the steps it lacks first, then of holdings and bars."""
    if not shortfall.lacking:
        return (*shortfall.general, NO_ORDER)
    return (*shortfall.troubles, *shortfall.general)


def with_mute_steps(part: Part, shortfall: Shortfall) -> Shortfall:
    """The shortfall with a trouble for each step that is lacking though not even a try failed."""
    told = {trouble.step for trouble in shortfall.troubles}
    mute = tuple(step for step in shortfall.lacking if step not in told)
    if set(mute) <= {BACK_FACE} and shortfall.general:
        return shortfall  # why nothing holds the ring for it is told by the holdings
    return replace(shortfall, troubles=(*shortfall.troubles, *(unreachable(part, step) for step in mute)))


def unreachable(part: Part, step: str) -> NoWay:
    """Trouble of a step for which not even a try failed: nothing of the shop gets there."""
    if step == BACK_FACE:
        means = offers.holdings(part)
    else:
        means = offers.turned_holdings(part) if step.startswith("back") else ()
    tools = (
        (offers.edge_tool(inside=True, hole_dia_mm=2.0 * part.bore_radius_mm, reach_mm=part.width_mm),)
        if step == BACK_INNER_EDGE
        else ()
    )
    return NoWay(
        step=step,
        code="unreachable",
        tried="every tool and holding of the shop",
        why="none of them reaches it",
        remedy="add a tool that cuts it from the bar's side, or a holding that leaves it free",
        remedies=tuple(AddToShop(thing=thing) for thing in (*tools, *means)),
    )


def _as_trouble(trouble: NoWay) -> Trouble:
    return Trouble(
        code=trouble.code,
        where=trouble.step,
        tried=trouble.tried,
        why=trouble.why,
        remedy=trouble.remedy,
        remedies=trouble.remedies,
    )


def _lines(refusal: Refusal, shop: Shop, units: Units) -> Iterable[str]:
    yield f"{refusal.head}:"
    if refusal.remedies:
        them = "it" if len(refusal.remedies) == 1 else "all of this"
        yield f"what would make it possible (tried: with {them} there is a plan):"
        yield from (f"  + {remedy_words(remedy, shop, units)}" for remedy in refusal.remedies)
    elif refusal.might_help:
        yield "what might help (not tried to the end):"
        yield from (f"  ? {remedy_words(remedy, shop, units)}" for remedy in refusal.might_help)
    yield "what was tried and failed:"
    kinds = _by_kind(refusal.troubles)
    yield from (_line(troubles) for troubles in kinds[:MOST_TROUBLES])
    if (more := len(kinds) - MOST_TROUBLES) > 0:
        yield f"  and {more} more kinds of trouble"
    if refusal.hazards:
        yield "if you cut this metal all the same:"
        yield from (f"  ! {hazard}" for hazard in refusal.hazards)
        yield "  ! Local rules and trained supervision come first."


def _by_kind(troubles: Sequence[Trouble]) -> list[tuple[Trouble, ...]]:
    """Troubles of one code together, in the order of their first."""
    codes = dict.fromkeys(trouble.code for trouble in troubles)
    return [tuple(trouble for trouble in troubles if trouble.code == code) for code in codes]


def _line(troubles: tuple[Trouble, ...]) -> str:
    """First trouble of a kind in full, and where else it stands in the way."""
    first = troubles[0]
    others = tuple(dict.fromkeys(trouble.where for trouble in troubles if trouble.where != first.where))
    also = f" (and {', '.join(others)})" if others else ""
    help_words = f". What would help: {first.remedy}" if first.remedy else ""
    return f"  {first.where}{also}: tried {first.tried}: {first.why}{help_words} [{first.code}]"
