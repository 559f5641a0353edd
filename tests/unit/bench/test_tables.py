"""Advice tables: a judge's answers joined into rows, on the gauge's step, few enough to be read at a glance."""

from __future__ import annotations

from fractions import Fraction
from functools import cache

import pytest
from msgspec.structs import replace

from handwheel.bench.advice import POOR_CHANCE, Next, advise
from handwheel.bench.belief import Unknown
from handwheel.bench.judge import after_reading, believed_after, bench_at, decides_size, judge_of, table_at
from handwheel.bench.runs import Asked, BandAct, Judge, Run, runs_of
from handwheel.bench.stops import Stop, stops
from handwheel.bench.tables import MOST_ROWS, advice_table, advised, banded, marks_at, span_of
from handwheel.domain import acts as a
from handwheel.domain.advice import AdviceTable, Do
from handwheel.domain.motion import Handle, Turn
from handwheel.domain.part import BACK_FACE, Aspect
from handwheel.domain.shop import Shop
from handwheel.planner.planner import make_plan
from tests.demo_plans import demo_plan, demo_shop
from tests.shops import part_of, shop_of
from tests.unit.bench.plain import plain_judge

LONGEST = 24
"""Rows of the longest table that the cases here may have: more cannot be read at a glance."""
MOST_ASKED, MEAN_ASKED = 110, 60
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


def differences(stop: Stop, table: AdviceTable, judge: Judge) -> list[tuple[float, object, object]]:
    """Readings at which a table says anything else than a judge, and what each says."""
    assert stop.gauge is not None
    first, last = span_of(stop)
    found: list[tuple[float, object, object]] = []
    for place in range(first, last + 1):
        reading = float(place * stop.gauge.step_mm)
        row, wanted = advised(table, reading), judge(reading)
        assert row is not None
        told = (row.do, marks_at(row, reading, step=settable(stop)), row.seconds)
        if told != (wanted.do, wanted.marks, wanted.seconds):
            found.append((reading, told, wanted))
    return found


@pytest.mark.parametrize("case", CASES)
def test_a_plain_judge_is_read_back_from_its_table_at_every_reading(case: tuple[str, str]) -> None:
    """Counts reckoned by a rule too."""
    for stop in stops_of(*case)[1]:
        assert not differences(stop, plain_table(stop), plain_judge(stop))


@pytest.mark.parametrize("case", CASES)
def test_the_tables_of_the_bench_say_what_the_bench_says(case: tuple[str, str]) -> None:
    """All readings of all stops: what to do, how many marks, how long to wait."""
    shop, all_stops = stops_of(*case)
    for stop in all_stops:
        table = table_at(stop, shop)
        assert table is not None
        assert not differences(stop, table, judge_of(bench_at(stop, shop)))


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


def test_a_set_counts_to_where_the_sheet_winds_from_its_collar() -> None:
    """The last cut of this bore goes one mark beyond the collar's 0, so that 0 lies one mark nearer than its end."""
    stop = half_way("bore", ("band", "metric-lathe"))
    assert stop.after.beyond_steps == 1
    shop = demo_shop("metric-lathe")
    there = judge_of(bench_at(replace(stop, after=replace(stop.after, beyond_steps=0)), shop))(stop.expected_mm)
    here = judge_of(bench_at(stop, shop))(stop.expected_mm)
    assert (here.do, there.do) == (Do.SET, Do.SET)
    assert here.marks is not None
    assert there.marks is not None
    assert here.marks == there.marks - settable(stop)


def test_heavy_cuts_before_a_light_one_leave_the_tip_further_in() -> None:
    """What they sprang away the last cut takes too; so the next one is set shorter."""
    shop, all_stops = stops_of("aluminium-collar", "half-thou")
    stop = next(one for one in all_stops if one.surface == "bore" and decides_size(one) and one.after.collar)
    heavy, light = stop.cuts[-2], stop.cuts[-1]
    assert heavy.depth_mm > 2.0 * light.depth_mm
    alike = bench_at(replace(stop, cuts=(light,)), shop)
    here = bench_at(stop, shop)
    gaps = [float(one.before.left_mm - one.before.mean[Unknown.TIP]) for one in (here, alike)]
    assert gaps[0] > gaps[1]


@pytest.mark.parametrize("case", CASES)
def test_no_row_cuts_without_going_deeper_and_no_last_cut_has_a_poor_chance(case: tuple[str, str]) -> None:
    shop, all_stops = stops_of(*case)
    for stop in all_stops:
        bench, table = bench_at(stop, shop), table_at(stop, shop)
        believed = believed_after(bench)
        assert table is not None
        for row in table.bands:
            for reading in (row.low_mm, row.high_mm):
                if row.do is Do.CUT_AGAIN:
                    marks = marks_at(row, reading, step=settable(stop))
                    assert marks is not None
                    assert marks >= settable(stop)
                if row.do is Do.SET and decides_size(stop):
                    assert advise(bench.approach, believed(reading)).inside_chance >= POOR_CHANCE


def test_where_a_last_cut_would_most_likely_miss_the_advice_is_to_stop(monkeypatch: pytest.MonkeyPatch) -> None:
    """By steps of 0.06 mm no cut meets 0.026 mm a side from just anywhere, and the next one deeper is too bold."""
    shop, all_stops = stops_of("flange", "metric-lathe")
    stop = next(one for one in all_stops if one.surface == "outside-front-1" and one.after.collar and decides_size(one))
    bench = bench_at(stop, shop)
    coarse, believed = replace(bench.approach, step_mm=0.06), believed_after(bench)
    readings = [place / 100.0 for place in range(2416, 2430)]
    advices = [advise(coarse, believed(reading)) for reading in readings]
    assert all(one.inside_chance >= POOR_CHANCE for one in advices if one.do == Next.CUT and one.last)
    monkeypatch.setattr("handwheel.bench.advice.POOR_CHANCE", 0.0)
    bolder = [advise(coarse, believed(reading)) for reading in readings]
    missed = [place for place, one in enumerate(bolder) if one.last and one.inside_chance < POOR_CHANCE]
    assert missed
    assert all(advices[place].do == Next.STUCK for place in missed)


@pytest.mark.parametrize("lathe", ["inch-lathe", "metric-lathe"])
def test_a_shoulder_that_is_too_shallow_is_faced_once_more_while_its_zero_lives(lathe: str) -> None:
    shop, all_stops = stops_of("flange", lathe)
    shoulders = [one for one in all_stops if one.aspect is Aspect.DEPTH and one.ready]
    assert len(shoulders) == 2
    for stop in shoulders:
        table = table_at(stop, shop)
        assert table is not None
        does = [row.do for row in table.bands]
        assert Do.CUT_AGAIN in does
        assert does[-1] is not Do.CUT_AGAIN, "too deep is not faced again"
        row = advised(table, stop.expected_mm)
        assert row is not None
        assert row.do is Do.GO_ON
        again = next(row for row in table.bands if row.do is Do.CUT_AGAIN)
        assert again.high_mm <= stop.lower_mm + float(stop.gauge.step_mm)  # type: ignore[union-attr]  # it has a gauge


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

        advice_table(stop, counted, every=decides_size(stop))
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
