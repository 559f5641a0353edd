"""Diagnose a step of a plan: from a symptom and evidence as somebody types them to what to check first."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from handwheel.bench.diagnosis.diagnosis import Diagnosis, diagnose
from handwheel.bench.diagnosis.evidence import Evidence
from handwheel.bench.diagnosis.job_facts import job_facts
from handwheel.bench.diagnosis.slips import slips
from handwheel.data.diagnosis import EvidenceKind, Question, causes, questions, symptom, symptoms
from handwheel.data.unknown_metals import metal_words
from handwheel.domain.errors import InputError
from handwheel.domain.motion import Edge
from handwheel.domain.said import said_short
from handwheel.report import diagnosis_text as report
from handwheel.report.steps import numbered_steps
from handwheel.report.wording import printed_in
from handwheel.report.words import plain
from handwheel.service.intake.lengths import length_mm, number_in
from handwheel.service.jobs import read_for
from handwheel.service.wording import wording_of, wording_without_shop

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from handwheel.bench.diagnosis.effect import Effect
    from handwheel.bench.diagnosis.slips import Slip
    from handwheel.bench.diagnosis.weighing import Suspect
    from handwheel.domain.part import Units
    from handwheel.domain.plan import Plan
    from handwheel.domain.shop import Shop
    from handwheel.report.steps import NumberedStep
    from handwheel.report.wording import Wording

YES_NO = {"yes": True, "y": True, "no": False, "n": False}
FEWEST_HINTS = 3
NUMBER_KINDS = (EvidenceKind.RPM, EvidenceKind.KELVIN, EvidenceKind.NEWTON, EvidenceKind.SECONDS)


class Complaint(Struct, frozen=True, kw_only=True):
    """What somebody says is wrong.

    Parameters
    ----------
    step : str
        Number of the step on the sheet, or its id.
    symptom : str
        One of `handwheel.data.diagnosis.symptoms`.
    evidence : tuple of str
        What was measured and answered, each as ``"key=value"``: ``"taper=0.05 mm"``, ``"edge_loaded=yes"``.
    """

    step: str
    symptom: str
    evidence: tuple[str, ...] = ()


def diagnose_files(
    plan_path: Path,
    shop_path: Path,
    complaint: Complaint,
    *,
    as_json: bool = False,
    width: int = 80,
    show: str | None = None,
    words: str | None = None,
) -> str:
    """Diagnose a step of a plan file; ``show`` and ``words`` are those of `wording_of`.

    Raises
    ------
    InputError
        If a file cannot be understood, the shop differs from the plan's, or step, symptom or evidence is none.
    """
    plan, shop = read_for(plan_path, shop_path)
    if as_json:
        return diagnosis_json(plan, shop, complaint)
    wording = wording_of(plan, shop, show=show, words=words)
    return diagnosis_text(plan, shop, complaint, width=width, wording=wording)


def diagnosis_text(plan: Plan, shop: Shop, complaint: Complaint, *, width: int = 80, wording: Wording) -> str:
    """Return as text what to check first, with the numbers of the step. Raises as `diagnose_step` does."""
    found, at = diagnose_step(plan, shop, complaint)
    with printed_in(wording):
        return report.diagnosis_text(found, step=f"step {at.number}, {at.title}", width=width)


def diagnosis_json(plan: Plan, shop: Shop, complaint: Complaint) -> str:
    """Return the same as JSON: lengths in mm, causes in the order in which to check them. Raises as `diagnose_step`."""
    found, at = diagnose_step(plan, shop, complaint)
    told = {
        "plan": plan.id,
        "step": {"number": at.number, "id": at.id, "title": at.title},
        "symptom": found.symptom.key,
        "measure_mm": found.measure_mm,
        "measured": found.is_measured,
        "cautions": list(found.cautions),
        "check": [_suspect_json(suspect) for suspect in found.to_check],
        "excluded": [_suspect_json(suspect) for suspect in found.excluded],
        "rules": [{"text": rule.text, "standing": rule.standing.value, "place": rule.place} for rule in found.rules],
        "asks": [_question_json(question) for question in found.asks],
    }
    return _json(told)


def diagnose_step(plan: Plan, shop: Shop, complaint: Complaint) -> tuple[Diagnosis, NumberedStep]:
    """Diagnose a step.

    Parameters
    ----------
    plan, shop : Plan, Shop
        The plan, and the shop that it was made for.
    complaint : Complaint
        What is wrong, where, and what is known of it.

    Returns
    -------
    Diagnosis, NumberedStep
        What to check, and the step.

    Raises
    ------
    InputError
        If there is no such step or symptom, the symptom is not met at such a step, or evidence is not understood or
        cannot be.
    """
    problems: list[str] = []
    sign = symptoms().get(complaint.symptom)
    if sign is None:
        problems.append(_no_symptom(complaint.symptom))
    steps = numbered_steps(plan, shop)
    at = next((each for each in steps if complaint.step in (str(each.number), each.id)), None)
    if at is None:
        names = ", ".join(f"{each.number} ({each.id})" for each in steps)
        problems.append(f"step {plain(complaint.step)!r}: the plan has no such step; the steps are {names}")
    said = Evidence()
    try:
        said = evidence_of(complaint.evidence, units=plan.sheet.part.units)
    except InputError as error:
        problems += error.problems
    if sign is None or at is None or problems:
        raise InputError(tuple(problems))
    facts = job_facts(plan.sheet, shop, str(at.number))
    problems += [_slip_words(slip, plan.sheet.part.units) for slip in slips(facts, said)]
    if problems:
        raise InputError(tuple(problems))
    if facts.cut is not None and facts.cut.value not in sign.cuts:
        raise InputError((_elsewhere(plan, shop, at, sign.key, facts.cut.value),))
    return diagnose(facts, complaint.symptom, said), at


def require_symptom(key: str) -> None:
    """Raise `InputError` if no symptom is called so."""
    if key not in symptoms():
        raise InputError((_no_symptom(key),))


def _no_symptom(key: str) -> str:
    return f"symptom {plain(key)!r}: not known; choose one of {', '.join(symptoms())}"


def _slip_words(slip: Slip, units: Units) -> str:
    """Ask a number back that cannot be."""
    kind = slip.question.kind
    typed, most = (
        f"{figure:g} {_UNITS[kind]}" if kind in NUMBER_KINDS else said_short(figure, units)
        for figure in (slip.typed, slip.most)
    )
    return (
        f"evidence {slip.question.key}: found {typed}, more than can be{slip.by} ({most}); "
        "check the figure and its unit, and that PLAN and --shop are those of this job"
    )


def _elsewhere(plan: Plan, shop: Shop, at: NumberedStep, symptom_key: str, cut: str) -> str:
    """Say that a symptom is not met at such a step, and at which it is."""
    cuts = symptom(symptom_key).cuts
    sorts = ((step, job_facts(plan.sheet, shop, str(step.number)).cut) for step in numbered_steps(plan, shop))
    fit = [f"{step.number} ({step.id})" for step, sort in sorts if sort is not None and sort.value in cuts]
    where = f"name one of the steps {', '.join(fit)}" if fit else "this plan has no step of that kind"
    return (
        f"step {at.number} ({at.id}): {symptom_key} is met where one can {' or '.join(cuts)}, and this step is of the "
        f"kind {cut!r}; {where}"
    )


def symptoms_text(*, width: int = 80, show: str | None = None, words: str | None = None) -> str:
    """Return every symptom with its evidence as text; raises as `wording_without_shop` does."""
    with printed_in(wording_without_shop(tuple(symptoms()), tuple(questions()), show=show, words=words)):
        return report.symptoms_text(symptoms().values(), width=width)


def symptoms_json() -> str:
    """Return the same as JSON."""
    told = {
        "symptoms": [
            {
                "key": sign.key,
                "name": sign.name,
                "looks_like": sign.looks_like,
                "amount": sign.amount or None,
                "met_at": list(sign.cuts),
                "causes": [cause.key for cause in causes(sign.key)],
            }
            for sign in symptoms().values()
        ],
        "evidence": [_question_json(question) for question in questions().values()],
    }
    return _json(told)


def evidence_of(texts: Sequence[str], *, units: Units) -> Evidence:
    """Read evidence as somebody types it; a length without a unit is in ``units``.

    Parameters
    ----------
    texts : sequence of str
        Each ``"key=value"``.
    units : Units
        Unit of a bare length.

    Raises
    ------
    InputError
        With everything that is not understood.

    Examples
    --------
    >>> from handwheel.domain.part import Units
    >>> evidence_of(("pip=1/8 in", "gibs_snug=no"), units=Units.MM).numbers
    (('pip', 3.175),)
    """
    problems: list[str] = []
    numbers: dict[str, float] = {}
    answers: dict[str, bool] = {}
    metal, edge = "", None
    for text in texts:
        key, is_pair, value = (piece.strip() for piece in text.partition("="))
        question = questions().get(key)
        if not is_pair or question is None:
            problems.append(_no_evidence(key, has_value=bool(is_pair)))
            continue
        try:
            match question.kind:
                case EvidenceKind.YES_NO:
                    answers[key] = _yes_or_no(key, value)
                case EvidenceKind.METAL:
                    metal = _metal(key, value)
                case EvidenceKind.EDGE:
                    edge = _edge(key, value)
                case kind:
                    numbers[key] = _number(key, value, kind, units)
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(tuple(problems))
    return Evidence(numbers=tuple(numbers.items()), answers=tuple(answers.items()), metal=metal, edge=edge)


def _no_evidence(key: str, *, has_value: bool) -> str:
    if not has_value:
        return f"evidence {plain(key)!r}: has no value; write it as key=value, such as edge_loaded=yes"
    from difflib import get_close_matches

    near = get_close_matches(key, questions(), n=FEWEST_HINTS)
    hint = f"did you mean {' or '.join(near)}?" if near else "handwheel diagnose --list shows all there is"
    return f"evidence {plain(key)!r}: not known; {hint}"


def _yes_or_no(key: str, value: str) -> bool:
    said = YES_NO.get(value.lower())
    if said is None:
        raise InputError((f"evidence {key}: found {plain(value)!r}; answer yes or no",))
    return said


def _edge(key: str, value: str) -> Edge:
    try:
        return Edge(value.lower())
    except ValueError:
        known = " or ".join(edge.value for edge in Edge)
        raise InputError((f"evidence {key}: found {plain(value)!r}; write {known}",)) from None


def _metal(key: str, value: str) -> str:
    from handwheel.data.metal_names import metals_named

    if value in metal_words():
        return metal_words()[value]
    meant = metals_named(value)
    if len(meant) != 1:
        which = f"which of {', '.join(meant)}?" if meant else "handwheel metal lists all; unknown_steel will do too"
        raise InputError((f"evidence {key}: {plain(value)!r} is no one metal of the tables; {which}",))
    return meant[0]


def _number(key: str, value: str, kind: EvidenceKind, units: Units) -> float:
    where = f"evidence {key}"
    if kind in NUMBER_KINDS:
        found = float(number_in(value.removesuffix(_UNITS[kind]).strip(), where=where))
    else:
        found = float(length_mm(value.removesuffix("/rev").strip(), unit=units, where=where))
    if found <= 0 and key not in _MAY_BE_NEGATIVE:
        raise InputError((f"{where}: found {plain(value)!r}; it must be above 0, leave it out if there is none",))
    return found


_MAY_BE_NEGATIVE = ("tip_below",)
_UNITS = {
    EvidenceKind.RPM: "rev/min",
    EvidenceKind.KELVIN: "°C",
    EvidenceKind.NEWTON: "N",
    EvidenceKind.SECONDS: "s",
}


def _suspect_json(suspect: Suspect) -> dict[str, Any]:
    cause = suspect.cause
    return {
        "cause": cause.key,
        "name": cause.name,
        "verdict": suspect.verdict.name.lower(),
        "share": suspect.share,
        "here": None if suspect.effect is None else _effect_json(suspect.effect),
        "check": cause.check,
        "check_s": cause.check_s,
        "remedy": cause.remedy,
        "standing": cause.standing.value,
        "source_key": cause.source_key,
        "place": cause.place,
    }


def _effect_json(effect: Effect) -> dict[str, Any]:
    return {
        "kind": effect.kind.value,
        "amount": effect.amount,
        "words": effect.words,
        "relation": effect.relation,
        "source_key": effect.source_key,
        "standing": effect.standing,
    }


def _question_json(question: Question) -> dict[str, str]:
    return {"key": question.key, "kind": question.kind.value, "question": question.text}


def _json(told: dict[str, Any]) -> str:
    return json.dumps(told, indent=2, ensure_ascii=False) + "\n"
