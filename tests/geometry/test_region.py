"""The typed door to region work: areas, moves, cells, holes, volumes, and when an overlap is a bite."""

from __future__ import annotations

from itertools import pairwise
from math import cos, nextafter, pi, sin, sqrt
from random import Random

import pytest
import shapely
import shapely.affinity
from hypothesis import given
from hypothesis import strategies as st

from handwheel.geometry.region import (
    TOUCH_AREA_MM2,
    Region,
    area_mm2,
    bites,
    bounds_mm,
    difference,
    distance_mm,
    empty,
    faces,
    grown_hull,
    hull,
    intersection,
    is_sound,
    mirrored,
    moved,
    pieces,
    polygon,
    rectangle,
    rings,
    turned_round,
    union,
    volume_mm3,
)
from handwheel.geometry.slabs import share_more_than

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
    assert all(ring[0] == ring[-1] for ring in rings(hollow))


def test_an_overlap_smaller_than_a_touch_is_no_bite() -> None:
    """A corner of 10 by 10 µm is a touch; twice that is a bite."""
    assert pytest.approx(0.01 * 0.01) == TOUCH_AREA_MM2
    bar = rectangle(-20.0, 0.0, 0.0, 10.0)
    assert not bites(bar, rectangle(-0.009, 5.0, 9.991, 20.0))
    assert bites(bar, rectangle(-0.02, 5.0, 9.98, 20.0))
    assert not bites(bar, rectangle(0.0, 5.0, 0.0, 10.0))
    assert not bites(bar, rectangle(3.0, 5.0, 0.0, 10.0))


def test_outlines_cut_the_plane_into_cells_that_lie_wholly_in_or_out() -> None:
    """Two 4 by 4 squares that overlap by 2 by 2: cells of 12, 4 and 12."""
    squares = [rectangle(0.0, 4.0, 0.0, 4.0), rectangle(2.0, 6.0, 2.0, 6.0)]
    found = {tuple(sorted(inside)): area_mm2(cell) for cell, inside in faces(squares)}
    assert found == pytest.approx({(0,): 12.0, (0, 1): 4.0, (1,): 12.0})


def test_cells_that_do_not_hang_together_are_two() -> None:
    """A bar crossed by a wider slot: its two ends are cells of their own."""
    found = faces([rectangle(0.0, 10.0, 0.0, 4.0), rectangle(4.0, 6.0, -1.0, 5.0)])
    assert sorted(area_mm2(cell) for cell, inside in found if inside == {0}) == pytest.approx([16.0, 16.0])
    assert sorted(area_mm2(cell) for cell, inside in found if inside == {1}) == pytest.approx([2.0, 2.0])


@given(st.lists(st.tuples(place, side, place, side), min_size=1, max_size=5))
def test_cells_add_up_to_the_union(boxes: list[tuple[float, float, float, float]]) -> None:
    regions = [rectangle(z, z + w, x, x + h) for z, w, x, h in boxes]
    found = faces(regions)
    # cells below a tenth of a touch are dropped: at most a few dozen of them here
    assert sum(area_mm2(cell) for cell, _ in found) == pytest.approx(area_mm2(union(regions)), abs=100 * TOUCH_AREA_MM2)
    for cell, inside in found:
        for number, region in enumerate(regions):
            whole = area_mm2(cell) if number in inside else 0.0
            assert area_mm2(intersection(cell, region)) == pytest.approx(whole, abs=1e-5)


def test_distance_is_the_shortest_and_0_where_regions_meet() -> None:
    """3 along and 4 across between two corners: 5."""
    bar = rectangle(-10.0, 0.0, 0.0, 10.0)
    assert distance_mm(bar, rectangle(3.0, 5.0, 14.0, 20.0)) == pytest.approx(5.0)
    assert distance_mm(bar, rectangle(-1.0, 5.0, 9.0, 20.0)) == 0.0


