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
from handwheel.domain.errors import InputError
from handwheel.domain.events import EventKind
from handwheel.domain.exact import Fraction
from handwheel.report.steps import act_numbers
from handwheel.service.bench_commands import command_in
from handwheel.service.bench_journal import read_journal
from handwheel.service.bench_judges import BY_THE_SHEET, Judges, Raised, StopRead
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


ASKING = Judges(questions=asks_above, advice=lambda read: (f"advice on {float(read.mean_mm):.3f}",))


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
        state_in(session.answer('{"reading": 25.4}'))
        state_in(session.answer('{"reading": "1.0"}'))
        assert [event.value for event in session.walk.readings[state.act]] == [Fraction("25.4")] * 2


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
    with demo_sitting(tmp_path / "j") as session:
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
        assert (state.questions, state.advice) == (("is it so high?",), ())
        assert [(one.reading_mm, one.counts) for one in state.readings] == [(29.35, False)]
        assert session.walk.size_at(state.act) is None
        assert session.answer('{"do": "done", "because": "I know"}').error[-1].startswith("this reading was asked back")
    with sitting(tmp_path / "j", plan, shop, judges=ASKING) as session:  # killed meanwhile
        state = state_in(session.answer('{"do": "stands"}'))
        assert (state.questions, state.advice) == ((), ("advice on 29.350",))
        asked, stands = session.walk.events[-3], session.walk.events[-1]
        assert (asked.kind, stands.kind, stands.corrects) == (EventKind.ASKED, EventKind.READING, asked.id)
        assert state_in(session.answer('{"do": "done"}')).number == "6.18"


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
        assert (state.questions, [one.counts for one in state.readings]) == (("they lie apart",), [True, True])
        assert session.answer('{"do": "done"}').error[0] == "they lie apart"
        state = state_in(session.answer('{"do": "stands"}'))
        assert state.questions == ()
        assert session.walk.events[-1].text == "apart"
        state_in(session.answer('{"do": "back"}'))
        assert session.answer('{"do": "done"}').error[0] == "they lie apart"


def test_the_band_of_a_table_that_a_reading_falls_in_is_the_advice(tmp_path: Path) -> None:
    plan, shop = demo_plan("bush", "metric-lathe"), demo_shop("metric-lathe")
    bands = (
        a.AdviceBand(low_mm=29.2, high_mm=29.3, act="set the collar"),
        a.AdviceBand(low_mm=29.3, high_mm=29.4, act="let it cool, then measure again"),
    )
    place = next(place for place, act in enumerate(plan.sheet.acts) if isinstance(act, a.Measure))
    acts = list(plan.sheet.acts)
    acts[place] = replace(acts[place], table=a.AdviceTable(bands=bands))
    tabled = replace(plan, sheet=replace(plan.sheet, acts=tuple(acts)))
    with sitting(tmp_path / "j", tabled, shop, judges=BY_THE_SHEET) as session:
        walk_on(session, until=FIRST)
        assert state_in(session.answer('{"reading": 29.36}')).advice == ("let it cool, then measure again",)
        state_in(session.answer('{"do": "back"}'))
        assert state_in(session.answer('{"reading": 29.25}')).advice == ("set the collar",)
        state_in(session.answer('{"do": "back"}'))
        assert "stop and plan again" in state_in(session.answer('{"reading": 29.15}')).advice[0]


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
