"""What a walked job taught, from its journal to the beliefs file: told, and kept once if so wanted."""

from __future__ import annotations

import io
import json
import random
import sys
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from handwheel.cli.main import run
from handwheel.domain import acts as a
from handwheel.domain.acts import Act
from handwheel.domain.beliefs import Quantity
from handwheel.domain.errors import InputError
from handwheel.domain.events import Event, EventKind
from handwheel.domain.exact import Fraction
from handwheel.service.beliefs import Edit, edit_beliefs
from handwheel.service.bench_journal import journal_path, read_journal
from handwheel.service.bench_learning import JobLessons, keep_lessons, lessons_of, worked_of
from handwheel.service.bench_lessons import lessons_json, lessons_text
from handwheel.service.bench_lines import line_of, moment, written_moment
from handwheel.service.bench_session import open_session
from handwheel.service.codec import plan_to_json
from handwheel.service.demo import demo_text
from handwheel.service.intake.beliefs_file import read_beliefs
from tests.demo_plans import demo_plan, demo_shop
from tests.service.benches import TickingClock, fitting_line, state_in

DAY = "2026-12-24"
SHOP = "metric-lathe"
READINGS = 3


@pytest.fixture
def job(tmp_path: Path) -> tuple[Path, Path]:
    """Plan of the bush and its shop, in a folder of their own."""
    plan, shop = tmp_path / "plan.json", tmp_path / f"{SHOP}.toml"
    plan.write_text(plan_to_json(demo_plan("bush", SHOP)), encoding="utf-8")
    shop.write_text(demo_text(SHOP), encoding="utf-8")
    return plan, shop


def walk(job: tuple[Path, Path], *, until: str = "", off_mm: float = 0.0) -> None:
    """Walk through the job; what is read scatters about what is expected, three readings to a stop."""
    chance = random.Random(3)  # noqa: S311 - readings that scatter, the same each time
    with open_session(*job, clock=TickingClock()) as session:
        session.begin()
        state = state_in(session.answer('{"do": "state"}'))
        while not state.over and state.number != until:
            line = json.loads(fitting_line(state))
            expected = line.get("reading")
            for _ in range(READINGS if expected is not None else 1):
                if expected is not None:
                    line["reading"] = round(expected + chance.gauss(off_mm, 0.003), 3)
                state = state_in(session.answer(json.dumps(line)))
                if state.questions:
                    state = state_in(session.answer('{"do": "stands"}'))


def lessons(job: tuple[Path, Path]) -> JobLessons:
    return lessons_of(*job, day=DAY)


def beliefs_file(job: tuple[Path, Path]) -> Path:
    return job[1].with_name(f"{SHOP}.beliefs.toml")


def test_a_finished_job_tells_of_tools_gauges_and_times_and_writes_nothing(job: tuple[Path, Path]) -> None:
    walk(job)
    found = lessons(job)
    told = {lesson.piece.quantity for lesson in found.lessons}
    assert found.over
    assert {Quantity.SPRING, Quantity.TOUCH_ERROR, Quantity.GAUGE_SPREAD, Quantity.TIME} <= told
    assert not beliefs_file(job).exists()
    text = lessons_text(found)
    assert "spring share of boring-12 in cu_cw307g: " in text
    assert "    before: 14 %, give or take 8 %" in text
    assert "the next plan would take 40 s (shop file: 20 s)" in text
    raw = json.loads(lessons_json(found))
    assert [one["quantity"] for one in raw["lessons"]] == [lesson.piece.quantity.value for lesson in found.lessons]
    assert all(one["spread"] > 0 and one["evidence"].startswith("plan ") for one in raw["lessons"])


def test_kept_once_it_is_kept(job: tuple[Path, Path]) -> None:
    walk(job)
    first = lessons(job)
    assert keep_lessons(job[1], first) is not None
    text = beliefs_file(job).read_text(encoding="utf-8")
    again = lessons(job)
    assert again.fresh == ()
    assert [one.piece for one in again.lessons] == [one.piece for one in first.lessons]
    assert keep_lessons(job[1], again) is None
    assert beliefs_file(job).read_text(encoding="utf-8") == text
    kept = read_beliefs(text, name="kept")
    values = [one.noted.evidence.value for one in first.lessons]
    assert [one.evidence.value for one in kept.noted] == pytest.approx(values, abs=1e-6)  # so are lengths written
    assert {one.evidence.what.partition(",")[0] for one in kept.noted} == {f"plan {demo_plan('bush', SHOP).id[:12]}"}


