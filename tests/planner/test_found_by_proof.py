"""Faults that drawn cases brought to light (docs/theory/proof.md), each as the plainest part that shows it."""

from __future__ import annotations

from dataclasses import replace
from math import radians, tan

import pytest

from handwheel.check.replay import check_sheet
from handwheel.domain.errors import NoPlanError
from handwheel.domain.motion import Edge
from handwheel.domain.part import Part
from handwheel.domain.shop import Shop, Tool, ToolKind
from handwheel.planner.kinds.standing import standing_mm
from handwheel.planner.planner import make_plan
from tests.proof.stock import demo_shop
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
