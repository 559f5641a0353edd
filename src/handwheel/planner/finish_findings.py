"""What roughness the plan's feed and nose leave at best, against what the drawing asks for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from handwheel.data.roughness import ra_words
from handwheel.domain.errors import OutOfRangeError
from handwheel.domain.findings import Finding, Reason, Severity
from handwheel.domain.part import BACK_FACE, FRONT_FACE
from handwheel.domain.plan import Stage
from handwheel.domain.said import said_feed, said_short
from handwheel.physics.roughness import mean_roughness_um
from handwheel.planner.job import Job
from handwheel.planner.reaming import REAMED_RA_UM
from handwheel.planner.way import Way

FINEST_TURNED_UM = 0.4
"""Finest mean roughness that turning and boring usually leave (from memory of the ASME B46.1 chart). [µm]"""
SAME = 1.0 + 1e-6
"""Roughness from rounded feeds agrees with what was asked within this share."""


def finish_reasons(job: Job, ways: Sequence[Way]) -> Iterable[Reason]:
    """What feed and nose leave on each surface whose roughness is asked for."""
    for way, asked, ideal in _asked(job, ways):
        if way.tool is None or way.schedule is None or ideal is None:
            continue
        yield Reason(
            where=way.step.id,
            quantity="ideal roughness",
            value=f"Ra {ideal:.2f} µm; asked: {ra_words(asked)}",
            relation="feed and nose alone, without built-up edge, chatter or wear, which all make it rougher",
            inputs=(
                f"feed {said_feed(way.schedule.feed.high_mm_rev, way.schedule.feed.high_mm_rev)} at most",
                f"nose radius {said_short(way.tool.nose_radius_mm, job.units)}",
            ),
            source_key="GROOVER",
            standing="computed",
        )


def finish_findings(job: Job, ways: Sequence[Way]) -> Iterable[Finding]:
    """Findings for surfaces whose roughness the plan does not reach, or that turning seldom reaches."""
    for way, asked, ideal in _asked(job, ways):
        if way.schedule is None and way.reamer is None:
            if way.step.surface == BACK_FACE:
                yield Finding(
                    code="finish-by-rubbing",
                    severity=Severity.NOTE,
                    where=way.step.surface,
                    problem=f"asked for {ra_words(asked)}; the back face is rubbed on a plate, and its grit decides",
                    remedy="go on with finer paper until it is as smooth as is asked; measure the width again",
                    source_key="COMMON",
                )
            continue
        if ideal is not None and ideal > asked * SAME:
            yield Finding(
                code="finish-not-met",
                severity=Severity.WARNING,
                where=way.step.surface,
                problem=f"asked for {ra_words(asked)}; feed and nose alone leave Ra {ideal:.2f} µm at best",
                remedy="a tool with a larger nose radius, if the work stays quiet; or say how it is finished "
                "afterwards (finish, with its loss)",
                source_key="GROOVER",
            )
        elif asked < FINEST_TURNED_UM:
            yield Finding(
                code="finish-finer-than-turned",
                severity=Severity.WARNING,
                where=way.step.surface,
                problem=f"asked for {ra_words(asked)}; turning and boring seldom leave less than Ra "
                f"{FINEST_TURNED_UM:g} µm, whatever feed and nose say",
                remedy="say how it is finished afterwards (finish, with its loss), or try on a piece of the same bar",
                source_key="COMMON",
            )


def _asked(job: Job, ways: Sequence[Way]) -> Iterator[tuple[Way, float, float | None]]:
    """Finishing steps of surfaces with a roughness of their own: what is asked, what is left at best. [µm]"""
    for way in ways:
        asked = _asked_um(job, way.step.surface)
        if asked is not None and way.step.stage is not Stage.ROUGH:
            yield way, asked, _ideal_um(way)


def _asked_um(job: Job, surface: str) -> float | None:
    if surface in (FRONT_FACE, BACK_FACE):
        return job.part.face_ra_um
    segment = job.part.surface(surface)
    return None if segment is None else segment.finish_ra_um


def _ideal_um(way: Way) -> float | None:
    if way.reamer is not None:
        return REAMED_RA_UM
    if way.schedule is None or way.tool is None or way.tool.nose_radius_mm <= 0:
        return None
    try:
        return mean_roughness_um(way.schedule.feed.high_mm_rev, nose_radius_mm=way.tool.nose_radius_mm)
    except OutOfRangeError:  # a feed beyond the nose radius has no such surface
        return None
