"""What the check refuses of a stepped part: steps too deep, too shallow, corners too round, depths misread."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import TypeVar

import msgspec
import pytest
from msgspec.structs import replace

from handwheel.check.compare import compare_part, depths_mm
from handwheel.check.replay import check_sheet
from handwheel.check.report import RefusalCode
from handwheel.check.scene import Log
from handwheel.check.section import section
from handwheel.check.surfaces import corner_of, shoulder_faces_front
from handwheel.domain import acts as a
from handwheel.domain.contour import Contour, Point
from handwheel.domain.part import Part, is_shoulder
from handwheel.domain.plan import Sheet
from handwheel.domain.tools import ToolKind
from handwheel.geometry.profile import part_outline
from handwheel.geometry.region import difference, polygon, rectangle, union
from handwheel.planner.planner import make_plan
from tests.demo_plans import demo_shop
from tests.stepped import BOTH, FLANGE, NAMED

SHOP = "metric-lathe"
ActT = TypeVar("ActT", bound=a.ActBase)


@cache
def sheet() -> Sheet:
    return make_plan(FLANGE.part, demo_shop(SHOP)).sheet


def codes(changed: Sheet) -> set[RefusalCode]:
    return {refusal.code for refusal in check_sheet(changed, demo_shop(SHOP)).refusals}


def with_act(kind: type[ActT], fits: Callable[[ActT], bool], **changes: object) -> Sheet:
    """The sheet with the first act of a kind that fits changed."""
    acts = list(sheet().acts)
    place = next(i for i, act in enumerate(acts) if isinstance(act, kind) and fits(act))
    acts[place] = msgspec.structs.replace(acts[place], **changes)
    return replace(sheet(), acts=tuple(acts))


def test_the_sheet_that_is_spoiled_below_is_sound() -> None:
    assert codes(sheet()) == set()


def test_a_wrong_depth_printed_to_be_measured_is_refused() -> None:
    spoiled = with_act(a.Measure, lambda act: act.aspect == "depth", expected_mm=11.9)
    assert RefusalCode.MEASURE_DISAGREES in codes(spoiled)


@pytest.mark.parametrize("off_mm", [0.04, 0.01, -0.01, -0.04])
def test_a_depth_that_is_printed_a_few_hundredths_wrong_is_refused(off_mm: float) -> None:
    """A depth micrometer reads hundredths; a ridge may stand above the shoulder, which elsewhere stands as printed."""
    spoiled = with_act(a.Measure, lambda act: act.aspect == "depth", expected_mm=12.0 + off_mm)
    assert codes(spoiled) == {RefusalCode.MEASURE_DISAGREES}


def test_a_depth_cannot_be_measured_with_an_outside_micrometer() -> None:
    spoiled = with_act(a.Measure, lambda act: act.aspect == "depth", gauge="micrometer-0-25")
    assert RefusalCode.GAUGE_CANNOT in codes(spoiled)


def test_wrong_limits_of_a_depth_are_refused() -> None:
    spoiled = with_act(a.Measure, lambda act: act.aspect == "depth" and act.final, lower_mm=11.0)
    assert RefusalCode.LIMITS_DISAGREE in codes(spoiled)


def test_a_shoulder_faced_deeper_than_said_is_refused() -> None:
    spoiled = with_act(a.Cut, lambda act: is_shoulder(act.surface), depth_mm=0.02)
    assert RefusalCode.DEEPER_THAN_SAID in codes(spoiled)


def test_a_shoulder_faced_by_nine_hundredths_more_than_said_is_refused() -> None:
    """Nine hundredths are within what a corner of 0.5 mm is forgiven (a fifth of it), but they are met all over."""
    (said,) = [act.depth_mm for act in sheet().acts if isinstance(act, a.Cut) and is_shoulder(act.surface)]
    spoiled = with_act(a.Cut, lambda act: is_shoulder(act.surface), depth_mm=said - 0.09)
    assert codes(spoiled) == {RefusalCode.DEEPER_THAN_SAID}


@pytest.mark.parametrize(("nose_mm", "found"), [(0.5, set()), (0.6, {RefusalCode.LEFTOVER})])
def test_a_nose_rounder_than_the_corner_is_refused_though_depth_and_diameters_are_right(
    nose_mm: float, found: set[RefusalCode]
) -> None:
    """The drawing's corner is 0.5 mm; a round of 0.6 mm would keep what sits in the corner off its shoulder."""
    shop = demo_shop(SHOP)
    tools = tuple(
        replace(tool, nose_radius_mm=nose_mm) if tool.kind in (ToolKind.TURNING, ToolKind.BORING) else tool
        for tool in shop.tools
    )
    checked = check_sheet(sheet(), replace(shop, tools=tools))
    assert {refusal.code for refusal in checked.refusals} == found
    assert all(size.inside for size in checked.sizes)


