"""Rings drawn so that the screws of a lathe can land in their limits, and a shop's means can hold them."""

from __future__ import annotations

from fractions import Fraction
from math import ceil, radians, sin
from random import Random

from msgspec import Struct

from handwheel.data.materials import Material
from handwheel.domain.lathe import Lathe
from handwheel.domain.slides import Slide
from tests.proof.bores import REAM_STEP_MM, Bore, Bored, reamed, tapped
from tests.proof.drafts import BACK, BACK_INNER, BACK_OUTER, BORE, EDGES, FRONT, FRONT_INNER, OUTSIDE, Legs, RingDraft
from tests.proof.screws import travel_per_step_mm
from tests.proof.steps import step_rules, with_steps

SOFT_JAWS, POT, COLLET, STUB, PLATE = "soft-jaws", "pot", "collet", "stub-mandrel", "flat-plate"
EXPANDING, GLUE, SPIGOT, TAILSTOCK = "expanding-mandrel", "glue-arbor", "step-spigot", "plate-and-tailstock"
AROUND = (SOFT_JAWS, POT, COLLET)
IN_BORE = (STUB, EXPANDING, GLUE, SPIGOT)
COVERED = (SPIGOT, TAILSTOCK)
"""Means that press on the back face: a plate cuts that, and edges in the bore are cut on the bar."""
MEANS = (
    *(SOFT_JAWS,) * 5,
    *(POT, COLLET, EXPANDING) * 2,
    *(STUB, PLATE) * 2,
    *(GLUE, SPIGOT, TAILSTOCK),
)
"""Means to draw among; those for which most throws are thrown again stand there more often."""
FAR_EDGES = {PLATE: (BACK_OUTER, BACK_INNER), SPIGOT: (BACK_INNER,), TAILSTOCK: (BACK_INNER,)}
"""Edges at the back that must be cut from the bar, by what holds the second side."""
BACK_STEPS = {
    **dict.fromkeys((*AROUND, STUB, EXPANDING, GLUE), (OUTSIDE, BORE)),
    **dict.fromkeys(COVERED, (OUTSIDE,)),
    PLATE: (),
}
"""What can have steps at the back, by what holds the second side."""
STEPPED_SHARE = 0.75
LEAST_LEG_MM = 0.02
"""What is left of a leg at its lower limit."""
FINE_DEG = 5.739
"""asin(1/10): the top slide that feeds ten to one (practice case PC-07)."""
TUBE_BELOW_MM = Fraction(2, 5)
"""How much smaller than the last drill, whose place it takes, the hole of a tube is."""
BACK_SLACKS = 1.5
"""How often the slack a slide goes back past a setting (practice case PC-02)."""
BEHIND_MM = 0.8
"""Room behind a bar beyond that: its way to the touch, and not to rub."""
OFF_FACE_MM = 0.2
"""How far a tip comes off a face before it goes across."""
BORING_BARS_MM = (4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0)


class NotDrawnError(Exception):
    """The dice fell so that the generator's own rules cannot be kept: throw again."""


class Wish(Struct, frozen=True, kw_only=True):
    """A ring with what is settled about making it. Lengths in mm.

    ``cut`` is a depth that both last cuts can have on any screw used, ``floor`` the least depth that the metal bears,
    ``lean_deg`` how far past square the tools for shoulders may enter.
    ``sweeps``: the top slide has a scale to swing by; ``top_back`` is how far it must go back to move at all.
    """

    metal: Material
    draft: RingDraft
    means: str
    cut: float
    floor: float
    step: float
    bar_dia: float
    head: float
    last_drill: float
    fine_bore: bool
    fine_outside: bool
    lean_deg: float
    sweeps: bool
    top_back: float
    hole: Bore


def fine_worth_mm(top: Slide) -> float | None:
    """What a mark of the top slide is worth on the diameter, swung to the division nearest ten to one. [mm]"""
    if top.angle_scale is None or top.dial is None:
        return None
    division = float(top.angle_scale.step_deg)
    return 2.0 * travel_per_step_mm(top) * sin(radians(max(1, round(FINE_DEG / division)) * division))


def half_band(chance: Random, step_dia_mm: float, *, least: float = 1.02) -> float:
    """Half a tolerance in which a step of a scale always lands: one to six steps wide, to 0.1 µm. [mm]"""
    return ceil(step_dia_mm * chance.uniform(least, 6.0) / 2.0 * 1e4) / 1e4


