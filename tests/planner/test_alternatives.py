"""Plans beside the best one: each is what was asked, passes the check, and claims no more than its sheet shows."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.domain import acts as a
from handwheel.domain.comparing import Account, Asked, Comparison, LimitLoad, Option
from handwheel.domain.errors import NoPlanError
from handwheel.domain.hole_tools import DrillKind
from handwheel.domain.tools import ToolKind
from handwheel.planner import gentler
from handwheel.planner.alternatives import NOTHING_GENTLER, alternatives
from handwheel.planner.cut_limits import BENDING
from tests.demo_plans import PAIRS, acts_of, demo_part, demo_plan, demo_shop
from tests.planner.holes import made
from tests.shops import part_of, shop_of

if TYPE_CHECKING:
    from handwheel.domain.plan import Plan
    from handwheel.domain.shop import Shop


@cache
def compared(part: str, shop: str) -> Comparison:
    """Comparison of a demo part on a demo lathe, made once."""
    return alternatives(demo_part(part), demo_shop(shop))


def option(comparison: Comparison, asked: Asked) -> Option:
    """The option that was asked for."""
    (found,) = (each for each in comparison.options if each.asked is asked)
    return found


def planned(comparison: Comparison, asked: Asked) -> tuple[Plan, Account]:
    """Plan and account of an option that must have them."""
    found = option(comparison, asked)
    assert found.plan is not None, found.reason
    assert found.account is not None
    return found.plan, found.account


def fitted(plan: Plan) -> set[str]:
    """Tools, drills, reamers and taps that the sheet says to fit."""
    tools = {act.tool for act in acts_of(plan, a.FitTool)}
    drills = {act.drill for act in acts_of(plan, a.FitDrill)}
    reamers = {act.reamer for act in acts_of(plan, a.FitReamer)}
    taps = {act.tool for act in acts_of(plan, a.HandStep) if act.kind is a.HandKind.TAP}
    return tools | drills | reamers | taps


def bar_of(plan: Plan) -> str:
    """Bar that the sheet says to grip."""
    (load,) = acts_of(plan, a.LoadBar)
    return load.bar


def held_in(plan: Plan) -> set[str]:
    """Second holdings that the sheet says to grip the ring in."""
    return {act.holding.id for act in acts_of(plan, a.Regrip)}


def hardness(plan: Plan, step: str) -> tuple[float, float]:
    """Deepest cut of a step and the coarsest feed that is in force at one of its cuts. [mm, mm/rev]"""
    depth = feed = in_force = 0.0
    for act in plan.sheet.acts:
        if isinstance(act, a.SetFeed):
            in_force = act.high_mm_rev
        elif isinstance(act, a.Cut | a.DrillHole) and act.step == step:
            feed = max(feed, in_force)
            depth = max(depth, act.depth_mm if isinstance(act, a.Cut) else 0.0)
    return depth, feed


def with_larger_bar(shop: Shop, material: str) -> Shop:
    """The shop with one bar more: 2 mm thicker than the thickest of the metal, and as long."""
    thickest = max((bar for bar in shop.bars if bar.material == material), key=lambda bar: bar.dia_mm)
    more = Fraction(2)
    larger = replace(
        thickest,
        id="larger",
        dia_mm=thickest.dia_mm + more,
        dia_lower_mm=thickest.dia_lower_mm + more,
        dia_upper_mm=thickest.dia_upper_mm + more,
    )
    return replace(shop, bars=(*shop.bars, larger))


# every option -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("part", "shop"), PAIRS)
def test_the_first_is_the_plan_that_is_made_without_comparing(part: str, shop: str) -> None:
    assert compared(part, shop).best.plan == demo_plan(part, shop)
    assert [each.asked for each in compared(part, shop).options] == list(Asked)


@pytest.mark.parametrize(("part", "shop"), PAIRS)
def test_every_plan_passes_the_check_is_proven_and_has_an_id_of_its_own(part: str, shop: str) -> None:
    plans = [each.plan for each in compared(part, shop).options if each.plan is not None]
    for plan in plans:
        report = check_sheet(plan.sheet, demo_shop(shop))
        assert report.ok, report.refusals
        assert plan.proof.proven
    assert len({plan.id for plan in plans}) == len(plans) >= 2


@pytest.mark.parametrize(("part", "shop"), PAIRS)
def test_every_option_has_a_plan_with_its_account_or_a_reason_in_one_line(part: str, shop: str) -> None:
    for each in compared(part, shop).options:
        assert (each.plan is None) is (each.account is None) is bool(each.reason)
        assert "\n" not in each.reason
        assert each.demand


def hard(account: Account) -> list[LimitLoad]:
    """Limits that forbid a cut: all but the bending of last cuts, which is kept if it can be."""
    return [load for load in account.loads if load.limit != BENDING]


@pytest.mark.parametrize(("part", "shop"), PAIRS)
def test_an_account_says_what_the_sheet_and_its_times_say(part: str, shop: str) -> None:
    for each in compared(part, shop).options:
        if each.plan is None or each.account is None:
            continue
        plan, account = each.plan, each.account
        assert account.bar.bar == bar_of(plan)
        assert {held.holding for held in account.held} == held_in(plan)
        assert set(account.tools) == fitted(plan)
        assert account.total_ms == sum(t.setup_ms + t.cutting_ms + t.measuring_ms for t in plan.times)
        assert account.cost_ms == plan.proof.cost_ms
        assert (account.steps, account.acts) == (len(plan.times), len(plan.sheet.acts))
        assert max(load.share for load in hard(account)) <= 1.0 + 1e-9
        bends = next((load.share for load in account.loads if load.limit == BENDING), 0.0)
        assert (bends > 1.0) is any(finding.code == "last-cuts-bend" for finding in account.findings)
        assert set(account.cautions) == {text for act in plan.sheet.acts for text in act.cautions}


@pytest.mark.parametrize(("part", "shop"), PAIRS)
def test_on_the_same_bar_none_is_cheaper_than_the_plan_proven_least(part: str, shop: str) -> None:
    best, _ = planned(compared(part, shop), Asked.BEST)
    for each in compared(part, shop).options:
        if each.plan is not None and bar_of(each.plan) == bar_of(best):
            assert each.plan.proof.cost_ms >= best.proof.cost_ms


@pytest.mark.parametrize(("part", "shop"), PAIRS)
def test_what_comes_and_goes_is_the_difference_of_the_two_lists(part: str, shop: str) -> None:
    best = {(finding.code, finding.where) for finding in demo_plan(part, shop).findings}
    for each in compared(part, shop).options:
        if each.plan is None:
            continue
        mine = {(finding.code, finding.where) for finding in each.plan.findings}
        assert {(finding.code, finding.where) for finding in each.findings_come} == mine - best
        assert {(finding.code, finding.where) for finding in each.findings_go} == best - mine


# another bar --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("part", "shop"), PAIRS)
def test_a_thicker_bar_costs_more_metal_and_more_time(part: str, shop: str) -> None:
    found = alternatives(demo_part(part), with_larger_bar(demo_shop(shop), demo_part(part).material))
    best_plan, best = planned(found, Asked.BEST)
    plan, account = planned(found, Asked.BAR)
    assert bar_of(plan) != bar_of(best_plan)
    if bar_of(plan) == "larger":  # else the shop had one more bar of the same section
        assert account.bar.chip_share > best.bar.chip_share
        assert account.bar.mass_g[0] > best.bar.mass_g[0]
        assert plan.proof.cost_ms >= best_plan.proof.cost_ms


def test_the_mass_taken_for_a_part_is_section_times_length_times_density() -> None:
    """Round bar of Ø 30 mm, 21.56 mm of it a part, 7.6 g/cm3 as the table has CW307G: 115.8 g."""
    _, account = planned(compared("bush", "metric-lathe"), Asked.BEST)
    assert account.bar.each_mm == pytest.approx(21.56)
    assert account.bar.mass_g == pytest.approx((115.8, 115.8), abs=0.05)


@pytest.mark.parametrize(("part", "shop"), [("bush", "inch-lathe"), ("flange", "metric-lathe")])
def test_where_the_metal_has_no_other_bar_that_is_the_reason(part: str, shop: str) -> None:
    found = option(compared(part, shop), Asked.BAR)
    assert bar_of(demo_plan(part, shop)) in found.demand
    assert "[no-bar-of-the-metal]" in found.reason


# another holding ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("part", "shop"), PAIRS)
def test_the_ring_is_held_by_another_kind_of_means_or_the_reason_is_told(part: str, shop: str) -> None:
    kinds = {means.id: means.kind for means in demo_shop(shop).holdings}
    best, other = demo_plan(part, shop), option(compared(part, shop), Asked.HOLDING)
    if other.plan is None:
        assert other.reason.endswith("]")
    else:
        assert not {kinds[name] for name in held_in(best)} & {kinds[name] for name in held_in(other.plan)}


def test_some_are_held_another_way_and_some_cannot_be() -> None:
    found = [option(compared(*pair), Asked.HOLDING) for pair in PAIRS]
    assert {each.plan is None for each in found} == {True, False}
    assert any("[holding-slips]" in each.reason for each in found)


def test_where_there_is_but_one_kind_another_means_of_it_will_do() -> None:
    shop = demo_shop("inch-lathe")
    (mandrel,) = (means for means in shop.holdings if means.kind == "stub-mandrel")
    twin = replace(mandrel, id="second-mandrel", name="the other mandrel", ready_s=mandrel.ready_s + 60.0)
    found = alternatives(demo_part("bush"), replace(shop, holdings=(mandrel, twin)))
    assert held_in(planned(found, Asked.BEST)[0]) == {mandrel.id}
    assert held_in(planned(found, Asked.HOLDING)[0]) == {twin.id}


def test_with_a_single_holding_there_is_no_other_way_and_that_is_told() -> None:
    shop = demo_shop("inch-lathe")
    mandrels = tuple(means for means in shop.holdings if means.kind == "stub-mandrel")
    found = option(alternatives(demo_part("bush"), replace(shop, holdings=mandrels)), Asked.HOLDING)
    assert found.plan is None
    assert found.reason.endswith("]")


# gentler ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("part", "shop"), PAIRS)
def test_no_cut_of_the_gentler_plan_has_more_force_and_some_have_a_good_deal_less(part: str, shop: str) -> None:
    _, best = planned(compared(part, shop), Asked.BEST)
    _, account = planned(compared(part, shop), Asked.GENTLER)
    before = {cut.step: cut.force_n for cut in best.forces}
    shares = {cut.step: cut.force_n / before[cut.step] for cut in account.forces}
    assert set(shares) == set(before)
    assert max(shares.values()) <= 1.0 + 1e-9
    good_deal = gentler.GENTLE_SHARES[1]
    # of what is worth the same the best plan has the smallest force already
    assert sum(share <= good_deal + 1e-9 for share in shares.values()) >= len(shares) / 3
    assert all(share <= gentler.GENTLE_SHARES[-1] + 1e-9 or share == pytest.approx(1.0) for share in shares.values())


@pytest.mark.parametrize(("part", "shop"), PAIRS)
def test_less_force_is_a_shallower_cut_or_a_finer_feed_on_the_sheet(part: str, shop: str) -> None:
    best_plan, best = planned(compared(part, shop), Asked.BEST)
    plan, account = planned(compared(part, shop), Asked.GENTLER)
    before = {cut.step: cut.force_n for cut in best.forces}
    less = [cut.step for cut in account.forces if cut.force_n < before[cut.step] - 1e-6]
    assert less
    for step in less:
        (depth, feed), (depth_before, feed_before) = hardness(plan, step), hardness(best_plan, step)
        assert depth < depth_before - 1e-9 or feed < feed_before - 1e-9, step


@pytest.mark.parametrize(("part", "shop"), PAIRS)
def test_the_gentler_plan_keeps_bar_blade_drills_and_ways_of_holding(part: str, shop: str) -> None:
    best, plan = demo_plan(part, shop), planned(compared(part, shop), Asked.GENTLER)[0]
    its_shop = demo_shop(shop)

    def kept(of: Plan) -> tuple[object, ...]:
        blades = {act.tool for act in acts_of(of, a.FitTool) if its_shop.tool(act.tool).kind is ToolKind.PARTING}
        return bar_of(of), blades, [act.drill for act in acts_of(of, a.FitDrill)], held_in(of)

    assert kept(plan) == kept(best)


@pytest.mark.parametrize(("part", "shop"), PAIRS)
def test_no_drill_of_the_gentler_plan_is_fed_coarser(part: str, shop: str) -> None:
    best, plan = demo_plan(part, shop), planned(compared(part, shop), Asked.GENTLER)[0]
    its_shop = demo_shop(shop)
    steps = [act.step for act in acts_of(best, a.FitDrill)]
    twist = [act.step for act in acts_of(best, a.FitDrill) if its_shop.drill(act.drill).kind is DrillKind.TWIST]
    feeds = {step: (hardness(plan, step)[1], hardness(best, step)[1]) for step in steps}
    assert all(mine <= before + 1e-9 for mine, before in feeds.values())
    assert any(feeds[step][0] < feeds[step][1] for step in twist)


@pytest.mark.parametrize(("part", "shop"), PAIRS)
def test_the_limit_most_taken_up_is_taken_up_less(part: str, shop: str) -> None:
    _, best = planned(compared(part, shop), Asked.BEST)
    _, account = planned(compared(part, shop), Asked.GENTLER)
    before = {load.limit: load.share for load in best.loads}
    assert hard(account)[0].share < hard(best)[0].share
    least = gentler.GENTLE_SHARES[0]
    assert all(load.share <= max(before[load.limit], least) + 1e-9 for load in account.loads)


def test_what_gentler_means_stands_in_the_rules_and_reasons_of_the_plan() -> None:
    plan, _ = planned(compared("bush", "inch-lathe"), Asked.GENTLER)
    assert plan.proof.rules[-1] == f"asked for: gentler, {gentler.gentle_words()}"
    assert "60 %" in gentler.gentle_words()
    depth_and_feed = [reason for reason in plan.reasons if reason.quantity == "depth and feed"]
    assert all(reason.relation.endswith("the gentler cuts that were asked for") for reason in depth_and_feed)


def test_where_nothing_can_be_gentler_that_is_the_reason(monkeypatch: pytest.MonkeyPatch) -> None:
    """With a share that no cut can be set with."""
    monkeypatch.setattr(gentler, "GENTLE_SHARES", (1e-6,))
    found = option(alternatives(demo_part("bush"), demo_shop("inch-lathe")), Asked.GENTLER)
    assert (found.plan, found.reason) == (None, NOTHING_GENTLER)


# other lathes -------------------------------------------------------------------------------------------------------

ODD_PAIRS = (
    ("brass-bush", "large-old"),
    ("steel-spacer", "collets-only"),
    ("steel-spacer", "weak-hand"),
    ("steel-spacer", "no-power-feed"),
    ("brass-bush", "three-drills"),
)
"""Of the deliberately different lathes: old and stout, collets, a weak hand, feeding by hand alone, hardly a drill."""


@pytest.mark.parametrize(("part", "shop"), ODD_PAIRS)
def test_on_a_deliberately_different_lathe_the_same_holds(part: str, shop: str) -> None:
    found = alternatives(part_of(part), shop_of(shop))
    best_plan, best = planned(found, Asked.BEST)
    _, gentle = planned(found, Asked.GENTLER)
    before = {cut.step: cut.force_n for cut in best.forces}
    assert all(cut.force_n <= before[cut.step] * (1.0 + 1e-9) for cut in gentle.forces)
    assert any(cut.force_n < before[cut.step] - 1e-6 for cut in gentle.forces)
    for each in found.options:
        if each.plan is None or each.account is None:
            continue
        assert check_sheet(each.plan.sheet, shop_of(shop)).ok
        assert set(each.account.tools) == fitted(each.plan)
        assert bar_of(each.plan) != bar_of(best_plan) or each.plan.proof.cost_ms >= best_plan.proof.cost_ms


@pytest.mark.parametrize(("what", "kind"), [("reamed after boring", a.FitReamer), ("tapped", a.HandStep)])
def test_a_reamer_or_a_tap_is_among_the_tools_and_stays_as_it_was(what: str, kind: type[a.ActBase]) -> None:
    it = made(what, "metric-lathe")
    found = alternatives(it.part, it.shop)
    best, account = planned(found, Asked.BEST)
    plan, gentle = planned(found, Asked.GENTLER)
    assert acts_of(best, kind)
    assert (set(account.tools), set(gentle.tools)) == (fitted(best), fitted(plan))
    assert {reamer.id for reamer in it.shop.reamers} | {tap.id for tap in it.shop.taps} <= set(gentle.tools)
    assert check_sheet(plan.sheet, it.shop).ok


# no plan at all -----------------------------------------------------------------------------------------------------


def test_without_any_plan_the_refusal_is_that_of_planning() -> None:
    shop = replace(demo_shop("inch-lathe"), bars=())
    with pytest.raises(NoPlanError) as refused:
        alternatives(demo_part("bush"), shop)
    assert "no-bar-of-the-metal" in refused.value.refusal.codes
