"""What the holdings that sit in the bore share: the land, the spigot's nose, the shoulder behind the ring."""

from __future__ import annotations

from msgspec import Struct

from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.holding import Holding, Side
from handwheel.domain.said import said, said_short_range
from handwheel.geometry.bodies import mandrel_bodies
from handwheel.planner.holdings.held import takes
from handwheel.planner.holdings.lands import LEAST_BEARING_MM, Grip, front_flat_mm, longest_grip, shoulder_radius_mm
from handwheel.planner.holdings.troubles import LEAST_GRIP_MM, grips_too_little, takes_not, wall_too_narrow
from handwheel.planner.job import Job
from handwheel.planner.way import NoWay


class OnBore(Struct, frozen=True, kw_only=True):
    """A spigot in the bore: the land, where its nose ends, how long it is in the ring, the shoulder's radius. [mm]"""

    grip: Grip
    nose_mm: float
    length_mm: float
    shoulder_radius_mm: float

    @property
    def dia_mm(self) -> float:
        """Diameter of the spigot. [mm]"""
        return 2.0 * self.grip.land.radius_mm


def on_bore(job: Job, means: HoldingMeans, *, most_mm: float | None = None) -> OnBore | NoWay:
    """The longest spigot that stays behind the face and whatever is still to be cut, or why none holds the ring."""
    grip = longest_grip(job, inner=True, most_mm=job.width_mm if most_mm is None else most_mm)
    length = 0.0 if grip is None else grip.length_mm
    if grip is None or length < LEAST_GRIP_MM:
        return grips_too_little(
            job,
            means,
            why=f"only {said(length, job.units, places=1)} of bore would sit on it",
            remedy="use soft jaws, or rub the face",
        )
    inner, outer = front_flat_mm(job)
    if min(shoulder_radius_mm(job), outer) - inner < LEAST_BEARING_MM:
        return wall_too_narrow(
            job,
            means,
            why=f"a shoulder would bear on only {said(max(0.0, outer - inner), job.units)} of the front face",
        )
    found = OnBore(
        grip=grip,
        nose_mm=grip.end_mm,
        length_mm=grip.end_mm + job.width_mm,
        shoulder_radius_mm=shoulder_radius_mm(job),
    )
    if not takes(means, found.dia_mm):
        why = (
            f"it takes bores of {said_short_range(means.low_dia_mm, means.high_dia_mm, job.units)} and the ring "
            f"has {said(found.dia_mm, job.units)}"
        )
        return takes_not(job, means, found.dia_mm, why=why)
    return found


def spigot_holding(
    job: Job,
    means: HoldingMeans,
    found: OnBore,
    *,
    grip_torque_nm: float = 0.0,
    lobes_mm: float = 0.0,
    growth_dia_mm: float = 0.0,
) -> Holding:
    """The ring on a spigot in its bore, against a shoulder behind it; the face and all of the outside are free.

    ``grip_torque_nm`` is what it carries [N·m], 0 if no figure is known; ``lobes_mm`` and ``growth_dia_mm`` what an
    expanding one does to the outside. [mm]
    """
    chuck = job.shop.lathe.chuck
    return Holding(
        id=means.id,
        kind=means.kind,
        side=Side.BACK,
        gripped_surface=found.grip.land.surface,
        grip_dia_mm=found.dia_mm,
        jaw_face_mm=-job.width_mm,
        grip_length_mm=found.length_mm,
        blocked=mandrel_bodies(
            chuck,
            nose_mm=found.nose_mm,
            shoulder_mm=-job.width_mm,
            spigot_radius_mm=found.dia_mm / 2.0,
            shoulder_radius_mm=found.shoulder_radius_mm,
        ),
        runout_mm=means.runout_mm,
        max_rpm=min(means.max_rpm, chuck.max_rpm),
        lobes_mm=lobes_mm,
        seat_dia_mm=2.0 * found.shoulder_radius_mm,
        growth_dia_mm=growth_dia_mm,
        grip_torque_nm=grip_torque_nm,
    )
