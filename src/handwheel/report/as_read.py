"""An act as it is once a size was read: collar and readout set by their printed rule."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from handwheel.bench.tables import advised, marks_at
from handwheel.domain.acts import Move, SetCollar, SetReadout, Setting, SettingKind
from handwheel.domain.advice import AdviceTable, Do
from handwheel.domain.exact import Fraction
from handwheel.domain.motion import Turn
from handwheel.report.pieces import BOX, ActText, Line, Said, Weight
from handwheel.report.readout_text import is_minus, is_outside, readout_step_mm
from handwheel.report.setting_text import aid_said, dial_said, from_zero_said, zero_said
from handwheel.report.situation import dial_of
from handwheel.report.winding_text import hand_to_zero, is_above_zero, offset_rule

if TYPE_CHECKING:
    from handwheel.domain.acts import Act
    from handwheel.report.setting_text import Scene
    from handwheel.report.steps import NumberedAct

DUST = Fraction(1, 10**6)
"""Part of a step below which a float's own error lies, far below what matters."""
READ_PLACES = 3
"""Decimals of a millimetre with which a reading is said back: no gauge of a shop shows more."""
HALF = Fraction(1, 2)


class SetBy(Struct, frozen=True, kw_only=True):
    """What an act is set from: the size as read [mm], and the advice table of its stop, if there was one."""

    reading_mm: Fraction
    table: AdviceTable | None = None


def collar_as_read(act: SetCollar, by: SetBy, scene: Scene) -> SetCollar:
    r"""The act as a reading makes it: turns and marks by the rule that stands on the sheet.

    .. math:: \text{marks short of 0} = (\text{reading} - \text{zero}) / \text{diameter per mark}

    Parameters
    ----------
    act : SetCollar
        The act as planned, for the expected size.
    by : SetBy
        Diameter as read; where a table of the stop has a row for it, that row gives the marks.
    scene : Scene
        What the act's words depend on, of the plan.

    Returns
    -------
    SetCollar
        To the nearest mark that can be set; of two as near the one that leaves more metal. For the expected size it is
        the act itself, unless a table says otherwise.
    """
    dial = dial_of(scene.shop, act.handle)
    worth_mm = abs(act.dia_per_mark_mm) * float(dial.step)
    by_rule = _steps(act.zero_dia_mm, by.reading_mm, worth_mm, outside=is_above_zero(act)) * dial.step
    short = _by_table(act, by, dial.step)
    position = _wound(by_rule if short is None else short, hand_to_zero(act, scene).other)
    turns, marks = divmod(position, dial.marks)
    return replace(act, expected_dia_mm=float(by.reading_mm), turns=int(turns), marks=Fraction(marks))


def readout_as_read(act: SetReadout, by: SetBy, scene: Scene) -> SetReadout:
    """The act as a reading makes it: the figure to enter by the rule on the sheet, or by the row of a table."""
    by_rule = _steps(act.zero_dia_mm, by.reading_mm, act.dia_per_step_mm, outside=is_outside(act))
    short = _by_table(act, by, Fraction(1))
    way_mm = (by_rule if short is None else short) * readout_step_mm(act, scene.shop)
    value_mm = -way_mm if is_minus(act, scene) else way_mm
    return replace(act, expected_dia_mm=float(by.reading_mm), value_mm=value_mm)


def move_as_read(act: Move, by: SetBy, scene: Scene) -> Move:
    """A setting that counts from a touched zero, as the row of a table makes it; as planned where none does."""
    setting, table = act.setting, by.table
    beyond = _by_table(act, by, Fraction(1) if setting.kind is not SettingKind.MARKS else _dial_step(setting, scene))
    if beyond is None or table is None or table.turn is None:
        return act
    if setting.kind is SettingKind.MARKS:
        turns, marks = divmod(_wound(beyond, table.turn), dial_of(scene.shop, setting.handle).marks)
        return replace(act, setting=replace(setting, turns=int(turns), marks=Fraction(marks)))
    row = advised(table, float(by.reading_mm))
    if row is None or row.value_mm is None:
        return act
    return replace(act, setting=replace(setting, value_mm=row.value_mm))


def _dial_step(setting: Setting, scene: Scene) -> Fraction:
    return dial_of(scene.shop, setting.handle).step


def _by_table(act: Act, by: SetBy, step: Fraction) -> Fraction | None:
    """Marks, or steps of a readout, that a table gives an act for a reading; nothing if it gives it none."""
    if by.table is None or by.table.sets != act.id:
        return None
    row = advised(by.table, float(by.reading_mm))
    if row is None or row.do is not Do.SET:
        return None
    return marks_at(row, float(by.reading_mm), step=step)


