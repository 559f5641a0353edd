"""What cuts take off: spring, rubbing, wear, built-up edge."""

from __future__ import annotations

import numpy as np
import pytest

from handwheel.domain.errors import OutOfRangeError
from handwheel.sim.bite import spring_share, sprung_mm
from handwheel.sim.spreads import Even, Flags, fixed
from tests.unit.sim.quiet import touched

MANY = 40_000
FOUR_SIGMA = 4.0


def test_spring_leaves_its_share_of_the_depth() -> None:
    """0.5 mm deep with 12 %: 0.06 mm stays; the same setting again leaves 12 % of that."""
    machine = touched(spring_share=fixed(0.12))
    machine.cut(machine.everyone, 25.0)
    assert machine.metal_left_mm == pytest.approx([0.56])
    machine.cut(machine.everyone, 25.0)
    assert machine.metal_left_mm == pytest.approx([0.5 + 0.12 * 0.06])


def test_spring_scatters_by_a_share_of_itself() -> None:
    """10 % of a spring of 0.05 mm is 5 µm."""
    machine = touched(MANY, spring_share=fixed(0.1), spring_scatter=fixed(0.1))
    machine.cut(machine.everyone, 25.0)
    assert machine.metal_left_mm.mean() == pytest.approx(0.55, abs=FOUR_SIGMA * 0.005 / np.sqrt(MANY))
    assert machine.metal_left_mm.std() == pytest.approx(0.005, rel=FOUR_SIGMA / np.sqrt(2 * MANY))


def test_force_is_a_factor_on_the_spring() -> None:
    machine = touched(2, spring_share=fixed(0.1))
    machine.cut(machine.everyone, 25.0, force=np.array([1.0, 2.0]))
    assert machine.metal_left_mm == pytest.approx([0.55, 0.6])


def test_an_exponent_makes_shallow_cuts_spring_more_for_their_depth() -> None:
    """At the reference depth the share as given; at a quarter of it, with power 1/2, twice the share."""
    depth_mm, share = np.array([0.1, 0.025, 0.0, -0.1]), np.full(4, 0.1)
    found_mm = sprung_mm(depth_mm, share=share, exponent=0.5, at_depth_mm=0.1)
    assert found_mm == pytest.approx([0.01, 0.005, 0.0, 0.0])


def test_the_share_follows_from_force_and_stiffness() -> None:
    """Statics: 100 N on 10 N/µm is 10 µm, of a depth of 0.1 mm a tenth."""
    assert spring_share(100.0, depth_mm=0.1, stiffness_n_um=10.0) == pytest.approx(0.1)
    with pytest.raises(OutOfRangeError, match="depth_mm"):
        spring_share(100.0, depth_mm=0.0, stiffness_n_um=10.0)


def test_a_rubbing_edge_takes_a_share_and_the_next_cut_takes_the_rest() -> None:
    """A mark of 0.02 mm below a least chip of 0.03 mm: half is taken. The next mark is 0.03 mm deep, and cuts."""
    machine = touched(least_chip_mm=fixed(0.0299), rub_take=Even(0.5, 0.5))
    machine.cut(machine.everyone, 1.0)
    assert machine.metal_left_mm == pytest.approx([0.99])
    machine.cut(machine.everyone, 2.0)
    assert machine.metal_left_mm == pytest.approx([0.96])


def test_what_rubbing_takes_is_drawn_anew_each_time() -> None:
    machine = touched(MANY, least_chip_mm=fixed(1.0), rub_take=Even(0.0, 0.5))
    machine.cut(machine.everyone, 10.0)
    first = (1.0 - machine.metal_left_mm) / 0.2
    machine.cut(machine.everyone, 10.0)
    second = 1.0 - (machine.metal_left_mm - 0.8) / (0.2 * (1.0 - first))
    for share in (first, second):
        assert 0.0 <= share.min() < 0.001
        assert 0.499 < share.max() <= 0.5
        assert share.mean() == pytest.approx(0.25, abs=FOUR_SIGMA * 0.5 / np.sqrt(12 * MANY))
    assert abs(np.corrcoef(first, second)[0, 1]) < FOUR_SIGMA / np.sqrt(MANY)


def test_the_tip_recedes_at_each_cut_but_not_in_air() -> None:
    """Five cuts come before the sixth: it stays 5 × 0.6 µm short; a cut in air wears nothing."""
    machine = touched(wear_mm=fixed(0.0006))
    for marks in (5.0, 10.0, 10.0, 10.0, 15.0, 20.0, 25.0):
        machine.cut(machine.everyone, marks)
    assert machine.metal_left_mm == pytest.approx([0.5 + 4 * 0.0006])


def test_a_new_touch_takes_the_wear_out() -> None:
    machine = touched(wear_mm=fixed(0.0006))
    machine.cut(machine.everyone, 10.0)
    machine.touch(machine.everyone)
    machine.cut(machine.everyone, 10.0)
    assert machine.metal_left_mm == pytest.approx([0.6])


def test_built_up_edge_scatters_the_tip() -> None:
    machine = touched(MANY, built_up_sd_mm=0.0015)
    machine.cut(machine.everyone, 10.0)
    assert machine.metal_left_mm.std() == pytest.approx(0.0015, rel=FOUR_SIGMA / np.sqrt(2 * MANY))


def test_built_up_edge_of_one_cut_is_gone_at_the_next() -> None:
    machine = touched(MANY, built_up_sd_mm=0.0015)
    machine.cut(machine.everyone, 10.0)
    first_mm = machine.metal_left_mm
    machine.cut(machine.everyone, 20.0)
    assert abs(np.corrcoef(first_mm, machine.metal_left_mm)[0, 1]) < FOUR_SIGMA / np.sqrt(MANY)


def test_a_fresh_edge_has_its_own_least_chip() -> None:
    machine = touched(500, least_chip_mm=Even(0.004, 0.030), rub_take=Even(0.0, 0.0))
    at = machine.everyone

    def rubs_at_one_mark() -> Flags:
        before_mm = machine.metal_left_mm
        machine.cut(at, 1.0)
        rubbed: Flags = machine.metal_left_mm == before_mm
        return rubbed

    before = rubs_at_one_mark()
    machine.change_edge(at)
    machine.touch(at)
    after = rubs_at_one_mark()
    assert before.any()
    assert (before != after).any()


def test_a_drifting_tip_moves_at_each_cut() -> None:
    machine = touched(drift_mm=fixed(0.003))
    machine.cut(machine.everyone, 10.0)
    machine.cut(machine.everyone, 20.0)
    assert machine.metal_left_mm == pytest.approx([0.603])


def test_a_loose_gib_jumps_in_its_share_of_the_cuts_and_stays() -> None:
    machine = touched(MANY, gib_chance=0.15, gib_sd_mm=0.010)
    machine.cut(machine.everyone, 10.0)
    first_mm = machine.metal_left_mm - 0.8
    jumped = np.abs(first_mm) > 1e-12
    assert abs(jumped.mean() - 0.15) < FOUR_SIGMA * np.sqrt(0.15 * 0.85 / MANY)
    assert first_mm[jumped].std() == pytest.approx(0.010, rel=FOUR_SIGMA / np.sqrt(2 * 0.15 * MANY))
    machine.cut(machine.everyone, 20.0)
    assert np.corrcoef(first_mm, machine.metal_left_mm)[0, 1] > 0.6
