"""A trial: what it gives, why it matters here, what to do, what to enter, how the readings are judged."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from handwheel.bench.checkup.entry import Entry, Field
from handwheel.bench.checkup.measured import Measured
from handwheel.domain.chatter import ChatterHeard
from handwheel.domain.shop import Shop


class Instruction(Struct, frozen=True, kw_only=True):
    """One act for the hand; what can hurt stands in ``caution`` and is said before it."""

    says: str
    caution: str = ""


class KeyChange(Struct, frozen=True, kw_only=True):
    """Change of one value of the shop file, its path written as messages name it, with the reason."""

    path: str
    value: str | float | bool
    why: str


class RowHeard(Struct, frozen=True, kw_only=True):
    """One more ``[[chatter]]`` for the shop file."""

    row: ChatterHeard
    why: str


class SpeedCounted(Struct, frozen=True, kw_only=True):
    """A measured speed for the place of the shop file that describes this position of belt or lever. [rev/min]"""

    position: str
    rpm: float
    why: str


Change = KeyChange | RowHeard | SpeedCounted
"""What a trial would have changed in the shop file; nothing is changed unless the user says so."""


class Outcome(Struct, frozen=True, kw_only=True):
    """What the readings of a trial say.

    While a question is open nothing is learned and no change is proposed: the readings can mean two things, or nothing
    that is likely.

    Parameters
    ----------
    verdicts : tuple of str
        What was found, in words, with its interval.
    cannot_tell : tuple of str
        What this trial leaves open.
    measured : tuple of Measured
        Quantities found.
    changes : tuple of Change
        Changes proposed to the shop file.
    questions : tuple of str
        What must be answered by another reading first.
    """

    verdicts: tuple[str, ...] = ()
    cannot_tell: tuple[str, ...] = ()
    measured: tuple[Measured, ...] = ()
    changes: tuple[Change, ...] = ()
    questions: tuple[str, ...] = ()


class Trial(Struct, frozen=True, kw_only=True):
    """One trial.

    Parameters
    ----------
    key : str
        Word by which it is called.
    title : str
        What is tried.
    gives : str
        What comes out.
    matters : callable
        Why it matters in a shop: what is believed there now, and what hangs on it.
    settles : callable
        Paths of the values of a shop file that it can settle; none where the file has no key for them.
    instructions : callable
        What to do at the lathe of a shop, in order.
    fields : callable
        What is to be entered for a shop.
    judge : callable
        Outcome of a shop's readings, which were judged by `entry.require_valid` before.
    """

    key: str
    title: str
    gives: str
    matters: Callable[[Shop], str]
    settles: Callable[[Shop], tuple[str, ...]]
    instructions: Callable[[Shop], tuple[Instruction, ...]]
    fields: Callable[[Shop], tuple[Field, ...]]
    judge: Callable[[Shop, Entry], Outcome]


def asks(*questions: str, verdicts: tuple[str, ...] = ()) -> Outcome:
    """Outcome that asks, learns nothing and changes nothing."""
    return Outcome(questions=questions, verdicts=verdicts)
