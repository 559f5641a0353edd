"""Work in a second process: its answer, its errors and its end are those of work done here."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable
from pathlib import Path
from threading import Event, Thread

import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.check.report import CheckReport
from handwheel.domain.plan import Sheet
from handwheel.service import beside
from handwheel.service.beside import Beside, may_copy
from handwheel.service.codec import sheet_from_json, sheet_to_json
from handwheel.service.demo import DEMO_PARTS, DEMO_SHOPS
from handwheel.service.jobs import check_beside, demo_job, plan_unchecked

HERE = os.getpid()

forks = pytest.mark.skipif(not hasattr(os, "fork"), reason="this system cannot copy a process")
both_ways = pytest.mark.parametrize("copies", [pytest.param(True, marks=forks), False], ids=["copied", "here"])


@pytest.fixture
def copied(monkeypatch: pytest.MonkeyPatch) -> None:
    """Copy the process even where the tests themselves run beside each other."""
    monkeypatch.setattr(beside, "may_copy", lambda: True)


def upper(text: bytes) -> bytes:
    return text.upper()


def nothing() -> None:
    """What needs no making ready."""


BEFORE = "children of before"


def children() -> set[str]:
    """Processes that this one has begun and that were not waited for, where the system tells; else none."""
    told = Path("/proc/self/task").glob("*/children")
    return {child for path in told for child in path.read_text(encoding="ascii").split()}


@pytest.fixture(autouse=True)
def _others(monkeypatch: pytest.MonkeyPatch) -> None:
    """Helpers that other tests of this process have left running are not copies of ours."""
    monkeypatch.setitem(OTHERS, BEFORE, children())


OTHERS: dict[str, set[str]] = {}


def has_no_child() -> bool:
    """Whether every copy has ended and been waited for."""
    return children() <= OTHERS[BEFORE]


def answered(work: Callable[[bytes], bytes], text: bytes, *, ready: Callable[[], object] = nothing) -> bytes:
    with Beside(work, ready=ready) as other:
        other.ask(text)
        answer = other.answer()
    assert has_no_child()
    return answer


@both_ways
@pytest.mark.parametrize("text", [b"a", b"sheet" * 300_000], ids=["short", "longer than any pipe holds"])
def test_the_answer_is_that_of_the_work(*, copies: bool, text: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(beside, "may_copy", lambda: copies)
    assert answered(upper, text) == text.upper()


@forks
@pytest.mark.usefixtures("copied")
def test_the_work_is_done_by_another_process_that_was_made_ready() -> None:
    made: list[int] = []
    told = answered(lambda _: f"{os.getpid()} {made}".encode(), b"?", ready=lambda: made.append(os.getpid()))
    worker = int(told.split()[0])
    assert worker != HERE
    assert told == f"{worker} [{worker}]".encode()
    assert made == []


@both_ways
def test_an_error_of_the_work_is_raised_here(*, copies: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(beside, "may_copy", lambda: copies)

    def fails(text: bytes) -> bytes:
        raise ValueError(text.decode())

    with pytest.raises(ValueError, match=r"^this one$"):
        answered(fails, b"this one")
    assert has_no_child()


@forks
@pytest.mark.usefixtures("copied")
@pytest.mark.parametrize("text", [b"a", b"a" * 1_000_000])
@pytest.mark.parametrize("end", ["in making ready", "at work", "killed"])
def test_where_the_copy_comes_to_grief_the_work_is_done_here(end: str, text: bytes) -> None:
    def fails() -> None:
        if end == "in making ready":
            raise RuntimeError

    def works(asked: bytes) -> bytes:
        if os.getpid() != HERE:
            if end == "killed":
                os.kill(os.getpid(), signal.SIGKILL)
            raise RuntimeError
        return asked.upper()

    assert answered(works, text, ready=fails) == text.upper()


@forks
@pytest.mark.usefixtures("copied")
@pytest.mark.parametrize("asked", [True, False])
def test_a_copy_whose_answer_nobody_wants_ends(*, asked: bool) -> None:
    def gives_up() -> None:
        with Beside(lambda text: text * 100_000, ready=nothing) as other:
            if asked:
                other.ask(b"sheet")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        gives_up()
    assert has_no_child()


@forks
@pytest.mark.usefixtures("copied")
@pytest.mark.parametrize("lacks", ["fork", "pipe"])
def test_where_no_process_or_pipe_is_left_the_work_is_done_here(lacks: str, monkeypatch: pytest.MonkeyPatch) -> None:
    ends = len(list(Path("/proc/self/fd").iterdir())) if sys.platform == "linux" else 0

    def none_left() -> int:
        raise BlockingIOError

    monkeypatch.setattr(os, lacks, none_left)
    assert answered(upper, b"sheet") == b"SHEET"
    monkeypatch.undo()
    if sys.platform == "linux":
        assert len(list(Path("/proc/self/fd").iterdir())) == ends


def test_a_process_with_threads_is_not_copied() -> None:
    over = Event()
    thread = Thread(target=over.wait)
    thread.start()
    try:
        assert not may_copy()
    finally:
        over.set()
        thread.join()


def test_a_process_is_not_copied_where_its_system_does_not_bear_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "platform", "darwin")
    assert not may_copy()


@pytest.mark.skipif(not hasattr(os, "sched_getaffinity"), reason="this system does not tell its processors")
def test_a_process_with_one_processor_is_not_copied(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "sched_getaffinity", lambda _: {0})
    assert not may_copy()


@pytest.mark.parametrize("part", DEMO_PARTS)
@pytest.mark.parametrize("lathe", DEMO_SHOPS)
def test_a_sheet_reaches_the_other_process_as_it_is(part: str, lathe: str) -> None:
    sheet = demo_job(part, lathe)[0].sheet
    assert sheet_from_json(sheet_to_json(sheet)) == sheet


@both_ways
def test_a_check_beside_finds_what_a_check_finds(*, copies: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(beside, "may_copy", lambda: copies)
    plan, shop, _ = demo_job("bush", "inch-lathe")
    short = replace(plan.sheet, acts=plan.sheet.acts[:40])

    def beside_of(sheet: Sheet) -> CheckReport:
        with check_beside(shop) as check:
            check.begin(sheet)
            return check.report()

    assert beside_of(plan.sheet) == check_sheet(plan.sheet, shop)
    assert beside_of(plan.sheet).ok
    assert beside_of(short) == check_sheet(short, shop)
    assert not beside_of(short).ok


def test_the_sheet_is_given_to_be_checked_before_the_plan_is_whole_and_is_that_of_the_plan() -> None:
    expected, shop, report = demo_job("band", "metric-lathe")
    with check_beside(shop) as check:
        plan = plan_unchecked(expected.sheet.part, shop, check)
        assert check.report() == report
    assert plan == expected
