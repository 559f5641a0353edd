"""A ring glued on an arbor: a sliding spigot, a shoulder faced in one setting; light, cool cuts (case PC-20)."""

from __future__ import annotations

from handwheel.domain.acts import HandKind
from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.part import OUTSIDE
from handwheel.domain.said import said
from handwheel.physics.grip import LEAST_BOND_N_MM2, bond_torque_nm
from handwheel.planner.holdings.held import HeldSecond, cost_ms
from handwheel.planner.holdings.on_bore import on_bore, spigot_holding
from handwheel.planner.job import Job
from handwheel.planner.way import NoWay

GLUE_GAP_MM = 0.03
"""How much thinner than its bore a glued spigot is, on the diameter; common practice, no source."""


def glue_arbor(job: Job, means: HoldingMeans) -> HeldSecond | NoWay:
    """The ring glued on an arbor turned for it, or why that cannot hold it."""
    found = on_bore(job, means)
    if isinstance(found, NoWay):
        return found
    dia = found.dia_mm
    torque = bond_torque_nm(
        means.bond_n_mm2 or LEAST_BOND_N_MM2, radius_mm=found.grip.land.radius_mm, length_mm=found.grip.length_mm
    )
    holding = spigot_holding(job, means, found, grip_torque_nm=torque)
    units = job.units
    return HeldSecond(
        holding=holding,
        means=means,
        ready_kind=HandKind.TURN_ARBOR,
        ready_text=f"Turn an arbor in place, aluminium for choice (it warms up fast for release): spigot Ø "
        f"{said(dia - GLUE_GAP_MM, units)}, {said(found.length_mm, units, places=1)} long, to slide into "
        f"the bore; face the shoulder, Ø {said(2 * found.shoulder_radius_mm, units, places=1)}, in the same "
        "setting; leave it in the chuck. Degrease arbor and ring.",
        indicate_surface=OUTSIDE,
        indicate_note="turn the chuck by hand when the glue has set for as long as its maker says",
        cost_ms=cost_ms(job, means, turned=True),
        after=(found.grip.land.surface,),
        cautions=("glue-handling", "glue-holds-cold"),
        open_text="Spindle standing: warm the arbor gently, to what the glue's maker states and no more, until the "
        "ring slides off with a cloth; then wipe off the glue.",
        open_cautions=("glue-fumes",),
        cool_s=job.shop.habits.cool_s,
    )
