"""A judge is worth what it finds: the advice broken in one place does not pass."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from msgspec.structs import replace

from handwheel.bench import advice, approach, moves
from handwheel.bench.approach import Habit, Prior
from handwheel.bench.belief import Belief, Unknown
from handwheel.bench.each import Each
from tests.rehearsal.trials import SEEDS, WHOLE, Trial, advised, knowing, result_of
from tests.rehearsal.whole import LEAST_GOOD, LEVELS, MOST_MORE, MOST_SPOILED, POINTS, sigmas_for

Break = Callable[[pytest.MonkeyPatch], dict[str, object]]


def passes(trial: Trial) -> bool:
    """Whether 10,000 lathes keep what must hold: good, spoiled, intervals, cuts and stops beside the helper."""
    result = result_of([trial.machine])
    off = np.abs(trial.surprises)
    holds = all(abs(100.0 * np.mean(off < sigmas_for(level)) - 100.0 * level) <= POINTS for level in LEVELS)
    helper = knowing(trial.machine.lathes.envelope, seed=SEEDS[0], lathes=WHOLE)
    more_cuts, more_stops = trial.machine.cuts - helper.cuts, trial.machine.stops - helper.stops
    is_quick = max(np.median(more_cuts), np.median(more_stops)) <= MOST_MORE
    return result.good >= LEAST_GOOD and result.spoiled <= MOST_SPOILED and holds and bool(is_quick)


def _spring_backwards(_: pytest.MonkeyPatch) -> dict[str, object]:
    return {"habit": Habit(spring=Prior(value=-0.14, spread=0.02))}


def _warmth_backwards(patch: pytest.MonkeyPatch) -> dict[str, object]:
    right = moves._warm_share
    patch.setattr(moves, "_warm_share", lambda approach, sign: right(approach, -sign))
    return {"habit": Habit(cool_slow_s=1.0, cool_fast_s=0.5)}


def _readings_backwards(patch: pytest.MonkeyPatch) -> dict[str, object]:
    right = moves.read
    patch.setattr(moves, "read", lambda belief, approach, mean, **rest: right(belief, approach, mean + 0.02, **rest))
    return {}


def _no_cooling(_: pytest.MonkeyPatch) -> dict[str, object]:
    return {"habit": Habit(warm=Prior(value=0.0, spread=0.0001))}


def _bold(_: pytest.MonkeyPatch) -> dict[str, object]:
    return {"far_chance": 0.2, "wanted_chance": 0.5, "good_chance": 0.5}


def _no_fine_feed(_: pytest.MonkeyPatch) -> dict[str, object]:
    return {"fine_step_mm": np.zeros(WHOLE)}


def _wear_and_scatter_forgotten(_: pytest.MonkeyPatch) -> dict[str, object]:
    return {"habit": Habit(spring=Prior(value=0.02, spread=0.005), spring_scatter=0.0, touch_mm=0.001)}


def _nothing_left_for_the_second_cut(patch: pytest.MonkeyPatch) -> dict[str, object]:
    """What the second of two cuts needs to bite is not asked for: the chance of that is what `SURE` is about."""
    patch.setattr(advice, "SURE", -3.0)
    patch.setattr(advice, "needed_mm", lambda its, _: its.near_mm)
    return {}


def _gauge_too_good(_: pytest.MonkeyPatch) -> dict[str, object]:
    return {"habit": Habit(gauge_bias_mm=0.0, gauge_spread_mm=0.001, spread_known=1000.0)}


def _no_learning_of_spring(patch: pytest.MonkeyPatch) -> dict[str, object]:
    right = moves.bitten

    def bitten(belief: Belief, its: approach.Approach, travel_mm: Each) -> moves.Bitten:
        bite = right(belief, its, travel_mm)
        return replace(bite, gains={**bite.gains, Unknown.SPRING: -1.0 * bite.gains[Unknown.SPRING]})

    patch.setattr(moves, "bitten", bitten)
    return {}


BROKEN: dict[str, Break] = {
    "the sign of the spring": _spring_backwards,
    "what is learned of the spring, backwards": _no_learning_of_spring,
    "the sign of warmth, and nothing cools": _warmth_backwards,
    "readings 0.02 mm off": _readings_backwards,
    "warmth forgotten": _no_cooling,
    "bold chances": _bold,
    "no fine feed": _no_fine_feed,
    "a lathe believed stiff": _wear_and_scatter_forgotten,
    "nothing left for the second of two cuts": _nothing_left_for_the_second_cut,
    "a gauge believed perfect": _gauge_too_good,
}


def test_what_is_not_broken_passes() -> None:
    assert passes(advised(seed=SEEDS[0], lathes=WHOLE))


@pytest.mark.parametrize("name", BROKEN)
def test_what_is_broken_does_not_pass(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    changes = BROKEN[name](monkeypatch)
    assert not passes(advised(seed=SEEDS[0], lathes=WHOLE, changes=changes))
