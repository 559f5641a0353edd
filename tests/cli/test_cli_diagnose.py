"""``handwheel diagnose`` as a person meets it: a list in order, JSON, what is asked back."""

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


def told(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    assert run(["diagnose", *arguments]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    return out


def test_a_list_has_cautions_first_then_causes_in_order_then_what_is_excluded(
    capsys: pytest.CaptureFixture[str],
) -> None:
    out = told(capsys, *ARGUMENTS, "--step", "bore", "taper", "--evidence", "taper=2 thou", "--evidence", "edge_worn=y")
    assert "measured: 0.051 mm (0.0020 in)" in " ".join(out.split())
    heads = ["!! Spindle stopped", "CHECK FIRST", " 1  The edge loads", "NOT THIS", "The work bends away", "MIND"]
    places = [out.index(head) for head in heads]
    assert places == sorted(places)
    assert max(map(len, out.splitlines())) <= 80
    assert "?" not in out.partition("MIND")[0].replace("two ends measure before this cut?", "")


def test_json_gives_the_same_order_with_numbers(capsys: pytest.CaptureFixture[str]) -> None:
    found = json.loads(told(capsys, *ARGUMENTS, "--step", "10", "taper", "--json", "--evidence", "taper=0.05 mm"))
    assert found["step"]["id"] == "outside"
    assert found["measure_mm"] == pytest.approx(0.05)
    first = found["check"][0]
    assert (first["cause"], first["verdict"]) == ("slide-angle", "explains")
    assert first["here"]["amount"] == pytest.approx(0.2217, abs=1e-4)
    assert {"work-bends": "small"}.items() <= {each["cause"]: each["verdict"] for each in found["excluded"]}.items()


def test_american_words_and_inches_alone(capsys: pytest.CaptureFixture[str]) -> None:
    out = told(
        capsys,
        *ARGUMENTS,
        "--step",
        "front-face",
        "pip",
        "--evidence",
        "pip=1/8 in",
        "--words",
        "american",
        "--show",
        "inch",
    )
    assert "0.0625 in below the center" in " ".join(out.split())
    assert " mm" not in out


def test_everything_that_is_not_understood_is_told_at_once(capsys: pytest.CaptureFixture[str]) -> None:
    wrong = ("--step", "99", "tapper", "--evidence", "oiled=perhaps", "--evidence", "gib_snug=yes", "--evidence", "rpm")
    assert run(["diagnose", *ARGUMENTS, *wrong]) == 2
    err = capsys.readouterr().err
    assert err.count("handwheel: ") == 5
    for said in (
        "'tapper': not known",
        "the steps are 1 (load)",
        "answer yes or no",
        "did you mean gibs_snug",
        "no value",
    ):
        assert said in err


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("edge=stone", "write hss or carbide"),
        ("metal=brass", "which of cu_cw614n, cu_cw508l"),
        ("metal=kryptonite", "unknown_steel will do too"),
        ("depth=0", "must be above 0"),
        ("feed=3/16", "a fraction of what"),
        ("rpm=fast", "found"),
        ("taper=50 mm", "found 50 mm (1.9685 in), more than can be by the diameter at the cut"),
        ("rpm=54000", "found 54000 rev/min, more than can be by the fastest speed of the lathe"),
        ("depth=1 in", "more than can be by the diameter of the work"),
        ("took=1000000", "more than can be (7200 s)"),
    ],
)
def test_evidence_that_is_not_clear_is_asked_back(text: str, said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["diagnose", *ARGUMENTS, "--step", "bore", "taper", "--evidence", text]) == 2
    assert said in capsys.readouterr().err


def test_an_unknown_symptom_is_told_as_that_before_what_is_missing(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["diagnose", *ARGUMENTS, "tapper"]) == 2
    err = capsys.readouterr().err
    assert "symptom 'tapper': not known; choose one of taper" in err
    assert "--step" not in err


def test_a_symptom_at_the_wrong_step_is_answered_with_the_right_ones(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["diagnose", *ARGUMENTS, "--step", "bore", "pip"]) == 2
    assert "name one of the steps 2 (front-face), 12 (part-off), 14 (back-face)" in capsys.readouterr().err


def test_the_metal_edge_and_numbers_of_the_hand_go_before_the_plan(capsys: pytest.CaptureFixture[str]) -> None:
    more = ("--evidence", "metal=unknown_steel", "--evidence", "edge=hss", "--evidence", "rpm=1000 rev/min")
    out = told(capsys, *ARGUMENTS, "--step", "outside", "torn-finish", *more)
    assert "1000 rev/min on" in out
    assert "less can be promised" in " ".join(out.split())


def test_the_list_names_every_symptom_and_all_evidence(capsys: pytest.CaptureFixture[str]) -> None:
    out = told(capsys, "--list")
    found = json.loads(told(capsys, "--list", "--json"))
    assert len(found["symptoms"]) == 12
    assert [each["key"] for each in found["symptoms"] if f" {each['key']} " not in out] == []
    assert [each["key"] for each in found["evidence"] if f" {each['key']} " not in out] == []


@pytest.mark.parametrize(
    "arguments", [(), ("plan.json",), (*ARGUMENTS, "taper"), (*ARGUMENTS, "--step", "1", "--list")]
)
def test_half_a_question_is_told_what_is_missing(
    arguments: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["diagnose", *arguments]) == 2
    assert "--list" in capsys.readouterr().err
