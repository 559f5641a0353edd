"""Each trial finds a known truth within what it states, at the rate that it states, over many made-up lathes."""

from __future__ import annotations

from math import floor, radians, sin
from random import Random
from typing import TYPE_CHECKING

import pytest

from tests.bench.checkups import INDICATOR, MICROMETER, covers, outcome_of, shop_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from handwheel.bench.checkup.trial import Outcome
    from handwheel.domain.shop import Shop

    Made = Callable[[Random, Shop], tuple[Outcome, float]]

TRIALS_MADE = 700
STATED = 0.95
EXACT = 0.025
"""Two points and what 700 trials scatter beside (their standard deviation is 0.8 points)."""
MARK_MM = 0.025
SETTING = 0.2 * MARK_MM


def rate(make: Made, shop: Shop, *, seed: int) -> float:
    random = Random(seed)  # noqa: S311 - a test repeats itself
    held = [covers(outcome, truth) for outcome, truth in (make(random, shop) for _ in range(TRIALS_MADE))]
    return sum(held) / len(held)


def repeats(random: Random, truth: float, *, sd: float, number: int, step: float = 0.0) -> tuple[float, ...]:
    read = [random.gauss(truth, sd) for _ in range(number)]
    return tuple(round(one / step) * step for one in read) if step else tuple(read)


def slack(random: Random, shop: Shop) -> tuple[Outcome, float]:
    truth = random.uniform(0.1, 0.4)
    marks = tuple(max(0.0, random.gauss(truth, 0.02)) / MARK_MM for _ in range(5))
    return outcome_of("slack", shop, slide="cross_slide", marks=marks, read_to=0.05, gauge=INDICATOR), truth


def trial_cut(random: Random, shop: Shop, step: float = 0.0, number: int = 4) -> tuple[Outcome, float]:
    truth, marks = random.gauss(0.0, 0.004), 200
    travel = marks * MARK_MM * (1.0 + truth) + random.gauss(0.0, SETTING) - random.gauss(0.0, SETTING)
    before = random.uniform(20.0, 24.0)
    return (
        outcome_of(
            "trial-cut",
            shop,
            marks=marks,
            before=repeats(random, before, sd=0.004, number=number, step=step),
            after=repeats(random, before - 2.0 * travel, sd=0.004, number=number, step=step),
            gauge=MICROMETER,
        ),
        truth,
    )


def two_collars(random: Random, shop: Shop, step: float = 0.0) -> tuple[Outcome, float]:
    taper, apart = random.gauss(0.0, 0.0003), random.uniform(60.0, 120.0)
    return (
        outcome_of(
            "two-collars",
            shop,
            near=repeats(random, 22.0, sd=0.005, number=3, step=step),
            far=repeats(random, 22.0 - taper * apart, sd=0.005, number=3, step=step),
            apart=apart,
            held="chuck",
            gauge=MICROMETER,
        ),
        taper,
    )


def runout(random: Random, shop: Shop) -> tuple[Outcome, float]:
    total = random.uniform(0.05, 0.2)
    lows = repeats(random, 0.0, sd=0.002, number=5)
    highs = tuple(low + random.gauss(total, 0.006) for low in lows)
    return outcome_of("runout", shop, on="bar", low=lows, high=highs, gauge=INDICATOR), total


def angle(random: Random, shop: Shop) -> tuple[Outcome, float]:
    shown, truth = random.choice((5.5, 12.0, 20.0)), random.gauss(0.0, 0.3)
    wound = 400 * MARK_MM * (1.0 + random.gauss(0.0, 0.004))
    across = tuple(
        (wound + random.gauss(0.0, SETTING) - random.gauss(0.0, SETTING)) * sin(radians(shown + truth))
        + random.gauss(0.0, 0.01)
        for _ in range(4)
    )
    return outcome_of("angle", shop, scale=shown, marks=400, across=across, gauge=INDICATOR), truth


