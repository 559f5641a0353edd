"""Rings in jaws."""

from __future__ import annotations

from math import pi, radians, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.data.rings import thick_ring_table
from handwheel.domain.errors import ImpossiblePartError, OutOfRangeError
from handwheel.physics.ring import (
    RingSection,
    jaw_lobes_mm,
    mean_radius_change_mm,
    ring_unit_mm,
    thick_ring_ratio,
    thin_ring_coefficients,
    wide_jaw_coefficient,
)

TABLE = thick_ring_table()
STEEL_RING = RingSection(outside_dia_mm=40.0, bore_dia_mm=36.0, width_mm=10.0)


@pytest.mark.parametrize(
    ("loads", "toward", "away", "moment_at_load", "moment_midway"),
    [
        (2, 0.074389, 0.068310, -0.31831, 0.18169),
        (3, 0.015939, 0.014257, -0.18879, 0.09989),
        (4, 0.006079, 0.005386, -0.13662, 0.07049),
        (6, 0.001682, 0.001480, -0.08890, 0.04507),
        (8, 0.000693, 0.000608, -0.06613, 0.03332),
        (12, 0.000202, 0.000177, -0.04383, 0.02199),
    ],
)
def test_worked_coefficients(
    loads: int, toward: float, away: float, moment_at_load: float, moment_midway: float
) -> None:
    """Computed for this project, rounded as shown; the closed forms are checked against a series in tests/published."""
    ring = thin_ring_coefficients(loads)
    assert (ring.toward_load, ring.away_midway) == pytest.approx((toward, away), abs=6e-7)
    # two of the moments were rounded from more steps than the rest
    assert (ring.moment_at_load, ring.moment_midway) == pytest.approx((moment_at_load, moment_midway), abs=1.1e-5)


@pytest.mark.parametrize(("jaws", "finite_elements"), [(2, 0.142809), (3, 0.030219), (4, 0.011474), (6, 0.003164)])
def test_finite_elements_agree(jaws: int, finite_elements: float) -> None:
    """Computed for this project: 360 straight beam elements, which are 0.08 % stiffer to read than the curve."""
    assert thin_ring_coefficients(jaws).peak_to_valley == pytest.approx(finite_elements, rel=1e-3)


@pytest.mark.parametrize(
    ("force", "jaws", "um"),
    [
        (200.0, 2, 146.82),
        (200.0, 3, 31.07),
        (200.0, 4, 11.80),
        (200.0, 6, 3.25),
        (1000.0, 3, 155.33),
        (1000.0, 6, 16.26),
    ],
)
def test_worked_steel_ring(force: float, jaws: int, um: float) -> None:
    """Computed for this project: E 200 GPa, 40 mm outside, wall 2, width 10, thin formula; rounded to 0.01 um."""
    unit = ring_unit_mm(STEEL_RING, force_n=force, e_n_mm2=200e3)
    assert 1000 * unit * thin_ring_coefficients(jaws).peak_to_valley == pytest.approx(um, abs=0.006)


@pytest.mark.parametrize(
    ("half_width", "expected"),
    [
        (0.0, 0.030195),
        (5.0, 0.029805),
        (10.0, 0.028692),
        (20.0, 0.024674),
        (30.0, 0.018939),
        (45.0, 0.008983),
        (55.0, 0.002710),
        (59.0, 0.000512),
        (60.0, 0.0),
    ],
)
def test_worked_wide_jaws(half_width: float, expected: float) -> None:
    """Computed for this project: three jaws pressing evenly; rounded to 1e-6; full cover leaves no lobes."""
    assert wide_jaw_coefficient(3, half_width_deg=half_width) == pytest.approx(expected, abs=6e-7)


def test_narrow_jaws_approach_the_point_load() -> None:
    for jaws in (2, 3, 4, 6):
        narrow = wide_jaw_coefficient(jaws, half_width_deg=0.01)
        assert narrow == pytest.approx(thin_ring_coefficients(jaws).peak_to_valley, rel=1e-5)


