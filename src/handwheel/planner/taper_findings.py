"""Drills that may turn the taper in the tailstock: their push seats it, and their torque turns it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from handwheel.domain.findings import Finding, Severity
from handwheel.domain.hole_tools import Drill, DrillKind
from handwheel.domain.said import said_short
from handwheel.physics.drilling import push_n
from handwheel.physics.taper_drive import is_self_holding
from handwheel.physics.taper_slip import (
    DRY_FRICTION,
    MORSE_HALF_ANGLE_DEG,
    OILY_FRICTION,
    slip_share,
    taper_torque_nm,
)
from handwheel.planner.job import Job
from handwheel.planner.kinds.drill import hole_before, torque_band_nm
from handwheel.planner.way import Way

SEAT_STAYS = is_self_holding(MORSE_HALF_ANGLE_DEG, friction=OILY_FRICTION)
"""Whether a taper stays seated when nothing pushes any more, even oily."""


def taper_findings(job: Job, ways: Sequence[Way]) -> Iterable[Finding]:
    """A finding for each drill that asks more of the taper than pushes so far make it hold, oily or even dry."""
    if job.shop.lathe.tailstock.taper_dia_mm <= 0:
        return
    seated = 0.0
    for way in ways:
        if way.drill is None or way.schedule is None or way.drill.kind is not DrillKind.TWIST:
            continue
        asked, push = _torque_and_push(job, way.drill, way.schedule.feed.high_mm_rev)
        # a Morse taper holds itself: what pushed hardest so far has seated it
        seated = max(seated, push) if SEAT_STAYS else push
        oily, dry = (_holds_nm(job, seated, friction) for friction in (OILY_FRICTION, DRY_FRICTION))
        if slip_share(asked, holding_torque_nm=oily) <= 1.0:
            continue
        yield Finding(
            code="taper-may-slip",
            severity=Severity.WARNING if slip_share(asked, holding_torque_nm=dry) > 1.0 else Severity.NOTE,
            where=way.step.id,
            problem=f"the drill of Ø {said_short(way.drill.dia_mm, job.units)} asks up to {asked:.1f} N·m; the push of "
            f"the drills so far makes the taper in the quill hold {oily:.1f} N·m if it is oily, {dry:.1f} N·m dry",
            remedy="wipe both tapers clean and dry and seat them with a blow, which holds more; if it turns stop the "
            "spindle, and never hold the chuck by hand; a drill in between asks less",
            source_key="JINDAL",
        )


def _torque_and_push(job: Job, drill: Drill, feed_mm_rev: float) -> tuple[float, float]:
    """The most that a drill asks about its axis, and the least that it pushes with, over the sources. [N m, N]"""
    hole = hole_before(job, job.drills.index(drill))
    asked = torque_band_nm(drill, feed_mm_rev, hole_dia_mm=hole, material=job.material)[1]
    solid = torque_band_nm(drill, feed_mm_rev, hole_dia_mm=0.0, material=job.material)[0]
    push = push_n(float(drill.dia_mm), hole_dia_mm=hole, feed_mm_rev=feed_mm_rev, solid_torque_nm=solid)
    return asked, push


def _holds_nm(job: Job, push: float, friction: float) -> float:
    return taper_torque_nm(
        push,
        mean_dia_mm=job.shop.lathe.tailstock.taper_dia_mm,
        half_angle_deg=MORSE_HALF_ANGLE_DEG,
        friction=friction,
    )
