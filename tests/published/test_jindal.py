"""U. C. Jindal, Machine Design [JINDAL]."""

from __future__ import annotations

from fractions import Fraction
from math import cos, radians

import pytest

from handwheel.data.iso286 import iso286_deviations
from handwheel.physics.power import torque_at_speed_nm
from handwheel.physics.taper_drive import radial_force_n


def test_clearances_of_50_h8_g7() -> None:
    """Source: Example 4-3, p. 113 (grade O, W67): greatest clearance 0.073, least 0.009 mm; exact."""
    hole_lower, hole_upper = iso286_deviations(Fraction(50), "H8")
    shaft_lower, shaft_upper = iso286_deviations(Fraction(50), "g7")
    assert hole_upper - shaft_lower == Fraction("0.073")
    assert hole_lower - shaft_upper == Fraction("0.009")


def test_hole_of_an_interference_fit_at_25_mm() -> None:
    """Source: Example 4-2, p. 112 (grade O, W68): the hole is +21/0 um, which is H7; its shaft is not in our table."""
    assert iso286_deviations(Fraction(25), "H7") == (Fraction(0), Fraction("0.021"))


def test_torque_through_a_cone() -> None:
    """Source: Example 22-8, p. 594 (grade O, W46): 15 deg half angle, 0.3, 300 N, mean radius 45 mm; 15.648 N m.

    The book leaves out the friction while seating: then the normal force is the radial one over cos 15 deg.
    """
    normal = radial_force_n(300.0, half_angle_deg=15.0, friction=0.0) / cos(radians(15.0))
    assert 0.3 * normal * 0.045 == pytest.approx(15.648, abs=0.0005)


def test_torque_of_a_power_at_a_speed() -> None:
    """Source: Example 22-7, p. 593 (grade O, W47): 12 kW at 750 rpm, 152.8 N m."""
    assert torque_at_speed_nm(12e3, speed_rpm=750.0) == pytest.approx(152.8, abs=0.05)
