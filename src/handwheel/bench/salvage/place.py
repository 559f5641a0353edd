"""Where a size stands between and beyond its limits, and what of the part lies about it."""

from __future__ import annotations

from enum import Enum

from msgspec import Struct

from handwheel.bench.stops import PER_TRAVEL, gauge_use, reading_grows
from handwheel.data.materials import Material, material
from handwheel.domain.errors import ImpossiblePartError, OutOfRangeError, require_positive, require_within
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.part import Aspect, Cylinder, Part, SizedFeature
from handwheel.domain.said import said, said_limits, said_range
from handwheel.domain.shop import Shop
from handwheel.domain.size import Size

MEASURED = (Aspect.DIAMETER, Aspect.WIDTH, Aspect.DEPTH)
"""Sizes that are approached with a gauge; edges and radii are not."""
GROSS_MM = 5.0
"""A size that is further than this from its limits was mistyped, or is another surface; ours, no source. [mm]"""
FLOAT_MM = 1e-9
"""Limits are floats: what misses one by less meets it. [mm]"""
PLACES = 3


class Side(Enum):
    """On which side of its limits a size stands."""

    FAR = "beyond the limit from which no metal comes back"
    NEAR = "short of its limits: metal is still to come off"
    INSIDE = "inside its limits"


class Place(Struct, frozen=True, kw_only=True):
    """A size that is believed to be there, and the part and shop that it is in. As read: a diameter or a length. [mm]

    ``uncertainty_mm`` is the half-width within which the true size lies, as a gauge is trusted: about 95 %, two
    standard uncertainties [GUM].
    """

    part: Part
    shop: Shop
    feature: SizedFeature
    size_mm: float
    uncertainty_mm: float

    @property
    def size(self) -> Size:
        """Size on the drawing."""
        return self.feature.size

    @property
    def metal(self) -> Material:
        """Metal of the part."""
        return material(self.part.material)

    @property
    def grows(self) -> bool:
        """Whether the reading grows as metal goes."""
        return reading_grows(self.part, self.feature.surface, self.feature.aspect)

    @property
    def per_side(self) -> int:
        """How much the reading changes for 1 mm off the surface."""
        return PER_TRAVEL.get(self.feature.aspect, 1)

    @property
    def is_diameter(self) -> bool:
        """Whether it is one."""
        return self.feature.aspect is Aspect.DIAMETER

    @property
    def lower_mm(self) -> float:
        """Lower limit at the lathe, before later work. [mm]"""
        return float(self.size.cut_lower)

    @property
    def upper_mm(self) -> float:
        """Upper limit at the lathe, before later work. [mm]"""
        return float(self.size.cut_upper)

    @property
    def target_mm(self) -> float:
        """Where the lathe aims. [mm]"""
        return float(self.size.cut_target)

    @property
    def side(self) -> Side:
        """On which side it stands, by what is believed, its uncertainty left out."""
        above, below = self.size_mm > self.upper_mm + FLOAT_MM, self.size_mm < self.lower_mm - FLOAT_MM
        if not (above or below):
            return Side.INSIDE
        return Side.FAR if above is self.grows else Side.NEAR

    @property
    def is_sure(self) -> bool:
        """Whether the uncertainty leaves no doubt about the side."""
        low, high = self.size_mm - self.uncertainty_mm, self.size_mm + self.uncertainty_mm
        outside = low > self.upper_mm + FLOAT_MM or high < self.lower_mm - FLOAT_MM
        return outside or self.is_within(self.lower_mm, self.upper_mm)

    def is_within(self, lower_mm: float, upper_mm: float, *, then_mm: float = 0.0) -> bool:
        """Whether limits hold the size for sure: the uncertainty is kept from each of them [ISO14253_1].

        ``then_mm`` is what later work still adds to the size.
        """
        size = self.size_mm + then_mm
        return lower_mm <= size - self.uncertainty_mm + FLOAT_MM and size + self.uncertainty_mm <= upper_mm + FLOAT_MM

    @property
    def beyond_mm(self) -> float:
        """How far it lies outside the nearer limit; 0 if it is inside. [mm of reading]"""
        return max(0.0, self.size_mm - self.upper_mm, self.lower_mm - self.size_mm)

    @property
    def to_come_off_mm(self) -> tuple[float, float]:
        """Least and most that may still come off so that the size is inside for sure. [mm of reading]"""
        sign = 1.0 if self.grows else -1.0
        ends = sorted(sign * (limit - self.size_mm) for limit in (self.lower_mm, self.upper_mm))
        return ends[0] + self.uncertainty_mm, ends[1] - self.uncertainty_mm

    @property
    def is_judged_here(self) -> bool:
        """Whether the drawing's own limits follow from those at the lathe; later work may have others."""
        return self.size.finished_limits == (self.size.lower, self.size.upper)

    @property
    def use(self) -> GaugeUse:
        """What a gauge for it measures."""
        return gauge_use(self.feature.aspect, grows=self.grows)

    @property
    def own_cylinder(self) -> Cylinder | None:
        """Cylinder whose diameter it is."""
        of_side = self.part.inner_cylinders if self.grows else self.part.outer_cylinders
        return next((each for each in of_side if each.surface == self.feature.surface), None)

    @property
    def facing_dia_mm(self) -> float:
        """Diameter across the wall where that is thinnest: the least outside over a bore, the largest bore within. [mm]

        At its limit that makes the wall thin.
        """
        own = self.own_cylinder
        across = self.part.outer_cylinders if self.grows else self.part.inner_cylinders
        facing = [each for each in across if own is None or _overlap_mm(own, each) > FLOAT_MM]
        found = [self._worst_mm(each) for each in facing]
        if not found:
            return 2.0 * (self.part.outside_radius_mm if self.grows else self.part.bore_radius_mm)
        return min(found) if self.grows else max(found)

    def _worst_mm(self, cylinder: Cylinder) -> float:
        feature = self.part.feature(cylinder.surface, Aspect.DIAMETER)
        if feature is None:
            return 2.0 * cylinder.radius_mm
        return float(feature.size.cut_lower if self.grows else feature.size.cut_upper)

    def wall_mm(self, dia_mm: float) -> float:
        """Least wall that is left if the surface has this diameter. [mm]"""
        return (self.facing_dia_mm - dia_mm if self.grows else dia_mm - self.facing_dia_mm) / 2.0

    def face_mm(self, dia_mm: float) -> float:
        """Least height of a face beside its edges if the surface has this diameter, and the edges move with it. [mm]"""
        outer, inner = self.part.outer.segments, self.part.inner.segments
        heights = (
            outer[0].start.radius_mm - inner[0].start.radius_mm,
            outer[-1].end.radius_mm - inner[-1].end.radius_mm,
        )
        own = self.own_cylinder
        cut = 0.0 if own is None else abs(dia_mm / 2.0 - own.radius_mm)
        return min(heights) - cut

    def said(self, value_mm: float) -> str:
        """A length in both units, to the last decimal that matters here."""
        return said(value_mm, self.part.units, places=PLACES)

    def said_limits(self, low_mm: float, high_mm: float) -> str:
        """Print two limits in both units, rounded inward as on a sheet."""
        return said_limits(low_mm, high_mm, self.part.units, places=PLACES)

    def said_range(self, low_mm: float, high_mm: float) -> str:
        """From where to where a length goes, likewise."""
        return said_range(low_mm, high_mm, self.part.units, places=PLACES)


