"""Legs of edges, near and through the allowance, and the wall that cuts before parting must leave."""

from __future__ import annotations

from handwheel.domain.holding import Side
from handwheel.domain.part import BACK_INNER_EDGE, BACK_OUTER_EDGE, Aspect
from handwheel.planner.forms import cut_radius_mm, radius_size
from handwheel.planner.job import POINT_GAP_MM, Job

GROOVE_ROOM_MM = 0.3
"""Depth of the groove beyond the point of the edge tool."""
LEAST_WEB_MM = 0.5
LEAST_WEB_SHARE = 0.25
"""What two cuts before parting must leave of the wall: half a millimetre and a quarter of it (common practice)."""


def legs_mm(job: Job, edge: str) -> tuple[float, float]:
    """Finished legs (along, across) of an edge, as it is to be cut; of a round its radius twice."""
    radius = cut_radius_mm(job, edge)
    if radius is not None:
        return radius, radius
    return (
        float(job.size(edge, Aspect.LEG_AXIAL).cut_target),
        float(job.size(edge, Aspect.LEG_RADIAL).cut_target),
    )


def far_legs_mm(job: Job, edge: str) -> tuple[float, float]:
    """Legs of a far edge cut from the bar side: run through the allowance at the same slope.

    The finished leg along grows by the allowance, the leg across by the allowance times the slope. Beside a round the
    lip of the tool goes straight through the allowance.
    """
    along, across = legs_mm(job, edge)
    grown = along + job.back_allowance_mm
    if radius_size(job, edge) is not None:
        return grown, across
    return grown, grown * across / along


def groove_depth_mm(job: Job) -> float:
    """Depth of the groove: the far edge through its allowance, the point's room, a little more."""
    return far_legs_mm(job, BACK_OUTER_EDGE)[1] + POINT_GAP_MM + GROOVE_ROOM_MM


def web_mm(job: Job, *, inner_edge_too: bool) -> float:
    """Wall left behind the ring while it still hangs on the bar."""
    wall = job.outside_radius_mm - job.bore_radius_mm - groove_depth_mm(job)
    far = job.part.surface(BACK_INNER_EDGE) is not None and not job.stack(Side.BACK, inner=True)
    if inner_edge_too and far:
        wall -= far_legs_mm(job, BACK_INNER_EDGE)[1] + POINT_GAP_MM
    return wall


def web_needed_mm(job: Job) -> float:
    """Least wall that must be left before parting, lest it ends as a knife edge."""
    return max(LEAST_WEB_MM, LEAST_WEB_SHARE * (job.outside_radius_mm - job.bore_radius_mm))
