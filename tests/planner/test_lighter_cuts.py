"""Last cuts lighter than the habit: only where a surface bears no more, and as deep as it then bears."""

from __future__ import annotations

from functools import cache

import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.data.materials import material
from handwheel.domain import acts as a
from handwheel.domain.errors import NoPlanError
from handwheel.domain.findings import Reason
from handwheel.domain.part import BORE, OUTSIDE, Part, Units
from handwheel.domain.plan import Plan
from handwheel.domain.said import said
from handwheel.domain.shop import Shop
from handwheel.domain.tools import ToolKind
from handwheel.planner.explain import LAST_CUTS
from handwheel.planner.job import LastCut
from handwheel.planner.kinds.common import DiameterSetting, cut_steps, shared_steps
from handwheel.planner.lighter import lighter_cuts
from handwheel.planner.planner import make_plan
from handwheel.planner.search import other_way_round
from handwheel.planner.way import PARALLEL_SWING, NoWay
from tests.planner.jobs import LATHES, RINGS, Ring, demo_plan, demo_shop, job_of
from tests.planner.test_last_cuts_land import exact_shop
from tests.shops import part_of, shop_of
from tests.stepped import Step, Stepped

QUANTITY = "depth of the two last cuts"
SLENDER = (("huge-slack", "inch-sleeve"), ("tiny", "steel-spacer"))
"""Shops with no boring bar that bears the habit in these parts."""
BENT_BY_HABIT = (("bush", "metric-lathe"),)
"""Demos whose bore would bend more than a quarter of its tolerance away by habit, and lighter cuts less."""
NEAR_MM = 1e-6
STEPPED = Stepped(steps=(Step(of="bore", end="front", diameter=23.0, depth=6.0),))


@cache
def plan_of(shop: str, part: str) -> Plan:
    return make_plan(part_of(part), shop_of(shop))


def depths_mm(plan: Plan, surface: str) -> list[float]:
    """Depths of the last cuts on a surface."""
    return [act.depth_mm for act in plan.sheet.acts if isinstance(act, a.Cut) and act.step == surface]


def reasons(plan: Plan) -> dict[str, Reason]:
    """Why last cuts are as deep as they are, by surface; ``LAST_CUTS`` is the rule for all others."""
    return {reason.where: reason for reason in plan.reasons if reason.quantity == QUANTITY}


def with_habit(shop: Shop, finish_cut_mm: float) -> Shop:
    return replace(shop, habits=replace(shop.habits, finish_cut_mm=finish_cut_mm))


def with_bars(shop: Shop, dia_mm: float) -> Shop:
    """Shop whose boring bars all have one diameter."""
    tools = (replace(tool, bar_dia_mm=dia_mm) if tool.kind is ToolKind.BORING else tool for tool in shop.tools)
    return replace(shop, tools=tuple(tools))


@pytest.mark.parametrize(("shop", "part"), SLENDER, ids=["-".join(pair) for pair in SLENDER])
def test_a_slender_bar_takes_two_equal_lighter_cuts_and_the_outside_keeps_the_habit(shop: str, part: str) -> None:
    plan, owned = plan_of(shop, part), shop_of(shop)
    assert check_sheet(plan.sheet, owned).refusals == ()
    bore, outside = depths_mm(plan, BORE), depths_mm(plan, OUTSIDE)
    assert len(bore) == len(outside) == 2
    assert bore[0] == pytest.approx(bore[1])
    assert bore[0] < owned.habits.finish_cut_mm <= outside[0]
    least = material(plan.sheet.part.material).range("min_depth")
    assert bore[0] >= least.least - NEAR_MM


@pytest.mark.parametrize(("shop", "part"), SLENDER, ids=["-".join(pair) for pair in SLENDER])
def test_they_are_the_deepest_whole_steps_that_are_borne(shop: str, part: str) -> None:
    """With that depth for a habit nothing has to be made lighter; with a step more it is brought back to it."""
    owned, found = shop_of(shop), depths_mm(plan_of(shop, part), BORE)[0]
    dial = owned.lathe.cross.dial
    assert dial is not None
    step = float(dial.travel_per_mark_mm * dial.step)
    least = material(part_of(part).material).range("min_depth")
    if 1.25 * least.most > found:
        assert (least.least, least.most) == pytest.approx((found, found), abs=step)  # the metal asks for as much
        return
    as_habit = make_plan(part_of(part), with_habit(owned, found))
    assert BORE not in reasons(as_habit)
    assert depths_mm(as_habit, BORE) == pytest.approx([found, found])
    deeper = make_plan(part_of(part), with_habit(owned, found + step))
    assert BORE in reasons(deeper)
    assert depths_mm(deeper, BORE) == pytest.approx([found, found])


@pytest.mark.parametrize("lathe", LATHES)
@pytest.mark.parametrize("ring", RINGS)
def test_where_the_habit_is_borne_it_is_kept(ring: str, lathe: str) -> None:
    lighter = {BORE} if (ring, lathe) in BENT_BY_HABIT else set()
    assert set(reasons(demo_plan(ring, lathe))) == {LAST_CUTS} | lighter


def test_the_reasons_say_whether_it_is_the_habit_the_metal_or_the_limits() -> None:
    by_habit = reasons(plan_of("tiny", "steel-spacer"))
    assert by_habit[LAST_CUTS].relation.startswith("the shop's habit;")
    assert by_habit[BORE].relation.startswith("lighter than the usual 0.125 mm")
    assert by_habit[BORE].binds == "chatter"
    # 1.25 times the upper end of the titanium's least cut is what asks for more, with a habit of nearly nothing
    shy = make_plan(Ring().part, with_habit(demo_shop("metric-lathe"), 0.01))
    asked = 1.25 * material("ti_gr2").range("min_depth").most
    assert reasons(shy)[LAST_CUTS].relation.startswith("1.25 times the least cut of the metal")
    assert reasons(shy)[LAST_CUTS].value == f"{said(asked, Units.MM, places=3)} each"


