"""Handbook factors of feed and depth: as printed, between the rows, and refused beyond."""

from __future__ import annotations

import pytest

from handwheel.data.speed_factors import SpeedFactors, speed_factors
from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.between_rows import value_between_rows
from handwheel.physics.edge_speed import adjusted_speed_m_min

FEED, DEPTH = speed_factors(SpeedFactors.HSS_FEED), speed_factors(SpeedFactors.HSS_DEPTH)
CARBIDE = speed_factors(SpeedFactors.CARBIDE_DEPTH)


def hss(feed: float, depth: float, *, base: float = 23.0) -> float:
    return adjusted_speed_m_min(base, feed_mm_rev=feed, depth_mm=depth, feed_factors=FEED, depth_factors=DEPTH)


def test_the_base_of_the_table_is_its_own_speed() -> None:
    """Source: [MH31] p. 1104, Table 5c: factors of 1 at 0.30 mm/rev and 3.18 mm."""
    assert hss(0.30, 3.18) == 23.0


def test_a_worked_row() -> None:
    """Computed for this project from Table 5c: 23 m/min at 0.10 mm/rev and 0.41 mm gives 46 m/min."""
    assert hss(0.10, 0.41) == pytest.approx(46.0, abs=0.5)


def test_the_factors_are_powers_within_two_percent() -> None:
    """Computed for this project: min(1.5, (f/0.305)^-0.42) and min(1.5, (ap/3.175)^-0.138) over the whole table."""
    for points, base, power in ((FEED, 0.305, -0.42), (DEPTH, 3.175, -0.138)):
        for at, factor in points:
            assert min(1.5, (at / base) ** power) == pytest.approx(factor, rel=0.022)


@pytest.mark.parametrize(("feed", "depth"), [(0.049, 1.0), (1.03, 1.0), (0.1, 0.12), (0.1, 13.0)])
def test_nothing_is_drawn_on_beyond_the_rows(feed: float, depth: float) -> None:
    with pytest.raises(OutOfRangeError, match=r"feed_mm_rev|depth_mm"):
        hss(feed, depth)


@pytest.mark.parametrize(("feed", "depth"), [(0.05, 0.13), (1.02, 12.7)])
def test_the_ends_of_the_table_belong_to_it(feed: float, depth: float) -> None:
    assert hss(feed, depth) > 0


def test_between_rows_a_straight_line() -> None:
    assert hss(0.165, 3.18) == pytest.approx(23.0 * (1.34 + 1.25) / 2)


@pytest.mark.parametrize(("depth", "factor"), [(1.0, 1.29), (2.5, 1.00), (10.2, 0.79)])
def test_carbide_goes_by_depth_alone(depth: float, factor: float) -> None:
    """Source: [MH31] Table 5a, 15 degrees lead, feed ratio 1.0; opened."""
    assert adjusted_speed_m_min(100.0, depth_mm=depth, depth_factors=CARBIDE) == pytest.approx(100.0 * factor)


def test_carbide_in_a_shallower_cut_than_printed_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match=r"allowed 1 to 25\.4 mm"):
        adjusted_speed_m_min(100.0, depth_mm=0.5, depth_factors=CARBIDE)


def test_a_feed_without_its_table_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="the table is empty"):
        adjusted_speed_m_min(100.0, depth_mm=1.0, depth_factors=CARBIDE, feed_mm_rev=0.1)


def test_a_table_of_one_row_has_one_place() -> None:
    assert value_between_rows(2.0, ((2.0, 5.0),), name="x", unit="mm") == 5.0
