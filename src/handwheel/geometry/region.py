"""Region work through shapely, behind one typed door (shapely's own types are incomplete)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import pi, sqrt
from typing import Protocol, cast

import numpy as np
import numpy.typing as npt
import shapely

from handwheel.domain.contour import Point


class Region(Protocol):
    """A region of the meridian plane: polygons in (z, x), immutable. [mm]"""

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing in it."""


_POLYGON = 3
"""Number by which shapely calls a polygon."""
GRID_MM = 1e-7
"""Grid on which overlays are rounded; removes slivers of floating point, far below any size that matters."""

TOUCH_AREA_MM2 = 1e-4
"""Overlap below this is a touch, not a bite (a 10 µm by 10 µm corner)."""


def _region(shape: object) -> Region:
    return cast("Region", shape)


Points = Sequence[Point] | Sequence[tuple[float, float]]


def polygon(points: Points) -> Region:
    """Region inside a closed outline."""
    return _region(shapely.polygons(np.asarray(points, dtype=float)))


def rectangle(z_low_mm: float, z_high_mm: float, x_low_mm: float, x_high_mm: float) -> Region:
    """Region of a rectangle."""
    return _region(shapely.box(z_low_mm, x_low_mm, z_high_mm, x_high_mm))


def empty() -> Region:
    """Region of nothing."""
    return _region(shapely.Polygon())


def union(regions: Iterable[Region]) -> Region:
    """Everything that is in any of the regions."""
    return _region(shapely.union_all(list(regions), grid_size=GRID_MM))


def difference(region: Region, taken: Region) -> Region:
    """What is left of a region."""
    return _region(shapely.difference(region, taken, grid_size=GRID_MM))


def intersection(first: Region, second: Region) -> Region:
    """What two regions share."""
    return _region(shapely.intersection(first, second, grid_size=GRID_MM))


def hull(points: Points) -> Region:
    """Smallest convex region round some points."""
    return _region(shapely.convex_hull(shapely.multipoints(np.asarray(points, dtype=float))))


def hulls(groups: Sequence[npt.NDArray[np.float64]]) -> list[Region]:
    """Smallest convex region round the points of each group, each of shape (n, 2)."""
    if not groups:
        return []
    owner = np.repeat(np.arange(len(groups)), [len(group) for group in groups])
    return list(shapely.convex_hull(shapely.multipoints(shapely.points(np.concatenate(groups)), indices=owner)))


def moved(region: Region, dz_mm: float, dx_mm: float) -> Region:
    """Region shifted along the axis and across it."""
    return _region(shapely.transform(region, lambda xy: xy + np.array((dz_mm, dx_mm))))


def mirrored(region: Region) -> Region:
    """Region on the other side of the axis."""
    return mirrored_all((region,))[0]


def mirrored_all(regions: Sequence[Region]) -> list[Region]:
    """Regions on the other side of the axis."""
    return list(shapely.transform(np.array(regions, dtype=object), lambda xy: xy * np.array((1.0, -1.0))))


def grown(region: Region, by_mm: float) -> Region:
    """Region with its outline moved outward all round, corners kept sharp."""
    return _region(shapely.buffer(region, by_mm, join_style="mitre"))


def turned_round(region: Region, width_mm: float) -> Region:
    """Region with z_new = -(z + width): the work turned end for end. Its own inverse."""
    return turned_round_all((region,), width_mm)[0]


def turned_round_all(regions: Sequence[Region], width_mm: float) -> list[Region]:
    """Regions with the work turned end for end, as `turned_round`."""
    turned = shapely.transform(
        np.array(regions, dtype=object), lambda xy: xy * np.array((-1.0, 1.0)) - np.array((width_mm, 0.0))
    )
    return list(turned)


def area_mm2(region: Region) -> float:
    """Area. [mm²]"""
    return float(shapely.area(region))


def bites(first: Region, second: Region) -> bool:
    """Whether two regions overlap by more than a touch."""
    if not shapely.intersects(first, second):
        return False
    return float(shapely.area(shapely.intersection(first, second))) > TOUCH_AREA_MM2


def overlap_areas_mm2(first: Sequence[Region], second: Sequence[Region]) -> npt.NDArray[np.float64]:
    """Areas that each of n regions shares with each of m regions, shape (n, m). [mm²]"""
    if not first or not second:
        return np.zeros((len(first), len(second)))
    a = np.array(first, dtype=object)[:, None]
    b = np.array(second, dtype=object)[None, :]
    shapely.prepare(a)
    result = np.zeros((len(first), len(second)))
    meets = shapely.intersects(a, b)
    rows, columns = np.nonzero(meets)
    if len(rows):
        shared = shapely.intersection(np.array(first, dtype=object)[rows], np.array(second, dtype=object)[columns])
        result[rows, columns] = shapely.area(shared)
    return result


