"""Silhouettes of tools in the meridian plane, built from the few numbers a person can measure.

Tool frame: (0, 0) is the tip's reference. Turning, parting and grooving tools: where the line along the bed and the
line square to it that just touch the tip from below and from the left cross; boring tools the same from above; V-shaped
edge tools: the point of the V; form tools: the centre of their hollow quarter circle, where the lines that just touch
their lips cross. A left-hand tool is the mirror image, so its reference lies on the right of its tip.
z to the right, x outward. All pieces are convex.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise
from math import acos, ceil, cos, isclose, pi, radians, sin, tan

from handwheel.domain.contour import Point
from handwheel.domain.tools import Hand, PieceRole, Tool, ToolKind, ToolPiece

TRAILING_DEG = 8.0
"""Relief behind the tip of turning and boring tools; common practice, no source."""
STANDS_OUT_MM = 25.0
"""How far a toolpost tool stands out of its holder at least; common practice, no source."""
SHANK_BEHIND_MM = 5.0
"""How much of a thick shank shows between the ground edge and the holder; common practice, no source."""
HOLDER_MM = 40.0
"""Size of the toolpost block as drawn; common practice, no source."""
BLADE_EDGE_MM = 1.0
"""Height of the full-width part of a blade's tip; behind it the sides are relieved."""
BLADE_BEHIND_SLANT_MM = 0.25
"""How much of that part at least stays above the lagging corner of a slanted blade."""
BLADE_RELIEF_MM = 0.05
"""Relief of a blade on each side behind its tip; common practice, no source."""
CHORD_MM = 0.001
"""How far the chords of a rounded tip may lie inside its circle: below what the sheet is judged by."""
SQUARE_DEG = 90.0
_NARROW = 0.75
"""Share of the ground part's height that the trailing edge may climb to at its far end."""


def _rect(role: PieceRole, z0: float, z1: float, x0: float, x1: float) -> ToolPiece:
    return ToolPiece(role=role, points=(Point(z0, x0), Point(z1, x0), Point(z1, x1), Point(z0, x1)))


def _arc_steps(radius_mm: float) -> int:
    """Chords in a quarter of the tip's circle."""
    return max(6, ceil(pi / 4.0 / acos(max(0.0, 1.0 - CHORD_MM / radius_mm))))


def _nose(radius_mm: float, lead_deg: float) -> list[Point]:
    """Points of the rounded tip from the trailing to the leading edge; its circle touches z = 0 and x = 0.

    A leading edge that leans towards the work (``lead_deg`` below 0) leaves the circle before its leftmost point.
    """
    if radius_mm <= 0:
        return [Point(0.0, 0.0)]
    first, last = 270.0 + TRAILING_DEG, 180.0 - lead_deg
    steps = _arc_steps(radius_mm)
    # 270° (lowest x) and 180° (lowest z) exactly, so that both references are met
    quarter = [270.0 - 90.0 * i / steps for i in range(steps + 1)]
    angles = [first, *(a for a in quarter if a > last or isclose(a, last)), last]
    if isclose(angles[-2], last):
        angles.pop()
    return [Point(radius_mm + radius_mm * cos(radians(a)), radius_mm + radius_mm * sin(radians(a))) for a in angles]


def _pointed_in(tool: Tool, height_mm: float, width_mm: float) -> ToolPiece:
    """Edge piece of a turning tool: tip, leading edge up to a height, trailing edge out to a width."""
    lead = tool.entering_deg - SQUARE_DEG
    tip = _nose(tool.nose_radius_mm, lead)
    climb = tan(radians(TRAILING_DEG))
    width = min(width_mm, tip[0].z_mm + (_NARROW * height_mm - tip[0].radius_mm) / climb)
    behind = Point(width, tip[0].radius_mm + (width - tip[0].z_mm) * climb)
    above = Point(tip[-1].z_mm + (height_mm - tip[-1].radius_mm) * tan(radians(lead)), height_mm)
    return ToolPiece(role=PieceRole.EDGE, points=(*tip, above, Point(width, height_mm), behind))


def _both_ways(tool: Tool, height_mm: float) -> ToolPiece:
    """Edge piece of a neutral tool: the same leading edge to either hand."""
    lead = tool.entering_deg - SQUARE_DEG
    r = tool.nose_radius_mm
    left = [p for p in _nose(r, lead) if p.z_mm <= r + 1e-12]
    left.append(Point(left[-1].z_mm + (height_mm - left[-1].radius_mm) * tan(radians(lead)), height_mm))
    right = [Point(2.0 * r - p.z_mm, p.radius_mm) for p in left if p.z_mm < r - 1e-12]
    return ToolPiece(role=PieceRole.EDGE, points=(*left, *reversed(right)))


