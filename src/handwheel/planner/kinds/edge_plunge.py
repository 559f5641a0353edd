"""Edges cut by the side of an edge tool."""

from __future__ import annotations

from math import cos, hypot, inf, radians

from msgspec.structs import replace

from handwheel.domain.contour import Point
from handwheel.domain.holding import Holding, Side
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.part import (
    BACK_OUTER_EDGE,
    BORE,
    FRONT_INNER_EDGE,
)
from handwheel.domain.plan import Step
from handwheel.domain.said import said
from handwheel.domain.tools import Tool
from handwheel.planner.cut_case import FeedDrive
from handwheel.planner.dialing import whole_place
from handwheel.planner.job import POINT_GAP_MM, Job
from handwheel.planner.kinds.beside import beside_cover_mm
from handwheel.planner.kinds.bevel import (
    GROOVE,
    MARK_ROOM_MM,
    PART_OFF,
    SAME_LEG_MM,
    VEE_HALF_DEG,
    Bevel,
    cross_of,
    edge_case,
    largest_dia_mm,
    room_off_mm,
    scale_remedies,
)
from handwheel.planner.kinds.bore_end import bore_end_trouble
from handwheel.planner.kinds.common import BAR_MARGIN_MM, no_cross_scale, planned
from handwheel.planner.kinds.edge_steps import depth_steps, steps_trouble
from handwheel.planner.kinds.legs import GROOVE_ROOM_MM, web_mm, web_needed_mm
from handwheel.planner.kinds.slack import slack_trouble
from handwheel.planner.kinds.touching import ensure_zeros, to_z
from handwheel.planner.kinds.vee import NEAREST_UP_MM, VEE_UP_MM, vee_trouble, vee_up_mm
from handwheel.planner.way import PARALLEL_SWING, NoWay, Way, Zero
from handwheel.planner.writer import CLEAR_MM, Run, Writer


def plunge_point(shape: Bevel, *, far: bool, up_mm: float = VEE_UP_MM) -> Point:
    """Where the point of an edge tool stands when its side just meets the corner, ``up_mm`` in front of a front one."""
    up = -POINT_GAP_MM if far else up_mm
    sign = 1.0 if shape.inside else -1.0
    return Point(shape.corner.z_mm + up, shape.corner.radius_mm + sign * abs(up))


def plunge_way(
    job: Job, step: Step, holding: Holding, tool: Tool, shape: Bevel, *, far: bool, after: tuple[str, ...]
) -> Way | NoWay:
    """The way of an edge tool's side into a corner, or why there is none."""
    scale = job.cross
    if scale is None:
        return no_cross_scale(job, step, tool.name)
    trouble = _not_square(job, step, tool, shape) or steps_trouble(
        job, step, scale, angle_deg=VEE_HALF_DEG, far=far, tried=tool.name
    )
    if trouble is None and shape.inside:
        trouble = slack_trouble(job, step, tool, hole_dia_mm=2.0 * shape.corner.radius_mm + shape.across_mm)
    if trouble is not None:
        return trouble
    leg = shape.across_mm + max(MARK_ROOM_MM, scale.radius_per_step_mm / 2.0)
    inner_far = far and shape.inside
    case = edge_case(
        job,
        holding,
        tool,
        shape,
        FeedDrive(slide=job.shop.lathe.cross),
        way_mm=shape.across_mm,
        step_mm=scale.radius_per_step_mm,
    )
    found = planned(job, step, replace(case, width_mm=_vee_chip_mm(leg)) if inner_far else case)
    if isinstance(found, NoWay):
        return found
    if (
        small := vee_trouble(step, tool, leg_mm=leg, gap_mm=POINT_GAP_MM if far else NEAREST_UP_MM, units=job.units)
    ) is not None:
        return small
    sign = 1.0 if shape.inside else -1.0
    up = vee_up_mm(tool, leg_mm=leg, room_mm=beside_cover_mm(holding, shape.corner.radius_mm, inside=shape.inside))
    kiss = plunge_point(shape, far=far, up_mm=up)
    end = Point(kiss.z_mm, kiss.radius_mm + sign * shape.across_mm)
    clear = shape.corner.radius_mm - sign * CLEAR_MM
    path = (
        (Point(CLEAR_MM + tool.width_mm, clear), Point(kiss.z_mm, clear), end)
        if shape.inside
        else (Point(kiss.z_mm, clear), end)
    )
    if inner_far:  # its side may touch the rim of a shoulder (`vee_rim`), so that must be where it will stay
        after = (*after, *(ledge.shoulder for ledge in job.stack(Side.FRONT, inner=True)))
        if (blunt := bore_end_trouble(job, step, tool, end=end)) is not None:
            return blunt
    return Way(
        id=f"{step.id}/{holding.id}/{tool.id}",
        step=step,
        holding=holding,
        tool=tool,
        swing=PARALLEL_SWING if inner_far else None,
        path=path,
        after=after,
        never_after=_never_after(job, far=far, inside=shape.inside),
        zeros_needed=Zero.ALONG | Zero.ACROSS if inner_far else Zero.NONE,
        zeros_lost=Zero.NONE if inner_far else Zero.ACROSS | Zero.ALONG,
        schedule=found,
        across=scale,
        reach_mm=CLEAR_MM + BAR_MARGIN_MM + (job.width_mm if inner_far else shape.along_mm) + tool.head_mm,
        cut_ms=found.total_ms,
        extra_ms=round(1000 * (0.0 if inner_far else job.shop.habits.touch_s)),
    )


