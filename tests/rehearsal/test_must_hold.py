"""What the advice must reach on lathes whose truth it does not know: slices of 5 x 2,000; the whole by whole.py."""

from __future__ import annotations

import numpy as np
import pytest

from handwheel.bench.advice import ALIKE, Next
from handwheel.sim.envelope import DEFAULT
from tests.rehearsal.trials import (
    ENVELOPES,
    LEAST_CUT_MM,
    MOST_CUT_MM,
    SEEDS,
    SLICE,
    WIDE,
    allowance,
    best_plainly,
    cuts_of,
    knowing,
    result_of,
    slices,
)
from tests.rehearsal.whole import LEAST_GOOD, LEVELS, MOST_MORE, MOST_SPOILED, POINTS, sigmas_for

LATHES = SLICE * len(SEEDS)


def test_micrometer_class_reaches_99_percent_good_and_half_a_percent_spoiled() -> None:
    """All seeds together without any allowance; each seed by three deviations of the binomial."""
    trials = slices("micrometer")
    together = result_of([trial.machine for trial in trials])
    assert together.good >= LEAST_GOOD
    assert together.spoiled <= MOST_SPOILED
    for trial in trials:
        one = result_of([trial.machine])
        assert one.good >= LEAST_GOOD - 100.0 * allowance(LEAST_GOOD / 100.0, SLICE)
        assert one.spoiled <= MOST_SPOILED + 100.0 * allowance(MOST_SPOILED / 100.0, SLICE)


def test_at_most_two_more_cuts_and_stops_than_who_knows_the_truth() -> None:
    """At the median of the differences on the same lathes; the helper makes one last cut and one stop, the last."""
    ours = [trial.machine for trial in slices("micrometer")]
    its = [knowing(DEFAULT, seed=seed, lathes=SLICE) for seed in SEEDS]
    for field in ("cuts", "stops"):
        more = [getattr(one, field) - getattr(other, field) for one, other in zip(ours, its, strict=True)]
        assert np.median(np.concatenate(more)) <= MOST_MORE


@pytest.mark.parametrize("name", ENVELOPES)
def test_never_below_the_best_plain_habit_on_the_same_lathes(name: str) -> None:
    """Every habit, by every way of setting, cooled or not, with the roughing that serves it best; one seed."""
    envelope, _ = ENVELOPES[name]
    ours = result_of([trial.machine for trial in slices(name)])
    _, plain = best_plainly(envelope, seeds=SEEDS[:1], lathes=SLICE)
    assert ours.good >= plain.good


@pytest.mark.parametrize("level", LEVELS)
def test_intervals_hold_at_their_stated_rate_within_two_points(level: float) -> None:
    """After every round of readings, of all lathes; also a check that the rate is no accident of one side."""
    off = np.concatenate([trial.surprises for trial in slices("micrometer")])
    assert 100.0 * np.mean(np.abs(off) < sigmas_for(level)) == pytest.approx(100.0 * level, abs=POINTS)
    above = np.mean(off > sigmas_for(level)), np.mean(off < -sigmas_for(level))
    assert 100.0 * max(above) <= 100.0 * (1.0 - level) / 2.0 + POINTS


@pytest.mark.parametrize("name", ["micrometer", "telescoping gauge", "heavy tails", "slow drift"])
def test_cuts_pass_the_far_limit_no_oftener_than_stated(name: str) -> None:
    """Of all cuts, and of those that state a chance worth the name; three deviations of a Poisson count."""
    trials = slices(name)
    stated = np.concatenate([trial.far_chances for trial in trials])
    past = np.concatenate([trial.is_past for trial in trials])
    for some in (stated >= 0.0, stated > trials[0].approach.far_chance / 10.0):
        expected = stated[some].sum()
        assert past[some].sum() <= expected + 3.0 * np.sqrt(expected)


@pytest.mark.parametrize("name", ENVELOPES)
def test_no_cut_states_more_than_the_shops_chance_of_passing_the_far_limit(name: str) -> None:
    """By the 1e-7 of the distribution's approximation."""
    for one in cuts_of(slices(name)):
        assert one.far_chance.max() <= slices(name)[0].approach.far_chance + 1e-6


@pytest.mark.parametrize("name", ENVELOPES)
def test_every_cut_has_a_depth_that_cuts_and_a_setting_that_can_be_set(name: str) -> None:
    """No repeat without depth follows: what hardens by rubbing meets none. No pass is deeper than a pass may be."""
    for one in cuts_of(slices(name)):
        assert one.depth_mm.min() >= LEAST_CUT_MM * (1.0 - 1e-6)
        assert one.depth_mm.max() <= MOST_CUT_MM * (1.0 + 1e-6)
        assert np.all(one.steps == np.rint(one.steps))


def test_the_edge_truly_cuts_in_the_cuts_that_are_advised() -> None:
    """A rubbing pass takes at most 0.5 of the edge's least chip, a cutting one more than 0.6 of it (a spring of 25 %).

    Depth is believed, and the first pass after a touch may be a surprise: three in a thousand at most.
    """
    rubs = count = 0
    for trial in slices("micrometer"):
        before_mm = trial.machine.lathes.metal_mm.copy()
        for one in trial.played.passes:
            taken_mm = before_mm[one.places] - one.true_left_mm
            before_mm[one.places] = one.true_left_mm
            rubs += int(np.sum(taken_mm < 0.55 * trial.machine.lathes.least_chip_mm[one.places]))
            count += len(taken_mm)
    assert rubs <= 3 * count / 1000


def test_the_last_two_cuts_are_alike_where_a_part_ended_good_by_fine_feed() -> None:
    """Neither deeper than the other times `ALIKE`; the wide envelope has more surprises, and is left out."""
    for name in ("micrometer", "telescoping gauge", "heavy tails", "slow drift"):
        for trial in slices(name):
            last, before = trial.last_two
            ends = trial.ends_fine & (trial.played.ended == Next.GOOD)
            assert ends.sum() > SLICE // 2
            unlike = np.maximum(last / before, before / last)[ends] > ALIKE
            assert unlike.mean() <= 0.001


def test_every_lathe_ends_with_few_stops_and_readings() -> None:
    """At the median four stops of six readings; nobody measures all day."""
    for name in ENVELOPES:
        for trial in slices(name):
            assert np.all(trial.played.ended >= Next.GOOD)
            assert trial.machine.stops.max() <= 12


def test_good_is_said_at_the_rate_at_which_it_is_true() -> None:
    """With a micrometer, of those said good at least 99 % are; what is lost and stuck is what is said to be."""
    said = [trial.played.ended for trial in slices("micrometer")]
    is_good = [trial.machine.is_good for trial in slices("micrometer")]
    called = np.concatenate(said) == Next.GOOD
    truly = np.concatenate(is_good)
    assert truly[called].mean() >= 0.99
    assert truly[~called].mean() <= 0.5


def test_the_envelope_twice_as_wide_is_that() -> None:
    """The judge of the wide envelope would be worth nothing if it were the usual one."""
    assert WIDE.widened(1.0) != DEFAULT.widened(1.0)
    assert result_of([trial.machine for trial in slices("twice as wide")]).good < LEAST_GOOD
