"""What is said of one act: lines of pieces, each with its weight, for every kind of sheet."""

from __future__ import annotations

from enum import Enum

from msgspec import Struct

BOX = "[________]"
"""Stands in a text for a box to write in."""


class Weight(Enum):
    """What a piece is to the hand; a sheet in letters of one size need not tell them apart."""

    SETTING = "setting"
    """What the hand brings a dial, a stop, a scale or a lever to."""
    WAY = "way"
    """How far that is: turns and marks, a time, which zero."""
    SIZE = "size"
    """A size that is then true, or to be expected."""
    LIMIT = "limit"
    """What must not be passed."""


class Said(Struct, frozen=True, kw_only=True):
    """A piece with a weight: the figure itself, and what stands before and after it in words."""

    weight: Weight
    text: str
    before: str = ""
    after: str = ""

    def __str__(self) -> str:
        """Print it in letters of one size."""
        return f"{self.before}{self.text}{self.after}"


Piece = str | Said

Line = tuple[Piece, ...]
"""Pieces that belong on one line and are not broken inside while they fit."""


class ActTable(Struct, frozen=True, kw_only=True):
    """Rows under the words of an act, in columns with names; the hand goes by the column that ``tells``."""

    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    tells: int


class ActText(Struct, frozen=True, kw_only=True):
    """What is said of one act: a verb, then lines of pieces; the first stands beside the verb.

    Below them may stand a table, and lines ``after`` it.
    """

    verb: str
    lines: tuple[Line, ...]
    table: ActTable | None = None
    after: tuple[Line, ...] = ()


class ActRow(Struct, frozen=True, kw_only=True):
    """An act as it stands on a sheet: its cautions before it, its number or letter, its words, its short note."""

    number: str
    text: ActText
    cautions: tuple[str, ...] = ()
    note: str = ""
