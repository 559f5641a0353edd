"""Intervals for shares, and how many to make."""

from __future__ import annotations

from math import comb

import numpy as np
import pytest

from handwheel.domain.errors import OutOfRangeError
from handwheel.rehearsal.counting import CONFIDENCE, chance_of, to_make


@pytest.mark.parametrize("share", [0.02, 0.5, 0.9, 0.998])
def test_the_interval_holds_the_share_as_often_as_it_says(share: float) -> None:
    """Of many draws of 500, 95 in 100 intervals hold the share that they were drawn from, within 2 points."""
    counts = np.random.default_rng(3).binomial(500, share, 4000)
    held = np.mean([(found := chance_of(int(count), 500)).low <= share <= found.high for count in counts])
    assert abs(held - CONFIDENCE) < 0.02 + (0.02 if share > 0.99 else 0.0)


def test_none_and_all_leave_room_for_chance() -> None:
    none, every = chance_of(0, 100), chance_of(100, 100)
    assert (none.low, every.high) == (0.0, 1.0)
    assert none.high == pytest.approx(0.037, abs=0.001)
    assert every.low == pytest.approx(1.0 - none.high)


@pytest.mark.parametrize(("chance", "wanted"), [(0.5, 1), (0.9, 10), (0.3, 4), (0.99, 25)])
def test_so_many_are_enough_and_one_fewer_is_not(chance: float, wanted: int) -> None:
    """Against the binomial distribution: of n made, as many as wanted are good."""
    found = to_make(chance, wanted=wanted)
    assert found.number is not None

    def enough(made: int) -> float:
        return sum(comb(made, good) * chance**good * (1 - chance) ** (made - good) for good in range(wanted, made + 1))

    assert enough(found.number) >= found.sure
    assert found.number == wanted or enough(found.number - 1) < found.sure
    assert found.average == pytest.approx(wanted / chance)


def test_what_is_always_good_is_made_once_and_what_never_is_not_at_all() -> None:
    assert to_make(1.0, wanted=3).number == 3
    never = to_make(0.0, wanted=1)
    assert (never.number, never.average) == (None, None)
    hopeless = to_make(1e-6, wanted=1)
    assert hopeless.number is None
    assert hopeless.average == pytest.approx(1e6)


def test_nothing_wanted_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="wanted"):
        to_make(0.5, wanted=0)
    with pytest.raises(OutOfRangeError, match="count"):
        chance_of(11, 10)
