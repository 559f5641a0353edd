"""Rounded edges: planned with the form tools that a shop owns, refused without, and judged by both replays."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import cast

import pytest
from msgspec import structs
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.check.report import RefusalCode
from handwheel.domain import acts as a
from handwheel.domain.errors import NoPlanError
from handwheel.domain.motion import Edge, Handle
from handwheel.domain.part import (
    BACK_INNER_EDGE,
    BACK_OUTER_EDGE,
    FRONT_INNER_EDGE,
    FRONT_OUTER_EDGE,
    Aspect,
    Part,
)
from handwheel.domain.plan import Plan, Sheet
from handwheel.domain.remedies import AddToShop, BevelEdge, with_remedy
from handwheel.domain.shop import Shop
from handwheel.domain.tools import Hand, Tool, ToolKind
from handwheel.geometry.rounds import least_radius_kept
from handwheel.planner.planner import make_plan
from handwheel.report.text_sheet import sheet_text
from handwheel.service.codec import plan_from_json, plan_to_json
from handwheel.service.demo import DEMO_SHOPS
from handwheel.service.intake.part_file import read_part
from tests.agree import disagreements
from tests.planner.jobs import demo_shop, demo_text
from tests.replay.judge import Verdict, faults, verdict
from tests.replay.simple_replay import replay

ALL = (FRONT_OUTER_EDGE, FRONT_INNER_EDGE, BACK_OUTER_EDGE, BACK_INNER_EDGE)
NEAR_MM = 0.003
"""Both replays draw a hollow in chords, each its own."""


def form_tool(*, inside: bool = False, radius_mm: float = 0.5, hand: Hand = Hand.RIGHT) -> Tool:
    """Form tool with lips of a millimetre."""
    kind = ToolKind.FORM_INSIDE if inside else ToolKind.FORM_OUTSIDE
    return Tool(
        id=f"form-{'out' if inside else 'in'}-{hand.value}-{radius_mm:g}",
        name=f"form tool of {radius_mm:g} mm",
        kind=kind,
        edge=Edge.HSS,
        hand=hand,
        hollow_radius_mm=radius_mm,
        width_mm=radius_mm + 1.0,
        head_mm=radius_mm + (1.0 if inside else 4.0),
        bar_dia_mm=8.0 if inside else 0.0,
        reach_mm=20.0 if inside else 0.0,
        shank_mm=8.0,
    )


BOTH = (form_tool(), form_tool(inside=True))


@cache
def rounded_part(name: str, edges: tuple[str, ...] = ALL, wish: str = "round 0.5") -> Part:
    """Demo part with some of its bevels drawn as rounds."""
    text = demo_text(name)
    for edge in edges:
        key = edge.removesuffix("-edge").replace("-", "_")
        assert f'{key} = "0.5 x 45"' in text
        text = text.replace(f'{key} = "0.5 x 45"', f'{key} = "{wish}"')
    return read_part(text, name=f"{name}.toml")


def shop_with(lathe: str, *tools: Tool) -> Shop:
    shop = demo_shop(lathe)
    return replace(shop, tools=(*shop.tools, *tools))


@cache
def planned(lathe: str, name: str, edges: tuple[str, ...] = ALL, tools: tuple[Tool, ...] = BOTH) -> Plan:
    return make_plan(rounded_part(name, edges), shop_with(lathe, *tools))


def forms_used(plan: Plan) -> list[str]:
    return [act.tool for act in plan.sheet.acts if isinstance(act, a.FitTool) and act.tool.startswith("form-")]


# plans ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("lathe", DEMO_SHOPS)
@pytest.mark.parametrize("name", ["bush", "flange"])
def test_all_four_edges_are_rounded_and_both_replays_find_the_radius(lathe: str, name: str) -> None:
    plan, shop = planned(lathe, name), shop_with(lathe, *BOTH)
    report = check_sheet(plan.sheet, shop)
    assert report.refusals == ()
    radii = [size.value_mm for size in report.sizes if size.feature.endswith("radius")]
    assert radii == pytest.approx([0.5] * 4, abs=NEAR_MM)
    assert faults(plan.sheet, shop) == []
    ring = replay(plan.sheet, shop).ring()
    for feature in plan.sheet.part.sizes:
        if feature.aspect is Aspect.RADIUS:
            assert ring.values_mm(feature) == pytest.approx((0.5, 0.5), abs=NEAR_MM)
    assert not [tool for tool in forms_used(plan) if "left" in tool]


@pytest.mark.parametrize("lathe", DEMO_SHOPS)
def test_the_printed_sheet_says_the_same_and_so_does_the_file(lathe: str) -> None:
    plan, shop = planned(lathe, "bush"), shop_with(lathe, *BOTH)
    text = sheet_text(plan, shop)
    assert disagreements(text, plan, shop) == []
    assert plan_from_json(plan_to_json(plan)) == plan
    assert "Round the front outer edge (form tool)" in text
    assert "front outer edge radius" in text.partition("GET READY")[0]


@pytest.mark.parametrize("lathe", DEMO_SHOPS)
def test_a_left_hand_form_tool_rounds_the_far_edge_behind_the_ring(lathe: str) -> None:
    """Its other side touches the front face, and its width is in the sum: the groove has no face to touch."""
    tools = (form_tool(), form_tool(hand=Hand.LEFT))
    plan = planned(lathe, "bush", (FRONT_OUTER_EDGE, BACK_OUTER_EDGE), tools)
    shop = shop_with(lathe, *tools)
    left_only = replace(shop, holdings=tuple(h for h in shop.holdings if h.kind == "flat-plate"))
    part = rounded_part("bush", (FRONT_OUTER_EDGE, BACK_OUTER_EDGE))
    if lathe == "metric-lathe":
        plan = make_plan(part, left_only)
        assert forms_used(plan)[-1] == "form-in-left-0.5"
        assert "left side of the form tool, 1.5 mm (0.0591 in) from its hollow," in " ".join(
            sheet_text(plan, left_only).split()
        )
    assert check_sheet(plan.sheet, shop).refusals == ()
    assert faults(plan.sheet, shop) == []


def test_places_never_pass_face_or_cylinder() -> None:
    """0.5 mm is 19.68 marks of a thousandth of an inch: 19 marks, so the hollow ends 0.0174 mm short both ways."""
    plan = planned("inch-lathe", "bush", (FRONT_OUTER_EDGE,))
    (cut,) = [act for act in plan.sheet.acts if isinstance(act, a.Cut) and act.surface == FRONT_OUTER_EDGE]
    assert cut.depth_mm == pytest.approx(19 * 0.0254)
    ring = replay(plan.sheet, shop_with("inch-lathe", *BOTH)).ring()
    face = ring.front_z_mm()
    outside = ring.work.metal_at(-9.0)[-1][1]
    # where the arc leaves the face: its centre is 19 marks behind and below, its radius a little more than that
    short = 0.5 - 19 * 0.0254
    leaves = outside - 19 * 0.0254 + (0.5**2 - (0.5 - short) ** 2) ** 0.5
    assert ring.work.metal_at(face - 1e-6)[-1][1] == pytest.approx(leaves, abs=0.005)


def test_the_nearest_radius_within_the_limits_is_taken() -> None:
    tools = (form_tool(radius_mm=0.4), form_tool(radius_mm=0.6), form_tool(radius_mm=0.55))
    plan = planned("metric-lathe", "bush", (FRONT_OUTER_EDGE,), tools)
    assert forms_used(plan) == ["form-in-right-0.55"]
    shop = shop_with("metric-lathe", *tools)
    report = check_sheet(plan.sheet, shop)
    assert report.refusals == ()
    (radius,) = [size.value_mm for size in report.sizes if size.feature.endswith("radius")]
    assert radius == pytest.approx(0.55, abs=NEAR_MM)
    assert faults(plan.sheet, shop) == []


# refusals ------------------------------------------------------------------------------------------------------------


def refused(part: Part, shop: Shop) -> NoPlanError:
    with pytest.raises(NoPlanError) as caught:
        make_plan(part, shop)
    return caught.value


@pytest.mark.parametrize("edges", [(FRONT_OUTER_EDGE,), (BACK_OUTER_EDGE,), (FRONT_INNER_EDGE, BACK_INNER_EDGE), ALL])
def test_without_a_form_tool_it_is_refused_with_tools_that_make_it_possible(edges: tuple[str, ...]) -> None:
    part, shop = rounded_part("bush", edges), demo_shop("metric-lathe")
    error = refused(part, shop)
    assert "round-edge" in error.refusal.codes
    assert "hollow radius of 0.3 to 0.7 mm (0.0118 to 0.0276 in), and the shop has none" in str(error)
    assert error.refusal.remedies
    assert all(isinstance(remedy, AddToShop) for remedy in error.refusal.remedies)
    for remedy in error.refusal.remedies:
        part, shop = with_remedy(part, shop, remedy)
    plan = make_plan(part, shop)
    assert check_sheet(plan.sheet, shop).refusals == ()


def test_a_radius_that_no_tool_has_is_told_with_what_there_is() -> None:
    shop = shop_with("metric-lathe", form_tool(radius_mm=1.0), form_tool(hand=Hand.LEFT, radius_mm=0.8))
    error = refused(rounded_part("bush", (FRONT_OUTER_EDGE,)), shop)
    assert "the shop has 0.8 mm (0.0315 in) left-hand, 1 mm (0.0394 in) right-hand" in str(error)


def test_a_bevel_in_its_place_is_offered_and_never_taken_unasked() -> None:
    part, shop = rounded_part("bush", (FRONT_OUTER_EDGE,)), demo_shop("metric-lathe")
    assert "draw a bevel of 0.5 mm (0.0197 in) x 45°" in str(refused(part, shop))
    bevelled, _ = with_remedy(part, shop, BevelEdge(surface=FRONT_OUTER_EDGE, leg_mm=0.5))
    segment = bevelled.surface(FRONT_OUTER_EDGE)
    assert segment is not None
    assert segment.centre is None
    assert make_plan(bevelled, shop).sheet.part == bevelled


def test_the_far_edge_of_a_bore_is_not_rounded_through_the_bore() -> None:
    shop = shop_with("metric-lathe", *BOTH)
    plate = replace(shop, holdings=tuple(h for h in shop.holdings if h.kind == "flat-plate"))
    error = refused(rounded_part("bush", (FRONT_INNER_EDGE, BACK_INNER_EDGE)), plate)
    assert "round-edge-blind" in error.refusal.codes
    assert error.refusal.remedies


def test_steps_too_coarse_for_the_limits_are_told_with_finer_ones_and_wider_limits() -> None:
    part = rounded_part("bush", (FRONT_OUTER_EDGE,), "round 0.5 +0.1/-0.01")
    error = refused(part, shop_with("inch-lathe", *BOTH))
    assert "round-edge-not-settable" in error.refusal.codes
    assert "0.017 mm (0.0007 in) short along and 0.017 mm (0.0007 in) across" in str(error)
    assert error.refusal.remedies


@pytest.mark.parametrize(
    ("least_mm", "short_mm", "kept"),
    [
        (0.3, 0.0, True),
        (0.5, 0.0, True),
        (0.495, 0.02, False),
        (0.4, 0.0174, True),
        (0.4, 0.02, False),
        (0.4, 0.05, False),
    ],
)
def test_what_stays_short_of_a_round_is_held_against_the_smallest_one(
    least_mm: float, short_mm: float, *, kept: bool
) -> None:
    """On the diagonal: (√2 - 1) 0.5 - √2 short against (√2 - 1) least; 0.02 short 0.179, 0.05 short 0.136."""
    assert least_radius_kept(0.5, least_mm, short_along_mm=short_mm, short_across_mm=short_mm) is kept


# sheets that are wrong -----------------------------------------------------------------------------------------------


def changed(act: a.Cut | a.Move, **changes: object) -> a.Act:
    return cast("a.Act", structs.replace(act, **changes))


def with_act(sheet: Sheet, wrong: a.Act) -> Sheet:
    return replace(sheet, acts=tuple(wrong if act.id == wrong.id else act for act in sheet.acts))


def round_cut(plan: Plan, edge: str) -> a.Cut:
    (cut,) = [act for act in plan.sheet.acts if isinstance(act, a.Cut) and act.surface == edge]
    assert cut.to is not None
    return cut


def along_move(plan: Plan, edge: str) -> a.Move:
    """Last setting along the bed before the round of an edge is cut."""
    cut = round_cut(plan, edge)
    before = plan.sheet.acts[: [act.id for act in plan.sheet.acts].index(cut.id)]
    return [act for act in before if isinstance(act, a.Move) and act.setting.handle is not Handle.CROSS][-1]


def moved(setting: a.Setting, marks: int, *, shown: float = 0.0) -> a.Setting:
    return replace(setting, marks=setting.marks + Fraction(marks), expected_mm=setting.expected_mm + shown)


@pytest.mark.parametrize("edge", [FRONT_OUTER_EDGE, FRONT_INNER_EDGE, BACK_OUTER_EDGE])
@pytest.mark.parametrize("marks", [-1, 1])
def test_a_dial_that_is_a_mark_off_is_found_either_way(edge: str, marks: int) -> None:
    plan, shop = planned("metric-lathe", "bush"), shop_with("metric-lathe", *BOTH)
    cut, move = round_cut(plan, edge), along_move(plan, edge)
    assert cut.to is not None
    for wrong in (changed(cut, to=moved(cut.to, marks)), changed(move, setting=moved(move.setting, marks))):
        sheet = with_act(plan.sheet, wrong)
        assert check_sheet(sheet, shop).refusals
        assert verdict(sheet, shop) is Verdict.WRONG


@pytest.mark.parametrize(("marks", "code"), [(4, RefusalCode.GOUGE), (-8, RefusalCode.LEFTOVER)])
def test_a_sheet_that_says_itself_that_it_goes_too_far_or_not_far_enough_is_refused_for_the_shape(
    marks: int, code: RefusalCode
) -> None:
    """Marks of 0.02 mm: 0.08 mm past the outside digs a step; 0.16 mm short leaves more than a round of 0.3 mm does."""
    plan, shop = planned("metric-lathe", "bush", (FRONT_OUTER_EDGE,)), shop_with("metric-lathe", *BOTH)
    cut = round_cut(plan, FRONT_OUTER_EDGE)
    assert cut.to is not None
    more = 0.02 * marks
    wrong = changed(
        cut,
        to=moved(cut.to, marks, shown=-2.0 * more),
        depth_mm=cut.depth_mm + more,
        length_mm=cut.length_mm + more,
    )
    codes = {refusal.code for refusal in check_sheet(with_act(plan.sheet, wrong), shop).refusals}
    assert code in codes
    assert codes <= {code, RefusalCode.SIZE_NOT_FOUND}


@pytest.mark.parametrize("radius_mm", [0.8, 0.6, 0.45, 0.25])
def test_a_form_tool_of_another_radius_under_the_same_name_is_found(radius_mm: float) -> None:
    plan = planned("metric-lathe", "bush", (FRONT_OUTER_EDGE,))
    wrong = replace(form_tool(radius_mm=radius_mm), id=form_tool().id, width_mm=1.5)
    report = check_sheet(plan.sheet, shop_with("metric-lathe", wrong, BOTH[1]))
    assert report.refusals


def test_a_round_that_nothing_cuts_is_found() -> None:
    plan, shop = planned("metric-lathe", "bush", (FRONT_OUTER_EDGE,)), shop_with("metric-lathe", *BOTH)
    cut = round_cut(plan, FRONT_OUTER_EDGE)
    sheet = replace(plan.sheet, acts=tuple(act for act in plan.sheet.acts if act.id != cut.id))
    codes = {refusal.code for refusal in check_sheet(sheet, shop).refusals}
    assert {RefusalCode.SIZE_NOT_FOUND, RefusalCode.LEFTOVER} <= codes
    assert verdict(sheet, shop) is Verdict.WRONG


def test_a_bevel_in_the_place_of_a_round_is_found() -> None:
    bevelled = make_plan(rounded_part("bush", ()), demo_shop("metric-lathe"))
    sheet = replace(bevelled.sheet, part=rounded_part("bush", (FRONT_OUTER_EDGE,)))
    codes = {refusal.code for refusal in check_sheet(sheet, demo_shop("metric-lathe")).refusals}
    assert RefusalCode.SIZE_NOT_FOUND in codes
    assert verdict(sheet, demo_shop("metric-lathe")) is Verdict.WRONG
