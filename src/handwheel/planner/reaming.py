"""Variants whose bore is finished by a reamer: which reamer suits, and what hole it is to find."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec.structs import replace

from handwheel.data.reaming import Reaming as ReamingTable
from handwheel.data.reaming import reaming_range
from handwheel.domain.bars import BarShape
from handwheel.domain.hole_tools import DrillKind, Reamer, ReamerKind
from handwheel.domain.part import BORE, Part
from handwheel.domain.shop import Shop
from handwheel.planner.job import Job, Reaming
from handwheel.planner.kinds.drill import ladders

REAMED_RA_UM = 3.2
"""Mean roughness that reaming stays below: upper end of 0.8 to 3.2 (from memory of Machinery's Handbook)."""


def reamers_for(part: Part, shop: Shop) -> tuple[Reamer, ...]:
    """Machine reamers whose hole lies inside the limits of the bore, its finish allowing; none for a stepped bore."""
    segment = part.surface(BORE)
    finish = None if segment is None else segment.finish_ra_um
    size = next(feature.size for feature in part.sizes if feature.surface == BORE)
    if len(part.inner_cylinders) > 1 or (finish is not None and finish < REAMED_RA_UM):
        return ()
    return tuple(
        reamer
        for reamer in shop.reamers
        if reamer.kind is ReamerKind.MACHINE
        and size.cut_lower <= reamer.hole_lower_mm
        and reamer.hole_upper_mm <= size.cut_upper
        and float(reamer.dia_mm) <= shop.lathe.tailstock.chuck_high_dia_mm
    )


def reaming_jobs(base: Job) -> Iterable[tuple[Job, ...]]:
    """Families of jobs that differ in nothing but the ladder: for each reamer after boring, and straight after a drill.

    A reamer follows the hole it finds, so a bore that must run true to something is bored before.
    """
    segment = base.part.surface(BORE)
    must_run_true = segment is not None and segment.truth_group is not None
    for reamer in reamers_for(base.part, base.shop):
        for is_bored in (True,) if must_run_true else (True, False):
            jobs = _jobs(base, reamer, is_bored=is_bored)
            if jobs:
                yield jobs


def allowance_mm(reamer: Reamer) -> tuple[float, float]:
    """What a reamer may be left to cut on the diameter, least and most. [mm]"""
    found = reaming_range(ReamingTable.ALLOWANCE, reamer.kind)
    return found.least, found.most


def _jobs(base: Job, reamer: Reamer, *, is_bored: bool) -> tuple[Job, ...]:
    least, most = allowance_mm(reamer)
    dia, play = float(reamer.dia_mm), base.shop.lathe.tailstock.play_mm
    reaming = Reaming(
        reamer=reamer, is_bored=is_bored, core_dia_mm=dia - (least + most) / 2.0, allowance_mm=(least, most)
    )
    job = replace(base, reaming=reaming)
    if base.bar.shape is BarShape.TUBE:
        return (job,) if is_bored else ()
    # what is bored afterwards must be more than a skin; what is reamed at once must be left its allowance, and the
    # drill must stay below the limits of the bore, so that the reamer and no drill makes the size
    reamed_at_once = min(dia - least, float(base.bore_size.cut_lower))
    below = (dia - most - 2.0 * base.finish_cut_mm if is_bored else reamed_at_once) - 2.0 * play
    found = ladders(
        base.shop,
        material=base.material,
        hole_below_dia_mm=below,
        depth_mm=-job.drill_end_mm,
        max_rpm=base.shop.lathe.chuck.max_rpm,
        units=base.units,
    )
    drilled = tuple(replace(job, drills=drills) for drills in found.chains)
    if is_bored:
        return drilled
    near = (job for job in drilled if job.drills[-1].kind is DrillKind.TWIST and 2.0 * job.hole_radius_mm >= dia - most)
    return tuple(replace(job, reaming=replace(reaming, core_dia_mm=2.0 * job.hole_radius_mm)) for job in near)
