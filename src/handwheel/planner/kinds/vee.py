"""Edge tools: how long their sides are, and how near a corner the point must come to cut the whole edge."""

from __future__ import annotations

from math import ceil, inf

from msgspec.structs import replace

from handwheel.domain.part import Units
from handwheel.domain.plan import Step
from handwheel.domain.remedies import AddToShop
from handwheel.domain.said import said, said_short
from handwheel.domain.tools import Tool, ToolKind
from handwheel.planner.kinds.beside import COVER_CLEAR_MM
from handwheel.planner.way import NoWay

VEE_UP_MM = 1.0
"""How far in front of a corner the point of an edge tool stands, by eye, before its side is brought to the corner."""
NEAREST_UP_MM = 0.2
"""The same for a small tool: nearer the eye does not tell which side of the corner the point is."""


def vee_side_mm(tool: Tool) -> float:
    """How far along the bed, and across it, a side of the V reaches from its point. [mm]"""
    return tool.head_mm if tool.kind is ToolKind.EDGE_INSIDE else tool.width_mm / 2.0


def vee_up_mm(tool: Tool, *, leg_mm: float, room_mm: float = inf) -> float:
    """How far in front of a corner the point stands: as usual, or as near as a short side needs for a leg. [mm]

    ``room_mm`` is the room across between the corner and what covers the face: the point stays clear of that.
    """
    side = inf if tool.silhouette else vee_side_mm(tool)
    return min(VEE_UP_MM, side - leg_mm, max(NEAREST_UP_MM, room_mm - leg_mm - COVER_CLEAR_MM))


def vee_trouble(step: Step, tool: Tool, *, leg_mm: float, gap_mm: float, units: Units) -> NoWay | None:
    """Why the sides of an edge tool are too short for a leg with its point a gap off the corner, or ``None``."""
    need = leg_mm + gap_mm
    side = vee_side_mm(tool)
    if tool.silhouette or side >= need:
        return None
    larger = ceil(10.0 * (leg_mm + max(gap_mm, VEE_UP_MM))) / 10.0
    inside = tool.kind is ToolKind.EDGE_INSIDE
    fitting = replace(
        tool,
        id=f"{tool.id}-side-{larger:g}",
        width_mm=2.0 * larger,
        head_mm=larger if inside else tool.head_mm,
    )
    return NoWay(
        step=step.id,
        code="edge-tool-too-small",
        tried=tool.name,
        why=f"its sides are {said(side, units)} high and the edge with the gap at its point needs {said(need, units)}",
        remedy=f"an edge tool with sides {said_short(larger, units)} high",
        remedies=(AddToShop(thing=fitting),),
    )
