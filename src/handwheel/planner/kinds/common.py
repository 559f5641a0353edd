"""What several kinds of step share: drives, scales for a diameter, stiffness, gauges."""

from __future__ import annotations

from dataclasses import dataclass

from handwheel.domain.holding import Holding, Side
from handwheel.domain.motion import Motion
from handwheel.domain.plan import Step
from handwheel.domain.shop import GaugeUse, Tool
from handwheel.domain.size import Size
from handwheel.physics.deflection import cantilever_stiffness_n_mm, second_moment_mm4
from handwheel.planner.dialing import Scale, steps_at_most, top_scale
from handwheel.planner.job import Job
from handwheel.planner.passes import CutCase, FeedDrive, NoSchedule, Schedule, schedule
from handwheel.planner.way import PARALLEL_SWING, NoWay, Swing
from handwheel.planner.writer import CLEAR_MM

FINE_ANGLE_DEG = 5.739
"""Top-slide angle that gives 10 : 1, asin(1/10) (practice case PC-07)."""
STEEL_N_MM2 = 210_000.0
"""Modulus of a steel boring bar (from memory, cutting-models section 9)."""
USUAL_RA_UM = 3.2
"""Mean roughness when the drawing asks for none: upper end of what turning typically gives (from memory of the ASME
B46.1 chart)."""
BAR_MARGIN_MM = 3.0
"""How much further than the depth a boring bar stands out, for the holder to stay clear."""
SHORT_OF_ROUGH_MM = 0.5
"""How much the last cuts stop short of the roughing: its shoulder keeps the round of the tip."""
GAUGE_SHARE = 0.5
"""A gauge decides a size if its uncertainty, both ways, takes no more than this share of the tolerance."""


def along_drive(job: Job, swing: Swing) -> FeedDrive | None:
    """What feeds along the bed: the gearbox; else the top slide while it is parallel; else the carriage by hand."""
    lathe = job.shop.lathe
    if lathe.feeds_along:
        return FeedDrive(slide=lathe.carriage, power=lathe.feeds_along)
    if swing == PARALLEL_SWING and lathe.top.dial is not None:
        return FeedDrive(slide=lathe.top)
    if lathe.carriage.travel_per_turn_mm > 0:
        return FeedDrive(slide=lathe.carriage)
    return None


def across_drive(job: Job) -> FeedDrive:
    """What feeds across the bed: the cross-slide, by the gearbox if it can."""
    return FeedDrive(slide=job.shop.lathe.cross, power=job.shop.lathe.feeds_across)


def work_stiffness_n_um(job: Job, holding: Holding, *, at_mm: float) -> float:
    """Stiffness between tool and work where it is cut: machine and overhanging bar in series. [N/µm]"""
    machine = job.shop.lathe.tool_stiffness_n_um
    length = max(1.0, at_mm - holding.jaw_face_mm)
    modulus = job.material.range("e_modulus").least * 1000.0
    dia = 2.0 * (job.bar_radius_mm if holding.side is Side.FRONT else job.outside_radius_mm)
    work = cantilever_stiffness_n_mm(length, e_n_mm2=modulus, moment_mm4=second_moment_mm4(dia)) / 1000.0
    return 1.0 / (1.0 / machine + 1.0 / work)


def bar_stiffness_n_um(job: Job, tool: Tool, *, depth_mm: float) -> float:
    """Stiffness of a boring bar at its tip, set out no further than the depth needs; machine in series. [N/µm]"""
    machine = job.shop.lathe.tool_stiffness_n_um
    moment = second_moment_mm4(tool.bar_dia_mm)
    out = min(tool.reach_mm, depth_mm + CLEAR_MM + BAR_MARGIN_MM)
    bar = cantilever_stiffness_n_mm(out, e_n_mm2=STEEL_N_MM2, moment_mm4=moment) / 1000.0
    return 1.0 / (1.0 / machine + 1.0 / bar)


def roughness_um(job: Job, surface: str) -> float:
    """Mean roughness asked of a surface, or what turning usually gives. [µm]"""
    segment = job.part.surface(surface)
    return USUAL_RA_UM if segment is None or segment.finish_ra_um is None else segment.finish_ra_um


