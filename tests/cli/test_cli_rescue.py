"""``handwheel rescue`` as a person meets it: ways in order, cautions above theirs, JSON, what is asked back."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from handwheel.cli.main import run
from handwheel.service.codec import plan_to_json
from handwheel.service.demo import demo_text
from tests.demo_plans import demo_plan

ARGUMENTS = ("plan.json", "--shop", "inch-lathe.toml")


@pytest.fixture(autouse=True)
def files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("plan.json").write_text(plan_to_json(demo_plan("bush", "inch-lathe")), encoding="utf-8")
    Path("inch-lathe.toml").write_text(demo_text("inch-lathe"), encoding="utf-8")


def told(capsys: pytest.CaptureFixture[str], surface: str, size: str, *more: str) -> str:
    assert run(["rescue", *ARGUMENTS, "--surface", surface, "--size", size, *more]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    return out


def test_a_bore_too_large_gets_ways_in_order_with_cautions_above_the_one_they_belong_to(
    capsys: pytest.CaptureFixture[str],
) -> None:
    out = told(capsys, "bore", "20.04", "--uncertainty", "0.003 mm")
    heads = ["!! Stop.", "WHAT IT CAN STILL BE", " 1  A coarser class", "Leave it as it is", "!! Press:", "A sleeve"]
    places = [out.index(head) for head in heads]
    assert places == sorted(places)
    assert max(map(len, out.splitlines())) <= 80
    assert "20 H9 holds it in place of H8: 20.000 to 20.052 mm" in " ".join(out.split())


def test_emery_is_cautioned_before_it_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    out = " ".join(told(capsys, "bore", "19.99", "--uncertainty", "0.003").replace("!!", "").split())
    assert out.index("never a finger with it in a bore") < out.index("with a lap, or with emery")
    assert out.index("NOT THIS") < out.index("a thinner one rubs")


def test_without_an_uncertainty_the_gauge_of_the_sheet_is_taken(capsys: pytest.CaptureFixture[str]) -> None:
    found = json.loads(told(capsys, "bore diameter", "20.045 mm", "--json"))
    assert found["uncertainty_mm"] == pytest.approx(0.004)
    assert (found["side"], found["sure"]) == ("far", True)
    assert found["limits_mm"] == pytest.approx([20.0, 20.033])
    codes = [way["code"] for way in found["ways"]]
    assert codes[:2] == ["coarser-class", "other-class"]
    sleeve = found["ways"][codes.index("sleeve")]
    assert {figure["name"]: figure["value"] for figure in sleeve["figures"]}["joint"] == 22.5
    assert sleeve["off_mm"] == pytest.approx([1.2275, 1.2275])


def test_a_width_is_called_width(capsys: pytest.CaptureFixture[str]) -> None:
    out = told(capsys, "width", "17.7", "--uncertainty", "0.01")
    assert "class c of ISO 2768-1 holds it in place of m" in " ".join(out.split())
    assert "A shim (ask first)" in out


def test_a_size_inside_its_limits_needs_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    assert "nothing has to be saved" in told(capsys, "bore", "20.016 mm", "--uncertainty", "0.003")


def test_american_words_and_inches_alone(capsys: pytest.CaptureFixture[str]) -> None:
    out = told(capsys, "bore", "20.04", "--uncertainty", "0.003", "--show", "inch", "--words", "american")
    assert "20 H9 holds it in place of H8: 0.7875 to 0.7894 in" in " ".join(out.split())
    assert " mm" not in out


@pytest.mark.parametrize(
    ("surface", "size", "more", "words"),
    [
        ("rim", "20.04", (), "surface 'rim': the part has no such size; choose one of bore, outside, width"),
        ("bore", "wide", (), 'size: found "wide"'),
        ("bore", "-20", (), "size: found '-20'; it must be above 0"),
        ("bore", "60", (), "bore diameter: size_mm: got 60 mm, allowed 15 to 25.033 mm"),
        ("bore", "20.04", ("--uncertainty", "0"), "uncertainty: found '0'; it must be above 0"),
    ],
)
def test_what_cannot_be_used_is_asked_back(
    surface: str, size: str, more: tuple[str, ...], words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["rescue", *ARGUMENTS, "--surface", surface, f"--size={size}", *more]) == 2
    assert words in capsys.readouterr().err
