"""Soft jaws bored to the finished outside, with a seat; they leave lobes, which have a number."""

from __future__ import annotations

from handwheel.domain.acts import HandKind
from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.holding import Holding, Side
from handwheel.domain.part import BORE
from handwheel.domain.said import said, said_band, said_short_range
from handwheel.geometry.bodies import soft_jaw_bodies
from handwheel.physics.grip import jaws_torque_nm
from handwheel.planner.holdings.around import around, lobes_trouble
from handwheel.planner.holdings.held import HeldSecond, cost_ms, takes
from handwheel.planner.holdings.strength import lobes_mm
from handwheel.planner.holdings.troubles import needs_jaws, takes_not
from handwheel.planner.job import Job
from handwheel.planner.way import NoWay

JAWS_SMALLER_MM = 0.05
"""How much smaller than its ring jaws may be bored: larger ones grip on three lines; common practice, no source."""


def soft_jaws(job: Job, means: HoldingMeans) -> HeldSecond | NoWay:
    """Soft jaws bored to the finished outside, or why they cannot hold the ring."""
    chuck = job.shop.lathe.chuck
    if (trouble := needs_jaws(job, means)) is not None:
        return trouble
    found = around(job, means)
    if isinstance(found, NoWay):
        return found
    dia = found.dia_mm
    if not takes(means, dia):
        why = (
            f"they take Ø {said_short_range(means.low_dia_mm, means.high_dia_mm, job.units)} and the ring has "
            f"{said(dia, job.units)}"
        )
        return takes_not(job, means, dia, why=why)
    lobes = lobes_mm(job, means, found.grip.land)
    if (trouble := lobes_trouble(job, means, lobes, who=f"{means.force_n:.0f} N a jaw")) is not None:
        return trouble
    holding = Holding(
        id=means.id,
        kind=means.kind,
        side=Side.BACK,
        gripped_surface=found.grip.land.surface,
        grip_dia_mm=dia,
        jaw_face_mm=found.jaw_face_mm,
        grip_length_mm=found.depth_mm,
        blocked=soft_jaw_bodies(
            chuck,
            jaw_face_mm=found.jaw_face_mm,
            grip_radius_mm=dia / 2.0,
            grip_length_mm=found.depth_mm,
            seat_inner_radius_mm=found.seat_radius_mm,
        ),
        runout_mm=means.runout_mm,
        max_rpm=min(means.max_rpm, chuck.max_rpm),
        lobes_mm=lobes,
        seat_dia_mm=found.seat_dia_mm,
        grip_torque_nm=jaws_torque_nm(means.force_n, jaws=chuck.jaws, radius_mm=dia / 2.0),
    )
    units = job.units
    return HeldSecond(
        holding=holding,
        means=means,
        ready_kind=HandKind.BORE_JAWS,
        ready_text=f"Bore the soft jaws, clamped on a ring or plug, to Ø {said(dia, units)} "
        f"{said_band(0.0, JAWS_SMALLER_MM, units)} and {said(found.depth_mm, units, places=1)} deep, with a "
        "flat seat and a relieved corner: larger would grip on three lines only.",
        indicate_surface=BORE,
        indicate_note="turn the chuck by hand",
        cost_ms=cost_ms(job, means, turned=True),
        after=(found.grip.land.surface,),
        cautions=("jaws-light",),
    )
