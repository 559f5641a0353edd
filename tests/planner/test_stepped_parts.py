"""Flanged and stepped parts: planned on both demo lathes, checked, cut the right way round, refused rightly."""

from __future__ import annotations

from functools import cache

import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.domain import acts as a
from handwheel.domain.errors import NoPlanError
from handwheel.domain.part import BORE, OUTSIDE, Aspect, is_shoulder, turned_end_for_end
from handwheel.domain.plan import Plan
from handwheel.domain.refusal import Refusal
from handwheel.domain.remedies import AddToShop, with_remedy
from handwheel.domain.tools import ToolKind
from handwheel.planner.kinds.shoulder import ridge_mm
from handwheel.planner.order import cheapest_order
from handwheel.planner.planner import make_plan
from handwheel.planner.search import ends_differ, other_way_round
from tests.planner.jobs import LATHES, Ring, demo_shop, posed_first, step_ids, tool_of_kind, with_tools
from tests.planner.naive_order import least_ms, total_ms
from tests.stepped import BOTH, FAR_SIDE, FLANGE, NAMED, SPOOL, STAIRS, Step, Stepped, random_part

CASES = 30
"""Random parts in the suite; each on one of the two lathes."""


@cache
def plan_of(name: str, lathe: str) -> Plan:
    return make_plan(NAMED[name].part, demo_shop(lathe))


@pytest.mark.parametrize("lathe", LATHES)
@pytest.mark.parametrize("name", NAMED)
def test_a_stepped_part_is_planned_and_its_sheet_cuts_it(name: str, lathe: str) -> None:
    """Every act replayed, every size within the limits drawn: the check has its own arithmetic."""
    plan = plan_of(name, lathe)
    report = check_sheet(plan.sheet, demo_shop(lathe))
    assert report.refusals == ()
    assert {size.feature for size in report.sizes} == {feature.id for feature in plan.sheet.part.sizes}
    assert all(size.inside for size in report.sizes)
    assert plan.proof.proven


@pytest.mark.parametrize("seed", range(CASES))
def test_random_stepped_parts_are_planned_and_pass_the_check(seed: int) -> None:
    found = random_outcome(seed)
    if isinstance(found, Refusal):
        assert found.troubles, "a refusal must say what was wrong"
        return
    assert check_sheet(found.sheet, demo_shop(LATHES[seed % 2])).refusals == ()
    assert found.proof.proven


@cache
def random_outcome(seed: int) -> Plan | Refusal:
    try:
        return make_plan(random_part(seed), demo_shop(LATHES[seed % 2]))
    except NoPlanError as error:
        return error.refusal


def test_most_random_stepped_parts_can_be_made() -> None:
    """Else the test above would prove nothing: it passes over what is refused."""
    assert sum(isinstance(random_outcome(seed), Plan) for seed in range(CASES)) >= 0.8 * CASES


# the order of cuts -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("lathe", LATHES)
@pytest.mark.parametrize("name", NAMED)
def test_each_step_is_roughed_faced_and_finished_after_what_lies_beyond_it(name: str, lathe: str) -> None:
    """Common practice, no source: largest diameter first, rough before finish, the shoulder before the last cuts."""
    plan = plan_of(name, lathe)
    order = {step: i for i, step in enumerate(step_ids(plan))}
    shoulders = [step for step in order if is_shoulder(step)]
    assert shoulders
    for shoulder in shoulders:
        surface = shoulder.removesuffix("-shoulder")
        assert order[f"rough-{surface}"] < order[shoulder] < order[surface]
        main = OUTSIDE if surface.startswith(OUTSIDE) else BORE
        assert order[main] < order[surface]
        if "-front-" in surface:
            assert order["rough-outside"] < order[surface]
            assert order["rough-bore"] < order[surface] < order["part-off"]
        else:
            assert order["part-off"] < order["back-face"] < order[f"rough-{surface}"]


def test_the_deepest_step_of_a_stack_is_roughed_first() -> None:
    order = step_ids(plan_of("stairs", "metric-lathe"))
    assert order.index("rough-outside-front-2") < order.index("rough-outside-front-1")


