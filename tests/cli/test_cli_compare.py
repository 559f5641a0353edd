"""The options ``--compare`` and ``--take`` as a person meets them: what is printed, written, refused."""

from __future__ import annotations

import io
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from handwheel import read_plan, read_shop, sheet_text
from handwheel.cli.main import MOST_OPTIONS, run
from handwheel.domain.comparing import Asked
from handwheel.service.comparing import compare_plans, comparison_text
from handwheel.service.demo import demo_text
from tests.demo_plans import demo_part, demo_shop

COMPARE = ["plan", "bush.toml", "--shop", "metric-lathe.toml"]


@pytest.fixture(autouse=True)
def files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Folder with the demo files, where the commands run."""
    for name in ("bush", "metric-lathe"):
        (tmp_path / f"{name}.toml").write_text(demo_text(name), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_the_plans_are_shown_side_by_side_and_nothing_is_written(
    files: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run([*COMPARE, "--compare"]) == 0
    out, err = capsys.readouterr()
    assert out == comparison_text(compare_plans(demo_part("bush"), demo_shop("metric-lathe")), width=80)
    assert err == ""
    assert {path.name for path in files.iterdir()} == {"bush.toml", "metric-lathe.toml"}


def test_json_is_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert run([*COMPARE, "--compare", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert [option["asked"] for option in told["options"]] == [asked.value for asked in Asked]


def test_the_one_taken_is_printed_and_written(files: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run([*COMPARE, "--compare", "--take", "4"]) == 0
    out, err = capsys.readouterr()
    plan = read_plan(files / "plan.json")
    assert plan.proof.rules[-1].startswith("asked for: gentler")
    assert out == sheet_text(plan, read_shop("metric-lathe.toml"))
    assert err == "written: plan.json\n"
    assert run(["check", "plan.json", "--shop", "metric-lathe.toml"]) == 0


def test_the_first_is_what_plan_gives(files: Path) -> None:
    assert run([*COMPARE, "--take", "1", "--out", "taken"]) == 0
    assert run([*COMPARE, "--out", "planned"]) == 0
    assert (files / "taken" / "plan.json").read_bytes() == (files / "planned" / "plan.json").read_bytes()


def test_one_that_there_is_not_is_refused_with_the_reason(files: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run([*COMPARE, "--take", "2"]) == 1
    assert "[no-bar-of-the-metal]" in capsys.readouterr().err
    assert not (files / "plan.json").exists()


def test_as_many_can_be_taken_as_are_compared(capsys: pytest.CaptureFixture[str]) -> None:
    assert len(Asked) == MOST_OPTIONS
    assert run([*COMPARE, "--take", str(MOST_OPTIONS + 1)]) == 2
    assert "--take" in capsys.readouterr().err


def test_what_writes_nothing_prints_no_papers(capsys: pytest.CaptureFixture[str]) -> None:
    assert run([*COMPARE, "--compare", "--pdf"]) == 2
    assert "--take" in capsys.readouterr().err


class Terminal(io.StringIO):
    """What is written to a terminal."""

    def isatty(self) -> bool:
        return True


def terminal(monkeypatch: pytest.MonkeyPatch, *, columns: int) -> Terminal:
    """Make the output a terminal of so many columns."""
    screen = Terminal()
    monkeypatch.setattr("sys.stdout", screen)
    monkeypatch.setattr("shutil.get_terminal_size", lambda: os.terminal_size((columns, 24)))
    monkeypatch.setenv("TERM", "xterm")
    return screen


@pytest.mark.parametrize(("has", "prints"), [(40, 40), (55, 55), (300, 80)])
def test_a_narrow_terminal_gets_narrow_lines(has: int, prints: int, monkeypatch: pytest.MonkeyPatch) -> None:
    screen = terminal(monkeypatch, columns=has)
    assert run([*COMPARE, "--compare", "--plain"]) == 0
    assert max(map(len, screen.getvalue().splitlines())) == prints


def test_below_forty_columns_lines_are_broken_and_that_is_told(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    screen = terminal(monkeypatch, columns=30)
    assert run([*COMPARE, "--compare", "--plain"]) == 0
    assert max(map(len, screen.getvalue().splitlines())) <= 30
    assert "from 40 on they are whole" in capsys.readouterr().err


def test_colour_changes_no_letter(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    assert run([*COMPARE, "--compare"]) == 0
    plain = capsys.readouterr().out
    monkeypatch.delenv("NO_COLOR", raising=False)
    coloured = terminal(monkeypatch, columns=80)
    assert run([*COMPARE, "--compare"]) == 0
    assert "\x1b[" in coloured.getvalue()
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured.getvalue()) == plain


def test_every_plan_that_is_made_is_told_by_its_number() -> None:
    heard: list[str] = []
    compare_plans(demo_part("bush"), demo_shop("metric-lathe"), said=heard.append)
    assert [told for told in heard if "finding" not in told] == [
        "2 of 4, another bar",
        "3 of 4, another holding",
        "4 of 4, gentler",
        "replaying the sheets on a model of the lathe",
    ]
    assert heard[0] == "1 of 4, best plan: finding the cheapest order of cuts"


@pytest.mark.parametrize("more", [(), ("--take", "4")])
def test_plans_are_compared_and_taken_in_the_unit_and_words_asked_for(
    more: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    assert run([*COMPARE, "--compare", *more, "--show", "inch", "--words", "american"]) == 0
    out = capsys.readouterr().out
    assert " mm (" not in out
    assert "aluminum bronze" in out
    assert "aluminium" not in out


def test_json_knows_nothing_of_units_and_words(capsys: pytest.CaptureFixture[str]) -> None:
    texts = []
    for more in ((), ("--show", "inch", "--words", "american")):
        assert run([*COMPARE, "--compare", "--json", *more]) == 0
        texts.append(capsys.readouterr().out)
    assert texts[0] == texts[1]


def test_who_compares_nothing_waits_for_nothing_of_it() -> None:
    code = (
        "import sys; from handwheel.cli.main import run; run(sys.argv[1:]); "
        "sys.stderr.write(str([name for name in sys.modules if 'comparing' in name or 'alternatives' in name]))"
    )
    done = subprocess.run((sys.executable, "-c", code, *COMPARE), capture_output=True, text=True, check=True)
    assert done.stderr.splitlines()[-1] == "[]"
