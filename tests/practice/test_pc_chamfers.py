"""Practice case PC-21: the top slide set for a chamfer, and which handle goes how far."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from math import hypot, radians, sin, sqrt
from typing import TYPE_CHECKING

import pytest
from msgspec.structs import replace

from handwheel.domain import acts as a
from handwheel.domain.contour import Point
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.part import FRONT_INNER_EDGE, FRONT_OUTER_EDGE
from handwheel.domain.plan import Plan
from handwheel.domain.slides import Reads
from handwheel.domain.tools import ToolKind
from handwheel.planner.dialing import engraved_change_mm
from handwheel.planner.kinds.bevel import Bevel
from handwheel.planner.planner import make_plan
from handwheel.report.text_sheet import sheet_text
from handwheel.service.demo import demo_text
from handwheel.service.intake.part_file import read_part
from tests.demo_plans import acts_of, demo_plan, demo_shop, position_marks, setting_of, step_acts

if TYPE_CHECKING:
    from handwheel.domain.part import Part
    from handwheel.domain.shop import Shop
    from tests.practice.conftest import Planned

MM_PER_IN = 25.4
LEG_MM = 0.5


def without_edge_tools(shop: Shop) -> Shop:
    """Shop in which every bevel must be swept with the top slide."""
    kinds = (ToolKind.EDGE_OUTSIDE, ToolKind.EDGE_INSIDE)
    return replace(shop, tools=tuple(tool for tool in shop.tools if tool.kind not in kinds))


def with_front_legs(along: float, across: float) -> Part:
    """The demo band with other legs on its front outer edge, and no back edges."""
    text = demo_text("band")
    old = "front_outer = { along = 0.5, across = 0.5 }"
    assert old in text
    text = text.replace(old, f"front_outer = {{ along = {along}, across = {across} }}")
    for edge in ("back_outer", "back_inner"):
        text = text.replace(f"{edge} = {{ along = 0.5, across = 0.5 }}", f'{edge} = "sharp"')
    return read_part(text, name="band with other legs")


@cache
def swept_plan(shop_name: str, along: float = LEG_MM, across: float = LEG_MM) -> Plan:
    """Plan in which both front edges are swept."""
    return make_plan(with_front_legs(along, across), without_edge_tools(demo_shop(shop_name)))


def test_pc_21_unequal_legs_have_their_angle_and_length() -> None:
    """PC-21, computed there: 0.060 along by 0.020 in across is 18.4 degrees from the axis, a sweep of 0.063 in."""
    shape = Bevel(corner=Point(0.0, 10.0), along_mm=0.060 * MM_PER_IN, across_mm=0.020 * MM_PER_IN, inside=False)
    assert shape.angle_deg == pytest.approx(18.4, abs=0.05)
    assert hypot(shape.along_mm, shape.across_mm) / MM_PER_IN == pytest.approx(0.063, abs=0.0005)


def test_pc_21_half_a_millimetre_at_45_degrees_is_a_sweep_of_0_71() -> None:
    """PC-21, computed there."""
    shape = Bevel(corner=Point(0.0, 10.0), along_mm=LEG_MM, across_mm=LEG_MM, inside=False)
    assert shape.angle_deg == pytest.approx(45.0)
    assert hypot(shape.along_mm, shape.across_mm) == pytest.approx(0.71, abs=0.005)


def test_pc_21_both_ways_of_counting_the_angle_are_printed(planned: Planned) -> None:
    """PC-21: many scales count from the cross-slide; print the angle from the axis and 90° less it (computed)."""
    text = sheet_text(planned.plan, planned.shop)
    swings = acts_of(planned.plan, a.SwingSlide)
    assert swings
    scale = planned.shop.lathe.top.angle_scale
    assert scale is not None
    for swing in swings:
        shown, other = (f"{float(angle):g}" for angle in (swing.angle_deg, 90 - swing.angle_deg))
        assert f"{shown}° from the lathe's axis   {other}° from the cross-slide" in text
        assert swing.scale_deg == (swing.angle_deg if scale.zero_along_axis else 90 - swing.angle_deg)
        assert f"SCALE {float(swing.scale_deg):g}° on this lathe" in text
        assert (swing.angle_deg / scale.step_deg).denominator == 1, "a division of this lathe's scale"


def test_pc_21_the_two_demo_lathes_count_their_scales_from_different_lines() -> None:
    scales = {name: demo_shop(name).lathe.top.angle_scale for name in ("inch-lathe", "metric-lathe")}
    assert {name: scale.zero_along_axis for name, scale in scales.items() if scale} == {
        "inch-lathe": True,
        "metric-lathe": False,
    }


def test_pc_21_a_check_move_of_about_10_mm_tells_the_angle(planned: Planned) -> None:
    """PC-21, computed: wind 10 mm of top slide, the tip must move 10 sin(angle) across.

    The demo screws of 0.100 in and 3 mm make 10 mm no whole turns, so it is the four turns nearest above.
    """
    dial = planned.shop.lathe.top.dial
    assert dial is not None
    for swing in acts_of(planned.plan, a.SwingSlide):
        turns = swing.check_travel_mm / float(dial.lead_mm)
        assert turns == pytest.approx(round(turns), abs=1e-9)
        assert 10.0 <= swing.check_travel_mm < 10.0 + float(dial.lead_mm)
        across = swing.check_travel_mm * sin(radians(float(swing.angle_deg)))
        assert swing.check_across_mm == pytest.approx(across, abs=1e-9)


@pytest.mark.parametrize("shop_name", ["inch-lathe", "metric-lathe"])
@pytest.mark.parametrize("edge", [FRONT_OUTER_EDGE, FRONT_INNER_EDGE])
def test_pc_21_a_swept_chamfer_is_put_on_by_the_cross_slide_and_cut_by_the_top_slide(edge: str, shop_name: str) -> None:
    """PC-21: zero the cross-slide at the corner, put on c with it, sweep towards the headstock, never cut going back.

    The depth is c on the radius, to the nearest mark; the sweep is c times the root of 2, and its run-in and run-out.
    """
    plan, shop = swept_plan(shop_name), demo_shop(shop_name)
    acts = step_acts(plan, edge)
    kinds = [type(act) for act in acts]
    assert kinds.index(a.SwingSlide) < kinds.index(a.Touch) < kinds.index(a.SetZero) < kinds.index(a.Move)
    (touch,) = [act for act in acts if isinstance(act, a.Touch)]
    (zero,) = [act for act in acts if isinstance(act, a.SetZero)]
    assert touch.handle is zero.handle is Handle.CROSS
    *_, put_on = [act for act in acts if isinstance(act, a.Move)]
    dial = shop.lathe.cross.dial
    assert dial is not None
    assert put_on.setting.handle is Handle.CROSS
    assert put_on.setting.expected_mm == pytest.approx(LEG_MM, abs=float(dial.travel_per_mark_mm) / 2)
    (cut,) = [act for act in acts if isinstance(act, a.Cut)]
    assert cut.handle is Handle.TOP
    assert cut.motion is Motion.LEFT
    assert cut.length_mm >= LEG_MM * sqrt(2.0)
    assert cut.depth_mm == pytest.approx(put_on.setting.expected_mm / sqrt(2.0), abs=1e-9)


@pytest.mark.parametrize("shop_name", ["inch-lathe", "metric-lathe"])
def test_pc_21_a_diameter_dial_shows_twice_the_leg(shop_name: str) -> None:
    """PC-21, computed: cross-slide in by c on the radius, 2c on a diameter dial."""
    plan, shop = demo_plan("band", shop_name), demo_shop(shop_name)
    dial = shop.lathe.cross.dial
    assert dial is not None
    (cut,) = [act for act in step_acts(plan, FRONT_OUTER_EDGE) if isinstance(act, a.Cut)]
    setting = setting_of(cut)
    assert setting is not None
    shown_mm = float(engraved_change_mm(dial, abs(position_marks(setting, dial.marks))))
    times = 2.0 if dial.reads is Reads.DIAMETER else 1.0
    assert shown_mm == pytest.approx(times * setting.expected_mm)
    assert setting.expected_mm == pytest.approx(LEG_MM, abs=float(dial.travel_per_mark_mm) / 2)


def test_pc_21_unequal_legs_are_swept_at_their_own_angle() -> None:
    """PC-21's 0.060 by 0.020 in on the inch lathe: 18.43 degrees lies nearest 18.5 of half-degree divisions."""
    plan = swept_plan("inch-lathe", 1.524, 0.508)
    (swing,) = [act for act in step_acts(plan, FRONT_OUTER_EDGE) if isinstance(act, a.SwingSlide)]
    assert swing.angle_deg == Fraction(37, 2)
    assert swing.leftward is Motion.OUT
    assert swing.check_across_mm / swing.check_travel_mm == pytest.approx(0.317, abs=0.0005)
    *_, put_on = [act for act in step_acts(plan, FRONT_OUTER_EDGE) if isinstance(act, a.Move)]
    assert put_on.setting.marks == 20
    assert put_on.setting.expected_mm == pytest.approx(0.508)
