"""How true the top slide must stand: what its angle does to the diameters, in words for whoever sets it."""

from __future__ import annotations

from math import floor

from handwheel.domain.gauges import GaugeUse
from handwheel.domain.part import Aspect
from handwheel.domain.said import said_at_most
from handwheel.planner.job import Job
from handwheel.planner.way import Swing

TAPER_SHARE = 0.25
"""Share of a diameter's tolerance that may go to taper from the slide's angle; common practice, no source."""
FINEST_MM = 0.005
"""Least that is asked of an indicator over the check move; common practice, no source."""


def off_parallel_mm(job: Job, *, travel_mm: float) -> float:
    """How far across a slide that is to be parallel may take the tool over some travel. [mm]

    A cylinder of length L turned with it is larger at one end by twice the way across over L; that may take a quarter
    of the tolerance of any diameter, as a small angle gives it. Never less than an indicator tells.
    """
    cylinders = (*job.part.outer_cylinders, *job.part.inner_cylinders)
    allowed = (
        TAPER_SHARE * float(job.size(c.surface, Aspect.DIAMETER).band) / (2.0 * c.length_mm) * travel_mm
        for c in cylinders
    )
    return max(FINEST_MM, floor(min(allowed) / FINEST_MM) * FINEST_MM)


def trueing_words(job: Job, swing: Swing, *, travel_mm: float) -> str:
    """How to see that the top slide stands as it must: the scale at its base alone is too coarse."""
    has_indicator = any(GaugeUse.RUNOUT in gauge.uses for gauge in job.shop.gauges)
    if swing.angle_deg:
        by = "an indicator against the slide" if has_indicator else "the check move"
        return f"the scale is only near: go by {by}"
    most = said_at_most(off_parallel_mm(job, travel_mm=travel_mm), job.units, places=3)
    if has_indicator:
        return (
            "the scale is only near: indicator in the toolpost, along a ground bar held true or the tailstock's "
            f"barrel; over that travel it may change by {most} at most"
        )
    return (
        "the scale is only near, and the shop has no indicator: over that travel the slide may stray by "
        f"{most} at most; measure each finished diameter at both its ends"
    )
