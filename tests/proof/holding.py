"""What holds the second side: a means of the wish's kind that takes the ring, closed as hard as the cuts ask."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, floor, pi
from random import Random

from msgspec import Struct
from msgspec.structs import replace

from handwheel.data.rings import thick_ring_table
from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.shop import Shop
from handwheel.physics.ring import RingSection, jaw_lobes_mm
from tests.proof.drafts import BACK, BACK_INNER, BACK_OUTER, BORE, FRONT, OUTSIDE, RingDraft
from tests.proof.needs import MARGIN
from tests.proof.rings import (
    AROUND,
    COLLET,
    COVERED,
    EXPANDING,
    GLUE,
    IN_BORE,
    PLATE,
    POT,
    SOFT_JAWS,
    SPIGOT,
    STUB,
    TAILSTOCK,
    NotDrawnError,
    Wish,
)

JAWS = 3
LEAST_FRICTION = 0.10
"""Low end of the friction of metal on metal (ring-clamping, section 7)."""
LOBE_SHARE = 0.2
"""Lobes, or growth, that a grip may leave, as a share of the narrower tolerance; common practice allows a quarter."""
RUN_OUT_MM = {True: 2.8, False: 2.0}
"""Room between a grip and what is still to be cut, outside and in the bore."""
FOOT_MM = 0.5
"""Room between a grip and the shoulder of a step."""
LEAST_FLAT_MM = 1.4
"""Flat of the back face, edges taken off, on which something may press and a tip still touch."""
EVEN_WRAP_DEG = 118.0
"""How far round each segment of collet, pot or mandrel presses: a slit of two degrees is left."""
PEEL_SHARE = 0.25
"""Share of its strength on which a bond is counted (common practice)."""
STRONGEST_BOND_N_MM2 = 25.0


class Land(Struct, frozen=True, kw_only=True):
    """A cylinder that can be gripped, from which place to which, counted from the front face. [mm]"""

    dia: float
    low: float
    high: float

    @property
    def length(self) -> float:
        """How much of it can be gripped. [mm]"""
        return self.high - self.low


def lands(draft: RingDraft, *, outside: bool) -> tuple[Land, ...]:
    """Cylinders that are finished on the bar: steps of the front, and the outside or the bore itself."""
    of, edge = (OUTSIDE, BACK_OUTER) if outside else (BORE, BACK_INNER)
    found, low = [], 0.0
    for step in draft.stack(of, FRONT):
        found.append(Land(dia=step.diameter, low=low, high=step.depth - max(draft.corner, FOOT_MM)))
        low = step.depth
    legs = draft.edges.get(edge)
    cut = max(draft.depth(of, BACK), legs.along if legs is not None else 0.0)
    free = draft.width - cut - RUN_OUT_MM[outside]
    found.append(Land(dia=draft.outside if outside else draft.bore, low=low, high=draft.width))
    return tuple(replace(land, high=min(land.high, free)) for land in found)


def longest(found: Sequence[Land], *, most: float) -> Land:
    """Land with the longest grip for a means that reaches so far from the front face; ties go to the larger."""
    reached = [replace(land, high=min(land.high, most)) for land in found]
    return max(reached, key=lambda land: (land.length, land.dia))


def drawn_means(chance: Random, it: Wish, base: Shop) -> HoldingMeans:
    """Means of the wish's kind that takes the ring; forces follow when the torque is known."""
    draft = it.draft
    if it.means == PLATE:
        return _means(chance, PLATE, draft.outside, grip=0.0)
    if it.means in COVERED and draft.back_flat() < LEAST_FLAT_MM:
        raise NotDrawnError
    if it.means == TAILSTOCK:
        body = round(chance.uniform(0.4, 0.9) * draft.bore, 1)
        return replace(_means(chance, TAILSTOCK, draft.outside, grip=0.0), body_dia_mm=body)
    if it.means in IN_BORE:
        return _in_bore(chance, it)
    if it.means != COLLET and base.lathe.chuck.jaws < JAWS:
        raise NotDrawnError
    found = lands(draft, outside=True)
    least = max(2.1, 0.36 * draft.width)
    best = longest(found, most=draft.width)
    if best.length < least:
        raise NotDrawnError
    grip = floor(100.0 * chance.uniform(best.low + least, best.high)) / 100.0
    dia = longest(found, most=grip).dia
    means = replace(_means(chance, it.means, dia, grip=grip), force_n=float(round(chance.uniform(150.0, 600.0))))
    if it.means == SOFT_JAWS:
        return replace(means, wrap_deg=round(chance.uniform(60.0, 115.0), 1))
    if it.means == POT:
        return replace(
            means, wrap_deg=chance.choice((0.0, 110.0)), body_dia_mm=chance.choice((0.0, round(dia + 14.0, 1)))
        )
    size = ceil(2.0 * dia) / 2.0
    sizes = tuple(sorted({size, *(chance.randint(8, 60) / 2.0 for _ in range(4))}))
    return replace(means, sizes_mm=sizes, closes_mm=0.5, body_dia_mm=chance.choice((0.0, round(dia + 20.0, 1))))


def _in_bore(chance: Random, it: Wish) -> HoldingMeans:
    draft = it.draft
    if draft.thread:
        raise NotDrawnError  # a spigot on the crests of a thread wrings on nothing
    found = lands(draft, outside=False)
    best = longest(found, most=draft.width)
    if best.length < 2.3:
        raise NotDrawnError
    grip = floor(100.0 * chance.uniform(best.low + 2.3, best.high)) / 100.0 if it.means == EXPANDING else draft.width
    return _means(chance, it.means, longest(found, most=grip).dia, grip=grip)


