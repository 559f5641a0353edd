"""What several kinds of step share: drives, scales for a diameter, stiffness, touching, the two equal last cuts."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from handwheel.domain.holding import Holding, Side
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.part import BACK_FACE, FRONT_FACE, Aspect
from handwheel.domain.plan import Step
from handwheel.domain.shop import GaugeUse, Tool, ToolKind
from handwheel.domain.size import Size
from handwheel.physics.deflection import cantilever_stiffness_n_mm, second_moment_mm4
from handwheel.planner.dialing import Scale, steps_at_least, top_scale
from handwheel.planner.job import Job
from handwheel.planner.passes import CutCase, FeedDrive, NoSchedule, Schedule, schedule
from handwheel.planner.way import PARALLEL_SWING, NoWay, Swing, Way, Zero
from handwheel.planner.writer import CLEAR_MM, Writer, exact

FINE_ANGLE_DEG = 5.739
"""Top-slide angle that gives 10 : 1, asin(1/10) (practice case PC-07)."""
TOUCH_BEHIND_MM = 3.0
"""How far behind the face a diameter is touched, by eye."""
FINE_GAP_MM = 0.1
"""Gap from which a swung top slide touches a surface."""
TOUCH_CLEAR_MM = 0.5
"""How far off a diameter the tool waits before it is touched."""
BLADES = (ToolKind.PARTING, ToolKind.GROOVING)
TOUCH_INSIDE_MM = 1.0
"""How far inside the rim a face is touched."""
STOP_BAND_MM = 0.2
"""A reading further than this from the expected one is not a cut's doing: stop and find out (common practice; far below
the 0.5 mm or 0.025 in slip of one instrument turn, practice case PC-05)."""
STEEL_N_MM2 = 210_000.0
"""Modulus of a steel boring bar (from memory, cutting-models section 9)."""
USUAL_RA_UM = 3.2
"""Mean roughness when the drawing asks for none: upper end of what turning typically gives (from memory of the ASME
B46.1 chart)."""
BAR_MARGIN_MM = 3.0
"""How much further than the depth a boring bar stands out, for the holder to stay clear."""
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
        return NoWay(step=step.id, tried=f"{case.tool.name}, {case.name}", why=found.why)
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


def split_steps(total_mm: float, scale: Scale, cut: int) -> int:
    """Steps for roughing so that two equal cuts of ``cut`` steps end within half a step of the target."""
    return round(total_mm / scale.radius_per_step_mm) - 2 * cut


# touching and the two equal last cuts ------------------------------------------------------------------------------


def face_name(holding: Holding) -> str:
    """Name of the face that looks to the tailstock."""
    return FRONT_FACE if holding.side is Side.FRONT else BACK_FACE


def contact_words(tool: Tool, *, along: bool) -> str:
    """Which part of a tool touches a face (``along``) or a diameter."""
    blade = tool.kind in BLADES
    if blade and along:
        return f"left corner of the blade (it is {tool.width_mm:g} mm wide)"
    if blade:
        return "tip of the blade"
    return "tip of the tool" if not along else "left side of the tip"


def ensure_zeros(
    w: Writer, way: Way, *, surface: str, dia_mm: float, inside: bool, drive: Handle, across: Handle
) -> None:
    """Set whatever zero is missing: first the face, from in front of it, then the diameter."""
    tool = way.tool
    if tool is None:
        msg = f"way {way.id}: has no tool"
        raise ValueError(msg)
    radius = dia_mm / 2.0
    sign = 1.0 if inside else -1.0
    behind = w.face_mm - TOUCH_BEHIND_MM - (tool.width_mm if tool.kind in BLADES else 0.0)
    where = "inside the hole" if inside else "over the outside"
    if Zero.ALONG in way.zeros_needed and Zero.ALONG not in w.live:
        rim = "just outside the hole" if inside else "just inside the rim"
        w.approach(w.face_mm + CLEAR_MM, radius + sign * TOUCH_INSIDE_MM, f"in front of the face, {rim}")
        if drive is not Handle.CARRIAGE:
            w.lock(Handle.CARRIAGE)
        face = face_name(way.holding)
        w.touch(drive, Motion.LEFT, face, contact_words(tool, along=True), z_mm=w.face_mm)
        w.zero_along(face, w.face_mm)
        home(w, drive)
    if Zero.ACROSS in w.live:
        return
    if Zero.ALONG in w.live:
        over = radius - sign * TOUCH_CLEAR_MM
        if sign * (over - w.x_mm) < 0:
            w.retract(Handle.CROSS, Motion.IN if inside else Motion.OUT, abs(over - w.x_mm))
        to_z(w, drive, behind)
    else:
        w.approach(behind, radius - sign * TOUCH_CLEAR_MM, f"{where}, about {TOUCH_BEHIND_MM:g} mm behind the face")
    w.lock(Handle.CARRIAGE)
    if across is not Handle.CROSS:
        _near_by_cross(w, surface, dia_mm=dia_mm, inside=inside, tool=tool)
    motion = deeper(w, across, inside=inside)
    w.touch(across, motion, surface, contact_words(tool, along=False), x_mm=radius)
    w.zero(across, surface, dia_mm)
    w.live |= Zero.ACROSS
    w.retract(across, motion.other, TOUCH_CLEAR_MM)
    home(w, drive)


def _near_by_cross(w: Writer, surface: str, *, dia_mm: float, inside: bool, tool: Tool) -> None:
    """Bring the tool a few marks from a surface by the cross-slide and lock it there: a swung slide hardly goes across."""
    scale = w.scale(Handle.CROSS)
    if scale is None:
        return
    motion = deeper(w, Handle.CROSS, inside=inside)
    w.touch(Handle.CROSS, motion, surface, contact_words(tool, along=False), x_mm=dia_mm / 2.0)
    w.zero(Handle.CROSS, surface, dia_mm)
    gap = steps_at_least(FINE_GAP_MM, scale.radius_per_step_mm) * scale.step_mm
    w.move_to(Handle.CROSS, gap if motion is Motion.OUT else -gap, motion)
    w.lock(Handle.CROSS)


def deeper(w: Writer, across: Handle, *, inside: bool) -> Motion:
    """Motion of a handle that takes the tool further into the metal."""
    out = w.outward(across)
    return out if inside else out.other


def near_place(w: Writer, handle: Handle, z_mm: float) -> Fraction:
    """Place of a handle, in whole steps from its zero, at which the tool stands nearest a z."""
    scale = w.scale(handle)
    if scale is None:
        msg = f"{handle.value}: nothing tells where it is"
        raise ValueError(msg)
    exact_place = float(w.place(handle)) + (w.z_mm - z_mm) / scale.along
    return round(exact_place / float(scale.step_mm)) * scale.step_mm


def to_z(w: Writer, handle: Handle, z_mm: float) -> None:
    """Wind to the step nearest a z, lengths being live, coming in from the right."""
    w.move_to(handle, near_place(w, handle, z_mm), Motion.LEFT)


def home(w: Writer, drive: Handle) -> None:
    """Draw the tool to the right, clear of the face."""
    need = w.face_mm + CLEAR_MM - w.z_mm
    if need > 1e-9:
        w.retract(drive, Motion.RIGHT, need)


def end_place(w: Writer, drive: Handle, z_mm: float) -> Fraction | None:
    """Place of the drive's scale at a z, to the nearest step; ``None`` if nothing tells lengths there."""
    if w.scale(drive) is None or Zero.ALONG not in w.live:
        return None
    return near_place(w, drive, z_mm)


