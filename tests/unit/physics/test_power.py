"""Power and torque."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.power import motor_power_w, power_w, torque_at_speed_nm, torque_nm
from handwheel.physics.speed import spindle_speed_rpm


def test_worked_cut() -> None:
    """Computed for this project: 720 N at 30 m/min is 360 W, 480 W at the motor, 7.2 N m on 20 mm."""
    assert power_w(720.0, cutting_speed_m_min=30.0) == 360.0
    assert motor_power_w(360.0, efficiency=0.75) == 480.0
    assert torque_nm(720.0, cut_dia_mm=20.0) == pytest.approx(7.2)


@given(st.floats(1.0, 5000.0), st.floats(1.0, 300.0), st.floats(1.0, 300.0))
def test_torque_by_force_and_by_power_are_one(force: float, speed: float, dia: float) -> None:
    by_power = torque_at_speed_nm(
        power_w(force, cutting_speed_m_min=speed), speed_rpm=spindle_speed_rpm(speed, cut_dia_mm=dia)
    )
    assert by_power == pytest.approx(torque_nm(force, cut_dia_mm=dia))


@pytest.mark.parametrize("efficiency", [0.0, 0.049, 1.001])
def test_efficiency_is_a_share(efficiency: float) -> None:
    with pytest.raises(OutOfRangeError, match="efficiency: got"):
        motor_power_w(100.0, efficiency=efficiency)


@pytest.mark.parametrize("bad", [0.0, -5.0])
def test_nothing_and_less_is_refused(bad: float) -> None:
    with pytest.raises(OutOfRangeError, match="force_n"):
        power_w(bad, cutting_speed_m_min=10.0)
    with pytest.raises(OutOfRangeError, match="force_n"):
        torque_nm(bad, cut_dia_mm=10.0)
    with pytest.raises(OutOfRangeError, match="power_at_cut_w"):
        torque_at_speed_nm(bad, speed_rpm=10.0)
    with pytest.raises(OutOfRangeError, match="power_at_cut_w"):
        motor_power_w(bad, efficiency=0.8)
