"""What is entered for a trial: fields with units, ranges and repeats, and readings judged by them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from enum import Enum
from math import isfinite

from msgspec import Struct, field

from handwheel.domain.errors import InputError
from handwheel.domain.exact import Fraction
from handwheel.domain.part import Units
from handwheel.domain.said import said_short

Number = Fraction | float
MOST_READINGS = 50
"""More readings of one thing than this are a slip; own choice."""


class Kind(Enum):
    """How a field is written."""

    LENGTH = "length"
    NUMBER = "number"
    WORD = "word"
    METAL = "metal"


class Field(Struct, frozen=True, kw_only=True):
    """One thing to be entered.

    Parameters
    ----------
    key : str
        Its name on the command line.
    says : str
        What it is.
    kind : Kind
        How it is written.
    low, high : float
        Range of a length or number, in ``unit``.
    unit : str
        Unit of a number; lengths are in mm.
    fewest, most : int
        How many readings are wanted; of a field that is not ``needed``, if it is given at all.
    choices : tuple of str
        Words that are allowed; any, if there are none.
    needed : bool
        Whether it must be given.
    usual : float or str, optional
        What holds if it is not given.
    """

    key: str
    says: str
    kind: Kind = Kind.LENGTH
    low: float = 0.0
    high: float = 1000.0
    unit: str = "mm"
    fewest: int = 1
    most: int = 1
    choices: tuple[str, ...] = ()
    needed: bool = True
    usual: float | str | None = None

    @property
    def is_word(self) -> bool:
        """Whether it is a word, not a figure."""
        return self.kind in (Kind.WORD, Kind.METAL)


class Entry(Struct, frozen=True, kw_only=True):
    """Readings of a trial: numbers by field, each as often as it was read (lengths in mm), and words."""

    numbers: Mapping[str, tuple[Number, ...]] = field(default_factory=dict)
    words: Mapping[str, str] = field(default_factory=dict)

    def has(self, key: str) -> bool:
        """Whether something was entered there."""
        return key in self.numbers or key in self.words

    def all(self, key: str) -> tuple[float, ...]:
        """Every reading of a field, in the order of their taking."""
        return tuple(float(one) for one in self.numbers[key])

    def one(self, key: str, default: float | None = None) -> float:
        """Value of a field that is entered once, or what holds without it."""
        if key in self.numbers:
            return float(self.numbers[key][0])
        if default is None:
            raise KeyError(key)
        return default

    def word(self, key: str, default: str = "") -> str:
        """Word of a field, or what holds without it."""
        return self.words.get(key, default)


def require_valid(fields: Sequence[Field], entry: Entry, *, where: str, units: Units) -> None:
    """Raise `InputError` with every fault of an entry: what is missing, unknown, out of range, too few or too many.

    Parameters
    ----------
    fields : sequence of Field
        What may be entered.
    entry : Entry
        What was.
    where : str
        Name of the trial, for messages.
    units : Units
        Unit that messages name first.

    Raises
    ------
    InputError
        With all problems.
    """
    problems = tuple(_faults(fields, entry, where=where, units=units))
    if problems:
        raise InputError(problems)


def _faults(fields: Sequence[Field], entry: Entry, *, where: str, units: Units) -> Iterator[str]:
    known = {each.key: each for each in fields}
    for key in (*entry.numbers, *entry.words):
        if key not in known:
            yield f"{where}: found {key}; allowed {', '.join(known)}; write one of them"
        elif known[key].is_word is (key in entry.numbers):
            yield f"{where}: {key}: allowed {'a word' if known[key].is_word else 'a figure'}; check what it is"
    for each in fields:
        if each.key in entry.numbers and not each.is_word:
            yield from _number_faults(each, entry.numbers[each.key], where=where, units=units)
        elif each.key in entry.words and each.choices and entry.words[each.key] not in each.choices:
            found, allowed = entry.words[each.key], ", ".join(each.choices)
            yield f"{where}: {each.key}: found {found!r}; allowed {allowed}; write one of them"
        elif each.needed and not entry.has(each.key):
            yield f"{where}: {each.key}: is missing ({each.says}); enter {each.key}=..."


def _number_faults(each: Field, values: Sequence[Number], *, where: str, units: Units) -> Iterator[str]:
    most = min(each.most, MOST_READINGS)
    if not each.fewest <= len(values) <= most:
        wanted = f"{each.fewest} to {most}" if most > each.fewest else f"{most}"
        do = "read again" if len(values) < each.fewest else "leave the others out"
        yield f"{where}: {each.key}: found {len(values)} readings; allowed {wanted}; {do}"
    for value in values:
        if not isfinite(value) or not each.low <= value <= each.high:
            allowed = f"{_figure(each.low, each, units)} to {_figure(each.high, each, units)}"
            yield f"{where}: {each.key}: found {_figure(value, each, units)}; allowed {allowed}; check figure and unit"


def _figure(value: Number, each: Field, units: Units) -> str:
    """Figure with its unit, for a message."""
    if not isfinite(value):
        return "no finite number"
    return said_short(value, units) if each.kind is Kind.LENGTH else f"{float(value):g} {each.unit}"
