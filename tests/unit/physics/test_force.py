"""Cutting force: worked values, limits, and how opinions are brought together."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.force import (
    HSS_SPEED_FACTOR,
    WEAR_FACTOR,
    WORST_WEAR_FACTOR,
    ForceEstimate,
    ForceFactors,
    Process,
    chip_thickness_mm,
    chip_width_mm,
    component_band_n,
    force_band,
    kienzle_force_n,
    kienzle_specific_force_n_mm2,
    power_constant_force_n,
    rake_factor,
    rake_factor_band,
    speed_factor,
    thrust_parts_n,
)

FEED_FACTORS = ((0.05, 1.40), (0.10, 1.25), (0.30, 1.00), (1.0, 0.78))


@dataclass(frozen=True, kw_only=True)
class Opinion:
    kc_low_n_mm2: float
    kc_high_n_mm2: float
    mc: float | None
    feed_factors: tuple[tuple[float, float], ...] = ()


GROUP = Opinion(kc_low_n_mm2=1500.0, kc_high_n_mm2=1500.0, mc=0.22)
TEXTBOOK = Opinion(kc_low_n_mm2=2220.0, kc_high_n_mm2=2220.0, mc=0.14)
HANDBOOK = Opinion(kc_low_n_mm2=2240.0, kc_high_n_mm2=2240.0, mc=None, feed_factors=FEED_FACTORS)


@pytest.mark.parametrize(
    ("kc11", "mc", "depth", "feed", "angle", "expected"),
    [
        (1500.0, 0.22, 1.0, 0.15, 95.0, 342.0),
        (2220.0, 0.14, 1.0, 0.15, 95.0, 435.0),
        (1350.0, 0.21, 0.5, 0.10, 90.0, 109.0),
        (1780.0, 0.17, 0.5, 0.10, 90.0, 132.0),
        (2150.0, 0.20, 0.5, 0.10, 90.0, 170.0),
        (1245.0, 0.24, 0.5, 0.10, 90.0, 108.0),
        (2110.0, 0.22, 0.5, 0.10, 90.0, 175.0),
    ],
)
def test_worked_forces(kc11: float, mc: float, depth: float, feed: float, angle: float, expected: float) -> None:
    """Computed for this project from the constants shown; rounded to 1 N. A guard against change, no evidence."""
    force = kienzle_force_n(depth, feed_mm_rev=feed, entering_angle_deg=angle, kc11_n_mm2=kc11, mc=mc)
    assert force == pytest.approx(expected, abs=0.5)


def test_worked_corrections() -> None:
    """Computed for this project: C45 with HSS, rake 0, 30 m/min, worn: 1.657 times 342 and 435 N; rounded to 1 N."""
    factors = ForceFactors(rake=rake_factor(0.0, reference_rake_deg=6.0), speed=speed_factor(30.0), wear=WEAR_FACTOR)
    assert factors.product == pytest.approx(1.657, abs=0.001)
    found = force_band((GROUP, TEXTBOOK), depth_mm=1.0, feed_mm_rev=0.15, entering_angle_deg=95.0, factors=factors)
    assert found.low_n == pytest.approx(566, abs=0.7)
    assert found.high_n == pytest.approx(720, abs=0.7)


def test_band_spans_all_opinions_and_the_larger_rules() -> None:
    found = force_band((GROUP, TEXTBOOK, HANDBOOK), depth_mm=1.0, feed_mm_rev=0.30)
    singles = [force_band((one,), depth_mm=1.0, feed_mm_rev=0.30) for one in (GROUP, TEXTBOOK, HANDBOOK)]
    assert found.low_n == min(single.low_n for single in singles)
    assert found.ruling_n == found.high_n == max(single.high_n for single in singles)


def test_opinion_with_two_ends_gives_both() -> None:
    bronze = Opinion(kc_low_n_mm2=1360.0, kc_high_n_mm2=2480.0, mc=None, feed_factors=FEED_FACTORS)
    found = force_band((bronze,), depth_mm=1.0, feed_mm_rev=0.30)
    assert found.low_n == pytest.approx(1360 * 0.3)
    assert found.high_n == pytest.approx(2480 * 0.3)


@given(st.floats(min_value=0.01, max_value=3.0), st.floats(min_value=0.005, max_value=2.0))
def test_twice_the_depth_is_twice_the_force_but_twice_the_feed_is_less(depth: float, feed: float) -> None:
    one = force_band((GROUP,), depth_mm=depth, feed_mm_rev=feed).high_n
    assert force_band((GROUP,), depth_mm=2 * depth, feed_mm_rev=feed).high_n == pytest.approx(2 * one)
    assert one < force_band((GROUP,), depth_mm=depth, feed_mm_rev=2 * feed).high_n < 2 * one


@given(st.floats(min_value=0.05, max_value=3.0), st.floats(min_value=0.02, max_value=1.0), st.floats(20.0, 160.0))
def test_chip_area_does_not_depend_on_the_entering_angle(depth: float, feed: float, angle: float) -> None:
    area = chip_thickness_mm(feed, entering_angle_deg=angle) * chip_width_mm(depth, entering_angle_deg=angle)
    assert area == pytest.approx(depth * feed)


@pytest.mark.parametrize(("feed", "in_range"), [(0.049, False), (0.05, True), (2.5, True), (2.501, False)])
def test_chips_outside_the_fits_are_flagged_not_refused(feed: float, *, in_range: bool) -> None:
    assert force_band((GROUP,), depth_mm=1.0, feed_mm_rev=feed).in_range is in_range


@pytest.mark.parametrize(
    ("feed", "factor"),
    [(0.01, 1.40), (0.05, 1.40), (0.075, 1.325), (0.10, 1.25), (0.20, 1.125), (1.0, 0.78), (2.0, 0.78)],
)
def test_feed_factor_is_read_between_rows_and_kept_at_the_ends(feed: float, factor: float) -> None:
    force = power_constant_force_n(1.0, feed_mm_rev=feed, kc_at_h030_n_mm2=1000.0, feed_factors=FEED_FACTORS)
    assert force == pytest.approx(1000.0 * factor * feed)


def test_force_by_a_power_constant_grows_with_the_depth() -> None:
    force = power_constant_force_n(0.5, feed_mm_rev=0.30, kc_at_h030_n_mm2=2000.0, feed_factors=FEED_FACTORS)
    assert force == pytest.approx(300.0)


def test_corrections_multiply() -> None:
    factors = ForceFactors(rake=1.1, speed=1.2, process=1.3, wear=1.5)
    assert factors.product == pytest.approx(1.1 * 1.2 * 1.3 * 1.5)
    plain = force_band((GROUP,), depth_mm=1.0, feed_mm_rev=0.1)
    assert force_band((GROUP,), depth_mm=1.0, feed_mm_rev=0.1, factors=factors).low_n == pytest.approx(
        factors.product * plain.low_n
    )


def test_processes_differ_as_the_source_says() -> None:
    assert [process.factor for process in Process] == [1.0, 1.2, 1.2, 1.3]


def test_coarse_and_fine_speed_factor_agree_at_a_usual_hss_speed() -> None:
    assert speed_factor(30.0) == pytest.approx(HSS_SPEED_FACTOR, rel=0.01)
    assert speed_factor(100.0) == pytest.approx(1.0, rel=0.001)
    assert speed_factor(99.999) == pytest.approx(speed_factor(100.0), rel=0.001)


def test_component_takes_the_ratio_of_its_own_end() -> None:
    cut = ForceEstimate(low_n=100.0, high_n=200.0, chip_thickness_mm=0.1, in_range=True)
    assert component_band_n(cut, ratio_low=0.3, ratio_high=0.5) == (30.0, 100.0)
    with pytest.raises(OutOfRangeError, match=r"ratio_low: got 0\.5"):
        component_band_n(cut, ratio_low=0.5, ratio_high=0.3)


def test_no_opinion_is_no_force() -> None:
    with pytest.raises(OutOfRangeError, match=r"opinions: got none, .* give a kc1.1 and mc of your own"):
        force_band((), depth_mm=1.0, feed_mm_rev=0.1)


def test_power_constant_without_its_table_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="feed_factors: got none"):
        power_constant_force_n(1.0, feed_mm_rev=0.1, kc_at_h030_n_mm2=1000.0, feed_factors=())


@pytest.mark.parametrize("angle", [0.0, 0.99, 179.01, 200.0])
def test_entering_angle_has_limits(angle: float) -> None:
    with pytest.raises(OutOfRangeError, match=r"entering_angle_deg: got .* allowed 1 to 179 deg"):
        chip_thickness_mm(0.1, entering_angle_deg=angle)
    with pytest.raises(OutOfRangeError, match="entering_angle_deg"):
        chip_width_mm(0.1, entering_angle_deg=angle)


def test_exponent_and_factors_have_limits() -> None:
    with pytest.raises(OutOfRangeError, match="mc: got 1"):
        kienzle_specific_force_n_mm2(0.1, kc11_n_mm2=1500.0, mc=1.0)
    with pytest.raises(OutOfRangeError, match=r"wear factor: got 0\.1"):
        ForceFactors(wear=0.1)
    with pytest.raises(OutOfRangeError, match="rake_deg"):
        rake_factor(50.0, reference_rake_deg=6.0)
    with pytest.raises(OutOfRangeError, match="cutting_speed_m_min"):
        speed_factor(4.9)


def test_the_two_schools_of_rake_bound_each_other() -> None:
    assert rake_factor_band(0.0, reference_rake_deg=6.0) == pytest.approx((1.06, 1.09))
    assert rake_factor_band(12.0, reference_rake_deg=6.0) == pytest.approx((0.91, 0.94))
    with pytest.raises(OutOfRangeError, match="share_a_degree"):
        rake_factor(0.0, reference_rake_deg=6.0, share_a_degree=0.03)


def test_a_worn_edge_may_be_worse_than_usual() -> None:
    assert WEAR_FACTOR < WORST_WEAR_FACTOR == ForceFactors(wear=WORST_WEAR_FACTOR).product


@given(st.floats(1.0, 179.0))
def test_thrust_is_split_and_not_lost(angle: float) -> None:
    along, across = thrust_parts_n(100.0, entering_angle_deg=angle)
    assert hypot(along, across) == pytest.approx(100.0)
    assert (across > 0) == (angle < 90.0) or angle == pytest.approx(90.0)


def test_spread_is_told_as_a_share_of_the_smaller_force() -> None:
    """Computed for this project: C45 342 and 435 N, so 27 %."""
    found = force_band((GROUP, TEXTBOOK), depth_mm=1.0, feed_mm_rev=0.15, entering_angle_deg=95.0)
    assert found.spread == pytest.approx(435 / 342 - 1, abs=0.003)
