"""Whether the numbers of a tool, or its measured outline, can belong to one tool that can be drawn."""

from __future__ import annotations

from math import isclose, radians, sin

from handwheel.domain.tools import FORM_TOOLS, Hand, PieceRole, Tool, ToolKind, ToolPiece
from handwheel.geometry.region import area_mm2, hull, is_sound, polygon
from handwheel.geometry.tool_shapes import BLADE_RELIEF_MM, SQUARE_DEG, blade_edge_mm, ground_height_mm

LEAST_ENTERING_DEG, MOST_ENTERING_DEG = 45.0, 135.0
"""Entering angles that can be drawn; beyond, the tip is no turning tool's."""
_TIP_SHARE = 0.5
"""Share of the ground part's height that a rounded tip may take."""
_POLYGON = 3
_BLADES = (ToolKind.PARTING, ToolKind.GROOVING)
_VEES = (ToolKind.EDGE_OUTSIDE, ToolKind.EDGE_INSIDE)
LEAST_LIP_MM = 0.2
"""Thinnest lip beside the hollow of a form tool that is taken for one; common practice, no source."""


def shape_trouble(tool: Tool) -> str | None:
    """Why no silhouette of convex pieces can be drawn of a tool, and what to do; ``None`` if one can."""
    if tool.silhouette:
        return _measured_trouble(tool)
    lacking = [name for name, value in _needed(tool) if value <= 0]
    if lacking:
        return f"tool {tool.id!r}: a {tool.kind.value} tool needs {' and '.join(lacking)}; measure and enter it"
    if tool.kind in _VEES:
        return _vee_trouble(tool)
    if tool.kind in FORM_TOOLS:
        return _form_trouble(tool)
    if not LEAST_ENTERING_DEG <= tool.entering_deg <= MOST_ENTERING_DEG:
        return (
            f"tool {tool.id!r}: entering_deg = {tool.entering_deg:g}; allowed {LEAST_ENTERING_DEG:g} to "
            f"{MOST_ENTERING_DEG:g}: the angle between the leading edge and the bed, 90 or a little more for shoulders"
        )
    return _blade_trouble(tool) if tool.kind in _BLADES else _tip_trouble(tool)


def _needed(tool: Tool) -> tuple[tuple[str, float], ...]:
    """Lengths without which a tool of that kind has no shape, under their names in a shop file."""
    return {
        ToolKind.TURNING: (("shank", tool.shank_mm),),
        ToolKind.BORING: (("bar_diameter", tool.bar_dia_mm), ("head", tool.head_mm), ("reach", tool.reach_mm)),
        ToolKind.PARTING: (("width", tool.width_mm), ("reach", tool.reach_mm)),
        ToolKind.GROOVING: (("width", tool.width_mm), ("reach", tool.reach_mm)),
        ToolKind.EDGE_OUTSIDE: (("width", tool.width_mm),),
        ToolKind.EDGE_INSIDE: (("head", tool.head_mm), ("bar_diameter", tool.bar_dia_mm), ("reach", tool.reach_mm)),
        ToolKind.FORM_OUTSIDE: _hollow_needs(tool),
        ToolKind.FORM_INSIDE: (*_hollow_needs(tool), ("bar_diameter", tool.bar_dia_mm), ("reach", tool.reach_mm)),
    }[tool.kind]


def _hollow_needs(tool: Tool) -> tuple[tuple[str, float], ...]:
    return (("hollow_radius", tool.hollow_radius_mm), ("width", tool.width_mm), ("head", tool.head_mm))


def _measured_trouble(tool: Tool) -> str | None:
    for i, piece in enumerate(tool.silhouette, start=1):
        if not is_convex(piece):
            return (
                f"tool {tool.id!r}: piece {i} of its outline is hollow, crosses itself or has no area; split it into "
                "pieces that bulge everywhere, points in order round the outline"
            )
    if not any(piece.role is PieceRole.EDGE for piece in tool.silhouette):
        return f'tool {tool.id!r}: no piece of its outline is its edge; give the one that cuts role = "edge"'
    return None


