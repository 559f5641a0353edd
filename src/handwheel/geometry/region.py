"""Regions of the meridian plane: half sections of work, outlines of tools, and what is made of them.

All figures are plain floats. How regions are put together stands in `handwheel.geometry.slabs`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from itertools import pairwise
from math import dist, hypot, pi

from handwheel.domain.contour import Point
from handwheel.geometry import slabs as sl
from handwheel.geometry.slabs import HAIR_MM, Slabs

TOUCH_AREA_MM2 = 1e-4
"""Overlap below this is a touch, not a bite (a 10 µm by 10 µm corner)."""

Place = tuple[float, float]
"""A place in the meridian plane: z and x. [mm]"""
Points = Sequence[Point] | Sequence[Place]
Box = tuple[float, float, float, float]
"""Lowest z, lowest x, highest z, highest x. [mm]"""
Edge = tuple[Place, Place]
"""Straight edge of an outline from start to end, the region on its left. [mm]"""
Ring = tuple[Place, ...]
"""Closed outline, its first place repeated at its end. [mm]"""


class Region:
    """A region of the meridian plane: any number of areas in (z, x), holes included; immutable. [mm]"""

    def __init__(self, slabs: Slabs) -> None:
        """Keep the slabs."""
        self.slabs = slabs

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing in it."""
        return not self.slabs

    @cached_property
    def box(self) -> Box:
        """Box round it; infinite the wrong way round if there is nothing in it. [mm]"""
        if not self.slabs:
            return float("inf"), float("inf"), float("-inf"), float("-inf")
        low, high = sl.across(self.slabs)
        return self.slabs[0][0], low, self.slabs[-1][1], high

    @cached_property
    def rings(self) -> tuple[Ring, ...]:
        """Closed outlines, holes included, the region on their left. [mm]"""
        return _rings(self.slabs)

    def __eq__(self, other: object) -> bool:
        """Whether both are the same to the last figure."""
        return isinstance(other, Region) and self.slabs == other.slabs

    def __hash__(self) -> int:
        """Hash of the slabs."""
        return self._hash

    @cached_property
    def _hash(self) -> int:
        return hash(self.slabs)

    def __repr__(self) -> str:
        """Outlines, for messages of tests."""
        return f"Region{self.rings}"


def polygon(points: Points) -> Region:
    """Region inside a closed outline."""
    return Region(sl.joined(sl.from_outline([_place(point) for point in points])))


def rectangle(z_low_mm: float, z_high_mm: float, x_low_mm: float, x_high_mm: float) -> Region:
    """Region of a rectangle."""
    return Region(((z_low_mm, z_high_mm, ((x_low_mm, x_low_mm, x_high_mm, x_high_mm),)),))


def empty() -> Region:
    """Region of nothing."""
    return Region(())


def union(regions: Iterable[Region]) -> Region:
    """Everything that is in any of the regions."""
    return Region(sl.union([region.slabs for region in regions]))


def difference(region: Region, taken: Region) -> Region:
    """What is left of a region."""
    return Region(sl.difference(region.slabs, taken.slabs)) if boxes_meet(region.box, taken.box) else region


def intersection(first: Region, second: Region) -> Region:
    """What two regions share."""
    return Region(sl.intersection(first.slabs, second.slabs)) if boxes_meet(first.box, second.box) else empty()


def hull(points: Points) -> Region:
    """Smallest convex region round some points."""
    return Region(sl.from_hull([_place(point) for point in points]))


def moved(region: Region, dz_mm: float, dx_mm: float) -> Region:
    """Region shifted along the axis and across it."""
    return Region(
        tuple(
            (
                low + dz_mm,
                high + dz_mm,
                tuple((a0 + dx_mm, a1 + dx_mm, b0 + dx_mm, b1 + dx_mm) for a0, a1, b0, b1 in spans),
            )
            for low, high, spans in region.slabs
        )
    )


def mirrored(region: Region) -> Region:
    """Region on the other side of the axis."""
    return Region(
        tuple(
            (low, high, tuple((-b0, -b1, -a0, -a1) for a0, a1, b0, b1 in reversed(spans)))
            for low, high, spans in region.slabs
        )
    )


def turned_round(region: Region, width_mm: float) -> Region:
    """Region with z_new = -(z + width): the work turned end for end. Its own inverse."""
    return Region(
        tuple(
            (-high - width_mm, -low - width_mm, tuple((a1, a0, b1, b0) for a0, a1, b0, b1 in spans))
            for low, high, spans in reversed(region.slabs)
        )
    )


def grown_hull(points: Points, by_mm: float) -> Region:
    """Smallest convex region round some points with its outline moved outward all round, corners kept sharp."""
    (ring,) = hull(points).rings
    sides = [_moved_out(start, end, by_mm) for start, end in pairwise(ring)]
    return hull([_meeting(first, second) for first, second in pairwise((*sides, sides[0]))])


