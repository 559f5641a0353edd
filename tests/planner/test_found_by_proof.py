"""Faults that drawn cases brought to light (docs/theory/proof.md), each as the plainest part that shows it."""

from __future__ import annotations

from fractions import Fraction
from math import radians, tan

import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.domain.acts import Act, Measure, Touch
from handwheel.domain.errors import InputError, NoPlanError
from handwheel.domain.motion import Edge, Handle, Motion
from handwheel.domain.part import BACK_INNER_EDGE, Part
from handwheel.domain.plan import Stage
from handwheel.domain.plan import Step as PlanStep
from handwheel.domain.remedies import AddToShop, AllowCorner
from handwheel.domain.shop import Shop
from handwheel.domain.slides import AidKind, Dial, LengthAid, Reads
from handwheel.domain.tools import Tool, ToolKind
from handwheel.planner.holdings.lands import lands, wall_mm
from handwheel.planner.kinds.rounds import square_trouble
from handwheel.planner.kinds.standing import standing_mm
from handwheel.planner.kinds.touching import face_touch_mm
from handwheel.planner.kit import easier
from handwheel.planner.planner import make_plan
from handwheel.service.demo import demo_text
from handwheel.service.intake.part_file import read_part
from tests.planner.held import MEANS, shop_with
from tests.planner.holes import TAP_M18, nut, with_tap
from tests.planner.jobs import Ring, job_of, only_holdings, with_slides, with_tools, without_tools
from tests.proof.stock import demo_shop
from tests.proof.trial import remedied
from tests.stepped import Step, Stepped

TOOL = Tool(id="t", name="t", kind=ToolKind.TURNING, edge=Edge.HSS, nose_radius_mm=0.4, entering_deg=90.0)


@pytest.mark.parametrize("lean_deg", [0.0, 1.0, 5.0])
def test_one_deep_pass_leaves_its_leaning_flank_standing(lean_deg: float) -> None:
    """Source: geometry; an edge that leans by an angle stands off by its height above the nose times the tangent."""
    leaning = replace(TOOL, entering_deg=90.0 + lean_deg)
    assert standing_mm(leaning, (2.4,)) == pytest.approx(2.0 * tan(radians(lean_deg)))


def test_a_pass_shallower_than_the_nose_leaves_the_round_itself() -> None:
    """Source: geometry; at half its radius above the bottom a circle is 1 - the root of 3/4 of it from its side."""
    assert standing_mm(TOOL, (0.2,)) == pytest.approx(0.4 * (1.0 - 0.75**0.5))


def test_a_second_pass_by_a_square_edge_takes_what_the_first_left_at_its_foot() -> None:
    """Source: geometry; above the nose the edge stands square, so between two deep passes nothing is left."""
    assert standing_mm(TOOL, (1.0, 1.0)) == 0.0


@pytest.mark.parametrize("height_mm", [0.15, 0.2, 0.25, 0.3, 0.4, 0.6])
def test_a_low_step_is_cut_right_or_refused(height_mm: float) -> None:
    """The last cuts on the outside run over the step: what they take must not have been left for the step's own.

    Source: the check, which replays every pass.
    """
    step = Step(of="outside", end="front", diameter=28.0 - 2.0 * height_mm, depth=8.0)
    part, shop = Stepped(steps=(step,), corner=0.1).part, demo_shop("metric-lathe")
    sharp = tuple(replace(tool, nose_radius_mm=min(0.1, tool.nose_radius_mm)) for tool in shop.tools)
    shop = replace(shop, tools=sharp)
    assert _troubles(part, shop) <= {"step-too-low"}


def _troubles(part: Part, shop: Shop) -> set[str]:
    """What stands in the way of the step, or what the check refuses of the plan."""
    try:
        sheet = make_plan(part, shop).sheet
    except NoPlanError as error:
        codes = {trouble.code for trouble in error.refusal.troubles}
        return codes & {"step-too-low"} or codes
    return {refusal.text for refusal in check_sheet(sheet, shop).refusals}


def test_steps_at_opposite_ends_are_no_wall_between_them() -> None:
    """A deep counterbore at the back is wider than the shank at the front, and nowhere beside it."""
    steps = (
        Step(of="outside", end="front", diameter=25.0, depth=7.0),
        Step(of="bore", end="back", diameter=25.4, depth=5.0),
    )
    part, shop = Stepped(steps=steps, outside=28.5).part, demo_shop("metric-lathe")
    fine = tuple(replace(gauge, uncertainty_mm=min(0.005, gauge.uncertainty_mm)) for gauge in shop.gauges)
    shop = replace(shop, gauges=fine)
    plan = make_plan(part, shop)
    assert check_sheet(plan.sheet, shop).refusals == ()


