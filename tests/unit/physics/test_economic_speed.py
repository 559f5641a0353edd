"""Speeds of least cost and most output against a search that knows nothing of the closed forms."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.economic_speed import cut_cost, least_cost_life_min, most_output_life_min
from handwheel.physics.tool_life import LifeLaw, edge_life_min, speed_for_life_m_min

PATH_M = 100.0
"""Length of cut over feed times girth: the time in the cut is this over the speed. [m]"""


@given(n=st.floats(0.1, 0.5), change=st.floats(0.5, 10.0), edge=st.floats(0.0, 3.0), minute=st.floats(0.2, 2.0))
def test_neighbouring_speeds_cost_no_less(n: float, change: float, edge: float, minute: float) -> None:
    law = LifeLaw(n=n, speed_at_1_min_m_min=100.0)
    life = least_cost_life_min(n, tool_change_min=change, edge_cost=edge, cost_a_minute=minute)
    if not 1.0 <= life <= 400.0:
        return

    def cost(speed: float) -> float:
        return cut_cost(
            PATH_M / speed,
            edge_life_min=edge_life_min(speed, law=law),
            tool_change_min=change,
            edge_cost=edge,
            cost_a_minute=minute,
        )

    best = speed_for_life_m_min(life, law=law)
    assert all(cost(best) <= cost(share * best) for share in (0.97, 0.999, 1.001, 1.03))


@given(n=st.floats(0.1, 0.5), change=st.floats(0.5, 10.0))
def test_most_output_is_least_cost_with_free_edges(n: float, change: float) -> None:
    free = least_cost_life_min(n, tool_change_min=change, edge_cost=0.0, cost_a_minute=1.0)
    assert most_output_life_min(n, tool_change_min=change) == pytest.approx(free)


def test_an_edge_that_costs_lets_it_last_longer() -> None:
    lives = [least_cost_life_min(0.25, tool_change_min=2.0, edge_cost=cost, cost_a_minute=0.5) for cost in (0, 1, 5)]
    assert lives == sorted(lives)
    assert lives[0] < lives[-1]


@pytest.mark.parametrize("n", [0.01, 0.995, 1.0])
def test_an_exponent_without_an_optimum_is_refused(n: float) -> None:
    with pytest.raises(OutOfRangeError, match="n: got"):
        most_output_life_min(n, tool_change_min=2.0)


@pytest.mark.parametrize(
    ("change", "edge", "minute", "named"),
    [(0.0, 0.0, 1.0, "tool_change_min"), (2.0, -1.0, 1.0, "edge_cost"), (2.0, 1.0, 0.0, "cost_a_minute")],
)
def test_costs_that_are_none_are_refused(change: float, edge: float, minute: float, named: str) -> None:
    with pytest.raises(OutOfRangeError, match=named):
        least_cost_life_min(0.25, tool_change_min=change, edge_cost=edge, cost_a_minute=minute)


@pytest.mark.parametrize("name", ["cut_min", "edge_life_min", "tool_change_min", "edge_cost", "cost_a_minute"])
def test_a_cut_with_a_figure_below_nought_is_refused(name: str) -> None:
    figures = {"cut_min": 1.0, "edge_life_min": 30.0, "tool_change_min": 1.0, "edge_cost": 1.0, "cost_a_minute": 1.0}
    with pytest.raises(OutOfRangeError, match=name):
        cut_cost(**{**figures, name: -1.0})
