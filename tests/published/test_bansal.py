"""R. K. Bansal, Strength of Materials [BANSAL]."""

from __future__ import annotations

import pytest

from handwheel.physics.deflection import cantilever_deflection_mm, cantilever_slope_rad, inner_load_deflection_mm


def test_cantilever_with_a_load_at_its_end() -> None:
    """Source: Problem 13.1, p. 557 (grade O, W36): 3 m, 25 kN, I 1e8 mm4, E 2.1e5; 0.005357 rad, 10.71 mm."""
    slope = cantilever_slope_rad(25e3, length_mm=3000.0, e_n_mm2=2.1e5, moment_mm4=1e8)
    sag = cantilever_deflection_mm(25e3, length_mm=3000.0, e_n_mm2=2.1e5, moment_mm4=1e8)
    assert slope == pytest.approx(0.005357, abs=5e-7)
    assert sag == pytest.approx(10.71, abs=0.005)


def test_cantilever_with_a_load_short_of_its_end() -> None:
    """Source: Problem 13.2, p. 557 (grade O, W37): 50 kN at 2 m of 3 m, E 2e5; 0.005 rad, 11.67 mm."""
    slope = cantilever_slope_rad(50e3, length_mm=2000.0, e_n_mm2=2e5, moment_mm4=1e8)
    sag = inner_load_deflection_mm(50e3, load_at_mm=2000.0, length_mm=3000.0, e_n_mm2=2e5, moment_mm4=1e8)
    assert slope == pytest.approx(0.005, abs=5e-7)
    assert sag == pytest.approx(11.67, abs=0.005)
