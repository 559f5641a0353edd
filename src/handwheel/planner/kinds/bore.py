"""Boring: roughing the drilled hole, and the two equal cuts that bring it to size."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil

from handwheel.data.speeds import CutKind
from handwheel.domain.contour import Point
from handwheel.domain.holding import Holding, Side
from handwheel.domain.part import BORE
from handwheel.domain.plan import Stage, Step, Zone
from handwheel.domain.shop import GaugeUse, ToolKind
from handwheel.physics.force import Process
from handwheel.planner.job import Job, rect
from handwheel.planner.kinds.common import (
    BAR_MARGIN_MM,
    SHORT_OF_ROUGH_MM,
    DiameterSetting,
    along_drive,
    bar_stiffness_n_um,
    diameter_settings,
    gauge_trouble,
    planned,
    roughness_um,
    shared_steps,
)
from handwheel.planner.kinds.diameter import DiameterWork, diameter_passes
from handwheel.planner.kinds.drill import last_drill_step
from handwheel.planner.passes import BAR_DAMPING, CutCase
from handwheel.planner.way import PARALLEL_SWING, Kind, NoWay, Way, Zero
from handwheel.planner.writer import CLEAR_MM, Writer

ROUGH_BORE = f"rough-{BORE}"


def _steps(job: Job) -> Iterable[Step]:
    segment = job.part.surface(BORE)
    group = segment.truth_group if segment else None
    end, start = job.bore_end_mm, job.face_stock_mm
    rough = job.bore_radius_mm - job.leave_mm
    yield Step(
        id=ROUGH_BORE,
        kind="bore",
        surface=BORE,
        stage=Stage.ROUGH,
        zones=(Zone(id="bore-rough", surface=BORE, region=rect(end, start, 0.0, rough)),),
        leaves_mm=job.leave_mm,
        after=(last_drill_step(job),),
    )
    yield Step(
        id=BORE,
        kind="bore",
        surface=BORE,
        stage=Stage.FINISH,
        zones=(Zone(id="bore-finish", surface=BORE, region=rect(end, start, 0.0, job.bore_radius_mm)),),
        after=(ROUGH_BORE, "rough-outside"),
        truth_group=group,
    )


def rough_setting(job: Job, step: Step) -> DiameterSetting | NoWay:
    """Scale for roughing: the cross-slide's, however coarse."""
    if job.cross is None:
        return NoWay(step=step.id, tried="setting the bore", why="the cross-slide has neither dial nor readout")
    return DiameterSetting(scale=job.cross, swing=PARALLEL_SWING)


def _counts(job: Job, setting: DiameterSetting, *, finish: bool) -> tuple[int, float, float]:
    """Steps to take, radius before and radius after."""
    if job.cross is None:
        return 0, 0.0, 0.0
    last = diameter_settings(job, step_of_bore(job), job.bore_size, inside=True)
    rough, both = shared_steps(job, job.cross, last, total_mm=job.bore_radius_mm - job.hole_radius_mm)
    after_rough = job.hole_radius_mm + rough * job.cross.radius_per_step_mm
    if not finish:
        return rough, job.hole_radius_mm, after_rough
    return both, after_rough, after_rough + both * setting.scale.radius_per_step_mm


def step_of_bore(job: Job) -> Step:
    """The step that finishes the bore."""
    return next(step for step in _steps(job) if step.stage is Stage.FINISH)


def _ways(job: Job, step: Step, holding: Holding) -> Iterable[Way | NoWay]:
    if holding.side is not Side.FRONT:
        return
    finish = step.stage is Stage.FINISH
    setting = diameter_settings(job, step, job.bore_size, inside=True) if finish else rough_setting(job, step)
    if isinstance(setting, NoWay):
        yield setting
        return
    if finish and (trouble := gauge_trouble(job, step, job.bore_size, GaugeUse.BORE)) is not None:
        yield trouble
        return
    drive = along_drive(job, setting.swing)
    if drive is None:
        yield NoWay(
            step=step.id,
            tried="feeding along",
            why="nothing can feed along the bed while the top slide is swung",
            remedy="give the travel of one turn of the carriage's handwheel in the shop file",
        )
        return
    scale = setting.scale
    steps, before, after = _counts(job, setting, finish=finish)
    if steps < 1:
        yield NoWay(
            step=step.id,
            tried="boring",
            why=f"after a drill of Ø {2 * job.hole_radius_mm:.1f} mm there is nothing left to bore",
            remedy="end with a smaller drill",
        )
        return
    lossy = scale.handle is not (job.cross.handle if job.cross else None)
    for tool in job.shop.tools:
        if tool.kind is not ToolKind.BORING:
            continue
        if tool.reach_mm < CLEAR_MM - job.bore_end_mm:
            yield NoWay(
                step=step.id,
                tried=tool.name,
                why=f"it reaches {tool.reach_mm:g} mm and the bore with its overrun is {-job.bore_end_mm:.1f} mm deep",
                remedy=f"a boring bar that reaches {ceil(CLEAR_MM - job.bore_end_mm)} mm",
            )
            continue
        case = CutCase(
            name=f"{'finishing' if finish else 'roughing'} the bore",
            cut=CutKind.BORE,
            process=Process.BORING,
            tool=tool,
            drive=drive,
            total_mm=steps * scale.radius_per_step_mm,
            step_mm=scale.radius_per_step_mm,
            way_mm=CLEAR_MM - job.bore_end_mm,
            large_dia_mm=2.0 * after,
            max_rpm=holding.max_rpm,
            stiffness_n_um=bar_stiffness_n_um(job, tool, depth_mm=-job.bore_end_mm),
            damping=BAR_DAMPING,
            equal_passes=2 if finish else 0,
            roughness_um=roughness_um(job, step.surface) if finish else 0.0,
        )
        found = planned(job, step, case)
        if isinstance(found, NoWay):
            yield found
            continue
        enter = before - 0.5
        yield Way(
            id=f"{step.id}/{holding.id}/{tool.id}",
            step=step,
            holding=holding,
            tool=tool,
            swing=setting.swing,
            path=(
                Point(CLEAR_MM, enter),
                Point(job.bore_end_mm, enter),
                Point(job.bore_end_mm, job.bore_radius_mm - (0.0 if finish else job.leave_mm)),
                Point(CLEAR_MM, job.bore_radius_mm - (0.0 if finish else job.leave_mm)),
            ),
            zeros_needed=Zero.ACROSS if lossy and job.carriage is None else Zero.ALONG | Zero.ACROSS,
            schedule=found,
            across=scale,
            reach_mm=CLEAR_MM - job.bore_end_mm + BAR_MARGIN_MM,
            cut_ms=found.total_ms,
            extra_ms=round(1000 * ((2 if finish else 1) * job.shop.habits.measure_s + job.shop.habits.collar_s)),
        )


def _write(w: Writer, way: Way) -> None:
    w.prepare(way)
    diameter_passes(
        w,
        DiameterWork(
            way=way,
            size=w.job.bore_size,
            surface=BORE,
            inside=True,
            end_mm=w.job.bore_end_mm + (SHORT_OF_ROUGH_MM if way.step.stage is Stage.FINISH else 0.0),
            finish=way.step.stage is Stage.FINISH,
        ),
    )


def _title(way: Way) -> str:
    return "Finish the bore" if way.step.stage is Stage.FINISH else "Rough the bore"


KIND = Kind(name="bore", steps=_steps, ways=_ways, write=_write, title=_title)
