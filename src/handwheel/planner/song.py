"""Blades that may sing: the shop has heard one, and this one is wider than the limit that follows."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from handwheel.data.chatter_factor import chatter_factor
from handwheel.domain.chatter import Learner, learner_of
from handwheel.domain.findings import Finding, Severity
from handwheel.domain.said import said
from handwheel.planner.job import Job
from handwheel.planner.way import Way

QUIETER = (
    "a narrower blade, or this one set out no further than it must; a third of the speed; feed on firmly, for less "
    "feed rubs; a cut that sings is stopped, not leaned on"
)
"""What helps (practice case PC-20 for the speed; the rest is common practice)."""


def song_findings(job: Job, ways: Sequence[Way]) -> Iterable[Finding]:
    """Findings for blades wider than the limit of chatter, where the shop has heard a blade and so knows its limit."""
    shop = job.shop
    if not shop.chatter:
        return
    from handwheel.data.heard import has_heard, reckoned_blade_mm  # noqa: PLC0415  relations that few shops need

    if not has_heard(shop, Learner.PARTING):
        return
    for way in ways:
        tool = way.as_set
        if way.schedule is None or tool is None or learner_of(tool) is not Learner.PARTING:
            continue
        width = tool.width_mm
        quiet = chatter_factor(shop, Learner.PARTING) * reckoned_blade_mm(
            job.material,
            width_mm=width,
            out_mm=tool.reach_mm,
            machine_n_um=shop.lathe.tool_stiffness_n_um,
            feed_mm_rev=way.schedule.feed.high_mm_rev,
        )
        if width > quiet:
            yield Finding(
                code="blade-may-sing",
                severity=Severity.NOTE,
                where=way.step.id,
                problem=f"the blade cuts {said(width, job.units)} wide; by reckoning, and what the shop has heard of "
                f"blades, it is surely quiet up to about {said(quiet, job.units)} in this metal",
                remedy=QUIETER,
                source_key="SHOP_FILE",
            )
