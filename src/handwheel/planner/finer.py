"""Diameters whose last cuts had better go by the swung top slide although whole steps would do."""

from __future__ import annotations

from collections.abc import Iterable

from handwheel.domain.motion import Handle
from handwheel.domain.part import BORE
from handwheel.domain.plan import Stage, Step
from handwheel.planner.job import Job
from handwheel.planner.kinds.common import diameter_settings, fine_setting
from handwheel.planner.kinds.rounds import SWUNG_STEP_MM, round_size
from handwheel.planner.way import NoWay, Way

SURE_SHARE = 0.5
"""A step of the dial may be this share of a tolerance: wherever the steps fall, a quarter of it is left on either side
for what a last cut scatters. Ours, no source; rehearsed: a step of 0.05 mm on 0.052 mm comes out good in 35 of 100
cases on the demo's inch lathe, in 99 by fine feed (docs/theory/dials.md)."""


def finer_surfaces(job: Job, ways: Iterable[Way]) -> frozenset[str]:
    """Cylinders set by whole steps that are too coarse to be sure, on a lathe whose top slide swings for fine feed.

    Not those up to a shoulder whose corner has no room for last cuts that end a little short of it, as those of a swung
    slide do; ``ways`` are those of the order that goes by whole steps.
    """
    outer = {one.surface for one in job.part.outer_cylinders if _is_unsure(job, one.surface, inside=False)}
    inner = {one.surface for one in job.part.inner_cylinders if _is_unsure(job, one.surface, inside=True)}
    full = {way.step.surface for way in ways if not _has_room(job, way)}
    return frozenset((outer | inner) - full)


def _has_room(job: Job, way: Way) -> bool:
    """Whether a drawing bears in its corner what last cuts up to a shoulder leave standing as high as they are deep."""
    if way.step.stage is not Stage.FINISH or job.ledge(way.step.surface) is None or way.tool is None:
        return True
    stands_mm = 2.0 * job.last_cut(way.step.surface).usual_mm
    return max(stands_mm, way.tool.nose_radius_mm) + SWUNG_STEP_MM <= job.part.corner_radius_mm


def _is_unsure(job: Job, surface: str, *, inside: bool) -> bool:
    if surface == BORE and (job.reaming is not None or job.sized_by_drill):
        return False
    size = round_size(job, surface)
    stub = Step(id=surface, kind="", surface=surface, stage=Stage.FINISH, zones=())
    found, fine = diameter_settings(job, stub, size, inside=inside), fine_setting(job, inside=inside)
    if isinstance(found, NoWay) or found.scale.handle is not Handle.CROSS or fine is None:
        return False
    most = SURE_SHARE * float(size.band)
    return found.scale.dia_per_step_mm > most >= fine.scale.dia_per_step_mm
