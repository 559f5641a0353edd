"""Passes on a diameter, outside or bore: the measured collar after the first, the two last cuts alike."""

from __future__ import annotations

from math import inf

from msgspec import Struct

from handwheel.domain.bars import BarShape
from handwheel.domain.exact import Fraction
from handwheel.domain.matters import MISREAD_MM
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.part import BORE, OUTSIDE, Aspect, is_shoulder
from handwheel.domain.plan import Stage
from handwheel.domain.size import Size
from handwheel.planner.cut_case import Schedule
from handwheel.planner.dialing import Scale, whole_place
from handwheel.planner.feet import Foot
from handwheel.planner.kinds.common import along_drive
from handwheel.planner.kinds.room import come_near, make_room
from handwheel.planner.kinds.rounds import last_drive, ledge_along, most_nose_mm, round_size, turned
from handwheel.planner.kinds.standing import standing_mm
from handwheel.planner.kinds.touching import deeper, end_place, ensure_zeros, home, room_behind_mm, steady
from handwheel.planner.ledges import Ledge
from handwheel.planner.way import PARALLEL_SWING, NoWay, Way, Zero
from handwheel.planner.writer import CLEAR_MM, Run, Writer, exact, gauge_use

PASS_CLEAR_MM = 0.5
"""How far the tool is drawn off the surface before it goes back."""
ABOUT_MM = 0.01
"""Nobody winds a slide by less than this by eye."""


class DiameterWork(Struct, frozen=True, kw_only=True):
    """A diameter to be brought to size: its surface, its limits, how far along, whether these are the last cuts."""

    way: Way
    size: Size
    surface: str
    inside: bool
    end_mm: float
    finish: bool
    feeds: Handle | None = None

    @property
    def schedule(self) -> Schedule:
        """Passes of the way; raises `ValueError` if it has none."""
        if self.way.schedule is None:
            msg = f"way {self.way.id}: has no schedule"
            raise ValueError(msg)
        return self.way.schedule

    @property
    def scale(self) -> Scale:
        """Scale that sets the diameter; raises `ValueError` if there is none."""
        if self.way.across is None:
            msg = f"way {self.way.id}: has no scale for the diameter"
            raise ValueError(msg)
        return self.way.across

    def drive(self, w: Writer) -> Handle:
        """Handle that feeds along; raises `ValueError` if nothing does."""
        if self.feeds is not None:
            return self.feeds
        drive = along_drive(w.job, self.way.swing or PARALLEL_SWING)
        if drive is None:
            msg = f"way {self.way.id}: nothing feeds along"
            raise ValueError(msg)
        return drive.handle


def diameter_passes(w: Writer, work: DiameterWork) -> None:
    """Zeros, first pass, measure and set the collar, further passes; measured again before the last cut of all.

    A pass in the rough leaves what the finest gauge may not take yet, or of a short step nothing but the round of the
    tip: then the first pass that can be read is measured.
    """
    found, scale, drive = work.schedule, work.scale, work.drive(w)
    w.pass_end_mm = None
    start = _dia(w, work)
    radii = turned(w.job, work.surface)  # a coarse screw may end the last cuts beyond the middle of the limits
    ends = float(work.size.cut_target) if radii is None else max(float(work.size.cut_target), 2.0 * radii.final_mm)
    largest = max(start, ends) if work.inside else start
    w.run_at(found, cut_dia_mm=largest, handle=drive)
    steady(w, drive)
    if scale.handle is Handle.TOP:
        # it was swung by a scale that is only near, and along the bed it goes ten times as far as across: from one
        # cylinder to another the cross-slide goes, and the fine steps begin where the tool then touches
        w.forget_zeros()
    ensure_zeros(
        w,
        work.way,
        surface=work.surface,
        dia_mm=start,
        inside=work.inside,
        drive=drive,
        across=scale.handle,
        gauged=True,
    )
    w.depth_place = _place_at(w, work, start)
    last = len(found.depth_steps) - 1
    told = False
    for i, planned_steps in enumerate(found.depth_steps):
        steps = planned_steps + (_late_steps(w, work, start) if i == 0 else 0)
        fits = w.gauge(gauge_use(work.surface, Aspect.DIAMETER), _dia_after(w, work, steps)) is not None
        can_read = fits and _leaves_land(w, work)
        read = can_read and (not told or (work.finish and i < last))
        told = told or read
        measured = read or (can_read and i == last)
        _one_pass(w, work, steps=steps, drive=drive, draw=read)
        if measured:
            make_room(w, drive, gauge_use(work.surface, Aspect.DIAMETER))
            _measure(w, work, final=work.finish and i == last)
        else:
            home(w, drive)
        if read and (i < last or not work.finish):
            w.set_collar(
                scale.handle,
                work.surface,
                measured_dia_mm=_dia(w, work),
                target_dia_mm=float(work.size.cut_target),
            )
            w.depth_place = w.place(scale.handle)


