"""Turning the outside: roughing that leaves two equal cuts, and those two cuts."""

from __future__ import annotations

from collections.abc import Iterable

from handwheel.data.speeds import CutKind
from handwheel.domain.contour import Point
from handwheel.domain.holding import Holding, Side
from handwheel.domain.part import BORE, FRONT_FACE, OUTSIDE
from handwheel.domain.plan import Stage, Step, Zone
from handwheel.domain.shop import GaugeUse, ToolKind
from handwheel.physics.force import Process
from handwheel.planner.job import Job, rect
from handwheel.planner.kinds.common import (
    SHORT_OF_ROUGH_MM,
    DiameterSetting,
    along_drive,
    diameter_settings,
    gauge_trouble,
    planned,
    roughness_um,
    shared_steps,
    work_stiffness_n_um,
)
from handwheel.planner.kinds.diameter import DiameterWork, diameter_passes
from handwheel.planner.passes import CutCase
from handwheel.planner.way import PARALLEL_SWING, Kind, NoWay, Way, Zero
from handwheel.planner.writer import CLEAR_MM, Writer

ROUGH_OUTSIDE = "rough-outside"


def _steps(job: Job) -> Iterable[Step]:
    segment = job.part.surface(OUTSIDE)
    group = segment.truth_group if segment else None
    rough = job.outside_radius_mm + job.leave_mm
    end, start = job.turn_end_mm, job.face_stock_mm
    yield Step(
        id=ROUGH_OUTSIDE,
        kind="turn",
        surface=OUTSIDE,
        stage=Stage.ROUGH,
        zones=(Zone(id="outside-rough", surface=OUTSIDE, region=rect(end, start, rough, job.bar_radius_mm)),),
        leaves_mm=job.leave_mm,
        after=(FRONT_FACE,),
    )
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
        after=(FRONT_FACE, ROUGH_OUTSIDE, f"rough-{BORE}"),
        truth_group=group,
    )


def _ways(job: Job, step: Step, holding: Holding) -> Iterable[Way | NoWay]:
    finish = step.stage is Stage.FINISH
    if holding.side is Side.BACK and not (finish and holding.gripped_surface == BORE):
        return
    setting = diameter_settings(job, step, job.outside_size, inside=False)
    if isinstance(setting, NoWay):
        yield setting
        return
    if finish and (trouble := gauge_trouble(job, step, job.outside_size, GaugeUse.OUTSIDE)) is not None:
        yield trouble
        return
    last = setting
    if not finish and job.cross is not None:  # roughing goes by the cross-slide whatever the last cuts need
        setting = DiameterSetting(scale=job.cross, swing=PARALLEL_SWING)
    scale = setting.scale
    drive = along_drive(job, setting.swing)
    if drive is None:
        yield NoWay(
            step=step.id,
            tried="feeding along",
            why="nothing can feed along the bed at that angle of the top slide",
            remedy="give the travel of one turn of the carriage's handwheel in the shop file",
        )
        return
    total = job.bar_radius_mm - job.outside_radius_mm
    rough, both = (0, 0) if job.cross is None else shared_steps(job, job.cross, last, total_mm=total)
    steps = both if finish else rough
    if steps < 1:
        yield NoWay(
            step=step.id,
            tried="roughing the outside",
            why=f"the bar, Ø {2 * job.bar_radius_mm:.2f} mm, leaves nothing to rough",
            remedy="take the next larger bar",
        )
        return
    final = job.outside_radius_mm if finish else job.outside_radius_mm + job.leave_mm
    large = job.outside_radius_mm + job.leave_mm if finish else job.bar_radius_mm
    end = job.turn_end_mm if holding.side is Side.FRONT else -job.width_mm - 0.5
    for tool in job.shop.tools:
        if tool.kind is not ToolKind.TURNING:
            continue
        case = CutCase(
            name=f"{'finishing' if finish else 'roughing'} the outside",
            cut=CutKind.FINISH if finish else CutKind.ROUGH,
            process=Process.TURNING,
            tool=tool,
            drive=drive,
            total_mm=steps * scale.radius_per_step_mm,
            step_mm=scale.radius_per_step_mm,
            way_mm=CLEAR_MM - end,
            large_dia_mm=2.0 * large,
            max_rpm=holding.max_rpm,
            stiffness_n_um=work_stiffness_n_um(job, holding, at_mm=0.0),
            equal_passes=2 if finish else 0,
            roughness_um=roughness_um(job, step.surface) if finish else 0.0,
        )
        found = planned(job, step, case)
        if isinstance(found, NoWay):
            yield found
            continue
        yield Way(
            id=f"{step.id}/{holding.id}/{tool.id}",
            step=step,
            holding=holding,
            tool=tool,
            swing=setting.swing,
            path=(
                Point(CLEAR_MM, large + 1.0),
                Point(CLEAR_MM, final),
                Point(end, final),
                Point(end, large + 1.0),
            ),
            zeros_needed=Zero.ALONG | Zero.ACROSS,
            schedule=found,
            across=scale,
            cut_ms=found.total_ms,
            extra_ms=round(1000 * ((2 if finish else 1) * job.shop.habits.measure_s + job.shop.habits.collar_s)),
        )


def _write(w: Writer, way: Way) -> None:
    w.prepare(way)
    end = w.job.turn_end_mm if way.holding.side is Side.FRONT else -w.job.width_mm - 0.5
    if way.step.stage is Stage.FINISH and way.holding.side is Side.FRONT:
        end += SHORT_OF_ROUGH_MM
    diameter_passes(
        w,
        DiameterWork(
            way=way,
            size=w.job.outside_size,
            surface=OUTSIDE,
            inside=False,
            end_mm=end,
            finish=way.step.stage is Stage.FINISH,
        ),
    )


def _title(way: Way) -> str:
    return "Finish the outside" if way.step.stage is Stage.FINISH else "Rough the outside"


KIND = Kind(name="turn", steps=_steps, ways=_ways, write=_write, title=_title)
