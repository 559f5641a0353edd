"""The walk as a pure function of plan, shop and events: whole jobs, steps back, jumps, collars as read, times."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest
from msgspec.structs import replace

from handwheel.bench.judge import table_at
from handwheel.bench.stops import stops
from handwheel.domain import acts as a
from handwheel.domain.errors import InputError
from handwheel.domain.events import Event, EventId, EventKind
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.planner.planner import make_plan
from handwheel.report.as_read import SetBy, as_read, text_as_read
from handwheel.report.steps import NumberedAct, numbered_steps
from handwheel.service.bench_journal import read_journal
from handwheel.service.bench_lines import line_of
from handwheel.service.bench_times import StepTaken, times_taken
from handwheel.service.bench_walk import Walk, walk_of
from tests.demo_plans import PAIRS, demo_plan, demo_shop
from tests.service.benches import TICK_S, demo_sitting, fitting_line, sitting, state_in, walk_on
from tests.shops import part_of, shop_of

ODD_PAIRS = (
    ("fixed-collars", "steel-spacer"),
    ("readouts", "brass-bush"),
    ("diameter-inch", "inch-sleeve"),
    ("half-thou", "stainless-bush"),
)
"""Shops whose dials differ in kind, each with a part."""


@cache
def odd_job(shop: str, part: str) -> tuple[Plan, Shop]:
    """Plan of a part in one of the shops of the tests."""
    return make_plan(part_of(part), shop_of(shop)), shop_of(shop)


def collars(plan: Plan, shop: Shop) -> list[NumberedAct]:
    """Acts that are set from a reading."""
    every = (item for step in numbered_steps(plan, shop) for item in step.acts)
    return [item for item in every if isinstance(item.act, a.SetCollar | a.SetReadout)]


def stand(walk: Walk) -> tuple[object, ...]:
    """How a walk stands in the work, whatever its events."""
    return (walk.at, walk.done, dict(walk.set_from), walk.asked, walk.stopped, dict(walk.dials))


@pytest.mark.parametrize(("part", "lathe"), PAIRS)
def test_every_demo_plan_is_walked_to_its_end(part: str, lathe: str, tmp_path: Path) -> None:
    plan = demo_plan(part, lathe)
    with demo_sitting(tmp_path / "j", part, lathe) as session:
        state = walk_on(session)
        events = session.walk.events
    assert (state.over, state.done, state.of) == (True, len(plan.sheet.acts), len(plan.sheet.acts))
    assert [event.act for event in events if event.kind is EventKind.DONE] == [act.id for act in plan.sheet.acts]
    measured = {act.id for act in plan.sheet.acts if isinstance(act, a.Measure | a.Indicate) and act.gauge}
    assert {event.act for event in events if event.kind is EventKind.READING} == measured


@pytest.mark.parametrize(("part", "lathe"), PAIRS)
def test_after_every_event_the_journal_alone_gives_the_state_that_was_live(
    part: str, lathe: str, tmp_path: Path
) -> None:
    plan, shop = demo_plan(part, lathe), demo_shop(lathe)
    live = []
    with demo_sitting(tmp_path / "j", part, lathe) as session:
        state = state_in(session.answer('{"do": "state"}'))
        while not state.over:
            live.append(stand(session.walk))
            state = state_in(session.answer(fitting_line(state)))
    events = read_journal(tmp_path / "j").events
    assert len(events) == len(live) + 1
    assert [stand(walk_of(plan, shop, events[: k + 1])) for k in range(len(live))] == live


@pytest.mark.parametrize(("part", "lathe"), PAIRS)
@pytest.mark.parametrize("broken_off", [False, True])
def test_killed_after_a_line_or_in_it_and_resumed_the_job_ends_alike(
    part: str, lathe: str, tmp_path: Path, *, broken_off: bool
) -> None:
    plan, shop = demo_plan(part, lathe), demo_shop(lathe)
    whole = tmp_path / "whole"
    with demo_sitting(whole, part, lathe) as session:
        walk_on(session)
        end = stand(session.walk)
    lines = whole.read_bytes().splitlines(keepends=True)
    for k in range(7, len(lines), 97):
        killed = tmp_path / f"killed-{k}"
        rest = lines[k][: 1 + (k * 13) % (len(lines[k]) - 2)] if broken_off else b""
        killed.write_bytes(b"".join(lines[:k]) + rest)
        with sitting(killed, plan, shop) as session:
            assert stand(session.walk) == stand(walk_of(plan, shop, read_journal(whole).events[:k]))
            walk_on(session)
            assert stand(session.walk) == end
        kept = killed.read_bytes()
        assert kept.startswith(b"".join(lines[:k]) + rest)
        kinds = [event.kind for event in read_journal(killed).events]
        assert kinds.count(EventKind.TORN) == int(broken_off)


@pytest.mark.parametrize("pair", [*PAIRS, *ODD_PAIRS], ids=" ".join)
def test_a_size_read_as_expected_leaves_the_act_as_the_planner_set_it(pair: tuple[str, str]) -> None:
    """The rule at the lathe, the one on the sheet, and the planner's are one."""
    plan, shop = odd_job(*pair) if pair in ODD_PAIRS else (demo_plan(*pair), demo_shop(pair[1]))
    found = collars(plan, shop)
    assert found
    for item in found:
        assert isinstance(item.act, a.SetCollar | a.SetReadout)
        assert as_read(item, SetBy(reading_mm=Fraction(item.act.expected_dia_mm))) == item.act


