"""The check refuses sheets that are wrong and passes those that are not, in both directions.

Here a seeded slice of every sort of change; all of them run by ``python -m tests.replay.run_all_mutations``.
"""

from __future__ import annotations

import pytest

from handwheel.check.replay import check_sheet
from tests.replay.judge import faults
from tests.replay.mutation import Fate, counts
from tests.replay.mutations import by_kind, mutations_of, seeded_slice
from tests.replay.run_all_mutations import outcome, table
from tests.replay.sheets import DEMOS, job
from tests.replay.story import story

EACH = 1
"""Mutations of each sort in the slice, drawn from all demos."""
SEED = 20


@pytest.mark.parametrize("name", DEMOS)
def test_the_sheet_that_is_mutated_is_valid(name: str) -> None:
    """Else a refusal of its mutations would prove nothing."""
    it = job(name)
    assert check_sheet(it.sheet, it.shop).refusals == ()
    assert faults(it.sheet, it.shop) == []


def test_a_slice_of_all_mutations_is_caught_or_passes_as_it_must() -> None:
    everything = [mutation for name in DEMOS for mutation in mutations_of(name)]
    outcomes = [outcome(mutation) for mutation in seeded_slice(everything, each=EACH, seed=SEED)]
    print("\n".join(table(outcomes)))  # noqa: T201  shown with -s or when it fails
    counted = [item for item in outcomes if item.counted]
    assert sum(item.fate is Fate.CAUGHT for item in counted) > 80
    assert sum(item.fate is Fate.HARMLESS for item in counted) > 15
    assert [item for item in outcomes if item.astray] == []


def test_there_are_many_sorts_of_wrong_and_of_harmless_changes() -> None:
    made = {key for name in DEMOS for key in by_kind(mutations_of(name))}
    assert len({kind for fate, kind in made if fate is Fate.CAUGHT}) > 80
    assert len({kind for fate, kind in made if fate is Fate.HARMLESS}) > 15


@pytest.mark.parametrize("name", DEMOS)
def test_every_mutation_differs_from_the_sheet_it_was_made_from(name: str) -> None:
    original = story(name).acts
    assert all(mutation.acts != original for mutation in mutations_of(name))


def test_a_judged_mutation_counts_only_where_the_simple_replay_bears_it_out() -> None:
    judged = [m for m in mutations_of(DEMOS[-1]) if m.judged and m.fate is Fate.CAUGHT and m.kind == "cut left out"]
    assert judged
    it = story(DEMOS[-1])
    for mutation in judged[:3]:
        assert counts(mutation, it) is bool(faults(mutation.sheet(it.job.sheet), it.shop))
