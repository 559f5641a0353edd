"""Rounded edges as they were cut: the radius that their points lie on, and what strays from their zone.

A radius with limits is taken as a zone: between the arcs of the smallest and of the largest radius, each tangent to the
face and the cylinder as they were cut (from memory of ASME Y14.5, where R gives such a zone).
"""

from __future__ import annotations

from math import cos, hypot, pi, sin

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from handwheel.check.section import Section
from handwheel.check.solids import rest, shared
from handwheel.domain.contour import Point
from handwheel.geometry.region import Region, polygon

ON_SURFACE_MM = 5e-4
"""How near to face or cylinder a corner of the outline belongs to that and no longer to the round."""
LEAST_POINTS = 3
"""Corners of the outline by which a circle can be told at all; a bevel has none between its ends."""
HAIR_MM = 5e-3
"""What an arc may lie beyond its zone: no radius gauge shows it, and hollows are drawn in chords (common practice, no
source)."""
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
    if len(points) < LEAST_POINTS:
        return None
    # z² + x² = 2 a z + 2 b x + c is linear in the centre (a, b)
    sums = np.column_stack((2.0 * points, np.ones(len(points))))
    found, _, rank, _ = np.linalg.lstsq(sums, (points**2).sum(axis=1), rcond=None)
    if rank < LEAST_POINTS:
        return None
    away = [hypot(z - found[0], x - found[1]) for z, x in points]
    return min(away), max(away)


def _round_points(work: Section, corner: Corner) -> npt.NDArray[np.float64]:
    """Corners of the outline near a corner, behind its face and below its cylinder, shape (n, 2). [mm]"""
    points = np.concatenate((work.starts, work.ends))
    off = (points - np.array(corner.at)) * np.array([corner.along, corner.across])
    inside = (off > ON_SURFACE_MM).all(axis=1) & (off < np.array(corner.room) + ON_SURFACE_MM).all(axis=1)
    found: npt.NDArray[np.float64] = np.unique(off[inside].round(7), axis=0)
    return found


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
