"""Wishes of a part file as far as the sheet: each stands in its head, in an act, or in a finding."""

from __future__ import annotations

from functools import cache

import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.check.report import RefusalCode
from handwheel.data.roughness import roughness_grades_um
from handwheel.domain import acts as a
from handwheel.domain.errors import NoPlanError
from handwheel.domain.lathe import PowerFeed
from handwheel.domain.part import Aspect, Part, Units
from handwheel.domain.plan import Plan
from handwheel.domain.redrawn import rougher
from handwheel.domain.remedies import AllowFinish, with_remedy
from handwheel.domain.remedy_words import remedy_words
from handwheel.domain.shop import Shop
from handwheel.domain.tools import ToolKind
from handwheel.planner.broken_edge import shares_of_a_gap
from handwheel.planner.planner import make_plan
from handwheel.planner.remedying import Trial, remedied
from handwheel.planner.search import Shortfall
from handwheel.planner.way import NoWay
from handwheel.report.text_sheet import sheet_text
from handwheel.service.codec import plan_from_json, plan_to_json
from handwheel.service.demo import DEMO_SHOPS
from handwheel.service.intake.part_file import read_part
from tests.agree import disagreements
from tests.planner.jobs import demo_shop, demo_text
from tests.replay.judge import Verdict, verdict

BORE, OUTSIDE, WIDTH = 'diameter = "20 H8"', 'diameter = "28 h11"', "length = 18"
EDGE = '"0.5 x 45"'
WISHES = (
    (BORE, 'fit = "running on 20 mm shaft"\nfinish_ra = "N7"'),
    (OUTSIDE, f'{OUTSIDE}\nfinish = "polished"\nloss = "0.01 on the diameter"\nfinish_ra = 0.2'),
    (WIDTH, f'{WIDTH}\nallowance = "0.2 on the front face"'),
    (f"front_inner = {EDGE}", 'front_inner = "broken"'),
    (f"back_inner = {EDGE}", 'back_inner = "broken 0.1 to 0.4"'),
)


def bush(*changes: tuple[str, str]) -> Part:
    """Demo bush with some of its file changed."""
    text = demo_text("bush")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return read_part(text, name="bush.toml")


@cache
def wished(lathe: str) -> Plan:
    """Plan of the bush with every wish that a lathe can do."""
    return make_plan(bush(*WISHES), demo_shop(lathe))


def findings(plan: Plan) -> dict[str, str]:
    return {finding.code: f"{finding.problem} | {finding.remedy}" for finding in plan.findings}


@pytest.mark.parametrize("lathe", DEMO_SHOPS)
def test_every_wish_stands_in_the_head_of_the_sheet(lathe: str) -> None:
    head = " ".join(sheet_text(wished(lathe), demo_shop(lathe)).partition("GET READY")[0].split())
    for words in (
        (
            "running on 20 mm shaft: clearance 0.020 to 0.074 mm (0.0008 to 0.0029 in) to a shaft of 19.959 to 19.98 "
            "mm (0.7858 to 0.7866 in)"
        ),
        "finish bore Ra 1.6 µm (N7) or finer, as turned",
        "outside diameter, as turned 27.880 to 28.010",
        "polished to Ra 0.2 µm (N4), which takes 0.01 on the diameter, as the maker says; then 27.870 to 28.000 mm",
        "width: 0.2 on the front face left for later work; then 17.800 to 18.200 mm",
        "front outer edge, both legs: later work on the surfaces beside it shortens it; then 0.300 to 0.700 mm",
        "front inner edge, broken by hand 0.100 to 0.300",
        "back inner edge, broken by hand 0.100 to 0.400",
    ):
        assert words in head, words


