"""The one reader of the tables: opens a CSV beside this module, checks it, keeps it."""

from __future__ import annotations

import csv
import pkgutil
from enum import Enum
from functools import cache
from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.domain.errors import DataTableError

if TYPE_CHECKING:
    from collections.abc import Mapping

COMMON_KEY = "COMMON"
"""Source key of what is common practice and has no source."""

SOURCE_COLUMNS = ("key", "citation", "edition", "note")


class Standing(Enum):
    """How well a number is known: what stands behind it, not how accurate it is."""

    OPENED = "opened"
    FROM_MEMORY = "from memory"
    COMPUTED = "computed"
    COMMON_PRACTICE = "common practice"


STANDINGS = frozenset(standing.value for standing in Standing)


class Source(Struct, frozen=True, kw_only=True):
    """A work that rows, docstrings and findings cite by its key."""

    key: str
    citation: str
    edition: str
    note: str


def parse_table(
    text: str,
    *,
    table: str,
    columns: tuple[str, ...],
    may_be_blank: tuple[str, ...] = (),
) -> tuple[dict[str, str], ...]:
    r"""Rows of a table as dictionaries, once its header and its cells are found whole.

    Parameters
    ----------
    text : str
        The whole table, comma separated, header first.
    table : str
        Name for messages, such as ``"iso2768.csv"``.
    columns : tuple of str
        The header that the table must have, in order.
    may_be_blank : tuple of str
        Columns in which an empty cell is allowed.

    Returns
    -------
    tuple of dict
        One dictionary a row, in the order of the table.

    Raises
    ------
    DataTableError
        If the header differs, a row is short or long, or a cell is empty that must not be.

    Examples
    --------
    >>> parse_table("a,b\n1,2\n", table="demo.csv", columns=("a", "b"))
    ({'a': '1', 'b': '2'},)
    """
    lines = csv.reader(text.splitlines())
    header = tuple(next(lines, ()))
    if header != columns:
        msg = f"{table}: header is {','.join(header)}, must be {','.join(columns)}; mend the table or its reader"
        raise DataTableError(msg)
    needed = tuple(name for name in columns if name not in may_be_blank)
    rows = []
    width = len(columns)
    for number, cells in enumerate(lines, start=2):
        if len(cells) != width:
            msg = f"{table} line {number}: {len(cells)} cells, must be {width}; look for a missing quote or comma"
            raise DataTableError(msg)
        row = dict(zip(columns, cells))  # noqa: B905 - as many, as has just been seen; being told costs a third
        if "" in cells:
            _refuse_blank(row, where=f"{table} line {number}", needed=needed)
        rows.append(row)
    return tuple(rows)


def check_sources(rows: tuple[dict[str, str], ...], *, table: str, known_keys: frozenset[str]) -> None:
    """Refuse rows without a known source and an allowed standing.

    Parameters
    ----------
    rows : tuple of dict
        Rows as `parse_table` returns them, with the columns ``source_key`` and ``standing``.
    table : str
        Name for messages.
    known_keys : frozenset of str
        Every key in ``sources.csv``.

    Raises
    ------
    DataTableError
        If a key is unknown, a standing is not one of `Standing`, or only one of the two says common practice.

    Examples
    --------
    >>> check_sources(
    ...     ({"source_key": "COMMON", "standing": "common practice"},),
    ...     table="demo.csv",
    ...     known_keys=frozenset({"COMMON"}),
    ... )
    """
    for number, row in enumerate(rows, start=2):
        key, standing = row["source_key"], row["standing"]
        if key not in known_keys:
            msg = f"{table} line {number}: source key {key!r} is not in sources.csv; add the source or correct the key"
            raise DataTableError(msg)
        if standing not in STANDINGS:
            msg = (
                f"{table} line {number}: standing {standing!r} is not one of {', '.join(sorted(STANDINGS))}; choose one"
            )
            raise DataTableError(msg)
        if (key == COMMON_KEY) != (standing == Standing.COMMON_PRACTICE.value):
            msg = f"{table} line {number}: key {key} and standing {standing!r} contradict each other; name the source"
            raise DataTableError(msg)


@cache
def load_table(
    table: str, columns: tuple[str, ...], may_be_blank: tuple[str, ...] = ()
) -> tuple[Mapping[str, str], ...]:
    """Rows of a table of the package that has the columns ``source_key`` and ``standing``; read once, then kept.

    Parameters
    ----------
    table : str
        File name, such as ``"materials.csv"``.
    columns : tuple of str
        The header that the table must have.
    may_be_blank : tuple of str
        Columns in which an empty cell is allowed.

    Returns
    -------
    tuple of mappings
        One a row, in the order of the table. Read only: the same objects go to every caller.

    Raises
    ------
    DataTableError
        If the table is missing or breaks a rule of `parse_table` or `check_sources`.
    """
    rows = parse_table(_text_of(table), table=table, columns=columns, may_be_blank=may_be_blank)
    check_sources(rows, table=table, known_keys=frozenset(sources()))
    return rows


@cache
def sources() -> Mapping[str, Source]:
    """Every source by its key.

    Examples
    --------
    >>> sources()["COMMON"].citation
    'common practice, no source'
    """
    rows = parse_table(_text_of("sources.csv"), table="sources.csv", columns=SOURCE_COLUMNS)
    return {row["key"]: Source(**row) for row in rows}


def source(key: str) -> Source:
    """Source of that key.

    Raises
    ------
    DataTableError
        If no source has that key.

    Examples
    --------
    >>> source("ISO2768_1").citation
    'ISO 2768-1, general tolerances for linear and angular sizes'
    """
    found = sources().get(key)
    if found is None:
        msg = f"source key {key!r} is not in sources.csv; add the source or correct the key"
        raise DataTableError(msg)
    return found


def _text_of(table: str) -> str:
    # pkgutil and not importlib.resources: the same bytes, also from a zip, at a third of the import time
    try:
        content = pkgutil.get_data(__package__, table)
    except OSError as error:
        msg = f"{table}: not found in the package; install handwheel again"
        raise DataTableError(msg) from error
    if content is None:
        msg = f"{table}: this Python cannot read files out of the package; install handwheel unpacked"
        raise DataTableError(msg)
    return content.decode("utf-8")


def _refuse_blank(row: Mapping[str, str], *, where: str, needed: tuple[str, ...]) -> None:
    blank = tuple(name for name in needed if not row[name])
    if blank:
        msg = f"{where}: {', '.join(blank)} is empty; fill it in, or leave the row out if nothing is known"
        raise DataTableError(msg)
