"""What several kinds of step share: drives, scales for a diameter, stiffness, gauges."""

from __future__ import annotations

from math import inf

from msgspec import Struct
from msgspec.structs import replace

from handwheel.data.chatter_factor import chatter_factor
from handwheel.data.roughness import ra_words, roughness_grades_um
from handwheel.domain.chatter import Learner
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.holding import Holding, Side
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.part import Aspect
from handwheel.domain.plan import Stage, Step
from handwheel.domain.remedies import AddToShop, AllowFinish, AllowSize, FitSlide, Remedy
from handwheel.domain.said import said
from handwheel.domain.size import Size
from handwheel.domain.slides import Slide
from handwheel.domain.tools import Tool
from handwheel.physics.deflection import STEEL_N_MM2
from handwheel.physics.quiet_cut import overhang_stiffness_n_um
from handwheel.planner import offers
from handwheel.planner.cut_case import Bending, CaseResult, CutCase, FeedDrive, NoSchedule, Schedule
from handwheel.planner.dialing import Scale, cross_scale, steps_at_most, top_scale
from handwheel.planner.gentler import gentler_schedule
from handwheel.planner.job import Job, LastCut
from handwheel.planner.passes import schedule
from handwheel.planner.way import PARALLEL_SWING, NoWay, Swing
from handwheel.planner.writer import CLEAR_MM

FINE_ANGLE_DEG = 5.739
"""Top-slide angle that gives 10 : 1, asin(1/10) (practice case PC-07)."""
USUAL_RA_UM = 3.2
"""Mean roughness when the drawing asks for none: upper end of what turning typically gives (from memory of the ASME
B46.1 chart)."""
BAR_MARGIN_MM = 3.0
"""How much further than the depth a boring bar stands out, for the holder to stay clear."""
SHORT_OF_ROUGH_MM = 0.5
"""How much the last cuts stop short of the roughing: its shoulder keeps the round of the tip."""
NO_FEED_CODE = "no-feed"
FINE_READOUT_MM = 0.002
"""Steps of a readout that is offered where the top slide would else have to be swung."""
TINY_MM = 1e-9
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
    """Stiffness that the limit of chatter goes by: `static_work_n_um`, scaled by what the shop has heard. [N/µm]"""
    return chatter_factor(job.shop, Learner.TURNING) * static_work_n_um(job, holding, at_mm=at_mm)


def static_work_n_um(job: Job, holding: Holding, *, at_mm: float) -> float:
    """Stiffness between tool and work where it is cut: machine and overhanging bar in series. [N/µm]"""
    on_bar = holding.side is Side.FRONT
    return overhang_stiffness_n_um(
        job.shop.lathe.tool_stiffness_n_um,
        length_mm=at_mm - holding.jaw_face_mm,
        dia_mm=2.0 * (job.grip_radius_mm if on_bar else job.outside_radius_mm),
        bore_dia_mm=2.0 * job.bar_bore_radius_mm if on_bar else 0.0,
        e_n_mm2=job.material.range("e_modulus").least * 1000.0,
    )


def bar_stiffness_n_um(job: Job, tool: Tool, holding: Holding, *, depth_mm: float) -> float:
    """Stiffness that the limit of chatter goes by: `static_bar_n_um`, scaled by what the shop has heard. [N/µm]"""
    return chatter_factor(job.shop, Learner.BORING) * static_bar_n_um(job, tool, holding, depth_mm=depth_mm)


def static_bar_n_um(job: Job, tool: Tool, holding: Holding, *, depth_mm: float) -> float:
    """Stiffness of a boring bar at its tip; machine in series. [N/µm]

    It is set out no further than the depth needs, or than the deepest of the steps that it does in one holding: it is
    clamped once for all of them.
    """
    needs = max(depth_mm + CLEAR_MM + BAR_MARGIN_MM, dict(job.stands_out_mm).get((holding.id, tool.id), 0.0))
    return overhang_stiffness_n_um(
        job.shop.lathe.tool_stiffness_n_um,
        length_mm=min(tool.reach_mm, needs),
        dia_mm=tool.bar_dia_mm,
        e_n_mm2=STEEL_N_MM2,
    )


def bending_of(job: Job, step: Step, stiffness_n_um: float) -> Bending | None:
    """What the last cuts of a step had better not bend too far; ``None`` while it is roughed."""
    if step.stage is not Stage.FINISH:
        return None
    band = float(job.size(step.surface, Aspect.DIAMETER).band)
    return Bending(tolerance_mm=band, stiffness_n_um=stiffness_n_um)


