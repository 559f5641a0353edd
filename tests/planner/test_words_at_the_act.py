"""What two machinists stopped at when they read whole sheets: words at the act that say what the hand has to do."""

from __future__ import annotations

import re
from functools import cache
from itertools import pairwise

import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.data.cautions import work_caution
from handwheel.data.materials import Material, material, materials
from handwheel.domain import acts as a
from handwheel.domain.lathe import SpindleSpeed
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.part import Units
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.planner.kinds.drill import CHUCK_COMES_LOOSE, TAILSTOCK_UP
from handwheel.planner.kinds.part import BY_POWER, rod_dia_mm
from handwheel.planner.loading import KEY_OUT, NUT_OFF
from handwheel.planner.loosen import ABOUT_MM, loosened
from handwheel.planner.planner import make_plan
from handwheel.planner.writer import KNOB_LOW, _by_belts, knock_off
from handwheel.report.head_text import HAND_THINGS
from handwheel.report.text_sheet import sheet_text
from tests.demo_plans import PAIRS, acts_of, demo_plan, demo_shop
from tests.planner.held import MEANS, shop_with
from tests.planner.holes import made
from tests.planner.jobs import only_holdings
from tests.shops import part_of, shop_of

METRIC = "metric-lathe"
WHIPS, SEE_IT_RUN, ISOLATE, NO_DWELL, NOTHING_LEADS = (
    work_caution(code).text for code in ("bar-whips", "bar-first-run", "isolate", "work-hardens", "drill-unled")
)
NO_DWELL_AGAIN = work_caution("work-hardens").short


@cache
def plan_of(shop: str, part: str) -> Plan:
    """Plan of a small part on one of the tests' lathes."""
    return make_plan(part_of(part), shop_of(shop))


def after_each(plan: Plan, kind: type[a.ActBase]) -> list[a.Act]:
    """Act that follows each one of a kind."""
    return [after for act, after in pairwise(plan.sheet.acts) if isinstance(act, kind)]


def printed(plan: Plan, shop: Shop) -> str:
    """The sheet as one line of words."""
    return " ".join(sheet_text(plan, shop).split())


# tailstock ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("part", "shop"), PAIRS)
def test_after_a_hole_the_quill_goes_back_with_the_spindle_on_and_the_tailstock_away_with_it_off(
    part: str, shop: str
) -> None:
    """Common practice, no source: "out" could be read as towards the work, and a quill wound right back ejects."""
    plan = demo_plan(part, shop)
    assert demo_shop(shop).lathe.slide(Handle.QUILL).clockwise_moves is Motion.LEFT
    for act in acts_of(plan, a.DrillHole):
        assert act.note == f"wind the quill back, anticlockwise, clear of the hole; {CHUCK_COMES_LOOSE}"
    after = after_each(plan, a.DrillHole)
    assert len(after) > 1
    assert all(isinstance(act, a.StopSpindle) and "slide the tailstock away" in act.note for act in after)
    assert all("take the drill out of its chuck" in act.note for act in after)
    assert not re.search(r"\bright out|wound (well )?in\b", printed(plan, demo_shop(shop)))


def test_a_quill_whose_wheel_turns_the_other_way_goes_back_the_other_way() -> None:
    shop = demo_shop(METRIC)
    quill = shop.lathe.tailstock.quill
    turned = replace(quill, clockwise_moves=quill.clockwise_moves.other)
    other = replace(shop, lathe=replace(shop.lathe, tailstock=replace(shop.lathe.tailstock, quill=turned)))
    notes = {act.note for act in acts_of(make_plan(demo_plan("bush", METRIC).sheet.part, other), a.DrillHole)}
    assert notes == {f"wind the quill back, clockwise, clear of the hole; {CHUCK_COMES_LOOSE}"}


def test_a_reamer_is_fitted_and_left_like_a_drill() -> None:
    """Common practice, no source."""
    plan = made("reamed after boring", METRIC).plan
    assert [act.note for act in acts_of(plan, a.FitReamer)] == [TAILSTOCK_UP]
    assert all(CHUCK_COMES_LOOSE in act.note for act in acts_of(plan, a.ReamHole))
    (after,) = after_each(plan, a.ReamHole)
    assert isinstance(after, a.StopSpindle)
    assert "take the reamer out of its chuck" in after.note


