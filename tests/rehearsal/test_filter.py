"""The bench's closed forms beside two independent ones: matrices of the whole state, and plain Monte Carlo."""

from __future__ import annotations

from math import erf, exp, sqrt

import numpy as np
import numpy.typing as npt
import pytest
from msgspec.structs import replace

from handwheel.bench import moves
from handwheel.bench.approach import Approach, Habit
from handwheel.bench.belief import UNKNOWNS, Belief
from handwheel.bench.each import share_below
from tests.rehearsal.drawn import approach_drawn, belief_drawn

Matrix = npt.NDArray[np.float64]
Step = tuple[Matrix, Matrix, Matrix]

CASES = range(20)
SIZE = len(UNKNOWNS)
LEFT, TIP, RATE, SPRING, BIAS, WARM, TAPER, WEAR = range(SIZE)


def state(belief: Belief) -> tuple[Matrix, Matrix]:
    """Mean and covariance as arrays."""
    return np.array(belief.mean, dtype=float), np.array(belief.covariance, dtype=float)


def outward(approach: Approach) -> float:
    """1 for an outside, -1 for a bore, each divided by what a reading changes for 1 mm of travel."""
    return (-1.0 if approach.inside else 1.0) / approach.per_travel


def touch_by_matrices(mean: Matrix, approach: Approach) -> Step:
    """The tip stands where the warm surface is: the cold one, and half the growth of a diameter outward."""
    change, noise = np.eye(SIZE), np.zeros((SIZE, SIZE))
    change[TIP] = 0.0
    change[TIP, LEFT], change[TIP, WARM] = 1.0, outward(approach)
    noise[TIP, TIP] = float(approach.habit.touch_mm) ** 2
    return change @ mean, change, noise


def cut_exactly(states: Matrix, approach: Approach, travel_mm: float) -> Matrix:
    """What a cut leaves, without any linearising: depth less the share that springs away; no scatter. Shape (n, 8)."""
    after = states.copy()
    depth = states[:, LEFT] - states[:, TIP] + outward(approach) * states[:, WARM]
    depth = depth + (1.0 + states[:, RATE]) * travel_mm
    after[:, LEFT] = states[:, LEFT] - (1.0 - states[:, SPRING]) * depth
    after[:, TIP] = states[:, TIP] + states[:, WEAR]
    return after


def cut_by_matrices(mean: Matrix, approach: Approach, travel_mm: float, scatter_mm2: float) -> Step:
    """The same, its slope found by differences, and the warmth of the cut in place of the old."""
    after = cut_exactly(mean[None, :], approach, travel_mm)[0]
    step = 1e-6
    moved = np.stack([mean + step * np.eye(SIZE)[one] for one in range(SIZE)])
    back = np.stack([mean - step * np.eye(SIZE)[one] for one in range(SIZE)])
    change = (cut_exactly(moved, approach, travel_mm) - cut_exactly(back, approach, travel_mm)).T / (2.0 * step)
    noise = np.zeros((SIZE, SIZE))
    noise[LEFT, LEFT] = scatter_mm2
    change[WARM] = 0.0
    after[WARM] = float(approach.habit.warm.value)
    noise[WARM, WARM] = float(approach.habit.warm.spread) ** 2
    return after, change, noise


def read_by_joseph(
    mean: Matrix, covariance: Matrix, approach: Approach, reading_mm: float, variance: float
) -> tuple[Matrix, Matrix]:
    """A reading by the form that stays symmetric and positive whatever the rounding."""
    seen = np.zeros((1, SIZE))
    seen[0, LEFT], seen[0, BIAS], seen[0, WARM] = 1.0 / outward(approach), 1.0, 1.0
    gain = covariance @ seen.T / (seen @ covariance @ seen.T + variance)
    miss = reading_mm - float(approach.target_mm) - seen @ mean
    rest = np.eye(SIZE) - gain @ seen
    return mean + gain @ miss, rest @ covariance @ rest.T + variance * gain @ gain.T


