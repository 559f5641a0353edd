"""The simple replay on cases that can be reckoned by hand; common geometry, no source."""

from __future__ import annotations

from fractions import Fraction
from math import pi, sqrt, tan
from random import Random

import numpy as np
import pytest
import shapely
from msgspec.structs import replace

from handwheel.domain import acts as a
from handwheel.domain.contour import Point
from handwheel.domain.holding import Holding, Side
from handwheel.domain.motion import Edge, Handle, Motion
from handwheel.domain.tools import Hand, Tool, ToolKind
from handwheel.service.intake.part_file import read_part
from tests.replay.judge import Verdict, verdict
from tests.replay.sheets import DEMOS, Job, job
from tests.replay.simple_replay import Ring, SimpleReplay, circle_mm
from tests.replay.simple_shapes import Outline, convex, drill_outline, point_mm, swept, tool_outline, tool_outlines
from tests.replay.simple_work import (
    LEAST_PIECE_MM2,
    SLIVER_MM,
    ReplayError,
    Work,
    areas_mm2,
    cut_off_left,
    first_contact_mm,
    highest_mm,
    in_one_piece,
    overlaps,
    way_to_contact_mm,
)
from tests.replay.story import changed

NEAR_MM = 1e-6
NEARBY_MM = (-0.03, -0.015, 0.0, 0.015, 0.03)
BAR = Work(low_z=-30.0, high_z=1.0, radius=12.0)


def box(low_z: float, high_z: float, low_x: float, high_x: float) -> Outline:
    return convex([(z, x) for z in (low_z, high_z) for x in (low_x, high_x)])


RING = BAR.without(box(-40.0, 5.0, -8.0, 8.0))
FACE_GROOVE = box(-3.0, 2.0, 9.0, 10.0)
"""A trepanning tool's: 3 mm deep in the front face, both its walls within the ring's."""


def metric() -> Job:
    return job(DEMOS[-1])


def tool(kind: ToolKind) -> a.FitTool:
    found = next(tool for tool in metric().shop.tools if tool.kind is kind)
    return a.FitTool(id="fit", step="s", tool=found.id, stands_out_mm=found.reach_mm or 25.0)


def machine_with(kind: ToolKind, *, z_mm: float, x_mm: float, work: Work) -> SimpleReplay:
    machine = SimpleReplay(part=metric().sheet.part, shop=metric().shop)
    machine.do(tool(kind))
    machine.do(a.Approach(id="by eye", step="s", z_mm=z_mm, x_radius_mm=x_mm, place="there"))
    machine.work = work
    return machine


def touch(handle: Handle, motion: Motion, surface: str) -> a.Touch:
    return a.Touch(id="touch", step="s", handle=handle, motion=motion, surface=surface, contact="it")


def test_a_turning_tool_touches_the_outside_with_its_lowest_point() -> None:
    machine = machine_with(ToolKind.TURNING, z_mm=-5.0, x_mm=15.0, work=BAR)
    machine.do(touch(Handle.CROSS, Motion.IN, "outside"))
    assert machine.where()[1] == pytest.approx(12.0, abs=NEAR_MM)
    # 4 mm of lead over 200 marks, clockwise in: 3 mm are 3/4 of a turn
    assert float(machine.travel_mm[Handle.CROSS]) == pytest.approx(3.0, abs=NEAR_MM)


def test_a_turning_tool_touches_the_face_with_its_leftmost_point() -> None:
    machine = machine_with(ToolKind.TURNING, z_mm=4.0, x_mm=6.0, work=BAR)
    machine.do(touch(Handle.TOP, Motion.LEFT, "front-face"))
    assert machine.where()[0] == pytest.approx(1.0, abs=NEAR_MM)


def test_a_feeler_keeps_the_tool_off_by_its_thickness() -> None:
    machine = machine_with(ToolKind.TURNING, z_mm=4.0, x_mm=6.0, work=BAR)
    machine.do(changed(touch(Handle.TOP, Motion.LEFT, "front-face"), feeler_mm=0.1))
    assert machine.where()[0] == pytest.approx(1.1, abs=NEAR_MM)