# loading ------------------------------------------------------------------------------------------------------------


def test_the_key_leaves_the_chuck_after_it_was_tightened_and_not_before() -> None:
    """Common practice, no source: before the bar is gripped the key is needed."""
    plan, shop = demo_plan("bush", METRIC), demo_shop(METRIC)
    (load,) = acts_of(plan, a.LoadBar)
    assert load.note == KEY_OUT
    assert not any("key" in caution.lower() for caution in load.cautions)
    assert KEY_OUT.index("grip") < KEY_OUT.index("tighten") < KEY_OUT.index("key out")
    assert "from the jaws to the raw end" in printed(plan, shop)


def test_a_collet_chuck_is_spoken_of_by_its_nut_and_spanner() -> None:
    plan, shop = plan_of("collets-only", "stainless-bush"), shop_of("collets-only")
    (load,) = acts_of(plan, a.LoadBar)
    assert load.note == NUT_OFF
    text = printed(plan, shop)
    step = text[text.index("STEP 1 of") : text.index("STEP 2 of")]
    assert "from the face of the closing nut to the raw end" in step
    assert "jaw" not in step
    assert "key" not in step


def test_a_bar_too_long_for_the_spindle_is_sawn_in_the_first_step() -> None:
    """A rack bar of 1000 mm behind a short spindle: an act with its caution, not a finding at the end alone."""
    plan, shop = plan_of("short-spindle", "stainless-bush"), shop_of("short-spindle")
    (load,) = acts_of(plan, a.LoadBar)
    assert shop.bar(load.bar).length_mm > load.bar_length_mm
    sawn = [act for act in acts_of(plan, a.HandStep) if act.text.startswith("Saw ")]
    assert len(sawn) == 1
    assert sawn[0].step == load.step
    assert plan.sheet.acts.index(sawn[0]) < plan.sheet.acts.index(load)
    assert sawn[0].cautions == (WHIPS,)
    said_mm = re.search(r"at most (\d+) mm", sawn[0].text)
    assert said_mm is not None
    assert load.bar_length_mm - 1.0 < float(said_mm[1]) <= load.bar_length_mm
    assert check_sheet(plan.sheet, shop).refusals == ()


def test_a_bar_that_is_short_enough_is_not_sawn() -> None:
    plan = demo_plan("bush", METRIC)
    (load,) = acts_of(plan, a.LoadBar)
    bar = demo_shop(METRIC).bar(load.bar)
    short = replace(demo_shop(METRIC), bars=(replace(bar, length_mm=load.bar_length_mm - 10.0),))
    acts = make_plan(plan.sheet.part, short).sheet.acts
    assert not any(isinstance(act, a.HandStep) and act.text.startswith("Saw ") for act in acts)


# plate --------------------------------------------------------------------------------------------------------------


def test_a_ring_on_the_plate_lies_on_the_face_that_is_rubbed() -> None:
    text = printed(demo_plan("bush", METRIC), demo_shop(METRIC))
    assert re.search(r"hold ring on \S+: [^:]+ back face down on the paper", text)
    assert "back face towards you" not in text


# parting ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("part", "shop"), PAIRS)
def test_parting_is_never_told_to_knock_the_feed_off_short_of_its_end(part: str, shop: str) -> None:
    """It stood beside "do not stop feeding before it is through", and both cannot be done."""
    plan = demo_plan(part, shop)
    step = next(act.step for act in plan.sheet.acts if isinstance(act, a.PartOff))
    feeds = [act for act in acts_of(plan, a.SetFeed) if act.step == step]
    assert [act.note for act in feeds] == [BY_POWER if act.kind is a.FeedKind.POWER else "" for act in feeds]
    others = [act for act in acts_of(plan, a.SetFeed) if act.step != step and act.kind is a.FeedKind.POWER]
    assert all(act.note == knock_off(plan.sheet.part.units) for act in others)


