"""Lengths in the words of a hand step: both units, the maker's own first."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from math import floor

from handwheel.domain.part import Units
from handwheel.domain.size import MM_PER_INCH

INCH_PLACES = {0: 2, 1: 2, 2: 4, 3: 4}
"""Decimals of an inch that go with so many of a millimetre."""
DUST = Fraction(1, 10**9)
"""What a binary float misses of a decimal, in the unit that is printed."""


def said(value_mm: float, units: Units, *, places: int = 2) -> str:
    """Print a length in both units, rounded to the nearest.

    Examples
    --------
    >>> said(19.05, Units.INCH), said(19.05, Units.MM)
    ('0.7500 in (19.05 mm)', '19.05 mm (0.7500 in)')
    """
    return _both(value_mm, units, places, round)


def said_at_most(value_mm: float, units: Units, *, places: int = 0) -> str:
    """Print a length that must not be exceeded, in both units, rounded down.

    Examples
    --------
    >>> said_at_most(10.75, Units.MM)
    '10 mm (0.42 in)'
    """
    return _both(value_mm, units, places, floor)


def _both(value_mm: float, units: Units, places: int, whole: Callable[[Fraction], int]) -> str:
    exact, inch_places = Fraction(value_mm), INCH_PLACES[places]
    in_mm = whole(exact * 10**places + (DUST if whole is floor else 0)) / 10**places
    in_inch = whole(exact / MM_PER_INCH * 10**inch_places + (DUST if whole is floor else 0)) / 10**inch_places
    first, second = f"{in_mm:.{places}f} mm", f"{in_inch:.{inch_places}f} in"
    if units is Units.INCH:
        first, second = second, first
    return f"{first} ({second})"


def said_band(plus_mm: float, minus_mm: float, units: Units) -> str:
    """Print how much larger and smaller a size may be, in both units.

    Examples
    --------
    >>> said_band(0.0, 0.05, Units.MM), said_band(0.02, 0.0, Units.INCH)
    ('+0.00/-0.05 mm (+0.0000/-0.0020 in)', '+0.0008/-0.0000 in (+0.02/-0.00 mm)')
    """
    inch = float(MM_PER_INCH)
    first = f"+{plus_mm:.2f}/-{minus_mm:.2f} mm"
    second = f"+{plus_mm / inch:.4f}/-{minus_mm / inch:.4f} in"
    if units is Units.INCH:
        first, second = second, first
    return f"{first} ({second})"
