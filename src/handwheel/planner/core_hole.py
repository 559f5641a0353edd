"""Variants whose bore the last drill leaves at size: the core of a thread, wide enough for a drill."""

from __future__ import annotations

from msgspec.structs import replace

from handwheel.domain.bars import BarShape
from handwheel.domain.hole_tools import DrillKind
from handwheel.planner.job import Job
from handwheel.planner.kinds.drill import ladders

CUTS_LARGE_MM = 0.15
"""How much larger than itself a drill may cut, upper end of 0.05 to 0.15 at 10 mm in steel; common practice."""


def core_hole_jobs(base: Job) -> tuple[Job, ...]:
    """Jobs whose last drill makes the core of the thread, one for each such drill; none if the bore has no thread."""
    if base.part.thread is None or base.bar.shape is BarShape.TUBE:
        return ()
    size, play = base.bore_size, base.shop.lathe.tailstock.play_mm
    job = replace(base, sized_by_drill=True)
    found = ladders(
        base.shop,
        material=base.material,
        hole_below_dia_mm=float(size.cut_upper) - CUTS_LARGE_MM - 2.0 * play,
        depth_mm=-job.drill_end_mm,
        max_rpm=base.shop.lathe.chuck.max_rpm,
        units=base.units,
    )
    return tuple(
        replace(job, drills=drills)
        for drills in found.chains
        if drills[-1].kind is DrillKind.TWIST and drills[-1].dia_mm >= size.cut_lower
    )
