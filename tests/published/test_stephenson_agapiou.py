"""Stephenson & Agapiou, Metal Cutting Theory and Practice, 3rd ed., ch. 13, through a third party's extract.

The extract prints 111 minutes and 380 m/min. It calls 380 the speed of least cost and gives 5.2 minutes of life there;
by the law that it states life is 3.0 minutes, and 380 is the speed of most output: that part of it is taken as wrong.
The other figures were computed from the stated law for this project.
"""

from __future__ import annotations

from math import exp, log

import pytest

from handwheel.physics.economic_speed import least_cost_life_min, most_output_life_min
from handwheel.physics.life_fit import LifeRecord, fit_life_law
from handwheel.physics.tool_life import LifeLaw, edge_life_min, speed_for_life_m_min
from handwheel.planner.optimum.economy import Economy
from handwheel.planner.optimum.laws import PowerLaw
from handwheel.planner.optimum.single import SingleCut, cheapest_cut

LAW = LifeLaw(n=0.25, speed_at_1_min_m_min=500.0)
EDGE = 9.0 / 3.0
"""An insert of 9 with three edges; a minute costs 1, and changing an edge takes 1. [cost]"""


def test_life_at_a_speed() -> None:
    assert edge_life_min(154.0, law=LAW) == pytest.approx(111.12, abs=0.005)


def test_speed_of_least_cost() -> None:
    life = least_cost_life_min(0.25, tool_change_min=1.0, edge_cost=EDGE, cost_a_minute=1.0)
    assert speed_for_life_m_min(life, law=LAW) == pytest.approx(268.642, abs=5e-4)


def test_speed_of_most_output() -> None:
    life = most_output_life_min(0.25, tool_change_min=1.0)
    assert speed_for_life_m_min(life, law=LAW) == pytest.approx(379.918, abs=5e-4)
    assert life == pytest.approx(3.0)


@pytest.mark.parametrize(("edge", "speed"), [(EDGE, 268.642), (0.0, 379.918)], ids=["least cost", "most output"])
def test_the_proven_search_finds_the_closed_form(edge: float, speed: float) -> None:
    """Feed and depth hardly free, life by speed alone: branch and bound knows nothing of the closed form."""
    job = SingleCut(
        volume_cm3=100.0,
        economy=Economy(minute_cost=1.0, edge_cost=edge, change_min=1.0),
        life=PowerLaw(coefficient=500.0**4, speed=-4.0),
        speeds=(50.0, 480.0),
        feeds=(0.2, 0.2 * exp(1e-9)),
        depths=(1.0, exp(1e-9)),
    )
    found = cheapest_cut(job, gap=1e-12)
    assert found.point.speed_m_min == pytest.approx(speed, rel=1e-4)


def test_a_line_through_four_tests() -> None:
    """(90, 50), (120, 16), (150, 6), (180, 3): the extract prints V T^0.25 = 237; least squares give n = 0.244."""
    pairs = ((90.0, 50.0), (120.0, 16.0), (150.0, 6.0), (180.0, 3.0))
    fit = fit_life_law([LifeRecord(cutting_speed_m_min=v, lasted_min=t) for v, t in pairs])
    assert fit.law.n == pytest.approx(0.25, abs=0.006)
    # with n as printed, the constant is the mean of the four, 237.7: the extract cuts the last figure
    mean = sum(log(v) + 0.25 * log(t) for v, t in pairs) / len(pairs)
    assert exp(mean) == pytest.approx(237.0, abs=1.0)
    assert fit.law.speed_at_1_min_m_min == pytest.approx(237.0, rel=0.02)