def assert_same(belief: Belief, mean: Matrix, covariance: Matrix) -> None:
    found_mean, found = state(belief)
    assert found_mean == pytest.approx(mean, abs=1e-9)
    assert found == pytest.approx(covariance, abs=1e-9)


@pytest.mark.parametrize("case", CASES)
def test_a_touch_is_the_step_of_a_filter(case: int) -> None:
    approach, belief = approach_drawn(case), belief_drawn(case)
    mean, covariance = state(belief)
    after, change, noise = touch_by_matrices(mean, approach)
    assert_same(moves.touched(belief, approach), after, change @ covariance @ change.T + noise)


@pytest.mark.parametrize("case", CASES)
def test_a_cut_is_the_step_of_a_filter(case: int) -> None:
    approach, belief = approach_drawn(case), belief_drawn(case)
    mean, covariance = state(belief)
    travel_mm = float(moves.travel_for(belief, approach, 0.1))
    assert moves.depth_at(belief, approach, travel_mm) == pytest.approx(0.1)
    scatter = float(moves.cut_variance(belief, approach, 0.1))
    after, change, noise = cut_by_matrices(mean, approach, travel_mm, scatter)
    assert_same(moves.cut(belief, approach, travel_mm), after, change @ covariance @ change.T + noise)
    # What the advice works with before the cut is what the cut then does.
    bite = moves.bitten(belief, approach, travel_mm)
    assert moves.left_variance(belief, bite) == pytest.approx((change @ covariance @ change.T + noise)[LEFT, LEFT])


@pytest.mark.parametrize("case", CASES)
def test_a_reading_is_the_step_of_a_filter(case: int) -> None:
    approach, belief = approach_drawn(case), belief_drawn(case)
    mean, covariance = state(belief)
    reading_mm = float(moves.expected_reading_mm(belief, approach)) + 0.003
    count, squares = 3.0, 1e-4
    freedom = float(belief.spread_freedom) + count - 1.0
    variance = (float(belief.spread_sum) + squares) / freedom / count
    told = moves.read(belief, approach, reading_mm, count=count, sum_mm2=squares)
    assert_same(told, *read_by_joseph(mean, covariance, approach, reading_mm, variance))


@pytest.mark.parametrize("case", CASES)
def test_cooling_and_swinging_change_one_unknown(case: int) -> None:
    """Warmth falls by an exponential whose time is unknown: the mean of the shortest and the longest."""
    approach, belief = approach_drawn(case), belief_drawn(case)
    mean, covariance = state(belief)
    habit = approach.habit
    slow, fast = exp(-90.0 / float(habit.cool_slow_s)), exp(-90.0 / float(habit.cool_fast_s))
    change, noise = np.eye(SIZE), np.zeros((SIZE, SIZE))
    change[WARM, WARM] = (slow + fast) / 2.0
    noise[WARM, WARM] = ((slow - fast) / 4.0) ** 2 * (mean[WARM] ** 2 + covariance[WARM, WARM])
    assert_same(moves.waited(belief, approach, 90.0), change @ mean, change @ covariance @ change.T + noise)

    change, noise = np.eye(SIZE), np.zeros((SIZE, SIZE))
    change[RATE], noise[RATE, RATE] = 0.0, float(habit.fine_rate.spread) ** 2
    after = change @ mean
    after[RATE] = float(habit.fine_rate.value)
    assert_same(moves.swung(belief, approach), after, change @ covariance @ change.T + noise)


def drawn_states(belief: Belief, count: int, seed: int) -> Matrix:
    """So many states from what is believed, (count, 8)."""
    mean, covariance = state(belief)
    return np.random.default_rng(seed).multivariate_normal(mean, covariance, count)