@pytest.mark.parametrize("lathe", DEMO_SHOPS)
def test_such_a_plan_passes_the_check_and_its_text_and_json_say_the_same(lathe: str) -> None:
    plan, shop = wished(lathe), demo_shop(lathe)
    report = check_sheet(plan.sheet, shop)
    assert report.refusals == ()
    sizes = {size.feature: size.value_mm for size in report.sizes}
    assert 27.88 <= sizes["outside diameter"] <= 28.01
    assert 18.0 <= sizes["back-face width"] <= 18.4
    assert verdict(plan.sheet, shop) is not Verdict.WRONG
    assert disagreements(sheet_text(plan, shop), plan, shop) == []
    assert plan_from_json(plan_to_json(plan)) == plan


def test_an_edge_to_be_broken_is_an_act_of_its_own_with_the_ring_in_the_hand() -> None:
    plan = wished("metric-lathe")
    steps = [act for act in plan.sheet.acts if isinstance(act, a.HandStep) and act.kind is a.HandKind.BREAK_EDGE]
    assert [act.surface for act in steps] == ["front-inner-edge", "back-inner-edge"]
    assert "legs of 0.10 mm (0.0039 in) to 0.30 mm (0.0118 in)" in steps[0].text
    assert "strokes away from the fingers" in steps[0].text
    assert "a rule with 0.5 mm lines" in steps[0].text
    assert "is 0.2 to 0.6 of the gap between two lines" in steps[0].text  # 0.1 and 0.3 of 0.5 mm


@pytest.mark.parametrize(
    ("low_mm", "high_mm", "units", "shares"),
    [
        (0.1, 0.3, Units.MM, "0.2 to 0.6"),
        (0.1, 0.3, Units.INCH, "0.3 to 0.8"),  # 1/64 in is 0.397 mm
        (0.2, 0.5, Units.MM, "0.4 to 1.0"),
        (0.2, 0.22, Units.MM, "about 0.4"),
    ],
)
def test_a_broken_edge_is_judged_against_the_lines_of_a_rule(
    low_mm: float, high_mm: float, units: Units, shares: str
) -> None:
    assert shares_of_a_gap(low_mm, high_mm, units) == shares


def test_the_check_refuses_an_edge_broken_before_the_ring_is_in_the_hand_or_before_its_last_cut() -> None:
    """It sees that the act is there and when; how wide the bevel is only the eye can say."""
    plan, shop = wished("metric-lathe"), demo_shop("metric-lathe")
    step = next(act for act in plan.sheet.acts if isinstance(act, a.HandStep) and act.kind is a.HandKind.BREAK_EDGE)
    others = [act for act in plan.sheet.acts if act.id != step.id]
    parting = next(place for place, act in enumerate(others) if isinstance(act, a.PartOff))
    early = (*others[:parting], step, *others[parting:])
    codes = {refusal.code for refusal in check_sheet(replace(plan.sheet, acts=early), shop).refusals}
    assert {RefusalCode.NOT_PARTED, RefusalCode.EDGE_NOT_BROKEN} <= codes


def test_the_check_refuses_a_sheet_that_leaves_such_an_edge_sharp() -> None:
    plan = wished("metric-lathe")
    acts = tuple(act for act in plan.sheet.acts if getattr(act, "surface", "") != "back-inner-edge")
    report = check_sheet(replace(plan.sheet, acts=acts), demo_shop("metric-lathe"))
    assert {refusal.code for refusal in report.refusals} == {RefusalCode.EDGE_NOT_BROKEN}


def test_a_mate_that_nobody_has_measured_is_a_finding_and_a_measured_one_is_none() -> None:
    told = findings(wished("metric-lathe"))["mate-assumed"]
    assert "the limits take it for a shaft of 19.959 to 19.98 mm (0.7858 to 0.7866 in), 20 f7" in told
    measured = make_plan(bush((BORE, 'fit = "running on a shaft measured 19.98 mm"')), demo_shop("metric-lathe"))
    assert "mate-assumed" not in findings(measured)


# rounds --------------------------------------------------------------------------------------------------------------


