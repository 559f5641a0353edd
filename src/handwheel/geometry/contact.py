"""How far a shape can move in one direction before it touches another."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from handwheel.geometry.region import Place, Region, Ring, rings

_EPS = 1e-9
_BEHIND_MM = 1e-7
"""A contact this little behind still counts as touching."""


def travel_to_contact_mm(moving: Region, fixed: Region, direction: tuple[float, float]) -> float | None:
    """Way that ``moving`` can go along a unit direction (dz, dx) before it meets ``fixed``. [mm]

    Exact for polygons: contact is a vertex of one on an edge of the other. ``None`` if they never meet; 0 if they touch
    already. The two must not overlap.
    """
    back = (-direction[0], -direction[1])
    ways = [
        way
        for one in rings(moving)
        for other in rings(fixed)
        for way in (*_hits(one, other, direction), *_hits(other, one, back))
    ]
    return max(min(ways), 0.0) if ways else None


def _hits(points: Ring, ring: Ring, direction: Place) -> Iterator[float]:
    """Every t >= 0 with a point + t · direction on an edge of the ring."""
    dz, dx = direction
    # what lies beside the way of all points, seen square to it, cannot be hit
    beside = [dz * x - dx * z for z, x in points]
    low, high = min(beside) - _BEHIND_MM, max(beside) + _BEHIND_MM
    for (z0, x0), (z1, x1) in pairwise(ring):
        edge_z, edge_x = z1 - z0, x1 - x0
        # solve p + t d = s + u e
        cross = dz * edge_x - dx * edge_z
        start = dz * x0 - dx * z0
        if abs(cross) <= _EPS or max(start, start + cross) < low or min(start, start + cross) > high:
            continue
        for z, x in points[1:]:
            gap_z, gap_x = z0 - z, x0 - x
            t = (gap_z * edge_x - gap_x * edge_z) / cross
            if t >= -_BEHIND_MM and -_EPS <= (gap_z * dx - gap_x * dz) / cross <= 1.0 + _EPS:
                yield t
