"""Rings under even pressure."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import ImpossiblePartError, OutOfRangeError
from handwheel.physics.lame import (
    Cylinder,
    bore_closing_dia_mm,
    bore_growth_dia_mm,
    fit_pressure_n_mm2,
    hoop_stress_n_mm2,
    mandrel_pressure_n_mm2,
    outside_growth_dia_mm,
    radial_stress_n_mm2,
    slip_torque_nm,
)

RING = Cylinder(inner_dia_mm=20.0, outer_dia_mm=24.0, e_n_mm2=200e3, poisson=0.3)


def test_worked_ring_on_a_mandrel() -> None:
    """Computed for this project: 5 N/mm2 in a steel ring 20/24 x 8, friction 0.15; digits as noted."""
    assert 1000 * bore_growth_dia_mm(RING, pressure_n_mm2=5.0) / 2 == pytest.approx(1.46136, abs=1e-5)
    assert 1000 * outside_growth_dia_mm(RING, pressure_n_mm2=5.0) / 2 == pytest.approx(1.36364, abs=1e-5)
    assert hoop_stress_n_mm2(RING, at_dia_mm=20.0, inner_pressure_n_mm2=5.0) == pytest.approx(27.727, abs=5e-4)
    torque = slip_torque_nm(RING, pressure_n_mm2=5.0, width_mm=8.0, friction=0.15)
    assert 1000 * torque == pytest.approx(3769.9, abs=0.05)
    assert mandrel_pressure_n_mm2(RING, interference_dia_mm=0.001) == pytest.approx(1.71, abs=0.005)


walls = st.tuples(st.floats(5.0, 50.0), st.floats(0.5, 20.0)).map(
    lambda sizes: Cylinder(inner_dia_mm=sizes[0], outer_dia_mm=sizes[0] + 2 * sizes[1], e_n_mm2=110e3, poisson=0.33)
)


@given(walls, st.floats(0.1, 100.0), st.floats(0.1, 100.0))
def test_stresses_carry_the_pressures_and_add_up_evenly(wall: Cylinder, inside: float, outside: float) -> None:
    """Equilibrium at both walls; hoop and radial stress have the same sum everywhere in the wall."""
    dias = (wall.inner_dia_mm, (wall.inner_dia_mm + wall.outer_dia_mm) / 2, wall.outer_dia_mm)
    radial = [
        radial_stress_n_mm2(wall, at_dia_mm=dia, inner_pressure_n_mm2=inside, outer_pressure_n_mm2=outside)
        for dia in dias
    ]
    hoop = [
        hoop_stress_n_mm2(wall, at_dia_mm=dia, inner_pressure_n_mm2=inside, outer_pressure_n_mm2=outside)
        for dia in dias
    ]
    loss = 1e-9 * (inside + outside) * wall.ratio  # a thin wall takes the difference of large numbers
    assert (radial[0], radial[-1]) == pytest.approx((-inside, -outside), abs=loss)
    sums = [one + other for one, other in zip(radial, hoop, strict=True)]
    assert sums == pytest.approx([sums[0]] * 3, abs=loss)


@given(walls, st.floats(0.1, 50.0))
def test_growths_are_the_hoop_strains_at_the_walls(wall: Cylinder, pressure: float) -> None:
    """Independent: strain = (hoop - poisson radial) / E, at the bore and at the free outside."""
    hoop = hoop_stress_n_mm2(wall, at_dia_mm=wall.inner_dia_mm, inner_pressure_n_mm2=pressure)
    bore = (hoop + wall.poisson * pressure) / wall.e_n_mm2 * wall.inner_dia_mm
    assert bore_growth_dia_mm(wall, pressure_n_mm2=pressure) == pytest.approx(bore)
    skin = hoop_stress_n_mm2(wall, at_dia_mm=wall.outer_dia_mm, inner_pressure_n_mm2=pressure)
    assert outside_growth_dia_mm(wall, pressure_n_mm2=pressure) == pytest.approx(
        skin / wall.e_n_mm2 * wall.outer_dia_mm
    )


def test_mandrel_there_and_back() -> None:
    pressure = mandrel_pressure_n_mm2(RING, interference_dia_mm=0.004)
    assert bore_growth_dia_mm(RING, pressure_n_mm2=pressure) == pytest.approx(0.004)


def test_solid_shaft_in_a_hub_of_its_own_metal() -> None:
    """Independent: Poisson's ratio drops out and p = E delta (D2 - d2) / (2 d D2) for one metal and a solid shaft."""
    shaft = Cylinder(inner_dia_mm=0.0, outer_dia_mm=20.0, e_n_mm2=200e3, poisson=0.3)
    hub = Cylinder(inner_dia_mm=20.0, outer_dia_mm=40.0, e_n_mm2=200e3, poisson=0.3)
    expected = 200e3 * 0.02 * (40.0**2 - 20.0**2) / (2 * 20.0 * 40.0**2)
    assert fit_pressure_n_mm2(shaft, hub, interference_dia_mm=0.02) == pytest.approx(expected)