def test_some_demo_parts_by_power() -> None:
    """Else the test above would say nothing of the words."""
    notes = {act.note for pair in PAIRS for act in acts_of(demo_plan(*pair), a.SetFeed)}
    assert BY_POWER in notes


@pytest.mark.parametrize(
    ("bore_mm", "chuck_mm", "rod_mm"), [(11.1, 13.0, 10.1), (20.0, 13.0, 13.0), (14.0, 13.0, 13.0), (1.6, 13.0, 0.8)]
)
def test_the_catching_rod_is_a_millimetre_thinner_than_the_bore_and_fits_the_drill_chuck(
    bore_mm: float, chuck_mm: float, rod_mm: float
) -> None:
    """Common practice, no source; "thinner than Ø 11" was rounded up from 10.75 in a bore of 11.1."""
    assert rod_dia_mm(bore_mm, chuck_dia_mm=chuck_mm) == pytest.approx(rod_mm)


@pytest.mark.parametrize(("part", "shop"), PAIRS)
def test_the_printed_rod_goes_into_the_drill_chuck_and_clear_into_the_bore(part: str, shop: str) -> None:
    plan = demo_plan(part, shop)
    (rod,) = (act for act in acts_of(plan, a.HandStep) if act.kind is a.HandKind.CATCH_ROD)
    found = re.search(r"no thicker than Ø .*?(\d+) mm", rod.text)
    assert found is not None
    bore = 2.0 * float(plan.sheet.part.bore_radius_mm)
    assert float(found[1]) <= demo_shop(shop).lathe.tailstock.chuck_high_dia_mm
    assert bore - 8.0 < float(found[1]) <= bore - 0.9


# bands --------------------------------------------------------------------------------------------------------------


def test_a_place_that_no_size_hangs_on_is_not_set_to_the_step_of_a_readout() -> None:
    """Where the tool only touches, is through, or ends a roughing cut, a tenth or half a tenth is all that is asked."""
    plan, shop = plan_of("readouts", "stainless-bush"), shop_of("readouts")
    acts = plan.sheet.acts
    still = (a.Lock, a.StartSpindle)
    moving = [act for act in acts if not isinstance(act, still)]
    touching = [
        act.setting
        for act, after in pairwise(moving)
        if isinstance(act, a.Move) and isinstance(after, a.Touch) and act.setting.kind is a.SettingKind.READOUT
    ]
    assert len(touching) > 1
    assert {setting.band_mm for setting in touching} == {0.1}
    parting = [act.to for act, after in pairwise(acts) if isinstance(act, a.Cut) and isinstance(after, a.PartOff)]
    assert [to.band_mm for to in parting if to] == [0.1]
    roughing = [
        act.to for act in acts_of(plan, a.Cut) if act.step.startswith("rough") and act.handle is not Handle.CROSS
    ]
    assert {to.band_mm for to in roughing if to} == {0.05}
    text = printed(plan, shop)
    assert "READOUT 3 mm left of 0 ± 0.1 mm" in text


def test_a_setting_that_makes_a_size_keeps_the_step_of_the_readout() -> None:
    plan = plan_of("readouts", "stainless-bush")
    cross = [act.setting for act in acts_of(plan, a.Move) if act.setting.handle is Handle.CROSS]
    assert cross
    assert all(0.0 < setting.band_mm <= 0.0025 for setting in cross)
    ends = [
        act.to for act in acts_of(plan, a.Cut) if act.step in ("bore", "outside") and act.handle is not Handle.CROSS
    ]
    assert ends
    assert all(to is not None and to.band_mm <= 0.0025 for to in ends)


def test_a_dial_keeps_its_marks_and_a_rule_its_own_coarser_band() -> None:
    for name in ("bush", "flange"):
        for act in acts_of(demo_plan(name, "inch-lathe"), a.Move):
            if act.setting.kind is a.SettingKind.MARKS:
                assert act.setting.band_mm == 0.0
            elif act.setting.kind is a.SettingKind.RULE:
                assert act.setting.band_mm == 0.25


