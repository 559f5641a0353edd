"""Practice cases PC-01 to PC-04 on real plans: what a mark means, from which side, how many, by which reading."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import pairwise
from math import radians, sin
from typing import TYPE_CHECKING

import pytest
from msgspec.structs import replace

from handwheel.domain import acts as a
from handwheel.domain.motion import Handle, Motion, Turn
from handwheel.domain.size import MM_PER_INCH
from handwheel.domain.slides import Dial, Reads, Slide
from handwheel.domain.tools import ToolKind
from handwheel.planner.dialing import back_off_marks, cross_scale, engraved_change_mm
from handwheel.planner.planner import make_plan
from handwheel.report.text_sheet import sheet_text
from tests.demo_plans import acts_of, demo_part, demo_shop, position_marks, with_cross, wound

if TYPE_CHECKING:
    from handwheel.domain.plan import Plan
    from handwheel.domain.shop import Shop
    from tests.demo_plans import Wound
    from tests.practice.conftest import Planned

THOU = MM_PER_INCH / 1000
SAID_MM = 0.0101
"""A way said to a hundredth of a millimetre is off by half of that at most, on a diameter by twice as much."""
INSIDE = (ToolKind.BORING, ToolKind.EDGE_INSIDE)


def cross_of(lead: Fraction, marks: int, *, label: Fraction, reads: Reads, slack: Fraction = Fraction(0)) -> Slide:
    """Cross-slide that goes in when it is wound clockwise."""
    return Slide(
        handle=Handle.CROSS,
        clockwise_moves=Motion.IN,
        slack_mm=slack,
        travel_mm=100.0,
        dial=Dial(lead_mm=lead, marks=marks, label_mm=label, reads=reads),
    )


def with_dial(shop: Shop, dial: Dial) -> Shop:
    """Shop whose cross-slide wears another dial (or sits on another screw)."""
    return with_cross(shop, replace(shop.lathe.cross, dial=dial))


def cross_dial(shop: Shop) -> Dial:
    dial = shop.lathe.cross.dial
    assert dial is not None
    return dial


def cross_marks(plan: Plan, shop: Shop) -> list[tuple[str, Fraction]]:
    """Every cross-slide setting: the act, and marks from the zero."""
    marks = cross_dial(shop).marks
    return [
        (item.act.id, position_marks(item.setting, marks))
        for item in wound(plan, shop)
        if item.setting.handle is Handle.CROSS
    ]


# PC-01 ---------------------------------------------------------------------------------------------------------------


def test_pc_01_the_trial_of_ten_marks_tells_a_diameter_dial_from_a_radius_dial() -> None:
    """PC-01, computed there: 10 marks in take 10 marks' worth off on a diameter dial, 20 on a radius dial."""
    marks = Fraction(10)
    for reads, label, falls_in_marks in ((Reads.DIAMETER, 2 * THOU, 10), (Reads.TRAVEL, THOU, 20)):
        slide = cross_of(100 * THOU, 100, label=label, reads=reads)
        scale = cross_scale(slide)
        assert scale is not None
        assert slide.dial is not None
        really_off_mm = float(marks) * scale.dia_per_step_mm
        assert really_off_mm == pytest.approx(float(20 * THOU)), "the screw decides, not the engraving"
        assert really_off_mm / float(label) == pytest.approx(falls_in_marks)
        claimed_mm = engraved_change_mm(slide.dial, marks)
        assert float(claimed_mm) * (1 if reads is Reads.DIAMETER else 2) == pytest.approx(really_off_mm)


@pytest.mark.parametrize("shop_name", ["inch-lathe", "metric-lathe"])
def test_pc_01_a_dial_engraved_the_other_way_on_the_same_screw_gives_the_same_sheet(shop_name: str) -> None:
    """PC-01, practice: the convention is stored once with the machine; the way of the tool comes from its screw."""
    shop = demo_shop(shop_name)
    dial = cross_dial(shop)
    if dial.reads is Reads.DIAMETER:
        other = replace(dial, reads=Reads.TRAVEL, label_mm=dial.label_mm / 2)
    else:
        other = replace(dial, reads=Reads.DIAMETER, label_mm=dial.label_mm * 2)
    part = demo_part("bush")
    assert other.engraving_agrees
    first, second = make_plan(part, shop), make_plan(part, with_dial(shop, other))
    assert second.sheet.acts == first.sheet.acts
    assert second.findings == first.findings


