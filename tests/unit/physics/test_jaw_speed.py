"""Jaws that lose grip by turning fast."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.jaw_speed import Jaws, fastest_gripping_rpm, grip_to_begin_with_n, jaws_centrifugal_n

JAWS = Jaws(count=3, jaw_mass_kg=0.25, centre_radius_mm=30.0)


def centrifugal(speed: float, jaws: Jaws = JAWS) -> float:
    return jaws_centrifugal_n(jaws, speed_rpm=speed)


def test_the_force_is_mass_times_the_square_of_its_speed_over_the_radius() -> None:
    """Independent: 0.75 kg at 30 mm, 10 turns a second, so 1.885 m/s."""
    assert centrifugal(600.0) == pytest.approx(0.75 * 1.8849556**2 / 0.030)


def test_it_goes_by_the_square_of_speed_and_straight_with_mass_number_and_radius() -> None:
    once = centrifugal(500.0)
    assert centrifugal(1000.0) == pytest.approx(4.0 * once)
    for twice in (replace(JAWS, jaw_mass_kg=0.5), replace(JAWS, count=6), replace(JAWS, centre_radius_mm=60.0)):
        assert centrifugal(500.0, twice) == pytest.approx(2.0 * once)


@given(st.floats(100.0, 3000.0), st.floats(50.0, 5000.0), st.floats(1.5, 3.0), st.floats(1.5, 3.0))
def test_the_speed_is_the_grip_read_backwards(speed: float, needed: float, cut: float, jaw: float) -> None:
    grip = grip_to_begin_with_n(needed, centrifugal_n=centrifugal(speed), cut_safety=cut, jaw_safety=jaw)
    found = fastest_gripping_rpm(grip, needed_n=needed, jaws=JAWS, cut_safety=cut, jaw_safety=jaw)
    assert found == pytest.approx(speed)


def test_from_inside_turning_presses_the_jaws_on() -> None:
    outside, inside = (grip_to_begin_with_n(1000.0, centrifugal_n=200.0, outside=side) for side in (True, False))
    assert (outside, inside) == pytest.approx((1.5 * 1700.0, 1.5 * 1300.0))
    assert grip_to_begin_with_n(1000.0, centrifugal_n=2000.0, outside=False) == 0.0


@pytest.mark.parametrize(("cut", "jaw", "name"), [(1.4, 1.5, "cut_safety"), (1.5, 1.4, "jaw_safety")])
def test_no_safety_is_below_that_of_the_source(cut: float, jaw: float, name: str) -> None:
    with pytest.raises(OutOfRangeError, match=name):
        grip_to_begin_with_n(1000.0, centrifugal_n=200.0, cut_safety=cut, jaw_safety=jaw)
    with pytest.raises(OutOfRangeError, match=name):
        fastest_gripping_rpm(9000.0, needed_n=1000.0, jaws=JAWS, cut_safety=cut, jaw_safety=jaw)


def test_a_grip_too_small_at_rest_has_no_speed() -> None:
    assert fastest_gripping_rpm(2251.0, needed_n=1000.0, jaws=JAWS) > 0
    with pytest.raises(OutOfRangeError, match="above 2250 N even at rest"):
        fastest_gripping_rpm(2250.0, needed_n=1000.0, jaws=JAWS)


@pytest.mark.parametrize("name", ["jaw_mass_kg", "count", "centre_radius_mm"])
def test_jaws_weigh_something_and_lie_off_the_axis(name: str) -> None:
    with pytest.raises(OutOfRangeError, match=name):
        replace(JAWS, **{name: 0})
    with pytest.raises(OutOfRangeError, match="speed_rpm"):
        centrifugal(0.0)
