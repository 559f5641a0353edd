"""Where the tip goes: marks, lead errors, setting, slack, touch, fine feed."""

from __future__ import annotations

from math import asin, pi, radians, sin

import numpy as np
import pytest

from handwheel.sim.envelope import DEFAULT, METRIC_RING
from handwheel.sim.lathes import CROSS, TOP, draw_lathes
from handwheel.sim.machine import Machine, NoZeroError
from handwheel.sim.spreads import Even, Floats, fixed
from tests.unit.sim.quiet import touched

MANY = 40_000
FOUR_SIGMA = 4.0


def test_a_perfect_lathe_takes_the_marks_it_is_told() -> None:
    """10 marks of 0.02 mm take 0.2 mm off the radius, 0.4 mm off the diameter of 22 mm."""
    machine = touched()
    machine.cut(machine.everyone, 10.0)
    assert machine.metal_left_mm == pytest.approx([0.8])
    assert machine.true_size_mm == pytest.approx([21.6])
    assert machine.read(machine.everyone) == pytest.approx([21.6])


def test_a_bore_grows_by_its_cut() -> None:
    machine = touched(inside_share=1.0)
    machine.cut(machine.everyone, 10.0)
    assert machine.known.start_dia_mm == pytest.approx([18.0])
    assert machine.true_size_mm == pytest.approx([18.4])


def test_a_second_cut_counts_from_the_same_zero() -> None:
    machine = touched()
    machine.cut(machine.everyone, 10.0)
    machine.cut(machine.everyone, 25.0)
    assert machine.metal_left_mm == pytest.approx([0.5])


def test_a_cut_short_of_the_surface_takes_nothing() -> None:
    machine = touched()
    machine.cut(machine.everyone, 10.0)
    machine.cut(machine.everyone, 9.0)
    assert machine.metal_left_mm == pytest.approx([0.8])
    assert machine.cuts == pytest.approx([2])


def test_a_scale_error_is_a_share_of_the_travel() -> None:
    machine = touched(rate=fixed(0.01))
    machine.cut(machine.everyone, 25.0)
    assert machine.metal_left_mm == pytest.approx([1.0 - 0.5 * 1.01])


def test_one_lathe_in_thirty_has_the_wrong_ring() -> None:
    """Binomial with p = 1/30, within four standard deviations; both signs, on both slides alike."""
    lathes = draw_lathes(MANY, DEFAULT, np.random.default_rng(3))
    quiet = draw_lathes(MANY, touched(ring=DEFAULT.ring).lathes.envelope, np.random.default_rng(3))
    wrong = np.abs(quiet.rate[CROSS]) > METRIC_RING / 2
    assert np.allclose(np.abs(quiet.rate[CROSS, wrong]), 0.016)
    assert np.array_equal(quiet.rate[CROSS], quiet.rate[TOP])
    assert abs(wrong.mean() - 1 / 30) < FOUR_SIGMA * np.sqrt(1 / 30 * 29 / 30 / MANY)
    assert abs((quiet.rate[CROSS] > 0.01).sum() / wrong.sum() - 0.5) < FOUR_SIGMA * 0.5 / np.sqrt(wrong.sum())
    honest_sd = np.sqrt(0.004**2 + 0.016**2 / 30)
    assert lathes.rate[CROSS].std() == pytest.approx(honest_sd, rel=0.03)


def test_the_periodic_error_is_gone_after_a_whole_turn_and_greatest_between() -> None:
    """A sine of the lead (1 mm, 50 marks): over half a turn it adds between -2 and 2 amplitudes, over a turn none."""
    machine = touched(500, periodic_mm=fixed(0.008))
    machine.cut(machine.everyone, 25.0)
    off_mm = 0.5 - machine.metal_left_mm
    assert np.abs(off_mm).max() == pytest.approx(0.016, rel=0.01)
    assert abs(off_mm.mean()) < 0.0025
    machine.cut(machine.everyone, 50.0)
    assert machine.metal_left_mm == pytest.approx(np.zeros(500), abs=1e-12)


def test_the_periodic_error_belongs_to_the_screw_and_not_to_the_zero() -> None:
    """Touched again half a turn further on, a quarter turn moves as it would have from the first zero."""
    once = touched(50, periodic_mm=fixed(0.008), to_remove_mm=fixed(2.0))
    twice = touched(50, periodic_mm=fixed(0.008), to_remove_mm=fixed(2.0))
    for machine in (once, twice):
        machine.cut(machine.everyone, 25.0)
    twice.touch(twice.everyone)
    once.cut(once.everyone, 37.0)
    twice.cut(twice.everyone, 12.0)
    assert twice.metal_left_mm == pytest.approx(once.metal_left_mm, abs=1e-9)


