"""Which family a metal belongs to, as the trade groups them."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from handwheel.data.loader import load_table

if TYPE_CHECKING:
    from collections.abc import Mapping

_COLUMNS = ("material", "family", "standing", "source_key", "place")


@cache
def families() -> Mapping[str, tuple[str, ...]]:
    """Keys of the metals of each family, in the order of the table.

    Examples
    --------
    >>> families()["brass"]
    ('cu_cw614n', 'cu_cw508l')
    """
    found: dict[str, list[str]] = {}
    for row in load_table("metal_families.csv", _COLUMNS):
        found.setdefault(row["family"], []).append(row["material"])
    return {family: tuple(keys) for family, keys in found.items()}


@cache
def family_of(key: str) -> str:
    """Family of a metal; empty for a key that is in none, such as that of an unknown metal.

    Examples
    --------
    >>> family_of("cu_cusn8")
    'bronze'
    """
    return next((family for family, keys in families().items() if key in keys), "")
