"""Drawn cases asked again: shop or ring changed in one thing, shop file in another order, every order of steps.

The reason for each answer stands beside it in `tests.proof.relations`.
"""

from __future__ import annotations

import pytest

from tests.proof.cases import Promise, numbers
from tests.proof.relations import RELATIONS, relation_faults
from tests.proof.slice_of_all import FEASIBLE_CHUNKS, chunk_of
from tests.proof.small_orders import compared
from tests.proof.ties import tie_faults

SEED = 3
CASES = numbers(SEED, 60)[::2]


@pytest.mark.parametrize("number", CASES[:10])
def test_a_plan_answers_to_each_change_as_it_must(number: int) -> None:
    assert relation_faults(number) == []


def test_there_are_many_kinds_of_change() -> None:
    assert len({relation.name for relation in RELATIONS}) == len(RELATIONS) >= 20


@pytest.mark.parametrize("first", range(3))
def test_the_order_of_the_lists_in_a_shop_does_not_show_in_the_sheet(first: int) -> None:
    assert [fault for number in CASES[first::3] for fault in tie_faults(number)] == []


@pytest.mark.parametrize("chunk", range(FEASIBLE_CHUNKS))
def test_no_order_of_the_steps_is_cheaper_than_the_plan_of_a_small_problem(chunk: int) -> None:
    """Every case of the slice that is drawn feasible, as far as its problems are small enough."""
    found = [compared(number) for number in chunk_of(Promise.FEASIBLE, chunk)]
    assert [fault for item in found for fault in item.faults] == []
    assert sum(item.small for item in found) >= 5