def test_pc_01_half_the_lead_with_half_the_marks_counts_the_same_marks() -> None:
    """PC-01, computed here: 4 mm with 200 marks and 2 mm with 100 marks are 0.02 mm a mark alike."""
    shop, part = demo_shop("metric-lathe"), demo_part("band")
    dial = cross_dial(shop)
    fine = with_dial(shop, replace(dial, lead_mm=dial.lead_mm / 2, marks=dial.marks // 2))
    found = cross_marks(make_plan(part, fine), fine)
    assert found
    assert found == cross_marks(make_plan(part, shop), shop)


def test_pc_01_a_dial_that_claims_something_else_than_its_screw_does_is_a_finding() -> None:
    """PC-01, practice: checked by a trial, touch, wind in 10 marks, cut, measure."""
    shop, part = demo_shop("metric-lathe"), demo_part("band")
    wrong = with_dial(shop, replace(cross_dial(shop), label_mm=Fraction("0.02")))
    right_plan, wrong_plan = make_plan(part, shop), make_plan(part, wrong)
    (finding,) = [found for found in wrong_plan.findings if found.code == "engraving-differs"]
    assert (
        "engraved 0.02 mm (0.00079 in) of diameter, but the screw moves the slide 0.02 mm (0.00079 in)"
        in finding.problem
    )
    assert "touch, wind in 10 marks, cut, measure" in finding.remedy
    assert not [found for found in right_plan.findings if found.code == "engraving-differs"]
    assert cross_marks(wrong_plan, wrong) == cross_marks(right_plan, shop)


def test_pc_01_every_line_that_sets_the_cross_slide_says_what_the_diameter_is_then(planned: Planned) -> None:
    """PC-01, practice: never a bare figure; marks, and the diameter (or the depth below the corner) beside them."""
    text = sheet_text(planned.plan, planned.shop)
    acts = re.split(r"\n(?= {0,2}\d+\.\d+ [a-zA-Z])", text)
    lines = [act.split("!!", maxsplit=1)[0] for act in acts if re.match(r" *\d+\.\d+ (set|cut) +cross-slide", act)]
    dials = [act for act in lines if "DIAL" in act]
    assert len(dials) >= 10
    for act in dials:
        assert re.search(r"Ø [\d.]+ mm \([\d.]+ in\)|below the corner", act), act


# PC-02 ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("lead_thou", "marks", "slack_thou", "expected_marks"),
    [(100, 100, 20, 50), (100, 100, 40, 60), (50, 50, 20, 30), (100, 100, 0, 50)],
)
def test_pc_02_the_way_back_clears_one_and_a_half_times_the_slack_or_half_a_turn(
    lead_thou: int, marks: int, slack_thou: int, expected_marks: int
) -> None:
    """PC-02: 0.020 in of slack wants at least 0.030 in (computed there), better half a turn (practice)."""
    slide = cross_of(lead_thou * THOU, marks, label=THOU, reads=Reads.TRAVEL, slack=slack_thou * THOU)
    assert back_off_marks(slide) == expected_marks


def test_pc_02_slack_not_cleared_comes_back_twice_on_the_diameter() -> None:
    """PC-02, computed there: 0.020 in on the radius is 0.040 in on the diameter."""
    slide = cross_of(100 * THOU, 100, label=THOU, reads=Reads.TRAVEL, slack=20 * THOU)
    scale = cross_scale(slide)
    assert scale is not None
    marks_lost = slide.slack_mm / scale.step_mm
    assert float(marks_lost) * scale.dia_per_step_mm == pytest.approx(float(40 * THOU))


def test_pc_02_every_setting_is_reached_from_the_side_on_which_its_zero_was_set(planned: Planned) -> None:
    """PC-02, practice: one side for the zero and for all that is counted from it, read off the acts alone.

    A carriage that was brought by eye came last and towards the headstock, as the sheet says there.
    """
    settings = list(wound(planned.plan, planned.shop))
    assert len(settings) >= 30
    assert [item.act.id for item in settings if item.bearing is not item.setting.approach] == []


def test_pc_02_every_dial_setting_says_how_far_to_go_back_after_overshooting(planned: Planned) -> None:
    """PC-02: past the slack and at least 1.5 times it (computed), at least half a turn (practice)."""
    for item in wound(planned.plan, planned.shop):
        slide = planned.shop.lathe.slide(item.setting.handle)
        if item.setting.kind is not a.SettingKind.MARKS or slide.dial is None:
            continue
        back = item.setting.back_off_marks * slide.dial.travel_per_mark_mm
        assert back >= Fraction(3, 2) * slide.slack_mm
        assert back > slide.slack_mm
        assert back >= slide.dial.lead_mm / 2


def test_pc_02_in_a_bore_the_cut_goes_on_by_the_other_turn_of_the_hand(planned: Planned) -> None:
    """PC-02: outside, deeper is clockwise (in); in the bore, deeper is anticlockwise (out). The sheet says both."""
    outside: set[Turn] = set()
    inside: set[Turn] = set()
    for item in wound(planned.plan, planned.shop):
        if item.setting.handle is Handle.CROSS and item.tool is not None:
            (inside if item.tool.kind in INSIDE else outside).add(item.setting.approach)
    assert outside == {Turn.CLOCKWISE}
    assert inside == {Turn.ANTICLOCKWISE}
    text = sheet_text(planned.plan, planned.shop)
    assert "cross-slide, anticlockwise (out)" in text
    assert "cross-slide, clockwise (in)" in text


def test_pc_02_lengths_are_always_reached_towards_the_headstock(planned: Planned) -> None:
    """PC-02, practice: from the right, as the face was touched."""
    lathe = planned.shop.lathe
    along = [item for item in wound(planned.plan, planned.shop) if item.setting.handle is not Handle.CROSS]
    assert along
    for item in along:
        assert lathe.slide(item.setting.handle).motion_for(item.setting.approach) is Motion.LEFT


# PC-03 ---------------------------------------------------------------------------------------------------------------


def remultiplied_mm(item: Wound, dial: Dial) -> float:
    """What a setting makes true, from turns and marks alone; clockwise is in or to the left on the demo lathes."""
    way_mm = float(position_marks(item.setting, dial.marks) * dial.travel_per_mark_mm)
    swung = float(item.swing.angle_deg) if item.swing is not None else 0.0
    if item.setting.handle is Handle.CROSS:
        on_corner = item.zero.surface.endswith("-edge")
        return abs(way_mm) if on_corner else item.zero_mm - 2.0 * way_mm
    if item.setting.handle is Handle.TOP and swung:
        assert item.swing is not None
        sign = 1.0 if item.swing.leftward is Motion.OUT else -1.0
        return item.zero_mm + sign * 2.0 * way_mm * sin(radians(swung))
    # a carriage whose wheel turns clockwise to the right counts the other way
    return item.zero_mm - way_mm


def _flank_touched(planned: Planned, zero: str) -> bool:
    """Whether a zero along the bed was set where the side of a V, and not its point, touched the face."""
    acts = planned.plan.sheet.acts
    return any(
        isinstance(touched, a.Touch)
        and isinstance(act, a.SetZero)
        and act.zero == zero
        and touched.contact.startswith("left-hand side of the V")
        and act.surface == "front-face"
        for touched, act in pairwise(acts)
    )


def _corner_hangs_mm(planned: Planned, zero: str) -> float:
    """By the note of a zero: how far the right corner of a slanted blade stood deeper than the part that touched."""
    notes = (act.note for act in planned.plan.sheet.acts if isinstance(act, a.SetZero) and act.zero == zero)
    found = re.search(r"right corner stands ([0-9.]+) mm", next(notes, ""))
    return float(found[1]) if found else 0.0


def _top_slide_wound(planned: Planned, item: Wound) -> bool:
    """Whether the top slide was wound between a carriage's zero and a setting that counts from it."""
    acts = planned.plan.sheet.acts
    since = acts[acts.index(item.zero) : acts.index(item.act)]
    return any(isinstance(act, a.Retract) and act.handle is Handle.TOP for act in since)


def test_pc_03_turns_and_marks_multiplied_out_again_give_the_size_on_the_line(planned: Planned) -> None:
    """PC-03, computed: a published table was 5 mm out; every line of ours is multiplied out again from the screw."""
    checked = 0
    for item in wound(planned.plan, planned.shop):
        slide = planned.shop.lathe.slide(item.setting.handle)
        if item.setting.kind is not a.SettingKind.MARKS or item.setting.handle is Handle.QUILL or slide.dial is None:
            continue
        if item.setting.handle is Handle.CARRIAGE and item.swing is not None and item.swing.angle_deg:
            continue  # the swung slide has taken the tool along as well: the carriage alone does not say where it is
        if item.setting.handle is Handle.CARRIAGE and _top_slide_wound(planned, item):
            continue  # so has the top slide, drawn back on its own
        if _flank_touched(planned, item.setting.zero):
            continue  # the side of a V touched the rim: its point then stood in front of the face by what the note says
        found = remultiplied_mm(item, slide.dial)
        if slide.clockwise_moves is Motion.RIGHT:
            found = 2.0 * item.zero_mm - found
        hangs = _corner_hangs_mm(planned, item.setting.zero)
        printed = SAID_MM if hangs else 1e-6
        assert found - 2.0 * hangs == pytest.approx(item.setting.expected_mm, abs=printed), item.act.id
        checked += 1
    assert checked >= 25


def test_pc_03_no_setting_asks_for_a_part_of_a_mark(planned: Planned) -> None:
    """PC-03: no finer than the dial; whole marks below one turn (the demo dials do not allow halves)."""
    for item in wound(planned.plan, planned.shop):
        slide = planned.shop.lathe.slide(item.setting.handle)
        if item.setting.kind is a.SettingKind.MARKS and slide.dial is not None:
            assert item.setting.marks.denominator == 1
            assert 0 <= item.setting.marks < slide.dial.marks


# PC-04 ---------------------------------------------------------------------------------------------------------------


def test_pc_04_the_last_cut_is_the_measured_difference_in_whole_marks(planned: Planned) -> None:
    """PC-04: convert the size exactly, then put the *remaining* cut on the dial that the lathe has (computed)."""
    collars = acts_of(planned.plan, a.SetCollar)
    assert {collar.surface for collar in collars} >= {"outside", "bore"}
    for collar in collars:
        dial = planned.shop.lathe.slide(collar.handle).dial
        assert dial is not None
        marks = abs(collar.turns * dial.marks + collar.marks)
        rest_mm = abs(collar.expected_dia_mm - collar.zero_dia_mm)
        assert marks.denominator == 1
        assert float(marks) * collar.dia_per_mark_mm == pytest.approx(rest_mm, abs=1e-9)


def test_pc_04_a_metric_part_on_an_inch_lathe_lands_within_half_a_mark_of_the_exact_conversion() -> None:
    """PC-04: 25.4 exactly. By the 0.040 in shortcut (1.6 % long) the bush's bore would be 0.32 mm out (computed)."""
    plan = make_plan(demo_part("bush"), demo_shop("inch-lathe"))
    target = demo_part("bush").bore_radius_mm * 2.0
    by_shortcut = target * float(40 * THOU)
    assert by_shortcut - target == pytest.approx(0.32, abs=0.005)
    *_, last = [collar for collar in acts_of(plan, a.SetCollar) if collar.surface == "bore"]
    assert abs(last.zero_dia_mm - target) <= last.dia_per_mark_mm / 2.0 + 1e-9
