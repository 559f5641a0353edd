"""The cheapest order against every order there is: by hand, at random, and for real rings."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from handwheel.domain.findings import Proof
from handwheel.planner.order import (
    NO_TOOL,
    UNBOUND,
    Costs,
    Option,
    Problem,
    _Bound,
    cheapest_order,
    start_state,
    successor,
)
from handwheel.planner.planner import RULES, make_plan
from tests.planner.jobs import (
    LATHES,
    RINGS,
    Ring,
    demo_part,
    demo_plan,
    demo_shop,
    only_holdings,
    posed_first,
    posed_of,
    step_ids,
)
from tests.planner.naive_order import least_ms, orders, total_ms

TOOL, DRILL, SWING, ZERO, REGRIP = 60, 45, 240, 50, 500
COSTS = Costs(
    tool_change_ms=TOOL, drill_change_ms=DRILL, swing_ms=SWING, zero_ms=ZERO, regrip_ms=(0, REGRIP, REGRIP + 1)
)
ALONG, ACROSS = 1, 2


@dataclass(frozen=True)
class Priced:
    """Cost of a step, less a saving once one of some steps has been done."""

    whole_ms: int
    saved_ms: int = 0
    saved_by: int = 0

    def __call__(self, done: int) -> int:
        return self.whole_ms - (self.saved_ms if done & self.saved_by else 0)


def option(
    step: int,
    tool: str = NO_TOOL,
    *,
    name: str = "",
    holding: int = 0,
    ms: int = 10,
    saved_ms: int = 0,
    saved_by: int = 0,
    in_tailstock: bool = False,
    angle: int | None = None,
    after: int = 0,
    never_after: int = 0,
    clear: tuple[int, ...] = (),
    zeros_needed: int = 0,
    zeros_left: int = 0,
    zeros_lost: int = 0,
    truth_group: int = UNBOUND,
) -> Option:
    """An option of a hand-made problem: step, tool, and whatever else matters."""
    return Option(
        id=name or f"{step}/{holding}/{tool}",
        step=step,
        holding=holding,
        tool=tool,
        cost_ms=Priced(ms, saved_ms, saved_by),
        least_ms=ms - saved_ms,
        in_tailstock=in_tailstock,
        angle=angle,
        after=after,
        never_after=never_after,
        clear=clear,
        zeros_needed=zeros_needed,
        zeros_left=zeros_left,
        zeros_lost=zeros_lost,
        truth_group=truth_group,
    )


def problem(*options: Option, optional: Sequence[int] = (), truth_groups: int = 0) -> Problem:
    """All steps that the options name; those that are optional need not be done."""
    steps = 1 + max(o.step for o in options)
    goal = sum(1 << step for step in range(steps) if step not in optional)
    return Problem(steps=steps, goal=goal, options=options, costs=COSTS, truth_groups=truth_groups)


# one rule at a time, the figure reckoned by hand -------------------------------------------------------------------

BY_HAND = {
    "two steps of one tool stand together": (
        problem(option(0, "a"), option(1, "b"), option(2, "a")),
        2 * TOOL + 30,
    ),
    "a tool is fetched twice if the order is laid down": (
        problem(option(0, "a"), option(1, "b", after=1), option(2, "a", after=2)),
        3 * TOOL + 30,
    ),
    "work by hand leaves the tool in the post": (
        problem(option(0, "a"), option(1, after=1), option(2, "a", after=2)),
        TOOL + 30,
    ),
    "a drill does not disturb the post": (
        problem(option(0, "a"), option(1, "d", in_tailstock=True, after=1), option(2, "a", after=2)),
        TOOL + DRILL + 30,
    ),
    "a zero is set once for two steps of one tool": (
        problem(option(0, "a", zeros_needed=ALONG), option(1, "a", zeros_needed=ALONG | ACROSS)),
        TOOL + 2 * ZERO + 20,
    ),
    "a zero that a step leaves need not be set": (
        problem(option(0, "a", zeros_left=ALONG), option(1, "a", zeros_needed=ALONG)),
        TOOL + 20,
    ),
    "a zero is lost with the tool": (
        problem(
            option(0, "a", zeros_left=ALONG),
            option(1, "b", after=1),
            option(2, "a", zeros_needed=ALONG, after=2),
        ),
        3 * TOOL + ZERO + 30,
    ),
    "what loses a zero is done last": (
        problem(option(0, "a", zeros_lost=ALONG), option(1, "a", zeros_needed=ALONG), option(2, "a", zeros_needed=1)),
        TOOL + ZERO + 30,
    ),
    "what loses a zero and must be first costs it": (
        problem(option(0, "a", zeros_needed=1, zeros_lost=1), option(1, "a", zeros_needed=1, after=1)),
        TOOL + 2 * ZERO + 20,
    ),
    "steps at one angle stand together": (
        problem(option(0, "a", angle=0), option(1, "a", angle=1), option(2, "a", angle=0)),
        TOOL + SWING + 30,
    ),
    "swinging loses the zeros": (
        problem(
            option(0, "a", angle=0, zeros_needed=ALONG | ACROSS),
            option(1, "a", angle=1, zeros_needed=ACROSS, after=1),
        ),
        TOOL + 3 * ZERO + SWING + 20,
    ),
    "a step to which the angle is all one does not swing back": (
        problem(option(0, "a", angle=1), option(1, "a", after=1, zeros_needed=ACROSS)),
        TOOL + SWING + ZERO + 20,
    ),
    "a regrip is paid once and loses the zeros": (
        problem(
            option(0, "a", zeros_needed=ALONG),
            option(1, "a", holding=1, zeros_needed=ALONG, after=1),
            option(2, "a", holding=1, zeros_needed=ALONG, after=1),
        ),
        TOOL + 2 * ZERO + REGRIP + 30,
    ),
    "the dearer way is taken if the cheaper one needs a regrip": (
        problem(option(0, "a"), option(1, "a", ms=10 + REGRIP - 1), option(1, "a", holding=1, name="other")),
        TOOL + 10 + 10 + REGRIP - 1,
    ),
    "the regrip is taken if it saves more than it costs": (
        problem(option(0, "a"), option(1, "a", ms=10 + REGRIP + 1), option(1, "a", holding=1, name="other")),
        TOOL + 20 + REGRIP,
    ),
    "surfaces true to each other are finished in one holding, though two would be cheaper": (
        problem(
            option(0, "a", ms=10, truth_group=0),
            option(1, "a", ms=300, truth_group=0),
            option(1, "a", holding=1, ms=10, truth_group=0),
            option(2, "a", holding=1, after=3),
            truth_groups=1,
        ),
        TOOL + 10 + 300 + REGRIP + 10,
    ),
    "without that wish the second holding serves": (
        problem(
            option(0, "a", ms=10),
            option(1, "a", ms=300),
            option(1, "a", holding=1, ms=10),
            option(2, "a", holding=1, after=1),
        ),
        TOOL + 10 + REGRIP + 20,
    ),
    "two truth groups do not bind each other": (
        problem(
            option(0, "a", truth_group=0),
            option(1, "a", holding=1, truth_group=1, after=1),
            option(2, "a", holding=1, truth_group=1, after=1),
            truth_groups=2,
        ),
        TOOL + REGRIP + 30,
    ),
    "metal in the way is removed by either of two steps": (
        problem(option(0, "a", ms=100), option(1, "a", ms=40), option(2, "a", clear=(0b011,)), optional=(0, 1)),
        TOOL + 40 + 10,
    ),
    "two obstacles need one step each": (
        problem(
            option(0, "a", ms=100),
            option(1, "a", ms=40),
            option(2, "a", clear=(0b001, 0b010)),
            optional=(0, 1),
        ),
        TOOL + 140 + 10,
    ),
    "what may not come after a step comes before it": (
        problem(option(0, "a"), option(1, "a", never_after=1), option(2, "b", after=1)),
        2 * TOOL + 30,
    ),
    "an optional step is done if it saves more than it costs": (
        problem(option(0, "a", ms=30), option(1, "a", ms=200, saved_ms=31, saved_by=1), optional=(0,)),
        TOOL + 30 + 169,
    ),
    "an optional step is left out if it does not": (
        problem(option(0, "a", ms=30), option(1, "a", ms=200, saved_ms=29, saved_by=1), optional=(0,)),
        TOOL + 200,
    ),
    "a cost that falls with what is done settles the order": (
        problem(option(0, "a", ms=100, saved_ms=50, saved_by=2), option(1, "a", ms=100, saved_ms=10, saved_by=1)),
        TOOL + 150,
    ),
}


@pytest.mark.parametrize(("posed", "expected_ms"), BY_HAND.values(), ids=BY_HAND.keys())
def test_each_rule_costs_what_it_says(posed: Problem, expected_ms: int) -> None:
    found = cheapest_order(posed)
    assert found is not None
    assert (found.cost_ms, found.bound_ms) == (expected_ms, expected_ms)
    assert least_ms(posed) == expected_ms
    assert total_ms(found.options, posed) == expected_ms


NEVER = {
    "each waits for the other": problem(option(0, after=2), option(1, after=1)),
    "each may not come after the other": problem(option(0, never_after=2), option(1, never_after=1)),
    "nothing clears the way": problem(option(0), option(1, clear=(0b10,))),
    "a truth group that no holding can finish": problem(
        option(0, truth_group=0), option(1, holding=1, truth_group=0), truth_groups=1
    ),
    "a step without a way": replace(problem(option(0)), steps=2, goal=3),
}


@pytest.mark.parametrize("posed", NEVER.values(), ids=NEVER.keys())
def test_what_no_order_can_do_is_found_out(posed: Problem) -> None:
    assert cheapest_order(posed) is None
    assert least_ms(posed) is None


# random problems ---------------------------------------------------------------------------------------------------

MOST_ORDERS = 3000
"""Orders of a random problem, if nothing forbade any; keeps the brute force short."""


@st.composite
def random_problems(draw: st.DrawFn) -> Problem:
    """Four to six steps with one to three ways each, whatever the rules allow, costs small enough to tie."""
    steps = draw(st.integers(4, 6))
    rare = st.integers(0, 5).map(lambda n: n == 0)
    seldom = st.integers(0, 11).map(lambda n: n == 0)
    numbers = range(steps)
    masks = st.sets(st.sampled_from(numbers), max_size=2).map(lambda chosen: sum(1 << step for step in chosen))
    zeros = st.integers(0, 3)
    left = MOST_ORDERS // [0, 1, 2, 6, 24, 120, 720][steps]
    options = []
    for step in numbers:
        count = min(draw(st.integers(1, 3)), max(1, left))
        left //= count
        for number in range(count):
            whole, saved = draw(st.integers(5, 12)), draw(st.integers(0, 5))
            options.append(
                Option(
                    id=f"{step}-{number}",
                    step=step,
                    holding=draw(st.sampled_from((0, 0, 0, 1, 2))),
                    tool=draw(st.sampled_from((NO_TOOL, "a", "b", "c"))),
                    in_tailstock=draw(rare),
                    angle=draw(st.sampled_from((None, 0, 1, 2))),
                    after=draw(masks) if draw(rare) else 0,
                    never_after=draw(masks) & ~(1 << step) if draw(seldom) else 0,
                    clear=tuple(draw(st.lists(masks.filter(bool), min_size=1, max_size=2))) if draw(rare) else (),
                    zeros_needed=draw(zeros),
                    zeros_left=draw(zeros),
                    zeros_lost=draw(zeros) if draw(rare) else 0,
                    truth_group=draw(st.sampled_from((UNBOUND, UNBOUND, 0, 1))),
                    cost_ms=Priced(whole, saved, draw(masks)),
                    least_ms=whole - saved,
                )
            )
    costs = Costs(
        tool_change_ms=draw(st.integers(0, 9)),
        drill_change_ms=draw(st.integers(0, 9)),
        swing_ms=draw(st.integers(0, 9)),
        zero_ms=draw(st.integers(0, 4)),
        regrip_ms=(draw(st.integers(0, 9)), draw(st.integers(0, 20)), draw(st.integers(0, 20))),
    )
    optional = draw(masks) if draw(rare) else 0
    goal = ((1 << steps) - 1) & ~optional
    return Problem(steps=steps, goal=goal, options=tuple(options), costs=costs, truth_groups=2)


def test_the_bound_of_a_state_is_never_above_what_any_order_still_costs_from_it() -> None:
    """An answer may be right by luck though a bound is too high somewhere: every state of every order is looked at."""
    states: Counter[bool] = Counter()

    @settings(max_examples=60)
    @given(random_problems())
    def never_above(posed: Problem) -> None:
        bound = _Bound(posed)
        for whole_ms, history in orders(posed):
            state, spent_ms = start_state(posed), 0
            for option in history:
                reached = successor(state, option, posed.costs)
                assert reached is not None
                state, spent_ms = reached[0], spent_ms + reached[1]
                assert bound(state) <= whole_ms - spent_ms
                states[bound(state) > 0] += 1

    never_above()
    assert states[True] > 1000


def test_the_search_agrees_with_every_order_of_random_problems() -> None:
    seen: Counter[str] = Counter()

    @settings(max_examples=200)
    @given(random_problems())
    def agrees(posed: Problem) -> None:
        least = least_ms(posed)
        found = cheapest_order(posed)
        seen["none" if least is None else "some"] += 1
        if least is None or found is None:
            assert found is None
            assert least is None
            return
        assert (found.cost_ms, found.bound_ms) == (least, least)
        assert total_ms(found.options, posed) == least
        assert posed.goal & ~sum(1 << o.step for o in found.options) == 0
        assert cheapest_order(posed, below_ms=least) is None
        below = cheapest_order(posed, below_ms=least + 1)
        assert below == found  # a limit above the least changes nothing, not even what is looked at

    agrees()
    assert seen["some"] >= 80  # neither answer may be the only one
    assert seen["none"] >= 20


@settings(max_examples=40)
@given(random_problems(), st.randoms(use_true_random=False))
def test_ties_fall_alike_whatever_the_order_of_the_options(posed: Problem, chance: random.Random) -> None:
    shuffled = list(posed.options)
    chance.shuffle(shuffled)
    first, second = cheapest_order(posed), cheapest_order(replace(posed, options=tuple(shuffled)))
    assert first == second


def test_of_two_equal_ways_the_smaller_id_is_taken() -> None:
    ways = (option(0, "a", name="second"), option(0, "b", name="first"))
    for both in (ways, ways[::-1]):
        found = cheapest_order(problem(*both))
        assert found is not None
        assert [o.id for o in found.options] == ["first"]


# the cap -----------------------------------------------------------------------------------------------------------


def wide_problem() -> Problem:
    """Six steps of three tools whose order matters, so that the search has to look at many states."""
    return problem(*(option(step, "abc"[step % 3], angle=step // 2, zeros_needed=3) for step in range(6)))


@pytest.mark.parametrize("cap", [1, 2, 5, 10, 20])
def test_past_the_cap_the_bound_is_honest(cap: int) -> None:
    posed = wide_problem()
    least = least_ms(posed)
    found = cheapest_order(posed, cap=cap)
    assert found is not None
    assert least is not None
    assert found.states_visited == cap
    assert found.bound_ms <= least <= found.cost_ms
    assert total_ms(found.options, posed) == found.cost_ms


def test_the_cap_may_leave_a_gap_and_the_words_say_so() -> None:
    found = cheapest_order(wide_problem(), cap=1)
    assert found is not None
    assert found.bound_ms < found.cost_ms
    proof = Proof(cost_ms=found.cost_ms, bound_ms=found.bound_ms, states_visited=1, alternatives=1, rules=RULES)
    assert not proof.proven
    assert proof.words.startswith("best found, bound ")
    assert "proven" not in proof.words


def test_without_a_gap_the_words_are_proven() -> None:
    found = cheapest_order(wide_problem())
    assert found is not None
    proof = Proof(cost_ms=found.cost_ms, bound_ms=found.bound_ms, states_visited=1, alternatives=1, rules=RULES)
    assert proof.proven
    assert proof.words.startswith("proven least")


def test_past_the_cap_a_blind_alley_is_no_order() -> None:
    """The cheapest next step, 1, bars the way to 0."""
    posed = problem(option(0, ms=100, never_after=2), option(1, ms=1))
    assert cheapest_order(posed, cap=1) is None
    found = cheapest_order(posed)
    assert found is not None
    assert found.cost_ms == least_ms(posed) == 101


# real rings --------------------------------------------------------------------------------------------------------

EDGES = {
    "plain spacer": (),
    "far outer edge": ("back_outer",),
    "far inner edge": ("back_inner",),
    "near outer edge": ("front_outer",),
    "far outer and near inner edge": ("back_outer", "front_inner"),
}
SECONDS = {"jaws": ("soft-jaws",), "stub": ("stub-mandrel",), "plate": ("flat-plate",)}


@pytest.mark.parametrize("true_to", [False, True], ids=["loose", "true"])
@pytest.mark.parametrize("second", SECONDS)
@pytest.mark.parametrize("edges", EDGES)
@pytest.mark.parametrize("lathe", LATHES)
def test_the_search_agrees_with_every_order_of_a_ring(lathe: str, edges: str, second: str, *, true_to: bool) -> None:
    part = Ring(edges=EDGES[edges], true_to=true_to).part
    posed = posed_first(part, only_holdings(demo_shop(lathe), *SECONDS[second])).problem
    found = cheapest_order(posed)
    assert (found.cost_ms if found else None) == least_ms(posed)
    assert found is None or total_ms(found.options, posed) == found.bound_ms


@pytest.mark.parametrize("ring", RINGS)
def test_the_search_agrees_with_every_order_of_a_whole_demo_ring(ring: str) -> None:
    posed = posed_first(demo_part(ring), demo_shop("inch-lathe")).problem
    costs = sorted(cost_ms for cost_ms, _ in orders(posed))
    found = cheapest_order(posed)
    assert found is not None
    assert len(costs) > 5000
    assert costs[-1] > 1.2 * costs[0]  # there was something to choose
    assert found.cost_ms == found.bound_ms == costs[0]


@pytest.mark.parametrize("lathe", LATHES)
@pytest.mark.parametrize("ring", RINGS)
def test_nothing_is_done_on_the_bar_after_parting_nor_in_a_second_holding_before(ring: str, lathe: str) -> None:
    posed = posed_first(demo_part(ring), demo_shop(lathe))
    parted = 1 << [step.id for step in posed.steps].index("part-off")
    on_bar = [way for way in posed.problem.options if way.holding == 0]
    second = [way for way in posed.problem.options if way.holding != 0]
    assert on_bar
    assert second
    assert all(way.never_after & parted for way in on_bar)
    assert all(way.after & parted for way in second)


@pytest.mark.parametrize("lathe", LATHES)
def test_a_plan_is_the_cheapest_order_of_all_its_variants(lathe: str) -> None:
    """Every ladder and every allowance by brute force: nothing the planner skipped was cheaper."""
    part, shop = Ring().part, demo_shop(lathe)
    costs = [cost_ms for posed in posed_of(part, shop) if (cost_ms := least_ms(posed.problem)) is not None]
    plan = make_plan(part, shop)
    assert len(costs) >= 4
    assert plan.proof.proven
    assert plan.proof.cost_ms == plan.proof.bound_ms == min(costs)


@pytest.mark.parametrize("lathe", LATHES)
@pytest.mark.parametrize("ring", RINGS)
def test_no_skipped_variant_of_a_demo_ring_is_cheaper(ring: str, lathe: str) -> None:
    part, shop = demo_part(ring), demo_shop(lathe)
    found = [cheapest_order(posed.problem) for posed in posed_of(part, shop)]
    assert demo_plan(ring, lathe).proof.cost_ms == min(order.cost_ms for order in found if order is not None)


def test_the_times_of_the_steps_add_up_to_the_proven_cost() -> None:
    for lathe in LATHES:
        plan = demo_plan("band", lathe)
        spent = [time.setup_ms + time.cutting_ms + time.measuring_ms for time in plan.times]
        # what a groove saves in parting off is counted in the order, not in the step's own times
        assert plan.proof.cost_ms <= sum(spent) <= plan.proof.cost_ms + 60_000


@pytest.mark.parametrize("lathe", LATHES)
@pytest.mark.parametrize("ring", RINGS)
def test_the_order_of_the_shop_file_does_not_matter(ring: str, lathe: str) -> None:
    part, shop = demo_part(ring), demo_shop(lathe)
    chance = random.Random(1)  # noqa: S311 - shuffles a list, no secret
    mixed = replace(
        shop,
        tools=tuple(chance.sample(shop.tools, len(shop.tools))),
        drills=tuple(chance.sample(shop.drills, len(shop.drills))),
        bars=tuple(chance.sample(shop.bars, len(shop.bars))),
        gauges=tuple(chance.sample(shop.gauges, len(shop.gauges))),
        holdings=tuple(chance.sample(shop.holdings, len(shop.holdings))),
    )
    assert mixed != shop
    first, second = demo_plan(ring, lathe), make_plan(part, mixed)
    assert second.proof == first.proof
    assert step_ids(second) == step_ids(first)
    assert second.sheet == first.sheet
    assert second.id == first.id
