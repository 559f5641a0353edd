"""How true the top slide is asked to stand: what its angle does to a diameter, reckoned by hand.

Source: geometry alone. A cylinder turned along a slide that strays by a for each millimetre is larger at its far end by
twice that for each millimetre of its length.
"""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from handwheel.domain import acts as a
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.part import OUTSIDE
from handwheel.planner.planner import make_plan
from handwheel.planner.trueing import FINEST_MM, off_parallel_mm
from tests.demo_plans import acts_of, demo_plan
from tests.planner.jobs import LATHES, Ring, demo_shop, job_of

METRIC = demo_shop(LATHES[1])


@pytest.mark.parametrize(("width", "outside_pm"), [(6.0, 0.1), (6.0, 0.05), (12.0, 0.1), (20.0, 0.02)])
def test_a_slide_as_true_as_is_asked_spoils_no_more_than_a_quarter_of_the_tolerance(
    width: float, outside_pm: float
) -> None:
    job = job_of(Ring(width=width, outside_pm=outside_pm, bore_pm=0.2).part, METRIC)
    across = off_parallel_mm(job, travel_mm=10.0)
    land = next(c for c in job.part.outer_cylinders if c.surface == OUTSIDE)
    taper = 2.0 * land.length_mm * across / 10.0
    assert across == FINEST_MM or taper <= 0.25 * 2.0 * outside_pm
    # half a hundredth more would be too much, so the slide is asked no truer than it must be
    assert 2.0 * land.length_mm * (across + FINEST_MM) / 10.0 > 0.25 * 2.0 * outside_pm


def test_the_act_that_swings_says_how_to_see_it() -> None:
    swung = acts_of(demo_plan("band", "inch-lathe"), a.SwingSlide)
    assert swung
    for act in swung:
        assert "the scale is only near" in act.note
        assert ("may change by" in act.note) is not bool(act.angle_deg)


def test_without_an_indicator_both_ends_are_to_be_measured() -> None:
    gauges = tuple(gauge for gauge in METRIC.gauges if GaugeUse.RUNOUT not in gauge.uses)
    shop = replace(METRIC, gauges=gauges)
    first = acts_of(make_plan(Ring().part, shop), a.SwingSlide)[0]
    assert "measure each finished diameter at both its ends" in first.note
