"""A ring pressed by the tailstock's centre between two plates: friction alone drives it, for light cuts outside."""

from __future__ import annotations

from handwheel.domain.acts import HandKind
from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.holding import FACES, Holding, Side
from handwheel.domain.part import BACK_FACE, BORE, OUTSIDE
from handwheel.domain.said import said, said_short_range
from handwheel.geometry.bodies import plate_and_tailstock_bodies
from handwheel.physics.grip import PLATE_FACES, faces_torque_nm
from handwheel.planner.holdings.cover import cover_on_face
from handwheel.planner.holdings.held import HeldSecond, cost_ms, takes
from handwheel.planner.holdings.lands import front_radii_mm, shoulder_radius_mm
from handwheel.planner.holdings.troubles import takes_not, undescribed
from handwheel.planner.job import Job
from handwheel.planner.way import NoWay

CENTRE_DIA_MM = 30.0
"""Diameter of a running centre's body that nobody has measured; common practice, no source."""


def plate_and_tailstock(job: Job, means: HoldingMeans) -> HeldSecond | NoWay:
    """The ring between a faced plate and one that the centre presses on, or why that cannot hold it."""
    if means.force_n <= 0:
        return undescribed(means, what="the thrust of its tailstock", key="force_n")
    dia = 2.0 * job.outside_radius_mm
    if not takes(means, dia):
        why = (
            f"it takes rings of Ø {said_short_range(means.low_dia_mm, means.high_dia_mm, job.units)} and this "
            f"one has {said(dia, job.units)}"
        )
        return takes_not(job, means, dia, why=why)
    cover = cover_on_face(job, means, what="the loose plate")
    if isinstance(cover, NoWay):
        return cover
    chuck = job.shop.lathe.chuck
    plate = shoulder_radius_mm(job)
    holding = Holding(
        id=means.id,
        kind=means.kind,
        side=Side.BACK,
        gripped_surface=FACES,
        grip_dia_mm=2.0 * cover.radius_mm,
        jaw_face_mm=-job.width_mm,
        grip_length_mm=job.width_mm,
        blocked=plate_and_tailstock_bodies(
            chuck,
            front_mm=0.0,
            plate_mm=-job.width_mm,
            plate_radius_mm=plate,
            disc_radius_mm=cover.radius_mm,
            centre_radius_mm=(means.body_dia_mm or CENTRE_DIA_MM) / 2.0,
        ),
        runout_mm=means.runout_mm,
        max_rpm=min(means.max_rpm, chuck.max_rpm),
        seat_dia_mm=2.0 * plate,
        cover_dia_mm=2.0 * cover.radius_mm,
        grip_torque_nm=faces_torque_nm(
            means.force_n, faces=PLATE_FACES, inner_mm=front_radii_mm(job)[0], outer_mm=plate
        ),
    )
    units = job.units
    return HeldSecond(
        holding=holding,
        means=means,
        ready_kind=HandKind.FACE_PLATE,
        ready_text=f"Chuck a plug, face it in place and turn it to Ø {said(2 * plate, units, places=1)}: "
        f"the ring sits flat on it. Make the loose plate Ø {said(2 * cover.radius_mm, units, places=1)}, its "
        "faces parallel, centre-drilled; oil the centre.",
        indicate_surface=OUTSIDE,
        indicate_note="turn the chuck by hand; tap the ring until it runs true, then put the full thrust on",
        cost_ms=cost_ms(job, means, turned=True),
        after=(BORE, BACK_FACE),
        cautions=("friction-drive", "quill-centre"),
        open_text="Hold the ring, draw the tailstock back and take the ring off.",
        by_tailstock=True,
    )
