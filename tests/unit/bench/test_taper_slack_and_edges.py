"""What readings at both ends, a handle that came back, and a blunt edge do to a belief."""

from __future__ import annotations

import pytest

from handwheel.bench import moves
from handwheel.bench.advice import BLUNT, Next, advise
from handwheel.bench.approach import Approach, Habit, Prior
from handwheel.bench.belief import Belief, Unknown, beginning
from handwheel.bench.loop import after

OUTSIDE = Approach(
    inside=False,
    lower_mm=19.96,
    upper_mm=20.04,
    target_mm=20.0,
    step_mm=0.005,
    least_cut_mm=0.05,
    last_cut_mm=0.1,
    most_cut_mm=0.5,
    habit=Habit(taper=Prior(value=0.0, spread=0.05)),
)


def touched(left_mm: float = 0.5) -> Belief:
    """A blank that was just touched."""
    return moves.touched(beginning(OUTSIDE, left=Prior(value=left_mm, spread=0.02)), OUTSIDE)


def test_readings_at_both_ends_tell_the_taper_and_one_in_the_middle_does_not() -> None:
    """The front reads 30 µm more than the back; the size in the middle is what lies between."""
    ends = moves.read(touched(), OUTSIDE, 21.015, count=4.0, place=1.0)
    ends = moves.read(ends, OUTSIDE, 20.985, count=4.0, place=-1.0)
    assert ends.mean[Unknown.TAPER] == pytest.approx(0.030, abs=0.004)
    assert ends.left_mm == pytest.approx(0.5, abs=0.002)
    middle = moves.read(touched(), OUTSIDE, 21.0, count=8.0)
    assert middle.mean[Unknown.TAPER] == pytest.approx(0.0, abs=1e-9)
    assert middle.spread_of(Unknown.TAPER) == pytest.approx(0.05)


def test_a_size_good_in_the_middle_is_not_good_at_the_ends_of_a_taper() -> None:
    """0.1 mm of taper lies beyond limits 0.08 mm apart, wherever the middle is."""
    straight = moves.read(touched(0.0), OUTSIDE, 20.0, count=8.0)
    coned = moves.read(touched(0.0), OUTSIDE, 20.05, count=8.0, place=1.0)
    coned = moves.read(coned, OUTSIDE, 19.95, count=8.0, place=-1.0)
    assert advise(OUTSIDE, straight).inside_chance > advise(OUTSIDE, coned).inside_chance
    assert float(coned.mean[Unknown.TAPER]) > 0.05


def test_a_handle_that_came_back_leaves_the_tip_short_by_up_to_the_slack() -> None:
    """Evenly anywhere up to 0.2 mm: 0.1 on average, with a standard uncertainty of 0.2 / √12."""
    before = touched()
    slack = moves.reversed_in_slack(before, OUTSIDE, 0.2)
    assert slack.mean[Unknown.TIP] - before.mean[Unknown.TIP] == pytest.approx(0.1)
    added = slack.covariance[Unknown.TIP][Unknown.TIP] - before.covariance[Unknown.TIP][Unknown.TIP]
    assert added == pytest.approx(0.2**2 / 12.0)
    assert moves.depth_at(slack, OUTSIDE, 0.3) == pytest.approx(moves.depth_at(before, OUTSIDE, 0.3) - 0.1)


def blunted(share: float, *, cuts: int = 4) -> Belief:
    """Cuts take so much less than their depth, and a good gauge says so."""
    belief, surface, zero = touched(1.5), 1.5, 1.5
    for travel in (0.4, 0.7, 0.9, 1.05)[:cuts]:
        belief = moves.cut(belief, OUTSIDE, travel)
        surface -= (1.0 - share) * (surface - (zero - travel))
        belief = moves.waited(belief, OUTSIDE, 3600.0)
        belief = moves.read(belief, OUTSIDE, float(OUTSIDE.reading_mm(surface)), count=8.0)
    return belief


def test_a_cut_that_takes_little_of_its_depth_asks_for_a_fresh_edge_and_a_touch() -> None:
    belief = blunted(0.75, cuts=1)
    assert float(belief.short_cuts) >= BLUNT
    advice = advise(OUTSIDE, belief)
    assert Next(int(advice.do)) is Next.EDGE
    fresh = after(OUTSIDE, belief, advice)
    assert fresh.mean[Unknown.SPRING] == pytest.approx(OUTSIDE.habit.spring.value)
    assert fresh.left_mm == pytest.approx(belief.left_mm)
    assert fresh.last_depth_mm == 0.0
    assert Next(int(advise(OUTSIDE, fresh).do)) is not Next.EDGE


@pytest.mark.parametrize("share", [0.05, 0.15, 0.3, 0.4])
def test_a_lathe_that_springs_is_learned_and_keeps_its_edge(share: float) -> None:
    belief = blunted(share)
    assert Next(int(advise(OUTSIDE, belief).do)) is not Next.EDGE
    assert float(belief.mean[Unknown.SPRING]) == pytest.approx(share, abs=0.08)
