"""Rounded edges as the check judges them: the radius that points lie on, and the zone of a radius with limits."""

from __future__ import annotations

from math import cos, pi, sin

import pytest

from handwheel.check.rounds import HAIR_MM, Corner, beyond_zone, radii_mm
from handwheel.check.section import section
from handwheel.domain.contour import Point
from handwheel.geometry.region import TOUCH_AREA_MM2, Region, area_mm2, polygon

FRONT_OUTER = Corner(at=Point(0.0, 10.0), along=-1.0, across=-1.0, room=Point(0.7, 0.7))


def block(radius_mm: float, *, off_along_mm: float = 0.0, off_across_mm: float = 0.0, steps: int = 40) -> Region:
    """Half section of a disc Ø 20, 5 mm wide, its front outer edge an arc whose centre lies so much too far in."""
    centre = (-radius_mm - off_along_mm, 10.0 - radius_mm - off_across_mm)
    angles = [pi / 2.0 * i / steps for i in range(steps + 1)]
    arc = [(centre[0] + radius_mm * cos(a), centre[1] + radius_mm * sin(a)) for a in angles]
    kept = [(min(z, 0.0), min(x, 10.0)) for z, x in arc if z <= 1e-12 and x <= 10.0 + 1e-12]
    return polygon([(-5.0, 0.0), (0.0, 0.0), (0.0, kept[0][1]), *kept, (kept[-1][0], 10.0), (-5.0, 10.0)])


def beyond_mm2(region: Region, lower_mm: float, upper_mm: float) -> tuple[float, float]:
    left, gone = beyond_zone(region, FRONT_OUTER, lower_mm=lower_mm, upper_mm=upper_mm)
    return area_mm2(left), area_mm2(gone)


@pytest.mark.parametrize("radius_mm", [0.2, 0.5, 0.65])
def test_the_radius_of_an_arc_is_found(radius_mm: float) -> None:
    assert radii_mm(section(block(radius_mm)), FRONT_OUTER) == pytest.approx((radius_mm, radius_mm), abs=1e-6)


def test_the_radius_is_found_where_the_arc_ends_short_of_face_and_cylinder_too() -> None:
    found = radii_mm(section(block(0.5, off_along_mm=-0.03, off_across_mm=-0.02)), FRONT_OUTER)
    assert found == pytest.approx((0.5, 0.5), abs=1e-6)


def test_a_bevel_and_a_sharp_corner_are_no_rounds() -> None:
    bevel = polygon([(-5.0, 0.0), (0.0, 0.0), (0.0, 9.5), (-0.5, 10.0), (-5.0, 10.0)])
    sharp = polygon([(-5.0, 0.0), (0.0, 0.0), (0.0, 10.0), (-5.0, 10.0)])
    assert radii_mm(section(bevel), FRONT_OUTER) is None
    assert radii_mm(section(sharp), FRONT_OUTER) is None


def test_an_edge_of_many_corners_on_no_circle_shows_by_its_least_and_greatest() -> None:
    wavy = polygon(
        [(-5.0, 0.0), (0.0, 0.0), (0.0, 9.5), (-0.1, 9.8), (-0.3, 9.82), (-0.35, 9.95), (-0.5, 10.0), (-5.0, 10.0)]
    )
    found = radii_mm(section(wavy), FRONT_OUTER)
    assert found is None or found[1] - found[0] > 0.01 or not 0.3 < found[0] < 0.7


@pytest.mark.parametrize("radius_mm", [0.3, 0.5, 0.7])
def test_every_radius_within_its_limits_stays_in_the_zone(radius_mm: float) -> None:
    assert max(beyond_mm2(block(radius_mm), 0.3, 0.7)) <= TOUCH_AREA_MM2


@pytest.mark.parametrize(("radius_mm", "side"), [(0.25, 0), (0.8, 1)])
def test_a_radius_beyond_its_limits_leaves_the_zone_on_its_side(radius_mm: float, side: int) -> None:
    """Between arcs of r and s about one corner lie (1 - π/4) (r² - s²): 0.0059 and 0.032 mm², less the hair."""
    found = beyond_mm2(block(radius_mm), 0.3, 0.7)
    limit = (0.3, 0.7)[side]
    assert found[side] == pytest.approx((1.0 - pi / 4.0) * abs(limit**2 - radius_mm**2), abs=pi * HAIR_MM)
    assert found[side] > 10.0 * TOUCH_AREA_MM2
    assert found[1 - side] <= TOUCH_AREA_MM2


def test_a_step_dug_into_the_cylinder_is_missing_metal_though_the_radius_is_right() -> None:
    """0.08 mm below the outside, where a round of 0.7 mm lies 0.029 mm below it."""
    region = block(0.5, off_across_mm=0.08)
    assert radii_mm(section(region), FRONT_OUTER) == pytest.approx((0.5, 0.5), abs=1e-6)
    left, gone = beyond_mm2(region, 0.3, 0.7)
    assert left <= TOUCH_AREA_MM2
    assert gone > 10.0 * TOUCH_AREA_MM2


def test_what_other_edges_took_beyond_the_room_is_not_counted() -> None:
    near = Corner(at=FRONT_OUTER.at, along=-1.0, across=-1.0, room=Point(0.7, 0.5))
    thin = polygon(
        [
            (-5.0, 9.0),
            (-0.5, 9.0),
            (-0.02, 9.5),
            (0.0, 9.5),
            *((-0.5 + 0.5 * cos(pi / 2 * i / 40), 9.5 + 0.5 * sin(pi / 2 * i / 40)) for i in range(41)),
            (-5.0, 10.0),
        ]
    )
    assert max(area_mm2(piece) for piece in beyond_zone(thin, near, lower_mm=0.3, upper_mm=0.7)) <= TOUCH_AREA_MM2
