"""Practice case PC-09: belts only, and every chart says something else."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.check.report import RefusalCode
from handwheel.data.materials import material
from handwheel.data.speeds import CutKind, cutting_speed
from handwheel.domain import acts as a
from handwheel.domain.lathe import SpindleSpeed
from handwheel.domain.motion import Edge
from handwheel.physics.speed import cutting_speed_m_min, spindle_speed_rpm
from handwheel.planner.planner import make_plan
from handwheel.report.text_sheet import sheet_text
from tests.demo_plans import acts_of
from tests.shops import part_of, shop_of

INCH = 25.4
FOOT_M = 0.3048
BELTS = "belts-computed"


@pytest.mark.parametrize(
    ("feet_per_minute", "expected_rpm"), [(90.0, 344.0), (120.0, 458.0), (15.0, 57.0), (20.0, 76.0)]
)
def test_three_charts_give_four_speeds_for_an_inch_of_mild_steel(feet_per_minute: float, expected_rpm: float) -> None:
    """PC-09: 344, 458 and 57 to 76 rpm, printed to 1 rev/min, hence ± 0.5."""
    rpm = spindle_speed_rpm(feet_per_minute * FOOT_M, cut_dia_mm=INCH)
    assert rpm == pytest.approx(expected_rpm, abs=0.5)


def test_the_table_shows_a_range_with_the_edge_it_is_for() -> None:
    """PC-09 asks for the range with the tool's material: high-speed steel and carbide have ranges of their own."""
    mild = material("st_s235")
    hss = cutting_speed(mild, edge=Edge.HSS, cut=CutKind.ROUGH)
    carbide = cutting_speed(mild, edge=Edge.CARBIDE, cut=CutKind.ROUGH)
    assert hss.low_m_min < hss.high_m_min < carbide.high_m_min


@pytest.mark.parametrize(
    ("position", "low", "about", "high"),
    [("3 in on 5 in", 273, 290, 323), ("4 in on 4 in", 481, 501, 539), ("5 in on 3 in", 847, 865, 898)],
)
def test_a_shop_that_knows_only_its_pulleys_has_speeds_with_their_spread(
    position: str, low: int, about: int, high: int
) -> None:
    """PC-09: the example's pulleys, in inches as they are written in the shop file."""
    speed = next(speed for speed in shop_of(BELTS).lathe.speeds if speed.position == position)
    assert (speed.low_rpm, speed.rpm, speed.high_rpm) == (low, about, high)


def test_a_plan_takes_speeds_of_the_list_alone_and_prints_them_as_about() -> None:
    shop = shop_of(BELTS)
    plan = make_plan(part_of("steel-spacer"), shop)
    listed = {(speed.rpm, speed.position) for speed in shop.lathe.speeds}
    used = acts_of(plan, a.SetSpeed)
    assert used
    text = " ".join(sheet_text(plan, shop).split())
    for act in used:
        assert (act.rpm, act.position) in listed
        assert f"about {act.rpm:g} rev/min" in text
    assert "speed-worked-out" in {finding.code for finding in plan.findings}


def test_limits_go_by_the_fast_end_of_a_worked_out_speed() -> None:
    """No choice of the planner is too fast even where the belt runs at the rim of its pulleys."""
    shop = shop_of(BELTS)
    plan = make_plan(part_of("steel-spacer"), shop)
    metal = material(plan.sheet.part.material)
    most = max(cutting_speed(metal, edge=Edge.HSS, cut=cut).high_m_min for cut in CutKind if cut is not CutKind.DRILL)
    fastest = {(speed.rpm, speed.position): speed.fastest_rpm for speed in shop.lathe.speeds}
    for act in acts_of(plan, a.SetSpeed):
        surface = cutting_speed_m_min(fastest[act.rpm, act.position], cut_dia_mm=act.cut_dia_mm)
        assert surface <= most * 1.005


def test_the_check_judges_by_the_fast_end_too() -> None:
    """The same sheet, on the same lathe, whose speeds may be twice as fast as the sheet says: refused."""
    shop = shop_of(BELTS)
    plan = make_plan(part_of("steel-spacer"), shop)
    assert check_sheet(plan.sheet, shop).refusals == ()
    loose = tuple(replace(speed, high_rpm=2.5 * speed.rpm) for speed in shop.lathe.speeds)
    found = check_sheet(plan.sheet, replace(shop, lathe=replace(shop.lathe, speeds=loose)))
    assert {RefusalCode.SPEED_ABOVE_METAL, RefusalCode.SPEED_ABOVE_HOLDING} & {r.code for r in found.refusals}


def test_a_measured_speed_is_printed_plain_and_has_no_finding() -> None:
    shop = shop_of(BELTS)
    measured = tuple(SpindleSpeed(rpm=s.rpm, position=s.position, measured=True) for s in shop.lathe.speeds)
    known = replace(shop, lathe=replace(shop.lathe, speeds=measured))
    plan = make_plan(part_of("steel-spacer"), known)
    assert "speed-worked-out" not in {finding.code for finding in plan.findings}
    rpm = acts_of(plan, a.SetSpeed)[0].rpm
    assert f"about {rpm:g} rev/min" not in " ".join(sheet_text(plan, known).split())


@pytest.mark.parametrize("shop", ["large-old", "no-power-feed", "loose-tailstock"])
def test_the_nearest_speed_at_or_below_the_upper_value_is_taken_where_speed_alone_counts(shop: str) -> None:
    """PC-09's rule. A drill is fed as it can bear whatever the speed, so the fastest speed that is allowed wins."""
    owned = shop_of(shop)
    plan = make_plan(part_of("steel-spacer"), owned)
    table = cutting_speed(material(plan.sheet.part.material), edge=Edge.HSS, cut=CutKind.DRILL)
    centre = next(reason for reason in plan.reasons if reason.quantity == "spindle speed" and "centre" in reason.where)
    dia_mm = next(float(drill.dia_mm) for drill in owned.drills if drill.id in centre.where)
    allowed = [s.rpm for s in owned.lathe.speeds if cutting_speed_m_min(s.rpm, cut_dia_mm=dia_mm) <= table.high_m_min]
    assert centre.value == f"{max(allowed):g} rev/min"


def test_every_reason_says_how_far_off_the_choice_is() -> None:
    plan = make_plan(part_of("steel-spacer"), shop_of(BELTS))
    reasons = [reason for reason in plan.reasons if reason.quantity == "spindle speed"]
    assert reasons
    for reason in reasons:
        words = " ".join(reason.inputs)
        assert "the table would allow" in words
        assert "% slower" in words
        assert "worked out as" in words
        assert reason.value.startswith("about ")
