"""Rounded edges as they were cut: the radius that their points lie on, and what strays from their zone.

A radius with limits is taken as a zone: between the arcs of the smallest and of the largest radius, each tangent to the
face and the cylinder as they were cut (from memory of ASME Y14.5, where R gives such a zone).
"""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, fsum, hypot, pi, sin

from msgspec import Struct

from handwheel.check.section import Section
from handwheel.check.solids import rest, shared
from handwheel.domain.contour import Point
from handwheel.geometry.region import Place, Region, polygon

ON_SURFACE_MM = 5e-4
"""How near to face or cylinder a corner of the outline belongs to that and no longer to the round."""
LEAST_POINTS = 3
"""Corners of the outline by which a circle can be told at all; a bevel has none between its ends."""
HAIR_MM = 5e-3
"""What an arc may lie beyond its zone: no radius gauge shows it, and hollows are drawn in chords (common practice, no
source)."""
ROUND_PLACES = 7
"""Decimals of a millimetre to which two corners of the outline are the same."""
FLAT = 1e-12
"""Places whose spread across is less than this of their spread along, squared both, lie on a line."""
_ARC_STEPS = 48


class Corner(Struct, frozen=True):
    """Where face and cylinder as cut would meet, and which way (+1, -1) the metal lies from there along and across.

    ``room`` is how far along and across what is looked at goes: further off lies what belongs to other edges. [mm]
    """

    at: Point
    along: float
    across: float
    room: Point

    def place(self, along_mm: float, across_mm: float) -> tuple[float, float]:
        """Place so far behind the face and so far below the cylinder. [mm]"""
        return self.at.z_mm + self.along * along_mm, self.at.radius_mm + self.across * across_mm


def radii_mm(work: Section, corner: Corner) -> tuple[float, float] | None:
    """Least and greatest distance of a round's points from the centre of the circle that fits them best. [mm]

    ``None`` where there are too few points for a circle: nothing is rounded there.
    """
    points = _round_points(work, corner)
    centre = _centre(points) if len(points) >= LEAST_POINTS else None
    if centre is None:
        return None
    away = [hypot(z - centre[0], x - centre[1]) for z, x in points]
    return min(away), max(away)


def _round_points(work: Section, corner: Corner) -> tuple[Place, ...]:
    """Corners of the outline near a corner, behind its face and below its cylinder, each once. [mm]"""
    found = {(round(z, ROUND_PLACES), round(x, ROUND_PLACES)) for z, x in work.corners if _is_near(corner, z, x)}
    return tuple(sorted(found))


def _is_near(corner: Corner, z_mm: float, x_mm: float) -> bool:
    along, across = (z_mm - corner.at.z_mm) * corner.along, (x_mm - corner.at.radius_mm) * corner.across
    room = corner.room
    return ON_SURFACE_MM < along < room.z_mm + ON_SURFACE_MM and ON_SURFACE_MM < across < room.radius_mm + ON_SURFACE_MM


def _centre(points: Sequence[Place]) -> Place | None:
    """Centre of the circle that fits some places best by least squares; ``None`` if they lie on a line. [mm]

    About their mean, z² + x² = 2 a z + 2 b x + c is linear in the centre (a, b): two equations once c is taken out.
    """
    mean_z, mean_x = (fsum(values) / len(points) for values in zip(*points, strict=True))
    off = [(z - mean_z, x - mean_x) for z, x in points]
    zz, zx, xx = (fsum(z**i * x**j for z, x in off) for i, j in ((2, 0), (1, 1), (0, 2)))
    along = fsum(z * (z * z + x * x) for z, x in off) / 2.0
    across = fsum(x * (z * z + x * x) for z, x in off) / 2.0
    spread = zz * xx - zx * zx
    if spread <= FLAT * (zz + xx) ** 2:
        return None
    return mean_z + (along * xx - across * zx) / spread, mean_x + (across * zz - along * zx) / spread


def beyond_zone(region: Region, corner: Corner, *, lower_mm: float, upper_mm: float) -> tuple[Region, Region]:
    """Metal that even the smallest round allowed takes off, and metal missing that even the largest one leaves."""
    left = shared(region, rest(_box(corner, lower_mm), _quarter(corner, lower_mm, HAIR_MM)))
    gone = rest(shared(_box(corner, upper_mm), _quarter(corner, upper_mm, -HAIR_MM)), region)
    return left, gone


def _box(corner: Corner, radius_mm: float) -> Region:
    """Square over a round, a hair off face and cylinder, no larger than the room."""
    z, x = (min(radius_mm, most) for most in corner.room)
    return polygon([corner.place(a, b) for a, b in ((HAIR_MM, HAIR_MM), (z, HAIR_MM), (z, x), (HAIR_MM, x))])


def _quarter(corner: Corner, radius_mm: float, more_mm: float) -> Region:
    """Quarter disc of a round tangent to face and cylinder, drawn so much larger about its centre. [mm]"""
    angles = [pi / 2.0 * step / _ARC_STEPS for step in range(_ARC_STEPS + 1)]
    drawn = radius_mm + more_mm
    arc = [corner.place(radius_mm - drawn * cos(a), radius_mm - drawn * sin(a)) for a in angles]
    return polygon([corner.place(radius_mm, radius_mm), *arc])
