"""Mutations of cuts, ways, places and measurements."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.data.materials import CautionKind, material
from handwheel.domain import acts as a
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.motion import Motion
from handwheel.domain.part import BORE, Aspect
from handwheel.domain.shop import Shop
from tests.replay.mutation import Fate, Mutation, Writer
from tests.replay.story import Moment, Story, changed

MEASURED_OFF_MM = 0.02
LIMIT_OFF_MM = 0.05
NEARER_MM = 3.0


def make(story: Story) -> Iterator[Mutation]:
    """All of them."""
    writer = Writer(story)
    for moment in story.moments:
        act = moment.act
        if isinstance(act, a.Cut):
            yield from _cut(writer, moment, act)
        elif isinstance(act, a.Retract):
            flipped = changed(act, motion=act.motion.other)
            why = "it leads into the metal, or what follows does (by the simple replay)"
            yield writer.caught("retract the other way", moment, why, flipped, judged=True)
            if act.turns is not None:
                twice = changed(act, turns=act.turns * 2)
                yield writer.caught("retract's turns wrong", moment, "twice the printed distance", twice)
        elif isinstance(act, a.Approach):
            yield from _approach(writer, moment, act)
        elif isinstance(act, a.Measure):
            yield from _measure(writer, moment, act)
    yield from _uncautioned(writer)
    yield from _unconfirmed(writer)
    yield from _parted_in_silence(writer)


def _cut(writer: Writer, moment: Moment, act: a.Cut) -> Iterator[Mutation]:
    half = changed(act, depth_mm=act.depth_mm / 2.0)
    yield writer.caught("depth of cut halved", moment, "the edge meets twice the printed depth", half)
    kinds = {a.FeedKind.POWER: a.FeedKind.HAND, a.FeedKind.HAND: a.FeedKind.POWER}
    other = changed(act, feed=kinds[act.feed])
    yield writer.caught("feed of the other kind", moment, "no such feed was set for this handle", other)
    flipped = changed(act, motion=act.motion.other)
    if act.to is not None:
        yield writer.caught("cut's motion flipped", moment, "the setting lies the other way", flipped)
        long = changed(act, length_mm=1.5 * act.length_mm)
        yield writer.caught("length of cut wrong", moment, "half as much again as the way to its setting", long)
        none = changed(act, to=None, length_mm=act.length_mm / 2.0)
        why = "half of the metal stays (by the simple replay)"
        yield writer.caught("cut half as far", moment, why, none, judged=True)
        return
    why = "the metal stays, or other metal goes (by the simple replay)"
    yield writer.caught("cut's motion flipped", moment, why, flipped, judged=True)
    for factor, kind in ((0.5, "cut half as far"), (3.0, "cut three times as far")):
        far = changed(act, length_mm=factor * act.length_mm)
        yield writer.caught(kind, moment, why, far, judged=True)


def _approach(writer: Writer, moment: Moment, act: a.Approach) -> Iterator[Mutation]:
    why = "the tool stands in metal, or touches another place (by the simple replay)"
    for dz, dx in ((-NEARER_MM, 0.0), (0.0, -NEARER_MM), (0.0, NEARER_MM)):
        place = changed(act, z_mm=act.z_mm + dz, x_radius_mm=act.x_radius_mm + dx)
        yield writer.caught("approach to another place", moment, why, place, judged=True)
    for last in (Motion.RIGHT, Motion.OUT):
        through = changed(act, last=last)
        yield writer.caught("approach through the work", moment, "it comes from the right or from outside", through)


def _measure(writer: Writer, moment: Moment, act: a.Measure) -> Iterator[Mutation]:
    for sign in (-1, 1):
        off = changed(act, expected_mm=act.expected_mm + sign * MEASURED_OFF_MM)
        yield writer.caught("expected reading off", moment, f"the work measures {MEASURED_OFF_MM} mm otherwise", off)
    if act.aspect == Aspect.DIAMETER.value:
        radius = changed(act, expected_mm=act.expected_mm / 2.0)
        yield writer.caught("expected reading a radius", moment, "a gauge reads the diameter", radius)
    yield writer.caught("gauge of no name", moment, "the shop has none such", changed(act, gauge="gauge-none"))
    for gauge, why in _wrong_gauges(writer.story.shop, act):
        yield writer.caught("wrong gauge", moment, why, changed(act, gauge=gauge))
    if act.final:
        wide = changed(act, upper_mm=act.upper_mm + LIMIT_OFF_MM)
        yield writer.caught("limit printed wrong", moment, "the drawing's upper limit is lower", wide)
        low = changed(act, lower_mm=act.lower_mm - LIMIT_OFF_MM)
        yield writer.caught("limit printed wrong", moment, "the drawing's lower limit is higher", low)
    if act.mark_worth_mm:
        for factor, what in ((2.0, "twice"), (0.5, "half")):
            worth = changed(act, mark_worth_mm=factor * act.mark_worth_mm)
            yield writer.caught("worth of a mark", moment, f"{what} of what a mark changes is printed", worth)
    band = changed(act, stop_low_mm=act.expected_mm + 0.01, stop_high_mm=act.expected_mm + 0.2)
    yield writer.caught("stop band beside the reading", moment, "the right reading would stop the work", band)
    start = a.StartSpindle(id=f"{act.id}x", step=act.step)
    stop = a.StopSpindle(id=f"{act.id}y", step=act.step)
    if moment.holding is not None:
        yield writer.caught("spindle started for the gauge", moment, "a gauge near turning work", start, act, stop)


def _wrong_gauges(shop: Shop, act: a.Measure) -> Iterator[tuple[str, str]]:
    """Gauges that measure something else, or do not reach: of a bore and its steps, an outside, a depth or a width."""
    round_use = GaugeUse.BORE if act.surface.startswith(BORE) else GaugeUse.OUTSIDE
    use = {Aspect.DIAMETER.value: round_use, Aspect.DEPTH.value: GaugeUse.DEPTH}.get(act.aspect, GaugeUse.LENGTH)
    for gauge in shop.gauges:
        if use not in gauge.uses:
            yield gauge.id, f"{gauge.name} does not measure that"
        elif not gauge.low_mm <= act.expected_mm <= gauge.high_mm:
            yield gauge.id, f"{gauge.name} does not reach that size"


def _uncautioned(writer: Writer) -> Iterator[Mutation]:
    """All cautions gone from a sheet in a metal whose swarf burns."""
    story = writer.story
    if not material(story.job.sheet.part.material).has_hazard(CautionKind.FIRE):
        return
    first = next(moment for moment in story.moments if isinstance(moment.act, a.Cut))
    acts = tuple(changed(act, cautions=()) for act in story.acts)
    why = "a caution stands before the first cut in a metal that burns, and cannot be switched off"
    yield writer.whole("no cautions", first, why, Fate.CAUGHT, acts)


def _unconfirmed(writer: Writer) -> Iterator[Mutation]:
    """What a hazardous metal asks for first: not asked, asked otherwise, asked when the bar is gripped already."""
    story = writer.story
    loaded = next(moment for moment in story.moments if isinstance(moment.act, a.LoadBar))
    for moment in story.moments:
        act = moment.act
        if not isinstance(act, a.HandStep) or act.kind is not a.HandKind.CONFIRM:
            continue
        yield writer.caught("hazard not confirmed", moment, "the metal is gripped and nothing was asked")
        note = changed(act, kind=a.HandKind.NOTE)
        yield writer.caught("a question called a note", moment, "a note is not answered", note)
        words = changed(act, text="All ready?")
        yield writer.caught("another question", moment, "what must be at hand is named, word for word", words)
        rest = tuple(other for other in story.acts[: loaded.index + 1] if other is not act)
        late = (*rest, act, *story.acts[loaded.index + 1 :])
        yield writer.whole("asked too late", moment, "the bar is gripped before it is asked", Fate.CAUGHT, late)


def _parted_in_silence(writer: Writer) -> Iterator[Mutation]:
    """The cut that frees the ring without a caution."""
    for moment in writer.story.moments:
        after = writer.story.after(moment)
        if isinstance(moment.act, a.Cut) and after is not None and isinstance(after.act, a.PartOff):
            bare = changed(moment.act, cautions=())
            yield writer.caught("parted in silence", moment, "nobody is told to keep the hands away", bare)
