"""Tools drawn so that they reach, go in, and leave the edges that the drawing asks for."""

from __future__ import annotations

from math import hypot, radians, tan
from random import Random

from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.motion import Edge
from handwheel.domain.tools import Hand, Tool, ToolKind
from tests.proof.drafts import BACK_INNER, BACK_OUTER, FRONT_INNER, FRONT_OUTER
from tests.proof.rings import COVERED, FAR_EDGES, PLATE, NotDrawnError, Wish

OUTER, INNER = (FRONT_OUTER, BACK_OUTER), (FRONT_INNER, BACK_INNER)
RUB_ROOM_MM = 0.3
"""Metal that may stand behind a ring whose back is to be rubbed, rounding to marks included. [mm]"""
LEAST_WEB_MM, LEAST_WEB_SHARE = 0.6, 0.3
"""Wall that cuts before parting must leave; a little more than what common practice asks."""


COVERED_SHARE, BESIDE_COVER_MM = 0.4, 0.35
"""Share of a flat that washer or plate covers; room between it and a tip, the nose counted. [mm]"""

NOSES_MM = (0.1, 0.2, 0.4)


def _nose(chance: Random, wish: Wish) -> float:
    """Nose of a tool, no larger than the round that the corners of steps may keep."""
    most = wish.draft.corner if wish.draft.steps else NOSES_MM[-1]
    return chance.choice([nose for nose in NOSES_MM if nose <= most])


def _entering(chance: Random, wish: Wish, choices: tuple[float, ...]) -> float:
    """Entering angle, past square by no more than the depths of the steps bear."""
    most = 90.0 + wish.lean_deg if wish.draft.steps else choices[-1]
    return chance.choice([angle for angle in choices if angle <= most])


def turning(chance: Random, edge: Edge, wish: Wish) -> Tool:
    """A right-hand turning and facing tool."""
    return Tool(
        id="drawn-turn",
        name="drawn turning tool",
        kind=ToolKind.TURNING,
        edge=edge,
        hand=Hand.RIGHT,
        nose_radius_mm=_nose(chance, wish),
        edge_radius_um=8.0 if edge is Edge.HSS else chance.choice((10.0, 15.0)),
        entering_deg=_entering(chance, wish, (90.0, 91.0, 93.0, 95.0)),
        shank_mm=chance.choice((8.0, 10.0, 12.0, 16.0)),
        rake_deg=chance.choice((0.0, 5.0, 10.0)),
    )


def boring(chance: Random, edge: Edge, wish: Wish, blade_mm: float) -> Tool:
    """A boring bar that goes into the drilled hole and through ring and slot."""
    return Tool(
        id="drawn-bore",
        name="drawn boring bar",
        kind=ToolKind.BORING,
        edge=edge,
        hand=Hand.RIGHT,
        nose_radius_mm=_nose(chance, wish),
        edge_radius_um=8.0 if edge is Edge.HSS else 10.0,
        entering_deg=_entering(chance, wish, (90.0, 93.0, 95.0)),
        bar_dia_mm=wish.bar_dia,
        head_mm=wish.head,
        reach_mm=round(wish.draft.width + blade_mm + wish.hole.past + 11.0 + chance.uniform(0.0, 25.0), 1),
        rake_deg=chance.choice((0.0, 5.0)),
    )


def blade(chance: Random, wish: Wish) -> Tool:
    """A parting blade that reaches through the wall."""
    width, entering = chance.choice((1.5, 2.0, 2.5)), chance.choice((82.0, 85.0, 90.0))
    slant = width * tan(radians(90.0 - entering))
    return Tool(
        id="drawn-part",
        name="drawn parting blade",
        kind=ToolKind.PARTING,
        edge=Edge.HSS,
        hand=Hand.NEUTRAL,
        entering_deg=entering,
        width_mm=width,
        reach_mm=round(wish.draft.wall_mm + slant + 3.0 + chance.uniform(0.0, 6.0), 1),
    )


def edge_tools(chance: Random, wish: Wish) -> tuple[Tool, ...]:
    """What the edges need: tools with sides at 45 degrees, or nothing where the top slide can be swept instead."""
    far = [edge for edge in FAR_EDGES.get(wish.means, ()) if edge in wish.draft.edges]
    found: list[Tool] = []
    if _needs_vee(chance, wish, OUTER, far=BACK_OUTER in far or not _sweeps_beside_cover(wish)):
        found.append(vee_in(chance))
    if BACK_OUTER in far:
        found.append(groover(chance, wish))
    if _needs_vee(chance, wish, INNER, far=BACK_INNER in far):
        found.append(vee_out(chance, wish))
    return tuple(found)


