"""What a metal may be called: its key, its name, its standard numbers, names of the trade, its family."""

from __future__ import annotations

import re
from functools import cache
from typing import TYPE_CHECKING

from handwheel.data.loader import load_table
from handwheel.data.materials import material, material_keys
from handwheel.data.metal_families import families
from handwheel.data.unknown_metals import unknown_metals, unknown_words

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

_COLUMNS = ("material", "other_name", "standing", "source_key", "place")
_WORD = re.compile(r"[a-z0-9_]+(?:[.-][a-z0-9]+)*")
_SPELLINGS = {"aluminum": "aluminium"}
"""Spellings of either side of the ocean, each with the one that stands in the tables."""
LONGEST_NAME = 80
"""A longer text is no name of a metal. [characters]"""
NEAR = 0.6
"""How like a name must be to be offered, as `difflib` counts."""
MOST_NEAR = 3


def metals_named(text: str) -> tuple[str, ...]:
    """Keys of every metal that may be meant by a name, in the order of the tables; none if nothing is called so.

    A key or a whole name goes first, then a whole family, then all metals whose names hold every word. Capital letters
    and spaces do not matter.

    Examples
    --------
    >>> metals_named("1.4305"), metals_named("brass"), metals_named("mystery brass")
    (('ss303',), ('cu_cw614n', 'cu_cw508l'), ('unknown_brass',))
    """
    words = _words(text) if len(text) <= LONGEST_NAME else ()
    if not words:
        return ()
    wanted = " ".join(words)
    whole = tuple(key for key, names in _names().items() if wanted in names)
    if whole:
        return whole
    if wanted in families():
        return families()[wanted]
    return tuple(key for key, known in _words_of_metals().items() if known.issuperset(words))


def near_metals(text: str) -> tuple[str, ...]:
    """Keys of the metals whose names are nearest to a text, the nearest first; none if nothing is like it.

    Examples
    --------
    >>> near_metals("titaniun")
    ('ti_gr2', 'ti_gr5', 'unknown_titanium')
    """
    from difflib import get_close_matches  # noqa: PLC0415  only a name that is none needs it

    wanted = " ".join(_words(text[:LONGEST_NAME]))
    owners: dict[str, list[str]] = {}
    for key, names in _names().items():
        for name in (*names, *_words_of_metals()[key]):
            owners.setdefault(name, []).append(key)
    near = get_close_matches(wanted, sorted(owners), n=MOST_NEAR, cutoff=NEAR)
    return tuple(dict.fromkeys(key for name in near for key in owners[name]))[:MOST_NEAR]


def unknown_of(keys: tuple[str, ...]) -> str:
    """Key of the unknown metal with the fewest members that may be any of these; empty if there is none."""
    fit = [found for found in unknown_metals().values() if set(keys) <= set(found.members)]
    return min(fit, key=lambda found: len(found.members)).key if fit else ""


def _words(text: str) -> tuple[str, ...]:
    return tuple(_SPELLINGS.get(word, word) for word in _WORD.findall(text.casefold()))


@cache
def _names() -> Mapping[str, frozenset[str]]:
    """Whole names of every metal, each as its words with one space between them."""
    return {key: frozenset(" ".join(_words(name)) for name in names) - {""} for key, names in _written().items()}


@cache
def _words_of_metals() -> Mapping[str, frozenset[str]]:
    """Every word of a metal's names; what a hyphen joins stands for itself too."""
    return {key: frozenset(_parts(names)) for key, names in _written().items()}


def _parts(names: tuple[str, ...]) -> Iterator[str]:
    for name in names:
        for word in _words(name):
            yield word
            yield from word.split("-")


@cache
def _written() -> Mapping[str, tuple[str, ...]]:
    """Names as they are written, by key."""
    known = {key: tuple(_names_of_known(key)) for key in material_keys()}
    unknown = {key: (found.name, *_words_for(key)) for key, found in unknown_metals().items()}
    return known | unknown


def _names_of_known(key: str) -> Iterator[str]:
    metal = material(key)
    yield from (key, metal.name)
    yield from metal.name.split("/")
    yield from re.split(r"[;,/()]", metal.designations)
    yield from (row["other_name"] for row in load_table("metal_other_names.csv", _COLUMNS) if row["material"] == key)


def _words_for(key: str) -> Iterator[str]:
    return (word for word, meant in unknown_words().items() if meant == key)