@pytest.mark.parametrize(
    ("read", "turns", "marks", "short"),
    [
        ("29.24", -1, 167, 33),
        ("29.20", -1, 168, 32),
        ("29.25", -1, 167, 33),
        ("29.26", -1, 167, 33),
        ("29.262", -1, 166, 34),
        ("27.92", 0, 0, 0),
        ("27.86", 0, 2, -2),
        ("36.00", -2, 198, 202),
    ],
)
def test_the_collar_is_set_by_the_printed_rule_from_the_reading(read: str, turns: int, marks: int, short: int) -> None:
    """Reckoned by hand: (Ø - 27.920) / 0.04, 200 marks a turn, down to 0; of two as near more metal stays."""
    (item, *_) = collars(demo_plan("bush", "metric-lathe"), demo_shop("metric-lathe"))
    assert isinstance(item.act, a.SetCollar)
    assert (item.act.zero_dia_mm, item.act.dia_per_mark_mm) == pytest.approx((27.92, 0.04))
    by = SetBy(reading_mm=Fraction(read))
    found = as_read(item, by)
    assert isinstance(found, a.SetCollar)
    assert (found.turns, found.marks) == (turns, Fraction(marks))
    set_to = NumberedAct(number=item.number, act=found, scene=item.scene)
    side = "at 0" if short == 0 else "short of 0" if short > 0 else "beyond 0"
    words = " ".join(str(piece) for line in text_as_read(item, set_to, by).lines for piece in line)
    assert side in words
    assert f"DIAL {marks}" in words


def test_what_is_typed_is_what_the_collar_is_set_from_and_the_moves_after_it_start_there(tmp_path: Path) -> None:
    with demo_sitting(tmp_path / "j") as session:
        walk_on(session, until="6.17")
        state_in(session.answer('{"reading": 29.20}'))
        state_in(session.answer('{"reading": "29,16 mm"}'))
        state = state_in(session.answer('{"do": "done"}'))
        assert state.number == "6.18"
        assert "your reading Ø 29.180 mm (1.1488 in):" in state.text
        assert any("DIAL 169" in line for line in state.text)  # (29.18 - 27.92) / 0.04 = 31.5: 31 leaves more metal
        item = session.walk.item
        assert item is not None
        assert isinstance(item.act, a.SetCollar)
        assert item.act.expected_dia_mm == pytest.approx(29.18)


def test_of_two_marks_as_near_the_one_is_set_that_leaves_more_metal(tmp_path: Path) -> None:
    with demo_sitting(tmp_path / "j") as session:
        walk_on(session, until="6.17")
        state_in(session.answer('{"reading": 29.18}'))
        state = state_in(session.answer('{"do": "done"}'))
    assert any("0 turns + 31 marks short of 0" in line for line in state.text)


def with_tables(plan: Plan, shop: Shop) -> Plan:
    """The plan with the bench's own table at every stop that has a gauge."""
    tables = {stop.act: table_at(stop, shop) for stop in stops(plan.sheet, shop)}
    acts = tuple(replace(act, table=tables[act.id]) if isinstance(act, a.Measure) else act for act in plan.sheet.acts)
    return replace(plan, sheet=replace(plan.sheet, acts=acts))


@pytest.mark.parametrize(("part", "lathe"), PAIRS)
def test_with_the_tables_of_the_bench_the_acts_show_what_the_rows_say(part: str, lathe: str, tmp_path: Path) -> None:
    plan, shop = with_tables(demo_plan(part, lathe), demo_shop(lathe)), demo_shop(lathe)
    told: dict[str, str] = {}
    met = 0
    with sitting(tmp_path / "j", plan, shop) as session:
        state = state_in(session.answer('{"do": "state"}'))
        while not state.over:
            item = session.walk.item
            assert item is not None
            if state.row is not None and state.row.dial is not None and isinstance(item.act, a.Measure):
                assert item.act.table is not None
                told[item.act.table.sets] = f"DIAL {state.row.dial}"
            if state.act in told:
                assert any(line.startswith(told[state.act]) for line in state.text), (state.number, state.text)
                met += 1
            state = state_in(session.answer(fitting_line(state)))
    assert met >= len(told) > 3