def area_mm2(region: Region) -> float:
    """Area. [mm²]"""
    return sum(sl.span_area(low, high, span) for low, high, spans in region.slabs for span in spans)


def bites(first: Region, second: Region) -> bool:
    """Whether two regions overlap by more than a touch."""
    if not boxes_bite(first.box, second.box):
        return False
    return sl.share_more_than(TOUCH_AREA_MM2, first.slabs, second.slabs)


def boxes_meet(first: Box, second: Box) -> bool:
    """Whether two boxes share more than a side or a corner."""
    return first[0] < second[2] and second[0] < first[2] and first[1] < second[3] and second[1] < first[3]


def boxes_bite(first: Box, second: Box) -> bool:
    """Whether what is in two boxes can overlap by more than a touch."""
    if not boxes_meet(first, second):
        return False
    along = min(first[2], second[2]) - max(first[0], second[0])
    across = min(first[3], second[3]) - max(first[1], second[1])
    return along * across > TOUCH_AREA_MM2


def box_round(boxes: Iterable[Box]) -> Box:
    """Smallest box round some boxes. [mm]"""
    low_z, low_x, high_z, high_x = zip(*boxes, strict=True)
    return min(low_z), min(low_x), max(high_z), max(high_x)


def faces(regions: Sequence[Region]) -> tuple[tuple[Region, frozenset[int]], ...]:
    """Cells into which the outlines of some regions cut the plane, each with the places in the list of those it is in.

    A cell lies wholly in or out of each region; what is in none of them is no cell.
    """
    found = []
    for cell in sl.connected(list(sl.layers([region.slabs for region in regions]))):
        held = cell[0][2][0][1]
        slabs = sl.joined((low, high, tuple(span for span, _ in spans)) for low, high, spans in cell)
        inside = frozenset(place for place in range(len(regions)) if held >> place & 1)
        found.append((Region(slabs), inside))
    return tuple(pair for pair in found if area_mm2(pair[0]) > TOUCH_AREA_MM2 / 10)


def volume_mm3(region: Region) -> float:
    """Volume swept by a polygonal region turning round the axis, V = 2π · r̄ · A (Pappus). [mm³]

    Exact for straight outlines. For arcs take the volume from `profile`, not from their chords.
    """
    return sum(
        pi * (high - low) / 3.0 * (_square(b0, b1) - _square(a0, a1))
        for low, high, spans in region.slabs
        for a0, a1, b0, b1 in spans
    )


def bounds_mm(region: Region) -> Box:
    """Lowest z, lowest x, highest z, highest x. [mm]"""
    return region.box


def corners(region: Region) -> list[Place]:
    """Places between which a region is spanned, all corners of its outline among them. [mm]"""
    return [
        place
        for low, high, spans in region.slabs
        for a0, a1, b0, b1 in spans
        for place in ((low, a0), (high, a1), (low, b0), (high, b1))
    ]


def edges(region: Region) -> tuple[Edge, ...]:
    """Straight edges of a region's outline, in no order; one side may be several edges. [mm]"""
    return tuple(sl.edges(region.slabs))


def rings(region: Region) -> tuple[Ring, ...]:
    """Closed outlines of a region, holes included, each with its first place repeated at its end. [mm]"""
    return region.rings


def pieces(region: Region) -> tuple[Region, ...]:
    """Separate pieces of a region; what hangs together by a point alone is two."""
    found = sl.pieces(region.slabs)
    return (region,) if len(found) == 1 else tuple(map(Region, found))


def distance_mm(first: Region, second: Region) -> float:
    """Shortest distance between two regions; 0 if they meet, not a number if one is empty. [mm]"""
    if first.is_empty or second.is_empty:
        return float("nan")
    if boxes_meet(first.box, second.box) and sl.share_more_than(0.0, first.slabs, second.slabs):
        return 0.0
    one, other = ([edge for ring in region.rings for edge in pairwise(ring)] for region in (first, second))
    return min(min(_distance(*a, *b), _distance(*b, *a)) for a in one for b in other)


def is_sound(points: Points) -> bool:
    """Whether a closed outline does not cross, touch or go back over itself, and encloses something."""
    places = [_place(point) for point in points]
    if any(not (abs(z) < float("inf") and abs(x) < float("inf")) for z, x in places):
        return False
    sides = [(a, b) for a, b in pairwise((*places, places[0])) if a != b]
    if len(sides) < 3:  # noqa: PLR2004 - a triangle
        return False
    for place, side in enumerate(sides):
        for later in range(place + 1, len(sides)):
            other = sides[later]
            if later == place + 1 or (place == 0 and later == len(sides) - 1):
                joint, outer = (side, other) if later == place + 1 else (other, side)
                if not _goes_back(joint, outer):
                    continue
                return False
            if _meet(side, other):
                return False
    return abs(_twice_area(places)) > 0.0


