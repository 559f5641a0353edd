"""Sheets of drawn cases, changed: the check refuses what is wrong and passes what is not. A seeded slice.

All sorts and their reasons stand in `tests.replay`; ``python -m tests.proof.run --what mutations`` runs more.
"""

from __future__ import annotations

import pytest

from tests.proof.cases import numbers
from tests.proof.mutated import mutated
from tests.replay.mutation import Fate

SEED = 4
CASES = numbers(SEED, 24)[::2]
EACH_CHUNK, EACH_CASE = 3, 50


@pytest.mark.parametrize("first", range(0, len(CASES), EACH_CHUNK))
def test_mutations_of_drawn_sheets_are_caught_or_pass_as_they_must(first: int) -> None:
    cases = CASES[first : first + EACH_CHUNK]
    found = [item for number in cases for item in mutated(number, most=EACH_CASE, seed=number)]
    assert [item for item in found if item.astray] == []
    assert sum(item.counted and item.fate is Fate.CAUGHT for item in found) > 40
    assert sum(item.counted and item.fate is Fate.HARMLESS for item in found) > 10
