"""The ground of each figure that stands in the words of a hand step or in a note: its rule, on whose word."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from handwheel.data.hazards import gates_of
from handwheel.domain import acts
from handwheel.domain.acts import HandKind
from handwheel.domain.part import Units
from handwheel.domain.said import said_short
from handwheel.planner.holdings.collet import COLLET_OPENS_MM
from handwheel.planner.holdings.cover import COVER_SHARE
from handwheel.planner.holdings.glue_arbor import GLUE_GAP_MM
from handwheel.planner.holdings.lands import ROOM_MM, SHOULDER_IN_MM, SPIGOT_BACK_MM
from handwheel.planner.holdings.pot import POT_LARGER_MM, POT_WALL_MM
from handwheel.planner.holdings.soft_jaws import JAWS_SMALLER_MM
from handwheel.planner.holdings.step_spigot import SPIGOT_SMALLER_MM
from handwheel.planner.kinds.face import RUB_RATE_MM_S
from handwheel.planner.kinds.part import ROD_GAP_MM
from handwheel.planner.trueing import FINEST_MM
from handwheel.report.why.look import Look, Word, figures_of

if TYPE_CHECKING:
    from handwheel.domain.findings import Reason

_FIGURE = r"[\d./+-]+(?: \d+/\d+)?"
_ONE = rf"{_FIGURE} (?:mm|in)"
_LENGTH = rf"{_ONE}(?: to {_ONE})?(?: \({_FIGURE}(?: to {_FIGURE})? (?:mm|in)\))?"
"""A length as it is told: in both units, or in one."""
_SPAN = rf"{_FIGURE} to {_FIGURE} (?:mm|in) \({_FIGURE} to {_FIGURE} (?:mm|in)\)"
_BAND = rf"\+{_FIGURE} (?:mm|in)(?: \(\+{_FIGURE} (?:mm|in)\))?"
_LEGS = rf"{_LENGTH} to {_LENGTH}"

METAL = "metal"
"""Instead of a word: the standing of what is said of the metal."""
HAZARD = "hazard"
"""Instead of a word: the standing of the hazard that is confirmed."""


class Ground(Struct, frozen=True, kw_only=True):
    """Where figures stand in a text, what they are, by which rule, on whose word.

    Parameters
    ----------
    quantity : str
        What the figures are.
    where : str
        Pattern of the words in which they stand.
    relation : str
        The rule.
    word : Word or str
        On whose word; `METAL` and `HAZARD` for what the tables say of the metal.
    lengths_mm : tuple of float
        Lengths of the rule, put where it has braces. [mm]
    """

    quantity: str
    where: str
    relation: str
    word: Word | str = Word.PRACTICE
    lengths_mm: tuple[float, ...] = ()

    def rule(self, units: Units) -> str:
        """The relation, its lengths in both units."""
        return self.relation.format(*(said_short(length, units) for length in self.lengths_mm))


_INSIDE = "{} inside the outside of the front face, but never less than half-way across it: its edge stays free"
_SHOULDER = Ground(
    quantity="shoulder",
    where=rf"shoulder, Ø {_LENGTH}",
    relation=_INSIDE,
    lengths_mm=(SHOULDER_IN_MM,),
)
_LAND = Ground(
    quantity="length that holds",
    where=rf"{_LENGTH} long",
    relation="the land of the bore as far as it is round, less {} behind the face: the tip runs out there",
    lengths_mm=(SPIGOT_BACK_MM,),
)
_SEAT = Ground(
    quantity="depth",
    where=rf"{_LENGTH} deep",
    relation="as deep as the means reach and as the land that is gripped allows, {} off whatever is still to be cut",
    lengths_mm=(ROOM_MM,),
)
_WASHER = Ground(
    quantity="washer or plate",
    where=rf"(?:washer|loose plate) Ø {_LENGTH}",
    relation=f"{COVER_SHARE:g} of the flat of the face: the rest stays free for the tip that touches it",
)

HAND_GROUNDS: Mapping[HandKind, tuple[Ground, ...]] = {
    HandKind.BORE_JAWS: (
        Ground(
            quantity="bore of the jaws",
            where=rf"to Ø {_LENGTH}",
            relation="the outside that is gripped, as it has been cut",
            word=Word.GEOMETRY,
        ),
        Ground(
            quantity="its limits",
            where=_BAND,
            relation="never larger than the ring, up to {} smaller: a larger bore grips on three lines",
            lengths_mm=(JAWS_SMALLER_MM,),
        ),
        _SEAT,
    ),
    HandKind.BORE_POT: (
        Ground(
            quantity="outside of the pot",
            where=rf"Ø {_LENGTH} outside",
            relation="what the shop file says of it, else a wall of {}",
            lengths_mm=(POT_WALL_MM,),
            word=Word.SHOP_FILE,
        ),
        Ground(
            quantity="bore of the pot",
            where=rf"to Ø {_LENGTH}",
            relation="the outside that is gripped, as it has been cut",
            word=Word.GEOMETRY,
        ),
        Ground(
            quantity="its limits",
            where=_BAND,
            relation="up to {} larger than the ring, which slides in; the slit closes it",
            lengths_mm=(POT_LARGER_MM,),
        ),
        _SEAT,
        Ground(quantity="mark", where=r"mark jaw 1", relation="any jaw, but always the same"),
    ),
    HandKind.FIT_COLLET: (
        Ground(
            quantity="collet",
            where=rf"the {_LENGTH} collet",
            relation="of the set, one that closes on the ring; its own size may be up to {} smaller",
            lengths_mm=(COLLET_OPENS_MM,),
            word=Word.SHOP_FILE,
        ),
        Ground(
            quantity="stop",
            where=rf"{_LENGTH} behind its face",
            relation="so deep that what is still to be cut stands out of the collet, {} clear",
            lengths_mm=(ROOM_MM,),
        ),
    ),
    HandKind.TURN_MANDREL: (
        Ground(
            quantity="stub",
            where=rf"about Ø {_LENGTH}",
            relation="the bore that it goes into, as it has been cut: what was measured decides",
            word=Word.GEOMETRY,
        ),
        _LAND,
        _SHOULDER,
    ),
    HandKind.TURN_SPIGOT: (
        Ground(
            quantity="spigot",
            where=rf"bore, Ø {_LENGTH}",
            relation="the bore that it slides into, as it has been cut: what was measured decides",
            word=Word.GEOMETRY,
        ),
        Ground(
            quantity="its limits",
            where=_BAND,
            relation="never larger than the bore, up to {} smaller: the rest is runout",
            lengths_mm=(SPIGOT_SMALLER_MM,),
        ),
        _LAND,
        _SHOULDER,
        _WASHER,
    ),
    HandKind.FIT_MANDREL: (
        Ground(
            quantity="collar",
            where=rf"Ø {_LENGTH} or less",
            relation=_INSIDE,
            lengths_mm=(SHOULDER_IN_MM,),
        ),
        Ground(
            quantity="length that holds",
            where=rf"{_LENGTH} of the bore",
            relation="the land of the bore as far as it is round, no longer than the mandrel expands",
        ),
        Ground(
            quantity="its nose",
            where=rf"{_LENGTH} behind the finished face",
            relation="behind the face and the edges that are cut: the tip runs into the bore there",
        ),
    ),
    HandKind.FACE_PLATE: (
        Ground(
            quantity="driving plate",
            where=rf"to Ø {_LENGTH}",
            relation=_INSIDE,
            lengths_mm=(SHOULDER_IN_MM,),
        ),
        _WASHER,
    ),
    HandKind.TURN_ARBOR: (
        Ground(
            quantity="spigot",
            where=rf"spigot Ø {_LENGTH}",
            relation="{} smaller than the bore: a gap that glue fills",
            lengths_mm=(GLUE_GAP_MM,),
        ),
        _LAND,
        _SHOULDER,
    ),
    HandKind.CATCH_ROD: (
        Ground(
            quantity="rod",
            where=rf"Ø {_LENGTH}",
            relation="{} thinner than the bore, never less than half of it, and no more than the drill chuck takes",
            lengths_mm=(ROD_GAP_MM,),
        ),
    ),
    HandKind.RUB_FACE: (
        Ground(
            quantity="width to reach",
            where=rf"until the width is {_LENGTH}",
            relation="the middle of the limits of the width",
            word=Word.PART_FILE,
        ),
        Ground(
            quantity="what is rubbed off",
            where=rf"about {_LENGTH} less",
            relation="what parting leaves behind the finished face for rubbing, by the shop's habit",
        ),
    ),
    HandKind.CLEAN: (
        Ground(
            quantity="grit",
            where=r"\d+ grit",
            relation="takes about {} off in a minute; finer paper is slower and leaves a finer face",
            lengths_mm=(60.0 * RUB_RATE_MM_S,),
        ),
    ),
    HandKind.TAP: (
        Ground(
            quantity="thread",
            where=r"^Tap \S+?(?=\. On)",
            relation="as the part file has it",
            word=Word.PART_FILE,
        ),
        Ground(
            quantity="turns",
            where=r"about \d+ turns",
            relation="length of the hole with the tap's lead / pitch",
            word=Word.GEOMETRY,
        ),
    ),
    HandKind.BREAK_EDGE: (
        Ground(quantity="legs", where=_LEGS, relation="limits of the broken edge", word=Word.PART_FILE),
        Ground(
            quantity="lines of the rule",
            where=r"rule with .+? lines",
            relation="the finest rule that hangs in most shops of this unit",
        ),
        Ground(
            quantity="share of a gap",
            where=r"along the edge is .+? of the gap",
            relation="legs / gap between two lines, to a tenth: the eye tells no more",
            word=Word.GEOMETRY,
        ),
    ),
    HandKind.CONFIRM: (
        Ground(quantity="what must be ready", where=r"^.*$", relation="hazard of the metal", word=HAZARD),
    ),
    HandKind.NOTE: (
        Ground(
            quantity="blank",
            where=rf"blank of {_LENGTH}",
            relation="stick-out and length of the jaws together",
            word=Word.GEOMETRY,
        ),
        Ground(
            quantity="bore of the spindle",
            where=rf"spindle \(Ø {_LENGTH}\)",
            relation="what passes through it",
            word=Word.SHOP_FILE,
        ),
        Ground(
            quantity="collet for the bar",
            where=rf"the {_LENGTH} collet.*?grips {_SPAN}",
            relation="the collet that takes the bar over its whole tolerance, and what it closes",
            word=Word.SHOP_FILE,
        ),
        Ground(
            quantity="longest piece",
            where=rf"at most {_LENGTH}",
            relation="what stands out behind the spindle stays below half the speed at which it would whirl",
            word=Word.GEOMETRY,
        ),
        Ground(quantity="bar on the rack", where=rf"bar of {_LENGTH}", relation="its length", word=Word.SHOP_FILE),
    ),
}
"""Of every kind of hand step in whose words figures may stand."""

NOTE_GROUNDS: Mapping[type[acts.ActBase], tuple[Ground, ...]] = {
    acts.SetFeed: (
        Ground(
            quantity="end of the power feed",
            where=rf"feed off {_LENGTH}",
            relation="room for a hand to knock it off and end the cut itself",
        ),
    ),
    acts.SetZero: (
        Ground(
            quantity="width of the raw ring",
            where=rf"raw width was not {_LENGTH}",
            relation="the finished width and what parting left behind it",
            word=Word.GEOMETRY,
        ),
        Ground(
            quantity="width to reach",
            where=rf"the width, {_LENGTH}",
            relation="the middle of the limits of the width",
            word=Word.PART_FILE,
        ),
        Ground(
            quantity="where the tool stands meanwhile",
            where=rf"(?:stands|corner) .*?{_LENGTH}",
            relation="from the settings so far and the shape of the tool",
            word=Word.GEOMETRY,
        ),
    ),
    acts.SwingSlide: (
        Ground(
            quantity="how far off parallel",
            where=rf"by {_LENGTH} at most",
            relation="a quarter of the least tolerance of a diameter may go to taper; no less than an indicator tells "
            "({})",
            lengths_mm=(FINEST_MM,),
        ),
    ),
    acts.FitTool: (
        Ground(
            quantity="rake of this tool",
            where=r"this tool has [\d.]+° of rake",
            relation="as it is ground",
            word=Word.SHOP_FILE,
        ),
        Ground(quantity="edge", where=r"[^;]*\d[^;]*", relation="what the metal asks of an edge", word=METAL),
    ),
    acts.Indicate: (
        Ground(
            quantity="growth on the mandrel",
            where=rf"at [\d.]+ MPa .*?{_LENGTH}",
            relation="a ring under pressure from inside (Lamé), at the pressure that the shop file has",
            word=Word.GEOMETRY,
        ),
    ),
    acts.Measure: (
        Ground(
            quantity="a shoulder too shallow",
            where=r"carriage is back at its 0",
            relation="0 of the dial as it was set at the face",
            word=Word.GEOMETRY,
        ),
    ),
}
"""Of every kind of act in whose note figures may stand."""

OTHERWISE = Ground(
    quantity="other figures",
    where=r"^.*$",
    relation="from the sizes and limits of this job",
    word=Word.GEOMETRY,
)
"""Of figures that no ground speaks of."""


def hand_whys(kind: HandKind, text: str, look: Look) -> Iterator[Reason]:
    """Reasons for the figures in the words of a hand step."""
    yield from _whys(HAND_GROUNDS.get(kind, ()), text, look)


def note_whys(act: acts.ActBase, look: Look) -> Iterator[Reason]:
    """Reasons for the figures in an act's note."""
    yield from _whys(NOTE_GROUNDS.get(type(act), ()), act.note, look)


def _whys(grounds: tuple[Ground, ...], text: str, look: Look) -> Iterator[Reason]:
    told: set[str] = set()
    for ground in grounds:
        found = re.search(ground.where, text)
        if found is None or not figures_of(found[0]) - told:
            continue
        told |= figures_of(found[0])
        yield _why(ground, found[0], look)
    if figures_of(text) - told:
        yield _why(OTHERWISE, text, look)


def _why(ground: Ground, value: str, look: Look) -> Reason:
    rule = ground.rule(look.lengths.units)
    if isinstance(ground.word, Word):
        return look.why(ground.quantity, value, rule, word=ground.word)
    reason = look.why(ground.quantity, value, rule)
    if look.material is None:
        return reason
    if ground.word == HAZARD:
        gate = next((gate for gate in gates_of(look.material) if gate.text in value or value in gate.text), None)
        if gate is not None:
            return replace(reason, source_key=gate.source_key, standing=gate.standing.value)
    return replace(reason, source_key=look.material.source_key, standing=look.material.standing.value)
