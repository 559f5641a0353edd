"""One lathe by plain numbers and many by arrays: the same code, and the same advice to the last figures."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable, Sequence
from functools import cache
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
from msgspec import Struct

from handwheel.bench import moves
from handwheel.bench.advice import Advice, Next, advise
from handwheel.bench.approach import Approach, Prior
from handwheel.bench.belief import Belief, beginning
from handwheel.bench.loop import ENDS, after
from tests.rehearsal.drawn import approach_drawn, belief_drawn

Case = tuple[Approach, Belief]

CLOSE = 1e-12
"""A power of e is one unit in the last place apart in the two libraries; what follows from it may be a few."""
DRAWN = 300
JOBS = 30
STEPS_OF_A_JOB = 60
BLUNT = 0.85
"""Share of a depth that a blunt edge leaves."""


def stacked(records: Sequence[Any]) -> Any:  # noqa: ANN401  an Approach, a Belief, a Habit, or a field of one
    """One record of arrays from many records of numbers; tuples and records are stacked within."""
    first = records[0]
    if isinstance(first, Struct):
        fields = {name: stacked([getattr(one, name) for one in records]) for name in first.__struct_fields__}
        return type(first)(**fields)
    if isinstance(first, tuple):
        return tuple(stacked(list(column)) for column in zip(*records, strict=True))
    return np.array(records)


def approaches_stacked(approaches: Sequence[Approach]) -> Approach:
    """Many approaches as one; the shop's figures and what a habit has as a plain number are the same for all."""
    many: Approach = stacked(approaches)
    same = {name: getattr(approaches[0], name) for name in ("far_chance", "good_chance", "wanted_chance")}
    fields = {name: getattr(many, name) for name in many.__struct_fields__}
    return Approach(**{**fields, **same, "most_readings": approaches[0].most_readings})


@cache
def cases() -> tuple[Case, ...]:
    """Beliefs drawn at random, and those that jobs of a plain lathe come through."""
    drawn = [(approach_drawn(number), belief_drawn(number)) for number in range(DRAWN)]
    return (*drawn, *(case for number in range(JOBS) for case in on_the_way(number)))


def on_the_way(number: int) -> list[Case]:
    """Every belief of one job, whose lathe springs and whose gauge scatters; some begin with a blunt edge."""
    rng = np.random.default_rng([number, 3])
    approach = approach_drawn(number)
    left_mm, spring = float(rng.uniform(0.3, 1.2)), float(rng.uniform(0.02, 0.2))
    blunt = BLUNT if number % 5 == 4 else spring
    tip_mm = left_mm
    belief = moves.touched(beginning(approach, left=Prior(value=left_mm, spread=0.01)), approach)
    found: list[Case] = []
    for _ in range(STEPS_OF_A_JOB):
        found.append((approach, belief))
        advice = advise(approach, belief)
        if Next(int(advice.do)) in ENDS:
            break
        if advice.do == Next.EDGE:
            blunt = spring
        if advice.do in (Next.SWING, Next.EDGE):
            tip_mm = left_mm + float(rng.normal(0.0, 0.005))
        if advice.do == Next.CUT:
            step_mm = approach.fine_step_mm if belief.fine else approach.step_mm
            depth_mm = max(left_mm - tip_mm + float(advice.steps) * float(step_mm), 0.0)
            left_mm -= (1.0 - blunt) * depth_mm
        readings_mm = float(approach.reading_mm(left_mm)) + rng.normal(0.0, 0.005, int(advice.readings))
        belief = after(approach, belief, advice, [float(one) for one in readings_mm])
    return found


def flat(record: Any) -> list[float]:  # noqa: ANN401  a record of numbers, or a field of one
    """All numbers of a record in the order of its fields."""
    if isinstance(record, Struct):
        return [one for name in record.__struct_fields__ for one in flat(getattr(record, name))]
    if isinstance(record, tuple | list):
        return [one for part in record for one in flat(part)]
    return [float(record)]


def columns(record: Any, count: int) -> npt.NDArray[np.float64]:  # noqa: ANN401  a record of arrays, or a field of one
    """The same for many: a row for each lathe."""
    if isinstance(record, Struct):
        parts = [columns(getattr(record, name), count) for name in record.__struct_fields__]
        return np.concatenate(parts, axis=1)
    if isinstance(record, tuple | list):
        return np.concatenate([columns(part, count) for part in record], axis=1)
    return np.broadcast_to(np.asarray(record, dtype=float), count)[:, None]


def assert_same(one: Callable[[Approach, Belief], Struct], many: Callable[[Approach, Belief], Struct]) -> None:
    """Every case alone, and all of them at once, come out alike."""
    every = cases()
    approach = approaches_stacked([case[0] for case in every])
    together = columns(many(approach, stacked([case[1] for case in every])), len(every))
    alone = np.array([flat(one(*case)) for case in every])
    assert together == pytest.approx(alone, rel=CLOSE, abs=CLOSE)


def test_there_are_cases_of_every_kind() -> None:
    acts = {Next(int(advise(*case).do)) for case in cases()}
    assert acts == set(Next)
    assert len(cases()) > DRAWN + 5 * JOBS


def test_advice_for_one_is_advice_for_many() -> None:
    assert_same(advise, advise)


@pytest.mark.parametrize(
    "move",
    [
        lambda approach, belief: moves.touched(belief, approach),
        lambda approach, belief: moves.swung(belief, approach),
        lambda approach, belief: moves.cut(belief, approach, 0.07),
        lambda approach, belief: moves.cut(belief, approach, -0.2),
        lambda approach, belief: moves.waited(belief, approach, 75.0),
        lambda approach, belief: moves.edge_changed(belief, approach),
        lambda approach, belief: moves.reversed_in_slack(belief, approach, 0.1),
        lambda approach, belief: moves.read(belief, approach, approach.target_mm, count=2.0, place=-1.0),
        lambda approach, belief: moves.read(belief, approach, approach.target_mm + 0.01, count=3.0, sum_mm2=2e-5),
    ],
    ids=["touch", "swing", "cut", "cut in air", "wait", "edge", "slack", "read at the back", "read"],
)
def test_what_an_act_does_to_one_belief_it_does_to_many(move: Callable[[Approach, Belief], Belief]) -> None:
    assert_same(move, move)


def test_advice_of_one_is_made_of_plain_numbers() -> None:
    """So that it can be printed, kept as JSON, and compared."""
    for case in cases()[::7]:
        advice: Advice = advise(*case)
        assert all(type(getattr(advice, name)) in {float, bool} for name in advice.__struct_fields__)


def test_one_lathe_loads_no_numpy() -> None:
    """A cold plan prints tables of this advice; numpy would cost it more time than all of them."""
    program = (
        "import sys\n"
        "from handwheel.bench.approach import Approach\n"
        "from handwheel.bench.loop import approach_size\n"
        "bore = Approach(inside=True, lower_mm=18.0, upper_mm=18.05, target_mm=18.025, step_mm=0.02,\n"
        "    fine_step_mm=0.002, least_cut_mm=0.05, last_cut_mm=0.08, most_cut_mm=0.4)\n"
        "tip = [17.0]\n"
        "def lathe(advice):\n"
        "    tip[0] += 1.6 * float(advice.depth_mm)\n"
        "    return [tip[0]] * int(advice.readings)\n"
        "approach_size(bore, start_mm=17.0, start_spread_mm=0.02, at_the_lathe=lathe)\n"
        "print('numpy' in sys.modules)\n"
    )
    ran = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "False"
