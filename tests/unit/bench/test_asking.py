"""Questions before a reading counts: each is provoked, each stays quiet, and none changes a reading."""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from handwheel.bench.asking.ability import gauge_decides
from handwheel.bench.asking.ask import may_count, questions
from handwheel.bench.asking.codes import QUESTION_CODES, Counts, UnknownQuestionError
from handwheel.bench.asking.conditions import sees_lobes
from handwheel.bench.asking.records import Decides, HandleTurn, Question, StopContext, TypedReading
from handwheel.bench.asking.slips import gauge_turn_mm
from handwheel.bench.asking.together import together
from handwheel.domain.errors import OutOfRangeError
from handwheel.domain.exact import Fraction
from handwheel.domain.finding_codes import FINDING_CODES
from handwheel.domain.gauges import GaugeKind, GaugeUse
from handwheel.domain.part import Units
from tests.unit.bench.asked import (
    BORE_GAUGE,
    CALIPER,
    LARGER_MICROMETER,
    MICROMETER,
    PLAIN,
    PROVOKED,
    reading,
    typed,
    with_readings,
)

if TYPE_CHECKING:
    from collections.abc import Callable


def codes(stop: StopContext) -> list[str]:
    return [question.code for question in questions(stop)]


def the(stop: StopContext, code: str) -> Question:
    (found,) = [question for question in questions(stop) if question.code == code]
    return found


def test_every_code_has_a_stop_that_provokes_it() -> None:
    assert set(PROVOKED) == set(QUESTION_CODES)


@pytest.mark.parametrize("code", sorted(PROVOKED))
def test_a_stop_provokes_its_question_with_words_and_numbers(code: str) -> None:
    question = the(PROVOKED[code], code)
    assert question.counts is QUESTION_CODES[code].counts
    assert question.figures
    assert question.ask.endswith(".")
    assert question.saw
    assert question.perhaps
    assert "  " not in f"{question.saw}{question.perhaps}{question.ask}"


@pytest.mark.parametrize("code", sorted(PROVOKED))
def test_lengths_are_said_in_both_units_the_job_s_own_first(code: str) -> None:
    inch = the(replace(PROVOKED[code], units=Units.INCH), code)
    metric = the(PROVOKED[code], code)
    assert inch.figures == metric.figures
    if " mm (" in metric.saw:
        assert " in (" in inch.saw


def test_a_plain_reading_is_asked_nothing() -> None:
    assert questions(PLAIN) == ()
    assert may_count((), confirmed=False)


@pytest.mark.parametrize(
    "code", sorted(code for code, known in QUESTION_CODES.items() if known.counts is Counts.NOT_YET)
)
def test_what_must_not_count_yet_cannot_be_confirmed_away(code: str) -> None:
    stop = PROVOKED[code]
    stood_by = tuple(replace(each, confirmed=True) for each in stop.readings)
    asked = questions(replace(stop, readings=stood_by, answered=tuple(QUESTION_CODES)))
    assert code in [question.code for question in asked]
    assert not may_count(asked, confirmed=True)


@pytest.mark.parametrize(
    "code", sorted(code for code, known in QUESTION_CODES.items() if known.counts is Counts.ONCE_CONFIRMED)
)
def test_what_is_confirmed_is_not_asked_again(code: str) -> None:
    stop = PROVOKED[code]
    assert may_count((the(stop, code),), confirmed=True)
    assert not may_count((the(stop, code),), confirmed=False)
    stood_by = tuple(replace(each, confirmed=True) for each in stop.readings)
    assert code not in codes(replace(stop, readings=stood_by, answered=(code,)))


@given(st.lists(st.floats(0.0, 60.0), min_size=1, max_size=6), st.floats(0.001, 1.0))
def test_whatever_is_typed_the_readings_stay_as_they_were(values: list[float], sd_mm: float) -> None:
    stop = replace(with_readings(*values), expected_sd_mm=sd_mm)
    before = stop.readings
    for question in questions(stop):
        assert question.code in QUESTION_CODES
    assert stop.readings is before
    assert [each.read_mm for each in before] == values


