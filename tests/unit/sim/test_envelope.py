"""Whole envelopes: what is drawn, what wider means, the same seed."""

from __future__ import annotations

import pickle

import numpy as np
import pytest
from msgspec.structs import asdict, replace

from handwheel.domain.errors import OutOfRangeError
from handwheel.sim.envelope import DEFAULT, DRIFTING, HEAVY_TAILED, LOOSE_GIB, TELESCOPING, Envelope
from handwheel.sim.lathes import CROSS, draw_lathes
from handwheel.sim.machine import Machine
from handwheel.sim.spreads import Bell, Blend, Even, Part, fixed, one_of

MANY = 40_000


def finished(seed: int, envelope: Envelope = DEFAULT) -> Machine:
    """A hundred lathes after a few acts of every kind."""
    rng = np.random.default_rng(seed)
    machine = Machine(draw_lathes(100, envelope, rng), rng)
    at = machine.everyone
    machine.touch(at)
    for marks in (5.0, 9.0, 13.0):
        machine.cut(at, marks)
        machine.read(at)
        machine.wait(at, 40.0)
    machine.swing(at)
    machine.touch(at, fine=True)
    machine.cut(at, 7.0, fine=True)
    return machine


@pytest.mark.parametrize("envelope", [DEFAULT, TELESCOPING, HEAVY_TAILED, DRIFTING, LOOSE_GIB, DEFAULT.widened(2.0)])
def test_the_same_seed_gives_the_same_and_another_seed_another(envelope: Envelope) -> None:
    first, again, other = (finished(seed, envelope) for seed in (4, 4, 5))
    assert np.array_equal(first.true_size_mm, again.true_size_mm)
    assert np.array_equal(first.read(first.everyone), again.read(again.everyone))
    assert not np.array_equal(first.true_size_mm, other.true_size_mm)
    assert np.isfinite(first.true_size_mm).all()


def test_only_the_lathes_that_act_are_changed() -> None:
    machine = finished(4)
    before_mm, growth_mm = machine.metal_left_mm, machine.growth_mm
    machine.cut(np.array([3, 50]), 40.0, fine=True)
    changed = machine.metal_left_mm != before_mm
    assert set(np.flatnonzero(changed)) == {3, 50}
    assert set(np.flatnonzero(machine.growth_mm != growth_mm)) <= {3, 50}


def test_the_drawn_lathes_fill_the_envelope_that_was_asked_for() -> None:
    """The bounds of the statement of the task: every uniform quantity comes near both its ends."""
    lathes = draw_lathes(MANY, DEFAULT, np.random.default_rng(2))
    known = lathes.known
    remove_mm = np.abs(known.start_dia_mm - known.target_dia_mm) / 2
    half_marks_mm = lathes.mark_mm[CROSS] / 2
    for values, low, high in (
        (known.mark_mm, 0.02, 0.05),
        (lathes.periodic_mm, 0.0, 0.008),
        (lathes.slack_mm, 0.03, 0.5),
        (lathes.setting_sd_mm[CROSS] / half_marks_mm, 0.15, 0.4),
        (lathes.spring_share, 0.02, 0.25),
        (lathes.spring_scatter, 0.02, 0.12),
        (lathes.least_chip_mm, 0.004, 0.030),
        (lathes.warm_dia_mm, 0.0, 0.022),
        (known.target_dia_mm, 17.0, 30.0),
        (remove_mm, 0.5, 1.5),
    ):
        margin = 0.01 * (high - low)
        assert low - 1e-9 <= values.min() <= low + margin
        assert high - margin <= values.max() <= high + 1e-9
    assert known.upper_dia_mm - known.target_dia_mm == pytest.approx(np.full(MANY, 0.025))
    assert known.inside.mean() == pytest.approx(0.5, abs=0.01)
    assert np.isclose(known.mark_mm, 0.0254).mean() == pytest.approx(1 / 3, abs=0.01)
    assert lathes.gauge_bias_mm.std() == pytest.approx(0.002, rel=0.02)
    assert (lathes.wear_mm == 0.0006).all()


def test_the_blank_is_known_to_its_small_error() -> None:
    machine = Machine(draw_lathes(MANY, DEFAULT, np.random.default_rng(2)), np.random.default_rng(3))
    assert (machine.true_size_mm - machine.known.start_dia_mm).std() == pytest.approx(0.02, rel=0.02)


def test_good_and_spoiled_are_judged_on_the_cold_size() -> None:
    """An outside of 20 ± 0.025: 20.02 is good, 20.03 can be mended, 19.97 cannot; a bore the other way round."""
    narrow = replace(DEFAULT, target_dia_mm=fixed(20.0), blank_dia_mm=fixed(0.0))
    for inside_share in (0.0, 1.0):
        found = []
        for left_mm in (0.01, 0.015, -0.015):
            task = replace(narrow, inside_share=inside_share, to_remove_mm=fixed(left_mm))
            machine = Machine(draw_lathes(1, task, np.random.default_rng(1)), np.random.default_rng(1))
            found.append((bool(machine.is_good[0]), bool(machine.is_spoiled[0])))
        assert found == [(True, False), (False, False), (False, True)]


