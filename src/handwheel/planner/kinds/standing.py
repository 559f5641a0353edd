"""What roughing a step leaves standing on its shoulder above the round in the corner: leaning flanks, ridges."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, inf, radians, sin, sqrt, tan

from handwheel.domain.tools import Tool
from handwheel.geometry.tool_shapes import TRAILING_DEG
from handwheel.planner.feet import Foot
from handwheel.planner.ledges import Ledge

SQUARE_DEG = 90.0
HEIGHTS = 50
"""Heights at which the ridge between two passes is reckoned."""
SHORT_MM = 0.1
"""Room beside corner and tip below which a step is short; common practice, no source."""
GAUGE_SHARES = (0.7, 0.85)
"""A gauge rests on the outer part of a shoulder, clear of the round in the corner: shares of its height."""


def standing_mm(tool: Tool, depths_mm: Sequence[float]) -> float:
    """How much more than was to be left there stands on a shoulder at most, once it has been roughed. [mm]

    Every pass ends in the shape of the tool: the round of its nose, above it an edge that leans away from the shoulder.
    The pass after it takes off what it reaches. Exact geometry for passes that end at one place.

    Parameters
    ----------
    tool : Tool
        Tool that roughed the step.
    depths_mm : sequence of float
        Depth of each pass, on the radius. [mm]

    Examples
    --------
    A square edge leaves nothing above its nose, 5° in a pass 2.2 mm deep leave 0.175 mm at the rim:

    >>> from msgspec.structs import replace
    >>> from handwheel.domain.motion import Edge
    >>> from handwheel.domain.tools import ToolKind
    >>> tool = Tool(id="t", name="t", kind=ToolKind.TURNING, edge=Edge.HSS, nose_radius_mm=0.2, entering_deg=90.0)
    >>> standing_mm(tool, (2.2,))
    0.0
    >>> round(standing_mm(replace(tool, entering_deg=95.0), (2.2,)), 3)
    0.175
    """
    heights = [tool.nose_radius_mm * step / HEIGHTS for step in range(HEIGHTS + 1)]
    rims = [edge_off_mm(tool, depth) for depth in depths_mm]
    between = [min(edge_off_mm(tool, up), edge_off_mm(tool, depth + up)) for depth in depths_mm[1:] for up in heights]
    return max((*rims, *between), default=0.0)


def edge_off_mm(tool: Tool, up_mm: float) -> float:
    """How far a leading edge stands off the shoulder that its side just meets, at a height above the tip. [mm]"""
    nose, lean = tool.nose_radius_mm, tan(radians(max(0.0, tool.entering_deg - SQUARE_DEG)))
    if up_mm >= nose:
        return (up_mm - nose) * lean
    return nose - sqrt(nose**2 - (nose - up_mm) ** 2)


def ridge_beside_mm(tool: Tool, *, leave_mm: float, corner_mm: float, length_mm: float = inf) -> float:
    """Ridge that facing a shoulder leaves on the cylinder, clear of the round in the corner, for its first last cut.

    Roughing ended ``leave_mm`` in front of the shoulder in the round of its nose, and the edge that trails the tip
    climbs away from there. Within ``corner_mm`` of the shoulder it belongs to the corner; but of a step so short,
    ``length_mm``, that the tip is over its corner at once, no more belongs there than the round of the tip. Exact
    geometry for one tool that does both. [mm]

    Examples
    --------
    >>> from handwheel.domain.motion import Edge
    >>> from handwheel.domain.tools import ToolKind
    >>> tool = Tool(id="t", name="t", kind=ToolKind.TURNING, edge=Edge.HSS, nose_radius_mm=0.2, entering_deg=90.0)
    >>> round(ridge_beside_mm(tool, leave_mm=0.5, corner_mm=0.2), 3)
    0.05
    >>> ridge_beside_mm(tool, leave_mm=0.2, corner_mm=0.2)
    0.0
    >>> round(ridge_beside_mm(tool, leave_mm=0.5, corner_mm=0.5, length_mm=0.9), 3)
    0.05
    """
    nose = tool.nose_radius_mm
    is_short = length_mm < corner_mm + 2.0 * nose + SHORT_MM
    if leave_mm <= (nose if is_short else corner_mm):
        return 0.0
    beyond = (nose * step / HEIGHTS for step in range(HEIGHTS + 1))
    return max(min(_round_mm(nose, nose - at), trailing_mm(tool, leave_mm + at - nose)) for at in beyond)


def trailing_mm(tool: Tool, off_mm: float) -> float:
    """How high above its tip a tool's edge stands behind it, ``off_mm`` to the right of the lowest spot. [mm]"""
    nose, climb = tool.nose_radius_mm, radians(TRAILING_DEG)
    ends = nose * sin(climb)
    if off_mm <= ends:
        return _round_mm(nose, max(0.0, off_mm))
    return nose * (1.0 - cos(climb)) + (off_mm - ends) * tan(climb)


def _round_mm(nose_mm: float, off_mm: float) -> float:
    """How high a round stands above its lowest spot, beside it. [mm]"""
    return nose_mm - sqrt(nose_mm**2 - off_mm**2)


def shoulder_depth_mm(feet: Sequence[Foot], radius_mm: float, *, inner: bool) -> float:
    """Depth of a shoulder at a radius, from where the passes on it ended. [mm]

    What went across the bed left its flat, and the round of its nose where it stopped; what came along it left the
    shape of its edge. The deeper one counts.
    """
    found = []
    for foot in feet:
        up = foot.tip_mm - radius_mm if inner else radius_mm - foot.tip_mm
        if up >= 0.0:
            off = 0.0 if foot.is_faced and up >= foot.tool.nose_radius_mm else edge_off_mm(foot.tool, up)
            found.append(foot.depth_mm - off)
    return max(found)


def gauge_depth_mm(feet: Sequence[Foot], ledge: Ledge) -> float:
    """What a depth gauge reads on a shoulder: where it is deepest, on the part away from the corner. [mm]"""
    low, high = GAUGE_SHARES
    height = ledge.deeper_radius_mm - ledge.radius_mm
    shares = (low + (high - low) * step / HEIGHTS for step in range(HEIGHTS + 1))
    return max(shoulder_depth_mm(feet, ledge.radius_mm + share * height, inner=ledge.inner) for share in shares)
