"""What stands on paper is the sheet: ten of the cases of ``python -m tests.proof.run --what papers``."""

from __future__ import annotations

import pytest

from tests.proof.cases import Promise, numbers
from tests.proof.papers import paper_faults
from tests.proof.slice_of_all import SEED

CASES = 10


@pytest.mark.parametrize("number", numbers(SEED, CASES, Promise.FEASIBLE))
def test_the_papers_of_a_drawn_case_say_what_its_sheet_says(number: int) -> None:
    assert paper_faults(number) == []
