"""From part and shop to a plan: variants, search, sheet, proof."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from handwheel import __version__
from handwheel.data.materials import Material, material
from handwheel.domain.errors import NoPlanError
from handwheel.domain.findings import Finding, Proof
from handwheel.domain.holding import Holding
from handwheel.domain.part import BORE, Part
from handwheel.domain.plan import Plan, Step
from handwheel.domain.shop import Bar, HoldingMeans, Shop, Tool, ToolKind
from handwheel.planner.explain import findings_for, reasons_for
from handwheel.planner.holdings import HOLDING_MODELS, HeldSecond, HoldingModel, bar_holding, second_holdings
from handwheel.planner.job import DRILL_CLEAR_DIA_MM, OVERRUN_MM, Job, length_scale, whole_steps_mm
from handwheel.planner.kinds import KINDS
from handwheel.planner.kinds.bore import ROUGH_BORE
from handwheel.planner.kinds.drill import Ladders, ladders
from handwheel.planner.kinds.edge import PART_OFF
from handwheel.planner.order import UNBOUND, Costs, Option, Order, Problem, cheapest_order, start_state, successor
from handwheel.planner.reach import Reached, cells_of, reachable
from handwheel.planner.sheet import write_sheet
from handwheel.planner.uses import digest, used_of_shop
from handwheel.planner.way import PARALLEL_SWING, Kind, NoWay, Swing, Way

RULES = (
    "costs: cutting, handling of each pass, tool change with its zeros, swinging the top slide (all zeros lost), drill "
    "change, making a holding ready, re-gripping and indicating, measuring",
    "rough before finish: bore and outside are finished after both are roughed",
    "the smallest bar that cleans up; the narrowest blade that reaches",
    "surfaces that must run true to each other are finished in one holding",
    "what hangs on the bar before parting keeps a web of half a millimetre and a quarter of the wall",
)
_NEVER_MS = 10**12
LEAST_CLEAN_UP_MM = 0.3
"""Least thickness that roughing must find on the bar beyond the two last cuts; common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """A variant whose order has been found."""

    job: Job
    order: Order
    ways: tuple[Way, ...]
    setup_ms: tuple[int, ...]
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


