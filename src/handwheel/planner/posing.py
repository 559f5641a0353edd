"""From a variant to a search problem, and from its answer back to ways."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import product

from msgspec import Struct
from msgspec.structs import replace

from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.holding import Holding, Side
from handwheel.domain.part import BORE
from handwheel.domain.plan import Step
from handwheel.domain.remedies import AddToShop
from handwheel.domain.shop import Shop
from handwheel.domain.tools import ToolKind
from handwheel.planner import offers
from handwheel.planner.holdings import HeldSecond, HoldingModel, bar_holding, held_firmer, second_holdings
from handwheel.planner.job import Job
from handwheel.planner.kinds.bevel import PART_OFF
from handwheel.planner.kinds.rounds import turned
from handwheel.planner.order import UNBOUND, Costs, Option, Order, Problem, cheapest_order, start_state, successor
from handwheel.planner.reach import Reached, cells_of, reachable
from handwheel.planner.travel import travel_trouble
from handwheel.planner.way import PARALLEL_SWING, Kind, NoWay, Swing, Way

HOLE_KINDS = ("drill", "bore", "ream", "shoulder")
"""Kinds of step that may depend on the ladder of drills."""
_NEVER_MS = 10**12
SAME_REACH_MM = 0.5
"""A tool is not clamped anew for less than this; common practice, no source."""
SAME_STIFFNESS = 1.001
"""How much further out a bar may stand before its schedule is reckoned anew: stiffness falls with the cube of that."""


class Solved(Struct, frozen=True, kw_only=True):
    """A variant whose order has been found; ``spent_ms`` is what goes before each step, and the step itself."""

    job: Job
    order: Order
    ways: tuple[Way, ...]
    spent_ms: tuple[tuple[int, int], ...]
    seconds: dict[str, HeldSecond]
    steps: tuple[Step, ...]


class Posed(Struct, frozen=True, kw_only=True):
    """A variant as a search problem, with what is needed to read its answer."""

    job: Job
    problem: Problem
    ways: dict[str, Way]
    seconds: dict[str, HeldSecond]
    steps: tuple[Step, ...]
    refused: tuple[NoWay, ...]
    lacking: tuple[str, ...]


def pose(
    job: Job, means: tuple[HoldingMeans, ...], *, kinds: Sequence[Kind], models: tuple[tuple[str, HoldingModel], ...]
) -> Posed:
    """Turn a variant into a search problem."""
    held, refused = indicated(*second_holdings(job, means, models), job.shop)
    holdings: list[Holding] = [bar_holding(job), *(second.holding for second in held)]
    steps = tuple(step for kind in kinds for step in kind.steps(job))
    table = {kind.name: kind for kind in kinds}
    ways: list[Way] = []
    troubles: list[NoWay] = list(refused)
    for holding, found in _found_ways(job, steps, holdings, table):
        if isinstance(found, Way):
            ways.append(found)
        else:
            troubles.append(held_firmer(job, found, holding, held))
    ways, too_far = within_travel(job, ways)
    troubles.extend(too_far)
    reached, struck = reachable(job, cells_of(job, steps), steps, ways)
    troubles.extend(struck)
    possible = {item.way.step.id for item in reached}
    lacking = tuple(step.id for step in steps if not step.optional and step.id not in possible)
    problem = _problem(job, steps, holdings, held, reached)
    return Posed(
        job=job,
        problem=problem,
        ways={item.way.id: item.way for item in reached},
        seconds={second.holding.id: second for second in held},
        steps=steps,
        refused=tuple(troubles),
        lacking=lacking,
    )


def indicated(
    held: Sequence[HeldSecond], refused: Sequence[NoWay], shop: Shop
) -> tuple[tuple[HeldSecond, ...], tuple[NoWay, ...]]:
    """Second holdings without those that must be indicated where nothing indicates."""
    if any(GaugeUse.RUNOUT in gauge.uses for gauge in shop.gauges):
        return tuple(held), tuple(refused)
    blind = tuple(
        NoWay(
            step=second.holding.id,
            code="no-indicator",
            tried=second.means.name,
            why="the ring must be made to run true in it, and the shop has no indicator for runout",
            remedy="add a dial test indicator",
            remedies=(AddToShop(thing=offers.indicator()),),
        )
        for second in held
        if second.holding.turned
    )
    return tuple(second for second in held if not second.holding.turned), (*refused, *blind)


def within_travel(job: Job, ways: Sequence[Way]) -> tuple[list[Way], list[NoWay]]:
    """Ways that the slides can go, and why they cannot go the others."""
    found = [(way, travel_trouble(way, job.shop.lathe, units=job.units)) for way in ways]
    return [way for way, trouble in found if trouble is None], [trouble for _, trouble in found if trouble is not None]


Clamped = dict[tuple[str, str], float]
"""How far a tool stands out in a holding, by their ids. [mm]"""


def _found_ways(
    job: Job, steps: Sequence[Step], holdings: Sequence[Holding], table: dict[str, Kind]
) -> list[tuple[Holding, Way | NoWay]]:
    """Ways of every step in every holding with their tools clamped, or why there are none.

    A tool is clamped as far out as the neediest of its ways in a holding asks, once for all of them. A boring bar is
    then less stiff than a shallow cut alone asks; so that cut has one more way, with the bar clamped anew for its step
    of the hole: which is cheaper is the search's affair.
    """
    found = {
        (step.id, holding.id): tuple(table[step.kind].ways(job, step, holding))
        for step in steps
        for holding in holdings
    }
    far = _needed_mm(way for ways in found.values() for way in ways if isinstance(way, Way))
    shallow: dict[str, list[tuple[Step, Holding]]] = {}
    for step, holding in product(steps, holdings):
        if any(isinstance(way, Way) and _is_further_out(way, far) for way in found[step.id, holding.id]):
            ledge = job.ledge(step.surface)
            shallow.setdefault(step.surface if ledge is None else ledge.surface, []).append((step, holding))
    clamped = {key: _clamped(ways, far) for key, ways in found.items()}
    for pairs in shallow.values():
        own = _needed_mm(way for step, holding in pairs for way in found[step.id, holding.id] if isinstance(way, Way))
        for step, holding in pairs:
            clamped[step.id, holding.id] = tuple(
                way if reach is far else _named_short(way)
                for reach in (far, own)
                for way in _clamped(table[step.kind].ways(_told(job, reach), step, holding), reach)
                if reach is far or (isinstance(way, Way) and _is_shorter(way, far))
            )
    return [(holding, way) for step, holding in product(steps, holdings) for way in clamped[step.id, holding.id]]


def _told(job: Job, reach: Clamped) -> Job:
    """The job with what is known of how far tools stand out."""
    return replace(job, stands_out_mm=tuple(sorted(reach.items())))


def _needed_mm(ways: Iterable[Way]) -> Clamped:
    """How far each tool must stand out in each holding for all of its ways. [mm]"""
    need: Clamped = {}
    for way in ways:
        if way.tool is not None and way.tool.reach_mm:
            key = (way.holding.id, way.tool.id)
            need[key] = max(need.get(key, 0.0), min(way.reach_mm, way.tool.reach_mm))
    return need


def _clamped(ways: Iterable[Way | NoWay], reach: Clamped) -> tuple[Way | NoWay, ...]:
    """Ways with their tools clamped; what cannot be done stays as it is."""
    return tuple(
        replace(way, reach_mm=reach.get((way.holding.id, way.tool.id), way.reach_mm))
        if isinstance(way, Way) and way.tool is not None and way.tool.reach_mm
        else way
        for way in ways
    )


def _named_short(way: Way | NoWay) -> Way | NoWay:
    """A way with a name of its own, beside the one with the tool further out."""
    return replace(way, id=f"{way.id}/short") if isinstance(way, Way) else way


def _is_further_out(way: Way, far: Clamped) -> bool:
    """Whether the boring bar of a way stands out further, for another step, than its schedule was reckoned with."""
    tool = way.tool
    if tool is None or tool.kind is not ToolKind.BORING or way.step.kind not in HOLE_KINDS:
        return False
    return far[way.holding.id, tool.id] > min(way.reach_mm, tool.reach_mm) * SAME_STIFFNESS


def _is_shorter(way: Way, far: Clamped) -> bool:
    """Whether a tool is clamped shorter than for the neediest of its ways."""
    return way.tool is not None and way.reach_mm < far.get((way.holding.id, way.tool.id), 0.0) - SAME_REACH_MM


def _problem(
    job: Job, steps: Sequence[Step], holdings: Sequence[Holding], held: Sequence[HeldSecond], reached: Sequence[Reached]
) -> Problem:
    index = {step.id: i for i, step in enumerate(steps)}
    groups = sorted({step.truth_group for step in steps if step.truth_group is not None})
    swings: list[Swing] = [PARALLEL_SWING]
    for item in reached:
        if item.way.swing is not None and item.way.swing not in swings:
            swings.append(item.way.swing)
    place = {holding.id: i for i, holding in enumerate(holdings)}
    habits = job.shop.habits

    def mask(ids: Iterable[str]) -> int:
        return sum(1 << index[i] for i in set(ids) if i in index)

    parted = mask((PART_OFF,))
    before = {second.holding.id: parted | mask(second.after) for second in held}
    options = tuple(
        Option(
            id=item.way.id,
            step=index[item.way.step.id],
            holding=place[item.way.holding.id],
            tool=_tool_name(item.way),
            in_tailstock=item.way.drill is not None or item.way.reamer is not None,
            angle=None if item.way.swing is None else swings.index(item.way.swing),
            after=mask((*item.way.step.after, *item.way.after)) | before.get(item.way.holding.id, 0),
            never_after=mask(item.way.never_after) | (parted if place[item.way.holding.id] == 0 else 0),
            clear=item.clear,
            zeros_needed=int(item.way.zeros_needed),
            zeros_left=int(item.way.zeros_left),
            zeros_lost=int(item.way.zeros_lost),
            truth_group=UNBOUND if item.way.step.truth_group is None else groups.index(item.way.step.truth_group),
            cost_ms=_cost(item.way, index),
            least_ms=item.way.cut_ms + item.way.extra_ms - sum(saved for _, saved in item.way.shorter),
        )
        for item in reached
    )
    return Problem(
        steps=len(steps),
        goal=mask(step.id for step in steps if not step.optional),
        options=options,
        costs=Costs(
            tool_change_ms=round(1000 * habits.tool_change_s),
            drill_change_ms=round(1000 * habits.drill_change_s),
            swing_ms=round(1000 * habits.swing_s),
            zero_ms=round(1000 * (habits.touch_s + habits.collar_s)),
            regrip_ms=(0, *(second.cost_ms for second in held)),
        ),
        truth_groups=len(groups),
    )


def _cost(way: Way, index: dict[str, int]) -> Callable[[int], int]:
    """Cost of a way as a function of the steps done: less once something has taken metal out of its path."""
    whole = way.cut_ms + way.extra_ms
    shorter = tuple((1 << index[step], saved) for step, saved in way.shorter if step in index)

    def cost(done: int) -> int:
        return whole - sum(saved for mask, saved in shorter if done & mask)

    return cost


def _tool_name(way: Way) -> str:
    if way.drill is not None:
        return way.drill.id
    if way.reamer is not None:
        return way.reamer.id
    if way.tool is None:
        return ""
    return f"{way.tool.id}, {way.reach_mm:.3f} mm out" if way.tool.reach_mm else way.tool.id


def solved(posed: Posed, order: Order) -> Solved:
    """Read an order back into ways, with what goes before each step."""
    spent: list[tuple[int, int]] = []
    state = start_state(posed.problem)
    for option in order.options:
        reached = successor(state, option, posed.problem.costs)
        if reached is None:
            msg = f"order: option {option.id} is not possible where it stands; please report this"
            raise RuntimeError(msg)
        after, cost = reached
        own = option.cost_ms(state.done)
        spent.append((cost - own, own))
        state = after
    return Solved(
        job=posed.job,
        order=order,
        ways=tuple(posed.ways[option.id] for option in order.options),
        spent_ms=tuple(spent),
        seconds=posed.seconds,
        steps=posed.steps,
    )


def _hole_steps(steps: Sequence[Step]) -> tuple[Step, ...]:
    """Steps that depend on the ladder: the drills, the bore's own, and those of the steps in it."""
    return tuple(step for step in steps if step.kind in HOLE_KINDS and not _outer_shoulder(step))