def test_twice_as_wide_is_twice_as_wide() -> None:
    """Widths and deviations doubled; where no less can be, from there; the task and the ideal stay."""
    wide = DEFAULT.widened(2.0)
    assert wide.slack_mm == Even(0.0, 0.94)
    assert wide.spring_share == Even(0.0, 0.46)
    assert wide.periodic_mm == Even(0.0, 0.016)
    assert wide.rate == Bell(0.0, 0.008)
    assert isinstance(wide.gauge_spread_mm, Even)
    assert (wide.gauge_spread_mm.low, wide.gauge_spread_mm.high) == pytest.approx((0.001, 0.013))
    assert wide.rub_take == Even(0.0, 1.0)
    assert wide.wear_mm == fixed(0.0012)
    assert wide.misread_chance == pytest.approx(2 / 250)
    assert wide.built_up_sd_mm == pytest.approx(0.003)
    assert isinstance(wide.ring, Blend)
    assert [part.share for part in wide.ring.parts] == pytest.approx([28 / 30, 1 / 30, 1 / 30])
    assert (wide.target_dia_mm, wide.tolerance_mm) == (DEFAULT.target_dia_mm, DEFAULT.tolerance_mm)


def test_a_ring_that_is_known_stays_as_it_is() -> None:
    """Where somebody has measured it there are no shares of right and wrong ones to widen."""
    assert replace(DEFAULT, ring=fixed(0.016)).widened(2.0).ring == fixed(0.016)
    assert replace(DEFAULT, ring=one_of(0.0)).widened(2.0).ring == one_of(0.0)


def test_once_as_wide_is_the_same() -> None:
    same = asdict(DEFAULT.widened(1.0))
    for name, value in asdict(DEFAULT).items():
        if isinstance(value, Even):
            assert (same[name].low, same[name].high) == pytest.approx((value.low, value.high)), name
        elif not isinstance(value, Blend):
            assert same[name] == value, name


def test_two_kinds_of_dial_can_be_given() -> None:
    two = replace(DEFAULT, mark_mm=fixed(0.05), top_mark_mm=fixed(0.02))
    known = draw_lathes(2, two, np.random.default_rng(1)).known
    assert known.mark_mm == pytest.approx([0.05, 0.05])
    assert known.fine_mark_mm == pytest.approx([0.002, 0.002])


def test_an_envelope_travels_to_another_process() -> None:
    assert pickle.loads(pickle.dumps(LOOSE_GIB)) == LOOSE_GIB  # noqa: S301  our own bytes, made in the same line


def test_a_bell_is_cut_off_at_its_bounds_and_a_blend_keeps_its_shares() -> None:
    rng = np.random.default_rng(1)
    assert Bell(0.1, 1.0, 0.0, 0.2).draw(1000, rng).min() == 0.0
    assert Bell(0.1, 1.0, 0.0, 0.2).draw(1000, rng).max() == 0.2
    drawn = Blend((Part(0.25, fixed(1.0)), Part(0.75, Even(2.0, 3.0)))).draw(MANY, rng)
    assert (drawn == 1.0).mean() == pytest.approx(0.25, abs=0.01)
    assert drawn[drawn != 1.0].mean() == pytest.approx(2.5, abs=0.01)
    assert set(one_of(40, 50, 60).draw(1000, rng)) == {40.0, 50.0, 60.0}
    assert one_of(1.0, 2.0).times(3.0) == one_of(3.0, 6.0)
    assert Bell(1.0, 0.5, 0.0, 2.0).times(2.0) == Bell(2.0, 1.0, 0.0, 4.0)


@pytest.mark.parametrize(
    ("changes", "text"),
    [
        ({"misread_chance": 1.5}, "misread_chance: got 1.5"),
        ({"tail_dof": 2.0}, "tail_dof: got 2"),
        ({"gauge_points": 4}, "gauge_points: got 4"),
        ({"fine_ratio": 0.0}, "fine_ratio"),
        ({"force_depth_mm": -1.0}, "force_depth_mm"),
    ],
)
def test_an_envelope_that_no_lathe_can_have_is_refused(changes: dict[str, float], text: str) -> None:
    with pytest.raises(OutOfRangeError, match=text):
        Envelope(**changes)  # type: ignore[arg-type]  # one field at a time, of whichever type


def test_spreads_that_make_no_sense_are_refused() -> None:
    with pytest.raises(OutOfRangeError, match="low 2 is above high 1"):
        Even(2.0, 1.0)
    with pytest.raises(OutOfRangeError, match="sd -1"):
        Bell(0.0, -1.0)
    with pytest.raises(OutOfRangeError, match=r"add up to 0\.5"):
        Blend((Part(0.5, fixed(1.0)),))
    with pytest.raises(OutOfRangeError, match="count: got 0"):
        draw_lathes(0, DEFAULT, np.random.default_rng(1))
    with pytest.raises(OutOfRangeError, match="factor"):
        DEFAULT.widened(0.0)
