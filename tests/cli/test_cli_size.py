"""``handwheel size`` as a person meets it: one screen, plain in a pipe, questions in words, at once."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from handwheel.cli.main import run
from handwheel.service.ring_size_text import THE_FINGER_DECIDES

SCREEN = (24, 80)
"""Lines and columns of the smallest terminal that is usual."""
NOT_FOR_A_LOOK_UP = (
    *("numpy", "shapely", "rich", "tomllib", "json"),
    *("handwheel.planner", "handwheel.check", "handwheel.geometry", "handwheel.physics", "handwheel.service.jobs"),
)
STICK = """\
name = "steel stick"
units = "mm"
scale = "US"
mark_width = 0.3
reading = 0.3
uncertainty = 0.01
[[mark]]
size = 6
at = 50
diameter = 16.40
[[mark]]
size = 8
at = 72
diameter = 18.05
"""


@pytest.fixture
def stick(tmp_path: Path) -> str:
    path = tmp_path / "stick.toml"
    path.write_text(STICK, encoding="utf-8")
    return str(path)


def answered(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    assert run(["size", *arguments]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    return out


@pytest.mark.parametrize("text", ["US 7", "17.3 mm", "uk n½", "UK C 1.25-rule", "0.681in", "54.4 mm around", "JP 36"])
def test_an_answer_is_one_screen_without_colour_codes(capsys: pytest.CaptureFixture[str], text: str) -> None:
    lines = answered(capsys, *text.split()).splitlines()
    assert len(lines) <= SCREEN[0]
    assert max(map(len, lines)) <= SCREEN[1]
    assert "\x1b" not in "".join(lines)
    assert " ".join(THE_FINGER_DECIDES.split()) in " ".join(" ".join(lines).split())


def test_the_first_line_has_diameter_and_circumference_in_mm_and_inches(capsys: pytest.CaptureFixture[str]) -> None:
    first = answered(capsys, "US", "7").splitlines()[0]
    assert first == "US 7: Ø 17.323 mm (0.6820 in) around 54.421 mm (2.1426 in)"


def test_each_scale_has_its_nearest_size_with_what_it_misses(capsys: pytest.CaptureFixture[str]) -> None:
    """US 7 is 17.3228 mm and 54.4212 mm around: ISO 54 is 17.1887, JP 14 17.3333, UK N 1/2 17.3081 mm."""
    rows = {line[:18].strip(): line.split() for line in answered(capsys, "US", "7").splitlines() if " mm " in line}
    assert rows["ISO 8653"][2:] == ["54", "17.189", "-0.134", "mm", "-42", "%", "of", "1", "size"]
    assert rows["UK/AU 1.25-rule"][2:] == ["N", "1/2", "17.308", "-0.015", "mm", "-7", "%", "of", "1/2", "letter"]
    assert rows["JP"][1:5] == ["14", "17.333", "+0.011", "mm"]
    assert "US/CA            7      17.323          exactly" in answered(capsys, "US", "7")


def test_where_sources_contradict_the_scale_it_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    assert "US/CA by-circumference (opened) gives Ø 17.334 mm" in answered(capsys, "US", "7")
    assert "UK/AU half-US-chart (opened) gives Ø 12.852 mm" in answered(capsys, "UK", "C", "1.25-rule")


def test_a_size_that_is_hardly_a_fingers_is_questioned(capsys: pytest.CaptureFixture[str]) -> None:
    """US 16 is 24.638 mm; practice case PC-16 calls 10 to 24 mm a finger."""
    assert "fingers are 10 to 24 mm across; is this one?" in answered(capsys, "US", "16")
    assert "is this one?" not in answered(capsys, "US", "15")


def test_the_makers_choice_is_shown_and_the_scales_follow_it(capsys: pytest.CaptureFixture[str]) -> None:
    out = answered(capsys, "US", "7", "--wide-band", "+1/4 size", "--eased-bore", "-0.05 mm")
    words = " ".join(out.split())
    assert "choice wide band +1/4 size (+0.203 mm, maker's choice; sources disagree)" in words
    assert "choice eased bore -0.05 mm (-0.050 mm, maker's choice; sources disagree)" in words
    assert "to make Ø 17.476 mm" in words
    assert "US/CA 7 1/4 17.526 +0.050 mm" in words


def test_what_is_said_of_a_width_is_shown_and_not_applied(capsys: pytest.CaptureFixture[str]) -> None:
    out = answered(capsys, "US", "7", "--width", "6mm", "--relief", "0.2mm")
    assert max(map(len, out.splitlines())) <= SCREEN[1]
    words = " ".join(out.split())
    assert "5 to 6 mm: a quarter size larger (+0.20 mm; common practice)" in words
    assert "half a size larger from 5 mm on (+0.41 mm; opened)" in words
    assert "no change up to about 6 mm (0 mm; opened)" in words
    assert "to make" not in words


def test_json_has_the_same_answer(capsys: pytest.CaptureFixture[str]) -> None:
    told = json.loads(answered(capsys, "US", "7", "--width", "6 mm", "--json"))
    assert told["asked"]["size"] == "US 7"
    assert told["asked"]["standing"] == "opened"
    assert told["made"]["diameter_mm"] == 17.3228
    near = {row["scale"]: row for row in told["nearest"]}
    assert (near["US/CA"]["is_exact"], near["JP"]["is_exact"]) == (True, False)
    assert near["JP"]["size_less_asked_mm"] == pytest.approx(17.333333 - 17.3228, abs=1e-6)
    assert near["UK/AU half-US-chart"]["size"] is None
    assert told["advice"]["applied"] is False


def test_a_stick_alone_shows_each_mark(capsys: pytest.CaptureFixture[str], stick: str) -> None:
    out = answered(capsys, "--stick", stick)
    assert max(map(len, out.splitlines())) <= SCREEN[1]
    assert " 6     16.400  ± 0.044  16.510         -0.110 mm     -0.14" in out
    marks = json.loads(answered(capsys, "--stick", stick, "--json"))["marks"]
    assert [mark["number"] for mark in marks] == [6, 8]


def test_a_reading_without_a_scale_is_one_of_the_stick(capsys: pytest.CaptureFixture[str], stick: str) -> None:
    out = answered(capsys, "7", "--stick", stick)
    assert out.startswith("7 on steel stick: Ø 17.225 mm")
    assert max(map(len, out.splitlines())) <= SCREEN[1]
    told = json.loads(answered(capsys, "7", "--stick", stick, "--json"))
    assert told["stick"]["claimed_mm"] == 17.3228
    assert not any(row.get("is_exact") for row in told["nearest"])


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["7"], 'found "7"; of which scale? Write "US 7"'),
        (["N"], 'Write "UK N 1.25-rule"'),
        ([], "this is no size that is known here"),
        (["54", "mm"], 'measured around? Then write "54 mm around"'),
        (["US", "7", "--width", "6"], '--width: found "6"; of which unit? Write "6 mm" or "6 in"'),
        (["US", "7", "--width", "60 mm"], "--width: found"),
        (["US", "7", "--relief", "0.2 mm"], "the arc needs the width too"),
        (["US", "7", "--width", "6 mm", "--relief", "4 mm"], "--relief: found"),
        (["US", "7", "--wide-band", "0.2 mm"], "does it make the ring larger or smaller?"),
        (["US", "7", "--eased-bore", "-0.2"], '--eased-bore: found "-0.2"; of which unit?'),
        (["US", "7", "--stick", "none.toml"], "none.toml: cannot be opened"),
        (["-17", "mm"], "No such option"),
    ],
)
def test_what_is_not_clear_is_asked_back_in_words(
    capsys: pytest.CaptureFixture[str], arguments: list[str], said: str
) -> None:
    assert run(["size", *arguments]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert said in err
    assert "Traceback" not in err


def test_beyond_a_stick_nothing_is_said(capsys: pytest.CaptureFixture[str], stick: str) -> None:
    for arguments in (["9"], ["US", "9"], ["20 mm"]):
        assert run(["size", *arguments, "--stick", stick]) == 2
        assert "nothing is read beyond them" in capsys.readouterr().err


def test_a_look_up_loads_nothing_heavy(tmp_path: Path) -> None:
    code = (
        "import sys\nfrom handwheel.cli.main import run\nrun(['size', 'US', '7'])\n"
        "print(*sorted(sys.modules), file=sys.stderr)"
    )
    done = subprocess.run((sys.executable, "-c", code), cwd=tmp_path, capture_output=True, text=True, check=True)
    loaded = done.stderr.split()
    assert "handwheel.service.ring_size" in loaded
    assert [name for name in loaded if name.startswith(NOT_FOR_A_LOOK_UP)] == []
