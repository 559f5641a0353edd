"""Parting off."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.force import ForceFactors, component_band_n, force_band
from handwheel.physics.parting import (
    MOST_REACH_IN_WIDTHS,
    blade_reach_mm,
    parting_force_band,
    parting_time_s,
    reach_in_widths,
)
from handwheel.physics.speed import cutting_speed_m_min, spindle_speed_rpm


@pytest.mark.parametrize(
    ("kc11", "mc", "expected"), [(2220.0, 0.14, 439.0), (1500.0, 0.22, 377.0), (2150.0, 0.20, 509.0)]
)
def test_worked_parting_forces(kc11: float, mc: float, expected: float) -> None:
    """Computed for this project: blade 2 mm, feed 0.05; rounded to 1 N. A guard against change, no evidence."""
    opinion = SimpleNamespace(kc_low_n_mm2=kc11, kc_high_n_mm2=kc11, mc=mc, feed_factors=())
    assert parting_force_band((opinion,), blade_width_mm=2.0, feed_mm_rev=0.05).ruling_n == pytest.approx(
        expected, abs=0.5
    )


def test_parting_keeps_other_corrections_and_sets_its_own() -> None:
    opinion = SimpleNamespace(kc_low_n_mm2=1500.0, kc_high_n_mm2=1500.0, mc=0.2, feed_factors=())
    worn = parting_force_band(
        (opinion,), blade_width_mm=2.0, feed_mm_rev=0.1, factors=ForceFactors(wear=1.3, process=1.2)
    )
    plain = force_band((opinion,), depth_mm=2.0, feed_mm_rev=0.1)
    assert worn.low_n == pytest.approx(1.3 * 1.3 * plain.low_n)


def test_time_ends_at_the_bore() -> None:
    through = parting_time_s(20.0, bore_dia_mm=0.0, feed_mm_rev=0.05, speed_rpm=240.0)
    ring = parting_time_s(20.0, bore_dia_mm=18.0, feed_mm_rev=0.05, speed_rpm=240.0)
    assert through == pytest.approx(10 * ring)


def test_reach_adds_the_margin_to_the_wall() -> None:
    assert blade_reach_mm(20.0, bore_dia_mm=0.0, margin_mm=0.0) == 10.0
    assert blade_reach_mm(20.0, bore_dia_mm=16.0, margin_mm=2.0) == 4.0
    with pytest.raises(OutOfRangeError, match="margin_mm"):
        blade_reach_mm(20.0, bore_dia_mm=16.0, margin_mm=-0.1)
    with pytest.raises(OutOfRangeError, match=r"bore_dia_mm: got 20 mm, .* both are diameters"):
        blade_reach_mm(20.0, bore_dia_mm=20.0, margin_mm=1.0)


def test_slenderness_against_the_rule() -> None:
    assert reach_in_widths(16.0, blade_width_mm=2.0) == MOST_REACH_IN_WIDTHS
    with pytest.raises(OutOfRangeError, match="blade_width_mm"):
        reach_in_widths(16.0, blade_width_mm=0.0)


def test_blade_without_width_is_refused() -> None:
    opinion = SimpleNamespace(kc_low_n_mm2=1500.0, kc_high_n_mm2=1500.0, mc=0.2, feed_factors=())
    with pytest.raises(OutOfRangeError, match="blade_width_mm"):
        parting_force_band((opinion,), blade_width_mm=0.0, feed_mm_rev=0.1)


def test_worked_speeds_of_parting() -> None:
    """Computed for this project, no evidence: Ø 22 at 30 m/min; the same turns at Ø 6; 20 m/min there."""
    rpm = spindle_speed_rpm(30.0, cut_dia_mm=22.0)
    assert rpm == pytest.approx(434.0, abs=0.5)
    assert cutting_speed_m_min(rpm, cut_dia_mm=6.0) == pytest.approx(8.0, abs=0.2)
    assert spindle_speed_rpm(20.0, cut_dia_mm=6.0) == pytest.approx(1061.0, abs=0.5)
    assert spindle_speed_rpm(20.0, cut_dia_mm=2.0) == pytest.approx(3183.0, abs=0.5)


def test_the_push_on_the_feed_handle_is_a_third_to_a_half() -> None:
    """Ratio 0.3 to 0.5 of the cutting force [TEXTBOOKS], from memory: 439 N push the handle back with 132 to 220 N."""
    opinion = SimpleNamespace(kc_low_n_mm2=2220.0, kc_high_n_mm2=2220.0, mc=0.14, feed_factors=())
    cut = parting_force_band((opinion,), blade_width_mm=2.0, feed_mm_rev=0.05)
    low, high = component_band_n(cut, ratio_low=0.3, ratio_high=0.5)
    assert (low, high) == pytest.approx((132.0, 220.0), abs=0.6)
