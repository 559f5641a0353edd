"""From what a dial or an aid shows back to slide travel: the check's own arithmetic, exact.

Written without a look at how settings are made, on purpose: two independent sums must agree.
"""

from __future__ import annotations

from handwheel.check.report import RefusalCode
from handwheel.domain.acts import Setting, SettingKind
from handwheel.domain.exact import Fraction
from handwheel.domain.motion import Motion, Turn
from handwheel.domain.slides import AidKind, Dial, Reads, Slide

Fault = tuple[RefusalCode, str]
"""Code and text of what is wrong with a setting."""

_AIDS = {
    SettingKind.INDICATOR: AidKind.INDICATOR,
    SettingKind.STOP: AidKind.STOP,
    SettingKind.RULE: AidKind.RULE,
}


def dial_travel_mm(dial: Dial, *, turns: int, marks: Fraction) -> Fraction:
    """Slide travel from the zero to a dial position, clockwise positive, exact. [mm]

    Parameters
    ----------
    dial : Dial
        Collar on the screw; the screw rules, not the engraving.
    turns : int
        Whole turns from the zero, clockwise positive.
    marks : Fraction
        What the dial then shows. [marks]

    Examples
    --------
    >>> inch_on_metric_screw = Dial(lead_mm=Fraction(1), marks=20, label_mm=Fraction(1, 20))
    >>> dial_travel_mm(inch_on_metric_screw, turns=25, marks=Fraction(8))
    Fraction(127, 5)
    """
    return dial.lead_mm * turns + dial.lead_mm * Fraction(marks) / dial.marks


def diameter_change_mm(slide_travel_mm: Fraction) -> Fraction:
    """Change of diameter when the tool moves across by a travel: both sides of the work, hence twice. [mm]

    Examples
    --------
    >>> diameter_change_mm(Fraction(1, 50))
    Fraction(1, 25)
    """
    return slide_travel_mm + slide_travel_mm


def figures_diameter_change_mm(dial: Dial, marks: Fraction) -> Fraction:
    """Change of diameter that the engraved figures promise for some marks. [mm]

    A dial that reads travel promises half of what comes off the diameter; one that reads the diameter, all of it.
    """
    figure_mm = dial.label_mm * marks
    return figure_mm if dial.reads is Reads.DIAMETER else figure_mm + figure_mm


def setting_fault(slide: Slide, setting: Setting) -> Fault | None:
    """Say what keeps a person from setting this figure on this slide; ``None`` if nothing does."""
    if setting.kind is SettingKind.MARKS:
        return _dial_fault(slide, setting)
    if setting.kind is SettingKind.READOUT:
        return _readout_fault(slide, setting)
    return _aid_fault(slide, setting)


def setting_travel_mm(slide: Slide, setting: Setting) -> Fraction:
    """Slide travel from the zero to the setting, positive the way a clockwise turn goes, exact. [mm]

    Aids and readouts count positive to the left (on the cross-slide: in).

    Raises
    ------
    ValueError
        If the setting counts marks and the slide has no dial; ask `setting_fault` first.
    """
    if setting.kind is SettingKind.MARKS:
        if slide.dial is None:
            msg = f"{slide.handle.value}: has no dial; ask setting_fault first"
            raise ValueError(msg)
        return dial_travel_mm(slide.dial, turns=setting.turns, marks=setting.marks)
    return setting.value_mm if slide.clockwise_moves in (Motion.LEFT, Motion.IN) else -setting.value_mm


def turn_sign(turn: Turn) -> int:
    """+1 for clockwise, -1 for anticlockwise: the sign of the travel that the turn makes."""
    return 1 if turn is Turn.CLOCKWISE else -1


def can_set_by(slide: Slide, kind: SettingKind) -> bool:
    """Whether the slide has what such a setting is read from."""
    if kind is SettingKind.MARKS:
        return slide.dial is not None
    if kind is SettingKind.READOUT:
        return slide.readout_step_mm is not None
    return slide.aid(_AIDS[kind]) is not None


def _dial_fault(slide: Slide, setting: Setting) -> Fault | None:
    dial = slide.dial
    if dial is None:
        return RefusalCode.NOT_SETTABLE, f"{slide.handle.value}: has no dial to set marks on; use an aid that it has"
    if not 0 <= setting.marks < dial.marks:
        text = (
            f"{slide.handle.value}: {setting.marks} marks on a collar of {dial.marks}; it shows 0 to "
            f"{dial.marks - 1}, so carry the rest into the turns"
        )
        return RefusalCode.MARKS_NOT_ON_DIAL, text
    finest = Fraction(1, 2) if dial.halves else Fraction(1)
    if (Fraction(setting.marks) / finest).denominator != 1:
        what = "whole and half marks" if dial.halves else "whole marks"
        return (
            RefusalCode.MARKS_NOT_WHOLE,
            f"{slide.handle.value}: {setting.marks} marks cannot be set, only {what}; round to one of them",
        )
    return None


def _readout_fault(slide: Slide, setting: Setting) -> Fault | None:
    step = slide.readout_step_mm
    if step is None:
        return RefusalCode.NOT_SETTABLE, f"{slide.handle.value}: has no readout; use what it has"
    return _step_fault(slide, setting, step, RefusalCode.AID_CANNOT)


def _aid_fault(slide: Slide, setting: Setting) -> Fault | None:
    aid = slide.aid(_AIDS[setting.kind])
    if aid is None:
        return RefusalCode.NOT_SETTABLE, f"{slide.handle.value}: has no {setting.kind.value}; use what it has"
    if abs(setting.value_mm) > aid.range_mm:
        text = (
            f"{slide.handle.value}: {float(setting.value_mm):g} mm is beyond the {aid.range_mm:g} mm of its "
            f"{setting.kind.value}; take a zero nearer by"
        )
        return RefusalCode.AID_CANNOT, text
    return _step_fault(slide, setting, aid.step_mm, RefusalCode.AID_CANNOT)


def _step_fault(slide: Slide, setting: Setting, step_mm: Fraction, code: RefusalCode) -> Fault | None:
    if step_mm > 0 and (setting.value_mm / step_mm).denominator == 1:
        return None
    text = (
        f"{slide.handle.value}: {float(setting.value_mm):g} mm is no multiple of the {float(step_mm):g} mm that its "
        f"{setting.kind.value} shows; round to one"
    )
    return code, text