@pytest.mark.parametrize("lathe", LATHES)
@pytest.mark.parametrize("name", NAMED)
def test_passes_of_a_step_stop_short_of_the_shoulder_until_it_is_faced_and_end_at_it_then(
    name: str, lathe: str
) -> None:
    plan = plan_of(name, lathe)
    faced: dict[str, float] = {}
    for act in plan.sheet.acts:
        if isinstance(act, a.Cut) and is_shoulder(act.surface):
            depth = next(
                m.expected_mm for m in plan.sheet.acts if isinstance(m, a.Measure) and m.surface == act.surface
            )
            faced[act.surface.removesuffix("-shoulder")] = depth
        elif isinstance(act, a.Cut) and f"{act.surface}-shoulder" in NAMES[name]:
            assert act.to is not None, "a pass up to a shoulder never ends by eye"
            shoulder = faced.get(act.surface)
            if shoulder is not None:
                assert -act.to.expected_mm == pytest.approx(shoulder, abs=0.02)
            else:
                size = plan.sheet.part.feature(f"{act.surface}-shoulder", Aspect.DEPTH)
                assert size is not None
                assert -act.to.expected_mm < float(size.size.cut_target) - 0.15
    assert faced


NAMES = {
    name: {f.surface for part in (it.part, turned_end_for_end(it.part)) for f in part.sizes}
    for name, it in NAMED.items()
}


@pytest.mark.parametrize("lathe", LATHES)
def test_every_size_of_a_stepped_part_is_measured_at_the_end_with_its_limits(lathe: str) -> None:
    plan = plan_of("both", lathe)
    final = {
        (act.surface, act.aspect) for act in plan.sheet.acts if isinstance(act, a.Measure) and act.step == "inspect"
    }
    wanted = {
        (feature.surface, feature.aspect.value)
        for feature in plan.sheet.part.sizes
        if feature.aspect in (Aspect.DIAMETER, Aspect.DEPTH, Aspect.WIDTH)
    }
    assert final == wanted


# which way round ---------------------------------------------------------------------------------------------------


def test_a_part_turned_round_twice_is_the_part() -> None:
    for it in NAMED.values():
        assert turned_end_for_end(turned_end_for_end(it.part)).sizes == it.part.sizes
        twice = turned_end_for_end(turned_end_for_end(it.part))
        for one, other in zip(twice.outer.segments, it.part.outer.segments, strict=True):
            assert one.id == other.id
            assert one.start == pytest.approx(other.start)


@pytest.mark.parametrize("lathe", LATHES)
def test_a_counterbore_drawn_at_the_back_is_cut_on_the_bar_and_the_sheet_says_so(lathe: str) -> None:
    plan = plan_of("far side", lathe)
    assert "bore-front-1" in step_ids(plan)
    assert plan.sheet.part == turned_end_for_end(FAR_SIDE.part)
    (finding,) = [finding for finding in plan.findings if finding.code == "turned-end-for-end"]
    assert "the drawing calls the back is cut first" in finding.problem


@pytest.mark.parametrize("lathe", LATHES)
def test_the_way_round_that_is_chosen_is_the_cheaper_one(lathe: str) -> None:
    """Each way round alone, by a part whose ends are named the other way: both give the same plan's cost."""
    for it in (FLANGE, SPOOL, FAR_SIDE):
        shop = demo_shop(lathe)
        drawn, turned = make_plan(it.part, shop), make_plan(turned_end_for_end(it.part), shop)
        assert drawn.proof.cost_ms == turned.proof.cost_ms
        assert drawn.id != turned.id, "the id is that of what is drawn"


def test_a_plain_ring_is_not_turned_round_while_it_can_be_made_as_drawn() -> None:
    for name in ("flange", "stairs"):
        codes = [finding.code for finding in plan_of(name, "metric-lathe").findings]
        assert "turned-end-for-end" not in codes


def test_a_part_that_is_the_same_either_way_is_looked_at_once() -> None:
    step = Step(of="outside", end="front", diameter=25.0, depth=5.0)
    alike = Stepped(steps=(step, replace(step, end="back"))).part
    assert other_way_round(alike) is None
    assert not ends_differ(alike)
    assert ends_differ(SPOOL.part)
    assert other_way_round(SPOOL.part) == turned_end_for_end(SPOOL.part)
    # edges alone do not make it worth while: they can be cut at either end
    assert not ends_differ(Ring(edges=("back_outer",)).part)
    assert other_way_round(Ring(edges=("back_outer",)).part) is not None


