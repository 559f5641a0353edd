"""Screws under load."""

from __future__ import annotations

from math import atan, pi, radians, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.bolt import USUAL_NUT_FACTOR
from handwheel.physics.screw import (
    ACME_FLANK_DEG,
    METRIC_FLANK_DEG,
    Screw,
    is_self_locking,
    lead_angle_deg,
    lowering_torque_nm,
    raising_torque_nm,
    screw_efficiency,
    screw_pull_n,
)

screws = st.builds(
    Screw,
    mean_dia_mm=st.floats(4.0, 40.0),
    lead_mm=st.floats(0.5, 8.0),
    friction=st.floats(0.02, 0.4),
    flank_deg=st.sampled_from((0.0, ACME_FLANK_DEG, METRIC_FLANK_DEG)),
    collar_dia_mm=st.floats(0.0, 60.0),
    collar_friction=st.floats(0.0, 0.3),
)


@given(st.floats(4.0, 40.0), st.floats(0.5, 8.0), st.floats(0.0, 0.4))
def test_a_square_thread_is_an_incline_wound_up(dia: float, lead: float, friction: float) -> None:
    """Independent: the load pushed up a slope by a level force, F tan(slope + angle of friction)."""
    screw = Screw(mean_dia_mm=dia, lead_mm=lead, friction=friction)
    slope = radians(lead_angle_deg(screw))
    up, down = tan(slope + atan(friction)), tan(atan(friction) - slope)
    assert raising_torque_nm(1000.0, screw=screw) == pytest.approx(up * dia / 2.0)
    assert lowering_torque_nm(1000.0, screw=screw) == pytest.approx(down * dia / 2.0, abs=1e-9)


@given(screws, st.floats(10.0, 50_000.0))
def test_pull_and_torque_are_each_others_inverse(screw: Screw, pull: float) -> None:
    assert screw_pull_n(raising_torque_nm(pull, screw=screw), screw=screw) == pytest.approx(pull)


@given(screws)
def test_a_screw_that_locks_hands_on_less_than_half_the_work(screw: Screw) -> None:
    """Known of all screws; the collar takes of it too."""
    if is_self_locking(screw):
        assert screw_efficiency(screw) < 0.5


@given(screws)
def test_a_thread_holds_where_lowering_takes_a_torque(screw: Screw) -> None:
    bare = replace(screw, collar_dia_mm=0.0)
    assert is_self_locking(screw) == (lowering_torque_nm(1000.0, screw=bare) > 0)


def test_without_friction_nothing_is_lost() -> None:
    screw = Screw(mean_dia_mm=20.0, lead_mm=4.0, friction=0.0, flank_deg=METRIC_FLANK_DEG)
    assert screw_efficiency(screw) == pytest.approx(1.0)
    assert raising_torque_nm(1000.0, screw=screw) == pytest.approx(4.0 / (2 * pi))


def test_a_leaning_flank_and_a_collar_cost_torque() -> None:
    square = Screw(mean_dia_mm=20.0, lead_mm=4.0, friction=0.15)
    acme = replace(square, flank_deg=ACME_FLANK_DEG)
    collared = replace(acme, collar_dia_mm=30.0, collar_friction=0.1)
    torques = [raising_torque_nm(1000.0, screw=each) for each in (square, acme, collared)]
    assert torques[0] < torques[1] < torques[2]
    assert torques[2] - torques[1] == pytest.approx(0.1 * 15.0)


def test_a_plain_nut_comes_near_the_usual_nut_factor() -> None:
    """Two ways to the same torque: M8, friction 0.15 in thread and face, mean of the face 10.8 mm."""
    nut = Screw(
        mean_dia_mm=7.188,
        lead_mm=1.25,
        friction=0.15,
        flank_deg=METRIC_FLANK_DEG,
        collar_dia_mm=10.8,
        collar_friction=0.15,
    )
    assert raising_torque_nm(1000.0, screw=nut) / 8.0 == pytest.approx(USUAL_NUT_FACTOR, rel=0.05)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("mean_dia_mm", 0.0),
        ("lead_mm", 0.0),
        ("friction", 0.81),
        ("flank_deg", 46.0),
        ("collar_dia_mm", -1.0),
        ("collar_friction", -0.1),
    ],
)
def test_screws_have_limits(name: str, value: float) -> None:
    plain = {"mean_dia_mm": 20.0, "lead_mm": 4.0, "friction": 0.15}
    with pytest.raises(OutOfRangeError, match=name):
        Screw(**(plain | {name: value}))


def test_what_no_torque_turns_is_refused() -> None:
    steep = Screw(mean_dia_mm=4.0, lead_mm=20.0, friction=0.7)
    with pytest.raises(OutOfRangeError, match="no torque turns"):
        raising_torque_nm(100.0, screw=steep)
    with pytest.raises(OutOfRangeError, match="no torque turns"):
        screw_efficiency(steep)
    with pytest.raises(OutOfRangeError, match="pull_n"):
        lowering_torque_nm(0.0, screw=steep)
    with pytest.raises(OutOfRangeError, match="torque_nm"):
        screw_pull_n(0.0, screw=steep)