def exact_coefficient(wall_to_mean_radius: float, jaws: int, *, half_width: float = 0.0) -> float:
    """Plane-stress ring under radial loads on its outside, form read at the bore, Poisson 0.3: Michell's series.

    Derived here from the stress function (A r^m + B r^(m+2) + C r^-m + D r^(2-m)) cos(m phi), with radii over the
    outer one; a second way to the table, sharing no code with it.
    """
    inner, outer, poisson = 1 - wall_to_mean_radius / 2, 1 + wall_to_mean_radius / 2, 0.3
    x = inner / outer
    total = 0.0
    for m in (jaws * wave for wave in range(1, 80, 2)):
        spread = 1.0 if half_width == 0 else sin(m * half_width) / (m * half_width)
        pressure = jaws / (pi * outer) * spread

        def radial(r: float, m: int = m) -> list[float]:
            powers = [m * (m - 1) * r ** (m - 2), (m + 1) * (m - 2) * r**m]
            return [-p for p in (*powers, m * (m + 1) * r ** (-m - 2.0), (m - 1) * (m + 2) * r**-m)]

        def shear(r: float, m: int = m) -> list[float]:
            powers = [m * (m - 1) * r ** (m - 2), m * (m + 1) * r**m]
            return [*powers, -m * (m + 1) * r ** (-m - 2.0), -m * (m - 1) * r**-m]

        matrix = np.array([radial(x), shear(x), radial(1.0), shear(1.0)])
        scale = np.abs(matrix).max(axis=0)
        constants = np.linalg.solve(matrix / scale, np.array([0.0, 0.0, -pressure, 0.0])) / scale
        bore = [
            -m * (1 + poisson) * x ** (m - 1),
            -((m - 2) + poisson * (m + 2)) * x ** (m + 1),
            m * (1 + poisson) * x ** (-m - 1.0),
            ((m + 2) + poisson * (m - 2)) * x ** (1.0 - m),
        ]
        total -= 2 * outer * float(np.dot(bore, constants))
    return total * wall_to_mean_radius**3 / 12


@pytest.mark.parametrize("jaws", sorted(TABLE))
def test_table_of_thick_rings_is_reproduced_by_a_second_derivation(jaws: int) -> None:
    thin = thin_ring_coefficients(jaws).peak_to_valley
    for wall_to_mean_radius, ratio in TABLE[jaws]:
        assert exact_coefficient(wall_to_mean_radius, jaws) / thin == pytest.approx(ratio, abs=6e-5)


@pytest.mark.parametrize("jaws", sorted(TABLE))
@pytest.mark.parametrize("wall_to_mean_radius", [0.02, 0.08, 0.17, 0.25, 0.36, 0.45, 0.5])
def test_reading_between_the_rows_stays_within_what_is_said(jaws: int, wall_to_mean_radius: float) -> None:
    exact = exact_coefficient(wall_to_mean_radius, jaws) / thin_ring_coefficients(jaws).peak_to_valley
    assert thick_ring_ratio(wall_to_mean_radius, jaws=jaws, table=TABLE) == pytest.approx(exact, rel=0.0085)


@pytest.mark.parametrize(
    ("wall_to_mean_radius", "printed"), [(0.05, 0.02478), (0.1, 0.02510), (0.2, 0.02636), (0.3, 0.02837)]
)
def test_wide_jaws_on_a_thick_ring_err_on_the_safe_side(wall_to_mean_radius: float, printed: float) -> None:
    """Computed for this project: three jaws, 20 degrees each way, and again by the series above."""
    exact = exact_coefficient(wall_to_mean_radius, 3, half_width=radians(20.0))
    assert exact == pytest.approx(printed, abs=6e-6)
    ours = wide_jaw_coefficient(3, half_width_deg=20.0) * thick_ring_ratio(wall_to_mean_radius, jaws=3, table=TABLE)
    assert exact <= ours <= 1.008 * exact


