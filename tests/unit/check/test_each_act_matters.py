"""Nothing in a sheet is idle: a mark more or less, or an act left out, is noticed, but for what is listed here."""

from __future__ import annotations

from fractions import Fraction

import msgspec
import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.check.report import RefusalCode
from handwheel.domain.acts import (
    Act,
    Cut,
    DrillHole,
    FitDrill,
    FitTool,
    HandKind,
    HandStep,
    Indicate,
    LoadBar,
    Measure,
    Move,
    Regrip,
    SetSpeed,
    Setting,
    SwingSlide,
    Unlock,
)
from tests.unit.check.sheets import at, before, edited, place_of, ring_acts, sheet_of, simple_shop, start, without

ACTS = ring_acts()
WITH_MARKS = [act.id for act in ACTS if isinstance(act, Move) or (isinstance(act, Cut) and act.to is not None)]
COMFORTS = {
    # comfort, cleanliness, a second look at a size that is not used further
    *("ink-face", "cool", "oil", "chips", "note"),
    *("measure-raw", "measure-edge"),
    # zeros that nothing counts from
    *("zero-face", "zero-face-carriage"),
    # a speed or feed of the same kind that is set already
    *("feed-bore", "feed-finish", "feed-part", "speed-drill", "speed-part", "speed-back"),
    # ways along a surface that only just touch it, and ways clear that the next act does not need
    *("clear-face", "clear-face-1", "clear-face-2", "clear-part", "clear-back", "clear-back-2"),
    *("off-bar", "off-bore", "off-vee", "off-vee-out", "off-vee-out-2", "off-sweep", "off-part-2", "out-turn"),
}
"""Acts without which nothing goes wrong on this machine; all others are missed."""


def nudged(setting: Setting, marks: int) -> Setting:
    """The same setting some marks further clockwise, carried into the turns."""
    position = setting.turns * 50 + setting.marks + marks
    turns, rest = divmod(position, 50)
    return replace(setting, turns=int(turns), marks=Fraction(rest))


def with_nudge(act: Act, marks: int) -> Act:
    if isinstance(act, Cut) and act.to is not None:
        return msgspec.structs.replace(act, to=nudged(act.to, marks))
    if isinstance(act, Move | DrillHole):
        return msgspec.structs.replace(act, setting=nudged(act.setting, marks))
    return act


@pytest.mark.parametrize("marks", [-1, 1])
@pytest.mark.parametrize("act_id", WITH_MARKS)
def test_one_mark_more_or_less_is_refused(act_id: str, marks: int) -> None:
    wrong = edited(ACTS, act_id, lambda act: with_nudge(act, marks))
    codes = {refusal.code for refusal in check_sheet(sheet_of(wrong), simple_shop()).refusals if refusal.act == act_id}
    assert RefusalCode.EXPECTED_NOT_MET in codes


def test_a_drill_five_marks_deeper_is_refused() -> None:
    """A tenth of a millimetre of depth; less does not matter to a hole that is bored out."""
    wrong = edited(
        ACTS, "drill", lambda act: msgspec.structs.replace(act, setting=replace(act.setting, marks=Fraction(65)))
    )
    assert {refusal.code for refusal in check_sheet(sheet_of(wrong), simple_shop()).refusals} == {
        RefusalCode.EXPECTED_NOT_MET
    }


def test_acts_that_may_be_left_out_are_known_one_by_one() -> None:
    idle = {act.id for act in ACTS if check_sheet(sheet_of(without(ACTS, act.id)), simple_shop()).ok}
    assert idle == COMFORTS


STANDING = tuple(
    act
    for act in ACTS
    if isinstance(act, LoadBar | FitTool | FitDrill | SetSpeed | Measure | Regrip | Indicate | SwingSlide)
    or (isinstance(act, HandStep) and act.kind not in (HandKind.LUBRICATE, HandKind.NOTE))
)


@pytest.mark.parametrize("act_id", [act.id for act in STANDING])
def test_hands_stay_away_while_the_spindle_turns(act_id: str) -> None:
    wrong = before(ACTS, act_id, start("too-soon"))
    found = check_sheet(sheet_of(wrong), simple_shop()).refusals
    assert RefusalCode.SPINDLE_RUNS in {refusal.code for refusal in found if refusal.act == act_id}


@pytest.mark.parametrize("kind", list(HandKind))
def test_only_oil_and_notes_go_with_a_turning_spindle(kind: HandKind) -> None:
    step = HandStep(id="step", step="s", kind=kind, text="by hand")
    found = check_sheet(sheet_of(before(ACTS, "back-turn-2", step)), simple_shop()).refusals
    refused = RefusalCode.SPINDLE_RUNS in {refusal.code for refusal in found if refusal.act == "step"}
    assert refused is (kind not in (HandKind.LUBRICATE, HandKind.NOTE))


def test_a_zero_of_the_same_name_set_again_is_alive() -> None:
    """The collar is set twice under one name: the second counts, the first is not reported as lost."""
    twice = before(ACTS, "off-bar", ACTS[place_of(ACTS, "zero-bar")])
    assert check_sheet(sheet_of(twice), simple_shop()).ok


def test_a_free_slide_may_be_freed_again() -> None:
    handle = at(ACTS[place_of(ACTS, "to-part")].setting.handle, "z", 0, 0, 0.0).handle  # type: ignore[union-attr]  # it is a Move
    assert check_sheet(sheet_of(before(ACTS, "to-part", Unlock(id="u", step="s", handle=handle))), simple_shop()).ok
