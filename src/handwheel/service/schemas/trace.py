"""What a reader asks of a file, noted as it reads: keys, types, ranges, words, which must be given."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any, TypeVar

from msgspec import Struct, field

from handwheel.domain.exact import Fraction
from handwheel.domain.part import Units
from handwheel.domain.size import MM_PER_INCH
from handwheel.service.intake.lengths import LONGEST_TEXT
from handwheel.service.intake.problems import Problems
from handwheel.service.intake.table import GIVEN, LARGEST_LENGTH_MM, LONGEST_NAME, MOST_ROWS, Must, Table
from handwheel.service.schemas.patterns import length_pattern, quantity_pattern, travel_pattern

Json = dict[str, Any]
Choice = TypeVar("Choice")

FILES_UNITS = "file's units"
"""Unit of a length without one."""
ANY, LIST, TABLE = 0, 1, 2
"""How much is known of a key's form: read raw, a list, a table; a sharper one takes the place of a duller."""


class Visit(Struct):
    """One table that was read: the keys asked for, those that must be given, those that stood there."""

    kind: str
    asked: set[str] = field(default_factory=set)
    needed: set[str] = field(default_factory=set)


class Trail(Struct):
    """All tables that stand at one place of a file, such as ``lathe.speed[]``: their visits and the forms of keys."""

    visits: list[Visit] = field(default_factory=list)
    forms: dict[str, tuple[int, Json]] = field(default_factory=dict)
    examples: dict[str, list[object]] = field(default_factory=dict)

    def always_asked(self, kind: str = "") -> frozenset[str]:
        """Keys that every table (of a kind) may have."""
        return frozenset().union(*(visit.asked for visit in self.visits if kind in {"", visit.kind}))

    def always_needed(self, kind: str = "") -> frozenset[str]:
        """Keys that no table (of a kind) is without."""
        needed = [visit.needed for visit in self.visits if kind in {"", visit.kind}]
        return frozenset(needed[0].intersection(*needed[1:])) if needed else frozenset()

    @property
    def kinds(self) -> tuple[str, ...]:
        """Kinds of table that were read here."""
        return tuple(dict.fromkeys(visit.kind for visit in self.visits if visit.kind))


Trace = dict[str, Trail]

KIND_KEYS = ("kind", "shape")
"""Keys whose word settles which other keys a table has."""


