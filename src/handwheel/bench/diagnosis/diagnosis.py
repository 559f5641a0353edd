"""What is wrong: causes of a symptom in the order in which to check them, with cautions, rules, what to ask."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.bench.diagnosis.evidence import Evidence
from handwheel.bench.diagnosis.facts import CutSort, JobFacts, as_it_was
from handwheel.bench.diagnosis.loads import metal_of
from handwheel.bench.diagnosis.reckoning import reckon
from handwheel.bench.diagnosis.weighing import Suspect, Verdict, in_order, weighed
from handwheel.data.cautions import work_caution
from handwheel.data.diagnosis import (
    ANY_CUT,
    Cause,
    DiagnosisRule,
    Question,
    Symptom,
    causes,
    questions,
    rules_of,
    symptom,
)
from handwheel.data.materials import WorkHardening

if TYPE_CHECKING:
    from collections.abc import Iterator

MOST_ASKED = 4
"""More questions than this at once nobody answers; ours, no source."""
HARDENING = "hardening"


class Diagnosis(Struct, frozen=True, kw_only=True):
    """Causes of a symptom in the order in which to check them.

    Parameters
    ----------
    symptom : Symptom
        What is wrong.
    facts : JobFacts
        What the numbers rest on, what was typed included.
    measure_mm : float or None
        What the effects were held against.
    is_measured : bool
        Whether that is the symptom itself; else it is the tolerance.
    suspects : tuple of Suspect
        First to be checked first; what is excluded stands last.
    cautions : tuple of str
        What to mind before a hand moves.
    rules : tuple of DiagnosisRule
        What holds whatever the cause.
    asks : tuple of Question
        What would tell more, most telling first.
    """

    symptom: Symptom
    facts: JobFacts
    measure_mm: float | None
    is_measured: bool
    suspects: tuple[Suspect, ...]
    cautions: tuple[str, ...]
    rules: tuple[DiagnosisRule, ...]
    asks: tuple[Question, ...]

    @property
    def to_check(self) -> tuple[Suspect, ...]:
        """What is worth checking, in order."""
        return tuple(suspect for suspect in self.suspects if suspect.is_worth_checking)

    @property
    def excluded(self) -> tuple[Suspect, ...]:
        """What is too small, was answered away, or is not in this job."""
        return tuple(suspect for suspect in self.suspects if not suspect.is_worth_checking)


def diagnose(facts: JobFacts, symptom_key: str, evidence: Evidence | None = None) -> Diagnosis:
    """Say what to check first.

    Parameters
    ----------
    facts : JobFacts
        What is known of the cut; `handwheel.bench.diagnosis.job_facts.job_facts` reads them off a sheet.
    symptom_key : str
        Key of the symptom, such as ``"taper"``.
    evidence : Evidence, optional
        What was measured and answered; what was typed goes before what was planned.

    Returns
    -------
    Diagnosis
        Causes that such a cut can have, in the order in which to check them.

    Raises
    ------
    DataTableError
        If there is no such symptom, or the metal is not in the tables.

    Examples
    --------
    >>> found = diagnose(JobFacts(cut=CutSort.BORE, metal="al_6082"), "built-up-edge")
    >>> [suspect.cause.key for suspect in found.suspects]
    ['edge', 'speed', 'feed', 'lubricant', 'alloy']
    """
    sign, said = symptom(symptom_key), evidence or Evidence()
    was = as_it_was(facts, said)
    measured = said.number(sign.amount) if sign.amount else None
    measure = measured if measured is not None else was.band_mm if sign.amount else None
    suspects = tuple(
        weighed(cause, reckon(cause.effect, was, said), said, measure_mm=measure)
        for cause in causes(symptom_key)
        if _is_met_at(cause, was.cut)
    )
    ordered = in_order(suspects)
    return Diagnosis(
        symptom=sign,
        facts=was,
        measure_mm=measure,
        is_measured=measured is not None,
        suspects=ordered,
        cautions=tuple(work_caution(code).text for code in sign.cautions),
        rules=tuple(rule for rule in rules_of(symptom_key) if _holds(rule, was, said)),
        asks=tuple(_asks(sign, was, said, ordered))[:MOST_ASKED],
    )


def _is_met_at(cause: Cause, cut: CutSort | None) -> bool:
    return cut is None or ANY_CUT in cause.cuts or cut.value in cause.cuts


def _holds(rule: DiagnosisRule, facts: JobFacts, evidence: Evidence) -> bool:
    """Whether the condition of a rule is met."""
    if rule.only_if is None:
        return True
    name, value = rule.only_if
    metal = metal_of(facts)
    has = {
        "cut": facts.cut.value if facts.cut is not None else "",
        "held": facts.held,
        "metal": HARDENING if metal is not None and metal.work_hardening is not WorkHardening.NONE else "",
    }
    if name in has:
        return has[name] == value
    return evidence.answer(name) is (value == "yes")


def _asks(sign: Symptom, facts: JobFacts, evidence: Evidence, ordered: tuple[Suspect, ...]) -> Iterator[Question]:
    """What nobody has said: first what no number goes without, then how much, then what tells causes apart."""
    known = questions()
    missing = (
        ("diameter", facts.cut_dia_mm is None),
        ("metal", not facts.metal),
        ("edge", facts.edge is None),
        ("stick_out", facts.free_mm is None),
        (sign.amount, bool(sign.amount)),
    )
    wanted = [key for key, is_missing in missing if is_missing and facts.cut is not CutSort.HELD]
    wanted += [sign.amount] if facts.cut is CutSort.HELD and sign.amount else []
    undecided = [suspect for suspect in ordered if suspect.verdict in _UNDECIDED]
    wanted += [key for suspect in undecided for key in _answers(suspect)]
    wanted += [key for suspect in undecided for key in _numbers(suspect)]
    yield from (known[key] for key in dict.fromkeys(wanted) if not evidence.gives(key))


_UNDECIDED = (Verdict.EXPLAINS, Verdict.PART, Verdict.OPEN, Verdict.PLANNED)


def _answers(suspect: Suspect) -> Iterator[str]:
    """What tells by yes or no whether it is this cause."""
    yield from (key for key, _ in (*suspect.cause.lowered_by, *suspect.cause.raised_by))


def _numbers(suspect: Suspect) -> Iterator[str]:
    """What would replace figures of the plan, or the reckoning of a bound."""
    if suspect.effect is not None:
        yield from suspect.effect.uses
