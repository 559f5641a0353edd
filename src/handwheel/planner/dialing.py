"""Dial arithmetic: from a way to whole turns and marks, exactly."""

from __future__ import annotations

from math import ceil, cos, floor, radians, sin

from msgspec import Struct

from handwheel.domain.acts import SettingKind
from handwheel.domain.exact import Fraction
from handwheel.domain.motion import Handle, Motion, Turn
from handwheel.domain.slides import AidKind, Dial, Reads, Slide

PARALLEL = Fraction(0)
MARK_MET = 0.25
"""Part of a mark to which the eye brings a line back to the line that it stood at; common practice, no source."""


class Scale(Struct, frozen=True, kw_only=True):
    """What a handle is set by, in the slide's present angle: the smallest step and what it is worth at the tool.

    Parameters
    ----------
    slide : Slide
        The slide behind the handle.
    kind : SettingKind
        Dial, readout, indicator, stop or rule.
    step_mm : Fraction
        Slide travel of the smallest step that can be set. [mm]
    across, along : float
        Travel of the tool across the bed and along it for 1 mm of slide travel. [1]
    """

    slide: Slide
    kind: SettingKind
    step_mm: Fraction
    across: float
    along: float

    @property
    def handle(self) -> Handle:
        """The handle to turn."""
        return self.slide.handle

    @property
    def error_back_mm(self) -> float:
        """How far off a slide may stand that went away and was brought back to its 0. [mm]

        On a dial the line is met again to a part of a mark; whatever else brings it back, to a step.
        """
        return float(self.step_mm) * (MARK_MET if self.kind is SettingKind.MARKS else 1.0)

    @property
    def dia_per_step_mm(self) -> float:
        """What one step changes in the diameter: twice the way across, whatever the dial's figures mean. [mm]"""
        return 2.0 * float(self.step_mm) * self.across

    @property
    def dia_per_mark_mm(self) -> float:
        """What one whole mark (or step, without a dial) changes in the diameter. [mm]"""
        return self.dia_per_step_mm * float(self.steps_per_mark)

    @property
    def steps_per_mark(self) -> Fraction:
        """Steps in one whole mark: 2 where half a mark can be set, else 1; 1 for whatever is no dial."""
        dial = self.slide.dial if self.kind is SettingKind.MARKS else None
        return Fraction(1) if dial is None else 1 / dial.step

    @property
    def radius_per_step_mm(self) -> float:
        """What one step changes in the radius. [mm]"""
        return float(self.step_mm) * self.across

    @property
    def length_per_step_mm(self) -> float:
        """What one step changes along the axis. [mm]"""
        return float(self.step_mm) * self.along


def cross_scale(slide: Slide) -> Scale | None:
    """Scale of the cross-slide, or ``None`` if it has neither dial nor readout."""
    read = _read_by(slide)
    return None if read is None else Scale(slide=slide, kind=read[0], step_mm=read[1], across=1.0, along=0.0)


def top_scale(slide: Slide, angle_deg: Fraction) -> Scale | None:
    """Scale of the top slide swung by an angle from the axis, or ``None`` if it has no dial or readout."""
    read = _read_by(slide)
    if read is None:
        return None
    turn = radians(float(angle_deg))
    return Scale(slide=slide, kind=read[0], step_mm=read[1], across=sin(turn), along=cos(turn))


def carriage_scale(slide: Slide, *, reach_mm: float) -> Scale | None:
    """Finest thing that tells where the carriage is over a reach, or ``None``: dial, readout, indicator, rule.

    An aid whose range is shorter than ``reach_mm`` does not count. [mm]
    """
    read = _read_by(slide)
    told = [] if read is None else [read]
    for aid, kind in ((AidKind.INDICATOR, SettingKind.INDICATOR), (AidKind.RULE, SettingKind.RULE)):
        found = slide.aid(aid)
        if found is not None and found.range_mm >= reach_mm:
            told.append((kind, found.step_mm))
    if not told:
        return None
    kind, step = min(told, key=lambda item: item[1])  # of two as fine the one that needs nothing set up
    return Scale(slide=slide, kind=kind, step_mm=step, across=0.0, along=1.0)


