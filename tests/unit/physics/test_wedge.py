"""Wedges with friction on three faces."""

from __future__ import annotations

from math import atan, cos, degrees, radians, sin, tan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.taper_drive import radial_force_n
from handwheel.physics.wedge import Wedge, is_self_holding_wedge, wedge_load_n, wedge_push_n

frictions = st.floats(0.0, 0.4)
angles = st.floats(0.5, 30.0)


def push_of_balance(wedge: Wedge, load: float, *, inward: float) -> float:
    """Push of three normal forces (slope, wall, floor) that hold block and wedge; inward -1 while it slips out."""
    a = radians(wedge.angle_deg)
    slope, floor, wall = (inward * each for each in (wedge.slope_friction, wedge.floor_friction, wedge.wall_friction))
    along = sin(a) + slope * cos(a)
    across = cos(a) - slope * sin(a)
    balance = np.array(
        [
            [along, -1.0, 0.0, 0.0],  # block, along the floor
            [across, -wall, 0.0, 0.0],  # block, square to the floor
            [along, 0.0, floor, -1.0],  # wedge, along the floor
            [across, 0.0, -1.0, 0.0],  # wedge, square to the floor
        ]
    )
    return float(np.linalg.solve(balance, np.array([0.0, load, 0.0, 0.0]))[3])


@given(angles, frictions, frictions, frictions)
def test_forces_on_block_and_wedge_balance(angle: float, slope: float, floor: float, wall: float) -> None:
    """Independent: the forces on both bodies as four linear equations."""
    wedge = Wedge(angle_deg=angle, slope_friction=slope, floor_friction=floor, wall_friction=wall)
    assert wedge_push_n(1000.0, wedge=wedge) == pytest.approx(push_of_balance(wedge, 1000.0, inward=1.0))
    assert wedge_load_n(wedge_push_n(1000.0, wedge=wedge), wedge=wedge) == pytest.approx(1000.0)


@given(angles, frictions, frictions, frictions)
def test_a_wedge_holds_where_it_must_be_drawn_out(angle: float, slope: float, floor: float, wall: float) -> None:
    wedge = Wedge(angle_deg=angle, slope_friction=slope, floor_friction=floor, wall_friction=wall)
    if abs(angle - degrees(atan(slope) + atan(floor))) > 1e-6:
        assert is_self_holding_wedge(wedge) == (push_of_balance(wedge, 1000.0, inward=-1.0) < 0)


@given(angles, frictions)
def test_a_wedge_that_rubs_on_its_slope_alone_is_a_cone(angle: float, friction: float) -> None:
    wedge = Wedge(angle_deg=angle, slope_friction=friction, floor_friction=0.0, wall_friction=0.0)
    cone = radial_force_n(100.0, half_angle_deg=angle, friction=friction)
    assert wedge_load_n(100.0, wedge=wedge) == pytest.approx(cone)


@given(st.floats(0.5, 25.0), frictions)
def test_equal_frictions_are_one_tangent(angle: float, friction: float) -> None:
    wedge = Wedge(angle_deg=angle, slope_friction=friction, floor_friction=friction, wall_friction=friction)
    assert wedge_push_n(1.0, wedge=wedge) == pytest.approx(tan(radians(angle) + 2.0 * atan(friction)))


@pytest.mark.parametrize(
    ("name", "value"),
    [("angle_deg", 0.0), ("angle_deg", 46.0), ("slope_friction", 0.81), ("floor_friction", -0.1), ("wall_friction", 1)],
)
def test_wedges_have_limits(name: str, value: float) -> None:
    plain = {"angle_deg": 10.0, "slope_friction": 0.1, "floor_friction": 0.1, "wall_friction": 0.1}
    with pytest.raises(OutOfRangeError, match=name):
        Wedge(**(plain | {name: value}))


def test_what_no_push_drives_is_refused() -> None:
    steep = Wedge(angle_deg=45.0, slope_friction=0.5, floor_friction=0.1, wall_friction=0.5)
    with pytest.raises(OutOfRangeError, match="no push drives"):
        wedge_push_n(100.0, wedge=steep)
    with pytest.raises(OutOfRangeError, match="no push drives"):
        wedge_load_n(100.0, wedge=steep)
    with pytest.raises(OutOfRangeError, match="load_n"):
        wedge_push_n(0.0, wedge=steep)
    with pytest.raises(OutOfRangeError, match="push_n"):
        wedge_load_n(-1.0, wedge=steep)
