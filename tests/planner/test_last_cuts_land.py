"""The last cuts end inside the limits, run clear of the ring, and are led by readings that the gauges can give."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from math import pi

import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.data.materials import material
from handwheel.data.speeds import CutKind, cutting_speed
from handwheel.domain import acts as a
from handwheel.domain.errors import NoPlanError
from handwheel.domain.gauges import Gauge, GaugeUse
from handwheel.domain.holding import Holding, Side
from handwheel.domain.lathe import SpindleSpeed
from handwheel.domain.motion import Edge
from handwheel.domain.part import BORE, OUTSIDE
from handwheel.domain.plan import Step
from handwheel.domain.remedies import with_remedy
from handwheel.domain.shop import Shop
from handwheel.domain.slides import AidKind, LengthAid
from handwheel.domain.tools import ToolKind
from handwheel.planner.job import Job
from handwheel.planner.kinds import KINDS
from handwheel.planner.kinds.common import DiameterSetting, shared_steps
from handwheel.planner.kinds.diameter import stop_band
from handwheel.planner.kinds.rounds import turned
from handwheel.planner.planner import make_plan
from handwheel.planner.way import PARALLEL_SWING, Kind, NoWay, Way
from tests.planner.jobs import Ring, demo_shop, how, job_of, only_holdings, with_slides
from tests.planner.test_settable_places import EXACT_GAUGE

LIMITS = (18.44, 18.56)


def exact_shop(name: str = "metric-lathe") -> Shop:
    """The demo shop with gauges that decide anything."""
    shop = demo_shop(name)
    return replace(shop, gauges=(*shop.gauges, EXACT_GAUGE))


# the band outside of which to stop -----------------------------------------------------------------------------------


@pytest.mark.parametrize("inside", [True, False])
@pytest.mark.parametrize("step_mm", [0.002, 0.02, 0.1, 0.5])
@pytest.mark.parametrize("now_mm", [17.0, 18.3, 18.44, 18.5, 18.56, 18.7, 20.0])
def test_a_reading_of_one_step_more_or_less_is_no_reason_to_stop(
    now_mm: float, step_mm: float, *, inside: bool
) -> None:
    low, high = stop_band(now_mm, LIMITS, inside=inside, final=False, step_mm=step_mm)
    assert low <= now_mm - step_mm + 1e-12
    assert now_mm + step_mm - 1e-12 <= high


def test_metal_that_still_has_a_cut_to_come_should_not_have_reached_its_limits() -> None:
    """Far from them the band is 0.2 mm either way; near them it ends where the finished size begins."""
    assert stop_band(18.0, LIMITS, inside=True, final=False, step_mm=0.02) == pytest.approx((17.8, 18.2))
    assert stop_band(18.3, LIMITS, inside=True, final=False, step_mm=0.02) == pytest.approx((18.1, 18.44))
    assert stop_band(18.7, LIMITS, inside=False, final=False, step_mm=0.02) == pytest.approx((18.56, 18.9))
    assert stop_band(18.5, LIMITS, inside=True, final=True, step_mm=0.02) == LIMITS


def test_a_coarse_screw_and_wide_limits_read_inside_them_before_the_last_cut() -> None:
    """0.1 mm of diameter a mark: the reading before the last cut lies inside limits 0.3 mm wide, and is no trouble."""
    shop = demo_shop("metric-lathe")
    cross = shop.lathe.cross
    assert cross.dial is not None
    coarse = replace(cross.dial, lead_mm=Fraction(5), marks=100, label_mm=Fraction(1, 20))
    shop = with_slides(shop, cross=replace(cross, dial=coarse))
    plan = make_plan(Ring(bore_pm=0.15, outside_pm=0.15).part, shop)
    assert check_sheet(plan.sheet, shop).refusals == ()


# two equal cuts of a fine scale --------------------------------------------------------------------------------------


@pytest.mark.parametrize("pm", [0.0020, 0.0026, 0.0035, 0.005])
@pytest.mark.parametrize("bore", [18.50, 18.51, 18.52, 18.53, 18.54, 18.55, 18.56, 18.57])
def test_two_equal_cuts_of_the_swung_slide_end_inside_the_limits_or_are_not_planned(bore: float, pm: float) -> None:
    part, shop = Ring(bore=bore, bore_pm=pm).part, exact_shop()
    job = job_of(part, shop)
    radii = turned(job, BORE)
    assert radii is not None
    off_mm = abs(2.0 * radii.final_mm - bore)
    assert radii.last_steps % 2 == 0
    if off_mm <= pm:
        assert job.leave_mm - 1e-3 <= radii.final_mm - radii.rough_mm <= 1.5 * job.leave_mm + 0.02
        return
    with pytest.raises(NoPlanError) as caught:
        make_plan(part, shop)
    assert "tolerance-finer-than-dial" in caught.value.refusal.codes


def test_more_than_half_of_the_fine_bands_can_be_landed_in() -> None:
    """Otherwise the test above could pass by refusing all."""
    landed = 0
    for hundredths in range(50):
        bore = 18.5 + hundredths / 100.0
        radii = turned(job_of(Ring(bore=bore, bore_pm=0.0026).part, exact_shop()), BORE)
        assert radii is not None
        landed += abs(2.0 * radii.final_mm - bore) <= 0.0026
    assert landed > 25


@pytest.mark.parametrize("bore", [18.50, 18.53, 18.57])
def test_a_bore_finer_than_the_cross_slide_is_planned_and_passes_the_check(bore: float) -> None:
    shop = exact_shop()
    plan = make_plan(Ring(bore=bore, bore_pm=0.0035).part, shop)
    assert check_sheet(plan.sheet, shop).refusals == ()
    assert how(plan)["bore"].angle_deg > 0


def test_roughing_leaves_more_only_where_that_helps() -> None:
    """A remainder of an even number of fine steps is kept; one between two of them asks for other roughing."""
    job = job_of(Ring(bore_pm=0.0035).part, exact_shop())
    cross = job.cross
    assert cross is not None
    fine = replace(cross, slide=job.shop.lathe.top, step_mm=Fraction(1, 100), across=0.1)
    last = DiameterSetting(scale=fine, swing=PARALLEL_SWING)
    step, last_step = cross.radius_per_step_mm, fine.radius_per_step_mm
    leave = 2.0 * job.finish_cut_mm
    even = leave + 20 * step
    assert shared_steps(job.last_cut(BORE), cross, last, total_mm=even, band_mm=0.004) == (20, round(leave / last_step))
    rough, both = shared_steps(job.last_cut(BORE), cross, last, total_mm=even + last_step, band_mm=0.004)
    assert both % 2 == 0
    assert rough <= 20


# running clear -------------------------------------------------------------------------------------------------------


def on_the_mandrel(kind: Kind) -> Kind:
    """The kind without the ways that finish the outside on the bar."""

    def ways(job: Job, step: Step, holding: Holding) -> Iterable[Way | NoWay]:
        return () if step.id == OUTSIDE and holding.side is Side.FRONT else kind.ways(job, step, holding)

    return replace(kind, ways=ways)


MANDREL_KINDS = tuple(on_the_mandrel(kind) for kind in KINDS)
FINE_RING = Ring(outside=23.03, outside_pm=0.0035)


def mandrel_shop() -> Shop:
    return only_holdings(exact_shop(), "stub-mandrel")


@pytest.mark.parametrize("nose_mm", [0.2, 0.4])
def test_on_a_mandrel_the_outside_is_cut_to_its_very_end_though_a_rule_tells_the_length(nose_mm: float) -> None:
    """Geometry: a rule sets half millimetres, short of the end; the round of the tip cuts its own radius later."""
    shop = mandrel_shop()
    rule = LengthAid(kind=AidKind.RULE, step_mm=Fraction(1, 2), range_mm=300.0)
    by_rule = replace(shop.lathe.carriage, dial=None, readout_step_mm=None, aids=(rule,), turn_mm=20.0)
    shop = with_slides(shop, carriage=by_rule)
    tools = (replace(tool, nose_radius_mm=nose_mm) if tool.kind is ToolKind.TURNING else tool for tool in shop.tools)
    shop = replace(shop, tools=tuple(tools))
    plan = make_plan(FINE_RING.part, shop, kinds=MANDREL_KINDS)
    assert how(plan)[OUTSIDE].holding == "stub-mandrel"
    assert check_sheet(plan.sheet, shop).refusals == ()


def test_an_outside_that_still_has_its_last_cuts_to_come_is_parted_no_faster_than_it_bears() -> None:
    """A speed that the finished diameter bears and the rough one does not: the limits are those of the tables."""
    shop, part = mandrel_shop(), FINE_RING.part
    most = cutting_speed(material(part.material), edge=Edge.HSS, cut=CutKind.PART).high_m_min
    tempting = SpindleSpeed(rpm=1000.0 * most / (pi * (2.0 * part.outside_radius_mm + 0.05)), position="tempting")
    shop = replace(shop, lathe=replace(shop.lathe, speeds=(*shop.lathe.speeds, tempting)))
    plan = make_plan(part, shop, kinds=MANDREL_KINDS)
    assert how(plan)[OUTSIDE].holding == "stub-mandrel"
    assert check_sheet(plan.sheet, shop).refusals == ()


@pytest.mark.parametrize("bore", [18.4, 18.5, 18.6, 18.7])
def test_a_mandrel_is_made_to_the_bore_as_coarse_marks_leave_it(bore: float) -> None:
    """0.2 mm of diameter a mark: the bore stands up to 0.1 mm off the middle of its limits, and so must the spigot."""
    shop = only_holdings(demo_shop("metric-lathe"), "stub-mandrel")
    cross = shop.lathe.cross
    assert cross.dial is not None
    coarse = replace(cross.dial, lead_mm=Fraction(6), marks=60, label_mm=Fraction(1, 10))
    shop = with_slides(shop, cross=replace(cross, dial=coarse))
    plan = make_plan(Ring(bore=bore, bore_pm=0.2, outside_pm=0.2).part, shop)
    assert check_sheet(plan.sheet, shop).refusals == ()
    holding = next(act.holding for act in plan.sheet.acts if isinstance(act, a.Regrip))
    bores = [act.expected_mm for act in plan.sheet.acts if isinstance(act, a.Measure) and act.surface == BORE]
    assert holding.grip_dia_mm == pytest.approx(bores[-1], abs=0.05)


# readings on the way -------------------------------------------------------------------------------------------------


def bore_gauge(low_mm: float) -> Gauge:
    return Gauge(
        id="bore",
        name="bore gauge",
        uses=(GaugeUse.BORE,),
        low_mm=low_mm,
        high_mm=low_mm + 5.0,
        step_mm=Fraction(1, 200),
        uncertainty_mm=0.004,
    )


def with_bore_gauge(low_mm: float) -> Shop:
    shop = demo_shop("metric-lathe")
    others = (gauge for gauge in shop.gauges if GaugeUse.BORE not in gauge.uses)
    return replace(shop, gauges=(*others, bore_gauge(low_mm)))


def test_what_no_gauge_takes_yet_is_not_measured() -> None:
    """A three-point gauge from 18 mm up says nothing of a rough bore of 17.5 mm."""
    shop = with_bore_gauge(18.0)
    plan = make_plan(Ring().part, shop)
    assert check_sheet(plan.sheet, shop).refusals == ()
    bores = [act for act in plan.sheet.acts if isinstance(act, a.Measure) and act.surface == BORE]
    assert bores
    assert all(act.gauge == "bore" and act.expected_mm >= 18.0 for act in bores)
    assert {act.surface for act in plan.sheet.acts if isinstance(act, a.SetCollar)} >= {BORE, OUTSIDE}


def test_a_gauge_that_does_not_take_the_reading_between_the_last_cuts_is_refused_with_one_that_does() -> None:
    part, shop = Ring().part, with_bore_gauge(18.45)
    with pytest.raises(NoPlanError) as caught:
        make_plan(part, shop)
    refusal = caught.value.refusal
    assert "no-gauge-in-range" in refusal.codes
    assert refusal.remedies
    for remedy in refusal.remedies:
        part, shop = with_remedy(part, shop, remedy)
    assert check_sheet(make_plan(part, shop).sheet, shop).refusals == ()
