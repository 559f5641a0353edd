"""Numbers that cannot be what was measured: beyond what work and lathe can show, so that they are asked back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.data.diagnosis import MostOf, Question, questions

if TYPE_CHECKING:
    from handwheel.bench.diagnosis.evidence import Evidence
    from handwheel.bench.diagnosis.facts import JobFacts

OF_WORDS = {
    MostOf.UNIT: "",
    MostOf.DIAMETER: " by the diameter at the cut",
    MostOf.OUTSIDE: " by the diameter of the work",
    MostOf.FASTEST: " by the fastest speed of the lathe",
}
"""By what the most is reckoned, in words."""


class Slip(Struct, frozen=True, kw_only=True):
    """A number beyond the most that it can be, both in the unit of its kind."""

    question: Question
    typed: float
    most: float

    @property
    def by(self) -> str:
        """By what the most is reckoned, in words with a blank before them; empty where it stands for itself."""
        return "" if self.question.of is None else OF_WORDS[self.question.of]


def slips(facts: JobFacts, said: Evidence) -> tuple[Slip, ...]:
    """Numbers of the evidence that must be slips of figure or unit, in the order in which they were typed.

    Parameters
    ----------
    facts : JobFacts
        What is known of the step as planned; where it does not know the measure nothing is asked back.
    said : Evidence
        What was typed.

    Examples
    --------
    >>> from handwheel.bench.diagnosis.evidence import Evidence
    >>> from handwheel.bench.diagnosis.facts import JobFacts
    >>> bore = JobFacts(cut_dia_mm=20.0, speeds_rpm=(540.0, 1200.0))
    >>> [slip.most for slip in slips(bore, Evidence(numbers=(("taper", 50.0), ("rpm", 54000.0), ("depth", 0.2))))]
    [2.0, 1800.0]
    """
    found = []
    for key, typed in said.numbers:
        question = questions()[key]
        measure = _measure(question.of, facts, said)
        if question.most is not None and measure is not None and abs(typed) > question.most * measure:
            found.append(Slip(question=question, typed=typed, most=question.most * measure))
    return tuple(found)


def _measure(of: MostOf | None, facts: JobFacts, said: Evidence) -> float | None:
    """What the most of a number is counted in; ``None`` where nobody knows."""
    match of:
        case MostOf.UNIT:
            return 1.0
        case MostOf.DIAMETER:
            return said.number("diameter") or facts.cut_dia_mm or facts.outside_dia_mm
        case MostOf.OUTSIDE:
            return facts.outside_dia_mm
        case MostOf.FASTEST:
            return max(facts.speeds_rpm, default=None)
        case None:
            return None
