"""The printed sheet fits the page, speaks plainly, and puts cautions where the hand is about to move."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import get_args

import msgspec
import pytest
from msgspec.structs import replace

from handwheel.data.materials import material
from handwheel.domain import acts as a
from handwheel.domain.errors import OutOfRangeError, ShopError
from handwheel.domain.findings import Finding, Severity
from handwheel.domain.motion import Handle, Turn
from handwheel.domain.part import Units
from handwheel.domain.slides import Reads
from handwheel.report.act_text import act_text
from handwheel.report.layout import wrap
from handwheel.report.numbers import Lengths, rounded
from handwheel.report.setting_text import dial_said, from_zero_text
from handwheel.report.text_sheet import sheet_text
from handwheel.report.words import plain
from handwheel.service.demo import DEMO_SHOPS
from handwheel.service.jobs import demo_job
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


def test_what_would_steer_a_terminal_is_left_out() -> None:
    assert plain("ring\x1b[2J\x07 of\tbrass\n\x7f") == "ring[2J of brass"


def test_a_speed_of_the_list_is_printed_as_it_stands_there() -> None:
    """557.9 has no exact binary fraction; the nearest one is 557 and 7916483719987/8796093022208."""
    plan, shop = make_plan(), make_shop()
    slower = tuple(replace(speed, rpm=557.9) for speed in shop.lathe.speeds)
    acts = tuple(
        msgspec.structs.replace(act, rpm=557.9) if isinstance(act, a.SetSpeed) else act for act in plan.sheet.acts
    )
    shop = replace(shop, lathe=replace(shop.lathe, speeds=slower))
    assert " speed   557.9 rev/min" in sheet_text(with_acts(plan, acts), shop)


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
        code="unknown-metal",
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
    zero_f = text[text.index("F: top slide, dial as it stands") : text.index(" 3.14 ")]
    told = " ".join(zero_f.split())
    assert "dial as it stands, handle still" in told
    assert "this collar cannot be set: it shows now [________] that is the offset" in told
    assert "all counted in marks: figure on the dial / 0.025" in told
    assert "my DIAL = DIAL of zero F + offset; from 60 up, take 60 off" in told
    zero_c = text[text.index("C: cross-slide, dial to 0") : text.index("  2.8 ")]
    assert "offset" not in zero_c


def test_both_ways_of_counting_the_angle_and_the_scale_of_this_lathe_are_printed() -> None:
    """Practice case PC-21: many scales count from the cross-slide; and a check by travel, 15 sin 5.5° = 1.44."""
    text = sheet_text(make_plan(), make_shop())
    swing = " ".join(text[text.index("  3.9 swing") : text.index(" 3.10 ")].split())
    assert "SCALE 84.5° on this lathe ± 0.25°" in swing
    assert "5.5° from the lathe's axis 84.5° from the cross-slide" in swing
    assert "wind the top slide 10 turns + 0 marks, 15.00 mm (0.5906 in)" in swing
    assert "the tip must move 1.44 mm (0.0566 in) across ± 0.010 mm (0.0004 in)" in swing


def test_the_rule_for_the_collar_gives_the_printed_dial() -> None:
    """24.50 measured, 24.000 wanted, 0.05 on the diameter for a mark: 10 marks short of 0, the dial shows 90."""
    text = " ".join(sheet_text(make_plan(), make_shop()).split())
    assert "marks short of 0 = (Ø - 24.000) / 0.05, in mm" in text
    assert "DIAL = 100 - marks" in text
    assert "expected Ø 24.50 mm (0.9646 in): DIAL 90 (figure 2.250) 0 turns + 10 marks short of 0" in text


def test_the_rule_for_a_bore_counts_the_other_way() -> None:
    """A bore smaller than wanted, clockwise moving the tool in: the hand turns anticlockwise, the dial counts down."""
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
    assert "marks short of 0 = (18.000 - Ø) / 0.05, in mm" in text
    assert "DIAL = marks with 100 marks or more" in text
    assert "DIAL 10 (figure 0.250) 0 turns + 10 marks short of 0" in text


def test_an_inch_shop_gets_its_collar_rule_in_inches() -> None:
    text = sheet_text(make_plan(Units.INCH), replace(make_shop(), units=Units.INCH))
    assert "marks short of 0 = (Ø - 0.9449) / 0.001969, in inches" in text


def test_a_setting_that_lies_behind_says_how_far_to_go_past_it() -> None:
    """Practice case PC-02: a mark reached by winding back means nothing until the slack is taken up."""
    text = sheet_text(make_plan(), make_shop())
    set_text = text[text.index("  2.9 set") : text.index(" 2.10 ")]
    assert "first anticlockwise 30 marks past it, to take up the slack" in set_text


@pytest.mark.parametrize(
    ("turns", "marks", "clockwise", "anticlockwise"),
    [
        (-1, 75, "0 turns + 25 marks short of 0", "0 turns + 25 marks beyond 0"),
        (-2, 40, "1 turn + 60 marks short of 0", "1 turn + 60 marks beyond 0"),
        (-1, 0, "1 turn + 0 marks short of 0", "1 turn + 0 marks beyond 0"),
        (0, 0, "at 0", "at 0"),
        (0, 1, "0 turns + 1 mark beyond 0", "0 turns + 1 mark short of 0"),
        (25, 8, "25 turns + 8 marks beyond 0", "25 turns + 8 marks short of 0"),
    ],
)
def test_turns_and_marks_are_said_by_the_way_the_hand_turns(
    turns: int, marks: int, clockwise: str, anticlockwise: str
) -> None:
    """The dial counts up clockwise: coming anticlockwise from 10 to 0 the 0 is to come, at 90 it has gone by."""
    position = Fraction(turns * 100 + marks)
    assert from_zero_text(position, marks_per_turn=100, hand=Turn.CLOCKWISE) == clockwise
    assert from_zero_text(position, marks_per_turn=100, hand=Turn.ANTICLOCKWISE) == anticlockwise


def settings_of(text: str) -> list[tuple[str, str]]:
    """Hand and side of 0 of every printed setting that names both."""
    found = re.findall(r"\d set +[a-z -]+, (\w+) \([a-z ]+\) +zero \w+\s(.*?)(?=\n {0,2}\d)", text, re.DOTALL)
    return [(hand, said[1]) for hand, rest in found if (said := re.search(r"(short of|beyond) 0", rest))]


def test_a_bore_counts_back_from_its_touch_and_says_so() -> None:
    """Every bore of the inch lathe goes anticlockwise from the touched 0, which has gone by when the tool cuts."""
    plan, shop, _ = demo_job("band", "inch-lathe")
    text = sheet_text(plan, shop)
    after = text[text.index("until the tip of the tool just touches the bore") :]
    first = re.search(r"cross-slide, anticlockwise \(out\) +zero \w+\s+DIAL (\d+).*?marks (short of|beyond) 0", after)
    assert first is not None
    assert int(first[1]) > 50
    assert first[2] == "beyond"


@pytest.mark.parametrize("lathe", DEMO_SHOPS)
def test_both_hands_meet_both_sides_of_0_by_the_rule_at_the_head(lathe: str) -> None:
    """From the acts alone: going the way the hand turns, 0 comes (short of) or has gone by (beyond)."""
    plan, shop, _ = demo_job("band", lathe)
    text = sheet_text(plan, shop)
    wanted = []
    for act in plan.sheet.acts:
        if isinstance(act, a.Move) and act.setting.kind is a.SettingKind.MARKS:
            dial = shop.lathe.slide(act.setting.handle).dial
            assert dial is not None
            counted_up = act.setting.turns * dial.marks + act.setting.marks
            on = 1 if act.setting.approach is Turn.CLOCKWISE else -1
            if counted_up:
                wanted.append((act.setting.approach.value, "beyond" if counted_up * on > 0 else "short of"))
    printed = settings_of(text)
    assert len(printed) > 10
    assert set(printed) <= set(wanted)
    assert {hand for hand, _ in printed} == {"clockwise", "anticlockwise"}


def test_a_dial_engraved_with_other_figures_shows_the_figure_beside_the_count() -> None:
    """0.002 in for each mark: 25 marks stand at 0.050; a dial engraved 0.001 in is its own count."""
    dial = replace(CROSS.dial, lead_mm=Fraction(254, 100), label_mm=Fraction("0.0508")) if CROSS.dial else None
    assert dial is not None
    engraved = {label: replace(dial, label_mm=Fraction(label)) for label in ("0.0254", "1/50", "1/20")}
    assert str(dial_said(Fraction(25), dial, Units.INCH)) == "DIAL 25 (figure 0.050)"
    assert str(dial_said(Fraction(0), dial, Units.INCH)) == "DIAL 0"
    assert str(dial_said(Fraction(25), engraved["0.0254"], Units.INCH)) == "DIAL 25"
    assert str(dial_said(Fraction(51, 2), engraved["1/50"], Units.MM)) == "DIAL 25.5 (figure 0.51)"
    assert str(dial_said(Fraction(5, 2), engraved["1/20"], Units.MM)) == "DIAL 2.5 (figure 0.125)"
    assert str(dial_said(Fraction(25), replace(dial, settable=False), Units.INCH)) == "DIAL 25"


def test_a_collar_that_cannot_be_set_learns_its_offset_and_leaves_room_for_the_sum() -> None:
    """The DIAL that the shown one is lessened by is the one from his own reading; below 0 a turn is added."""
    shop = make_shop()
    fixed = replace(CROSS, dial=replace(CROSS.dial, settable=False)) if CROSS.dial else CROSS
    plan = make_plan()
    acts = tuple(
        msgspec.structs.replace(act, settable=False) if isinstance(act, a.SetCollar) else act for act in plan.sheet.acts
    )
    text = sheet_text(with_acts(plan, acts), replace(shop, lathe=replace(shop.lathe, cross=fixed)))
    told = " ".join(text.split())
    assert "handle still, offset from the reading marks short of 0 =" in told
    assert (
        "this collar cannot be set: it shows now [________] less the DIAL from my reading = offset [________]; "
        "below 0, add 100 all counted in marks: figure on the dial / 0.025 my DIAL = DIAL of zero D + offset; "
        "from 100 up, take 100 off"
    ) in told
    assert "DIAL 30 0 turns + 70 marks short of 0 Ø 28.00 mm (1.1024 in) my DIAL [________]" in told
    head = next(line for line in text.splitlines() if "handle" in line and "my DIAL" in line)
    assert head.split()[:4] == ["handle", "DIAL", "my", "DIAL"]
    assert "figure" not in head
    rows = [line for line in text.splitlines() if "[_____]" in line]
    assert len(rows) > 3
    assert "dial to 0" not in told[told.index("STEP 2") : told.index("STEP 3")]


def test_an_inch_in_turns_of_a_metric_screw_is_25_turns_and_8_marks() -> None:
    """Practice case PC-03: 25.4 mm on a screw of 1 mm with 20 marks; a published table said 20 turns."""
    position = Fraction(254, 10) / (Fraction(1) / 20)
    assert from_zero_text(position, marks_per_turn=20, hand=Turn.CLOCKWISE) == "25 turns + 8 marks beyond 0"


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


def test_a_dial_that_reads_diameter_changes_the_engraved_figures_alone() -> None:
    """Marks are marks: what a mark is worth on the diameter is printed with the reading, not from the engraving."""
    shop = make_shop()
    assert CROSS.dial is not None
    dial = replace(CROSS.dial, reads=Reads.DIAMETER, label_mm=Fraction(1, 20))
    other = replace(shop, lathe=replace(shop.lathe, cross=replace(CROSS, dial=dial)))

    def without_figures(text: str) -> list[str]:
        # a figure also stands in a table of readings, whose columns are as wide as their widest entry
        bare = re.sub(r"\(figure [\d.]+\)|(?<=DIAL \d\d) \([\d.]+\)", "", text)
        return [
            re.sub("(?<=[^ ]) +", " ", line) for line in bare.splitlines() if not re.match(r" +\d+\.\d+  cross", line)
        ]

    mine, his = (sheet_text(make_plan(), one) for one in (shop, other))
    assert "DIAL = DIAL x 0.05" not in mine
    assert [line for line in without_figures(his) if line not in without_figures(mine)] == [
        "              figure on the dial = DIAL x 0.05"
    ]
    assert "(figure 2.250)" in mine
    assert "(figure 4.50)" in his


def test_reverse_is_shouted() -> None:
    plan = make_plan()
    acts = tuple(
        msgspec.structs.replace(act, reverse=True) if isinstance(act, a.StartSpindle) else act
        for act in plan.sheet.acts
    )
    assert "spindle REVERSE" in sheet_text(with_acts(plan, acts), make_shop())


def test_two_plans_printed_in_turn_keep_their_own_words() -> None:
    """The steps printed last are kept; those of another plan, or of another shop, must not come in their place."""
    metric, inch, shop = make_plan(Units.MM), make_plan(Units.INCH), make_shop()
    first, second = sheet_text(metric, shop), sheet_text(inch, shop)
    assert first != second
    assert sheet_text(metric, shop) == first
    cross = shop.lathe.cross
    assert cross.dial is not None
    finer = replace(cross, dial=replace(cross.dial, settable=False))
    other = replace(shop, lathe=replace(shop.lathe, cross=finer))
    assert sheet_text(metric, other) != first
    assert sheet_text(metric, shop) == first
