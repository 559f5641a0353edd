"""Mutations of what a dial or an aid is set to: the printed size is then not what the tool stands at."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import radians, sin

from msgspec.structs import replace

from handwheel.domain import acts as a
from handwheel.domain.motion import Handle
from handwheel.domain.slides import Dial
from tests.replay.mutation import Mutation, Writer
from tests.replay.story import Moment, Story, is_behind, setting_of, with_setting

TOLERANCE_MM = 0.002
"""Beyond this a printed size is wrong (conventions of the sheet: 2 µm)."""
MARKS_OFF = (-1, 1, 7)
OFF_MM = 0.01
DRILL_OFF_MM = 0.1
"""The depth of a hole is printed for an eye at the quill; a tenth is wrong there too."""


def across(moment: Moment, handle: Handle) -> bool:
    """Whether the handle's setting means a diameter or a depth across."""
    return handle is Handle.CROSS or (handle is Handle.TOP and moment.swing_deg != 0)


def worth_mm(story: Story, moment: Moment, handle: Handle) -> float:
    """Least that one mark changes in the size it sets. [mm]"""
    dial = story.shop.lathe.slide(handle).dial
    if dial is None:
        return 0.0
    mark = float(dial.lead_mm / dial.marks)
    return mark * sin(radians(float(moment.swing_deg))) if handle is Handle.TOP and moment.swing_deg else mark


def position(setting: a.Setting, dial: Dial) -> Fraction:
    """Marks from zero, clockwise positive."""
    return setting.turns * dial.marks + setting.marks


def at(setting: a.Setting, dial: Dial, marks: Fraction) -> a.Setting:
    """Setting at another position of the dial, all else as printed."""
    turns, shown = divmod(marks, dial.marks)
    return replace(setting, turns=int(turns), marks=Fraction(shown))


def make(story: Story) -> Iterator[Mutation]:
    """All of them."""
    writer = Writer(story)
    for moment in story.moments:
        setting = setting_of(moment.act)
        if setting is None:
            continue
        dial = story.shop.lathe.slide(setting.handle).dial
        for kind, why, other in (*_any(story, moment, setting), *_by_kind(story, moment, setting, dial)):
            yield writer.caught(kind, moment, why, with_setting(moment.act, other))


Change = tuple[str, str, a.Setting]


def _by_kind(story: Story, moment: Moment, setting: a.Setting, dial: Dial | None) -> Iterator[Change]:
    if setting.kind is a.SettingKind.MARKS and dial is not None:
        yield from _marks(story, moment, setting, dial)
        yield from _sides(story, moment, setting, dial)
        yield from _unreadable(setting, dial)
    elif setting.kind in (a.SettingKind.INDICATOR, a.SettingKind.RULE):
        yield from _aids(story, setting)


def _marks(story: Story, moment: Moment, setting: a.Setting, dial: Dial) -> Iterator[Change]:
    here = position(setting, dial)
    worth = worth_mm(story, moment, setting.handle)
    for off in MARKS_OFF:
        if abs(off) * worth > (DRILL_OFF_MM if setting.handle is Handle.QUILL else TOLERANCE_MM):
            why = f"{off} marks are {abs(off) * worth:.4f} mm or more, and the printed size is the old one"
            yield "reading off", why, at(setting, dial, here + off)
    for turns in (-1, 1):
        why = f"a turn is {float(dial.lead_mm):g} mm of travel, and the printed size is the old one"
        yield "turns off", why, replace(setting, turns=setting.turns + turns)
    if here:
        yield "sign flipped", "the same way from the zero, on its other side", at(setting, dial, -here)
    if here and across(moment, setting.handle) and abs(here) / 2 * Fraction(worth) > Fraction(TOLERANCE_MM):
        yield "radius for diameter", "twice the travel for the same diameter", at(setting, dial, 2 * here)
        if (here / 2) % dial.step == 0:
            yield "radius for diameter", "half the travel for the same diameter", at(setting, dial, here / 2)


def _sides(story: Story, moment: Moment, setting: a.Setting, dial: Dial) -> Iterator[Change]:
    slack = story.shop.lathe.slide(setting.handle).slack_mm
    if slack > 0 and setting.handle is not Handle.QUILL:
        why = f"the zero was taken on the other flank of the screw: the size is out by the slack, {float(slack):g} mm"
        yield "approach flipped", why, replace(setting, approach=setting.approach.other)
    if slack > 0 and is_behind(moment):
        yield "no back-off", "the handle comes back into the slack", replace(setting, back_off_marks=0)
        if dial.lead_mm / dial.marks < slack:
            yield "back-off within the slack", "one mark does not take up the slack", replace(setting, back_off_marks=1)


def _unreadable(setting: a.Setting, dial: Dial) -> Iterator[Change]:
    yield "a third of a mark", "no dial shows thirds", replace(setting, marks=setting.marks + Fraction(1, 3))
    if not dial.halves:
        half = replace(setting, marks=setting.marks + Fraction(1, 2))
        yield "half a mark", "the shop says that its dial cannot be set to halves", half
    beyond = replace(setting, turns=setting.turns - 1, marks=setting.marks + dial.marks)
    yield "marks beyond the collar", f"a collar of {dial.marks} marks never shows as many", beyond


def _aids(story: Story, setting: a.Setting) -> Iterator[Change]:
    aids = story.shop.lathe.slide(setting.handle).aids
    step = next(aid.step_mm for aid in aids if aid.kind.value == setting.kind.value)
    why = "the printed size is the old one"
    yield "aid off", why, replace(setting, value_mm=setting.value_mm + step)
    if setting.value_mm:
        yield "aid's sign flipped", why, replace(setting, value_mm=-setting.value_mm)
    third = replace(setting, value_mm=setting.value_mm + step / 3)
    yield "aid between its steps", "the aid shows nothing finer than its step", third


def _any(story: Story, moment: Moment, setting: a.Setting) -> Iterator[Change]:
    off = DRILL_OFF_MM if setting.handle is Handle.QUILL else OFF_MM
    for sign in (-1, 1):
        wrong = replace(setting, expected_mm=setting.expected_mm + sign * off)
        yield "expected size off", f"it is printed {off:g} mm wrong", wrong
    if across(moment, setting.handle) and abs(setting.expected_mm) > OFF_MM:
        radius = replace(setting, expected_mm=setting.expected_mm / 2.0)
        yield "expected size a radius", "half of what is then true is printed", radius
    yield "zero of no name", "no such zero was ever set", replace(setting, zero="z-none")
    dead = _dead_zero(story, moment, setting)
    if dead is not None:
        why = "that zero of the same handle was replaced or lost since"
        yield "zero of before", why, replace(setting, zero=dead)


def _dead_zero(story: Story, moment: Moment, setting: a.Setting) -> str | None:
    """Latest zero of the same handle that is alive no more."""
    names = [
        earlier.act.zero
        for earlier in story.moments[: moment.index]
        if isinstance(earlier.act, a.SetZero | a.SetCollar | a.SetReadout) and earlier.act.handle is setting.handle
    ]
    return next((name for name in reversed(names) if name not in moment.live), None)
