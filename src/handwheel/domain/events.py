"""What happens at the lathe, one event each: appended, never changed; a mistake is mended by a further event."""

from __future__ import annotations

from enum import Enum

from msgspec import Struct

from handwheel.domain.exact import Fraction


class EventKind(Enum):
    """What happened; ``value`` and ``text`` of an event mean what stands beside each."""

    BEGUN = "begun"
    """A walk through a plan began; the text is the hash of what the plan uses of the shop."""
    DONE = "done"
    """The act is done; a text says why it went on although a reading lay outside."""
    READING = "reading"
    """A reading that counts. The value is the size as read [mm], the text what was typed."""
    ASKED = "asked back"
    """A reading that does not count yet, for it was asked back; value and text as of a reading."""
    ANSWERED = "answered"
    """What was asked about the readings of an act is settled: they stand. The text holds the codes of the questions."""
    ANEW = "measured anew"
    """The work was cut again or has cooled at a measuring act: what was read there before counts no more."""
    DIAL = "dial"
    """What a collar shows that cannot be turned on its own; the value in marks."""
    NOTE = "note"
    """A remark: the text."""
    WENT = "went to"
    """The walk goes on at this act; what lies between was neither done nor undone by it."""
    BACK = "back"
    """What it corrects counts as never done."""
    STOPPED = "stopped"
    """The job is given up; the text says why."""
    LEFT = "left"
    """The lathe was left; the walk can go on later."""
    RESUMED = "resumed"
    """The walk goes on."""
    TORN = "torn line"
    """The line before was broken off while it was being written, and is no event; the text identifies it."""


class EventId(Struct, frozen=True, kw_only=True):
    """Which event: unique over all devices."""

    device: str
    counter: int


class Event(Struct, frozen=True, kw_only=True, omit_defaults=True, forbid_unknown_fields=True):
    """One thing that happened.

    Parameters
    ----------
    device : str
        What recorded it.
    counter : int
        Number of the event on that device, from 1; device and counter together are unique.
    base : int
        How many events of the journal the device knew when it recorded this one.
    plan : str
        Id of the plan.
    kind : EventKind
        What happened.
    step, act : str
        Where in the plan, by id.
    value : Fraction or None
        Figure, exact, in the unit that its kind says.
    text : str
        Words, as its kind says.
    gauge, place : str
        Gauge of the shop that a reading was taken with, by id; where along or round the work, in anybody's words.
    temperature_c : float or None
        Temperature of the work at a reading, if it was told. [°C]
    happened_at, recorded_at : str
        When it happened, and when it was written down; UTC, such as ``2026-11-30T16:03:30.125Z``.
    corrects : EventId or None
        Earlier event that this one stands in place of.
    """

    device: str
    counter: int
    base: int
    plan: str
    kind: EventKind
    happened_at: str
    recorded_at: str
    step: str = ""
    act: str = ""
    value: Fraction | None = None
    text: str = ""
    gauge: str = ""
    place: str = ""
    temperature_c: float | None = None
    corrects: EventId | None = None

    @property
    def id(self) -> EventId:
        """Which event it is."""
        return EventId(device=self.device, counter=self.counter)