def planned(job: Job, step: Step, case: CutCase) -> Schedule | NoWay:
    """Schedule of a case, or why there is none."""
    found = schedule(case, material=job.material, lathe=job.shop.lathe, habits=job.shop.habits)
    if isinstance(found, NoSchedule):
        return NoWay(step=step.id, tried=f"{case.tool.name}, {case.name}", why=found.why, remedy=found.remedy)
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class DiameterSetting:
    """How a diameter will be set: by which scale, at which angle of the top slide."""

    scale: Scale
    swing: Swing


def diameter_settings(job: Job, step: Step, size: Size, *, inside: bool) -> DiameterSetting | NoWay:
    """Coarsest scale that can set a size inside its limits: the cross-slide, else the top slide swung to about 10 : 1.

    A whole number of steps always lands in the limits if the band is at least one step wide.
    """
    band = float(size.band)
    if job.cross is not None and job.cross.dia_per_step_mm <= band + 1e-9:
        return DiameterSetting(scale=job.cross, swing=PARALLEL_SWING)
    fine = fine_setting(job, inside=inside)
    if fine is not None and fine.scale.dia_per_step_mm <= band:
        return fine
    worth = f"{job.cross.dia_per_step_mm:.3f} mm" if job.cross else "nothing (no dial)"
    return NoWay(
        step=step.id,
        tried="setting the diameter",
        why=f"the tolerance is {band:.3f} mm wide and one step of the cross-slide is worth {worth} on the diameter"
        + ("" if fine is None else f"; the swung top slide gives {fine.scale.dia_per_step_mm:.4f} mm"),
        remedy="use a reamer or a lap of that size, widen the tolerance, or fit a dial or readout with finer steps",
    )


def fine_setting(job: Job, *, inside: bool) -> DiameterSetting | None:
    """The top slide swung to the division nearest 10 : 1, feeding into the metal as it is wound to the left."""
    scale = job.shop.lathe.top.angle_scale
    if scale is None or job.shop.lathe.top.dial is None:
        return None
    divisions = max(1, round(FINE_ANGLE_DEG / float(scale.step_deg)))
    angle = divisions * scale.step_deg
    if angle > scale.max_deg:
        return None
    found = top_scale(job.shop.lathe.top, angle)
    if found is None:
        return None
    return DiameterSetting(scale=found, swing=Swing(angle, Motion.OUT if inside else Motion.IN))


def gauge_trouble(job: Job, step: Step, size: Size, use: GaugeUse) -> NoWay | None:
    """Why no gauge of the shop can decide a size, or ``None``."""
    nominal = float(size.cut_target)
    fit = [g for g in job.shop.gauges if use in g.uses and g.low_mm <= nominal <= g.high_mm]
    if not fit:
        return NoWay(
            step=step.id,
            tried=f"measuring {use.value}",
            why=f"no gauge of the shop measures a {use.value} of {nominal:.2f} mm",
            remedy="add the gauge that you will use to the shop file, or borrow one",
        )
    best = min(g.uncertainty_mm for g in fit)
    if 2.0 * best > GAUGE_SHARE * float(size.band):
        return NoWay(
            step=step.id,
            tried=f"measuring {use.value}",
            why=f"the best gauge is uncertain by ±{best:.3f} mm and the tolerance is {float(size.band):.3f} mm wide",
            remedy="use a plug or ring gauge of that size, a better gauge, or widen the tolerance",
        )
    return None


def cut_steps(job: Job, scale: Scale) -> int:
    """Steps of each of the two equal last cuts."""
    step = scale.radius_per_step_mm
    return max(1, -int(-(job.finish_cut_mm - 1e-9) // step))


def shared_steps(job: Job, cross: Scale, last: DiameterSetting | NoWay, *, total_mm: float) -> tuple[int, int]:
    """Steps of roughing by the cross-slide, and of the two equal last cuts together by the scale that sets the size.

    On one scale the roughing ends within half a step of what makes the last cuts end at the target; on the finer scale
    of a swung slide the last cuts themselves do. ``total_mm`` is the thickness to come off altogether.
    """
    step = cross.radius_per_step_mm
    fine = isinstance(last, NoWay) or last.scale.handle is not cross.handle
    rough = steps_at_most(total_mm - job.leave_mm, step) if fine else round(total_mm / step) - 2 * cut_steps(job, cross)
    last_step = step if isinstance(last, NoWay) else last.scale.radius_per_step_mm
    return rough, 2 * round((total_mm - rough * step) / (2.0 * last_step))
