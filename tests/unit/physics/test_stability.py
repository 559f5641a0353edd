"""Regenerative chatter: the search for the least limit, lobes, and which of the two counts."""

from __future__ import annotations

from cmath import exp
from math import inf, pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.stability import (
    Mode,
    Ruling,
    limit_at_any_speed,
    limit_at_speed,
    lobe_number,
    oriented_response,
    ruling,
    ruling_limit,
    stable_width_mm,
)

TOOL = Mode(stiffness_n_um=20.0, damping_ratio=0.03, frequency_hz=200.0)

modes = st.builds(
    Mode,
    stiffness_n_um=st.floats(1.0, 300.0),
    damping_ratio=st.floats(0.005, 0.3),
    frequency_hz=st.floats(50.0, 1000.0),
    angle_deg=st.floats(-80.0, 80.0),
)


def scanned(swings: list[Mode]) -> float:
    """Least limit on a fine scan of frequencies, none of it shared with the search. [mm]"""
    reals = (oriented_response(20.0 * 1.0005**step, swings).real for step in range(9000))
    return min((-1.0 / (2000.0 * real) for real in reals if real < 0), default=inf)


@pytest.mark.parametrize(
    ("k", "damping", "factor", "expected"), [(20.0, 0.03, 1.0, 0.62), (20.0, 0.03, 0.5, 1.24), (5.8, 0.02, 1.0, 0.12)]
)
def test_worked_stable_widths(k: float, damping: float, factor: float, expected: float) -> None:
    """Computed for this project at 2000 N/mm²; a guard against change, no evidence."""
    found = stable_width_mm(k, damping_ratio=damping, kc_n_mm2=2000.0, direction_factor=factor)
    assert found == pytest.approx(expected, abs=0.005)


@settings(max_examples=25, deadline=None)
@given(st.lists(modes, min_size=1, max_size=4))
def test_no_scan_finds_a_lower_limit_than_the_search(swings: list[Mode]) -> None:
    found = limit_at_any_speed(swings, kf_n_mm2=1000.0)
    assert scanned(swings) >= found.width_mm * (1.0 - 1e-9)
    assert scanned(swings) == pytest.approx(found.width_mm, rel=2e-3)
    assert oriented_response(found.chatter_hz, swings).real < 0
    assert found.bound_mm <= found.width_mm <= found.bound_mm * (1.0 + 1.01e-6)


@settings(max_examples=25, deadline=None)
@given(st.lists(modes, min_size=1, max_size=3), st.floats(600.0, 20_000.0))
def test_no_speed_bears_less_than_the_limit_for_any(swings: list[Mode], speed: float) -> None:
    at_any = limit_at_any_speed(swings, kf_n_mm2=1000.0)
    assert limit_at_speed(swings, kf_n_mm2=1000.0, speed_rpm=speed).width_mm >= at_any.bound_mm


@settings(max_examples=25, deadline=None)
@given(st.lists(modes, min_size=1, max_size=3), st.floats(600.0, 20_000.0))
def test_a_limit_at_a_speed_is_a_whole_number_of_waves(swings: list[Mode], speed: float) -> None:
    """The cut of that width balances: 1 = -Kf a (1 - e^(-jωT)) G; both parts of it, by complex numbers alone."""
    found = limit_at_speed(swings, kf_n_mm2=1000.0, speed_rpm=speed)
    turn = 2.0 * pi * found.chatter_hz * 60.0 / speed
    response = oriented_response(found.chatter_hz, swings)
    assert -1000.0 * found.width_mm * (1.0 - exp(-1j * turn)) * response == pytest.approx(1.0 + 0.0j, abs=1e-6)


def test_twice_the_force_halves_the_width() -> None:
    one, two = (limit_at_any_speed((TOOL,), kf_n_mm2=kf).width_mm for kf in (1000.0, 2000.0))
    assert one == pytest.approx(2.0 * two)


def test_crowded_lobes_leave_only_the_limit_for_any_speed() -> None:
    assert ruling((TOOL,), speed_rpm=1200.0) is Ruling.LOBES  # lobe number 10 exactly
    assert ruling((TOOL,), speed_rpm=1199.0) is Ruling.ANY_SPEED
    assert ruling_limit((TOOL,), kf_n_mm2=2000.0, speed_rpm=1199.0).lobe is None
    assert ruling_limit((TOOL,), kf_n_mm2=2000.0, speed_rpm=6000.0).lobe == 2
    assert lobe_number(200.0, speed_rpm=1200.0) == 10.0


def test_what_makes_no_sense_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="modes: got none"):
        limit_at_any_speed((), kf_n_mm2=1000.0)
    with pytest.raises(OutOfRangeError, match="damping_ratio"):
        Mode(stiffness_n_um=20.0, damping_ratio=0.0, frequency_hz=200.0)
    with pytest.raises(OutOfRangeError, match="angle_deg"):
        Mode(stiffness_n_um=20.0, damping_ratio=0.03, frequency_hz=200.0, angle_deg=90.0)
    with pytest.raises(OutOfRangeError, match="lobe number"):
        limit_at_speed((TOOL,), kf_n_mm2=1000.0, speed_rpm=1.0)
    with pytest.raises(OutOfRangeError, match="kf_n_mm2"):
        limit_at_speed((TOOL,), kf_n_mm2=0.0, speed_rpm=1000.0)
