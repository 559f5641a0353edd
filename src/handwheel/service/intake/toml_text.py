"""The text of one of our TOML files as its outermost table, with hostile text refused in plain words."""

from __future__ import annotations

import re
import tomllib
from decimal import Decimal, InvalidOperation

from handwheel.domain.errors import InputError
from handwheel.domain.part import Units
from handwheel.service.intake.lengths import shown
from handwheel.service.intake.problems import Problems
from handwheel.service.intake.table import Table, by_value

LONGEST_FILE = 200_000
"""Longest text that is parsed; the fullest shop file we know is a tenth of it. [characters]"""
LONGEST_LINE = 1_000
"""Longest line; it also bounds how deep a dotted key can go. [characters]"""

_PLACE = re.compile(r"(?P<reason>.*) \(at (?:line (?P<line>\d+), column \d+|end of document)\)", re.DOTALL)


def open_table(text: str, *, name: str) -> Table:
    """Outermost table of a file, in the units that the file states.

    Raises
    ------
    InputError
        If the text is no TOML, or too long or too deep to be one of our files.
    """
    problems = Problems(name)
    values = parse_toml(text, name=name)
    units = Table(values, problems=problems, units=Units.MM).choice("units", by_value(Units))
    table = Table(values, problems=problems, units=units)
    table.has("units")  # it was read above and counts as known
    return table


def parse_toml(text: str, *, name: str) -> dict[str, object]:
    """Parse TOML with decimals kept exact; raises `InputError` naming file and line."""
    _require_moderate(text, name=name)
    try:
        return tomllib.loads(text, parse_float=_exact_decimal)
    except RecursionError:
        sentence = "lists or tables are nested too deep to be followed; write them as the demo files do"
        raise InputError((f"{name}: {sentence}",)) from None
    except ValueError as error:  # a TOML error, or a whole number of thousands of digits
        raise InputError((_syntax_problem(text, str(error), name=name),)) from None


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
    for number, line in enumerate(text.splitlines(), start=1):
        if len(line) > LONGEST_LINE:
            sentence = f"found {len(line)} characters in one line; allowed {LONGEST_LINE}; break it into lines"
            raise InputError((f"{name}: line {number}: {sentence}",))


def _syntax_problem(text: str, message: str, *, name: str) -> str:
    """Say where the file stops being TOML, show the line, say how a line should look."""
    lines = text.splitlines() or [""]
    place = _PLACE.fullmatch(message)
    if place is None:
        return f"{name}: cannot be read as TOML ({message}); check the numbers and dates, and read the file again"
    number = int(place["line"] or len(lines))
    line = lines[number - 1] if number <= len(lines) else ""
    return (
        f"{name}: line {number}: found {shown(line.strip())}, which cannot be read as TOML ({place['reason']}); "
        'allowed key = value with text in "quotes", [table], [[list of tables]]; '
        "mend this line (or the one before it) and read the file again"
    )
