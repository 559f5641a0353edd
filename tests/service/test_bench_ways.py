"""What a walk says where a row ends the job or a surface is good too early: ways out, acts to leave out."""

from __future__ import annotations

from fractions import Fraction

import pytest

from handwheel.bench.tables import advised as row_of
from handwheel.domain.acts import Cut, Measure
from handwheel.domain.advice import AdviceTable, Do
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.report.steps import NumberedAct, numbered_steps
from handwheel.service.advising import advised
from handwheel.service.bench_judges import StopRead, Taken, table_advice
from handwheel.service.bench_ways import STILL_CUT, leave_out_words, ways_words
from tests.demo_plans import demo_plan, demo_shop

WAYS, COMMAND = "way out ", "handwheel rescue PLAN --shop SHOP --surface"


def told(part: str, lathe: str) -> tuple[Plan, Shop]:
    """A demo plan with its tables, and its shop."""
    shop = demo_shop(lathe)
    return advised(demo_plan(part, lathe), shop), shop


def measured(plan: Plan, shop: Shop, surface: str) -> tuple[NumberedAct, ...]:
    """Measuring acts of a surface, numbered as on the sheet."""
    acts = (item for step in numbered_steps(plan, shop) for item in step.acts)
    return tuple(item for item in acts if isinstance(item.act, Measure) and item.act.surface == surface)


def table_of(item: NumberedAct) -> AdviceTable:
    assert isinstance(item.act, Measure)
    assert item.act.table is not None
    return item.act.table


def read_as(plan: Plan, shop: Shop, item: NumberedAct, reading_mm: float) -> StopRead:
    """So many like readings as the table wants."""
    assert isinstance(item.act, Measure)
    one = Taken(value_mm=Fraction(str(round(reading_mm, 4))), text="", gauge=item.act.gauge)
    return StopRead(plan=plan, shop=shop, item=item, taken=(one,) * table_of(item).readings)


@pytest.mark.parametrize(("part", "lathe"), [("band", "inch-lathe"), ("flange", "metric-lathe")])
def test_a_row_that_ends_the_job_tells_three_ways_out_and_the_command_for_all(part: str, lathe: str) -> None:
    plan, shop = told(part, lathe)
    final = measured(plan, shop, "bore")[-1]
    lost = next(row for row in table_of(final).bands if row.do is Do.STOP_LOST)
    said = table_advice(read_as(plan, shop, final, lost.low_mm))
    assert not said.goes_on
    assert [words[: len(WAYS) + 1] for words in said.words[-4:-1]] == [f"{WAYS}{number}" for number in (1, 2, 3)]
    assert f'{COMMAND} "bore diameter" --size' in said.words[-1]


def test_too_little_metal_before_the_last_cut_offers_one_more_cut() -> None:
    plan, shop = told("band", "inch-lathe")
    half_way = measured(plan, shop, "bore")[-3]
    stop = [row for row in table_of(half_way).bands if row.do is Do.STOP_ASK][-1]
    said = table_advice(read_as(plan, shop, half_way, stop.low_mm))
    assert said.words[-4].startswith(f"{WAYS}1, one more cut")


def test_rows_that_lead_on_offer_no_way_out() -> None:
    plan, shop = told("band", "inch-lathe")
    for item in measured(plan, shop, "bore"):
        for row in table_of(item).bands:
            if row.do in (Do.SET, Do.GO_ON, Do.CUT_AGAIN, Do.GOOD):
                assert not ways_words(read_as(plan, shop, item, row.low_mm), row)


def test_a_reading_far_outside_before_the_last_cuts_offers_no_way_out() -> None:
    """Somebody has misread: nothing is to be chosen before it is known why."""
    plan, shop = told("band", "inch-lathe")
    rough = measured(plan, shop, "outside")[0]
    read = read_as(plan, shop, rough, table_of(rough).bands[-1].high_mm + 0.5)
    assert row_of(table_of(rough), float(read.mean_mm)) is None
    assert not ways_words(read, None)


def test_good_before_the_last_cut_says_which_acts_to_leave_out() -> None:
    """From the collar to the standing spindle, all of them nothing but the last cut; then it is measured once more."""
    plan, shop = told("band", "inch-lathe")
    half_way, last = measured(plan, shop, "outside")[-3:-1]
    words = leave_out_words(read_as(plan, shop, half_way, 23.0))
    acts = [item for step in numbered_steps(plan, shop) for item in step.acts]
    between = acts[acts.index(half_way) + 1 : acts.index(last)]
    assert words.startswith(f"leave out {between[0].number} to {between[-1].number}: ")
    assert words.endswith(f"(go {last.number} sure)")
    assert {item.act.surface for item in between if isinstance(item.act, Cut)} == {"outside"}


def test_where_other_work_lies_between_only_the_cuts_are_spoken_of() -> None:
    """After roughing a bore and a parting groove come before the next cut of the outside."""
    plan, shop = told("band", "inch-lathe")
    roughed = measured(plan, shop, "outside")[1]
    assert leave_out_words(read_as(plan, shop, roughed, 23.0)) == STILL_CUT
