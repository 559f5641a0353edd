"""Cones that open mandrels and close collets."""

from __future__ import annotations

from math import cos, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.taper_drive import is_self_holding, radial_force_n


@pytest.mark.parametrize(
    ("friction", "factors"),
    [
        (0.10, (8.499, 6.527, 5.287, 4.099, 3.555, 2.645)),
        (0.15, (5.956, 4.902, 4.155, 3.369, 2.983, 2.296)),
    ],
)
def test_worked_cones(friction: float, factors: tuple[float, ...]) -> None:
    """Computed for this project: radial force over pull at 1, 3, 5, 8, 10 and 15 degrees; rounded to 0.001."""
    found = [radial_force_n(1.0, half_angle_deg=angle, friction=friction) for angle in (1.0, 3.0, 5.0, 8.0, 10.0, 15.0)]
    assert found == pytest.approx(factors, abs=6e-4)


@given(st.floats(0.5, 40.0), st.floats(0.0, 0.5))
def test_forces_on_the_cone_balance(angle: float, friction: float) -> None:
    """Independent: pull W = N (sin a + mu cos a), radial force N (cos a - mu sin a)."""
    a = radians(angle)
    normal = 100.0 / (sin(a) + friction * cos(a))
    expected = normal * (cos(a) - friction * sin(a))
    assert radial_force_n(100.0, half_angle_deg=angle, friction=friction) == pytest.approx(expected)


def test_holding_ends_where_the_slope_beats_the_friction() -> None:
    assert is_self_holding(8.5, friction=0.15)
    assert not is_self_holding(8.6, friction=0.15)
    assert not is_self_holding(1.0, friction=0.0)


@pytest.mark.parametrize(
    ("angle", "friction", "name"),
    [(0.0, 0.1, "half_angle_deg"), (46.0, 0.1, "half_angle_deg"), (5.0, 0.81, "friction")],
)
def test_cones_have_limits(angle: float, friction: float, name: str) -> None:
    with pytest.raises(OutOfRangeError, match=name):
        radial_force_n(1.0, half_angle_deg=angle, friction=friction)
    with pytest.raises(OutOfRangeError, match=name):
        is_self_holding(angle, friction=friction)
