"""Every order there is, each priced from its whole history: what the search's answer is compared with.

Written from what the docstrings of `Option` and `Costs` say, without a state: what stands in the post, which zeros are
live and which holding began a truth group are read off the list of what was done before, each time anew. Orders are
made one option at a time; one that breaks a rule is dropped, since nothing done later mends it. No order is dropped for
its cost.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache

from handwheel.planner.order import NO_TOOL, UNBOUND, Option, Problem

History = Sequence[Option]


@cache
def steps_in(mask: int) -> frozenset[int]:
    """Steps that a mask names."""
    return frozenset(step for step in range(mask.bit_length()) if mask >> step & 1)


def mask_of(history: History) -> int:
    """Mask of the steps done."""
    return sum({1 << option.step for option in history})


def is_allowed(history: History, option: Option) -> bool:
    """Whether an option may come next."""
    done = {before.step for before in history}
    is_bound = option.truth_group != UNBOUND
    began = {before.holding for before in history if is_bound and before.truth_group == option.truth_group}
    return (
        option.step not in done
        and steps_in(option.after) <= done
        and not steps_in(option.never_after) & done
        and all(steps_in(mask) & done for mask in option.clear)
        and began <= {option.holding}
    )


def regrips(history: History, option: Option) -> bool:
    """Whether the work is held in another way than before; a job begins in holding 0."""
    return option.holding != (history[-1].holding if history else 0)


def changes_tool(history: History, option: Option) -> bool:
    """Whether another tool goes into the post."""
    if option.in_tailstock or option.tool == NO_TOOL:
        return False
    fitted = (before.tool for before in reversed(history) if not before.in_tailstock and before.tool != NO_TOOL)
    return option.tool != next(fitted, NO_TOOL)


def changes_drill(history: History, option: Option) -> bool:
    """Whether another drill goes into the tailstock."""
    if not option.in_tailstock:
        return False
    return option.tool != next((before.tool for before in reversed(history) if before.in_tailstock), NO_TOOL)


def swings(history: History, option: Option) -> bool:
    """Whether the top slide is swung; a job begins with angle 0."""
    stood = next((before.angle for before in reversed(history) if before.angle is not None), 0)
    return option.angle is not None and option.angle != stood


def is_live(zero: int, history: History, option: Option) -> bool:
    """Whether a zero set earlier still holds when an option's own cut begins."""
    before, now = list(history), option
    while not (regrips(before, now) or changes_tool(before, now) or swings(before, now)):
        if not before:
            return False
        now = before.pop()
        if zero & now.zeros_lost:
            return False
        if zero & (now.zeros_needed | now.zeros_left):
            return True
    return False


def price_ms(history: History, option: Option, problem: Problem) -> int:
    """Cost of an option where it comes, with all that has to happen before it."""
    costs = problem.costs
    missing = [z for z in (1, 2, 4, 8) if z & option.zeros_needed and not is_live(z, history, option)]
    return (
        (costs.regrip_ms[option.holding] if regrips(history, option) else 0)
        + (costs.tool_change_ms if changes_tool(history, option) else 0)
        + (costs.drill_change_ms if changes_drill(history, option) else 0)
        + (costs.swing_ms if swings(history, option) else 0)
        + costs.zero_ms * len(missing)
        + option.cost_ms(mask_of(history))
    )


class TooManyError(Exception):
    """There are more beginnings of orders than may be looked at."""


def orders(problem: Problem, *, most_looks: int | None = None) -> Iterator[tuple[int, tuple[Option, ...]]]:
    """Every allowed order that reaches the goal, with its cost; it ends as soon as the goal is reached.

    Raises
    ------
    TooManyError
        When more than ``most_looks`` beginnings of orders have been looked at.
    """
    goal = steps_in(problem.goal)
    open_ends: list[tuple[int, tuple[Option, ...]]] = [(0, ())]
    looks = 0
    while open_ends:
        looks += 1
        if most_looks is not None and looks > most_looks:
            raise TooManyError
        cost_ms, history = open_ends.pop()
        if goal <= {option.step for option in history}:
            yield cost_ms, history
            continue
        open_ends.extend(
            (cost_ms + price_ms(history, option, problem), (*history, option))
            for option in problem.options
            if is_allowed(history, option)
        )


def least_ms(problem: Problem) -> int | None:
    """Cost of the cheapest of all orders, or ``None`` if there is none."""
    return min((cost_ms for cost_ms, _ in orders(problem)), default=None)


def total_ms(options: History, problem: Problem) -> int | None:
    """Cost of one given order, or ``None`` if a rule forbids it."""
    cost_ms = 0
    for count, option in enumerate(options):
        if not is_allowed(options[:count], option):
            return None
        cost_ms += price_ms(options[:count], option, problem)
    return cost_ms
