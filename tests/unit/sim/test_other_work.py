"""What is done beside the cuts of a size: another gauge, other cuts; lengths instead of diameters."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from handwheel.sim.gauge import rounded_mm
from handwheel.sim.lathes import draw_lathes
from handwheel.sim.machine import Machine
from handwheel.sim.spreads import fixed
from tests.unit.sim.quiet import QUIET

ROUND_OFF_MM = 1e-9


def machine(per_travel: float = 2.0, *, warm_mm: float = 0.0) -> Machine:
    """Two quiet lathes, 1 mm of travel to remove from an outside of 20."""
    rng = np.random.default_rng(1)
    lathes = draw_lathes(2, replace(QUIET, warm_dia_mm=fixed(warm_mm)), rng)
    return Machine(replace(lathes, per_travel=per_travel), rng)


@pytest.mark.parametrize("per_travel", [1.0, 2.0])
def test_a_mark_changes_a_length_once_and_a_diameter_twice(per_travel: float) -> None:
    made = machine(per_travel)
    made.touch(made.everyone)
    before = made.read(made.everyone)
    made.cut(made.everyone, 10.0)
    assert made.read(made.everyone) == pytest.approx(before - per_travel * 0.2, abs=ROUND_OFF_MM)
    assert made.true_size_mm == pytest.approx(20.0 + per_travel * 0.8, abs=ROUND_OFF_MM)


@pytest.mark.parametrize("per_travel", [1.0, 2.0])
def test_a_size_cut_warm_is_off_by_its_growth_when_cold(per_travel: float) -> None:
    """Wound to size on warm work: cold it is too small by the whole growth, be it a length or a diameter."""
    made = machine(per_travel, warm_mm=0.02)
    made.touch(made.everyone)
    made.warm(made.everyone)
    made.cut(made.everyone, 50.0)
    assert made.true_size_mm == pytest.approx(20.0 - 0.02, abs=ROUND_OFF_MM)


def test_another_gauge_reads_otherwise_from_then_on_and_only_there() -> None:
    made = machine()
    first = np.array([0])
    before = made.read(made.everyone)
    made.take_gauge(first, bias_mm=np.array([0.013]), spread_mm=np.array([0.0]), step_mm=0.01)
    after = made.read(made.everyone)
    assert after - before == pytest.approx([0.01, 0.0], abs=ROUND_OFF_MM)


def test_other_cuts_leave_what_they_leave_and_the_zero_stays() -> None:
    made = machine()
    made.touch(made.everyone)
    made.leave(made.everyone, np.array([0.3, 0.2]))
    assert made.metal_left_mm == pytest.approx([0.3, 0.2], abs=ROUND_OFF_MM)
    made.cut(made.everyone, 50.0)
    assert made.metal_left_mm == pytest.approx([0.0, 0.0], abs=ROUND_OFF_MM)


def test_other_cuts_warm_the_work_and_it_cools() -> None:
    made = machine(warm_mm=0.02)
    made.warm(made.everyone)
    assert made.growth_mm == pytest.approx(0.02, abs=ROUND_OFF_MM)
    assert made.cuts.tolist() == [0, 0]
    made.wait(made.everyone, 100.0)
    assert made.growth_mm == pytest.approx(0.02 / np.e, abs=ROUND_OFF_MM)


def test_each_gauge_rounds_to_its_own_step() -> None:
    read = rounded_mm(np.array([1.2344, 1.2344, 1.2344]), step_mm=np.array([0.001, 0.01, 0.0]))
    assert read == pytest.approx([1.234, 1.23, 1.2344], abs=ROUND_OFF_MM)
