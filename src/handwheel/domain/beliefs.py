"""What a shop has learned across jobs: pieces of evidence, what fades them, and the beliefs that follow."""

from __future__ import annotations

import re
from math import inf, isfinite

from msgspec import Struct

from handwheel.domain.believed import BeliefChange, Believed, Quantity
from handwheel.domain.choice import Choice
from handwheel.domain.errors import OutOfRangeError
from handwheel.domain.shop import Shop

__all__ = [
    "About",
    "Belief",
    "BeliefChange",
    "Beliefs",
    "Believed",
    "Event",
    "EventKind",
    "Evidence",
    "Learned",
    "Noted",
    "Prior",
    "Quantity",
    "Subject",
]

_ISO = r"(?P<year>[0-9]{4})-(?P<month>[0-9]{2})-(?P<day>[0-9]{2})(?:T(?P<hour>[0-9]{2}):(?P<minute>[0-9]{2}))?"
DAY_LETTERS = len("2026-11-30")
"""Of a date these are its day; what follows is a time."""
_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
_FEBRUARY = 2
FIRST_YEAR = 1900
"""An earlier date is a slip."""


class Subject(Choice):
    """What kind of thing a belief is about."""

    TOOL = "tool"
    DRILL = "drill"
    SLIDE = "slide"
    GAUGE = "gauge"
    HOLDING = "holding"
    HABIT = "habit"
    SPEED = "speed"
    METHOD = "method"


SUBJECT_OF = {
    Quantity.SPRING: Subject.TOOL,
    Quantity.TOUCH_ERROR: Subject.TOOL,
    Quantity.EDGE_WEAR: Subject.TOOL,
    Quantity.DRILL_OVERSIZE: Subject.DRILL,
    Quantity.LEAD_ERROR: Subject.SLIDE,
    Quantity.SLACK: Subject.SLIDE,
    Quantity.TAPER: Subject.SLIDE,
    Quantity.ANGLE_ERROR: Subject.SLIDE,
    Quantity.GAUGE_BIAS: Subject.GAUGE,
    Quantity.GAUGE_SPREAD: Subject.GAUGE,
    Quantity.RUNOUT: Subject.HOLDING,
    Quantity.TIME: Subject.HABIT,
    Quantity.SPINDLE_SPEED: Subject.SPEED,
    Quantity.POLISH_LOSS: Subject.METHOD,
}
"""What kind of thing each quantity belongs to."""
HANGS_ON_METAL = frozenset({Quantity.SPRING, Quantity.EDGE_WEAR, Quantity.DRILL_OVERSIZE, Quantity.POLISH_LOSS})
"""Quantities that another metal changes."""


class EventKind(Choice):
    """What was done at the lathe that makes earlier evidence worth less."""

    EDGE_CHANGED = "edge changed"
    DRILL_GROUND = "drill ground"
    GIB_ADJUSTED = "gib adjusted"
    SCREW_CHANGED = "screw or nut changed"
    LATHE_ALIGNED = "lathe aligned"
    GAUGE_RESET = "gauge reset"
    HOLDING_REMADE = "holding remade"


EVENT_SUBJECT = {
    EventKind.EDGE_CHANGED: Subject.TOOL,
    EventKind.DRILL_GROUND: Subject.DRILL,
    EventKind.GIB_ADJUSTED: Subject.SLIDE,
    EventKind.SCREW_CHANGED: Subject.SLIDE,
    EventKind.LATHE_ALIGNED: Subject.SLIDE,
    EventKind.GAUGE_RESET: Subject.GAUGE,
    EventKind.HOLDING_REMADE: Subject.HOLDING,
}
"""What kind of thing each event happens to."""


def require_date(name: str, date: str) -> None:
    """Raise `OutOfRangeError` unless a text is a day of the calendar, as 2026-11-30, or with a time, 2026-11-30T14:05.

    Examples
    --------
    >>> require_date("date", "2026-02-30")
    Traceback (most recent call last):
        ...
    handwheel.domain.errors.OutOfRangeError: date: got '2026-02-30', must be a day such as 2026-11-30; correct it
    """
    if not _is_date(date):
        msg = f"{name}: got {date!r}, must be a day such as 2026-11-30; correct it"
        raise OutOfRangeError(msg)


def _is_date(date: str) -> bool:
    found = re.fullmatch(_ISO, date, re.ASCII)
    if found is None:
        return False
    year, month, day = int(found["year"]), int(found["month"]), int(found["day"])
    if year < FIRST_YEAR or not 1 <= month <= len(_DAYS):
        return False
    leap = month == _FEBRUARY and year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
    in_day = int(found["hour"] or 0) < 24 and int(found["minute"] or 0) < 60  # noqa: PLR2004 - hours, minutes
    return 1 <= day <= _DAYS[month - 1] + leap and in_day