def roughness_um(job: Job, surface: str) -> float:
    """Mean roughness asked of a surface, or what turning usually gives. [µm]"""
    segment = job.part.surface(surface)
    return USUAL_RA_UM if segment is None or segment.finish_ra_um is None else segment.finish_ra_um


def planned(job: Job, step: Step, case: CutCase) -> Schedule | NoWay:
    """Schedule of a case, or why there is none; a gentler one where the job asks for it."""
    if job.gentler is None:
        found = _schedule_of(job, case)
    else:
        found = gentler_schedule(case, step.id, job.gentler, lambda eased: _schedule_of(job, eased))
    if isinstance(found, NoSchedule):
        coarser = _coarser_finish(job, step, case)
        return NoWay(
            step=step.id,
            code=found.code,
            tried=f"{case.tool.name}, {case.name}",
            why=found.why.removeprefix(f"{case.name}: "),
            remedy=found.remedy + _coarser_words(case, coarser),
            remedies=(*found.remedies, *_finer_feed(job, case, found.code), *coarser),
            bears_mm=found.bears_mm,
            straight_mm=found.straight_mm,
        )
    return found


def _schedule_of(job: Job, case: CutCase) -> CaseResult:
    """Schedule of a case, worked out once."""
    found = job.schedules.get(case)
    if found is None:
        found = schedule(case, material=job.material, lathe=job.shop.lathe, habits=job.shop.habits)
        job.schedules[case] = found
    return found


def _coarser_finish(job: Job, step: Step, case: CutCase) -> tuple[AllowFinish, ...]:
    """The finest grade of roughness at which the cut goes, where it is a finer one than usual that forbids it."""
    if not 0 < case.roughness_um < USUAL_RA_UM:
        return ()
    for grade, ra_um in roughness_grades_um().items():
        rougher = replace(case, roughness_um=float(ra_um))
        if case.roughness_um < ra_um <= USUAL_RA_UM and isinstance(_schedule_of(job, rougher), Schedule):
            return (AllowFinish(surface=step.surface, ra_um=float(ra_um), grade=grade),)
    return ()


def _coarser_words(case: CutCase, coarser: tuple[AllowFinish, ...]) -> str:
    if not coarser:
        return ""
    return f"; or a coarser finish than {ra_words(case.roughness_um)}, which asks for so fine a feed"


def _finer_feed(job: Job, case: CutCase, code: str) -> tuple[Remedy, ...]:
    """What lets the top slide feed where the carriage's wheel is too coarse: its dial, or a cross-slide fine enough.

    The carriage feeds only where the top slide has no dial, or is swung because the cross-slide is too coarse.
    """
    if code != NO_FEED_CODE or case.drive.handle is not Handle.CARRIAGE:
        return ()
    lathe = job.shop.lathe
    if lathe.top.dial is None:
        return (FitSlide(slide=offers.with_dial(lathe.top)),)
    return _readout_remedies(lathe.cross, step_mm=FINE_READOUT_MM)


class DiameterSetting(Struct, frozen=True, kw_only=True):
    """How a diameter will be set: by which scale, at which angle of the top slide."""

    scale: Scale
    swing: Swing


def diameter_settings(job: Job, step: Step, size: Size, *, inside: bool) -> DiameterSetting | NoWay:
    """Coarsest scale whose steps are no wider than the limits: cross-slide, else the top slide swung to about 10 : 1.

    On the cross-slide a whole number of steps then lands in the limits; whether two equal last cuts of the swung slide
    do is seen when they are shared out (`rounds.settings_for`).
    """
    band = float(size.band)
    may_be_coarse = step.surface not in job.fine_surfaces
    if may_be_coarse and job.cross is not None and job.cross.dia_per_step_mm <= band + 1e-9:
        return DiameterSetting(scale=job.cross, swing=PARALLEL_SWING)
    fine = fine_setting(job, inside=inside)
    if fine is not None and fine.scale.dia_per_step_mm <= band:
        return fine
    worth = f"{said(job.cross.dia_per_step_mm, job.units, places=3)}" if job.cross else "nothing (no dial)"
    return NoWay(
        step=step.id,
        code="tolerance-finer-than-dial",
        remedies=_finer_settings(job, step, size),
        tried="setting the diameter",
        why=f"the tolerance is {said(band, job.units, places=3)} wide and one step of the cross-slide is worth "
        f"{worth} on the diameter"
        + (
            ""
            if fine is None
            else f"; the swung top slide gives {said(fine.scale.dia_per_step_mm, job.units, places=4)}"
        ),
        remedy="use a reamer or a lap of that size, widen the tolerance, or fit a dial or readout with finer steps",
    )