def wish(chance: Random, metal: Material, lathe: Lathe, *, habit_cut_mm: float, drill_chuck_mm: float) -> Wish:
    """Draw a ring."""
    step, fine = travel_per_step_mm(lathe.cross), fine_worth_mm(lathe.top)
    least = metal.find("min_depth")
    floor = least.most if least is not None else 0.0
    # whole steps of the coarser screw, and one to spare for sharing out what the roughing left
    cut = ceil(max(habit_cut_mm, 1.25 * floor) / step) * step + step
    hole = _hole(chance, step=step, drill_chuck_mm=drill_chuck_mm)
    bore = hole.dia or round(chance.uniform(10.0, 40.0), chance.choice((0, 1, 2)))
    most_drill = min(bore - 4.0 * cut - 0.7 - 2.0 * max(step, floor), drill_chuck_mm) - 2.0 * lathe.tailstock.play_mm
    last_drill = int(2.0 * (most_drill - chance.uniform(0.0, 0.15) * most_drill)) / 2.0
    # in the hole, or in the tube that takes its place, the bar goes back past the slack and comes in again
    room = max(2.0, BACK_SLACKS * float(lathe.cross.slack_mm) + float(TUBE_BELOW_MM) + BEHIND_MM)
    bars = [bar for bar in BORING_BARS_MM if bar + head_of(bar) <= last_drill - room]
    if not bars:
        raise NotDrawnError
    bar = bars[-1] if len(bars) == 1 or chance.random() < 0.6 else bars[-2]
    means = chance.choice(MEANS)
    stepped = chance.random() < STEPPED_SHARE
    lean, corner = chance.choice((0.0, 1.0, 3.0, 5.0)), chance.choice((0.2, 0.4, 0.5, 0.8))
    along = along_step_mm(lathe)
    rules = step_rules(cut=cut, step=step, floor=floor, along=along, lean_deg=lean, corner=corner)
    wall = chance.uniform(1.5, 7.0) + (rules.height if stepped else 0.0)
    longest = min(22.0, 4.5 * bar - 9.0 - hole.past)
    shortest = 9.0 if stepped else 4.5
    if longest < shortest:
        raise NotDrawnError
    width = round(chance.uniform(shortest, longest), chance.choice((0, 1, 2)))
    sweeps = lathe.top.angle_scale is not None
    drawn_edges = edges(chance, min(1.0, 0.25 * wall, 0.12 * width), means, sweeps=sweeps)
    edges_pm = max(0.15, round(2.5 * step, 3))
    drawn_edges = {edge: legs for edge, legs in drawn_edges.items() if legs.across > edges_pm + LEAST_LEG_MM}
    if hole.leg:
        if hole.leg > 0.3 * wall:
            raise NotDrawnError
        drawn_edges[FRONT_INNER] = Legs(along=hole.leg, across=hole.leg)
    can_be_fine = fine is not None and 2.3 * fine < 2.0 * step
    is_fine = [can_be_fine and free and chance.random() < 0.25 for free in (not hole.dia, True)]
    bands = [
        _fine_half(chance, fine or 0.0, 2.0 * step) if finely else half_band(chance, 2.0 * step) for finely in is_fine
    ]
    draft = RingDraft(
        metal=metal.key,
        bore=bore,
        bore_pm=hole.pm or bands[0],
        outside=round(bore + 2.0 * wall, 2),
        outside_pm=bands[1],
        width=width,
        width_pm=max(0.03, ceil(along * chance.uniform(0.6, 5.0) * 1e4) / 1e4),
        edges=drawn_edges,
        edges_pm=edges_pm,
        true_to=not hole.thread and chance.random() < 0.3,
        corner=corner,
        thread=hole.thread,
    )
    if stepped:
        backs = tuple((of, BACK) for of in BACK_STEPS[means])
        fronts = ((OUTSIDE, FRONT), (BORE, FRONT))
        places = tuple(place for place in (*fronts, *backs) if place[0] == OUTSIDE or not hole.dia)
        draft = with_steps(chance, draft, rules, places)
        if not draft.steps:
            raise NotDrawnError
    return Wish(
        metal=metal,
        draft=draft,
        means=means,
        cut=cut,
        floor=floor,
        step=step,
        bar_dia=bar,
        head=head_of(bar),
        last_drill=last_drill,
        fine_bore=is_fine[0],
        fine_outside=is_fine[1],
        lean_deg=lean,
        sweeps=sweeps,
        top_back=float(lathe.top.slack_mm) + max(OFF_FACE_MM, travel_per_step_mm(lathe.top)),
        hole=hole,
    )


def _hole(chance: Random, *, step: float, drill_chuck_mm: float) -> Bore:
    """How the bore is finished: bored, now and then reamed or tapped."""
    thrown = chance.random()
    if thrown < 0.12 and step <= REAM_STEP_MM:
        return reamed(chance, drill_chuck_mm=drill_chuck_mm)
    return tapped(chance) if thrown > 0.8 else Bore(by=Bored.BORED)


def head_of(bar_dia_mm: float) -> float:
    """How far the tip of a boring bar stands proud of it. [mm]"""
    return 1.5 if bar_dia_mm <= 6 else 2.0


def along_step_mm(lathe: Lathe) -> float:
    """Smallest length that can be set: by the top slide, else by the carriage. [mm]"""
    return travel_per_step_mm(lathe.top)


def edges(chance: Random, most_leg_mm: float, means: str, *, sweeps: bool) -> dict[str, Legs]:
    """Edges of a ring: some sharp, some broken; those that must be cut on the bar have equal legs, for an edge tool."""
    drawn = {}
    for edge in EDGES:
        if most_leg_mm < 0.25 or chance.random() < 0.35:
            continue
        along = round(chance.uniform(0.25, most_leg_mm), 2)
        uneven = sweeps and chance.random() < 0.15 and edge not in FAR_EDGES.get(means, ())
        drawn[edge] = Legs(along=along, across=round(along * chance.uniform(0.7, 1.0), 2) if uneven else along)
    return drawn


def _fine_half(chance: Random, worth_mm: float, coarse_mm: float) -> float:
    """Half a tolerance that the swung top slide meets and the cross-slide does not. [mm]"""
    # two equal last cuts end on every second mark alone
    return ceil(chance.uniform(2.1 * worth_mm, 0.98 * coarse_mm) / 2.0 * 1e4) / 1e4
