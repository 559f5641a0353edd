"""Promises that once were broken: proof over all bars, remedies that work, widths that can be set."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from msgspec.structs import replace

from handwheel.domain import acts as a
from handwheel.domain.errors import NoPlanError
from handwheel.domain.part import BACK_FACE, BACK_INNER_EDGE, FRONT_OUTER_EDGE
from handwheel.domain.shop import Shop
from handwheel.domain.tools import ToolKind
from handwheel.planner.kinds.turn import ROUGH_OUTSIDE
from handwheel.planner.order import cheapest_order
from handwheel.planner.planner import make_plan
from tests.planner.jobs import (
    LATHES,
    Ring,
    demo_part,
    demo_plan,
    demo_shop,
    how,
    only_holdings,
    plus_tools,
    posed_of,
    tool_of_kind,
    with_slides,
    with_tools,
    without_tools,
)

INCH, METRIC = LATHES


def refusal(part: object, shop: Shop) -> str:
    with pytest.raises(NoPlanError) as raised:
        make_plan(part, shop)  # type: ignore[arg-type]  # pending file
    return str(raised.value)


def two_bars(*, thin_mm: float, change_s: float, cut_mm: float) -> Shop:
    """A slender bar for small holes and a stout one for large holes; the slender one chatters at the last cuts."""
    shop = demo_shop(METRIC)
    bar = tool_of_kind(shop, ToolKind.BORING)
    thin = replace(bar, id="a-thin", bar_dia_mm=thin_mm, head_mm=1.0, reach_mm=20.0)
    thick = replace(bar, id="b-thick", bar_dia_mm=13.0, head_mm=1.5, reach_mm=20.0)
    habits = replace(shop.habits, quill_push_n=5000.0, drill_change_s=change_s, finish_cut_mm=cut_mm)
    return replace(plus_tools(without_tools(shop, ToolKind.BORING), thin, thick), habits=habits)


SWEEP = [
    (thin_mm, change_s, cut_mm)
    for thin_mm in (4.0, 5.0, 6.0, 7.0)
    for change_s in (45.0, 100.0)
    for cut_mm in (0.2, 0.25, 0.3)
]


@pytest.mark.parametrize(("thin_mm", "change_s", "cut_mm"), SWEEP)
def test_b2_no_skipped_ladder_is_cheaper(thin_mm: float, change_s: float, cut_mm: float) -> None:
    part, shop = Ring(outside=22.0).part, two_bars(thin_mm=thin_mm, change_s=change_s, cut_mm=cut_mm)
    found = [cheapest_order(posed.problem) for posed in posed_of(part, shop) if not posed.lacking]
    assert make_plan(part, shop).proof.cost_ms == min(order.cost_ms for order in found if order is not None)


def test_b1_the_far_inner_edge_can_be_cut_before_parting() -> None:
    plan = make_plan(Ring(edges=("back_inner",)).part, only_holdings(demo_shop(METRIC), "flat-plate"))
    assert how(plan)[BACK_INNER_EDGE].holding == "bar"


@pytest.mark.parametrize("width", [5.4, 5.5, 5.6, 5.8, 6.0])
def test_b3_the_reach_asked_of_a_boring_bar_serves(width: float) -> None:
    part, shop = Ring(width=width).part, demo_shop(METRIC)
    reach = float(
        re.findall(
            r"a boring bar that reaches (\d+) mm", refusal(part, with_tools(shop, ToolKind.BORING, reach_mm=8.0))
        )[0]
    )
    make_plan(part, with_tools(shop, ToolKind.BORING, reach_mm=reach))


def test_b3_the_blade_asked_for_serves() -> None:
    shop = demo_shop(METRIC)
    bare = without_tools(shop, ToolKind.PARTING)
    reach = float(re.findall(r"add one that reaches (\d+) mm", refusal(Ring().part, bare))[0])
    make_plan(Ring().part, plus_tools(bare, replace(tool_of_kind(shop, ToolKind.PARTING), reach_mm=reach)))


@pytest.mark.parametrize("outside", [22.9, 23.0, 23.1, 23.2])
def test_b3_the_reach_asked_of_a_blade_serves(outside: float) -> None:
    part, shop = Ring(outside=outside).part, demo_shop(METRIC)
    text = refusal(part, with_tools(shop, ToolKind.PARTING, reach_mm=2.0))
    reach = float(re.findall(r"a blade that reaches (\d+) mm", text)[0])
    make_plan(part, with_tools(shop, ToolKind.PARTING, reach_mm=reach))


@pytest.mark.parametrize("outside", [23.0, 23.02, 23.04, 23.06])
def test_b3_the_bar_asked_for_serves(outside: float) -> None:
    part, shop = Ring(outside=outside).part, demo_shop(METRIC)
    none = replace(shop, bars=tuple(bar for bar in shop.bars if bar.material != "ti_gr2"))
    dia = Fraction(re.findall(r"add one of at least Ø ([\d.]+) mm", refusal(part, none))[0])
    bar = replace(shop.bars[0], id="new", dia_mm=dia, dia_lower_mm=dia, dia_upper_mm=dia)
    make_plan(part, replace(none, bars=(bar,)))


@pytest.mark.parametrize("width", [6.0, 6.01, 6.03, 6.05, 6.06])
@pytest.mark.parametrize("dial", [True, False])
def test_b4_a_width_finer_than_the_scale_is_refused_or_met(width: float, *, dial: bool) -> None:
    shop = only_holdings(demo_shop(METRIC), "soft-jaws")
    if not dial:
        shop = with_slides(shop, top=replace(shop.lathe.top, dial=None))
    try:
        plan = make_plan(Ring(width=width, width_pm=0.005).part, shop)
    except NoPlanError:
        return
    last = next(x for x in reversed(plan.sheet.acts) if isinstance(x, a.Measure) and x.surface == BACK_FACE)
    assert last.lower_mm <= last.expected_mm <= last.upper_mm


@pytest.mark.parametrize(("along", "across"), [(0.6, 0.3), (0.5, 0.29), (0.4, 0.3), (0.5, 0.4), (0.7, 0.3)])
@pytest.mark.parametrize("lathe", LATHES)
def test_b5_an_uneven_edge_within_its_limits_can_be_swept(lathe: str, along: float, across: float) -> None:
    plan = make_plan(Ring(edges=("front_outer",), along=along, across=across).part, demo_shop(lathe))
    assert how(plan)[FRONT_OUTER_EDGE].angle_deg > 0


def test_b6_roughing_the_outside_goes_by_the_cross_slide_whatever_the_tolerance() -> None:
    plan = make_plan(Ring(outside_pm=0.015).part, demo_shop(METRIC))
    assert how(plan)[ROUGH_OUTSIDE].angle_deg == 0.0


def test_b7_a_chuck_of_five_jaws_does_not_break_the_planner() -> None:
    shop = demo_shop(METRIC)
    make_plan(Ring().part, replace(shop, lathe=replace(shop.lathe, chuck=replace(shop.lathe.chuck, jaws=5))))


@pytest.mark.parametrize("lathe", LATHES)
def test_b8_the_times_of_the_steps_add_up_to_the_proven_cost(lathe: str) -> None:
    plan = demo_plan("band", lathe)
    assert sum(t.setup_ms + t.cutting_ms + t.measuring_ms for t in plan.times) == plan.proof.cost_ms


def test_b9_an_edge_that_nothing_cuts_is_named() -> None:
    text = refusal(demo_part("band"), only_holdings(demo_shop(INCH), "flat-plate"))
    assert "every single step is possible" not in text
    assert "back-inner-edge" in text


def test_b9_no_second_holding_at_all_is_named() -> None:
    text = refusal(Ring().part, replace(demo_shop(METRIC), holdings=()))
    assert "every single step is possible" not in text
    assert "hold" in text


def test_b10_the_missing_dial_of_the_top_slide_is_named() -> None:
    shop = demo_shop(INCH)
    text = refusal(demo_part("band"), with_slides(shop, top=replace(shop.lathe.top, dial=None)))
    assert "What would help" in next(line for line in text.splitlines() if "front-inner-edge" in line)
