"""Parts played from the printed tables alone come out as those played by the logic that made the tables."""

from __future__ import annotations

from collections import Counter
from functools import cache

import numpy as np
import pytest
from msgspec.structs import replace

from handwheel.bench.stops import Stop
from handwheel.domain.acts import Measure
from handwheel.domain.advice import AdviceTable, Do
from handwheel.domain.errors import NoPlanError
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.planner.planner import make_plan
from handwheel.service.advising import advised
from tests.demo_plans import PAIRS, demo_plan, demo_shop
from tests.rehearsal.by_table import Played, Player, both_ways, courses_and_world
from tests.shops import PARTS, SHOPS, part_of, shop_of

LATHES = 250
SEED = 20261130
DRAWN = 2
MOST_SPOILED = 0.02
"""Share of lathes on which a diameter may be spoiled from the tables alone; ours, from what they reach."""


DEMOS = {f"{part} on {shop}": (part, shop) for part, shop in PAIRS}
NAMES = (*DEMOS, *(f"drawn {number}" for number in range(DRAWN)))


@cache
def drawn() -> tuple[tuple[Plan, Shop], ...]:
    """Plans of parts and shops of the tests, drawn at random from those that there are."""
    found: list[tuple[Plan, Shop]] = []
    pairs = [(part, shop) for part in PARTS for shop in SHOPS]
    for place in np.random.default_rng(SEED).permutation(len(pairs)):
        part, name = pairs[place]
        try:
            found.append((make_plan(part_of(part), shop_of(name)), shop_of(name)))
        except NoPlanError:
            continue
        if len(found) == DRAWN:
            break
    return tuple(found)


def plan_of(name: str) -> tuple[Plan, Shop]:
    """A plan by its name here, and its shop."""
    if name in DEMOS:
        return demo_plan(*DEMOS[name]), demo_shop(DEMOS[name][1])
    return drawn()[int(name.split()[1])]


@cache
def played(name: str) -> dict[str, tuple[Played, Played]]:
    """Each size of a plan, from the tables and by the logic, on the same lathes."""
    plan, shop = plan_of(name)
    return both_ways(plan, shop, lathes=LATHES, seed=SEED)


@pytest.mark.parametrize("name", NAMES)
def test_the_tables_alone_give_the_same_acts_and_the_same_parts(name: str) -> None:
    """Lathe by lathe: each act with its marks and its time, and the true size to the last bit."""
    for size, (by_table, by_logic) in played(name).items():
        assert by_table.acts == by_logic.acts, size
        assert np.array_equal(by_table.true_mm, by_logic.true_mm), size


def test_what_is_played_is_more_than_the_easy_way() -> None:
    told: Counter[Do] = Counter()
    for name in NAMES:
        for by_table, _ in played(name).values():
            told.update(one.do for acts in by_table.acts for _, one in acts)
            assert all(acts for acts in by_table.acts), "every lathe was read once at least"
    assert {Do.SET, Do.CUT_AGAIN, Do.GO_ON, Do.GOOD, Do.READ_AGAIN, Do.STOP_ASK, Do.STOP_LOST} <= set(told)
    assert told[Do.SET] > told[Do.STOP_ASK] > told[Do.STOP_LOST]


@pytest.mark.parametrize("name", DEMOS)
def test_few_diameters_are_spoiled_from_the_tables_alone(name: str) -> None:
    for size, (by_table, _) in played(name).items():
        if size.endswith("diameter"):
            assert by_table.spoiled.mean() <= MOST_SPOILED, size


def one_mark_off(table: AdviceTable) -> AdviceTable:
    """A table in which each figure of a row that sets is one mark too many."""
    bands = tuple(
        replace(row, marks=row.marks + 1) if row.do is Do.SET and row.marks is not None else row for row in table.bands
    )
    return replace(table, bands=bands)


def test_a_table_that_is_one_mark_off_is_seen() -> None:
    """The comparison can fail: other figures make other parts."""
    plan, shop = plan_of("band on inch-lathe")
    told = advised(plan, shop)
    acts = tuple(
        replace(act, table=one_mark_off(act.table)) if isinstance(act, Measure) and act.table else act
        for act in told.sheet.acts
    )
    wrong = replace(told, sheet=replace(told.sheet, acts=acts))
    courses, world = courses_and_world(wrong, shop)
    course = next(one for one in courses if one.key == "outside diameter")
    other = Player(course, world, shop, wrong, lathes=LATHES, seed=SEED, logic=False).played()
    right = played("band on inch-lathe")["outside diameter"][0]
    assert other.acts != right.acts
    assert not np.array_equal(other.true_mm, right.true_mm)


def test_every_stop_of_a_course_is_played() -> None:
    plan, shop = plan_of("band on metric-lathe")
    courses, _ = courses_and_world(plan, shop)
    for course in courses:
        stops: list[Stop] = [block.stop for block in course.by_sheet]
        read = {act for acts in played("band on metric-lathe")[course.key][0].acts for act, _ in acts}
        assert read == {stop.act for stop in stops}