def _sweeps_beside_cover(wish: Wish) -> bool:
    """Whether the outer edge at the back can be swept: its tip must go back beside what covers two fifths of the flat.

    The handle takes up its slack first and the tip may already move then, so all of that needs room.
    """
    legs = wish.draft.edges.get(BACK_OUTER)
    if wish.means not in COVERED or legs is None:
        return True
    room = (1.0 - COVERED_SHARE) * wish.draft.back_flat() - BESIDE_COVER_MM
    swept = room * hypot(legs.along, legs.across) / legs.across >= wish.top_back
    if not swept and legs.along != legs.across:
        raise NotDrawnError
    return swept


def _needs_vee(chance: Random, wish: Wish, pair: tuple[str, str], *, far: bool) -> bool:
    """Whether an edge tool is drawn; a far edge needs one, others may be swept, uneven ones must be."""
    there = [wish.draft.edges[edge] for edge in pair if edge in wish.draft.edges]
    return bool(there) and (far or not wish.sweeps or chance.random() < 0.5)


def web_is_left(wish: Wish) -> bool:
    """Whether groove and inner far edge together leave enough of the wall that the ring hangs on."""
    draft, far = wish.draft, FAR_EDGES.get(wish.means, ())
    outer, inner = (draft.edges.get(edge) if edge in far else None for edge in (BACK_OUTER, BACK_INNER))
    cut = 0.0
    if outer is not None:
        cut += outer.across + RUB_ROOM_MM + 0.45
    if inner is not None:
        cut += inner.across + RUB_ROOM_MM + 0.15
    return draft.wall_mm - cut >= max(LEAST_WEB_MM, LEAST_WEB_SHARE * draft.wall_mm)


def vee_in(chance: Random) -> Tool:
    """An edge tool with sides at 45 degrees that points in."""
    return Tool(
        id="drawn-vee-outside",
        name="drawn edge tool for outside edges",
        kind=ToolKind.EDGE_OUTSIDE,
        edge=Edge.HSS,
        hand=Hand.NEUTRAL,
        width_mm=chance.choice((6.0, 8.0, 10.0)),
    )


def vee_out(chance: Random, wish: Wish) -> Tool:
    """An edge tool with sides at 45 degrees on a bar that goes into the bore."""
    head = round(max(legs.across for edge, legs in wish.draft.edges.items() if edge in INNER) + 1.8, 1)
    bar = min(12.0, int(wish.draft.bore - 3.0 - head))
    if bar < 3:
        raise NotDrawnError
    return Tool(
        id="drawn-vee-inside",
        name="drawn edge tool for inside edges",
        kind=ToolKind.EDGE_INSIDE,
        edge=Edge.HSS,
        hand=Hand.NEUTRAL,
        width_mm=2.0 * head,
        head_mm=head,
        bar_dia_mm=float(chance.randint(3, int(bar))),
        reach_mm=round(wish.draft.width + 12.0 + head, 1),
    )


def groover(chance: Random, wish: Wish) -> Tool:
    """A grooving tool for the slot behind a far edge."""
    legs = wish.draft.edges[BACK_OUTER]
    return Tool(
        id="drawn-groove",
        name="drawn grooving tool",
        kind=ToolKind.GROOVING,
        edge=Edge.HSS,
        hand=Hand.NEUTRAL,
        width_mm=chance.choice((1.5, 2.0, 2.5)),
        reach_mm=round(legs.across + 4.0 + chance.uniform(0.0, 4.0), 1),
    )


def plate(chance: Random, wish: Wish) -> HoldingMeans:
    """A flat plate with abrasive, on which the back face is rubbed before something presses on it."""
    return HoldingMeans(
        id="drawn-plate",
        kind=PLATE,
        name="drawn flat plate",
        low_dia_mm=0.0,
        high_dia_mm=round(wish.draft.outside * chance.uniform(1.1, 3.0), 1),
        grip_mm=0.0,
        runout_mm=0.0,
        ready_s=float(chance.randint(60, 400)),
        max_rpm=0.0,
    )
