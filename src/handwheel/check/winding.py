"""Winding a handle to a setting: is the zero alive, can the figure be set, from which side, is it then true."""

from __future__ import annotations

from math import nan, radians, sin

from msgspec import Struct

from handwheel.check.dial import (
    diameter_change_mm,
    figures_diameter_change_mm,
    setting_fault,
    setting_travel_mm,
    turn_sign,
)
from handwheel.check.machine import LiveZero, Machine, slide_gone_to
from handwheel.check.report import RefusalCode
from handwheel.check.scene import Scene
from handwheel.check.surfaces import is_edge, is_face, is_inner
from handwheel.domain.acts import Setting, SettingKind
from handwheel.domain.contour import Point
from handwheel.domain.exact import Fraction
from handwheel.domain.motion import Handle, Motion, Turn
from handwheel.domain.slides import Dial

EXPECTED_TOLERANCE_MM = 1e-3
"""How far the size printed at a setting may lie from the one that results."""
DRILLED_MM = 0.05
"""The same for a drilled depth: no finished size, and a pip or rim where the drill touches shifts it."""
SAME_PLACE_MM = Fraction(1, 10**9)
"""Travel below this is none."""


class Winding(Struct, frozen=True):
    """How a handle goes to a setting: the travels it stops at, the last one the setting; its last turn. [mm]"""

    stops_mm: tuple[Fraction, ...]
    bearing: Turn


def usable_zero(scene: Scene, setting: Setting) -> LiveZero | None:
    """Zero that the setting counts from; refuses and stops if it is not alive on that handle for what is fitted."""
    zero = scene.machine.slides[setting.handle].zero
    where = setting.handle.value
    if zero is None or zero.id != setting.zero:
        why = scene.machine.lost.get(setting.zero)
        if why is not None:
            scene.stop(
                RefusalCode.ZERO_LOST,
                f"{where}: the zero {setting.zero!r} is gone, {why}; set it anew before any figure counts from it",
            )
        else:
            scene.stop(
                RefusalCode.NO_LIVE_ZERO,
                f"{where}: no zero {setting.zero!r} is set on this handle; touch something known and set it first",
            )
        return None
    if zero.kind is not setting.kind:
        scene.stop(
            RefusalCode.NO_LIVE_ZERO,
            f"{where}: zero {zero.id!r} was set on the {zero.kind.value}, not on the {setting.kind.value}; use "
            "the one set",
        )
        return None
    return zero


def wind(scene: Scene, setting: Setting) -> Winding | None:
    """Way of the handle to the setting, or ``None`` (refused) if it cannot be wound there at all."""
    zero = usable_zero(scene, setting)
    if zero is None:
        return None
    slide = scene.slide(setting.handle)
    found = setting_fault(slide, setting)
    if found is not None:
        scene.refuse(*found)
        if found[0] is RefusalCode.NOT_SETTABLE:
            scene.log.stopped = True
            return None
    check_unlocked(scene, setting.handle)
    target = zero.at_mm + setting_travel_mm(slide, setting)
    if setting.kind is not SettingKind.MARKS:
        # an aid measures the slide itself: slack does not come into it
        here = scene.machine.slides[setting.handle].travel_mm
        return Winding((target,), Turn.CLOCKWISE if target >= here else Turn.ANTICLOCKWISE)
    return _wind_dial(scene, setting, zero, target)


def _wind_dial(scene: Scene, setting: Setting, zero: LiveZero, target: Fraction) -> Winding:
    slide, state = scene.slide(setting.handle), scene.machine.slides[setting.handle]
    if zero.bearing is None:
        scene.refuse(
            RefusalCode.ZERO_IN_SLACK,
            f"{setting.handle.value}: the zero {zero.id!r} was set before this handle was wound, and nobody "
            "knows on which "
            "side the nut bore; wind it to a touch, then set the zero",
        )
    elif setting.approach is not zero.bearing:
        scene.refuse(
            RefusalCode.WRONG_SIDE,
            f"{setting.handle.value}: the zero was set turning {zero.bearing.value} and the figure is reached turning "
            f"{setting.approach.value}; it is out by the slack of {float(slide.slack_mm):g} mm: come from the "
            "same side",
        )
    sign = turn_sign(setting.approach)
    ahead = (target - state.travel_mm) * sign
    back_off = Fraction(0) if slide.dial is None else setting.back_off_marks * slide.dial.lead_mm / slide.dial.marks
    behind = ahead < -SAME_PLACE_MM
    if (behind or setting.back_off_marks) and back_off <= slide.slack_mm:
        scene.refuse(
            RefusalCode.BACK_OFF_TOO_SMALL,
            f"{setting.handle.value}: has to come back past the figure by more than its slack of "
            f"{float(slide.slack_mm):g} mm, and {setting.back_off_marks} marks are {float(back_off):g} mm; go further",
        )
    stops = (target - sign * back_off, target) if behind else (target,)
    return Winding(stops, setting.approach)


def check_unlocked(scene: Scene, handle: Handle) -> None:
    """Refuse to turn the handle of a locked slide."""
    if scene.machine.slides[handle].locked:
        scene.refuse(RefusalCode.SLIDE_LOCKED, f"{handle.value}: is locked; free it before it is moved")


def check_span(scene: Scene, machine: Machine, handle: Handle) -> None:
    """Refuse a way longer than the slide's travel."""
    slide, state = scene.slide(handle), machine.slides[handle]
    if state.span_mm > Fraction(slide.travel_mm) + SAME_PLACE_MM:
        scene.refuse(
            RefusalCode.PAST_TRAVEL,
            f"{handle.value}: would go {float(state.span_mm):.2f} mm from end to end and has {slide.travel_mm:g} mm; "
            "set it further back before the zero is taken, or move the carriage",
        )