def _leaves_land(w: Writer, work: DiameterWork) -> bool:
    """Whether a pass that ends short of a shoulder leaves more than the round of its tip for a gauge to rest on."""
    ledge, tool = w.job.ledge(work.surface), work.way.tool
    if ledge is None or tool is None:
        return True
    short = ledge.depth_mm - (w.face_mm - work.end_mm)
    return tool.nose_radius_mm <= most_nose_mm(ledge.length_mm - short)


def zeros_lost(scale: Scale) -> Zero:
    """Zeros that no other cylinder counts from, once this one has been cut: those of a swung slide are its own."""
    return Zero.ALONG | Zero.ACROSS if scale.handle is Handle.TOP else Zero.NONE


def _dia(w: Writer, work: DiameterWork) -> float:
    """Diameter that the job now has there, as the settings gave it."""
    return w.dia_mm(work.surface)


def _dia_after(w: Writer, work: DiameterWork, steps: int) -> float:
    """Diameter that some steps more will leave. [mm]"""
    taken = 2.0 * steps * work.scale.radius_per_step_mm
    return _dia(w, work) + (taken if work.inside else -taken)


def _late_steps(w: Writer, work: DiameterWork, start_dia_mm: float) -> int:
    """Steps more (or fewer) than were planned, if what a ledge is cut from stands a little off what was foreseen."""
    radii = turned(w.job, work.surface)
    if work.finish or radii is None or w.job.ledge(work.surface) is None:
        return 0
    off = radii.before_mm - start_dia_mm / 2.0
    return round((off if work.inside else -off) / work.scale.radius_per_step_mm)


def ledge_passes(w: Writer, way: Way, ledge: Ledge) -> None:
    """Passes on a ledge, each up to its shoulder or, while roughing, a little short of it."""
    along = ledge_along(w.job, ledge)
    drive = None if isinstance(along, NoWay) else last_drive(w.job, along, way.swing or PARALLEL_SWING)
    if isinstance(along, NoWay) or drive is None:
        msg = f"way {way.id}: nothing feeds along to the shoulder"
        raise ValueError(msg)
    finish = way.step.stage is Stage.FINISH
    diameter_passes(
        w,
        DiameterWork(
            way=way,
            size=round_size(w.job, ledge.surface),
            surface=ledge.surface,
            inside=ledge.inner,
            end_mm=w.face_mm + (along.shoulder_mm if finish else along.rough_mm),
            finish=finish,
            feeds=drive.handle,
        ),
    )
    if not finish and way.tool is not None and way.schedule is not None and way.across is not None:
        depths = [steps * way.across.radius_per_step_mm for steps in way.schedule.depth_steps]
        w.standing_mm[ledge.shoulder] = standing_mm(way.tool, depths)


def round_title(way: Way) -> str:
    """Title of a step that roughs or finishes a cylinder."""
    return f"{'Finish' if way.step.stage is Stage.FINISH else 'Rough'} the {surface_title(way.step.surface)}"


def surface_title(surface: str) -> str:
    """A cylinder or shoulder in words: ``"front outer step 1"``."""
    words = surface.split("-")
    if len(words) == 1:
        return surface
    what = f"{words[1]} {'outer' if words[0] == OUTSIDE else 'inner'} step {words[2]}"
    return f"shoulder of {what}" if is_shoulder(surface) else what


def _sign(w: Writer, work: DiameterWork) -> int:
    """Sign of a place further into the metal: inward and to the left count positive."""
    return 1 if deeper(w, work.scale.handle, inside=work.inside) in (Motion.IN, Motion.LEFT) else -1


def _place_at(w: Writer, work: DiameterWork, dia_mm: float) -> Fraction:
    """Place, in whole steps from the zero, at which the tip just meets a diameter; the tool may stand off that grid."""
    gap = dia_mm / 2.0 - w.x_mm
    ahead = (gap if work.inside else -gap) / work.scale.across
    here = float(w.place(work.scale.handle))
    return whole_place(here + _sign(w, work) * ahead, work.scale.step_mm)


