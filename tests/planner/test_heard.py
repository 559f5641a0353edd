"""Cuts that the shop has heard: what they do to the limit of chatter, and to a plan."""

from __future__ import annotations

from math import log

import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.check.report import RefusalCode
from handwheel.data.chatter_factor import chatter_factor
from handwheel.data.heard import GUESS
from handwheel.data.materials import material
from handwheel.domain.acts import Cut, FitTool
from handwheel.domain.chatter import ChatterHeard, Learner
from handwheel.domain.errors import OutOfRangeError, ShopError
from handwheel.domain.plan import Plan
from handwheel.domain.remedies import UseLathe, with_remedy
from handwheel.domain.shop import Shop
from handwheel.domain.tools import ToolKind
from handwheel.physics.parting_map import PartingLimit
from handwheel.planner.heard import heard_reasons
from handwheel.planner.kinds.common import bar_stiffness_n_um, work_stiffness_n_um
from handwheel.planner.parting_choice import parting_choice
from handwheel.planner.planner import make_plan
from tests.planner.jobs import demo_part, demo_plan, demo_shop, posed_first, tool_of_kind

LATHE = "metric-lathe"


def heard(shop: Shop, kind: ToolKind, depth_mm: float, *, chattered: bool, metal: str = "st_c45") -> ChatterHeard:
    return ChatterHeard(tool=tool_of_kind(shop, kind).id, metal=metal, depth_mm=depth_mm, chattered=chattered)


def having(*cuts: tuple[ToolKind, float, bool]) -> Shop:
    shop = demo_shop(LATHE)
    return replace(shop, chatter=tuple(heard(shop, kind, depth, chattered=so) for kind, depth, so in cuts))


def turned_mm(plan: Plan) -> float:
    """Depth of the deepest cut with a turning tool. [mm]"""
    turning, deepest = {tool.id for tool in demo_shop(LATHE).tools if tool.kind is ToolKind.TURNING}, 0.0
    in_post = ""
    for act in plan.sheet.acts:
        if isinstance(act, FitTool):
            in_post = act.tool
        elif isinstance(act, Cut) and in_post in turning:
            deepest = max(deepest, act.depth_mm)
    return deepest


def test_a_shop_that_has_heard_nothing_reckons_as_before() -> None:
    assert chatter_factor(demo_shop(LATHE), Learner.TURNING) == 1.0
    assert chatter_factor(demo_shop(LATHE), Learner.BORING) == 1.0
    assert not tuple(heard_reasons(demo_shop(LATHE)))


def test_turning_learns_from_turning_and_boring_from_boring() -> None:
    rattled = having((ToolKind.TURNING, 0.05, True))
    assert chatter_factor(rattled, Learner.TURNING) < 1.0
    assert chatter_factor(rattled, Learner.BORING) == pytest.approx(1.0)
    quiet = having((ToolKind.BORING, 3.0, False))
    assert chatter_factor(quiet, Learner.BORING) > 1.0
    assert chatter_factor(quiet, Learner.TURNING) == pytest.approx(1.0)


def test_what_was_heard_scales_the_stiffness_by_which_cuts_are_limited() -> None:
    shop = having((ToolKind.TURNING, 0.05, True), (ToolKind.BORING, 3.0, False))
    plain, other = (posed_first(demo_part("band"), made).job for made in (demo_shop(LATHE), shop))
    holding = next(iter(posed_first(demo_part("band"), shop).ways.values())).holding
    turned = [work_stiffness_n_um(job, holding, at_mm=holding.jaw_face_mm + 20.0) for job in (plain, other)]
    assert turned[1] == pytest.approx(turned[0] * chatter_factor(shop, Learner.TURNING))
    tool = tool_of_kind(shop, ToolKind.BORING)
    bored = [bar_stiffness_n_um(job, tool, holding, depth_mm=20.0) for job in (plain, other)]
    assert bored[1] == pytest.approx(bored[0] * chatter_factor(shop, Learner.BORING))


def test_the_same_share_of_the_limit_in_another_metal_says_the_same() -> None:
    """The limit of another metal scales by its force: half the force bears double the depth."""
    shop = demo_shop(LATHE)
    factors = []
    for metal in ("st_c45", "cu_cw614n"):
        loud = heard(shop, ToolKind.TURNING, 1.0, chattered=True, metal=metal)
        factors.append(chatter_factor(replace(shop, chatter=(loud,)), Learner.TURNING))
    assert factors[1] <= factors[0]


def test_a_note_of_how_soft_the_set_up_was_takes_the_blame_off_the_lathe() -> None:
    shop = demo_shop(LATHE)
    stiff = heard(shop, ToolKind.TURNING, 0.2, chattered=True)
    soft = replace(stiff, stick_out_mm=80.0, dia_mm=10.0)
    blamed, spared = (chatter_factor(replace(shop, chatter=(row,)), Learner.TURNING) for row in (stiff, soft))
    assert blamed < spared <= 1.0