def last_cuts_miss(job: Job, step: Step, size: Size, *, off_mm: float, step_mm: float) -> NoWay:
    """Trouble of two equal last cuts that end outside the limits, ``off_mm`` of diameter from the target."""
    return NoWay(
        step=step.id,
        code="tolerance-finer-than-dial",
        remedies=(
            *_finer_settings(job, step, size),
            AllowSize(surface=step.surface, aspect=Aspect.DIAMETER, size=offers.wider(size, band_mm=2.0 * off_mm)),
        ),
        tried="setting the diameter with the top slide swung",
        why=f"the tolerance is {said(size.band, job.units, places=4)} wide, one step is worth "
        f"{said(step_mm, job.units, places=4)} on the diameter, and two equal last cuts end "
        f"{said(off_mm, job.units, places=4)} from its middle",
        remedy="use a reamer or a lap of that size, widen the tolerance, or fit a dial or readout with finer steps",
    )


def _finer_settings(job: Job, step: Step, size: Size) -> tuple[Remedy, ...]:
    """What would set a diameter: halves of a mark, the top slide swung by a scale, a readout, or wider limits."""
    lathe, band = job.shop.lathe, float(size.band)
    found: list[Remedy] = []
    if lathe.cross.dial is not None and not lathe.cross.dial.halves:
        halved = replace(lathe.cross, dial=replace(lathe.cross.dial, halves=True))
        if cross_scale_dia_mm(halved) <= band:
            found.append(FitSlide(slide=halved))
    if lathe.top.dial is not None and lathe.top.angle_scale is None:
        found.append(FitSlide(slide=offers.with_angle_scale(lathe.top)))
    readout = offers.with_readout(lathe.cross, step_mm=band / 2.0)
    if readout is not None:
        found.append(FitSlide(slide=readout))
    worth = min((cross_scale_dia_mm(slide) for slide in (lathe.cross,) if job.cross is not None), default=band)
    if worth > band:
        wide = offers.wider(size, band_mm=worth)
        found.append(AllowSize(surface=step.surface, aspect=Aspect.DIAMETER, size=wide))
    return tuple(found)


def cross_scale_dia_mm(slide: Slide) -> float:
    """What one step of a cross-slide is worth on the diameter; without bound if it has no scale. [mm]"""
    scale = cross_scale(slide)
    return inf if scale is None else scale.dia_per_step_mm


def no_cross_scale(job: Job, step: Step, tried: str) -> NoWay:
    """Trouble of a cross-slide that nothing tells the place of."""
    return NoWay(
        step=step.id,
        code="no-cross-scale",
        tried=tried,
        why="the cross-slide has neither dial nor readout",
        remedy="fit a dial or a readout to the cross-slide and describe it in the shop file",
        remedies=_readout_remedies(job.shop.lathe.cross, step_mm=0.01),
    )


def no_length_scale(job: Job, step: Step, tried: str) -> NoWay:
    """Trouble of a lathe on which nothing tells how far the tool goes along the bed."""
    carriage = offers.with_indicator(job.shop.lathe.carriage, reach_mm=job.length_reach_mm)
    return NoWay(
        step=step.id,
        code="no-length-scale",
        tried=tried,
        why="nothing tells how far the tool goes along the bed",
        remedy="fit an indicator or rule to the carriage and add it to the shop file",
        remedies=(FitSlide(slide=carriage),),
    )


def nothing_feeds(job: Job, step: Step) -> NoWay:
    """Trouble of a lathe on which nothing feeds along the bed."""
    return NoWay(
        step=step.id,
        code="nothing-feeds-along",
        tried="feeding along",
        why="nothing can feed along the bed at that angle of the top slide",
        remedy="give the travel of one turn of the carriage's handwheel in the shop file",
        remedies=(FitSlide(slide=offers.with_turn(job.shop.lathe.carriage)),),
    )


