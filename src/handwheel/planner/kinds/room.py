"""Room for a gauge, in acts: the tool drawn off along the bed before a size is measured, and brought near again."""

from __future__ import annotations

from handwheel.domain.acts import SettingKind
from handwheel.domain.exact import Fraction
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.motion import Handle, Motion
from handwheel.planner.gauge_room import ROOM_MM
from handwheel.planner.kinds.touching import end_place, home, steady
from handwheel.planner.writer import CLEAR_MM, Writer

NEAR_MM = 10.0
"""A tool that stands no further than this beyond where it is wanted is fed from there."""
NEAR_AGAIN = "by eye, until the tool stands just in front of the face again"


def make_room(w: Writer, drive: Handle, use: GaugeUse) -> Handle | None:
    """Draw the tool clear of the face, and as far as a gauge needs where a slide can go there and come back: which."""
    handle = _handle(w, drive, w.face_mm + ROOM_MM[use] - w.z_mm)
    if handle is not drive:  # what feeds comes out of a hole by the way it went in
        home(w, drive)
    need = w.face_mm + ROOM_MM[use] - w.z_mm
    if handle is not None and need > 0:
        w.retract(handle, Motion.RIGHT, need)
        w.drawn = drive
    return handle


def come_near(w: Writer, drive: Handle, *, ahead_mm: float = 0.0) -> None:
    """Bring a tool that made room for a gauge back to where it clears the face between passes, ``ahead_mm`` more.

    The carriage that the top slide counts on goes to its 0; a drive goes by its dial; by eye where its next cut is read
    off anew, or ends by eye.
    """
    wanted = w.face_mm + CLEAR_MM + float(w.slide(drive).slack_mm) + ahead_mm
    far = w.z_mm - wanted
    w.drawn = None
    if far <= NEAR_MM:
        return
    if drive is Handle.TOP and w.counts(Handle.CARRIAGE):
        steady(w, drive)
        far = w.z_mm - wanted
    if far <= NEAR_MM:
        return
    scale, place = w.scale(drive), end_place(w, drive, wanted)
    if place is not None and scale is not None and scale.kind in (SettingKind.MARKS, SettingKind.READOUT):
        w.move_to(drive, place, Motion.LEFT)
    else:
        w.retract(drive, Motion.LEFT, far - float(w.slide(drive).slack_mm), note=NEAR_AGAIN)


def _handle(w: Writer, drive: Handle, need_mm: float) -> Handle | None:
    """Handle that goes so far: the carriage if it drives or comes back to its 0, else the top slide; ``None`` if none.

    A tailstock that holds the work stands in the carriage's way.
    """
    if Handle.QUILL in w.locked:
        return None
    at_zero = w.counts(Handle.CARRIAGE) and w.place(Handle.CARRIAGE) == Fraction(0)
    tries = (
        (Handle.CARRIAGE, drive is Handle.CARRIAGE or (at_zero and w.job.carriage_comes_back)),
        (Handle.TOP, drive is Handle.TOP),
    )
    for handle, may_go in tries:
        slide = w.slide(handle)
        rounded_mm = need_mm + float(slide.slack_mm) + slide.travel_per_turn_mm
        if may_go and handle not in w.stays and rounded_mm <= w.travels.left_mm(handle, w.lathe):
            return handle
    return None
