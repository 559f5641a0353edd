"""Whirling speed of a bar: its law, and the figures that it must refuse."""

from __future__ import annotations

from math import cos, cosh, pi

import pytest

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.whirl import FIRST_MODE, whirl_speed_rpm


def of(length_mm: float = 400.0, **changes: float) -> float:
    """Whirling speed of a 20 mm steel bar, some of its figures changed."""
    figures = {"e_n_mm2": 210e3, "moment_mm4": pi / 64 * 20**4, "section_mm2": pi / 4 * 20**2, "density_g_cm3": 7.85}
    return whirl_speed_rpm(length_mm, **{**figures, **changes})


def test_the_factor_is_the_square_of_the_first_root_of_the_clamped_free_bar() -> None:
    """The frequency equation of a bar held at one end is cos x cosh x = -1; no table is needed for its first root."""
    low, high = 1.5, 2.0
    while high - low > 1e-9:
        middle = (low + high) / 2.0
        low, high = (middle, high) if cos(middle) * cosh(middle) + 1.0 > 0 else (low, middle)
    assert low**2 == pytest.approx(FIRST_MODE, abs=5e-4)


def test_twice_the_length_whirls_at_a_quarter_of_the_speed() -> None:
    assert of(800.0) == pytest.approx(of(400.0) / 4.0)


def test_a_bar_of_twice_the_diameter_whirls_twice_as_fast() -> None:
    double = of(moment_mm4=pi / 64 * 40**4, section_mm2=pi / 4 * 40**2)
    assert double == pytest.approx(2.0 * of())


def test_a_tube_whirls_faster_than_the_bar_it_was_bored_from() -> None:
    tube = of(moment_mm4=pi / 64 * (20**4 - 16**4), section_mm2=pi / 4 * (20**2 - 16**2))
    assert tube == pytest.approx(of() * (1.0 + 0.8**2) ** 0.5)


@pytest.mark.parametrize("name", ["e_n_mm2", "moment_mm4", "section_mm2", "density_g_cm3"])
def test_figures_that_are_none_are_refused(name: str) -> None:
    with pytest.raises(OutOfRangeError, match=name):
        of(**{name: 0.0})
    with pytest.raises(OutOfRangeError, match="length_mm"):
        of(0.0)