@pytest.mark.parametrize("depth_mm", [4.1, 4.47, 4.9, 4.93, 5.0])
@pytest.mark.parametrize("width_mm", [18.0, 20.46, 21.3])
def test_where_a_land_ends_its_wall_is_its_own(depth_mm: float, width_mm: float) -> None:
    """A place reckoned from either face differs in its last bit: between the two there is no wall.

    Source: the drawing; beside the outside the hole is at most the counterbore, and the outside ends at its step.
    """
    steps = (
        Step(of="outside", end="back", diameter=26.0, depth=depth_mm),
        Step(of="bore", end="back", diameter=22.0, depth=6.45),
    )
    job = job_of(Stepped(steps=steps, width=width_mm).part, demo_shop("metric-lathe"))
    land = next(land for land in lands(job, inner=False) if land.surface == "outside")
    assert wall_mm(job, land, inner=False) == pytest.approx((11.0, 14.0), abs=0.03)


WIDE = Ring(metal="cu_cw307g", bore=20.0, bore_pm=0.06, outside=28.0, edges=("front_outer", "back_outer"))
"""A ring whose back face has room for a washer and a swept edge beside it."""


@pytest.mark.parametrize("kind", ["step-spigot", "plate-and-tailstock"])
@pytest.mark.parametrize("slack_mm", [0.1, 0.7, 1.2])
def test_a_worn_top_slide_sweeps_an_edge_beside_a_washer_where_there_is_room(kind: str, slack_mm: float) -> None:
    """Source: geometry; the tip may go back as far as the washer is away, and the screw takes up its slack first."""
    shop = without_tools(shop_with("metric-lathe", MEANS[kind]), ToolKind.EDGE_OUTSIDE)
    shop = with_slides(shop, top=replace(shop.lathe.top, slack_mm=Fraction(slack_mm).limit_denominator(100)))
    plan = make_plan(WIDE.part, shop)
    assert check_sheet(plan.sheet, shop).refusals == ()


def test_where_the_slack_leaves_no_room_beside_a_washer_an_edge_tool_is_named() -> None:
    """Source: geometry; of a flat 1.75 mm wide three fifths stay beside the washer."""
    shop = without_tools(shop_with("metric-lathe", MEANS["step-spigot"]), ToolKind.EDGE_OUTSIDE)
    shop = with_slides(shop, top=replace(shop.lathe.top, slack_mm=Fraction(6, 5)))
    with pytest.raises(NoPlanError) as caught:
        make_plan(replace(WIDE, outside=24.5).part, shop)
    trouble = next(trouble for trouble in caught.value.refusal.troubles if trouble.code == "slack-leaves-no-room")
    assert "beside what covers the face" in trouble.why


@pytest.mark.parametrize(("depth_mm", "touched"), [(1.6, "bore-front-1-shoulder"), (2.6, "front-face")])
def test_the_side_of_an_edge_tool_touches_the_rim_that_it_meets_first(depth_mm: float, touched: str) -> None:
    """In a counterbore 2 mm wide a side at 45° meets the shoulder first unless that is deeper than wide.

    Source: geometry; the check replays every touch.
    """
    steps = (Step(of="bore", end="front", diameter=24.0, depth=depth_mm),)
    part = Stepped(steps=steps, edges=("back_inner",)).part
    shop = only_holdings(demo_shop("metric-lathe"), "flat-plate")
    plan = make_plan(part, shop)
    step = [act for act in plan.sheet.acts if act.step == "back-inner-edge" and isinstance(act, Touch)]
    assert [act.surface for act in step if act.motion is Motion.LEFT] == [touched]
    assert check_sheet(plan.sheet, shop).refusals == ()