def _flipped(piece: ToolPiece) -> ToolPiece:
    return ToolPiece(role=piece.role, points=tuple(Point(p.z_mm, -p.radius_mm) for p in piece.points))


def _mirrored(piece: ToolPiece) -> ToolPiece:
    return ToolPiece(role=piece.role, points=tuple(Point(-p.z_mm, p.radius_mm) for p in piece.points))


def ground_height_mm(tool: Tool, full_mm: float) -> float:
    """Height to which a turning tool is ground: no more than half its shank is ground away by a leaning edge."""
    lean = tan(radians(abs(tool.entering_deg - SQUARE_DEG)))
    return min(full_mm, full_mm / 2.0 / lean) if lean > 0 else full_mm


def stands_out_mm(tool: Tool) -> float:
    """How far a turning or edge tool without a reach of its own stands out of its holder. [mm]"""
    ground = {ToolKind.EDGE_OUTSIDE: tool.width_mm / 2.0, ToolKind.FORM_OUTSIDE: tool.head_mm}
    return max(STANDS_OUT_MM, ground.get(tool.kind, tool.shank_mm) + SHANK_BEHIND_MM)


def _turning(tool: Tool) -> tuple[ToolPiece, ...]:
    height = ground_height_mm(tool, tool.shank_mm)
    out = stands_out_mm(tool)
    if tool.hand is Hand.NEUTRAL:
        edge, half = _both_ways(tool, height), tool.shank_mm / 2.0
        left, right = tool.nose_radius_mm - half, tool.nose_radius_mm + half
        holder = (tool.nose_radius_mm - HOLDER_MM / 2.0, tool.nose_radius_mm + HOLDER_MM / 2.0)
    else:
        edge = _pointed_in(tool, height, tool.shank_mm)
        lean = tan(radians(tool.entering_deg - SQUARE_DEG))
        left, right = max(0.0, height * lean), tool.shank_mm
        holder = (left, HOLDER_MM)
    pieces = (
        edge,
        _rect(PieceRole.BODY, left, right, height, out),
        _rect(PieceRole.HOLDER, *holder, out, out + HOLDER_MM),
    )
    return tuple(_mirrored(piece) for piece in pieces) if tool.hand is Hand.LEFT else pieces


def _boring(tool: Tool) -> tuple[ToolPiece, ...]:
    lean = tool.head_mm * tan(radians(tool.entering_deg - SQUARE_DEG))
    width = max(min(4.0, tool.bar_dia_mm), lean + 1.0)
    edge = _flipped(_pointed_in(tool, tool.head_mm, width))
    left = max(0.2, lean)
    if tool.hand is Hand.LEFT:  # it cuts on its way out: its edge looks to the right, the bar stands on both sides
        edge, left = _mirrored(edge), -width
    low, high = -tool.head_mm - tool.bar_dia_mm, -tool.head_mm
    return (
        edge,
        _rect(PieceRole.BODY, left, tool.reach_mm, low, high),
        _rect(PieceRole.HOLDER, tool.reach_mm, tool.reach_mm + HOLDER_MM, low - 8.0, high + 8.0),
    )


def blade_slant_mm(tool: Tool) -> float:
    """How far the left corner of a slanted blade lags behind the right one (0 if ground square). [mm]"""
    return tool.width_mm * tan(radians(max(0.0, SQUARE_DEG - tool.entering_deg)))


def blade_edge_mm(tool: Tool) -> float:
    """Height of the full-width part of a blade's tip. [mm]"""
    return max(BLADE_EDGE_MM, blade_slant_mm(tool) + BLADE_BEHIND_SLANT_MM)


def _blade(tool: Tool) -> tuple[ToolPiece, ...]:
    height = blade_edge_mm(tool)
    tip = (
        Point(0.0, blade_slant_mm(tool)),
        Point(tool.width_mm, 0.0),
        Point(tool.width_mm, height),
        Point(0.0, height),
    )
    return (
        ToolPiece(role=PieceRole.EDGE, points=tip),
        _rect(PieceRole.BODY, BLADE_RELIEF_MM, tool.width_mm - BLADE_RELIEF_MM, height, tool.reach_mm),
        _rect(PieceRole.HOLDER, -1.0, HOLDER_MM, tool.reach_mm, tool.reach_mm + HOLDER_MM),
    )


