"""Every mutation of the demo sheets, with counts and a seeded slice."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from functools import cache
from random import Random

from tests.replay import (
    every_field,
    harmless,
    wrong_cuts,
    wrong_holes,
    wrong_order,
    wrong_readings,
    wrong_setup,
    wrong_zeros,
)
from tests.replay.mutation import Fate, Maker, Mutation
from tests.replay.story import story

MAKERS: tuple[Maker, ...] = (
    wrong_readings.make,
    wrong_zeros.make,
    wrong_order.make,
    wrong_setup.make,
    wrong_cuts.make,
    wrong_holes.make,
    every_field.make,
    harmless.make,
)
"""Each makes some sorts of mutations; another sort is one more of these."""


@cache
def mutations_of(name: str) -> tuple[Mutation, ...]:
    """All mutations of a job's sheet, in the order of their sorts and acts."""
    it = story(name)
    return tuple(mutation for make in MAKERS for mutation in make(it))


def by_kind(mutations: Sequence[Mutation]) -> dict[tuple[Fate, str], list[Mutation]]:
    """Mutations sorted by fate and kind."""
    found: dict[tuple[Fate, str], list[Mutation]] = defaultdict(list)
    for mutation in mutations:
        found[mutation.fate, mutation.kind].append(mutation)
    return found


def seeded_slice(mutations: Sequence[Mutation], *, each: int, seed: int) -> tuple[Mutation, ...]:
    """Some mutations of every kind, drawn alike on every run."""
    draw = Random(seed)  # noqa: S311  a repeatable choice, not a secret
    groups = by_kind(mutations)
    return tuple(mutation for group in groups.values() for mutation in draw.sample(group, min(each, len(group))))
