"""What to know about a bar before it is cut: is it long enough, how much of it becomes chips."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil, floor, pi

from handwheel.domain.bars import BarShape
from handwheel.domain.findings import Finding, Severity
from handwheel.domain.part import BORE
from handwheel.domain.said import said, said_short
from handwheel.planner.bar_use import bar_yield, chip_share, each_mm
from handwheel.planner.job import Job

CLEAN_UP_MM = 0.3
"""Least thickness that boring must find on a tube beyond the two last cuts; common practice, no source."""
MOSTLY = 0.5
"""Share of the bar in chips from which another start is worth a word."""
TUBE_STEP_MM = 0.5
"""Steps in which the bore of a tube is suggested."""
TREPAN_SLOT_MM = 3.0
"""Width of slot that a trepanning tool cuts; common practice, no source."""
TREPAN_DEPTH_SLOTS = 5.0
"""Greatest depth of a trepanned slot, in its widths: deeper, chips jam. Common practice, no source."""
LEAST_CORE_MM = 6.0
"""A core thinner than this is not worth keeping; common practice, no source."""


def bar_findings(job: Job) -> Iterable[Finding]:
    """Findings about the bar of a job."""
    yield from _quantity(job)
    yield from _shape(job)
    yield from _chips(job)


def _quantity(job: Job) -> Iterable[Finding]:
    wanted, found = job.part.quantity, bar_yield(job)
    if wanted <= found.parts:
        return
    bars = ceil(wanted / found.parts) if found.parts else 0
    yield Finding(
        code="bar-too-short-for-quantity",
        severity=Severity.WARNING,
        where="load",
        problem=f"{wanted} parts are wanted and bar {job.bar.id}, {said(job.bar.length_mm, job.units, places=0)}, "
        f"gives {found.parts}: {said(each_mm(job), job.units)} each with blade and facing on both sides, the grip "
        f"on top; {100 * found.lost_share:.0f} % of its length is in no part",
        remedy=f"have {bars} such bars ready" if bars else "take a longer bar",
        source_key="COMMON",
    )


def _shape(job: Job) -> Iterable[Finding]:
    if job.bar.shape is not BarShape.HEXAGON:
        return
    yield Finding(
        code="interrupted-cut",
        severity=Severity.NOTE,
        where="rough-outside",
        problem=f"hexagon bar: until Ø {said(job.bar.dia_mm, job.units)} is reached the edge meets six corners in each "
        "turn, and every one of them is a blow",
        remedy="a tough edge (HSS, or a tough grade of carbide) with a rounded nose; the feed at the low end; what "
        "need not move locked",
        source_key="COMMON",
    )


def _chips(job: Job) -> Iterable[Finding]:
    taken = each_mm(job)
    share = chip_share(job.part, section_mm2=job.bar.section_mm2, taken_mm=taken)
    if share <= MOSTLY:
        return
    ways = tuple(_other_starts(job, taken))
    if not ways:
        return
    yield Finding(
        code="mostly-swarf",
        severity=Severity.NOTE,
        where="load",
        problem=f"{100 * share:.0f} % of the metal used for each part becomes chips, by volume",
        remedy="; or ".join(ways),
        source_key="COMMON",
    )


def _other_starts(job: Job, taken_mm: float) -> Iterable[str]:
    """What would leave more of the bar whole: a tube, or a core cut out in one piece."""
    hole = 2.0 * (job.bore_radius_mm - job.leaves_mm(BORE) - CLEAN_UP_MM)
    bore = floor(hole / TUBE_STEP_MM) * TUBE_STEP_MM
    dia = 2.0 * job.grip_radius_mm
    if bore > 2.0 * job.bar_bore_radius_mm + TUBE_STEP_MM:
        share = chip_share(job.part, section_mm2=pi / 4.0 * (dia**2 - bore**2), taken_mm=taken_mm)
        yield (
            f"a tube of Ø {said_short(dia, job.units)} with a bore of up to {said_short(bore, job.units)} would "
            f"leave {100 * share:.0f} % in chips and spare the drilling"
        )
    core = 2.0 * (job.bore_radius_mm - job.leaves_mm(BORE) - TREPAN_SLOT_MM)
    deep = -job.kerf_end_mm
    if not job.bar_bore_radius_mm and core >= LEAST_CORE_MM and deep <= TREPAN_DEPTH_SLOTS * TREPAN_SLOT_MM:
        yield (
            f"trepanning with a slot of {said_short(TREPAN_SLOT_MM, job.units)} would save a core of Ø "
            f"{said(core, job.units, places=0)}; it needs a tool ground for the curve, slow speed, oil, and goes "
            f"no deeper than about {TREPAN_DEPTH_SLOTS:g} slot widths"
        )
