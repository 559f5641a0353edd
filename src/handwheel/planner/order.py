"""Exact search for the cheapest order of steps.

The search knows nothing of lathes beyond its own bookkeeping: a state is the set of steps done, the holding, the tool
in the post, the drill in the tailstock, the angle of the top slide, the zeros that are live, and for each truth group
the holding that began it. Everything geometric has been turned into bit masks before. Costs are whole milliseconds.

It is A* with a bound that never overestimates (`_Bound`), so the first
finished state taken from the queue is the cheapest there is; the bound then equals the value. Options are tried in the
order of their ids, which settles ties whatever the order of the input.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from heapq import heappop, heappush
from math import inf
from typing import NamedTuple

from msgspec import Struct

NO_TOOL = ""
UNBOUND = -1


class Option(Struct, frozen=True, kw_only=True):
    """One way to do one step.

    Parameters
    ----------
    id : str
        Stable name; ties in cost go to the smaller.
    step : int
        Index of the step (its bit in the masks).
    holding : int
        Index of the holding in which it is done.
    tool : str
        Tool in the post, or drill in the tailstock, or `NO_TOOL` for work by hand.
    in_tailstock : bool
        Whether ``tool`` is a drill.
    angle : int or None
        Index of the top slide's angle; ``None`` if it does not matter.
    after : int
        Mask of steps that must all be done.
    never_after : int
        Mask of steps none of which may be done.
    clear : tuple of int
        Masks of steps; of each at least one must be done (it removes metal that is in the way).
    zeros_needed, zeros_left, zeros_lost : int
        Masks of zeros that must be live (a missing one is set for `Costs.zero_ms`), that are live afterwards, and that
        are gone afterwards.
    truth_group : int
        Index of the truth group in which this step finishes a surface, or `UNBOUND`.
    cost_ms : function of the mask of steps done
        Cost of the step itself; it may depend on what is already gone.
    least_ms : int
        A cost below which it never falls.
    """

    id: str
    step: int
    holding: int
    tool: str
    cost_ms: Callable[[int], int]
    least_ms: int
    in_tailstock: bool = False
    angle: int | None = None
    after: int = 0
    never_after: int = 0
    clear: tuple[int, ...] = ()
    zeros_needed: int = 0
    zeros_left: int = 0
    zeros_lost: int = 0
    truth_group: int = UNBOUND

    def possible(self, done: int) -> bool:
        """Whether the steps done allow it (holding, tools and truth aside)."""
        if done >> self.step & 1 or done & self.never_after or done & self.after != self.after:
            return False
        for mask in self.clear:  # noqa: SIM110  asked so often that a generator's own time shows
            if not done & mask:
                return False
        return True


class Costs(Struct, frozen=True, kw_only=True):
    """Cost of what lies between steps. [ms]

    ``regrip_ms[h]`` is the cost of going over to holding h, making it ready included.
    """

    tool_change_ms: int
    drill_change_ms: int
    swing_ms: int
    zero_ms: int
    regrip_ms: tuple[int, ...]


class Problem(Struct, frozen=True, kw_only=True):
    """Steps 0 … n-1, of which the mask ``goal`` must be done; the options for each; the costs between."""

    steps: int
    goal: int
    options: tuple[Option, ...]
    costs: Costs
    truth_groups: int = 0


class State(NamedTuple):
    """Where a job stands. ``truth[g]`` is the holding that began truth group g, or `UNBOUND`.

    A tuple, since the search makes and looks up more of these than of anything else.
    """

    done: int
    holding: int
    tool: str
    drill: str
    angle: int
    zeros: int
    truth: tuple[int, ...]


class Order(Struct, frozen=True, kw_only=True):
    """The order found: options in sequence, its cost, a lower bound, how many states were expanded."""

    options: tuple[Option, ...]
    cost_ms: int
    bound_ms: int
    states_visited: int


def start_state(problem: Problem) -> State:
    """Nothing done, first holding, empty post and tailstock, top slide parallel (angle 0), no zero live."""
    return State(
        done=0, holding=0, tool=NO_TOOL, drill=NO_TOOL, angle=0, zeros=0, truth=(UNBOUND,) * problem.truth_groups
    )


def successor(state: State, option: Option, costs: Costs) -> tuple[State, int] | None:
    """State after an option, and what it costs with all that has to happen before it; ``None`` if not allowed."""
    if not option.possible(state.done):
        return None
    return _followed(state, option, costs, own_ms=option.cost_ms(state.done))


def _followed(state: State, option: Option, costs: Costs, *, own_ms: int) -> tuple[State, int] | None:
    """As `successor`, for an option that the steps done allow; ``own_ms`` is what it costs after them."""
    truth = state.truth
    if option.truth_group != UNBOUND:
        began = truth[option.truth_group]
        if began not in (UNBOUND, option.holding):
            return None
        truth = (*truth[: option.truth_group], option.holding, *truth[option.truth_group + 1 :])
    cost, zeros, tool, drill, angle = 0, state.zeros, state.tool, state.drill, state.angle
    if option.holding != state.holding:
        cost += costs.regrip_ms[option.holding]
        zeros = 0
    if option.in_tailstock:
        if option.tool != drill:
            cost += costs.drill_change_ms
            drill = option.tool
    elif option.tool not in (NO_TOOL, tool):
        cost += costs.tool_change_ms
        zeros, tool = 0, option.tool
    if option.angle is not None and option.angle != angle:
        cost += costs.swing_ms
        zeros, angle = 0, option.angle
    cost += costs.zero_ms * (option.zeros_needed & ~zeros).bit_count() + own_ms
    zeros = (zeros | option.zeros_needed | option.zeros_left) & ~option.zeros_lost
    return State(state.done | 1 << option.step, option.holding, tool, drill, angle, zeros, truth), cost


class _Family(Struct, frozen=True):
    """Steps linked by the tools (or angles) that their options share: each needs one of ``names`` and no other.

    Families share no name, so each with a step left that does not have one of its names now needs a change of its own.
    """

    steps: int
    names: frozenset[str | int]


def _families(needs: Sequence[frozenset[str | int]]) -> tuple[_Family, ...]:
    """Families of steps, from the names that each step's options need (empty: it may do without)."""
    found: list[_Family] = []
    for step, names in enumerate(needs):
        if not names:
            continue
        own = _Family(1 << step, names)
        for family in [family for family in found if family.names & names]:
            found.remove(family)
            own = _Family(own.steps | family.steps, own.names | family.names)
        found.append(own)
    return tuple(found)


