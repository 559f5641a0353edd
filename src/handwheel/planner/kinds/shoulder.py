"""Shoulders: what roughing left in front of the shoulder of a step, faced off across the bed."""

from __future__ import annotations

from collections.abc import Iterable
from math import inf, radians, sqrt, tan

from handwheel.data.least_cuts import least_depth_mm
from handwheel.data.speeds import CutKind
from handwheel.domain.acts import SettingKind
from handwheel.domain.contour import Point
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.holding import Holding
from handwheel.domain.matters import MISREAD_MM
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.part import Aspect
from handwheel.domain.plan import Stage, Step
from handwheel.domain.remedies import AllowSize
from handwheel.domain.said import said
from handwheel.domain.tools import Tool, ToolKind
from handwheel.physics.force import Process
from handwheel.physics.quiet_cut import BAR_DAMPING, TOOL_DAMPING
from handwheel.planner import offers
from handwheel.planner.cut_case import CutCase, Schedule
from handwheel.planner.dialing import whole_place
from handwheel.planner.feet import Foot
from handwheel.planner.gauge_room import room_s
from handwheel.planner.job import Job
from handwheel.planner.kinds.bore import ENTER_MM
from handwheel.planner.kinds.common import (
    BAR_MARGIN_MM,
    across_drive,
    bar_stiffness_n_um,
    gauge_trouble,
    no_cross_scale,
    planned,
    work_stiffness_n_um,
)
from handwheel.planner.kinds.diameter import surface_title
from handwheel.planner.kinds.room import make_room
from handwheel.planner.kinds.rounds import (
    SQUARE_DEG,
    SWUNG_STEP_MM,
    Along,
    Turned,
    ledge_along,
    rough_id,
    rough_radius_mm,
    settings_for,
    square_trouble,
    turned,
    zone,
)
from handwheel.planner.kinds.standing import GAUGE_SHARES, ridge_beside_mm
from handwheel.planner.kinds.touching import deeper, ensure_zeros, home, room_behind_mm, steady, to_z
from handwheel.planner.ledges import Ledge
from handwheel.planner.way import PARALLEL_SWING, Kind, NoWay, Way, Zero
from handwheel.planner.writer import CLEAR_MM, Run, Writer

RIDGE_STEPS = 50
"""Heights at which the ridge beside a corner is reckoned."""
FROM_FACE = "from the face, not from an edge: too shallow, and the shoulder is faced once more by what is missing"
CARRIAGE_FIRST = "once the carriage is back at its 0"
OFF_MM = 0.5
"""How far off the larger cylinder the tool starts."""


def _steps(job: Job) -> Iterable[Step]:
    for ledge in job.ledges:
        along = ledge_along(job, ledge)
        depth = ledge.depth_mm if isinstance(along, NoWay) else -along.shoulder_mm
        stack = job.stack(ledge.side, inner=ledge.inner)
        before = [one.shoulder for one in stack if one.surface == ledge.deeper]
        yield Step(
            id=ledge.shoulder,
            kind="shoulder",
            surface=ledge.shoulder,
            stage=Stage.WHOLE,
            zones=(zone(job, ledge, ledge.shoulder, depth_mm=depth, radius_mm=rough_radius_mm(job, ledge)),),
            after=(rough_id(ledge.surface), *before),
        )


def _ways(job: Job, step: Step, holding: Holding) -> Iterable[Way | NoWay]:
    ledge = job.ledge(step.surface)
    if ledge is None or not holding.turned or holding.side is not ledge.side:
        return
    along, radii = ledge_along(job, ledge), turned(job, ledge.surface)
    if isinstance(along, NoWay):
        yield along
        return
    if radii is None:
        yield no_cross_scale(job, step, "facing the shoulder")
        return
    size = job.size(ledge.shoulder, Aspect.DEPTH)
    if (trouble := gauge_trouble(job, step, size, GaugeUse.DEPTH)) is not None:
        yield trouble
        return
    for tool in job.shop.tools:
        if tool.kind is not (ToolKind.BORING if ledge.inner else ToolKind.TURNING):
            continue
        unfit = square_trouble(job, step, tool) or _ridge_trouble(job, step, tool, ledge, along)
        yield unfit if unfit is not None else _way(job, step, holding, tool, ledge, along, radii)


def ridge_mm(tool: Tool, *, last_mm: float, short_mm: float = 0.0) -> float:
    """Ridge that stays on a shoulder above the round of its corner, because the leading edge leans away. [mm]

    Facing leaves the round of the nose where the roughed step begins. The last cuts, ``last_mm`` deep together, leave
    there the less of that round and of the gap under their leaning edge, ``short_mm`` more where they end so far off.
    """
    nose, lean = tool.nose_radius_mm, tan(radians(max(0.0, tool.entering_deg - SQUARE_DEG)))
    heights = (nose * step / RIDGE_STEPS for step in range(RIDGE_STEPS + 1))
    return max(
        min(nose - sqrt(nose**2 - (nose - h) ** 2), short_mm + max(0.0, last_mm + h - nose) * lean) for h in heights
    )


