"""Every field of every act is changed by some mutation: a new act or field fails here until it is covered."""

from __future__ import annotations

from functools import cache
from typing import get_args

from handwheel.domain import acts as a
from tests.replay.fields_named import every_field, named
from tests.replay.mutation import Fate, Mutation
from tests.replay.mutations import mutations_of
from tests.replay.sheets import DEMOS, HOLES
from tests.replay.story import story

JOBS = (*DEMOS, *HOLES, "band, readout on the cross-slide")


@cache
def all_mutations() -> tuple[Mutation, ...]:
    """Every mutation of every job."""
    return tuple(mutation for name in JOBS for mutation in mutations_of(name))


def test_every_field_of_every_act_is_changed_by_some_mutation() -> None:
    assert sorted(every_field() - named(all_mutations())) == []


def test_every_act_is_changed_or_left_out_so_that_it_must_be_caught() -> None:
    caught = [mutation for mutation in all_mutations() if mutation.fate is Fate.CAUGHT]
    changed = {field.split(".")[0] for field in named(caught)}
    left_out = {kind for mutation in caught for kind in _missing(mutation)}
    kinds = {kind.__name__ for kind in get_args(a.Act)}
    assert sorted(kinds - changed - left_out) == []


def _missing(mutation: Mutation) -> set[str]:
    """Kinds of the acts that a mutated sheet has no more."""
    kept = {act.id for act in mutation.acts}
    return {type(act).__name__ for act in story(mutation.job).acts if act.id not in kept}