def rest_scale(slide: Slide) -> Scale | None:
    """Stop or indicator that the carriage comes back to, or ``None``: it is set where the carriage stands."""
    for aid, kind in ((AidKind.STOP, SettingKind.STOP), (AidKind.INDICATOR, SettingKind.INDICATOR)):
        found = slide.aid(aid)
        if found is not None:
            return Scale(slide=slide, kind=kind, step_mm=found.step_mm, across=0.0, along=1.0)
    return None


def _read_by(slide: Slide) -> tuple[SettingKind, Fraction] | None:
    """What tells where a slide is, and its smallest step: a readout, unless the dial has finer steps.

    The readout measures the slide itself: slack and the error of the screw do not come into it.
    """
    by_dial = None if slide.dial is None else slide.dial.travel_per_mark_mm * slide.dial.step
    if slide.readout_step_mm is not None and (by_dial is None or slide.readout_step_mm <= by_dial):
        return SettingKind.READOUT, slide.readout_step_mm
    return None if by_dial is None else (SettingKind.MARKS, by_dial)


def engraved_change_mm(dial: Dial, marks: Fraction) -> Fraction:
    """What the dial's own figures say has changed after so many marks; a diameter if the dial reads diameters. [mm]

    The only place of the planner where the meaning of the engraving enters; the way of the slide comes from the screw.
    """
    return marks * dial.label_mm


def engraving_is_diameter(dial: Dial) -> bool:
    """Whether the figures of the dial mean a diameter."""
    return dial.reads is Reads.DIAMETER


def turns_and_marks(position: Fraction, marks_per_turn: int) -> tuple[int, Fraction]:
    """Whole turns (floor) and what the dial then shows, for a position counted clockwise from zero. [marks]

    Examples
    --------
    >>> turns_and_marks(Fraction(508), 20)  # 25.4 mm on a 1 mm screw with 20 marks
    (25, Fraction(8, 1))
    >>> turns_and_marks(Fraction(-25), 100)
    (-1, Fraction(75, 1))
    """
    turns = floor(position / marks_per_turn)
    return turns, position - turns * marks_per_turn


def marks_for_way(slide: Slide, way_mm: Fraction, motion: Motion) -> Fraction:
    """Change of the dial position that moves the slide a way in a direction; clockwise positive. [marks]

    Raises
    ------
    ValueError
        If the slide has no dial.
    """
    if slide.dial is None:
        msg = f"{slide.handle.value}: has no dial"
        raise ValueError(msg)
    sign = 1 if slide.turn_for(motion) is Turn.CLOCKWISE else -1
    return sign * way_mm / slide.dial.travel_per_mark_mm


def steps_nearest(way_mm: float, step_mm: float) -> int:
    """Whole steps nearest to a way."""
    return round(way_mm / step_mm)


def steps_at_least(way_mm: float, step_mm: float) -> int:
    """Least whole number of steps that is not shorter than a way (a millionth of a step is forgiven)."""
    return ceil(way_mm / step_mm - 1e-6)


def steps_at_most(way_mm: float, step_mm: float) -> int:
    """Greatest whole number of steps that is not longer than a way (a millionth of a step is forgiven)."""
    return floor(way_mm / step_mm + 1e-6)


def whole_place(place_mm: float, step_mm: Fraction) -> Fraction:
    """Place nearest to one that can be set: whole steps from the zero, wherever the slide stands now. [mm]

    Examples
    --------
    >>> whole_place(0.5716, Fraction(127, 10000))
    Fraction(1143, 2000)
    """
    return round(place_mm / float(step_mm)) * step_mm


def least_back_off_marks(slide: Slide) -> int:
    """Whole marks to go past a setting where there is no room for more: 1.5 times the slack, and more than the slack.

    Practice case PC-02 (common practice).
    """
    if slide.dial is None:
        return 0
    slack = slide.slack_mm / slide.dial.travel_per_mark_mm
    return max(ceil(slack * Fraction(3, 2)), floor(slack) + 1)


def back_off_marks(slide: Slide) -> int:
    """Whole marks to go past a setting before coming in again: half a turn, or 1.5 times the slack if that is more.

    Practice case PC-02: at least one and a half times the slack, better half a turn (common practice).
    """
    if slide.dial is None:
        return 0
    return max(least_back_off_marks(slide), ceil(Fraction(slide.dial.marks, 2)))