def test_the_flank_of_a_vee_touches_a_corner_as_far_off_as_its_point_stands_beside_it() -> None:
    machine = machine_with(ToolKind.EDGE_OUTSIDE, z_mm=2.0, x_mm=14.0, work=BAR)
    machine.do(touch(Handle.CROSS, Motion.IN, "front-outer-edge"))
    # the point is 1 mm in front of the face, the flank rises at 45°: at the corner it is 1 mm further out
    assert machine.where()[1] == pytest.approx(11.0, abs=NEAR_MM)


def test_a_plunge_below_a_touched_corner_makes_a_bevel_with_both_legs_as_deep() -> None:
    machine = machine_with(ToolKind.EDGE_OUTSIDE, z_mm=2.0, x_mm=14.0, work=BAR)
    machine.do(touch(Handle.CROSS, Motion.IN, "front-outer-edge"))
    zero = a.SetZero(
        id="zero",
        step="s",
        handle=Handle.CROSS,
        zero="z1",
        kind=a.SettingKind.MARKS,
        surface="front-outer-edge",
        stands_for_mm=0.0,
    )
    machine.do(zero)
    setting = a.Setting(handle=Handle.CROSS, kind=a.SettingKind.MARKS, zero="z1", marks=Fraction(25), expected_mm=0.5)
    cut = a.Cut(
        id="cut",
        step="s",
        handle=Handle.CROSS,
        motion=Motion.IN,
        to=setting,
        length_mm=0.5,
        depth_mm=0.354,
        surface="front-outer-edge",
        feed=a.FeedKind.HAND,
    )
    machine.do(cut)
    metal = machine.metal()
    at_face, behind = metal.metal_at(1.0 - 1e-7), metal.metal_at(0.5 - 1e-7)
    assert [outer for _, outer in at_face] == pytest.approx([11.5], abs=1e-5)
    assert [outer for _, outer in behind] == pytest.approx([12.0], abs=1e-5)
    assert [item.true_mm for item in machine.expected] == pytest.approx([0.5])


def test_marks_count_from_zero_exactly() -> None:
    machine = machine_with(ToolKind.TURNING, z_mm=4.0, x_mm=6.0, work=BAR)
    machine.do(touch(Handle.TOP, Motion.LEFT, "front-face"))
    zero = a.SetZero(
        id="zero",
        step="s",
        handle=Handle.TOP,
        zero="z1",
        kind=a.SettingKind.MARKS,
        surface="front-face",
        stands_for_mm=1.0,
    )
    machine.do(zero)
    before = machine.travel_mm[Handle.TOP]
    # 3 mm of lead over 150 marks: a turn back and 140 marks are 10 marks to the right of zero
    setting = a.Setting(handle=Handle.TOP, kind=a.SettingKind.MARKS, zero="z1", turns=-1, marks=Fraction(140))
    machine.do(a.Move(id="move", step="s", setting=setting))
    assert machine.travel_mm[Handle.TOP] - before == Fraction(-1, 5)
    assert machine.where()[0] == pytest.approx(1.2, abs=NEAR_MM)


def test_the_left_corner_of_a_slanted_blade_lags_by_its_width_times_the_slant() -> None:
    blade = next(tool for tool in metric().shop.tools if tool.kind is ToolKind.PARTING)
    low = tool_outline(blade).low_at(np.array([0.0, blade.width_mm]))
    assert low[0] == pytest.approx(blade.width_mm * tan(np.radians(90.0 - blade.entering_deg)))
    assert low[1] == pytest.approx(0.0)


def test_a_rounded_nose_leaves_its_arc_in_the_corner() -> None:
    hss = next(t for t in metric().shop.tools if t.kind is ToolKind.TURNING)
    tip = tool_outline(replace(hss, nose_radius_mm=0.4))
    z = np.array([0.1, 0.2, 0.4])
    assert tip.low_at(z) == pytest.approx([0.4 - sqrt(0.4**2 - (0.4 - at) ** 2) for at in z], abs=2e-4)


def test_a_drill_touches_the_rim_of_a_hole_before_its_point_reaches_the_face() -> None:
    drill = next(d for d in metric().shop.drills if d.dia_mm == Fraction(18))
    way = way_to_contact_mm(RING, drill_outline(drill), (10.0, 0.0), (-1.0, 0.0))
    assert 10.0 - way == pytest.approx(1.0 - point_mm(drill) * 8.0 / 9.0, abs=NEAR_MM)


