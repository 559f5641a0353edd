"""A stub turned in place to a wringing fit in the bore, with a shoulder behind the ring."""

from __future__ import annotations

from handwheel.domain.acts import HandKind
from handwheel.domain.holding import Holding, Side
from handwheel.domain.part import OUTSIDE
from handwheel.domain.shop import HoldingMeans
from handwheel.geometry.bodies import mandrel_bodies
from handwheel.planner.holdings.held import HeldSecond, cost_ms, takes
from handwheel.planner.holdings.on_bore import on_bore
from handwheel.planner.holdings.troubles import takes_not
from handwheel.planner.job import Job
from handwheel.planner.way import NoWay


def stub_mandrel(job: Job, means: HoldingMeans) -> HeldSecond | NoWay:
    """A stub turned to the bore, or why it cannot hold the ring."""
    found = on_bore(job, means)
    if isinstance(found, NoWay):
        return found
    dia = found.dia_mm
    if not takes(means, dia):
        why = f"it takes bores of {means.low_dia_mm:g} to {means.high_dia_mm:g} mm and the ring has {dia:.2f}"
        return takes_not(job, means, dia, why=why)
    chuck = job.shop.lathe.chuck
    holding = Holding(
        id=means.id,
        kind=means.kind,
        side=Side.BACK,
        gripped_surface=found.grip.land.surface,
        grip_dia_mm=dia,
        jaw_face_mm=-job.width_mm,
        grip_length_mm=found.length_mm,
        blocked=mandrel_bodies(
            chuck,
            nose_mm=found.nose_mm,
            shoulder_mm=-job.width_mm,
            spigot_radius_mm=dia / 2.0,
            shoulder_radius_mm=found.shoulder_radius_mm,
        ),
        runout_mm=means.runout_mm,
        max_rpm=min(means.max_rpm, chuck.max_rpm),
        seat_dia_mm=2.0 * found.shoulder_radius_mm,
    )
    return HeldSecond(
        holding=holding,
        means=means,
        ready_kind=HandKind.TURN_MANDREL,
        ready_text=f"Turn a stub in place to the measured bore, about Ø {dia:.2f} mm, {found.length_mm:.1f} mm long, a "
        "few hundredths smaller at the nose so that the ring wrings on; face the shoulder, Ø "
        f"{2 * found.shoulder_radius_mm:.1f} mm; "
        "do not take it out of the chuck again.",
        indicate_surface=OUTSIDE,
        cost_ms=cost_ms(job, means, turned=True),
        after=(found.grip.land.surface,),
    )