def _one_pass(w: Writer, work: DiameterWork, *, steps: int, drive: Handle, draw: bool) -> None:
    """One pass along the bed: set the depth, feed to the end, clear the work.

    ``draw``: leave the depth as it is, because the tool is drawn out along the bed and the collar set from the measured
    size.
    """
    scale = work.scale
    motion = deeper(w, scale.handle, inside=work.inside)
    to = w.depth_place + _sign(w, work) * steps * scale.step_mm
    # a swung slide goes along the bed too: stand clear of the face after that move as well
    ahead = float(abs(to - w.place(scale.handle))) * scale.along
    come_near(w, drive, ahead_mm=ahead)
    w.start()
    need = w.face_mm + CLEAR_MM + ahead - w.z_mm
    if scale.along and need > ABOUT_MM:
        w.retract(drive, Motion.RIGHT, need)
    w.move_to(scale.handle, to, motion)
    w.depth_place = w.place(scale.handle)
    # no pass goes beyond the one before: its shoulder keeps the round of the tip; but a swung slide shifts the steps
    # along the bed, and of one such step no more than a part is met, which else would add up in the corner of a step
    shifts = bool(scale.along) and w.job.ledge(work.surface) is not None
    end = work.end_mm if w.pass_end_mm is None or shifts else max(work.end_mm, w.pass_end_mm)
    place = end_place(w, drive, end)
    w.cut(
        drive,
        Motion.LEFT,
        surface=work.surface,
        depth_mm=steps * scale.radius_per_step_mm + w.standing_mm.pop(work.surface, 0.0),
        schedule=work.schedule,
        run=Run(place_mm=place, way_mm=exact(w.z_mm - end)),
    )
    w.pass_end_mm = w.z_mm
    w.dias_mm[work.surface] = _dia_after(w, work, steps)
    _note_foot(w, work)
    if draw:
        w.stop_if_it_hardens()
    if not draw:
        # off the shoulder first: the leading edge leans over it
        w.retract(drive, Motion.RIGHT, PASS_CLEAR_MM)
        room = room_behind_mm(w, scale.handle, _dia(w, work)) if work.inside else inf
        w.retract(scale.handle, motion.other, PASS_CLEAR_MM, at_most_mm=room)


def _note_foot(w: Writer, work: DiameterWork) -> None:
    """Keep where a last cut ended at its shoulder: a gauge may rest there."""
    ledge = w.job.ledge(work.surface)
    if work.finish and ledge is not None and work.way.tool is not None:
        foot = Foot(tool=work.way.tool, tip_mm=_dia(w, work) / 2.0, depth_mm=w.face_mm - w.z_mm, is_faced=False)
        w.feet[ledge.shoulder].append(foot)


def _measure(w: Writer, work: DiameterWork, *, final: bool) -> None:
    limits = (float(work.size.cut_lower), float(work.size.cut_upper))
    now = _dia(w, work)
    stop = stop_band(now, limits, inside=work.inside, final=final, step_mm=work.scale.dia_per_step_mm)
    w.measure(
        work.surface,
        Aspect.DIAMETER,
        now,
        stop_mm=for_reamer_mm(w, work, now) or stop,
        mark_worth_mm=work.scale.dia_per_mark_mm,
        final=limits if final else None,
        note="" if work.inside else _over_corners(w, now),
    )


def _over_corners(w: Writer, now_mm: float) -> str:
    """Where the gauge goes while a hexagon still has flats."""
    flats = w.job.bar.shape is BarShape.HEXAGON and now_mm > float(w.job.bar.dia_lower_mm)
    return "over the turned corners, never over the flats" if flats else ""


def for_reamer_mm(w: Writer, work: DiameterWork, now_mm: float) -> tuple[float, float] | None:
    """Limits of a hole that a reamer finds next: what it may be left; ``None`` if none follows. [mm]"""
    reaming = w.job.reaming
    if reaming is None or work.surface != BORE:
        return None
    least, most = reaming.allowance_mm
    band = (float(reaming.reamer.dia_mm) - most, float(reaming.reamer.dia_mm) - least)
    return band if band[0] <= now_mm <= band[1] else None


def stop_band(
    now_mm: float, limits: tuple[float, float], *, inside: bool, final: bool, step_mm: float
) -> tuple[float, float]:
    """Readings outside of which to stop: the limits at the end; before it, what no honest cut explains.

    Metal that is to be cut once more should not lie inside the limits yet; but wide limits and a coarse screw (one step
    is ``step_mm`` on the diameter) may put the expected reading there, and then a step either way is no trouble.
    """
    if final:
        return limits
    spread = max(MISREAD_MM, step_mm)
    low, high = now_mm - spread, now_mm + spread
    if inside:
        return low, max(min(high, limits[0]), now_mm + step_mm)
    return min(max(low, limits[1]), now_mm - step_mm), high
