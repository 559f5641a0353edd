"""Reasons for the numbers of a plan, and findings about it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from handwheel.data.forces import force_models
from handwheel.data.speeds import CutKind, EdgeMaterial, cutting_speed
from handwheel.domain.findings import Finding, Reason
from handwheel.planner.job import Job
from handwheel.planner.way import Way


def reasons_for(job: Job, ways: Sequence[Way]) -> tuple[Reason, ...]:
    """Why speed, feed, depth and allowances are what they are."""
    return tuple(reason for way in ways for reason in _of_way(job, way))


def _of_way(job: Job, way: Way) -> Iterable[Reason]:
    return ()


def findings_for(job: Job, ways: Sequence[Way]) -> tuple[Finding, ...]:
    """What the user should know about this job in this shop."""
    return ()


__all__ = ["CutKind", "EdgeMaterial", "cutting_speed", "findings_for", "force_models", "reasons_for"]
