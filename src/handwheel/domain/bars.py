"""Bars on the rack: metal, section, size as bought or measured."""

from enum import Enum
from math import pi, sqrt

from msgspec import Struct

from handwheel.domain.errors import ShopError
from handwheel.domain.exact import Fraction

HEXAGON_CORNERS = 2.0 / sqrt(3.0)
"""Width of a hexagon over its corners for each unit across its flats; geometry."""
HEXAGON_AREA = sqrt(3.0) / 2.0
"""Area of a hexagon for each square unit of its width across flats; geometry."""


class BarShape(Enum):
    """Section of a bar."""

    ROUND = "round"
    HEXAGON = "hexagon"
    TUBE = "tube"


class Bar(Struct, frozen=True, kw_only=True):
    """A bar on the rack; diameter limits as delivered. [mm]

    The diameter of a hexagon is its width across flats. A tube has the limits of its bore too; they are 0 otherwise.
    """

    id: str
    material: str
    dia_mm: Fraction
    dia_lower_mm: Fraction
    dia_upper_mm: Fraction
    length_mm: float
    tolerance_rule: str
    shape: BarShape = BarShape.ROUND
    bore_mm: Fraction = Fraction(0)
    bore_lower_mm: Fraction = Fraction(0)
    bore_upper_mm: Fraction = Fraction(0)

    def __post_init__(self) -> None:
        """Refuse a tube without a bore or wall, and a bore in anything else."""
        is_tube = self.shape is BarShape.TUBE
        if is_tube and not 0 < self.bore_lower_mm <= self.bore_mm <= self.bore_upper_mm < self.dia_lower_mm:
            msg = (
                f"bar {self.id!r}: a tube has a bore with limits, above 0 and below its outside of "
                f"{float(self.dia_lower_mm):g} mm; measure it at both ends"
            )
            raise ShopError(msg)
        if not is_tube and (self.bore_mm or self.bore_lower_mm or self.bore_upper_mm):
            msg = f"bar {self.id!r}: a {self.shape.value} bar has no bore; enter it as a tube, or leave the bore out"
            raise ShopError(msg)

    @property
    def swept_dia_mm(self) -> float:
        """Diameter that the turning bar sweeps: over the corners of a hexagon, taken as sharp. [mm]"""
        return float(self.dia_mm) * (HEXAGON_CORNERS if self.shape is BarShape.HEXAGON else 1.0)

    @property
    def largest_dia_mm(self) -> float:
        """Largest diameter that it may sweep: what a hole must be for the bar to pass. [mm]"""
        return float(self.dia_upper_mm) * (HEXAGON_CORNERS if self.shape is BarShape.HEXAGON else 1.0)

    @property
    def section_mm2(self) -> float:
        """Area of its metal. [mm²]"""
        across = float(self.dia_mm) ** 2
        if self.shape is BarShape.HEXAGON:
            return HEXAGON_AREA * across
        return pi / 4.0 * (across - float(self.bore_mm) ** 2)
