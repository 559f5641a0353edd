"""Ideal roughness."""

from __future__ import annotations

from math import radians, sqrt, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.roughness import (
    feed_for_mean_roughness_mm_rev,
    greatest_nose_feed_mm_rev,
    least_chip_peak_to_valley_um,
    mean_roughness_um,
    peak_to_valley_um,
    real_mean_roughness_band_um,
    sharp_peak_to_valley_um,
)


@pytest.mark.parametrize(
    ("feed", "nose", "rt", "ra"),
    [(0.10, 0.4, 3.13, 0.80), (0.05, 0.4, 0.78, 0.20), (0.20, 0.4, 12.5, 3.2), (0.10, 0.2, 6.3, 1.6)],
)
def test_worked_heights(feed: float, nose: float, rt: float, ra: float) -> None:
    """Computed for this project; rounded as shown. A guard against change, no evidence."""
    assert peak_to_valley_um(feed, nose_radius_mm=nose) == pytest.approx(rt, rel=0.01)
    assert mean_roughness_um(feed, nose_radius_mm=nose) == pytest.approx(ra, rel=0.02)


@pytest.mark.parametrize(("least", "expected"), [(0.003, 3.0), (0.006, 6.7)])
def test_worked_heights_with_a_least_chip(least: float, expected: float) -> None:
    """Computed for this project from the formula of 1961 (from memory); rounded to 0.1."""
    found = least_chip_peak_to_valley_um(0.05, nose_radius_mm=0.4, least_chip_mm=least)
    assert found == pytest.approx(expected, abs=0.05)


@given(st.floats(0.02, 0.4))
def test_mean_and_peak_differ_by_the_factor_of_a_parabola(feed: float) -> None:
    """Independent: mean deviation of a parabola of height 1 is 4 / (9 sqrt 3), which is about a quarter."""
    ratio = mean_roughness_um(feed, nose_radius_mm=0.4) / peak_to_valley_um(feed, nose_radius_mm=0.4)
    assert ratio == pytest.approx(4 / (9 * sqrt(3)))


@given(st.floats(0.02, 0.39))
def test_feed_there_and_back(feed: float) -> None:
    roughness = mean_roughness_um(feed, nose_radius_mm=0.4)
    assert feed_for_mean_roughness_mm_rev(roughness, nose_radius_mm=0.4) == pytest.approx(feed)


def test_feed_never_leaves_the_nose() -> None:
    assert feed_for_mean_roughness_mm_rev(1000.0, nose_radius_mm=0.4) == 0.4


@given(st.floats(0.05, 0.4))
def test_parabola_is_close_to_the_circle(feed: float) -> None:
    circle_um = 1000 * (0.4 - sqrt(0.4**2 - (feed / 2) ** 2))
    assert (
        peak_to_valley_um(feed, nose_radius_mm=0.4) <= circle_um <= 1.08 * peak_to_valley_um(feed, nose_radius_mm=0.4)
    )


def test_tiny_feeds_stop_helping() -> None:
    heights = [least_chip_peak_to_valley_um(f, nose_radius_mm=0.4, least_chip_mm=0.003) for f in (0.02, 0.05, 0.1)]
    assert heights[0] > heights[1] < heights[2]


def test_feed_above_the_nose_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match=r"feed_mm_rev: got 0\.5 mm/rev, allowed 0 to 0\.4"):
        peak_to_valley_um(0.5, nose_radius_mm=0.4)
    with pytest.raises(OutOfRangeError, match="feed_mm_rev"):
        mean_roughness_um(0.0, nose_radius_mm=0.4)


def test_pointed_tool_needs_two_edges() -> None:
    with pytest.raises(OutOfRangeError, match="trailing_angle_deg"):
        sharp_peak_to_valley_um(0.1, entering_angle_deg=60.0, trailing_angle_deg=0.0)
    assert sharp_peak_to_valley_um(0.1, entering_angle_deg=45.0, trailing_angle_deg=45.0) == pytest.approx(50.0)


def test_the_nose_alone_makes_the_surface_up_to_its_tangent_to_the_trailing_edge() -> None:
    """Apart: at that feed the circle's slope at the peak, f/2 from the lowest point, is that of the trailing edge."""
    feed = greatest_nose_feed_mm_rev(0.4, trailing_angle_deg=7.0)
    half = feed / 2.0
    assert half / sqrt(0.4**2 - half**2) == pytest.approx(tan(radians(7.0)))


def test_a_real_surface_is_rougher_than_the_ideal() -> None:
    assert real_mean_roughness_band_um(1.0) == (1.5, 3.0)
    with pytest.raises(OutOfRangeError, match="ideal_um"):
        real_mean_roughness_band_um(0.0)
