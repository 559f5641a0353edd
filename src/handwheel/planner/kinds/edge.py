"""Edges: bevels by the side of an edge tool or by sweeping the top slide."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import atan2, ceil, cos, degrees, hypot, inf, radians, sin, tan

from handwheel.data.speeds import CutKind
from handwheel.domain.contour import Point
from handwheel.domain.holding import Holding, Side
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.part import (
    BACK_FACE,
    BACK_INNER_EDGE,
    BACK_OUTER_EDGE,
    BORE,
    FRONT_FACE,
    FRONT_INNER_EDGE,
    FRONT_OUTER_EDGE,
    Aspect,
)
from handwheel.domain.plan import Stage, Step, Zone
from handwheel.domain.remedies import AddToShop, FitSlide, Remedy
from handwheel.domain.shop import Hand, PieceRole, Tool, ToolKind
from handwheel.geometry.tool_shapes import silhouette
from handwheel.physics.force import Process
from handwheel.planner import offers
from handwheel.planner.cut_case import CutCase, FeedDrive
from handwheel.planner.cut_limits import HEAD_ROOM_MM
from handwheel.planner.dialing import Scale, whole_place
from handwheel.planner.job import POINT_GAP_MM, Job
from handwheel.planner.kinds.beside import BESIDE_BACK_MM, beside_cover_mm, most_back_mm, needs_back_mm
from handwheel.planner.kinds.bore_end import bore_end_trouble
from handwheel.planner.kinds.common import BAR_MARGIN_MM, no_cross_scale, planned, work_stiffness_n_um
from handwheel.planner.kinds.legs import GROOVE_ROOM_MM, far_legs_mm, legs_mm, web_mm, web_needed_mm
from handwheel.planner.kinds.touching import ensure_zeros, room_behind_mm, to_z
from handwheel.planner.kinds.vee import NEAREST_UP_MM, VEE_UP_MM, vee_trouble, vee_up_mm
from handwheel.planner.said import said
from handwheel.planner.way import PARALLEL_SWING, Kind, NoWay, Swing, Way, Zero
from handwheel.planner.writer import CLEAR_MM, Run, Writer, exact

EDGES = (FRONT_OUTER_EDGE, FRONT_INNER_EDGE, BACK_OUTER_EDGE, BACK_INNER_EDGE)
SAME_LEG_MM = 1e-6
MARK_ROOM_MM = 0.05
OFF_BEVEL_MM = 0.3
PAST_INSIDE_MM, PAST_OUTSIDE_MM = 0.6, 1.0
BY_EYE_MM = 0.6
"""How much further than planned a sweep that ends by eye may run without meeting anything."""
VEE_HALF_DEG = 45.0
"""Angle of each side of an edge tool."""
FINEST_DEG = Fraction(1, 4)
"""Finest divisions that are asked of a scale of angles."""
STEEPEST_DEG = 75.0
"""Largest angle that is asked of a top slide for a bevel."""
GROOVE = "groove"
PART_OFF = "part-off"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bevel:
    """A bevel seen from the side it is cut from: legs, where it is, how deep it must run now.

    ``corner`` is the corner that stands before the cut (work frame), ``along_mm`` and ``across_mm`` the legs from
    there: the finished legs, and for a far edge cut from the bar side the allowance on top.
    """

    corner: Point
    along_mm: float
    across_mm: float
    inside: bool

    @property
    def angle_deg(self) -> float:
        """Angle of the bevel from the axis. [deg]"""
        return degrees(atan2(self.across_mm, self.along_mm))


def is_back(edge: str) -> bool:
    """Whether an edge is at the back face."""
    return edge in (BACK_OUTER_EDGE, BACK_INNER_EDGE)


def end_of(edge: str) -> Side:
    """End that an edge is at."""
    return Side.BACK if is_back(edge) else Side.FRONT


def can_be_far(job: Job, edge: str) -> bool:
    """Whether an edge may be cut from the bar side, behind the ring: at the back, on what is turned there."""
    return is_back(edge) and not job.stack(Side.BACK, inner=is_inside(edge))


def is_inside(edge: str) -> bool:
    """Whether an edge is in the bore."""
    return edge in (FRONT_INNER_EDGE, BACK_INNER_EDGE)


def _steps(job: Job) -> Iterable[Step]:
    for edge in EDGES:
        if job.part.surface(edge) is None:
            continue
        inside = is_inside(edge)
        land, radius = job.at_face(end_of(edge), inner=inside)
        sign = 1.0 if inside else -1.0
        far = can_be_far(job, edge)
        along, across = far_legs_mm(job, edge) if far else legs_mm(job, edge)
        face = (job.raw_back_mm if far else -job.width_mm) if is_back(edge) else 0.0
        towards = 1.0 if is_back(edge) else -1.0
        region = (Point(face, radius), Point(face + towards * along, radius), Point(face, radius + sign * across))
        zones: tuple[Zone, ...] = (Zone(id=edge, surface=edge, region=region),)
        if edge == BACK_INNER_EDGE and far:
            zones = (*zones, Zone(id=f"{edge}-beyond", surface=edge, region=_beyond(job)))
        yield Step(
            id=edge,
            kind="edge",
            surface=edge,
            stage=Stage.WHOLE,
            zones=zones,
            after=(land, FRONT_FACE),
        )


def _beyond(job: Job) -> tuple[Point, ...]:
    """What the far side of an edge tool takes out of the waste when it cuts the far inner edge in the bore."""
    deep, gap = far_legs_mm(job, BACK_INNER_EDGE)[1], POINT_GAP_MM
    face, radius = job.raw_back_mm, job.bore_radius_mm
    return (
        Point(face, radius),
        Point(face, radius + deep),
        Point(face - gap, radius + deep + gap),
        Point(face - 2.0 * gap - deep, radius),
    )


def bevel(job: Job, edge: str, holding: Holding) -> Bevel | None:
    """The bevel as this holding reaches it, or ``None`` if its corner looks the other way and cannot be met."""
    inside = is_inside(edge)
    radius = job.at_face(end_of(edge), inner=inside)[1]
    along, across = legs_mm(job, edge)
    near = is_back(edge) is (holding.side is Side.BACK)
    if near:
        return Bevel(corner=Point(0.0, radius), along_mm=along, across_mm=across, inside=inside)
    if holding.side is Side.FRONT and can_be_far(job, edge):
        along, across = far_legs_mm(job, edge)
        return Bevel(corner=Point(job.raw_back_mm, radius), along_mm=along, across_mm=across, inside=inside)
    return None


def _ways(job: Job, step: Step, holding: Holding) -> Iterable[Way | NoWay]:
    if not holding.turned:
        return
    shape = bevel(job, step.id, holding)
    if shape is None:
        return
    far = is_back(step.id) and holding.side is Side.FRONT
    after = (BACK_FACE,) if holding.side is Side.BACK else ()
    for tool in job.shop.tools:
        if tool.kind is (ToolKind.EDGE_INSIDE if shape.inside else ToolKind.EDGE_OUTSIDE):
            yield _plunge_way(job, step, holding, tool, shape, far=far, after=after)
        elif tool.hand is not Hand.RIGHT:
            continue
        elif tool.kind is (ToolKind.BORING if shape.inside else ToolKind.TURNING) and not far:
            yield _sweep_way(job, step, holding, tool, shape, after=after)


def _case(
    job: Job, holding: Holding, tool: Tool, shape: Bevel, drive: FeedDrive, *, way_mm: float, step_mm: float
) -> CutCase:
    return CutCase(
        name="cutting an edge",
        cut=CutKind.PART,
        process=Process.BORING if shape.inside else Process.TURNING,
        tool=tool,
        drive=drive,
        total_mm=shape.across_mm,
        step_mm=step_mm,
        way_mm=way_mm,
        large_dia_mm=largest_dia_mm(shape),
        max_rpm=holding.max_rpm,
        grip_torque_nm=holding.grip_torque_nm,
        stiffness_n_um=work_stiffness_n_um(job, holding, at_mm=0.0),
        width_mm=hypot(shape.along_mm, shape.across_mm),
    )


def largest_dia_mm(shape: Bevel) -> float:
    """Largest diameter that is cut on a bevel, with a little room for whole marks. [mm]"""
    return 2.0 * (shape.corner.radius_mm + (shape.across_mm + MARK_ROOM_MM if shape.inside else 0.0))


def plunge_point(shape: Bevel, *, far: bool, up_mm: float = VEE_UP_MM) -> Point:
    """Where the point of an edge tool stands when its side just meets the corner, ``up_mm`` in front of a front one."""
    up = -POINT_GAP_MM if far else up_mm
    sign = 1.0 if shape.inside else -1.0
    return Point(shape.corner.z_mm + up, shape.corner.radius_mm + sign * abs(up))


def _plunge_way(
    job: Job, step: Step, holding: Holding, tool: Tool, shape: Bevel, *, far: bool, after: tuple[str, ...]
) -> Way | NoWay:
    scale = job.cross
    if abs(shape.along_mm - shape.across_mm) > SAME_LEG_MM:
        return NoWay(
            step=step.id,
            code="edge-not-45-degrees",
            remedies=_scale_remedies(job),
            tried=tool.name,
            why=f"the edge is {shape.angle_deg:.0f}° and the tool's sides are 45°",
            remedy="sweep the top slide",
        )
    if scale is None:
        return no_cross_scale(job, step, tool.name)
    found = planned(
        job,
        step,
        _case(
            job,
            holding,
            tool,
            shape,
            FeedDrive(slide=job.shop.lathe.cross),
            way_mm=shape.across_mm,
            step_mm=scale.radius_per_step_mm,
        ),
    )
    if isinstance(found, NoWay):
        return found
    leg = shape.across_mm + max(MARK_ROOM_MM, scale.radius_per_step_mm / 2.0)
    if (small := vee_trouble(step, tool, leg_mm=leg, gap_mm=POINT_GAP_MM if far else NEAREST_UP_MM)) is not None:
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
    inner_far = far and shape.inside
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


def _swing_for(job: Job, step: Step, shape: Bevel) -> Swing | str:
    """The top slide at the division nearest the bevel's angle, or why that cannot make it."""
    scale = job.shop.lathe.top.angle_scale
    if scale is None:
        return "the top slide has no scale to be swung by"
    angle = round(shape.angle_deg / float(scale.step_deg)) * scale.step_deg
    if not 0 < angle <= Fraction(scale.max_deg):
        return f"the top slide cannot be set to {shape.angle_deg:.1f}°"
    along = job.size(step.id, Aspect.LEG_AXIAL)
    made = shape.across_mm / tan(radians(float(angle)))
    if not float(along.cut_lower) <= made <= float(along.cut_upper):
        return f"at {float(angle):g}°, the nearest division, the leg along the axis would be {made:.2f} mm"
    return Swing(angle, Motion.IN if shape.inside else Motion.OUT)


