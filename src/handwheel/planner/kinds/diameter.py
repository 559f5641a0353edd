"""Passes on a diameter, outside or bore: the measured collar after the first, the two last cuts alike."""

from __future__ import annotations

from dataclasses import dataclass

from handwheel.domain.motion import Handle, Motion
from handwheel.domain.part import Aspect
from handwheel.domain.size import Size
from handwheel.planner.dialing import Scale
from handwheel.planner.kinds.common import along_drive
from handwheel.planner.kinds.touching import deeper, end_place, ensure_zeros, home
from handwheel.planner.passes import Schedule
from handwheel.planner.way import PARALLEL_SWING, Way
from handwheel.planner.writer import CLEAR_MM, Run, Writer, exact

STOP_BAND_MM = 0.2
"""A reading further than this from the expected one is not a cut's doing: stop and find out (common practice; far below
the 0.5 mm or 0.025 in slip of one instrument turn, practice case PC-05)."""
PASS_CLEAR_MM = 0.5
"""How far the tool is drawn off the surface before it goes back."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DiameterWork:
    """A diameter to be brought to size: its surface, its limits, how far along, whether these are the last cuts."""

    way: Way
    size: Size
    surface: str
    inside: bool
    end_mm: float
    finish: bool

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
        drive = along_drive(w.job, self.way.swing or PARALLEL_SWING)
        if drive is None:
            msg = f"way {self.way.id}: nothing feeds along"
            raise ValueError(msg)
        return drive.handle


def diameter_passes(w: Writer, work: DiameterWork) -> None:
    """Zeros, first pass, measure and set the collar, further passes; measured again before the last cut of all."""
    found, scale, drive = work.schedule, work.scale, work.drive(w)
    w.pass_end_mm = None
    start = _dia(w, work)
    largest = max(start, 2.0 * w.job.bore_radius_mm) if work.inside else start
    w.run_at(found, cut_dia_mm=largest, handle=drive)
    ensure_zeros(w, work.way, surface=work.surface, dia_mm=start, inside=work.inside, drive=drive, across=scale.handle)
    w.depth_place = w.place(scale.handle) + _sign(w, work) * _steps_to(w, work, start) * scale.step_mm
    last = len(found.depth_steps) - 1
    for i, steps in enumerate(found.depth_steps):
        read = i == 0 or (work.finish and i < last)
        _one_pass(w, work, steps=steps, drive=drive, draw=read)
        if read or i == last:
            _measure(w, work, final=work.finish and i == last)
        if read and (i < last or not work.finish):
            w.set_collar(
                scale.handle,
                work.surface,
                measured_dia_mm=_dia(w, work),
                target_dia_mm=float(work.size.cut_target),
            )
            w.depth_place = w.place(scale.handle)


def _dia(w: Writer, work: DiameterWork) -> float:
    """Diameter that the job now has there, as the settings gave it."""
    return w.bore_dia_mm if work.inside else w.outside_dia_mm


def _sign(w: Writer, work: DiameterWork) -> int:
    """Sign of a place further into the metal: inward and to the left count positive."""
    return 1 if deeper(w, work.scale.handle, inside=work.inside) in (Motion.IN, Motion.LEFT) else -1


def _steps_to(w: Writer, work: DiameterWork, dia_mm: float) -> int:
    """Steps from where the tool stands to where its tip just meets a diameter."""
    gap = dia_mm / 2.0 - w.x_mm
    return round((gap if work.inside else -gap) / work.scale.radius_per_step_mm)


def _one_pass(w: Writer, work: DiameterWork, *, steps: int, drive: Handle, draw: bool) -> None:
    """One pass along the bed: set the depth, feed to the end, clear the work, back to the right.

    ``draw``: leave the depth as it is and draw the tool out along the bed, because the collar is set from the measured
    size.
    """
    scale = work.scale
    motion = deeper(w, scale.handle, inside=work.inside)
    w.start()
    if scale.along:  # a swung slide goes along the bed too: stand clear of the face after that move as well
        ahead = abs(w.depth_place + _sign(w, work) * steps * scale.step_mm - w.place(scale.handle)) * scale.along
        need = w.face_mm + CLEAR_MM + float(ahead) - w.z_mm
        if need > 0:
            w.retract(drive, Motion.RIGHT, need)
    w.move_to(scale.handle, w.depth_place + _sign(w, work) * steps * scale.step_mm, motion)
    w.depth_place = w.place(scale.handle)
    # no pass goes beyond the one before: its shoulder keeps the round of the tip
    end = work.end_mm if w.pass_end_mm is None else max(work.end_mm, w.pass_end_mm)
    place = end_place(w, drive, end)
    w.cut(
        drive,
        Motion.LEFT,
        surface=work.surface,
        depth_mm=steps * scale.radius_per_step_mm,
        schedule=work.schedule,
        run=Run(place_mm=place, way_mm=exact(w.z_mm - end)),
    )
    w.pass_end_mm = w.z_mm
    taken = 2.0 * steps * scale.radius_per_step_mm
    if work.inside:
        w.bore_dia_mm += taken
    else:
        w.outside_dia_mm -= taken
    if not draw:
        # off the shoulder first: the leading edge leans over it
        w.retract(drive, Motion.RIGHT, PASS_CLEAR_MM)
        w.retract(scale.handle, motion.other, PASS_CLEAR_MM)
    home(w, drive)


def _measure(w: Writer, work: DiameterWork, *, final: bool) -> None:
    limits = (float(work.size.cut_lower), float(work.size.cut_upper))
    now = _dia(w, work)
    w.measure(
        work.surface,
        Aspect.DIAMETER,
        now,
        stop_mm=stop_band(now, limits, inside=work.inside, final=final),
        mark_worth_mm=work.scale.dia_per_mark_mm,
        final=limits if final else None,
    )


def stop_band(now_mm: float, limits: tuple[float, float], *, inside: bool, final: bool) -> tuple[float, float]:
    """Readings outside of which to stop: the limits at the end; before it, what no honest cut explains."""
    if final:
        return limits
    low, high = now_mm - STOP_BAND_MM, now_mm + STOP_BAND_MM
    return (low, min(high, limits[0])) if inside else (max(low, limits[1]), high)