def test_a_step_back_is_an_event_that_names_what_it_takes_back(tmp_path: Path) -> None:
    with demo_sitting(tmp_path / "j") as session:
        before = stand(session.walk)
        walk_on(session, most=1)
        reply = session.answer('{"do": "back"}')
        state_in(reply)
        assert "the machine stands where it stands" in reply.told[1]
        assert stand(session.walk) == before
        back, done = session.walk.events[-1], session.walk.events[-2]
    assert (back.kind, done.kind, back.corrects) == (EventKind.BACK, EventKind.DONE, done.id)
    assert [event.kind for event in read_journal(tmp_path / "j").events] == [
        EventKind.BEGUN,
        EventKind.DONE,
        EventKind.BACK,
    ]


def test_back_goes_all_the_way_to_the_beginning_and_no_further(tmp_path: Path) -> None:
    with demo_sitting(tmp_path / "j") as session:
        walk_on(session, until="6.18")
        while session.walk.trail:
            state_in(session.answer('{"do": "back"}'))
        assert (session.walk.at, session.walk.readings, session.walk.done) == (0, {}, frozenset())
        assert session.answer('{"do": "back"}').error == ("nothing was done yet that could be taken back",)
        assert state_in(session.answer('{"do": "state"}')).number == "1.1"


def test_a_jump_is_made_only_when_it_is_meant_and_drops_what_was_measured_there(tmp_path: Path) -> None:
    with demo_sitting(tmp_path / "j") as session:
        walk_on(session, until="6.18")
        asked = session.answer('{"go": "6.17"}')
        assert "from there on all counts as not done" in asked.error[0]
        assert session.walk.item_id == session.walk.laid.planned[session.walk.at].act.id
        state = state_in(session.answer('{"go": "6.17", "sure": true}'))
        assert (state.number, state.readings) == ("6.17", ())
        assert state_in(session.answer('{"do": "back"}')).number == "6.18"
        assert session.walk.set_from


def test_what_was_passed_over_is_told_at_the_end(tmp_path: Path) -> None:
    with demo_sitting(tmp_path / "j") as session:
        walk_on(session, most=3)
        state = state_in(session.answer('{"go": "18", "sure": true}'))
        assert state.number == "18.1"
        walk_on(session, until="18.4")
        state_in(session.answer(fitting_line(state_in(session.answer('{"do": "state"}')))))
        reply = session.answer('{"do": "done"}')
    assert reply.state is not None
    assert reply.state.over
    assert reply.told[0].startswith("not done by this record: 2.2, 2.3, ")


def test_a_collar_whose_measurement_was_passed_over_asks_for_the_size(tmp_path: Path) -> None:
    with demo_sitting(tmp_path / "j") as session:
        state = state_in(session.answer('{"go": "6.18", "sure": true}'))
        assert [(ask.of, ask.needed, ask.answered) for ask in state.asks] == [("outside, diameter", True, False)]
        assert session.answer('{"do": "done"}').error == ("tell first: the reading, outside, diameter",)
        state = state_in(session.answer('{"reading": 29.20}'))
        assert any("DIAL 168" in line for line in state.text)
        assert state_in(session.answer('{"do": "done"}')).number == "6.19"


def test_a_collar_that_cannot_be_set_is_asked_what_it_shows_and_every_setting_says_what_it_must_show(
    tmp_path: Path,
) -> None:
    plan, shop = odd_job("fixed-collars", "steel-spacer")
    told = []
    with sitting(tmp_path / "j", plan, shop) as session:
        state = state_in(session.answer('{"do": "state"}'))
        while not state.over:
            item = session.walk.item
            assert item is not None
            if isinstance(item.act, a.Move) and item.act.setting.kind is a.SettingKind.MARKS:
                own = [line for line in state.text if line.startswith("my DIAL ")]
                assert len(own) == 1
                dial = shop.lathe.slide(item.act.setting.handle).dial
                assert dial is not None
                zero = next(one for one in plan.sheet.acts if getattr(one, "zero", "") == item.act.setting.zero)
                if isinstance(zero, a.SetZero):  # it was answered with 7
                    told.append((own[0], (item.act.setting.marks + 7) % dial.marks))
            state = state_in(session.answer(fitting_line(state)))
    assert len(told) > 5
    assert all(float(Fraction(line.split()[2])) == pytest.approx(float(marks)) for line, marks in told)


