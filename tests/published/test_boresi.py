"""A. P. Boresi and R. J. Schmidt, Advanced Mechanics of Materials [BORESI]."""

from __future__ import annotations

import pytest

from handwheel.physics.lame import Cylinder, fit_pressure_n_mm2, hoop_stress_n_mm2, radial_stress_n_mm2
from handwheel.physics.thermal import size_change_mm


def steel(inner_dia_mm: float, outer_dia_mm: float) -> Cylinder:
    return Cylinder(inner_dia_mm=inner_dia_mm, outer_dia_mm=outer_dia_mm, e_n_mm2=200e3, poisson=0.29)


@pytest.mark.parametrize(("at_dia_mm", "hoop"), [(20.0, 325.0), (50.0, 62.5), (100.0, 25.0)])
def test_hoop_stress_in_a_thick_cylinder(at_dia_mm: float, hoop: float) -> None:
    """Source: Example 11.1, p. 397 (grade O, W30): radii 10 and 50 mm, 300 MPa inside; printed to 0.1."""
    found = hoop_stress_n_mm2(steel(20.0, 100.0), at_dia_mm=at_dia_mm, inner_pressure_n_mm2=300.0)
    assert found == pytest.approx(hoop, abs=0.05)


def test_radial_stress_in_a_thick_cylinder() -> None:
    """Source: Example 11.1, p. 397 (grade O, W30): -37.5 MPa at 25 mm; at the bore the pressure itself."""
    wall = steel(20.0, 100.0)
    assert radial_stress_n_mm2(wall, at_dia_mm=50.0, inner_pressure_n_mm2=300.0) == pytest.approx(-37.5, abs=0.05)
    assert radial_stress_n_mm2(wall, at_dia_mm=20.0, inner_pressure_n_mm2=300.0) == pytest.approx(-300.0)


def test_shrink_fit_and_the_heat_to_assemble_it() -> None:
    """Source: Example 11.3, p. 398 (grade O, W32): radii 10, 25, 50 mm, 0.072 mm of radius, clearance 0.025 mm.

    The companion takes 25.072 mm for one radius, hence 0.02 %. The modulus is 200 GPa; Poisson's ratio drops out.
    """
    inner, outer = steel(20.0, 50.0), steel(50.0, 100.0)
    pressure = fit_pressure_n_mm2(inner, outer, interference_dia_mm=0.144)
    assert pressure == pytest.approx(188.97, rel=2.5e-4)
    bore = hoop_stress_n_mm2(inner, at_dia_mm=20.0, outer_pressure_n_mm2=pressure)
    jacket = [hoop_stress_n_mm2(outer, at_dia_mm=dia, inner_pressure_n_mm2=pressure) for dia in (50.0, 100.0)]
    assert [bore, *jacket] == pytest.approx([-449.92, 314.94, 125.98], rel=2.5e-4)
    opening = size_change_mm(50.0, alpha_per_k=11.7e-6, difference_k=331.62)
    assert opening == pytest.approx(2 * (0.072 + 0.025), abs=5e-6)
