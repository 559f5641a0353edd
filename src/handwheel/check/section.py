"""Sizes read off a half section as a gauge would: diameters over a range, faces, corners."""

from __future__ import annotations

from collections.abc import Iterable
from math import inf, nan

from msgspec import Struct

from handwheel.geometry.region import Box, Edge, Place, Region, bounds_mm, edges

_STEP_MM = 1e-6
"""How far beside a corner the outline is read."""
DUST_MM = 1e-9
"""A place that misses the end of the metal by less is at it: the rounding of floats. [mm]"""


class Section(Struct, frozen=True):
    """Outline of a half section as straight edges in (z, x), and its box. [mm]"""

    edges: tuple[Edge, ...]
    box: Box

    @property
    def corners(self) -> tuple[Place, ...]:
        """Where the edges begin and end, each place once for each edge that begins there. [mm]"""
        return tuple(start for start, _ in self.edges)

    @property
    def low_z_mm(self) -> float:
        """Z of the end towards the chuck. [mm]"""
        return self.box[0]

    @property
    def high_z_mm(self) -> float:
        """Z of the end towards the tailstock. [mm]"""
        return self.box[2]

    def outer_dia_mm(self, z_low_mm: float, z_high_mm: float) -> float:
        """Largest outside diameter over a range of z; not a number where there is no metal. [mm]"""
        found = self.outer_radii_mm(z_low_mm, z_high_mm)
        return nan if found is None else 2.0 * found[1]

    def inner_dia_mm(self, z_low_mm: float, z_high_mm: float) -> float:
        """Smallest inside diameter over a range of z; not a number where there is no metal. [mm]"""
        found = self.inner_radii_mm(z_low_mm, z_high_mm)
        return nan if found is None else 2.0 * found[0]

    def outer_radii_mm(self, z_low_mm: float, z_high_mm: float) -> tuple[float, float] | None:
        """Smallest and largest outside radius over a range of z; ``None`` if it has a gap there. [mm]"""
        return _envelope(self.edges, z_low_mm, z_high_mm, upper=True)

    def inner_radii_mm(self, z_low_mm: float, z_high_mm: float) -> tuple[float, float] | None:
        """Smallest and largest inside radius over a range of z; ``None`` if it has a gap there. [mm]"""
        return _envelope(self.edges, z_low_mm, z_high_mm, upper=False)

    def front_z_mm(self, x_low_mm: float, x_high_mm: float) -> tuple[float, float] | None:
        """Lowest and highest z of the end towards the tailstock over a range of radius. [mm]"""
        return _envelope(_swapped(self.edges), x_low_mm, x_high_mm, upper=True)

    def back_z_mm(self, x_low_mm: float, x_high_mm: float) -> tuple[float, float] | None:
        """Lowest and highest z of the end towards the chuck over a range of radius. [mm]"""
        return _envelope(_swapped(self.edges), x_low_mm, x_high_mm, upper=False)


def section(region: Region) -> Section:
    """Section of a region that is not empty."""
    return Section(edges(region), bounds_mm(region))


def _swapped(edges: Iterable[Edge]) -> tuple[Edge, ...]:
    """Edges with x in the place of z."""
    return tuple(((x0, z0), (x1, z1)) for (z0, x0), (z1, x1) in edges)


def _envelope(edges: Iterable[Edge], low: float, high: float, *, upper: bool) -> tuple[float, float] | None:
    """Least and greatest ordinate of the upper or lower outline over a range of the abscissa.

    The outline is straight between corners, so that reading it at the ends of the range and close beside each corner
    finds the extremes.
    """
    if not low <= high:
        return None
    near = [reach for edge in edges if edge[0][0] != edge[1][0] and (reach := _reach(edge, low, high)) is not None]
    beside = {at + step for _, _, ((a, _), (b, _)) in near for at in (a, b) for step in (-_STEP_MM, _STEP_MM)}
    found = []
    for at in (low, high, *(place for place in beside if low < place < high)):
        read = _read(near, at, upper=upper)
        if read is None:
            return None
        found.append(read)
    return min(found), max(found)


_Reach = tuple[float, float, Edge]
"""An edge with the lowest and the highest abscissa at which it is read, dust beyond its ends. [mm]"""


def _reach(edge: Edge, low: float, high: float) -> _Reach | None:
    """Reach of an edge; ``None`` if nothing of it lies in a range of the abscissa, not even by dust."""
    a, b = edge[0][0], edge[1][0]
    least, most = min(a, b), max(a, b)
    return (least - DUST_MM, most + DUST_MM, edge) if least <= high + DUST_MM and most >= low - DUST_MM else None


def _read(edges: Iterable[_Reach], at: float, *, upper: bool) -> float | None:
    """Ordinate of the upper or lower outline at a place; ``None`` where there is none."""
    best = -inf if upper else inf
    for least, most, ((a, first), (b, last)) in edges:
        if least <= at <= most:
            ordinate = first + min(1.0, max(0.0, (at - a) / (b - a))) * (last - first)
            if ordinate > best if upper else ordinate < best:
                best = ordinate
    return None if best in (inf, -inf) else best
