"""The course of each size, as the printed sheets of the demo have it."""

from __future__ import annotations

from functools import cache

import pytest

from handwheel.domain.motion import Handle
from handwheel.domain.part import Aspect
from handwheel.rehearsal.courses import Course, Unplayed, courses_of, gauges_of, usual_handle
from tests.demo_plans import PAIRS, demo_plan, demo_shop
from tests.planner.holes import made

ROUND_OFF_MM = 1e-9


@cache
def courses(part: str, shop: str) -> tuple[tuple[Course, ...], tuple[Unplayed, ...]]:
    """Courses of a demo plan."""
    return courses_of(demo_plan(part, shop).sheet, demo_shop(shop))


def course(part: str, shop: str, key: str) -> Course:
    """One of them."""
    return next(one for one in courses(part, shop)[0] if one.key == key)


@pytest.mark.parametrize("pair", PAIRS)
def test_every_size_is_rehearsed_or_said_not_to_be(pair: tuple[str, str]) -> None:
    played, unplayed = courses(*pair)
    told = [*(one.feature.id for one in played), *(one.feature.id for one in unplayed)]
    assert sorted(told) == sorted(size.id for size in demo_plan(*pair).sheet.part.sizes)
    assert all(one.why for one in unplayed)


@pytest.mark.parametrize("pair", PAIRS)
def test_the_cuts_lead_from_the_start_to_the_last_stop(pair: tuple[str, str]) -> None:
    """What the blocks mean to leave falls from cut to cut, and the last is what the sheet expects to read."""
    for one in courses(*pair)[0]:
        lefts = [left for block in one.blocks for left in block.left_mm]
        assert lefts == sorted(lefts, reverse=True)
        assert one.zero_left_mm > lefts[0]
        assert one.most_cut_mm >= one.last_cut_mm > 0.0


def test_a_bore_on_the_metric_lathe_goes_as_its_sheet_has_it() -> None:
    """Read off the printed sheet: drilled 18, one cut and three to 19.6, cooled, the slide swung, two last cuts."""
    bore = course("bush", "metric-lathe", "bore diameter")
    assert bore.drill == "drill-18-dubbed"
    assert (bore.start_mm, len(bore.planned), bore.step) == (18.0, 2, "bore")
    assert [len(block.left_mm) for block in bore.planned] == [1, 3]
    assert [block.touches for block in bore.planned] == [True, False]
    assert bore.advised is not None
    assert (bore.advised.touches, bore.advised.fine, bore.advised.cooled_s) == (True, True, 300.0)
    assert [bore.advised.stop.gauge, bore.last.gauge] == [
        demo_shop("metric-lathe").gauge("bore-16-20"),
        demo_shop("metric-lathe").gauge("bore-20-25"),
    ]
    assert bore.check_travel_mm == pytest.approx(12.0)
    assert usual_handle(bore.last) is Handle.CROSS


def test_a_shoulder_counts_from_the_face_and_is_read_once() -> None:
    shoulder = course("flange", "metric-lathe", "outside-front-1-shoulder depth")
    assert shoulder.zero_left_mm == pytest.approx(11.0, abs=ROUND_OFF_MM)
    assert len(shoulder.planned) == 1
    assert shoulder.advised is not None
    assert shoulder.advised.left_mm == ()
    assert usual_handle(shoulder.last) is Handle.TOP


def test_a_width_is_read_in_the_hand_and_cut_once() -> None:
    width = course("band", "metric-lathe", "back-face width")
    assert width.advised is None
    assert [len(block.left_mm) for block in width.planned] == [0, 1]
    assert width.scaled.tool == width.last.tool
    assert width.feature.aspect is Aspect.WIDTH


def test_what_is_rubbed_and_what_is_an_edge_is_not_rehearsed() -> None:
    whys = {one.feature.id: one.why for one in courses("bush", "metric-lathe")[1]}
    assert "rubbed" in whys["back-face width"]
    assert all("not measured" in why for size, why in whys.items() if "leg" in size)


def test_a_reamed_bore_is_not_rehearsed() -> None:
    case = made("reamed after boring", "metric-lathe")
    played, unplayed = courses_of(case.plan.sheet, case.shop)
    assert "bore diameter" not in [one.key for one in played]
    assert any("reamer" in one.why for one in unplayed if one.feature.id == "bore diameter")


def test_the_gauges_of_all_stops_are_named() -> None:
    found = gauges_of(courses("bush", "metric-lathe")[0])
    assert found == ("bore-16-20", "bore-20-25", "micrometer-25-50")
