"""Sizes read off a half section: cylinders, cones, gaps, faces."""

from __future__ import annotations

import pytest

from handwheel.check.section import section
from handwheel.geometry.region import difference, polygon, rectangle, union

STEPPED = section(union([rectangle(-6.0, -3.0, 6.0, 9.0), rectangle(-3.0, 0.0, 5.0, 10.0)]))


@pytest.mark.parametrize(
    ("low", "high", "outer", "inner"),
    [
        (-5.0, -4.0, (9.0, 9.0), (6.0, 6.0)),
        (-2.0, -1.0, (10.0, 10.0), (5.0, 5.0)),
        (-5.0, -1.0, (9.0, 10.0), (5.0, 6.0)),
        (-4.0, -4.0, (9.0, 9.0), (6.0, 6.0)),
    ],
)
def test_diameters_over_a_range_are_the_smallest_and_largest(
    low: float, high: float, outer: tuple[float, float], inner: tuple[float, float]
) -> None:
    assert STEPPED.outer_radii_mm(low, high) == pytest.approx(outer)
    assert STEPPED.inner_radii_mm(low, high) == pytest.approx(inner)
    assert STEPPED.outer_dia_mm(low, high) == pytest.approx(2 * outer[1])
    assert STEPPED.inner_dia_mm(low, high) == pytest.approx(2 * inner[0])


def test_a_cone_is_read_at_both_ends_of_the_range() -> None:
    cone = section(polygon([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0)]))
    assert cone.outer_radii_mm(2.0, 7.0) == pytest.approx((2.0, 7.0))


def test_where_there_is_no_metal_there_is_no_size() -> None:
    gap = section(difference(rectangle(-6.0, 0.0, 6.0, 9.0), rectangle(-4.0, -2.0, 0.0, 20.0)))
    assert gap.outer_radii_mm(-5.0, -1.0) is None
    assert gap.outer_radii_mm(-5.5, -4.5) == pytest.approx((9.0, 9.0))
    assert STEPPED.outer_radii_mm(1.0, 2.0) is None
    assert STEPPED.outer_radii_mm(-1.0, -2.0) is None
    assert STEPPED.outer_dia_mm(1.0, 2.0) != STEPPED.outer_dia_mm(1.0, 2.0)  # not a number
    assert STEPPED.inner_dia_mm(1.0, 2.0) != STEPPED.inner_dia_mm(1.0, 2.0)


def test_faces_are_read_along_the_axis() -> None:
    assert STEPPED.front_z_mm(7.0, 8.0) == pytest.approx((0.0, 0.0))
    assert STEPPED.back_z_mm(7.0, 8.0) == pytest.approx((-6.0, -6.0))
    assert STEPPED.back_z_mm(7.0, 9.5) == pytest.approx((-6.0, -3.0))
    assert (STEPPED.low_z_mm, STEPPED.high_z_mm) == (-6.0, 0.0)


def test_the_rounding_of_floats_at_the_end_of_the_metal_is_no_gap() -> None:
    """An end at -21.169999999999995 and a range from -21.17: 5e-15 apart (met in a drawn case)."""
    ring = section(rectangle(-21.169999999999995, -9.53, 15.98, 19.39))
    assert ring.outer_radii_mm(-21.17, -9.530000000000001) == pytest.approx((19.39, 19.39))
    assert ring.outer_radii_mm(-21.17 - 1e-6, -9.53) is None
