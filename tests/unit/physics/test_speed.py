"""Spindle speed, cutting speed and time."""

from __future__ import annotations

from math import inf, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.speed import (
    cutting_speed_m_min,
    facing_time_s,
    removal_rate_cm3_min,
    spindle_speed_rpm,
    turning_time_s,
)

speeds = st.floats(min_value=1.0, max_value=500.0)
diameters = st.floats(min_value=0.5, max_value=300.0)


@given(speeds, diameters)
def test_halving_the_diameter_doubles_the_speed(speed: float, dia: float) -> None:
    assert spindle_speed_rpm(speed, cut_dia_mm=dia / 2) == pytest.approx(2 * spindle_speed_rpm(speed, cut_dia_mm=dia))


@given(speeds, diameters)
def test_speed_there_and_back(speed: float, dia: float) -> None:
    assert cutting_speed_m_min(spindle_speed_rpm(speed, cut_dia_mm=dia), cut_dia_mm=dia) == pytest.approx(speed)


@given(st.floats(min_value=0.1, max_value=100.0), st.floats(min_value=0.1, max_value=100.0))
def test_facing_in_two_parts_takes_as_long_as_in_one(inner: float, wall: float) -> None:
    middle, outer = inner + wall, inner + 2 * wall
    first = facing_time_s(outer, inner_dia_mm=middle, feed_mm_rev=0.1, speed_rpm=300.0)
    second = facing_time_s(middle, inner_dia_mm=inner, feed_mm_rev=0.1, speed_rpm=300.0)
    whole = facing_time_s(outer, inner_dia_mm=inner, feed_mm_rev=0.1, speed_rpm=300.0)
    assert first + second == pytest.approx(whole)


def test_facing_to_the_centre_is_turning_over_the_radius() -> None:
    facing = facing_time_s(20.0, inner_dia_mm=0.0, feed_mm_rev=0.1, speed_rpm=300.0)
    assert facing == turning_time_s(10.0, feed_mm_rev=0.1, speed_rpm=300.0)


def test_removal_rate_is_the_volume_of_the_turned_shell() -> None:
    # 22 to 20 mm over 10 mm: pi 21 1 10 mm3, in the time of the pass
    rate = removal_rate_cm3_min(cutting_speed_m_min(300.0, cut_dia_mm=21.0), depth_mm=1.0, feed_mm_rev=0.1)
    minutes = turning_time_s(10.0, feed_mm_rev=0.1, speed_rpm=300.0) / 60
    assert rate * minutes == pytest.approx((22.0**2 - 20.0**2) * 3.141592653589793 / 4 * 10 / 1000)


@pytest.mark.parametrize("bad", [0.0, -1.0, nan, inf])
def test_sizes_that_make_no_sense_are_refused_by_name(bad: float) -> None:
    with pytest.raises(OutOfRangeError, match=r"cut_dia_mm: got .* mm, must be above 0; check sign and unit"):
        spindle_speed_rpm(60.0, cut_dia_mm=bad)
    with pytest.raises(OutOfRangeError, match="speed_rpm"):
        cutting_speed_m_min(bad, cut_dia_mm=10.0)
    with pytest.raises(OutOfRangeError, match="feed_mm_rev"):
        turning_time_s(10.0, feed_mm_rev=bad, speed_rpm=100.0)
    with pytest.raises(OutOfRangeError, match="depth_mm"):
        removal_rate_cm3_min(10.0, depth_mm=bad, feed_mm_rev=0.1)


@pytest.mark.parametrize("inner", [-0.1, 20.0, 25.0, nan])
def test_facing_wants_the_smaller_diameter_inside(inner: float) -> None:
    with pytest.raises(
        OutOfRangeError, match=r"inner_dia_mm: got .* below the outer diameter 20 mm; .* both are diameters"
    ):
        facing_time_s(20.0, inner_dia_mm=inner, feed_mm_rev=0.1, speed_rpm=100.0)
