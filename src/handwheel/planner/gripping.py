"""Whether what the lathe has in its nose grips the bar: jaws between two diameters, a collet by its own size."""

from __future__ import annotations

from msgspec.structs import replace

from handwheel.domain.bars import Bar
from handwheel.domain.chucks import Chuck, Collet
from handwheel.domain.exact import Fraction
from handwheel.domain.remedies import FitChuck
from handwheel.domain.said import said_short, said_short_range
from handwheel.planner.job import Job
from handwheel.planner.way import NoWay

USUAL_CLOSING_MM = Fraction(1, 2)
"""How far a collet that is offered closes; common practice, no source."""


def grip_trouble(job: Job) -> NoWay | None:
    """Why the chuck does not grip the bar, or ``None``."""
    chuck, bar = job.shop.lathe.chuck, job.bar
    low, high = float(bar.dia_lower_mm), float(bar.dia_upper_mm)
    if chuck.takes(low, high):
        return None
    size = f"Ø {said_short(low, job.units)}" if low == high else f"Ø {said_short_range(low, high, job.units)}"
    words = f"a collet for Ø {said_short(high, job.units)}" if chuck.collets else "a chuck, or other jaws, of that size"
    return NoWay(
        step="bar",
        code="bar-not-gripped",
        tried=f"bar {bar.id} in the {chuck.name}",
        why=f"the bar has {size} and the {chuck.name} grips {chuck.grips_words(job.units)}",
        remedy=f"{words}, or a bar that fits",
        remedies=(FitChuck(chuck=fitting_chuck(chuck, bar)),),
    )


def collet_for(chuck: Chuck, bar: Bar) -> Collet | None:
    """Smallest collet that takes a bar over its whole tolerance; ``None`` in a chuck with jaws, or if none does."""
    low, high = bar.dia_lower_mm, bar.dia_upper_mm
    fit = [c for c in chuck.collets if c.dia_mm - c.closes_mm <= low and high <= c.dia_mm]
    return min(fit, key=lambda collet: (collet.dia_mm, collet.closes_mm), default=None)


def fitting_chuck(chuck: Chuck, bar: Bar) -> Chuck:
    """The chuck with a collet for the bar, or with jaws that reach it."""
    low, high = float(bar.dia_lower_mm), float(bar.dia_upper_mm)
    if not chuck.collets:
        return replace(
            chuck, grip_low_dia_mm=min(chuck.grip_low_dia_mm, low), grip_high_dia_mm=max(chuck.grip_high_dia_mm, high)
        )
    closes = max(USUAL_CLOSING_MM, bar.dia_upper_mm - bar.dia_lower_mm)
    return replace(
        chuck,
        collets=(*chuck.collets, Collet(dia_mm=bar.dia_upper_mm, closes_mm=closes)),
        grip_low_dia_mm=min(chuck.grip_low_dia_mm, low),
        grip_high_dia_mm=max(chuck.grip_high_dia_mm, high),
    )