def test_a_shoulder_left_unfaced_is_refused_at_the_end() -> None:
    acts = tuple(act for act in sheet().acts if act.step != "outside-front-1-shoulder")
    assert codes(replace(sheet(), acts=acts))


@pytest.mark.parametrize(("marks", "code"), [(3, RefusalCode.GOUGE), (10, RefusalCode.DEEPER_THAN_SAID)])
def test_a_last_cut_that_runs_on_into_the_shoulder_is_refused(marks: int, code: RefusalCode) -> None:
    """The carriage's dial: a mark is 0.1 mm, the depth may be out by 0.1 mm either way."""
    acts = list(sheet().acts)
    for i, act in enumerate(acts):
        if (
            isinstance(act, a.Cut)
            and act.surface == "outside-front-1"
            and act.step == act.surface
            and act.to is not None
        ):
            further = replace(act.to, marks=act.to.marks - marks, expected_mm=act.to.expected_mm - 0.1 * marks)
            acts[i] = msgspec.structs.replace(act, to=further, length_mm=act.length_mm + 0.1 * marks)
    assert code in codes(replace(sheet(), acts=tuple(acts)))


# what comes out ----------------------------------------------------------------------------------------------------


def compared(part: Part, *, plus: tuple[float, ...] = (), minus: tuple[float, ...] = ()) -> set[RefusalCode]:
    """Codes for the part with a rectangle of metal (z low, z high, x low, x high) too much, or missing."""
    region, log = polygon(part_outline(part)), Log()
    if plus:
        region = union([region, rectangle(*plus)])
    if minus:
        region = difference(region, rectangle(*minus))
    compare_part(part, region, log)
    return {refusal.code for refusal in log.refusals}


@pytest.mark.parametrize("name", NAMED)
def test_the_drawn_part_is_the_drawn_part(name: str) -> None:
    assert compared(NAMED[name].part) == set()


def test_metal_in_an_inside_corner_is_allowed_as_far_as_the_drawn_radius() -> None:
    part = FLANGE.part
    # a square of side s lies within the round of radius r if s <= r (1 - 1/sqrt 2) = 0.146 mm for 0.5 mm
    assert compared(part, plus=(-12.0, -11.86, 12.5, 12.64)) == set()
    assert compared(part, plus=(-12.0, -11.5, 12.5, 13.0)) == {RefusalCode.LEFTOVER}
    assert RefusalCode.LEFTOVER in compared(replace(part, corner_radius_mm=0.0), plus=(-12.0, -11.7, 12.5, 12.8))


def test_a_groove_cut_into_a_corner_is_a_gouge() -> None:
    assert RefusalCode.GOUGE in compared(FLANGE.part, minus=(-12.6, -11.0, 12.0, 12.8))


@pytest.mark.parametrize(
    ("surface", "missing"),
    [
        ("outside-front-1-shoulder", (-7.5, 0.0, 12.4, 15.0)),
        ("outside-back-1-shoulder", (-20.0, -14.5, 12.9, 15.0)),
        ("bore-front-1-shoulder", (-5.5, 0.0, 0.0, 11.1)),
        ("bore-back-1-shoulder", (-20.0, -15.5, 0.0, 11.1)),
    ],
)
def test_a_shoulder_cut_half_a_millimetre_too_deep_is_refused_by_its_depth(
    surface: str, missing: tuple[float, ...]
) -> None:
    part = BOTH.part
    log = Log()
    compare_part(part, difference(polygon(part_outline(part)), rectangle(*missing)), log)
    said = [refusal.text for refusal in log.refusals if refusal.code is RefusalCode.SIZE_OUTSIDE_LIMITS]
    assert any(text.startswith(f"{surface} depth") for text in said), said


@pytest.mark.parametrize(
    ("surface", "depth_mm", "front", "corner"),
    [
        ("outside-front-1-shoulder", 7.0, True, (-7.0, 12.5)),
        ("outside-back-1-shoulder", 5.0, False, (-15.0, 13.0)),
        ("bore-front-1-shoulder", 5.0, True, (-5.0, 11.0)),
        ("bore-back-1-shoulder", 4.0, False, (-16.0, 11.0)),
    ],
)
def test_depths_and_corners_of_all_four_kinds_of_shoulder(
    surface: str, depth_mm: float, front: object, corner: tuple[float, float]
) -> None:
    """Read off the drawing by hand."""
    part = BOTH.part
    segment = part.surface(surface)
    assert segment is not None
    assert shoulder_faces_front(part, segment) is front
    assert corner_of(part, segment) == pytest.approx(Point(*corner))
    assert depths_mm(part, section(polygon(part_outline(part))), segment) == pytest.approx((depth_mm, depth_mm))


def test_a_surface_that_is_no_shoulder_has_no_depth() -> None:
    part = FLANGE.part
    segment = part.surface("outside")
    assert segment is not None
    assert corner_of(part, segment) is None
    assert depths_mm(part, section(polygon(part_outline(part))), segment) is None
    assert isinstance(part.outer, Contour)
