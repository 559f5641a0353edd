"""What to do at a measuring stop, by the reading: rows from a reading to a reading, each with one act."""

from __future__ import annotations

from enum import Enum

from msgspec import Struct

from handwheel.domain.exact import Fraction
from handwheel.domain.motion import Handle, Turn


class Do(Enum):
    """What a row of an advice table tells the hand to do."""

    SET = "set"
    """Set what the sheet sets next from this reading, to this row's figure, and go on."""
    CUT_AGAIN = "cut again"
    """Wind so many marks deeper than the last cut was, cut once more, measure again."""
    COOL = "cool"
    """Let the work cool so long, then measure again."""
    READ_AGAIN = "read again"
    """Measure again."""
    GO_ON = "go on"
    """Go on by the sheet."""
    GOOD = "good"
    """Cut this surface no more: its size is good."""
    STOP_LOST = "lost"
    """Stop: the size is past its far limit."""
    STOP_ASK = "stop"
    """Stop and plan again."""


class AdviceRule(Struct, frozen=True, kw_only=True):
    """Marks by reckoning, where a row for each would be too many: how far a reading is from one size, in marks.

    The marks are the distance of the reading from ``zero_mm``, divided by ``mm_per_mark``, to the nearest step that can
    be set. [mm]
    """

    zero_mm: float
    mm_per_mark: float


class AdviceBand(Struct, frozen=True, kw_only=True):
    """One row of an advice table: for a reading from low to high, both included, what to do.

    Parameters
    ----------
    low_mm, high_mm : float
        Readings as the gauge shows them: a diameter, a width or a depth. [mm]
    do : Do
        What to do.
    marks : Fraction or None
        Marks (steps of a readout) short of the zero that is set, beyond a touched one, or, to cut again, deeper than
        the last cut; ``None`` where nothing is set, and where a rule gives them. [marks]
    dial : Fraction or None
        What the dial is set to show, counted in marks; ``None`` without one, and where a rule gives the marks. [marks]
    value_mm : Fraction or None
        What a readout is set to, as in `handwheel.domain.acts.Setting`, or goes deeper by; ``None`` without one. [mm]
    rule : AdviceRule or None
        How the marks are reckoned, where this row has many.
    seconds : float
        How long the work is to cool. [s]
    left_mm : float or None
        Metal still to go, as travel, as it is believed at the lowest reading of the row; ``None`` if nobody tells. [mm]
    """

    low_mm: float
    high_mm: float
    do: Do
    marks: Fraction | None = None
    dial: Fraction | None = None
    value_mm: Fraction | None = None
    rule: AdviceRule | None = None
    seconds: float = 0.0
    left_mm: float | None = None


class AdviceTable(Struct, frozen=True, kw_only=True):
    """Rows of readings in rising order and what to do for each; with any other reading: stop and plan again.

    Parameters
    ----------
    bands : tuple of AdviceBand
        The rows.
    step_mm : float
        Step of the gauge: rows end on whole steps, and the next begins one step further. [mm]
    sets : str
        Id of the act of the sheet that takes the figure of a row that sets; empty if none does.
    handle, turn : Handle, Turn, or None
        What the figures of the rows are wound on or set on, and which way it goes deeper; ``None`` if nothing is.
    stood_dial, stood_value_mm : Fraction or None
        Where dial or readout stood for the last cut before this stop, from which a cut goes deeper. [marks, mm]
    beyond : bool
        Whether those figures count beyond a zero that is touched; else short of one that is set from the reading.
    readings : int
        How many readings are to be taken; the rows are for their mean.
    cool_s : float
        How long the work is to cool before them; 0 if warmth is too small to matter. [s]
    """

    bands: tuple[AdviceBand, ...]
    step_mm: float
    sets: str = ""
    handle: Handle | None = None
    turn: Turn | None = None
    stood_dial: Fraction | None = None
    stood_value_mm: Fraction | None = None
    beyond: bool = False
    readings: int = 1
    cool_s: float = 0.0
