"""What is believed of any lathe beforehand stands in one table, and the document tells the same."""

from __future__ import annotations

from pathlib import Path

import pytest

from handwheel.bench.approach import Habit, Prior
from handwheel.bench.learning.believing import believed
from handwheel.domain.beliefs import About, Beliefs, Quantity
from tests.demo_plans import demo_shop

THEORY = Path(__file__).parents[3] / "docs" / "theory" / "approach.md"
HABIT = Habit()
TOUCH = Prior(value=0.0, spread=HABIT.touch_mm)


@pytest.mark.parametrize(
    ("quantity", "thing", "habit"),
    [
        (Quantity.SPRING, "boring-12", HABIT.spring),
        (Quantity.EDGE_WEAR, "boring-12", HABIT.wear),
        (Quantity.TOUCH_ERROR, "boring-12", TOUCH),
        (Quantity.LEAD_ERROR, "cross-slide", HABIT.rate),
    ],
)
def test_a_lathe_of_which_nothing_was_learned_is_believed_as_any(quantity: Quantity, thing: str, habit: Prior) -> None:
    beliefs = Beliefs(shop=demo_shop("metric-lathe"))
    assert believed(beliefs, quantity, About(thing=thing)) == (habit.value, habit.spread)


@pytest.mark.parametrize(
    ("row", "habit"), [("spring", HABIT.spring), ("wear", HABIT.wear), ("rate", HABIT.rate), ("tip", TOUCH)]
)
def test_the_document_tells_the_figures_that_were_tried_on_virtual_lathes(row: str, habit: Prior) -> None:
    (told,) = [line for line in THEORY.read_text(encoding="utf-8").splitlines() if f", {row} |" in line]
    assert f"± {habit.spread:g}" in told
    assert row == "tip" or f"{habit.value:g} ±" in told
