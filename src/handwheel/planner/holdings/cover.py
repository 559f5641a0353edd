"""What presses on the finished back face from the tailstock's side: how large it may be."""

from __future__ import annotations

from msgspec import Struct

from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.part import BACK_INNER_EDGE, BACK_OUTER_EDGE
from handwheel.domain.said import said
from handwheel.planner.holdings.lands import back_radii_mm
from handwheel.planner.holdings.troubles import wall_too_narrow
from handwheel.planner.job import Job
from handwheel.planner.kinds.legs import legs_mm
from handwheel.planner.way import NoWay

COVER_SHARE = 0.4
"""Share of the flat of a face that washer or plate covers: the rest is left for the tip that touches the face."""
LEAST_COVER_MM = 0.5
"""Narrowest ring of face that is pressed on; common practice, no source."""


class Cover(Struct, frozen=True, kw_only=True):
    """Ring of the face that is pressed on: its inner radius, and the radius of what presses. [mm]"""

    inner_mm: float
    radius_mm: float


def cover_on_face(job: Job, means: HoldingMeans, *, what: str) -> Cover | NoWay:
    """Washer or plate that rests on the face next to the bore and leaves the outer edge free."""
    inner, outer = back_radii_mm(job)
    inner += _across_mm(job, BACK_INNER_EDGE)
    outer -= _across_mm(job, BACK_OUTER_EDGE)
    width = COVER_SHARE * (outer - inner)
    if width < LEAST_COVER_MM:
        return wall_too_narrow(
            job,
            means,
            why=f"the flat of the face is {said(outer - inner, job.units)} wide: {what} would press on "
            f"{said(width, job.units)} of it",
        )
    return Cover(inner_mm=inner, radius_mm=inner + width)


def _across_mm(job: Job, edge: str) -> float:
    return legs_mm(job, edge)[1] if job.part.surface(edge) is not None else 0.0
