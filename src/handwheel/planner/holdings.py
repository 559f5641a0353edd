"""Holding models: what each way of holding grips, blocks, spoils and costs.

A model looks at the job and says whether and how it can hold; the search only sees `Holding`s and their cost. A new
way of holding is one more entry of a tuple.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from handwheel.data.rings import thick_ring_table
from handwheel.domain.acts import HandKind
from handwheel.domain.holding import Holding, Side
from handwheel.domain.part import BACK_INNER_EDGE, BACK_OUTER_EDGE, BORE, OUTSIDE
from handwheel.domain.shop import HoldingMeans
from handwheel.geometry.bodies import chuck_bodies, mandrel_bodies, soft_jaw_bodies
from handwheel.physics.ring import RingSection, jaw_lobes_mm
from handwheel.planner.job import Job
from handwheel.planner.kinds.legs import legs_mm
from handwheel.planner.way import NoWay

THICKEST_RATIO = 0.499
"""Wall over mean radius just inside the end of the thick-ring table."""
LOBE_SHARE = 0.25
"""Lobes may take this share of a diameter's tolerance, as a radius on each side; common practice, no source."""
SPIGOT_BACK_MM = 2.0
"""How far a spigot stays behind the face and the edges that are cut."""
SHOULDER_IN_MM = 1.0
"""How far a mandrel's shoulder stays inside the outside."""
LEAST_GRIP_MM = 2.0
LEAST_GRIP_SHARE = 1.0 / 3.0
"""Shortest grip on a finished ring: 2 mm, and a third of its width; common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldSecond:
    """A holding for the second side, with its cost and the words for making it ready."""

    holding: Holding
    means: HoldingMeans
    ready_kind: HandKind
    ready_text: str
    indicate_surface: str
    cost_ms: int


HoldingModel = Callable[[Job, HoldingMeans], HeldSecond | NoWay]
"""What a model is: from a job and the shop's means to a holding, or why it cannot hold."""


def bar_holding(job: Job) -> Holding:
    """The bar in the chuck's hard jaws."""
    chuck = job.shop.lathe.chuck
    return Holding(
        id="bar",
        kind="bar",
        side=Side.FRONT,
        gripped_surface="bar",
        grip_dia_mm=2.0 * job.bar_radius_mm,
        jaw_face_mm=job.jaw_face_mm,
        grip_length_mm=chuck.jaw_length_mm,
        blocked=chuck_bodies(chuck, jaw_face_mm=job.jaw_face_mm, grip_radius_mm=job.bar_radius_mm),
        runout_mm=chuck.runout_mm,
        max_rpm=chuck.max_rpm,
    )


def _cost_ms(job: Job, means: HoldingMeans, *, turned: bool) -> int:
    habits = job.shop.habits
    return round(1000 * (means.ready_s + habits.regrip_s + (habits.indicate_s if turned else 0.0)))


def _fits(means: HoldingMeans, dia_mm: float) -> bool:
    return means.low_dia_mm <= dia_mm <= means.high_dia_mm


def _edge_reach_mm(job: Job, edge: str) -> float:
    """How far behind its face an edge comes."""
    return legs_mm(job, edge)[0] if job.part.surface(edge) is not None else 0.0


def lobes_mm(job: Job, means: HoldingMeans) -> float:
    """Valley-to-peak radial error that the means' grip leaves in the finished ring, upper end. [mm]

    Uses the finished wall, because springing back is the finished ring's affair (ring-clamping section 5), and the
    lowest modulus of the metal.
    """
    if means.force_n <= 0:
        return 0.0
    # a ring thicker than the table reaches is stiffer than one at its end: taking that one errs upward
    thinnest = job.outside_radius_mm * (1.0 - THICKEST_RATIO / 2.0) / (1.0 + THICKEST_RATIO / 2.0)
    ring = RingSection(
        outside_dia_mm=2.0 * job.outside_radius_mm,
        bore_dia_mm=2.0 * max(job.bore_radius_mm, thinnest),
        width_mm=job.width_mm,
    )
    # fewer jaws leave larger lobes: a number that the table lacks takes the next smaller one
    jaws = max((count for count in thick_ring_table() if count <= job.shop.lathe.chuck.jaws), default=2)
    return jaw_lobes_mm(
        ring,
        jaws=jaws,
        force_n=means.force_n,
        e_n_mm2=job.material.range("e_modulus").least * 1000.0,
        thick_table=thick_ring_table(),
        half_width_deg=min(means.wrap_deg / 2.0, 180.0 / jaws),
    )


