"""Every order of drawn problems that are small enough, against the search."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import islice

from handwheel.planner.holdings import HOLDING_MODELS
from handwheel.planner.kinds import KINDS
from handwheel.planner.order import Problem, cheapest_order
from handwheel.planner.posing import pose
from tests.planner.jobs import variants_of
from tests.planner.naive_order import TooManyError, orders, total_ms
from tests.proof.cases import case_of

MOST_ORDERS = 1500
"""A problem with more orders than this is not small."""
MOST_LOOKS = 10_000
"""Nor is one with more beginnings of orders than this, many of which lead nowhere."""
MOST_EDGES, MOST_TOOLS = 3, 7
"""Cases with more are not looked at: nearly all of their problems have more orders than that."""


@dataclass(frozen=True, kw_only=True)
class Compared:
    """How many problems of a case were compared, how many were too large, and what was wrong."""

    small: int
    large: int
    faults: tuple[str, ...]


def compared(number: int, *, most_problems: int = 3) -> Compared:
    """Compare the problems of a case, of the largest drills first."""
    case = case_of(number)
    small, large, faults = 0, 0, []
    if len(case.draft.edges) > MOST_EDGES or len(case.shop.tools) > MOST_TOOLS:
        return Compared(small=0, large=0, faults=())
    for job, means in variants_of(case.part, case.shop)[:most_problems]:
        problem = pose(job, means, kinds=KINDS, models=HOLDING_MODELS).problem
        costs = _all_costs(problem)
        if costs is None:
            large += 1
            continue
        small += 1
        wrong = _wrong(problem, min(costs, default=None))
        if wrong:
            faults.append(f"case {number}, drills {[drill.id for drill in job.drills]}: {wrong}")
    return Compared(small=small, large=large, faults=tuple(faults))


def _all_costs(problem: Problem) -> list[int] | None:
    """Costs of every order there is; ``None`` if the problem is not small. [ms]"""
    try:
        costs = [cost_ms for cost_ms, _ in islice(orders(problem, most_looks=MOST_LOOKS), MOST_ORDERS + 1)]
    except TooManyError:
        return None
    return None if len(costs) > MOST_ORDERS else costs


def _wrong(problem: Problem, least_ms: int | None) -> str:
    found = cheapest_order(problem)
    if found is None or least_ms is None:
        return "" if found is None and least_ms is None else f"search {found}, every order {least_ms}"
    if not found.cost_ms == found.bound_ms == least_ms:
        return f"search {found.cost_ms} (bound {found.bound_ms}), every order {least_ms} ms"
    total = total_ms(found.options, problem)
    return "" if total == least_ms else f"the search's order costs {total}, not {least_ms} ms"


def order_faults(number: int) -> list[str]:
    """What is wrong with the small problems of a case."""
    return list(compared(number).faults)