def test_the_time_of_each_step_leaves_out_the_time_away_and_knows_when_it_knows_too_little(tmp_path: Path) -> None:
    with demo_sitting(tmp_path / "j") as session:
        walk_on(session, until="2.1")
        state_in(session.answer('{"do": "leave"}'))
    with demo_sitting(tmp_path / "j") as session:
        walk_on(session, until="4.1")
    with demo_sitting(tmp_path / "j") as session:  # no word was said before
        walk_on(session, until="5.1")
        found = {taken.step: taken for taken in times_taken(session.walk.events)}
        told = session.answer('{"do": "times"}').times
    assert tuple(found.values()) == told
    assert [found[step].whole for step in ("load", "front-face", "drill-1-centre-3", "drill-2-drill-14")] == [
        True,
        True,
        True,
        False,
    ]
    # each act looks at the clock twice: when it happened, and when it was written down
    assert found["load"] == StepTaken(step="load", seconds=2 * 2 * TICK_S, whole=True)


def event(number: int, kind: EventKind, **given: object) -> Event:
    """An event of a hand-written journal of the bush on the metric lathe."""
    plan = demo_plan("bush", "metric-lathe")
    at = f"2026-11-30T08:00:{number:02d}Z"
    known: dict[str, object] = {"device": "bench", "base": 0, "plan": plan.id, "happened_at": at, "recorded_at": at}
    return Event(**{**known, "counter": number, "kind": kind, **given})  # type: ignore[arg-type]  # of the test's own


def begun(**given: object) -> Event:
    return event(1, EventKind.BEGUN, **{"text": demo_plan("bush", "metric-lathe").uses, **given})


@pytest.mark.parametrize(
    ("events", "why"),
    [
        ((begun(plan="0123456789abcdef"),), "belongs to plan 0123456789ab, and this one is "),
        ((begun(text="another-shop"),), "begun with another shop; give that shop, or plan again"),
        ((event(1, EventKind.DONE, act="a001"),), "a journal begins with 'begun'"),
        ((begun(), event(2, EventKind.DONE, act="a002")), "belongs to act 'a002', and 'a001' is next"),
        ((begun(), event(2, EventKind.WENT, act="a999")), "has no act 'a999'"),
        ((begun(), event(2, EventKind.STOPPED), event(3, EventKind.DONE, act="a001")), "was stopped before it"),
        (
            (
                begun(),
                event(2, EventKind.DONE, act="a001"),
                event(3, EventKind.BACK, corrects=EventId(device="bench", counter=2)),
                event(4, EventKind.BACK, corrects=EventId(device="bench", counter=2)),
            ),
            "cannot be or is done",
        ),
        ((begun(), event(2, EventKind.BACK, corrects=EventId(device="bench", counter=1))), "cannot be or is done"),
        (
            (
                begun(),
                event(2, EventKind.DONE, act="a001"),
                event(3, EventKind.READING, act="a001", corrects=EventId(device="bench", counter=2)),
            ),
            "cannot be or is done",
        ),
    ],
)
def test_events_that_cannot_follow_are_refused_with_their_number(events: tuple[Event, ...], why: str) -> None:
    with pytest.raises(InputError, match=r"^event [0-9] of 'bench'") as told:
        walk_of(demo_plan("bush", "metric-lathe"), demo_shop("metric-lathe"), events)
    assert why in str(told.value)


def test_a_reading_that_is_replaced_later_counts_where_the_first_one_stood() -> None:
    plan, shop = demo_plan("bush", "metric-lathe"), demo_shop("metric-lathe")
    acts = [act.id for act in plan.sheet.acts]
    measured = next(act.id for act in plan.sheet.acts if isinstance(act, a.Measure))
    place = acts.index(measured)
    events = (
        begun(),
        event(2, EventKind.WENT, act=measured),
        event(3, EventKind.READING, act=measured, value=Fraction("92.2")),
        event(4, EventKind.DONE, act=measured),
        event(5, EventKind.READING, act=measured, value=Fraction("29.2"), corrects=EventId(device="bench", counter=3)),
        event(6, EventKind.DONE, act=acts[place + 1]),
    )
    assert walk_of(plan, shop, events).set_from[acts[place + 1]].reading_mm == Fraction("29.2")
    assert line_of(events[4]).count(b"corrects") == 1
    taken_back = (*events, event(7, EventKind.BACK, corrects=EventId(device="bench", counter=6)))
    assert walk_of(plan, shop, taken_back).at == place + 1


def test_a_clock_that_was_put_back_spoils_the_time_of_its_step_alone() -> None:
    later = replace(event(30, EventKind.DONE, step="load"), counter=2)
    earlier = event(10, EventKind.DONE, step="face", act="b")
    taken = times_taken((begun(), later, earlier, event(12, EventKind.DONE, step="edge")))
    assert [(one.step, one.whole) for one in taken] == [("load", True), ("face", False), ("edge", True)]
