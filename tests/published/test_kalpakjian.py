"""Kalpakjian and Schmid, Manufacturing Engineering and Technology [KALPAKJIAN]."""

from __future__ import annotations

import pytest

from handwheel.physics.power import torque_at_speed_nm
from handwheel.physics.speed import cutting_speed_m_min, removal_rate_cm3_min, turning_time_s

MM_PER_IN = 25.4
N_PER_LBF = 4.4482216152605
W_PER_HP = 745.69987158227
CM3_PER_IN3 = 16.387064


def test_turning_a_stainless_rod() -> None:
    """Source: Example 22.1, p. 600 (grade O, W01).

    1/2 in rod of 304 turned to 0.480 in at 400 rpm, 8 in/min, over 6 in; unit power 4/2.73 hp min/in3. The book takes
    3.14 for pi (0.051 %), hence 0.06 % where its figure has more digits, and cuts the force to whole pounds.
    """
    feed_mm_rev = 8 * MM_PER_IN / 400
    speed_in_min = cutting_speed_m_min(400.0, cut_dia_mm=0.5 * MM_PER_IN) * 1000 / MM_PER_IN
    assert speed_in_min == pytest.approx(628, abs=0.5)
    mean_speed_m_min = cutting_speed_m_min(400.0, cut_dia_mm=0.490 * MM_PER_IN)
    rate = removal_rate_cm3_min(mean_speed_m_min, depth_mm=0.010 * MM_PER_IN, feed_mm_rev=feed_mm_rev)
    assert rate / CM3_PER_IN3 == pytest.approx(0.123088, rel=6e-4)
    assert turning_time_s(6 * MM_PER_IN, feed_mm_rev=feed_mm_rev, speed_rpm=400.0) / 60 == pytest.approx(0.75)
    power_hp = 4 / 2.73 * rate / CM3_PER_IN3
    assert power_hp == pytest.approx(0.180349, rel=6e-4)
    torque_nm = torque_at_speed_nm(power_hp * W_PER_HP, speed_rpm=400.0)
    force_lbf = torque_nm / (0.245 * MM_PER_IN / 1000) / N_PER_LBF
    assert 116 <= force_lbf < 117


def test_torque_of_a_drill_from_its_power() -> None:
    """Source: Example 22.2; also [SHARMA] Example 15.10, p. 630 (grade O, W23): 104.72 W at 800 rpm, 1.25 N m."""
    assert torque_at_speed_nm(104.72, speed_rpm=800.0) == pytest.approx(1.25, abs=0.005)
