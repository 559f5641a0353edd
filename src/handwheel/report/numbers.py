"""How figures are printed: exact where a hand sets them, rounded once where they only inform."""

from __future__ import annotations

from math import isfinite
from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.domain.errors import OutOfRangeError
from handwheel.domain.exact import Fraction
from handwheel.domain.part import Units
from handwheel.domain.said import inward, own_first
from handwheel.domain.size import MM_PER_INCH

if TYPE_CHECKING:
    from collections.abc import Callable

INCH_PLACES = 4
"""Decimals of an inch: a tenth of a thou, the finest that a shop micrometer shows."""

FINE_STEP_MM = Fraction(1, 100)
"""A gauge or dial with a finer step than this warrants three decimals of a millimetre, any other two. [mm]"""

ROUGH_PLACES, ROUGH_INCH_PLACES = 1, 2
"""Decimals of millimetre and inch for what is set by eye or rule."""

MOST_EXACT_PLACES = 6

Number = Fraction | float | int


def nearest(top: int, bottom: int) -> int:
    """Whole number nearest to a fraction, the even one of two that are as near.

    Examples
    --------
    >>> nearest(5, 2), nearest(7, 2), nearest(-8, 3)
    (2, 4, -3)
    """
    whole, rest = divmod(top, bottom)
    return whole + (2 * rest > bottom or (2 * rest == bottom and whole % 2))


def below(top: int, bottom: int) -> int:
    """Next whole number below a fraction, or the fraction if it is whole."""
    return top // bottom