def test_withdrawn_evidence_stays_withdrawn(job: tuple[Path, Path]) -> None:
    walk(job)
    keep_lessons(job[1], lessons(job))
    edit_beliefs(job[1], Edit(withdraw=(1,)))
    text = beliefs_file(job).read_text(encoding="utf-8")
    again = lessons(job)
    assert again.lessons[0].withdrawn
    assert "withdrawn in the beliefs file, and stays so" in lessons_text(again)
    assert keep_lessons(job[1], again) is None
    assert beliefs_file(job).read_text(encoding="utf-8") == text


def test_an_open_job_tells_what_was_read_and_keeps_nothing(job: tuple[Path, Path]) -> None:
    walk(job, until="9.1")
    found = lessons(job)
    assert not found.over
    assert "outside" not in {step for lesson in found.lessons for step in lesson.piece.steps}
    with pytest.raises(InputError, match="the job is not over: finish it, or stop it"):
        keep_lessons(job[1], found)


def test_a_job_that_was_stopped_before_a_reading_teaches_no_size(job: tuple[Path, Path]) -> None:
    walk(job, until="5.1")
    with open_session(*job, clock=TickingClock()) as session:
        session.answer('{"do": "stop", "because": "the belt slips"}')
    found = lessons(job)
    assert found.over
    assert {lesson.piece.quantity for lesson in found.lessons} <= {Quantity.TIME}


def test_without_a_journal_there_is_nothing_to_learn(job: tuple[Path, Path]) -> None:
    with pytest.raises(InputError, match="there is no journal"):
        lessons(job)


def test_acts_come_as_the_readings_made_them(job: tuple[Path, Path]) -> None:
    """A collar set from the mean of its stop, not from the size that was planned."""
    walk(job, until="7.1", off_mm=0.05)
    plan, shop = demo_plan("bush", SHOP), demo_shop(SHOP)
    worked = worked_of(plan, shop, read_journal(journal_path(job[0])).events)
    planned = {act.id: act for act in plan.sheet.acts if isinstance(act, a.SetCollar)}
    collars = [one.act for one in worked if isinstance(one.act, a.SetCollar)]
    assert len(collars) == 1
    assert collars[0].marks == planned[collars[0].id].marks - 1  # 0.05 mm more, by marks of 0.04 mm
    assert [one.act.id for one in worked] == [act.id for act in plan.sheet.acts][: len(worked)]
    assert {one.seconds for one in worked if not one.readings_mm} <= {20.0, 40.0, None}


def in_the_journal(job: tuple[Path, Path], change: Callable[[tuple[Event, ...]], list[Event]]) -> None:
    """Write the journal anew with its events changed."""
    path = journal_path(job[0])
    events = change(read_journal(path).events)
    path.write_bytes(b"".join(map(line_of, events)))


def test_a_break_at_a_touch_does_not_make_touches_slow(job: tuple[Path, Path]) -> None:
    walk(job)
    before = {one.piece.about.thing: one.piece.value for one in lessons(job).lessons}
    touch = next(act.id for act in demo_plan("bush", SHOP).sheet.acts if isinstance(act, a.Touch))

    def with_lunch(events: tuple[Event, ...]) -> list[Event]:
        late = next(at for at, event in enumerate(events) if event.act == touch and event.kind is EventKind.DONE)
        return [later(event, hours=at >= late) for at, event in enumerate(events)]

    in_the_journal(job, with_lunch)
    after = {one.piece.about.thing: one.piece.value for one in lessons(job).lessons}
    assert after["touch_s"] == before["touch_s"] == 40.0


def later(event: Event, *, hours: int) -> Event:
    at = moment(event.happened_at)
    assert at is not None
    return replace(event, happened_at=written_moment(at + timedelta(hours=hours)))


