"""What roughing a step leaves standing on its shoulder above the round in the corner: leaning flanks, ridges."""

from __future__ import annotations

from collections.abc import Sequence
from math import radians, sqrt, tan

from handwheel.domain.shop import Tool

SQUARE_DEG = 90.0
HEIGHTS = 50
"""Heights at which the ridge between two passes is reckoned."""


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

    >>> from dataclasses import replace
    >>> from handwheel.domain.motion import Edge
    >>> from handwheel.domain.shop import ToolKind
    >>> tool = Tool(id="t", name="t", kind=ToolKind.TURNING, edge=Edge.HSS, nose_radius_mm=0.2, entering_deg=90.0)
    >>> standing_mm(tool, (2.2,))
    0.0
    >>> round(standing_mm(replace(tool, entering_deg=95.0), (2.2,)), 3)
    0.175
    """
    nose, lean = tool.nose_radius_mm, tan(radians(max(0.0, tool.entering_deg - SQUARE_DEG)))

    def shape_mm(up_mm: float) -> float:
        """How far the edge stands off the shoulder at a height above the tip."""
        if up_mm >= nose:
            return (up_mm - nose) * lean
        return nose - sqrt(nose**2 - (nose - up_mm) ** 2)

    heights = [nose * step / HEIGHTS for step in range(HEIGHTS + 1)]
    rims = [shape_mm(depth) for depth in depths_mm]
    between = [min(shape_mm(up), shape_mm(depth + up)) for depth in depths_mm[1:] for up in heights]
    return max((*rims, *between), default=0.0)
