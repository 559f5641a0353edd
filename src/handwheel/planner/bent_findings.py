"""Last cuts that bend more of a diameter than they had better: by how much, and what that asks of whoever cuts."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from handwheel.domain.findings import Finding, Severity
from handwheel.domain.said import said
from handwheel.domain.tools import ToolKind
from handwheel.physics.diameter_error import ERROR_SHARE
from handwheel.planner.cut_limits import bending_share
from handwheel.planner.job import Job
from handwheel.planner.way import Way

ALIKE = "make both alike: same edge, speed and feed, cold work, and the collar set by what the gauge said"
"""What the reading between two equal cuts rests on (common practice)."""
UNLIKE = 0.1
"""What is told as an example of a second cut that is unlike the first."""
COMES_OUT = {True: "small", False: "large"}
"""How a bore, or an outside, comes out."""
STIFFER = {True: "a stouter bar, set out less", False: "less of the work outside the jaws"}
"""What bends less: a bore, or an outside."""


def bent_findings(job: Job, ways: Sequence[Way]) -> Iterable[Finding]:
    """Findings for last cuts whose bending takes more than its share of the tolerance."""
    for way in ways:
        found = way.schedule
        if (
            way.tool is None
            or found is None
            or found.case is None
            or found.case.bending is None
            or bending_share(found) <= 1.0
        ):
            continue
        band, inside = found.case.bending.tolerance_mm, way.tool.kind is ToolKind.BORING
        quarter = ERROR_SHARE * band
        moved = bending_share(found) * quarter
        yield Finding(
            code="last-cuts-bend",
            severity=Severity.NOTE,
            where=way.step.id,
            problem=f"each of the two last cuts bends away, so that the diameter comes out {COMES_OUT[inside]} by up "
            f"to {said(moved, job.units, places=3)}; a quarter of the tolerance is "
            f"{said(quarter, job.units, places=4)}. The reading after the first takes that in; what is unlike in the "
            f"second it does not: a tenth more force moves the size by {said(UNLIKE * moved, job.units, places=4)}",
            remedy=f"{ALIKE}; {STIFFER[inside]}, a sharper edge or a smaller nose bends less",
            source_key="COMMON",
        )