def test_a_slip_of_one_turn_is_asked_about_and_not_learned(job: tuple[Path, Path]) -> None:
    """PC-05, in a journal whose reading nobody asked about."""
    walk(job)
    bores = [act for act in demo_plan("bush", SHOP).sheet.acts if isinstance(act, a.Measure) and act.surface == "bore"]
    last = bores[-2].id  # the last one is the inspection, out of the lathe

    def slip(events: tuple[Event, ...]) -> list[Event]:
        at = next(at for at, one in enumerate(events) if one.act == last and one.kind is EventKind.READING)
        wrong = replace(events[at], value=Fraction(events[at].value or 0) + Fraction(1, 2))
        return [*events[:at], wrong, *events[at + 1 :]]

    in_the_journal(job, slip)
    found = lessons(job)
    assert [surprise.act for surprise in found.surprises] == [last]
    assert "what happened there? That surface teaches nothing." in lessons_text(found)


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    readings=st.lists(st.sampled_from(["0", "0.001", "19.99", "29.2", "9999", "123456.789"]), min_size=1, max_size=4),
    backwards=st.booleans(),
)
def test_no_journal_makes_it_fall_over_or_learn_nonsense(
    tmp_path_factory: pytest.TempPathFactory, readings: list[str], *, backwards: bool
) -> None:
    folder = tmp_path_factory.mktemp("hostile")
    plan, shop = demo_plan("bush", SHOP), demo_shop(SHOP)
    (folder / "plan.json").write_text(plan_to_json(plan), encoding="utf-8")
    (folder / f"{SHOP}.toml").write_text(demo_text(SHOP), encoding="utf-8")
    events = list(hostile(plan.id, plan.uses, plan.sheet.acts, readings, backwards=backwards))
    journal_path(folder / "plan.json").write_bytes(b"".join(map(line_of, events)))
    found = lessons_of(folder / "plan.json", folder / f"{SHOP}.toml", day=DAY)
    assert shop.gauges
    for lesson in found.lessons:
        assert lesson.piece.spread > 0.0
        assert lesson.noted.evidence.date[:10] <= DAY
    assert (
        keep_lessons(folder / f"{SHOP}.toml", found) is None
        or lessons_of(folder / "plan.json", folder / f"{SHOP}.toml", day=DAY).fresh == ()
    )


def hostile(plan: str, uses: str, acts: tuple[Act, ...], readings: list[str], *, backwards: bool) -> list[Event]:
    """A journal in which every stop reads the same odd sizes, and time may run backwards."""
    events: list[Event] = []

    def put(event: Event) -> None:
        at = f"2026-11-30T08:{(59 - len(events) % 60) if backwards else len(events) % 60:02d}:00Z"
        number = len(events) + 1
        who = replace(event, device="odd", counter=number, base=number - 1, plan=plan)
        events.append(replace(who, happened_at=at, recorded_at=at))

    put(odd(EventKind.BEGUN, text=uses))
    for act in acts:
        if isinstance(act, a.Measure):
            for read in readings:
                at = replace(odd(EventKind.READING, text=read), act=act.id, step=act.step)
                put(replace(at, value=Fraction(read), gauge=act.gauge))
        put(replace(odd(EventKind.DONE), act=act.id, step=act.step))
    return events


def odd(kind: EventKind, text: str = "") -> Event:
    return Event(device="", counter=0, base=0, plan="", kind=kind, happened_at="", recorded_at="", text=text)


def test_the_command_tells_keeps_and_keeps_no_second_time(
    job: tuple[Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    walk(job)
    command = ["bench", str(job[0]), "--shop", str(job[1])]
    assert run([*command, "--learned"]) == 0
    assert "What this job taught about this lathe:" in capsys.readouterr().out
    assert not beliefs_file(job).exists()
    assert run([*command, "--keep"]) == 0
    text = beliefs_file(job).read_text(encoding="utf-8")
    assert str(beliefs_file(job)) in capsys.readouterr().err
    assert run([*command, "--keep"]) == 0
    assert "Nothing new to keep." in capsys.readouterr().out
    assert beliefs_file(job).read_text(encoding="utf-8") == text
    assert run([*command, "--learned", "--json"]) == 0
    assert all(one["kept"] for one in json.loads(capsys.readouterr().out)["lessons"])


@pytest.mark.parametrize(("answer", "is_kept"), [("yes", True), ("", False), ("no", False), (None, False)])
def test_at_its_end_a_walk_asks_whether_to_keep_what_it_taught(
    job: tuple[Path, Path],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    answer: str | None,
    *,
    is_kept: bool,
) -> None:
    """Nothing but a yes keeps it, and the end of the input is none."""
    walk(job)
    with open_session(*job, clock=TickingClock()) as session:
        session.answer('{"do": "back"}')
    lines = ["", *([] if answer is None else [answer])]
    monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{line}\n" for line in lines)))
    assert run(["bench", str(job[0]), "--shop", str(job[1])]) == 0
    out = capsys.readouterr().out
    assert "All acts are done" in out
    assert "Keep it as evidence in the beliefs file? yes, or Enter for no > " in out
    assert beliefs_file(job).exists() is is_kept
    assert ("Nothing was kept." in out) is not is_kept