@pytest.mark.parametrize("case", CASES[:5])
def test_a_cut_agrees_with_many_lathes_drawn_from_the_belief(case: int) -> None:
    """The product of spring and depth is linearised: a cut of a tenth of a millimetre differs by a micrometre at most.

    Monte Carlo with 400,000 lathes: standard error of a mean below 0.05 µm, of a spread below 0.3 %.
    """
    approach, belief = approach_drawn(case), belief_drawn(case)
    travel_mm = float(moves.travel_for(belief, approach, 0.1))
    cut = moves.cut(belief, approach, travel_mm)
    after = cut_exactly(drawn_states(belief, 400_000, case), approach, travel_mm)[:, LEFT]
    scatter = float(moves.cut_variance(belief, approach, 0.1))
    assert cut.left_mm == pytest.approx(after.mean(), abs=0.001)
    assert cut.left_spread_mm == pytest.approx(sqrt(after.var() + scatter), rel=0.03)


@pytest.mark.parametrize("case", CASES[:5])
def test_a_reading_agrees_with_many_lathes_weighed_by_how_likely_they_made_it(case: int) -> None:
    """Bayes by brute force; the effective number of lathes gives the error of the weighted mean, taken five times."""
    approach, belief = approach_drawn(case), belief_drawn(case)
    reading_mm = float(moves.expected_reading_mm(belief, approach)) + 0.004
    told = moves.read(belief, approach, reading_mm)
    variance = float(belief.spread_sum / belief.spread_freedom)
    states = drawn_states(belief, 400_000, case)
    shown = float(approach.target_mm) + states[:, LEFT] / outward(approach) + states[:, BIAS] + states[:, WARM]
    weight = np.exp(-0.5 * (reading_mm - shown) ** 2 / variance)
    weight /= weight.sum()
    for one in (LEFT, TIP, SPRING, WARM):
        middle = float(weight @ states[:, one])
        spread = sqrt(float(weight @ (states[:, one] - middle) ** 2))
        error = 5.0 * spread * sqrt(float(weight @ weight))
        assert told.mean[one] == pytest.approx(middle, abs=error)
        assert sqrt(float(told.covariance[one][one])) == pytest.approx(spread, rel=0.02)


def test_a_reading_that_surprises_rules() -> None:
    """0.5 mm off what was expected: something has happened, and what the gauge says is believed."""
    approach, belief = approach_drawn(1), belief_drawn(1)
    approach = replace(approach, habit=Habit())
    reading_mm = float(moves.expected_reading_mm(belief, approach)) + 0.5
    told = moves.read(belief, approach, reading_mm, count=3.0)
    assert moves.expected_reading_mm(told, approach) == pytest.approx(reading_mm, abs=0.002)


def test_share_below_is_that_of_the_normal_distribution() -> None:
    """For one number and for many, as far out as anybody asks."""
    many = np.linspace(-9.0, 9.0, 3_601)
    right = [(1.0 + erf(z / sqrt(2.0))) / 2.0 for z in many]
    assert share_below(many) == pytest.approx(np.array(right), abs=1e-7)
    assert [share_below(float(z)) for z in many] == pytest.approx(right, abs=1e-7)


def test_covariances_stay_positive_through_a_whole_job() -> None:
    """Forty acts after another, cuts and readings; the least eigenvalue beside the largest is no negative number."""
    approach, belief = approach_drawn(2), moves.touched(belief_drawn(2), approach_drawn(2))
    for _ in range(10):
        belief = moves.cut(belief, approach, moves.travel_for(belief, approach, 0.08))
        belief = moves.waited(belief, approach, 200.0)
        for _ in range(2):
            belief = moves.read(belief, approach, moves.expected_reading_mm(belief, approach), count=2.0)
        _, covariance = state(belief)
        least, largest = np.linalg.eigvalsh(covariance)[[0, -1]]
        assert np.allclose(covariance, covariance.T, atol=0.0)
        assert least >= -1e-12 * largest
