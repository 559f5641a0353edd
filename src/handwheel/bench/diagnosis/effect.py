"""What a cause does in this job: an amount, a limit and how far it is taken up, or a figure to know."""

from __future__ import annotations

from collections.abc import Callable
from enum import Enum

from msgspec import Struct

from handwheel.bench.diagnosis.evidence import Evidence
from handwheel.bench.diagnosis.facts import JobFacts
from handwheel.data.loader import COMMON_KEY


class EffectKind(Enum):
    """How an effect is weighed against a symptom."""

    AMOUNT = "amount"
    """In the measure of the symptom: what share of it can it explain?"""
    LIMIT = "limit"
    """As a share of a limit: is it passed?"""
    FIGURE = "figure"
    """To know, not to weigh."""
    ABSENT = "absent"
    """This job does not have the cause at all."""


class Effect(Struct, frozen=True, kw_only=True):
    """What a cause does here.

    Parameters
    ----------
    kind : EffectKind
        How it is weighed.
    words : str
        A sentence with the numbers of this job.
    amount : float
        Its upper end: mm in the measure of the symptom, or share of the limit.
    uncertain : float
        Factor by which the limit itself may be off.
    uses : tuple of str
        Keys of evidence that would replace what the plan has.
    relation : str
        By what it was reckoned.
    source_key, standing : str
        What stands behind the weakest thing in it.
    """

    kind: EffectKind
    words: str
    amount: float = 0.0
    uncertain: float = 1.0
    uses: tuple[str, ...] = ()
    relation: str = ""
    source_key: str = COMMON_KEY
    standing: str = "common practice"


Reckoned = Callable[[JobFacts, Evidence], Effect | None]
"""Reckons an effect; ``None`` where something that it needs is not known."""


def absent(words: str) -> Effect:
    """Effect of a cause that this job does not have."""
    return Effect(kind=EffectKind.ABSENT, words=words, relation="the plan")


def known(*values: float | None) -> tuple[float, ...] | None:
    """All values if all are known and above 0, else nothing."""
    found = tuple(value for value in values if value is not None and value > 0)
    return found if len(found) == len(values) else None