def test_parting_needs_the_wall_cut_through() -> None:
    kerf = convex([(-8.0, 7.5), (-6.0, 7.5), (-8.0, 20.0), (-6.0, 20.0)])
    shallow = convex([(-8.0, 8.5), (-6.0, 8.5), (-8.0, 20.0), (-6.0, 20.0)])
    ring = cut_off_left(RING.without(kerf), -6.0)
    assert ring.end_mm(10.0, left=True) == pytest.approx(-6.0, abs=NEAR_MM)
    assert ring.end_mm(10.0, left=False) == pytest.approx(1.0, abs=NEAR_MM)
    with pytest.raises(ReplayError, match="not cut through"):
        cut_off_left(RING.without(shallow), -6.0)


def test_turning_the_ring_round_flips_z_about_its_width() -> None:
    groove = convex([(-3.0, 11.0), (-2.0, 11.0), (-3.0, 20.0), (-2.0, 20.0)])
    turned = RING.without(groove).turned(6.0)
    assert turned.metal_at(-3.5) == ((8.0, 11.0),)
    assert turned.metal_at(-2.5) == ((8.0, 12.0),)
    assert turned.low_z == -7.0


def test_a_hole_in_the_middle_of_the_wall_leaves_metal_on_both_sides() -> None:
    work = RING.without(box(-3.0, -2.0, 9.0, 10.0))
    assert work.metal_at(-2.5) == ((8.0, 9.0), (10.0, 12.0))
    assert work.metal_at(-3.5) == ((8.0, 12.0),)
    assert work.without(box(-2.6, -2.4, 11.0, 11.5)).metal_at(-2.5) == ((8.0, 9.0), (10.0, 11.0), (11.5, 12.0))
    assert work.without(box(-2.6, -2.4, 0.0, 11.0)).metal_at(-2.5) == ((11.0, 12.0),)
    assert work.without(box(-2.6, -2.4, 0.0, 30.0)).metal_at(-2.5) == ()


@pytest.mark.parametrize("seed", range(8))
def test_metal_is_where_the_bar_was_and_no_cut_has_been(seed: int) -> None:
    """Cuts of any shape and order; each place asked by itself, and felt for on a profile where all near it is alike."""
    chance = Random(seed)  # noqa: S311  a repeatable draw, no secret
    cuts = [convex((chance.uniform(-9.0, 1.0), chance.uniform(-1.0, 13.0)) for _ in range(4)) for _ in range(9)]
    work = replace(BAR, low_z=-8.0, taken=tuple(cuts))
    profile = work.profile(-10.0, 2.0)
    point = box(-0.005, 0.005, -SLIVER_MM, SLIVER_MM)

    def is_metal(z: float, x: float) -> bool:
        at = np.array([z])
        cut = any(it.left < z < it.right and it.low_at(at)[0] < x < it.high_at(at)[0] for it in cuts)
        return -8.0 < z < 1.0 and x < 12.0 and not cut

    stretches, felt = [], []
    for _ in range(300):
        z, x = chance.uniform(-10.0, 2.0), chance.uniform(0.0, 13.0)
        stretches.append(work.metal_at(z))
        assert any(inner < x < outer for inner, outer in stretches[-1]) is is_metal(z, x)
        if all(is_metal(z + aside, x + out) is is_metal(z, x) for aside in NEARBY_MM for out in NEARBY_MM):
            felt.append(is_metal(z, x))
            assert overlaps(point, (z, x), profile) is felt[-1]
    assert max(len(metal) for metal in stretches) > 1
    assert {True, False} == set(felt)
    assert len(felt) > 200


def test_rows_read_straight_between_samples_hold_no_metal_that_is_not_there() -> None:
    """A cut that leaves the wall aslant: the sliver outside it ends between two samples, the wall inside goes on."""
    aslant = convex([(-3.0, 9.0), (-3.0, 11.0), (-1.0, 11.0), (-1.0, 14.0)])
    work = RING.without(aslant)
    profile = work.profile(-4.0, 0.0)
    for z in np.linspace(-2.9, -1.1, 37):
        low, high = (float(side(np.array([z]))[0]) for side in (aslant.low_at, aslant.high_at))
        half = (high - low) / 2.0 - 0.01
        tool = box(-0.0007, 0.0011, -half, half)
        assert not overlaps(tool, (z, (low + high) / 2.0), profile)
        assert overlaps(tool, (z, (low + high) / 2.0 - 0.05), profile)


