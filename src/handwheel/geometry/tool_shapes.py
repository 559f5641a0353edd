"""Silhouettes of tools in the meridian plane, built from the few numbers a person can measure.

Tool frame: (0, 0) is the tip's reference: for turning, parting and grooving tools the corner of their lowest z and
lowest x; for boring tools of lowest z and highest x; for V-shaped edge tools the point of the V. z to the right, x
outward. All pieces are convex.
"""

from __future__ import annotations

from math import cos, radians, sin, tan

from handwheel.domain.contour import Point
from handwheel.domain.shop import PieceRole, Tool, ToolKind, ToolPiece

TRAILING_DEG = 8.0
"""Relief behind the tip of turning and boring tools; common practice, no source."""
STANDS_OUT_MM = 25.0
"""How far a toolpost tool stands out of its holder; common practice, no source."""
HOLDER_MM = 40.0
"""Size of the toolpost block as drawn; common practice, no source."""
BLADE_EDGE_MM = 1.0
"""Height of the full-width part of a blade's tip; behind it the sides are relieved."""
BLADE_RELIEF_MM = 0.05
"""Relief of a blade on each side behind its tip; common practice, no source."""
_ARC_STEPS = 6


def _rect(role: PieceRole, z0: float, z1: float, x0: float, x1: float) -> ToolPiece:
    return ToolPiece(role=role, points=(Point(z0, x0), Point(z1, x0), Point(z1, x1), Point(z0, x1)))


def _nose(radius_mm: float, lead_deg: float) -> list[Point]:
    """Points of the rounded tip from the trailing to the leading edge, lowest z and lowest x both 0."""
    if radius_mm <= 0:
        return [Point(0.0, 0.0)]
    first, last = radians(270.0 + TRAILING_DEG), radians(180.0 - lead_deg)
    # angles that include 270° (lowest x) and 180° (lowest z) exactly, so that both references are met
    angles = [first]
    angles += [radians(270.0 - 90.0 * i / _ARC_STEPS) for i in range(_ARC_STEPS + 1)]
    angles.append(last)
    return [Point(radius_mm + radius_mm * cos(a), radius_mm + radius_mm * sin(a)) for a in angles]


def _pointed_in(tool: Tool, height_mm: float, width_mm: float) -> ToolPiece:
    """Edge piece of a turning tool: tip, leading edge up to a height, trailing edge out to a width."""
    lead = tool.entering_deg - 90.0
    tip = _nose(tool.nose_radius_mm, lead)
    behind = Point(width_mm, tip[0].radius_mm + (width_mm - tip[0].z_mm) * tan(radians(TRAILING_DEG)))
    above = Point(tip[-1].z_mm + (height_mm - tip[-1].radius_mm) * tan(radians(lead)), height_mm)
    return ToolPiece(role=PieceRole.EDGE, points=(*tip, above, Point(width_mm, height_mm), behind))


def _flipped(piece: ToolPiece) -> ToolPiece:
    return ToolPiece(role=piece.role, points=tuple(Point(p.z_mm, -p.radius_mm) for p in piece.points))


def _turning(tool: Tool) -> tuple[ToolPiece, ...]:
    edge = _pointed_in(tool, tool.shank_mm, tool.shank_mm)
    left = max(0.0, tool.shank_mm * tan(radians(tool.entering_deg - 90.0)))
    return (
        edge,
        _rect(PieceRole.BODY, left, tool.shank_mm, tool.shank_mm, STANDS_OUT_MM),
        _rect(PieceRole.HOLDER, left, HOLDER_MM, STANDS_OUT_MM, STANDS_OUT_MM + HOLDER_MM),
    )


def _boring(tool: Tool) -> tuple[ToolPiece, ...]:
    edge = _flipped(_pointed_in(tool, tool.head_mm, min(4.0, tool.bar_dia_mm)))
    left = max(0.2, tool.head_mm * tan(radians(tool.entering_deg - 90.0)))
    low, high = -tool.head_mm - tool.bar_dia_mm, -tool.head_mm
    return (
        edge,
        _rect(PieceRole.BODY, left, tool.reach_mm, low, high),
        _rect(PieceRole.HOLDER, tool.reach_mm, tool.reach_mm + HOLDER_MM, low - 8.0, high + 8.0),
    )


def blade_slant_mm(tool: Tool) -> float:
    """How far the left corner of a slanted blade lags behind the right one (0 if ground square). [mm]"""
    return tool.width_mm * tan(radians(max(0.0, 90.0 - tool.entering_deg)))


def _blade(tool: Tool) -> tuple[ToolPiece, ...]:
    tip = (
        Point(0.0, blade_slant_mm(tool)),
        Point(tool.width_mm, 0.0),
        Point(tool.width_mm, BLADE_EDGE_MM),
        Point(0.0, BLADE_EDGE_MM),
    )
    return (
        ToolPiece(role=PieceRole.EDGE, points=tip),
        _rect(PieceRole.BODY, BLADE_RELIEF_MM, tool.width_mm - BLADE_RELIEF_MM, BLADE_EDGE_MM, tool.reach_mm),
        _rect(PieceRole.HOLDER, -1.0, HOLDER_MM, tool.reach_mm, tool.reach_mm + HOLDER_MM),
    )


def _vee_in(tool: Tool) -> tuple[ToolPiece, ...]:
    half = tool.width_mm / 2.0
    edge = ToolPiece(role=PieceRole.EDGE, points=(Point(0.0, 0.0), Point(half, half), Point(-half, half)))
    return (
        edge,
        _rect(PieceRole.BODY, -half, half, half, STANDS_OUT_MM),
        _rect(PieceRole.HOLDER, -half, HOLDER_MM, STANDS_OUT_MM, STANDS_OUT_MM + HOLDER_MM),
    )


def _vee_out(tool: Tool) -> tuple[ToolPiece, ...]:
    head = tool.head_mm
    edge = ToolPiece(role=PieceRole.EDGE, points=(Point(0.0, 0.0), Point(-head, -head), Point(head, -head)))
    low = -head - tool.bar_dia_mm
    return (
        edge,
        _rect(PieceRole.BODY, -head, tool.reach_mm, low, -head),
        _rect(PieceRole.HOLDER, tool.reach_mm, tool.reach_mm + HOLDER_MM, low - 8.0, -head + 8.0),
    )


_BUILDERS = {
    ToolKind.TURNING: _turning,
    ToolKind.BORING: _boring,
    ToolKind.PARTING: _blade,
    ToolKind.GROOVING: _blade,
    ToolKind.EDGE_OUTSIDE: _vee_in,
    ToolKind.EDGE_INSIDE: _vee_out,
}


def silhouette(tool: Tool) -> tuple[ToolPiece, ...]:
    """Convex pieces of a tool in its own frame: the measured outline if the shop gives one, else built by kind."""
    return tool.silhouette or _BUILDERS[tool.kind](tool)