def place_of(part: Part, shop: Shop, surface: str, aspect: Aspect, *, size_mm: float, uncertainty_mm: float) -> Place:
    """Where a size stands; see `handwheel.bench.salvage.ways.ways_out`.

    Raises
    ------
    OutOfRangeError
        If the size or its uncertainty is not above 0, it is no diameter, width or depth, or lies so far from its limits
        that it can only be a slip.
    ImpossiblePartError
        If the part has no such size.
    """
    require_positive("size_mm", size_mm, unit="mm")
    require_positive("uncertainty_mm", uncertainty_mm, unit="mm")
    if aspect not in MEASURED:
        msg = f"{surface} {aspect.value}: nothing is known of saving that; give a diameter, a width or a depth"
        raise OutOfRangeError(msg)
    feature = part.feature(surface, aspect)
    if feature is None:
        known = ", ".join(each.id for each in part.sizes if each.aspect in MEASURED)
        msg = f"{surface} {aspect.value}: the part has no such size; it has {known}"
        raise ImpossiblePartError(msg)
    low, high = float(feature.size.cut_lower) - GROSS_MM, float(feature.size.cut_upper) + GROSS_MM
    require_within(f"{feature.id}: size_mm", size_mm, low=max(low, FLOAT_MM), high=high, unit="mm")
    return Place(part=part, shop=shop, feature=feature, size_mm=size_mm, uncertainty_mm=uncertainty_mm)


def _overlap_mm(one: Cylinder, other: Cylinder) -> float:
    return min(one.high_z_mm, other.high_z_mm) - max(one.low_z_mm, other.low_z_mm)
