"""A number from a table: its two ends, its unit, and what stands behind it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.data.loader import Standing
from handwheel.domain.errors import DataTableError

if TYPE_CHECKING:
    from collections.abc import Mapping


class DataRange(Struct, frozen=True, kw_only=True):
    """What the tables say of one quantity, never narrowed to a midpoint.

    ``low`` or ``high`` is ``None`` where the source gives only one limit; equal ends are a single printed value.
    """

    low: float | None
    high: float | None
    unit: str
    standing: Standing
    source_key: str
    place: str

    def __post_init__(self) -> None:
        """Refuse a range without an end, with reversed ends, or without a source."""
        if self.low is None and self.high is None:
            msg = f"range of {self.source_key} ({self.place}): both ends are empty; leave the row out"
            raise DataTableError(msg)
        if self.low is not None and self.high is not None and self.low > self.high:
            msg = f"range of {self.source_key} ({self.place}): low {self.low:g} is above high {self.high:g}; swap them"
            raise DataTableError(msg)
        if not self.source_key or not self.place:
            msg = f"range {self.low} to {self.high} {self.unit}: no source or no place in it; name both"
            raise DataTableError(msg)

    @property
    def least(self) -> float:
        """Lower end; the upper one where the source gives no lower. In ``unit``."""
        return self.low if self.low is not None else self._only(self.high)

    @property
    def most(self) -> float:
        """Upper end; the lower one where the source gives no upper. In ``unit``."""
        return self.high if self.high is not None else self._only(self.low)

    @property
    def is_single(self) -> bool:
        """Whether the source prints one value and not a range."""
        return self.low == self.high

    @property
    def words(self) -> str:
        """The range as text, such as ``"8 to 17 m/min"`` or ``"at least 190 N/mm2"``."""
        unit = "" if self.unit == "1" else f" {self.unit}"
        if self.low is None:
            return f"up to {self.high:g}{unit}"
        if self.high is None:
            return f"at least {self.low:g}{unit}"
        if self.is_single:
            return f"{self.low:g}{unit}"
        return f"{self.low:g} to {self.high:g}{unit}"

    @staticmethod
    def _only(end: float | None) -> float:
        # __post_init__ has made sure that one end exists
        return 0.0 if end is None else end


def range_from_row(row: Mapping[str, str]) -> DataRange:
    """Range of a row with the columns low, high, unit, standing, source_key, place.

    Parameters
    ----------
    row : mapping of str to str
        One row of a checked table.

    Returns
    -------
    DataRange
        The same, with numbers for text.

    Raises
    ------
    DataTableError
        If an end is not a number, both are empty, or they are reversed.

    Examples
    --------
    >>> row = {"low": "8", "high": "17", "unit": "m/min", "standing": "opened", "source_key": "K", "place": "table 1"}
    >>> range_from_row(row).words
    '8 to 17 m/min'
    """
    return DataRange(
        low=_number(row, "low"),
        high=_number(row, "high"),
        unit=row["unit"],
        standing=Standing(row["standing"]),
        source_key=row["source_key"],
        place=row["place"],
    )


def _number(row: Mapping[str, str], column: str) -> float | None:
    text = row[column]
    if not text:
        return None
    try:
        return float(text)
    except ValueError as error:
        msg = f"{column} of {row['source_key']} ({row['place']}): {text!r} is not a number; ranges take two columns"
        raise DataTableError(msg) from error