def test_a_bore_set_by_the_swung_slide_has_lighter_cuts_that_end_inside_its_limits() -> None:
    """A bar of 5.5 mm does not bear 0.3 mm; the swung slide's steps are a tenth of the cross-slide's."""
    part, shop = Ring(bore_pm=0.0035).part, with_habit(with_bars(exact_shop(), 5.5), 0.3)
    plan = make_plan(part, shop)
    assert check_sheet(plan.sheet, shop).refusals == ()
    assert any(isinstance(act, a.SwingSlide) and act.angle_deg for act in plan.sheet.acts)
    first, second = depths_mm(plan, BORE)
    assert first == pytest.approx(second)
    assert first < 0.3
    assert BORE in reasons(plan)
    # nearly all of what is borne is used: not less than one step of the cross-slide below it
    assert first > _bears_mm(reasons(plan)[BORE]) - 0.02 - NEAR_MM


def _bears_mm(reason: Reason) -> float:
    words = next(text for text in reason.inputs if text.startswith("the limits bear"))
    return float(words.split()[3])


@pytest.mark.parametrize("dia_mm", [5.5, 8.0])
def test_steps_of_a_hole_have_each_their_own_depth(dia_mm: float) -> None:
    part, shop = STEPPED.part, with_habit(with_bars(demo_shop("metric-lathe"), dia_mm), 0.125)
    if dia_mm < 8.0:
        with pytest.raises(NoPlanError) as caught:
            make_plan(part, shop)
        assert caught.value.refusal.codes[0] == "depth-too-small"
        return
    plan = make_plan(part, shop)
    assert check_sheet(plan.sheet, shop).refusals == ()
    assert set(reasons(plan)) == {LAST_CUTS, BORE}
    assert depths_mm(plan, BORE)[0] < depths_mm(plan, "bore-front-1")[0]


def test_a_part_that_is_turned_end_for_end_has_lighter_cuts_under_its_turned_names() -> None:
    part, shop = STEPPED.part, with_bars(demo_shop("metric-lathe"), 8.0)
    turned = other_way_round(part)
    assert turned is not None
    for drawn in (part, turned):
        plan = make_plan(drawn, shop)
        assert check_sheet(plan.sheet, shop).refusals == ()
        assert BORE in reasons(plan)


def test_below_the_least_cut_of_the_metal_it_stays_refused_and_says_so() -> None:
    with pytest.raises(NoPlanError) as caught:
        plan_of("tiny", "stainless-bush")
    assert caught.value.refusal.codes[0] == "depth-too-small"
    assert "deep enough for the metal" in caught.value.refusal.troubles[0].why


# the pieces ----------------------------------------------------------------------------------------------------------


def no_way(step: str, bears_mm: float) -> NoWay:
    return NoWay(step=step, tried="a bar", why="chatter", code="depth-too-small", bears_mm=bears_mm)


def test_only_last_cuts_that_are_borne_in_part_are_made_lighter() -> None:
    part: Part = Ring(metal="st11smnpb30").part
    metal = material("st11smnpb30")
    least = metal.range("min_depth").least
    troubles = [
        no_way(BORE, 0.08),
        no_way(BORE, 0.09),
        no_way("rough-bore", 0.5),
        no_way(OUTSIDE, 0.9 * least),
        NoWay(step=OUTSIDE, tried="", why=""),
    ]
    found = lighter_cuts(part, metal, troubles)
    assert found == ((BORE, LastCut(least_mm=least, most_mm=0.09, lighter=True)),)


def test_steps_of_a_lighter_cut_are_rounded_down_and_of_the_habit_up() -> None:
    """Cross-slide steps of 0.02 mm, as reckoned by hand: 0.125 by habit is 7 steps, 0.09 at most is 4."""
    cross = job_of(Ring().part, demo_shop("metric-lathe")).cross
    assert cross is not None
    step = cross.radius_per_step_mm
    assert step == pytest.approx(0.02)
    habit, lighter = LastCut(least_mm=0.125, most_mm=0.1875), LastCut(least_mm=0.03, most_mm=0.09, lighter=True)
    assert (cut_steps(habit, cross), cut_steps(lighter, cross)) == (7, 4)
    last = DiameterSetting(scale=cross, swing=PARALLEL_SWING)
    assert shared_steps(lighter, cross, last, total_mm=1.0, band_mm=0.1) == (42, 8)


def test_lighter_cuts_of_a_finer_scale_are_the_deepest_that_end_near_enough() -> None:
    """Fine steps of 0.001 mm; 1 mm to come off and no cut deeper than 0.0915: 41 of 0.02 leave 0.18, 90 steps each."""
    job = job_of(Ring(bore_pm=0.0035).part, exact_shop())
    cross = job.cross
    assert cross is not None
    fine = replace(cross, slide=job.shop.lathe.top, step_mm=cross.step_mm / 20, across=1.0)
    last = DiameterSetting(scale=fine, swing=PARALLEL_SWING)
    cut = LastCut(least_mm=0.03, most_mm=0.0915, lighter=True)
    rough, both = shared_steps(cut, cross, last, total_mm=1.0, band_mm=0.004)
    assert (rough, both) == (41, 180)
