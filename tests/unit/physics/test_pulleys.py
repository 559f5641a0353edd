"""Speeds from pulleys: pitch diameters, trains of belts, the range that the belt's seat leaves open."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.pulleys import driven_rpm, flat_belt_rpm, pitch_dia_mm, v_belt_rpm

INCH = 25.4
dias = st.floats(40.0, 400.0)


@pytest.mark.parametrize(
    ("driving_in", "driven_in", "nothing", "quarter", "whole"),
    [(3.0, 5.0, 323, 290, 273), (4.0, 4.0, 539, 501, 481), (5.0, 3.0, 898, 865, 847)],
)
def test_a_countershaft_lathe_turns_as_the_practice_case_computes(
    driving_in: float, driven_in: float, nothing: int, quarter: int, whole: int
) -> None:
    """PC-09: 1725 rpm, 2.5 to 8 in, steps 3/4/5 to 5/4/3, a 3/8 in belt; printed to 1 rev/min, hence ± 0.5."""
    train = [(2.5 * INCH, 8.0 * INCH), (driving_in * INCH, driven_in * INCH)]
    for taken_off_in, expected_rpm in ((0.0, nothing), (0.25, quarter), (0.375, whole)):
        assert driven_rpm(1725.0, train, taken_off_mm=taken_off_in * INCH) == pytest.approx(expected_rpm, abs=0.5)
    band = v_belt_rpm(1725.0, train, belt_mm=0.375 * INCH)
    assert band == pytest.approx((whole, quarter, nothing), abs=0.5)


def test_the_ways_of_reckoning_differ_by_up_to_19_percent() -> None:
    """PC-09: "a spread of up to 19 %"; 323 over 273 is 1.185 (printed to 1 %, hence ± 0.5 %)."""
    band = v_belt_rpm(1725.0, [(2.5 * INCH, 8.0 * INCH), (3.0 * INCH, 5.0 * INCH)], belt_mm=0.375 * INCH)
    assert 100.0 * (band.high_rpm / band.low_rpm - 1.0) == pytest.approx(19.0, abs=0.5)


@given(dias, dias, st.floats(4.0, 20.0))
def test_a_range_holds_its_middle_and_pulleys_alike_change_nothing(driving: float, driven: float, belt: float) -> None:
    for band in (
        v_belt_rpm(1400.0, [(driving, driven)], belt_mm=belt),
        flat_belt_rpm(1400.0, [(driving, driven)], thickness_mm=belt),
    ):
        assert band.low_rpm <= band.about_rpm <= band.high_rpm
    alike = v_belt_rpm(1400.0, [(driving, driving)], belt_mm=belt)
    assert alike == pytest.approx((1400.0, 1400.0, 1400.0))


@given(dias, dias)
def test_exchanged_pulleys_invert_the_ratio(driving: float, driven: float) -> None:
    there = driven_rpm(1000.0, [(driving, driven)], taken_off_mm=5.0)
    back = driven_rpm(1000.0, [(driven, driving)], taken_off_mm=5.0)
    assert there * back == pytest.approx(1000.0**2)


def test_a_flat_belt_adds_its_thickness_to_every_pulley() -> None:
    """PC-09 ("a flat belt adds its thickness"): (100 + 4) / (300 + 4) of 960 is 328.4 (computed here)."""
    band = flat_belt_rpm(960.0, [(100.0, 300.0)], thickness_mm=4.0)
    assert band.about_rpm == pytest.approx(328.42, abs=0.005)
    assert band.low_rpm == pytest.approx(320.0)


def test_nothing_may_be_left_of_no_pulley() -> None:
    with pytest.raises(OutOfRangeError, match="check the size of the belt"):
        pitch_dia_mm(10.0, taken_off_mm=10.0)
    with pytest.raises(OutOfRangeError, match="motor_rpm"):
        driven_rpm(0.0, [(60.0, 60.0)])
    with pytest.raises(OutOfRangeError, match="belt_mm"):
        v_belt_rpm(1400.0, [(60.0, 60.0)], belt_mm=0.0)
    with pytest.raises(OutOfRangeError, match="thickness_mm"):
        flat_belt_rpm(1400.0, [(60.0, 60.0)], thickness_mm=-1.0)