def test_pressed_bush_loses_bore() -> None:
    bush = Cylinder(inner_dia_mm=10.0, outer_dia_mm=12.0, e_n_mm2=100e3, poisson=0.34)
    housing = Cylinder(inner_dia_mm=12.0, outer_dia_mm=40.0, e_n_mm2=210e3, poisson=0.29)
    pressure = fit_pressure_n_mm2(bush, housing, interference_dia_mm=0.02)
    assert 0.7 * 0.02 < bore_closing_dia_mm(bush, pressure_n_mm2=pressure) < 0.02 * 1.1


@pytest.mark.parametrize(("outside_mm", "is_one"), [(19.81, True), (20.19, True), (19.79, False), (20.21, False)])
def test_diameters_of_one_fit_are_within_a_hundredth(outside_mm: float, *, is_one: bool) -> None:
    shaft = Cylinder(inner_dia_mm=0.0, outer_dia_mm=outside_mm, e_n_mm2=200e3, poisson=0.3)
    if is_one:
        assert fit_pressure_n_mm2(shaft, RING, interference_dia_mm=0.01) > 0
    else:
        with pytest.raises(ImpossiblePartError, match="are not one fit"):
            fit_pressure_n_mm2(shaft, RING, interference_dia_mm=0.01)


def test_parts_that_are_no_fit_are_refused() -> None:
    with pytest.raises(ImpossiblePartError, match=r"fit: outside 24 mm and bore 20 mm are not one fit"):
        fit_pressure_n_mm2(RING, RING, interference_dia_mm=0.01)
    shaft = Cylinder(inner_dia_mm=0.0, outer_dia_mm=20.0, e_n_mm2=200e3, poisson=0.3)
    with pytest.raises(ImpossiblePartError, match="nothing can be pressed into it; give the bore"):
        fit_pressure_n_mm2(shaft, shaft, interference_dia_mm=0.01)
    with pytest.raises(ImpossiblePartError, match="nothing can be pressed into it"):
        mandrel_pressure_n_mm2(shaft, interference_dia_mm=0.01)


@pytest.mark.parametrize("inner", [-1.0, 24.0])
def test_cylinder_needs_a_wall(inner: float) -> None:
    with pytest.raises(
        ImpossiblePartError, match=r"inner diameter .* must be 0 or more and below the outer one of 24 mm"
    ):
        Cylinder(inner_dia_mm=inner, outer_dia_mm=24.0, e_n_mm2=200e3, poisson=0.3)


@pytest.mark.parametrize("dia", [19.9, 24.1])
def test_stress_is_asked_within_the_wall(dia: float) -> None:
    with pytest.raises(OutOfRangeError, match=r"at_dia_mm: got .* allowed 20 to 24 mm"):
        hoop_stress_n_mm2(RING, at_dia_mm=dia, inner_pressure_n_mm2=1.0)
    with pytest.raises(OutOfRangeError, match="at_dia_mm"):
        radial_stress_n_mm2(RING, at_dia_mm=dia, inner_pressure_n_mm2=1.0)


def test_pressures_and_friction_have_limits() -> None:
    with pytest.raises(OutOfRangeError, match="inner_pressure_n_mm2"):
        hoop_stress_n_mm2(RING, at_dia_mm=20.0, inner_pressure_n_mm2=-1.0)
    for growth in (bore_growth_dia_mm, outside_growth_dia_mm, bore_closing_dia_mm):
        with pytest.raises(OutOfRangeError, match="pressure_n_mm2"):
            growth(RING, pressure_n_mm2=-1.0)
    with pytest.raises(OutOfRangeError, match=r"friction: got 0\.9"):
        slip_torque_nm(RING, pressure_n_mm2=5.0, width_mm=8.0, friction=0.9)
