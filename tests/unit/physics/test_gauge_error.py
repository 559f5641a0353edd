"""Chords, flats, tilt, lobes and the mean of readings: limits, edges, and a second way to each number."""

from __future__ import annotations

from functools import partial
from itertools import product
from math import cos, pi, radians, sqrt
from random import Random
from statistics import fmean, stdev
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.gauge_error import (
    MOST_TILT_DEG,
    bore_by_caliper_mm,
    caliper_shortfall_mm,
    chord_offset_mm,
    chord_shortfall_mm,
    tilt_deg,
    tilt_excess_mm,
)
from handwheel.physics.lobes_seen import three_point_swing_factor, two_point_swing_factor
from handwheel.physics.mean_reading import (
    MEAN_RANGE_OF_THREE,
    SURE_ENOUGH,
    effective_readings,
    left_of_tolerance_mm,
    mean_uncertainty_mm,
    readings_needed,
)

if TYPE_CHECKING:
    from collections.abc import Callable

DIAMETERS = st.floats(5.0, 100.0)
ROUND_MM = 10.0
LOBE_MM = 0.001
STEPS = 3600


def swing_over_height(lobes: int, size: Callable[[float, int], float]) -> float:
    """Swing of a gauge's diameter round a lobed part, over the height of the lobes, by going round it."""
    read = [size(2.0 * pi * step / STEPS, lobes) for step in range(STEPS)]
    return (max(read) - min(read)) / LOBE_MM


def radius_mm(angle_rad: float, lobes: int) -> float:
    return ROUND_MM + LOBE_MM / 2.0 * cos(lobes * angle_rad)


def across_mm(angle_rad: float, lobes: int) -> float:
    return radius_mm(angle_rad, lobes) + radius_mm(angle_rad + pi, lobes)


def in_vee_mm(vee_deg: float, angle_rad: float, lobes: int) -> float:
    """Diameter by a vee: its apex to the probe opposite, the scale true on round work."""
    half = radians(vee_deg) / 2.0
    one, other = (radius_mm(angle_rad + pi + side * (pi / 2.0 - half), lobes) for side in (-1, 1))
    from_apex = (one + other) / 2.0 / cos(pi / 2.0 - half) + radius_mm(angle_rad, lobes)
    return 2.0 * from_apex / (1.0 + 1.0 / cos(pi / 2.0 - half))


@given(DIAMETERS, st.floats(0.01, 0.2))
def test_a_caliper_reading_and_its_bore_lead_back_to_each_other(bore_mm: float, share: float) -> None:
    flat_mm = share * bore_mm
    read_mm = bore_mm - caliper_shortfall_mm(bore_mm, flat_mm=flat_mm)
    assert bore_by_caliper_mm(read_mm, flat_mm=flat_mm) == pytest.approx(bore_mm, rel=1e-12)
    assert caliper_shortfall_mm(bore_mm, flat_mm=flat_mm) == chord_shortfall_mm(bore_mm, offset_mm=flat_mm / 2.0)


@given(DIAMETERS, st.floats(0.1, MOST_TILT_DEG - 0.1))
def test_tilt_and_chord_are_found_back_from_what_they_do(bore_mm: float, angle_deg: float) -> None:
    excess_mm = tilt_excess_mm(bore_mm, tilt_deg=angle_deg)
    assert tilt_deg(bore_mm, excess_mm=excess_mm) == pytest.approx(angle_deg, rel=1e-6)
    offset_mm = bore_mm * angle_deg / 100.0
    shortfall_mm = chord_shortfall_mm(bore_mm, offset_mm=offset_mm)
    assert chord_offset_mm(bore_mm, shortfall_mm=shortfall_mm) == pytest.approx(offset_mm, rel=1e-6)


