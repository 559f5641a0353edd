"""Force from a shear plane."""

from __future__ import annotations

from math import atan, cos, degrees, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.shear_angle import merchant_shear_angle_deg, shear_plane_forces_n

rakes, frictions = st.floats(-20.0, 30.0), st.floats(0.0, 1.0)


def forces(rake: float, friction: float, angle: float) -> tuple[float, float]:
    return shear_plane_forces_n(
        0.1, width_mm=2.0, shear_strength_n_mm2=400.0, rake_deg=rake, friction=friction, shear_angle_deg=angle
    )


@given(rakes, frictions, st.sampled_from((-5.0, -1.0, 1.0, 5.0)))
def test_no_other_shear_angle_needs_less_force(rake: float, friction: float, off_deg: float) -> None:
    best = merchant_shear_angle_deg(rake, friction=friction)
    assert forces(rake, friction, best)[0] < forces(rake, friction, best + off_deg)[0]


@given(rakes, frictions, st.floats(10.0, 25.0))
def test_work_of_the_cut_is_that_of_shear_and_of_rubbing(rake: float, friction: float, angle: float) -> None:
    """Independent: per length of cut, shear force times slip plus rubbing force times length of chip."""
    a, phi = radians(rake), radians(angle)
    cutting, thrust = forces(rake, friction, angle)
    sheared = 400.0 * 0.1 * 2.0 / sin(phi) * cos(a) / cos(phi - a)
    rubbed = (cutting * sin(a) + thrust * cos(a)) * sin(phi) / cos(phi - a)
    assert cutting == pytest.approx(sheared + rubbed)


def test_a_steep_rake_with_little_friction_draws_the_tool_in() -> None:
    assert forces(20.0, 0.1, 40.0)[1] < 0 < forces(5.0, 0.1, 40.0)[1]


@pytest.mark.parametrize(
    ("change", "name"),
    [
        ({"rake_deg": 46.0}, "rake_deg"),
        ({"rake_deg": -31.0}, "rake_deg"),
        ({"friction": 2.1}, "friction"),
        ({"friction": -0.1}, "friction"),
        ({"width_mm": 0.0}, "width_mm"),
        ({"shear_strength_n_mm2": 0.0}, "shear_strength_n_mm2"),
        ({"shear_angle_deg": 0.5}, "shear_angle_deg"),
    ],
)
def test_cuts_have_limits(change: dict[str, float], name: str) -> None:
    plain = {"width_mm": 2.0, "shear_strength_n_mm2": 400.0, "rake_deg": 10.0, "friction": 0.5, "shear_angle_deg": 30.0}
    with pytest.raises(OutOfRangeError, match=name):
        shear_plane_forces_n(0.1, **(plain | change))


def test_a_plane_too_steep_for_its_friction_is_refused_with_the_angle() -> None:
    most = 90.0 - degrees(atan(0.5)) + 10.0
    assert forces(10.0, 0.5, most - 0.1)[0] > 0
    with pytest.raises(OutOfRangeError, match=r"must be below 73\.4\d* deg"):
        forces(10.0, 0.5, most + 0.1)
