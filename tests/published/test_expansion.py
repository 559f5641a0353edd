"""Thermal expansion: Pytel and Kiusalaas [PYTEL], and the GUM's end gauge [GUM]."""

from __future__ import annotations

from math import sqrt

import pytest

from handwheel.physics.thermal import size_change_mm


def test_rod_held_between_walls() -> None:
    """Source: [PYTEL] Example 2.10, p. 62 (grade O, W49): 2.5 m, 11.7e-6, 200 GPa, 40 C; 93.6 and 53.6 MPa."""
    free_mm = size_change_mm(2500.0, alpha_per_k=11.7e-6, difference_k=40.0)
    assert 200e3 * free_mm / 2500.0 == pytest.approx(93.6)
    assert 200e3 * (free_mm - 0.5) / 2500.0 == pytest.approx(53.6)


def test_length_uncertainty_of_an_end_gauge() -> None:
    """Source: [GUM] Annex H.1 (grade O, W50): 50.000623 mm, 11.5e-6, rectangular +-0.05 C; 16.599 nm."""
    change_mm = size_change_mm(50.000623, alpha_per_k=11.5e-6, difference_k=0.05)
    assert change_mm / sqrt(3) * 1e6 == pytest.approx(16.599, abs=0.0005)
