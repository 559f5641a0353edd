"""What is said of wide bands and eased bores: advice that contradicts itself, so none of it is ever applied."""

from __future__ import annotations

from enum import Enum
from functools import cache
from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.data.loader import Standing, load_table
from handwheel.domain.errors import OutOfRangeError
from handwheel.domain.exact import Fraction

if TYPE_CHECKING:
    from collections.abc import Mapping

_TABLE = "ring_allowances.csv"
_COLUMNS = (
    "choice",
    "over_mm",
    "up_to_incl_mm",
    "low_us_sizes",
    "high_us_sizes",
    "says",
    "standing",
    "source_key",
    "place",
)
_MAY_BE_BLANK = ("low_us_sizes", "high_us_sizes")
_NO_UPPER_END = "none"


class RingChoice(Enum):
    """What the maker may allow for, beside the size that was measured."""

    WIDE_BAND = "wide_band"
    EASED_BORE = "eased_bore"

    @property
    def words(self) -> str:
        """The choice in words."""
        return {"wide_band": "wide band", "eased_bore": "eased bore"}[self.value]


class Advice(Struct, frozen=True, kw_only=True):
    """What one source says of bands of some width; its figures are US sizes, or ``None`` where it gives none."""

    choice: RingChoice
    over_mm: Fraction
    up_to_incl_mm: Fraction | None
    low_us_sizes: Fraction | None
    high_us_sizes: Fraction | None
    says: str
    standing: Standing
    source_key: str
    place: str

    def speaks_of(self, width_mm: Fraction) -> bool:
        """Whether it is about bands of this width. [mm]"""
        return self.over_mm < width_mm and (self.up_to_incl_mm is None or width_mm <= self.up_to_incl_mm)


def ring_advice(choice: RingChoice, width_mm: Fraction) -> tuple[Advice, ...]:
    """Everything that the table says of a choice at a width, whether it agrees or not.

    Parameters
    ----------
    choice : RingChoice
        A wide band or an eased bore.
    width_mm : Fraction
        Width of the band. [mm]

    Raises
    ------
    OutOfRangeError
        If the width is not above 0.

    Examples
    --------
    >>> [advice.says for advice in ring_advice(RingChoice.EASED_BORE, Fraction(6))]
    ['feels a quarter to half a size looser: smaller', 'no change up to about 6 mm', 'half a size smaller']
    """
    if width_mm <= 0:
        msg = f"width_mm: got {float(width_mm):g} mm, must be above 0; check sign and unit"
        raise OutOfRangeError(msg)
    return tuple(advice for advice in _advice() if advice.choice is choice and advice.speaks_of(width_mm))


@cache
def _advice() -> tuple[Advice, ...]:
    return tuple(_read(row) for row in load_table(_TABLE, _COLUMNS, _MAY_BE_BLANK))


def _read(row: Mapping[str, str]) -> Advice:
    upper = row["up_to_incl_mm"]
    return Advice(
        choice=RingChoice(row["choice"]),
        over_mm=Fraction(row["over_mm"]),
        up_to_incl_mm=None if upper == _NO_UPPER_END else Fraction(upper),
        low_us_sizes=_figure(row["low_us_sizes"]),
        high_us_sizes=_figure(row["high_us_sizes"]),
        says=row["says"],
        standing=Standing(row["standing"]),
        source_key=row["source_key"],
        place=row["place"],
    )


def _figure(cell: str) -> Fraction | None:
    return Fraction(cell) if cell else None
