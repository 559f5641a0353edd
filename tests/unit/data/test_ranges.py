"""A number from a table."""

from __future__ import annotations

import pytest

from handwheel.data.loader import Standing
from handwheel.data.ranges import DataRange, range_from_row
from handwheel.domain.errors import DataTableError


def make(low: float | None, high: float | None, *, unit: str = "mm", source_key: str = "BOOK") -> DataRange:
    return DataRange(low=low, high=high, unit=unit, standing=Standing.OPENED, source_key=source_key, place="table 1")


@pytest.mark.parametrize(
    ("low", "high", "words", "least", "most"),
    [
        (8.0, 17.0, "8 to 17 mm", 8.0, 17.0),
        (8.0, 8.0, "8 mm", 8.0, 8.0),
        (None, 17.0, "up to 17 mm", 17.0, 17.0),
        (8.0, None, "at least 8 mm", 8.0, 8.0),
    ],
)
def test_ends_and_words(low: float | None, high: float | None, words: str, least: float, most: float) -> None:
    found = make(low, high)
    assert (found.words, found.least, found.most) == (words, least, most)
    assert found.is_single is (low == high)


def test_plain_numbers_have_no_unit_in_their_words() -> None:
    assert make(0.2, 0.3, unit="1").words == "0.2 to 0.3"


def test_ranges_that_say_nothing_are_refused() -> None:
    with pytest.raises(DataTableError, match=r"BOOK \(table 1\): both ends are empty"):
        make(None, None)
    with pytest.raises(DataTableError, match="low 3 is above high 2; swap them"):
        make(3.0, 2.0)
    with pytest.raises(DataTableError, match="no source or no place"):
        make(2.0, 3.0, source_key="")


def test_a_midpoint_or_a_text_cannot_slip_in() -> None:
    row = {"low": "8-17", "high": "", "unit": "mm", "standing": "opened", "source_key": "BOOK", "place": "table 1"}
    with pytest.raises(
        DataTableError, match=r"low of BOOK \(table 1\): '8-17' is not a number; ranges take two columns"
    ):
        range_from_row(row)