class About(Struct, frozen=True, kw_only=True, order=True):
    """What a belief is about: the id of a thing, and the key of a metal where that changes it.

    ``thing`` is an id of the shop (tool, drill, gauge, holding), the name of a slide (``"cross-slide"``), a time of
    the habits (``"tool_change_s"``), the position of a spindle speed, or a way of finishing (``"polished"``).
    """

    thing: str
    metal: str = ""

    @property
    def words(self) -> str:
        """For a message."""
        return f"{self.thing} in {self.metal}" if self.metal else self.thing


class Evidence(Struct, frozen=True, kw_only=True):
    """One piece: when, from which plan, step or check-up, what was found, how surely.

    Parameters
    ----------
    date : str
        Day of it, as 2026-11-30, or with the time behind, T14:05.
    what : str
        Id of the plan, step or check-up that it comes of.
    value, spread : float
        What was found, and its standard uncertainty, in the unit of the quantity.
    note : str
        Whatever its owner wants to remember.
    withdrawn : bool
        Whether it no longer counts; it stays in the file.
    """

    date: str
    what: str
    value: float
    spread: float
    note: str = ""
    withdrawn: bool = False

    def __post_init__(self) -> None:
        """Refuse what is no day, no number, or surer than anything can be."""
        require_date("date", self.date)
        if not isfinite(self.value):
            msg = f"value: got {self.value:g}, must be a number; give what was measured"
            raise OutOfRangeError(msg)
        if not isfinite(self.spread) or self.spread <= 0.0:
            msg = f"spread: got {self.spread:g}, must be above 0; give how far the value may be off (one standard "
            msg += "uncertainty)"
            raise OutOfRangeError(msg)


class Noted(Struct, frozen=True, kw_only=True):
    """A piece of evidence with what it is evidence of."""

    quantity: Quantity
    about: About
    evidence: Evidence


class Event(Struct, frozen=True, kw_only=True):
    """Something done to a thing, by which earlier evidence about it fades; taken out, the evidence is as before."""

    date: str
    kind: EventKind
    about: str
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse what is no day."""
        require_date("date", self.date)


class Learned(Struct, frozen=True, kw_only=True):
    """All that was learned at one lathe, as it stands in its file: evidence and events, in the order of the file."""

    noted: tuple[Noted, ...] = ()
    events: tuple[Event, ...] = ()


NOTHING_LEARNED = Learned()


class Beliefs(Struct, frozen=True, kw_only=True):
    """Everything that beliefs follow from: the shop, what was learned at it, and the day for which is asked.

    Values are derived, by `handwheel.bench.learning.believing`; none is stored. ``today`` matters only where
    something was learned.
    """

    shop: Shop
    learned: Learned = NOTHING_LEARNED
    today: str = ""

    def __post_init__(self) -> None:
        """Refuse to judge the age of evidence without a day, or on a day before it."""
        if self.learned == NOTHING_LEARNED:
            return
        require_date("today", self.today)
        dates = [(f"{one.quantity.value} of {one.about.words}", one.evidence.date) for one in self.learned.noted]
        dates += [(f"{event.kind.value}, {event.about}", event.date) for event in self.learned.events]
        for what, date in dates:
            if date[:DAY_LETTERS] > self.today[:DAY_LETTERS]:
                msg = f"{what}: date {date} is later than today, {self.today}; correct the date"
                raise OutOfRangeError(msg)


class Prior(Struct, frozen=True, kw_only=True):
    """What is believed before anything was learned; ``spread`` is infinite where nothing is."""

    value: float
    spread: float
    source_key: str
    standing: str
    place: str

    @property
    def is_known(self) -> bool:
        """Whether there is anything to begin with."""
        return self.spread < inf


class Belief(Struct, frozen=True, kw_only=True):
    """What is believed of one quantity of one thing for the next job.

    Parameters
    ----------
    value, spread : float
        Middle and standard uncertainty for the next job, in ``unit``; derived from prior, evidence and events.
    evidence : tuple of Evidence
        All that is about just this thing, in the order of the file, withdrawn ones too.
    related : int
        How many pieces about like things count beside it (the same metal with another tool of its kind, ...).
    newest : str
        Day of the latest piece that counts; empty if none does.
    is_unlike : bool
        Whether the evidence is so far from the prior that the prior was set aside.
    """

    quantity: Quantity
    about: About
    value: float
    spread: float
    unit: str
    prior: Prior
    evidence: tuple[Evidence, ...] = ()
    related: int = 0
    newest: str = ""
    is_unlike: bool = False

    @property
    def counting(self) -> tuple[Evidence, ...]:
        """Evidence that is not withdrawn."""
        return tuple(piece for piece in self.evidence if not piece.withdrawn)
