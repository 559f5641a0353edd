"""Plain habits and the helper who knows: what they do is what their words say."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from handwheel.rehearsal.knowing import work_knowingly
from handwheel.rehearsal.plain import (
    DIAL_ONLY,
    HALVES,
    MEASURE_ONCE,
    MOST_HALVES,
    TWO_EQUAL,
    Plain,
    Setting,
    work_plainly,
)
from handwheel.sim.envelope import DEFAULT
from tests.rehearsal.trials import knowing, machine_of, plainly
from tests.unit.sim.quiet import QUIET

COUNT = 20


def test_the_dial_alone_is_enough_where_nothing_is_left_to_chance() -> None:
    machine = machine_of(QUIET, 1, COUNT)
    work_plainly(machine, DIAL_ONLY, leave_mm=0.16, most_cut_mm=0.5)
    assert machine.metal_left_mm == pytest.approx(np.zeros(COUNT), abs=1e-9)
    # 0.84 mm in passes of at most 0.5 mm, and the rest: 0.5, 0.34, 0.16; the one stop shows the size.
    assert set(machine.cuts) == {3}
    assert set(machine.stops) == {1}


def test_spring_is_what_the_dial_alone_does_not_know() -> None:
    """A tenth springs away: of each depth a tenth stays for the next cut, of the last for nobody."""
    machine = machine_of(replace(QUIET, spring_share=replace(QUIET.spring_share, low=0.1, high=0.1)), 1, COUNT)
    work_plainly(machine, DIAL_ONLY, leave_mm=0.16, most_cut_mm=0.5)
    left_mm = 0.1 * (0.16 + 0.1 * (0.34 + 0.1 * 0.5))
    assert machine.metal_left_mm == pytest.approx(np.full(COUNT, left_mm), abs=1e-9)


@pytest.mark.parametrize(("habit", "left_mm"), [(MEASURE_ONCE, 0.0), (TWO_EQUAL, 0.0), (HALVES, 0.01)])
def test_the_rest_is_wound_in_as_the_habit_says(habit: Plain, left_mm: float) -> None:
    """Halves of 0.16 mm: 0.08, 0.04, 0.02, and 0.01 is inside ± 0.025 mm on the diameter."""
    machine = machine_of(QUIET, 1, COUNT)
    work_plainly(machine, habit, leave_mm=0.16, most_cut_mm=0.5)
    assert machine.metal_left_mm == pytest.approx(np.full(COUNT, left_mm), abs=1e-9)


def test_whole_marks_leave_what_they_cannot_set() -> None:
    """Marks of 0.03 mm: of 1 mm 33 marks are the nearest."""
    mark = replace(QUIET.mark_mm, low=0.03, high=0.03)
    for setting, left_mm in ((Setting.BETWEEN, 0.0), (Setting.WHOLE, 0.01), (Setting.FINE, 0.001)):
        machine = machine_of(replace(QUIET, mark_mm=mark), 1, COUNT)
        work_plainly(machine, replace(MEASURE_ONCE, setting=setting), leave_mm=0.16, most_cut_mm=0.5)
        assert machine.metal_left_mm == pytest.approx(np.full(COUNT, left_mm), abs=1e-9), setting


def test_no_pass_is_deeper_than_it_may_be() -> None:
    machine = machine_of(QUIET, 1, COUNT)
    work_plainly(machine, replace(DIAL_ONLY, setting=Setting.WHOLE), leave_mm=0.16, most_cut_mm=0.1)
    assert set(machine.cuts) == {10}  # 42 marks of 0.02 mm by five at a time, and the eight that are left


def test_halving_gives_up() -> None:
    machine = machine_of(DEFAULT, 3, 500)
    work_plainly(machine, HALVES, leave_mm=0.25, most_cut_mm=0.5)
    assert machine.stops.max() <= MOST_HALVES + 1


@pytest.mark.parametrize(
    ("habit", "good"),
    [
        (DIAL_ONLY, 32.0),
        (replace(MEASURE_ONCE, cools=True), 55.0),
        (HALVES, 76.0),
        (replace(TWO_EQUAL, setting=Setting.FINE, cools=True), 88.0),
    ],
)
def test_habits_come_out_as_on_a_like_envelope(habit: Plain, good: float) -> None:
    """Measured before on lathes drawn otherwise: 32, 55, 76, 88 %; like, not the same, so within six points."""
    assert plainly(DEFAULT, habit, seeds=(0,), lathes=2_000).good == pytest.approx(good, abs=6.0)


def test_who_knows_a_perfect_lathe_makes_the_fewest_cuts_there_can_be() -> None:
    """1 mm by passes of at most 0.5 mm and one last cut of 0.08 mm: 0.5, 0.42, 0.08; or two last cuts: one more."""
    for last_cuts, cuts in ((1, 3), (2, 4)):
        machine = machine_of(QUIET, 1, COUNT)
        work_knowingly(machine, last_cut_mm=0.08, most_cut_mm=0.5, last_cuts=last_cuts)
        assert machine.metal_left_mm == pytest.approx(np.zeros(COUNT), abs=0.001)  # half a fine mark
        assert set(machine.cuts) == {cuts}
        assert set(machine.stops) == {1}
        assert not machine.waited_s.any()


def test_who_knows_is_nearly_always_right() -> None:
    """What is left to chance is one fine setting and one cut: a ceiling for whoever must learn first."""
    machine = knowing(DEFAULT, seed=0, lathes=2_000)
    assert machine.is_good.mean() >= 0.998
    assert machine.cuts.max() <= 6