def one_pass(
    w: Writer,
    way: Way,
    *,
    surface: str,
    across: Handle,
    steps: int,
    end_mm: float,
    drive: Handle,
    inside: bool,
    draw: bool,
) -> None:
    """One pass along the bed: set the depth, feed to the end, clear the work, back to the right.

    ``draw``: leave the cross setting as it is and draw the tool out along the bed, because the size will be measured and
    the collar set from it.
    """
    scale = way.across
    if scale is None or way.schedule is None:
        msg = f"way {way.id}: has neither scale nor schedule"
        raise ValueError(msg)
    motion = deeper(w, across, inside=inside)
    sign = 1 if motion in (Motion.IN, Motion.LEFT) else -1
    w.move_to(across, w.depth_place + sign * steps * scale.step_mm, motion)
    w.depth_place = w.place(across)
    w.start()
    place = end_place(w, drive, end_mm)
    w.cut(
        drive,
        Motion.LEFT,
        surface=surface,
        depth_mm=steps * scale.radius_per_step_mm,
        schedule=way.schedule,
        place_mm=place,
        way_mm=None if place is not None else exact(w.z_mm - end_mm),
    )
    if not draw:
        w.retract(across, motion.other, 0.5)
    home(w, drive)


def measured_dia(w: Writer, *, inside: bool) -> float:
    """Diameter that the job now has there, as the settings gave it."""
    return w.bore_dia_mm if inside else w.outside_dia_mm