def test_loosening_changes_nothing_but_the_bands() -> None:
    plan = plan_of("readouts", "stainless-bush")
    stages = {step.id: step.stage for step in plan.steps}
    for units, about in ABOUT_MM.items():
        loose = loosened(plan.sheet.acts, stages=stages, units=units)
        assert len(loose) == len(plan.sheet.acts)
        assert loosened(loose, stages=stages, units=units) == loose
        assert max(act.setting.band_mm for act in loose if isinstance(act, a.Move)) == about


# metal --------------------------------------------------------------------------------------------------------------


def test_a_metal_that_hardens_says_at_each_first_cut_that_nothing_may_dwell() -> None:
    """Promise: cautions stand where the hand is about to move, not among the findings alone."""
    plan = plan_of("readouts", "stainless-bush")
    cutting = (a.Cut, a.DrillHole, a.ReamHole)
    first: dict[str, a.Act] = {}
    for act in plan.sheet.acts:
        if isinstance(act, cutting):
            first.setdefault(act.step, act)
    assert len(first) > 5
    full, *later = first.values()
    assert NO_DWELL in full.cautions
    assert all(NO_DWELL_AGAIN in act.cautions for act in later)
    assert sum(NO_DWELL in act.cautions for act in plan.sheet.acts) == 1
    assert sum(NO_DWELL_AGAIN in act.cautions for act in plan.sheet.acts) == len(later)
    brass = plan_of("readouts", "brass-bush")
    assert not any(NO_DWELL in act.cautions for act in brass.sheet.acts)


def test_a_drill_that_no_centre_leads_says_so_as_it_starts() -> None:
    plan = plan_of("three-drills", "stainless-bush")
    first, *more = acts_of(plan, a.DrillHole)
    assert NOTHING_LEADS in first.cautions
    assert not any(NOTHING_LEADS in act.cautions for act in more)
    led = demo_plan("bush", METRIC)
    assert not any(NOTHING_LEADS in act.cautions for act in led.sheet.acts)


# oil and edge -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("metal", materials(), ids=lambda metal: str(metal.key))
def test_the_oil_act_names_one_lubricant_and_nothing_of_the_tool(metal: Material) -> None:
    """To say "dry, oil or emulsion" leaves the hand to choose, and rake belongs where the tool is fitted."""
    words = metal.lubricant_words
    assert " or " not in words
    for about_the_tool in ("rake", "edge,", "grabs", "carbide", "refining", "dwell"):
        assert about_the_tool not in words + metal.lubricant
    assert words.startswith("None: ") is metal.lubricant_at_the_cut.startswith("dry")


def test_brass_is_cut_dry_and_says_at_the_fit_that_a_tool_with_rake_grabs() -> None:
    plan, shop = plan_of("readouts", "brass-bush"), shop_of("readouts")
    assert plan.sheet.part.material == "cu_cw614n"
    oil = {act.text for act in acts_of(plan, a.HandStep) if act.kind is a.HandKind.LUBRICATE}
    assert oil == {"None: this metal is cut dry."}
    fits = acts_of(plan, a.FitTool)
    assert fits
    for fit in fits:
        rake = shop.tool(fit.tool).rake_deg
        assert "no positive rake: it grabs" in fit.note
        assert (f"this tool has {rake:g}° of rake" in fit.note) is (rake > 0.0)
    raked = tuple(replace(tool, rake_deg=8.0) for tool in shop.tools)
    other = make_plan(plan.sheet.part, replace(shop, tools=raked))
    assert all("8° of rake: stone a narrow flat" in fit.note for fit in acts_of(other, a.FitTool))


def test_free_cutting_stainless_is_not_said_to_make_long_swarf_and_short_chips() -> None:
    metal = material("ss303")
    assert metal.chip.startswith("short")
    assert not any("long" in caution.text.lower() for caution in metal.hazards)


# speeds -------------------------------------------------------------------------------------------------------------


