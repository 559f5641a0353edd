"""The typed door to region work: areas, moves, cells, holes, volumes, and when an overlap is a bite."""

from __future__ import annotations

from math import nextafter, pi
from random import Random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.geometry.region import (
    TOUCH_AREA_MM2,
    area_mm2,
    as_bytes,
    bites,
    bounds_mm,
    covers_points,
    difference,
    distance_mm,
    empty,
    faces,
    groups_that_bite,
    hull,
    hulls,
    inner_point,
    intersection,
    is_sound,
    mirrored,
    mirrored_all,
    moved,
    overlap_areas_mm2,
    pieces,
    polygon,
    rectangle,
    rings,
    turned_round,
    turned_round_all,
    union,
    volume_mm3,
)

side = st.floats(0.5, 20.0)
place = st.floats(-20.0, 20.0)


@given(z=place, width=side, low=st.floats(0.5, 20.0), wall=side)
def test_a_rectangle_turned_round_the_axis_is_a_ring(z: float, width: float, low: float, wall: float) -> None:
    """The formula pi (R² - r²) b is exact."""
    region = rectangle(z, z + width, low, low + wall)
    assert area_mm2(region) == pytest.approx(width * wall, rel=1e-9)
    assert volume_mm3(region) == pytest.approx(pi * ((low + wall) ** 2 - low**2) * width, rel=1e-9)
    assert bounds_mm(region) == pytest.approx((z, low, z + width, low + wall))


def test_nothing_has_no_volume() -> None:
    assert volume_mm3(empty()) == 0.0
    assert empty().is_empty
    assert not is_sound(empty())
    assert area_mm2(empty()) == 0.0
    assert pieces(empty()) == ()
    assert rings(empty()) == ()


@given(z=place, width=side, thick=side, ring_width=st.floats(1.0, 30.0))
def test_turning_round_twice_is_not_turning(z: float, width: float, thick: float, ring_width: float) -> None:
    region = polygon([(z, 1.0), (z + width, 1.0), (z + width, 1.0 + thick)])
    once = turned_round(region, ring_width)
    low_z, low_x, high_z, high_x = bounds_mm(once)
    assert (low_z, high_z) == pytest.approx((-(z + width) - ring_width, -z - ring_width))
    assert (low_x, high_x) == pytest.approx((1.0, 1.0 + thick))
    assert bounds_mm(turned_round(once, ring_width)) == pytest.approx(bounds_mm(region))


def test_the_finished_faces_change_places_when_the_ring_is_turned_round() -> None:
    """A ring of width 6 from z 0 to -6, with 0.3 left at the back: that then stands at +0.3 in front of the face."""
    back_stock = rectangle(-6.3, -6.0, 9.0, 11.0)
    assert bounds_mm(turned_round(back_stock, 6.0)) == pytest.approx((0.0, 9.0, 0.3, 11.0))


@given(z=place, x=st.floats(0.5, 9.0), dz=place, dx=place)
def test_moving_and_mirroring_keep_the_area(z: float, x: float, dz: float, dx: float) -> None:
    region = rectangle(z, z + 2.0, x, x + 1.0)
    assert bounds_mm(moved(region, dz, dx)) == pytest.approx((z + dz, x + dx, z + 2.0 + dz, x + 1.0 + dx))
    assert bounds_mm(mirrored(region)) == pytest.approx((z, -x - 1.0, z + 2.0, -x))
    assert area_mm2(moved(region, dz, dx)) == pytest.approx(2.0)
    assert area_mm2(mirrored(region)) == pytest.approx(2.0)


def test_what_is_left_and_what_is_shared_make_the_whole() -> None:
    """A 10 by 4 bar with a 3 wide bite of depth 2: 40 = 34 + 6."""
    bar, bite = rectangle(0.0, 10.0, 0.0, 4.0), rectangle(2.0, 5.0, 2.0, 9.0)
    assert area_mm2(difference(bar, bite)) == pytest.approx(34.0)
    assert area_mm2(intersection(bar, bite)) == pytest.approx(6.0)
    assert area_mm2(union([bar, bite])) == pytest.approx(40.0 + 21.0 - 6.0)


def test_parting_makes_two_pieces_and_a_bore_makes_a_hole() -> None:
    bar = rectangle(-20.0, 0.0, 0.0, 10.0)
    parted = difference(bar, rectangle(-8.0, -6.0, 0.0, 10.0))
    assert sorted(area_mm2(part) for part in pieces(parted)) == pytest.approx([60.0, 120.0])
    hollow = difference(bar, rectangle(-15.0, -5.0, 3.0, 7.0))
    assert len(pieces(hollow)) == 1
    assert len(rings(hollow)) == 2
    assert all((ring[0] == ring[-1]).all() for ring in rings(hollow))


def test_an_overlap_smaller_than_a_touch_is_no_bite() -> None:
    """A corner of 10 by 10 µm is a touch; twice that is a bite."""
    assert pytest.approx(0.01 * 0.01) == TOUCH_AREA_MM2
    bar = rectangle(-20.0, 0.0, 0.0, 10.0)
    assert not bites(bar, rectangle(-0.009, 5.0, 9.991, 20.0))
    assert bites(bar, rectangle(-0.02, 5.0, 9.98, 20.0))
    assert not bites(bar, rectangle(0.0, 5.0, 0.0, 10.0))
    assert not bites(bar, rectangle(3.0, 5.0, 0.0, 10.0))


