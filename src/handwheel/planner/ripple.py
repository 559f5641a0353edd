"""Edges that may come out rippled: the whole side of an edge tool cuts at once, wider than is surely quiet."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import hypot

from handwheel.data.forces import force_models
from handwheel.domain.findings import Finding, Severity
from handwheel.domain.said import said
from handwheel.domain.tools import FORM_TOOLS, ToolKind
from handwheel.physics.force import force_band
from handwheel.physics.quiet_cut import TOOL_DAMPING, quiet_depth_mm
from handwheel.planner.cut_case import Schedule
from handwheel.planner.forms import chip_width_mm
from handwheel.planner.job import Job
from handwheel.planner.kinds.common import work_stiffness_n_um
from handwheel.planner.kinds.legs import far_legs_mm, legs_mm
from handwheel.planner.way import Way

EDGE_TOOLS = (ToolKind.EDGE_OUTSIDE, ToolKind.EDGE_INSIDE, *FORM_TOOLS)
QUIETER = (
    "if it ripples: a third of the speed; the point of a tool swept by the top slide in place of a whole side; "
    "shorten what stands out; feed firmly"
)
"""What helps against chatter on an edge (practice case PC-20; common practice)."""


def ripple_findings(job: Job, ways: Sequence[Way]) -> Iterable[Finding]:
    """Findings for edges whose chip is wider than the limit of regenerative chatter."""
    for way in ways:
        if way.schedule is None or way.tool is None or way.tool.kind not in EDGE_TOOLS:
            continue
        width, quiet = _width_mm(job, way), quiet_width_mm(job, way, way.schedule)
        if width <= quiet:
            continue
        yield Finding(
            code="edge-may-ripple",
            severity=Severity.NOTE,
            where=way.step.id,
            problem=f"the side of the tool cuts {said(width, job.units)} at once; up to about "
            f"{said(quiet, job.units)} is surely quiet",
            remedy=QUIETER,
            source_key="COMMON",
        )


def quiet_width_mm(job: Job, way: Way, found: Schedule) -> float:
    """Widest chip that cannot chatter at any speed, in the middle of the schedule's feed. [mm]"""
    feed = found.feed.mean_mm_rev
    sharp = force_band(force_models(job.material), depth_mm=1.0, feed_mm_rev=feed)
    stiffness = work_stiffness_n_um(job, way.holding, at_mm=0.0)
    return quiet_depth_mm(stiffness, damping_ratio=TOOL_DAMPING, kc_n_mm2=sharp.ruling_n / feed)


def _width_mm(job: Job, way: Way) -> float:
    far = way.step.surface.startswith("back-") and way.holding.id == "bar"
    legs = far_legs_mm(job, way.step.surface) if far else legs_mm(job, way.step.surface)
    if way.tool is not None and way.tool.kind in FORM_TOOLS:
        return chip_width_mm(*legs)
    return hypot(*legs)
