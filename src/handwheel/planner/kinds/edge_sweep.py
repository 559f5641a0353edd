"""Edges cut by sweeping the top slide at the angle of the bevel."""

from __future__ import annotations

from math import ceil, cos, hypot, inf, radians, sin, tan

from handwheel.domain.contour import Point
from handwheel.domain.holding import Holding
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.plan import Step
from handwheel.domain.remedies import AddToShop
from handwheel.domain.said import said, said_short
from handwheel.domain.tools import PieceRole, Tool, ToolKind
from handwheel.geometry.tool_shapes import silhouette
from handwheel.planner import offers
from handwheel.planner.cut_case import FeedDrive
from handwheel.planner.cut_limits import HEAD_ROOM_MM
from handwheel.planner.job import Job
from handwheel.planner.kinds.beside import BESIDE_BACK_MM, most_back_mm, needs_back_mm
from handwheel.planner.kinds.bevel import (
    MARK_ROOM_MM,
    Bevel,
    cross_of,
    edge_case,
    edge_tools,
    largest_dia_mm,
    room_off_mm,
    scale_remedies,
    swing_for,
)
from handwheel.planner.kinds.common import BAR_MARGIN_MM, no_cross_scale, planned
from handwheel.planner.kinds.edge_steps import depth_steps, steps_trouble
from handwheel.planner.kinds.slack import slack_trouble
from handwheel.planner.way import NoWay, Swing, Way, Zero
from handwheel.planner.writer import CLEAR_MM, Run, Writer, exact

OFF_BEVEL_MM = 0.3
"""How far a tool is drawn off a bevel in a bore before it goes back along it; common practice, no source."""
PAST_INSIDE_MM, PAST_OUTSIDE_MM = 0.6, 1.0
"""How far a sweep runs on past the bevel, in a bore and outside; common practice, no source."""
BY_EYE_MM = 0.6
"""How much further than planned a sweep that ends by eye may run without meeting anything."""


def sweep_way(
    job: Job, step: Step, holding: Holding, tool: Tool, shape: Bevel, *, after: tuple[str, ...]
) -> Way | NoWay:
    """The way of a boring or turning tool along a bevel, or why there is none."""
    swing = swing_for(job, step, shape)
    if isinstance(swing, str):
        return NoWay(
            step=step.id,
            code="edge-angle-not-settable",
            remedies=(*scale_remedies(job, step, shape), *edge_tools(job, shape)),
            tried=_swept(tool),
            why=swing,
            remedy="use an edge tool ground to that angle, or widen the limits of the edge",
        )
    if job.cross is None:
        return no_cross_scale(job, step, tool.name)
    # reach goes by the drawing's angle; the division may differ from it by less than the limits allow
    kiss = sweep_kiss(tool, shape, shape.angle_deg)
    most = _most_back_mm(job, holding, shape, kiss, swing)
    trouble = (
        _head_trouble(job, step, tool, shape)
        or steps_trouble(job, step, job.cross, angle_deg=float(swing.angle_deg), far=False, tried=_swept(tool))
        or _no_way_back(job, step, tool, shape, most_back_mm=most)
        or _no_way_off(job, step, tool, shape)
    )
    if trouble is not None:
        return trouble
    drive = FeedDrive(slide=job.shop.lathe.top)
    length = hypot(shape.along_mm, shape.across_mm)
    found = planned(
        job,
        step,
        edge_case(
            job,
            holding,
            tool,
            shape,
            drive,
            way_mm=CLEAR_MM + length + past_mm(shape),
            step_mm=job.cross.radius_per_step_mm,
        ),
    )
    if isinstance(found, NoWay):
        return found
    dz, dx = _leftward(shape.angle_deg, swing.leftward)
    sign = 1.0 if shape.inside else -1.0
    depth = shape.across_mm
    back = min(most, CLEAR_MM)
    start = Point(kiss.z_mm - dz * back, kiss.radius_mm - dx * back + sign * depth)
    run = back + length + past_mm(shape) + BY_EYE_MM
    end = Point(start.z_mm + dz * run, start.radius_mm + dx * run)
    return Way(
        id=f"{step.id}/{holding.id}/{tool.id}",
        step=step,
        holding=holding,
        tool=tool,
        swing=swing,
        path=(start, end),
        after=after,
        zeros_lost=Zero.ACROSS | Zero.ALONG,
        schedule=found,
        across=job.cross,
        reach_mm=shape.along_mm + CLEAR_MM + BAR_MARGIN_MM + abs(lead_mm(tool)),
        cut_ms=found.total_ms,
        extra_ms=round(1000 * job.shop.habits.touch_s),
    )