def test_areas_shared_pair_by_pair() -> None:
    first = [rectangle(0.0, 2.0, 0.0, 2.0), rectangle(10.0, 12.0, 0.0, 2.0)]
    second = [rectangle(1.0, 3.0, 1.0, 3.0), rectangle(0.0, 12.0, 0.0, 1.0), rectangle(50.0, 51.0, 0.0, 1.0)]
    assert overlap_areas_mm2(first, second).tolist() == [[1.0, 2.0, 0.0], [0.0, 2.0, 0.0]]
    assert overlap_areas_mm2([], second).shape == (0, 3)
    assert overlap_areas_mm2(first, []).shape == (2, 0)


def test_outlines_cut_the_plane_into_cells_that_lie_wholly_in_or_out() -> None:
    """Two 4 by 4 squares that overlap by 2 by 2: cells of 12, 4 and 12."""
    squares = [rectangle(0.0, 4.0, 0.0, 4.0), rectangle(2.0, 6.0, 2.0, 6.0)]
    cells = faces(squares)
    assert sorted(area_mm2(cell) for cell in cells) == pytest.approx([4.0, 12.0, 12.0])
    inside = covers_points(squares, [inner_point(cell) for cell in cells])
    assert sorted(map(tuple, inside.T.tolist())) == [(False, True), (True, False), (True, True)]


@given(st.lists(st.tuples(place, side, place, side), min_size=1, max_size=5))
def test_cells_add_up_to_the_union(boxes: list[tuple[float, float, float, float]]) -> None:
    regions = [rectangle(z, z + w, x, x + h) for z, w, x, h in boxes]
    inside = [cell for cell in faces(regions) if covers_points(regions, [inner_point(cell)]).any()]
    # cells below a tenth of a touch are dropped: at most a few dozen of them here
    assert sum(area_mm2(cell) for cell in inside) == pytest.approx(area_mm2(union(regions)), abs=100 * TOUCH_AREA_MM2)


def test_distance_is_the_shortest_and_0_where_regions_meet() -> None:
    """3 along and 4 across between two corners: 5."""
    bar = rectangle(-10.0, 0.0, 0.0, 10.0)
    assert distance_mm(bar, rectangle(3.0, 5.0, 14.0, 20.0)) == pytest.approx(5.0)
    assert distance_mm(bar, rectangle(-1.0, 5.0, 9.0, 20.0)) == 0.0


def test_an_outline_that_crosses_itself_is_not_sound() -> None:
    assert is_sound(rectangle(0.0, 1.0, 0.0, 1.0))
    assert not is_sound(polygon([(0.0, 0.0), (2.0, 2.0), (2.0, 0.0), (0.0, 2.0)]))


def test_a_hull_is_the_smallest_convex_region() -> None:
    """The fifth point lies inside the square of the other four."""
    assert area_mm2(hull([(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0), (2.0, 1.0)])) == pytest.approx(16.0)


def test_many_regions_are_made_at_once_as_one_by_one() -> None:
    random = Random(12)  # noqa: S311 - a seeded choice of cases, no secret
    clouds = [np.array([[random.uniform(0, 9), random.uniform(0, 9)] for _ in range(n)]) for n in (3, 8, 5)]
    found = hulls(clouds)
    assert as_bytes(found) == as_bytes([hull([(z, x) for z, x in cloud.tolist()]) for cloud in clouds])
    assert as_bytes(mirrored_all(found)) == as_bytes([mirrored(region) for region in found])
    assert as_bytes(turned_round_all(found, 7.5)) == as_bytes([turned_round(region, 7.5) for region in found])
    assert hulls([]) == mirrored_all([]) == turned_round_all([], 7.5) == []


def test_the_bytes_of_a_region_tell_it_from_one_that_differs_in_the_last_figure() -> None:
    one, same, other = rectangle(0, 1, 0, 1), rectangle(0, 1, 0, 1), rectangle(0, 1, 0, nextafter(1.0, 2.0))
    assert as_bytes([one]) == as_bytes([same]) != as_bytes([other])


def test_groups_that_bite_is_the_overlap_of_any_member_above_a_touch() -> None:
    """The quick test agrees with the areas themselves, on random convex members and regions that may be slivers."""
    random = Random(11)  # noqa: S311 - a seeded choice of cases, no secret
    others = [rectangle(0, 1, 0, 1)]
    for _ in range(60):
        groups = [
            [
                hull([(random.uniform(0, 10), random.uniform(0, 10)) for _ in range(5)])
                for _ in range(random.randint(0, 3))
            ]
            for _ in range(4)
        ]
        others = [
            rectangle(z, z + random.choice((0.005, 0.02, 0.5, 4.0)), x, x + random.choice((0.005, 0.03, 1.0, 6.0)))
            for z, x in [(random.uniform(0, 9), random.uniform(0, 9)) for _ in range(8)]
        ]
        expected = [
            [bool(group and overlap_areas_mm2(group, [other]).max() > TOUCH_AREA_MM2) for other in others]
            for group in groups
        ]
        assert groups_that_bite(groups, others).tolist() == expected
        asked = np.array([[random.random() < 0.5 for _ in others] for _ in groups])
        assert groups_that_bite(groups, others, asked).tolist() == (asked & np.array(expected)).tolist()
    assert groups_that_bite([[]], others).tolist() == [[False] * len(others)]
    assert groups_that_bite([], others).shape == (0, len(others))
