"""Plan drawn cases and tell how long it takes, and how that grows with the number of steps.

    python -m benchmarks.bench_generated --cases 400 --seed 5 [--svg docs/theory/growth.svg]

The cases are those of ``tests.proof`` that are feasible by construction. Times are of the processor; the median is also
given as a multiple of the reference operation of ``bench_planning`` measured in the same run, since times depend on the
machine. Exits with 1 if a target is missed. The picture shows, for each number of steps, the median and the range from
the 10th to the 90th part in a hundred of the plan times.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import time
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
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
    """One plan: its case, steps, states that the search visited, processor time. [ms]"""

    number: int
    steps: int
    states: int
    plan_ms: float


@dataclass(frozen=True)
class Group:
    """Plans of one number of steps."""

    steps: int
    count: int
    low_ms: float
    median_ms: float
    high_ms: float
    states: float


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
        found.append(Timed(number=number, steps=len(plan.steps), states=plan.proof.states_visited, plan_ms=plan_ms))
    return found, missing


def share_at(values: Sequence[float], share: float) -> float:
    """Value below which a share of all lie."""
    ranked = sorted(values)
    return ranked[min(len(ranked) - 1, int(share * len(ranked)))]


def groups_of(plans: Sequence[Timed]) -> list[Group]:
    """Plans by number of steps, fewest first; numbers that too few plans have are left out."""
    by_steps: Mapping[int, list[Timed]] = defaultdict(list)
    for plan in plans:
        by_steps[plan.steps].append(plan)
    return [
        Group(
            steps=steps,
            count=len(members),
            low_ms=share_at([plan.plan_ms for plan in members], 0.1),
            median_ms=statistics.median(plan.plan_ms for plan in members),
            high_ms=share_at([plan.plan_ms for plan in members], 0.9),
            states=statistics.median(plan.states for plan in members),
        )
        for steps, members in sorted(by_steps.items())
        if len(members) >= LEAST_IN_GROUP
    ]


# picture -------------------------------------------------------------------------------------------------------------

WIDTH, HEIGHT = 640, 360
LEFT, RIGHT, TOP, BOTTOM = 60, 20, 20, 50
FONT = 'font-family="sans-serif" font-size="12" fill="black"'


@dataclass(frozen=True)
class Axes:
    """Where a number of steps and a time stand in the picture."""

    first: int
    last: int
    top_ms: float

    def x(self, steps: float) -> float:
        """Across, in points."""
        return LEFT + (steps - self.first + 0.5) / (self.last - self.first + 1) * (WIDTH - LEFT - RIGHT)

    def y(self, ms: float) -> float:
        """Down, in points."""
        return HEIGHT - BOTTOM - ms / self.top_ms * (HEIGHT - TOP - BOTTOM)


def growth_svg(groups: Sequence[Group]) -> str:
    """Picture of the groups."""
    top_ms = 20.0 * (1 + max(group.high_ms for group in groups) // 20.0)
    axes = Axes(groups[0].steps, groups[-1].steps, top_ms)
    body = [*_axes(axes), *(line for group in groups for line in _mark(axes, group))]
    return "\n".join(
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" {FONT}>',
            "<title>Time of a plan over its number of steps: median, and 10th to 90th part in a hundred</title>",
            f'<rect width="{WIDTH}" height="{HEIGHT}" fill="white"/>',
            *body,
            "</svg>",
            "",
        )
    )


def _axes(axes: Axes) -> Iterator[str]:
    base, right = axes.y(0.0), WIDTH - RIGHT
    yield f'<path d="M{LEFT} {TOP} V{base:.1f} H{right}" fill="none" stroke="black"/>'
    for ms in range(0, int(axes.top_ms) + 1, 20):
        y = axes.y(ms)
        yield f'<path d="M{LEFT - 4} {y:.1f} H{LEFT}" stroke="black"/>'
        yield f'<text x="{LEFT - 8}" y="{y + 4:.1f}" text-anchor="end">{ms}</text>'
    for steps in range(axes.first, axes.last + 1):
        yield f'<text x="{axes.x(steps):.1f}" y="{base + 16:.1f}" text-anchor="middle">{steps}</text>'
    yield f'<text x="{(LEFT + right) / 2:.1f}" y="{HEIGHT - 12}" text-anchor="middle">steps of the plan</text>'
    yield f'<text x="14" y="{HEIGHT / 2:.1f}" transform="rotate(-90 14 {HEIGHT / 2:.1f})">ms</text>'


def _mark(axes: Axes, group: Group) -> Iterator[str]:
    x, low, high = axes.x(group.steps), axes.y(group.low_ms), axes.y(group.high_ms)
    yield f'<path d="M{x:.1f} {low:.1f} V{high:.1f}" stroke="gray" stroke-width="6"/>'
    yield f'<circle cx="{x:.1f}" cy="{axes.y(group.median_ms):.1f}" r="4"/>'


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
    print(f"reference: {unit_ms:.1f} ms; {len(plans)} plans, {len(missing)} cases without one {missing[:10]}")
    print(
        f"median {median_ms:.1f} ms = {median_ms / unit_ms:.2f} references; 99 % {share_at(times, 0.99):.1f} ms = "
        f"{share_at(times, 0.99) / unit_ms:.2f}; slowest {most_ms:.0f} ms"
    )
    groups = groups_of(plans)
    print(f"{'steps':>5} {'plans':>6} {'10 %':>7} {'median':>7} {'90 %':>7} {'states':>7}")
    for group in groups:
        print(
            f"{group.steps:5} {group.count:6} {group.low_ms:7.1f} {group.median_ms:7.1f} {group.high_ms:7.1f} "
            f"{group.states:7.0f}"
        )
    if given.svg is not None:
        given.svg.write_text(growth_svg(groups), encoding="utf-8")
    return 0 if median_ms <= TARGET_ONE_MS and most_ms <= 1000.0 * TARGET_SLOWEST_S and not missing else 1


if __name__ == "__main__":
    sys.exit(main())
