"""Why a holding cannot hold, each trouble with a whole means that would do."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.holding import Holding
from handwheel.domain.part import Part
from handwheel.domain.remedies import AddToShop, Remedy
from handwheel.domain.said import said
from handwheel.physics.grip import LEAST_BOND_N_MM2
from handwheel.planner import offers
from handwheel.planner.holdings.held import HeldSecond
from handwheel.planner.holdings.strength import force_for_lobes_n
from handwheel.planner.job import Job
from handwheel.planner.way import NoWay

LEAST_GRIP_MM = 2.0
LEAST_GRIP_SHARE = 1.0 / 3.0
"""Shortest grip on a finished ring: 2 mm, and a third of its width; common practice, no source."""
SLIPS = "holding-slips"
FIRMER_TIMES = 3.0
"""How much firmer a grip is offered where a ring would slip."""
LEAST_FORCE_N = 50.0
"""Least grip of a jaw that is offered: below it a hand cannot set it; common practice, no source."""


def takes_not(job: Job, means: HoldingMeans, dia_mm: float, *, why: str) -> NoWay:
    """The surface is too large or too small for the means."""
    wider = replace(
        means,
        id=f"{means.id}-wider",
        low_dia_mm=min(means.low_dia_mm, 0.8 * dia_mm),
        high_dia_mm=max(means.high_dia_mm, 1.2 * dia_mm),
    )
    size = f"Ø {said(dia_mm, job.units)}"
    return NoWay(
        step=means.id,
        code="holding-takes-not-the-size",
        tried=means.name,
        why=why,
        remedy=f"one that takes {size}, or another way to hold the ring",
        remedies=(AddToShop(thing=wider), *other_means(job.part, but=means.kind)),
    )


def grips_too_little(job: Job, means: HoldingMeans, *, why: str, remedy: str, needs_mm: float = 0.0) -> NoWay:
    """Too little of a land can be gripped; ``needs_mm`` is the reach with which the same means would do, if any."""
    longer = () if not needs_mm else (AddToShop(thing=replace(means, id=f"{means.id}-longer", grip_mm=needs_mm)),)
    return NoWay(
        step=means.id,
        code="grip-too-short",
        tried=means.name,
        why=why,
        remedy=remedy,
        remedies=(*longer, *other_means(job.part, but=means.kind)),
    )


def lobes_too_large(job: Job, means: HoldingMeans, *, lobes_mm: float, band_mm: float, who: str) -> NoWay:
    """The ring would keep lobes that take too much of the tolerance."""
    gentle = force_for_lobes_n(means.force_n, lobes_mm=lobes_mm, band_mm=band_mm)
    light = replace(means, id=f"{means.id}-light", force_n=gentle)
    return NoWay(
        step=means.id,
        code="lobes-exceed-tolerance",
        tried=means.name,
        why=f"{who} would leave lobes of {said(lobes_mm, job.units, places=4)} on the radius; "
        f"the tolerance is {said(band_mm, job.units, places=3)}",
        remedy="grip more lightly, let the jaws wrap further round, or hold on a mandrel",
        remedies=(
            *((AddToShop(thing=light),) if gentle >= LEAST_FORCE_N else ()),
            *other_means(job.part, but=means.kind),
        ),
    )


def swells_too_much(job: Job, means: HoldingMeans, *, growth_mm: float, band_mm: float, allowed_mm: float) -> NoWay:
    """The ring would grow on its mandrel by more than its tolerance bears."""
    gentle = replace(
        means, id=f"{means.id}-light", pressure_n_mm2=round(0.9 * means.pressure_n_mm2 * allowed_mm / growth_mm, 2)
    )
    return NoWay(
        step=means.id,
        code="mandrel-swells-ring",
        tried=means.name,
        why=f"{means.pressure_n_mm2:g} N/mm² in the bore makes the outside "
        f"{said(growth_mm, job.units, places=4)} larger while it is cut, and it shrinks again; the tolerance is "
        f"{said(band_mm, job.units, places=3)}",
        remedy="draw the mandrel up more lightly, or use a stub turned to the bore",
        remedies=(AddToShop(thing=gentle), *other_means(job.part, but=means.kind)),
    )


def wall_too_narrow(job: Job, means: HoldingMeans, *, why: str) -> NoWay:
    """What has to press on a face finds no room on it."""
    return NoWay(
        step=means.id,
        code="no-room-on-face",
        tried=means.name,
        why=why,
        remedy="hold the ring by its bore or its outside",
        remedies=other_means(job.part, but=means.kind),
    )


def needs_jaws(job: Job, means: HoldingMeans) -> NoWay | None:
    """Why a chuck without jaws cannot close this on the ring, or ``None``."""
    if job.shop.lathe.chuck.jaws:
        return None
    return NoWay(
        step=means.id,
        code="chuck-has-no-jaws",
        tried=means.name,
        why=f"{job.shop.lathe.chuck.name} has no jaws to close on the ring",
        remedy="a collet of the ring's size, or a mandrel in the bore",
        remedies=other_means(job.part, but=means.kind),
    )


def undescribed(means: HoldingMeans, *, what: str, key: str) -> NoWay:
    """The shop file does not say how hard the means holds, so nobody can tell whether the ring slips."""
    return NoWay(
        step=means.id,
        code="holding-undescribed",
        tried=means.name,
        why=f"the shop file does not say {what}, so nobody can tell whether the ring slips on it",
        remedy=f"give {key} for it in the shop file",
    )


def held_firmer(job: Job, trouble: NoWay, holding: Holding, held: Sequence[HeldSecond]) -> NoWay:
    """The trouble of a ring that would slip, with means that hold it firmer; any other trouble as it is."""
    means = next((second.means for second in held if second.holding.id == holding.id), None)
    if means is None or trouble.code != SLIPS:
        return trouble
    firm = replace(
        means,
        id=f"{means.id}-firmer",
        force_n=FIRMER_TIMES * means.force_n,
        pressure_n_mm2=FIRMER_TIMES * means.pressure_n_mm2,
        bond_n_mm2=FIRMER_TIMES * (means.bond_n_mm2 or LEAST_BOND_N_MM2),
    )
    return replace(
        trouble,
        tried=f"{trouble.tried}, held by {means.name}",
        remedies=(AddToShop(thing=firm), *other_means(job.part, but=means.kind), *trouble.remedies),
    )


def other_means(part: Part, *, but: str) -> tuple[Remedy, ...]:
    """Plain other means that hold this ring, those of one kind left out."""
    return tuple(AddToShop(thing=thing) for thing in offers.holdings(part) if thing.kind != but)
