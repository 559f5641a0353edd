"""What is said to stand beside a schedule, against the naive enumeration of everything that can be set."""

from __future__ import annotations

import re

import pytest
from msgspec.structs import replace

from handwheel.data.materials import material
from handwheel.planner.cut_case import CutCase, Schedule
from handwheel.planner.neighbours import Beside
from handwheel.planner.passes import schedule
from tests.planner.test_passes import CASES, HABITS, METALS, Candidate, candidates, lathe_of

TIMED = re.compile(r"(\d+) s (longer|shorter), (\d+) pass(?:es)?, (\d+) N")
ONE_S = 1.0
"""Change of time is said in whole seconds."""


def found(what: str, metal: str) -> tuple[CutCase, Schedule, Beside] | None:
    """Schedule of a case, and what stands beside it."""
    case, name = CASES[what]
    best = schedule(case, material=material(metal), lathe=lathe_of(name), habits=HABITS)
    if not isinstance(best, Schedule):
        return None
    return case, best, Beside(best, material=material(metal), lathe=lathe_of(name), habits=HABITS)


def at_speed(what: str, metal: str, rpm: float) -> list[Candidate]:
    """Usual candidates at a speed, best first."""
    return [each for each in candidates(what, metal) if each.rpm == rpm and not each.unusual]


@pytest.mark.parametrize("metal", METALS)
@pytest.mark.parametrize("what", CASES)
def test_a_neighbour_costs_what_the_enumeration_says_or_is_not_in_it(what: str, metal: str) -> None:
    known = found(what, metal)
    if known is None or known[1].unusual:
        return
    _, best, beside = known
    for text in beside.speeds():
        head, says = text.split(": ", 1)
        rpm = float(re.findall(r"[\d.]+", head)[0])
        usual, timed = at_speed(what, metal, rpm), TIMED.match(says)
        if timed is not None:
            change_s = (usual[0].total_ms - best.total_ms) / 1000.0
            assert abs(change_s) == pytest.approx(float(timed[1]), abs=ONE_S)
            assert (change_s > 0.0) == (timed[2] == "longer")
            assert len(usual[0].depths) == int(timed[3])
            assert usual[0].force_n == pytest.approx(float(timed[4]), abs=0.51)
        elif not says.startswith("as long"):
            assert usual == []


@pytest.mark.parametrize("metal", METALS)
@pytest.mark.parametrize("what", CASES)
def test_one_pass_fewer_breaks_the_limit_that_is_named(what: str, metal: str) -> None:
    known = found(what, metal)
    if known is None:
        return
    case, best, beside = known
    fewer = [text for text in beside.cuts() if text.startswith("one pass fewer")]
    count = len(best.depth_steps)
    can_be_fewer = count > 1 and not case.equal_passes and not case.width_mm
    assert bool(fewer) == can_be_fewer
    if can_be_fewer:
        same = [
            each
            for each in candidates(what, metal)
            if (each.rpm, each.feed_mm_rev) == (best.speed.rpm, best.feed.high_mm_rev) and len(each.depths) == count - 1
        ]
        assert same == []
        assert best.binds in fewer[0]


def test_a_speed_that_is_too_fast_is_told_by_the_table_or_by_the_holding() -> None:
    told = [text for what in CASES for metal in METALS if (known := found(what, metal)) for text in known[2].speeds()]
    assert any(re.search(r": \d+ m/min, \d+ ft/min, the table bears \d+ m/min, \d+ ft/min$", text) for text in told)
    assert any("what holds the work bears 200 rev/min" in text for text in told)
    assert any("far below the table" in text for text in told)
    assert any(TIMED.search(text) for text in told)


def test_a_coarser_feed_is_told_where_there_is_one() -> None:
    told = [text for what in CASES for metal in METALS if (known := found(what, metal)) for text in known[2].cuts()]
    assert any("leaves a thread" in text for text in told)
    assert any("the feed runs" in text for text in told)
    assert any("needs more than the lathe has (torque" in text for text in told)


def test_a_drill_has_no_neighbours() -> None:
    case, name = CASES["rough 1.0, inch-lathe"]
    best = schedule(case, material=material("st_c45"), lathe=lathe_of(name), habits=HABITS)
    assert isinstance(best, Schedule)

    beside = Beside(replace(best, case=None), material=material("st_c45"), lathe=lathe_of(name), habits=HABITS)
    assert beside.speeds() == beside.cuts() == ()