class TracedTable(Table):
    """A table that notes what is asked of it, and reads as any other."""

    def __init__(
        self,
        values: Mapping[str, object] | None,
        *,
        problems: Problems,
        units: Units,
        path: str = "",
        trace: Trace,
        trail: str = "",
    ) -> None:
        """Begin a visit."""
        super().__init__(values, problems=problems, units=units, path=path)
        self._trace, self._trail = trace, trail
        given = values or {}
        self._visit = Visit(kind=next((str(given[key]) for key in KIND_KEYS if key in given), ""))
        here = trace.setdefault(trail, Trail())
        if values is not None:
            here.visits.append(self._visit)
        self._here = here
        self._inside = 0

    @contextmanager
    def _noting(self, name: str, form: Json, *, needed: bool, rank: int = TABLE) -> Iterator[None]:
        """Note one question; what it asks in turn of the same table is not noted again."""
        if not self._inside:
            self._visit.asked.add(name)
            if needed:
                self._visit.needed.add(name)
            if self._here.forms.get(name, (-1, {}))[0] < rank:
                self._here.forms[name] = (rank, form)
            if name in self._values and not isinstance(self._values[name], dict | list):
                seen = self._here.examples.setdefault(name, [])
                if self._values[name] not in seen:
                    seen.append(self._values[name])
        self._inside += 1
        try:
            yield
        finally:
            self._inside -= 1

    def has(self, name: str) -> bool:
        """As in `Table`; noted as a key that may be there."""
        if not self._inside:
            self._visit.asked.add(name)
        return super().has(name)

    def raw(self, name: str) -> object:
        """As in `Table`; noted as a key of any form."""
        with self._noting(name, {}, needed=True, rank=ANY):
            return super().raw(name)

    def text(self, name: str) -> str:
        """As in `Table`."""
        with self._noting(name, {"type": "string", "minLength": 1, "maxLength": LONGEST_NAME}, needed=True):
            return super().text(name)

    def flag(self, name: str, *, default: bool | Must = GIVEN) -> bool:
        """As in `Table`."""
        with self._noting(name, {"type": "boolean"}, needed=default is GIVEN):
            return super().flag(name, default=default)

    def count(self, name: str, *, low: int, high: int, default: int | Must = GIVEN) -> int:
        """As in `Table`."""
        with self._noting(name, {"type": "integer", "minimum": low, "maximum": high}, needed=default is GIVEN):
            return super().count(name, low=low, high=high, default=default)

    def exact(self, name: str, *, low: float, high: float, unit: str, default: Fraction | Must = GIVEN) -> Fraction:
        """As in `Table`."""
        with self._noting(name, quantity_form(low, high, unit=unit), needed=default is GIVEN):
            return super().exact(name, low=low, high=high, unit=unit, default=default)

    def exact_mm(
        self, name: str, *, low: float = 0.0, high: float = LARGEST_LENGTH_MM, default: Fraction | Must = GIVEN
    ) -> Fraction:
        """As in `Table`."""
        with self._noting(name, length_form(low, high), needed=default is GIVEN):
            return super().exact_mm(name, low=low, high=high, default=default)

    def exact_mm_turn(self, name: str, *, low: float, high: float, default: Fraction | Must = GIVEN) -> Fraction:
        """As in `Table`."""
        form = {**length_form(low, high), "pattern": travel_pattern()}
        with self._noting(name, form, needed=default is GIVEN):
            return super().exact_mm_turn(name, low=low, high=high, default=default)

    def choice(self, name: str, choices: Mapping[str, Choice], *, default: Choice | Must = GIVEN) -> Choice:
        """As in `Table`."""
        with self._noting(name, {"enum": list(choices)}, needed=default is GIVEN):
            return super().choice(name, choices, default=default)

    def values(self, name: str, *, do: str) -> list[object]:
        """As in `Table`."""
        with self._noting(name, {"type": "array", "maxItems": MOST_ROWS}, needed=False, rank=LIST):
            return super().values(name, do=do)

    def table(self, name: str) -> Table:
        """As in `Table`."""
        with self._noting(name, {"table": self._below(name)}, needed=True):
            return super().table(name)

    def table_if_any(self, name: str) -> Table | None:
        """As in `Table`."""
        with self._noting(name, {"table": self._below(name)}, needed=False):
            return super().table_if_any(name)

    def tables(self, name: str) -> tuple[Table, ...]:
        """As in `Table`."""
        with self._noting(name, {"tables": f"{self._below(name)}[]"}, needed=False):
            return super().tables(name)

    def _below(self, name: str) -> str:
        return f"{self._trail}.{name}" if self._trail else name

    def _inner(self, value: object, path: str, *, do: str) -> Table:
        """Reader of an inner table; it is traced under the last key of its path."""
        plain = super()._inner(value, path, do=do)
        name = path[len(self.path) :].lstrip(".")
        key, bracket, _ = name.partition("[")
        trail = self._below(key) + ("[]" if bracket else "")
        inside = value if isinstance(value, dict) else None
        return TracedTable(inside, problems=plain.problems, units=self.units, path=path, trace=self._trace, trail=trail)


def length_form(low_mm: float, high_mm: float) -> Json:
    """Form of a length: a number in the file's units, or text; a number is held to what holds in either unit. [mm]"""
    low = low_mm / float(MM_PER_INCH) if low_mm > 0 else low_mm
    return {
        "type": ["number", "string"],
        "minimum": low,
        "maximum": high_mm,
        "pattern": length_pattern(),
        "maxLength": LONGEST_TEXT,
        "unit": FILES_UNITS,
    }


def quantity_form(low: float, high: float, *, unit: str) -> Json:
    """Form of a number in the unit of its key, or text with a unit; a number without units is no text."""
    pattern = quantity_pattern(unit)
    text = {"pattern": pattern} if pattern else {}
    return {
        "type": ["number", "string"] if pattern else "number",
        "minimum": low,
        "maximum": high,
        **text,
        "unit": unit,
    }
