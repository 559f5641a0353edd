"""From a variant to a search problem, and from its answer back to ways."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from handwheel.domain.holding import Holding
from handwheel.domain.part import BORE
from handwheel.domain.plan import Step
from handwheel.domain.shop import HoldingMeans, ToolKind
from handwheel.planner.holdings import HeldSecond, HoldingModel, bar_holding, second_holdings
from handwheel.planner.job import Job
from handwheel.planner.kinds.bore import ROUGH_BORE
from handwheel.planner.kinds.edge import PART_OFF
from handwheel.planner.order import UNBOUND, Costs, Option, Order, Problem, cheapest_order, start_state, successor
from handwheel.planner.reach import Reached, cells_of, reachable
from handwheel.planner.way import PARALLEL_SWING, Kind, NoWay, Swing, Way

_NEVER_MS = 10**12


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """A variant whose order has been found; ``spent_ms`` is what goes before each step, and the step itself."""

    job: Job
    order: Order
    ways: tuple[Way, ...]
    spent_ms: tuple[tuple[int, int], ...]
    seconds: dict[str, HeldSecond]
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Posed:
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
    held, refused = second_holdings(job, means, models)
    holdings: list[Holding] = [bar_holding(job), *(second.holding for second in held)]
    steps = tuple(step for kind in kinds for step in kind.steps(job))
    table = {kind.name: kind for kind in kinds}
    ways: list[Way] = []
    troubles: list[NoWay] = list(refused)
    for step in steps:
        for holding in holdings:
            for found in table[step.kind].ways(job, step, holding):
                if isinstance(found, Way):
                    ways.append(found)
                else:
                    troubles.append(found)
    ways = set_out(ways)
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


def set_out(ways: Sequence[Way]) -> list[Way]:
    """Every way of a tool in a holding with the tool clamped once, as far out as the neediest of them asks."""
    need: dict[tuple[str, str], float] = {}
    for way in ways:
        if way.tool is not None and way.tool.reach_mm:
            key = (way.holding.id, way.tool.id)
            need[key] = max(need.get(key, 0.0), min(way.reach_mm, way.tool.reach_mm))
    return [
        replace(way, reach_mm=need[way.holding.id, way.tool.id]) if way.tool and way.tool.reach_mm else way
        for way in ways
    ]


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
    options = tuple(
        Option(
            id=item.way.id,
            step=index[item.way.step.id],
            holding=place[item.way.holding.id],
            tool=_tool_name(item.way),
            in_tailstock=item.way.drill is not None,
            angle=None if item.way.swing is None else swings.index(item.way.swing),
            after=mask((*item.way.step.after, *item.way.after)) | (0 if place[item.way.holding.id] == 0 else parted),
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
    return way.tool.id if way.tool is not None else ""


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
    """Steps that depend on the ladder: the drills and the bore's own."""
    return tuple(step for step in steps if step.kind == "drill" or step.id in (BORE, ROUGH_BORE))


def hole_ids(steps: Sequence[Step]) -> frozenset[str]:
    """Ids of the steps that depend on the ladder."""
    return frozenset(step.id for step in _hole_steps(steps))


def hole_ms(job: Job, kinds: Sequence[Kind]) -> int:
    """Least time of the steps that depend on the ladder, with the drills' changes. [ms]"""
    table = {kind.name: kind for kind in kinds}
    holding = bar_holding(job)
    total = 0
    for step in _hole_steps(tuple(s for name in ("drill", "bore") if name in table for s in table[name].steps(job))):
        times = [w.cut_ms + w.extra_ms for w in table[step.kind].ways(job, step, holding) if isinstance(w, Way)]
        if not times:
            return _NEVER_MS
        total += min(times)
        if step.kind == "drill":
            total += round(1000 * job.shop.habits.drill_change_s)
    return total


def without_hole_ms(posed: Posed) -> int | None:
    """What a job costs at least besides the steps that depend on the ladder; ``None`` if there is no order. [ms]

    The same problem with those steps free of charge and the drills already done. All other ways are the same for every
    ladder, and what they need of the hole the finished bore gives them, so no ladder can make the rest cheaper.
    """
    problem = posed.problem
    free = {i for i, step in enumerate(posed.steps) if step in _hole_steps(posed.steps)}
    bars = [tool.id for tool in posed.job.shop.tools if tool.kind is ToolKind.BORING]
    options = [option for option in problem.options if option.step not in free]
    for step in sorted(free):
        # which bar fits depends on the ladder, so here every bar of the shop does, and nothing stands in its way
        first = min((option for option in problem.options if option.step == step), key=lambda option: option.id)
        names = (first.tool,) if first.in_tailstock else tuple(bars)
        options.extend(
            replace(first, id=f"{first.id}/{name}", tool=name, clear=(), cost_ms=_nothing, least_ms=0) for name in names
        )
    costs = replace(problem.costs, drill_change_ms=0)
    found = cheapest_order(replace(problem, options=tuple(options), costs=costs))
    return found.bound_ms if found is not None else None


def _nothing(_: int) -> int:
    return 0
