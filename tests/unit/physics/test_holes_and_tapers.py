"""Reamers, tapers of the tailstock, and the third opinion on the torque of a drill."""

from __future__ import annotations

from math import radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.drilling import kienzle_drill_torque_nm, shaw_oxford_thrust_n, shaw_oxford_torque_nm
from handwheel.physics.drilling_by_group import DrilledGroup, group_drill_torque_nm
from handwheel.physics.reaming_cut import is_thin, reaming_chip_mm, reaming_torque_nm
from handwheel.physics.taper_slip import (
    DRY_FRICTION,
    MORSE_HALF_ANGLE_DEG,
    OILY_FRICTION,
    slip_share,
    taper_torque_nm,
)

STEEL_200_HB = 24_000.0


def test_three_opinions_on_one_drill_lie_within_a_factor_of_two() -> None:
    """Ø 8, feed 0.12, sharp: 3.1 by group, 3.2 and 2.8 bare by Kienzle, 5.0 by Shaw and Oxford; no evidence."""
    by_group = group_drill_torque_nm(8.0, feed_mm_rev=0.12, group=DrilledGroup.MILD_STEEL)
    kienzle = [
        kienzle_drill_torque_nm(8.0, feed_mm_rev=0.12, kc11_n_mm2=kc, mc=mc) for kc, mc in ((2220, 0.14), (1500, 0.22))
    ]
    shaw = shaw_oxford_torque_nm(8.0, feed_mm_rev=0.12, work_constant=STEEL_200_HB)
    assert [round(torque, 1) for torque in (by_group, *kienzle, shaw)] == [3.1, 3.2, 2.8, 5.0]
    assert max(by_group, *kienzle, shaw) / min(by_group, *kienzle, shaw) < 2.0


@pytest.mark.parametrize(
    ("group", "constant"),
    [
        (DrilledGroup.ALUMINIUM, 0.11),
        (DrilledGroup.BRASS, 0.084),
        (DrilledGroup.CAST_IRON, 0.07),
        (DrilledGroup.MILD_STEEL, 0.36),
        (DrilledGroup.TOOL_STEEL, 0.40),
    ],
)
def test_constants_of_the_data_handbook(group: DrilledGroup, constant: float) -> None:
    """Source: [MEDH] p. 192, opened. At feed 1 and diameter 1 the torque is the constant itself."""
    assert group_drill_torque_nm(1.0, feed_mm_rev=1.0, group=group) == constant


def test_pressed_home_a_cone_is_the_book_s() -> None:
    """[JINDAL] Example 22-8: T = μ W R / sin α; friction while it seats takes a part of that off, never adds."""
    home = 0.3 * 300.0 * 0.045 / sin(radians(15.0))
    seating = taper_torque_nm(300.0, mean_dia_mm=90.0, half_angle_deg=15.0, friction=0.3)
    assert seating < home
    assert home == pytest.approx(15.648, abs=0.0005)
    tiny = taper_torque_nm(300.0, mean_dia_mm=90.0, half_angle_deg=15.0, friction=0.01)
    assert tiny == pytest.approx(0.01 / 0.3 * home, rel=0.04)


def test_a_dry_taper_holds_more_than_an_oily_one() -> None:
    dry, oily = (
        taper_torque_nm(1000.0, mean_dia_mm=15.0, half_angle_deg=MORSE_HALF_ANGLE_DEG, friction=friction)
        for friction in (DRY_FRICTION, OILY_FRICTION)
    )
    assert dry > oily


def test_opening_a_hole_is_what_makes_a_taper_slip() -> None:
    """Ø 16 into the full, and into a hole of 10: the push falls to a fifth, the torque to three fifths."""
    shares = []
    for hole in (0.0, 10.0):
        push = shaw_oxford_thrust_n(16.0, feed_mm_rev=0.2, work_constant=STEEL_200_HB, hole_dia_mm=hole)
        torque = shaw_oxford_torque_nm(16.0, feed_mm_rev=0.2, work_constant=STEEL_200_HB, hole_dia_mm=hole)
        holds = taper_torque_nm(push, mean_dia_mm=15.0, half_angle_deg=MORSE_HALF_ANGLE_DEG, friction=OILY_FRICTION)
        shares.append(slip_share(torque, holding_torque_nm=holds))
    assert shares[1] > 1.5 * shares[0]


@given(st.floats(5.0, 30.0), st.floats(0.1, 0.5), st.floats(0.05, 0.4))
def test_a_reamer_with_two_edges_square_to_the_axis_is_a_drill_that_opens_a_hole(
    dia: float, allowance: float, feed: float
) -> None:
    hole = dia - allowance
    reamed = reaming_torque_nm(
        dia, hole_dia_mm=hole, feed_mm_rev=feed, flutes=2, kc11_n_mm2=2220.0, mc=0.14, lead_deg=90.0
    )
    drilled = kienzle_drill_torque_nm(
        dia, feed_mm_rev=feed, kc11_n_mm2=2220.0, mc=0.14, hole_dia_mm=hole, point_angle_deg=180.0
    )
    assert reamed == pytest.approx(drilled)


def test_more_edges_thin_the_chip_and_raise_the_torque_a_little() -> None:
    four, eight = (
        reaming_torque_nm(20.0, hole_dia_mm=19.8, feed_mm_rev=0.3, flutes=flutes, kc11_n_mm2=2220.0, mc=0.14)
        for flutes in (4, 8)
    )
    assert four < eight == pytest.approx(four * 2.0**0.14)
    assert reaming_chip_mm(0.3, flutes=8) == pytest.approx(reaming_chip_mm(0.3, flutes=4) / 2.0)
    assert is_thin(0.3, flutes=8)


def test_what_cannot_be_reamed_or_held_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="a reamer follows a hole"):
        reaming_torque_nm(20.0, hole_dia_mm=20.0, feed_mm_rev=0.3, flutes=8, kc11_n_mm2=2220.0, mc=0.14)
    with pytest.raises(OutOfRangeError, match="flutes"):
        reaming_chip_mm(0.3, flutes=1)
    with pytest.raises(OutOfRangeError, match="friction"):
        taper_torque_nm(1000.0, mean_dia_mm=15.0, half_angle_deg=1.43, friction=0.0)
    with pytest.raises(OutOfRangeError, match="holding_torque_nm"):
        slip_share(5.0, holding_torque_nm=0.0)
