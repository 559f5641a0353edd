"""Torque at the spindle: power, regulation and belt, and what stalls."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.drive import (
    STALL_ROOM,
    SpindleTorque,
    available_power_w,
    slip_torque_elsewhere_nm,
    spindle_torque,
    stall_margin,
    weighed_torque_nm,
)
from handwheel.physics.power import power_w, torque_at_speed_nm, torque_nm


@given(speed=st.floats(30.0, 3000.0), limit=st.floats(0.1, 100.0))
def test_the_smaller_of_power_and_belt_rules_and_is_named(speed: float, limit: float) -> None:
    by_power = torque_at_speed_nm(350.0 * 0.8, speed_rpm=speed)
    found = spindle_torque(350.0, efficiency=0.8, speed_rpm=speed, torque_limit_nm=limit)
    assert found.torque_nm == min(by_power, limit)
    assert found.by_belt == (limit < by_power)
    assert not found.estimated


def test_without_a_limit_the_power_stands_and_is_called_an_estimate() -> None:
    found = spindle_torque(350.0, efficiency=0.8, speed_rpm=400.0)
    assert found == SpindleTorque(torque_nm=torque_at_speed_nm(280.0, speed_rpm=400.0), by_belt=False, estimated=True)


@pytest.mark.parametrize(("speed", "same_as"), [(100.0, 1100.0), (1100.0, 1100.0), (2200.0, 2200.0)])
def test_a_regulated_drive_keeps_its_torque_below_full_power(speed: float, same_as: float) -> None:
    found = spindle_torque(350.0, efficiency=0.8, speed_rpm=speed, full_power_rpm=1100.0)
    assert found.torque_nm == pytest.approx(torque_at_speed_nm(280.0, speed_rpm=same_as))


def test_a_cut_that_takes_the_whole_power_leaves_no_margin() -> None:
    """The two ways to the torque of a cut, by force and by power, meet here."""
    force, dia, speed_m_min = 500.0, 25.0, 31.41592653589793
    rpm = 1000.0 * speed_m_min / (3.141592653589793 * dia)
    power = power_w(force, cutting_speed_m_min=speed_m_min)
    available = spindle_torque(power / 0.75, efficiency=0.75, speed_rpm=rpm)
    assert stall_margin(torque_nm(force, cut_dia_mm=dia), available=available) == pytest.approx(1.0)
    assert stall_margin(torque_nm(force / STALL_ROOM, cut_dia_mm=dia), available=available) == pytest.approx(STALL_ROOM)


def test_a_weight_on_an_arm() -> None:
    """Computed: 1 kg at 1 m is 9.80665 N m by the definition of standard gravity."""
    assert weighed_torque_nm(1.0, arm_mm=1000.0) == pytest.approx(9.80665)


@given(st.floats(20.0, 200.0), st.floats(20.0, 200.0), st.floats(1.0, 10.0))
def test_slip_carried_to_another_position_and_back_is_the_same(one: float, other: float, gear: float) -> None:
    there = slip_torque_elsewhere_nm(5.0, tried_pulley_dia_mm=one, pulley_dia_mm=other, back_gear=gear)
    back = slip_torque_elsewhere_nm(there, tried_pulley_dia_mm=other, pulley_dia_mm=one, tried_back_gear=gear)
    assert back == pytest.approx(5.0)
    assert there == pytest.approx(5.0 * other / one * gear)


@pytest.mark.parametrize(
    ("change", "named"),
    [
        ({"motor_power_w": 0.0}, "motor_power_w"),
        ({"efficiency": 1.1}, "efficiency"),
        ({"speed_rpm": -1.0}, "speed_rpm"),
        ({"torque_limit_nm": 0.0}, "torque_limit_nm"),
        ({"full_power_rpm": 0.0}, "full_power_rpm"),
    ],
)
def test_a_drive_that_is_none_is_refused(change: dict[str, float], named: str) -> None:
    figures = {"motor_power_w": 350.0, "efficiency": 0.8, "speed_rpm": 400.0, **change}
    with pytest.raises(OutOfRangeError, match=named):
        spindle_torque(figures.pop("motor_power_w"), **figures)


def test_figures_of_a_trial_have_limits() -> None:
    with pytest.raises(OutOfRangeError, match="needed_nm"):
        stall_margin(0.0, available=SpindleTorque(torque_nm=1.0, by_belt=False, estimated=True))
    with pytest.raises(OutOfRangeError, match="arm_mm"):
        weighed_torque_nm(1.0, arm_mm=0.0)
    with pytest.raises(OutOfRangeError, match="back_gear: got 0"):
        slip_torque_elsewhere_nm(5.0, tried_pulley_dia_mm=80.0, pulley_dia_mm=80.0, back_gear=0.5)


@pytest.mark.parametrize(("rpm", "share"), [(110.0, 0.1), (550.0, 0.5), (1100.0, 1.0), (2200.0, 1.0)])
def test_the_power_of_a_regulated_drive_falls_with_the_speed_and_is_its_torque_at_that_speed(
    rpm: float, share: float
) -> None:
    power = available_power_w(350.0, efficiency=0.8, speed_rpm=rpm, full_power_rpm=1100.0)
    assert power == pytest.approx(share * 280.0)
    torque = spindle_torque(350.0, efficiency=0.8, speed_rpm=rpm, full_power_rpm=1100.0).torque_nm
    assert torque * 2.0 * 3.141592653589793 * rpm / 60.0 == pytest.approx(power)
    assert available_power_w(350.0, efficiency=0.8, speed_rpm=rpm) == 280.0
