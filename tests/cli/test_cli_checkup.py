"""``handwheel checkup`` as a person meets it: list, instructions, result, what is written, what is asked back."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from handwheel.bench.checkup.trials import TRIALS
from handwheel.cli.main import run
from handwheel.service.templates import template_text

SLACK = ("--enter", "slide=cross_slide", "--enter", "marks=4; 4.5; 5", "--enter", "gauge=indicator")
BETWEEN = ("--enter", "marks=10", "--enter", "before=20", "--enter", "after=19.625", "--enter", "gauge=micrometer-0-25")


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    path = tmp_path / "my-shop.toml"
    path.write_text(template_text("small-metric"), encoding="utf-8")
    return path


def test_without_a_trial_all_are_listed_in_order(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["checkup", "--shop", str(shop)]) == 0
    out, err = capsys.readouterr()
    places = [out.index(f" {key}: {trial.title}") for key, trial in TRIALS.items()]
    assert places == sorted(places)
    assert max(len(line) for line in out.splitlines()) <= 80
    assert err == ""


def test_a_trial_alone_prints_cautions_steps_and_what_to_enter(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["checkup", "trial-cut", "--shop", str(shop)]) == 0
    out = capsys.readouterr().out
    assert out.index("!! Local rules") < out.index(" 1  Grip a short stout bar")
    assert "ENTER\n marks" in out


def test_readings_are_judged_and_nothing_is_written_unasked(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = shop.read_bytes()
    assert run(["checkup", "slack", "--shop", str(shop), *SLACK]) == 0
    out, err = capsys.readouterr()
    assert "Slack of the cross-slide: 0.113 mm (0.0044 in), give or take" in out
    assert 'lathe.cross_slide.slack = "0.125 mm"' in out
    assert (shop.read_bytes(), err) == (before, "")


def test_write_changes_the_shop_file_and_keeps_the_earlier_one(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["checkup", "slack", "--shop", str(shop), *SLACK, "--write"]) == 0
    err = capsys.readouterr().err
    assert f"written: {shop}" in err
    assert "is kept as" in err
    assert 'slack = "0.125 mm"' in shop.read_text(encoding="utf-8")


def test_what_lies_between_is_asked_and_nothing_is_written(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = shop.read_bytes()
    assert run(["checkup", "trial-cut", "--shop", str(shop), *BETWEEN, "--write"]) == 1
    out, err = capsys.readouterr()
    assert "ASKED FIRST" in out
    assert "nothing was written" in err
    assert shop.read_bytes() == before


def entered(*texts: str) -> list[str]:
    return [word for each in texts for word in ("--enter", each)]


def test_what_the_shop_file_has_no_key_for_goes_to_the_beliefs(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    said = entered("near=22.01", "far=22.03", "apart=80", "held=chuck", "gauge=micrometer-0-25")
    before = shop.read_bytes()
    assert run(["checkup", "two-collars", "--shop", str(shop), *said, "--write"]) == 0
    beliefs = shop.with_name("my-shop.beliefs.toml")
    assert f"written: {beliefs}" in capsys.readouterr().err
    assert shop.read_bytes() == before
    assert run(["beliefs", "--shop", str(shop)]) == 0
    out = capsys.readouterr().out
    assert "taper" in out
    assert "check-up: two-collars" in out


def test_another_beliefs_file_is_written_where_it_is_named(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    other = shop.with_name("other.toml")
    assert run(["checkup", "slack", "--shop", str(shop), *SLACK, "--write", "--beliefs", str(other)]) == 0
    assert 'quantity = "slack"' in other.read_text(encoding="utf-8")
    assert not shop.with_name("my-shop.beliefs.toml").exists()
    assert capsys.readouterr().err.count("written:") == 2


def test_what_neither_file_has_a_key_for_says_so(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    said = entered("on=spindle", "low=0; 0; 0", "high=0.01; 0.01; 0.02", "gauge=indicator")
    assert run(["checkup", "runout", "--shop", str(shop), *said, "--write"]) == 0
    assert "neither shop file nor beliefs file has a key" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("--enter", "marks=10"), "--enter and --write go with a TRIAL"),
        (("slack", "--write"), "--write goes with --enter"),
        (("slak",), "found the trial 'slak'"),
        (("slack", "--enter", "marks=4"), "slack: slide: is missing"),
    ],
)
def test_what_cannot_be_used_is_told_in_a_line(
    arguments: tuple[str, ...], message: str, shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["checkup", *arguments, "--shop", str(shop)]) == 2
    assert message in capsys.readouterr().err


@pytest.mark.parametrize("arguments", [(), ("slack",), ("slack", *SLACK)])
def test_json_is_json(arguments: tuple[str, ...], shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["checkup", *arguments, "--shop", str(shop), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["schema"] == 1
