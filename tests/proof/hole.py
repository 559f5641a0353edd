"""Drills drawn for a hole: a centre drill, then a ladder, or in metals that grab one drill or dubbed ones."""

from __future__ import annotations

from fractions import Fraction
from random import Random

from handwheel.data.forces import force_models
from handwheel.data.materials import DrillPractice, Material
from handwheel.domain.hole_tools import Drill, DrillKind
from handwheel.physics.drilling import drill_torque_band_nm, shaw_oxford_thrust_n, shaw_oxford_torque_nm
from handwheel.physics.force import WEAR_FACTOR, Process

LEAST_FEEDS_MM_REV = ((3.0, 0.025), (6.0, 0.05), (13.0, 0.10), (25.0, 0.18))
"""Up to which diameter [mm], least feed [mm/rev] of an HSS drill; from memory of Machinery's Handbook."""

CENTRE_MM = 3.15
"""Tip of the centre drill; ISO 866 has it among its sizes (from memory of ISO 866)."""
CENTRE_FEEDS_MM_REV = (0.01 * CENTRE_MM, 0.02 * CENTRE_MM)
"""Least and greatest feed of a centre drill, one to two hundredths of its tip; common practice, no source."""


def ladder(chance: Random, last_mm: float, metal: Material, *, depth_mm: float) -> tuple[Drill, ...]:
    """Drills up to a last one, with flutes longer than the hole."""
    grabs = metal.drill_practice is DrillPractice.SINGLE_DUBBED
    dias = [last_mm]
    while dias[-1] > 7.0 and len(dias) < 4:
        dias.append(int(dias[-1] * chance.uniform(0.45, 0.75) * 2.0) / 2.0)
    dias = [dia for dia in dias if dia >= 3.5] or [last_mm]
    centre = Drill(
        id="drawn-centre", kind=DrillKind.CENTRE, dia_mm=Fraction(str(CENTRE_MM)), point_deg=120.0, flute_mm=7.0
    )
    twist = tuple(
        Drill(
            id=f"drawn-twist-{dia:g}",
            kind=DrillKind.TWIST,
            dia_mm=Fraction(dia).limit_denominator(10),
            flute_mm=round(depth_mm + chance.uniform(5.0, 60.0), 1),
            dubbed=grabs or chance.random() < 0.1,
        )
        for dia in reversed(dias)
    )
    return (centre, *twist)


def torque_nm(drill_mm: float, before_mm: float, metal: Material) -> float:
    """Torque of a drill at its least feed, upper end of the opinions, with normal wear. [N·m]"""
    kd = metal.find("kd_drilling")
    return drill_torque_band_nm(
        force_models(metal),
        drill_dia_mm=drill_mm,
        feed_mm_rev=least_feed(drill_mm, metal),
        hole_dia_mm=before_mm,
        work_constant=kd.most if kd else None,
        factor=Process.DRILLING.factor * WEAR_FACTOR,
    )[1]


def thrust_n(drill_mm: float, before_mm: float, metal: Material) -> float:
    """Thrust of a drill at its least feed; the constant of the metal from its torque in the solid. [N]"""
    feed = least_feed(drill_mm, metal)
    constant = torque_nm(drill_mm, 0.0, metal) / shaw_oxford_torque_nm(drill_mm, feed_mm_rev=feed, work_constant=1.0)
    return shaw_oxford_thrust_n(drill_mm, feed_mm_rev=feed, work_constant=constant, hole_dia_mm=before_mm)


def least_feed(drill_mm: float, metal: Material) -> float:
    """Least feed of a drill. [mm/rev]"""
    listed = next(feed for most_mm, feed in LEAST_FEEDS_MM_REV if drill_mm <= most_mm)
    return max(listed, metal.range("min_feed").most)
