"""Every place is a whole step of its slide, and in a hole no tool is wound into the wall opposite."""

from __future__ import annotations

from fractions import Fraction

import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.domain import acts as a
from handwheel.domain.errors import NoPlanError
from handwheel.domain.gauges import Gauge, GaugeUse
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.domain.slides import Dial
from handwheel.domain.tools import ToolKind
from handwheel.planner.dialing import whole_place
from handwheel.planner.planner import make_plan
from handwheel.report.text_sheet import sheet_text
from tests.agree import disagreements
from tests.planner.jobs import Ring, demo_part, demo_shop, with_slides, with_tools

HALF_THOU_MM = Fraction(127, 10000)
"""A readout of half a thousandth of an inch, in mm: 25.4 / 2000."""
EXACT_GAUGE = Gauge(
    id="plug",
    name="plug gauges",
    uses=(GaugeUse.BORE, GaugeUse.OUTSIDE, GaugeUse.LENGTH),
    low_mm=0.0,
    high_mm=100.0,
    step_mm=Fraction(1, 1000),
    uncertainty_mm=0.001,
)


def read_across_by(step_mm: Fraction) -> Shop:
    shop = demo_shop("metric-lathe")
    cross = shop.lathe.cross
    return with_slides(shop, cross=replace(cross, dial=None, readout_step_mm=step_mm, turn_mm=cross.travel_per_turn_mm))


def coarse_screw(*, slack_mm: Fraction = Fraction(3, 10)) -> Shop:
    """A cross-slide of 5 mm a turn: half a turn is more than there is room for in a narrow hole."""
    shop = demo_shop("metric-lathe")
    dial = Dial(lead_mm=Fraction(5), marks=100, label_mm=Fraction(1, 10))
    return with_slides(shop, cross=replace(shop.lathe.cross, dial=dial, slack_mm=slack_mm))


def cross_settings(plan: Plan) -> tuple[a.Setting, ...]:
    """Settings of the cross-slide, of moves and of cuts."""
    found = [act.setting for act in plan.sheet.acts if isinstance(act, a.Move)]
    found += [act.to for act in plan.sheet.acts if isinstance(act, a.Cut) and act.to is not None]
    return tuple(setting for setting in found if setting.handle is Handle.CROSS)


@pytest.mark.parametrize("step_mm", [HALF_THOU_MM, Fraction(1, 100), Fraction(1, 200), Fraction(3, 1000)])
@pytest.mark.parametrize("ring", ["band", "bush"])
def test_a_readout_is_only_set_to_what_it_shows(ring: str, step_mm: Fraction) -> None:
    """Promise 1 of the design: never a number that cannot be set, wherever the slide was drawn by eye before."""
    shop = read_across_by(step_mm)
    plan = make_plan(demo_part(ring), shop)
    settings = cross_settings(plan)
    assert len(settings) > 10
    assert all((setting.value_mm / step_mm).denominator == 1 for setting in settings)
    assert check_sheet(plan.sheet, shop).refusals == ()


@pytest.mark.parametrize(("place_mm", "steps"), [(0.5716, 45), (-0.5716, -45), (0.0063, 0), (0.0064, 1), (0.0127, 1)])
def test_the_nearest_place_is_a_whole_step(place_mm: float, steps: int) -> None:
    assert whole_place(place_mm, HALF_THOU_MM) == steps * HALF_THOU_MM


@pytest.mark.parametrize("bore_pm", [0.06, 0.012])
@pytest.mark.parametrize("thick_mm", [8.0, 9.0, 10.0])
def test_a_bar_that_fills_the_hole_is_wound_back_by_marks(thick_mm: float, bore_pm: float) -> None:
    """Half a turn, 2.5 mm, would drive the bar into the wall opposite; limits of 0.012 mm need the top slide swung."""
    shop = with_tools(coarse_screw(), ToolKind.BORING, bar_dia_mm=thick_mm, head_mm=1.0)
    shop = replace(shop, gauges=(*shop.gauges, EXACT_GAUGE))
    part = Ring(bore=14.0, bore_pm=bore_pm, outside_pm=0.2).part
    plan = make_plan(part, shop)
    assert check_sheet(plan.sheet, shop).refusals == ()
    back = {
        act.turns
        for act in plan.sheet.acts
        if isinstance(act, a.Retract) and act.handle is Handle.CROSS and act.turns is not None
    }
    assert any(turns < Fraction(1, 2) for turns in back)
    assert all((turns * 100).denominator == 1 for turns in back)
    text = sheet_text(plan, shop)
    assert any(f"{turns * 100} marks" in text for turns in back if turns.denominator > 4)
    assert disagreements(text, plan, shop) == []


def test_where_there_is_room_the_hand_makes_half_turns() -> None:
    plan = make_plan(demo_part("bush"), demo_shop("metric-lathe"))
    back = [act.turns for act in plan.sheet.acts if isinstance(act, a.Retract) and act.turns is not None]
    assert back
    assert all((2 * turns).denominator == 1 for turns in back)


@pytest.mark.parametrize("slack_mm", [Fraction(0), Fraction(3, 10), Fraction(7, 10)])
def test_a_bar_is_drawn_off_the_wall_by_more_than_the_slack_or_not_used(slack_mm: Fraction) -> None:
    """Where there is no room for slack and clearance the bar is too thick, however well it would just go in."""
    planned = refused = 0
    for tenths in range(92, 124, 4):
        shop = with_tools(coarse_screw(slack_mm=slack_mm), ToolKind.BORING, bar_dia_mm=tenths / 10.0 - 1.0, head_mm=1.0)
        try:
            plan = make_plan(Ring(bore=14.0, outside_pm=0.2).part, shop)
        except NoPlanError as error:
            assert "too-thick-for-the-hole" in error.refusal.codes  # noqa: PT017  most of them are planned
            refused += 1
            continue
        planned += 1
        assert check_sheet(plan.sheet, shop).refusals == ()
        inward = [act for act in plan.sheet.acts if isinstance(act, a.Retract) and act.motion is Motion.IN]
        assert inward
        assert min(act.distance_mm for act in inward) >= float(slack_mm) + 0.2
    assert planned
    assert refused