def _vee_chip_mm(leg_mm: float) -> float:
    """Width of the chip where the bore goes on behind the corner: the V sinks into its wall with both sides. [mm]

    The diagonal of what it takes, twice as long as deep: a little more than the section of both sides together bears.
    """
    deep = leg_mm + POINT_GAP_MM
    return hypot(2.0 * deep, deep)


def _not_square(job: Job, step: Step, tool: Tool, shape: Bevel) -> NoWay | None:
    """Why the side of an edge tool does not leave these legs, or ``None``."""
    if abs(shape.along_mm - shape.across_mm) <= SAME_LEG_MM:
        return None
    return NoWay(
        step=step.id,
        code="edge-not-45-degrees",
        remedies=scale_remedies(job, step, shape),
        tried=tool.name,
        why=f"the edge is {shape.angle_deg:.0f}° and the tool's sides are 45°",
        remedy="sweep the top slide",
    )


def _never_after(job: Job, *, far: bool, inside: bool) -> tuple[str, ...]:
    """Steps after which a plunge may not follow: parting, and a groove that with it would leave a knife edge."""
    if not far:
        return ()
    if not inside:
        return (PART_OFF,)
    # once the front edge is cut, the side of the V would lie flat on it where it should touch the rim of the face
    never = (PART_OFF, FRONT_INNER_EDGE)
    if job.part.surface(BACK_OUTER_EDGE) is not None and job.groover is not None:
        thin = web_mm(job, inner_edge_too=True) < web_needed_mm(job)
        return (*never, GROOVE) if thin else never
    return never


