"""Thin chips on the nose."""

from __future__ import annotations

from math import acos, cos, pi, sin, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.min_chip import (
    ChipVerdict,
    chip_verdict,
    effective_entering_angle_deg,
    is_nose_cut,
    least_chip_by_friction_mm,
    least_chip_mm,
    nose_angle_deg,
    nose_max_chip_mm,
    nose_mean_chip_mm,
)


@pytest.mark.parametrize(
    ("depth", "nose", "feed", "angle", "max_um", "mean_um"),
    [
        (0.02, 0.4, 0.05, 18.2, 15.6, 6.6),
        (0.05, 0.4, 0.05, 29.0, 24.2, 11.0),
        (0.05, 0.2, 0.05, 41.4, 33.1, 14.7),
        (0.10, 0.4, 0.05, 41.4, 33.1, 15.9),
        (0.15, 0.4, 0.08, 51.3, 62.4, 30.1),
    ],
)
def test_worked_nose_cuts(depth: float, nose: float, feed: float, angle: float, max_um: float, mean_um: float) -> None:
    """Computed for this project from the same geometry; rounded to 0.1. A guard against change, no evidence."""
    assert nose_angle_deg(depth, nose_radius_mm=nose) == pytest.approx(angle, abs=0.06)
    assert 1000 * nose_max_chip_mm(depth, feed_mm_rev=feed, nose_radius_mm=nose) == pytest.approx(max_um, abs=0.06)
    assert 1000 * nose_mean_chip_mm(depth, feed_mm_rev=feed, nose_radius_mm=nose) == pytest.approx(mean_um, abs=0.06)


@given(st.floats(0.02, 0.38), st.floats(0.01, 0.1))
def test_mean_chip_is_close_to_area_over_edge_length(depth: float, feed: float) -> None:
    """Independent: exact area between two circles a feed apart, summed over the edge in polar strips."""
    nose = 0.4
    tail = feed / 2  # the edge in the cut reaches half a feed behind the lowest point
    edge_mm = nose * (acos(1 - depth / nose) + tail / nose)
    steps = 400
    area = 0.0
    for step in range(steps):
        x = -tail + (step + 0.5) / steps * (nose * sin(acos(1 - depth / nose)) + tail)
        new = nose - sqrt(nose**2 - x**2)
        old = min(nose - sqrt(max(nose**2 - (x + feed) ** 2, 0.0)), depth) if x + feed < nose else depth
        area += max(old - new, 0.0) * (nose * sin(acos(1 - depth / nose)) + tail) / steps
    assert nose_mean_chip_mm(depth, feed_mm_rev=feed, nose_radius_mm=nose) == pytest.approx(area / edge_mm, rel=0.1)


@given(st.floats(0.001, 0.4), st.floats(0.005, 0.2))
def test_mean_chip_is_below_the_greatest(depth: float, feed: float) -> None:
    greatest = nose_max_chip_mm(depth, feed_mm_rev=feed, nose_radius_mm=0.4)
    assert 0 < nose_mean_chip_mm(depth, feed_mm_rev=feed, nose_radius_mm=0.4) < greatest <= feed


@pytest.mark.parametrize(("depth", "expected"), [(0.199, True), (0.2, False)])
def test_nose_ends_where_the_straight_edge_begins(depth: float, *, expected: bool) -> None:
    assert is_nose_cut(depth, nose_radius_mm=0.4, entering_angle_deg=60.0) is expected


def test_effective_angle_is_the_tool_angle_for_deep_cuts_and_smaller_on_the_nose() -> None:
    def angle(depth: float, entering: float = 95.0) -> float:
        return effective_entering_angle_deg(depth, feed_mm_rev=0.05, nose_radius_mm=0.4, entering_angle_deg=entering)

    assert angle(1.0) == 95.0
    assert angle(0.42) == 95.0
    assert angle(0.25, entering=60.0) == 60.0
    assert angle(0.05) == pytest.approx(12.7, abs=0.05)
    shallow = [angle(depth) for depth in (0.01, 0.05, 0.1, 0.2, 0.3)]
    assert shallow == sorted(shallow)


def test_effective_angle_gives_the_mean_chip_back() -> None:
    mean = nose_mean_chip_mm(0.1, feed_mm_rev=0.05, nose_radius_mm=0.4)
    angle = effective_entering_angle_deg(0.1, feed_mm_rev=0.05, nose_radius_mm=0.4, entering_angle_deg=90.0)
    assert 0.05 * sin(angle * pi / 180) == pytest.approx(mean)


@pytest.mark.parametrize(
    ("greatest", "mean", "verdict"),
    [
        (0.0029, 0.0020, ChipVerdict.RUBS),
        (0.0030, 0.0020, ChipVerdict.THIN),
        (0.0100, 0.0059, ChipVerdict.THIN),
        (0.0100, 0.0060, ChipVerdict.CUTS),
    ],
)
def test_verdict_changes_at_its_limits(greatest: float, mean: float, verdict: ChipVerdict) -> None:
    assert chip_verdict(greatest, mean_chip_mm=mean, least_chip_mm=0.003) is verdict


def test_least_chip_follows_the_edge() -> None:
    assert least_chip_mm(50.0) == pytest.approx(0.015)
    assert least_chip_mm(10.0, edge_share=1 - cos(pi / 4)) == pytest.approx(0.00293, abs=5e-6)
    with pytest.raises(OutOfRangeError, match=r"edge_share: got 0\.6"):
        least_chip_mm(10.0, edge_share=0.6)


def test_depth_above_the_nose_is_refused_with_the_way_out() -> None:
    with pytest.raises(OutOfRangeError, match=r"depth_mm: got 0.5 mm, above the nose radius 0.4 mm; use the chip"):
        nose_angle_deg(0.5, nose_radius_mm=0.4)


def test_mean_above_greatest_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="mean_chip_mm"):
        chip_verdict(0.01, mean_chip_mm=0.02, least_chip_mm=0.003)


@pytest.mark.parametrize(("angle", "share"), [(0.0, 0.293), (31.0, 0.130), (60.0, 0.034)])
def test_friction_thins_the_least_chip_and_the_design_value_is_above_it(angle: float, share: float) -> None:
    """0.293 without friction is the other model that is remembered; the rest computed here."""
    found = least_chip_by_friction_mm(10.0, friction_angle_deg=angle)
    assert found == pytest.approx(share * 0.010, abs=5e-6)
    assert found < least_chip_mm(10.0)


def test_a_friction_angle_has_limits() -> None:
    with pytest.raises(OutOfRangeError, match="friction_angle_deg"):
        least_chip_by_friction_mm(10.0, friction_angle_deg=61.0)
