"""Plan drawn cases and tell how long it takes, and how that grows with the number of steps.

    python -m benchmarks.bench_generated --cases 400 --seed 5 [--svg docs/theory/growth.svg]

The cases are those of ``tests.proof`` that are feasible by construction. Times are of the processor; the median is also
given as a multiple of the reference operation of ``bench_planning`` measured in the same run, since times depend on the
machine. Exits with 1 if a target is missed. The picture shows, for each number of steps, the median and the range from
the 10th to the 90th part in a hundred of the times and of the states that the search visited. The parts are plain,
stepped and flanged as ``tests.proof.feasible`` draws them; the first line of the answer says how many have steps.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import time
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import exp, log, log10
from pathlib import Path

from benchmarks.bench_planning import TARGET_ONE_MS, busy_s, reference_work
from handwheel.domain.errors import NoPlanError
from handwheel.planner.planner import make_plan
from tests.proof.cases import case_of, numbers

TARGET_SLOWEST_S = 2.0
"""Nobody waits longer before a page answers; own judgement, no source."""
REFERENCE_REPEATS = 15
LEAST_IN_GROUP = 5
"""A median of fewer plans is no median."""


@dataclass(frozen=True)
class Timed:
    """One plan: its case, steps of work, states that the search visited, processor time, steps in the part. [ms]"""

    number: int
    steps: int
    states: int
    plan_ms: float
    part_steps: int = 0


@dataclass(frozen=True)
class Spread:
    """Middle of many values, and the range from the 10th to the 90th part in a hundred."""

    low: float
    median: float
    high: float


@dataclass(frozen=True)
class Group:
    """Plans of one number of steps: how many, their processor times and the states that the search visited. [ms]"""

    steps: int
    count: int
    ms: Spread
    states: Spread


def timed_plans(cases: Sequence[int]) -> tuple[list[Timed], list[int]]:
    """Every case planned once, and the numbers of those without a plan."""
    found: list[Timed] = []
    missing: list[int] = []
    for number in cases:
        case = case_of(number)
        start = time.process_time()
        try:
            plan = make_plan(case.part, case.shop)
        except NoPlanError:
            missing.append(number)
            continue
        plan_ms = 1000.0 * (time.process_time() - start)
        found.append(
            Timed(
                number=number,
                steps=len(plan.steps),
                states=plan.proof.states_visited,
                plan_ms=plan_ms,
                part_steps=len(case.draft.steps),
            )
        )
    return found, missing


def share_at(values: Sequence[float], share: float) -> float:
    """Value below which a share of all lie."""
    ranked = sorted(values)
    return ranked[min(len(ranked) - 1, int(share * len(ranked)))]


def spread_of(values: Sequence[float]) -> Spread:
    """Median of values, and where the lowest and the highest tenth end."""
    return Spread(low=share_at(values, 0.1), median=statistics.median(values), high=share_at(values, 0.9))


def groups_of(plans: Sequence[Timed]) -> list[Group]:
    """Plans by number of steps, fewest first; numbers that too few plans have are left out."""
    by_steps: Mapping[int, list[Timed]] = defaultdict(list)
    for plan in plans:
        by_steps[plan.steps].append(plan)
    return [
        Group(
            steps=steps,
            count=len(members),
            ms=spread_of([plan.plan_ms for plan in members]),
            states=spread_of([float(plan.states) for plan in members]),
        )
        for steps, members in sorted(by_steps.items())
        if len(members) >= LEAST_IN_GROUP
    ]


def growth_per_step(plans: Sequence[Timed], value: Callable[[Timed], float]) -> float:
    """Factor by which a value grows with each further step: least squares of its logarithm over all plans.

    Examples
    --------
    >>> doubling = [Timed(number=0, steps=steps, states=2**steps, plan_ms=1.0) for steps in range(10, 14)]
    >>> round(growth_per_step(doubling, lambda plan: plan.states), 9)
    2.0
    """
    slope, _ = statistics.linear_regression([plan.steps for plan in plans], [log(value(plan)) for plan in plans])
    return exp(slope)


# picture -------------------------------------------------------------------------------------------------------------

WIDTH, PANEL, GAP = 640, 230, 20
LEFT, RIGHT, TOP, BOTTOM = 70, 20, 44, 44
HEIGHT = TOP + 2 * PANEL + GAP + BOTTOM
FONT = 'font-family="sans-serif" font-size="13" fill="black"'
TICKS = (1, 2, 5)
"""Figures of each power of ten that stand at the axis."""


@dataclass(frozen=True)
class Axes:
    """Where a number of steps and a value, by its logarithm, stand in one panel of the picture."""

    first: int
    last: int
    low: float
    high: float
    base: float

    def x(self, steps: float) -> float:
        """Across, in points."""
        return LEFT + (steps - self.first + 0.5) / (self.last - self.first + 1) * (WIDTH - LEFT - RIGHT)

    def y(self, value: float) -> float:
        """Down, in points."""
        return self.base - log(value / self.low) / log(self.high / self.low) * PANEL

    @property
    def ticks(self) -> list[int]:
        """Values with a figure, lowest first."""
        return ticks_between(self.low, self.high)


def ticks_between(low: float, high: float) -> list[int]:
    """Ones, twos and fives of the powers of ten that lie between two values.

    Examples
    --------
    >>> ticks_between(10, 400)
    [10, 20, 50, 100, 200]
    """
    powers = range(int(log10(high)) + 1)
    return [tick * 10**power for power in powers for tick in TICKS if low <= tick * 10**power <= high]


def panel_axes(groups: Sequence[Group], spreads: Sequence[Spread], *, base: float) -> Axes:
    """Axes whose ends are ticks just outside the spreads."""
    lowest, highest = min(spread.low for spread in spreads), max(spread.high for spread in spreads)
    ticks = ticks_between(1, 10 * highest)
    low = max((tick for tick in ticks if tick < lowest), default=1)
    high = min(tick for tick in ticks if tick > highest)
    return Axes(groups[0].steps, groups[-1].steps, low, high, base)


def growth_svg(groups: Sequence[Group]) -> str:
    """Picture of the groups: times above, states below, in black, white and grey."""
    upper, lower = TOP + PANEL, TOP + 2 * PANEL + GAP
    body = (
        *_key(),
        *_panel(groups, [group.ms for group in groups], words="time of a plan, ms", base=upper),
        *_panel(groups, [group.states for group in groups], words="states visited", base=lower),
        *_foot(groups, lower),
    )
    return "\n".join(
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" {FONT}>',
            "<title>Time of a plan and states visited over its number of steps</title>",
            f'<rect width="{WIDTH}" height="{HEIGHT}" fill="white"/>',
            *body,
            "</svg>",
            "",
        )
    )


def _key() -> Iterator[str]:
    y = TOP / 2
    yield f'<path d="M{LEFT} {y - 8} V{y + 8}" stroke="darkgray" stroke-width="8"/>'
    yield f'<circle cx="{LEFT}" cy="{y}" r="4"/>'
    words = "median; bar from the 10th to the 90th percentile; log scales"
    yield f'<text x="{LEFT + 14}" y="{y + 4}">{words}</text>'


def _panel(groups: Sequence[Group], spreads: Sequence[Spread], *, words: str, base: float) -> Iterator[str]:
    axes, right = panel_axes(groups, spreads, base=base), WIDTH - RIGHT
    for value in axes.ticks:
        y = axes.y(value)
        yield f'<path d="M{LEFT} {y:.1f} H{right}" stroke="gainsboro"/>'
        yield f'<text x="{LEFT - 8}" y="{y + 4:.1f}" text-anchor="end">{value}</text>'
    middle = base - PANEL / 2
    yield f'<text x="18" y="{middle:.1f}" text-anchor="middle" transform="rotate(-90 18 {middle:.1f})">{words}</text>'
    yield f'<path d="M{LEFT} {base - PANEL:.1f} V{base:.1f} H{right}" fill="none" stroke="black"/>'
    at = [axes.x(group.steps) for group in groups]
    for x, spread in zip(at, spreads, strict=True):
        low, high = axes.y(spread.low), axes.y(spread.high)
        yield f'<path d="M{x:.1f} {low:.1f} V{high:.1f}" stroke="darkgray" stroke-width="8"/>'
    line = " ".join(f"{x:.1f},{axes.y(spread.median):.1f}" for x, spread in zip(at, spreads, strict=True))
    yield f'<polyline points="{line}" fill="none" stroke="black"/>'
    for x, spread in zip(at, spreads, strict=True):
        yield f'<circle cx="{x:.1f}" cy="{axes.y(spread.median):.1f}" r="4"/>'


def _foot(groups: Sequence[Group], base: float) -> Iterator[str]:
    axes = Axes(groups[0].steps, groups[-1].steps, 1.0, 10.0, base)
    for steps in range(axes.first, axes.last + 1):
        yield f'<text x="{axes.x(steps):.1f}" y="{base + 16:.1f}" text-anchor="middle">{steps}</text>'
    middle = (LEFT + WIDTH - RIGHT) / 2
    yield f'<text x="{middle:.1f}" y="{HEIGHT - 8}" text-anchor="middle">steps of the plan</text>'


# table ---------------------------------------------------------------------------------------------------------------


def main(arguments: Sequence[str] | None = None) -> int:
    """Plan, print, draw; return 1 if a target is missed."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--cases", type=int, default=400, help="how many feasible cases (default 400)")
    parser.add_argument("--seed", type=int, default=5, help="which million of cases (default 5)")
    parser.add_argument("--svg", type=Path, help="where to draw the growth")
    given = parser.parse_args(arguments)
    reference = reference_work()
    reference()
    unit_ms = 1000.0 * statistics.median(busy_s(reference) for _ in range(REFERENCE_REPEATS))
    plans, missing = timed_plans(numbers(given.seed, 2 * given.cases)[::2])
    times = [plan.plan_ms for plan in plans]
    median_ms, most_ms = statistics.median(times), max(times)
    stepped = sum(plan.part_steps > 0 for plan in plans)
    print(
        f"reference: {unit_ms:.1f} ms; {len(plans)} plans, {stepped} of stepped or flanged parts, "
        f"{len(missing)} cases without one {missing[:10]}"
    )
    print(
        f"median {median_ms:.1f} ms = {median_ms / unit_ms:.2f} references; 99 % {share_at(times, 0.99):.1f} ms = "
        f"{share_at(times, 0.99) / unit_ms:.2f}; slowest {most_ms:.0f} ms"
    )
    groups = groups_of(plans)
    print(f"{'steps':>5} {'plans':>6}" + 2 * f" {'10 %':>7} {'median':>7} {'90 %':>7}" + "  (ms, then states)")
    for group in groups:
        ms, states = group.ms, group.states
        print(
            f"{group.steps:5} {group.count:6} {ms.low:7.1f} {ms.median:7.1f} {ms.high:7.1f} "
            f"{states.low:7.0f} {states.median:7.0f} {states.high:7.0f}"
        )
    print(f"plans of other numbers of steps, too few of each: {len(plans) - sum(group.count for group in groups)}")
    print(
        f"for each step more: time × {growth_per_step(plans, lambda plan: plan.plan_ms):.2f}, "
        f"states × {growth_per_step(plans, lambda plan: plan.states):.2f}"
    )
    if given.svg is not None:
        given.svg.write_text(growth_svg(groups), encoding="utf-8")
    return 0 if median_ms <= TARGET_ONE_MS and most_ms <= 1000.0 * TARGET_SLOWEST_S and not missing else 1


if __name__ == "__main__":
    sys.exit(main())