@pytest.mark.parametrize("diameter_mm", [20.73, 20.8, 20.9, 21.0, 21.4])
def test_the_sheet_expects_what_a_depth_gauge_finds_on_a_low_shoulder(diameter_mm: float) -> None:
    """Last cuts by the swung top slide end a part of a step off the shoulder, and there a gauge rests on a low step.

    Source: the check, which replays every pass and reads the depth where a gauge does.
    """
    step = Step(of="bore", end="front", diameter=diameter_mm, depth=6.09, diameter_pm=0.014, depth_pm=0.06)
    shop = demo_shop("inch-lathe")
    fine = tuple(replace(gauge, uncertainty_mm=min(0.002, gauge.uncertainty_mm)) for gauge in shop.gauges)
    indicator = LengthAid(kind=AidKind.INDICATOR, step_mm=Fraction(127, 5000), range_mm=50.0)
    carriage = replace(shop.lathe.carriage, aids=(indicator,))
    shop = replace(with_slides(shop, carriage=carriage), gauges=fine)
    plan = make_plan(Stepped(steps=(step,), corner=0.3).part, shop)
    assert check_sheet(plan.sheet, shop).refusals == ()


@pytest.mark.parametrize("side_mm", [2.6, 3.0, 3.1, 3.2])
@pytest.mark.parametrize("width_mm", [6.1, 6.15, 6.4])
def test_an_edge_tool_behind_the_ring_has_room_in_front_of_where_the_bore_ends(side_mm: float, width_mm: float) -> None:
    """Read by a rule the carriage stops a part of half a millimetre early, and the end of the bore stands nearer.

    Source: the check, which replays every pass; a smaller tool that is named must do.
    """
    shop = with_tools(only_holdings(demo_shop("metric-lathe"), "flat-plate"), ToolKind.PARTING, width_mm=1.5)
    shop = with_tools(shop, ToolKind.EDGE_INSIDE, head_mm=side_mm, width_mm=2.0 * side_mm, bar_dia_mm=6.0)
    shop = with_tools(shop, ToolKind.BORING, bar_dia_mm=8.0, head_mm=2.0, reach_mm=40.0)
    small = tuple(replace(drill, dubbed=True) for drill in shop.drills if drill.dia_mm <= 16)
    rule = LengthAid(kind=AidKind.RULE, step_mm=Fraction(1, 2), range_mm=300.0)
    carriage = replace(shop.lathe.carriage, aids=(rule,), dial=None, turn_mm=20.0)
    shop = replace(with_slides(shop, carriage=carriage), drills=small)
    ring = Ring(metal="cu_cw307g", bore=21.0, outside=28.0, width=width_mm, edges=("back_inner", "front_inner"))
    part = ring.part
    try:
        plan = make_plan(part, shop)
    except NoPlanError as error:
        assert side_mm > 2.6
        part, shop = remedied(part, shop, error.refusal.remedies)
        plan = make_plan(part, shop)
    assert check_sheet(plan.sheet, shop).refusals == ()


@pytest.mark.parametrize("bore_mm", [13.9, 13.91, 14.1, 14.3])
def test_the_speed_is_said_for_the_largest_diameter_that_a_coarse_screw_cuts(bore_mm: float) -> None:
    """Marks worth 0.2 mm on the diameter end the bore up to 0.1 mm beyond the middle of wide limits.

    Source: the check, which compares what is said with what is cut.
    """
    shop = demo_shop("metric-lathe")
    dial = Dial(lead_mm=Fraction(6), marks=60, label_mm=Fraction(1, 10), reads=Reads.TRAVEL, settable=True)
    shop = with_slides(shop, cross=replace(shop.lathe.cross, dial=dial, readout_step_mm=None))
    shop = with_tools(shop, ToolKind.BORING, bar_dia_mm=7.0, head_mm=1.5, reach_mm=40.0)
    plan = make_plan(Ring(metal="st11smnpb30", bore=bore_mm, bore_pm=0.14, outside=21.0, outside_pm=0.2).part, shop)
    assert check_sheet(plan.sheet, shop).refusals == ()


def test_a_collet_has_a_wall_even_where_the_chuck_is_no_larger_than_the_ring() -> None:
    """Source: geometry; an outline of the holding that has no width is none."""
    means = replace(MEANS["collet"], sizes_mm=(28.0,), body_dia_mm=20.0)
    shop = shop_with("metric-lathe", means)
    plan = make_plan(replace(WIDE, width=9.0).part, shop)
    assert check_sheet(plan.sheet, shop).refusals == ()


