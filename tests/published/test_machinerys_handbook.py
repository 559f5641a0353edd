"""Machinery's Handbook, 31st edition [MH31]."""

from __future__ import annotations

import pytest

from handwheel.data.forces import force_models
from handwheel.data.materials import material
from handwheel.physics.drilling import shaw_oxford_thrust_n, shaw_oxford_torque_nm
from handwheel.physics.force import ForceFactors, force_band
from handwheel.physics.power import motor_power_w, power_w

MM_PER_IN = 25.4
N_PER_LBF = 4.4482216152605
NM_PER_LBF_IN = 0.1129848290276167
W_PER_HP = 745.69987158227


def test_drilling_example() -> None:
    """Source: p. 1152, example (grade P: drill, steel 200 HB, 350 rpm, efficiency 0.80 opened; the rest from memory).

    7/8 in standard drill, 0.008 in/rev, K_d 24000, wear 1.3: T 2313 lb, M 559 in lb, 3.1 hp at the cut, 3.9 hp motor.
    The handbook's metric coefficients have one or two digits, hence 1 % between its two forms.
    """
    drill_dia_mm, feed_mm_rev = 0.875 * MM_PER_IN, 0.008 * MM_PER_IN
    thrust = shaw_oxford_thrust_n(drill_dia_mm, feed_mm_rev=feed_mm_rev, work_constant=24000.0, wear=1.3)
    torque = shaw_oxford_torque_nm(drill_dia_mm, feed_mm_rev=feed_mm_rev, work_constant=24000.0, wear=1.3)
    assert thrust / N_PER_LBF == pytest.approx(2313, rel=0.01)
    assert torque / NM_PER_LBF_IN == pytest.approx(559, rel=0.01)
    power_hp = torque * 350 / 9.5493 / W_PER_HP
    assert power_hp == pytest.approx(3.1, abs=0.05)
    assert motor_power_w(power_hp * W_PER_HP, efficiency=0.80) / W_PER_HP == pytest.approx(3.9, abs=0.05)


def test_power_constant_of_carbon_steel() -> None:
    """Source: machining power, Table 1b (opened): 2.24 kW/(cm3/s) at 180-200 HB; factors C and W from memory.

    Worked by hand from P = K_p C Q W: depth 1, feed 0.15, 30 m/min, so Q 0.075 cm3/s: 2.24 1.15 0.075 1.30 = 0.251 kW.
    """
    book = [model for model in force_models(material("st_c45")) if model.mc is None]
    force = force_band(book, depth_mm=1.0, feed_mm_rev=0.15, factors=ForceFactors(wear=1.3))
    assert power_w(force.ruling_n, cutting_speed_m_min=30.0) == pytest.approx(251, abs=0.5)
    assert force.low_n == force.high_n