SOUND = ((0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0))
UNSOUND = {
    "crosses itself": ((0.0, 0.0), (2.0, 2.0), (2.0, 0.0), (0.0, 2.0)),
    "touches itself in a corner": ((0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (1.0, 0.0), (0.0, 2.0)),
    "goes back over itself": ((0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (2.0, 3.0), (2.0, 2.0), (0.0, 2.0)),
    "goes back where it came from": ((0.0, 0.0), (4.0, 0.0), (2.0, 0.0), (2.0, 2.0)),
    "is a line": ((0.0, 0.0), (1.0, 0.0), (2.0, 0.0)),
    "is two places": ((0.0, 0.0), (1.0, 0.0), (1.0, 0.0)),
    "runs round twice": (*SOUND, *SOUND),
    "is nowhere": ((0.0, 0.0), (float("nan"), 0.0), (2.0, 2.0)),
    "has no end": ((0.0, 0.0), (float("inf"), 0.0), (2.0, 2.0)),
}


@pytest.mark.parametrize("points", UNSOUND.values(), ids=list(UNSOUND))
def test_an_outline_that_meets_itself_or_encloses_nothing_is_not_sound(points: tuple[tuple[float, float], ...]) -> None:
    assert not is_sound(points)
    assert is_sound(SOUND)
    assert is_sound(SOUND[::-1])
    assert is_sound(SOUND[:3])


def test_a_hull_is_the_smallest_convex_region() -> None:
    """The fifth point lies inside the square of the other four."""
    assert area_mm2(hull([(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0), (2.0, 1.0)])) == pytest.approx(16.0)
    assert hull([(0.0, 0.0), (0.0, 4.0)]).is_empty
    assert hull([(0.0, 0.0), (4.0, 4.0), (2.0, 2.0)]).is_empty


def test_a_hull_is_moved_out_with_its_corners_kept_sharp() -> None:
    """A square of 4 grown by 1 is one of 6; the tip of a right angle of two legs goes out by 1 and by 1 + root of 2."""
    assert bounds_mm(grown_hull([(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)], 1.0)) == (-1.0, -1.0, 5.0, 5.0)
    tip = grown_hull([(0.0, 0.0), (4.0, 0.0), (0.0, 4.0)], 1.0)
    assert bounds_mm(tip) == pytest.approx((-1.0, -1.0, 5.0 + sqrt(2.0), 5.0 + sqrt(2.0)))


def test_regions_are_the_same_to_the_last_figure_or_not_the_same() -> None:
    one, same, other = rectangle(0, 1, 0, 1), rectangle(0, 1, 0, 1), rectangle(0, 1, 0, nextafter(1.0, 2.0))
    assert one == same != other
    assert len({one, same, other}) == 2


# another way to the same figure: polygons laid over each other by a library that works on outlines --------------------


def crowd(random: Random, count: int) -> list[tuple[float, float]]:
    """Places on a coarse grid half of the time, so that outlines share places and sides."""
    if random.random() < 0.5:
        return [(float(random.randint(0, 6)), float(random.randint(0, 6))) for _ in range(count)]
    return [(random.uniform(0.0, 6.0), random.uniform(0.0, 6.0)) for _ in range(count)]


def drawn(random: Random) -> tuple[Region, shapely.Geometry]:
    """Up to four convex shapes, added and taken away one after the other: as here, and as outlines."""
    region, outline = empty(), shapely.Polygon()
    for _ in range(random.randint(1, 4)):
        cloud = crowd(random, random.randint(3, 7))
        one, other = hull(cloud), shapely.convex_hull(shapely.multipoints(cloud))
        if random.random() < 0.6:
            region, outline = union([region, one]), shapely.union(outline, other, grid_size=1e-9)
        else:
            region, outline = difference(region, one), shapely.difference(outline, other, grid_size=1e-9)
        # lines and points, which such an overlay can leave, are nothing here
        outline = shapely.MultiPolygon([part for part in shapely.get_parts(outline) if shapely.area(part) > 0.0])
    return region, outline


def areas_of(outline: shapely.Geometry) -> list[float]:
    """Areas of the pieces of an outline, dust left out, in rising order. [mm²]"""
    return sorted(area for part in shapely.get_parts(outline) if (area := shapely.area(part)) > 1e-4)


@pytest.mark.parametrize("seed", range(150))
def test_regions_laid_over_each_other_are_those_of_their_outlines(seed: int) -> None:
    random = Random(seed)  # noqa: S311 - a seeded choice of cases, no secret
    (a, a_outline), (b, b_outline) = drawn(random), drawn(random)
    for found, expected in (
        (union([a, b]), shapely.union(a_outline, b_outline, grid_size=1e-9)),
        (difference(a, b), shapely.difference(a_outline, b_outline, grid_size=1e-9)),
        (intersection(a, b), shapely.intersection(a_outline, b_outline, grid_size=1e-9)),
    ):
        assert area_mm2(found) == pytest.approx(shapely.area(expected), abs=1e-5)
        told = sorted(area for piece in pieces(found) if (area := area_mm2(piece)) > 1e-4)
        assert told == pytest.approx(areas_of(expected), abs=1e-5)
        assert ring_area_mm2(found) == pytest.approx(shapely.area(expected), abs=1e-5)
        if shapely.area(expected) > 1e-3:
            assert volume_mm3(moved(found, 0.0, 9.0)) == pytest.approx(
                2.0 * pi * (shapely.centroid(expected).y + 9.0) * shapely.area(expected), rel=1e-5
            )
    both_mm2 = shapely.area(shapely.intersection(a_outline, b_outline, grid_size=1e-9))
    assert share_more_than(both_mm2 - 1e-5, a.slabs, b.slabs) or both_mm2 < 1e-5
    assert not share_more_than(both_mm2 + 1e-5, a.slabs, b.slabs)
    assert bites(a, b) == (shapely.area(shapely.intersection(a_outline, b_outline)) > TOUCH_AREA_MM2)
    if not a.is_empty and not b.is_empty:
        assert distance_mm(a, b) == pytest.approx(shapely.distance(a_outline, b_outline), abs=1e-6)
        away = moved(b, 5.0, 4.0)
        expected_mm = shapely.distance(a_outline, shapely.affinity.translate(b_outline, 5.0, 4.0))
        assert distance_mm(a, away) == pytest.approx(expected_mm, abs=1e-6)


def ring_area_mm2(region: Region) -> float:
    """Area that the outlines enclose, holes taken off: each runs with the region on its left. [mm²]"""
    return sum(0.5 * (z0 * x1 - z1 * x0) for ring in rings(region) for (z0, x0), (z1, x1) in pairwise(ring))


@pytest.mark.parametrize("seed", range(60))
def test_cutting_again_and_again_leaves_what_one_cut_by_all_would(seed: int) -> None:
    """Thirty passes over a bar, as a job has: nothing drifts, and no dust is left or lost."""
    random = Random(seed)  # noqa: S311 - a seeded choice of cases, no secret
    bar = rectangle(-20.0, 0.0, 0.0, 10.0)
    nose = [(0.2 * cos(2.0 * pi * i / 16), 0.2 * sin(2.0 * pi * i / 16)) for i in range(16)]
    sweeps = []
    for _ in range(30):
        z, x, run = random.uniform(-20.0, 0.0), random.uniform(0.0, 10.0), random.choice((0.0, 1.5, 5.0))
        shape = [*nose, (3.0, 0.1 * run), (3.0, 12.0)] if random.random() < 0.7 else nose
        sweeps.append([(z + dz + there, x + dx) for dz, dx in shape for there in (0.0, run)])
    left, outline = bar, shapely.box(-20.0, 0.0, 0.0, 10.0)
    for sweep in sweeps:
        left = difference(left, hull(sweep))
        outline = shapely.difference(outline, shapely.convex_hull(shapely.multipoints(sweep)))
    assert area_mm2(left) == pytest.approx(shapely.area(outline), abs=1e-5)
    assert area_mm2(left) == pytest.approx(area_mm2(difference(bar, union(hull(sweep) for sweep in sweeps))), abs=1e-5)
    told = sorted(area for piece in pieces(left) if (area := area_mm2(piece)) > 1e-3)
    assert told == pytest.approx([area for area in areas_of(outline) if area > 1e-3], abs=1e-5)
