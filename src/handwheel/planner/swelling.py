"""Rings that stand larger while they are held than they will be: on an expanding mandrel."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from handwheel.domain.findings import Finding, Severity
from handwheel.domain.said import said
from handwheel.planner.job import Job
from handwheel.planner.way import Way

WORTH_A_WORD_MM = 0.001
"""Growth below this is not mentioned: no gauge of a small shop finds it. [mm]"""


def swelling_findings(job: Job, ways: Sequence[Way]) -> Iterable[Finding]:
    """Findings for holdings in which the outside stands larger than it will be."""
    for holding in {way.holding.id: way.holding for way in ways}.values():
        if holding.growth_dia_mm < WORTH_A_WORD_MM:
            continue
        yield Finding(
            code="ring-swells",
            severity=Severity.NOTE,
            where=holding.id,
            problem=f"drawn up on the mandrel the outside stands "
            f"{said(holding.growth_dia_mm, job.units, places=4)} larger than it will be "
            f"(tolerance {said(job.outside_size.band, job.units, places=3)})",
            remedy="draw it up no harder than the cuts need; measure the outside once the ring is off",
            source_key="UGURAL",
        )
