"""Edges are set in whole steps of the cross-slide, which must bring both legs within their limits.

Sources: geometry (the leg along is the leg across over the tangent of the angle), and the check, which cuts the edge.
"""

from __future__ import annotations

from fractions import Fraction
from math import radians, tan

import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.domain.errors import NoPlanError
from handwheel.domain.part import FRONT_OUTER_EDGE, Aspect, Part
from handwheel.domain.plan import Stage, Step
from handwheel.domain.remedies import with_remedy
from handwheel.domain.shop import Shop
from handwheel.domain.slides import Dial
from handwheel.planner.dialing import cross_scale
from handwheel.planner.job import Job
from handwheel.planner.kinds.edge_steps import depth_steps, steps_trouble
from handwheel.planner.planner import make_plan
from handwheel.service.intake.part_file import read_part
from tests.planner.jobs import LATHES, Ring, demo_shop, job_of, with_slides


def with_cross_steps(shop: Shop, step_mm: Fraction) -> Shop:
    """The shop with a dial at the cross-slide whose marks are worth so much on the radius."""
    cross = shop.lathe.cross
    dial = Dial(lead_mm=100 * step_mm, marks=100, label_mm=step_mm)
    return with_slides(shop, cross=replace(cross, dial=dial, readout_step_mm=None))


def legs_in_limits(job: Job, edge: str, across_mm: float, slope: float) -> bool:
    made = {Aspect.LEG_RADIAL: across_mm, Aspect.LEG_AXIAL: across_mm / slope}
    return all(job.size(edge, a).cut_lower <= mm <= job.size(edge, a).cut_upper for a, mm in made.items())


@pytest.mark.parametrize("step_um", [7, 25, 50, 90, 130, 210, 400])
@pytest.mark.parametrize(("along", "across"), [(0.5, 0.5), (0.8, 0.22), (0.3, 0.7), (1.3, 1.0)])
def test_the_steps_of_a_near_edge_are_the_nearest_that_fit(step_um: int, along: float, across: float) -> None:
    """Beside it every number of steps, looked at one by one."""
    shop = with_cross_steps(demo_shop(LATHES[1]), Fraction(step_um, 1000))
    job = job_of(Ring(edges=("front_outer",), along=along, across=across).part, shop)
    scale = cross_scale(shop.lathe.cross)
    assert scale is not None
    for angle_deg in (10.0, 15.0, 36.0, 37.5, 38.0, 45.0, 67.0):
        slope = tan(radians(angle_deg))
        fit = [n for n in range(1, 400) if legs_in_limits(job, FRONT_OUTER_EDGE, n * step_um / 1000.0, slope)]
        found = depth_steps(job, FRONT_OUTER_EDGE, scale, angle_deg=angle_deg, far=False)
        best = min((abs(n * step_um / 1000.0 - across) for n in fit), default=None)
        if found is None or best is None:
            assert found is best is None
        else:
            assert found in fit
            assert abs(found * step_um / 1000.0 - across) == pytest.approx(best)


@pytest.mark.parametrize(("step_um", "fits"), [(100, True), (300, True), (310, False)])
def test_a_far_edge_needs_half_a_step_either_way(step_um: int, fits: bool) -> None:  # noqa: FBT001  a parameter
    """Its limits are 0.15 mm either way, and what is faced off behind it is no whole number of steps."""
    shop = with_cross_steps(demo_shop(LATHES[1]), Fraction(step_um, 1000))
    part = Ring(edges=("back_outer",)).part
    job, scale = job_of(part, shop), cross_scale(shop.lathe.cross)
    assert scale is not None
    step = Step(id="back-outer-edge", kind="edge", surface="back-outer-edge", stage=Stage.WHOLE, zones=())
    trouble = steps_trouble(job, step, scale, angle_deg=45.0, far=True, tried="edge tool")
    assert (trouble is None) is fits
    if trouble is not None:
        assert trouble.code == "edge-leg-not-settable"
        done = [with_remedy(part, shop, remedy) for remedy in trouble.remedies]
        assert any(does_now(one, other, step) for one, other in done)


def does_now(part: Part, shop: Shop, step: Step) -> bool:
    scale = cross_scale(shop.lathe.cross)
    assert scale is not None
    return steps_trouble(job_of(part, shop), step, scale, angle_deg=45.0, far=True, tried="") is None


def test_legs_that_no_mark_brings_within_their_limits_are_refused_and_a_readout_does() -> None:
    """At 15° and 0.1 mm a mark the leg along is 0.37, 0.75 or 1.12 mm; the drawing allows 0.764 to 0.836 mm."""
    ring = Ring(edges=("front_inner",), along=0.8, across=0.22)
    part = read_part(ring.text.replace("plus_minus = 0.15", "plus_minus = 0.036"), name="test ring")
    shop = with_cross_steps(demo_shop(LATHES[1]), Fraction(1, 10))
    with pytest.raises(NoPlanError) as caught:
        make_plan(part, shop)
    assert "edge-leg-not-settable" in caught.value.refusal.codes
    assert caught.value.refusal.remedies
    for remedy in caught.value.refusal.remedies:
        part, shop = with_remedy(part, shop, remedy)
    assert check_sheet(make_plan(part, shop).sheet, shop).refusals == ()
