"""Outcomes kept in a file: a run that was stopped goes on, and nothing is tried twice."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from tests.proof.cases import Promise
from tests.proof.kept import going_on, kept
from tests.proof.trial import Outcome, Verdict


def outcome(number: int) -> Outcome:
    return Outcome(number=number, promise=Promise.FREE, verdict=Verdict.REFUSED, why='Ø 3 mm, "so"', codes=("a", "b"))


def test_a_run_that_was_stopped_goes_on_and_tries_nothing_twice(tmp_path: Path) -> None:
    file, asked = tmp_path / "kept.jsonl", []

    def tried(cases: Sequence[int]) -> Iterator[Outcome]:
        for number in cases:
            asked.append(number)
            yield outcome(number)

    first = going_on(file, (1, 3, 5, 7), tried)
    assert [next(first).number, next(first).number] == [1, 3]
    first.close()  # as a killed run would be
    with file.open("ab") as cut_short:
        cut_short.write(b'{"number": 5, "prom')
    again = list(going_on(file, (1, 3, 5, 7), tried))
    assert again == [outcome(number) for number in (1, 3, 5, 7)]
    assert asked == [1, 3, 5, 7]
    assert kept(file) == {number: outcome(number) for number in (1, 3, 5, 7)}


def test_only_the_cases_asked_for_are_told(tmp_path: Path) -> None:
    file = tmp_path / "kept.jsonl"
    list(going_on(file, (2, 4), lambda cases: (outcome(number) for number in cases)))
    assert [item.number for item in going_on(file, (4,), lambda _: iter(()))] == [4]
