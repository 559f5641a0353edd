"""Tightening of bolts."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.bolt import bolt_preload_n, preload_of_torque_n, tightening_torque_nm, turn_of_nut_deg

BOLT = {"length_mm": 40.0, "stress_area_mm2": 36.6, "e_n_mm2": 210e3, "pitch_mm": 1.25}


@given(st.floats(10.0, 1e5), st.floats(2.0, 30.0), st.floats(0.1, 0.4))
def test_torque_and_preload_are_each_others_inverse(preload: float, dia: float, factor: float) -> None:
    torque = tightening_torque_nm(preload, dia_mm=dia, nut_factor=factor)
    assert preload_of_torque_n(torque, dia_mm=dia, nut_factor=factor) == pytest.approx(preload)


@given(st.floats(10.0, 1e5))
def test_the_turn_winds_up_the_stretch(preload: float) -> None:
    """Independent: strain from stress over modulus, the way of the nut from its pitch."""
    strain = preload / 36.6 / 210e3
    assert turn_of_nut_deg(preload, **BOLT) / 360.0 * 1.25 == pytest.approx(strain * 40.0)


def test_a_softer_bolt_turns_further_for_the_same() -> None:
    steel, bronze = (turn_of_nut_deg(5000.0, **(BOLT | {"e_n_mm2": e})) for e in (210e3, 105e3))
    assert bronze == pytest.approx(2.0 * steel)


@pytest.mark.parametrize(
    ("area", "proof", "share", "name"),
    [
        (0.0, 600.0, 0.85, "stress_area_mm2"),
        (36.6, 0.0, 0.85, "proof_n_mm2"),
        (36.6, 600.0, 1.01, "share"),
        (36.6, 600.0, 0.0, "share"),
    ],
)
def test_a_preload_stays_below_the_proof_load(area: float, proof: float, share: float, name: str) -> None:
    with pytest.raises(OutOfRangeError, match=name):
        bolt_preload_n(area, proof_n_mm2=proof, share=share)


@pytest.mark.parametrize("name", list(BOLT))
def test_sizes_of_a_bolt_are_above_nothing(name: str) -> None:
    with pytest.raises(OutOfRangeError, match=name):
        turn_of_nut_deg(1000.0, **(BOLT | {name: 0.0}))


def test_a_nut_factor_with_its_point_slipped_is_seen() -> None:
    with pytest.raises(OutOfRangeError, match="nut_factor"):
        tightening_torque_nm(1000.0, dia_mm=8.0, nut_factor=2.0)
    with pytest.raises(OutOfRangeError, match="nut_factor"):
        preload_of_torque_n(10.0, dia_mm=8.0, nut_factor=0.02)
    with pytest.raises(OutOfRangeError, match="dia_mm"):
        preload_of_torque_n(10.0, dia_mm=0.0)
