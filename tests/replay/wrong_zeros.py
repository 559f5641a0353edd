"""Mutations of how zeros are made: touches, collars, what a zero stands for."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from handwheel.domain import acts as a
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.part import BORE, OUTSIDE
from tests.replay.mutation import Mutation, Writer
from tests.replay.story import Moment, Story, changed, used_later

FALSE_MM = 0.05
FEELER_MM = 0.1


def make(story: Story) -> Iterator[Mutation]:
    """All of them."""
    writer = Writer(story)
    for moment in story.moments:
        if isinstance(moment.act, a.SetZero):
            yield from _set_zero(writer, moment, moment.act)
        elif isinstance(moment.act, a.Touch):
            yield from _touch(writer, moment, moment.act)
        elif isinstance(moment.act, a.SetCollar):
            yield from _collar(writer, moment, moment.act)
        elif isinstance(moment.act, a.SetReadout):
            yield from _readout(writer, moment, moment.act)


def _set_zero(writer: Writer, moment: Moment, act: a.SetZero) -> Iterator[Mutation]:
    story = writer.story
    used = used_later(story, moment, act.zero)
    if used:
        yield writer.caught("zero missing", moment, "later settings count from it")
        renamed = changed(act, zero="z-other")
        yield writer.caught("zero under another name", moment, "later settings count from the old name", renamed)
    if act.handle is not Handle.QUILL:
        shifted = changed(act, stands_for_mm=act.stands_for_mm + FALSE_MM)
        yield writer.caught("zero stands for something else", moment, f"it is printed {FALSE_MM} mm wrong", shifted)
    slide = story.shop.lathe.slide(act.handle)
    if used and act.kind is not a.SettingKind.READOUT and slide.readout_step_mm is None:
        why = "this slide has no readout"
        yield writer.caught("zero on what is not there", moment, why, changed(act, kind=a.SettingKind.READOUT))
    before = story.before(moment)
    if before is None or not isinstance(before.act, a.Touch) or before.act.handle is not act.handle:
        return
    if act.handle is not Handle.QUILL:
        away = _retract(act, before.act.motion.other)
        yield writer.caught("moved before the zero", moment, "the tool no longer touches what it stands for", away, act)


def _retract(act: a.SetZero | a.SetCollar | a.SetReadout, motion: Motion) -> a.Retract:
    return a.Retract(id=f"{act.id}x", step=act.step, handle=act.handle, motion=motion, distance_mm=1.0)


def _touch(writer: Writer, moment: Moment, act: a.Touch) -> Iterator[Mutation]:
    why = "the zero that follows is then set without having touched anything"
    yield writer.caught("touch missing", moment, why)
    flipped = changed(act, motion=act.motion.other)
    yield writer.caught("touch the other way", moment, "it leads away from what shall be touched", flipped)
    following = writer.story.after(moment)
    if following is not None and isinstance(following.act, a.SetZero) and following.act.handle is act.handle:
        thick = changed(act, feeler_mm=act.feeler_mm + FEELER_MM)
        why = "the feeler is not in what the zero stands for"
        yield writer.caught("feeler forgotten in the sum", moment, why, thick)
    if act.surface in (BORE, OUTSIDE):
        other = changed(act, surface=BORE if act.surface == OUTSIDE else OUTSIDE)
        yield writer.caught("touch of another surface", moment, "the tool touches the one it did before", other)


def _collar(writer: Writer, moment: Moment, act: a.SetCollar) -> Iterator[Mutation]:
    dial = writer.story.shop.lathe.slide(act.handle).dial
    if dial is None:
        return
    rule = "the printed rule no longer gives the printed dial"
    for off in (-1, 1):
        turns, marks = divmod(act.turns * dial.marks + act.marks + off, dial.marks)
        wrong = changed(act, turns=int(turns), marks=Fraction(marks))
        yield writer.caught("collar a mark off", moment, rule, wrong)
        yield writer.caught("collar a turn off", moment, rule, changed(act, turns=act.turns + off))
        if act.dia_per_mark_mm <= FALSE_MM * 1.1:
            shifted = changed(act, zero_dia_mm=act.zero_dia_mm + off * FALSE_MM)
            yield writer.caught("collar's size off", moment, rule, shifted)
        read = changed(act, expected_dia_mm=act.expected_dia_mm + off * FALSE_MM)
        yield writer.caught("collar's expected reading off", moment, "that is not what was measured", read)
    for factor, what in ((0.5, "half"), (2.0, "twice")):
        worth = changed(act, dia_per_mark_mm=act.dia_per_mark_mm * factor)
        yield writer.caught("collar's mark a radius", moment, f"a mark is printed {what} its worth", worth)
    yield from _not_as_measured(writer, moment, act)


def _not_as_measured(writer: Writer, moment: Moment, act: a.SetCollar | a.SetReadout) -> Iterator[Mutation]:
    """Not set at all, without the reading, or with the handle moved since."""
    what = "collar" if isinstance(act, a.SetCollar) else "readout"
    if used_later(writer.story, moment, act.zero):
        yield writer.caught(f"{what} not set", moment, "later settings count from it")
    before = writer.story.before(moment)
    if before is not None and isinstance(before.act, a.Measure):
        yield writer.caught(f"{what} set unmeasured", before, "it is set from a reading that was not taken")
    away = _retract(act, Motion.OUT if act.surface == OUTSIDE else Motion.IN)
    if act.handle is Handle.CROSS:
        why = "the handle has moved since the cut that was measured"
        yield writer.caught(f"moved before the {what}", moment, why, away, act)


def _readout(writer: Writer, moment: Moment, act: a.SetReadout) -> Iterator[Mutation]:
    step = writer.story.shop.lathe.slide(act.handle).readout_step_mm
    if step is None:
        return
    rule = "the printed rule no longer gives the printed figure"
    for off in (-1, 1):
        yield writer.caught("readout a step off", moment, rule, changed(act, value_mm=act.value_mm + off * step))
        shifted = changed(act, zero_dia_mm=act.zero_dia_mm + off * 0.6 * act.dia_per_step_mm)
        yield writer.caught("readout's size off", moment, rule, shifted)
    between = changed(act, value_mm=act.value_mm + step / 3)
    yield writer.caught("readout between its steps", moment, "it shows nothing finer than a step", between)
    halved = changed(act, dia_per_step_mm=act.dia_per_step_mm / 2.0)
    yield writer.caught("readout's step a radius", moment, "a step is printed half its worth", halved)
    if act.value_mm:
        doubled = changed(act, value_mm=2 * act.value_mm)
        yield writer.caught("readout a diameter", moment, "the change of diameter is entered, not half of it", doubled)
        flipped = changed(act, value_mm=-act.value_mm)
        yield writer.caught("readout's sign flipped", moment, "the tool stands on the other side of that size", flipped)
    yield from _not_as_measured(writer, moment, act)
