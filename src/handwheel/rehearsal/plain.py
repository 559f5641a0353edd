"""Plain habits of the workshop on virtual lathes, beside which the bench's advice is judged."""

from __future__ import annotations

from enum import Enum

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from handwheel.sim.machine import Machine

Floats = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]

COOLING_S = 600.0
"""Who lets work cool before measuring gives it ten minutes; common practice, no source. [s]"""
MOST_HALVES = 12
"""Who halves the rest again and again gives up after so many cuts; common practice, no source."""
TINY = 1e-9


class Setting(Enum):
    """How a handle is set to a wanted travel."""

    BETWEEN = "anywhere between the marks"
    WHOLE = "to the nearest whole mark"
    FINE = "to the nearest whole mark of the swung top slide"


class Plain(Struct, frozen=True, kw_only=True):
    """A plain habit: what is wound in after each measuring stop, and what is read there.

    Parameters
    ----------
    name : str
        What it is called in the report.
    shares : tuple of float
        After roughing: at each stop so much of the rest that the gauge tells of is wound in, and cut.
    readings : int
        Readings of a stop; the middle one counts. 0: the rest is what the dial says, and nothing is measured.
    cools : bool
        Whether the work has ten minutes to cool before each stop.
    setting : Setting
        How the handle is set. Between the marks is in the habit's favour: no bench advice may do so.
    """

    name: str
    shares: tuple[float, ...]
    readings: int
    cools: bool = False
    setting: Setting = Setting.BETWEEN


DIAL_ONLY = Plain(name="dial only", shares=(1.0,), readings=0)
MEASURE_ONCE = Plain(name="measure, wind in the rest", shares=(1.0,), readings=1)
HALVES = Plain(name="half the rest, again and again", shares=(0.5,) * MOST_HALVES, readings=1)
TWO_EQUAL = Plain(name="two equal cuts, three readings", shares=(0.5, 1.0), readings=3)
HALVES_OF_THREE = Plain(name="half the rest, three readings", shares=(0.5,) * MOST_HALVES, readings=3)
HABITS = (DIAL_ONLY, MEASURE_ONCE, HALVES, TWO_EQUAL, HALVES_OF_THREE)
"""Common practice, no source. The last takes the best of two others, with as many cuts and stops as it likes."""


class _Hand(Struct, kw_only=True):
    """Where the handle in use stands: marks from its zero, travel of a mark, whether it is the top slide."""

    marks: Floats
    mark_mm: Floats
    fine: bool = False


def work_plainly(machine: Machine, habit: Plain, *, leave_mm: float, most_cut_mm: float) -> None:
    """Work every lathe of a machine by a plain habit.

    The tip touches; the dial alone leads to ``leave_mm`` of travel before the nominal end, in passes of at most
    ``most_cut_mm``. Then, stop by stop, a share of the rest is wound in from where the handle stands, until the reading
    lies inside the limits or no metal is left, or the shares are used up. A last stop tells how it came out. Known are
    the drawing, the nominal size of the blank, the marks as engraved, and the gauge; nothing of the lathe.

    Parameters
    ----------
    machine : Machine
        The lathes, the blanks untouched; changed.
    habit : Plain
        What is done.
    leave_mm, most_cut_mm : float
        What roughing leaves, and the greatest depth of a pass. [mm of travel]
    """
    known, everyone = machine.known, machine.everyone
    nominal_mm = np.abs(known.start_dia_mm - known.target_dia_mm) / 2.0
    machine.touch(everyone)
    hand = _Hand(marks=np.zeros(machine.lathes.count), mark_mm=known.mark_mm)
    goal = _settable(habit, (nominal_mm - leave_mm) / hand.mark_mm)
    _rough(machine, hand, goal, np.maximum(_whole_below(habit, most_cut_mm / hand.mark_mm), 1.0))
    by_dial_mm = nominal_mm - goal * hand.mark_mm
    if habit.setting is Setting.FINE:
        hand = _swung(machine)
    at = everyone
    for share in habit.shares:
        rest_mm, is_open = by_dial_mm[at], np.ones(len(at), dtype=np.bool_)
        if habit.readings:
            rest_mm, is_open = _measured(machine, at, habit)
        marks = _settable(habit, hand.marks[at] + share * rest_mm / hand.mark_mm[at])
        goes = is_open & (marks > hand.marks[at] + TINY)
        at = at[goes]
        hand.marks[at] = marks[goes]
        machine.cut(at, hand.marks[at], fine=hand.fine)
    _read(machine, everyone, habit)


def _rough(machine: Machine, hand: _Hand, goal: Floats, most_marks: Floats) -> None:
    """Passes of at most so many marks, until the handle stands at its goal."""
    while len(at := np.nonzero(hand.marks < goal - TINY)[0]):
        hand.marks[at] = np.minimum(hand.marks[at] + most_marks[at], goal[at])
        machine.cut(at, hand.marks[at])


def _swung(machine: Machine) -> _Hand:
    """The top slide swung, its zero touched."""
    machine.swing(machine.everyone)
    machine.touch(machine.everyone, fine=True)
    return _Hand(marks=np.zeros(machine.lathes.count), mark_mm=machine.known.fine_mark_mm, fine=True)


def _measured(machine: Machine, at: Places, habit: Plain) -> tuple[Floats, npt.NDArray[np.bool_]]:
    """The rest by the gauge, as travel, and whether metal is still to come off. [mm]"""
    known = machine.known
    reading_mm = _read(machine, at, habit)
    over_mm = np.where(known.inside[at], -1.0, 1.0) * (reading_mm - known.target_dia_mm[at])
    is_inside = (reading_mm >= known.lower_dia_mm[at]) & (reading_mm <= known.upper_dia_mm[at])
    return over_mm / 2.0, ~is_inside & (over_mm > 0.0)


def _read(machine: Machine, at: Places, habit: Plain) -> Floats:
    """The middle of the readings of a stop, of one where the habit is to measure nothing. [mm]"""
    if habit.cools:
        machine.wait(at, COOLING_S)
    readings_mm = np.stack([machine.read(at) for _ in range(max(habit.readings, 1))])
    middle: Floats = np.median(readings_mm, axis=0)
    return middle


def _settable(habit: Plain, marks: Floats) -> Floats:
    """The marks that the habit sets for those wanted."""
    whole: Floats = np.floor(marks + 0.5)
    return marks if habit.setting is Setting.BETWEEN else whole


def _whole_below(habit: Plain, marks: Floats) -> Floats:
    """The most marks that a pass may have."""
    whole: Floats = np.floor(marks + TINY)
    return marks if habit.setting is Setting.BETWEEN else whole