_BoundKey = tuple[int, bool, str, str, int]


class _Bound:
    """Lower bound of what is still to come: never more than the cheapest way on from a state.

    Each step left costs at least its cheapest option; going over to a second holding is paid once if a step left needs
    one; each family of tools, of drills and of angles that has a step left and is not set costs one change, and after a
    change of tool the zeros that such a step needs, and no option leaves for nothing, have to be set.
    """

    def __init__(self, problem: Problem) -> None:
        self._problem = problem
        goal = [step for step in range(problem.steps) if problem.goal >> step & 1]
        ways = [[o for o in problem.options if o.step == step] for step in range(problem.steps)]
        self._cheapest = [(1 << step, min(o.least_ms for o in ways[step])) for step in goal if ways[step]]
        self._second = sum(1 << step for step in goal if ways[step] and all(o.holding != 0 for o in ways[step]))
        self._regrip_ms = min(problem.costs.regrip_ms[1:], default=0)
        wanted = [ways[step] if problem.goal >> step & 1 else [] for step in range(problem.steps)]
        self._tools = tuple(
            (family, self._zeros_ms(family, ways)) for family in _families([_tools_of(options) for options in wanted])
        )
        self._drills = _families([_drills_of(options) for options in wanted])
        self._angles = _families([_angles_of(options) for options in wanted])
        self._known: dict[_BoundKey, int] = {}
        self._steps_ms: dict[int, int] = {}

    def __call__(self, state: State) -> int:
        """Bound of a state. [ms]"""
        left = self._problem.goal & ~state.done
        key = (left, state.holding == 0, state.tool, state.drill, state.angle)
        found = self._known.get(key)
        if found is None:
            found = self._known[key] = self._reckoned(left, state)
        return found

    def _reckoned(self, left: int, state: State) -> int:
        costs = self._problem.costs
        total = self._steps_ms.get(left, -1)
        if total < 0:
            total = self._steps_ms[left] = sum(least for bit, least in self._cheapest if left & bit)
        if state.holding == 0 and left & self._second:
            total += self._regrip_ms
        for family, zeros_ms in self._tools:
            if left & family.steps and state.tool not in family.names:
                total += costs.tool_change_ms + min(ms for bit, ms in zeros_ms if left & bit)
        for family in self._drills:
            if left & family.steps and state.drill not in family.names:
                total += costs.drill_change_ms
        for family in self._angles:
            if left & family.steps and state.angle not in family.names:
                total += costs.swing_ms
        return total

    def _zeros_ms(self, family: _Family, ways: Sequence[Sequence[Option]]) -> tuple[tuple[int, int], ...]:
        """For each step of a family what its zeros cost at least, those that some option leaves for nothing aside."""
        steps = [step for step in range(len(ways)) if family.steps >> step & 1]
        left_free = 0
        for option in self._problem.options:
            if option.tool in family.names or option.tool == NO_TOOL or option.in_tailstock:
                left_free |= option.zeros_left
        return tuple(
            (
                1 << step,
                self._problem.costs.zero_ms * min((o.zeros_needed & ~left_free).bit_count() for o in ways[step]),
            )
            for step in steps
        )