def make_plan(
    part: Part,
    shop: Shop,
    *,
    kinds: Sequence[Kind] = KINDS,
    models: Sequence[tuple[str, HoldingModel]] = HOLDING_MODELS,
    parent: str = "",
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

    Raises
    ------
    NoPlanError
        With what was tried, what failed, and the nearest remedy.
    """
    metal = material(part.material)
    table = {kind.name: kind for kind in kinds}
    best: Solved | None = None
    visited = alternatives = 0
    refused: list[NoWay] = []
    for bar in bars_that_clean_up(part, shop, metal):
        for jobs, means, troubles in variants(part, shop, metal, bar):
            refused.extend(troubles)
            floor: int | None = None
            for hole, _, job in sorted((hole_ms(job, kinds), i, job) for i, job in enumerate(jobs)):
                alternatives += 1
                if floor is not None and best is not None and floor + hole >= best.order.cost_ms:
                    continue
                posed = pose(job, means, kinds=kinds, models=tuple(models))
                refused.extend(posed.refused)
                if any(step not in _hole_ids(posed.steps) for step in posed.lacking):
                    break  # no ladder changes that
                if posed.lacking:
                    continue
                if floor is None:
                    floor = without_hole_ms(posed)
                    if floor is None:
                        break  # no order of the other steps either
                found = cheapest_order(posed.problem, below_ms=best.order.cost_ms if best else None)
                if found is None:
                    continue
                visited += found.states_visited
                best = solved(posed, found)
        if best is not None:
            break
    if best is None:
        raise NoPlanError(no_plan_text(part, shop, metal, refused))
    written = write_sheet(best.job, best.ways, kinds=table, seconds=best.seconds, setup_ms=best.setup_ms)
    uses = used_of_shop(written.sheet, shop)
    program = f"handwheel {__version__}"
    findings: tuple[Finding, ...] = (*findings_for(best.job, best.ways), *written.findings)
    return Plan(
        id=digest(part, uses, program),
        program=program,
        uses=uses,
        steps=tuple(way.step for way in best.ways),
        sheet=written.sheet,
        proof=Proof(
            cost_ms=best.order.cost_ms,
            bound_ms=best.order.bound_ms,
            states_visited=visited,
            alternatives=alternatives,
            rules=RULES,
        ),
        times=written.times,
        reasons=reasons_for(best.job, best.ways),
        findings=findings,
        parent=parent,
    )


def bars_that_clean_up(part: Part, shop: Shop, metal: Material) -> tuple[Bar, ...]:
    """Bars of the metal that are large enough, the smallest first."""
    least = 2.0 * (part.outside_radius_mm + 2.0 * finish_cut_mm(shop, metal) + LEAST_CLEAN_UP_MM)
    fit = [bar for bar in shop.bars if bar.material == part.material and float(bar.dia_lower_mm) >= least]
    return tuple(sorted(fit, key=lambda bar: (bar.dia_mm, bar.id)))


def finish_cut_mm(shop: Shop, metal: Material) -> float:
    """Depth of each of the two last cuts: the shop's habit, but never less than the metal's least cut and a quarter."""
    least = metal.find("min_depth")
    return max(shop.habits.finish_cut_mm, 1.25 * least.most if least is not None else 0.0)


def variants(
    part: Part, shop: Shop, metal: Material, bar: Bar
) -> Iterable[tuple[tuple[Job, ...], tuple[HoldingMeans, ...], tuple[NoWay, ...]]]:
    """Groups of jobs, one for each back allowance that a kind of second holding needs; a job for each ladder."""
    scale = length_scale(shop, part.width_mm)
    blade = blade_for(part, shop)
    if blade is None:
        return
    cut = finish_cut_mm(shop, metal)
    face_stock = whole_steps_mm(shop.habits.face_stock_mm, scale)
    groups = (
        (shop.habits.back_allowance_mm, tuple(m for m in shop.holdings if m.kind != "flat-plate")),
        (shop.habits.rub_allowance_mm, tuple(m for m in shop.holdings if m.kind == "flat-plate")),
    )
    for allowance, means in groups:
        if not means:
            continue
        back = whole_steps_mm(allowance, scale, beyond_mm=part.width_mm + blade.width_mm)
        base = Job(
            part=part,
            shop=shop,
            material=metal,
            bar=bar,
            blade=blade,
            drills=(),
            face_stock_mm=face_stock,
            back_allowance_mm=back,
            finish_cut_mm=cut,
        )
        found = _ladders(base)
        yield tuple(replace(base, drills=drills) for drills in found.chains), means, found.refused


def _hole_steps(steps: Sequence[Step]) -> tuple[Step, ...]:
    """Steps that depend on the ladder: the drills and the bore's own."""
    return tuple(step for step in steps if step.kind == "drill" or step.id in (BORE, ROUGH_BORE))


def _hole_ids(steps: Sequence[Step]) -> frozenset[str]:
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
    options = tuple(
        replace(option, cost_ms=_nothing, least_ms=0) if option.step in free else option for option in problem.options
    )
    costs = replace(problem.costs, drill_change_ms=0)
    found = cheapest_order(replace(problem, options=options, costs=costs))
    return found.bound_ms if found is not None else None


def _nothing(_: int) -> int:
    return 0


def _ladders(job: Job) -> Ladders:
    depth = job.face_stock_mm - job.drill_end_mm + OVERRUN_MM
    below = 2.0 * (job.bore_radius_mm - job.leave_mm) - DRILL_CLEAR_DIA_MM
    return ladders(
        job.shop, material=job.material, hole_below_dia_mm=below, depth_mm=depth, max_rpm=job.shop.lathe.chuck.max_rpm
    )


def blade_for(part: Part, shop: Shop) -> Tool | None:
    """Narrowest parting blade that reaches through the wall; else the one that reaches furthest."""
    blades = [tool for tool in shop.tools if tool.kind is ToolKind.PARTING]
    wall = part.outside_radius_mm - part.bore_radius_mm
    long_enough = [tool for tool in blades if tool.reach_mm >= wall + 2.0]
    if long_enough:
        return min(long_enough, key=lambda tool: (tool.width_mm, tool.id))
    return max(blades, key=lambda tool: (tool.reach_mm, tool.id), default=None)


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
    setup: list[int] = []
    state = start_state(posed.problem)
    for option in order.options:
        reached = successor(state, option, posed.problem.costs)
        if reached is None:
            msg = f"order: option {option.id} is not possible where it stands; please report this"
            raise RuntimeError(msg)
        after, cost = reached
        setup.append(cost - option.cost_ms(state.done))
        state = after
    return Solved(
        job=posed.job,
        order=order,
        ways=tuple(posed.ways[option.id] for option in order.options),
        setup_ms=tuple(setup),
        seconds=posed.seconds,
        steps=posed.steps,
    )


def no_plan_text(part: Part, shop: Shop, metal: Material, refused: Sequence[NoWay]) -> str:
    """What was tried, what failed, what would help, in plain words."""
    head = f"no plan for {part.name!r} on {shop.name!r}"
    least = 2.0 * (part.outside_radius_mm + 2.0 * finish_cut_mm(shop, metal) + LEAST_CLEAN_UP_MM)
    if not any(bar.material == part.material for bar in shop.bars):
        return f"{head}: the shop has no bar of {metal.name}; add one of at least Ø {least:.1f} mm"
    if not bars_that_clean_up(part, shop, metal):
        return f"{head}: no bar of {metal.name} is large enough; Ø {least:.1f} mm or more is needed"
    if blade_for(part, shop) is None:
        return f"{head}: the shop has no parting blade; add one that reaches {part.outside_radius_mm - part.bore_radius_mm + 2:.0f} mm"
    seen: dict[tuple[str, str], NoWay] = {}
    for trouble in refused:
        seen.setdefault((trouble.step, trouble.why), trouble)
    lines = [head + ":"]
    lines += [
        f"  {t.step}: tried {t.tried}: {t.why}" + (f". What would help: {t.remedy}" if t.remedy else "")
        for t in seen.values()
    ]
    if len(lines) == 1:
        lines.append(
            "  every single step is possible, but no order of them keeps every face reachable and every surface true"
        )
    return "\n".join(lines)