def _swept(tool: Tool) -> str:
    return f"{tool.name}, top slide swung"


def _no_way_back(job: Job, step: Step, tool: Tool, shape: Bevel, *, most_back_mm: float) -> NoWay | None:
    """Why the slack of the top slide cannot be taken up before a sweep, or ``None``."""
    top = job.shop.lathe.top
    if most_back_mm >= needs_back_mm(top):
        return None
    return NoWay(
        step=step.id,
        code="slack-leaves-no-room",
        remedies=edge_tools(job, shape),
        tried=_swept(tool),
        why=f"the top slide has {said(top.slack_mm, job.units)} of slack, and beside what covers the face the tool "
        f"can only go back {said(max(0.0, most_back_mm), job.units)}",
        remedy="cut the edge by the side of an edge tool, or take up the slack in the nut of the top slide",
    )


def _no_way_off(job: Job, step: Step, tool: Tool, shape: Bevel) -> NoWay | None:
    """Why a boring bar cannot be drawn off the bevel where its sweep ends, deepest in the hole, or ``None``."""
    if not shape.inside:
        return None
    deeper = (past_mm(shape) + BY_EYE_MM) * sin(radians(shape.angle_deg))
    return slack_trouble(job, step, tool, hole_dia_mm=2.0 * shape.corner.radius_mm - deeper)


def _head_trouble(job: Job, step: Step, tool: Tool, shape: Bevel) -> NoWay | None:
    """Why the head of a boring bar is too low to sweep a bevel, or ``None``.

    The corner that is cut away stands across·cos²θ above the swept line, measured across the axis (θ the bevel's angle
    from the axis); behind an edge no higher than that the bar itself meets it.
    """
    if tool.kind is not ToolKind.BORING or tool.silhouette:
        return None
    need = (shape.across_mm + MARK_ROOM_MM) * cos(radians(shape.angle_deg)) ** 2 + HEAD_ROOM_MM
    if tool.head_mm >= need:
        return None
    higher = ceil(10.0 * need) / 10.0
    return NoWay(
        step=step.id,
        code="edge-tool-too-small",
        tried=_swept(tool),
        why=f"its head is {said(tool.head_mm, job.units)} high and the edge needs {said(need, job.units)}: the "
        "bar would meet the corner that is to be cut away",
        remedy=f"an edge tool, or a boring bar with a head {said_short(higher, job.units)} high",
        remedies=(*edge_tools(job, shape), AddToShop(thing=offers.like(tool, head_mm=higher))),
    )


def _most_back_mm(job: Job, holding: Holding, shape: Bevel, kiss: Point, swing: Swing) -> float:
    """How far the tool may go back before it sweeps a bevel; without bound where the face is free. [mm]"""
    start = kiss.radius_mm - shape.across_mm
    return most_back_mm(holding, start, float(swing.angle_deg), job.shop.lathe.top, inside=shape.inside)


def past_mm(shape: Bevel) -> float:
    """How far a sweep runs on past the bevel: in a bore there may be a mandrel behind."""
    return PAST_INSIDE_MM if shape.inside else PAST_OUTSIDE_MM


