"""Rounded edges: which form tools of a shop have the radius, which radius is then cut."""

from __future__ import annotations

from math import pi

from handwheel.domain.part import BACK_INNER_EDGE, FRONT_INNER_EDGE, Aspect
from handwheel.domain.size import Size
from handwheel.domain.tools import Tool, ToolKind
from handwheel.planner.job import Job

SAME_RADIUS_MM = 1e-6
"""Radii that differ by no more are one."""


def form_kind(edge: str) -> ToolKind:
    """Kind of form tool that rounds an edge."""
    return ToolKind.FORM_INSIDE if edge in (FRONT_INNER_EDGE, BACK_INNER_EDGE) else ToolKind.FORM_OUTSIDE


def radius_size(job: Job, edge: str) -> Size | None:
    """Size of the radius of an edge; ``None`` for an edge that is no round."""
    feature = job.part.feature(edge, Aspect.RADIUS)
    return None if feature is None else feature.size


def form_tools(job: Job, edge: str) -> tuple[Tool, ...]:
    """Form tools of either hand whose hollow is within the limits of a round, those nearest to what is drawn alone."""
    size = radius_size(job, edge)
    if size is None:
        return ()
    fit = [
        tool
        for tool in job.shop.tools
        if tool.kind is form_kind(edge) and float(size.cut_lower) <= tool.hollow_radius_mm <= float(size.cut_upper)
    ]
    off = {tool.id: abs(tool.hollow_radius_mm - float(size.cut_target)) for tool in fit}
    nearest = min(off.values(), default=0.0)
    return tuple(tool for tool in fit if off[tool.id] <= nearest + SAME_RADIUS_MM)


def cut_radius_mm(job: Job, edge: str) -> float | None:
    """Radius that will be cut on an edge, as the tool has it or else as drawn; ``None`` if it is no round. [mm]"""
    size = radius_size(job, edge)
    if size is None:
        return None
    tools = form_tools(job, edge)
    return tools[0].hollow_radius_mm if tools else float(size.cut_target)


def chip_width_mm(along_mm: float, radius_mm: float) -> float:
    """Width of the chip of a whole round: its arc, and for a far edge the lip in the allowance behind it. [mm]"""
    return pi / 2.0 * radius_mm + (along_mm - radius_mm)
