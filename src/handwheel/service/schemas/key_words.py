"""Words for every key of a part or shop file: what it is, where to find its value, what it decides."""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files
from io import StringIO
from typing import NamedTuple


class KeyWords(NamedTuple):
    """What a key is; where to read or measure its value; what hangs on it. Either of the last two may be empty."""

    says: str
    find: str
    decides: str


@cache
def key_table(kind: str) -> dict[str, KeyWords]:
    """Table of keys of a kind of file, ``part`` or ``shop``, by the ends of their paths."""
    text = files(__package__).joinpath(f"{kind}_keys.csv").read_text(encoding="utf-8")
    return {row["key"]: KeyWords(row["says"], row["find"], row["decides"]) for row in csv.DictReader(StringIO(text))}


def row_for(kind: str, path: str) -> str:
    """Row of the table that speaks of a key: the one that names most of the end of its path.

    Raises
    ------
    KeyError
        If no row does.

    Examples
    --------
    >>> row_for("shop", "lathe.speed[].position"), row_for("shop", "lathe.cross_slide.dial.lead")
    ('speed[].position', 'lead')
    """
    pieces = path.split(".")
    for start in range(len(pieces)):
        end = ".".join(pieces[start:])
        if end in key_table(kind):
            return end
    raise KeyError(path)


def words_of(kind: str, path: str) -> KeyWords:
    """Words for the key at a path such as ``lathe.speed[].rpm``; raises `KeyError` if there are none."""
    return key_table(kind)[row_for(kind, path)]