def _means(chance: Random, kind: str, dia: float, *, grip: float) -> HoldingMeans:
    turned = kind != PLATE
    return HoldingMeans(
        id=f"drawn-{kind}",
        kind=kind,
        name=f"drawn {kind}",
        low_dia_mm=round(dia * chance.uniform(0.3, 0.9), 1),
        high_dia_mm=round(dia * chance.uniform(1.1, 3.0), 1),
        grip_mm=grip,
        runout_mm=round(chance.uniform(0.0, 0.03), 3) if turned else 0.0,
        ready_s=float(chance.randint(200, 1500)),
        max_rpm=1500.0 if turned else 0.0,
    )


# how hard ------------------------------------------------------------------------------------------------------------


def gripping(it: Wish, means: HoldingMeans, torque_nm: float, slow_rpm: float) -> HoldingMeans:
    """The means, closed hard enough for the second side's cuts and no harder than the ring bears."""
    if it.means == PLATE:
        return means
    means = replace(means, max_rpm=max(means.max_rpm, 1.5 * slow_rpm))
    least_nm = MARGIN * torque_nm
    if it.means in AROUND:
        return _around(it, means, least_nm)
    if it.means == EXPANDING:
        return _expanding(it, means, least_nm)
    if it.means == GLUE:
        return _glued(it, means, least_nm)
    if it.means == STUB:
        return means
    return _endwise(it, means, least_nm)


def _around(it: Wish, means: HoldingMeans, least_nm: float) -> HoldingMeans:
    land = longest(lands(it.draft, outside=True), most=means.grip_mm)
    wrap = means.wrap_deg or (0.0 if it.means == SOFT_JAWS else EVEN_WRAP_DEG)
    most_n = LOBE_SHARE * _band(it) / _lobes_per_n(it, land.dia, _inner_dia(it), land.length, wrap)
    least_n = 2000.0 * least_nm / (LEAST_FRICTION * JAWS * land.dia)
    if least_n > most_n:
        raise NotDrawnError
    return replace(means, force_n=min(most_n, max(least_n, means.force_n)))


def _expanding(it: Wish, means: HoldingMeans, least_nm: float) -> HoldingMeans:
    """Pressure that drives the ring: torque = friction, pressure, area, radius; its growth and lobes stay small."""
    land = longest(lands(it.draft, outside=False), most=means.grip_mm)
    pressure = 2000.0 * least_nm / (LEAST_FRICTION * pi * land.dia**2 * land.length)
    outside = min(it.draft.dias(OUTSIDE))
    if outside <= land.dia + 1.0:
        raise NotDrawnError
    modulus = it.metal.range("e_modulus").least * 1000.0
    growth = 2.0 * pressure * land.dia**2 * outside / (modulus * (outside**2 - land.dia**2))
    force = pressure * pi * land.dia * land.length / 3.0
    lobes = force * _lobes_per_n(it, outside, land.dia, land.length, EVEN_WRAP_DEG)
    if max(growth, lobes) > LOBE_SHARE * _band(it):
        raise NotDrawnError
    return replace(means, pressure_n_mm2=ceil(1000.0 * pressure) / 1000.0)


def _glued(it: Wish, means: HoldingMeans, least_nm: float) -> HoldingMeans:
    land = longest(lands(it.draft, outside=False), most=it.draft.width)
    bond = 2000.0 * least_nm / (PEEL_SHARE * pi * land.dia**2 * land.length)
    if bond > STRONGEST_BOND_N_MM2:
        raise NotDrawnError
    return replace(means, bond_n_mm2=max(5.0, ceil(10.0 * bond) / 10.0))


def _endwise(it: Wish, means: HoldingMeans, least_nm: float) -> HoldingMeans:
    """Pull of nut or tailstock: faces driven by friction, taken at the smallest radius that they can press on."""
    faces = 2 if it.means == SPIGOT else 1
    arm_mm = it.draft.at_face(BORE, BACK if it.means == SPIGOT else FRONT) / 2.0
    return replace(means, force_n=float(ceil(1000.0 * least_nm / (faces * LEAST_FRICTION * arm_mm))))


def _band(it: Wish) -> float:
    return 2.0 * min(it.draft.bore_pm, it.draft.outside_pm)


def _inner_dia(it: Wish) -> float:
    return max(it.draft.dias(BORE))


def _lobes_per_n(it: Wish, outside: float, bore: float, length: float, wrap_deg: float) -> float:
    """Lobes on the radius for each newton of a jaw, of the thinnest ring that the gripped land can be. [mm/N]"""
    if bore > outside - 1.0:
        raise NotDrawnError
    ring = RingSection(
        outside_dia_mm=outside,
        # a ring beyond the thick end of the table is stiffer than one at it
        bore_dia_mm=max(bore, 0.62 * outside),
        width_mm=length,
    )
    return jaw_lobes_mm(
        ring,
        jaws=JAWS,
        force_n=1.0,
        e_n_mm2=it.metal.range("e_modulus").least * 1000.0,
        thick_table=thick_ring_table(),
        half_width_deg=min(wrap_deg / 2.0, 180.0 / JAWS),
    )
