"""A stub turned in place to a wringing fit in the bore, with a shoulder behind the ring."""

from __future__ import annotations

from handwheel.domain.acts import HandKind
from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.part import OUTSIDE
from handwheel.domain.said import said
from handwheel.planner.holdings.held import HeldSecond, cost_ms
from handwheel.planner.holdings.on_bore import on_bore, spigot_holding
from handwheel.planner.job import Job
from handwheel.planner.way import NoWay


def stub_mandrel(job: Job, means: HoldingMeans) -> HeldSecond | NoWay:
    """A stub turned to the bore, or why it cannot hold the ring."""
    found = on_bore(job, means)
    if isinstance(found, NoWay):
        return found
    dia = found.dia_mm
    holding = spigot_holding(job, means, found)
    units = job.units
    return HeldSecond(
        holding=holding,
        means=means,
        ready_kind=HandKind.TURN_MANDREL,
        ready_text=f"Turn a stub in place to the measured bore, about Ø {said(dia, units)}, "
        f"{said(found.length_mm, units, places=1)} long, a few hundredths smaller at the nose so that the ring "
        f"wrings on; face the shoulder, Ø {said(2 * found.shoulder_radius_mm, units, places=1)}; "
        "do not take it out of the chuck again.",
        indicate_surface=OUTSIDE,
        cost_ms=cost_ms(job, means, turned=True),
        after=(found.grip.land.surface,),
    )