def test_a_cut_through_the_middle_leaves_no_sliver_to_touch_where_it_comes_out() -> None:
    """Half of what counts as a sliver stands over one end of the cut, and as much under the other."""
    out, within = 12.0 - SLIVER_MM / 2.0, 8.0 + SLIVER_MM / 2.0
    outward = convex([(-3.0, 9.0), (-3.0, 11.0), (-2.0, out), (-1.0, out), (-1.0, 9.0)])
    inward = convex([(-3.0, 11.0), (-3.0, 9.0), (-2.0, within), (-1.0, within), (-1.0, 11.0)])
    feeler = box(-0.1, 0.1, -0.5, 0.5)
    for cut, near, far in ((outward, 11.8, 8.8), (inward, 8.2, 11.2)):
        profile = RING.without(cut).profile(-4.0, 0.0)
        assert len(RING.without(cut).metal_at(-2.5)) == 2
        assert not overlaps(feeler, (-1.5, near), profile)
        assert overlaps(feeler, (-1.5, far), profile)
        assert overlaps(feeler, (-2.5, near), profile)


def test_a_tool_in_a_face_groove_touches_both_its_walls_and_its_floor() -> None:
    work = RING.without(FACE_GROOVE)
    tool = box(0.0, 4.0, -0.2, 0.2)
    assert way_to_contact_mm(work, tool, (-1.0, 9.5), (0.0, 1.0)) == pytest.approx(0.3, abs=NEAR_MM)
    assert way_to_contact_mm(work, tool, (-1.0, 9.5), (0.0, -1.0)) == pytest.approx(0.3, abs=NEAR_MM)
    assert way_to_contact_mm(work, tool, (-1.0, 9.5), (-1.0, 0.0)) == pytest.approx(2.0, abs=NEAR_MM)
    with pytest.raises(ReplayError, match="stands in the metal"):
        way_to_contact_mm(work, tool, (-1.0, 8.5), (0.0, 1.0))


def test_the_ends_of_the_metal_are_those_at_the_radius_asked() -> None:
    work = RING.without(FACE_GROOVE).without(box(-0.5, 2.0, 10.0, 20.0))
    found = [work.end_mm(radius, left=False) for radius in (8.5, 9.5, 11.0)]
    assert found == pytest.approx([1.0, -3.0, -0.5], abs=NEAR_MM)
    assert highest_mm(work) == pytest.approx(1.0, abs=NEAR_MM)
    assert highest_mm(work.without(box(-0.7, 2.0, 0.0, 9.5))) == pytest.approx(-0.5, abs=NEAR_MM)


def test_bore_and_outside_are_read_beyond_a_groove_between_them() -> None:
    work = RING.without(FACE_GROOVE)
    profile = work.profile(-5.0, 0.0)
    assert (profile.bore.min(), profile.bore.max()) == (8.0, 8.0)
    assert (profile.outside.min(), profile.outside.max()) == (12.0, 12.0)


@pytest.mark.parametrize("wall", [(8.0, 9.0), (10.0, 12.0), (9.0, 10.0)])
def test_a_wall_of_which_any_radius_is_left_is_not_cut_through(wall: tuple[float, float]) -> None:
    left = RING.without(box(-8.0, -6.0, 0.0, wall[0])).without(box(-8.0, -6.0, wall[1], 20.0))
    with pytest.raises(ReplayError, match="not cut through"):
        cut_off_left(left, -6.0)
    assert cut_off_left(left.without(box(-8.0, -6.0, *wall)), -6.0).low_z == -6.0


def test_what_comes_off_in_pieces_is_no_ring() -> None:
    kerf = box(-8.0, -6.0, 0.0, 20.0)
    for apart in (box(-7.0, 2.0, 9.0, 10.0), box(-2.0, -1.5, 0.0, 20.0)):
        with pytest.raises(ReplayError, match="2 pieces"):
            cut_off_left(RING.without(apart).without(kerf), -6.0)
    assert in_one_piece(cut_off_left(RING.without(FACE_GROOVE).without(kerf), -6.0)).low_z == -6.0


