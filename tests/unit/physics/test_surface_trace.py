"""Roughness read off a trace."""

from __future__ import annotations

from math import nan, pi, sin, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.roughness import mean_roughness_um, peak_to_valley_um
from handwheel.physics.surface_trace import chart_ra_um, from_mean_line_um, trace_ra_um, trace_rq_um

STEPS = 2000
traces = st.lists(st.integers(-50_000, 50_000).map(lambda nanometres: nanometres / 1000.0), min_size=2, max_size=50)


def test_a_sine_has_its_known_means() -> None:
    wave = [3.0 * sin(2 * pi * (step + 0.5) / STEPS) for step in range(STEPS)]
    assert trace_ra_um(wave) == pytest.approx(3.0 * 2 / pi, rel=1e-5)
    assert trace_rq_um(wave) == pytest.approx(3.0 / sqrt(2), rel=1e-5)


def test_the_marks_of_a_round_nose_have_the_mean_that_the_formula_gives() -> None:
    """One feed mark of 0.1 mm/rev by a nose of 0.4 mm, read off at 2000 places."""
    feed, nose = 0.1, 0.4
    across = [feed * ((step + 0.5) / STEPS - 0.5) for step in range(STEPS)]
    mark = from_mean_line_um([1000.0 * x * x / (2 * nose) for x in across])
    assert trace_ra_um(mark) == pytest.approx(mean_roughness_um(feed, nose_radius_mm=nose), rel=1e-4)
    assert max(mark) - min(mark) == pytest.approx(peak_to_valley_um(feed, nose_radius_mm=nose), rel=2e-3)


@given(traces, st.floats(-100.0, 100.0))
def test_the_mean_line_is_found_from_any_level(heights: list[float], level: float) -> None:
    there, lifted = from_mean_line_um(heights), from_mean_line_um([level + height for height in heights])
    assert lifted == pytest.approx(there, abs=1e-9)
    assert sum(there) == pytest.approx(0.0, abs=1e-9)


@given(traces)
def test_rq_is_never_below_ra_nor_above_the_highest(heights: list[float]) -> None:
    ordinates = from_mean_line_um(heights)
    room = 1.0 + 1e-9
    assert trace_ra_um(ordinates) <= trace_rq_um(ordinates) * room <= max(map(abs, ordinates)) * room**2


def test_areas_of_a_chart_give_what_ordinates_give() -> None:
    """Teeth 2 µm high and low by turns, 0.1 mm long each, drawn 5000 times as high and 100 times as long."""
    areas = [2e-3 * 5000.0 * 0.1 * 100.0] * 8
    found = chart_ra_um(areas, height_magnification=5000.0, length_magnification=100.0, length_mm=0.8)
    assert found == pytest.approx(trace_ra_um([2.0, -2.0] * 4))


@pytest.mark.parametrize("values", [[], [1.0], [1.0, nan]])
def test_a_trace_needs_ordinates(values: list[float]) -> None:
    for relation in (trace_ra_um, trace_rq_um):
        with pytest.raises(OutOfRangeError, match="ordinates_um"):
            relation(values)
    with pytest.raises(OutOfRangeError, match="heights_um"):
        from_mean_line_um(values)


@pytest.mark.parametrize("name", ["height_magnification", "length_magnification", "length_mm"])
def test_a_chart_has_its_scales(name: str) -> None:
    plain = {"height_magnification": 5000.0, "length_magnification": 100.0, "length_mm": 0.8}
    with pytest.raises(OutOfRangeError, match=name):
        chart_ra_um([1.0], **(plain | {name: 0.0}))
    for areas in ([], [1.0, -1.0]):
        with pytest.raises(OutOfRangeError, match="areas_mm2"):
            chart_ra_um(areas, **plain)
