"""What the command line says when there is no plan: what would help first, on a narrow terminal, and as JSON."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from handwheel.cli.main import run
from handwheel.service.demo import demo_text

WIDE = 80


@pytest.fixture
def files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Folder with a demo part, and a demo lathe whose parting blade is too short."""
    short = demo_text("inch-lathe").replace('reach = "15 mm"', 'reach = "3 mm"')
    assert short != demo_text("inch-lathe")
    (tmp_path / "bush.toml").write_text(demo_text("bush"), encoding="utf-8")
    (tmp_path / "short.toml").write_text(short, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_what_would_make_it_possible_comes_before_what_failed(files: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["plan", "bush.toml", "--shop", "short.toml"]) == 1
    out, err = capsys.readouterr()
    lines = err.splitlines()
    assert out == ""
    assert lines[0].startswith("handwheel: no plan for 'guide bush, lamp hoist'")
    first = lines.index("what would make it possible (tried: with it there is a plan):")
    assert lines[first + 1] == "  + 2 mm parting blade, but reaching 7 mm (0.2756 in)"
    assert lines[first + 2] == "what was tried and failed:"
    assert "it reaches 3 mm (0.1181 in) and" in " ".join(err.split())
    assert "[blade-too-short]" in err
    assert all(len(line) <= WIDE for line in lines)
    assert not (files / "plan.json").exists()


@pytest.mark.usefixtures("files")
def test_a_refusal_can_be_had_as_json_with_the_whole_remedy(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["plan", "bush.toml", "--shop", "short.toml", "--json"]) == 1
    out, err = capsys.readouterr()
    told = json.loads(out)
    assert err.startswith("handwheel: no plan for ")
    assert told["schema"] == 1
    assert told["troubles"][0]["code"] == "blade-too-short"
    (remedy,) = told["remedies"]
    assert (remedy["kind"], remedy["thing_is"]) == ("AddToShop", "Tool")
    assert remedy["thing"]["reach_mm"] == 7
    assert remedy["thing"]["kind"] == "parting"
    assert told["might_help"] == []


@pytest.mark.usefixtures("files")
def test_exact_numbers_of_a_remedy_are_written_exactly(capsys: pytest.CaptureFixture[str]) -> None:
    Path("bare.toml").write_text(demo_text("inch-lathe").replace("cu_cw307g", "cu_cw614n"), encoding="utf-8")
    assert run(["plan", "bush.toml", "--shop", "bare.toml", "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert told["troubles"][0]["code"] == "no-bar-of-the-metal"
    assert told["remedies"][0]["thing"]["dia_mm"] == "2413/80"  # 1 3/16 in