def _readout_remedies(slide: Slide, *, step_mm: float) -> tuple[Remedy, ...]:
    fitted = offers.with_readout(slide, step_mm=step_mm)
    return () if fitted is None else (FitSlide(slide=fitted),)


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


def gauge_trouble(
    job: Job, step: Step, size: Size, use: GaugeUse, *, on_the_way_mm: float | None = None
) -> NoWay | None:
    """Why no gauge of the shop can decide a size, or ``None``; ``on_the_way_mm`` is measured too, before the end."""
    nominal = float(size.cut_target)
    fit = [g for g in job.shop.gauges if use in g.uses and g.low_mm <= nominal <= g.high_mm]
    for wanted in (nominal,) if on_the_way_mm is None else (nominal, on_the_way_mm):
        if any(use in g.uses and g.low_mm <= wanted <= g.high_mm for g in job.shop.gauges):
            continue
        return NoWay(
            step=step.id,
            code="no-gauge-in-range",
            remedies=(AddToShop(thing=offers.gauge(size, use)),),
            tried=f"measuring {use.value}",
            why=f"no gauge of the shop takes {said(wanted, job.units)} ({use.value})",
            remedy="add the gauge that you will use to the shop file, or borrow one",
        )
    best = min(g.uncertainty_mm for g in fit)
    if 2.0 * best > GAUGE_SHARE * float(size.band):
        return NoWay(
            step=step.id,
            code="gauge-too-coarse",
            remedies=(
                AddToShop(thing=offers.gauge(size, use)),
                AllowSize(
                    surface=step.surface,
                    aspect=_measured_aspect(use),
                    size=offers.wider(size, band_mm=2.0 * best / GAUGE_SHARE),
                ),
            ),
            tried=f"measuring {use.value}",
            why=f"the best gauge is uncertain by ±{said(best, job.units, places=3)} and the tolerance is "
            f"{said(size.band, job.units, places=3)} wide",
            remedy="use a plug or ring gauge of that size, a better gauge, or widen the tolerance",
        )
    return None


def _measured_aspect(use: GaugeUse) -> Aspect:
    return {GaugeUse.LENGTH: Aspect.WIDTH, GaugeUse.DEPTH: Aspect.DEPTH}.get(use, Aspect.DIAMETER)


def cut_steps(cut: LastCut, scale: Scale) -> int:
    """Steps of each of the two equal last cuts."""
    step = scale.radius_per_step_mm
    return max(1, steps_at_most(cut.most_mm, step) if cut.lighter else -int(-(cut.least_mm - 1e-9) // step))


def shared_steps(
    cut: LastCut, cross: Scale, last: DiameterSetting | NoWay, *, total_mm: float, band_mm: float
) -> tuple[int, int]:
    """Steps of roughing by the cross-slide, and of the two equal last cuts together by the scale that sets the size.

    On one scale the roughing ends within half a step of what makes the last cuts end at the target. On the finer scale
    of a swung slide the last cuts themselves do, but as they are alike they end only at every other step: so where the
    target falls between, the roughing leaves a few steps more. ``total_mm`` is the thickness to come off altogether,
    ``band_mm`` the tolerance of the diameter.
    """
    step = cross.radius_per_step_mm
    if not isinstance(last, NoWay) and last.scale.handle is cross.handle:
        rough = round(total_mm / step) - 2 * cut_steps(cut, cross)
        return rough, 2 * round((total_mm - rough * step) / (2.0 * step))
    last_step = step if isinstance(last, NoWay) else last.scale.radius_per_step_mm
    most = steps_at_most(total_mm - 2.0 * cut.least_mm, step)
    fewest = min(most, max(1, most - steps_at_most(2.0 * (cut.most_mm - cut.least_mm), step)))
    roughings = range(fewest, most + 1) if cut.lighter else range(most, fewest - 1, -1)
    tries = [(rough, 2 * round((total_mm - rough * step) / (2.0 * last_step))) for rough in roughings]
    borne = [tried for tried in tries if tried[1] * last_step <= 2.0 * cut.most_mm + TINY_MM]
    tries = borne if cut.lighter and borne else tries

    def off_mm(tried: tuple[int, int]) -> float:
        return abs(total_mm - tried[0] * step - tried[1] * last_step)

    # a quarter of the tolerance off the target, or less, is as good as on it
    close = (tried for tried in tries if 2.0 * off_mm(tried) <= band_mm / 4.0)
    return next(close, min(tries, key=off_mm))