def test_a_hollow_and_a_spur_hang_together_and_swarf_does_not_count() -> None:
    hollow = RING.without(box(-3.0, -2.0, 9.0, 10.0)).without(FACE_GROOVE)
    spur = RING.without(box(-3.0, -2.999, 9.0, 20.0)).without(box(-2.999, -2.0, 8.0005, 20.0))
    for work in (hollow, spur):
        assert len(areas_mm2(work.profile(-30.0, 1.0))) == 1
    swarf = (
        RING.without(box(-3.0, 2.0, 0.0, 11.99)).without(box(-3.0, -0.05, 11.0, 20.0)).without(box(0.0, 2.0, 0.0, 20.0))
    )
    areas = areas_mm2(swarf.profile(-30.0, 1.0))
    assert areas == pytest.approx([27.0 * 4.0, 0.05 * 0.01], abs=1e-6)
    assert areas[1] < LEAST_PIECE_MM2
    assert in_one_piece(swarf) is swarf
    assert areas_mm2(RING.without(box(-40.0, 5.0, 0.0, 20.0)).profile(-30.0, 1.0)) == []


def test_pieces_are_told_apart_by_what_they_share_with_the_next_place() -> None:
    """Three rings in one another, the middle one tied to the outer by a web; areas reckoned by hand."""
    tubes = (
        RING.without(box(-40.0, 5.0, 9.0, 9.5))
        .without(box(-20.0, 5.0, 10.0, 10.5))
        .without(box(-40.0, -19.0, 10.0, 10.5))
    )
    assert areas_mm2(tubes.profile(-30.0, 1.0)) == pytest.approx([31.0 * 1.5, 31.0 * 1.0, 31.0 * 0.5], abs=1e-6)
    webbed = RING.without(box(-40.0, 5.0, 9.0, 9.5)).without(box(-20.0, 5.0, 10.0, 10.5))
    webbed = webbed.without(box(-40.0, -20.1, 10.0, 10.5))
    assert areas_mm2(webbed.profile(-30.0, 1.0)) == pytest.approx([31.0 * 2.0 + 0.1 * 0.5, 31.0], abs=1e-6)


NARROW = """
kind = "plain-ring"
name = "narrow"
metal = "al_6082"
units = "mm"
bore = { diameter = 16.0, plus_minus = 0.05 }
outside = { diameter = 24.0, plus_minus = 0.05 }
width = { length = 0.45, plus_minus = 0.05 }
edges = { front_outer = "sharp", front_inner = "sharp", back_outer = "sharp", back_inner = "sharp" }
"""


def test_a_land_shorter_than_the_margins_is_read_in_its_middle_third() -> None:
    bevels = convex([(0.0, 11.9), (0.0, 13.0), (-0.14, 12.0), (-0.14, 13.0)]), box(-0.5, -0.31, 11.8, 13.0)
    work = replace(RING, low_z=-0.45, high_z=0.0)
    part = read_part(NARROW, name="narrow")
    ring = Ring(work=work.without(bevels[0]).without(bevels[1]), part=part)
    assert ring.diameters_mm("outside") == pytest.approx((24.0, 24.0), abs=NEAR_MM)
    grooved = Ring(work=work.without(box(-0.23, -0.22, 11.7, 13.0)), part=part)
    assert grooved.diameters_mm("outside") == pytest.approx((23.4, 24.0), abs=NEAR_MM)


def test_nothing_within_reach_is_no_touch() -> None:
    box = convex([(0.0, 0.0), (1.0, 0.0), (0.0, 1.0), (1.0, 1.0)])
    with pytest.raises(ReplayError, match="nothing to touch"):
        way_to_contact_mm(BAR, box, (-5.0, 20.0), (0.0, 1.0))
    with pytest.raises(ReplayError, match="stands in the metal"):
        way_to_contact_mm(BAR, box, (-5.0, 5.0), (0.0, 1.0))


def test_what_a_tool_sweeps_is_the_hull_of_where_it_was() -> None:
    box = convex([(0.0, 0.0), (1.0, 0.0), (0.0, 1.0), (1.0, 1.0)])
    path = swept(box, (0.0, 0.0), (-2.0, 2.0))
    middle = np.array([-0.5])
    assert (path.left, path.right) == (-2.0, 1.0)
    assert path.low_at(middle)[0] == pytest.approx(0.5)
    assert path.high_at(middle)[0] == pytest.approx(2.5)


