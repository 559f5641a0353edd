"""Tools off the centre: checked against the slope of the circle, drawn by points."""

from __future__ import annotations

from math import atan2, degrees, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.tool_height import (
    dia_off_centre_mm,
    effective_clearance_deg,
    effective_rake_deg,
    height_angle_deg,
    least_clear_dia_mm,
)


@given(st.floats(4.0, 100.0), st.floats(-1.5, 1.5))
def test_the_angle_is_that_of_the_tangent_where_the_tip_stands(dia: float, height: float) -> None:
    """The tip at (√(r² - h²), h) meets a tangent that leans by that angle from the upright."""
    x = sqrt((dia / 2.0) ** 2 - height**2)
    assert height_angle_deg(height, cut_dia_mm=dia) == pytest.approx(degrees(atan2(height, x)), abs=1e-9)


@given(st.floats(4.0, 100.0), st.floats(-1.5, 1.5), st.booleans())
def test_rake_gains_what_clearance_loses(dia: float, height: float, inside: bool) -> None:  # noqa: FBT001  drawn by the test
    rake = effective_rake_deg(5.0, height_mm=height, cut_dia_mm=dia, inside=inside)
    clearance = effective_clearance_deg(7.0, height_mm=height, cut_dia_mm=dia, inside=inside)
    assert rake + clearance == pytest.approx(12.0)


@pytest.mark.parametrize(
    ("height", "inside", "gains"), [(0.3, False, False), (-0.3, False, True), (0.3, True, True), (-0.3, True, False)]
)
def test_which_way_the_clearance_goes(height: float, inside: bool, gains: bool) -> None:  # noqa: FBT001  a column of the table
    """Outside above the centre the flank comes down on the work; in a bore it is the other way round."""
    found = effective_clearance_deg(7.0, height_mm=height, cut_dia_mm=10.0, inside=inside)
    assert (found > 7.0) is gains


@given(st.floats(1.0, 15.0), st.floats(0.01, 1.0))
def test_at_the_least_diameter_no_clearance_is_left(clearance: float, height: float) -> None:
    dia = least_clear_dia_mm(clearance, height_mm=height)
    assert effective_clearance_deg(clearance, height_mm=height, cut_dia_mm=dia) == pytest.approx(0.0, abs=1e-9)
    assert least_clear_dia_mm(clearance, height_mm=-height, inside=True) == pytest.approx(dia)
    assert least_clear_dia_mm(clearance, height_mm=-height) == pytest.approx(2.0 * height)


def test_a_height_changes_a_diameter_in_second_order_alone() -> None:
    once, twice = (dia_off_centre_mm(20.0, height_mm=height) - 20.0 for height in (0.05, 0.1))
    assert twice == pytest.approx(4.0 * once, rel=1e-3)
    assert once == pytest.approx(2.0 * 0.05**2 / 20.0, rel=1e-3)


def test_a_tip_that_passes_the_work_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="leaves a pip"):
        height_angle_deg(0.5, cut_dia_mm=1.0)
    with pytest.raises(OutOfRangeError, match="clearance_deg"):
        least_clear_dia_mm(0.0, height_mm=0.5)
