"""Where the keys of a file stand: the line of each key, under the name that messages give it.

The parser of the standard library gives values without positions, so the text is walked a second time, for its keys
alone; tests hold what is found against the parser. Where the walk gives up, a message names its key without a line.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from typing import TypeAlias

from handwheel.service.intake.lengths import shown
from handwheel.service.intake.pattern import Pattern

LONGEST_LABEL = 40
"""Longest id that stands in the path of a message. [characters]"""

Place: TypeAlias = tuple[str | int, ...]
"""Way to a value through tables (by key) and lists (by number from 0)."""

_BARE_KEY = Pattern(r"[A-Za-z0-9_-]{1,40}")
_STRING = r'"""(?:[^\\]|\\.)*?"""(?:"{0,2})|\'\'\'.*?\'\'\'(?:\'{0,2})|"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\''
_TEXT = Pattern(_STRING, re.DOTALL)
_KEY = Pattern(rf"(?:[A-Za-z0-9_-]+|{_STRING})(?:[ \t]*\.[ \t]*(?:[A-Za-z0-9_-]+|{_STRING}))*", re.DOTALL)
_GAP = Pattern(r"(?:[ \t\r\n]|#[^\n]*)*")
_EQUALS = Pattern(r"[ \t]*=[ \t]*")
_SCALAR = Pattern(r"[^,\]}#\n]+")


def key_word(name: str) -> str:
    """Key as a message names it: bare if it may stand so, else in quotes and cut short."""
    return name if _BARE_KEY.fullmatch(name) else shown(name)


def quoted(words: Iterable[str]) -> str:
    """List words for a message.

    Examples
    --------
    >>> quoted(["in", "out"])
    '"in", "out"'
    """
    return ", ".join(f'"{word}"' for word in words)


def path_of(table: str, name: str) -> str:
    """Full path of a key, for messages.

    Examples
    --------
    >>> path_of("", "bore"), path_of("bore", "diameter")
    ('bore', 'bore.diameter')
    """
    return f"{table}.{name}" if table else name


def row_paths(path: str, rows: Sequence[object]) -> tuple[str, ...]:
    """Paths of the rows of a list: each by its id, by its number where it has none or shares it with another.

    Examples
    --------
    >>> row_paths("tool", [{"id": "vee"}, {}])
    ('tool[vee]', 'tool[no. 2]')
    """
    names = [_own_name(row) for row in rows]
    uses = Counter(names)
    labels = (
        f"no. {place}" if not name else f"{name}, no. {place}" if uses[name] > 1 else name
        for place, name in enumerate(names, start=1)
    )
    return tuple(f"{path}[{label}]" for label in labels)


def key_lines(text: str, values: Mapping[str, object]) -> dict[str, int]:
    r"""Line of every key of a TOML text that has been parsed, by its path in messages; lines count from 1.

    Examples
    --------
    >>> key_lines('units = "mm"\n[bore]\ndiameter = 20', {"units": "mm", "bore": {"diameter": 20}})
    {'units': 1, 'bore': 2, 'bore.diameter': 3}
    """
    found = value_lines(text)
    lines: dict[str, int] = {}
    _name_lines(values, path="", place=(), found=found, lines=lines)
    return lines


def value_lines(text: str) -> dict[Place, int]:
    """Line of every table, key and row of a TOML text that a parser takes; of any other, as far as it goes."""
    scan = _Scan(text)
    with suppress(RecursionError, _StrayError):
        scan.document()
    return scan.lines


def _name_lines(
    values: Mapping[str, object], *, path: str, place: Place, found: Mapping[Place, int], lines: dict[str, int]
) -> None:
    for name, value in values.items():
        key, inner = path_of(path, key_word(name)), (*place, name)
        _note(lines, key, found.get(inner))
        if isinstance(value, dict):
            _name_lines(value, path=key, place=inner, found=found, lines=lines)
        elif isinstance(value, list):
            for number, (row, row_path) in enumerate(zip(value, row_paths(key, value), strict=True)):
                _note(lines, row_path, found.get((*inner, number)))
                if isinstance(row, dict):
                    _name_lines(row, path=row_path, place=(*inner, number), found=found, lines=lines)


def _note(lines: dict[str, int], key: str, line: int | None) -> None:
    if line is not None:
        lines.setdefault(key, line)


def _own_name(row: object) -> str:
    name = row.get("id") if isinstance(row, dict) else None
    is_name = isinstance(name, str) and name.isprintable() and 0 < len(name) <= LONGEST_LABEL
    return str(name) if is_name else ""


class _StrayError(Exception):
    """The text is no TOML from here on."""


class _Scan:
    """A walk over a TOML text that notes where things stand and leaves their values to the parser."""

    def __init__(self, text: str) -> None:
        self.lines: dict[Place, int] = {}
        self._text = text
        self._at = 0
        self._starts = [0, *(found.end() for found in re.finditer("\n", text))]
        self._rows: Counter[Place] = Counter()

    def document(self) -> None:
        """Walk over all statements."""
        table: Place = ()
        while self._skip() < len(self._text):
            if self._takes("[["):
                table = self._header(is_row=True)
            elif self._takes("["):
                table = self._header(is_row=False)
            else:
                self._statement(table)

    def _header(self, *, is_row: bool) -> Place:
        names = self._key()
        self._skip()
        self._need("]]" if is_row else "]")
        outer = self._resolved((), names[:-1])
        place: Place = (*outer, names[-1])
        self._note(place)
        if not is_row:
            return self._resolved(outer, names[-1:])
        self._rows[place] += 1
        row = (*place, self._rows[place] - 1)
        self._note(row)
        return row

    def _resolved(self, start: Place, names: Sequence[str]) -> Place:
        """Place of a header's table: a list on the way stands for its last row."""
        place = start
        for name in names:
            place = (*place, name)
            self._note(place)
            if self._rows[place]:
                place = (*place, self._rows[place] - 1)
        return place

    def _statement(self, table: Place) -> None:
        """Walk over ``key = value``; a dotted key makes its tables on the way."""
        start = self._at
        place = table
        for name in self._key():
            place = (*place, name)
            self._note(place, start)
        self._match(_EQUALS)
        self._value(place)

    def _value(self, place: Place) -> None:
        if self._takes("["):
            self._members(place, end="]")
        elif self._takes("{"):
            self._members(place, end="}")
        elif self._text[self._at : self._at + 1] in {'"', "'"}:
            self._match(_TEXT)
        else:
            self._match(_SCALAR)

    def _members(self, place: Place, *, end: str) -> None:
        """Walk over what stands in a list or in a table on one line."""
        count = 0
        while self._skip() < len(self._text) and not self._takes(end):
            if self._takes(","):
                continue
            if end == "}":
                self._statement(place)
            else:
                self._note((*place, count))
                self._value((*place, count))
                count += 1

    def _key(self) -> tuple[str, ...]:
        self._skip()
        written = self._match(_KEY)
        try:
            inside: object = tomllib.loads(f"{written} = 0")
        except ValueError as error:
            raise _StrayError from error
        names = []
        while isinstance(inside, dict):
            (name,) = inside
            names.append(name)
            inside = inside[name]
        return tuple(names)

    def _note(self, place: Place, at: int | None = None) -> None:
        self.lines.setdefault(place, bisect_right(self._starts, self._at if at is None else at))

    def _skip(self) -> int:
        """Go on to what is no gap and no comment."""
        gap = _GAP.match(self._text, self._at)
        self._at = gap.end() if gap else self._at
        return self._at

    def _takes(self, sign: str) -> bool:
        is_here = self._text.startswith(sign, self._at)
        self._at += len(sign) if is_here else 0
        return is_here

    def _need(self, sign: str) -> None:
        if not self._takes(sign):
            raise _StrayError

    def _match(self, pattern: Pattern) -> str:
        found = pattern.match(self._text, self._at)
        if found is None:
            raise _StrayError
        self._at = found.end()
        return found[0]
