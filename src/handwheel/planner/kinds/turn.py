"""Turning the outside and its steps: roughing that leaves two equal cuts, and those two cuts."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec.structs import replace

from handwheel.data.speeds import CutKind
from handwheel.domain.bars import Bar
from handwheel.domain.contour import Point
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.holding import Holding, Side
from handwheel.domain.motion import Handle
from handwheel.domain.part import FRONT_FACE, OUTSIDE
from handwheel.domain.plan import Stage, Step, Zone
from handwheel.domain.remedies import AddToShop
from handwheel.domain.said import said
from handwheel.domain.tools import Tool, ToolKind
from handwheel.physics.force import Process
from handwheel.planner import offers
from handwheel.planner.cut_case import CutCase, FeedDrive
from handwheel.planner.gauge_room import measuring_ms
from handwheel.planner.job import Job, rect
from handwheel.planner.kinds.common import (
    SHORT_OF_ROUGH_MM,
    along_drive,
    bending_of,
    nothing_feeds,
    planned,
    roughness_um,
    static_work_n_um,
    work_stiffness_n_um,
)
from handwheel.planner.kinds.diameter import DiameterWork, diameter_passes, ledge_passes, round_title, zeros_lost
from handwheel.planner.kinds.hands import hand_trouble
from handwheel.planner.kinds.rounds import (
    Cutting,
    finish_step,
    last_gauge_trouble,
    ledge_cutting,
    rough_before,
    rough_step,
    settings_for,
    square_trouble,
    turned,
)
from handwheel.planner.ledges import Ledge
from handwheel.planner.way import PARALLEL_SWING, Kind, NoWay, Way, Zero
from handwheel.planner.writer import CLEAR_MM, Writer

ROUGH_OUTSIDE = "rough-outside"
RUN_CLEAR_MM = 0.05
"""What the round of the tip goes beyond the end of the metal, at least."""
BY_EYE_MM = 0.5
"""How much sooner a pass may end than the eye means to; common practice, no source."""
LARGER_BAR_MM = 1.0
"""How much larger than the one that leaves nothing to rough a bar is that is offered, at least; own judgement."""
PAST_END_MM = 0.5
"""How far beyond the ring the passes go where nothing stands behind it."""


def _next_bar(job: Job) -> Bar:
    """The next larger bar that is sold."""
    return offers.bar(job.part, least_dia_mm=2.0 * job.bar_radius_mm + LARGER_BAR_MM, units=job.shop.units)


def _steps(job: Job) -> Iterable[Step]:
    segment = job.part.surface(OUTSIDE)
    group = segment.truth_group if segment else None
    ledges = [ledge for ledge in job.ledges if not ledge.inner]
    rough = job.outside_radius_mm + job.leaves_mm(OUTSIDE)
    end, start = job.turn_end_mm, job.face_stock_mm
    yield Step(
        id=ROUGH_OUTSIDE,
        kind="turn",
        surface=OUTSIDE,
        stage=Stage.ROUGH,
        zones=(Zone(id="outside-rough", surface=OUTSIDE, region=rect(end, start, rough, job.bar_radius_mm)),),
        leaves_mm=job.leaves_mm(OUTSIDE),
        after=(FRONT_FACE,),
    )
    for ledge in ledges:
        yield rough_step(job, ledge, kind="turn")
    yield Step(
        id=OUTSIDE,
        kind="turn",
        surface=OUTSIDE,
        stage=Stage.FINISH,
        zones=(
            Zone(
                id="outside-finish",
                surface=OUTSIDE,
                region=rect(end, start, job.outside_radius_mm, job.bar_radius_mm),
            ),
        ),
        after=(FRONT_FACE, *rough_before(job, Side.FRONT)),
        truth_group=group,
    )
    for ledge in ledges:
        yield finish_step(job, ledge, kind="turn")


def _ways(job: Job, step: Step, holding: Holding) -> Iterable[Way | NoWay]:
    ledge = job.ledge(step.surface)
    if not _can_be_done(step, holding, ledge):
        return
    finish = step.stage is Stage.FINISH
    found = _main_cutting(job, step, holding) if ledge is None else ledge_cutting(job, step, ledge)
    if isinstance(found, NoWay):
        yield found
        return
    if finish and (trouble := last_gauge_trouble(job, step, GaugeUse.OUTSIDE)) is not None:
        yield trouble
        return
    for tool in job.shop.tools:
        if tool.kind is not ToolKind.TURNING:
            continue
        if (trouble := hand_trouble(step, tool)) is not None:
            yield trouble
            continue
        if ledge is not None and (unfit := square_trouble(job, step, tool)) is not None:
            yield unfit
            continue
        cutting = found if ledge is not None else replace(found, end_mm=_main_end_mm(job, holding, tool, found.drive))
        yield _way(job, step, holding, tool, cutting, ledge=ledge)


def _can_be_done(step: Step, holding: Holding, ledge: Ledge | None) -> bool:
    """Whether a holding can be used for a step at all: ledges from their own side; the outside once on the bore too."""
    if ledge is not None:
        return holding.turned and holding.side is ledge.side
    return holding.side is Side.FRONT or (step.stage is Stage.FINISH and holding.leaves_outside)


def _main_cutting(job: Job, step: Step, holding: Holding) -> Cutting | NoWay:
    """Passes along the whole outside of the bar, or of the ring turned round; their end depends on the tool."""
    finish = step.stage is Stage.FINISH
    last, setting = settings_for(job, step, inside=False)
    if isinstance(last, NoWay):
        return last
    if isinstance(setting, NoWay):
        return setting
    drive = along_drive(job, setting.swing)
    if drive is None:
        return nothing_feeds(job, step)
    radii = turned(job, OUTSIDE)
    steps = 0 if radii is None else (radii.last_steps if finish else radii.rough_steps)
    if radii is None or steps < 1:
        return NoWay(
            step=step.id,
            code="bar-leaves-nothing",
            remedies=(AddToShop(thing=_next_bar(job)),),
            tried="roughing the outside",
            why=f"the bar, Ø {said(2 * job.bar_radius_mm, job.units)}, leaves nothing to rough",
            remedy="take the next larger bar",
        )
    rough = job.outside_radius_mm + job.leaves_mm(OUTSIDE)
    return Cutting(
        setting=setting,
        drive=drive,
        steps=steps,
        from_mm=rough if finish else job.bar_radius_mm,
        to_mm=job.outside_radius_mm if finish else rough,
        end_mm=job.turn_end_mm if holding.side is Side.FRONT else -job.width_mm,
        largest_mm=max(rough, radii.rough_mm) if finish else job.bar_radius_mm,
    )


def _main_end_mm(job: Job, holding: Holding, tool: Tool, drive: FeedDrive | None) -> float:
    """Where passes along the outside end: past the ring, or past its far shoulder once it is turned round.

    The first pass is set to a whole step short of this, the second may be another step short (the swung top slide has
    shifted the grid), and the round of the tip has to run clear all the same: half a millimetre
    sooner too where the end is judged by eye.
    """
    if holding.side is Side.FRONT:
        return job.turn_end_mm
    far = max((ledge.depth_mm for ledge in job.stack(Side.FRONT, inner=False)), default=0.0)
    steps = (scale.length_per_step_mm for scale in (job.top, job.carriage) if scale is not None)
    scale = job.top if drive is not None and drive.handle is Handle.TOP else job.carriage
    by_eye = BY_EYE_MM if scale is None else 0.0
    runs_clear = tool.nose_radius_mm + RUN_CLEAR_MM + 2.0 * max(steps, default=0.0) + by_eye
    return far - job.width_mm - max(PAST_END_MM, runs_clear)


def _way(job: Job, step: Step, holding: Holding, tool: Tool, cutting: Cutting, *, ledge: Ledge | None) -> Way | NoWay:
    finish, scale, end = step.stage is Stage.FINISH, cutting.setting.scale, cutting.end_mm
    case = CutCase(
        units=job.units,
        name=f"{'finishing' if finish else 'roughing'} the {'outside' if ledge is None else 'step'}",
        cut=CutKind.FINISH if finish else CutKind.ROUGH,
        process=Process.TURNING,
        tool=tool,
        drive=cutting.drive,
        total_mm=cutting.steps * scale.radius_per_step_mm,
        step_mm=scale.radius_per_step_mm,
        way_mm=CLEAR_MM - end,
        large_dia_mm=2.0 * cutting.largest_mm,
        max_rpm=holding.max_rpm,
        grip_torque_nm=holding.grip_torque_nm,
        stiffness_n_um=work_stiffness_n_um(job, holding, at_mm=0.0),
        bending=bending_of(job, step, static_work_n_um(job, holding, at_mm=0.0)),
        equal_passes=2 if finish else 0,
        roughness_um=roughness_um(job, step.surface) if finish else 0.0,
    )
    found = planned(job, step, case)
    if isinstance(found, NoWay):
        return found
    beyond = cutting.from_mm + 1.0
    path = (Point(CLEAR_MM, beyond), Point(CLEAR_MM, cutting.to_mm), Point(end, cutting.to_mm))
    return Way(
        id=f"{step.id}/{holding.id}/{tool.id}",
        step=step,
        holding=holding,
        tool=tool,
        swing=cutting.setting.swing,
        # before a shoulder the tool goes back along the bed first
        path=path if ledge is not None else (*path, Point(end, beyond)),
        zeros_needed=Zero.ALONG | Zero.ACROSS,
        zeros_lost=zeros_lost(scale),
        schedule=found,
        across=scale,
        cut_ms=found.total_ms,
        extra_ms=measuring_ms(job, cutting.drive.handle, GaugeUse.OUTSIDE, measured=2 if finish else 1),
    )


def _write(w: Writer, way: Way) -> None:
    w.prepare(way)
    finish, ledge = way.step.stage is Stage.FINISH, w.job.ledge(way.step.surface)
    if ledge is not None:
        ledge_passes(w, way, ledge)
        return
    if way.tool is None:
        msg = f"way {way.id}: has no tool"
        raise ValueError(msg)
    end = _main_end_mm(w.job, way.holding, way.tool, along_drive(w.job, way.swing or PARALLEL_SWING))
    if finish and way.holding.side is Side.FRONT:
        end += SHORT_OF_ROUGH_MM
    diameter_passes(
        w,
        DiameterWork(way=way, size=w.job.outside_size, surface=OUTSIDE, inside=False, end_mm=end, finish=finish),
    )


def _title(way: Way) -> str:
    return round_title(way)


KIND = Kind(name="turn", steps=_steps, ways=_ways, write=_write, title=_title)