def _tools_of(options: Sequence[Option]) -> frozenset[str | int]:
    """Tools of the post that a step's options need; none if one of them does without, or is done by a drill."""
    if any(option.in_tailstock or option.tool == NO_TOOL for option in options):
        return frozenset()
    return frozenset(option.tool for option in options)


def _drills_of(options: Sequence[Option]) -> frozenset[str | int]:
    """Drills that a step's options need; none if one of them is not done by a drill."""
    if any(not option.in_tailstock or option.tool == NO_TOOL for option in options):
        return frozenset()
    return frozenset(option.tool for option in options)


def _angles_of(options: Sequence[Option]) -> frozenset[str | int]:
    """Angles of the top slide that a step's options need; none if one of them does not care."""
    if any(option.angle is None for option in options):
        return frozenset()
    return frozenset(option.angle for option in options if option.angle is not None)


class _Allowed(dict[int, tuple[tuple[Option, int], ...]]):
    """By the mask of steps done: the options that it allows, in the order of their ids, each with its own cost. [ms]"""

    def __init__(self, options: Sequence[Option]) -> None:
        super().__init__()
        self._ranked = sorted(options, key=lambda option: (option.step, option.id))

    def __missing__(self, done: int) -> tuple[tuple[Option, int], ...]:
        """Work it out, once for many states that differ in the tool or the zeros alone."""
        found = tuple((option, option.cost_ms(done)) for option in self._ranked if option.possible(done))
        self[done] = found
        return found


def cheapest_order(problem: Problem, *, cap: int = 200_000, below_ms: int | None = None) -> Order | None:
    """Cheapest order, or ``None`` if there is none (or none below ``below_ms``, when that is given).

    Past ``cap`` expanded states it stops: then ``bound_ms`` of the order returned is below its cost (best found), or
    ``None`` is returned if nothing was found by then.
    """
    bound = _Bound(problem)
    allowed = _Allowed(problem.options)
    limit = inf if below_ms is None else below_ms
    start = start_state(problem)
    best: dict[State, int] = {start: 0}
    came: dict[State, tuple[State, Option]] = {}
    queue: list[tuple[int, int, int, int, State]] = [(bound(start), 0, 0, 0, start)]
    counter, visited = 0, 0
    while queue:
        estimate, _, _, cost, state = heappop(queue)
        if cost > best[state]:
            continue  # an older, dearer entry of the same state
        if estimate >= limit:
            return None
        visited += 1
        if state.done & problem.goal == problem.goal:
            return Order(options=_path(state, came), cost_ms=cost, bound_ms=estimate, states_visited=visited)
        if visited >= cap:
            return _greedy(problem, state, cost, came, bound_ms=estimate, visited=visited)
        for option, own_ms in allowed[state.done]:
            reached = _followed(state, option, problem.costs, own_ms=own_ms)
            if reached is None:
                continue
            after, step_cost = reached
            total = cost + step_cost
            if total < best.get(after, total + 1):
                estimate = total + bound(after)
                if estimate >= limit:
                    continue
                best[after] = total
                came[after] = (state, option)
                counter += 1
                # deeper states first among equal estimates: the first finished one is met sooner
                heappush(queue, (estimate, -after.done.bit_count(), counter, total, after))
    return None


def _path(state: State, came: dict[State, tuple[State, Option]]) -> tuple[Option, ...]:
    options: list[Option] = []
    while state in came:
        state, option = came[state]
        options.append(option)
    return tuple(reversed(options))


def _greedy(
    problem: Problem,
    state: State,
    cost: int,
    came: dict[State, tuple[State, Option]],
    *,
    bound_ms: int,
    visited: int,
) -> Order | None:
    """Finish a half-done order by the cheapest next step each time; its cost is no bound, the queue's is."""
    options = list(_path(state, came))
    while state.done & problem.goal != problem.goal:
        nexts = [
            (step_cost, option.id, after, option)
            for option in problem.options
            for reached in (successor(state, option, problem.costs),)
            if reached is not None
            for after, step_cost in (reached,)
        ]
        if not nexts:
            return None
        step_cost, _, state, option = min(nexts, key=lambda entry: entry[:2])
        cost += step_cost
        options.append(option)
    return Order(options=tuple(options), cost_ms=cost, bound_ms=min(bound_ms, cost), states_visited=visited)
