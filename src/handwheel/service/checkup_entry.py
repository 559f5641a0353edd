"""What a person types for a trial: ``key=value`` with repeats, read as lengths and numbers are read elsewhere."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from handwheel.bench.checkup.entry import Entry, Field, Kind, Number
from handwheel.domain.errors import InputError
from handwheel.domain.part import Units
from handwheel.service.intake.lengths import length_mm, number_in, shown
from handwheel.service.intake.metals import read_metal
from handwheel.service.intake.problems import Problems
from handwheel.service.intake.quantities import UNITS, read_quantity
from handwheel.service.intake.table import Table

_BETWEEN = re.compile(r"\s*;\s*|,\s+")
"""Between two readings stands a semicolon, or a comma with a blank: a comma alone may be a decimal one."""
_POINTED_LIST = re.compile(r"[^,]*\.[^,]*(?:,[^,]*\.[^,]*)+")
"""Where every figure has its decimal point, a comma alone parts them too."""
_WHOLE_LIST = re.compile(r"[0-9]+(?:,[0-9]+){2,}")
_THOUSANDS = re.compile(r"[1-9][0-9]{0,2}(?:,[0-9]{3})+")
"""More than one comma parts whole figures, unless they may be thousands: then it is asked."""
_SIGNED = re.compile(r"(?P<sign>[+-]?)\s*(?P<rest>[0-9.,].*)")


def read_entry(texts: Iterable[str], *, fields: Sequence[Field], where: str, units: Units) -> Entry:
    """Read what was typed for a trial.

    Parameters
    ----------
    texts : iterable of str
        Such as ``before=20.02 mm``, ``marks=10``, ``gauge=micrometer-0-25``. A key may come again, or its readings may
        stand behind each other: ``before=20.02; 20.03`` or ``20.02, 20.03``. A comma between figures without a blank is
        a decimal comma, unless every figure has its point or there are two commas and more.
    fields : sequence of Field
        What may be entered; what is unknown is left for `handwheel.bench.checkup.entry.require_valid` to refuse.
    where : str
        Name of the trial, for messages.
    units : Units
        Unit of a length that names none.

    Returns
    -------
    Entry
        Lengths in mm, numbers in the units of their fields.

    Raises
    ------
    InputError
        With everything that could not be read.

    Examples
    --------
    >>> asked = (Field(key="before", says="diameter", most=5), Field(key="held", says="by what", kind=Kind.WORD))
    >>> said = ["before=20,02; 20.03 mm", "held=chuck", "before=1/2 in"]
    >>> got = read_entry(said, fields=asked, where="trial", units=Units.MM)
    >>> got.all("before"), got.word("held")
    ((20.02, 20.03, 12.7), 'chuck')
    """
    known = {each.key: each for each in fields}
    numbers: dict[str, list[Number]] = {}
    words: dict[str, str] = {}
    problems: list[str] = []
    for text in texts:
        key, sign, written = (piece.strip() for piece in text.partition("="))
        try:
            if not sign or not written:
                problems.append(f"{where}: found {shown(text)}; write a key and its value: {_example(fields)}")
            elif key not in known:
                allowed = ", ".join(known)
                problems.append(f"{where}: found {shown(key)}; allowed {allowed}; write one of them")
            elif known[key].is_word:
                _take_word(known[key], written, words, where=where)
            else:
                read = (
                    _read_number(known[key], one, where=f"{where}: {key}", units=units) for one in _readings(written)
                )
                numbers.setdefault(key, []).extend(read)
        except InputError as error:
            problems.extend(error.problems)
    if problems:
        raise InputError(tuple(problems))
    return Entry(numbers={key: tuple(values) for key, values in numbers.items()}, words=words)


def _example(fields: Sequence[Field]) -> str:
    return f"{fields[0].key}=..."


def _readings(written: str) -> Iterator[str]:
    whole = _WHOLE_LIST.fullmatch(written) and not _THOUSANDS.fullmatch(written)
    pointed = _POINTED_LIST.fullmatch(written) and " " not in written
    pieces = written.split(",") if whole or pointed else _BETWEEN.split(written)
    return (piece for piece in pieces if piece)


def _take_word(field: Field, written: str, words: dict[str, str], *, where: str) -> None:
    if field.key in words and words[field.key] != written:
        msg = f"{where}: {field.key}: found {shown(words[field.key])} and {shown(written)}; enter it once"
        raise InputError((msg,))
    words[field.key] = _metal(field, written, where=where) if field.kind is Kind.METAL else written


def _metal(field: Field, written: str, *, where: str) -> str:
    table = Table({field.key: written}, problems=Problems(where), units=Units.MM)
    key = read_metal(table, field.key)
    return table.problems.settle(key)


def _read_number(field: Field, written: str, *, where: str, units: Units) -> Number:
    if field.kind is Kind.LENGTH:
        return length_mm(written, unit=units, where=where)
    parts = _SIGNED.fullmatch(written)
    if parts is None:
        msg = f"{where}: found {shown(written)}; allowed a number of {field.unit}; check it"
        raise InputError((msg,))
    bare = parts["rest"].removesuffix(f" {field.unit}").removesuffix(f" {field.unit.removesuffix('s')}")
    if field.unit in UNITS and not bare[-1].isdigit():
        return read_quantity(written, unit=field.unit, where=where)
    value = number_in(bare, where=where)
    return -value if parts["sign"] == "-" else value
