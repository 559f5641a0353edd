"""A reader of one TOML table that knows where it is, checks each value, and misses no key."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from enum import Enum
from typing import Any, Final, TypeVar

from handwheel.domain.errors import InputError
from handwheel.domain.exact import Fraction
from handwheel.domain.part import Units
from handwheel.service.intake.lengths import is_moderate, length_mm, shown, shown_in_mm
from handwheel.service.intake.limits_text import ends_mm
from handwheel.service.intake.per_turn import travel_mm
from handwheel.service.intake.places import key_word, path_of, quoted, row_paths
from handwheel.service.intake.problems import Problems
from handwheel.service.intake.quantities import read_quantity
from handwheel.service.intake.where import Where

LONGEST_NAME = 200
"""Longest name or description. [characters]"""
MOST_ROWS = 500
"""Most rows of one list; no shop owns more tools than that."""
MOST_UNKNOWN = 20
"""Most unknown keys of one table that are named."""
LARGEST_LENGTH_MM = 10_000.0
"""No length in a shop file is longer. [mm]"""


class Must(Enum):
    """Marks a key that has no default."""

    BE_GIVEN = "must be given"


GIVEN: Final = Must.BE_GIVEN

Choice = TypeVar("Choice")
Kind = TypeVar("Kind", bound=Enum)
Made = TypeVar("Made")


class Table:
    """One table of a file, read key by key.

    A reader that meets a fault notes it and returns a stand-in of the right type. The stand-in goes nowhere: whoever
    reads the file raises all problems at its end. A table that is missing altogether is noted once, and its readers
    then stay silent.

    Parameters
    ----------
    values : mapping or None
        Parsed TOML, decimals as `Decimal`; ``None`` for a table that is missing.
    problems : Problems
        Where faults are noted.
    units : Units
        Units of a length that names none.
    path : str
        Where the table stands in the file; empty for the outermost.
    """

    def __init__(
        self, values: Mapping[str, object] | None, *, problems: Problems, units: Units, path: str = ""
    ) -> None:
        """Start with no key asked for."""
        self._values = values or {}
        self._is_missing = values is None
        self._asked: set[str] = set()
        self.problems = problems
        self.units = units
        self.path = path

    def key(self, name: str) -> str:
        """Full path of a key, for messages."""
        return path_of(self.path, name)

    def where(self, name: str) -> Where:
        """File, line and path of a key, as a message begins."""
        return Where(lambda: self.problems.where(self.key(name)))

    def has(self, name: str) -> bool:
        """Whether the file gives the key."""
        self._asked.add(name)
        return name in self._values

    def raw(self, name: str) -> object:
        """Value as parsed, for a reader that takes more than one form; ``None`` if the key is not given."""
        return self._values[name] if self.has(name) else None

    def fault(self, name: str, *, allowed: str, do: str, found: str | None = None) -> None:
        """Note a problem with a key of this table."""
        if self._is_missing:
            return
        value = shown(self._values[name]) if name in self._values else "nothing"
        self.problems.add(self.key(name), found=found or value, allowed=allowed, do=do)

    def make(self, build: Callable[[], Made]) -> Made | None:
        """Build something from what was read here, then report keys that nobody asked for."""
        if self._is_missing:
            return None
        made = self.problems.build(self.path or "as a whole", build)
        return made if self.close() else None

    def close(self) -> bool:
        """Report every key that was not asked for, with the nearest that is known; true if there is none."""
        unknown = [name for name in self._values if name not in self._asked]
        known = sorted(self._asked)
        for name in unknown[:MOST_UNKNOWN]:
            near = nearest_word(name, known)
            do = f'rename it to "{near}" or delete it' if near else "delete it"
            self.problems.add(
                self.key(key_word(name)),
                found="a key unknown here",
                allowed=", ".join(known),
                do=do,
            )
        return not unknown

    def text(self, name: str) -> str:
        """Read text of one line that is not empty."""
        allowed = f"1 to {LONGEST_NAME} characters on one line"
        value = self._value(name, GIVEN, allowed=allowed, do=f'write {name} = "..."')
        if isinstance(value, str) and value.strip() and value.isprintable() and len(value) <= LONGEST_NAME:
            return value.strip()
        self._refuse(name, value, allowed=allowed, do="write it in quotes, without line breaks")
        return "?"

    def flag(self, name: str, *, default: bool | Must = GIVEN) -> bool:
        """Read true or false."""
        value = self._value(name, default, allowed="true or false", do=f"write {name} = true or {name} = false")
        if isinstance(value, bool):
            return value
        self._refuse(name, value, allowed="true or false", do="write one of them without quotes")
        return False

    def count(self, name: str, *, low: int, high: int, default: int | Must = GIVEN) -> int:
        """Read a whole number within its limits."""
        allowed = f"a whole number from {low} to {high}"
        value = self._value(name, default, allowed=allowed, do=f"write {name} = a whole number")
        if isinstance(value, int) and not isinstance(value, bool) and low <= value <= high:
            return value
        self._refuse(name, value, allowed=allowed, do="check the figure; write it without quotes and decimals")
        return low

    def number(self, name: str, *, low: float, high: float, unit: str, default: float | Must = GIVEN) -> float:
        """Read a number within its limits, in the unit that its key stands for."""
        return float(self.exact(name, low=low, high=high, unit=unit, default=_as_fraction(default)))

    def exact(self, name: str, *, low: float, high: float, unit: str, default: Fraction | Must = GIVEN) -> Fraction:
        """Read a number within its limits without rounding it."""
        allowed = f"{low:g} to {high:g} {unit}"
        value = self._value(name, default, allowed=allowed, do=f"write {name} = a number ({unit})")
        if isinstance(value, Fraction):
            return value
        if isinstance(value, str):
            return self._exact_in_words(name, value, low=low, high=high, unit=unit)
        if isinstance(value, int | Decimal) and not isinstance(value, bool) and _is_within(value, low, high):
            return Fraction(value)
        self._refuse(name, value, allowed=allowed, do="check the figure and its unit; write it without quotes")
        return Fraction(low)

    def _exact_in_words(self, name: str, written: str, *, low: float, high: float, unit: str) -> Fraction:
        """Read a number that is written as text with its unit."""
        try:
            value = read_quantity(written, unit=unit, where=self.where(name))
        except InputError as error:
            self.problems.take(error)
            return Fraction(low)
        if not Fraction(low) <= value <= Fraction(high):
            found = f"{shown(written)}, which is {float(value):g} {unit}"
            self.fault(name, found=found, allowed=f"{low:g} to {high:g} {unit}", do="check the figure and its unit")
            return Fraction(low)
        return value

    def exact_mm(
        self, name: str, *, low: float = 0.0, high: float = LARGEST_LENGTH_MM, default: Fraction | Must = GIVEN
    ) -> Fraction:
        """Read a length within its limits, exactly: a number in the file's units, or text with its own. [mm]"""
        return self._exact_length(name, self.read_length, low=low, high=high, default=default)

    def exact_mm_turn(self, name: str, *, low: float, high: float, default: Fraction | Must = GIVEN) -> Fraction:
        """Read a travel in one turn within its limits, exactly: as a length, or as text with "/rev" behind. [mm/rev]"""
        return self._exact_length(name, self.read_travel, low=low, high=high, default=default)

    def mm_turn(self, name: str, *, low: float = 0.0, high: float, default: float | Must = GIVEN) -> float:
        """Read a travel in one turn for work in floats. [mm/rev]"""
        return float(self.exact_mm_turn(name, low=low, high=high, default=_as_fraction(default)))

    def _exact_length(
        self,
        name: str,
        read_one: Callable[[str, object], Fraction | None],
        *,
        low: float,
        high: float,
        default: Fraction | Must,
    ) -> Fraction:
        """Read a length within its limits, in the way that is given. [mm]"""
        allowed = f"a length from {low:g} to {high:g} mm"
        value = self._value(name, default, allowed=allowed, do=f"write {name} = a length in {self.units.value}")
        if isinstance(value, Fraction):
            return value
        read = None if isinstance(value, Must) else read_one(name, value)
        if read is not None and low <= read <= high:
            return read
        if read is not None:
            found = shown_in_mm(value, read)
            self.fault(name, found=found, allowed=allowed, do="check the figure and its unit")
        return Fraction(low)

    def mm(
        self, name: str, *, low: float = 0.0, high: float = LARGEST_LENGTH_MM, default: float | Must = GIVEN
    ) -> float:
        """Read a length for work in floats. [mm]"""
        return float(self.exact_mm(name, low=low, high=high, default=_as_fraction(default)))

    def rising_mm(self, low_name: str, high_name: str) -> tuple[float, float]:
        """Read two lengths of which the first may not be above the second. [mm]"""
        before = len(self.problems)
        low_mm, high_mm = self.mm(low_name), self.mm(high_name)
        if low_mm > high_mm and len(self.problems) == before:
            found = f"{low_mm:g} mm, above {high_name} = {high_mm:g} mm"
            self.fault(low_name, found=found, allowed=f"at most {high_name}", do="exchange them, or check the units")
        return low_mm, high_mm

    def read_length(self, name: str, written: object) -> Fraction | None:
        """Read one length out of this key's value, or note what is wrong with it. [mm]"""
        try:
            return length_mm(written, unit=self.units, where=self.where(name))
        except InputError as error:
            self.problems.take(error)
            return None

    def read_travel(self, name: str, written: object) -> Fraction | None:
        """Read one travel in a turn out of this key's value, or note what is wrong with it. [mm/rev]"""
        try:
            return travel_mm(written, unit=self.units, where=self.where(name))
        except InputError as error:
            self.problems.take(error)
            return None

    def read_ends(self, name: str, written: str) -> tuple[Fraction, Fraction] | None:
        """Read one length out of this key's value, or two limits, lower and upper; note what is wrong. [mm]"""
        try:
            return ends_mm(written, unit=self.units, where=self.where(name))
        except InputError as error:
            self.problems.take(error)
            return None

    def choice(self, name: str, choices: Mapping[str, Choice], *, default: Choice | Must = GIVEN) -> Choice:
        """Read one word of a closed list."""
        if not self.has(name) and not isinstance(default, Must):
            return default
        first = next(iter(choices))
        allowed = quoted(choices)
        value = self._value(name, GIVEN, allowed=allowed, do=f'write {name} = "{first}" or another of them')
        if isinstance(value, str) and value in choices:
            return choices[value]
        near = nearest_word(value, choices) if isinstance(value, str) else ""
        do = f'did you mean "{near}"?' if near else "write one of them in quotes"
        self._refuse(name, value, allowed=allowed, do=do)
        return choices[first]

    def values(self, name: str, *, do: str) -> list[object]:
        """Read a list, whatever is in it; empty if the key is not given."""
        value = self.raw(name)
        if isinstance(value, list) and len(value) <= MOST_ROWS:
            return value
        if isinstance(value, list):
            self.fault(name, allowed=f"at most {MOST_ROWS}", do="leave out what is not used")
        elif value is not None:
            self.fault(name, allowed="a list", do=do)
        return []

    def table(self, name: str) -> Table:
        """Read a table that must be there."""
        if not self.has(name):
            self.fault(name, allowed="a table", do=f"add [{self.key(name)}] with its keys")
        return self._inner(self._values.get(name), self.key(name), do=f"write [{self.key(name)}], its keys below")

    def table_if_any(self, name: str) -> Table | None:
        """Read a table that may be left out."""
        return self.table(name) if self.has(name) else None

    def tables(self, name: str) -> tuple[Table, ...]:
        """Read a list of tables, each named by its id or else by its place in the list."""
        do = f"write [[{self.key(name)}]] for each, with double brackets"
        rows = self.values(name, do=do)
        paths = row_paths(self.key(name), rows)
        return tuple(self._inner(row, path, do=do) for row, path in zip(rows, paths, strict=True))

    def _inner(self, value: object, path: str, *, do: str) -> Table:
        """Reader of a value that ought to be a table; of a missing one if it is none."""
        is_table = isinstance(value, dict)
        if value is not None and not is_table:
            self.problems.add(path, found=shown(value), allowed="a table", do=do)
        inside = value if isinstance(value, dict) else None
        return Table(inside, problems=self.problems, units=self.units, path=path)

    def _value(self, name: str, default: object, *, allowed: str, do: str) -> object:
        """Value of a key, else its default, else `GIVEN` after the absence is noted."""
        if self.has(name):
            return self._values[name]
        if default is GIVEN:
            self.fault(name, allowed=allowed, do=do)
        return default

    def _refuse(self, name: str, value: object, *, allowed: str, do: str) -> None:
        """Note a wrong value; an absent one has been noted already."""
        if value is not GIVEN:
            self.fault(name, allowed=allowed, do=do)