def _ridge_trouble(job: Job, step: Step, tool: Tool, ledge: Ledge, along: Along) -> NoWay | None:
    """Why a shoulder is too low for its depth to be kept: the ridge beside its corner stands where a gauge rests."""
    size, radii = job.size(ledge.shoulder, Aspect.DEPTH), turned(job, ledge.surface)
    last = job.leaves_mm(ledge.surface) if radii is None else abs(radii.final_mm - radii.rough_mm)
    ridge = ridge_mm(tool, last_mm=last, short_mm=_short_mm(job, ledge))
    if shows_flat(job, ledge, tool) or -along.shoulder_mm - ridge >= float(size.cut_lower):
        return None
    wide = offers.wider(size, band_mm=float(size.band) + 2.0 * ridge)
    return NoWay(
        step=step.id,
        tried=f"{tool.name}, facing the shoulder",
        why=f"beside the corner of a shoulder {said(abs(ledge.deeper_radius_mm - ledge.radius_mm), job.units)} "
        f"high a ridge of up to {said(ridge, job.units, places=3)} stays, and the depth must be "
        f"{said(size.cut_lower, job.units, places=3)} at least",
        remedy="a tool with a smaller nose, or wider limits for the depth",
        code="shoulder-too-low",
        remedies=(AllowSize(surface=ledge.shoulder, aspect=Aspect.DEPTH, size=wide),),
    )


def _short_mm(job: Job, ledge: Ledge) -> float:
    """How far off the shoulder the last cuts may end: a step of the carriage where the top slide is swung. [mm]"""
    stub = Step(id=ledge.surface, kind="", surface=ledge.surface, stage=Stage.FINISH, zones=())
    last, _ = settings_for(job, stub, inside=ledge.inner)
    if isinstance(last, NoWay) or last.swing == PARALLEL_SWING or job.carriage is None:
        return 0.0
    step = job.carriage.length_per_step_mm
    return step if step <= SWUNG_STEP_MM else 0.0  # a coarser one does not feed them at all


def _way(job: Job, step: Step, holding: Holding, tool: Tool, ledge: Ledge, along: Along, radii: Turned) -> Way | NoWay:
    sign = 1.0 if ledge.inner else -1.0
    start = radii.before_mm - sign * (ENTER_MM if ledge.inner else CLEAR_MM)
    depth = -along.shoulder_mm
    case = CutCase(
        units=job.units,
        name="facing the shoulder",
        cut=CutKind.BORE if ledge.inner else CutKind.ROUGH,
        process=Process.BORING if ledge.inner else Process.TURNING,
        tool=tool,
        drive=across_drive(job),
        total_mm=along.rough_mm - along.shoulder_mm,
        step_mm=along.scale.length_per_step_mm,
        way_mm=abs(start - radii.rough_mm),
        large_dia_mm=2.0 * max(radii.before_mm, radii.rough_mm),
        max_rpm=holding.max_rpm,
        grip_torque_nm=holding.grip_torque_nm,
        stiffness_n_um=bar_stiffness_n_um(job, tool, holding, depth_mm=depth)
        if ledge.inner
        else work_stiffness_n_um(job, holding, at_mm=along.shoulder_mm),
        damping=BAR_DAMPING if ledge.inner else TOOL_DAMPING,
        equal_passes=1,
    )
    found = planned(job, step, case)
    if isinstance(found, NoWay):
        return found
    z, to = along.shoulder_mm, rough_radius_mm(job, ledge)
    path = (Point(z, start), Point(z, to))
    return Way(
        id=f"{step.id}/{holding.id}/{tool.id}",
        step=step,
        holding=holding,
        tool=tool,
        swing=PARALLEL_SWING,
        path=(Point(CLEAR_MM, start), *path) if ledge.inner else path,
        zeros_needed=Zero.ALONG | Zero.ACROSS,
        schedule=found,
        across=job.cross,
        reach_mm=CLEAR_MM + depth + BAR_MARGIN_MM if ledge.inner else 0.0,
        cut_ms=found.total_ms,
        extra_ms=round(
            1000 * (job.shop.habits.measure_s + room_s(job, along.drive.handle, GaugeUse.DEPTH, measured=1))
        ),
    )


