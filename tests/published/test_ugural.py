"""A. C. Ugural and S. K. Fenster, Advanced Strength and Applied Elasticity [UGURAL]."""

from __future__ import annotations

import pytest

from handwheel.physics.lame import Cylinder, fit_pressure_n_mm2, hoop_stress_n_mm2


def steel(inner_dia_mm: float, outer_dia_mm: float) -> Cylinder:
    return Cylinder(inner_dia_mm=inner_dia_mm, outer_dia_mm=outer_dia_mm, e_n_mm2=200e3, poisson=0.3)


def test_pressures_that_reach_a_hoop_limit() -> None:
    """Source: Example 8.1, p. 239 (grade O, W29): 0.3 to 0.4 m, limit 250 MPa: 70 inside or 54.6875 MPa outside."""
    tube = steel(300.0, 400.0)
    assert hoop_stress_n_mm2(tube, at_dia_mm=300.0, inner_pressure_n_mm2=70.0) == pytest.approx(250.0)
    assert hoop_stress_n_mm2(tube, at_dia_mm=300.0, outer_pressure_n_mm2=54.6875) == pytest.approx(-250.0)


def test_compound_cylinder() -> None:
    """Source: Example 8.3, p. 243 (grade O, W31): radii 0.15, 0.2, 0.25 m, 0.1 mm of radius; stresses with 12.3 MPa."""
    inner, outer = steel(300.0, 400.0), steel(400.0, 500.0)
    assert fit_pressure_n_mm2(inner, outer, interference_dia_mm=0.2) == pytest.approx(12.3, abs=0.05)
    found = [hoop_stress_n_mm2(outer, at_dia_mm=dia, inner_pressure_n_mm2=12.3) for dia in (400.0, 500.0)]
    found += [hoop_stress_n_mm2(inner, at_dia_mm=dia, outer_pressure_n_mm2=12.3) for dia in (300.0, 400.0)]
    assert found == pytest.approx([56.03, 43.73, -56.23, -43.93], abs=0.005)
