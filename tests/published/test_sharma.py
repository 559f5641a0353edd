"""P. C. Sharma, A Textbook of Production Engineering [SHARMA]."""

from __future__ import annotations

import pytest

from handwheel.physics.drilling import kienzle_drill_torque_nm, point_length_mm
from handwheel.physics.power import motor_power_w, power_w, torque_at_speed_nm
from handwheel.physics.speed import (
    cutting_speed_m_min,
    facing_time_s,
    removal_rate_cm3_min,
    spindle_speed_rpm,
    turning_time_s,
)

STANDARD_GRAVITY_N_KGF = 9.80665


def test_cut_in_metric_units() -> None:
    """Source: Example 15.9, p. 630 (grade O, W02; the companion's answers, it calls the printed ones wrong).

    12.70 to 12.19 mm at 400 rpm, 203.2 mm/min over 150 mm, 56 W per mm2 m/min. Rounded to the digits printed, except
    the removal rate, which is cut to 2025.
    """
    speed = cutting_speed_m_min(400.0, cut_dia_mm=12.70)
    depth_mm, feed_mm_rev, mean_dia_mm = 0.255, 203.2 / 400, 12.445
    assert speed / 60 == pytest.approx(0.27, abs=0.005)
    mean_speed = cutting_speed_m_min(400.0, cut_dia_mm=mean_dia_mm)
    rate = removal_rate_cm3_min(mean_speed, depth_mm=depth_mm, feed_mm_rev=feed_mm_rev)
    assert rate * 1000 == pytest.approx(2025, abs=1.0)
    assert turning_time_s(150.0, feed_mm_rev=feed_mm_rev, speed_rpm=400.0) / 60 == pytest.approx(0.74, abs=0.005)
    power = power_w(56 * 60 * depth_mm * feed_mm_rev, cutting_speed_m_min=speed)
    assert power == pytest.approx(115.8, abs=0.05)
    assert 2000 * torque_at_speed_nm(power, speed_rpm=400.0) / mean_dia_mm == pytest.approx(444, abs=0.5)


def test_two_turned_steps() -> None:
    """Source: Example 4.11, p. 216 (grade O, W03); printed to 0.01 min.

    The companion's feed of 0.75 mm/rev is inferred: it writes 7.5 and multiplies the lengths by ten.
    """
    time_s = sum(
        turning_time_s(length_mm, feed_mm_rev=0.75, speed_rpm=spindle_speed_rpm(100.0, cut_dia_mm=dia_mm))
        for dia_mm, length_mm in ((50.0, 76.0), (38.0, 38.0))
    )
    assert time_s / 60 == pytest.approx(0.22, abs=0.005)


def test_turning_a_relief() -> None:
    """Source: Example 4.12, p. 218 (grade O, W04); printed to 0.01 min."""
    rpm = spindle_speed_rpm(60.0, cut_dia_mm=38.0)
    assert turning_time_s(32.0, feed_mm_rev=0.375, speed_rpm=rpm) / 60 == pytest.approx(0.17, abs=0.005)


def test_facing_at_the_speed_of_the_mean_diameter() -> None:
    """Source: Example 4.13, p. 220 (grade O, W05); printed to 0.01 min."""
    rpm = spindle_speed_rpm(27.0, cut_dia_mm=175.0)
    time_s = facing_time_s(250.0, inner_dia_mm=100.0, feed_mm_rev=0.8, speed_rpm=rpm)
    assert time_s / 60 == pytest.approx(1.91, abs=0.005)


def test_drilling_through() -> None:
    """Source: Example 4.14, p. 221 (grade O, W06); printed to 0.001 min. The approach is 0.29 D each way.

    Our length of a 118 degree point is 0.300 D, hence 4 % between the two on the approach alone.
    """
    rpm = spindle_speed_rpm(75.0, cut_dia_mm=12.7)
    time_s = turning_time_s(50.0 + 2 * 0.29 * 12.7, feed_mm_rev=0.175, speed_rpm=rpm)
    assert time_s / 60 == pytest.approx(0.174, abs=0.0005)
    assert point_length_mm(12.7) == pytest.approx(0.29 * 12.7, rel=0.04)


def test_power_at_a_known_force() -> None:
    """Source: Example 14.17, p. 575 (grade O, W07): 300 mm, 45 rpm, 1850 N, depth 2, feed 0.3."""
    speed = cutting_speed_m_min(45.0, cut_dia_mm=300.0)
    power = power_w(1850.0, cutting_speed_m_min=speed)
    assert power / 1000 == pytest.approx(1.31, abs=0.005)
    rate_mm3_s = removal_rate_cm3_min(speed, depth_mm=2.0, feed_mm_rev=0.3) * 1000 / 60
    assert power / rate_mm3_s == pytest.approx(3.08, abs=0.005)


def test_motor_power_behind_a_cut() -> None:
    """Source: Example 14.14, p. 573 (grade O, W09): Fc = 1593 f^0.85 d^0.98 at 0.2 m/s, efficiency 0.85."""
    power = power_w(1593 * 0.5**0.85 * 3.2**0.98, cutting_speed_m_min=12.0)
    assert power / 1000 == pytest.approx(0.553, abs=0.0005)
    assert motor_power_w(power, efficiency=0.85) / 1000 == pytest.approx(0.65, abs=0.0005)


def test_drilling_moment_from_hardness() -> None:
    """Source: Example 15.4, p. 616 (grade O, W24): M = HB d2 f / 8 in kgf mm, printed to 0.1.

    The same two-lip geometry with a specific force of HB kgf/mm2 that does not depend on the chip.
    """
    torque = kienzle_drill_torque_nm(12.7, feed_mm_rev=0.254, kc11_n_mm2=200 * STANDARD_GRAVITY_N_KGF, mc=0.0)
    assert torque * 1000 / STANDARD_GRAVITY_N_KGF == pytest.approx(1024.2, abs=0.05)


def test_ends_of_a_series_of_spindle_speeds() -> None:
    """Source: Example 22.1, p. 778 (grade O, W70): 30 m/min on 60 and 10 mm; published values are cut to whole rpm."""
    assert int(spindle_speed_rpm(30.0, cut_dia_mm=60.0)) == 159
    assert int(spindle_speed_rpm(30.0, cut_dia_mm=10.0)) == 954
