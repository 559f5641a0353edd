"""One case tried: planned, checked, replayed a second time, or refused with remedies that are tried in turn."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from math import hypot
from typing import TypeVar

from handwheel.check.replay import check_sheet
from handwheel.domain.errors import NoPlanError
from handwheel.domain.part import Aspect, Part, SizedFeature
from handwheel.domain.plan import Plan
from handwheel.domain.remedies import Remedy, with_remedy
from handwheel.domain.shop import Shop
from handwheel.planner.planner import make_plan
from tests.proof.cases import Case, Promise, case_of
from tests.replay.simple_replay import Ring, replay

Result = TypeVar("Result")
SIZE_MM = 1e-4
"""The check and the simple replay must find the same diameters and width to a tenth of a micrometre."""
SLOPE_MM = 2e-3
"""Edges, measured square to their slope: the check draws the round of a tip in chords up to a micrometre inside it,
once where it touches and once where it cuts."""
DEPTH_MM = 2e-2
"""Depths of shoulders: the simple replay reads one at four places, and a ridge of some hundredths may stand between."""


class Verdict(Enum):
    """What became of a case."""

    PLANNED = "planned"
    REMEDIED = "refused, and the remedies named give a plan"
    REFUSED = "refused, no remedy found"
    FAILED = "FAILED"


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What became of a case, with what it took; times are of the processor. [s, ms]"""

    number: int
    promise: Promise
    verdict: Verdict
    why: str = ""
    codes: tuple[str, ...] = ()
    cost_ms: int = 0
    states: int = 0
    steps: int = 0
    acts: int = 0
    plan_s: float = 0.0
    check_s: float = 0.0
    replay_s: float = 0.0


def timed(work: Callable[[], Result]) -> tuple[Result, float]:
    """Result of a call, and the processor time it took. [s]"""
    start = time.process_time()
    result = work()
    return result, time.process_time() - start


@dataclass(frozen=True, kw_only=True)
class Looked:
    """What is wrong with a plan, and the times of check and replay. [s]"""

    faults: tuple[str, ...]
    check_s: float
    replay_s: float


def looked_at(plan: Plan, shop: Shop) -> Looked:
    """Check a plan, and replay it a second time."""
    found = [] if plan.proof.proven else [f"not proven: {plan.proof.words}"]
    report, check_s = timed(lambda: check_sheet(plan.sheet, shop))
    found += [f"check: {item.code.value} at {item.act}: {item.text}" for item in report.refusals]
    sizes = {size.feature: size.value_mm for size in report.sizes}
    apart, replay_s = timed(lambda: disagreements(plan, shop, sizes))
    return Looked(faults=(*found, *apart), check_s=check_s, replay_s=replay_s)


def disagreements(plan: Plan, shop: Shop, sizes: dict[str, float]) -> list[str]:
    """Sizes that the simple replay finds otherwise than the check."""
    return list(_differences(plan, replay(plan.sheet, shop).ring(), sizes))


def _differences(plan: Plan, ring: Ring, sizes: dict[str, float]) -> Iterator[str]:
    """Sizes that the ring of the simple replay has otherwise than the check found them."""
    for feature in plan.sheet.part.sizes:
        checked = sizes.get(feature.id)
        if checked is None:
            continue  # the check has refused the sheet and says so itself
        apart = min(abs(checked - value) for value in ring.values_mm(feature))
        if apart > _most_apart_mm(plan.sheet.part, feature, sizes):
            yield f"replays: {feature.id} differs by {1000 * apart:.2f} µm"


def _most_apart_mm(part: Part, feature: SizedFeature, sizes: dict[str, float]) -> float:
    """How far the two may differ in a size; the legs of an edge by what their slope makes of the way square to it."""
    if feature.aspect is Aspect.DEPTH:
        return DEPTH_MM
    if feature.aspect not in (Aspect.LEG_AXIAL, Aspect.LEG_RADIAL):
        return SIZE_MM
    other = Aspect.LEG_RADIAL if feature.aspect is Aspect.LEG_AXIAL else Aspect.LEG_AXIAL
    partner = part.feature(feature.surface, other)
    beside = 0.0 if partner is None else sizes.get(partner.id, 0.0)
    return SLOPE_MM * hypot(sizes[feature.id], beside) / beside if beside > 0 else SLOPE_MM


def tried(number: int) -> Outcome:
    """Try the case of a number; whatever is raised is a failure with its number."""
    case = case_of(number)
    try:
        return _tried(case)
    except Exception as error:  # noqa: BLE001  anything raised is what is looked for
        return _failed(case, f"raised {type(error).__name__}: {error}")


def _tried(case: Case) -> Outcome:
    start = time.process_time()
    try:
        plan = make_plan(case.part, case.shop)
    except NoPlanError as error:
        return _refused(case, error, time.process_time() - start)
    plan_s = time.process_time() - start
    looked = looked_at(plan, case.shop)
    return Outcome(
        number=case.number,
        promise=case.promise,
        verdict=Verdict.FAILED if looked.faults else Verdict.PLANNED,
        why="; ".join(looked.faults),
        cost_ms=plan.proof.cost_ms,
        states=plan.proof.states_visited,
        steps=len(plan.steps),
        acts=len(plan.sheet.acts),
        plan_s=plan_s,
        check_s=looked.check_s,
        replay_s=looked.replay_s,
    )


def _refused(case: Case, error: NoPlanError, plan_s: float) -> Outcome:
    if case.promise is Promise.FEASIBLE:
        return _failed(case, f"no plan: {error}", plan_s=plan_s)
    remedies = error.refusal.remedies
    if not str(error).strip():
        return _failed(case, "refused without a word", plan_s=plan_s)
    if not remedies:
        return Outcome(
            number=case.number,
            promise=case.promise,
            verdict=Verdict.REFUSED,
            why=str(error),
            codes=error.refusal.codes,
            plan_s=plan_s,
        )
    part, shop = remedied(case.part, case.shop, remedies)
    try:
        faults = looked_at(make_plan(part, shop), shop).faults
    except NoPlanError as again:
        faults = (f"with its remedies still no plan: {again}",)
    if faults:
        return _failed(case, f"{'; '.join(faults)} (refused first: {error})", plan_s=plan_s)
    return Outcome(number=case.number, promise=case.promise, verdict=Verdict.REMEDIED, why=str(error), plan_s=plan_s)


def remedied(part: Part, shop: Shop, remedies: Sequence[Remedy]) -> tuple[Part, Shop]:
    """Part and shop once all remedies have been taken."""
    for remedy in remedies:
        part, shop = with_remedy(part, shop, remedy)
    return part, shop


def _failed(case: Case, why: str, *, plan_s: float = 0.0) -> Outcome:
    return Outcome(number=case.number, promise=case.promise, verdict=Verdict.FAILED, why=why, plan_s=plan_s)
