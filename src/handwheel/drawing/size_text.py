"""How a size is written on a drawing: with its deviations, or as its two limits, in the units of its file."""

from __future__ import annotations

from math import ceil, floor

from handwheel.data.iso286 import FIT_RULE
from handwheel.domain.exact import Fraction
from handwheel.domain.part import Aspect, SizedFeature, Units
from handwheel.domain.size import MM_PER_INCH, Size, SizeKind
from handwheel.drawing.model import DimensionText

BETWEEN = " to "
"""Stands in what was typed where a size was given by its two limits."""
MOST_PLACES = 5
"""Decimals that a size is written with at most; beyond them limits are rounded inward."""
LEAST_PLACES = {Units.MM: 0, Units.INCH: 3}


def size_text(feature: SizedFeature, *, units: Units) -> DimensionText:
    """Words of a size: nominal with deviations, or both limits if it was given so or is in inches.

    Diameters bear their sign. Limits are those of the finished part, later work done. [mm, or inches]
    """
    size = feature.size
    sign = "Ø" if feature.aspect is Aspect.DIAMETER else "R" if feature.aspect is Aspect.RADIUS else ""
    lower, upper = size.finished_limits
    if units is Units.INCH or BETWEEN in size.as_written:
        places = max(_places(value, units) for value in (lower, upper))
        above, below = (_in_last_place(end, places, units) for end in (upper, lower))
        # rounded inward: what is inside as written is inside
        high, low = _decimal(floor(above), places), _decimal(ceil(below), places)
        return DimensionText(main=sign, upper=high, lower=low, limits=True)
    main = f"{sign}{exact_mm(size.nominal)}{_fit(size)}"
    above, below = upper - size.nominal, lower - size.nominal
    if above == -below:
        return DimensionText(main=f"{main} ±{exact_mm(above)}")
    return DimensionText(main=main, upper=deviation(above), lower=deviation(below))


def plain_text(feature: SizedFeature, *, units: Units) -> str:
    """Words of a size in one row, for a note."""
    text = size_text(feature, units=units)
    if text.limits:
        return f"{text.main}{text.lower} to {text.upper}"
    return text.spoken


def deviation(value_mm: Fraction) -> str:
    """Deviation with its sign; zero has none.

    Examples
    --------
    >>> deviation(Fraction(21, 1000)), deviation(Fraction(-13, 100)), deviation(Fraction(0))
    ('+0.021', '-0.13', '0')
    """
    return f"{'+' if value_mm > 0 else ''}{exact_mm(value_mm)}"


def exact_mm(value: Fraction) -> str:
    """Decimal without closing zeros, at most `MOST_PLACES`.

    Examples
    --------
    >>> exact_mm(Fraction(37, 2)), exact_mm(Fraction(20)), exact_mm(Fraction(-1, 8))
    ('18.5', '20', '-0.125')
    """
    text = _decimal(round(value * 10**MOST_PLACES), MOST_PLACES)
    return text.rstrip("0").rstrip(".")


def _fit(size: Size) -> str:
    if size.kind is not SizeKind.DIAMETER or not size.rule.startswith(FIT_RULE):
        return ""
    return f" {size.rule.removeprefix(FIT_RULE)}"


def _places(value_mm: Fraction, units: Units) -> int:
    """Decimals that a limit needs."""
    needed = (places for places in range(MOST_PLACES) if _in_last_place(value_mm, places, units).denominator == 1)
    return max(next(needed, MOST_PLACES), LEAST_PLACES[units])


def _in_last_place(value_mm: Fraction, places: int, units: Units) -> Fraction:
    return (value_mm / MM_PER_INCH if units is Units.INCH else value_mm) * int(10**places)


def _decimal(scaled: int, places: int) -> str:
    """Decimal of a whole number of the last place."""
    digits = str(abs(scaled)).rjust(places + 1, "0")
    sign = "-" if scaled < 0 else ""
    return f"{sign}{digits[:-places]}.{digits[-places:]}" if places else f"{sign}{digits}"
