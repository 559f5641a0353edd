"""Drilling into the full and into a hole."""

from __future__ import annotations

from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.drilling import (
    DrillPoint,
    drill_torque_band_nm,
    kienzle_drill_torque_nm,
    point_length_mm,
    shaw_oxford_thrust_n,
    shaw_oxford_torque_nm,
)


@pytest.mark.parametrize(
    ("point", "work_constant", "thrust", "torque"),
    [
        (DrillPoint.STANDARD, 24000.0, 1894.0, 5.0),
        (DrillPoint.SPLIT, 24000.0, 1286.0, 4.6),
        (DrillPoint.STANDARD, 35000.0, 2762.0, 7.3),
    ],
)
def test_worked_drill_of_8_mm(point: DrillPoint, work_constant: float, thrust: float, torque: float) -> None:
    """Computed for this project with the handbook's rounded powers of feed and diameter, hence 0.3 %."""
    found = shaw_oxford_thrust_n(8.0, feed_mm_rev=0.12, work_constant=work_constant, point=point)
    assert found == pytest.approx(thrust, rel=0.003)
    found = shaw_oxford_torque_nm(8.0, feed_mm_rev=0.12, work_constant=work_constant, point=point)
    assert found == pytest.approx(torque, abs=0.06)


@pytest.mark.parametrize(("kc11", "mc", "bare", "corrected"), [(2220.0, 0.14, 3.2, 5.0), (1500.0, 0.22, 2.8, 4.3)])
def test_worked_two_lip_torque(kc11: float, mc: float, bare: float, corrected: float) -> None:
    """Computed for this project: C45, 8 mm, feed 0.12; corrected by 1.2 and 1.3. Rounded to 0.1."""
    torque = kienzle_drill_torque_nm(8.0, feed_mm_rev=0.12, kc11_n_mm2=kc11, mc=mc)
    assert torque == pytest.approx(bare, abs=0.06)
    assert torque * 1.2 * 1.3 == pytest.approx(corrected, abs=0.06)


@given(st.floats(2.0, 20.0), st.floats(0.05, 0.95))
def test_opening_a_hole_in_two_steps_costs_the_torque_of_one(drill: float, share: float) -> None:
    """The torque of an even pressure on the lips adds up over rings of the hole."""
    hole = drill * share
    whole = kienzle_drill_torque_nm(drill, feed_mm_rev=0.1, kc11_n_mm2=2000.0, mc=0.2)
    first = kienzle_drill_torque_nm(hole, feed_mm_rev=0.1, kc11_n_mm2=2000.0, mc=0.2)
    rest = kienzle_drill_torque_nm(drill, feed_mm_rev=0.1, kc11_n_mm2=2000.0, mc=0.2, hole_dia_mm=hole)
    assert first + rest == pytest.approx(whole)


def test_a_pilot_hole_takes_most_of_the_push() -> None:
    full = shaw_oxford_thrust_n(10.0, feed_mm_rev=0.1, work_constant=24000.0)
    opened = shaw_oxford_thrust_n(10.0, feed_mm_rev=0.1, work_constant=24000.0, hole_dia_mm=3.0)
    assert opened < 0.5 * full
    assert shaw_oxford_torque_nm(10.0, feed_mm_rev=0.1, work_constant=24000.0, hole_dia_mm=3.0) < shaw_oxford_torque_nm(
        10.0, feed_mm_rev=0.1, work_constant=24000.0
    )


@pytest.mark.parametrize("point", list(DrillPoint))
def test_an_opened_hole_loses_the_chisel_and_the_inner_lips(point: DrillPoint) -> None:
    """The formulas worked by hand with A = B = 1 and J = 0: 10 mm into 4 mm, feed 0.1, constant 24000."""
    thrust = shaw_oxford_thrust_n(10.0, feed_mm_rev=0.1, work_constant=24000.0, point=point, hole_dia_mm=4.0)
    assert thrust == pytest.approx(0.05 * 24000 * 0.1**0.8 * 10**0.8 * 0.6)
    torque = shaw_oxford_torque_nm(10.0, feed_mm_rev=0.1, work_constant=24000.0, point=point, hole_dia_mm=4.0)
    assert torque == pytest.approx(0.000025 * 24000 * 0.1**0.8 * 10**1.8 * 0.84)