# proven ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("it", [FLANGE, replace(FAR_SIDE, edges=())], ids=["flange", "far side"])
def test_the_search_agrees_with_every_order_of_a_stepped_part(it: Stepped) -> None:
    """Brute force that shares no successor function with the search."""
    posed = posed_first(it.part, demo_shop("inch-lathe")).problem
    found = cheapest_order(posed)
    assert found is not None
    assert found.cost_ms == found.bound_ms == least_ms(posed)
    assert total_ms(found.options, posed) == found.cost_ms


# refusals ----------------------------------------------------------------------------------------------------------


def refused(it: Stepped, **changes: float) -> NoPlanError:
    shop = with_tools(demo_shop("metric-lathe"), ToolKind.TURNING, **changes) if changes else demo_shop("metric-lathe")
    with pytest.raises(NoPlanError) as caught:
        make_plan(it.part, shop)
    return caught.value


def test_a_nose_larger_than_the_corner_allows_is_refused_and_the_tool_named_mends_it() -> None:
    it = replace(FLANGE, corner=0.1)
    shop = demo_shop("metric-lathe")
    error = refused(it)
    assert "nose-too-round" in {trouble.code for trouble in error.refusal.troubles}
    assert "0.1 mm (0.0039 in) allowed in the corner" in str(error)
    tools = [remedy for remedy in error.refusal.remedies if isinstance(remedy, AddToShop)]
    assert tools
    part = it.part
    for remedy in error.refusal.remedies:
        part, shop = with_remedy(part, shop, remedy)
    assert check_sheet(make_plan(part, shop).sheet, shop).refusals == ()


def test_a_tool_that_leaves_a_slope_is_refused_for_a_shoulder() -> None:
    error = refused(FLANGE, entering_deg=75.0)
    assert "shoulder-not-square" in {trouble.code for trouble in error.refusal.troubles}


def test_a_step_lower_than_its_last_cuts_is_refused() -> None:
    low = Step(of="outside", end="back", diameter=27.7, depth=5.0)
    also = Step(of="outside", end="front", diameter=27.7, depth=5.0)
    error = refused(replace(FLANGE, steps=(low, also), corner=0.1))
    assert {"step-too-low", "nose-too-round"} & {trouble.code for trouble in error.refusal.troubles}


def test_a_depth_finer_than_every_scale_is_refused_and_wider_limits_mend_it() -> None:
    fine = replace(FLANGE.steps[0], depth_pm=0.003)
    it = replace(FLANGE, steps=(fine,))
    error = refused(it)
    assert "depth-finer-than-scale" in {trouble.code for trouble in error.refusal.troubles}
    part, shop = it.part, demo_shop("metric-lathe")
    assert error.refusal.remedies
    for remedy in error.refusal.remedies:
        part, shop = with_remedy(part, shop, remedy)
    assert check_sheet(make_plan(part, shop).sheet, shop).refusals == ()


@pytest.mark.parametrize("lathe", LATHES)
def test_both_demo_lathes_cut_stairs_and_flanges_in_one_holding_on_the_bar(lathe: str) -> None:
    for it in (FLANGE, STAIRS, BOTH):
        plan = make_plan(it.part, demo_shop(lathe))
        held = [act.holding.id for act in plan.sheet.acts if isinstance(act, a.Regrip)]
        assert len(held) == 1


@pytest.mark.parametrize(
    ("nose_mm", "entering_deg", "last_mm", "low_mm", "high_mm"),
    [
        (0.4, 95.0, 0.4, 0.020, 0.025),
        (0.4, 90.0, 0.4, 0.0, 0.0),
        (0.2, 93.0, 0.25, 0.005, 0.012),
        (0.0, 95.0, 0.4, 0.0, 0.0),
    ],
)
def test_the_ridge_beside_a_corner(
    nose_mm: float, entering_deg: float, last_mm: float, low_mm: float, high_mm: float
) -> None:
    """Reckoned by hand where nose - sqrt(nose² - (nose - h)²) = (last + h - nose) tan(entering - 90°)."""
    tool = tool_of_kind(demo_shop("metric-lathe"), ToolKind.TURNING)
    found = ridge_mm(replace(tool, nose_radius_mm=nose_mm, entering_deg=entering_deg), last_mm=last_mm)
    assert low_mm <= found <= high_mm
