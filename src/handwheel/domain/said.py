"""Lengths, feeds and cutting speeds in words that somebody reads: both units, the maker's own first."""

from __future__ import annotations

from collections.abc import Callable
from math import ceil, floor
from numbers import Rational

from handwheel.domain.exact import Fraction
from handwheel.domain.part import Units
from handwheel.domain.size import MM_PER_INCH

INCH_PLACES = {0: 2, 1: 2, 2: 4, 3: 4, 4: 5, 5: 6}
"""Decimals of an inch that go with so many of a millimetre."""
SHORT_PLACES = 3
"""Most decimals of a millimetre of a length that is named rather than reckoned; one more of a fine one."""
FINE_MM = 0.1
"""Below this a length is a fine one, such as what a mark is worth. [mm]"""
LISTED_FEED_PLACES, HAND_FEED_PLACES, INCH_FEED_PLACES = 4, 3, 4
"""Decimals of a feed in mm/rev, as the gearbox's list has it and as a hand can keep it; in in/rev."""
FEET_PER_METRE = Fraction(10000, 3048)
DUST = Fraction(1, 10**9)
"""What a binary float misses of a decimal, in the unit that is printed."""
Number = Fraction | float | int
Figure = Callable[[Fraction, int], str]


def said(value_mm: Number, units: Units, *, places: int = 2) -> str:
    """Print a length in both units, rounded to the nearest.

    Examples
    --------
    >>> said(19.05, Units.INCH), said(19.05, Units.MM)
    ('0.7500 in (19.05 mm)', '19.05 mm (0.7500 in)')
    """
    return _both((value_mm,), units, places, _nearest)


def said_range(low_mm: Number, high_mm: Number, units: Units, *, places: int = 2) -> str:
    """Print from where to where a length goes, in both units; once if both ends are one.

    Examples
    --------
    >>> said_range(0.01, 0.03, Units.MM, places=3), said_range(25.4, 25.4, Units.INCH)
    ('0.010 to 0.030 mm (0.0004 to 0.0012 in)', '1.0000 in (25.40 mm)')
    """
    return _both(_ends(low_mm, high_mm), units, places, _nearest)


def said_limits(lower_mm: Number, upper_mm: Number, units: Units, *, places: int = 2) -> str:
    """Print two limits in both units, each rounded inward: what is inside as printed is inside.

    Examples
    --------
    >>> said_limits(Fraction(18), Fraction("18.027"), Units.MM, places=3)
    '18.000 to 18.027 mm (0.7087 to 0.7097 in)'
    """
    in_mm = inward(lower_mm, upper_mm, places=places)
    in_inch = inward(lower_mm, upper_mm, places=INCH_PLACES[places], unit=MM_PER_INCH)
    return own_first(f"{in_mm} mm", f"{in_inch} in", units)


def inward(lower: Number, upper: Number, *, places: int, unit: Fraction = Fraction(1)) -> str:
    """Two limits counted in ``unit``, each rounded inward, without the unit; the one rule for every text.

    A band finer than the last decimal gets one decimal more; two limits that are one are both rounded up.

    Examples
    --------
    >>> inward(19.95, 20.0, places=4, unit=MM_PER_INCH), inward(5.0001, 5.0002, places=2)
    ('0.7855 to 0.7874', '5.0001 to 5.0002')
    """
    scale = 10**places
    low, high = ceil(_close(lower) / unit * scale), floor(_close(upper) / unit * scale)
    if low > high and lower < upper:
        return inward(lower, upper, places=places + 1, unit=unit)
    return " to ".join(f"{whole / scale:.{places}f}" for whole in (low, max(low, high)))


def _close(value: Number) -> Fraction:
    """Undo the dust of binary floats, which would push an inward-rounded limit one step too far."""
    if isinstance(value, Rational):
        return Fraction(value)
    return Fraction(round(value, 9)).limit_denominator(10**9)


def said_short(value_mm: Number, units: Units) -> str:
    """Print a length that is named rather than reckoned, in both units and without idle zeros.

    Examples
    --------
    >>> said_short(Fraction("17.30"), Units.MM), said_short(63.5, Units.INCH), said_short(0.0254, Units.MM)
    ('17.3 mm (0.6811 in)', '2.5 in (63.5 mm)', '0.0254 mm (0.001 in)')
    """
    return said_short_range(value_mm, value_mm, units)