def soft_jaws(job: Job, means: HoldingMeans) -> HeldSecond | NoWay:
    """Soft jaws bored to the finished outside, with a seat; they leave lobes, which have a number."""
    dia = 2.0 * job.outside_radius_mm
    if not _fits(means, dia):
        return NoWay(
            step=means.id,
            tried=means.name,
            why=f"they take Ø {means.low_dia_mm:g} to {means.high_dia_mm:g} mm and the ring has {dia:.2f}",
        )
    grip = min(means.grip_mm, job.width_mm - max(_edge_reach_mm(job, BACK_OUTER_EDGE), 0.0) - 1.0)
    if grip < max(LEAST_GRIP_MM, LEAST_GRIP_SHARE * job.width_mm):
        return NoWay(
            step=means.id,
            tried=means.name,
            why=f"they grip only {grip:.1f} mm of a ring {job.width_mm:.1f} mm wide",
            remedy="hold it on a mandrel",
        )
    lobes = lobes_mm(job, means)
    band = min(float(job.bore_size.band), float(job.outside_size.band))
    if lobes > LOBE_SHARE * band:
        return NoWay(
            step=means.id,
            tried=means.name,
            why=f"{means.force_n:.0f} N a jaw would leave lobes of {lobes * 1000:.1f} µm on the radius; "
            f"the tolerance is {band * 1000:.0f} µm",
            remedy="grip more lightly, let the jaws wrap further round, or hold on a mandrel",
        )
    jaw_face = -(job.width_mm - grip)
    chuck = job.shop.lathe.chuck
    holding = Holding(
        id=means.id,
        kind=means.kind,
        side=Side.BACK,
        gripped_surface=OUTSIDE,
        grip_dia_mm=dia,
        jaw_face_mm=jaw_face,
        grip_length_mm=grip,
        blocked=soft_jaw_bodies(
            chuck,
            jaw_face_mm=jaw_face,
            grip_radius_mm=job.outside_radius_mm,
            grip_length_mm=grip,
            seat_inner_radius_mm=job.bore_radius_mm + 0.5 * (job.outside_radius_mm - job.bore_radius_mm),
        ),
        runout_mm=means.runout_mm,
        max_rpm=min(means.max_rpm, chuck.max_rpm),
        lobes_mm=lobes,
    )
    return HeldSecond(
        holding=holding,
        means=means,
        ready_kind=HandKind.BORE_JAWS,
        ready_text=f"Bore the soft jaws, clamped on a ring or plug, to Ø {dia:.2f} mm +0.00/-0.05 and "
        f"{grip:.1f} mm deep, with a "
        "flat seat and a relieved corner: larger would grip on three lines only.",
        indicate_surface=BORE,
        cost_ms=_cost_ms(job, means, turned=True),
    )


def stub_mandrel(job: Job, means: HoldingMeans) -> HeldSecond | NoWay:
    """A stub turned in place to a wringing fit in the bore, with a shoulder behind the ring."""
    dia = 2.0 * job.bore_radius_mm
    if not _fits(means, dia):
        return NoWay(
            step=means.id,
            tried=means.name,
            why=f"it takes bores of {means.low_dia_mm:g} to {means.high_dia_mm:g} mm and the ring has {dia:.2f}",
        )
    nose = -max(_edge_reach_mm(job, BACK_INNER_EDGE), 0.0) - SPIGOT_BACK_MM
    length = job.width_mm + nose
    if length < LEAST_GRIP_MM:
        return NoWay(
            step=means.id,
            tried=means.name,
            why=f"only {length:.1f} mm of bore would sit on it",
            remedy="use soft jaws, or rub the face",
        )
    chuck = job.shop.lathe.chuck
    holding = Holding(
        id=means.id,
        kind=means.kind,
        side=Side.BACK,
        gripped_surface=BORE,
        grip_dia_mm=dia,
        jaw_face_mm=-job.width_mm,
        grip_length_mm=length,
        blocked=mandrel_bodies(
            chuck,
            nose_mm=nose,
            shoulder_mm=-job.width_mm,
            spigot_radius_mm=job.bore_radius_mm,
            shoulder_radius_mm=job.outside_radius_mm - SHOULDER_IN_MM,
        ),
        runout_mm=means.runout_mm,
        max_rpm=min(means.max_rpm, chuck.max_rpm),
    )
    return HeldSecond(
        holding=holding,
        means=means,
        ready_kind=HandKind.TURN_MANDREL,
        ready_text=f"Turn a stub in place to the measured bore, Ø {dia:.3f} mm, {length:.1f} mm long, a few "
        "hundredths smaller "
        "at the nose so that the ring wrings on; face the shoulder, Ø "
        f"{2 * (job.outside_radius_mm - SHOULDER_IN_MM):.1f} mm; "
        "do not take it out of the chuck again.",
        indicate_surface=OUTSIDE,
        cost_ms=_cost_ms(job, means, turned=True),
    )


def flat_plate(job: Job, means: HoldingMeans) -> HeldSecond | NoWay:
    """Abrasive paper on a flat plate: for the face alone."""
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
        cost_ms=_cost_ms(job, means, turned=False),
    )


HOLDING_MODELS: tuple[tuple[str, HoldingModel], ...] = (
    ("soft-jaws", soft_jaws),
    ("stub-mandrel", stub_mandrel),
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
