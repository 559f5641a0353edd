"""What a finished part weighs, and the round piece of bar that it lies in."""

from __future__ import annotations

from math import pi

from msgspec import Struct

from handwheel.data.materials import Material, Property
from handwheel.data.ranges import DataRange
from handwheel.domain.part import Part
from handwheel.geometry.profile import part_volume_mm3

MM3_PER_CM3 = 1000.0


class PartWeight(Struct, frozen=True, kw_only=True):
    """Weight of a part as turned, and of the shortest, thinnest solid round that it can be cut from.

    The round has the part's largest diameter and its width: what facing, parting and cleaning up take comes on top.
    Each weight is a range, because the density is one. [mm, mm³, g]
    """

    part: str
    round_dia_mm: float
    round_length_mm: float
    part_mm3: float
    round_mm3: float
    density: DataRange

    @property
    def part_g(self) -> tuple[float, float]:
        """Least and greatest weight of the part. [g]"""
        return self._weights(self.part_mm3)

    @property
    def round_g(self) -> tuple[float, float]:
        """Least and greatest weight of the round. [g]"""
        return self._weights(self.round_mm3)

    def _weights(self, volume_mm3: float) -> tuple[float, float]:
        share = volume_mm3 / MM3_PER_CM3
        return share * self.density.least, share * self.density.most


def part_weight(part: Part, metal: Material) -> PartWeight:
    """Weight of a part, were it made of some metal; exact volumes of its half section, edges and steps included.

    Raises
    ------
    DataTableError
        If the tables have no density of the metal.
    """
    dia = 2.0 * part.outside_radius_mm
    return PartWeight(
        part=part.name,
        round_dia_mm=dia,
        round_length_mm=part.width_mm,
        part_mm3=part_volume_mm3(part),
        round_mm3=pi / 4.0 * dia**2 * part.width_mm,
        density=metal.range(Property.DENSITY),
    )