def test_chip_of_a_lip_is_half_the_feed_across_the_half_angle_of_the_point() -> None:
    """With exponent 0.5 the torque goes with the root of the chip: at 180 and at 60 degrees as 1 to sin 30."""
    flat, steep = (
        kienzle_drill_torque_nm(8.0, feed_mm_rev=0.5, kc11_n_mm2=1000.0, mc=0.5, point_angle_deg=angle)
        for angle in (180.0, 60.0)
    )
    assert flat == pytest.approx(1000 / 0.25**0.5 * 0.5 * 64 / 8000)
    assert steep == pytest.approx(flat * 2**0.5)


def test_wear_raises_both_alike() -> None:
    sharp = shaw_oxford_thrust_n(8.0, feed_mm_rev=0.1, work_constant=24000.0)
    assert shaw_oxford_thrust_n(8.0, feed_mm_rev=0.1, work_constant=24000.0, wear=1.3) == pytest.approx(1.3 * sharp)


def test_band_holds_every_kienzle_set_and_the_handbook_but_no_power_constant() -> None:
    kienzle = SimpleNamespace(kc_low_n_mm2=1500.0, kc_high_n_mm2=2220.0, mc=0.14, feed_factors=())
    constant = SimpleNamespace(kc_low_n_mm2=9000.0, kc_high_n_mm2=9000.0, mc=None, feed_factors=((0.1, 1.0),))
    low, high = drill_torque_band_nm((kienzle, constant), drill_dia_mm=8.0, feed_mm_rev=0.12, work_constant=24000.0)
    assert low == kienzle_drill_torque_nm(8.0, feed_mm_rev=0.12, kc11_n_mm2=1500.0, mc=0.14)
    assert high == shaw_oxford_torque_nm(8.0, feed_mm_rev=0.12, work_constant=24000.0)


def test_band_corrects_both_methods() -> None:
    kienzle = SimpleNamespace(kc_low_n_mm2=2220.0, kc_high_n_mm2=2220.0, mc=0.14, feed_factors=())
    low, high = drill_torque_band_nm((kienzle,), drill_dia_mm=8.0, feed_mm_rev=0.12, work_constant=24000.0, factor=1.56)
    assert low == pytest.approx(1.56 * kienzle_drill_torque_nm(8.0, feed_mm_rev=0.12, kc11_n_mm2=2220.0, mc=0.14))
    assert high == pytest.approx(shaw_oxford_torque_nm(8.0, feed_mm_rev=0.12, work_constant=24000.0, wear=1.3))


def test_band_of_nothing_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="no Kienzle set and no drilling constant"):
        drill_torque_band_nm((), drill_dia_mm=8.0, feed_mm_rev=0.12)


@pytest.mark.parametrize("hole", [-0.1, 8.0, 9.0])
def test_hole_must_be_smaller_than_the_drill(hole: float) -> None:
    message = "hole_dia_mm: got .* below the drill of 8 mm; a drill no larger than the hole cuts nothing"
    with pytest.raises(OutOfRangeError, match=message):
        shaw_oxford_torque_nm(8.0, feed_mm_rev=0.1, work_constant=24000.0, hole_dia_mm=hole)
    with pytest.raises(OutOfRangeError, match=message):
        kienzle_drill_torque_nm(8.0, feed_mm_rev=0.1, kc11_n_mm2=1500.0, mc=0.2, hole_dia_mm=hole)
    with pytest.raises(OutOfRangeError, match=message):
        point_length_mm(8.0, hole_dia_mm=hole)


def test_point_is_shorter_when_flatter_or_opening() -> None:
    assert point_length_mm(10.0) == pytest.approx(3.0043, abs=5e-5)
    assert point_length_mm(10.0, hole_dia_mm=5.0) == pytest.approx(point_length_mm(10.0) / 2)
    assert point_length_mm(10.0, point_angle_deg=180.0) == pytest.approx(0.0, abs=1e-12)
    with pytest.raises(OutOfRangeError, match="point_angle_deg"):
        point_length_mm(10.0, point_angle_deg=59.0)


def test_wear_has_limits() -> None:
    with pytest.raises(OutOfRangeError, match=r"wear: got 0\.9"):
        shaw_oxford_torque_nm(8.0, feed_mm_rev=0.1, work_constant=24000.0, wear=0.9)
