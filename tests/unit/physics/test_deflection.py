"""Bending of bars and work."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.deflection import (
    cantilever_deflection_mm,
    cantilever_slope_rad,
    cantilever_stiffness_n_mm,
    chuck_and_centre_deflection_mm,
    inner_load_deflection_mm,
    second_moment_mm4,
)


@pytest.mark.parametrize(
    ("dia", "length", "e_gpa", "um", "within"),
    [
        (12.0, 48.0, 210.0, 17.0, 0.5),
        (12.0, 72.0, 580.0, 21.0, 0.5),
        (8.0, 32.0, 210.0, 26.0, 0.5),
        (8.0, 48.0, 210.0, 87.0, 0.5),
        (20.0, 30.0, 200.0, 0.6, 0.05),
        (20.0, 80.0, 200.0, 11.0, 0.5),
        (6.0, 30.0, 200.0, 71.0, 0.5),
    ],
)
def test_worked_deflections_at_100_n(dia: float, length: float, e_gpa: float, um: float, within: float) -> None:
    """Computed for this project, rounded as shown: steel and carbide bars, then work of 200 GPa. No evidence."""
    found = cantilever_deflection_mm(100.0, length_mm=length, e_n_mm2=e_gpa * 1e3, moment_mm4=second_moment_mm4(dia))
    assert 1000 * found == pytest.approx(um, abs=within)


@given(st.floats(5.0, 200.0), st.floats(3.0, 30.0))
def test_doubling_the_reach_is_eightfold_and_halving_the_bar_sixteenfold(length: float, dia: float) -> None:
    def sag(length_mm: float, dia_mm: float) -> float:
        return cantilever_deflection_mm(50.0, length_mm=length_mm, e_n_mm2=210e3, moment_mm4=second_moment_mm4(dia_mm))

    assert sag(2 * length, dia) == pytest.approx(8 * sag(length, dia))
    assert sag(length, dia / 2) == pytest.approx(16 * sag(length, dia))


@given(st.floats(1.0, 99.0))
def test_load_short_of_the_end_bends_less(load_at: float) -> None:
    inner = inner_load_deflection_mm(50.0, load_at_mm=load_at, length_mm=100.0, e_n_mm2=210e3, moment_mm4=1000.0)
    end = cantilever_deflection_mm(50.0, length_mm=100.0, e_n_mm2=210e3, moment_mm4=1000.0)
    assert 0 < inner < end


def test_load_at_the_end_is_the_plain_cantilever() -> None:
    inner = inner_load_deflection_mm(50.0, load_at_mm=100.0, length_mm=100.0, e_n_mm2=210e3, moment_mm4=1000.0)
    assert inner == pytest.approx(cantilever_deflection_mm(50.0, length_mm=100.0, e_n_mm2=210e3, moment_mm4=1000.0))


def test_beam_between_chuck_and_centre_follows_from_cantilevers() -> None:
    """Independent: a mid load on a cantilever, and the centre's push that brings its end back to nothing."""
    force, length, e, moment = 50.0, 100.0, 210e3, 1000.0
    free = inner_load_deflection_mm(force, load_at_mm=length / 2, length_mm=length, e_n_mm2=e, moment_mm4=moment)
    push = free * cantilever_stiffness_n_mm(length, e_n_mm2=e, moment_mm4=moment)
    down = cantilever_deflection_mm(force, length_mm=length / 2, e_n_mm2=e, moment_mm4=moment)
    up = push * (length / 2) ** 2 * (3 * length - length / 2) / (6 * e * moment)
    found = chuck_and_centre_deflection_mm(force, length_mm=length, e_n_mm2=e, moment_mm4=moment)
    assert found == pytest.approx(down - up)


def test_slope_is_that_of_the_end_tangent() -> None:
    slope = cantilever_slope_rad(50.0, length_mm=100.0, e_n_mm2=210e3, moment_mm4=1000.0)
    sag = cantilever_deflection_mm(50.0, length_mm=100.0, e_n_mm2=210e3, moment_mm4=1000.0)
    assert slope == pytest.approx(1.5 * sag / 100.0)


def test_a_hole_takes_little_stiffness() -> None:
    assert second_moment_mm4(20.0, bore_dia_mm=10.0) == pytest.approx(15 / 16 * second_moment_mm4(20.0))


@pytest.mark.parametrize("bore", [-1.0, 20.0])
def test_tube_needs_a_wall(bore: float) -> None:
    with pytest.raises(OutOfRangeError, match=r"bore_dia_mm: got .* below the outside of 20 mm"):
        second_moment_mm4(20.0, bore_dia_mm=bore)


def test_load_beyond_the_end_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="load_at_mm: got 101 mm, allowed 0 to 100 mm"):
        inner_load_deflection_mm(50.0, load_at_mm=101.0, length_mm=100.0, e_n_mm2=210e3, moment_mm4=1000.0)
    with pytest.raises(OutOfRangeError, match="load_at_mm"):
        inner_load_deflection_mm(50.0, load_at_mm=0.0, length_mm=100.0, e_n_mm2=210e3, moment_mm4=1000.0)


@pytest.mark.parametrize("name", ["length_mm", "e_n_mm2", "moment_mm4"])
def test_beams_need_positive_inputs(name: str) -> None:
    inputs = {"length_mm": 100.0, "e_n_mm2": 210e3, "moment_mm4": 1000.0} | {name: 0.0}
    with pytest.raises(OutOfRangeError, match=name):
        cantilever_deflection_mm(50.0, **inputs)
    with pytest.raises(OutOfRangeError, match=name):
        chuck_and_centre_deflection_mm(50.0, **inputs)
