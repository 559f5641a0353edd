"""Metric screw threads by their designation, and the sizes of their profile."""

from __future__ import annotations

import re

from msgspec import Struct

from handwheel.domain.errors import ShopError, require_positive
from handwheel.domain.exact import Fraction

MINOR_PITCHES = Fraction(10825318, 10**7)
"""Pitches by which the basic minor diameter is below the major one: 2 times 5/8 of the height of the sharp V, which is
half the root of 3 in pitches (ISO 68-1, from memory); handbooks print 1.0825."""

_METRIC = r"M(?P<major>[0-9]+(?:\.[0-9]+)?)\s*[xX×]\s*(?P<pitch>[0-9]+(?:\.[0-9]+)?)"


class Thread(Struct, frozen=True, kw_only=True):
    """A metric thread: major diameter and pitch. [mm]"""

    major_mm: Fraction
    pitch_mm: Fraction

    def __post_init__(self) -> None:
        """Refuse a thread without diameter or pitch, or whose groove meets in the middle."""
        require_positive("major_mm", float(self.major_mm), unit="mm")
        require_positive("pitch_mm", float(self.pitch_mm), unit="mm")
        if self.minor_mm <= 0:
            msg = f"{self.designation}: pitch too coarse for the diameter; check both"
            raise ShopError(msg)

    @property
    def designation(self) -> str:
        """Name on a drawing, such as ``"M12x1.5"``."""
        return f"M{float(self.major_mm):g}x{float(self.pitch_mm):g}"

    @property
    def minor_mm(self) -> Fraction:
        """Basic minor diameter of the nut thread, D1 = D - 1.0825 P (ISO 68-1, from memory). [mm]"""
        return self.major_mm - MINOR_PITCHES * self.pitch_mm


def parse_thread(written: str) -> Thread | None:
    """Read a designation with its pitch; ``None`` if it is none.

    Examples
    --------
    >>> parse_thread("M12x1.5").designation
    'M12x1.5'
    >>> float(parse_thread("M12x1.5").minor_mm)
    10.3762023
    >>> parse_thread("M12") is None
    True
    """
    found = re.fullmatch(_METRIC, written.strip())
    if found is None:
        return None
    return Thread(major_mm=Fraction(found["major"]), pitch_mm=Fraction(found["pitch"]))
