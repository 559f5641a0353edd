"""How far a shape can move in one direction before it touches another."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from handwheel.geometry.region import Region, rings

_EPS = 1e-9
_BEHIND_MM = 1e-7
"""A contact this little behind still counts as touching."""


def _ray_hits(
    points: npt.NDArray[np.float64], ring: npt.NDArray[np.float64], direction: npt.NDArray[np.float64]
) -> float:
    """Smallest t >= 0 with points + t · direction on an edge of the ring; infinity if none."""
    start, edge = ring[:-1], np.diff(ring, axis=0)
    # solve p + t d = s + u e for every point and edge
    cross = direction[0] * edge[:, 1] - direction[1] * edge[:, 0]
    usable = np.abs(cross) > _EPS
    if not usable.any():
        return float("inf")
    start, edge, cross = start[usable], edge[usable], cross[usable]
    gap = start[None, :, :] - points[:, None, :]
    t = (gap[:, :, 0] * edge[None, :, 1] - gap[:, :, 1] * edge[None, :, 0]) / cross[None, :]
    u = (gap[:, :, 0] * direction[1] - gap[:, :, 1] * direction[0]) / cross[None, :]
    hit = (u >= -_EPS) & (u <= 1.0 + _EPS) & (t >= -_BEHIND_MM)
    return float(t[hit].min()) if hit.any() else float("inf")


def travel_to_contact_mm(moving: Region, fixed: Region, direction: tuple[float, float]) -> float | None:
    """Way that ``moving`` can go along a unit direction (dz, dx) before it meets ``fixed``. [mm]

    Exact for polygons: contact is a vertex of one on an edge of the other. ``None`` if they never meet; 0 if they touch
    already. The two must not overlap.
    """
    ahead = np.array(direction, dtype=float)
    best = float("inf")
    for ring_moving in rings(moving):
        for ring_fixed in rings(fixed):
            best = min(best, _ray_hits(ring_moving[:-1], ring_fixed, ahead))
            best = min(best, _ray_hits(ring_fixed[:-1], ring_moving, -ahead))
    return None if best == float("inf") else max(best, 0.0)
