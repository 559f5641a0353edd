"""Edges rounded by the hollow of a form tool: both its zeros touched, then in to a place of either handle."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec.structs import replace

from handwheel.domain.contour import Point
from handwheel.domain.exact import Fraction
from handwheel.domain.holding import Holding, Side
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.part import Aspect
from handwheel.domain.plan import Step
from handwheel.domain.remedies import AddToShop, AllowSize, BevelEdge, FitSlide, LeaveEdge, Remedy
from handwheel.domain.said import said, said_short, said_short_range
from handwheel.domain.tools import Hand, Tool
from handwheel.geometry.rounds import least_radius_kept
from handwheel.geometry.tool_shapes import hollow_points
from handwheel.planner import offers
from handwheel.planner.cut_case import FeedDrive
from handwheel.planner.dialing import Scale, steps_at_most
from handwheel.planner.forms import chip_width_mm, form_kind, form_tools, radius_size
from handwheel.planner.job import Job
from handwheel.planner.kinds.bevel import (
    PART_OFF,
    Bevel,
    cross_of,
    edge_case,
    end_of,
    is_back,
    is_inside,
    largest_dia_mm,
    room_off_mm,
)
from handwheel.planner.kinds.common import BAR_MARGIN_MM, no_cross_scale, no_length_scale, planned
from handwheel.planner.kinds.legs import legs_mm
from handwheel.planner.kinds.slack import slack_trouble
from handwheel.planner.kinds.touching import (
    TOUCH_CLEAR_MM,
    TOUCH_INSIDE_MM,
    clear_across,
    ensure_zeros,
    home,
    lip_behind_mm,
    side_mm,
    steady,
    tip_mm,
    to_left_of,
    to_right_of,
)
from handwheel.planner.way import PARALLEL_SWING, NoWay, Way, Zero
from handwheel.planner.writer import CLEAR_MM, TINY_MM, Run, Writer

BAND_MARGIN = 1.05
"""How much wider than just enough limits are offered."""


def round_region(edge: str, *, face_mm: float, radius_mm: float, corner: Point) -> tuple[Point, ...]:
    """Outline of what a round takes off a corner: from the corner that stands, round the arc, back. [mm]

    ``face_mm`` is where the finished face lies, ``corner`` the corner that stands before the cut, which for a far edge
    is that of the raw face.
    """
    towards, sign = (1.0 if is_back(edge) else -1.0), (1.0 if is_inside(edge) else -1.0)
    centre = Point(face_mm + towards * radius_mm, corner.radius_mm + sign * radius_mm)
    arc = [
        Point(centre.z_mm - towards * p.z_mm, centre.radius_mm - sign * p.radius_mm)
        for p in reversed(hollow_points(radius_mm))
    ]
    raw = () if abs(corner.z_mm - face_mm) <= TINY_MM else (Point(corner.z_mm, centre.radius_mm),)
    return (corner, *arc, *raw)


def form_ways(
    job: Job, step: Step, holding: Holding, shape: Bevel, *, far: bool, after: tuple[str, ...]
) -> Iterable[Way | NoWay]:
    """The ways of every form tool whose hollow has the radius, or why there is none."""
    if far and shape.inside:
        yield _blind(job, step)
        return
    hand = Hand.LEFT if far else Hand.RIGHT
    fit = [tool for tool in form_tools(job, step.id) if tool.hand is hand]
    if not fit:
        yield _none_owned(job, step, hand)
    for tool in fit:
        yield _way(job, step, holding, tool, shape, far=far, after=after)


def _none_owned(job: Job, step: Step, hand: Hand) -> NoWay:
    size = radius_size(job, step.id)
    if size is None:
        msg = f"step {step.id}: is no round"
        raise ValueError(msg)
    kind = form_kind(step.id)
    owned = sorted(
        {
            f"{said_short(tool.hollow_radius_mm, job.units)} {tool.hand.value}-hand"
            for tool in job.shop.tools
            if tool.kind is kind
        }
    )
    radius = float(size.cut_target)
    limits = said_short_range(size.cut_lower, size.cut_upper, job.units)
    return NoWay(
        step=step.id,
        code="round-edge",
        tried="every form tool of the shop",
        why=f"a round of {said_short(radius, job.units)} needs a {hand.value}-hand {kind.value} with a hollow radius "
        f"of {limits}, and "
        f"the shop has {', '.join(owned) if owned else 'none'}",
        remedy=f"buy or grind such a tool, draw a bevel of {said_short(radius, job.units)} x 45°, or leave the edge to "
        "the file when the part is off",
        remedies=(
            AddToShop(thing=offers.form_tool(job.part, step.id, radius_mm=radius, hand=hand)),
            *_plainer(step, radius),
        ),
    )


def _plainer(step: Step, radius_mm: float) -> tuple[Remedy, ...]:
    return BevelEdge(surface=step.surface, leg_mm=radius_mm), LeaveEdge(surface=step.surface)


def _blind(job: Job, step: Step) -> NoWay:
    means = tuple(AddToShop(thing=thing) for thing in offers.turned_holdings(job.part))
    return NoWay(
        step=step.id,
        code="round-edge-blind",
        tried="every form tool of the shop",
        why="a form tool rounds the edge of a bore from its own face alone: through the bore nobody sees the far edge, "
        "and there is no face there yet from which to count",
        remedy="hold the ring by its front for the second side, or draw a bevel",
        remedies=(*means, *_plainer(step, legs_mm(job, step.id)[1])),
    )


def _way(
    job: Job, step: Step, holding: Holding, tool: Tool, shape: Bevel, *, far: bool, after: tuple[str, ...]
) -> Way | NoWay:
    across, along = job.cross, job.length
    if across is None:
        return no_cross_scale(job, step, tool.name)
    if along is None:
        return no_length_scale(job, step, tool.name)
    trouble = _short_trouble(job, step, tool, along, across, far=far)
    if trouble is None and shape.inside:
        trouble = slack_trouble(job, step, tool, hole_dia_mm=2.0 * shape.corner.radius_mm)
    if trouble is not None:
        return trouble
    radius = tool.hollow_radius_mm
    found = planned(
        job,
        step,
        replace(
            edge_case(
                job,
                holding,
                tool,
                shape,
                FeedDrive(slide=job.shop.lathe.cross),
                way_mm=radius + CLEAR_MM,
                step_mm=across.radius_per_step_mm,
            ),
            name="rounding an edge",
            width_mm=chip_width_mm(shape.along_mm, shape.across_mm),
        ),
    )
    if isinstance(found, NoWay):
        return found
    return Way(
        id=f"{step.id}/{holding.id}/{tool.id}",
        step=step,
        holding=holding,
        tool=tool,
        swing=PARALLEL_SWING,
        path=_path(job, step, holding, tool, shape, far=far),
        after=after,
        never_after=(PART_OFF,) if far else (),
        zeros_needed=Zero.ALONG | Zero.ACROSS,
        schedule=found,
        across=across,
        reach_mm=CLEAR_MM + BAR_MARGIN_MM + _behind_mm(job, step, holding, tool) if shape.inside else 0.0,
        cut_ms=found.total_ms,
    )


def _path(job: Job, step: Step, holding: Holding, tool: Tool, shape: Bevel, *, far: bool) -> tuple[Point, ...]:
    """Touch on the face, off it, touch on the diameter, off it, over the corner, in."""
    sign = 1.0 if shape.inside else -1.0
    radius, edge = tool.hollow_radius_mm, shape.corner.radius_mm
    touch = Point(side_mm(tool), edge + sign * (TOUCH_INSIDE_MM + tip_mm(tool)))
    finished = -job.width_mm if far else 0.0
    z = finished + (radius if far else -radius)
    clear = edge - sign * TOUCH_CLEAR_MM
    off = CLEAR_MM + side_mm(tool)
    land = -_behind_mm(job, step, holding, tool)
    return (
        touch,
        Point(off, touch.radius_mm),
        Point(off, clear),
        Point(land, clear),
        Point(land, edge),
        Point(land, clear),
        Point(z, clear),
        Point(z, edge + sign * radius),
    )


def _behind_mm(job: Job, step: Step, holding: Holding, tool: Tool) -> float:
    """How far behind the face of a holding the cylinder beside an edge will be touched. [mm]"""
    surface = job.at_face(end_of(step.id), inner=is_inside(step.id))[0]
    ledge = job.ledge(surface)
    if ledge is not None:
        return lip_behind_mm(job, tool, begins_mm=ledge.before_mm, ends_mm=ledge.depth_mm)
    near, far = (
        max((one.depth_mm for one in job.stack(side, inner=is_inside(step.id))), default=0.0)
        for side in (holding.side, Side.BACK if holding.side is Side.FRONT else Side.FRONT)
    )
    return lip_behind_mm(job, tool, begins_mm=near, ends_mm=job.width_mm - far)


def _short_mm(radius_mm: float, step_mm: float) -> float:
    """How far short of a length whole steps end that do not pass it. [mm]"""
    return radius_mm - steps_at_most(radius_mm, step_mm) * step_mm


def _short_trouble(job: Job, step: Step, tool: Tool, along: Scale, across: Scale, *, far: bool) -> NoWay | None:
    """Why whole steps of the slides end too far short of face and cylinder, or ``None``."""
    size, radius = radius_size(job, step.id), tool.hollow_radius_mm
    if size is None:
        return None
    step_mm = along.length_per_step_mm
    # a far edge counts from the front face: no whole number of steps, so it may be nearly one step short
    z_short = step_mm if far else _short_mm(radius, step_mm)
    x_short = _short_mm(radius, across.radius_per_step_mm)

    def kept(least_mm: float) -> bool:
        return least_radius_kept(radius, least_mm, short_along_mm=z_short, short_across_mm=x_short)

    if kept(float(size.cut_lower)):
        return None
    target = float(size.cut_target)
    bands = (float(size.band) * BAND_MARGIN**power for power in range(1, 80))
    wider = next((band for band in bands if target - band / 2.0 > 0 and kept(target - band / 2.0)), None)
    allowed = (
        ()
        if wider is None
        else (AllowSize(surface=step.surface, aspect=Aspect.RADIUS, size=offers.wider(size, band_mm=wider)),)
    )
    return NoWay(
        step=step.id,
        code="round-edge-not-settable",
        tried=tool.name,
        why=f"whole steps of the slides, which never pass face or cylinder, end {said(z_short, job.units, places=3)} "
        f"short along and {said(x_short, job.units, places=3)} across; then more of the corner stays than a round of "
        f"{said_short(size.cut_lower, job.units)} leaves",
        remedy="finer steps at cross-slide and top slide, or wider limits for the radius",
        remedies=(*_finer(job), *allowed, *_plainer(step, target)),
    )


def _finer(job: Job) -> Iterable[Remedy]:
    """A readout with the finest usual step for the cross-slide."""
    fitted = offers.with_readout(job.shop.lathe.cross, step_mm=float(offers.FINE_STEPS_MM[-1]))
    if fitted is not None:
        yield FitSlide(slide=fitted)


def write_form(w: Writer, way: Way, shape: Bevel, *, far: bool) -> None:
    """Acts of a round: zeros on face and cylinder, along to its place, in to its place, and off."""
    found, along, tool = way.schedule, w.job.length, way.tool
    if found is None or along is None or tool is None:
        msg = f"way {way.id}: has no schedule, scale or tool"
        raise ValueError(msg)
    drive, radius, dia = along.handle, tool.hollow_radius_mm, 2.0 * shape.corner.radius_mm
    sign = 1.0 if shape.inside else -1.0
    cylinder = w.job.at_face(end_of(way.step.id), inner=shape.inside)[0]
    w.run_at(found, cut_dia_mm=largest_dia_mm(shape), handle=Handle.CROSS)
    steady(w, drive)
    ensure_zeros(w, way, surface=cylinder, dia_mm=dia, inside=shape.inside, drive=drive, across=Handle.CROSS)
    clear_across(w, dia, inside=shape.inside)
    # never past face or cylinder: to the right of the place at a near face, to the left of it at a far one
    if far:
        to_left_of(w, drive, w.face_mm - w.job.width_mm + radius)
    else:
        to_right_of(w, drive, w.face_mm - radius)
    w.start()
    place = _place(w, shape.corner.radius_mm + sign * radius)
    inwards = Motion.OUT if shape.inside else Motion.IN
    depth = abs(w.x_mm - float(place - w.place(Handle.CROSS)) - shape.corner.radius_mm)
    w.edges_cut[way.step.id] = radius
    w.cut(
        Handle.CROSS,
        inwards,
        surface=way.step.id,
        depth_mm=depth,
        schedule=found,
        run=Run(place_mm=place),
        note=_words(w, shape, depth),
    )
    w.retract(Handle.CROSS, inwards.other, depth + TOUCH_CLEAR_MM, at_most_mm=room_off_mm(w, shape))
    home(w, drive)


def _place(w: Writer, radius_mm: float) -> Fraction:
    """Place of the cross-slide at a radius, in whole steps from its zero, or short of it by less than a step. [mm]"""
    scale = cross_of(w)
    exact = float(w.place(Handle.CROSS)) + w.x_mm - radius_mm
    steps = steps_at_most(abs(exact), scale.radius_per_step_mm)
    return (steps if exact > 0 else -steps) * scale.step_mm


def _words(w: Writer, shape: Bevel, depth_mm: float) -> str:
    where = "out of the bore's wall" if shape.inside else "below the outside"
    reads = f"the lip of the tool then stands {said(depth_mm, w.job.part.units, places=3)} {where}: the figure is where"
    return f"{reads} the round ends on the face; feed firmly to it and come off at once"