@pytest.mark.parametrize("diameter_mm", [27.2, 27.4, 27.5, 27.6])
def test_on_a_narrow_face_the_tool_touches_its_flat_and_not_the_rim_of_a_counterbore(diameter_mm: float) -> None:
    """Half a millimetre inside the rim there is no face any more, and a leaning edge meets the rim later than the face.

    Source: the check, which replays every touch.
    """
    shop = _shop_for_swung_cuts(50.0)
    carriage = replace(shop.lathe.carriage, aids=(), readout_step_mm=Fraction(1, 200))
    shop = with_slides(with_tools(shop, ToolKind.TURNING, entering_deg=95.0), carriage=carriage)
    shop = replace(shop, habits=replace(shop.habits, finish_cut_mm=0.06))
    step = Step(of="bore", end="front", diameter=diameter_mm, depth=4.0)
    plan = make_plan(Stepped(steps=(step,)).part, shop)
    assert check_sheet(plan.sheet, shop).refusals == ()


@pytest.mark.parametrize("width_mm", [0.3, 0.5, 1.0, 4.0])
@pytest.mark.parametrize("nose_mm", [0.1, 0.2])
@pytest.mark.parametrize("inside", [True, False])
def test_a_face_is_touched_on_its_flat(width_mm: float, nose_mm: float, *, inside: bool) -> None:
    """Source: geometry; the foremost spot of a nose lies a radius further from the axis than a turning tool's tip."""
    flat, tool = (10.0, 10.0 + width_mm), replace(TOOL, nose_radius_mm=nose_mm)
    at_mm = face_touch_mm(flat, tool, inside=inside)
    met_mm = at_mm - nose_mm if inside else at_mm + nose_mm
    room_mm = min(0.5, width_mm / 2.0) - 1e-9
    assert flat[0] + room_mm <= met_mm <= flat[1] - room_mm


def _shop_for_swung_cuts(reach_mm: float) -> Shop:
    """The demo shop with an indicator on the carriage, and gauges that decide anything."""
    shop = demo_shop("metric-lathe")
    fine = tuple(replace(gauge, uncertainty_mm=min(0.002, gauge.uncertainty_mm)) for gauge in shop.gauges)
    indicator = LengthAid(kind=AidKind.INDICATOR, step_mm=Fraction(1, 100), range_mm=reach_mm)
    carriage = replace(shop.lathe.carriage, aids=(indicator,), dial=None, readout_step_mm=None, turn_mm=20.0)
    return replace(with_slides(shop, carriage=carriage), gauges=fine)


def _with_noses(shop: Shop, nose_mm: float) -> Shop:
    """The shop with that nose on whatever turns and bores."""
    rounded = (ToolKind.TURNING, ToolKind.BORING)
    tools = (replace(tool, nose_radius_mm=nose_mm) if tool.kind in rounded else tool for tool in shop.tools)
    return replace(shop, tools=tuple(tools))


def _is_swung(acts: tuple[Act, ...], step: str) -> bool:
    return any(isinstance(act, Touch) and act.step == step and act.handle is Handle.TOP for act in acts)


@pytest.mark.parametrize("depth_mm", [1.05, 1.1, 1.4, 2.0, 3.0])
@pytest.mark.parametrize(("of", "diameter_mm"), [("outside", 25.0), ("bore", 23.0)])
def test_a_swung_slide_touches_a_short_step_and_not_its_shoulder(of: str, diameter_mm: float, depth_mm: float) -> None:
    """It goes a millimetre along the bed for a tenth across, and so begins as much further to the right.

    Source: the check, which replays every touch.
    """
    step = Step(of=of, end="front", diameter=diameter_mm, depth=depth_mm, diameter_pm=0.014)
    shop = _shop_for_swung_cuts(50.0)
    plan = make_plan(Stepped(steps=(step,)).part, shop)
    assert _is_swung(plan.sheet.acts, f"{of}-front-1")
    assert check_sheet(plan.sheet, shop).refusals == ()


@pytest.mark.parametrize("diameter_mm", [22.3, 23.0, 23.54, 24.0, 25.5])
@pytest.mark.parametrize("reach_mm", [30.0, 100.0])
def test_a_swung_slide_begins_anew_at_every_cylinder(diameter_mm: float, reach_mm: float) -> None:
    """From the bore to a counterbore it would go along the bed ten times the difference, out of an indicator's range.

    Its steps, counted from the bore, would meet the counterbore only to half a step. Source: the check, which knows how
    far an indicator reaches and replays every pass.
    """
    step = Step(of="bore", end="front", diameter=diameter_mm, depth=4.0, diameter_pm=0.014)
    shop = _shop_for_swung_cuts(reach_mm)
    plan = make_plan(Stepped(steps=(step,), bore_pm=0.009).part, shop)
    assert _is_swung(plan.sheet.acts, "bore")
    assert _is_swung(plan.sheet.acts, "bore-front-1")
    assert check_sheet(plan.sheet, shop).refusals == ()