def _vee_in(tool: Tool) -> tuple[ToolPiece, ...]:
    half = tool.width_mm / 2.0
    out = stands_out_mm(tool)
    edge = ToolPiece(role=PieceRole.EDGE, points=(Point(0.0, 0.0), Point(half, half), Point(-half, half)))
    return (
        edge,
        _rect(PieceRole.BODY, -half, half, half, out),
        _rect(PieceRole.HOLDER, -half, HOLDER_MM, out, out + HOLDER_MM),
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


def hollow_points(radius_mm: float) -> tuple[Point, ...]:
    """Points of a quarter circle round (0, 0), from its end on the z axis to that on the x axis. [mm]

    Examples
    --------
    >>> points = hollow_points(0.5)
    >>> points[0], points[-1]
    (Point(z_mm=0.5, radius_mm=0.0), Point(z_mm=0.0, radius_mm=0.5))
    """
    steps = _arc_steps(radius_mm)
    inner = (pi / 2.0 * i / steps for i in range(1, steps))
    return (
        Point(radius_mm, 0.0),
        *(Point(radius_mm * cos(angle), radius_mm * sin(angle)) for angle in inner),
        Point(0.0, radius_mm),
    )


def _hollow(tool: Tool) -> tuple[ToolPiece, ...]:
    """Edge of a form tool as a fan of convex pieces, hollow to the left and below; lips as thick as width and head."""
    far = Point(tool.width_mm, tool.head_mm)
    arc = hollow_points(tool.hollow_radius_mm)
    rim = (Point(tool.width_mm, 0.0), *arc, Point(0.0, tool.head_mm))
    return tuple(ToolPiece(role=PieceRole.EDGE, points=(a, far, b)) for a, b in pairwise(rim))


def _form_in(tool: Tool) -> tuple[ToolPiece, ...]:
    out = stands_out_mm(tool)
    thick = max(tool.shank_mm, tool.width_mm)
    ground = (*_hollow(tool), _rect(PieceRole.BODY, 0.0, thick, tool.head_mm, out))
    if tool.hand is Hand.LEFT:
        ground = tuple(_mirrored(piece) for piece in ground)
    # of either hand, the shank stands at the left end of its block
    left = -thick if tool.hand is Hand.LEFT else 0.0
    return (*ground, _rect(PieceRole.HOLDER, left, left + HOLDER_MM, out, out + HOLDER_MM))


def _form_out(tool: Tool) -> tuple[ToolPiece, ...]:
    edge = tuple(_flipped(piece) for piece in _hollow(tool))
    if tool.hand is Hand.LEFT:
        edge = tuple(_mirrored(piece) for piece in edge)
    left = -tool.width_mm if tool.hand is Hand.LEFT else 0.0
    low, high = -tool.head_mm - tool.bar_dia_mm, -tool.head_mm
    return (
        *edge,
        _rect(PieceRole.BODY, left, tool.reach_mm, low, high),
        _rect(PieceRole.HOLDER, tool.reach_mm, tool.reach_mm + HOLDER_MM, low - 8.0, high + 8.0),
    )


_BUILDERS = {
    ToolKind.TURNING: _turning,
    ToolKind.BORING: _boring,
    ToolKind.PARTING: _blade,
    ToolKind.GROOVING: _blade,
    ToolKind.EDGE_OUTSIDE: _vee_in,
    ToolKind.EDGE_INSIDE: _vee_out,
    ToolKind.FORM_OUTSIDE: _form_in,
    ToolKind.FORM_INSIDE: _form_out,
}


@lru_cache(maxsize=4096)
def silhouette(tool: Tool) -> tuple[ToolPiece, ...]:
    """Convex pieces of a tool in its own frame: the measured outline if the shop gives one, else built by kind.

    Valid for tools in which `tool_sound.shape_trouble` finds nothing wrong; others give pieces that are not convex.
    """
    return tool.silhouette or _BUILDERS[tool.kind](tool)


def back_mm(tool: Tool) -> float:
    """Where the back of a tool's edge and body lies across from its tip; below 0 for what points out of a hole. [mm]"""
    pieces = (piece for piece in silhouette(tool) if piece.role is not PieceRole.HOLDER)
    return min(point.radius_mm for piece in pieces for point in piece.points)


def chord_error_mm(radius_mm: float) -> float:
    """Greatest distance between a rounded tip's circle and its chords. [mm]"""
    return radius_mm * (1.0 - cos(radians(45.0 / _arc_steps(radius_mm)))) if radius_mm > 0 else 0.0
