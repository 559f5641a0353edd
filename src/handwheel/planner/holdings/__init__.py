"""Holding models: what each way of holding grips, blocks, spoils and costs.

A model looks at the job and says whether and how it can hold; the search only sees `Holding`s and their cost. A new
way of holding is one more entry of a tuple.
"""

from __future__ import annotations

from handwheel.domain.chucks import HoldingMeans
from handwheel.planner.holdings.bar import bar_holding
from handwheel.planner.holdings.collet import collet
from handwheel.planner.holdings.expanding_mandrel import expanding_mandrel
from handwheel.planner.holdings.flat_plate import flat_plate
from handwheel.planner.holdings.glue_arbor import glue_arbor
from handwheel.planner.holdings.held import HeldSecond, HoldingModel
from handwheel.planner.holdings.lands import SHOULDER_IN_MM, SPIGOT_BACK_MM
from handwheel.planner.holdings.plate_and_tailstock import plate_and_tailstock
from handwheel.planner.holdings.pot import pot
from handwheel.planner.holdings.soft_jaws import soft_jaws
from handwheel.planner.holdings.step_spigot import step_spigot
from handwheel.planner.holdings.strength import LOBE_SHARE, THICKEST_RATIO, lobes_mm
from handwheel.planner.holdings.stub_mandrel import stub_mandrel
from handwheel.planner.holdings.troubles import LEAST_GRIP_MM, LEAST_GRIP_SHARE, held_firmer
from handwheel.planner.job import Job
from handwheel.planner.way import NoWay

__all__ = [
    "HOLDING_MODELS",
    "LEAST_GRIP_MM",
    "LEAST_GRIP_SHARE",
    "LOBE_SHARE",
    "SHOULDER_IN_MM",
    "SPIGOT_BACK_MM",
    "THICKEST_RATIO",
    "HeldSecond",
    "HoldingModel",
    "bar_holding",
    "collet",
    "expanding_mandrel",
    "flat_plate",
    "glue_arbor",
    "held_firmer",
    "lobes_mm",
    "plate_and_tailstock",
    "pot",
    "second_holdings",
    "soft_jaws",
    "step_spigot",
    "stub_mandrel",
]

HOLDING_MODELS: tuple[tuple[str, HoldingModel], ...] = (
    ("soft-jaws", soft_jaws),
    ("pot", pot),
    ("collet", collet),
    ("stub-mandrel", stub_mandrel),
    ("expanding-mandrel", expanding_mandrel),
    ("step-spigot", step_spigot),
    ("plate-and-tailstock", plate_and_tailstock),
    ("glue-arbor", glue_arbor),
    ("flat-plate", flat_plate),
)


def second_holdings(
    job: Job, means: tuple[HoldingMeans, ...], models: tuple[tuple[str, HoldingModel], ...]
) -> tuple[tuple[HeldSecond, ...], tuple[NoWay, ...]]:
    """Every second holding that the given means offer, and why the others do not."""
    held: list[HeldSecond] = []
    refused: list[NoWay] = []
    known = dict(models)
    for thing in means:
        model = known.get(thing.kind)
        if model is None:
            refused.append(
                NoWay(
                    step=thing.id,
                    code="unknown-holding",
                    tried=thing.name,
                    why=f"no holding model is called {thing.kind!r}",
                    remedy=f"known kinds: {', '.join(known)}",
                )
            )
            continue
        found = model(job, thing)
        if isinstance(found, NoWay):
            refused.append(found)
        else:
            held.append(found)
    return tuple(held), tuple(refused)
