"""Every code that a question about a reading may have, with what the reading is worth meanwhile and its meaning.

Apart from the codes of findings: a finding speaks of a plan, a question of what somebody has just read. The page
docs/questions-at-the-lathe.md has a section under each code.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum

from msgspec import Struct

from handwheel.domain.errors import HandwheelError


class UnknownQuestionError(HandwheelError, ValueError):
    """A question has a code that is not in the table of codes."""


class Counts(Enum):
    """Whether a reading may count while a question about it is open."""

    NOT_YET = "no"
    ONCE_CONFIRMED = "only after confirmation"


class QuestionCode(Struct, frozen=True, kw_only=True):
    """What a code stands for: what the reading is worth meanwhile, its meaning, on whose word it is asked."""

    counts: Counts
    meaning: str
    source_key: str = "COMMON"


def _not_yet(meaning: str, source_key: str = "COMMON") -> QuestionCode:
    return QuestionCode(counts=Counts.NOT_YET, meaning=meaning, source_key=source_key)


def _confirm(meaning: str, source_key: str = "COMMON") -> QuestionCode:
    return QuestionCode(counts=Counts.ONCE_CONFIRMED, meaning=meaning, source_key=source_key)


QUESTION_CODES: Mapping[str, QuestionCode] = {
    "beyond-gauge": _not_yet("the gauge cannot show what was typed"),
    "caliper-flats": _confirm("the flats of a caliper's inside jaws make it read this bore small", "GEOMETRY"),
    "digits-swapped": _confirm("with two neighbouring digits exchanged the reading would be as expected"),
    "far-from-expected": _confirm("the reading is further from what is expected than chance explains", "GUM"),
    "frame-left-out": _confirm("with the size at which the micrometer's frame begins the reading would be as expected"),
    "gauge-cannot-decide": _confirm("no number of readings of this gauge decides the tolerance", "GUM"),
    "gauge-turn-out": _confirm("the reading is off by about one turn of the gauge"),
    "handle-turn-out": _confirm("the reading is off by about what one turn of a handwheel does"),
    "lobes-unseen": _confirm("the grip leaves lobes that this gauge does not see, and they matter", "GEOMETRY"),
    "more-readings": _not_yet("the mean of so few readings does not decide the tolerance", "GUM"),
    "outlier": _confirm("one reading lies apart from the others of this stop", "GUM"),
    "point-slip": _confirm("with the decimal point elsewhere the reading would be as expected"),
    "radius-typed": _confirm("doubled or halved the reading would be as expected"),
    "spread-wide": _not_yet("the readings lie too far apart for the next cut"),
    "still-warm": _confirm("the work is believed to be so warm that its size is out by more than matters"),
    "warm-reading": _confirm("at the temperature that was typed the size is out by more than matters", "ISO1"),
    "wrong-unit": _confirm("taken in the other unit the reading would be as expected", "INCH"),
}
"""The one list of codes: `handwheel.bench.asking.records.Question` takes no other."""
