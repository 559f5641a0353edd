"""What holds bars and rings: chucks with jaws or collets, and the means for the second side."""

from msgspec import Struct

from handwheel.domain.errors import ShopError, require_positive
from handwheel.domain.exact import Fraction
from handwheel.domain.part import Units
from handwheel.domain.said import said_short_range


class Collet(Struct, frozen=True, kw_only=True):
    """A collet: the bar it is bored for, and how much smaller a bar may be for it still to close on. [mm]"""

    dia_mm: Fraction
    closes_mm: Fraction

    def __post_init__(self) -> None:
        """Refuse a collet that closes on nothing."""
        require_positive("dia_mm", float(self.dia_mm), unit="mm")
        if not 0 <= self.closes_mm < self.dia_mm:
            msg = (
                f"collet {float(self.dia_mm):g} mm: closes by {float(self.closes_mm):g} mm; give how much smaller "
                "a bar may be, from 0 to less than its size"
            )
            raise ShopError(msg)


class Chuck(Struct, frozen=True, kw_only=True):
    """A self-centring chuck with hard jaws, or a collet chuck; sizes as it sits on the nose.

    ``jaw_length_mm`` is how far the jaws stand out from the chuck face, ``jaw_height_mm`` how far they reach outward
    from the gripped surface, so that the turning jaws sweep a ring of that section. A collet chuck has ``collets``, no
    jaws, and a closing nut of ``nose_dia_mm`` that stands out by ``jaw_length_mm``.
    """

    name: str
    jaws: int
    max_rpm: float
    body_dia_mm: float
    jaw_length_mm: float
    jaw_height_mm: float
    grip_low_dia_mm: float
    grip_high_dia_mm: float
    runout_mm: float
    collets: tuple[Collet, ...] = ()
    nose_dia_mm: float = 0.0

    def takes(self, low_mm: float, high_mm: float) -> bool:
        """Whether it grips any bar between two diameters: one collet must close on all of them. [mm]"""
        if not self.collets:
            return self.grip_low_dia_mm <= low_mm and high_mm <= self.grip_high_dia_mm
        return any(float(c.dia_mm - c.closes_mm) <= low_mm and high_mm <= float(c.dia_mm) for c in self.collets)

    def grips_words(self, units: Units) -> str:
        """What it grips, for a message."""
        if not self.collets:
            return said_short_range(self.grip_low_dia_mm, self.grip_high_dia_mm, units)
        sizes = sorted((c.dia_mm - c.closes_mm, c.dia_mm) for c in self.collets)
        return ", ".join(said_short_range(low, high, units) for low, high in sizes)

    def front_radius_mm(self, grip_radius_mm: float) -> float:
        """How far from the axis jaws or closing nut reach while they grip a radius. [mm]"""
        if self.collets:
            return max(self.nose_dia_mm / 2.0, grip_radius_mm)
        return grip_radius_mm + self.jaw_height_mm


class HoldingMeans(Struct, frozen=True, kw_only=True):
    """Something the shop owns to hold a finished side by; ``kind`` names the holding model that knows it.

    Parameters
    ----------
    low_dia_mm, high_dia_mm : float
        Bounds of the surface that it takes. [mm]
    grip_mm : float
        How far along the part it reaches. [mm]
    runout_mm : float
        Total indicator reading to be expected once the work has been indicated. [mm]
    ready_s : float
        Time to make it ready for one size. [s]
    force_n : float
        All that each jaw (or segment of a collet) presses on the part, added up round its land; or the pull of nut or
        tailstock along the axis. [N]
    step_mm : float
        Width of the seat or shoulder behind the ring, from the gripped surface; 0: half-way across the wall. [mm]
    wrap_deg : float
        How far round each jaw or segment presses; 0: a line. [deg]
    sizes_mm : tuple of float
        Diameters of the collets of a set. [mm]
    closes_mm : float
        How far each collet closes below its own diameter. [mm]
    pressure_n_mm2 : float
        Pressure of an expanding mandrel on the bore. [N/mm2]
    bond_n_mm2 : float
        Strength of an adhesive in shear, from its own data sheet. [N/mm2]
    body_dia_mm : float
        Outside diameter of a collet's nose, of a pot, or of the tailstock centre's body; 0: as large as usual. [mm]
    """

    id: str
    kind: str
    name: str
    low_dia_mm: float
    high_dia_mm: float
    grip_mm: float
    runout_mm: float
    ready_s: float
    max_rpm: float
    force_n: float = 0.0
    step_mm: float = 0.0
    wrap_deg: float = 0.0
    sizes_mm: tuple[float, ...] = ()
    closes_mm: float = 0.0
    pressure_n_mm2: float = 0.0
    bond_n_mm2: float = 0.0
    body_dia_mm: float = 0.0
