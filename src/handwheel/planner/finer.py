"""Diameters whose last cuts had better go by the swung top slide although whole steps would do."""

from __future__ import annotations

from handwheel.domain.motion import Handle
from handwheel.domain.part import BORE, OUTSIDE
from handwheel.domain.plan import Stage, Step
from handwheel.planner.job import Job
from handwheel.planner.kinds.common import diameter_settings, fine_setting
from handwheel.planner.kinds.rounds import round_size
from handwheel.planner.way import NoWay

SURE_SHARE = 0.5
"""A step of the dial may be this share of a tolerance: wherever the steps fall, a quarter of it is left on either side
for what a last cut scatters. Ours, no source; rehearsed: steps of 0.04 mm on 0.052 mm come out good in 58 of 100 cases,
fine feed in nearly all (docs/theory/dials.md)."""


def finer_surfaces(job: Job) -> frozenset[str]:
    """Cylinders set by whole steps that are too coarse to be sure, on a lathe whose top slide swings for fine feed.

    Not those up to a shoulder: last cuts by a swung slide end a little short of it and leave a step in its corner.
    """
    through = {OUTSIDE: False, BORE: True}
    return frozenset(surface for surface, inside in through.items() if _is_unsure(job, surface, inside=inside))


def _is_unsure(job: Job, surface: str, *, inside: bool) -> bool:
    if job.ledge(surface) is not None or (surface == BORE and (job.reaming is not None or job.sized_by_drill)):
        return False
    size = round_size(job, surface)
    stub = Step(id=surface, kind="", surface=surface, stage=Stage.FINISH, zones=())
    found, fine = diameter_settings(job, stub, size, inside=inside), fine_setting(job, inside=inside)
    if isinstance(found, NoWay) or found.scale.handle is not Handle.CROSS or fine is None:
        return False
    most = SURE_SHARE * float(size.band)
    return found.scale.dia_per_step_mm > most >= fine.scale.dia_per_step_mm
