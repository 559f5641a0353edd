"""Shanks of tools in bending."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.shank import shank_stress_n_mm2, shank_width_mm

sizes = st.floats(1.0, 50.0)


@given(st.floats(10.0, 5000.0), sizes, sizes, sizes)
def test_stress_is_moment_over_the_section(force: float, overhang: float, width: float, height: float) -> None:
    """Independent: moment times half the height over the second moment of the section."""
    expected = force * overhang * (height / 2.0) / (width * height**3 / 12.0)
    found = shank_stress_n_mm2(force, overhang_mm=overhang, width_mm=width, height_mm=height)
    assert found == pytest.approx(expected)


@given(st.floats(10.0, 5000.0), st.floats(0.5, 5.0), st.floats(0.5, 3.0), st.floats(20.0, 500.0))
def test_the_width_bears_the_stress_it_was_made_for(force: float, out: float, tall: float, stress: float) -> None:
    width = shank_width_mm(force, overhang_in_heights=out, height_in_widths=tall, stress_n_mm2=stress)
    height = tall * width
    found = shank_stress_n_mm2(force, overhang_mm=out * height, width_mm=width, height_mm=height)
    assert found == pytest.approx(stress)


@pytest.mark.parametrize("name", ["overhang_mm", "width_mm", "height_mm"])
def test_sizes_of_a_shank_are_above_nothing(name: str) -> None:
    plain = {"overhang_mm": 20.0, "width_mm": 10.0, "height_mm": 10.0}
    with pytest.raises(OutOfRangeError, match=name):
        shank_stress_n_mm2(100.0, **(plain | {name: 0.0}))


@pytest.mark.parametrize("name", ["overhang_in_heights", "height_in_widths", "stress_n_mm2"])
def test_what_a_width_is_asked_for_is_above_nothing(name: str) -> None:
    plain = {"overhang_in_heights": 1.0, "height_in_widths": 1.0, "stress_n_mm2": 100.0}
    with pytest.raises(OutOfRangeError, match=name):
        shank_width_mm(100.0, **(plain | {name: -1.0}))
    with pytest.raises(OutOfRangeError, match="force_n"):
        shank_width_mm(0.0, **plain)
