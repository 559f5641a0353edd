"""Where the arrow of a feed is drawn: on the tool, beside the black, inside the view."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import inf

from handwheel.domain.contour import Point
from handwheel.drawing.dimensioning import MOTION_HEAD_HALF_MM
from handwheel.drawing.model import Arrow, ViewBox
from handwheel.drawing.seen import seen
from handwheel.drawing.shapes import in_window
from handwheel.drawing.shots import Feed, Shot
from handwheel.geometry import region as plane

LENGTHS_MM = (9.0, 7.0, 5.0, 4.0)
"""Lengths of an arrow on paper, the first that has room. [mm]"""
PLACES = 24
"""Places along the feed that are tried for it, across the view."""
CLEAR_MM2 = 1e-6
"""Less than this on the black is none. [mm²]"""

Ends = tuple[Point, Point]


def feed_arrow(shot: Shot, feed: Feed, window: ViewBox, *, scale: float) -> Iterator[Arrow]:
    """Arrow of a feed, if its tool is seen: as long as there is room, from the middle of the tool or further back."""
    free = plane.pieces(plane.difference(in_window(shot.edge, window), shot.removed))
    if not free:
        return
    low_z, low_x, high_z, high_x = plane.bounds_mm(max(free, key=plane.area_mm2))
    middle = Point((low_z + high_z) / 2.0, (low_x + high_x) / 2.0)
    ends = _clearest(_tried(middle, feed.ahead, window, scale=scale), shot.removed, scale=scale)
    if ends is not None:
        yield Arrow(start=seen(ends[0]), end=seen(ends[1]))


def _clearest(tried: Iterable[Ends], black: plane.Region, *, scale: float) -> Ends | None:
    """The first that is clear of the black, else the first of those with the least on it."""
    best, least_mm2 = None, inf
    for ends in tried:
        on_black_mm2 = _on_black_mm2(ends, black, scale=scale)
        if on_black_mm2 < CLEAR_MM2:
            return ends
        if on_black_mm2 < least_mm2:
            best, least_mm2 = ends, on_black_mm2
    return best


def _tried(middle: Point, ahead: Point, window: ViewBox, *, scale: float) -> Iterator[Ends]:
    """Arrows inside the window, back from the middle against the feed: the longest first, of one length the nearest."""
    across = abs(ahead.z_mm) * window.width_mm + abs(ahead.radius_mm) * window.height_mm
    for length_mm in LENGTHS_MM:
        half = length_mm / scale / 2.0
        for step in range(PLACES + 1):
            place = _along(middle, ahead, -step * across / PLACES)
            ends = (_along(place, ahead, -half), _along(place, ahead, half))
            if all(_inside(end, window) for end in ends):
                yield ends


def _along(place: Point, ahead: Point, way_mm: float) -> Point:
    return Point(place.z_mm + ahead.z_mm * way_mm, place.radius_mm + ahead.radius_mm * way_mm)


def _inside(place: Point, window: ViewBox) -> bool:
    spot = seen(place)
    return window.left_mm <= spot.x_mm <= window.right_mm and window.bottom_mm <= spot.y_mm <= window.top_mm


def _on_black_mm2(ends: Ends, black: plane.Region, *, scale: float) -> float:
    """How much of the room of an arrow lies on what is cut away. [mm²]"""
    start, end = ends
    half = MOTION_HEAD_HALF_MM / scale
    way_z, way_x = end.z_mm - start.z_mm, end.radius_mm - start.radius_mm
    length = (way_z * way_z + way_x * way_x) ** 0.5
    side = Point(-way_x / length, way_z / length)
    corners = [_along(place, side, sign * half) for place in (start, end) for sign in (1.0, -1.0)]
    return plane.area_mm2(plane.intersection(plane.hull(corners), black))
