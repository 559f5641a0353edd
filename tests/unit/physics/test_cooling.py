"""Warm work: from the cut to the wait."""

from __future__ import annotations

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.cooling import MOST_BIOT, biot_number, cooling_wait_s, warmth_matters
from handwheel.physics.force import kienzle_force_n
from handwheel.physics.power import power_w
from handwheel.physics.speed import spindle_speed_rpm, turning_time_s
from handwheel.physics.thermal import (
    cooling_time_constant_s,
    excess_temperature_k,
    size_change_mm,
    temperature_rise_k,
)


def test_worked_pass_over_a_ring_of_304_from_its_settings() -> None:
    """Computed for this project, no evidence: Ø 20/16 x 6, depth 0.5, feed 0.1, 20 m/min; each figure as rounded."""
    force = kienzle_force_n(0.5, feed_mm_rev=0.1, entering_angle_deg=90.0, kc11_n_mm2=2150.0, mc=0.20)
    power = power_w(force, cutting_speed_m_min=20.0)
    rpm = spindle_speed_rpm(20.0, cut_dia_mm=20.0)
    time = turning_time_s(6.0, feed_mm_rev=0.1, speed_rpm=rpm)
    assert (force, power, rpm, time) == pytest.approx((170.0, 56.8, 318.0, 11.3), rel=0.003)
    assert power * time == pytest.approx(642.0, rel=0.002)
    mass_kg = 7.9e-6 * pi / 4.0 * (20.0**2 - 16.0**2) * 6.0
    assert 1000.0 * mass_kg == pytest.approx(5.36, abs=0.005)
    rise = temperature_rise_k(power, time_s=time, heat_share=0.1, mass_kg=mass_kg, specific_heat_j_kg_k=500.0)
    error = size_change_mm(20.0, alpha_per_k=16e-6, difference_k=rise)
    assert (rise, 1000.0 * error) == pytest.approx((24.0, 7.7), rel=0.005)
    surface = pi * (20.0 + 16.0) * 6.0 + pi / 2.0 * (20.0**2 - 16.0**2)
    constant = cooling_time_constant_s(mass_kg, specific_heat_j_kg_k=500.0, surface_mm2=surface)
    assert constant == pytest.approx(296.0, rel=0.002)
    wait = cooling_wait_s(error, allowed_mm=error / 10.0, time_constant_s=constant)
    assert 2.0 < wait / constant < 3.0, "two to three time constants, as the reference says"


@given(st.floats(0.001, 0.1), st.floats(0.0001, 0.1), st.floats(1.0, 1000.0))
def test_after_the_wait_just_what_is_allowed_is_left(error: float, allowed: float, constant: float) -> None:
    wait = cooling_wait_s(error, allowed_mm=allowed, time_constant_s=constant)
    left = excess_temperature_k(error, time_s=wait, time_constant_s=constant)
    assert left == pytest.approx(min(error, allowed))


def test_cold_work_is_as_wrong_as_warm() -> None:
    assert warmth_matters(-0.004, tolerance_mm=0.033, share=0.1)
    assert not warmth_matters(0.0033, tolerance_mm=0.033, share=0.1)
    assert cooling_wait_s(-0.006, allowed_mm=0.003, time_constant_s=300.0) > 0


def test_metals_with_thin_walls_are_of_one_temperature_and_plastics_are_not() -> None:
    assert biot_number(5.0, film_w_m2_k=30.0, conductivity=6.7) < MOST_BIOT
    assert biot_number(5.0, film_w_m2_k=10.0, conductivity=0.31) > MOST_BIOT


def test_waiting_for_nothing_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="allowed_mm"):
        cooling_wait_s(0.01, allowed_mm=0.0, time_constant_s=300.0)
    with pytest.raises(OutOfRangeError, match="tolerance_mm"):
        warmth_matters(0.01, tolerance_mm=0.0, share=0.1)
