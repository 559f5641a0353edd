"""How much of a symptom a cause can explain, and which cause to check before which."""

from __future__ import annotations

from enum import Enum

from msgspec import Struct

from handwheel.bench.diagnosis.effect import Effect, EffectKind
from handwheel.bench.diagnosis.evidence import Evidence
from handwheel.data.diagnosis import Cause
from handwheel.domain.matters import SHARE_THAT_MATTERS

EXPLAINS_SHARE = 0.5
"""From this share of a symptom on a cause is said to explain it; ours, no source."""


class Verdict(Enum):
    """What is to be said of a cause, in the order in which causes are checked."""

    SEEN = "your answer points to it"
    EXPLAINS = "can explain it"
    PART = "explains a part of it"
    OPEN = "how much is not known"
    PLANNED = "as planned it is within its limit: was it so?"
    KEPT = "as typed it is within its limit"
    SMALL = "too small to matter here"
    AGAINST = "your answer speaks against it"
    ABSENT = "not in this job"


_FIRST = (Verdict.SEEN, Verdict.EXPLAINS)
_USUAL_ORDER = (Verdict.OPEN, Verdict.PLANNED)
_LAST = (Verdict.KEPT, Verdict.SMALL, Verdict.AGAINST, Verdict.ABSENT)


class Suspect(Struct, frozen=True, kw_only=True):
    """One cause as it stands in this job.

    ``share`` is how much of the symptom it can explain (1: all of it), or ``None`` where nothing can be said.
    """

    cause: Cause
    verdict: Verdict
    share: float | None = None
    effect: Effect | None = None

    @property
    def is_worth_checking(self) -> bool:
        """Whether anything is left of it to look for."""
        return self.verdict not in _LAST


def weighed(cause: Cause, effect: Effect | None, evidence: Evidence, *, measure_mm: float | None) -> Suspect:
    """Judge a cause.

    Parameters
    ----------
    cause : Cause
        From the table.
    effect : Effect or None
        What it does in this job, if that can be reckoned.
    evidence : Evidence
        What was typed and answered.
    measure_mm : float or None
        How large the symptom is; else the tolerance against which it would be too large; ``None`` if neither is known.

    Notes
    -----
    What physics excludes stays excluded, whatever was answered. A limit that is kept only as planned excludes
    nothing, since nobody has said that the plan was kept.
    """
    verdict, share = _reckoned(effect, evidence, measure_mm)
    if verdict in {Verdict.ABSENT, Verdict.SMALL}:
        return Suspect(cause=cause, verdict=verdict, share=share, effect=effect)
    if any(evidence.answer(key) is said for key, said in cause.raised_by):
        return Suspect(cause=cause, verdict=Verdict.SEEN, share=1.0, effect=effect)
    if cause.lowered_by and all(evidence.answer(key) is said for key, said in cause.lowered_by):
        return Suspect(cause=cause, verdict=Verdict.AGAINST, share=share, effect=effect)
    return Suspect(cause=cause, verdict=verdict, share=share, effect=effect)


def _reckoned(effect: Effect | None, evidence: Evidence, measure_mm: float | None) -> tuple[Verdict, float | None]:
    if effect is None or effect.kind is EffectKind.FIGURE:
        return Verdict.OPEN, None
    if effect.kind is EffectKind.ABSENT:
        return Verdict.ABSENT, None
    if effect.kind is EffectKind.LIMIT:
        return _against_limit(effect, evidence)
    if measure_mm is None or measure_mm <= 0:
        return Verdict.OPEN, None
    share = effect.amount / measure_mm
    if effect.amount <= SHARE_THAT_MATTERS * measure_mm:
        return Verdict.SMALL, share
    return (Verdict.EXPLAINS if effect.amount >= EXPLAINS_SHARE * measure_mm else Verdict.PART), share


def _against_limit(effect: Effect, evidence: Evidence) -> tuple[Verdict, float | None]:
    """A limit that is passed explains; one that may be passed, as surely as it is known, explains a part."""
    if effect.amount >= 1.0:
        return Verdict.EXPLAINS, 1.0
    if effect.amount * effect.uncertain >= 1.0:
        return (Verdict.EXPLAINS if effect.amount >= EXPLAINS_SHARE else Verdict.PART), effect.amount
    typed = any(evidence.gives(key) for key in effect.uses)
    return (Verdict.KEPT if typed else Verdict.PLANNED), None


def in_order(suspects: tuple[Suspect, ...]) -> tuple[Suspect, ...]:
    """Put suspects, given in the order of the table, in the order in which to check them.

    What can explain the symptom comes first: more before less, in tenths, then the quicker check. Then what explains a
    part of it, likewise; then what cannot be reckoned or was kept as planned, in the order of the table; last what is
    excluded.
    """
    return tuple(sorted(suspects, key=_place))


def _place(suspect: Suspect) -> tuple[int, float, float]:
    if suspect.verdict in _FIRST:
        return (0, -_tenths(suspect), suspect.cause.check_s)
    if suspect.verdict is Verdict.PART:
        return (1, -_tenths(suspect), suspect.cause.check_s)
    if suspect.verdict in _USUAL_ORDER:
        return (2, 0.0, 0.0)
    return (3 + _LAST.index(suspect.verdict), 0.0, 0.0)


def _tenths(suspect: Suspect) -> float:
    return round(min(1.0, suspect.share or 0.0), 1)