def _wound(marks: Fraction, turn: Turn) -> Fraction:
    """Place on a dial so many marks from 0 in a sense of turning: dials count up clockwise."""
    return marks if turn is Turn.CLOCKWISE else -marks


def _steps(zero_dia_mm: float, reading_dia_mm: Fraction, dia_per_step_mm: float, *, outside: bool) -> int:
    """Whole steps from a size that was read to 0, counted the way the cuts go."""
    left_mm = reading_dia_mm - Fraction(zero_dia_mm) if outside else Fraction(zero_dia_mm) - reading_dia_mm
    return ceil(left_mm / Fraction(dia_per_step_mm) - HALF - DUST)


def as_read(item: NumberedAct, by: SetBy) -> Act:
    """An act that is set from a reading, as this one makes it; any other act as it is."""
    match item.act:
        case SetCollar():
            return collar_as_read(item.act, by, item.scene)
        case SetReadout():
            return readout_as_read(item.act, by, item.scene)
        case Move():
            return move_as_read(item.act, by, item.scene)
        case _:
            return item.act


def text_as_read(planned: NumberedAct, set_to: NumberedAct, by: SetBy) -> ActText:
    """Words for an act that is set from a reading: what to set, and what its 0 then is.

    Parameters
    ----------
    planned : NumberedAct
        The act as planned: from it comes the way in which the hand goes to 0.
    set_to : NumberedAct
        The act as it was made by the reading.
    by : SetBy
        What it is set from.
    """
    act, scene = planned.act, planned.scene
    lengths = replace(scene.lengths, places=READ_PLACES)
    read = Said(weight=Weight.SIZE, before="your reading ", text=lengths.dia(by.reading_mm), after=":")
    if isinstance(act, SetCollar) and isinstance(set_to.act, SetCollar):
        return ActText(verb="collar", lines=_collar_lines(act, set_to.act, by.reading_mm, scene, read))
    if isinstance(act, SetReadout) and isinstance(set_to.act, SetReadout):
        setting = Setting(handle=act.handle, kind=SettingKind.READOUT, zero=act.zero, value_mm=set_to.act.value_mm)
        return ActText(
            verb="readout",
            lines=(
                (zero_said(act, scene, "handle still, set from the reading"),),
                (read, aid_said(setting, scene.shop.units)),
            ),
        )
    if set_to.act == act:
        return set_to.text
    from_it = f"by the table, from your reading {lengths.both(by.reading_mm)}"
    return replace(set_to.text, lines=(*set_to.text.lines, (from_it,)))


def _collar_lines(
    act: SetCollar, set_to: SetCollar, reading_dia_mm: Fraction, scene: Scene, read: Said
) -> tuple[Line, ...]:
    dial = dial_of(scene.shop, act.handle)
    position = set_to.turns * dial.marks + set_to.marks
    hand = hand_to_zero(act, scene)
    left_mm = _wound(position, hand.other) * Fraction(abs(act.dia_per_mark_mm))
    zero_mm = reading_dia_mm - left_mm if is_above_zero(act) else reading_dia_mm + left_mm
    distance = from_zero_said(position, marks_per_turn=dial.marks, hand=hand)
    how = "dial set from the reading" if act.settable else "offset from the reading"
    lines: tuple[Line, ...] = (
        (zero_said(act, scene, f"handle still, {how}"),),
        (read,),
        (dial_said(set_to.marks, dial, scene.shop.units), distance),
        (f"0 is then {replace(scene.lengths, places=READ_PLACES).dia(zero_mm)}",),
    )
    if act.settable:
        return lines
    return (*lines, *offset_rule(dial, scene.after.letter(act.zero), scene.shop.units))


def without_boxes(text: ActText) -> ActText:
    """Words of an act without the boxes of the paper, for where an answer is typed.

    Examples
    --------
    >>> text = ActText(verb="MEASURE", lines=(("bore", f"reading {BOX}"), (f"marks {BOX}",)))
    >>> without_boxes(text).lines
    (('bore',),)
    """
    lines = (tuple(piece for piece in line if BOX not in str(piece)) for line in text.lines)
    return replace(text, lines=tuple(line for line in lines if line))


def own_dial_line(setting: Setting, offset_marks: Fraction, scene: Scene) -> Line:
    """What a collar must show that cannot be set: the count of the sheet and its offset together."""
    dial = dial_of(scene.shop, setting.handle)
    shown = dial_said((setting.marks + offset_marks) % dial.marks, replace(dial, settable=True), scene.shop.units)
    return (replace(shown, before="my DIAL "),)
