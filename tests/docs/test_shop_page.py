"""What docs/shop-file.md and the README say of the commands is so: they run as they stand there."""

from __future__ import annotations

import io
import re
import shlex
import sys
from fractions import Fraction
from pathlib import Path

import click
import pytest

from handwheel.cli.main import handwheel, run
from handwheel.domain.tools import ToolKind
from handwheel.service.intake.shop_file import read_shop, read_shop_file
from handwheel.service.questions.winding import usual_leads
from handwheel.service.templates import MARK, TEMPLATES, template_text

ROOT = Path(__file__).resolve().parents[2]
PAGE = (ROOT / "docs" / "shop-file.md").read_text(encoding="utf-8")


def commands() -> list[list[str]]:
    """Lines of the page's blocks that start the program, as their words."""
    blocks = re.findall(r"(?ms)^```\n(.*?)^```", PAGE)
    return [shlex.split(line)[1:] for block in blocks for line in block.splitlines() if line.startswith("handwheel ")]


def test_every_command_of_the_page_runs_in_its_order(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sys, "stdin", io.StringIO("\n" * 100))
    assert len(commands()) == 11
    for words in commands():
        assert run(words) == 0, words
    assert "written: my-shop.toml" in capsys.readouterr().err
    lathe = read_shop_file(tmp_path / "my-shop.toml").lathe
    assert lathe.motor_power_w == 370
    assert read_shop_file(tmp_path / "new-shop.toml") == read_shop(template_text("small-metric"), name="x")


def test_the_page_names_every_template_and_the_mark() -> None:
    assert re.findall(r"(?m)^\| `([a-z-]+)`", PAGE) == list(TEMPLATES)
    assert f"# {MARK}" in PAGE


def test_the_ten_turns_of_the_page_give_its_lead() -> None:
    (measured,) = re.findall(r"`10 turns ([0-9.]+)`", PAGE)
    assert usual_leads(Fraction(measured)) == ("2 mm",)


def test_a_schema_line_at_the_top_of_a_file_is_a_comment_to_the_reader() -> None:
    (line,) = re.findall(r"(?m)^#:schema .*$", PAGE)
    text = template_text("toolroom")
    assert read_shop(f"{line}\n{text}", name="x") == read_shop(text, name="x")


def test_the_readme_has_a_line_for_every_command() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    named = set(re.findall(r"(?m)^\| `handwheel ([a-z]+)", readme))
    assert isinstance(handwheel, click.Group)
    assert named == set(handwheel.commands)


def test_the_form_tool_of_the_page_is_one() -> None:
    (table,) = re.findall(r"(?ms)^```toml\n(\[\[tool\]\].*?)^```", PAGE)
    shop = read_shop(f"{template_text('toolroom')}\n{table}", name="x")
    assert shop.tools[-1].kind is ToolKind.FORM_OUTSIDE
    assert shop.tools[-1].hollow_radius_mm == 0.5
