"""What the holdings that sit in the bore share: the land, the spigot's nose, the shoulder behind the ring."""

from __future__ import annotations

from dataclasses import dataclass

from handwheel.domain.shop import HoldingMeans
from handwheel.planner.holdings.lands import LEAST_BEARING_MM, Grip, front_flat_mm, longest_grip, shoulder_radius_mm
from handwheel.planner.holdings.troubles import LEAST_GRIP_MM, grips_too_little, wall_too_narrow
from handwheel.planner.job import Job
from handwheel.planner.way import NoWay


@dataclass(frozen=True, slots=True, kw_only=True)
class OnBore:
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
    """The longest spigot that stays behind the face and whatever is still to be cut, or why it is too short."""
    grip = longest_grip(job, inner=True, most_mm=job.width_mm if most_mm is None else most_mm)
    length = 0.0 if grip is None else grip.length_mm
    if grip is None or length < LEAST_GRIP_MM:
        return grips_too_little(
            job, means, why=f"only {length:.1f} mm of bore would sit on it", remedy="use soft jaws, or rub the face"
        )
    inner, outer = front_flat_mm(job)
    if min(shoulder_radius_mm(job), outer) - inner < LEAST_BEARING_MM:
        return wall_too_narrow(
            job, means, why=f"a shoulder would bear on only {max(0.0, outer - inner):.2f} mm of the front face"
        )
    return OnBore(
        grip=grip,
        nose_mm=grip.end_mm,
        length_mm=grip.end_mm + job.width_mm,
        shoulder_radius_mm=shoulder_radius_mm(job),
    )
