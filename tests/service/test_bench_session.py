"""A sitting at the lathe by JSON lines: what is asked, what is refused, what a reading does, what comes back."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from msgspec.structs import replace

from handwheel.domain import acts as a
from handwheel.domain.advice import AdviceBand, AdviceRule, AdviceTable, Do
from handwheel.domain.errors import InputError
from handwheel.domain.events import EventKind
from handwheel.domain.exact import Fraction
from handwheel.domain.motion import Handle, Turn
from handwheel.domain.plan import Plan
from handwheel.report.steps import act_numbers
from handwheel.service.bench_asks import ANEW_FIRST, GO_ON
from handwheel.service.bench_commands import command_in
from handwheel.service.bench_journal import read_journal
from handwheel.service.bench_judges import BY_THE_SHEET, Advised, Judges, Raised, StopRead
from handwheel.service.bench_lines import line_of
from handwheel.service.bench_state import reply_line
from handwheel.service.schemas.bench import bench_schema
from tests.demo_plans import demo_plan, demo_shop
from tests.service.benches import demo_sitting, fitting_line, sitting, state_in, walk_on

FIRST = "6.17"
"""First measuring act of the bush on the metric lathe: outside, expected 29.24, stop outside 29.04 to 29.44 mm."""


def asks_above(read: StopRead) -> tuple[Raised, ...]:
    """Ask about each reading above 29.3 mm, about all together if they lie apart; above 40 mm no word settles it."""
    single = tuple(
        Raised(code="high", text="is it so high?", reading=place, forbids=one.value_mm > 40)
        for place, one in enumerate(read.taken)
        if one.value_mm > Fraction("29.3") and not one.confirmed
    )
    values = [one.value_mm for one in read.taken]
    apart = max(values) - min(values) > Fraction("0.05")
    return (*single, *((Raised(code="apart", text="they lie apart"),) if apart else ()))


def tells_mean(read: StopRead) -> Advised:
    """Say the mean; go on below 29.45 mm alone."""
    return Advised(words=(f"advice on {float(read.mean_mm):.3f}",), goes_on=read.mean_mm < Fraction("29.45"))


ASKING = Judges(questions=asks_above, advice=tells_mean)


def first_measured(part: str, lathe: str) -> str:
    """Number of the first measuring act of a plan of the demo."""
    sheet = demo_plan(part, lathe).sheet
    return act_numbers(sheet)[next(act.id for act in sheet.acts if isinstance(act, a.Measure))]


def test_a_measuring_act_says_what_is_asked_and_is_not_done_without_it(tmp_path: Path) -> None:
    with demo_sitting(tmp_path / "j") as session:
        state = walk_on(session, until=FIRST)
        (ask,) = state.asks
        assert (ask.what.value, ask.needed, ask.answered, ask.gauge) == ("reading", True, False, "micrometer-25-50")
        assert (ask.expected_mm, ask.stop_low_mm, ask.stop_high_mm) == pytest.approx((29.24, 29.04, 29.44))
        refused = session.answer('{"do": "done"}')
        assert refused.error == ("tell first: the reading, outside, diameter",)
        assert (refused.state, refused.saved) == (state, None)


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("29.2", "29.2"),
        ('"29,2"', "29.2"),
        ('"29.2 mm"', "29.2"),
        ('"1.15 in"', "29.21"),
        ('"1 5/32 in"', "29.36875"),
    ],
)
def test_a_reading_is_read_exactly_and_said_back_in_both_units(typed: str, value: str, tmp_path: Path) -> None:
    with demo_sitting(tmp_path / "j") as session:
        walk_on(session, until=FIRST)
        reply = session.answer(f'{{"reading": {typed}}}')
        assert session.walk.events[-1].value == Fraction(value)
    assert reply.told[0].startswith("read: Ø ")
    assert " mm (" in reply.told[0]
    assert state_in(reply).readings[0].reading_mm == pytest.approx(float(Fraction(value)))


def test_a_number_without_a_unit_is_in_mm_and_text_without_one_in_the_unit_of_the_shop(tmp_path: Path) -> None:
    with demo_sitting(tmp_path / "j", "bush", "inch-lathe") as session:
        state = walk_on(session, until=first_measured("bush", "inch-lathe"))
        (ask,) = state.asks
        assert ask.expected_mm is not None
        number, inches = round(ask.expected_mm, 2), round(ask.expected_mm / 25.4, 4)
        state_in(session.answer(json.dumps({"reading": number})))
        state_in(session.answer(json.dumps({"reading": str(inches)})))
        values = [event.value for event in session.walk.readings[state.act]]
        assert values == [Fraction(str(number)), Fraction(str(inches)) * Fraction("25.4")]


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ('{"reading": "29.2 mil"}', "a thousandth of an inch or a millimetre?"),
        ('{"reading": "3/16"}', "a fraction of what?"),
        ('{"reading": -1}', "a size is not below 0"),
        ('{"reading": [1]}', "allowed a number, or text with a unit"),
        ('{"reading": true}', "allowed a number, or text with a unit"),
        ('{"reading": 1e999999999}', "no length in a workshop has that many digits"),
        ('{"reading": 29.2, "gauge": "ruler"}', "'ruler' is not in this shop; give one of micrometer-0-25"),
        ('{"dial": 5}', "what a collar shows is not asked for here"),
        ('{"do": "stands"}', "nothing was asked back"),
        ('{"go": "99"}', "'99' is no step or act"),
        ('{"go": "6.17", "sure": true}', "6.17 is next already"),
        ('{"do": "dance"}', "Invalid enum value 'dance'"),
        ('{"do": "done", "note": "x"}', "say one thing"),
        ("{}", "say one thing"),
        ("done", "write for instance"),
        ('{"reading": 29.2, "size": 3}', "unknown field `size`"),
        ('{"do": "done", "at": "noon"}', "allowed a time in UTC"),
        ('{"note": "' + "x" * 3000 + '"}', "a text has at most 2000 letters"),
        ("[" * 100_000, "write for instance"),
    ],
)
def test_what_cannot_be_done_comes_back_as_words_and_changes_nothing(line: str, why: str, tmp_path: Path) -> None:
    with demo_sitting(tmp_path / "j") as session:
        state = walk_on(session, until=FIRST)
        before = (tmp_path / "j").read_bytes()
        reply = session.answer(line)
        assert any(why in problem for problem in reply.error), reply.error
        assert (reply.state, reply.saved) == (state, None)
        assert (tmp_path / "j").read_bytes() == before
        state_in(session.answer('{"reading": 29.24}'))


def test_a_reading_outside_its_band_stops_until_it_is_taken_back_or_a_reason_is_given(tmp_path: Path) -> None:
    plan, shop = demo_plan("bush", "metric-lathe"), demo_shop("metric-lathe")
    with sitting(tmp_path / "j", plan, shop, judges=BY_THE_SHEET) as session:
        walk_on(session, until=FIRST)
        state = state_in(session.answer('{"reading": 29.74}'))
        assert state.outside[0].startswith("STOP: Ø 29.740 mm (1.1709 in) lies outside 29.040 to 29.440 mm")
        assert "measure again, with another gauge if you can, or stop the job" in state.outside[0]
        refused = session.answer('{"do": "done"}')
        assert refused.error[0] == state.outside[0]
        assert session.answer('{"do": "done", "because": "  "}').error
        state_in(session.answer('{"do": "back"}'))
        state = state_in(session.answer('{"reading": 29.25}'))
        assert state.outside == ()
        assert state_in(session.answer('{"do": "done"}')).number == "6.18"


def test_going_on_in_spite_of_a_reading_is_written_down_with_its_reason(tmp_path: Path) -> None:
    with demo_sitting(tmp_path / "j") as session:
        walk_on(session, until=FIRST)
        session.answer('{"reading": 29.46}')
        assert state_in(session.answer('{"do": "done", "because": "measured twice"}')).number == "6.18"
    assert read_journal(tmp_path / "j").events[-1].text == "measured twice"


def test_it_is_the_mean_of_the_readings_that_is_judged(tmp_path: Path) -> None:
    with demo_sitting(tmp_path / "j") as session:
        walk_on(session, until=FIRST)
        state_in(session.answer('{"reading": 29.46}'))
        state = state_in(session.answer('{"reading": 29.40}'))
        assert (len(state.readings), state.outside) == (2, ())
        assert session.walk.size_at(state.act) == Fraction("29.43")


def test_a_finished_size_outside_its_limits_stops(tmp_path: Path) -> None:
    plan = demo_plan("bush", "metric-lathe")
    final = next(act for act in plan.sheet.acts if isinstance(act, a.Measure) and act.final)
    with demo_sitting(tmp_path / "j") as session:
        walk_on(session, until=act_numbers(plan.sheet)[final.id])
        state = state_in(session.answer(json.dumps({"reading": round(final.upper_mm + 0.001, 4)})))
        assert any("is not within the finished size" in words for words in state.outside)
        assert session.answer('{"do": "done"}').error


def test_a_reading_that_is_asked_back_does_not_count_until_it_is_said_to_stand(tmp_path: Path) -> None:
    plan, shop = demo_plan("bush", "metric-lathe"), demo_shop("metric-lathe")
    with sitting(tmp_path / "j", plan, shop, judges=ASKING) as session:
        walk_on(session, until=FIRST)
        state = state_in(session.answer('{"reading": 29.35}'))
        assert ([one.text for one in state.questions], state.advice) == (["is it so high?"], ())
        assert [(one.reading_mm, one.counts) for one in state.readings] == [(29.35, False)]
        assert session.walk.size_at(state.act) is None
        assert session.answer('{"do": "done", "because": "I know"}').error[-1].startswith("this reading was asked back")
    with sitting(tmp_path / "j", plan, shop, judges=ASKING) as session:  # killed meanwhile
        state = state_in(session.answer('{"do": "stands"}'))
        assert (state.questions, state.advice) == ((), ("advice on 29.350",))
        asked, stands = session.walk.events[-3], session.walk.events[-1]
        assert (asked.kind, stands.kind, stands.corrects) == (EventKind.ASKED, EventKind.READING, asked.id)
        assert state_in(session.answer('{"do": "done"}')).number == "6.18"


@pytest.mark.parametrize(
    ("read", "code"),
    [
        ("29.74", "gauge-turn-out"),  # PC-05: a micrometer misread by one turn of half a millimetre
        ("1.1512", "wrong-unit"),
        ("14.62", "radius-typed"),
        ("292.4", "beyond-gauge"),
    ],
)
def test_a_slip_is_asked_about_before_it_counts_and_nothing_is_corrected(read: str, code: str, tmp_path: Path) -> None:
    with demo_sitting(tmp_path / "j") as session:
        walk_on(session, until=FIRST)
        state = state_in(session.answer(f'{{"reading": {read}}}'))
        assert code in [question.code for question in state.questions]
        assert [(str(one.reading_mm), one.counts) for one in state.readings] == [(read, False)]
        assert session.walk.size_at(state.act) is None
        state = state_in(session.answer('{"reading": 29.24}'))
        assert (state.questions, [one.reading_mm for one in state.readings]) == ((), [29.24])


def test_the_temperature_of_the_work_is_part_of_a_reading_and_is_judged(tmp_path: Path) -> None:
    """Bronze, 20 mm, 30 K above 20 degrees: some 0.01 mm, far beyond a tenth of the tolerance of 0.033 mm."""
    stop = next(
        number
        for act_id, number in act_numbers(demo_plan("bush", "metric-lathe").sheet).items()
        if act_id == last_bore_measurement()
    )
    with demo_sitting(tmp_path / "j") as session:
        state = walk_on(session, until=stop)
        (ask,) = state.asks
        assert ask.expected_mm is not None
        line = json.dumps({"reading": round(ask.expected_mm, 3), "temperature_c": 50})
        state = state_in(session.answer(line))
        assert "warm-reading" in [question.code for question in state.questions]
        assert session.walk.events[-1].temperature_c == 50.0
        assert (
            session.answer('{"reading": 20.0, "temperature_c": 5000}').error[0].startswith("temperature_c: found 5000")
        )


def last_bore_measurement() -> str:
    """Id of the act that measures the bore as finished, in the bush on the metric lathe."""
    acts = demo_plan("bush", "metric-lathe").sheet.acts
    found = [act for act in acts if isinstance(act, a.Measure) and act.surface == "bore" and act.final]
    return found[0].id


def test_a_second_gauge_is_judged_by_itself(tmp_path: Path) -> None:
    with demo_sitting(tmp_path / "j") as session:
        walk_on(session, until=FIRST)
        state_in(session.answer('{"reading": 29.24}'))
        state = state_in(session.answer('{"reading": 29.24, "gauge": "bore-20-25"}'))
        assert [question.code for question in state.questions] == ["beyond-gauge"]
        assert [one.counts for one in state.readings] == [True, False]


def test_another_reading_stands_in_place_of_the_one_that_was_asked_back(tmp_path: Path) -> None:
    plan, shop = demo_plan("bush", "metric-lathe"), demo_shop("metric-lathe")
    with sitting(tmp_path / "j", plan, shop, judges=ASKING) as session:
        walk_on(session, until=FIRST)
        state_in(session.answer('{"reading": 29.35}'))
        state_in(session.answer('{"reading": 29.36}'))
        state = state_in(session.answer('{"reading": 29.25}'))
        assert [(one.reading_mm, one.counts) for one in state.readings] == [(29.25, True)]
        state = state_in(session.answer('{"do": "back"}'))
        assert [(one.reading_mm, one.counts) for one in state.readings] == [(29.36, False)]


def test_no_word_settles_what_needs_another_reading(tmp_path: Path) -> None:
    plan, shop = demo_plan("bush", "metric-lathe"), demo_shop("metric-lathe")
    with sitting(tmp_path / "j", plan, shop, judges=ASKING) as session:
        walk_on(session, until=FIRST)
        state_in(session.answer('{"reading": 290.3}'))
        assert session.answer('{"do": "stands"}').error == (
            "is it so high?",
            "that cannot be settled by a word: read again, or take the reading back",
        )


def test_what_is_asked_about_all_readings_keeps_the_act_open_until_it_is_settled(tmp_path: Path) -> None:
    plan, shop = demo_plan("bush", "metric-lathe"), demo_shop("metric-lathe")
    with sitting(tmp_path / "j", plan, shop, judges=ASKING) as session:
        walk_on(session, until=FIRST)
        state_in(session.answer('{"reading": 29.20}'))
        state = state_in(session.answer('{"reading": 29.28}'))
        assert [one.text for one in state.questions] == ["they lie apart"]
        assert [one.counts for one in state.readings] == [True, True]
        assert session.answer('{"do": "done"}').error[0] == "they lie apart"
        state = state_in(session.answer('{"do": "stands"}'))
        assert state.questions == ()
        assert session.walk.events[-1].text == "apart"
        state_in(session.answer('{"do": "back"}'))
        assert session.answer('{"do": "done"}').error[0] == "they lie apart"


def tabled_job(bands: tuple[AdviceBand, ...], *, sets: int) -> Plan:
    """The bush on the metric lathe with a table at its first stop, which sets the act so many places behind it."""
    plan = demo_plan("bush", "metric-lathe")
    acts = list(plan.sheet.acts)
    place = next(place for place, act in enumerate(acts) if isinstance(act, a.Measure))
    table = AdviceTable(
        bands=bands, step_mm=0.01, sets=acts[place + sets].id, handle=Handle.CROSS, turn=Turn.CLOCKWISE, beyond=False
    )
    acts[place] = replace(acts[place], table=table)
    return replace(plan, sheet=replace(plan.sheet, acts=tuple(acts)))


BANDS = (
    AdviceBand(low_mm=29.10, high_mm=29.15, do=Do.COOL, seconds=120.0),
    AdviceBand(low_mm=29.16, high_mm=29.19, do=Do.CUT_AGAIN, marks=Fraction(2), dial=Fraction(21)),
    AdviceBand(low_mm=29.20, high_mm=29.22, do=Do.SET, marks=Fraction(31), dial=Fraction(169)),
    AdviceBand(low_mm=29.23, high_mm=29.30, do=Do.SET, rule=AdviceRule(zero_mm=27.9, mm_per_mark=0.04)),
    AdviceBand(low_mm=29.31, high_mm=29.35, do=Do.GO_ON),
    AdviceBand(low_mm=29.37, high_mm=29.39, do=Do.GOOD),
)


@pytest.mark.parametrize(
    ("read", "advice", "goes_on", "anew"),
    [
        ("29.12", "by the table: COOL 2 min", False, True),
        ("29.18", "by the table: CUT 2 deeper", False, True),
        ("29.204", "by the table: DIAL 169 (6.76) 31 short", True, False),
        ("29.32", "by the table: GO ON", True, False),
        ("29.38", "by the table: GOOD", False, False),
        ("29.36", "no line of the table has that reading: stop and plan again", False, False),
    ],
)
def test_the_row_of_a_table_that_a_reading_falls_in_is_the_advice(
    read: str, advice: str, tmp_path: Path, *, goes_on: bool, anew: bool
) -> None:
    with sitting(tmp_path / "j", tabled_job(BANDS, sets=1), demo_shop("metric-lathe"), judges=BY_THE_SHEET) as session:
        shown = walk_on(session, until=FIRST)
        assert len(shown.table) == len(BANDS) + 1
        state = state_in(session.answer(f'{{"reading": {read}}}'))
        assert (state.advice[0], state.goes_on, state.anew) == (advice, goes_on, anew)
        assert bool(session.answer('{"do": "done"}').error) is not goes_on


@pytest.mark.parametrize(("read", "dial"), [("29.21", 169), ("29.25", 166), ("29.33", 165)])
def test_the_collar_is_set_as_the_row_says_and_by_the_rule_where_none_sets_it(
    read: str, dial: int, tmp_path: Path
) -> None:
    """By the row 31 short; by its rule (29.25 - 27.9) / 0.04 = 33.75, 34; by the sheet (29.33 - 27.92) / 0.04, 35."""
    with sitting(tmp_path / "j", tabled_job(BANDS, sets=1), demo_shop("metric-lathe"), judges=BY_THE_SHEET) as session:
        walk_on(session, until=FIRST)
        state_in(session.answer(f'{{"reading": {read}}}'))
        state = state_in(session.answer('{"do": "done"}'))
        assert any(line.startswith(f"DIAL {dial} ") for line in state.text), state.text


def test_what_was_read_before_another_cut_counts_no_more(tmp_path: Path) -> None:
    with sitting(tmp_path / "j", tabled_job(BANDS, sets=1), demo_shop("metric-lathe"), judges=BY_THE_SHEET) as session:
        walk_on(session, until=FIRST)
        assert session.answer('{"do": "anew"}').error == ("nothing was read here yet; give the reading",)
        state_in(session.answer('{"reading": 29.18}'))
        refused = session.answer('{"do": "done"}').error
        assert refused[-2:] == (ANEW_FIRST, GO_ON)
        assert state_in(session.answer('{"do": "anew"}')).readings == ()
        state = state_in(session.answer('{"reading": 29.21}'))
        assert (state.mean_mm, state.goes_on) == (29.21, True)
        for _ in range(2):
            state = state_in(session.answer('{"do": "back"}'))
        assert state.mean_mm == 29.18


def test_a_setting_that_a_row_gives_stands_in_the_act_that_it_sets(tmp_path: Path) -> None:
    """Beyond a touched zero: made up, for the next move of the cross-slide counts from the collar in this plan."""
    plan = tabled_job(BANDS, sets=1)
    place = next(place for place, act in enumerate(plan.sheet.acts) if isinstance(act, a.Measure))
    later = next(n for n, act in enumerate(plan.sheet.acts) if n > place and is_cross_move(act))
    bands = (AdviceBand(low_mm=29.0, high_mm=29.4, do=Do.SET, marks=Fraction(23), dial=Fraction(23)),)
    plan = tabled_job(bands, sets=later - place)
    acts = list(plan.sheet.acts)
    stop = acts[place]
    assert isinstance(stop, a.Measure)
    assert stop.table is not None
    acts[place] = replace(stop, table=replace(stop.table, beyond=True))
    plan = replace(plan, sheet=replace(plan.sheet, acts=tuple(acts)))
    with sitting(tmp_path / "j", plan, demo_shop("metric-lathe"), judges=BY_THE_SHEET) as session:
        walk_on(session, until=act_numbers(plan.sheet)[acts[later].id])
        state = state_in(session.answer('{"do": "state"}'))
        assert any(line.startswith("DIAL 23 ") and "23 marks beyond 0" in line for line in state.text), state.text
        assert "by the table, from your reading 29.240 mm (1.1512 in)" in state.text


def is_cross_move(act: a.Act) -> bool:
    """Whether an act sets the cross-slide."""
    return isinstance(act, a.Move) and act.setting.handle is Handle.CROSS


def test_work_that_had_no_time_to_cool_is_told_of(tmp_path: Path) -> None:
    plan = demo_plan("bush", "metric-lathe")
    cool = next(act for act in plan.sheet.acts if isinstance(act, a.Cool))
    with demo_sitting(tmp_path / "j") as session:
        state = state_in(session.answer('{"do": "state"}'))
        while state.act != cool.id:
            state = state_in(session.answer(fitting_line(state)))
        reply = session.answer('{"do": "done"}')
    assert "work that is still warm reads too large" in reply.told[0]


def test_a_job_that_is_given_up_takes_nothing_but_a_step_back(tmp_path: Path) -> None:
    with demo_sitting(tmp_path / "j") as session:
        walk_on(session, most=2)
        assert state_in(session.answer('{"do": "stop", "because": "the bar is bent"}')).stopped
        for line in ('{"do": "done"}', '{"do": "stop"}', '{"go": "1", "sure": true}'):
            assert session.answer(line).error == ("the job was stopped; go back takes that back",)
        state_in(session.answer('{"note": "a new bar is ordered"}'))
    with demo_sitting(tmp_path / "j") as session:
        assert not state_in(session.answer('{"do": "back"}')).stopped
        walk_on(session, most=1)


def test_when_all_is_done_nothing_more_is_taken_but_notes_and_a_step_back(tmp_path: Path) -> None:
    with demo_sitting(tmp_path / "j") as session:
        walk_on(session)
        assert session.answer('{"do": "done"}').error == ("all acts are done; nothing is left to do",)
        state_in(session.answer('{"note": "fits"}'))
        assert not state_in(session.answer('{"do": "back"}')).over


def test_the_reasons_steps_and_times_are_told_when_asked_for(tmp_path: Path) -> None:
    with demo_sitting(tmp_path / "j") as session:
        walk_on(session, until="6.20")
        assert "6.20" not in session.answer('{"do": "steps"}').why
        assert session.answer('{"do": "steps"}').steps[1].done == 20
        walk_on(session, until="6.21")
        assert "6.21 set" in session.answer('{"do": "why"}').why
        assert [taken.step for taken in session.answer('{"do": "times"}').times][:2] == ["load", "front-face"]


def test_the_time_that_a_script_gives_is_when_it_happened(tmp_path: Path) -> None:
    with demo_sitting(tmp_path / "j") as session:
        state_in(session.answer('{"do": "done", "at": "2026-11-29T10:00:00Z"}'))
        event = session.walk.events[-1]
    assert event.happened_at == "2026-11-29T10:00:00Z"
    assert event.recorded_at.startswith("2026-11-30T08:")


def test_a_disk_that_is_full_is_told_and_the_act_does_not_count(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with demo_sitting(tmp_path / "j") as session:
        before = state_in(session.answer('{"do": "state"}'))
        written = (tmp_path / "j").read_bytes()

        def full(_handle: int, _line: bytes) -> int:
            raise OSError(28, "No space left on device")

        with monkeypatch.context() as patched:
            patched.setattr(os, "write", full)
            reply = session.answer('{"do": "done"}')
        assert "not saved (No space left on device); what was saved stays" in reply.error[0]
        assert reply.state == before
        assert (tmp_path / "j").read_bytes() == written
        assert state_in(session.answer('{"do": "done"}')).done == 1


def test_a_journal_of_another_plan_is_refused_with_what_to_do(tmp_path: Path) -> None:
    with demo_sitting(tmp_path / "j"):
        pass
    before = (tmp_path / "j").read_bytes()
    with (
        pytest.raises(InputError, match="give the plan that the journal was begun with"),
        demo_sitting(tmp_path / "j", "band"),
    ):
        pass
    assert (tmp_path / "j").read_bytes() == before


SCHEMA = bench_schema()


def validator(name: str) -> Draft202012Validator:
    """Judge of one kind of line."""
    return Draft202012Validator({"$defs": SCHEMA["$defs"], "$ref": f"#/$defs/{name}"})


def test_every_line_of_a_job_keeps_to_the_schema(tmp_path: Path) -> None:
    Draft202012Validator.check_schema(SCHEMA)
    plan, shop = demo_plan("bush", "metric-lathe"), demo_shop("metric-lathe")
    lines_in, lines_out = [], []
    with sitting(tmp_path / "j", plan, shop, judges=ASKING) as session:
        extra = [
            '{"do": "steps"}',
            '{"do": "times"}',
            '{"do": "why"}',
            '{"do": "back"}',
            '{"note": "x"}',
            '{"dial": 1}',
        ]
        state = state_in(session.answer('{"do": "state"}'))
        while not state.over:
            line = extra.pop() if extra and session.walk.trail else fitting_line(state)
            reply = session.answer(line)
            lines_in.append(line)
            lines_out.append(reply_line(reply))
            assert reply.state is not None
            state = reply.state
        journal = [line_of(event).decode() for event in session.walk.events]
    for name, lines in (("Command", lines_in), ("Reply", lines_out), ("Event", journal)):
        assert lines
        judge = validator(name)
        assert [list(judge.iter_errors(json.loads(line))) for line in lines] == [[]] * len(lines)


@pytest.mark.parametrize(
    "line",
    ['{"do": "dance"}', "{}", '{"do": "done", "note": "x"}', '{"reading": true}', '{"reading": 1, "size": 2}', "[]"],
)
def test_what_the_schema_of_a_line_refuses_is_refused(line: str, tmp_path: Path) -> None:
    assert not validator("Command").is_valid(json.loads(line))
    with demo_sitting(tmp_path / "j") as session:
        walk_on(session, until=FIRST)
        assert session.answer(line).error


Json = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=12),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=6,
)
KEYS = st.sampled_from(["do", "reading", "gauge", "dial", "note", "go", "sure", "because", "at", "x"])
WORDS = st.sampled_from(["done", "back", "stands", "stop", "state", "6.17", "29.24", "29.9", "7", "steps"]) | Json


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(said=st.lists(st.dictionaries(KEYS, WORDS, max_size=3) | Json, max_size=8))
def test_whatever_is_said_the_answer_is_a_line_and_the_journal_tells_the_state(
    said: list[Any], tmp_path_factory: pytest.TempPathFactory
) -> None:
    path = tmp_path_factory.mktemp("said") / "j"
    with demo_sitting(path) as session:
        session.answer('{"go": "6.17", "sure": true}')
        for one in said:
            json.loads(reply_line(session.answer(json.dumps(one))))
        live = (session.walk.at, session.walk.readings, session.walk.stopped)
    if not session.left:
        with demo_sitting(path) as again:
            assert (again.walk.at, again.walk.readings, again.walk.stopped) == live


def test_a_command_is_read_with_its_figures_exact() -> None:
    assert command_in('{"reading": 19.81, "gauge": "bore-16-20"}').gauge == "bore-16-20"
    with pytest.raises(InputError, match="say one thing"):
        command_in('{"reading": null}')