@pytest.mark.parametrize("bevel_mm", [0.0, 1.0, 3.5])
def test_rubbing_takes_metal_off_the_face_that_looks_out(bevel_mm: float) -> None:
    """From what stands highest, even where a bevel of the bore goes past the middle of the wall."""
    bevel = convex([(-6.3, 7.9), (-6.3, 8.0 + bevel_mm), (-6.3 + bevel_mm, 7.9)]) if bevel_mm else None
    machine = machine_with(ToolKind.TURNING, z_mm=4.0, x_mm=30.0, work=RING if bevel is None else RING.without(bevel))
    machine.work = replace(machine.metal(), low_z=-6.3, high_z=0.0)
    plate = Holding(
        id="flat-plate",
        kind="flat-plate",
        side=Side.BACK,
        gripped_surface="none",
        grip_dia_mm=24.0,
        jaw_face_mm=-6.0,
        grip_length_mm=0.0,
        blocked=((Point(0.0, 0.0), Point(1.0, 0.0), Point(1.0, 1.0)),),
        runout_mm=0.0,
        max_rpm=0.0,
        turned=False,
    )
    machine.do(a.Regrip(id="plate", step="s", holding=plate))
    machine.do(a.HandStep(id="rub", step="s", kind=a.HandKind.RUB_FACE, text="rub", removes_mm=0.3))
    assert (machine.metal().low_z, machine.metal().high_z) == pytest.approx((-6.0, 0.0), abs=NEAR_MM)
    if bevel_mm < 2.0:  # else the middle of the wall, where the width is read, lies on the bevel
        assert machine.ring().width_mm() == pytest.approx(6.0, abs=NEAR_MM)


def test_the_judge_finds_a_turn_too_many_and_nothing_in_a_valid_sheet() -> None:
    it = metric()
    index = next(i for i, act in enumerate(it.sheet.acts) if isinstance(act, a.Move))
    act = it.sheet.acts[index]
    assert isinstance(act, a.Move)
    wrong = changed(act, setting=replace(act.setting, turns=act.setting.turns + 1))
    acts = (*it.sheet.acts[:index], wrong, *it.sheet.acts[index + 1 :])
    assert verdict(it.sheet, it.shop) is Verdict.NOTHING_FOUND
    assert verdict(replace(it.sheet, acts=acts), it.shop) is Verdict.WRONG


# hollows -------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", [ToolKind.FORM_OUTSIDE, ToolKind.FORM_INSIDE])
@pytest.mark.parametrize("hand", [Hand.RIGHT, Hand.LEFT])
def test_a_hollow_is_strips_that_together_leave_a_quarter_circle_free(kind: ToolKind, hand: Hand) -> None:
    tool = Tool(id="t", name="t", kind=kind, edge=Edge.HSS, hand=hand, hollow_radius_mm=0.5, width_mm=1.5, head_mm=2.0)
    shapes = [shapely.convex_hull(shapely.multipoints(piece.points())) for piece in tool_outlines(tool)]
    whole = shapely.union_all(shapes)
    assert shapely.area(whole) == pytest.approx(1.5 * 2.0 - pi * 0.25 / 4.0, abs=0.001)
    assert shapely.distance(shapely.points(0.0, 0.0), whole) == pytest.approx(0.5, abs=0.001)
    z, x = (1.0 if hand is Hand.RIGHT else -1.0), (1.0 if kind is ToolKind.FORM_OUTSIDE else -1.0)
    assert shapely.covers(whole, shapely.points(z * 1.2, x * 0.1))


def test_a_tool_in_pieces_touches_by_the_piece_that_comes_first() -> None:
    near, far = box(-1.0, 0.0, 0.0, 1.0), box(-1.0, 0.0, 0.5, 1.0)
    assert first_contact_mm(BAR, [far, near], (-5.0, 12.0), (0.0, -1.0)) == pytest.approx(
        way_to_contact_mm(BAR, near, (-5.0, 12.0), (0.0, -1.0))
    )
    beside = box(50.0, 51.0, 0.0, 1.0)
    assert first_contact_mm(BAR, [beside, near], (-5.0, 12.0), (0.0, -1.0)) > 0.0
    with pytest.raises(ReplayError, match="passes the end"):
        first_contact_mm(BAR, [beside], (-5.0, 12.0), (0.0, -1.0))


def test_the_radius_of_a_circle_through_three_places() -> None:
    """A right triangle's circle has its long side for a diameter: 3, 4, 5."""
    assert circle_mm((0.0, 0.0), (3.0, 0.0), (0.0, 4.0)) == pytest.approx(2.5)
    with pytest.raises(ReplayError, match="straight"):
        circle_mm((0.0, 0.0), (1.0, 1.0), (2.0, 2.0))
