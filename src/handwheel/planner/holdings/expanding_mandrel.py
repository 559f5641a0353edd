"""An expanding mandrel: it swells in the bore; all of the outside is free, and the face beyond its nose."""

from __future__ import annotations

from handwheel.domain.acts import HandKind
from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.part import OUTSIDE
from handwheel.domain.said import said
from handwheel.physics.grip import SEGMENTS, mandrel_torque_nm
from handwheel.planner.holdings.around import lobes_trouble
from handwheel.planner.holdings.held import HeldSecond, cost_ms
from handwheel.planner.holdings.on_bore import on_bore, spigot_holding
from handwheel.planner.holdings.strength import (
    EVEN_WRAP_DEG,
    LOBE_SHARE,
    growth_dia_mm,
    pressed_lobes_mm,
    ring_section,
    segment_force_n,
)
from handwheel.planner.holdings.troubles import swells_too_much, undescribed
from handwheel.planner.job import Job
from handwheel.planner.way import NoWay


def expanding_mandrel(job: Job, means: HoldingMeans) -> HeldSecond | NoWay:
    """The shop's expanding mandrel in the bore, or why it cannot hold the ring."""
    if means.pressure_n_mm2 <= 0:
        return undescribed(means, what="its pressure on the bore", key="pressure_n_mm2")
    found = on_bore(job, means, most_mm=means.grip_mm)
    if isinstance(found, NoWay):
        return found
    growth, band = growth_dia_mm(job, means, found.grip), float(job.outside_size.band)
    if growth > LOBE_SHARE * band:
        return swells_too_much(job, means, growth_mm=growth, band_mm=band, allowed_mm=LOBE_SHARE * band)
    wrap = means.wrap_deg or EVEN_WRAP_DEG
    section = ring_section(job, found.grip.land, inner=True)
    lobes = pressed_lobes_mm(job, section, jaws=SEGMENTS, force_n=segment_force_n(means, found.grip), wrap_deg=wrap)
    who = f"{SEGMENTS} segments at {means.pressure_n_mm2:g} N/mm²"
    if (trouble := lobes_trouble(job, means, lobes, who=who)) is not None:
        return trouble
    holding = spigot_holding(
        job,
        means,
        found,
        lobes_mm=lobes,
        growth_dia_mm=growth,
        grip_torque_nm=mandrel_torque_nm(
            means.pressure_n_mm2, dia_mm=2.0 * found.grip.land.radius_mm, length_mm=found.grip.length_mm
        ),
    )
    units = job.units
    return HeldSecond(
        holding=holding,
        means=means,
        ready_kind=HandKind.FIT_MANDREL,
        ready_text=f"Fit the expanding mandrel and a collar behind the ring, Ø "
        f"{said(2 * found.shoulder_radius_mm, units, places=1)} or less, so that "
        f"{said(found.length_mm, units, places=1)} of the bore sits on it and its nose stays "
        f"{said(-found.nose_mm, units, places=1)} behind the finished face.",
        indicate_surface=OUTSIDE,
        indicate_note="turn the chuck by hand; indicate the ring, not the mandrel, and tap it until it runs true; at "
        f"{means.pressure_n_mm2:g} MPa the outside stands {said(growth, units, places=4)} larger than it will be",
        cost_ms=cost_ms(job, means, turned=True),
        after=(found.grip.land.surface,),
        cautions=("mandrel-draw",),
    )
