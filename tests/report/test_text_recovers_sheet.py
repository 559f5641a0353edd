"""What stands in the printed sheet is the sheet: every act is read back from the text and compared."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import count

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from handwheel.domain.acts import Act, Cut, Move, SetCollar
from handwheel.domain.motion import Handle, Turn
from handwheel.domain.part import Units
from handwheel.domain.plan import Plan
from handwheel.report.text_sheet import sheet_text
from handwheel.service.demo import DEMO_PARTS, DEMO_SHOPS
from handwheel.service.jobs import demo_job
from tests.agree import disagreements
from tests.factories import make_plan, make_shop, on_dial, one_pass, with_acts
from tests.planner.holes import CASES, made
from tests.recover import recover


@pytest.mark.parametrize("units", list(Units))
@pytest.mark.parametrize("width", [72, 80, 132])
def test_every_kind_of_act_is_read_back_as_it_was(units: Units, width: int) -> None:
    plan, shop = make_plan(units), make_shop()
    assert disagreements(sheet_text(plan, shop, width=width), plan, shop) == []


@pytest.mark.parametrize("part", DEMO_PARTS)
@pytest.mark.parametrize("lathe", DEMO_SHOPS)
def test_the_demo_sheets_are_read_back_as_they_were(part: str, lathe: str) -> None:
    plan, shop, _ = demo_job(part, lathe)
    assert disagreements(sheet_text(plan, shop), plan, shop) == []


@pytest.mark.parametrize("lathe", DEMO_SHOPS)
def test_sheets_for_collars_that_cannot_be_set_are_read_back_as_they_were(lathe: str) -> None:
    plan, shop, _ = demo_job("bush", lathe)
    slides = {
        name: replace(slide, dial=replace(slide.dial, settable=False))
        for name in ("cross", "top")
        if (slide := getattr(shop.lathe, name)).dial is not None
    }
    fixed = replace(shop, lathe=replace(shop.lathe, **slides))
    acts = tuple(
        msgspec.structs.replace(act, settable=False) if isinstance(act, SetCollar) else act for act in plan.sheet.acts
    )
    assert disagreements(sheet_text(with_acts(plan, acts), fixed), with_acts(plan, acts), fixed) == []


@pytest.mark.parametrize("what", CASES)
@pytest.mark.parametrize("lathe", DEMO_SHOPS)
def test_sheets_with_reamers_taps_and_other_bars_are_read_back_as_they_were(what: str, lathe: str) -> None:
    it = made(what, lathe)
    assert disagreements(sheet_text(it.plan, it.shop), it.plan, it.shop) == []


def last_digits(line: str) -> list[int]:
    """Places of the last digit of each number in a line."""
    return [match.end() - 1 for match in re.finditer(r"\d+(?:\.\d+)?", line)]


def with_digit_raised(line: str, place: int) -> str:
    raised = str((int(line[place]) + 1) % 10)
    return line[:place] + raised + line[place + 1 :]


def test_no_number_of_any_step_can_be_altered_unnoticed() -> None:
    """Otherwise the comparison could not fail, and a wrong figure could stand on the sheet."""
    plan, shop = make_plan(), make_shop()
    lines = sheet_text(plan, shop).splitlines()
    first = next(place for place, line in enumerate(lines) if line.startswith(" STEP 1"))
    last = next(place for place, line in enumerate(lines) if "MINUTES" in line)
    unnoticed = []
    altered = 0
    for place in range(first, last):
        for digit in last_digits(lines[place]):
            line = with_digit_raised(lines[place], digit)
            altered += 1
            if not disagreements("\n".join([*lines[:place], line, *lines[place + 1 :]]), plan, shop):
                unnoticed.append(line)
    assert altered > 500
    assert unnoticed == []


@pytest.mark.parametrize(
    ("said", "instead"),
    [
        ("cross-slide, clockwise (in)   zero C", "cross-slide, anticlockwise (in)   zero C"),
        ("cross-slide, clockwise (in)   zero C", "cross-slide, clockwise (out)   zero C"),
        ("cross-slide, clockwise (in)   zero C", "top slide, clockwise (in)   zero C"),
        ("cross-slide, clockwise (in)   zero C", "cross-slide, clockwise (in)   zero A"),
        ("70 marks short of 0", "70 marks beyond 0"),
        ("  short of 0   Ø mm", "  beyond 0     Ø mm"),
        ("  2.13  cross-slide", "  2.13  top slide  "),
        ("tool T1: right-hand", "tool T4: right-hand"),
        (" 2.29 stop ", " 2.29 start "),
        ("lock    carriage", "free    carriage"),
        ("wound left, the tool also goes out", "wound left, the tool also goes in"),
        ("STOP 12.55 mm left", "STOP 12.55 mm right"),
        ("11.50 mm (0.4528 in) behind", "11.50 mm (0.4528 in) in front of"),
        ("!! Guard down.", "!! Guard up."),
        ("note: stop as the pip goes", "note: go on as the pip goes"),
    ],
)
def test_no_word_that_moves_the_hand_can_be_altered_unnoticed(said: str, instead: str) -> None:
    plan, shop = make_plan(), make_shop()
    text = sheet_text(plan, shop)
    assert said in text
    assert disagreements(text.replace(said, instead, 1), plan, shop) != []


def test_an_act_left_out_of_the_text_is_noticed() -> None:
    plan, shop = make_plan(), make_shop()
    lines = sheet_text(plan, shop).splitlines()
    shorter = [line for line in lines if not line.startswith("  1.6 start")]
    assert len(shorter) == len(lines) - 1
    assert disagreements("\n".join(shorter), plan, shop) != []


positions = st.integers(min_value=-2500, max_value=2500)


@given(position=positions, halves=st.booleans(), approach=st.sampled_from(Turn), expected=st.floats(0.5, 400.0))
def test_any_dial_setting_is_read_back(position: int, approach: Turn, expected: float, *, halves: bool) -> None:
    """The turn before zero is turns = -1 with the dial showing 100 - n: nothing else may come out of the text."""
    marks_from_zero = Fraction(position, 2 if halves else 1)
    turns, marks = divmod(marks_from_zero, 100)
    setting = on_dial(Handle.CROSS, "cross-x", turns=int(turns), marks=str(marks), expected=expected, approach=approach)
    plan, shop = plan_that_ends_with(Move(id="", step="rough", setting=setting)), make_shop()
    text = sheet_text(plan, shop)
    assert disagreements(text, plan, shop) == []
    read = recover(text).records[-1].fields
    assert read["dial"] == setting.marks
    assert read["turns_from_zero"] * 100 + read["marks_from_zero"] == marks_from_zero  # type: ignore[operator]  # both numbers


@given(
    first=st.integers(min_value=-900, max_value=-600),
    steps=st.lists(st.integers(min_value=1, max_value=90), min_size=4, max_size=9),
    equal=st.booleans(),
)
def test_any_run_of_passes_is_read_back(first: int, steps: list[int], *, equal: bool) -> None:
    """Passes are printed as a table; with unequal depths it has one more column.

    The first pass stands apart: its setting lies behind the touched place, so the hand first goes past it.
    """
    position = first
    acts: list[Act] = []
    for step in steps:
        position += step
        acts += pass_at(position, 0.25 if equal else 0.025 * step)
    plan, shop = plan_that_ends_with(*acts), make_shop()
    text = sheet_text(plan, shop)
    assert "  PASSES " in text
    assert ("  deep\n" in text) is (not equal and len(set(steps[1:])) > 1)
    assert disagreements(text, plan, shop) == []


def pass_at(position: int, depth_mm: float) -> tuple[Act, ...]:
    turns, marks = divmod(position, 100)
    move, cut, *rest = one_pass(0)
    assert isinstance(move, Move)
    assert isinstance(cut, Cut)
    setting = replace(move.setting, turns=turns, marks=Fraction(marks), expected_mm=24.0 - 0.05 * position)
    return (
        msgspec.structs.replace(move, setting=setting),
        msgspec.structs.replace(cut, depth_mm=depth_mm),
        *rest,
    )


def plan_that_ends_with(*acts: Act) -> Plan:
    """The hand-made plan up to the zeroed cross-slide, then these acts."""
    plan = make_plan()
    ready = next(place for place, act in enumerate(plan.sheet.acts) if isinstance(act, Move) and act.step == "rough")
    numbers = count(1)
    kept = (*plan.sheet.acts[:ready], *acts)
    return with_acts(plan, tuple(msgspec.structs.replace(act, id=f"a{next(numbers)}") for act in kept))