def test_no_flat_and_no_tilt_err_by_nothing() -> None:
    assert caliper_shortfall_mm(18.0, flat_mm=0.0) == 0.0
    assert tilt_excess_mm(18.0, tilt_deg=0.0) == 0.0
    assert tilt_deg(18.0, excess_mm=0.0) == 0.0


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: caliper_shortfall_mm(1.0, flat_mm=1.01), "flat_mm: got 1.01 mm, allowed 0 to 1 mm"),
        (lambda: caliper_shortfall_mm(0.0, flat_mm=0.0), "bore_dia_mm: got 0 mm, must be above 0"),
        (lambda: chord_shortfall_mm(10.0, offset_mm=5.01), "offset_mm: got 5.01 mm, allowed 0 to 5 mm"),
        (lambda: tilt_excess_mm(10.0, tilt_deg=30.1), "tilt_deg: got 30.1 deg, allowed 0 to 30 deg"),
        (lambda: tilt_deg(10.0, excess_mm=2.0), "excess_mm: got 2 mm, a tilt above 30 deg"),
        (lambda: two_point_swing_factor(1), "lobes: got 1, allowed 2 to 60"),
        (lambda: three_point_swing_factor(3, vee_deg=175.0), "vee_deg: got 175 deg, allowed 10 to 170 deg"),
        (lambda: effective_readings(()), r"counts: got \(\), must be one reading or more a place"),
        (lambda: effective_readings((2, 0)), r"counts: got \(2, 0\), must be one reading or more a place"),
        (lambda: left_of_tolerance_mm(0.0, uncertainty_mm=0.0), "tolerance_mm: got 0 mm, must be above 0"),
    ],
)
def test_what_cannot_be_is_refused(call: Callable[[], float], message: str) -> None:
    with pytest.raises(OutOfRangeError, match=message):
        call()


@pytest.mark.parametrize("lobes", range(2, 13))
def test_lobes_seen_agree_with_going_round_the_part(lobes: int) -> None:
    """Against the swing over 3600 places, with no formula shared."""
    assert two_point_swing_factor(lobes) == pytest.approx(swing_over_height(lobes, across_mm), abs=1e-6)
    for vee_deg in (60.0, 90.0, 108.0):
        walked = swing_over_height(lobes, partial(in_vee_mm, vee_deg))
        assert three_point_swing_factor(lobes, vee_deg=vee_deg) == pytest.approx(walked, abs=1e-4)


def test_a_three_point_gauge_sees_three_lobes_in_full_and_no_oval() -> None:
    assert three_point_swing_factor(3) == pytest.approx(2.0)
    assert three_point_swing_factor(2) == pytest.approx(0.0, abs=1e-12)


def test_the_mean_distance_of_three_is_what_three_normal_readings_show() -> None:
    """By trial: 40,000 threes of normal readings, seed 5."""
    dice = Random(5)  # noqa: S311 - a trial by numbers, nothing is kept secret with it
    threes = [[dice.gauss(0.0, 1.0) for _ in range(3)] for _ in range(40_000)]
    assert fmean(max(three) - min(three) for three in threes) == pytest.approx(MEAN_RANGE_OF_THREE, abs=0.015)
    assert pytest.approx(0.1137, abs=5e-5) == SURE_ENOUGH


@pytest.mark.parametrize(("counts", "alike"), list(product([(1, 1, 1), (3,), (2, 1), (2, 2, 2)], [0.0, 0.5, 1.0])))
def test_effective_readings_agree_with_the_spread_of_simulated_means(counts: tuple[int, ...], alike: float) -> None:
    """By trial: 20,000 means of readings that share a part of their spread in each place, seed 6."""
    dice = Random(6)  # noqa: S311 - a trial by numbers, nothing is kept secret with it
    means = []
    for _ in range(20_000):
        read = []
        for count in counts:
            place = sqrt(alike) * dice.gauss(0.0, 1.0)
            read += [place + sqrt(1.0 - alike) * dice.gauss(0.0, 1.0) for _ in range(count)]
        means.append(fmean(read))
    assert effective_readings(counts, alike=alike) == pytest.approx(1.0 / stdev(means) ** 2, rel=0.04)


@given(st.floats(0.01, 0.2), st.floats(0.001, 0.05), st.floats(0.0, 0.01))
def test_so_many_readings_are_enough_and_one_less_is_not(tolerance_mm: float, spread_mm: float, bias_mm: float) -> None:
    needed = readings_needed(tolerance_mm, spread_mm=spread_mm, bias_mm=bias_mm)
    most_mm = SURE_ENOUGH * tolerance_mm
    if needed is None:
        assert bias_mm >= most_mm * (1.0 - 1e-9)
        return
    assert mean_uncertainty_mm(spread_mm, effective=needed, bias_mm=bias_mm) <= most_mm * (1.0 + 1e-9)
    if needed > 1:
        assert mean_uncertainty_mm(spread_mm, effective=needed - 1, bias_mm=bias_mm) > most_mm * (1.0 - 1e-9)
