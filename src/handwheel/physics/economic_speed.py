"""Cutting speeds that cost least or turn out most, by the closed forms of a single cut."""

from __future__ import annotations

from handwheel.domain.errors import require_positive, require_within
from handwheel.physics.tool_life import HIGHEST_N, LOWEST_N

MOST_N = HIGHEST_N - 0.01
"""At an exponent of 1 a faster cut never pays or never stops paying: the closed forms have no optimum."""


def most_output_life_min(n: float, *, tool_change_min: float) -> float:
    r"""Life of an edge at the speed that turns out most pieces.

    .. math:: T = (1/n - 1)\,t_c

    Parameters
    ----------
    n : float
        Taylor's exponent.
    tool_change_min : float
        Time to change or turn the edge and be back on size, :math:`t_c`. [min]

    Returns
    -------
    float
        Life :math:`T`; `handwheel.physics.tool_life.speed_for_life_m_min` gives its speed. [min]

    Raises
    ------
    OutOfRangeError
        If the time is not above 0, or the exponent outside 0.02 to 0.99.

    Notes
    -----
    One cut at one speed, and nothing that limits the speed. On a small lathe power, chatter or the list of speeds
    usually binds first; the plan then takes the fastest that they allow below this one.

    References
    ----------
    [GHOSH_MALLIK] Problem 4.28, p. 271; [GROOVER] machining-economics example (from memory).

    Examples
    --------
    >>> most_output_life_min(0.25, tool_change_min=2.0)
    6.0
    """
    _require_exponent(n)
    require_positive("tool_change_min", tool_change_min, unit="min")
    return (1.0 / n - 1.0) * tool_change_min


def least_cost_life_min(n: float, *, tool_change_min: float, edge_cost: float, cost_a_minute: float) -> float:
    r"""Life of an edge at the speed at which a piece costs least.

    .. math:: T = (1/n - 1)\,(t_c + C_t / L_c)

    Parameters
    ----------
    n : float
        Taylor's exponent.
    tool_change_min : float
        Time to change or turn the edge, :math:`t_c`. [min]
    edge_cost : float
        Cost of one edge, :math:`C_t`: of a regrind, or of an insert over its edges; any currency.
    cost_a_minute : float
        Cost of lathe and person for a minute, :math:`L_c`; same currency.

    Returns
    -------
    float
        Life :math:`T`, longer than that of most output. [min]

    Raises
    ------
    OutOfRangeError
        If a cost of a minute is not above 0, time or edge cost is below 0, both are 0, or the exponent is outside 0.02
        to 0.99.

    Notes
    -----
    As `most_output_life_min`. Where nobody's time costs anything there is no such life: the slowest speed is cheapest.

    References
    ----------
    [GHOSH_MALLIK] Problem 4.26, p. 268; [GROOVER] machining-economics example (from memory).

    Examples
    --------
    >>> round(least_cost_life_min(0.25, tool_change_min=2.0, edge_cost=2.5, cost_a_minute=0.15), 1)
    56.0
    """
    require_within("edge_cost", edge_cost, low=0.0, high=1e12, unit="(currency)")
    require_positive("cost_a_minute", cost_a_minute, unit="(currency a minute)")
    return most_output_life_min(n, tool_change_min=tool_change_min + edge_cost / cost_a_minute)


def cut_cost(
    cut_min: float, *, edge_life_min: float, tool_change_min: float, edge_cost: float, cost_a_minute: float
) -> float:
    r"""Cost of one cut with its share of edges: time in the cut, and what wearing the edge out costs.

    .. math:: K = L_c\,t + \frac{t}{T}\,(L_c\,t_c + C_t)

    Parameters
    ----------
    cut_min : float
        Time in the cut, :math:`t`. [min]
    edge_life_min : float
        Life of the edge at that speed, feed and depth, :math:`T`. [min]
    tool_change_min : float
        Time to change or turn the edge, :math:`t_c`. [min]
    edge_cost : float
        Cost of one edge, :math:`C_t`; any currency.
    cost_a_minute : float
        Cost of lathe and person for a minute, :math:`L_c`; same currency.

    Returns
    -------
    float
        Cost :math:`K`, same currency; loading and what each piece costs anyhow come on top.

    Raises
    ------
    OutOfRangeError
        If cut or life is not above 0, or a cost or the time to change is below 0.

    References
    ----------
    [GHOSH_MALLIK] Problem 4.27, p. 269.

    Examples
    --------
    >>> cut_cost(3.0, edge_life_min=30.0, tool_change_min=2.0, edge_cost=2.0, cost_a_minute=0.5)
    1.8
    """
    require_positive("cut_min", cut_min, unit="min")
    require_positive("edge_life_min", edge_life_min, unit="min")
    require_within("tool_change_min", tool_change_min, low=0.0, high=1e6, unit="min")
    for name, cost in (("edge_cost", edge_cost), ("cost_a_minute", cost_a_minute)):
        require_within(name, cost, low=0.0, high=1e12, unit="(currency)")
    return cost_a_minute * cut_min + cut_min / edge_life_min * (cost_a_minute * tool_change_min + edge_cost)


def _require_exponent(n: float) -> None:
    require_within("n", n, low=LOWEST_N, high=MOST_N, unit="(exponent)")
