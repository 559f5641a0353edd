"""How much more a thick ring is distorted by jaws than the thin-ring formula says."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from handwheel.data.loader import load_table

if TYPE_CHECKING:
    from collections.abc import Mapping

_COLUMNS = ("wall_to_mean_radius", "jaws", "ratio_to_thin", "standing", "source_key", "place")


@cache
def thick_ring_table() -> Mapping[int, tuple[tuple[float, float], ...]]:
    """Points of wall over mean radius and ratio to the thin formula, rising, by the number of jaws.

    Returns
    -------
    mapping of int to tuple
        For 2, 3, 4 and 6 jaws: n points, (n, 2). `handwheel.physics.ring` reads between them.

    References
    ----------
    [MICHELL]: computed, plane stress, Poisson 0.3, load on the outside, form read at the bore.

    Examples
    --------
    >>> thick_ring_table()[3][0]
    (0.05, 1.005)
    """
    found: dict[int, list[tuple[float, float]]] = {}
    for row in load_table("thick_ring.csv", _COLUMNS):
        point = (float(row["wall_to_mean_radius"]), float(row["ratio_to_thin"]))
        found.setdefault(int(row["jaws"]), []).append(point)
    return {jaws: tuple(points) for jaws, points in found.items()}
