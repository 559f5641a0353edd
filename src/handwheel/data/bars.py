"""Round bars as they are sold: their diameters, and how far below and above they are delivered."""

from __future__ import annotations

from functools import cache

from msgspec import Struct

from handwheel.data.loader import Standing, load_table
from handwheel.domain.exact import Fraction
from handwheel.domain.part import Units

_COLUMNS = (
    "system",
    "nominal",
    "dia_mm",
    "product",
    "delivered_as",
    "lower_mm",
    "upper_mm",
    "standing",
    "source_key",
    "place",
)
_SYSTEMS = {"metric": Units.MM, "inch": Units.INCH}
_BRIGHT = frozenset({"bright cold drawn", "stainless cold finished", "aluminium cold finished rod"})
"""Products that come true enough to be gripped and turned as they are."""


class BarSize(Struct, frozen=True, kw_only=True):
    """Round bar of one product, size and tolerance; ``lower_mm`` and ``upper_mm`` are deviations from it. [mm]"""

    units: Units
    nominal: str
    dia_mm: Fraction
    product: str
    delivered_as: str
    lower_mm: Fraction
    upper_mm: Fraction
    standing: Standing
    source_key: str

    @property
    def least_mm(self) -> Fraction:
        """Smallest diameter that it is delivered with. [mm]"""
        return self.dia_mm + self.lower_mm


@cache
def bar_sizes() -> tuple[BarSize, ...]:
    """Every row of the table.

    References
    ----------
    Bright bar: classes of [EN10278], opened, on a list of diameters that is common practice; hot rolled: [EN10060];
    inch bar: [ASTM_A484] and [AL_ROD_TABLE]. Bars of brass, titanium and precious metals have no table here.

    Examples
    --------
    >>> len(bar_sizes())
    264
    """
    return tuple(
        BarSize(
            units=_SYSTEMS[row["system"]],
            nominal=row["nominal"],
            dia_mm=Fraction(row["dia_mm"]),
            product=row["product"],
            delivered_as=row["delivered_as"],
            lower_mm=Fraction(row["lower_mm"]),
            upper_mm=Fraction(row["upper_mm"]),
            standing=Standing(row["standing"]),
            source_key=row["source_key"],
        )
        for row in load_table("bar_stock.csv", _COLUMNS)
    )


def bar_at_least(least_mm: float, *, units: Units) -> BarSize | None:
    """Smallest bright bar that is never delivered thinner than that; ``None`` beyond the largest.

    Of the tolerances that a size is delivered with the widest counts: what is not known of a metal's bars is taken for
    the worst of those that are.

    Parameters
    ----------
    least_mm : float
        Diameter needed. [mm]
    units : Units
        Whether bars are bought by millimetres or by inches.

    Examples
    --------
    >>> found = bar_at_least(22.0, units=Units.MM)
    >>> found.nominal, found.delivered_as, float(found.least_mm)
    ('24', 'EN 10278 h11', 23.87)
    >>> bar_at_least(21.8, units=Units.INCH).nominal
    '7/8'
    """
    thinnest: dict[Fraction, BarSize] = {}
    for size in bar_sizes():
        if size.units is units and size.product in _BRIGHT:
            known = thinnest.get(size.dia_mm)
            if known is None or size.least_mm < known.least_mm:
                thinnest[size.dia_mm] = size
    fit = [size for size in thinnest.values() if float(size.least_mm) >= least_mm]
    return min(fit, key=lambda size: size.dia_mm, default=None)
