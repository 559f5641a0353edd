"""The printed sheet fits the page, speaks plainly, and puts cautions where the hand is about to move."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import get_args

import msgspec
import pytest

from handwheel.data.materials import material
from handwheel.domain import acts as a
from handwheel.domain.errors import OutOfRangeError, ShopError
from handwheel.domain.findings import Finding, Severity
from handwheel.domain.motion import Handle
from handwheel.domain.part import Units
from handwheel.domain.shop import Reads
from handwheel.report.act_text import act_text
from handwheel.report.layout import wrap
from handwheel.report.numbers import Lengths, rounded
from handwheel.report.setting_text import from_zero_text
from handwheel.report.text_sheet import sheet_text
from handwheel.report.words import plain
from tests.factories import CROSS, make_plan, make_shop, on_dial, with_acts

ALPHABET = {chr(code) for code in range(32, 127)} | set("±°×Øµ\n")


@pytest.mark.parametrize("width", [72, 80, 100])
@pytest.mark.parametrize("units", list(Units))
def test_no_line_is_wider_than_asked(width: int, units: Units) -> None:
    lines = sheet_text(make_plan(units), make_shop(), width=width).splitlines()
    assert max(map(len, lines)) <= width


@pytest.mark.parametrize("width", [71, 0, 201])
def test_a_width_that_cannot_hold_a_sheet_is_refused(width: int) -> None:
    with pytest.raises(OutOfRangeError, match=r"width: got .* allowed 72 to 200 columns"):
        sheet_text(make_plan(), make_shop(), width=width)


def test_only_letters_that_every_terminal_has_are_used() -> None:
    plan = make_plan()
    part = replace(plan.sheet.part, name="Bague – 18 ½ mm “für Zoë” 指輪 ⌀")
    text = sheet_text(replace(plan, sheet=replace(plan.sheet, part=part)), make_shop())
    assert set(text) <= ALPHABET
    assert 'Bague - 18 1/2 mm "fur Zoe" ?? Ø' in text


@pytest.mark.parametrize(
    ("written", "shown"),
    [("37½", "37 1/2"), ("10² mm", "10^2 mm"), ("3 µm", "3 µm"), ("3 μm", "3 µm"), ("±0.1°", "±0.1°"), ("a→b", "a->b")],
)
def test_a_figure_keeps_its_value_in_plain_letters(written: str, shown: str) -> None:
    """Dropping the odd sign would make 371/2 of 37½."""
    assert plain(written) == shown


def test_a_caution_stands_directly_before_its_act() -> None:
    lines = sheet_text(make_plan(), make_shop()).splitlines()
    place = lines.index("!! The ring comes free: no hand near it.")
    assert lines[place + 1].startswith("  5.5 cut ")


def test_local_rules_and_the_usual_cautions_come_first() -> None:
    head = sheet_text(make_plan(), make_shop()).splitlines()[3:7]
    assert all(line.startswith("!! ") for line in head)
    assert "Local rules" in head[0]
    assert "supervision" in head[0]
    assert "Goggles" in head[1]
    assert "gloves" in head[1]
    assert "key out of the chuck" in head[2]


def test_a_metal_that_can_burn_says_so_before_anything_else() -> None:
    plan = make_plan()
    part = replace(plan.sheet.part, material="ti_gr2")
    head = sheet_text(replace(plan, sheet=replace(plan.sheet, part=part)), make_shop()).partition(" part ")[0]
    said = " ".join(line.removeprefix("!! ").strip() for line in head.splitlines() if line.startswith("!!"))
    assert all(" ".join(plain(caution.text).split()) in said for caution in material("ti_gr2").hazards)
    assert "never water" in said


def test_a_finding_that_forbids_the_job_stands_before_the_first_step() -> None:
    stop = Finding(
        code="no-grip",
        severity=Severity.STOP,
        where="back",
        problem="the ring cannot be held.",
        remedy="Bore soft jaws.",
        source_key="COMMON",
    )
    text = sheet_text(replace(make_plan(), findings=(stop,)), make_shop())
    assert text.index("!! STOP, do not cut: the ring cannot be held. Remedy: Bore soft jaws.") < text.index("STEP 1")
    assert " STOP      step 6: the ring cannot be held." in text


def test_a_collar_that_cannot_be_set_gets_an_offset_box() -> None:
    """The top slide of the hand-made lathe has a collar that does not turn on its own."""
    text = sheet_text(make_plan(), make_shop())
    zero_f = text[text.index("F: top slide, dial to 0") : text.index(" 3.14 ")]
    assert "this collar cannot be set: dial shows now [________] = offset" in zero_f
    assert "add the offset to each DIAL of zero F; from 60 up, take 60 off" in zero_f
    zero_c = text[text.index("C: cross-slide, dial to 0") : text.index("  2.8 ")]
    assert "offset" not in zero_c


def test_both_ways_of_counting_the_angle_and_the_scale_of_this_lathe_are_printed() -> None:
    """Practice case PC-21: many scales count from the cross-slide; and a check by travel, 15 sin 5.5° = 1.44."""
    text = sheet_text(make_plan(), make_shop())
    swing = " ".join(text[text.index("  3.9 swing") : text.index(" 3.10 ")].split())
    assert "SCALE 84.5° on this lathe ± 0.25°" in swing
    assert "5.5° from the lathe's axis 84.5° from the cross-slide" in swing
    assert "wind the top slide 10 turns + 0 marks, 15.00 mm (0.5906 in)" in swing
    assert "the tip must move 1.44 mm (0.0566 in) across" in swing


def test_the_rule_for_the_collar_gives_the_printed_dial() -> None:
    """24.50 measured, 24.000 wanted, 0.05 on the diameter for a mark: 10 marks before 0, the dial shows 90."""
    text = " ".join(sheet_text(make_plan(), make_shop()).split())
    assert "marks before 0 = (Ø - 24.000) / 0.05, in mm" in text
    assert "DIAL = 100 - marks" in text
    assert "expected Ø 24.50 mm (0.9646 in): DIAL 90 0 turns + 10 marks before 0" in text


def test_the_rule_for_a_bore_counts_the_other_way() -> None:
    """A bore smaller than wanted, clockwise moving the tool in: the dial stands past 0 and is wound back to it."""
    collar = a.SetCollar(
        id="x",
        step="rough",
        handle=Handle.CROSS,
        zero="bore-set",
        surface="bore",
        zero_dia_mm=18.0,
        dia_per_mark_mm=0.05,
        expected_dia_mm=17.5,
        turns=0,
        marks=Fraction(10),
    )
    plan = make_plan()
    text = " ".join(sheet_text(with_acts(plan, (*plan.sheet.acts, collar)), make_shop()).split())
    assert "marks past 0 = (18.000 - Ø) / 0.05, in mm" in text
    assert "DIAL = marks with 100 marks or more" in text
    assert "DIAL 10 0 turns + 10 marks past 0" in text


def test_an_inch_shop_gets_its_collar_rule_in_inches() -> None:
    text = sheet_text(make_plan(Units.INCH), replace(make_shop(), units=Units.INCH))
    assert "marks before 0 = (Ø - 0.9449) / 0.001969, in inches" in text


def test_a_setting_that_lies_behind_says_how_far_to_go_past_it() -> None:
    """Practice case PC-02: a mark reached by winding back means nothing until the slack is taken up."""
    text = sheet_text(make_plan(), make_shop())
    set_text = text[text.index("  2.9 set") : text.index(" 2.10 ")]
    assert "first anticlockwise 30 marks past it, to take up the slack" in set_text


@pytest.mark.parametrize(
    ("turns", "marks", "words"),
    [
        (-1, 75, "0 turns + 25 marks before 0"),
        (-2, 40, "1 turn + 60 marks before 0"),
        (-1, 0, "1 turn + 0 marks before 0"),
        (0, 0, "at 0"),
        (0, 1, "0 turns + 1 mark past 0"),
        (25, 8, "25 turns + 8 marks past 0"),
    ],
)
def test_turns_and_marks_are_said_in_one_way(turns: int, marks: int, words: str) -> None:
    assert from_zero_text(Fraction(turns * 100 + marks), marks_per_turn=100) == words


def test_an_inch_in_turns_of_a_metric_screw_is_25_turns_and_8_marks() -> None:
    """Practice case PC-03: 25.4 mm on a screw of 1 mm with 20 marks; a published table said 20 turns."""
    position = Fraction(254, 10) / (Fraction(1) / 20)
    assert from_zero_text(position, marks_per_turn=20) == "25 turns + 8 marks past 0"


def test_limits_are_rounded_inward_in_the_other_unit() -> None:
    """0.7500 to 0.7505 in is 19.05 to 19.0627 mm: printed so that what is inside as printed is inside."""
    inch = Fraction(254, 10)
    text = Lengths(units=Units.INCH, places=3).limits(Fraction("0.7500") * inch, Fraction("0.7505") * inch)
    assert text == "0.7500 to 0.7505 in (19.050 to 19.062 mm)"


def test_limits_closer_than_the_last_decimal_get_one_more() -> None:
    text = Lengths(units=Units.MM, places=3).limits(Fraction("18.0001"), Fraction("18.0004"))
    assert text.startswith("18.0001 to 18.0004 mm")


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_a_figure_that_is_none_never_reaches_a_sheet(value: float) -> None:
    with pytest.raises(OutOfRangeError, match="must be finite"):
        rounded(value, places=2)


def test_a_figure_is_not_parted_from_its_unit() -> None:
    assert wrap("wind it back about 0.05 mm", width=24) == ["wind it back about", "0.05 mm"]


def test_every_kind_of_act_has_words() -> None:
    """A new act kind would otherwise be left off the sheet."""
    assert {kind for kind in get_args(a.Act) if kind not in act_text.registry} == set()


def test_an_act_without_words_is_an_error() -> None:
    class Dance(a.ActBase, frozen=True, kw_only=True, tag="dance"):
        pass

    plan = make_plan()
    odd = Dance(id="a1", step="face")
    with pytest.raises(TypeError, match="the sheet has no words for Dance"):
        sheet_text(with_acts(plan, (odd,)), make_shop())  # type: ignore[arg-type]  # no Act, that is the point


def test_marks_on_a_slide_without_a_dial_are_an_error() -> None:
    plan = make_plan()
    move = a.Move(id="a1", step="face", setting=on_dial(Handle.CARRIAGE, "x", turns=0, marks="3", expected=-1.0))
    with pytest.raises(ShopError, match="carriage: the sheet counts marks, but this slide of shop 'shed' has no dial"):
        sheet_text(with_acts(plan, (move,)), make_shop())


def test_a_dial_that_reads_diameter_changes_no_word() -> None:
    """Marks are marks: what a mark is worth on the diameter is printed with the reading, not from the engraving."""
    shop = make_shop()
    assert CROSS.dial is not None
    dial = replace(CROSS.dial, reads=Reads.DIAMETER, label_mm=Fraction(1, 20))
    other = replace(shop, lathe=replace(shop.lathe, cross=replace(CROSS, dial=dial)))
    assert sheet_text(make_plan(), other) == sheet_text(make_plan(), shop)


def test_reverse_is_shouted() -> None:
    plan = make_plan()
    acts = tuple(
        msgspec.structs.replace(act, reverse=True) if isinstance(act, a.StartSpindle) else act
        for act in plan.sheet.acts
    )
    assert "spindle REVERSE" in sheet_text(with_acts(plan, acts), make_shop())
