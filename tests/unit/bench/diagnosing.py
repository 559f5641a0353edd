"""Facts and evidence for the tests of the diagnosis, made short."""

from __future__ import annotations

from handwheel.bench.diagnosis.diagnosis import Diagnosis
from handwheel.bench.diagnosis.evidence import Evidence
from handwheel.bench.diagnosis.weighing import Suspect


def evidence(**typed: float | bool) -> Evidence:
    """Numbers and answers by their keys."""
    numbers = tuple((key, value) for key, value in typed.items() if not isinstance(value, bool))
    answers = tuple((key, value) for key, value in typed.items() if isinstance(value, bool))
    return Evidence(numbers=numbers, answers=answers)


def order(found: Diagnosis) -> list[str]:
    """Keys of the causes that are worth checking, in order."""
    return [suspect.cause.key for suspect in found.to_check]


def excluded(found: Diagnosis) -> set[str]:
    """Keys of the causes that are excluded."""
    return {suspect.cause.key for suspect in found.excluded}


def suspect(found: Diagnosis, cause: str) -> Suspect:
    """One cause as it stands."""
    (only,) = (each for each in found.suspects if each.cause.key == cause)
    return only


def here(found: Diagnosis, cause: str) -> str:
    """What a cause does in this job, in words; empty if nothing is reckoned."""
    effect = suspect(found, cause).effect
    return "" if effect is None else effect.words
