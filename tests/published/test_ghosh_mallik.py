"""A. Ghosh and A. K. Mallik, Manufacturing Science [GHOSH_MALLIK]."""

from __future__ import annotations

import pytest

from handwheel.physics.force import kienzle_force_n
from handwheel.physics.roughness import peak_to_valley_um, sharp_peak_to_valley_um


def test_force_from_a_specific_energy_that_falls_with_chip_thickness() -> None:
    """Source: Problem 4.5, p. 196 (grade O, W08): 1400 N/mm2, exponent 0.4, chip 0.25 x 2.5 mm; companion 1523 N.

    The printed answer is 1517 N, from a power rounded by hand: 0.5 % apart.
    """
    force = kienzle_force_n(2.5, feed_mm_rev=0.25, entering_angle_deg=90.0, kc11_n_mm2=1400.0, mc=0.4)
    assert force == pytest.approx(1523, abs=0.5)
    assert force == pytest.approx(1517, rel=0.005)


def test_height_of_feed_marks() -> None:
    """Source: Problem 4.24, p. 260 (grade O, W19): feed 0.125; side angle 30 and end angle 7 deg, or radius 0.7 mm.

    The side angle is counted from across the feed, so the entering angle is 60 deg. Printed 0.014 and 0.0028 mm.
    """
    sharp = sharp_peak_to_valley_um(0.125, entering_angle_deg=60.0, trailing_angle_deg=7.0)
    assert sharp / 1000 == pytest.approx(0.014, abs=0.0005)
    assert peak_to_valley_um(0.125, nose_radius_mm=0.7) / 1000 == pytest.approx(0.0028, abs=0.00005)