def _write(w: Writer, way: Way) -> None:
    ledge, found, across = w.job.ledge(way.step.surface), way.schedule, way.across
    if ledge is None or found is None or across is None:
        msg = f"way {way.id}: has no shoulder, schedule or scale"
        raise ValueError(msg)
    along = ledge_along(w.job, ledge)
    if isinstance(along, NoWay):
        msg = f"way {way.id}: its depth cannot be set"
        raise TypeError(msg)
    w.prepare(way)
    drive, dia = along.drive.handle, w.dia_mm(ledge.surface)
    larger = max(dia, w.dia_mm(ledge.deeper))
    w.run_at(found, cut_dia_mm=larger, handle=Handle.CROSS)
    steady(w, drive)
    measured = way.tool is not None and shows_flat(w.job, ledge, way.tool)
    ensure_zeros(
        w,
        way,
        surface=ledge.surface,
        dia_mm=dia,
        inside=ledge.inner,
        drive=drive,
        across=Handle.CROSS,
        gauged=measured,
    )
    into = deeper(w, Handle.CROSS, inside=ledge.inner)
    sign = 1.0 if ledge.inner else -1.0
    start = w.dia_mm(ledge.deeper) / 2.0 - sign * OFF_MM
    if sign * (w.x_mm - start) > 0.0:
        w.retract(Handle.CROSS, into.other, abs(w.x_mm - start), at_most_mm=_room_mm(w, ledge))
    nominal, standing = along.rough_mm - along.shoulder_mm, w.standing_mm.get(ledge.shoulder, 0.0)
    for left in (0.5, 0.0) if _is_twice(w, found, nominal, standing) else (0.0,):
        to_z(w, drive, w.face_mm + along.shoulder_mm + left * nominal)
        gap = abs(dia / 2.0 - w.x_mm)
        place = whole_place(float(w.place(Handle.CROSS)) + (gap if into is Motion.IN else -gap), across.step_mm)
        w.start()
        taken = w.face_mm + along.rough_mm + standing - w.z_mm
        w.cut(
            Handle.CROSS,
            into,
            surface=ledge.shoulder,
            depth_mm=taken,
            schedule=found,
            run=Run(place_mm=place),
            note="down to the step, no further: its diameter still has its last cuts to come"
            if not ledge.inner
            else "out to the step, no further: its diameter still has its last cuts to come",
        )
        standing -= taken
        if left:
            w.stop_if_it_hardens()
            w.retract(Handle.CROSS, into.other, abs(w.x_mm - start), at_most_mm=_room_mm(w, ledge))
    depth = w.face_mm - w.z_mm
    if way.tool is not None:
        w.feet[ledge.shoulder] = [Foot(tool=way.tool, tip_mm=w.x_mm, depth_mm=depth, is_faced=True)]
        corner, leave = w.job.part.corner_radius_mm, along.rough_mm - along.shoulder_mm
        w.standing_mm[ledge.surface] = ridge_beside_mm(
            way.tool, leave_mm=leave, corner_mm=corner, length_mm=ledge.length_mm
        )
    w.stop_if_it_hardens()
    # back the way it came: along the bed the tip would meet what roughing left in its corner
    w.retract(Handle.CROSS, into.other, abs(w.x_mm - start), at_most_mm=_room_mm(w, ledge))
    size = w.job.size(ledge.shoulder, Aspect.DEPTH)
    # too shallow is faced once more, as far as nobody has misread; too deep is lost
    shallowest = min(float(size.cut_lower), depth - MISREAD_MM)
    if not measured:
        home(w, drive)
        return
    apart = make_room(w, drive, GaugeUse.DEPTH) not in (drive, None)
    w.measure(
        ledge.shoulder,
        Aspect.DEPTH,
        depth,
        stop_mm=(shallowest, float(size.cut_upper)),
        mark_worth_mm=_mark_worth_mm(along),
        note=f"{FROM_FACE}, {CARRIAGE_FIRST}" if apart else FROM_FACE,
    )


def _is_twice(w: Writer, found: Schedule, nominal_mm: float, standing_mm: float) -> bool:
    """Whether a shoulder is faced twice, half each time, because of what roughing left standing on it.

    That leans: it stands highest at the rim, and half as high on the mean. A metal that asks for a least depth gets it.
    """
    load = max((load.share for load in found.loads), default=0.0) * (1.0 + standing_mm / 2.0 / nominal_mm)
    return load > 1.0 and nominal_mm / 2.0 >= least_depth_mm(w.job.material)


def _mark_worth_mm(along: Along) -> float:
    """What a whole mark of the drive's dial changes the depth by; 0 if it is not read by a dial. [mm]"""
    scale = along.scale
    return scale.length_per_step_mm * float(scale.steps_per_mark) if scale.kind is SettingKind.MARKS else 0.0


def _room_mm(w: Writer, ledge: Ledge) -> float:
    """How far the tool can be drawn off a shoulder: in a hole its back meets the wall opposite. [mm]"""
    return room_behind_mm(w, Handle.CROSS, w.dia_mm(ledge.deeper)) if ledge.inner else inf


def shows_flat(job: Job, ledge: Ledge, tool: Tool) -> bool:
    """Whether a depth gauge already finds a flat on the shoulder, beside what the last cuts will still take off."""
    height = abs(ledge.deeper_radius_mm - ledge.radius_mm)
    radii = turned(job, ledge.surface)
    left = job.leaves_mm(ledge.surface) if radii is None else abs(radii.final_mm - radii.rough_mm)
    return GAUGE_SHARES[0] * height > left + tool.nose_radius_mm


def _title(way: Way) -> str:
    return f"Face the {surface_title(way.step.surface)}"


KIND = Kind(name="shoulder", steps=_steps, ways=_ways, write=_write, title=_title)