def _place(point: Point | Place) -> Place:
    return (point.z_mm, point.radius_mm) if isinstance(point, Point) else point


def _rings(slabs: Slabs) -> tuple[Ring, ...]:
    """Edges of slabs put end to end; where two outlines touch in a corner, the one that came first goes on first."""
    following: dict[Place, list[Place]] = {}
    for start, end in _closed(list(sl.edges(slabs))):
        following.setdefault(start, []).append(end)
    found: list[Ring] = []
    while following:
        ring = [next(iter(following))]
        while ends := following.get(ring[-1]):
            here = ring[-1]
            ring.append(ends.pop(0))
            if not ends:
                del following[here]
        corners = _corners(ring)
        if corners:
            found.append((*corners, corners[0]))
    return tuple(found)


def _closed(edges: Sequence[Edge]) -> Iterator[Edge]:
    """Edges whose ends are exactly the same where they are less than a hair apart, square to the axis."""
    same: dict[Place, Place] = {}
    last = (float("inf"), float("inf"))
    for place in sorted({place for edge in edges for place in edge}):
        if place[0] != last[0] or place[1] - last[1] > HAIR_MM:
            last = place
        same[place] = last
    return ((same[start], same[end]) for start, end in edges if same[start] != same[end])


def _corners(ring: Sequence[Place]) -> list[Place]:
    """Places of a closed outline at which it turns."""
    apart = [at for before, at in pairwise(ring) if dist(before, at) > HAIR_MM]
    around = zip([*apart[-1:], *apart[:-1]], apart, [*apart[1:], *apart[:1]], strict=True)
    return [at for before, at, after in around if _is_corner(before, at, after)]


def _is_corner(before: Place, at: Place, after: Place) -> bool:
    """Whether an outline turns at a place by more than the dust of the arithmetic."""
    way = dist(before, after)
    off = (at[0] - before[0]) * (after[1] - before[1]) - (at[1] - before[1]) * (after[0] - before[0])
    return way <= HAIR_MM or abs(off) / way > HAIR_MM / 100.0


def _moved_out(start: Place, end: Place, by_mm: float) -> tuple[Place, Place]:
    """Side of an outline that has its region on the left, moved to the right."""
    dz, dx = end[0] - start[0], end[1] - start[1]
    out_z, out_x = by_mm * dx / hypot(dz, dx), -by_mm * dz / hypot(dz, dx)
    return (start[0] + out_z, start[1] + out_x), (end[0] + out_z, end[1] + out_x)


def _meeting(first: tuple[Place, Place], second: tuple[Place, Place]) -> Place:
    """Where the lines through two sides meet; they must not run alike."""
    (z0, x0), (z1, x1) = first
    (z2, x2), (z3, x3) = second
    share = ((z2 - z0) * (x3 - x2) - (x2 - x0) * (z3 - z2)) / ((z1 - z0) * (x3 - x2) - (x1 - x0) * (z3 - z2))
    return z0 + share * (z1 - z0), x0 + share * (x1 - x0)


def _square(first: float, last: float) -> float:
    """Three times the mean square of what goes evenly from one figure to another."""
    return first * first + first * last + last * last


def _distance(a: Place, b: Place, c: Place, d: Place) -> float:
    """Shortest distance of the ends of one side from another side, which it does not cross. [mm]"""
    dz, dx = d[0] - c[0], d[1] - c[1]
    length2 = dz * dz + dx * dx
    found = []
    for z, x in (a, b):
        share = 0.0 if length2 == 0.0 else ((z - c[0]) * dz + (x - c[1]) * dx) / length2
        share = min(1.0, max(0.0, share))
        found.append(hypot(z - c[0] - share * dz, x - c[1] - share * dx))
    return min(found)


def _twice_area(places: Sequence[Place]) -> float:
    return sum(z0 * x1 - z1 * x0 for (z0, x0), (z1, x1) in pairwise((*places, places[0])))


def _turn(a: Place, b: Place, c: Place) -> float:
    """Above 0 if the way over three places turns to the left, below 0 if to the right, 0 if it goes straight."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _goes_back(side: tuple[Place, Place], following: tuple[Place, Place]) -> bool:
    """Whether an outline goes back where it came from."""
    (a, b), (_, c) = side, following
    return _turn(a, b, c) == 0.0 and (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1]) < 0.0


def _meet(first: tuple[Place, Place], second: tuple[Place, Place]) -> bool:
    """Whether two sides share a place."""
    (a, b), (c, d) = first, second
    if max(a[0], b[0]) < min(c[0], d[0]) or max(c[0], d[0]) < min(a[0], b[0]):
        return False
    if max(a[1], b[1]) < min(c[1], d[1]) or max(c[1], d[1]) < min(a[1], b[1]):
        return False
    return _turn(a, b, c) * _turn(a, b, d) <= 0.0 and _turn(c, d, a) * _turn(c, d, b) <= 0.0
