"""Who waits longer than a second sees what is being done; a pipe and a dumb terminal see nothing of it."""

from __future__ import annotations

import io
import sys
from pathlib import Path
from time import monotonic, sleep

import pytest

from handwheel.cli.main import run
from handwheel.cli.progress import QUIET_S, WIDEST, Progress
from handwheel.domain.errors import NoPlanError
from handwheel.planner.planner import make_plan
from handwheel.service.demo import DEMO_PARTS, DEMO_SHOPS, demo_text
from handwheel.service.intake.part_file import read_part
from handwheel.service.intake.shop_file import read_shop


class Terminal(io.StringIO):
    """An error stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def on_terminal(monkeypatch: pytest.MonkeyPatch) -> Terminal:
    """Make the error stream a terminal."""
    found = Terminal()
    monkeypatch.setattr(sys, "stderr", found)
    monkeypatch.setenv("TERM", "xterm")
    return found


def wait_for(screen: Terminal, text: str) -> None:
    """Wait until a text is on the screen, ten seconds at most."""
    until = monotonic() + 10.0
    while text not in screen.getvalue() and monotonic() < until:
        sleep(0.005)
    assert text in screen.getvalue()


def last_line(screen: Terminal) -> str:
    """What is left on the line, as a terminal shows it."""
    line = ""
    for written in screen.getvalue().split("\r"):
        line = written + line[len(written) :]
    return line.rstrip()


def test_what_is_done_is_shown_and_taken_away(monkeypatch: pytest.MonkeyPatch) -> None:
    screen = on_terminal(monkeypatch)
    with Progress(quiet_s=0.01, every_s=0.01) as said:
        said("finding a very long order")
        wait_for(screen, "finding a very long order ... 0 s")
        said("checking")
        wait_for(screen, "checking ... 0 s")
        assert last_line(screen) == "checking ... 0 s"
    assert last_line(screen) == ""


def test_the_line_is_taken_away_when_something_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    screen = on_terminal(monkeypatch)

    def fail() -> None:
        with Progress(quiet_s=0.01, every_s=0.01) as said:
            said("planning")
            wait_for(screen, "planning")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        fail()
    assert last_line(screen) == ""


def test_a_long_name_stays_on_one_line(monkeypatch: pytest.MonkeyPatch) -> None:
    screen = on_terminal(monkeypatch)
    with Progress(quiet_s=0.01, every_s=0.01) as said:
        said("x" * 200)
        wait_for(screen, "x")
    assert max(map(len, screen.getvalue().split("\r"))) == WIDEST


def test_nothing_is_shown_of_what_is_done_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    screen = on_terminal(monkeypatch)
    began = monotonic()
    with Progress() as said:
        said("planning")
    assert screen.getvalue() == ""
    assert monotonic() - began < QUIET_S


@pytest.mark.parametrize("terminal", [True, False])
def test_nothing_is_shown_where_no_line_can_be_taken_back(monkeypatch: pytest.MonkeyPatch, *, terminal: bool) -> None:
    screen = Terminal() if terminal else io.StringIO()
    monkeypatch.setattr(sys, "stderr", screen)
    monkeypatch.setenv("TERM", "dumb" if terminal else "xterm")
    with Progress(quiet_s=0.0, every_s=0.001) as said:
        said("planning")
        sleep(0.02)
    assert screen.getvalue() == ""


def test_a_command_leaves_nothing_of_it_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    screen = on_terminal(monkeypatch)
    monkeypatch.setattr("handwheel.cli.progress.QUIET_S", 0.0)
    for name in (DEMO_PARTS[0], DEMO_SHOPS[0]):
        (tmp_path / f"{name}.toml").write_text(demo_text(name), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    assert run(["plan", f"{DEMO_PARTS[0]}.toml", "--shop", f"{DEMO_SHOPS[0]}.toml"]) == 0
    assert screen.getvalue().split("\r")[-1] == "written: plan.json\n"
    assert "LATHE SHEET" in capsys.readouterr().out


def test_the_planner_says_what_it_does_and_plans_the_same() -> None:
    part, shop = read_part(demo_text("bush"), name="bush"), read_shop(demo_text("inch-lathe"), name="shop")
    heard: list[str] = []
    assert make_plan(part, shop, said=heard.append) == make_plan(part, shop)
    assert heard == ["finding the cheapest order of cuts"]


def test_the_planner_says_that_it_looks_for_a_remedy() -> None:
    short = demo_text("inch-lathe").replace('reach = "15 mm"', 'reach = "3 mm"')
    heard: list[str] = []
    with pytest.raises(NoPlanError):
        make_plan(read_part(demo_text("bush"), name="bush"), read_shop(short, name="shop"), said=heard.append)
    assert len(heard) > 1
    assert heard[1:] == [f"no order found; trying what would help: {number}" for number in range(1, len(heard))]
    assert max(map(len, heard)) + len("1 of 4, best plan:  ... 99 s") <= WIDEST
