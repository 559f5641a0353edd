"""What the holdings that grip a ring from outside share: the land, where the jaws end, the seat, the checks."""

from __future__ import annotations

from msgspec import Struct

from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.said import said
from handwheel.planner.holdings.lands import LEAST_BEARING_MM, Grip, front_flat_mm, longest_grip, seat_radius_mm
from handwheel.planner.holdings.strength import LOBE_SHARE, tightest_band_mm
from handwheel.planner.holdings.troubles import (
    LEAST_GRIP_MM,
    LEAST_GRIP_SHARE,
    grips_too_little,
    lobes_too_large,
    wall_too_narrow,
)
from handwheel.planner.job import Job
from handwheel.planner.way import NoWay

EVEN_SEAT_MM = 1e-6


class Around(Struct, frozen=True, kw_only=True):
    """A grip from outside: the land, the front of the jaws, their depth to the seat, the seat's inner radius. [mm]"""

    grip: Grip
    jaw_face_mm: float
    depth_mm: float
    seat_radius_mm: float
    half_way: bool

    @property
    def dia_mm(self) -> float:
        """Diameter that is gripped. [mm]"""
        return 2.0 * self.grip.land.radius_mm

    @property
    def seat_dia_mm(self) -> float:
        """Inner diameter of the seat, 0 where it is half-way across the wall as everywhere. [mm]"""
        return 0.0 if self.half_way else 2.0 * self.seat_radius_mm


def around(job: Job, means: HoldingMeans) -> Around | NoWay:
    """The longest grip from outside that leaves free what is still to be cut, or why it is too short."""
    grip = longest_grip(job, inner=False, most_mm=means.grip_mm)
    length = 0.0 if grip is None else grip.length_mm
    least = max(LEAST_GRIP_MM, LEAST_GRIP_SHARE * job.width_mm)
    if grip is None or length < least:
        reach_would_do = means.grip_mm < job.width_mm and longest_length_mm(job) >= least
        return grips_too_little(
            job,
            means,
            why=f"they grip only {said(length, job.units, places=1)} of a ring "
            f"{said(job.width_mm, job.units, places=1)} wide",
            remedy="hold it on a mandrel",
            needs_mm=job.width_mm if reach_would_do else 0.0,
        )
    depth = grip.end_mm + job.width_mm
    seat = seat_radius_mm(job, grip.land.radius_mm)
    _, outer = front_flat_mm(job)
    if outer - seat < LEAST_BEARING_MM:
        return wall_too_narrow(
            job, means, why=f"the seat would bear on only {said(max(0.0, outer - seat), job.units)} of the front face"
        )
    half_way = 0.5 * (job.bore_radius_mm + grip.land.radius_mm)
    return Around(
        grip=grip,
        jaw_face_mm=-(job.width_mm - depth),
        depth_mm=depth,
        seat_radius_mm=seat,
        half_way=abs(seat - half_way) <= EVEN_SEAT_MM,
    )


def longest_length_mm(job: Job) -> float:
    """Longest grip from outside that any means could have. [mm]"""
    grip = longest_grip(job, inner=False, most_mm=job.width_mm)
    return 0.0 if grip is None else grip.length_mm


def lobes_trouble(job: Job, means: HoldingMeans, lobes_mm: float, *, who: str) -> NoWay | None:
    """Why lobes are too large for the tighter of bore and outside, or ``None``."""
    band = tightest_band_mm(job)
    if lobes_mm <= LOBE_SHARE * band:
        return None
    return lobes_too_large(job, means, lobes_mm=lobes_mm, band_mm=band, who=who)
