"""A spigot in the bore, a shoulder behind, washer and nut in front: the ring is clamped endwise, never squeezed."""

from __future__ import annotations

from handwheel.domain.acts import HandKind
from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.holding import Holding, Side
from handwheel.domain.part import BACK_FACE, OUTSIDE
from handwheel.domain.said import said, said_band
from handwheel.geometry.bodies import step_spigot_bodies
from handwheel.physics.grip import SPIGOT_FACES, faces_torque_nm
from handwheel.planner.holdings.cover import cover_on_face
from handwheel.planner.holdings.held import HeldSecond, cost_ms
from handwheel.planner.holdings.on_bore import on_bore
from handwheel.planner.holdings.troubles import undescribed
from handwheel.planner.job import Job
from handwheel.planner.way import NoWay

SPIGOT_SMALLER_MM = 0.01
"""How much smaller than its bore a spigot may be turned: the rest is runout; common practice, no source."""


def step_spigot(job: Job, means: HoldingMeans) -> HeldSecond | NoWay:
    """A step spigot with washer and nut, or why it cannot hold the ring. The middle of the face is then covered."""
    if means.force_n <= 0:
        return undescribed(means, what="the pull of its nut", key="force_n")
    found = on_bore(job, means)
    if isinstance(found, NoWay):
        return found
    dia = found.dia_mm
    cover = cover_on_face(job, means, what="the washer")
    if isinstance(cover, NoWay):
        return cover
    chuck = job.shop.lathe.chuck
    holding = Holding(
        id=means.id,
        kind=means.kind,
        side=Side.BACK,
        gripped_surface=found.grip.land.surface,
        grip_dia_mm=dia,
        jaw_face_mm=-job.width_mm,
        grip_length_mm=found.length_mm,
        blocked=step_spigot_bodies(
            chuck,
            nose_mm=found.nose_mm,
            front_mm=0.0,
            shoulder_mm=-job.width_mm,
            spigot_radius_mm=dia / 2.0,
            shoulder_radius_mm=found.shoulder_radius_mm,
            washer_radius_mm=cover.radius_mm,
        ),
        runout_mm=means.runout_mm,
        max_rpm=min(means.max_rpm, chuck.max_rpm),
        seat_dia_mm=2.0 * found.shoulder_radius_mm,
        cover_dia_mm=2.0 * cover.radius_mm,
        grip_torque_nm=faces_torque_nm(
            means.force_n, faces=SPIGOT_FACES, inner_mm=cover.inner_mm, outer_mm=cover.radius_mm
        ),
    )
    units = job.units
    return HeldSecond(
        holding=holding,
        means=means,
        ready_kind=HandKind.TURN_SPIGOT,
        ready_text=f"Turn a spigot in place to slide into the measured bore, Ø {said(dia, units, places=3)} "
        f"{said_band(0.0, SPIGOT_SMALLER_MM, units)}, {said(found.length_mm, units, places=1)} long, tapped for "
        f"its screw; face the shoulder, Ø {said(2 * found.shoulder_radius_mm, units, places=1)}, in the same setting, "
        f"its corner relieved. Make the washer Ø {said(2 * cover.radius_mm, units, places=1)}, its faces parallel.",
        indicate_surface=OUTSIDE,
        indicate_note="turn the chuck by hand",
        cost_ms=cost_ms(job, means, turned=True),
        after=(found.grip.land.surface, BACK_FACE),
        cautions=("spigot-creep",),
    )