def write_plunge(w: Writer, way: Way, shape: Bevel, *, far: bool) -> None:
    """Acts of a plunge: the side of the tool is brought to the corner, and that is 0."""
    found, scale = way.schedule, cross_of(w)
    if found is None:
        msg = f"way {way.id}: has no schedule"
        raise ValueError(msg)
    leg = shape.across_mm + max(MARK_ROOM_MM, scale.radius_per_step_mm / 2.0)
    room = beside_cover_mm(way.holding, shape.corner.radius_mm, inside=shape.inside)
    up = VEE_UP_MM if way.tool is None else vee_up_mm(way.tool, leg_mm=leg, room_mm=room)
    corner = w.groove_wall_mm if far else shape.corner.z_mm
    deeper = shape.corner.z_mm - corner  # the groove's wall may stand a part of a step further back
    kiss = plunge_point(
        Bevel(corner=Point(corner, shape.corner.radius_mm), along_mm=1.0, across_mm=1.0, inside=shape.inside),
        far=far,
        up_mm=up,
    )
    inwards = Motion.OUT if shape.inside else Motion.IN
    sign = 1.0 if shape.inside else -1.0
    w.run_at(found, cut_dia_mm=largest_dia_mm(shape), handle=Handle.CROSS)
    where = "in front of the corner, the point of the tool about "
    where += f"{said(kiss.z_mm - corner, w.job.units, places=1)} from the corner"
    if far:
        where = f"over the groove behind the ring, {_over_groove_words(w, shape)}"
    w.approach(kiss.z_mm, kiss.radius_mm - sign * 1.0, where)
    w.lock(Handle.CARRIAGE)
    side = "right-hand side of the V" if far else "left-hand side of the V"
    w.touch(Handle.CROSS, inwards, way.step.id, side, x_mm=kiss.radius_mm)
    w.zero(Handle.CROSS, way.step.id, 0.0)
    steps = None if far else depth_steps(w.job, way.step.id, scale, angle_deg=VEE_HALF_DEG, far=False)
    depth = (steps or round((shape.across_mm + deeper) / scale.radius_per_step_mm)) * scale.step_mm
    w.edges_cut[way.step.id] = float(depth)
    place = depth if inwards is Motion.IN else -depth
    w.cut(
        Handle.CROSS,
        inwards,
        surface=way.step.id,
        depth_mm=float(depth) * cos(radians(VEE_HALF_DEG)),
        schedule=found,
        run=Run(place_mm=place, depth_from_mm=kiss.radius_mm),
    )
    w.retract(Handle.CROSS, inwards.other, float(depth) + 1.0, at_most_mm=room_off_mm(w, shape))
    if shape.inside:
        w.retract(Handle.TOP, Motion.RIGHT, CLEAR_MM)
    w.forget_zeros()


def _over_groove_words(w: Writer, shape: Bevel) -> str:
    """How far the point may stand to the left of the corner, by eye, so that the right-hand side meets it alone.

    Nearer than 0 the point would meet the outside; further off it would reach the bottom of the groove, or the other
    side its other wall. The depth counts from where the side touches: within this the place matters to nothing.
    """
    wide_mm = w.job.groover.width_mm if w.job.groover is not None else inf
    most_mm = min(
        POINT_GAP_MM + GROOVE_ROOM_MM, max(2.0 * POINT_GAP_MM, (wide_mm - shape.across_mm) / 2.0), wide_mm / 2.0
    )
    most = said(most_mm, w.job.units, places=2)
    return f"the point left of the corner by less than {most}: anywhere there will do"


def write_blind_plunge(w: Writer, way: Way, shape: Bevel) -> None:
    """Acts of a plunge at the far edge in the bore, where nobody sees the corner: by zeros along and across."""
    found, scale = way.schedule, cross_of(w)
    along = w.job.length
    if found is None or along is None:
        msg = f"way {way.id}: has no schedule or scale"
        raise ValueError(msg)
    w.run_at(found, cut_dia_mm=largest_dia_mm(shape) + 2.0 * POINT_GAP_MM, handle=Handle.CROSS)
    ensure_zeros(w, way, surface=BORE, dia_mm=w.bore_dia_mm, inside=True, drive=along.handle, across=Handle.CROSS)
    kiss = plunge_point(shape, far=True)
    if w.x_mm > shape.corner.radius_mm - 0.5:
        w.retract(Handle.CROSS, Motion.IN, w.x_mm - shape.corner.radius_mm + 0.5, at_most_mm=room_off_mm(w, shape))
    to_z(w, along.handle, kiss.z_mm)
    aim = kiss.radius_mm + shape.across_mm
    # the tool may stand a part of a step off: the bevel's place counts along the slope
    aim += kiss.z_mm - w.z_mm
    here = w.place(Handle.CROSS)
    place = whole_place(float(here) - (aim - w.x_mm), scale.step_mm)
    depth = w.x_mm + float(here - place) - shape.corner.radius_mm
    w.start()
    w.cut(
        Handle.CROSS,
        Motion.OUT,
        surface=way.step.id,
        depth_mm=depth * cos(radians(VEE_HALF_DEG)),
        schedule=found,
        run=Run(place_mm=place),
    )
    w.retract(Handle.CROSS, Motion.IN, depth + 0.5, at_most_mm=room_off_mm(w, shape))
    w.retract(along.handle, Motion.RIGHT, w.face_mm + CLEAR_MM + way_half(way) - w.z_mm)


def way_half(way: Way) -> float:
    """Half width of the head of an inside edge tool."""
    return way.tool.head_mm if way.tool else 0.0