def test_a_bar_of_which_nobody_noted_the_reach_proves_least_either_way() -> None:
    shop = demo_shop(LATHE)
    for chattered in (True, False):
        unknown = heard(shop, ToolKind.BORING, 0.3, chattered=chattered)
        noted = [replace(unknown, stick_out_mm=out) for out in (10.0, 20.0, 40.0)]
        least, *others = (
            abs(log(chatter_factor(replace(shop, chatter=(row,)), Learner.BORING))) for row in (unknown, *noted)
        )
        assert all(least <= other + 1e-9 for other in others)


def test_the_guess_stays_within_its_factor_where_nothing_speaks_against_it() -> None:
    (reason,) = heard_reasons(having((ToolKind.TURNING, 20.0, True)))
    assert reason.low == pytest.approx(1.0 / GUESS, rel=0.01)
    assert reason.high == pytest.approx(GUESS, rel=0.01)


def test_a_lathe_that_chatters_early_takes_more_passes_and_says_why() -> None:
    plan = make_plan(demo_part("bush"), having((ToolKind.TURNING, 0.3, True)))
    assert turned_mm(plan) < turned_mm(demo_plan("bush", LATHE))
    (reason,) = (reason for reason in plan.reasons if reason.quantity == "limit of chatter")
    assert "chattered at 0.3 mm" in " ".join(reason.inputs)
    assert "the flank damps" in reason.relation


def test_what_contradicts_itself_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="stayed quiet was as heavy"):
        chatter_factor(having((ToolKind.TURNING, 0.5, True), (ToolKind.TURNING, 0.6, False)), Learner.TURNING)
    shop = demo_shop(LATHE)
    with pytest.raises(ShopError, match="no tool of the shop to turn, bore or part"):
        replace(shop, chatter=(heard(shop, ToolKind.EDGE_OUTSIDE, 0.5, chattered=True),))
    with pytest.raises(ShopError, match="give both or neither"):
        ChatterHeard(tool="x", metal="st_c45", depth_mm=1.0, chattered=True, dia_mm=20.0)


def test_another_lathe_has_been_heard_by_nobody() -> None:
    shop = having((ToolKind.TURNING, 0.05, True))
    remedy = UseLathe(lathe=replace(shop.lathe, name="another"))
    assert with_remedy(demo_part("bush"), shop, remedy)[1].chatter == ()


def said_of_blades(plan: Plan) -> list[str]:
    return [finding.problem for finding in plan.findings if finding.code == "blade-may-sing"]


def test_a_blade_that_was_heard_is_told_of_and_one_that_was_quiet_is_not() -> None:
    """Without a word about blades nothing is said, though by reckoning alone nearly every blade is too wide."""
    part, shop = demo_part("bush"), demo_shop(LATHE)
    width = tool_of_kind(shop, ToolKind.PARTING).width_mm
    loud, quiet = (heard(shop, ToolKind.PARTING, width, chattered=so, metal=part.material) for so in (True, False))
    assert not said_of_blades(demo_plan("bush", LATHE))
    assert said_of_blades(make_plan(part, replace(shop, chatter=(loud,))))
    assert not said_of_blades(make_plan(part, replace(shop, chatter=(replace(quiet, stick_out_mm=18.0),))))


def test_a_blade_that_was_heard_counts_at_every_speed() -> None:
    """Before, a point below 40 m/min only may sing; once the blade chattered there, it is passed."""
    shop = demo_shop(LATHE)
    blade = tool_of_kind(shop, ToolKind.PARTING)
    loud = heard(shop, ToolKind.PARTING, blade.width_mm, chattered=True, metal="st_s235")
    before, after = (
        parting_choice(made, material("st_s235"), blade, outer_dia_mm=20.0, end_dia_mm=15.0, reach_mm=18.0)
        for made in (shop, replace(shop, chatter=(loud,)))
    )
    slow = before.points[0].speed
    assert before.at(slow, 0.05).may_sing
    assert not after.at(slow, 0.05).may_sing
    assert PartingLimit.SINGS in after.at(slow, 0.05).all_passed


@pytest.mark.parametrize(("kind", "depth"), [(ToolKind.TURNING, 1.5), (ToolKind.BORING, 0.6), (ToolKind.TURNING, 0.3)])
def test_a_plan_that_goes_by_what_was_heard_passes_its_check(kind: ToolKind, depth: float) -> None:
    """Quiet at the first two, which allows more than is reckoned; chattered at the third."""
    shop = having((kind, depth, depth < 0.5))
    plan = make_plan(demo_part("bush"), shop)
    assert not check_sheet(plan.sheet, shop).refusals


def test_a_sheet_that_leans_on_a_quiet_cut_is_refused_where_nobody_heard_it() -> None:
    plan = make_plan(demo_part("bush"), having((ToolKind.TURNING, 1.5, False)))
    assert turned_mm(plan) > turned_mm(demo_plan("bush", LATHE))
    codes = {refusal.code for refusal in check_sheet(plan.sheet, demo_shop(LATHE)).refusals}
    assert RefusalCode.CHATTERS in codes