def nearest_word(word: str, known: Iterable[str]) -> str:
    """Known word that is most like another one; empty if none is.

    Examples
    --------
    >>> nearest_word("diametr", ("length", "diameter"))
    'diameter'
    """
    from difflib import get_close_matches  # only a file with a slip in it needs it

    return next(iter(get_close_matches(word, list(known), n=1)), "")


def present(made: Iterable[Made | None]) -> tuple[Made, ...]:
    """Leave out what could not be made; its problems are noted already."""
    return tuple(thing for thing in made if thing is not None)


def usual(kind: type[Any], field: str) -> float:
    """Default of a number in the domain, so that it stands there alone.

    Examples
    --------
    >>> from handwheel.domain.hole_tools import Drill
    >>> usual(Drill, "point_deg")
    118.0
    """
    defaults = kind.__struct_defaults__
    return float(dict(zip(kind.__struct_fields__[-len(defaults) :], defaults, strict=True))[field])


def by_value(kind: type[Kind]) -> dict[str, Kind]:
    """Members of an enum under the words that they stand for.

    Examples
    --------
    >>> by_value(Units)
    {'mm': <Units.MM: 'mm'>, 'inch': <Units.INCH: 'inch'>}
    """
    return {str(member.value): member for member in kind}


def _as_fraction(default: float | Must) -> Fraction | Must:
    return default if isinstance(default, Must) else Fraction(default)


def _is_within(value: int | Decimal, low: float, high: float) -> bool:
    """Whether a number lies in a range; its size is looked at first, for a huge one would not survive arithmetic."""
    return is_moderate(value) and Decimal(low) <= value <= Decimal(high)