def wound(scene: Scene, setting: Setting, winding: Winding) -> Machine:
    """Machine with the handle wound, its span and the printed size tested."""
    machine = slide_gone_to(
        scene.machine,
        scene.case.lathe,
        setting.handle,
        stops_mm=winding.stops_mm,
        bearing=winding.bearing,
        by_eye=False,
    )
    check_span(scene, machine, setting.handle)
    check_expected(scene, machine, setting)
    return machine


def check_expected(scene: Scene, machine: Machine, setting: Setting) -> None:
    """Refuse a setting whose printed size is not what the tool then stands at."""
    zero = machine.slides[setting.handle].zero
    if zero is None or machine.place is None or zero.place is None:
        return
    true_mm = true_figure_mm(scene, machine, zero, setting.handle)
    error_mm = setting.expected_mm - true_mm
    if abs(error_mm) <= EXPECTED_TOLERANCE_MM:
        return
    scene.refuse(*_what_went_wrong(scene, machine, zero, setting, true_mm))


def true_figure_mm(scene: Scene, machine: Machine, zero: LiveZero, handle: Handle) -> float:
    """What is true where the tool stands, in the words of a zero: depth below a corner, z, or a diameter. [mm]

    A depth below a corner is the way of that slide into the metal, since the top slide may have gone aside meanwhile.
    """
    if is_edge(zero.surface):
        slide = scene.slide(handle)
        into = Motion.LEFT
        if handle is Handle.CROSS:
            into = Motion.OUT if is_inner(scene.case.part, zero.surface) else Motion.IN
        return turn_sign(slide.turn_for(into)) * float(machine.slides[handle].travel_mm - zero.at_mm)
    place = machine.place or Point(nan, nan)
    if handle is Handle.CROSS or (handle is Handle.TOP and machine.swung and not is_face(zero.surface)):
        return 2.0 * place.radius_mm
    return place.z_mm


def _what_went_wrong(
    scene: Scene, machine: Machine, zero: LiveZero, setting: Setting, true_mm: float
) -> tuple[RefusalCode, str]:
    said = setting.expected_mm
    where = f"{setting.handle.value}: {setting.turns} turns and {setting.marks} marks"
    if setting.kind is not SettingKind.MARKS:
        where = f"{setting.handle.value}: {float(setting.value_mm):g} mm on the {setting.kind.value}"
    plain = f"{where} give {true_mm:.3f} mm, and the sheet says {said:.3f} mm"
    dial = scene.slide(setting.handle).dial
    if _is_radius_for_diameter(machine, zero, setting, true_mm):
        return (
            RefusalCode.RADIUS_FOR_DIAMETER,
            f"{plain}: a radius was taken for a diameter or the other way; {_mark_words(dial)}",
        )
    off_turns = _whole_turns_off(machine, setting, dial, said - true_mm)
    if off_turns:
        return RefusalCode.WRONG_TURNS, f"{plain}: out by whole turns ({off_turns}); correct the turns"
    return RefusalCode.EXPECTED_NOT_MET, f"{plain}; correct the turns, the marks, the direction or the size"


def _mark_words(dial: Dial | None) -> str:
    if dial is None:
        return "the diameter changes by twice the travel"
    by_screw = float(diameter_change_mm(dial.lead_mm / dial.marks))
    by_figures = float(figures_diameter_change_mm(dial, Fraction(1)))
    return f"one mark is {by_screw:.4f} mm of diameter by the screw, {by_figures:.4f} mm by the engraving"


def _is_radius_for_diameter(machine: Machine, zero: LiveZero, setting: Setting, true_mm: float) -> bool:
    if zero.place is None or is_face(zero.surface) or not (setting.handle is Handle.CROSS or machine.swung):
        return False
    start = 0.0 if is_edge(zero.surface) else 2.0 * zero.place.radius_mm
    said, truly = setting.expected_mm - start, true_mm - start
    as_radius = abs(2.0 * setting.expected_mm - true_mm) <= EXPECTED_TOLERANCE_MM
    moved = abs(truly) > 10 * EXPECTED_TOLERANCE_MM
    halved = abs(2.0 * said - truly) <= EXPECTED_TOLERANCE_MM
    doubled = abs(said - 2.0 * truly) <= EXPECTED_TOLERANCE_MM
    return as_radius or (moved and (halved or doubled))


def _whole_turns_off(machine: Machine, setting: Setting, dial: Dial | None, error_mm: float) -> int:
    if dial is None or setting.kind is not SettingKind.MARKS:
        return 0
    worth = float(dial.lead_mm)
    if setting.handle is Handle.CROSS:
        worth = float(diameter_change_mm(dial.lead_mm))
    elif setting.handle is Handle.TOP and machine.swung:
        worth = float(diameter_change_mm(dial.lead_mm)) * sin(radians(float(machine.swing_deg)))
    turns = abs(error_mm) / worth
    nearest = round(turns)
    return nearest if abs(turns - nearest) * worth <= EXPECTED_TOLERANCE_MM else 0


def fits_handle(scene: Scene, handle: Handle, motion: Motion) -> bool:
    """Whether a handle can make a motion; refuses if not."""
    if motion.across is (handle is Handle.CROSS):
        return True
    scene.refuse(
        RefusalCode.WRONG_DIRECTION, f"{handle.value}: cannot move the tool {motion.value}; name the handle that can"
    )
    return False