def overhung(*, above: bool) -> tuple[Plan, Shop]:
    """Job with a bar out behind the spindle, on a lathe with or without a speed above what that bar bears."""
    it = made("overhang", METRIC)
    (load,) = acts_of(it.plan, a.LoadBar)
    most = load.holding.max_rpm
    speeds = tuple(speed for speed in it.shop.lathe.speeds if speed.fastest_rpm <= most)
    assert speeds
    fast = replace(speeds[-1], rpm=most + 1000.0, position="a belt that runs too fast")
    kept = (*speeds, fast) if above else speeds
    shop = replace(it.shop, lathe=replace(it.shop.lathe, speeds=kept))
    return make_plan(it.part, shop), shop


def test_a_top_speed_is_named_only_where_the_lathe_has_a_faster_one() -> None:
    """A lathe that ends at 1050 and 1480 was told "never above 2340 rev/min", and to cut the bar for more."""
    for above in (True, False):
        plan, shop = overhung(above=above)
        text = sheet_text(plan, shop)
        step = text[text.index("STEP 1 of") : text.index("STEP 2 of")]
        assert ("never above" in step) is above
        (told,) = (finding for finding in plan.findings if finding.code == "bar-overhangs")
        assert ("a faster plan needs the bar cut" in told.remedy) is above
        assert "fence its end off" in told.remedy


def test_a_bar_behind_the_spindle_is_first_seen_to_run_at_the_slowest_speed() -> None:
    """It was asked where the bar is loaded, and no act did it: now it stands before the first start, once."""
    plan, _ = overhung(above=False)
    starts = acts_of(plan, a.StartSpindle)
    assert SEE_IT_RUN in starts[0].cautions
    assert sum(SEE_IT_RUN in act.cautions for act in plan.sheet.acts) == 1
    (load,) = acts_of(plan, a.LoadBar)
    assert not any("slowest" in caution for caution in load.cautions)
    assert not any(SEE_IT_RUN in act.cautions for act in demo_plan("bush", METRIC).sheet.acts)


def test_a_drive_without_steps_starts_low_and_is_brought_up_before_anything_touches() -> None:
    plan = plan_of("variable-speed", "titanium-band")
    speeds = acts_of(plan, a.SetSpeed)
    assert speeds
    assert {act.note for act in speeds} == {KNOB_LOW}
    assert {act.note for act in acts_of(demo_plan("bush", METRIC), a.SetSpeed)} == {""}


@pytest.mark.parametrize("shop", ["large-old", "belts-computed", "flat-belts"])
def test_belts_and_back_gear_are_changed_with_the_isolator_off(shop: str) -> None:
    plan = plan_of(shop, "titanium-band")
    speeds = acts_of(plan, a.SetSpeed)
    by_lever = all("lever" in act.position and "belt" not in act.position for act in speeds)
    assert [ISOLATE in act.cautions for act in speeds] == [not by_lever, *[False] * (len(speeds) - 1)]


def test_levers_of_a_gear_head_need_no_isolator() -> None:
    def by_lever(position: str) -> bool:
        return _by_belts(SpindleSpeed(rpm=400.0, position=position), stepless=False)

    assert not by_lever("high range, lever 4")
    assert by_lever("B4")
    assert by_lever("low belt 3")
    assert not _by_belts(SpindleSpeed(rpm=400.0, position="knob by the tachometer"), stepless=True)
    assert _by_belts(SpindleSpeed(rpm=400.0, position="belt low, knob by the tachometer"), stepless=True)


# units, head, tail --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["flat-plate", *MEANS])
def test_a_sheet_in_inches_says_inches_first_in_every_hand_step(kind: str) -> None:
    plan = inch_plan(kind)
    widths = [act.note for act in acts_of(plan, a.SetZero) if "raw width" in act.note]
    texts = [act.text for act in acts_of(plan, a.HandStep)] + widths
    lengths = [text for text in texts if re.search(r"\d mm\b", text)]
    assert lengths
    for text in lengths:
        assert not re.search(r"\d mm\b(?![^(]*\))", text), text


