"""The text of one of our TOML files as its outermost table, with hostile text refused in plain words."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable
from decimal import Decimal, InvalidOperation

from handwheel.domain.errors import InputError
from handwheel.domain.part import Units
from handwheel.service.intake.lengths import shown
from handwheel.service.intake.pattern import Pattern
from handwheel.service.intake.places import key_lines
from handwheel.service.intake.problems import Problems
from handwheel.service.intake.table import GIVEN, Must, Table, by_value

LONGEST_FILE = 200_000
"""Longest text that is parsed; the fullest shop file we know is a tenth of it. [characters]"""
LONGEST_LINE = 1_000
"""Longest line; it also bounds how deep a dotted key can go. [characters]"""

SHOWN_OF_LINE = 60
"""Most of a line that a message shows round the place where it goes wrong. [characters]"""

_PLACE = Pattern(r"(?P<reason>.*) \(at (?:line (?P<line>\d+), column (?P<column>\d+)|end of document)\)", re.DOTALL)
_KINDS = 'key = value with text in "quotes", [table], [[list of tables]]'


def open_table(
    text: str,
    *,
    name: str,
    units: Units | Must = GIVEN,
    filled: Callable[[dict[str, object]], dict[str, object]] | None = None,
) -> Table:
    """Outermost table of a file, in the units that the file states; ``units`` are those of one that need not.

    ``filled`` puts values in the place of words that stand for them.

    Raises
    ------
    InputError
        If the text is no TOML, or too long or too deep to be one of our files.
    """
    parsed = parse_toml(text, name=name)
    values = parsed if filled is None else filled(parsed)
    problems = Problems(name, find_lines=lambda: key_lines(_plain_ends(text), values))
    stated = Table(values, problems=problems, units=Units.MM).choice("units", by_value(Units), default=units)
    table = Table(values, problems=problems, units=stated)
    table.has("units")  # it was read above and counts as known
    return table


def parse_toml(text: str, *, name: str) -> dict[str, object]:
    """Parse TOML with decimals kept exact; raises `InputError` naming file, line and column."""
    _require_moderate(text, name=name)
    try:
        return tomllib.loads(text, parse_float=_exact_decimal)
    except RecursionError:
        sentence = "lists or tables are nested too deep to be followed; write them as the demo files do"
        raise InputError((f"{name}: {sentence}",)) from None
    except ValueError as error:  # a TOML error, or a whole number of thousands of digits
        raise InputError((_syntax_problem(_plain_ends(text), str(error), name=name),)) from None


def _plain_ends(text: str) -> str:
    """Text as the parser counts its lines: their ends as line feeds."""
    return text.replace("\r\n", "\n")


def _exact_decimal(digits: str) -> Decimal:
    """Keep a TOML number exact; one whose exponent no decimal can hold is an error of the file."""
    try:
        return Decimal(digits)
    except InvalidOperation:
        reason = f"{shown(digits)} is too large or too small for any number"
        raise ValueError(reason) from None


def _require_moderate(text: str, *, name: str) -> None:
    """Refuse what cannot be one of our files before any time is spent on it."""
    if len(text) > LONGEST_FILE:
        sentence = f"found {len(text)} characters; allowed {LONGEST_FILE}; check that this is the file you mean"
        raise InputError((f"{name}: {sentence}",))
    for number, line in enumerate(text.split("\n"), start=1):
        if len(line) > LONGEST_LINE:
            sentence = f"found {len(line)} characters in one line; allowed {LONGEST_LINE}; break it into lines"
            raise InputError((f"{name}: line {number}: {sentence}",))


def _syntax_problem(text: str, message: str, *, name: str) -> str:
    """Say where the file stops being TOML, show the line with a mark below, say what is usually behind it."""
    from handwheel.service.intake.syntax_causes import likely_cause, twice_cause

    place = _PLACE.fullmatch(message)
    if place is None:
        return f"{name}: cannot be read as TOML ({message}); check the numbers and dates, and read the file again"
    lines = text.split("\n")
    number, column = _where_it_broke(lines, place)
    line, reason = lines[number - 1], place["reason"].replace("\n", "line end").replace("\r", "line end")
    do = twice_cause(reason, text, number) or likely_cause(line)
    otherwise = "mend this line (or the one before it) and read the file again"
    shown_reason = "".join(sign if sign.isprintable() else " " for sign in reason)
    return (
        f"{name}: line {number}, column {column}: found {shown(line.strip())}, which cannot be read as TOML "
        f"({shown_reason}); allowed {_KINDS}; {do or otherwise}\n{_marked(line, column)}"
    )


def _where_it_broke(lines: list[str], place: re.Match[str]) -> tuple[int, int]:
    """Line and column of a syntax error; one at the end of the file belongs to its last line that is not empty."""
    if place["line"]:
        number, column = int(place["line"]), int(place["column"])
        if number <= len(lines):
            return number, column
    written = [number for number, line in enumerate(lines, start=1) if line.strip()]
    number = written[-1] if written else 1
    return number, len(lines[number - 1]) + 1


def _marked(line: str, column: int) -> str:
    """Show a line with a caret below the place; of a long one only what is about it."""
    first = max(0, min(column - 1 - SHOWN_OF_LINE // 2, len(line) - SHOWN_OF_LINE))
    part = "".join(sign if sign.isprintable() else " " for sign in line[first : first + SHOWN_OF_LINE])
    return f"    {part.rstrip()}\n    {' ' * (column - 1 - first)}^"
