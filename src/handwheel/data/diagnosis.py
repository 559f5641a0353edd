"""What can be wrong at the lathe: symptoms, their causes, what to ask, rules that go with them."""

from __future__ import annotations

from enum import Enum
from functools import cache
from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.data.loader import Standing, load_table
from handwheel.domain.errors import DataTableError

if TYPE_CHECKING:
    from collections.abc import Mapping

ANY_CUT = "any"
"""Where a cause or a symptom is at home with every cut."""
_SYMPTOM_COLUMNS = ("key", "name", "looks_like", "amount", "cuts", "cautions", "standing", "source_key", "place")
_CAUSE_COLUMNS = (
    "symptom",
    "cause",
    "name",
    "cuts",
    "check",
    "check_s",
    "remedy",
    "raised_by",
    "lowered_by",
    "effect",
    "standing",
    "source_key",
    "place",
)
_CAUSE_BLANKS = ("raised_by", "lowered_by", "effect")
_EVIDENCE_COLUMNS = ("key", "kind", "question", "most", "of", "standing", "source_key", "place")
_EVIDENCE_BLANKS = ("most", "of")
_RULE_COLUMNS = ("symptom", "only_if", "text", "standing", "source_key", "place")


class EvidenceKind(Enum):
    """What an answer is."""

    LENGTH = "length"
    RPM = "rpm"
    KELVIN = "kelvin"
    NEWTON = "newton"
    SECONDS = "seconds"
    YES_NO = "yes/no"
    METAL = "metal"
    EDGE = "edge"


class MostOf(Enum):
    """What the most that a number can be is counted in; all own choice, wide enough for what is merely bad."""

    UNIT = "unit"
    DIAMETER = "diameter"
    OUTSIDE = "outside"
    FASTEST = "fastest"


class Symptom(Struct, frozen=True, kw_only=True):
    """Something that is wrong with the work or the cut.

    ``amount`` is the key of the evidence that says how much, empty if it has none; ``cuts`` names the kinds of cut at
    which it is met, ``cautions`` the codes of the cautions that stand before its checks.
    """

    key: str
    name: str
    looks_like: str
    amount: str
    cuts: tuple[str, ...]
    cautions: tuple[str, ...]


class Cause(Struct, frozen=True, kw_only=True):
    """One thing that may be behind a symptom.

    ``check_s`` is about how long its check takes [s], ``raised_by`` and ``lowered_by`` are answers, each as pair of
    key and yes or no; ``effect`` is the key of the relation that reckons it, empty if there is none.
    """

    symptom: str
    key: str
    name: str
    cuts: tuple[str, ...]
    check: str
    check_s: float
    remedy: str
    raised_by: tuple[tuple[str, bool], ...]
    lowered_by: tuple[tuple[str, bool], ...]
    effect: str
    standing: Standing
    source_key: str
    place: str


class Question(Struct, frozen=True, kw_only=True):
    """One piece of evidence that a person can give, with its question; beyond ``most`` of something it is a slip."""

    key: str
    kind: EvidenceKind
    text: str
    most: float | None = None
    of: MostOf | None = None


class DiagnosisRule(Struct, frozen=True, kw_only=True):
    """What goes with a symptom whatever its cause; ``only_if`` is a condition, as name and value, or empty."""

    symptom: str
    only_if: tuple[str, str] | None
    text: str
    standing: Standing
    source_key: str
    place: str


@cache
def symptoms() -> Mapping[str, Symptom]:
    """Every symptom by its key, in the order of the table.

    Common practice, no source [COMMON].

    Examples
    --------
    >>> symptoms()["pip"].looks_like
    'a stub is left in the middle after parting or facing'
    """
    return {
        row["key"]: Symptom(
            key=row["key"],
            name=row["name"],
            looks_like=row["looks_like"],
            amount=row["amount"],
            cuts=tuple(row["cuts"].split()),
            cautions=tuple(row["cautions"].split()),
        )
        for row in load_table("diagnosis_symptoms.csv", _SYMPTOM_COLUMNS, ("amount",))
    }


def symptom(key: str) -> Symptom:
    """Symptom of that key.

    Raises
    ------
    DataTableError
        If the table has none; the message names all.
    """
    found = symptoms().get(key)
    if found is None:
        msg = f"symptom {key!r}: not in the table; choose one of {', '.join(symptoms())}"
        raise DataTableError(msg)
    return found


@cache
def causes(symptom_key: str) -> tuple[Cause, ...]:
    """Causes of a symptom in the order in which common practice looks for them; empty for a key that is none.

    Examples
    --------
    >>> [cause.key for cause in causes("built-up-edge")]
    ['edge', 'speed', 'feed', 'lubricant', 'alloy']
    """
    return tuple(
        Cause(
            symptom=row["symptom"],
            key=row["cause"],
            name=row["name"],
            cuts=tuple(row["cuts"].split()),
            check=row["check"],
            check_s=float(row["check_s"]),
            remedy=row["remedy"],
            raised_by=_answers(row["raised_by"]),
            lowered_by=_answers(row["lowered_by"]),
            effect=row["effect"],
            standing=Standing(row["standing"]),
            source_key=row["source_key"],
            place=row["place"],
        )
        for row in load_table("diagnosis_causes.csv", _CAUSE_COLUMNS, _CAUSE_BLANKS)
        if row["symptom"] == symptom_key
    )


@cache
def questions() -> Mapping[str, Question]:
    """Everything that can be given as evidence, by its key, in the order of the table.

    Examples
    --------
    >>> questions()["tip_below"].kind
    <EvidenceKind.LENGTH: 'length'>
    """
    return {
        row["key"]: Question(
            key=row["key"],
            kind=EvidenceKind(row["kind"]),
            text=row["question"],
            most=float(row["most"]) if row["most"] else None,
            of=MostOf(row["of"]) if row["of"] else None,
        )
        for row in load_table("diagnosis_evidence.csv", _EVIDENCE_COLUMNS, _EVIDENCE_BLANKS)
    }


@cache
def rules_of(symptom_key: str) -> tuple[DiagnosisRule, ...]:
    """Rules that go with a symptom, in the order of the table."""
    return tuple(
        DiagnosisRule(
            symptom=row["symptom"],
            only_if=_condition(row["only_if"]),
            text=row["text"],
            standing=Standing(row["standing"]),
            source_key=row["source_key"],
            place=row["place"],
        )
        for row in load_table("diagnosis_rules.csv", _RULE_COLUMNS, ("only_if",))
        if row["symptom"] == symptom_key
    )


def _answers(cell: str) -> tuple[tuple[str, bool], ...]:
    """Answers of a cell such as ``"edge_loaded=yes gibs_snug=no"``."""
    pairs = (answer.partition("=") for answer in cell.split())
    return tuple((key, said == "yes") for key, _, said in pairs)


def _condition(cell: str) -> tuple[str, str] | None:
    name, _, value = cell.partition("=")
    return (name, value) if name else None
