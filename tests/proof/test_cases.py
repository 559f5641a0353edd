"""Drawn cases, planned, checked and replayed a second time: a slice of what ``python -m tests.proof.run`` tries.

What is drawn feasible has a plan that is proven and passes the check, and the simple replay finds the same sizes to a
tenth of a micrometre. What is drawn free has such a plan, or a refusal whose remedies, taken, give one; nothing else is
raised. Source of the rules by which a case is feasible: the tables and relations named in `tests.proof.needs`.
"""

from __future__ import annotations

import pytest

from handwheel.domain.bars import BarShape
from handwheel.service.demo import DEMO_SHOPS
from tests.proof.cases import Promise, case_of, numbers
from tests.proof.rings import MEANS
from tests.proof.slice_of_all import FEASIBLE_CHUNKS, FREE_CHUNKS, SEED, chunk_of
from tests.proof.steps import EDGE_OF
from tests.proof.stock import demo_shop
from tests.proof.tally import failure_lines
from tests.proof.trial import Outcome, Verdict, tried


def outcomes_of(promise: Promise, chunk: int) -> list[Outcome]:
    return [tried(number) for number in chunk_of(promise, chunk)]


@pytest.mark.parametrize("chunk", range(FEASIBLE_CHUNKS))
def test_every_case_drawn_feasible_is_planned_and_passes(chunk: int) -> None:
    outcomes = outcomes_of(Promise.FEASIBLE, chunk)
    assert all(item.verdict is Verdict.PLANNED for item in outcomes), "\n".join(failure_lines(outcomes))


@pytest.mark.parametrize("chunk", range(FREE_CHUNKS))
def test_every_free_case_is_planned_and_passes_or_is_refused_with_remedies_that_work(chunk: int) -> None:
    outcomes = outcomes_of(Promise.FREE, chunk)
    assert {item.verdict for item in outcomes} == {Verdict.PLANNED, Verdict.REMEDIED}, "\n".join(
        f"{item.number} {item.verdict.value}: {item.why}" for item in outcomes
    )


def test_a_number_names_a_case() -> None:
    assert case_of(2_000_017) == case_of(2_000_017)
    assert case_of(2_000_017) != case_of(2_000_019)


def test_drawn_cases_differ_in_what_matters() -> None:
    """Else a thousand of them would be one: screws, metals, means, steps, bars, shops, feeds of many kinds."""
    cases = [case_of(number) for number in numbers(SEED, 120)[::2]]
    assert len({case.part.material for case in cases}) > 15
    assert len({case.shop.lathe.cross.dial for case in cases}) > 30
    assert {case.shop.holdings[0].kind for case in cases} == set(MEANS)
    assert {(step.of, step.end) for case in cases for step in case.draft.steps} == set(EDGE_OF)
    assert sum(bool(case.draft.steps) for case in cases) >= len(cases) / 3
    assert {case.shop.bars[0].shape for case in cases} == set(BarShape)
    assert {case.shop.name for case in cases} >= {f"drawn from {demo_shop(name).name}" for name in DEMO_SHOPS}
    assert len({case.shop.name for case in cases}) > 15
    assert any(case.draft.thread for case in cases)
    assert any(reamer.id == "drawn-reamer" for case in cases for reamer in case.shop.reamers)
    assert {bool(case.shop.lathe.feeds_along) for case in cases} == {True, False}
    assert {case.shop.lathe.cross.dial is None for case in cases} == {True, False}
    assert {len(case.draft.edges) for case in cases} >= {0, 1, 2, 3, 4}
    labels = [dial.engraving_agrees for case in cases if (dial := case.shop.lathe.cross.dial) is not None]
    assert {True, False} <= set(labels)