def is_convex(piece: ToolPiece) -> bool:
    """Whether the points of a piece go once round an outline that bulges everywhere."""
    if len(set(piece.points)) < _POLYGON:
        return False
    region = polygon(piece.points)
    return is_sound(piece.points) and isclose(area_mm2(region), area_mm2(hull(piece.points)), rel_tol=1e-9)


def _blade_trouble(tool: Tool) -> str | None:
    if tool.entering_deg > SQUARE_DEG:
        return (
            f"tool {tool.id!r}: entering_deg = {tool.entering_deg:g}; a blade is ground square (90) or with its left "
            f"corner back ({LEAST_ENTERING_DEG:g} to 90): otherwise the pip stays on the ring"
        )
    if tool.hand is Hand.LEFT and tool.entering_deg < SQUARE_DEG:
        return f"tool {tool.id!r}: slanted to the left hand, a blade leaves the pip on the ring; grind it square"
    if tool.width_mm <= 2.0 * BLADE_RELIEF_MM:
        return f"tool {tool.id!r}: a blade {tool.width_mm:g} mm wide has no body left behind its edge; check the width"
    if tool.reach_mm <= blade_edge_mm(tool):
        return (
            f"tool {tool.id!r}: reaches {tool.reach_mm:g} mm and its slanted edge takes "
            f"{blade_edge_mm(tool):.2f} mm of that; check reach and entering_deg"
        )
    return None


def _tip_trouble(tool: Tool) -> str | None:
    if tool.kind is ToolKind.TURNING and tool.hand is Hand.NEUTRAL and tool.entering_deg >= SQUARE_DEG:
        return (
            f"tool {tool.id!r}: a neutral turning tool leans the same to either hand, so its entering_deg is below 90 "
            "(62.5 for an included angle of 55 degrees); enter what it has"
        )
    height = tool.head_mm if tool.kind is ToolKind.BORING else ground_height_mm(tool, tool.shank_mm)
    if tool.kind is ToolKind.BORING and tool.reach_mm <= 2.0 * max(tool.head_mm, 1.0):
        return f"tool {tool.id!r}: reaches {tool.reach_mm:g} mm, less than its own head is long; check reach and head"
    tallest = tool.nose_radius_mm * (1.0 + max(0.0, sin(radians(tool.entering_deg - SQUARE_DEG))))
    if tallest > _TIP_SHARE * height:
        part = "head" if tool.kind is ToolKind.BORING else "shank"
        return (
            f"tool {tool.id!r}: a nose radius of {tool.nose_radius_mm:g} mm does not go on a {part} of which "
            f"{height:.2f} mm are ground; check nose_radius and {part}"
        )
    return None


def _vee_trouble(tool: Tool) -> str | None:
    if tool.kind is ToolKind.EDGE_INSIDE and tool.reach_mm <= tool.head_mm:
        return f"tool {tool.id!r}: reaches {tool.reach_mm:g} mm, less than its own head; check reach and head"
    return None


def _form_trouble(tool: Tool) -> str | None:
    lip = min(tool.width_mm, tool.head_mm) - tool.hollow_radius_mm
    if lip < LEAST_LIP_MM:
        return (
            f"tool {tool.id!r}: width {tool.width_mm:g} mm and head {tool.head_mm:g} mm count over the hollow of "
            f"{tool.hollow_radius_mm:g} mm and one lip, and leave a lip of {lip:.2f} mm; at least {LEAST_LIP_MM:g} mm: "
            "measure them again"
        )
    if tool.hand is Hand.NEUTRAL:
        return (
            f"tool {tool.id!r}: a form tool rounds one corner, so its hand is right or left; right if the hollow looks "
            "to the headstock"
        )
    if tool.kind is ToolKind.FORM_INSIDE and tool.reach_mm <= tool.width_mm:
        return f"tool {tool.id!r}: reaches {tool.reach_mm:g} mm, less than its own width; check reach and width"
    return None
