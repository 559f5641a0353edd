"""Outlines of lines and arcs have exact areas, dimensions measure what they say, hatches cover their regions."""

from __future__ import annotations

from math import hypot, pi

import pytest

from handwheel.domain.errors import OutOfRangeError
from handwheel.drawing.hatching import hatch_lines
from handwheel.drawing.model import (
    Corner,
    Dimension,
    DimensionKind,
    DimensionText,
    Hatch,
    Outline,
    Region,
    Spot,
    ViewBox,
    bulge_of,
    centre_of,
    flattened,
    radius_mm,
)

HALF = 1.0
"""Bulge of half a circle: the tangent of 45°."""


def circle(radius: float, *, clockwise: bool = False) -> Outline:
    bulge = -HALF if clockwise else HALF
    return Outline(corners=(Corner(-radius, 0.0, bulge), Corner(radius, 0.0, bulge)))


def square(side: float) -> Outline:
    return Outline(corners=(Corner(0.0, 0.0), Corner(side, 0.0), Corner(side, side), Corner(0.0, side)))


def rounded_square(side: float, radius: float) -> Outline:
    """Square with its upper right corner rounded."""
    start, end = Spot(side, side - radius), Spot(side - radius, side)
    bulge = bulge_of(start, end, Spot(side - radius, side - radius), clockwise=False)
    corners = (Corner(0.0, 0.0), Corner(side, 0.0), Corner(*start, bulge), Corner(*end), Corner(0.0, side))
    return Outline(corners=corners)


def test_area_of_a_circle_and_of_a_rounded_corner_is_exact() -> None:
    assert circle(3.0).area_mm2 == pytest.approx(9.0 * pi, rel=1e-12)
    assert circle(3.0, clockwise=True).area_mm2 == pytest.approx(-9.0 * pi, rel=1e-12)
    assert rounded_square(10.0, 2.0).area_mm2 == pytest.approx(100.0 - 4.0 + pi, rel=1e-12)


def test_a_hole_runs_the_other_way_and_is_taken_off() -> None:
    ring = Region(outlines=(circle(3.0), circle(2.0, clockwise=True)))
    assert ring.area_mm2 == pytest.approx(5.0 * pi, rel=1e-12)


def test_centre_and_radius_come_back_from_the_bulge() -> None:
    start, end, centre = Spot(5.0, 1.0), Spot(2.0, 4.0), Spot(2.0, 1.0)
    for clockwise in (False, True):
        first, second = Corner(*start, bulge_of(start, end, centre, clockwise=clockwise)), Corner(*end)
        assert radius_mm(first, second) == pytest.approx(3.0)
        assert centre_of(first, second) == pytest.approx(centre)


def test_chords_stay_within_their_error_on_the_arc() -> None:
    points = flattened(circle(20.0), chord_error_mm=0.01)
    assert all(hypot(*point) == pytest.approx(20.0) for point in points)
    for first, second in zip(points, (*points[1:], points[0]), strict=True):
        assert 20.0 - hypot((first.x_mm + second.x_mm) / 2, (first.y_mm + second.y_mm) / 2) <= 0.01


@pytest.mark.parametrize("angle_deg", [0.0, 30.0, 45.0, 135.0])
@pytest.mark.parametrize("crossed", [False, True])
def test_hatch_covers_its_region_and_nothing_else(angle_deg: float, *, crossed: bool) -> None:
    outlines = (circle(30.0), circle(18.0, clockwise=True))
    lines = hatch_lines(outlines, Hatch(angle_deg=angle_deg, spacing_mm=0.5, crossed=crossed))
    length = sum(hypot(line.end.x_mm - line.start.x_mm, line.end.y_mm - line.start.y_mm) for line in lines)
    area = pi * (30.0**2 - 18.0**2)
    assert length * 0.5 == pytest.approx(area * (2 if crossed else 1), rel=0.01)
    for line in lines:
        for end in (line.start, line.end):
            assert 18.0 - 0.05 <= hypot(*end) <= 30.0 + 0.05


def test_a_hatch_of_neighbours_runs_on() -> None:
    right = Outline(corners=(Corner(10.0, 0.0), Corner(20.0, 0.0), Corner(20.0, 10.0), Corner(10.0, 10.0)))
    hatch = Hatch(angle_deg=45.0, spacing_mm=1.7)
    left_ends = {round(line.end.y_mm, 6) for line in hatch_lines((square(10.0),), hatch) if line.end.x_mm > 9.999999}
    starts = {round(line.start.y_mm, 6) for line in hatch_lines((right,), hatch) if line.start.x_mm < 10.000001}
    assert len(left_ends & starts) >= 4
    assert left_ends - {0.0, 10.0} == starts - {0.0, 10.0}


def dimension(kind: DimensionKind, first: Spot, second: Spot, **more: object) -> Dimension:
    given = {"line_at": Spot(0.0, 9.0), "text": DimensionText(main="x"), **more}
    return Dimension(kind=kind, first=first, second=second, **given)  # type: ignore[arg-type]  # fields of a dimension, by name


def test_a_dimension_measures_along_its_direction() -> None:
    first, second = Spot(1.0, 1.0), Spot(4.0, 5.0)
    assert dimension(DimensionKind.LINEAR, first, second).measured == pytest.approx(3.0)
    assert dimension(DimensionKind.LINEAR, first, second, angle_deg=90.0).measured == pytest.approx(4.0)
    assert dimension(DimensionKind.RADIUS, first, second).measured == pytest.approx(5.0)
    angle = dimension(DimensionKind.ANGLE, Spot(2.0, 0.0), Spot(1.0, 1.0), apex=Spot(0.0, 0.0))
    assert angle.measured == pytest.approx(45.0)


def test_a_hatch_without_distance_and_a_box_without_room_are_refused() -> None:
    with pytest.raises(OutOfRangeError, match="spacing_mm"):
        Hatch(spacing_mm=0.0)
    with pytest.raises(OutOfRangeError, match="width of the view box"):
        ViewBox(left_mm=1.0, right_mm=1.0, bottom_mm=0.0, top_mm=1.0)