def _outer_shoulder(step: Step) -> bool:
    return step.kind == "shoulder" and not step.surface.startswith(BORE)


def hole_ids(steps: Sequence[Step]) -> frozenset[str]:
    """Ids of the steps that depend on the ladder."""
    return frozenset(step.id for step in _hole_steps(steps))


def hole_ms(job: Job, kinds: Sequence[Kind], known: dict[object, int] | None = None) -> int:
    """Least time of the steps that depend on the ladder, with the drills' changes. [ms]

    ``known`` holds what is the same for other ladders of the same job: steps in the hole that begin at the same radius.
    """
    table = {kind.name: kind for kind in kinds}
    holding, total = bar_holding(job), 0
    known = {} if known is None else known
    made = tuple(step for name in HOLE_KINDS if name in table for step in table[name].steps(job))
    for step in _hole_steps(made):
        ledge = job.ledge(step.surface)
        if ledge is not None and ledge.side is Side.BACK:
            continue  # cut in the second holding: no bound is needed of it
        key = (step.id, None if ledge is None else turned(job, ledge.surface))
        least = known.get(key) if ledge is not None else None
        if least is None:
            ways = table[step.kind].ways(job, step, holding)
            least = min((way.cut_ms + way.extra_ms for way in ways if isinstance(way, Way)), default=_NEVER_MS)
        if ledge is not None:
            known[key] = least
        if least >= _NEVER_MS:
            return _NEVER_MS
        total += least
        if step.kind in ("drill", "ream"):
            total += round(1000 * job.shop.habits.drill_change_s)
    return total


