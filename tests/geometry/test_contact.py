"""How far a shape can go before it meets another: cases worked by hand, and two independent methods."""

from __future__ import annotations

from math import cos, hypot, pi, sin, sqrt

import numpy as np
import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from handwheel.geometry.contact import travel_to_contact_mm
from handwheel.geometry.region import (
    Region,
    area_mm2,
    difference,
    distance_mm,
    empty,
    hull,
    moved,
    polygon,
    rectangle,
    union,
)

DIAGONAL = (-1.0 / sqrt(2.0), -1.0 / sqrt(2.0))
FAR_MM = 1000.0


def square(z: float, x: float, side: float = 1.0) -> Region:
    """Square whose lowest corner is at (z, x)."""
    return rectangle(z, z + side, x, x + side)


# worked by hand ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("direction", "expected_mm"),
    [((-1.0, 0.0), 4.0), ((1.0, 0.0), None), ((0.0, 1.0), None), ((0.0, -1.0), None)],
)
def test_a_square_to_the_right_of_another(direction: tuple[float, float], expected_mm: float | None) -> None:
    """A unit square at z 5 and one at z 0: four apart, and the other three directions lead past."""
    found = travel_to_contact_mm(square(5.0, 0.2), square(0.0, 0.0), direction)
    assert found == (pytest.approx(expected_mm) if expected_mm is not None else None)


def test_a_point_of_a_vee_meets_a_face_before_its_flanks_do() -> None:
    """The V stands with its point 2 above the bar: two, whatever its angle."""
    vee = polygon([(0.0, 12.0), (3.0, 15.0), (-3.0, 15.0)])
    assert travel_to_contact_mm(vee, rectangle(-20.0, 5.0, 0.0, 10.0), (0.0, -1.0)) == pytest.approx(2.0)


def test_the_flank_of_a_vee_meets_a_corner() -> None:
    """The corner at z 0 lies under the 45 degree flank, 1 off the point's z, so the flank is 1 higher there: 2 + 1."""
    vee = polygon([(1.0, 12.0), (4.0, 15.0), (-2.0, 15.0)])
    assert travel_to_contact_mm(vee, rectangle(-20.0, 0.0, 0.0, 10.0), (0.0, -1.0)) == pytest.approx(3.0)


def test_a_sweep_at_45_degrees_meets_a_corner_after_root_2_times_the_gap() -> None:
    """The square's lowest corner stands 2 off along z and 2 off along x: it runs into the other's highest corner."""
    found = travel_to_contact_mm(square(3.0, 3.0), square(0.0, 0.0), DIAGONAL)
    assert found == pytest.approx(2.0 * sqrt(2.0))


def test_a_swung_slide_of_ten_to_one_needs_ten_times_the_gap() -> None:
    """PC-07's angle, asin(0.1): a tool 0.1 off the wall has 1.0 to go."""
    across = 0.1
    direction = (-sqrt(1.0 - across * across), across)
    tool = rectangle(-10.0, -9.0, 5.0, 9.9)
    wall = rectangle(-30.0, 0.0, 10.0, 20.0)
    assert travel_to_contact_mm(tool, wall, direction) == pytest.approx(1.0)


def test_what_touches_already_has_no_way_to_go() -> None:
    assert travel_to_contact_mm(square(1.0, 0.0), square(0.0, 0.0), (-1.0, 0.0)) == pytest.approx(0.0, abs=1e-7)


def test_a_boring_tool_inside_a_hole_meets_its_wall_and_not_the_rim() -> None:
    """A ring's section with the tool inside its bore: 10 less 7.5."""
    section = union([rectangle(-20.0, 0.0, 10.0, 15.0), rectangle(-20.0, 0.0, -15.0, -10.0)])
    assert travel_to_contact_mm(rectangle(-8.0, -6.0, 5.0, 7.5), section, (0.0, 1.0)) == pytest.approx(2.5)


def test_a_hole_of_the_fixed_shape_stops_what_is_inside_it() -> None:
    """A frame round a square: 3 to every side."""
    frame = difference(rectangle(-5.0, 5.0, -5.0, 5.0), rectangle(-4.0, 4.0, -4.0, 4.0))
    inside = rectangle(-1.0, 1.0, -1.0, 1.0)
    for direction in ((1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)):
        assert travel_to_contact_mm(inside, frame, direction) == pytest.approx(3.0)


def test_nothing_is_met_where_nothing_is() -> None:
    assert travel_to_contact_mm(square(0.0, 0.0), empty(), (1.0, 0.0)) is None


# two other ways to the same figure -----------------------------------------------------------------------------------

coordinate = st.floats(-10.0, 10.0)
points = st.lists(st.tuples(coordinate, coordinate), min_size=3, max_size=9)
angle = st.floats(0.0, 2.0 * pi)