def spring_repeat(random: Random, shop: Shop, step: float = 0.0) -> tuple[Outcome, float]:
    share, depth, owed, dia = random.uniform(0.05, 0.25), 20 * MARK_MM, 0.0, 24.0
    for _ in range(3):
        asked = depth + owed + random.gauss(0.0, SETTING) - random.gauss(0.0, SETTING)
        owed, dia = share * asked, dia - 2.0 * (1.0 - share) * asked
    after = dia - 2.0 * (1.0 - share) * owed
    return (
        outcome_of(
            "spring-repeat",
            shop,
            tool="right-hand",
            metal="cu_cw614n",
            depth=20,
            before=repeats(random, dia, sd=0.004, number=4, step=step),
            after=repeats(random, after, sd=0.004, number=4, step=step),
            gauge=MICROMETER,
        ),
        share,
    )


def spring_depths(random: Random, shop: Shop) -> tuple[Outcome, float]:
    share, light, deep = random.uniform(0.05, 0.25), 8 * MARK_MM, 32 * MARK_MM
    owed = share * light / (1.0 - share)
    lead = 1.0 + random.gauss(0.0, 0.004)
    asked = deep * lead + owed * lead + random.gauss(0.0, SETTING) - random.gauss(0.0, SETTING)
    return (
        outcome_of(
            "spring-depths",
            shop,
            tool="right-hand",
            metal="ss304",
            light=8,
            deep=32,
            before=repeats(random, 24.0, sd=0.004, number=4),
            after=repeats(random, 24.0 - 2.0 * (1.0 - share) * asked, sd=0.004, number=4),
            gauge=MICROMETER,
        ),
        share,
    )


def touch(random: Random, shop: Shop) -> tuple[Outcome, float]:
    truth = random.gauss(0.0, 0.02)
    readings = (random.gauss(truth, 0.012) / MARK_MM for _ in range(6))
    skim = 7.0
    given = {"skim": skim, "touch": tuple(round(4.0 * (skim + each)) / 4.0 for each in readings)}
    return outcome_of("touch", shop, tool="right-hand", metal="al_6082", **given), truth


def speed(random: Random, shop: Shop) -> tuple[Outcome, float]:
    truth = random.uniform(112.0, 128.0)
    seconds = tuple(random.uniform(20.0, 40.0) for _ in range(3))
    turns = tuple(float(floor(truth * each / 60.0 + random.random())) for each in seconds)
    pressed = tuple(each + random.gauss(0.0, 0.15) for each in seconds)
    position = "low belt, large step"
    return outcome_of("speed", shop, position=position, turns=turns, seconds=pressed, by="mark"), truth


@pytest.mark.parametrize(
    "make",
    [slack, trial_cut, two_collars, runout, angle, spring_repeat, spring_depths, touch, speed],
    ids=lambda f: f.__name__,
)
def test_the_interval_holds_the_truth_at_the_stated_rate(make: Made) -> None:
    """With gauges of hardly any step, so that nothing but what is stated widens it."""
    found = rate(make, shop_of(fine_gauges=True), seed=30)
    assert STATED - EXACT <= found <= STATED + EXACT


@pytest.mark.parametrize("make", [trial_cut, two_collars, spring_repeat], ids=lambda f: f.__name__)
def test_readings_rounded_to_the_step_of_the_gauge_leave_the_interval_wide_enough(
    make: Callable[[Random, Shop, float], tuple[Outcome, float]],
) -> None:
    """Rounding is counted in full, so that it may hold the truth more often than stated, not less."""
    found = rate(lambda random, shop: make(random, shop, 0.01), shop_of(), seed=31)
    assert found >= STATED - EXACT


def test_a_single_reading_is_doubted_as_far_as_its_gauge_is_trusted() -> None:
    def single(random: Random, shop: Shop) -> tuple[Outcome, float]:
        truth, marks = random.gauss(0.0, 0.004), 200
        travel = marks * MARK_MM * (1.0 + truth) + random.gauss(0.0, SETTING) - random.gauss(0.0, SETTING)
        before, after = (each + random.uniform(-0.005, 0.005) for each in (22.0, 22.0 - 2.0 * travel))
        return outcome_of("trial-cut", shop, marks=marks, before=before, after=after, gauge=MICROMETER), truth

    found = rate(single, shop_of(fine_gauges=True), seed=32)
    assert STATED - EXACT <= found <= STATED + EXACT