def without_hole_ms(posed: Posed, *, below_ms: int | None = None) -> int | None:
    """What a job costs at least besides the steps that depend on the ladder. [ms]

    ``None`` if there is no order, or none below ``below_ms``, when that is given.

    The same problem with those steps free of charge and the drills already done. All other ways are the same for every
    ladder, and what they need of the hole the finished bore gives them, so no ladder can make the rest cheaper.
    """
    problem = posed.problem
    free = {i for i, step in enumerate(posed.steps) if step in _hole_steps(posed.steps)}
    own = {tool.id for tool in posed.job.shop.tools if tool.kind is ToolKind.BORING}
    bars = sorted({_tool_name(way) for way in posed.ways.values() if way.tool is not None and way.tool.id in own} | own)
    options = [option for option in problem.options if option.step not in free]
    for step in sorted(free):
        # which bar fits depends on the ladder, so here every bar of the shop does, and nothing stands in its way
        first = min((option for option in problem.options if option.step == step), key=lambda option: option.id)
        names = (first.tool,) if first.in_tailstock else tuple(bars)
        options.extend(
            replace(first, id=f"{first.id}/{name}", tool=name, clear=(), cost_ms=_nothing, least_ms=0) for name in names
        )
    costs = replace(problem.costs, drill_change_ms=0)
    found = cheapest_order(replace(problem, options=tuple(options), costs=costs), below_ms=below_ms)
    return found.bound_ms if found is not None else None


def _nothing(_: int) -> int:
    return 0
