"""What the page on part and shop files says is read so: every row of its tables, every message it shows."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

import pytest

from handwheel.domain.errors import InputError
from handwheel.domain.part import BORE, Aspect, Units
from handwheel.service.demo import demo_text
from handwheel.service.intake.lengths import length_mm
from handwheel.service.intake.part_file import read_part
from handwheel.service.intake.per_turn import travel_mm
from handwheel.service.intake.quantities import read_quantity
from tests.damage.run import SOURCES
from tests.damage.test_damage import SLICE
from tests.intake_files import PART, problems_of, spoiled

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "files.md").read_text("utf-8")
ASKED = "asked back"


def rows(section: str, head: str) -> list[list[str]]:
    """Rows of the table with such a head in a section, code without its quotes."""
    part = PAGE.partition(f"## {section}\n")[2].partition("\n## ")[0]
    lines = part.partition(f"| {head} |")[2].split("\n")[2:]
    table = [line for line in lines[: lines.index("")] if line.startswith("|")]
    return [[cell.strip().strip("`") for cell in line.strip("|").split("|")] for line in table]


@pytest.mark.parametrize(("written", "read"), rows("Lengths", "written | read, in a file of millimetres"))
def test_a_length_is_read_as_the_page_says(written: str, read: str) -> None:
    assert length_mm(written, unit=Units.MM) == Fraction(read.removesuffix(" mm"))


@pytest.mark.parametrize(("written", "question"), rows("Lengths", f"written | {ASKED}"))
def test_a_length_is_asked_back_as_the_page_says(written: str, question: str) -> None:
    with pytest.raises(InputError, match=re.escape(question.partition(" (")[0])):
        length_mm(written, unit=Units.MM)


@pytest.mark.parametrize(("written", "lower", "upper"), rows("Sizes with their limits", "written | from | to"))
def test_limits_are_read_as_the_page_says(written: str, lower: str, upper: str) -> None:
    text = spoiled(PART, ('"20 H8"', f'"{written}"'))
    feature = read_part(text, name="ring.toml").feature(BORE, Aspect.DIAMETER)
    assert feature is not None
    limits = (feature.size.lower, feature.size.upper)
    assert limits == tuple(Fraction(end.removesuffix(" mm")) for end in (lower, upper))


@pytest.mark.parametrize(("written", "question"), rows("Sizes with their limits", f"written | {ASKED}"))
def test_limits_are_asked_back_as_the_page_says(written: str, question: str) -> None:
    (problem,) = problems_of(lambda: read_part(spoiled(PART, ('"20 H8"', f'"{written}"')), name="ring.toml"))
    assert question in problem


@pytest.mark.parametrize(("unit", "written", "read"), rows("Turns, angles, times, powers", "key | written | read"))
def test_a_quantity_is_read_as_the_page_says(unit: str, written: str, read: str) -> None:
    assert read_quantity(written, unit=unit, where="key") == Fraction(read)


@pytest.mark.parametrize(("written", "read"), rows("Feeds and leads", "written | read, in a file of millimetres"))
def test_a_travel_in_a_turn_is_read_as_the_page_says(written: str, read: str) -> None:
    assert travel_mm(written, unit=Units.MM, where="key") == Fraction(read.removesuffix(" mm"))


@pytest.mark.parametrize(("written", "question"), rows("Feeds and leads", f"written | {ASKED}"))
def test_a_travel_in_a_turn_is_asked_back_as_the_page_says(written: str, question: str) -> None:
    with pytest.raises(InputError, match=re.escape(question)):
        travel_mm(written, unit=Units.MM, where="key")


@pytest.mark.parametrize(
    "change",
    [("plus_minus = 0.06", "plus_minsu = 0.06"), ("diameter = 18.5", "diameter = 18,5")],
)
def test_the_messages_of_the_page_are_those_that_are_given(change: tuple[str, str]) -> None:
    text = spoiled(demo_text("band"), change)
    page = " ".join(PAGE.split())
    problem = problems_of(lambda: read_part(text, name="band.toml"))[-1]
    assert " ".join(re.sub(r"\(Expected [a-z ]+\)", "(...)", problem).split()) in page


def test_the_page_counts_the_files_of_the_slice() -> None:
    assert f"{SLICE} damaged files" in PAGE
    assert SLICE % len(SOURCES) == 0
