"""Cases by number: an even one is feasible by construction, an odd one is free; the number is all it needs."""

from __future__ import annotations

from enum import Enum
from random import Random

from msgspec import Struct

from handwheel.domain.part import Part
from handwheel.domain.shop import Shop
from tests.proof.drafts import RingDraft
from tests.proof.feasible import feasible
from tests.proof.free import free

NUMBERS_A_SEED = 1_000_000
"""Cases of one seed; those of the next begin after them."""


class Promise(Enum):
    """What is known of a case before it is planned."""

    FEASIBLE = "feasible by construction"
    FREE = "free"


class Case(Struct, frozen=True, kw_only=True):
    """A part for a shop."""

    number: int
    promise: Promise
    draft: RingDraft
    part: Part
    shop: Shop


def case_of(number: int) -> Case:
    """Case of a number."""
    chance = Random(number)  # noqa: S311  a repeatable draw, no secret
    promise = Promise.FREE if number % 2 else Promise.FEASIBLE
    drawn = free(chance) if promise is Promise.FREE else feasible(chance)
    return Case(number=number, promise=promise, draft=drawn.draft, part=drawn.draft.part, shop=drawn.shop)


def numbers(seed: int, count: int, only: Promise | None = None) -> range:
    """Numbers of the first cases of a seed; of one promise if ``only`` names it."""
    first = seed * NUMBERS_A_SEED
    if only is None:
        return range(first, first + count)
    odd = first + (only is Promise.FREE)
    return range(odd, odd + 2 * count, 2)
