"""The bar in the chuck."""

from __future__ import annotations

from handwheel.domain.holding import Holding, Side
from handwheel.geometry.bodies import chuck_bodies
from handwheel.planner.bar_use import loading
from handwheel.planner.job import Job


def bar_holding(job: Job) -> Holding:
    """The bar in the chuck's hard jaws."""
    chuck = job.shop.lathe.chuck
    return Holding(
        id="bar",
        kind="bar",
        side=Side.FRONT,
        gripped_surface="bar",
        grip_dia_mm=2.0 * job.grip_radius_mm,
        jaw_face_mm=job.jaw_face_mm,
        grip_length_mm=chuck.jaw_length_mm,
        blocked=chuck_bodies(chuck, jaw_face_mm=job.jaw_face_mm, grip_radius_mm=job.grip_radius_mm),
        runout_mm=chuck.runout_mm,
        max_rpm=loading(job).max_rpm,
    )
