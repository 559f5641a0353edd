"""A finished size with its limits, exact from the drawing to the dial."""

from enum import Enum
from functools import cached_property

from msgspec import Struct, field

from handwheel.domain.errors import ImpossiblePartError
from handwheel.domain.exact import Fraction

MM_PER_INCH = Fraction(254, 10)
"""Millimetres in an inch, exact (international inch of 1959)."""
FINEST_INCH_FRACTION = 64
"""Rules and drills are divided no finer than this."""


def inch_fraction(length_mm: Fraction) -> str:
    """Fraction of an inch that a length is exactly, by sixty-fourths at the finest; empty if it is none.

    Examples
    --------
    >>> inch_fraction(Fraction("31.75")), inch_fraction(Fraction("12.7")), inch_fraction(Fraction(12))
    ('1 1/4', '1/2', '')
    """
    inches = length_mm / MM_PER_INCH
    if FINEST_INCH_FRACTION % inches.denominator:
        return ""
    whole, rest = divmod(inches, 1)
    return " ".join(str(piece) for piece in (whole, rest) if piece)


class SizeKind(Enum):
    """What a size measures; it settles the unit (mm or degrees) and how a dial meets it."""

    DIAMETER = "diameter"
    LENGTH = "length"
    ANGLE = "angle"


class LaterWork(Struct, frozen=True, kw_only=True):
    """What is done to a surface after turning, in words, and the limits of its size once that is done. [mm]"""

    words: str
    lower: Fraction
    upper: Fraction


class Size(Struct, frozen=True, kw_only=True, dict=True):
    """One dimension of the finished part, at 20 °C, with its limits.

    Parameters
    ----------
    nominal, lower, upper : Fraction
        Size as named and its limits, exact. [mm, or degrees for an angle]
    kind : SizeKind
        Diameter, length or angle.
    as_written : str
        What the maker typed, kept for the sheet and for errors.
    rule : str
        Where the limits come from, such as ``"ISO 286-2 H8"`` or ``"written on the drawing"``.
    finishing_change : Fraction
        How much finishing after turning changes the size (a polished bore grows: positive). [mm]
    later : tuple of LaterWork
        What that finishing is, in its order.
    assumed : str
        What the limits take for granted and nobody has said, in words.

    Raises
    ------
    ImpossiblePartError
        If the limits are reversed or not above zero.
    """

    nominal: Fraction
    lower: Fraction
    upper: Fraction
    kind: SizeKind
    as_written: str
    rule: str
    finishing_change: Fraction = field(default_factory=Fraction)
    later: tuple[LaterWork, ...] = ()
    assumed: str = ""

    def __post_init__(self) -> None:
        """Refuse limits that no part can meet."""
        if not 0 < self.lower <= self.upper:
            msg = (
                f"size {self.as_written!r}: limits {float(self.lower):g} to {float(self.upper):g} must be above 0 "
                "and in rising order; check the tolerance and its signs"
            )
            raise ImpossiblePartError(msg)

    @property
    def band(self) -> Fraction:
        """Width of the tolerance. [mm or degrees]"""
        return self.upper - self.lower

    @property
    def finished_limits(self) -> tuple[Fraction, Fraction]:
        """Limits once all later work is done. [mm or degrees]"""
        return (self.later[-1].lower, self.later[-1].upper) if self.later else (self.lower, self.upper)

    @cached_property
    def cut_target(self) -> Fraction:
        """Size to turn to: the middle of the limits, before finishing changes it. [mm or degrees]"""
        return (self.lower + self.upper) / 2 - self.finishing_change

    @cached_property
    def cut_lower(self) -> Fraction:
        """Lower limit as it must stand when the tool has done its work. [mm or degrees]"""
        return self.lower - self.finishing_change

    @cached_property
    def cut_upper(self) -> Fraction:
        """Upper limit as it must stand when the tool has done its work. [mm or degrees]"""
        return self.upper - self.finishing_change