def _scale_remedies(job: Job) -> tuple[Remedy, ...]:
    """A scale to swing the top slide by, if it has none; finer divisions and a wider angle, if it has."""
    top = job.shop.lathe.top
    if top.angle_scale is None:
        return (FitSlide(slide=offers.with_angle_scale(top)),)
    finer = min(Fraction(1, 2), top.angle_scale.step_deg / 2)
    if finer < FINEST_DEG and top.angle_scale.max_deg >= STEEPEST_DEG:
        return ()
    finer = max(finer, FINEST_DEG)
    return (FitSlide(slide=offers.with_angle_scale(top, step_deg=finer, max_deg=STEEPEST_DEG)),)


def _edge_tools(job: Job, shape: Bevel) -> tuple[Remedy, ...]:
    """An edge tool that cuts the bevel by its side, if that is at 45°."""
    if abs(shape.along_mm - shape.across_mm) > SAME_LEG_MM:
        return ()
    hole_dia_mm = 2.0 * job.bore_radius_mm
    return (AddToShop(thing=offers.edge_tool(inside=shape.inside, hole_dia_mm=hole_dia_mm, reach_mm=job.width_mm)),)


def _sweep_way(
    job: Job, step: Step, holding: Holding, tool: Tool, shape: Bevel, *, after: tuple[str, ...]
) -> Way | NoWay:
    swing = _swing_for(job, step, shape)
    if isinstance(swing, str):
        return NoWay(
            step=step.id,
            code="edge-angle-not-settable",
            remedies=(*_scale_remedies(job), *_edge_tools(job, shape)),
            tried=f"{tool.name}, top slide swung",
            why=swing,
            remedy="use an edge tool ground to that angle, or widen the limits of the edge",
        )
    if job.cross is None:
        return no_cross_scale(job, step, tool.name)
    if (low := _head_trouble(job, step, tool, shape)) is not None:
        return low
    top = job.shop.lathe.top
    # reach goes by the drawing's angle; the division may differ from it by less than the limits allow
    kiss = sweep_kiss(tool, shape, shape.angle_deg)
    most = _most_back_mm(job, holding, shape, kiss, swing)
    if most < needs_back_mm(top):
        return NoWay(
            step=step.id,
            code="slack-leaves-no-room",
            remedies=_edge_tools(job, shape),
            tried=f"{tool.name}, top slide swung",
            why=f"the top slide has {float(top.slack_mm):.2f} mm of slack, and beside what covers the face the tool "
            f"can only go back {max(0.0, most):.2f} mm",
            remedy="cut the edge by the side of an edge tool, or take up the slack in the nut of the top slide",
        )
    drive = FeedDrive(slide=top)
    length = hypot(shape.along_mm, shape.across_mm)
    found = planned(
        job,
        step,
        _case(
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
        tried=f"{tool.name}, top slide swung",
        why=f"its head is {tool.head_mm:.2f} mm high and the edge needs {need:.2f} mm: the bar would meet the corner "
        "that is to be cut away",
        remedy=f"an edge tool, or a boring bar with a head {higher:g} mm high",
        remedies=(*_edge_tools(job, shape), AddToShop(thing=offers.like(tool, head_mm=higher))),
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


# writing -----------------------------------------------------------------------------------------------------------


def _write(w: Writer, way: Way) -> None:
    shape = bevel(w.job, way.step.id, way.holding)
    if shape is None or way.tool is None:
        msg = f"way {way.id}: has no bevel or tool"
        raise ValueError(msg)
    far = is_back(way.step.id) and way.holding.side is Side.FRONT
    w.prepare(way)
    dia = w.side_dia_mm(end_of(way.step.id), inner=shape.inside)
    w.edges_cut[way.step.id] = shape.across_mm
    actual = Bevel(
        corner=Point(shape.corner.z_mm if far else w.face_mm, dia / 2.0),
        along_mm=shape.along_mm,
        across_mm=shape.across_mm,
        inside=shape.inside,
    )
    if far and shape.inside:
        _write_blind_plunge(w, way, actual)
    elif way.tool.kind in (ToolKind.EDGE_INSIDE, ToolKind.EDGE_OUTSIDE):
        _write_plunge(w, way, actual, far=far)
    else:
        _write_sweep(w, way, actual)


def _scale(w: Writer) -> Scale:
    if w.job.cross is None:
        msg = "cross-slide: nothing to set it by"
        raise ValueError(msg)
    return w.job.cross


def _write_plunge(w: Writer, way: Way, shape: Bevel, *, far: bool) -> None:
    found, scale = way.schedule, _scale(w)
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
    where += f"{said(kiss.z_mm - corner, w.job.part.units, places=1)} from the corner"
    if far:
        where = f"over the groove behind the ring, {_over_groove_words(w, shape)}"
    w.approach(kiss.z_mm, kiss.radius_mm - sign * 1.0, where)
    w.lock(Handle.CARRIAGE)
    side = "right-hand side of the V" if far else "left-hand side of the V"
    w.touch(Handle.CROSS, inwards, way.step.id, side, x_mm=kiss.radius_mm)
    w.zero(Handle.CROSS, way.step.id, 0.0)
    depth = round((shape.across_mm + deeper) / scale.radius_per_step_mm) * scale.step_mm
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
    w.retract(Handle.CROSS, inwards.other, float(depth) + 1.0, at_most_mm=_room_mm(w, shape))
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
    most = said(most_mm, w.job.part.units, places=2)
    return f"the point left of the corner by less than {most}: anywhere there will do"


def _write_blind_plunge(w: Writer, way: Way, shape: Bevel) -> None:
    found, scale = way.schedule, _scale(w)
    along = w.job.length
    if found is None or along is None:
        msg = f"way {way.id}: has no schedule or scale"
        raise ValueError(msg)
    w.run_at(found, cut_dia_mm=largest_dia_mm(shape) + 2.0 * POINT_GAP_MM, handle=Handle.CROSS)
    ensure_zeros(w, way, surface=BORE, dia_mm=w.bore_dia_mm, inside=True, drive=along.handle, across=Handle.CROSS)
    kiss = plunge_point(shape, far=True)
    if w.x_mm > shape.corner.radius_mm - 0.5:
        w.retract(Handle.CROSS, Motion.IN, w.x_mm - shape.corner.radius_mm + 0.5, at_most_mm=_room_mm(w, shape))
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
    w.retract(Handle.CROSS, Motion.IN, depth + 0.5, at_most_mm=_room_mm(w, shape))
    w.retract(along.handle, Motion.RIGHT, w.face_mm + CLEAR_MM + way_half(way) - w.z_mm)


def _room_mm(w: Writer, shape: Bevel) -> float:
    """How far the cross-slide can draw a tool off a bevel: in a hole its back meets the wall opposite. [mm]"""
    return room_behind_mm(w, Handle.CROSS, 2.0 * shape.corner.radius_mm) if shape.inside else inf


def way_half(way: Way) -> float:
    """Half width of the head of an inside edge tool."""
    return way.tool.head_mm if way.tool else 0.0


def _write_sweep(w: Writer, way: Way, shape: Bevel) -> None:
    found, tool, swing, scale = way.schedule, way.tool, way.swing, _scale(w)
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
    depth = round(shape.across_mm / scale.radius_per_step_mm) * scale.step_mm
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
    w.retract(Handle.CROSS, inwards.other, off, at_most_mm=_room_mm(w, shape))
    if shape.inside:
        w.retract(Handle.TOP, Motion.RIGHT, run)
    w.forget_zeros()


_NAMES = {
    FRONT_OUTER_EDGE: "front outer edge",
    FRONT_INNER_EDGE: "front inner edge",
    BACK_OUTER_EDGE: "back outer edge",
    BACK_INNER_EDGE: "back inner edge",
}


def _title(way: Way) -> str:
    how = "top slide swept" if way.swing and way.swing.angle_deg else "side of the edge tool"
    return f"Bevel the {_NAMES.get(way.step.id, way.step.id)} ({how})"


KIND = Kind(name="edge", steps=_steps, ways=_ways, write=_write, title=_title)