def test_true_readings_are_seldom_asked_about() -> None:
    """By trial: 2,000 stops of three readings as the gauge's uncertainty has them, seed 11; at most 3 in 100 asked."""
    dice = Random(11)  # noqa: S311 - a trial by numbers, nothing is kept secret with it
    asked = 0
    for _ in range(2000):
        true_mm = dice.gauss(PLAIN.expected_mm, PLAIN.expected_sd_mm)
        bias_mm = dice.gauss(0.0, PLAIN.gauge_bias_mm)
        read = (true_mm + bias_mm + dice.gauss(0.0, PLAIN.gauge_spread_mm) for _ in range(3))
        asked += bool(questions(with_readings(*read)))
    assert asked <= 60


def test_slips_of_half_a_millimetre_are_all_asked_about() -> None:
    """By trial: 500 single readings one thimble turn out, either way, seed 12."""
    dice = Random(12)  # noqa: S311 - a trial by numbers, nothing is kept secret with it
    for _ in range(500):
        off_mm = dice.choice((-0.5, 0.5)) + dice.gauss(0.0, PLAIN.reading_sd_mm)
        assert questions(with_readings(PLAIN.expected_mm + off_mm))


@pytest.mark.parametrize(
    ("value_mm", "text", "code", "meant_mm"),
    [
        (17.98 / 25.4, "0.7079", "wrong-unit", 17.98),
        (17.98 * 25.4, "456.692", "wrong-unit", 17.98),
        (1798.0, "1798", "point-slip", 17.98),
        (179.8, "179,8", "point-slip", 17.98),
        (17.89, "17,89", "digits-swapped", 17.98),
        (71.98, "71.98", "digits-swapped", 17.98),
        (8.99, "8.99 mm", "radius-typed", 17.98),
    ],
)
def test_a_slip_of_the_hand_that_writes_is_offered_as_it_may_have_been_meant(
    value_mm: float, text: str, code: str, meant_mm: float
) -> None:
    offered = the(replace(typed(value_mm, text), gauge=CALIPER, decides=Decides.ROUGHING), code).offered_mm
    assert offered == pytest.approx(meant_mm, abs=0.001)


def test_digits_are_exchanged_as_they_were_typed_also_in_inches() -> None:
    stop = replace(typed(0.7097 * 25.4, "0.7097 in"), units=Units.INCH)
    assert the(stop, "digits-swapped").offered_mm == pytest.approx(0.7079 * 25.4)


def test_a_frame_left_out_is_found_for_the_micrometer_over_a_telescoping_gauge_too() -> None:
    telescoping = replace(BORE_GAUGE, name="telescoping gauge", high_mm=40.0)
    stop = replace(typed(5.98, "5.98"), gauge=telescoping, use=GaugeUse.BORE, expected_mm=30.985)
    assert the(stop, "frame-left-out").offered_mm == pytest.approx(30.98)


def test_a_wide_expectation_makes_a_turn_nothing_to_speak_of() -> None:
    assert codes(replace(typed(18.48, "18.48"), expected_sd_mm=0.3)) == []


def test_both_turns_are_named_where_the_gauge_s_and_the_handle_s_are_alike() -> None:
    turns = (HandleTurn(name="top slide", reading_mm=0.5),)
    assert codes(replace(typed(18.48, "18.48"), handle_turns=turns)) == ["gauge-turn-out", "handle-turn-out"]


def test_a_gauge_without_a_turn_is_not_asked_about_one() -> None:
    electronic = replace(MICROMETER, kind=GaugeKind.ELECTRONIC)
    assert gauge_turn_mm(electronic) == gauge_turn_mm(replace(electronic, step_mm=Fraction("0.0254"))) == 0.0
    assert codes(replace(typed(18.48, "18.48"), gauge=electronic)) == ["far-from-expected"]