@pytest.mark.parametrize("depth_mm", [1.1, 1.86, 2.33, 3.0])
@pytest.mark.parametrize("diameter_mm", [22.26, 23.0, 23.54])
def test_last_cuts_by_a_swung_slide_leave_no_ledge_in_a_sharp_corner(depth_mm: float, diameter_mm: float) -> None:
    """Each of the two ends a part of a coarse step off the shoulder, and the parts may not add up.

    Source: the check, which lays the round that is allowed into the corner as it was cut.
    """
    shop = _shop_for_swung_cuts(50.0)
    shop = _with_noses(with_tools(shop, ToolKind.BORING, entering_deg=95.0), 0.2)
    indicator = LengthAid(kind=AidKind.INDICATOR, step_mm=Fraction(127, 5000), range_mm=50.0)
    shop = with_slides(shop, carriage=replace(shop.lathe.carriage, aids=(indicator,)))
    step = Step(of="bore", end="front", diameter=diameter_mm, depth=depth_mm, diameter_pm=0.014)
    plan = make_plan(Stepped(steps=(step,), corner=0.2).part, shop)
    assert _is_swung(plan.sheet.acts, "bore-front-1")
    assert check_sheet(plan.sheet, shop).refusals == ()


@pytest.mark.parametrize("nose_mm", [0.1, 0.2, 0.4])
@pytest.mark.parametrize("entering_deg", [90.0, 93.0, 95.0])
def test_the_ridge_that_a_faced_shoulder_leaves_is_said_with_the_first_last_cut(
    nose_mm: float, entering_deg: float
) -> None:
    """By a rule roughing ends half a millimetre in front of the shoulder, in the round of its nose.

    Source: the check, which measures the metal that every pass meets.
    """
    shop = _shop_for_swung_cuts(50.0)
    rule = LengthAid(kind=AidKind.RULE, step_mm=Fraction(1, 2), range_mm=300.0)
    shop = with_slides(shop, carriage=replace(shop.lathe.carriage, aids=(rule,)))
    shop = _with_noses(with_tools(shop, ToolKind.TURNING, entering_deg=entering_deg), nose_mm)
    shop = with_tools(shop, ToolKind.BORING, bar_dia_mm=8.0, head_mm=1.5)
    shop = replace(shop, lathe=replace(shop.lathe, tool_stiffness_n_um=60.0))
    step = Step(of="outside", end="front", diameter=18.5, depth=4.0, depth_pm=0.6)
    plan = make_plan(Stepped(steps=(step,), metal="st11smnpb30", bore=14.5, outside=21.0, corner=nose_mm).part, shop)
    assert check_sheet(plan.sheet, shop).refusals == ()


@pytest.mark.parametrize("side_mm", [3.0, 4.6, 5.2])
def test_a_v_comes_whole_out_of_the_hole_before_it_makes_room_for_a_tap(side_mm: float) -> None:
    """Half of it stands to the left of its point. Source: the check, which replays every move."""
    shop = with_tap("metric-lathe", TAP_M18)
    shop = with_tools(shop, ToolKind.EDGE_INSIDE, head_mm=side_mm, width_mm=2.0 * side_mm, bar_dia_mm=6.0)
    plan = make_plan(nut(), shop)
    assert check_sheet(plan.sheet, shop).refusals == ()


@pytest.mark.parametrize("diameter_mm", [23.7, 24.0, 24.3])
def test_a_washer_screw_goes_on_through_a_bore_narrower_than_its_spigot(diameter_mm: float) -> None:
    """The spigot sits in a counterbore of the front as wide as the ring is where the edge at the back is swept.

    Source: geometry; at the back there is metal where the spigot was thought to be, and the sweep stays in front of it.
    """
    steps = (
        Step(of="bore", end="front", diameter=diameter_mm, depth=10.0),
        Step(of="outside", end="back", diameter=25.0, depth=4.0),
    )
    shop = without_tools(shop_with("metric-lathe", MEANS["step-spigot"]), ToolKind.EDGE_OUTSIDE)
    plan = make_plan(Stepped(steps=steps, edges=("back_outer",)).part, shop)
    assert any(act.step == "back-outer-edge" for act in plan.sheet.acts)
    assert check_sheet(plan.sheet, shop).refusals == ()