def set_dia(w: Writer, dia_mm: float, *, inside: bool) -> None:
    """Note the diameter that a pass has left."""
    if inside:
        w.bore_dia_mm = dia_mm
    else:
        w.outside_dia_mm = dia_mm


def diameter_passes(
    w: Writer, way: Way, size: Size, *, surface: str, inside: bool, end_mm: float, finish: bool
) -> None:
    """Passes of turning or boring: zeros, first pass, measure and set the collar, further passes; last cuts alike."""
    found, scale = way.schedule, way.across
    if found is None or scale is None or way.tool is None:
        msg = f"way {way.id}: has no schedule, scale or tool"
        raise ValueError(msg)
    across = scale.handle
    drive = along_drive(w.job, way.swing or PARALLEL_SWING)
    if drive is None:
        msg = f"way {way.id}: nothing feeds along"
        raise ValueError(msg)
    use = GaugeUse.BORE if inside else GaugeUse.OUTSIDE
    w.run_at(
        found,
        cut_dia_mm=max(measured_dia(w, inside=inside), 2.0 * w.job.bore_radius_mm if inside else 0.0),
        handle=drive.handle,
    )
    ensure_zeros(
        w, way, surface=surface, dia_mm=measured_dia(w, inside=inside), inside=inside, drive=drive.handle, across=across
    )
    motion = deeper(w, across, inside=inside)
    sign = 1 if motion in (Motion.IN, Motion.LEFT) else -1
    # the place at which the tip just meets the present diameter
    gap = measured_dia(w, inside=inside) / 2.0 - w.x_mm
    steps_there = round(gap / scale.radius_per_step_mm) if inside else round(-gap / scale.radius_per_step_mm)
    w.depth_place = w.place(across) + sign * steps_there * scale.step_mm
    target = float(size.cut_target)
    last = len(found.depth_steps) - 1
    for i, steps in enumerate(found.depth_steps):
        read = i == 0 or (finish and i < last)
        one_pass(
            w,
            way,
            surface=surface,
            across=across,
            steps=steps,
            end_mm=end_mm,
            drive=drive.handle,
            inside=inside,
            draw=read,
        )
        now = measured_dia(w, inside=inside) + (2.0 if inside else -2.0) * steps * scale.radius_per_step_mm
        set_dia(w, now, inside=inside)
        final = finish and i == last
        if read or i == last:
            limits = (float(size.cut_lower), float(size.cut_upper))
            low, high = stop_band(now, limits, inside=inside, final=final)
            w.measure(
                surface,
                Aspect.DIAMETER.value,
                use,
                now,
                stop_mm=(low, high),
                mark_worth_mm=scale.dia_per_step_mm,
                final=limits if final else None,
            )
        if (read and i < last) or (read and not finish):
            w.set_collar(across, surface, measured_dia_mm=now, target_dia_mm=target)
            w.depth_place = w.place(across)


def stop_band(now_mm: float, limits: tuple[float, float], *, inside: bool, final: bool) -> tuple[float, float]:
    """Readings outside of which to stop: the limits at the end; before it, what no honest cut explains."""
    if final:
        return limits
    low, high = now_mm - STOP_BAND_MM, now_mm + STOP_BAND_MM
    return (low, min(high, limits[0])) if inside else (max(low, limits[1]), high)
