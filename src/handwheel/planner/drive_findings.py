"""Drives without steps of which nobody has said from which speed on they have their full power."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from handwheel.domain.findings import Finding, Severity
from handwheel.domain.lathe import Lathe
from handwheel.physics.drive import listed_power_w
from handwheel.planner.way import Way


def drive_findings(lathe: Lathe, ways: Sequence[Way]) -> Iterable[Finding]:
    """Say of speeds below the assumed one how much power is planned on, for the slowest of each range."""
    taken = {way.schedule.speed for way in ways if way.schedule is not None}
    assumed = sorted((s for s in taken if s.full_power_assumed and s.rpm < s.full_power_rpm), key=lambda s: s.rpm)
    slowest = {speed.position: speed for speed in reversed(assumed)}
    if not slowest:
        return
    full_w = lathe.motor_power_w * lathe.drive_efficiency
    yield Finding(
        code="full-power-assumed",
        severity=Severity.NOTE,
        where="spindle speed",
        problem="nobody has said from which speed on the motor gives its full power; the fastest of the range is "
        "taken, and below it the same torque and no more: "
        + "; ".join(
            f"{speed.position}: from {speed.full_power_rpm:g} rev/min on {full_w:.0f} W at the spindle, at "
            f"{speed.rpm:g} rev/min {listed_power_w(lathe, speed):.0f} W"
            for speed in sorted(slowest.values(), key=lambda speed: speed.rpm)
        ),
        remedy="enter full_power_from in the shop file, as the papers of motor or drive say it; the plan may then be "
        "quicker",
        source_key="TEXTBOOKS",
    )