@cache
def inch_plan(kind: str) -> Plan:
    """A demo part as an inch part, its ring held by means of a kind alone; the bush's back face is only rubbed."""
    plate = kind == "flat-plate"
    part = replace(demo_plan("bush" if plate else "band", METRIC).sheet.part, units=Units.INCH)
    return make_plan(part, only_holdings(demo_shop(METRIC), kind) if plate else shop_with(METRIC, MEANS[kind]))


@pytest.mark.parametrize(("part", "shop"), PAIRS)
def test_whatever_an_act_needs_is_made_ready_before(part: str, shop: str) -> None:
    plan = demo_plan(part, shop)
    text = sheet_text(plan, demo_shop(shop))
    ready = " ".join(text[text.index(" GET READY") : text.index(" HOW TO READ IT")].split())
    hands = {act.kind for act in acts_of(plan, a.HandStep)}
    for kind, thing in HAND_THINGS.items():
        assert (thing in ready) is (kind in hands)
    kinds = {(act.kind, act.handle) for act in acts_of(plan, a.SetZero) if act.handle is not Handle.QUILL}
    by_indicator = (a.SettingKind.INDICATOR, Handle.CARRIAGE) in kinds
    assert ("dial indicator with its base, against the carriage" in ready) is by_indicator
    assert ("steel rule along the carriage" in ready) is ((a.SettingKind.RULE, Handle.CARRIAGE) in kinds)


def test_some_demo_needs_an_indicator() -> None:
    zeros = {act.kind for pair in PAIRS for act in acts_of(demo_plan(*pair), a.SetZero)}
    assert a.SettingKind.INDICATOR in zeros


@pytest.mark.parametrize(("shop", "stock"), [("inch-lathe", "the next blank"), (METRIC, "the next length of bar")])
def test_more_than_one_says_where_to_go_on_and_that_the_time_is_for_one(shop: str, stock: str) -> None:
    plan = demo_plan("bush", shop)
    several = replace(plan, sheet=replace(plan.sheet, part=replace(plan.sheet.part, quantity=5)))
    text = printed(several, demo_shop(shop))
    (load,) = acts_of(plan, a.LoadBar)
    assert f"for each further part again from step 1 with {stock}, stick-out {load.stick_out_mm:.1f} mm" in text
    assert re.search(r"time about \d+ min for each part:", text)
    one = printed(replace(plan, sheet=replace(plan.sheet, part=replace(plan.sheet.part, quantity=1))), demo_shop(shop))
    assert " again " not in one[: one.index("SIZES TO REACH")]
    assert "for each part" not in one[: one.index("SIZES TO REACH")]


def test_figures_that_print_alike_are_printed_once_and_a_lathe_is_named_once() -> None:
    for name in ("no-power-feed", "three-drills", "short-spindle"):
        plan, shop = plan_of(name, "stainless-bush"), shop_of(name)
        text = printed(plan, shop)
        assert not re.search(r"\b(\d[\d.]*) to \1\b(?![.\d])", text[text.index("WHY THESE NUMBERS") :])
        same = replace(shop, lathe=replace(shop.lathe, name="little lathe"), name="little lathe")
        assert "lathe little lathe bar" in printed(plan, same)


def test_the_rule_for_the_last_cuts_names_no_step_and_the_allowance_the_parting() -> None:
    plan, shop = demo_plan("bush", METRIC), demo_shop(METRIC)
    text = sheet_text(plan, shop)
    why = text[text.index(" WHY THESE NUMBERS") :]
    assert re.search(r"\n last cuts\n +depth of the two last cuts =", why)
    parting = re.search(r"STEP (\d+) of \d+ +Part off", text)
    assert parting is not None
    assert f"\n step {parting[1]}\n     back allowance =" in why
    assert "(measure: touching off and setting zeros are in it)" in text


@pytest.mark.parametrize(("part", "shop"), PAIRS)
def test_a_tool_that_touches_an_edge_is_not_told_to_touch_it_twice(part: str, shop: str) -> None:
    """It said that a side against the corner just touches the edge."""
    text = printed(demo_plan(part, shop), demo_shop(shop))
    assert "against the corner" not in text
    assert re.search(
        r"until the (left|right)-hand side of the V just touches the|until the rounded tip of the tool", text
    )
