"""Mutations that change nothing that matters: each must pass."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from msgspec.structs import replace

from handwheel.domain import acts as a
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.part import BORE, Aspect
from handwheel.domain.tools import ToolKind
from tests.replay.mutation import Fate, Mutation, Writer
from tests.replay.story import Moment, Story, changed, is_behind, setting_of, used_later, with_setting
from tests.replay.wrong_order import moves
from tests.replay.wrong_readings import across, at, position

FURTHER_MM = 0.3
INSIDE_KINDS = (ToolKind.BORING, ToolKind.EDGE_INSIDE, ToolKind.FORM_INSIDE)
LIMIT_MARGIN_MM = 0.002
ZERO_SETTERS = (a.SetZero, a.SetCollar, a.SetReadout)


def make(story: Story) -> Iterator[Mutation]:
    """All of them."""
    writer = Writer(story)
    for moment in story.moments:
        yield from _words(writer, moment)
        yield from _waiting(writer, moment)
        yield from _further(writer, moment)
        yield from _back_off(writer, moment)
        yield from _unused(writer, moment)
    yield from _whole_sheet(writer)
    yield from finishing_mark(writer)


def _words(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act = moment.act
    note = changed(act, note="said in other words")
    yield writer.harmless("another note", moment, "a note is for the reader; no figure hangs on it", note)
    more = changed(act, cautions=(*act.cautions, "Mind the sharp edges."))
    yield writer.harmless("one more caution", moment, "a caution takes nothing away", more)
    if isinstance(act, a.HandStep) and act.kind in (a.HandKind.LUBRICATE, a.HandKind.NOTE, a.HandKind.INK):
        oil = changed(act, text="Another lubricant, in other words.")
        yield writer.harmless("another lubricant", moment, "the text of a hand step cuts nothing", oil)
    if isinstance(act, a.Approach | a.Touch):
        words = changed(act, place="there") if isinstance(act, a.Approach) else changed(act, contact="the edge")
        yield writer.harmless("place in other words", moment, "the figures say the place", words)


def _waiting(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act = moment.act
    new = f"{act.id}x"
    if isinstance(act, a.Cool):
        yield writer.harmless("cool longer", moment, "colder is no worse", changed(act, seconds=2.0 * act.seconds))
    note = a.HandStep(id=new, step=act.step, kind=a.HandKind.NOTE, text="Breathe.")
    yield writer.harmless("a note between", moment, "a note moves nothing", note, act)
    if moment.running:
        return
    stop = a.StopSpindle(id=new, step=act.step)
    if isinstance(act, a.Measure):
        yield writer.harmless("stop before measuring", moment, "it stands already", stop, act)
        yield writer.harmless("measure twice", moment, "a second look changes nothing", changed(act, id=new), act)
        cool = a.Cool(id=new, step=act.step, seconds=60.0)
        yield writer.harmless("cool before measuring", moment, "colder is no worse", cool, act)
    if isinstance(act, a.Indicate):
        yield writer.harmless("indicate twice", moment, "a second look changes nothing", changed(act, id=new), act)
    if isinstance(act, a.HandStep) and act.kind is a.HandKind.DEBURR:
        yield writer.harmless("deburr twice", moment, "what is off is off", changed(act, id=new), act)


def _further(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act, story = moment.act, writer.story
    if isinstance(act, a.DrillHole):
        shorter = changed(act, peck_mm=act.peck_mm / 2.0)
        yield writer.harmless("peck oftener", moment, "chips clear better", shorter)
    if isinstance(act, a.Retract) and act.motion in (Motion.OUT, Motion.RIGHT) and _then_set(story, moment, act.handle):
        dial = story.shop.lathe.slide(act.handle).dial
        more = Fraction(1) if act.turns is not None else None
        extra = float(dial.lead_mm) if more is not None and dial is not None else 2.0
        longer = changed(
            act,
            distance_mm=act.distance_mm + extra,
            turns=None if act.turns is None else act.turns + Fraction(1),
        )
        inside = moment.tool is not None and moment.tool.kind in INSIDE_KINDS
        if not (inside and act.motion is Motion.OUT) and not moment.swing_deg:
            why = "further out in free air; the handle is next set by a figure, or the place is given up"
            yield writer.harmless("retract further", moment, why, longer, judged=True)
    if isinstance(act, a.Approach):
        touch = next((item.act for item in story.later(moment) if isinstance(item.act, a.Touch)), None)
        outside = moment.tool is None or moment.tool.kind not in INSIDE_KINDS
        if touch is not None and touch.motion is Motion.LEFT and not (touch.handle is Handle.TOP and moment.swing_deg):
            back = changed(act, z_mm=act.z_mm + FURTHER_MM)
            why = "the touch that follows leads along the same line to the same place"
            yield writer.harmless("approach from further off", moment, why, back, judged=True)
        elif touch is not None and touch.motion is Motion.IN and outside:
            back = changed(act, x_radius_mm=act.x_radius_mm + FURTHER_MM)
            why = "the touch that follows leads along the same line to the same place"
            yield writer.harmless("approach from further off", moment, why, back, judged=True)


def _then_set(story: Story, moment: Moment, handle: Handle) -> bool:
    """Whether the handle's next movement starts from nowhere: a move to a figure, an approach, or none at all."""
    for later in story.later(moment):
        act = later.act
        if isinstance(act, a.Approach | a.FitTool | a.SwingSlide | a.Regrip):
            return True
        if isinstance(act, a.Move) and act.setting.handle is handle:
            return True
        if moves(act, handle):
            return False
    return True


