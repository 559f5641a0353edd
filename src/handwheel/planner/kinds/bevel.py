"""Bevels of edges as a holding reaches them, and what the ways of cutting them share."""

from __future__ import annotations

from math import atan2, degrees, hypot, inf, radians, tan

from msgspec import Struct

from handwheel.data.speeds import CutKind
from handwheel.domain.contour import Point
from handwheel.domain.exact import Fraction
from handwheel.domain.holding import Holding, Side
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.part import (
    BACK_INNER_EDGE,
    BACK_OUTER_EDGE,
    FRONT_INNER_EDGE,
    FRONT_OUTER_EDGE,
    Aspect,
)
from handwheel.domain.plan import Step
from handwheel.domain.remedies import AddToShop, FitSlide, Remedy
from handwheel.domain.said import said
from handwheel.domain.tools import Tool
from handwheel.physics.force import Process
from handwheel.planner import offers
from handwheel.planner.cut_case import CutCase, FeedDrive
from handwheel.planner.dialing import Scale
from handwheel.planner.job import Job
from handwheel.planner.kinds.common import work_stiffness_n_um
from handwheel.planner.kinds.legs import far_legs_mm, legs_mm
from handwheel.planner.kinds.touching import room_behind_mm
from handwheel.planner.way import Swing
from handwheel.planner.writer import Writer

EDGES = (FRONT_OUTER_EDGE, FRONT_INNER_EDGE, BACK_OUTER_EDGE, BACK_INNER_EDGE)
SAME_LEG_MM = 1e-6
"""Legs that differ by no more than the rounding of floats are equal."""
MARK_ROOM_MM = 0.05
"""How much deeper than asked a bevel may come out by whole marks; common practice, no source."""
VEE_HALF_DEG = 45.0
"""Angle of each side of an edge tool."""
FINEST_DEG = Fraction(1, 4)
"""Finest divisions that are asked of a scale of angles."""
STEEPEST_DEG = 75.0
"""Largest angle that is asked of a top slide for a bevel."""
GROOVE = "groove"
PART_OFF = "part-off"


class Bevel(Struct, frozen=True, kw_only=True):
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


def edge_case(
    job: Job, holding: Holding, tool: Tool, shape: Bevel, drive: FeedDrive, *, way_mm: float, step_mm: float
) -> CutCase:
    """The cut of a whole bevel at once: a chip as wide as its slope."""
    return CutCase(
        units=job.units,
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
        width_mm=hypot(shape.along_mm + MARK_ROOM_MM, shape.across_mm + MARK_ROOM_MM),
    )


def largest_dia_mm(shape: Bevel) -> float:
    """Largest diameter that is cut on a bevel, with a little room for whole marks. [mm]"""
    return 2.0 * (shape.corner.radius_mm + (shape.across_mm + MARK_ROOM_MM if shape.inside else 0.0))


def swing_for(job: Job, step: Step, shape: Bevel) -> Swing | str:
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
        return f"at {float(angle):g}°, the nearest division, the leg along the axis would be {said(made, job.units)}"
    return Swing(angle, Motion.IN if shape.inside else Motion.OUT)


def scale_remedies(job: Job, step: Step, shape: Bevel) -> tuple[Remedy, ...]:
    """A scale to swing the top slide by, if it has none; finer divisions and a wider angle, if its own does not do."""
    top = job.shop.lathe.top
    if not isinstance(swing_for(job, step, shape), str):
        return ()
    if top.angle_scale is None:
        return (FitSlide(slide=offers.with_angle_scale(top)),)
    finer = min(Fraction(1, 2), top.angle_scale.step_deg / 2)
    if finer < FINEST_DEG and top.angle_scale.max_deg >= STEEPEST_DEG:
        return ()
    finer = max(finer, FINEST_DEG)
    return (FitSlide(slide=offers.with_angle_scale(top, step_deg=finer, max_deg=STEEPEST_DEG)),)


def edge_tools(job: Job, shape: Bevel) -> tuple[Remedy, ...]:
    """An edge tool that cuts the bevel by its side, if that is at 45°."""
    if abs(shape.along_mm - shape.across_mm) > SAME_LEG_MM:
        return ()
    hole_dia_mm = 2.0 * job.bore_radius_mm
    return (AddToShop(thing=offers.edge_tool(inside=shape.inside, hole_dia_mm=hole_dia_mm, reach_mm=job.width_mm)),)


def cross_of(w: Writer) -> Scale:
    """Scale of the cross-slide, without which no edge is planned."""
    if w.job.cross is None:
        msg = "cross-slide: nothing to set it by"
        raise ValueError(msg)
    return w.job.cross


def room_off_mm(w: Writer, shape: Bevel) -> float:
    """How far the cross-slide can draw a tool off a bevel: in a hole its back meets the wall opposite. [mm]"""
    return room_behind_mm(w, Handle.CROSS, 2.0 * shape.corner.radius_mm) if shape.inside else inf