def lead_mm(tool: Tool) -> float:
    """How far a tool's edge reaches along the bed, for the room that its holder needs. [mm]"""
    return max(p.z_mm for piece in silhouette(tool) if piece.role is PieceRole.EDGE for p in piece.points)


def _leftward(angle_deg: float, across: Motion) -> tuple[float, float]:
    angle = radians(angle_deg)
    return -cos(angle), sin(angle) if across is Motion.OUT else -sin(angle)


def sweep_kiss(tool: Tool, shape: Bevel, angle_deg: float) -> Point:
    """Where the tool's reference stands when its side, seen along the swept line, just meets the corner.

    The point of the edge that leads towards the work, square to the sweep, lies on the corner; so a rounded nose cuts
    the same bevel as a sharp one.
    """
    angle = radians(angle_deg)
    outward = (sin(angle), -cos(angle) if shape.inside else cos(angle))
    points = [p for piece in silhouette(tool) if piece.role is PieceRole.EDGE for p in piece.points]
    lead = min(points, key=lambda p: (p.z_mm * outward[0] + p.radius_mm * outward[1], p.z_mm))
    return Point(shape.corner.z_mm - lead.z_mm, shape.corner.radius_mm - lead.radius_mm)


def write_sweep(w: Writer, way: Way, shape: Bevel) -> None:
    """Acts of a sweep: tip to the corner, deeper by the cross-slide, then through by the top slide."""
    found, tool, swing, scale = way.schedule, way.tool, way.swing, cross_of(w)
    if found is None or tool is None or swing is None:
        msg = f"way {way.id}: has no schedule, tool or swing"
        raise ValueError(msg)
    kiss = sweep_kiss(tool, shape, float(swing.angle_deg))
    inwards = Motion.OUT if shape.inside else Motion.IN
    sign = 1.0 if shape.inside else -1.0
    w.run_at(found, cut_dia_mm=largest_dia_mm(shape), handle=Handle.TOP)
    w.approach(kiss.z_mm, kiss.radius_mm - sign * 1.0, "beside the corner, the tip level with the face")
    w.lock(Handle.CARRIAGE)
    w.touch(Handle.CROSS, inwards, way.step.id, "rounded tip of the tool", x_mm=kiss.radius_mm)
    w.zero(Handle.CROSS, way.step.id, 0.0)
    most = _most_back_mm(w.job, way.holding, shape, kiss, swing)
    w.retract(Handle.TOP, Motion.RIGHT, CLEAR_MM if most == inf else BESIDE_BACK_MM, at_most_mm=most)
    steps = depth_steps(w.job, way.step.id, scale, angle_deg=float(swing.angle_deg), far=False)
    if steps is None:
        msg = f"way {way.id}: no whole steps bring its legs within their limits"
        raise ValueError(msg)
    depth = steps * scale.step_mm
    w.edges_cut[way.step.id] = float(depth)
    place = depth if inwards is Motion.IN else -depth
    start_x = w.x_mm
    w.move_to(Handle.CROSS, place, inwards, depth_from_mm=start_x)
    w.start()
    back = abs(w.z_mm - kiss.z_mm) / cos(radians(float(swing.angle_deg)))
    run = back + hypot(float(depth) / tan(radians(float(swing.angle_deg))), float(depth)) + past_mm(shape)
    square = float(depth) * cos(radians(float(swing.angle_deg)))
    w.cut(
        Handle.TOP,
        Motion.LEFT,
        surface=way.step.id,
        depth_mm=square,
        schedule=found,
        run=Run(way_mm=exact(run)),
        note="until the tool runs clear",
    )
    # in a bore there is little room behind the bar: just off the bevel, then back along it
    off = OFF_BEVEL_MM if shape.inside else float(depth) + CLEAR_MM
    w.retract(Handle.CROSS, inwards.other, off, at_most_mm=room_off_mm(w, shape))
    if shape.inside:
        w.retract(Handle.TOP, Motion.RIGHT, run)
    w.forget_zeros()
