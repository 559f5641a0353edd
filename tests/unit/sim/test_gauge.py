"""What a gauge shows: bias, spread, misreads, form, tails, steps."""

from __future__ import annotations

import numpy as np
import pytest

from handwheel.sim.envelope import DEFAULT, MICROMETER_SPREAD_MM, TELESCOPING
from handwheel.sim.lathes import draw_lathes
from handwheel.sim.spreads import Bell, fixed
from tests.unit.sim.quiet import touched

MANY = 40_000
FOUR_SIGMA = 4.0
REL_SD = FOUR_SIGMA / np.sqrt(2 * MANY)


def test_one_reading_spreads_by_the_gauges_spread() -> None:
    machine = touched(MANY, gauge_spread_mm=fixed(0.006))
    off_mm = machine.read(machine.everyone) - machine.true_size_mm
    assert off_mm.std() == pytest.approx(0.006, rel=REL_SD)
    assert abs(off_mm.mean()) < FOUR_SIGMA * 0.006 / np.sqrt(MANY)


def test_bias_stays_with_the_gauge() -> None:
    machine = touched(MANY, gauge_bias_mm=Bell(0.0, 0.002))
    first_mm, second_mm = (machine.read(machine.everyone) - machine.true_size_mm for _ in range(2))
    assert first_mm == pytest.approx(second_mm)
    assert first_mm.std() == pytest.approx(0.002, rel=REL_SD)


def test_one_reading_in_250_is_off_by_half_a_millimetre_either_way() -> None:
    """Binomial, within four standard deviations."""
    machine = touched(MANY, misread_chance=1 / 250)
    off_mm = machine.read(machine.everyone) - machine.true_size_mm
    slipped = np.abs(off_mm) > 1e-9
    assert np.abs(off_mm[slipped]) == pytest.approx(np.full(slipped.sum(), 0.5))
    assert abs(slipped.mean() - 0.004) < FOUR_SIGMA * np.sqrt(0.004 * 0.996 / MANY)
    assert abs((off_mm > 0.1).sum() / slipped.sum() - 0.5) < FOUR_SIGMA * 0.5 / np.sqrt(slipped.sum())


def test_readings_stand_on_the_gauges_steps() -> None:
    machine = touched(100, gauge_spread_mm=fixed(0.006), gauge_step_mm=0.01)
    steps = machine.read(machine.everyone) / 0.01
    assert steps == pytest.approx(np.rint(steps), abs=1e-6)


def test_two_contacts_see_the_ovality_by_where_they_stand_and_no_lobes() -> None:
    machine = touched(MANY, oval_dia_mm=fixed(0.010), lobes_dia_mm=fixed(0.02))
    off_mm = machine.read(machine.everyone) - machine.true_size_mm
    assert np.abs(off_mm).max() == pytest.approx(0.010, rel=1e-3)
    assert off_mm.std() == pytest.approx(0.010 / np.sqrt(2), rel=0.02)


def test_three_contacts_see_three_lobes_and_no_ovality() -> None:
    machine = touched(MANY, oval_dia_mm=fixed(0.010), lobes_dia_mm=fixed(0.02), gauge_points=3)
    off_mm = machine.read(machine.everyone) - machine.true_size_mm
    assert np.abs(off_mm).max() == pytest.approx(0.02, rel=1e-3)


@pytest.mark.parametrize(("inside_share", "fits_mm"), [(0.0, 22.03), (1.0, 17.97)])
def test_form_enlarges_an_outside_and_closes_a_bore(inside_share: float, fits_mm: float) -> None:
    machine = touched(inside_share=inside_share, oval_dia_mm=fixed(0.010), lobes_dia_mm=fixed(0.02))
    assert machine.fitting_size_mm == pytest.approx([fits_mm])


def test_heavy_tails_keep_the_standard_deviation_and_throw_more_far_ones() -> None:
    """Beyond four standard deviations lie 0.36 % by Student's t with five degrees, 0.006 % of normal readings."""
    off_mm = {}
    for dof in (5.0, float("inf")):
        machine = touched(200_000, gauge_spread_mm=fixed(0.006), tail_dof=dof)
        off_mm[dof] = machine.read(machine.everyone) - machine.true_size_mm
    heavy, normal = off_mm[5.0], off_mm[float("inf")]
    assert heavy.std() == pytest.approx(normal.std(), rel=0.03)
    far_mm = 4 * 0.006
    assert (np.abs(heavy) > far_mm).mean() > 20 * max((np.abs(normal) > far_mm).mean(), 1e-5)


def test_readings_in_a_row_are_one_stop_and_a_cut_ends_it() -> None:
    machine = touched(2)
    at = machine.everyone
    for _ in range(3):
        machine.read(at)
    machine.wait(at, 60.0)
    machine.read(at)
    assert machine.stops.tolist() == [1, 1]
    machine.cut(np.array([1]), 5.0)
    machine.read(at)
    assert machine.stops.tolist() == [1, 2]
    assert machine.readings.tolist() == [5, 5]
    assert machine.zeros.tolist() == [1, 1]


@pytest.mark.parametrize(("envelope", "low_mm", "high_mm"), [(DEFAULT, 0.004, 0.010), (TELESCOPING, 0.010, 0.025)])
def test_each_class_of_gauge_has_its_range(envelope: object, low_mm: float, high_mm: float) -> None:
    assert isinstance(envelope, type(DEFAULT))
    spread_mm = draw_lathes(MANY, envelope, np.random.default_rng(5)).gauge_spread_mm
    assert low_mm <= spread_mm.min() < low_mm + 1e-4
    assert high_mm - 1e-4 < spread_mm.max() <= high_mm
    assert DEFAULT.gauge_spread_mm == MICROMETER_SPREAD_MM