@pytest.mark.parametrize(("step_mm", "turn_mm"), [("0.01", 1.0), ("0.02", 2.0), ("0.0254", 2.54)])
def test_a_dial_caliper_turns_by_its_step(step_mm: str, turn_mm: float) -> None:
    gauge = replace(CALIPER, kind=GaugeKind.DIAL_CALIPER, step_mm=Fraction(step_mm))
    assert gauge_turn_mm(gauge) == pytest.approx(turn_mm)


def test_a_reading_in_question_stays_out_of_what_is_asked_of_all() -> None:
    stop = with_readings(17.98, 17.981, 18.48)
    assert codes(stop) == ["gauge-turn-out"]
    stood_by = replace(stop, readings=(*stop.readings[:2], replace(stop.readings[2], confirmed=True)))
    assert codes(stood_by) == ["spread-wide"]


def test_an_outlier_is_named_by_its_place_and_two_readings_name_none() -> None:
    question = the(PROVOKED["outlier"], "outlier")
    assert question.reading == 2
    assert question.saw.startswith("reading 3, 17.995 mm")
    assert "outlier" not in codes(replace(with_readings(17.98, 17.995), expected_sd_mm=0.05))


def test_a_reading_that_does_not_count_meanwhile_is_left_out_in_words_too() -> None:
    """19.80, 19.85, 19.86 were "2 readings", of which "3 in all" were to be taken."""
    too_few = replace(with_readings(17.93, 17.98, 17.98), tolerance_mm=0.015, expected_sd_mm=0.05)
    assert codes(too_few) == ["outlier", "more-readings"]
    assert the(too_few, "more-readings").saw.startswith("2 readings (without reading 1) with ")
    assert "4 in all (without reading 1), each in a place of its own" in the(too_few, "more-readings").ask
    apart = replace(with_readings(17.9, 17.98, 17.99), tolerance_mm=0.02, expected_sd_mm=0.05)
    assert codes(apart) == ["outlier", "spread-wide"]
    assert the(apart, "spread-wide").saw.startswith("2 readings (without reading 1) lie ")


def test_readings_in_one_place_count_as_part_of_one_each() -> None:
    here = tuple(TypedReading(read_mm=17.98, place="front") for _ in range(3))
    assert together(PLAIN, here).effective == 1.5
    assert together(PLAIN, with_readings(17.98, 17.98, 17.98).readings).effective == 3.0


def test_how_many_readings_would_do_is_said_and_so_many_do() -> None:
    stop = PROVOKED["more-readings"]
    (wanted,) = [figure.value for figure in the(stop, "more-readings").figures if figure.name == "wanted"]
    enough = tuple(reading(17.98) for _ in range(int(wanted)))
    assert codes(replace(stop, readings=enough)) == []
    assert codes(replace(stop, readings=enough[:-1])) == ["more-readings"]


def test_what_could_decide_is_named_from_the_shop_else_in_general() -> None:
    stop = PROVOKED["gauge-cannot-decide"]
    assert "ring gauge of that size" in the(stop, "gauge-cannot-decide").ask
    assert the(
        replace(stop, other_gauges=(CALIPER, LARGER_MICROMETER, MICROMETER)), "gauge-cannot-decide"
    ).ask.startswith("Use micrometer;")
    bore = replace(stop, use=GaugeUse.BORE)
    assert "plug gauge turned or bought to that size" in the(bore, "gauge-cannot-decide").ask
    length = replace(stop, use=GaugeUse.LENGTH)
    assert "gauge block" in the(length, "gauge-cannot-decide").ask


def test_a_gauge_decides_only_what_it_reaches_and_is_for() -> None:
    assert gauge_decides(MICROMETER, GaugeUse.OUTSIDE, size_mm=18.0, tolerance_mm=0.05) == 1
    assert gauge_decides(MICROMETER, GaugeUse.BORE, size_mm=18.0, tolerance_mm=0.05) is None
    assert gauge_decides(MICROMETER, GaugeUse.OUTSIDE, size_mm=26.0, tolerance_mm=0.05) is None


