"""A shop for trials of a lathe, and readings made up so that their truth is known."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

from msgspec.structs import replace

from handwheel.bench.checkup.entry import Entry
from handwheel.bench.checkup.trials import TRIALS, judged
from handwheel.service.intake.shop_file import read_shop
from handwheel.service.templates import template_text

if TYPE_CHECKING:
    from handwheel.bench.checkup.trial import Outcome
    from handwheel.domain.shop import Shop

MICROMETER, INDICATOR = "micrometer-0-25", "indicator"
COVER = 1.959964
"""Standard deviations of a normal belief at 95 %."""


@cache
def shop_of(template: str = "small-metric", *, fine_gauges: bool = False) -> Shop:
    """Shop of a starting file; with gauges of hardly any step, so that rounding hides nothing, if so wanted."""
    shop = read_shop(template_text(template), name=f"{template}.toml")
    if not fine_gauges:
        return shop
    gauges = tuple(replace(gauge, step_mm=Fraction(1, 10**6), high_mm=200.0) for gauge in shop.gauges)
    return replace(shop, gauges=gauges)


def entry_of(**given: object) -> Entry:
    """Readings by key: a text is a word, a number one reading, a sequence several."""
    numbers = {key: _readings(value) for key, value in given.items() if not isinstance(value, str)}
    words = {key: value for key, value in given.items() if isinstance(value, str)}
    return Entry(numbers=numbers, words=words)


def _readings(value: object) -> tuple[float, ...]:
    return tuple(value) if isinstance(value, tuple | list) else (value,)  # type: ignore[return-value]  # floats all


def outcome_of(trial: str, shop: Shop, **given: object) -> Outcome:
    """What a trial says of readings."""
    return judged(TRIALS[trial], shop, entry_of(**given))


def covers(outcome: Outcome, truth: float) -> bool:
    """Whether the stated belief holds the truth within its 95 %; honest readings that are asked about count as lost."""
    return bool(outcome.measured) and all(abs(one.value - truth) <= COVER * one.spread for one in outcome.measured)


def said(outcome: Outcome) -> str:
    """All that it says, in one text."""
    return " ".join((*outcome.verdicts, *outcome.questions))


def with_cross_dial(shop: Shop, **changes: object) -> Shop:
    """Shop whose cross-slide has another dial."""
    cross = shop.lathe.cross
    assert cross.dial is not None
    dial = replace(cross.dial, **_exact(changes))
    return replace(shop, lathe=replace(shop.lathe, cross=replace(cross, dial=dial)))


def _exact(changes: Mapping[str, object]) -> dict[str, object]:
    return {key: Fraction(value) if isinstance(value, str) else value for key, value in changes.items()}