def test_the_check_refuses_a_sheet_for_a_part_with_a_round_that_nothing_cuts() -> None:
    plan = make_plan(bush((f"front_outer = {EDGE}", 'front_outer = "sharp"')), demo_shop("metric-lathe"))
    rounded = bush((f"front_outer = {EDGE}", 'front_outer = "round 0.5"'))
    report = check_sheet(replace(plan.sheet, part=rounded), demo_shop("metric-lathe"))
    assert {refusal.code for refusal in report.refusals} == {RefusalCode.SIZE_NOT_FOUND, RefusalCode.LEFTOVER}


# roughness -----------------------------------------------------------------------------------------------------------


def boring_with(*, nose_mm: float, finest_mm_rev: float = 0.05) -> Shop:
    """Demo shop whose boring bars have one nose radius, and whose gearbox has one more feed."""
    shop = demo_shop("metric-lathe")
    tools = tuple(replace(t, nose_radius_mm=nose_mm) if t.kind is ToolKind.BORING else t for t in shop.tools)
    fine = PowerFeed(mm_rev=finest_mm_rev, position="fine")
    return replace(shop, tools=tools, lathe=replace(shop.lathe, feeds_along=(fine, *shop.lathe.feeds_along)))


def test_the_plan_says_what_feed_and_nose_leave_against_what_is_asked() -> None:
    """Ra = f²/(18 √3 r): checked here from the printed feed and nose, to the printed hundredth."""
    plan = make_plan(bush((BORE, f"{BORE}\nfinish_ra = 1.6")), boring_with(nose_mm=0.4))
    (reason,) = [reason for reason in plan.reasons if reason.quantity == "ideal roughness"]
    feed = float(reason.inputs[0].split()[1])
    assert reason.inputs[1] == "nose radius 0.4 mm (0.0157 in)"
    ideal = 1000 * feed**2 / (18 * 3**0.5 * 0.4)
    assert reason.value == f"Ra {ideal:.2f} µm; asked: Ra 1.6 µm (N7)"
    assert ideal <= 1.6
    assert not {"finish-not-met", "finish-finer-than-turned"} & set(findings(plan))


def test_a_roughness_that_the_least_feed_of_the_metal_does_not_bear_is_a_finding() -> None:
    """Least feed 0.04 mm/rev (bronze, common practice), nose 0.2 mm: 1000 x 0.04² / (18 √3 x 0.2) = 0.257 µm."""
    plan = make_plan(bush((BORE, f"{BORE}\nfinish_ra = 0.2")), boring_with(nose_mm=0.2, finest_mm_rev=0.04))
    told = findings(plan)["finish-not-met"]
    assert "asked for Ra 0.2 µm (N4); feed and nose alone leave Ra 0.26 µm at best" in told
    assert "finish, with its loss" in told


def test_a_roughness_finer_than_turning_leaves_is_a_finding_though_feed_and_nose_allow_it() -> None:
    plan = make_plan(bush((BORE, f"{BORE}\nfinish_ra = 0.3")), boring_with(nose_mm=0.4))
    assert "turning and boring seldom leave less than Ra 0.4 µm" in findings(plan)["finish-finer-than-turned"]


def test_a_feed_that_cannot_be_found_is_put_down_to_the_roughness_that_asks_for_it() -> None:
    with pytest.raises(NoPlanError, match=r"or a coarser finish than Ra 0.05 µm \(N2\), which asks for so fine a feed"):
        make_plan(bush((BORE, f"{BORE}\nfinish_ra = 0.05")), demo_shop("metric-lathe"))


def coarser_finish_for(part: Part, shop: Shop) -> AllowFinish:
    """The coarser finish that a refusal offers."""
    with pytest.raises(NoPlanError) as caught:
        make_plan(part, shop)
    offered = [remedy for trouble in caught.value.refusal.troubles for remedy in trouble.remedies]
    (found,) = {remedy for remedy in offered if isinstance(remedy, AllowFinish)}
    return found


