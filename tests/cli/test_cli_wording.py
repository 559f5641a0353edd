"""Which unit and whose words: an option goes before the environment, and that before the shop file."""

from __future__ import annotations

from pathlib import Path

import pytest

from handwheel.cli.main import run
from handwheel.service.demo import demo_text

PLAN = ("plan", "bush.toml", "--shop", "shop.toml")
CHOICE = 'show = "inch"\nwords = "american"\n'


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Shop file beside a part file, where the commands run."""
    (tmp_path / "bush.toml").write_text(demo_text("bush"), encoding="utf-8")
    path = tmp_path / "shop.toml"
    path.write_text(demo_text("inch-lathe"), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return path


def choose(shop: Path) -> None:
    shop.write_text(CHOICE + demo_text("inch-lathe"), encoding="utf-8")


def test_the_sheet_is_in_both_units_and_british_words(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    del shop
    assert run([*PLAN]) == 0
    said = capsys.readouterr().out
    assert "anticlockwise" in said
    assert " mm (" in said


def test_the_shop_file_says_how_its_sheets_are_worded(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    choose(shop)
    assert run([*PLAN]) == 0
    said = capsys.readouterr().out
    assert "counterclockwise" in said
    sheet, _, _ = said.partition("WHY THESE NUMBERS")  # numbers of rules stand in brackets there
    assert " mm (" not in sheet
    assert " in (" not in sheet


def test_an_option_goes_before_the_environment_and_that_before_the_shop_file(
    shop: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    choose(shop)
    monkeypatch.setenv("HANDWHEEL_WORDS", "british")
    assert run([*PLAN]) == 0
    assert " anticlockwise" in capsys.readouterr().out
    assert run([*PLAN, "--words", "american", "--show", "both"]) == 0
    said = capsys.readouterr().out
    assert "counterclockwise" in said
    assert " mm (" in said


def test_reasons_are_worded_as_asked_for_and_the_plan_is_the_same(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    run([*PLAN])
    first = Path("plan.json").read_bytes()
    choose(shop)
    run([*PLAN, "--words", "american", "--show", "mm"])
    assert Path("plan.json").read_bytes() == first
    capsys.readouterr()
    assert run(["explain", "plan.json", "3", "--shop", "shop.toml", "--show", "mm"]) == 0
    said = capsys.readouterr().out
    assert "counterclockwise" in said
    assert " in)" not in said


def test_what_is_no_choice_is_refused_with_those_there_are(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run([*PLAN, "--show", "cubits"]) == 2
    assert "'both'" in capsys.readouterr().err
    shop.write_text('words = "canadian"\n' + demo_text("inch-lathe"), encoding="utf-8")
    assert run([*PLAN]) == 2
    assert "british" in capsys.readouterr().err
