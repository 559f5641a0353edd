"""A diagnosis as text: what to check first and why, what is excluded, what to mind, what to ask."""

from __future__ import annotations

from functools import partial
from itertools import chain
from typing import TYPE_CHECKING

from handwheel.bench.diagnosis.weighing import Verdict
from handwheel.data.diagnosis import causes, questions
from handwheel.data.loader import COMMON_KEY
from handwheel.domain.said import said
from handwheel.report.layout import caution_lines, labelled, require_width, wrap

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from handwheel.bench.diagnosis.diagnosis import Diagnosis
    from handwheel.bench.diagnosis.weighing import Suspect
    from handwheel.data.diagnosis import Symptom

LABEL_COLUMN = 12
KEY_COLUMN = 20
HOW_TO_ASK = "handwheel diagnose PLAN --shop SHOP --step N SYMPTOM; more by --evidence KEY=VALUE, as often as you like."
EVIDENCE_HEAD = "EVIDENCE"


def diagnosis_text(found: Diagnosis, *, step: str, width: int) -> str:
    """Lay out a diagnosis of a step, which is called ``step``, in lines of at most ``width`` columns."""
    require_width(width)
    return _text(_lines(found, step=step, width=width))


def symptoms_text(symptoms: Iterable[Symptom], *, width: int) -> str:
    """Lay out the symptoms, each with what can be given as evidence for it, and what the evidence is."""
    require_width(width)
    symptoms = tuple(symptoms)
    out = [" SYMPTOMS", ""]
    for sign in symptoms:
        out += labelled(sign.key, f"{sign.looks_like}; met at: {', '.join(sign.cuts)}", width=width, column=KEY_COLUMN)
        keys = _evidence_keys(sign)
        out += labelled("", f"evidence: {', '.join(keys)}", width=width, column=KEY_COLUMN)
    out += ["", f" {EVIDENCE_HEAD}, as KEY=VALUE", ""]
    for question in questions().values():
        out += labelled(question.key, f"{question.text} [{question.kind.value}]", width=width, column=KEY_COLUMN)
    out += ["", *(f" {line}" for line in wrap(HOW_TO_ASK, width=width - 1))]
    return _text(out)


def _text(lines: Iterable[str]) -> str:
    return "".join(f"{line.rstrip()}\n" for line in lines)


def _evidence_keys(sign: Symptom) -> tuple[str, ...]:
    """What tells the causes of a symptom apart, the amount first."""
    answers = (key for cause in causes(sign.key) for key, _ in (*cause.raised_by, *cause.lowered_by))
    return tuple(dict.fromkeys(chain((sign.amount,) if sign.amount else (), answers)))


def _lines(found: Diagnosis, *, step: str, width: int) -> Iterator[str]:
    yield from (f" {line}" for line in wrap(f"{found.symptom.name.upper()}: {step}", width=width - 1))
    yield from (f" {line}" for line in wrap(_held_against(found), width=width - 1))
    yield ""
    yield from caution_lines(found.cautions, width=width)
    yield ""
    yield " CHECK FIRST"
    for number, suspect in enumerate(found.to_check, start=1):
        yield ""
        yield from _suspect_lines(number, suspect, width=width)
    if found.excluded:
        yield from ("", " NOT THIS")
        yield ""
        for suspect in found.excluded:
            yield from labelled("-", _why_not(suspect), width=width, column=3)
    if found.rules:
        yield from ("", " MIND", "")
        for rule in found.rules:
            yield from labelled("-", rule.text, width=width, column=3)
    if found.asks:
        yield from ("", " WOULD TELL MORE, by --evidence", "")
        for question in found.asks:
            yield from labelled(question.key, question.text, width=width, column=KEY_COLUMN)


def _held_against(found: Diagnosis) -> str:
    """What the amounts are held against."""
    if found.measure_mm is None:
        return found.symptom.looks_like
    amount = said(found.measure_mm, found.facts.units, places=3)
    if found.is_measured:
        return f"{found.symptom.looks_like}; measured: {amount}"
    return f"{found.symptom.looks_like}; nobody has said how much: held against the tolerance of {amount}"


def _suspect_lines(number: int, suspect: Suspect, *, width: int) -> Iterator[str]:
    label = partial(labelled, width=width, column=LABEL_COLUMN)
    yield from labelled(f"{number}", f"{suspect.cause.name} {_verdict(suspect)}", width=width, column=4)
    if suspect.effect is not None:
        yield from label("   here", suspect.effect.words)
    yield from label("   check", suspect.cause.check)
    yield from label("   then", suspect.cause.remedy)
    yield from label("   says", _sources(suspect))


def _verdict(suspect: Suspect) -> str:
    """Verdict in brackets, with the share where there is one."""
    if suspect.verdict is Verdict.PART and suspect.share is not None:
        return f"({suspect.verdict.value}: {100.0 * suspect.share:.0f} %)"
    return f"({suspect.verdict.value})"


def _why_not(suspect: Suspect) -> str:
    """Why a cause is excluded, in a line."""
    told = "" if suspect.effect is None else f": {suspect.effect.words}"
    share = "" if suspect.share is None else f", {100.0 * suspect.share:.0f} % of it"
    return f"{suspect.cause.name} {suspect.verdict.value.capitalize()}{share}{told}"


def _sources(suspect: Suspect) -> str:
    """Who says that such a cause exists, and by what its effect was reckoned."""
    cause, effect = suspect.cause, suspect.effect
    told = f"{cause.place} [{cause.standing.value}]"
    if effect is None or not effect.relation:
        return told
    key = "" if effect.source_key == COMMON_KEY else f"{effect.source_key}, "
    return f"{told}; {effect.relation} [{key}{effect.standing}]"
