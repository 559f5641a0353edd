"""The one reader of the tables."""

from __future__ import annotations

import pytest

from handwheel.data.loader import check_sources, load_table, parse_table, source, sources
from handwheel.domain.errors import DataTableError

KEYS = frozenset({"COMMON", "BOOK"})


def test_a_whole_table_comes_back_row_by_row() -> None:
    rows = parse_table('a,b\n1,"x, y"\n2,z\n', table="t.csv", columns=("a", "b"))
    assert rows == ({"a": "1", "b": "x, y"}, {"a": "2", "b": "z"})


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("a,c\n1,2\n", r"t\.csv: header is a,c, must be a,b"),
        ("", r"t\.csv: header is , must be a,b"),
        ("a,b\n1\n", r"t\.csv line 2: 1 cells, must be 2; look for a missing quote or comma"),
        ("a,b\n1,2\n1,2,3\n", r"t\.csv line 3: 3 cells, must be 2"),
        ("a,b\n1,\n", r"t\.csv line 2: b is empty; fill it in"),
    ],
)
def test_a_broken_table_is_refused_with_file_and_line(text: str, message: str) -> None:
    with pytest.raises(DataTableError, match=message):
        parse_table(text, table="t.csv", columns=("a", "b"))


def test_a_cell_may_be_empty_only_where_that_is_said() -> None:
    assert parse_table("a,b\n1,\n", table="t.csv", columns=("a", "b"), may_be_blank=("b",)) == ({"a": "1", "b": ""},)
    with pytest.raises(DataTableError, match="a is empty"):
        parse_table("a,b\n,\n", table="t.csv", columns=("a", "b"), may_be_blank=("b",))


@pytest.mark.parametrize(
    ("key", "standing", "message"),
    [
        ("NOVEL", "opened", "line 2: source key 'NOVEL' is not in sources.csv"),
        ("BOOK", "guessed", "line 2: standing 'guessed' is not one of common practice, computed, from memory, opened"),
        ("BOOK", "common practice", "key BOOK and standing 'common practice' contradict each other"),
        ("COMMON", "opened", "key COMMON and standing 'opened' contradict each other"),
    ],
)
def test_a_row_needs_a_known_source_and_an_honest_standing(key: str, standing: str, message: str) -> None:
    with pytest.raises(DataTableError, match=message):
        check_sources(({"source_key": key, "standing": standing},), table="t.csv", known_keys=KEYS)


def test_a_table_that_is_not_there_is_said_so() -> None:
    with pytest.raises(DataTableError, match=r"nothing\.csv: not found in the package; install handwheel again"):
        load_table("nothing.csv", ("a",))


def test_a_table_is_read_once() -> None:
    columns = ("feed_mm_rev", "factor", "standing", "source_key", "place")
    assert load_table("power_feed_factors.csv", columns) is load_table("power_feed_factors.csv", columns)


def test_a_source_is_found_by_its_key() -> None:
    assert source("MH31").citation == "Machinery's Handbook"
    assert sources()["MH31"] is source("MH31")
    with pytest.raises(DataTableError, match=r"source key 'NOVEL' is not in sources\.csv"):
        source("NOVEL")
