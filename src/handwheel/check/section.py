"""Sizes read off a half section as a gauge would: diameters over a range, faces, corners."""

from __future__ import annotations

from math import nan

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from handwheel.geometry.region import Region, bounds_mm, rings

Line = npt.NDArray[np.float64]
_STEP_MM = 1e-6
"""How far beside a corner the outline is read."""


class Section(Struct, frozen=True):
    """Outline of a half section as straight edges (start and end, each (n, 2) of z and x), and its box. [mm]"""

    starts: Line
    ends: Line
    box: tuple[float, float, float, float]

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
        return _envelope(self.starts, self.ends, z_low_mm, z_high_mm, upper=True)

    def inner_radii_mm(self, z_low_mm: float, z_high_mm: float) -> tuple[float, float] | None:
        """Smallest and largest inside radius over a range of z; ``None`` if it has a gap there. [mm]"""
        return _envelope(self.starts, self.ends, z_low_mm, z_high_mm, upper=False)

    def front_z_mm(self, x_low_mm: float, x_high_mm: float) -> tuple[float, float] | None:
        """Lowest and highest z of the end towards the tailstock over a range of radius. [mm]"""
        return _envelope(self.starts[:, ::-1], self.ends[:, ::-1], x_low_mm, x_high_mm, upper=True)

    def back_z_mm(self, x_low_mm: float, x_high_mm: float) -> tuple[float, float] | None:
        """Lowest and highest z of the end towards the chuck over a range of radius. [mm]"""
        return _envelope(self.starts[:, ::-1], self.ends[:, ::-1], x_low_mm, x_high_mm, upper=False)


def section(region: Region) -> Section:
    """Section of a region that is not empty."""
    outlines = rings(region)
    starts = np.concatenate([outline[:-1] for outline in outlines])
    ends = np.concatenate([outline[1:] for outline in outlines])
    return Section(starts, ends, bounds_mm(region))


def _envelope(starts: Line, ends: Line, low: float, high: float, *, upper: bool) -> tuple[float, float] | None:
    """Least and greatest ordinate of the upper or lower outline over a range of the abscissa.

    The outline is straight between corners, so that reading it at the ends of the range and close beside each corner
    finds the extremes.
    """
    if not low <= high:
        return None
    corners = starts[:, 0]
    within = corners[(corners > low) & (corners < high)]
    samples = np.unique(np.concatenate(([low, high], within - _STEP_MM, within + _STEP_MM)))
    samples = samples[(samples >= low) & (samples <= high)]
    run = ends[:, 0] - starts[:, 0]
    sloped = np.abs(run) > 0.0
    a, b, run = starts[sloped], ends[sloped], run[sloped]
    share = (samples[:, None] - a[None, :, 0]) / run[None, :]
    ordinates = a[None, :, 1] + share * (b - a)[None, :, 1]
    beyond = -np.inf if upper else np.inf
    ordinates = np.where((share >= 0.0) & (share <= 1.0), ordinates, beyond)
    edge = ordinates.max(axis=1, initial=beyond) if upper else ordinates.min(axis=1, initial=beyond)
    if not np.isfinite(edge).all():
        return None
    return float(edge.min()), float(edge.max())