def above(top: int, bottom: int) -> int:
    """Next whole number above a fraction, or the fraction if it is whole."""
    return -(-top // bottom)


def rounded(
    value: Number,
    *,
    places: int,
    unit: Fraction = Fraction(1),
    rounding: Callable[[int, int], int] = nearest,
) -> str:
    """Print ``value``, counted in ``unit``, with so many decimals, never as minus nothing.

    Exact down to the rounding, and in whole numbers: a sheet has thousands of figures, and each fraction made on the
    way would cost more than all the rest of printing it.

    Raises
    ------
    OutOfRangeError
        If the value is not finite: such a figure must not reach a sheet.

    Examples
    --------
    >>> rounded(28.625, places=2), rounded(-0.0001, places=2), rounded(12.7, places=3, unit=MM_PER_INCH)
    ('28.62', '0.00', '0.500')
    """
    if isinstance(value, float) and not isfinite(value):
        msg = f"a figure for the sheet: got {value}, must be finite; make the plan again"
        raise OutOfRangeError(msg)
    top, bottom = value.as_integer_ratio()
    whole = rounding(top * unit.denominator * 10**places, bottom * unit.numerator)
    sign = "-" if whole < 0 else ""
    digits = str(abs(whole)).rjust(places + 1, "0")
    return f"{sign}{digits[:-places]}.{digits[-places:]}" if places else f"{sign}{digits}"


def exact_text(value: Number) -> str:
    """Print a figure that a hand sets exactly: a decimal if it ends, else a mixed fraction.

    Examples
    --------
    >>> exact_text(Fraction(75, 2)), exact_text(Fraction(55, 3)), exact_text(Fraction(-40))
    ('37.5', '18 1/3', '-40')
    """
    _, bottom = value.as_integer_ratio()
    for places in range(MOST_EXACT_PLACES + 1):
        if 10**places % bottom == 0:
            return rounded(value, places=places)
    exact = Fraction(value)
    whole, rest = divmod(abs(exact), 1)
    sign = "-" if exact < 0 else ""
    return f"{sign}{whole} {rest}" if whole else f"{sign}{rest}"


def trimmed(value: Number, *, places: int) -> str:
    """Print at most so many decimals and no closing zeros, for listed figures such as a feed.

    Examples
    --------
    >>> trimmed(0.0800, places=4), trimmed(540.0, places=1)
    ('0.08', '540')
    """
    text = rounded(value, places=places)
    return text.rstrip("0").rstrip(".") if "." in text else text


def trimmed_band(low: Number, high: Number, *, places: int) -> str:
    """Print both ends of a band with as many decimals as the longer of them needs, or the one figure if they are alike.

    Examples
    --------
    >>> trimmed_band(0.06, 0.1, places=3), trimmed_band(3.0, 4.8, places=1), trimmed_band(20.0, 20.0, places=1)
    ('0.06 to 0.10', '3.0 to 4.8', '20')
    """
    ends = trimmed(low, places=places), trimmed(high, places=places)
    if ends[0] == ends[1]:
        return ends[0]
    alike = max(len(end.partition(".")[2]) for end in ends)
    return f"{rounded(low, places=alike)} to {rounded(high, places=alike)}"


def listed_text(value: float) -> str:
    """Print a figure of the lathe's own list as it stands there: 557.9 is not the binary fraction nearest to it.

    Examples
    --------
    >>> listed_text(557.9), listed_text(320.0)
    ('557.9', '320')
    """
    return trimmed(value, places=MOST_EXACT_PLACES)


class Lengths(Struct, frozen=True, kw_only=True):
    """Prints lengths in both units, the maker's own first; ``places`` are the decimals of a millimetre."""

    units: Units
    places: int = 2

    def mm(self, value_mm: Number) -> str:
        """Figure in millimetres, without the unit."""
        return rounded(value_mm, places=self.places)

    def inch(self, value_mm: Number) -> str:
        """Figure in inches, without the unit."""
        return rounded(value_mm, places=INCH_PLACES, unit=MM_PER_INCH)

    def both(self, value_mm: Number) -> str:
        """Print a length in both units.

        Examples
        --------
        >>> Lengths(units=Units.MM).both(28.61), Lengths(units=Units.INCH).both(25.4)
        ('28.61 mm (1.1264 in)', '1.0000 in (25.40 mm)')
        """
        return own_first(f"{self.mm(value_mm)} mm", f"{self.inch(value_mm)} in", self.units)

    def rough(self, value_mm: Number) -> str:
        """Print a length that is set by eye or rule, no finer than that; one decimal more below a millimetre.

        Examples
        --------
        >>> Lengths(units=Units.MM).rough(22.0), Lengths(units=Units.MM).rough(0.1)
        ('22.0 mm (0.87 in)', '0.10 mm (0.004 in)')
        """
        more = int(-1 < value_mm < 1)
        in_mm = f"{rounded(value_mm, places=ROUGH_PLACES + more)} mm"
        in_inch = f"{rounded(value_mm, places=ROUGH_INCH_PLACES + more, unit=MM_PER_INCH)} in"
        return own_first(in_mm, in_inch, self.units)

    def dia(self, dia_mm: Number) -> str:
        """Print a diameter in both units, with its sign."""
        return f"Ø {self.both(dia_mm)}"

    def micro(self, value_mm: Number) -> str:
        """Print a small error in both units, with three decimals of a millimetre.

        Examples
        --------
        >>> Lengths(units=Units.MM).micro(0.02)
        '0.020 mm (0.0008 in)'
        """
        return Lengths(units=self.units, places=3).both(value_mm)

    def along(self, z_mm: Number) -> str:
        """Say where a place lies along the axis, as seen from the finished face.

        Examples
        --------
        >>> Lengths(units=Units.MM).along(-6.0), Lengths(units=Units.MM).along(0.0)
        ('6.00 mm (0.2362 in) behind the face', 'at the face')
        """
        if float(self.mm(z_mm)) == 0:
            return "at the face"
        side = "behind" if z_mm < 0 else "in front of"
        return f"{self.both(z_mm if z_mm > 0 else -z_mm)} {side} the face"

    def limits(self, lower_mm: Number, upper_mm: Number) -> str:
        """Print two limits in both units, each rounded inward: what is inside as printed is inside.

        Examples
        --------
        >>> Lengths(units=Units.MM, places=3).limits(Fraction(18), Fraction("18.027"))
        '18.000 to 18.027 mm (0.7087 to 0.7097 in)'
        """
        in_mm, in_inch = self.limits_mm(lower_mm, upper_mm), self.limits_inch(lower_mm, upper_mm)
        return own_first(f"{in_mm} mm", f"{in_inch} in", self.units)

    def limits_mm(self, lower_mm: Number, upper_mm: Number) -> str:
        """Two limits in millimetres, rounded inward, without the unit."""
        return inward(lower_mm, upper_mm, places=self.places)

    def limits_inch(self, lower_mm: Number, upper_mm: Number) -> str:
        """Two limits in inches, rounded inward, without the unit."""
        return inward(lower_mm, upper_mm, places=INCH_PLACES, unit=MM_PER_INCH)


def places_for(step_mm: Number) -> int:
    """How many decimals of a millimetre a gauge or a dial warrants that shows so fine a step.

    Examples
    --------
    >>> places_for(Fraction(1, 1000)), places_for(Fraction(1, 100))
    (3, 2)
    """
    return 3 if step_mm < FINE_STEP_MM else 2


def turns_text(turns: Number) -> str:
    """Say how far to wind, in turns.

    Examples
    --------
    >>> turns_text(Fraction(1, 2)), turns_text(Fraction(5, 4)), turns_text(3)
    ('1/2 turn', '1 1/4 turns', '3 turns')
    """
    whole, rest = divmod(Fraction(turns), 1)
    text = " ".join(str(piece) for piece in (whole, rest) if piece) or "0"
    return f"{text} {'turn' if 0 < turns <= 1 else 'turns'}"


def duration_text(seconds: float) -> str:
    """Say how long something takes, no finer than one can plan by.

    Examples
    --------
    >>> duration_text(12.4), duration_text(95), duration_text(300), duration_text(4000)
    ('12 s', '1 min 35 s', '5 min', '67 min')
    """
    whole = round(seconds)
    if whole < 60:  # noqa: PLR2004 - seconds in a minute
        return f"{whole} s"
    minutes, rest = divmod(whole, 60)
    if rest and minutes < 10:  # noqa: PLR2004 - seconds no longer matter beyond ten minutes
        return f"{minutes} min {rest} s"
    return f"{round(whole / 60)} min"


def estimate_text(milliseconds: int) -> str:
    """Estimated time in whole minutes: nobody can foretell it closer.

    Examples
    --------
    >>> estimate_text(395_000), estimate_text(20_000)
    ('7 min', 'under 1 min')
    """
    minutes = round(milliseconds / 60_000)
    return f"{minutes} min" if minutes else "under 1 min"


def minutes_text(milliseconds: int) -> str:
    """Minutes with one decimal, for a column of times.

    Examples
    --------
    >>> minutes_text(90000)
    '1.5'
    """
    return rounded(Fraction(milliseconds, 60000), places=1)
