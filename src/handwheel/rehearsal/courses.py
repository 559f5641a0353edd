"""The course of each size of a part through its sheet: touches, cuts and stops from the first cut to the last."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct
from msgspec.structs import replace

from handwheel.bench.stops import Stop, stops
from handwheel.domain import acts as a
from handwheel.domain.motion import Handle
from handwheel.domain.part import Aspect, Part, SizedFeature
from handwheel.domain.plan import Sheet
from handwheel.domain.shop import Shop

MEASURED = (Aspect.DIAMETER, Aspect.WIDTH, Aspect.DEPTH)
"""Sizes that a gauge reads and a slide cuts square; edges, angles and rounds the virtual lathe does not know."""


class Block(Struct, frozen=True, kw_only=True):
    """Cuts up to a stop, in the sheet's order.

    Parameters
    ----------
    stop : Stop
        Where the size is read after them.
    left_mm : tuple of float
        Metal that the sheet means each cut to leave, up to the aim of the size. [mm of travel]
    touches : bool
        Whether the tool is touched off anew before them.
    fine : bool
        Whether they are set by the swung top slide.
    warmed : bool
        Whether other cuts have warmed the work since this size was read, or since it last cooled.
    cooled_s : float
        Waiting to cool on the sheet just before the first of them. [s]
    cutting_s : float
        Time of each of these cuts; 0 if there is none. [s]
    speed_m_min : float
        Cutting speed at the last of them. [m/min]
    """

    stop: Stop
    left_mm: tuple[float, ...]
    touches: bool
    fine: bool
    warmed: bool
    cooled_s: float
    cutting_s: float
    speed_m_min: float


class Course(Struct, frozen=True, kw_only=True):
    """One size from its first cut to its last.

    Parameters
    ----------
    feature : SizedFeature
        The size.
    by_sheet : tuple of Block
        All that the sheet has up to each stop at the lathe, the last cuts too.
    planned : tuple of Block
        What is done as the sheet has it: roughing, and whatever cannot be read before it is cut.
    advised : Block or None
        The first of the last cuts: from here on each next act is what the bench advises; ``None`` where the sheet
        leaves no room for that, for the work is read in the hand.
    last : Stop
        The last stop: where the size is judged at the lathe, or in the hand.
    start_mm : float
        Size before the first of the cuts. [mm of reading]
    zero_left_mm : float
        How far the first zero stands from the aim: more than what is cut where turning to a shoulder has taken most
        of it. [mm of travel]
    drill : str
        Drill that made the hole that is bored; empty for anything else.
    last_cut_mm, most_cut_mm : float
        Depth of the last cut on the sheet, and of the deepest. [mm of travel]
    step : str
        Id of the step in which the last cut is made.
    check_travel_mm : float
        Way over which the sheet has the angle of a slide swung for these cuts checked; 0 if none is swung. [mm]
    """

    feature: SizedFeature
    by_sheet: tuple[Block, ...]
    planned: tuple[Block, ...]
    advised: Block | None
    last: Stop
    start_mm: float
    zero_left_mm: float
    drill: str
    last_cut_mm: float
    most_cut_mm: float
    step: str
    check_travel_mm: float = 0.0

    @property
    def key(self) -> str:
        """Name of the size, such as ``"bore diameter"``."""
        return self.feature.id

    @property
    def blocks(self) -> tuple[Block, ...]:
        """All blocks in order."""
        return (*self.planned, self.advised) if self.advised is not None else self.planned

    @property
    def scaled(self) -> Stop:
        """The last stop with a scale, the tool of the last cut in the post."""
        found = [block.stop for block in self.blocks if block.stop.scale is not None]
        return replace(self.last if self.last.scale is not None else found[-1], tool=self.last.tool)


class Unplayed(Struct, frozen=True, kw_only=True):
    """A size that is not rehearsed, and why."""

    feature: SizedFeature
    why: str


def courses_of(sheet: Sheet, shop: Shop) -> tuple[tuple[Course, ...], tuple[Unplayed, ...]]:
    """Course of each size that the virtual lathe can make, in the order in which the sheet finishes them; the rest.

    Raises
    ------
    KeyError
        If the sheet names a tool or gauge that the shop does not have.
    """
    all_stops = stops(sheet, shop)
    places = {act.id: index for index, act in enumerate(sheet.acts)}
    played: list[tuple[int, Course]] = []
    unplayed: list[Unplayed] = []
    for feature in sheet.part.sizes:
        own = [one for one in all_stops if (one.surface, one.aspect) == (feature.surface, feature.aspect)]
        why = _why_not(feature, own, sheet.part)
        if why:
            unplayed.append(Unplayed(feature=feature, why=why))
            continue
        course = _course(sheet, feature, own)
        played.append((places[course.last.act], course))
    return tuple(course for _, course in sorted(played, key=lambda pair: pair[0])), tuple(unplayed)


def _why_not(feature: SizedFeature, own: Sequence[Stop], part: Part) -> str:
    """Why a size is not rehearsed; empty if it is. The first that holds is told."""
    is_bore = feature.aspect is Aspect.DIAMETER and any(one.grows for one in own)
    reasons = (
        (feature.aspect not in MEASURED, "an edge, an angle or a round: cut to a touch and not measured at the lathe"),
        (not own, "the sheet does not measure it"),
        (any(one.after.reamed for one in own), "a reamer makes it; the virtual lathe has none"),
        (part.thread is not None and is_bore, "a tap goes through it"),
        (any(one.after.rubbed_mm > 0.0 for one in own), "rubbed to size by hand on a plate"),
        (any(one.gauge is None for one in own), "no gauge of the shop reads it"),
        (
            not any(one.after.cuts or one.cuts for one in own),
            "no cut of the sheet is set to it (drilled, or parted off at it)",
        ),
        (all(one.scale is None for one in own), "its cuts are set by no scale"),
    )
    return next((why for holds, why in reasons if holds), "")


def _course(sheet: Sheet, feature: SizedFeature, own: Sequence[Stop]) -> Course:
    """Course of a size whose stops these are, the last of them perhaps in the hand."""
    at_lathe = [one for one in own if one.ready]
    used = at_lathe or list(own[:2])
    blocks = [_block(sheet, used, place) for place in range(len(used))]
    final = [place for place, stop in enumerate(used) if stop.ready and stop.step == used[-1].step]
    free = final[0] if final else len(used)
    if at_lathe and free == 0:  # nothing is read before the first of the last cuts: it goes by the sheet
        free = 1
    planned, advised = tuple(blocks[:free]), None
    if at_lathe:
        # of a size that is read but once the cut is the sheet's, and what comes after that reading is advised
        advised = blocks[free] if free < len(blocks) else _empty_after(blocks[-1])
    first = used[0]
    start_mm = first.expected_mm + _shrinks(first) * first.per_travel * sum(cut.depth_mm for cut in first.cuts)
    depths = [cut.depth_mm for stop in used for cut in (*stop.cuts, *stop.after.cuts)]
    return Course(
        feature=feature,
        by_sheet=tuple(blocks),
        planned=planned,
        advised=advised,
        start_mm=start_mm,
        zero_left_mm=_zero_left_mm(first, start_mm),
        drill=_drilled(sheet, first),
        last_cut_mm=depths[-1],
        most_cut_mm=max(depths),
        last=used[-1],
        step=_step_of_last_cut(sheet, used),
        check_travel_mm=_check_travel_mm(sheet, used[-1]),
    )


def _step_of_last_cut(sheet: Sheet, used: Sequence[Stop]) -> str:
    made = [cut.act for stop in used for cut in (*stop.cuts, *stop.after.cuts)]
    return next(act.step for act in sheet.acts if act.id == made[-1])


def _check_travel_mm(sheet: Sheet, stop: Stop) -> float:
    if stop.scale is None or not stop.scale.is_fine:
        return 0.0
    angles = [act for act in sheet.acts[: _place_of(sheet, stop.act)] if isinstance(act, a.SwingSlide)]
    return angles[-1].check_travel_mm


def _shrinks(stop: Stop) -> float:
    """+1 where metal that is cut makes the reading smaller."""
    return -1.0 if stop.grows else 1.0


def _left_mm(stop: Stop, reading_mm: float) -> float:
    return _shrinks(stop) * (reading_mm - stop.target_mm) / stop.per_travel


def _block(sheet: Sheet, used: Sequence[Stop], place: int) -> Block:
    """The cuts between a stop and the one before it."""
    stop = used[place]
    before = used[place - 1] if place else None
    cuts = stop.cuts if before is None else before.after.cuts
    left = _left_mm(stop, stop.expected_mm)
    lefts: list[float] = []
    for cut in reversed(cuts):
        lefts.append(left)
        left += cut.depth_mm
    acts = {act.id: act for act in sheet.acts}
    made = [act for cut in cuts if isinstance(act := acts[cut.act], a.Cut)]
    start = _place_of(sheet, before.act) if before is not None else 0
    warmed, cooled_s = _warmth(sheet.acts[start : _place_of(sheet, cuts[0].act) if cuts else start])
    return Block(
        stop=stop,
        left_mm=tuple(reversed(lefts)),
        touches=bool(cuts) and (before is None or not before.after.same_zero),
        fine=stop.ready and stop.scale is not None and stop.scale.is_fine,
        warmed=warmed,
        cooled_s=cooled_s,
        cutting_s=sum(one.seconds for one in made) / len(made) if made else 0.0,
        speed_m_min=_speed_before(sheet, made[-1].id) if made else 0.0,
    )


def _empty_after(block: Block) -> Block:
    """The same stop once more, with nothing cut in between."""
    return Block(
        stop=block.stop,
        left_mm=(),
        touches=False,
        fine=block.fine,
        warmed=False,
        cooled_s=0.0,
        cutting_s=block.cutting_s,
        speed_m_min=block.speed_m_min,
    )


def _warmth(acts: Iterable[a.Act]) -> tuple[bool, float]:
    """Whether cuts among these acts have warmed the work, and the waiting to cool after the last of them. [s]"""
    warmed, cooled_s = False, 0.0
    for act in acts:
        if isinstance(act, a.Cut | a.DrillHole | a.ReamHole):
            warmed, cooled_s = True, 0.0
        elif isinstance(act, a.Cool):
            cooled_s += act.seconds
    return warmed, cooled_s


def _place_of(sheet: Sheet, act_id: str) -> int:
    return next(index for index, act in enumerate(sheet.acts) if act.id == act_id)


def _speed_before(sheet: Sheet, act_id: str) -> float:
    """Cutting speed set last before an act; 0 if none was. [m/min]"""
    found = 0.0
    for act in sheet.acts[: _place_of(sheet, act_id)]:
        if isinstance(act, a.SetSpeed):
            found = act.cutting_speed_m_min
    return found


def _zero_left_mm(first: Stop, start_mm: float) -> float:
    """Travel from the first zero to the aim: from the face for the depth of a shoulder, else from the surface."""
    if first.aspect is Aspect.DEPTH and first.zero is not None:
        return first.target_mm + first.zero.stands_for_mm
    return _left_mm(first, start_mm)


def _drilled(sheet: Sheet, first: Stop) -> str:
    """Drill that made the hole before the first cut of a bore; empty for anything else."""
    if not first.grows or first.aspect is not Aspect.DIAMETER or not first.cuts:
        return ""
    drill = ""
    for act in sheet.acts[: _place_of(sheet, first.cuts[0].act)]:
        if isinstance(act, a.FitDrill):
            drill = act.drill
        elif isinstance(act, a.Cut) and act.surface == first.surface and act.id != first.cuts[0].act:
            return ""
    touched = first.zero is not None and first.zero.surface == first.surface
    return drill if touched else ""


def usual_handle(stop: Stop) -> Handle:
    """Handle that sets the depth when no slide is swung."""
    return Handle.CROSS if stop.scale is None or stop.scale.is_fine else stop.scale.handle


def gauges_of(courses: Iterable[Course]) -> tuple[str, ...]:
    """Ids of all gauges that the courses read with."""
    read = [stop.gauge for one in courses for stop in (*(block.stop for block in one.blocks), one.last)]
    return tuple(sorted({gauge.id for gauge in read if gauge is not None}))
