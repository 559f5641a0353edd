"""Boring: roughing the drilled hole and its steps, and the two equal cuts that bring each to size."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil

from handwheel.data.speeds import CutKind
from handwheel.domain.contour import Point
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.holding import Holding, Side
from handwheel.domain.part import BORE
from handwheel.domain.plan import Stage, Step, Zone
from handwheel.domain.remedies import AddToShop
from handwheel.domain.said import said, said_short
from handwheel.domain.tools import Tool, ToolKind
from handwheel.physics.force import Process
from handwheel.physics.quiet_cut import BAR_DAMPING
from handwheel.planner import offers
from handwheel.planner.cut_case import CutCase
from handwheel.planner.gauge_room import measuring_ms
from handwheel.planner.job import Job, rect
from handwheel.planner.kinds.common import (
    BAR_MARGIN_MM,
    SHORT_OF_ROUGH_MM,
    along_drive,
    bar_stiffness_n_um,
    bending_of,
    no_cross_scale,
    nothing_feeds,
    planned,
    roughness_um,
    static_bar_n_um,
)
from handwheel.planner.kinds.diameter import DiameterWork, diameter_passes, ledge_passes, round_title, zeros_lost
from handwheel.planner.kinds.drill import last_drill_step
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
from handwheel.planner.kinds.slack import slack_trouble
from handwheel.planner.ledges import Ledge
from handwheel.planner.way import Kind, NoWay, Way, Zero
from handwheel.planner.writer import CLEAR_MM, Writer

ROUGH_BORE = f"rough-{BORE}"
LEAST_OFF_MM = 0.3
"""How far the tip is drawn off the wall at least before the bar goes along the hole."""
ENTER_MM = 0.5
"""How far off the wall the tip goes into the hole."""


def _steps(job: Job) -> Iterable[Step]:
    segment = job.part.surface(BORE)
    group = segment.truth_group if segment else None
    ledges = [ledge for ledge in job.ledges if ledge.inner]
    end, start = job.bore_end_mm, job.face_stock_mm
    rough = job.rough_bore_mm
    if job.sized_by_drill or (job.reaming is not None and not job.reaming.is_bored):
        return
    yield Step(
        id=ROUGH_BORE,
        kind="bore",
        surface=BORE,
        stage=Stage.ROUGH,
        zones=(Zone(id="bore-rough", surface=BORE, region=rect(end, start, 0.0, rough)),),
        leaves_mm=job.bore_radius_mm - rough,
        after=(last_drill_step(job),),
    )
    if job.reaming is not None:
        return
    for ledge in ledges:
        yield rough_step(job, ledge, kind="bore")
    yield Step(
        id=BORE,
        kind="bore",
        surface=BORE,
        stage=Stage.FINISH,
        zones=(Zone(id="bore-finish", surface=BORE, region=rect(end, start, 0.0, job.bore_radius_mm)),),
        after=rough_before(job, Side.FRONT),
        truth_group=group,
    )
    for ledge in ledges:
        yield finish_step(job, ledge, kind="bore")


def _ways(job: Job, step: Step, holding: Holding) -> Iterable[Way | NoWay]:
    ledge = job.ledge(step.surface)
    if not holding.turned or holding.side is not (Side.FRONT if ledge is None else ledge.side):
        return
    finish = step.stage is Stage.FINISH
    found = _main_cutting(job, step) if ledge is None else ledge_cutting(job, step, ledge)
    if isinstance(found, NoWay):
        yield found
        return
    if finish and (trouble := last_gauge_trouble(job, step, GaugeUse.BORE)) is not None:
        yield trouble
        return
    for tool in job.shop.tools:
        if tool.kind is not ToolKind.BORING:
            continue
        unfit = hand_trouble(step, tool) or _unfit(job, step, tool, found, ledge=ledge)
        yield unfit if unfit is not None else _way(job, step, holding, tool, found, ledge=ledge)


def _unfit(job: Job, step: Step, tool: Tool, cutting: Cutting, *, ledge: Ledge | None) -> NoWay | None:
    """Why a bar cannot do it: too short, no room to take up the slack, or no square shoulder."""
    if tool.reach_mm < CLEAR_MM - cutting.end_mm:
        return NoWay(
            step=step.id,
            code="boring-bar-too-short",
            remedies=(AddToShop(thing=offers.like(tool, reach_mm=ceil(CLEAR_MM - cutting.end_mm))),),
            tried=tool.name,
            why=f"it reaches {said_short(tool.reach_mm, job.units)} and the bore with its overrun is "
            f"{said(-cutting.end_mm, job.units, places=1)} deep",
            remedy=f"a boring bar that reaches {said_short(ceil(CLEAR_MM - cutting.end_mm), job.units)}",
        )
    if (tight := slack_trouble(job, step, tool, hole_dia_mm=2.0 * cutting.from_mm)) is not None:
        return tight
    return None if ledge is None else square_trouble(job, step, tool)


def _main_cutting(job: Job, step: Step) -> Cutting | NoWay:
    """Passes through the whole bore."""
    if job.cross is None:
        return no_cross_scale(job, step, "setting the bore")
    finish = step.stage is Stage.FINISH
    _, setting = settings_for(job, step, inside=True)
    if isinstance(setting, NoWay):
        return setting
    drive = along_drive(job, setting.swing)
    if drive is None:
        return nothing_feeds(job, step)
    radii = turned(job, BORE)
    steps = 0 if radii is None else (radii.last_steps if finish else radii.rough_steps)
    if radii is None or steps < 1:
        return NoWay(
            step=step.id,
            code="nothing-to-bore",
            tried="boring",
            why=f"after a drill of Ø {said(2 * job.hole_radius_mm, job.units, places=1)} there is nothing left to bore",
            remedy="end with a smaller drill",
        )
    return Cutting(
        setting=setting,
        drive=drive,
        steps=steps,
        from_mm=radii.rough_mm if finish else radii.before_mm,
        to_mm=job.bore_radius_mm if finish else job.rough_bore_mm,
        end_mm=job.bore_end_mm,
        largest_mm=max(job.bore_radius_mm, radii.final_mm) if finish else radii.rough_mm,
    )


def _way(job: Job, step: Step, holding: Holding, tool: Tool, cutting: Cutting, *, ledge: Ledge | None) -> Way | NoWay:
    finish, scale, end = step.stage is Stage.FINISH, cutting.setting.scale, cutting.end_mm
    case = CutCase(
        units=job.units,
        name=f"{'finishing' if finish else 'roughing'} the {'bore' if ledge is None else 'step'}",
        cut=CutKind.BORE,
        process=Process.BORING,
        tool=tool,
        drive=cutting.drive,
        total_mm=cutting.steps * scale.radius_per_step_mm,
        step_mm=scale.radius_per_step_mm,
        way_mm=CLEAR_MM - end,
        large_dia_mm=2.0 * cutting.largest_mm,
        max_rpm=holding.max_rpm,
        grip_torque_nm=holding.grip_torque_nm,
        stiffness_n_um=bar_stiffness_n_um(job, tool, holding, depth_mm=-end),
        damping=BAR_DAMPING,
        bending=bending_of(job, step, static_bar_n_um(job, tool, holding, depth_mm=-end)),
        equal_passes=2 if finish else 0,
        roughness_um=roughness_um(job, step.surface) if finish else 0.0,
    )
    found = planned(job, step, case)
    if isinstance(found, NoWay):
        return found
    # the hand winds off the slack before the bar moves: there must be room behind it for both
    enter = cutting.from_mm - max(ENTER_MM, LEAST_OFF_MM + float(job.shop.lathe.cross.slack_mm))
    lossy = scale.handle is not (job.cross.handle if job.cross else None)
    path = (
        Point(CLEAR_MM, enter),
        Point(end, enter),
        Point(end, cutting.to_mm),
        Point(CLEAR_MM, cutting.to_mm),
    )
    return Way(
        id=f"{step.id}/{holding.id}/{tool.id}",
        step=step,
        holding=holding,
        tool=tool,
        swing=cutting.setting.swing,
        path=path,
        zeros_needed=Zero.ACROSS if lossy and job.carriage is None else Zero.ALONG | Zero.ACROSS,
        zeros_lost=zeros_lost(scale),
        schedule=found,
        across=scale,
        reach_mm=CLEAR_MM - end + BAR_MARGIN_MM,
        cut_ms=found.total_ms,
        extra_ms=measuring_ms(job, cutting.drive.handle, GaugeUse.BORE, measured=2 if finish else 1),
    )


def _write(w: Writer, way: Way) -> None:
    w.prepare(way)
    finish, ledge = way.step.stage is Stage.FINISH, w.job.ledge(way.step.surface)
    if ledge is not None:
        ledge_passes(w, way, ledge)
        return
    end = w.job.bore_end_mm + (SHORT_OF_ROUGH_MM if finish else 0.0)
    diameter_passes(
        w, DiameterWork(way=way, size=w.job.bore_size, surface=BORE, inside=True, end_mm=end, finish=finish)
    )


def _title(way: Way) -> str:
    return round_title(way)


KIND = Kind(name="bore", steps=_steps, ways=_ways, write=_write, title=_title)
