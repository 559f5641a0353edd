"""Stick files: what is read, and every problem with its key."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import InputError
from handwheel.domain.ring_stick import RingStick
from handwheel.service.intake.ring_stick import read_stick, read_stick_file
from tests.intake_files import problems_of, spoiled

STICK = """\
name = "steel stick"
units = "mm"
scale = "UK"
mark_width = 0.3
reading = "0.5 mm"
uncertainty = 0.01

[[mark]]
size = "K"
at = 40
diameter = 15.85

[[mark]]
size = "Z+1 1/2"
at = 130
diameter = "0.8835 in"
"""


def read(*changes: tuple[str, str]) -> RingStick:
    return read_stick(spoiled(STICK, *changes), name="stick.toml")


def test_a_stick_is_read_with_its_marks() -> None:
    stick = read()
    assert (stick.name, stick.scale_key, stick.reading_mm) == ("steel stick", "uk", Fraction(1, 2))
    assert [mark.number for mark in stick.marks] == [11, Fraction(55, 2)]
    assert stick.last.diameter_mm == Fraction("0.8835") * Fraction("25.4")


def test_a_stick_is_read_from_the_disk(tmp_path: Path) -> None:
    path = tmp_path / "stick.toml"
    path.write_text(STICK, encoding="utf-8")
    assert read_stick_file(path) == read()
    with pytest.raises(InputError, match=r"none\.toml: cannot be opened"):
        read_stick_file(tmp_path / "none.toml")


def test_a_plain_number_may_be_engraved_too() -> None:
    stick = read(('"UK"', '"US"'), ('"K"', "5.5"), ('"Z+1 1/2"', "13"))
    assert [mark.number for mark in stick.marks] == [Fraction(11, 2), 13]


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ((('"UK"', '"UKK"'),), 'scale: found "UKK"; allowed "ISO", "US", "UK", "JP", "CH"; did you mean "UK"?'),
        ((('"K"', '"7"'),), 'mark[no. 1].size: found "7"; sizes of UK/AU are letters'),
        ((('"K"', "true"),), "mark[no. 1].size: found true; allowed what is engraved there"),
        (
            (("diameter = 15.85", "diameter = 49.8"),),
            "mark[no. 1].diameter: found 49.8; allowed a length from 10 to 24 mm",
        ),
        ((("diameter = 15.85", "diameter = 23"),), "do not rise in size, place and diameter"),
        ((("at = 40", "att = 40"),), "mark[no. 1].att: found a key unknown here"),
        ((("at = 40", ""),), "mark[no. 1].at: found nothing"),
        ((("uncertainty = 0.01", ""),), "uncertainty: found nothing"),
        ((("uncertainty = 0.01", "uncertainty = 0"),), "uncertainty: found 0"),
        ((("reading", "readingg"),), "readingg: found a key unknown here"),
        ((("[[mark]]", "[[marks]]"),), "mark: found nothing; allowed two marks or more"),
        ((("[[mark]]", "[mark"),), "line 8, column 6: found"),
    ],
)
def test_what_is_wrong_with_a_stick_is_told_with_its_key(changes: tuple[tuple[str, str], ...], said: str) -> None:
    found = problems_of(lambda: read(*changes))
    assert any(said in problem for problem in found), found
    assert all(problem.startswith("stick.toml: ") for problem in found)


def test_one_mark_is_no_stick() -> None:
    alone = STICK[: STICK.rindex("[[mark]]")]
    (problem,) = problems_of(lambda: read_stick(alone, name="stick.toml"))
    assert "it has 1 marks, needs 2 to read between them" in problem


@given(st.integers(min_value=0, max_value=len(STICK) - 1), st.characters())
def test_no_letter_put_into_the_file_breaks_it(place: int, letter: str) -> None:
    problems_of(lambda: read_stick(STICK[:place] + letter + STICK[place + 1 :], name="stick.toml"))
