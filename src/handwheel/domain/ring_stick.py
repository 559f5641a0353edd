"""A ring stick as its owner measured it: marks with diameters, read between them and never beyond."""

from __future__ import annotations

from itertools import pairwise

from msgspec import Struct

from handwheel.domain.errors import OutOfRangeError, ShopError
from handwheel.domain.exact import Fraction

FEWEST_MARKS = 2


class StickMark(Struct, frozen=True, kw_only=True):
    """A mark of a stick: the number of the size engraved there, how far along it stands, and the diameter there."""

    number: Fraction
    at_mm: Fraction
    diameter_mm: Fraction


class StickReading(Struct, frozen=True, kw_only=True):
    """What a place of a stick is worth.

    Parameters
    ----------
    number : Fraction
        Size that its marks say there.
    diameter_mm : Fraction
        Diameter there, between the measured marks. [mm]
    spread_mm : Fraction
        How far the diameter may be out to either side: a bound, its parts added. [mm]
    taper : Fraction
        Change of the diameter over the way along the stick there.
    """

    number: Fraction
    diameter_mm: Fraction
    spread_mm: Fraction
    taper: Fraction

    def edges_differ_mm(self, width_mm: Fraction) -> Fraction:
        """By how much the stick is thicker at one edge of a ring of that width than at the other. [mm]"""
        return self.taper * width_mm


class RingStick(Struct, frozen=True, kw_only=True):
    """A tapered stick with sizes engraved along it.

    Parameters
    ----------
    name : str
        What its owner calls it.
    scale_key : str
        Scale that its engraving claims.
    marks : tuple of StickMark
        Rising in number, place and diameter.
    mark_width_mm : Fraction
        Width of an engraved line along the stick. [mm]
    reading_mm : Fraction
        How far the eye may be out along the stick when it says where the ring stops. [mm]
    uncertainty_mm : Fraction
        How far the measured diameters may be out to either side. [mm]
    """

    name: str
    scale_key: str
    marks: tuple[StickMark, ...]
    mark_width_mm: Fraction
    reading_mm: Fraction
    uncertainty_mm: Fraction

    def __post_init__(self) -> None:
        """Refuse fewer marks than two, and marks that do not rise."""
        if len(self.marks) < FEWEST_MARKS:
            msg = f"stick {self.name!r}: it has {len(self.marks)} marks, needs {FEWEST_MARKS} to read between them"
            raise ShopError(msg)
        for one, other in pairwise(self.marks):
            if not (one.number < other.number and one.at_mm < other.at_mm and one.diameter_mm < other.diameter_mm):
                msg = (
                    f"stick {self.name!r}: marks {one.number} and {other.number} do not rise in size, place and "
                    "diameter; list them from the thin end, and measure both again"
                )
                raise ShopError(msg)

    @property
    def first(self) -> StickMark:
        """Mark at the thin end."""
        return self.marks[0]

    @property
    def last(self) -> StickMark:
        """Mark at the thick end."""
        return self.marks[-1]

    def at_number(self, number: Fraction) -> StickReading:
        """Read the stick where its marks say a size; between two marks in proportion.

        Raises
        ------
        OutOfRangeError
            Outside the marks: nobody has measured there.
        """
        if not self.first.number <= number <= self.last.number:
            msg = (
                f"stick {self.name!r}: {float(number):g} lies outside its marks {float(self.first.number):g} to "
                f"{float(self.last.number):g}, and nothing is read beyond them; measure the bore, or measure more marks"
            )
            raise OutOfRangeError(msg)
        thin, thick = next(pair for pair in pairwise(self.marks) if number <= pair[1].number)
        return self._between(thin, thick, (number - thin.number) / (thick.number - thin.number))

    def at_diameter(self, diameter_mm: Fraction) -> StickReading:
        """Find the place of a stick where it has a diameter.

        Raises
        ------
        OutOfRangeError
            Outside the marks.
        """
        if not self.first.diameter_mm <= diameter_mm <= self.last.diameter_mm:
            msg = (
                f"stick {self.name!r}: {float(diameter_mm):.3f} mm lies outside its marks, "
                f"{float(self.first.diameter_mm):g} to {float(self.last.diameter_mm):g} mm, and nothing is read beyond "
                "them; measure the bore, or measure more marks"
            )
            raise OutOfRangeError(msg)
        thin, thick = next(pair for pair in pairwise(self.marks) if diameter_mm <= pair[1].diameter_mm)
        return self._between(thin, thick, (diameter_mm - thin.diameter_mm) / (thick.diameter_mm - thin.diameter_mm))

    def _between(self, thin: StickMark, thick: StickMark, share: Fraction) -> StickReading:
        taper = (thick.diameter_mm - thin.diameter_mm) / (thick.at_mm - thin.at_mm)
        return StickReading(
            number=thin.number + share * (thick.number - thin.number),
            diameter_mm=thin.diameter_mm + share * (thick.diameter_mm - thin.diameter_mm),
            spread_mm=(self.mark_width_mm / 2 + self.reading_mm) * taper + self.uncertainty_mm,
            taper=taper,
        )
