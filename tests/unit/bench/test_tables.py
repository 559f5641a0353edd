"""Advice tables: a judge's answers joined into rows, on the gauge's step, few enough to be read at a glance."""

from __future__ import annotations

from fractions import Fraction
from functools import cache

import pytest
from msgspec.structs import replace

from handwheel.bench.judge import after_reading, believed_after, bench_at, judge_of, table_at
from handwheel.bench.runs import Asked, BandAct, Judge, Run, runs_of
from handwheel.bench.stops import Stop, stops
from handwheel.bench.tables import MOST_ROWS, advice_table, advised, banded, marks_at, span_of
from handwheel.domain import acts as a
from handwheel.domain.advice import AdviceTable, Do
from handwheel.domain.motion import Handle, Turn
from handwheel.domain.part import BACK_FACE
from handwheel.domain.shop import Shop
from handwheel.planner.planner import make_plan
from tests.demo_plans import demo_plan, demo_shop
from tests.shops import part_of, shop_of
from tests.unit.bench.plain import plain_judge

LONGEST = 24
"""Rows of the longest table that the cases here may have: more cannot be read at a glance."""
MOST_ASKED, MEAN_ASKED = 90, 40
"""Readings that a judge is asked for one table at most, and for all tables of a plan on the mean."""
CASES = (
    ("band", "inch-lathe"),
    ("flange", "metric-lathe"),
    ("aluminium-collar", "readouts"),
    ("aluminium-collar", "half-thou"),
    ("aluminium-collar", "top-without-dial"),
)


@cache
def stops_of(part: str, lathe: str) -> tuple[Shop, tuple[Stop, ...]]:
    """A shop and the stops of a plan for it."""
    if part in ("band", "flange"):
        return demo_shop(lathe), stops(demo_plan(part, lathe).sheet, demo_shop(lathe))
    shop = shop_of(lathe)
    return shop, stops(make_plan(part_of(part), shop).sheet, shop)


def half_way(surface: str, case: tuple[str, str] = CASES[0]) -> Stop:
    """The stop between the two last cuts of a surface."""
    found = [stop for stop in stops_of(*case)[1] if stop.surface == surface and stop.after.collar is not None]
    return found[-1]


def plain_table(stop: Stop) -> AdviceTable:
    table = advice_table(stop, plain_judge(stop))
    assert table is not None
    return table


def settable(stop: Stop) -> Fraction:
    return Fraction(1) if stop.scale is None else stop.scale.marks_per_step


# joining -----------------------------------------------------------------------------------------------------------

GOOD, FAR = BandAct(do=Do.GOOD), BandAct(do=Do.STOP_ASK)


def test_like_neighbours_are_one_row_and_a_gap_parts_them() -> None:
    table = banded((1.0, 1.1, 1.3, 1.4), (GOOD, GOOD, GOOD, FAR), step_mm=0.1)
    assert [(row.low_mm, row.high_mm, row.do) for row in table.bands] == [
        (1.0, 1.1, Do.GOOD),
        (1.3, 1.3, Do.GOOD),
        (1.4, 1.4, Do.STOP_ASK),
    ]


def test_what_is_believed_to_be_left_parts_no_rows() -> None:
    acts = tuple(BandAct(do=Do.GO_ON, left_mm=left) for left in (0.1, 0.2))
    assert len(banded((1.0, 1.1), acts, step_mm=0.1).bands) == 1