def said_short_range(low_mm: Number, high_mm: Number, units: Units) -> str:
    """Print from where to where a length goes as `said_short` does.

    Examples
    --------
    >>> said_short_range(8, 25, Units.MM)
    '8 to 25 mm (0.315 to 0.9843 in)'
    """
    places = SHORT_PLACES + int(abs(float(high_mm)) < FINE_MM)
    return _both(_ends(low_mm, high_mm), units, places, _short)


def said_at_most(value_mm: Number, units: Units, *, places: int = 0) -> str:
    """Print a length that must not be exceeded, in both units, rounded down.

    Examples
    --------
    >>> said_at_most(10.75, Units.MM)
    '10 mm (0.42 in)'
    """
    return _both((value_mm,), units, places, _at_most)


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
    return own_first(first, second, units)


def said_feed(low_mm_rev: float, high_mm_rev: float) -> str:
    """Print a feed, or the band of a feed by hand, in millimetres and inches a turn; both ends with as many decimals.

    Examples
    --------
    >>> said_feed(0.0794, 0.0794), said_feed(0.03, 0.0546)
    ('0.0794 mm/rev (0.0031 in/rev)', '0.030 to 0.055 mm/rev (0.0012 to 0.0021 in/rev)')
    """
    ends = [Fraction(end) for end in _ends(low_mm_rev, high_mm_rev)]
    places = LISTED_FEED_PLACES if len(ends) == 1 else HAND_FEED_PLACES
    needed = max(len(_short(end, places).partition(".")[2]) for end in ends)
    in_mm = " to ".join(_nearest(end, needed) for end in ends)
    in_inch = " to ".join(_nearest(end / MM_PER_INCH, INCH_FEED_PLACES) for end in ends)
    return f"{in_mm} mm/rev ({in_inch} in/rev)"


def said_cutting_speed(low_m_min: float, high_m_min: float | None = None, *, places: int = 0) -> str:
    """Print a cutting speed, or from where to where one goes, in metres (with so many decimals) and feet a minute.

    Examples
    --------
    >>> said_cutting_speed(30.48), said_cutting_speed(9, 21)
    ('30 m/min, 100 ft/min', '9 to 21 m/min, 30 to 69 ft/min')
    """
    ends = [Fraction(end) for end in _ends(low_m_min, low_m_min if high_m_min is None else high_m_min)]
    in_metres = " to ".join(_short(end, places) for end in ends)
    in_feet = " to ".join(_nearest(end * FEET_PER_METRE, 0) for end in ends)
    return f"{in_metres} m/min, {in_feet} ft/min"


def own_first(in_mm: str, in_inch: str, units: Units) -> str:
    """Put a length that is written in both units in their order: the maker's own, then the other in brackets.

    Examples
    --------
    >>> own_first("25.4 mm", "1 in", Units.INCH)
    '1 in (25.4 mm)'
    """
    return f"{in_inch} ({in_mm})" if units is Units.INCH else f"{in_mm} ({in_inch})"


def _ends(low_mm: Number, high_mm: Number) -> tuple[Number, ...]:
    return (low_mm,) if low_mm == high_mm else (low_mm, high_mm)


def _both(values_mm: tuple[Number, ...], units: Units, places: int, figure: Figure) -> str:
    exact = [Fraction(value) for value in values_mm]
    in_mm = " to ".join(figure(value, places) for value in exact)
    in_inch = " to ".join(figure(value / MM_PER_INCH, INCH_PLACES[places]) for value in exact)
    return own_first(f"{in_mm} mm", f"{in_inch} in", units)


def _nearest(value: Fraction, places: int) -> str:
    return f"{round(value * 10**places) / 10**places:.{places}f}"


def _at_most(value: Fraction, places: int) -> str:
    return f"{floor(value * 10**places + DUST) / 10**places:.{places}f}"


def _short(value: Fraction, places: int) -> str:
    text = _nearest(value, places)
    return text.rstrip("0").rstrip(".") if "." in text else text