def test_a_coarser_finish_is_the_finest_that_gives_a_plan() -> None:
    """Ra 0.05 µm asks for a feed that no hand keeps here."""
    part, shop = bush((BORE, f"{BORE}\nfinish_ra = 0.05")), demo_shop("metric-lathe")
    coarser = coarser_finish_for(part, shop)
    assert 0.05 < coarser.ra_um < 3.2
    easier, same = with_remedy(part, shop, coarser)
    assert same is shop
    bore = make_plan(easier, shop).sheet.part.surface("bore")
    assert bore is not None
    assert bore.finish_ra_um == coarser.ra_um
    finer = max(grade for grade in map(float, roughness_grades_um().values()) if grade < coarser.ra_um)
    with pytest.raises(NoPlanError):
        make_plan(rougher(part, "bore", ra_um=finer), shop)
    words = f"a coarser finish on the drawing: bore Ra {coarser.ra_um:g} µm ({coarser.grade})"
    assert words in remedy_words(coarser, shop, part.units)


def test_a_coarser_finish_is_tried_by_planning_the_changed_part() -> None:
    """Alone among the offers of a trouble it is found; one grade finer is tried too, and is not."""
    part, shop = bush((BORE, f"{BORE}\nfinish_ra = 0.05")), demo_shop("metric-lathe")
    coarser = coarser_finish_for(part, shop)

    def retry(other: Part, with_shop: Shop, most_jobs: int) -> Trial:
        assert most_jobs > 0
        try:
            make_plan(other, with_shop)
        except NoPlanError:
            return Trial(found=False, shortfalls=(), jobs=1)
        return Trial(found=True, shortfalls=(), jobs=1)

    for offer, needed in ((coarser, (coarser,)), (replace(coarser, ra_um=0.06), ())):
        trouble = NoWay(step="bore", tried="boring", why="no feed", code="no-feed", remedies=(offer,))
        shortfall = Shortfall(lacking=("bore",), troubles=(trouble,))
        found = remedied(part, shop, (shortfall,), retry=retry)
        assert (found.needed, found.tries > 0) == (needed, True)


def test_the_finish_of_a_face_may_be_coarser_too() -> None:
    assert rougher(bush(), "front-face", ra_um=1.6).face_ra_um == 1.6


def test_where_no_roughness_is_asked_nothing_is_said_of_it() -> None:
    plan = make_plan(bush(), demo_shop("metric-lathe"))
    assert not [reason for reason in plan.reasons if reason.quantity == "ideal roughness"]
    assert Aspect.BROKEN not in {feature.aspect for feature in plan.sheet.part.sizes}


# quantity ------------------------------------------------------------------------------------------------------------


def test_how_many_are_wanted_stands_in_the_head_with_how_to_go_on() -> None:
    shop = demo_shop("metric-lathe")
    plan = make_plan(bush(("quantity = 1", "quantity = 3")), shop)
    head = sheet_text(plan, shop).partition("SIZES TO REACH")[0]
    assert ", 3 off" in head
    assert "for each further part again from step 1" in " ".join(head.split())


def test_the_faces_have_a_roughness_of_their_own() -> None:
    plan = make_plan(bush((WIDTH, f'{WIDTH}\nfinish_ra = "N6"')), demo_shop("metric-lathe"))
    assert "finish both faces Ra 0.8 µm (N6) or finer, as turned" in " ".join(
        sheet_text(plan, demo_shop("metric-lathe")).split()
    )
    told = [reason for reason in plan.reasons if reason.quantity == "ideal roughness"]
    assert [reason.where for reason in told] == ["front-face"]
    assert float(told[0].value.split()[1]) <= 0.8
    assert "the back face is rubbed on a plate" in findings(plan)["finish-by-rubbing"]


def test_where_much_is_lacking_help_is_found_for_a_part_with_edges_broken_by_hand_too() -> None:
    shop = replace(demo_shop("metric-lathe"), gauges=(), drills=())
    part = bush((f"front_inner = {EDGE}", 'front_inner = "broken"'), (f"back_inner = {EDGE}", 'back_inner = "broken"'))
    with pytest.raises(NoPlanError) as caught:
        make_plan(part, shop)
    assert caught.value.refusal.remedies
    assert not [r for r in caught.value.refusal.remedies if getattr(r, "aspect", None) is Aspect.BROKEN]