def test_every_change_between_two_unlike_answers_is_found_and_nothing_is_asked_twice() -> None:
    asked: list[float] = []

    def judge(reading_mm: float) -> BandAct:
        asked.append(reading_mm)
        return BandAct(do=Do.SET, marks=Fraction(round(reading_mm) // 7))

    runs = list(runs_of(Asked(judge, Fraction(1)), (0, 100)))
    assert runs == [
        Run(start, min(start + 6, 100), BandAct(do=Do.SET, marks=Fraction(start // 7))) for start in range(0, 101, 7)
    ]
    assert len(asked) == len(set(asked))


# a stop's table ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("case", CASES)
def test_a_plain_judge_is_read_back_from_its_table_at_every_reading(case: tuple[str, str]) -> None:
    """Counts reckoned by a rule, and several cuts in one row, may differ, but not where the reading is expected."""
    for stop in stops_of(*case)[1]:
        judge, table = plain_judge(stop), plain_table(stop)
        assert stop.gauge is not None
        first, last = span_of(stop)
        for place in range(first, last + 1):
            reading = float(place * stop.gauge.step_mm)
            row, wanted = advised(table, reading), judge(reading)
            assert row is not None
            assert row.do is wanted.do
            marks = marks_at(row, reading, step=settable(stop))
            if marks == wanted.marks:
                continue
            assert marks is not None
            assert wanted.marks is not None
            assert not row.low_mm <= stop.expected_mm <= row.high_mm
            if row.rule is not None:
                assert abs(marks - wanted.marks) <= settable(stop), "half a step is rounded either way"
            else:
                assert row.do is Do.CUT_AGAIN
                assert marks < wanted.marks, "several rows in one take the least of their cuts"


@pytest.mark.parametrize("case", CASES)
def test_the_tables_of_the_bench_say_what_the_bench_says(case: tuple[str, str]) -> None:
    """All readings of all stops: what to do is the same; a rule's count may be a step off, a cut less deep."""
    shop, all_stops = stops_of(*case)
    asked = islands = 0
    for stop in all_stops:
        table, judge = table_at(stop, shop), judge_of(bench_at(stop, shop))
        assert table is not None
        assert stop.gauge is not None
        first, last = span_of(stop)
        answers = [judge(float(place * stop.gauge.step_mm)) for place in range(first, last + 1)]
        for place, wanted in enumerate(answers, start=first):
            reading = float(place * stop.gauge.step_mm)
            row = advised(table, reading)
            asked += 1
            assert row is not None
            if row.do is not wanted.do:
                # an answer with another on both sides of it: the table goes on with that one
                islands += 1
                assert {row.do, wanted.do} == {Do.CUT_AGAIN, Do.SET}
                continue
            marks, step = marks_at(row, reading, step=settable(stop)), settable(stop)
            if marks is None or wanted.marks is None:
                assert marks is wanted.marks
            elif row.do is Do.CUT_AGAIN:
                assert marks <= wanted.marks
            else:
                assert abs(marks - wanted.marks) <= step
    assert islands <= asked / 200


@pytest.mark.parametrize("case", CASES)
def test_two_readings_on_paper_make_a_gauge_no_surer_than_it_is(case: tuple[str, str]) -> None:
    """Their distance from each other is not in the table: it teaches nothing of how readings scatter."""
    shop, all_stops = stops_of(*case)
    for stop in all_stops:
        bench = bench_at(stop, shop)
        before, after = bench.before, after_reading(bench, stop.expected_mm)
        assert after.spread_sum / after.spread_freedom == pytest.approx(before.spread_sum / before.spread_freedom)


@pytest.mark.parametrize("case", CASES)
def test_what_reads_inside_the_limits_is_never_called_lost(case: tuple[str, str]) -> None:
    """However warm it is believed to be: on a limit it is read again."""
    shop, all_stops = stops_of(*case)
    ends = [stop for stop in all_stops if stop.final]
    assert ends
    for stop in ends:
        assert stop.gauge is not None
        judge, step = judge_of(bench_at(stop, shop)), float(stop.gauge.step_mm)
        far, beyond = (stop.upper_mm, step) if stop.grows else (stop.lower_mm, -step)
        assert judge(far).do is Do.READ_AGAIN
        assert judge(far + 10.0 * beyond).do is Do.STOP_LOST


def test_a_raw_width_within_the_limits_is_cut_by_its_own_figure_or_not_at_all() -> None:
    """The sheet's own figure is for the expected width; nothing that reads less may be cut by it."""
    shop, all_stops = stops_of("flange", "metric-lathe")
    stop = next(stop for stop in all_stops if stop.surface == BACK_FACE and stop.after.cuts)
    bench = bench_at(stop, shop)
    judge, step, least = judge_of(bench), float(bench.approach.step_mm), float(bench.approach.least_cut_mm)
    assert stop.target_mm + least < stop.upper_mm, "a width inside the limits from which a cut can still be taken"
    act = judge(stop.target_mm + least + step)
    assert act.do is Do.SET
    assert act.marks == round((least + step) / step)
    assert judge(stop.target_mm + least / 2.0).do is Do.GOOD
    assert judge(stop.lower_mm - 10.0 * step).do is Do.STOP_LOST


@pytest.mark.parametrize("case", CASES)
def test_a_table_is_short_and_covers_all_that_the_sheet_does_not_stop_at(case: tuple[str, str]) -> None:
    shop, all_stops = stops_of(*case)
    for stop in all_stops:
        table = table_at(stop, shop)
        assert table is not None
        assert stop.gauge is not None
        assert 0 < len(table.bands) <= LONGEST
        step = float(stop.gauge.step_mm)
        assert table.bands[0].low_mm <= stop.stop_low_mm + step
        assert table.bands[-1].high_mm >= stop.stop_high_mm - step
        for before, after in zip(table.bands, table.bands[1:], strict=False):
            assert after.low_mm == pytest.approx(before.high_mm + step), "the next row begins one step further"
        for band in table.bands:
            for end in (band.low_mm, band.high_mm):
                assert end / step == pytest.approx(round(end / step)), "a row ends on a step of the gauge"


def test_the_expected_reading_sets_the_dial_as_the_sheet_expects() -> None:
    """By the collar's own rule; the planner wrote what the dial is set to."""
    sheet = demo_plan(*CASES[0]).sheet
    for surface in ("bore", "outside"):
        stop = half_way(surface)
        collar = next(act for act in sheet.acts if act.id == stop.after.collar.id)  # type: ignore[union-attr]  # half way there is one
        assert isinstance(collar, a.SetCollar)
        row = advised(plain_table(stop), stop.expected_mm)
        assert row is not None
        assert (row.do, row.dial) == (Do.SET, collar.marks)
        assert plain_table(stop).sets == collar.id


def test_a_mark_more_for_each_mark_that_is_left() -> None:
    stop = half_way("outside")
    marks = [row.marks for row in plain_table(stop).bands]
    assert None not in marks
    first = marks[0]
    assert first is not None
    assert marks == [first + place for place in range(len(marks))], "the larger the outside, the more is left"


def test_rows_far_from_the_expected_reading_are_reckoned_by_a_rule() -> None:
    """On the swung top slide a mark is finer than the gauge's step: a row for each would fill a page."""
    stop = half_way("bore", CASES[1])
    assert stop.scale is not None
    assert stop.scale.is_fine
    table = plain_table(stop)
    ruled = [row for row in table.bands if row.rule is not None]
    assert len(ruled) == 2
    assert len(table.bands) == MOST_ROWS + 2
    assert stop.after.collar is not None
    for row in ruled:
        assert row.rule is not None
        assert row.rule.zero_mm == pytest.approx(stop.after.collar.zero_dia_mm, abs=row.rule.mm_per_mark)
        assert row.rule.mm_per_mark == pytest.approx(stop.per_travel * stop.scale.travel_per_mark_mm)
    written = [row for row in table.bands if row.rule is None]
    assert written[0].low_mm < stop.expected_mm < written[-1].high_mm


def test_a_finished_size_is_good_inside_its_limits_and_lost_beyond_the_far_one() -> None:
    stop = next(stop for stop in stops_of(*CASES[0])[1] if stop.surface == "bore" and stop.final)
    table = plain_table(stop)
    assert {row.do for row in table.bands} == {Do.CUT_AGAIN, Do.GOOD, Do.STOP_LOST}
    good = next(row for row in table.bands if row.do is Do.GOOD)
    assert (good.low_mm, good.high_mm) == pytest.approx((stop.lower_mm, stop.upper_mm))
    assert table.bands[-1].do is Do.STOP_LOST, "a bore that has grown too large stays so"
    assert (table.handle, table.turn) == (Handle.CROSS, Turn.ANTICLOCKWISE)
    assert table.stood_dial == 0, "the last cut went to 0"


def test_the_raw_width_sets_what_the_back_face_loses_beyond_its_touch() -> None:
    stop = next(stop for stop in stops_of(*CASES[0])[1] if stop.surface == BACK_FACE)
    table = plain_table(stop)
    row = advised(table, stop.expected_mm)
    assert row is not None
    assert table.beyond
    move = next(act for act in demo_plan(*CASES[0]).sheet.acts if act.id == table.sets)
    assert isinstance(move, a.Move)
    assert row.dial == move.setting.marks


def test_a_readout_is_set_to_a_value_and_goes_deeper_by_one() -> None:
    stop = half_way("outside", CASES[2])
    collar = stop.after.collar
    assert isinstance(collar, a.SetReadout)
    row = advised(plain_table(stop), stop.expected_mm)
    assert row is not None
    assert row.dial is None
    assert row.value_mm == collar.value_mm, "minus: the tool stands outside that size"


@pytest.mark.parametrize("case", CASES)
def test_a_judge_is_asked_for_few_readings(case: tuple[str, str]) -> None:
    """No clock: on any machine a table costs so many answers."""
    shop, all_stops = stops_of(*case)
    asked = 0
    for stop in all_stops:
        judge = judge_of(bench_at(stop, shop))
        here = 0

        def counted(reading_mm: float, judge: Judge = judge) -> BandAct:
            nonlocal here
            here += 1
            return judge(reading_mm)

        advice_table(stop, counted)
        assert here <= MOST_ASKED
        asked += here
    assert asked <= MEAN_ASKED * len(all_stops)


@pytest.mark.parametrize("case", CASES)
def test_what_is_believed_on_a_line_is_what_is_believed_after_that_reading(case: tuple[str, str]) -> None:
    shop, all_stops = stops_of(*case)
    for stop in all_stops:
        bench = bench_at(stop, shop)
        by_line = believed_after(bench)
        assert stop.gauge is not None
        first, last = span_of(stop)
        for place in range(first, last + 1, 7):
            reading = float(place * stop.gauge.step_mm)
            one, other = by_line(reading), after_reading(bench, reading)
            assert one.mean == pytest.approx(other.mean, abs=1e-12)
            assert one.readings == other.readings
            for row, its_row in zip(one.covariance, other.covariance, strict=True):
                assert row == pytest.approx(its_row, abs=1e-12)


def test_where_the_shop_has_no_gauge_there_is_no_table() -> None:
    stop = replace(half_way("bore"), gauge=None)
    assert advice_table(stop, plain_judge(stop)) is None
    with pytest.raises(ValueError, match="no gauge reads it"):
        span_of(stop)


def test_a_reading_outside_all_rows_has_none() -> None:
    assert advised(plain_table(half_way("bore")), 25.0) is None
