"""A collet of a set that fits the finished outside: it closes evenly, so that the ring hardly takes any lobes."""

from __future__ import annotations

from math import ceil

from handwheel.domain.acts import HandKind
from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.holding import Holding, Side
from handwheel.domain.part import BORE, Units
from handwheel.domain.remedies import AddToShop
from handwheel.domain.said import said, said_short
from handwheel.geometry.bodies import collet_bodies
from handwheel.physics.grip import SEGMENTS, jaws_torque_nm
from handwheel.planner.holdings.around import around, lobes_trouble
from handwheel.planner.holdings.held import HeldSecond, cost_ms
from handwheel.planner.holdings.strength import EVEN_WRAP_DEG, pressed_lobes_mm, ring_section
from handwheel.planner.holdings.troubles import other_means
from handwheel.planner.job import Job
from handwheel.planner.way import NoWay

COLLET_OPENS_MM = 0.02
"""How far above its own size a collet still takes a ring: it springs open a little; common practice, no source."""


def collet_for_mm(means: HoldingMeans, dia_mm: float) -> float | None:
    """Size of the collet that takes a diameter and has to close least, or ``None``. [mm]"""
    fit = [size for size in means.sizes_mm if size - means.closes_mm <= dia_mm <= size + COLLET_OPENS_MM]
    return min(fit, key=lambda size: (abs(size - dia_mm), size), default=None)


def usual_collet_mm(dia_mm: float, *, units: Units) -> float:
    """Smallest usual collet that takes a diameter: halves of a millimetre, or thirty-seconds of an inch. [mm]"""
    step_mm = 25.4 / 32.0 if units is Units.INCH else 0.5
    return step_mm * ceil((dia_mm - COLLET_OPENS_MM) / step_mm)


def collet(job: Job, means: HoldingMeans) -> HeldSecond | NoWay:
    """The collet of the set that fits the finished outside, or why none holds the ring.

    A collet bored to the ring presses over all its circle but the slits, and even pressure all round leaves a ring
    round (ring-clamping section 2); what lobes the slits leave is reckoned as three segments of 118 degrees.
    """
    found = around(job, means)
    if isinstance(found, NoWay):
        return found
    dia = found.dia_mm
    size = collet_for_mm(means, dia)
    if size is None:
        return _no_collet(job, means, dia)
    chuck = job.shop.lathe.chuck
    lobes = pressed_lobes_mm(
        job,
        ring_section(job, found.grip.land),
        jaws=SEGMENTS,
        force_n=means.force_n,
        wrap_deg=means.wrap_deg or EVEN_WRAP_DEG,
    )
    if (trouble := lobes_trouble(job, means, lobes, who=f"{means.force_n:.0f} N a segment")) is not None:
        return trouble
    holding = Holding(
        id=means.id,
        kind=means.kind,
        side=Side.BACK,
        gripped_surface=found.grip.land.surface,
        grip_dia_mm=dia,
        jaw_face_mm=found.jaw_face_mm,
        grip_length_mm=found.depth_mm,
        blocked=collet_bodies(
            chuck,
            jaw_face_mm=found.jaw_face_mm,
            grip_radius_mm=dia / 2.0,
            grip_length_mm=found.depth_mm,
            seat_inner_radius_mm=found.seat_radius_mm,
            nose_radius_mm=max(means.body_dia_mm or chuck.body_dia_mm, dia) / 2.0,
        ),
        runout_mm=means.runout_mm,
        max_rpm=means.max_rpm,
        lobes_mm=lobes,
        seat_dia_mm=found.seat_dia_mm,
        grip_torque_nm=jaws_torque_nm(means.force_n, jaws=SEGMENTS, radius_mm=dia / 2.0),
    )
    units = job.units
    return HeldSecond(
        holding=holding,
        means=means,
        ready_kind=HandKind.FIT_COLLET,
        ready_text="Lay a board over the ways, take the chuck off and fit the "
        f"{said(size, units)} collet; wipe taper and bore clean. Set a stop inside it "
        f"{said(found.depth_mm, units, places=1)} behind its face, with a hole through it, for the ring to sit on.",
        indicate_surface=BORE,
        indicate_note="turn the spindle by hand; the bore must run true, a chip in the taper shows here",
        cost_ms=cost_ms(job, means, turned=True),
        after=(found.grip.land.surface,),
        cautions=("collet-on-nothing",),
    )


def _no_collet(job: Job, means: HoldingMeans, dia_mm: float) -> NoWay:
    nearest = min(means.sizes_mm, key=lambda size: (abs(size - dia_mm), size), default=None)
    hint = "" if nearest is None else f", or make the ring Ø {said(nearest, job.units)}: there is a collet"
    whole = usual_collet_mm(dia_mm, units=job.units)
    more = HoldingMeans(
        id=f"{means.id}-{whole:g}",
        kind=means.kind,
        name=f"collet of {whole:g} mm",
        low_dia_mm=dia_mm - COLLET_OPENS_MM,
        high_dia_mm=whole + COLLET_OPENS_MM,
        grip_mm=means.grip_mm,
        runout_mm=means.runout_mm,
        ready_s=means.ready_s,
        max_rpm=means.max_rpm,
        force_n=means.force_n,
        wrap_deg=means.wrap_deg,
        sizes_mm=(whole,),
        closes_mm=max(means.closes_mm, whole - dia_mm),
        body_dia_mm=means.body_dia_mm,
    )
    sizes = ", ".join(said_short(size, job.units) for size in sorted(means.sizes_mm)) or "none"
    return NoWay(
        step=means.id,
        code="no-collet-of-size",
        tried=means.name,
        why=f"no collet of the set closes on Ø {said(dia_mm, job.units)}: it has {sizes}, each closing "
        f"{said_short(means.closes_mm, job.units)}",
        remedy=f"a collet of Ø {said_short(whole, job.units)}{hint}",
        remedies=(AddToShop(thing=more), *other_means(job.part, but=means.kind)),
    )
