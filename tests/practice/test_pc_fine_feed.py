"""Practice case PC-07: a cut finer than the cross-slide's dial, by a swung top slide."""

from __future__ import annotations

from fractions import Fraction
from math import cos, radians
from typing import TYPE_CHECKING

import pytest

from handwheel.domain import acts as a
from handwheel.domain.findings import Severity
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.part import BORE, OUTSIDE, Aspect
from handwheel.domain.size import MM_PER_INCH
from handwheel.domain.slides import Dial, Reads, Slide
from handwheel.planner.dialing import cross_scale, top_scale
from handwheel.planner.kinds.common import FINE_ANGLE_DEG
from tests.demo_plans import acts_of, demo_plan, demo_shop, step_acts

if TYPE_CHECKING:
    from handwheel.domain.plan import Plan
    from handwheel.domain.size import Size
    from handwheel.planner.dialing import Scale

SHOPS = ("inch-lathe", "metric-lathe")


def swung(angle: str) -> Scale:
    """Scale of a top slide of 0.100 in lead and 100 marks, swung by an angle."""
    slide = Slide(
        handle=Handle.TOP,
        clockwise_moves=Motion.LEFT,
        slack_mm=Fraction(0),
        travel_mm=50.0,
        dial=Dial(lead_mm=MM_PER_INCH / 10, marks=100, label_mm=MM_PER_INCH / 1000, reads=Reads.TRAVEL),
    )
    found = top_scale(slide, Fraction(angle))
    assert found is not None
    return found


def bore_size(plan: Plan) -> Size:
    feature = plan.sheet.part.feature(BORE, Aspect.DIAMETER)
    assert feature is not None
    return feature.size


@pytest.mark.parametrize(("angle", "ratio"), [("11", 5.24), ("11.54", 5.00), ("5.74", 10.00)])
def test_pc_07_angle_of_the_top_slide_and_its_ratio(angle: str, ratio: float) -> None:
    """PC-07, computed there to 0.01: about 11 degrees is 5.24 to 1, not the 5 to 1 that the thread says."""
    assert 1.0 / swung(angle).across == pytest.approx(ratio, abs=0.005)


def test_pc_07_a_thou_of_top_slide_at_11_degrees_is_0_00038_in_on_the_diameter() -> None:
    """PC-07, computed there: 0.00019 in on the radius, printed to 0.00001."""
    scale = swung("11")
    assert scale.radius_per_step_mm / float(MM_PER_INCH) == pytest.approx(0.00019, abs=0.000005)
    assert scale.dia_per_step_mm / float(MM_PER_INCH) == pytest.approx(0.00038, abs=0.000005)


def test_pc_07_the_tool_goes_along_as_well() -> None:
    """PC-07: cos(angle) times the travel, so room is needed; at 11 degrees that is 0.98 of it (computed here)."""
    assert swung("11").along == pytest.approx(0.9816, abs=0.00005)


def test_pc_07_the_planner_aims_at_ten_to_one() -> None:
    """PC-07, computed there: 5.74 degrees."""
    assert pytest.approx(5.74, abs=0.005) == FINE_ANGLE_DEG


@pytest.mark.parametrize("shop_name", SHOPS)
def test_pc_07_a_bush_whose_tolerance_is_finer_than_a_mark_is_finished_by_the_swung_top_slide(shop_name: str) -> None:
    """PC-07: "this step is under a mark: use fine feed". One mark of either cross-slide is wider than 20 H8's 0.033."""
    plan, shop = demo_plan("bush", shop_name), demo_shop(shop_name)
    cross = cross_scale(shop.lathe.cross)
    band = float(bore_size(plan).band)
    assert cross is not None
    assert cross.dia_per_step_mm > band
    acts = step_acts(plan, BORE)
    (swing,) = [act for act in acts if isinstance(act, a.SwingSlide)]
    scale = top_scale(shop.lathe.top, swing.angle_deg)
    assert scale is not None
    assert scale.dia_per_step_mm < band / 4.0
    assert 8.0 < 1.0 / scale.across < 12.0
    (collar,) = [act for act in acts if isinstance(act, a.SetCollar)]
    assert collar.handle is Handle.TOP
    assert collar.dia_per_mark_mm == pytest.approx(scale.dia_per_step_mm)


@pytest.mark.parametrize("shop_name", SHOPS)
def test_pc_07_a_band_that_the_cross_slide_can_set_needs_no_fine_feed(shop_name: str) -> None:
    plan, shop = demo_plan("band", shop_name), demo_shop(shop_name)
    cross = cross_scale(shop.lathe.cross)
    assert cross is not None
    assert cross.dia_per_step_mm <= float(bore_size(plan).band)
    assert {collar.handle for collar in acts_of(plan, a.SetCollar)} == {Handle.CROSS}
    assert not [found for found in plan.findings if found.code == "fine-feed"]


@pytest.mark.parametrize("shop_name", SHOPS)
def test_pc_07_how_much_a_wrong_angle_would_spoil_the_last_cut_is_said(shop_name: str) -> None:
    """Computed here: the last cut moves the slide by t, so an angle wrong by e changes the diameter by 2 t cos(a) e."""
    plan, shop = demo_plan("bush", shop_name), demo_shop(shop_name)
    (finding,) = [found for found in plan.findings if found.code == "fine-feed"]
    assert finding.where == BORE
    (swing,) = [act for act in step_acts(plan, BORE) if isinstance(act, a.SwingSlide)]
    (collar,) = [act for act in step_acts(plan, BORE) if isinstance(act, a.SetCollar)]
    dial = shop.lathe.top.dial
    assert dial is not None
    travel_mm = float(abs(collar.turns * dial.marks + collar.marks) * dial.travel_per_mark_mm)
    spoiled = 2.0 * travel_mm * cos(radians(float(swing.angle_deg))) * radians(swing.error_deg)
    assert f"would spoil the last cut by {spoiled:.3f} mm" in finding.problem
    assert "check move" in finding.remedy
    assert finding.severity is (Severity.WARNING if spoiled > 0.1 * float(bore_size(plan).band) else Severity.NOTE)


@pytest.mark.parametrize("shop_name", SHOPS)
def test_pc_07_there_is_a_measured_size_with_half_a_millimetre_still_to_go(shop_name: str) -> None:
    """PC-07, practice: stop and measure with 0.5 mm (0.020 in) on the diameter to go; the thread's bore overshot."""
    for part in ("bush", "band"):
        plan = demo_plan(part, shop_name)
        for surface in (BORE, OUTSIDE):
            *_, roughed = [act for act in step_acts(plan, f"rough-{surface}") if isinstance(act, a.Measure)]
            *_, final = [act for act in step_acts(plan, surface) if isinstance(act, a.Measure)]
            assert 0.4 <= abs(final.expected_mm - roughed.expected_mm) <= 0.7