@pytest.mark.parametrize("tolerance_mm", [0.02, 0.033, 0.05, 0.1])
def test_what_the_planner_lets_a_gauge_decide_three_readings_decide_here(tolerance_mm: float) -> None:
    """The planner takes a gauge whose uncertainty both ways is at most half of the tolerance."""
    gauge = replace(MICROMETER, uncertainty_mm=tolerance_mm / 4.0)
    needed = gauge_decides(gauge, GaugeUse.OUTSIDE, size_mm=18.0, tolerance_mm=tolerance_mm)
    assert needed is not None
    assert needed <= 3


def test_without_limits_only_single_readings_are_asked_about() -> None:
    stop = replace(with_readings(17.95, 17.98, 18.01), tolerance_mm=None, gauge=CALIPER, use=GaugeUse.BORE)
    assert codes(replace(stop, expected_sd_mm=0.05, warm_mm=1.0, lobes=3, lobes_mm=1.0)) == []


@pytest.mark.parametrize(
    ("kind", "seen"),
    [
        (GaugeKind.MICROMETER, {2, 4, 6}),
        (GaugeKind.TELESCOPING, {2, 4, 6}),
        (GaugeKind.THREE_POINT, {3, 6}),
        (GaugeKind.PLUG, {2, 3, 4, 5, 6}),
    ],
)
def test_which_gauge_sees_which_lobes(kind: GaugeKind, seen: set[int]) -> None:
    gauge = replace(MICROMETER, kind=kind)
    assert {number for number in range(2, 7) if sees_lobes(gauge, number)} == seen


@pytest.mark.parametrize(
    ("use", "kind", "number", "named"),
    [
        (GaugeUse.BORE, GaugeKind.BORE_GAUGE, 3, "a three-point gauge or a plug gauge"),
        (GaugeUse.OUTSIDE, GaugeKind.MICROMETER, 3, "an indicator over a vee of 60° or a ring gauge"),
        (GaugeUse.OUTSIDE, GaugeKind.MICROMETER, 5, "with a ring gauge."),
        (GaugeUse.BORE, GaugeKind.THREE_POINT, 4, "a plug gauge or a gauge with two contacts"),
    ],
)
def test_what_sees_the_lobes_is_named(use: GaugeUse, kind: GaugeKind, number: int, named: str) -> None:
    stop = replace(PLAIN, use=use, gauge=replace(MICROMETER, kind=kind), lobes=number, lobes_mm=0.01)
    assert named in the(stop, "lobes-unseen").ask


def test_cold_work_is_small_and_that_is_asked_too() -> None:
    question = the(replace(PROVOKED["warm-reading"], temperature_c=5.0), "warm-reading")
    assert "too small" in question.saw
    assert question.offered_mm is not None
    assert question.offered_mm > 17.98


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: reading(-0.1, "-0.1"), "reading '-0.1': got -0.1 mm, must be 0 or more; type it again"),
        (lambda: reading(float("nan")), "must be 0 or more"),
        (lambda: replace(PLAIN, readings=()), "readings: got none, must be one or more; measure first"),
        (lambda: replace(PLAIN, expected_sd_mm=0.0), "expected_sd_mm: got 0 mm, must be above 0"),
        (lambda: replace(PLAIN, tolerance_mm=0.0), "tolerance_mm: got 0 mm, must be above 0"),
        (lambda: HandleTurn(name="top slide", reading_mm=0.0), "reading_mm: got 0 mm, must be above 0"),
    ],
)
def test_a_stop_that_makes_no_sense_is_refused(make: Callable[[], object], message: str) -> None:
    with pytest.raises(OutOfRangeError, match=message):
        make()


def test_a_question_without_a_known_code_is_refused() -> None:
    with pytest.raises(UnknownQuestionError, match="question 'odd': no such code"):
        Question(code="odd", saw="s", perhaps="p", ask="a")


def test_codes_of_questions_are_none_of_findings() -> None:
    assert set(QUESTION_CODES) & set(FINDING_CODES) == set()
