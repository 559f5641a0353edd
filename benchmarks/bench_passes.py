"""How long the schedule of one diameter takes, and how that grows with what can be set.

The reference is 1,000 polygon differences in the same run. Growth is measured with steps of the dial ten times as fine
(which may take ten times as many passes and a hundred times as many pairs of depths), with ten times as many speeds and
with ten times as many feeds, each in the least favourable case that gentleness counts, so that every number of passes
is looked at. Exits with 1 if a target is missed.
"""

from __future__ import annotations

import sys
import time

from msgspec.structs import replace

from benchmarks.bench_planning import busy_s, demo_job, reference_work
from handwheel.data.materials import material
from handwheel.data.speeds import CutKind
from handwheel.domain.habits import Habits
from handwheel.domain.lathe import Lathe, PowerFeed, SpindleSpeed
from handwheel.physics.force import Process
from handwheel.planner.cut_case import CutCase, FeedDrive, Schedule
from handwheel.planner.passes import schedule

MOST_MS = 20.0
"""Time of one diameter on the machine of the project. [ms]"""
REPEATS = 15
TIMES = 10
BASE = 30
"""Speeds and feeds from which growth is counted: so many that the share of them that a case may use hardly changes."""
NOISE = 1.1
"""What a busy machine may add to a ratio."""
METAL = "st_c45"
GENTLE = Habits(gentle_weight=3.0)


def diameter(shop_name: str) -> tuple[CutCase, Lathe]:
    """Roughing 3 mm off an outside of 30 mm on a demo lathe."""
    _, shop = demo_job("bush", shop_name)
    tool = next(tool for tool in shop.tools if tool.entering_deg > 0)
    lathe = shop.lathe
    feeds = lathe.feeds_along
    case = CutCase(
        name="turning",
        cut=CutKind.ROUGH,
        process=Process.TURNING,
        tool=tool,
        drive=FeedDrive(slide=lathe.carriage if feeds else lathe.top, power=feeds),
        total_mm=3.0,
        step_mm=0.02,
        way_mm=12.0,
        large_dia_mm=30.0,
        max_rpm=2000.0,
        stiffness_n_um=10.0,
    )
    return case, lathe


def scheduled_s(case: CutCase, lathe: Lathe) -> float:
    """Least time over some repeats. [s]"""
    metal = material(METAL)
    taken = []
    for _ in range(REPEATS):
        start = time.process_time()
        found = schedule(case, material=metal, lathe=lathe, habits=GENTLE)
        taken.append(time.process_time() - start)
        if not isinstance(found, Schedule):
            msg = f"no schedule: {found.why}"
            raise TypeError(msg)
    return min(taken)


def with_lists(case: CutCase, lathe: Lathe, *, speeds: int, feeds: int) -> tuple[CutCase, Lathe]:
    """The same with so many speeds and feeds, evenly over the ranges that the lathe has or might have."""
    low, high = (pick(speed.rpm for speed in lathe.speeds) for pick in (min, max))
    listed = tuple(SpindleSpeed(rpm=low * (high / low) ** (i / speeds), position=f"{i}") for i in range(speeds))
    feed_list = tuple(PowerFeed(mm_rev=0.05 + 0.15 * i / feeds, position=f"{i}") for i in range(feeds))
    return replace(case, drive=replace(case.drive, power=feed_list)), replace(lathe, speeds=listed)


def main() -> int:
    """Print times and growth; return 1 if a target is missed."""
    is_well = True
    base_s = min(busy_s(reference_work()) for _ in range(REPEATS))
    print(f"reference, 1,000 polygon differences: {base_s * 1e3:.1f} ms")
    for shop in ("inch-lathe", "metric-lathe"):
        case, lathe = diameter(shop)
        own_s = scheduled_s(case, lathe)
        is_well &= own_s * 1e3 <= MOST_MS
        print(
            f"{shop}: one diameter {own_s * 1e3:.2f} ms, {own_s / base_s:.2f} of the reference (target {MOST_MS:g} ms)"
        )
        even = scheduled_s(*with_lists(case, lathe, speeds=BASE, feeds=BASE))
        finer = replace(case, step_mm=case.step_mm / TIMES)
        for name, (wider, more), allowed in (
            ("steps ten times as fine", with_lists(finer, lathe, speeds=BASE, feeds=BASE), TIMES**3),
            ("ten times the speeds", with_lists(case, lathe, speeds=TIMES * BASE, feeds=BASE), TIMES),
            ("ten times the feeds", with_lists(case, lathe, speeds=BASE, feeds=TIMES * BASE), TIMES),
        ):
            growth = scheduled_s(wider, more) / even
            is_well &= growth <= allowed * NOISE
            print(f"  {name}: {growth:.1f} times as long (at most {allowed:g})")
    return 0 if is_well else 1


if __name__ == "__main__":
    sys.exit(main())