def groups_that_bite(
    groups: Sequence[Sequence[Region]], others: Sequence[Region], asked: npt.NDArray[np.bool_] | None = None
) -> npt.NDArray[np.bool_]:
    """Whether any member of each of n groups overlaps each of m regions by more than a touch, shape (n, m).

    Only pairs ``asked`` for, shape (n, m), are looked at (all by default); of the others the answer is no. The same as
    `overlap_areas_mm2` against `TOUCH_AREA_MM2`, but most pairs are settled without an intersection: a member that
    holds a small square inside a region bites it, and where the boxes round the two only touch they can do no more.
    """
    flat = np.array([region for group in groups for region in group], dtype=object)
    result = np.zeros((len(groups), len(others)), dtype=bool)
    if not len(flat) or not others:
        return result
    owner = np.repeat(np.arange(len(groups)), [len(group) for group in groups])
    b = np.array(others, dtype=object)
    shapely.prepare(flat)
    rows, columns = np.nonzero(np.ones((len(flat), len(b)), dtype=bool) if asked is None else asked[owner])
    near = _boxes_bite(shapely.bounds(flat)[rows], shapely.bounds(b)[columns])
    rows, columns = rows[near], columns[near]
    meets = shapely.intersects(flat[rows], b[columns])
    rows, columns = rows[meets], columns[meets]
    held = shapely.contains_properly(flat[rows], _squares_inside(b)[columns])
    result[owner[rows[held]], columns[held]] = True
    left = ~result[owner[rows], columns]
    rows, columns = rows[left], columns[left]
    areas = shapely.area(shapely.intersection(flat[rows], b[columns]))
    bites_there = areas > TOUCH_AREA_MM2
    result[owner[rows[bites_there]], columns[bites_there]] = True
    return result


def _boxes_bite(first: npt.NDArray[np.float64], second: npt.NDArray[np.float64]) -> npt.NDArray[np.bool_]:
    """Whether the boxes of n pairs overlap by more than a touch; boxes as `bounds_mm` gives them, shape (n, 4)."""
    along = np.minimum(first[:, 2], second[:, 2]) - np.maximum(first[:, 0], second[:, 0])
    across = np.minimum(first[:, 3], second[:, 3]) - np.maximum(first[:, 1], second[:, 1])
    return np.asarray((along > 0.0) & (across > 0.0) & (along * across > TOUCH_AREA_MM2))


def _squares_inside(regions: npt.NDArray[np.object_]) -> npt.NDArray[np.object_]:
    """A square inside each region, larger than a touch; where there is no room for one, nothing (it is never held)."""
    points = shapely.point_on_surface(regions)
    room = shapely.distance(points, shapely.boundary(regions))
    half = _SQUARE_SIDES * sqrt(TOUCH_AREA_MM2) / 2.0
    x, y = shapely.get_x(points), shapely.get_y(points)
    squares = shapely.box(x - half, y - half, x + half, y + half)
    return np.asarray(np.where(room > half * _CORNER, squares, shapely.Polygon()), dtype=object)


def faces(regions: Sequence[Region]) -> tuple[Region, ...]:
    """Cells into which the outlines of some regions cut the plane (each cell lies wholly in or out of each region)."""
    lines = shapely.union_all(shapely.boundary(np.array(regions, dtype=object)), grid_size=GRID_MM)
    cells = shapely.get_parts(shapely.polygonize(shapely.get_parts(lines)))
    return tuple(_region(cell) for cell in cells if area_mm2(cell) > TOUCH_AREA_MM2 / 10)


def inner_point(region: Region) -> Region:
    """A point well inside a region."""
    return _region(shapely.point_on_surface(region))


def covers_points(regions: Sequence[Region], points: Sequence[Region]) -> npt.NDArray[np.bool_]:
    """Which of n regions hold which of m points, shape (n, m)."""
    a = np.array(regions, dtype=object)[:, None]
    shapely.prepare(a)
    return np.asarray(shapely.intersects(a, np.array(points, dtype=object)[None, :]), dtype=bool)


_SQUARE_SIDES = 1.5
"""Side of the small square, in sides of a square that only just touches."""
_CORNER = 1.5
"""A square of half side h fits where there is room of more than h times the root of two."""


def volume_mm3(region: Region) -> float:
    """Volume swept by a polygonal region turning round the axis, V = 2π · r̄ · A (Pappus). [mm³]

    Exact for straight outlines. For arcs take the volume from `profile`, not from their chords.
    """
    if region.is_empty:
        return 0.0
    return 2.0 * pi * float(shapely.get_y(shapely.centroid(region))) * float(shapely.area(region))


def as_bytes(regions: Sequence[Region]) -> list[bytes]:
    """Outlines of some regions, every figure exact: the same bytes, the same region."""
    return list(shapely.to_wkb(np.array(regions, dtype=object)))


def bounds_mm(region: Region) -> tuple[float, float, float, float]:
    """Lowest z, lowest x, highest z, highest x. [mm]"""
    low_z, low_x, high_z, high_x = (float(value) for value in shapely.bounds(region))
    return low_z, low_x, high_z, high_x


def rings(region: Region) -> tuple[npt.NDArray[np.float64], ...]:
    """Closed outlines of a region, holes included, each of shape (n, 2) with the first point repeated."""
    found: list[npt.NDArray[np.float64]] = []
    for part in shapely.get_parts(region):
        if not _has_area(part):
            continue
        found.append(np.asarray(shapely.get_coordinates(shapely.get_exterior_ring(part))))
        found.extend(
            np.asarray(shapely.get_coordinates(shapely.get_interior_ring(part, i)))
            for i in range(int(shapely.get_num_interior_rings(part)))
        )
    return tuple(found)


def pieces(region: Region) -> tuple[Region, ...]:
    """Separate pieces of a region, lines and points left out."""
    return tuple(_region(part) for part in shapely.get_parts(region) if _has_area(part))


def _has_area(part: Region) -> bool:
    return int(shapely.get_type_id(part)) == _POLYGON and not part.is_empty


def distance_mm(first: Region, second: Region) -> float:
    """Shortest distance between two regions; 0 if they meet, not a number if one is empty. [mm]"""
    return float(shapely.distance(first, second))


def is_sound(region: Region) -> bool:
    """Whether an outline does not cross itself and encloses something."""
    return bool(shapely.is_valid(region)) and not region.is_empty