@pytest.mark.parametrize("nose_mm", [0.3, 0.4])
@pytest.mark.parametrize("depth_mm", [1.0, 1.5])
def test_where_roughing_leaves_only_the_round_of_its_tip_nothing_is_measured(depth_mm: float, nose_mm: float) -> None:
    """By a rule roughing ends half a millimetre in front of the shoulder: of a short step that is half of it.

    Source: the check, which reads a diameter where a gauge does, and knows what the tip left.
    """
    rule = LengthAid(kind=AidKind.RULE, step_mm=Fraction(1, 2), range_mm=300.0)
    shop = _shop_for_swung_cuts(50.0)
    shop = _with_noses(with_slides(shop, carriage=replace(shop.lathe.carriage, aids=(rule,))), nose_mm)
    shop = replace(shop, lathe=replace(shop.lathe, tool_stiffness_n_um=60.0))
    step = Step(of="outside", end="front", diameter=25.0, depth=depth_mm, depth_pm=0.6)
    plan = make_plan(Stepped(steps=(step,), corner=0.5).part, shop)
    measured = [act for act in plan.sheet.acts if isinstance(act, Measure) and act.surface == "outside-front-1"]
    roughed = [act for act in measured if act.step == "rough-outside-front-1"]
    assert bool(roughed) is (nose_mm <= 0.7 * (depth_mm - 0.5))
    assert [act.final for act in measured if act.step == "outside-front-1"] == [False, True]
    assert check_sheet(plan.sheet, shop).refusals == ()


@pytest.mark.parametrize(("depth_mm", "corner_mm"), [(0.6, 0.1), (0.61, 0.11), (0.8, 0.3), (1.0, 0.5), (4.0, 0.5)])
def test_a_larger_corner_is_offered_only_as_far_as_a_short_step_bears_it(depth_mm: float, corner_mm: float) -> None:
    """Source: the reader of part files, which asks for half a millimetre of cylinder beside corner and edge."""
    steps = (Step(of="outside", end="front", diameter=25.0, depth=depth_mm),)
    drawn = Stepped(steps=steps, corner=0.02)
    offered = [remedy.radius_mm for remedy in easier(drawn.part) if isinstance(remedy, AllowCorner)]
    assert offered == pytest.approx([corner_mm])
    assert replace(drawn, corner=offered[0]).part.corner_radius_mm == offered[0]
    with pytest.raises(InputError):
        _ = replace(drawn, corner=min(depth_mm - 0.5, 1.5) + 0.01).part


def test_a_nose_that_leaves_nothing_straight_of_a_short_step_is_too_round() -> None:
    """Of 2 mm a nose of 1.45 mm leaves 0.55 mm straight, and the corner is kept clear of. Source: geometry."""
    shop = _with_noses(demo_shop("metric-lathe"), 1.45)
    part = Stepped(steps=(Step(of="outside", end="front", diameter=24.0, depth=2.0),), corner=1.5).part
    job = job_of(part, shop)
    step = PlanStep(id="s", kind="turn", surface="outside-front-1", stage=Stage.FINISH, zones=())
    found = square_trouble(job, step, replace(TOOL, nose_radius_mm=1.45))
    assert found is not None
    assert found.code == "nose-too-round"
    (remedy,) = found.remedies
    assert isinstance(remedy, AddToShop)
    assert isinstance(remedy.thing, Tool)
    assert remedy.thing.nose_radius_mm == pytest.approx(1.4)
    assert square_trouble(job, step, remedy.thing) is None


@pytest.mark.parametrize("motor_power_w", [120.0, 250.0])
def test_a_blind_plunge_cuts_with_both_sides_of_the_v(motor_power_w: float) -> None:
    """Behind the far edge the bore goes on: the V sinks into its wall, and a weak motor feels both its sides.

    Source: the check, which reckons the power from the metal that the replay meets.
    """
    bush = read_part(demo_text("bush"), name="bush.toml")
    shop = demo_shop("metric-lathe")
    weak = replace(shop, lathe=replace(shop.lathe, motor_power_w=motor_power_w))
    plan = make_plan(bush, weak)
    assert BACK_INNER_EDGE in {step.id for step in plan.steps}
    assert check_sheet(plan.sheet, weak).refusals == ()
