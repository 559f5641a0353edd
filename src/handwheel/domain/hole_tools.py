"""Drills, reamers and taps."""

from enum import Enum

from msgspec import Struct

from handwheel.domain.errors import ShopError
from handwheel.domain.exact import Fraction
from handwheel.domain.thread import Thread


class DrillKind(Enum):
    """Centre drill or twist drill."""

    CENTRE = "centre drill"
    TWIST = "twist drill"


class Drill(Struct, frozen=True, kw_only=True):
    """A drill for the tailstock. ``dubbed`` lips do not grab in brass and bronze."""

    id: str
    kind: DrillKind
    dia_mm: Fraction
    point_deg: float = 118.0
    flute_mm: float = 60.0
    dubbed: bool = False


class ReamerKind(Enum):
    """How a reamer is driven: held in the tailstock with the work turning, or turned by hand with the work at rest."""

    MACHINE = "machine reamer"
    HAND = "hand reamer"


class Reamer(Struct, frozen=True, kw_only=True):
    """A reamer for the tailstock.

    Parameters
    ----------
    dia_mm : Fraction
        Its nominal diameter.
    hole_lower_mm, hole_upper_mm : Fraction
        Limits of the hole that it makes, as measured in a trial hole or as its class promises.
    flute_mm : float
        Length of its flutes, lead included.
    lead_mm : float
        Length of the lead at its end: so much deeper must it go for the full diameter to come through.
    lead_dia_mm : float
        Diameter at the small end of the lead: the hole must be larger for the reamer to enter.
    """

    id: str
    kind: ReamerKind
    dia_mm: Fraction
    hole_lower_mm: Fraction
    hole_upper_mm: Fraction
    flute_mm: float
    lead_mm: float
    lead_dia_mm: float

    def __post_init__(self) -> None:
        """Refuse limits that fall, and a lead that is none."""
        if self.hole_lower_mm > self.hole_upper_mm:
            msg = f"reamer {self.id!r}: the limits of its hole fall; give the smaller first"
            raise ShopError(msg)
        if not 0 < self.lead_dia_mm < float(self.dia_mm):
            msg = (
                f"reamer {self.id!r}: small end of its lead {self.lead_dia_mm:g} mm must be above 0 and below its "
                f"diameter of {float(self.dia_mm):g} mm; measure it over the front end"
            )
            raise ShopError(msg)
        if not 0 < self.lead_mm < self.flute_mm:
            msg = (
                f"reamer {self.id!r}: lead {self.lead_mm:g} mm must be above 0 and shorter than the flutes of "
                f"{self.flute_mm:g} mm"
            )
            raise ShopError(msg)

    @property
    def hole_dia_mm(self) -> float:
        """Middle of the limits of the hole that it makes. [mm]"""
        return float(self.hole_lower_mm + self.hole_upper_mm) / 2.0


class Tap(Struct, frozen=True, kw_only=True):
    """A tap for one metric thread; ``lead_mm`` is its tapered lead, which must come through below the part."""

    id: str
    thread: Thread
    lead_mm: float
    length_mm: float