@given(st.floats(0.01, 0.5), st.sampled_from([2, 3, 4, 6]))
def test_thin_formula_is_never_high(wall_to_mean_radius: float, jaws: int) -> None:
    assert thick_ring_ratio(wall_to_mean_radius, jaws=jaws, table=TABLE) >= 1.0


@given(st.floats(10.0, 2000.0), st.sampled_from([2, 3, 4, 6]))
def test_lobes_grow_with_force_and_shrink_with_jaws(force: float, jaws: int) -> None:
    ring = RingSection(outside_dia_mm=22.0, bore_dia_mm=18.0, width_mm=6.0)

    def lobes(number: int, force_n: float, half_width_deg: float = 0.0) -> float:
        return jaw_lobes_mm(
            ring, jaws=number, force_n=force_n, e_n_mm2=200e3, thick_table=TABLE, half_width_deg=half_width_deg
        )

    assert lobes(jaws, 2 * force) == pytest.approx(2 * lobes(jaws, force))
    assert lobes(jaws, force, 10.0) < lobes(jaws, force) <= lobes(2, force)


def test_mean_change_is_hoop_compression() -> None:
    """Independent: n W spread evenly is a pressure n W / (2 pi R b); hoop stress of a thin ring is p R / t."""
    ring = STEEL_RING
    pressure = 3 * 1000.0 / (2 * pi * ring.mean_radius_mm * ring.width_mm)
    shrink = pressure * ring.mean_radius_mm / ring.wall_mm / 200e3 * ring.mean_radius_mm
    assert mean_radius_change_mm(ring, jaws=3, force_n=1000.0, e_n_mm2=200e3) == pytest.approx(-shrink)


def test_section_of_a_ring() -> None:
    assert STEEL_RING.wall_mm == 2.0
    assert STEEL_RING.mean_radius_mm == 19.0
    assert STEEL_RING.wall_to_mean_radius == pytest.approx(2 / 19)


def test_bore_as_large_as_the_outside_is_no_ring() -> None:
    with pytest.raises(ImpossiblePartError, match=r"bore 20 mm is not smaller than outside diameter 20 mm; check them"):
        RingSection(outside_dia_mm=20.0, bore_dia_mm=20.0, width_mm=5.0)
    with pytest.raises(OutOfRangeError, match="width_mm"):
        RingSection(outside_dia_mm=20.0, bore_dia_mm=18.0, width_mm=0.0)


@pytest.mark.parametrize("loads", [1, 25])
def test_number_of_loads_has_limits(loads: int) -> None:
    with pytest.raises(OutOfRangeError, match="loads: got"):
        thin_ring_coefficients(loads)
    with pytest.raises(OutOfRangeError, match="jaws: got"):
        wide_jaw_coefficient(loads, half_width_deg=1.0)
    with pytest.raises(OutOfRangeError, match="jaws: got"):
        mean_radius_change_mm(STEEL_RING, jaws=loads, force_n=1.0, e_n_mm2=200e3)


def test_jaws_cannot_overlap() -> None:
    with pytest.raises(OutOfRangeError, match=r"half_width_deg: got 60\.1 deg, allowed 0 to 60 deg"):
        wide_jaw_coefficient(3, half_width_deg=60.1)


def test_outside_the_table_there_is_no_figure() -> None:
    with pytest.raises(OutOfRangeError, match="jaws: got 5, the table of thick rings knows 2, 3, 4, 6"):
        thick_ring_ratio(0.1, jaws=5, table=TABLE)
    with pytest.raises(OutOfRangeError, match=r"got 0.51, the table ends at 0.5; so thick a ring"):
        thick_ring_ratio(0.51, jaws=3, table=TABLE)
    with pytest.raises(OutOfRangeError, match="wall_to_mean_radius"):
        thick_ring_ratio(0.0, jaws=3, table=TABLE)