def test_settings_spread_by_their_share_of_half_a_mark() -> None:
    """0.4 of half of 0.02 mm is 4 µm."""
    machine = touched(MANY, setting_share=fixed(0.4))
    machine.cut(machine.everyone, 10.0)
    assert machine.metal_left_mm.std() == pytest.approx(0.004, rel=FOUR_SIGMA / np.sqrt(2 * MANY))


def test_touches_spread_as_the_envelope_says() -> None:
    machine = touched(MANY, touch_sd_mm=0.010)
    machine.cut(machine.everyone, 10.0)
    assert machine.metal_left_mm.std() == pytest.approx(0.010, rel=FOUR_SIGMA / np.sqrt(2 * MANY))


def test_slack_not_taken_up_leaves_the_tip_short_by_up_to_all_of_it() -> None:
    machine = touched(2000, slack_mm=fixed(0.3))
    wrong = np.arange(2000) % 2 == 0
    machine.cut(machine.everyone, 25.0, from_wrong_side=wrong)
    left_mm = machine.metal_left_mm
    assert left_mm[~wrong] == pytest.approx(np.full(1000, 0.5))
    assert left_mm[wrong].min() == pytest.approx(0.5, abs=0.003)
    assert left_mm[wrong].max() == pytest.approx(0.8, abs=0.003)


def test_fine_feed_moves_a_tenth_and_adds_to_what_the_cross_slide_did() -> None:
    machine = touched()
    at = machine.everyone
    machine.swing(at)
    machine.touch(at, fine=True)
    machine.cut(at, 20.0)
    machine.cut(at, 5.0, fine=True)
    assert machine.known.fine_mark_mm == pytest.approx([0.002])
    assert machine.metal_left_mm == pytest.approx([1.0 - 0.4 - 0.01])


def test_each_lathe_winds_its_own_handle() -> None:
    machine = touched(2)
    machine.swing(machine.everyone)
    machine.touch(machine.everyone, fine=np.array([True, False]))
    machine.cut(machine.everyone, 10.0, fine=np.array([True, False]))
    assert machine.metal_left_mm == pytest.approx([0.98, 0.8])


def test_the_angle_is_off_by_up_to_its_bound_and_anew_at_each_swing() -> None:
    """The infeed of 100 marks of 0.02 mm at 5.739 ± 0.3 degrees."""
    infeed_mm: list[Floats] = []
    machine = touched(2000, angle_error_deg=Even(-0.3, 0.3), to_remove_mm=fixed(3.0))
    for _ in range(2):
        machine.swing(machine.everyone)
        machine.touch(machine.everyone, fine=True)
        before_mm = machine.metal_left_mm
        machine.cut(machine.everyone, 100.0, fine=True)
        infeed_mm.append(before_mm - machine.metal_left_mm)
    for each in infeed_mm:
        assert each.min() == pytest.approx(2.0 * sin(asin(0.1) - radians(0.3)), rel=2e-3)
        assert each.max() == pytest.approx(2.0 * sin(asin(0.1) + radians(0.3)), rel=2e-3)
    assert abs(np.corrcoef(infeed_mm[0], infeed_mm[1])[0, 1]) < 0.1


@pytest.mark.parametrize("lose", [Machine.swing, Machine.change_edge])
def test_a_swung_slide_and_a_new_edge_cost_the_zero(lose: object) -> None:
    machine = touched(3)
    assert callable(lose)
    lose(machine, np.array([1]))
    machine.cut(np.array([0, 2]), 5.0)
    with pytest.raises(NoZeroError, match="lathe 1: the dial has no zero; touch the work first"):
        machine.cut(machine.everyone, 5.0)


def test_fine_feed_without_a_swung_slide_is_refused() -> None:
    machine = touched(2)
    with pytest.raises(NoZeroError, match="not swung"):
        machine.cut(machine.everyone, 5.0, fine=np.array([False, True]))
    with pytest.raises(NoZeroError, match="not swung"):
        machine.touch(machine.everyone, fine=True)


def test_what_a_quiet_cut_will_leave_is_told_beforehand_and_changes_nothing() -> None:
    machine = touched(200, spring_share=Even(0.02, 0.25), rate=fixed(0.004), periodic_mm=fixed(pi / 1000))
    at = machine.everyone
    for marks in (12.0, 30.0, 31.0):
        told_mm = machine.expected_left_mm(at, marks)
        assert machine.expected_left_mm(at, marks) == pytest.approx(told_mm)
        machine.cut(at, marks)
        assert machine.metal_left_mm == pytest.approx(told_mm, abs=1e-12)
