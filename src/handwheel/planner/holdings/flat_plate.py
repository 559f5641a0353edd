"""Abrasive paper on a flat plate: for the face alone."""

from __future__ import annotations

from handwheel.domain.acts import HandKind
from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.holding import Holding, Side
from handwheel.planner.holdings.held import HeldSecond, cost_ms
from handwheel.planner.job import Job
from handwheel.planner.way import NoWay


def flat_plate(job: Job, means: HoldingMeans) -> HeldSecond | NoWay:
    """The plate on which the face is rubbed; it holds nothing."""
    holding = Holding(
        id=means.id,
        kind=means.kind,
        side=Side.BACK,
        gripped_surface="none",
        grip_dia_mm=2.0 * job.outside_radius_mm,
        jaw_face_mm=-job.width_mm,
        grip_length_mm=0.0,
        blocked=(),
        runout_mm=0.0,
        max_rpm=0.0,
        turned=False,
    )
    return HeldSecond(
        holding=holding,
        means=means,
        ready_kind=HandKind.CLEAN,
        ready_text="Lay out the flat plate and wet abrasive paper, 400 grit or so.",
        indicate_surface="",
        cost_ms=cost_ms(job, means, turned=False),
    )
