"""Tools change and come to the work without striking it: what is free, which slide goes first, what stands."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from handwheel.domain import acts as a
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.part import BACK_OUTER_EDGE
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.domain.tools import ToolKind
from handwheel.report.text_sheet import sheet_text
from handwheel.service.demo import DEMO_PARTS, DEMO_SHOPS
from handwheel.service.jobs import demo_job

DEMOS = tuple((part, lathe) for part in DEMO_PARTS for lathe in DEMO_SHOPS)
INSIDE = (ToolKind.BORING, ToolKind.EDGE_INSIDE)
ROOM_MM = 20.0
"""Least room between what stands out of the post and the face; common practice, no source."""


@pytest.fixture(params=DEMOS, ids="-".join, name="demo")
def _demo(request: pytest.FixtureRequest) -> tuple[Plan, Shop]:
    plan, shop, _ = demo_job(*request.param)
    return plan, shop


def test_the_carriage_is_free_and_the_spindle_stands_when_a_tool_is_changed(demo: tuple[Plan, Shop]) -> None:
    plan, _ = demo
    locked, running, fitted = set[Handle](), False, 0
    for act in plan.sheet.acts:
        match act:
            case a.Lock():
                locked.add(act.handle)
            case a.Unlock():
                locked.discard(act.handle)
            case a.StartSpindle():
                running = True
            case a.StopSpindle():
                running = False
            case a.FitTool() | a.SwingSlide() if fitted or isinstance(act, a.FitTool):
                assert Handle.CARRIAGE not in locked, act.id
                assert not running, act.id
                fitted += 1
            case a.Approach():
                assert not running, act.id
            case _:
                pass
    assert fitted


def test_every_change_of_a_tool_says_how_far_off_the_post_stands(demo: tuple[Plan, Shop]) -> None:
    plan, shop = demo
    flat = " ".join(sheet_text(plan, shop, width=132).split())
    fits = [act for act in plan.sheet.acts if isinstance(act, a.FitTool)]
    said = re.findall(
        r"first carriage right: post (?:[\d.]+ in \()?([\d.]+) mm\)? (?:\([\d.]+ in\) )?or more off the face", flat
    )
    assert len(said) == len(fits)
    for act, room in zip(fits, said, strict=True):
        along = act.stands_out_mm if shop.tool(act.tool).kind in INSIDE else 0.0
        assert float(room) >= along + ROOM_MM - 0.05, act.id


def test_tools_in_a_hole_come_from_the_right_and_those_over_an_outside_from_outside(demo: tuple[Plan, Shop]) -> None:
    plan, shop = demo
    inside = False
    for act in plan.sheet.acts:
        if isinstance(act, a.FitTool):
            inside = shop.tool(act.tool).kind in INSIDE
        if isinstance(act, a.Approach):
            assert act.last is (Motion.IN if act.z_mm <= 0 and not inside else Motion.LEFT), act.id


def test_the_point_is_set_over_the_groove_with_the_work_at_rest_and_within_what_the_eye_can_tell() -> None:
    plan, shop, _ = demo_job("band", "metric-lathe")
    acts = [act for act in plan.sheet.acts if act.step == BACK_OUTER_EDGE]
    (near,) = [act for act in acts if isinstance(act, a.Approach)]
    (found,) = re.findall(r"left of the corner by less than ([\d.]+) mm", near.place)
    groove = next(shop.tool(act.tool) for act in plan.sheet.acts if isinstance(act, a.FitTool) and act.step == "groove")
    assert 0.3 <= float(found) <= groove.width_mm / 2.0
    order = [type(act) for act in acts if isinstance(act, a.Approach | a.StartSpindle | a.Touch)]
    assert order == [a.Approach, a.StartSpindle, a.Touch]
    touch = next(later for earlier, later in pairwise(acts) if isinstance(earlier, a.StartSpindle))
    assert isinstance(touch, a.Touch)