def solid(cloud: list[tuple[float, float]]) -> Region | None:
    """Convex region round some points, unless they are as good as in line."""
    region = hull(cloud)
    return region if area_mm2(region) > 0.1 else None


def by_minkowski_mm(moving: Region, fixed: Region, direction: tuple[float, float]) -> float | None:
    """Way to contact of convex shapes: where a ray from 0 enters all differences of their points."""
    a, b = np.array(moving.rings[0]), np.array(fixed.rings[0])
    apart = shapely.convex_hull(shapely.multipoints((b[:, None, :] - a[None, :, :]).reshape(-1, 2)))
    ray = shapely.linestrings([(0.0, 0.0), (FAR_MM * direction[0], FAR_MM * direction[1])])
    inside = shapely.intersection(apart, ray)
    if shapely.is_empty(inside):
        return None
    return min(hypot(z, x) for z, x in shapely.get_coordinates(inside))


def by_closing_in_mm(moving: Region, fixed: Region, direction: tuple[float, float]) -> float | None:
    """Way to contact of any shapes: go on by the distance that is left, which can never be too far."""
    gone = 0.0
    for _ in range(20_000):
        left = distance_mm(moved(moving, gone * direction[0], gone * direction[1]), fixed)
        if left < 1e-6:
            return gone
        gone += left
        if gone > FAR_MM:
            return None
    return gone


@given(first=points, second=points, turn=angle, off=st.floats(0.0, 2.0 * pi))
def test_convex_shapes_meet_where_the_difference_of_their_points_says(
    first: list[tuple[float, float]], second: list[tuple[float, float]], turn: float, off: float
) -> None:
    moving, fixed = solid(first), solid(second)
    assume(moving is not None and fixed is not None)
    assert moving is not None
    assert fixed is not None
    moving = moved(moving, 40.0 * cos(off), 40.0 * sin(off))
    direction = (cos(turn), sin(turn))
    expected = by_minkowski_mm(moving, fixed, direction)
    found = travel_to_contact_mm(moving, fixed, direction)
    if expected is None or found is None:
        assert found is expected
    else:
        assert found == pytest.approx(expected, abs=1e-6)


@given(
    legs=st.lists(st.tuples(st.floats(1.0, 6.0), st.floats(0.5, 6.0)), min_size=2, max_size=5),
    nose=st.floats(0.2, 2.0),
    aim=st.floats(-0.6, 0.6),
    start=st.floats(0.1, 0.9),
)
def test_a_tool_closing_in_on_a_stepped_bar_stops_where_the_way_says(
    legs: list[tuple[float, float]], nose: float, aim: float, start: float
) -> None:
    """A stepped half section (not convex), met by a wedge that comes in from outside at a slant."""
    outline = [(0.0, 0.0)]
    z = 0.0
    for length, radius in legs:
        outline += [(z, 4.0 + radius), (z - length, 4.0 + radius)]
        z -= length
    bar = polygon([*outline, (z, 0.0)])
    tool = moved(polygon([(0.0, 0.0), (nose, 3.0), (-nose, 4.0)]), start * z, 14.0)
    direction = (sin(aim), -cos(aim))
    expected, found = by_closing_in_mm(tool, bar, direction), travel_to_contact_mm(tool, bar, direction)
    if expected is None or found is None:
        assert found is expected
    else:
        assert found == pytest.approx(expected, abs=1e-4)


@given(turn=angle, gap=st.floats(0.001, 30.0))
def test_the_way_does_not_depend_on_where_the_two_stand(turn: float, gap: float) -> None:
    """Shifting both alike changes nothing; starting further off adds as much as it is further off."""
    direction = (cos(turn), sin(turn))
    moving, fixed = square(-0.5, -0.5), moved(square(-0.5, -0.5), 3.0 * direction[0], 3.0 * direction[1])
    near = travel_to_contact_mm(moving, fixed, direction)
    assert near is not None
    both = travel_to_contact_mm(moved(moving, 7.0, -2.0), moved(fixed, 7.0, -2.0), direction)
    assert both == pytest.approx(near, abs=1e-9)
    away = moved(moving, -gap * direction[0], -gap * direction[1])
    assert travel_to_contact_mm(away, fixed, direction) == pytest.approx(near + gap, abs=1e-9)


def test_the_figure_of_a_finely_chorded_nose_is_that_of_its_arc() -> None:
    """A round nose of radius 0.4 over a flat: its lowest point meets first; 720 chords stray by 4e-6 of the radius."""
    turns = np.linspace(0.0, 2.0 * pi, 721)[:-1]
    nose = polygon([(0.4 * cos(t), 11.0 + 0.4 * sin(t)) for t in turns])
    found = travel_to_contact_mm(nose, rectangle(-20.0, 5.0, 0.0, 10.0), (0.0, -1.0))
    assert found == pytest.approx(0.6, abs=1e-5)
