"""Pot chuck: a split bush bored to the ring and closed by the chuck's jaws, which grips nearly all round."""

from __future__ import annotations

from handwheel.domain.acts import HandKind
from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.holding import Holding, Side
from handwheel.domain.part import BORE
from handwheel.domain.said import said, said_band, said_short_range
from handwheel.geometry.bodies import pot_bodies
from handwheel.physics.grip import SEGMENTS, jaws_torque_nm
from handwheel.planner.holdings.around import around, lobes_trouble
from handwheel.planner.holdings.held import HeldSecond, cost_ms, takes
from handwheel.planner.holdings.strength import EVEN_WRAP_DEG, pressed_lobes_mm, ring_section
from handwheel.planner.holdings.troubles import needs_jaws, takes_not
from handwheel.planner.job import Job
from handwheel.planner.way import NoWay

POT_LARGER_MM = 0.02
"""How much larger than its ring a pot may be bored: the slit closes it; common practice, no source."""
POT_WALL_MM = 8.0
"""Wall of a pot whose outside diameter nobody has stated; common practice, no source."""


def pot(job: Job, means: HoldingMeans) -> HeldSecond | NoWay:
    """A pot bored to the finished outside, or why it cannot hold the ring."""
    chuck = job.shop.lathe.chuck
    if (trouble := needs_jaws(job, means)) is not None:
        return trouble
    found = around(job, means)
    if isinstance(found, NoWay):
        return found
    dia = found.dia_mm
    outer = means.body_dia_mm or dia + 2.0 * POT_WALL_MM
    if not takes(means, dia) or outer <= dia:
        why = (
            f"it is bored to Ø {said_short_range(means.low_dia_mm, means.high_dia_mm, job.units)} and the ring "
            f"has {said(dia, job.units)}"
        )
        return takes_not(job, means, dia, why=why)
    wrap = means.wrap_deg or EVEN_WRAP_DEG
    section = ring_section(job, found.grip.land)
    lobes = pressed_lobes_mm(job, section, jaws=SEGMENTS, force_n=means.force_n, wrap_deg=wrap)
    who = f"{means.force_n:.0f} N a jaw on a pot that wraps {wrap:g}° for each"
    if (trouble := lobes_trouble(job, means, lobes, who=who)) is not None:
        return trouble
    holding = Holding(
        id=means.id,
        kind=means.kind,
        side=Side.BACK,
        gripped_surface=found.grip.land.surface,
        grip_dia_mm=dia,
        jaw_face_mm=found.jaw_face_mm,
        grip_length_mm=found.depth_mm,
        blocked=pot_bodies(
            chuck,
            jaw_face_mm=found.jaw_face_mm,
            grip_radius_mm=dia / 2.0,
            grip_length_mm=found.depth_mm,
            seat_inner_radius_mm=found.seat_radius_mm,
            pot_radius_mm=outer / 2.0,
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
        ready_kind=HandKind.BORE_POT,
        ready_text=f"Bore the pot in place, Ø {said(outer, units, places=0)} outside, to Ø "
        f"{said(dia, units)} {said_band(POT_LARGER_MM, 0.0, units)} and "
        f"{said(found.depth_mm, units, places=1)} deep, with a flat seat and a relieved corner; then saw one slit "
        "through its wall and mark jaw 1, so that it always goes back the same way round.",
        indicate_surface=BORE,
        indicate_note="turn the chuck by hand",
        cost_ms=cost_ms(job, means, turned=True),
        after=(found.grip.land.surface,),
        cautions=("pot-close",),
    )