def _back_off(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    setting = setting_of(moment.act)
    if setting is None or setting.kind is not a.SettingKind.MARKS:
        return
    if not is_behind(moment):
        more = replace(setting, back_off_marks=2 * setting.back_off_marks + 1)
        why = "the setting lies ahead: the handle goes straight to it"
        yield writer.harmless("larger back-off", moment, why, with_setting(moment.act, more))
    elif not (moment.tool is not None and moment.tool.kind in INSIDE_KINDS) and not moment.swing_deg:
        more = replace(setting, back_off_marks=setting.back_off_marks + 5)
        why = "a little further back, where the tool has just come from"
        yield writer.harmless("larger back-off", moment, why, with_setting(moment.act, more))


def _unused(writer: Writer, moment: Moment) -> Iterator[Mutation]:
    act = moment.act
    if isinstance(act, a.SetZero) and not used_later(writer.story, moment, act.zero):
        replaces = any(handle is act.handle for handle in moment.live.values())
        if not replaces:
            yield writer.harmless("unused zero left out", moment, "no setting counts from it")


def _whole_sheet(writer: Writer) -> Iterator[Mutation]:
    story = writer.story
    first = story.moments[0]
    steps = {step: f"step-{index}" for index, step in enumerate(dict.fromkeys(act.step for act in story.acts))}
    renamed = tuple(changed(act, step=steps[act.step]) for act in story.acts)
    yield writer.whole("steps renamed", first, "a step's name groups acts, no more", Fate.HARMLESS, renamed)
    numbered = tuple(changed(act, id=f"act-{index}") for index, act in enumerate(story.acts))
    yield writer.whole("acts renumbered", first, "an act's id tells it apart, no more", Fate.HARMLESS, numbered)
    names = {act.zero: f"naught-{act.zero}" for act in story.acts if isinstance(act, ZERO_SETTERS)}
    zeros = tuple(_with_zero(act, names) for act in story.acts)
    yield writer.whole("zeros renamed", first, "a zero's name tells it apart, no more", Fate.HARMLESS, zeros)


def _with_zero(act: a.Act, names: dict[str, str]) -> a.Act:
    if isinstance(act, ZERO_SETTERS):
        return changed(act, zero=names[act.zero])
    setting = setting_of(act)
    return act if setting is None else with_setting(act, replace(setting, zero=names[setting.zero]))


def finishing_mark(writer: Writer) -> Iterator[Mutation]:
    """The last cut of the bore some marks deeper or shallower, with every figure that follows from it.

    Harmless while the bore stays within its limits, wrong as soon as it does not: the limits decide and nothing else.
    """
    story = writer.story
    cuts = [m for m in story.moments if isinstance(m.act, a.Cut) and m.act.surface == BORE]
    if not cuts:
        return  # the bore is drilled and reamed
    settings = [
        m for m in story.moments[: cuts[-1].index] if isinstance(m.act, a.Move) and across(m, m.act.setting.handle)
    ]
    cut, move = cuts[-1], settings[-1]
    gripped = any(isinstance(act, a.Regrip) and act.holding.gripped_surface == BORE for act in story.acts)
    feature = story.job.sheet.part.feature(BORE, Aspect.DIAMETER)
    touched = any(isinstance(m.act, a.SetZero) and m.act.surface == BORE for m in story.moments[cuts[-1].index :])
    if not isinstance(move.act, a.Move) or not isinstance(cut.act, a.Cut) or gripped or touched or feature is None:
        return
    setting = move.act.setting
    dial = story.shop.lathe.slide(setting.handle).dial
    if dial is None or setting.handle is not Handle.CROSS:
        return
    outward = -1 if story.shop.lathe.cross.clockwise_moves is Motion.IN else 1
    mark = 2.0 * float(dial.lead_mm / dial.marks)
    low, high = float(feature.size.cut_lower), float(feature.size.cut_upper)
    for marks in (-3, -2, -1, 1, 2, 3):
        bigger = marks * mark
        size = setting.expected_mm + bigger
        if min(abs(size - low), abs(size - high)) < LIMIT_MARGIN_MM:
            continue
        inside = low < size < high
        moved = replace(at(setting, dial, position(setting, dial) + outward * marks), expected_mm=size)
        acts = tuple(_bored(act, cut.act, move.act, moved, bigger) for act in story.acts)
        acts = tuple(_measured(act, bigger) if index > cut.index else act for index, act in enumerate(acts))
        why = f"bore {size:.3f} mm, limits {low:.3f} to {high:.3f} mm, every figure changed alike"
        fate = Fate.HARMLESS if inside else Fate.CAUGHT
        yield writer.whole("bore finished otherwise", move, why, fate, acts)


def _bored(act: a.Act, cut: a.Cut, move: a.Move, moved: a.Setting, bigger: float) -> a.Act:
    if act is cut:
        return changed(cut, depth_mm=cut.depth_mm + bigger / 2.0)
    return changed(move, setting=moved) if act is move else act


def _measured(act: a.Act, bigger: float) -> a.Act:
    if isinstance(act, a.Measure) and act.surface == BORE and act.aspect == Aspect.DIAMETER.value:
        return changed(act, expected_mm=act.expected_mm + bigger)
    return act
