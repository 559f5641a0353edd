"""Where things stand on a line: number, verb and body of an act, cautions at the margin, rules and columns."""

from __future__ import annotations

import re
import textwrap
from typing import TYPE_CHECKING

from handwheel.domain.errors import require_within
from handwheel.report.wording import worded
from handwheel.report.words import plain

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from handwheel.report.pieces import ActRow, ActTable

NUMBER_WIDTH = 5
VERB_WIDTH = 7
BODY_COLUMN = NUMBER_WIDTH + 1 + VERB_WIDTH + 1
CAUTION = "!! "
PIECE_GAP = "   "
GAP, NARROW_GAP = "  ", " "
"""What parts the columns of a table."""
INDENT = "    "
NARROWEST, WIDEST = 72, 200

BEFORE_UNIT = re.compile(
    r"(?<=[0-9Ø]) (?=(?:mm|in|m/min|ft/min|rev/min|s|min|turns?|marks?)\b|[0-9])|(?<=[±+/-]) (?=[0-9])"
)
HARD_SPACE = "\N{NULL}"
"""Stands for a space that must not end a line; a no-break space would count as a letter the sheet may not use."""


def require_width(width: int) -> None:
    """Raise `OutOfRangeError` unless a sheet can be laid out in so many columns."""
    require_within("width", width, low=NARROWEST, high=WIDEST, unit="columns")


def row_lines(row: ActRow, *, width: int) -> Iterator[str]:
    """Lay out an act: its cautions, then its number and verb, its body with a hanging indent, its note."""
    yield from caution_lines(row.cautions, width=width)
    head = f"{row.number:>{NUMBER_WIDTH}} {row.text.verb:<{VERB_WIDTH}} "
    note = ((f"note: {row.note}",),) if row.note else ()
    lines = (*row.text.lines, *(() if row.text.table is not None else note))
    body = [packed for line in lines for packed in pack(map(str, line), width=width - BODY_COLUMN)]
    yield f"{head}{body[0] if body else ''}".rstrip()
    for packed in body[1:]:
        yield " " * BODY_COLUMN + packed
    if row.text.table is not None:
        yield from (" " * BODY_COLUMN + line for line in fitted_table(row.text.table, width=width - BODY_COLUMN))
    after = (*row.text.after, *(() if row.text.table is None else note))
    yield from (
        " " * BODY_COLUMN + packed for line in after for packed in pack(map(str, line), width=width - BODY_COLUMN)
    )


def fitted_table(it: ActTable, *, width: int) -> list[str]:
    """Set the table of an act in columns, nearer to each other where they are too wide for the sheet.

    If that does not help, each row has two lines: what it is for, and below that what to do.
    """
    rows = (it.columns, *it.rows)
    for gap in (GAP, NARROW_GAP):
        lines = table(rows, indent="", gap=gap)
        if max(map(len, lines)) <= width:
            return lines
    told = [(GAP.join(row[: it.tells]), GAP.join(cell for cell in row[it.tells :] if cell)) for row in rows]
    return [worded(line) for first, then in told for line in (first, f"{INDENT}{then}")]


def caution_lines(cautions: Sequence[str], *, width: int) -> Iterator[str]:
    """Lay out cautions at the margin, where the eye falls first."""
    for caution in cautions:
        for position, piece in enumerate(wrap(caution, width=width - 2 * len(CAUTION))):
            yield f"{CAUTION}{'   ' if position else ''}{piece}"


def pack(pieces: Iterable[str], *, width: int) -> Iterator[str]:
    """Put pieces on as few lines as they need, breaking between them; a piece too long is wrapped."""
    line = ""
    for piece in map(plain, map(worded, pieces)):
        if line and len(line) + len(PIECE_GAP) + len(piece) <= width:
            line += PIECE_GAP + piece
            continue
        if line:
            yield line
        *whole, line = wrap(piece, width=width) or [""]
        yield from whole
    if line:
        yield line


def wrap(text: str, *, width: int) -> list[str]:
    """Break a text into lines, in the letters of the sheet, never between a figure and its unit."""
    whole = plain(worded(text))
    if len(whole) <= width:
        return [whole] if whole else []
    glued = BEFORE_UNIT.sub(HARD_SPACE, whole)
    return [line.replace(HARD_SPACE, " ") for line in textwrap.wrap(glued, width=width, break_on_hyphens=False)]


def labelled(label: str, text: str, *, width: int, column: int = 11) -> Iterator[str]:
    """Lay out a label and its text, the text with a hanging indent at ``column``."""
    pieces = wrap(text, width=width - column) or [""]
    yield f"{' ' + label:<{column}}{pieces[0]}".rstrip()
    for piece in pieces[1:]:
        yield " " * column + piece


def table(
    rows: Sequence[Sequence[str]], *, indent: str = " ", right: frozenset[int] = frozenset(), gap: str = GAP
) -> list[str]:
    """Set rows in columns as wide as their widest entry; columns named in ``right`` are set to the right."""
    rows = [tuple(map(worded, row)) for row in rows]
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    return [
        indent
        + gap.join(
            f"{cell:>{width}}" if place in right else f"{cell:<{width}}"
            for place, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    ]
