"""The page on part files: its example is a part, its table of fits is the program's, and it leaves out no key."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from handwheel.data.fits import named_fits
from handwheel.domain.part import PressedBore
from handwheel.service.intake.finishing import FINISHES
from handwheel.service.intake.part_file import read_part
from tests.intake_files import problems_of

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "part-file.md").read_text(encoding="utf-8")
EXAMPLE = re.findall(r"(?s)```toml\n(.+?)```", PAGE)[0]
STRANGE = "stranger_than_any_key = 1\n"


def keys_allowed(text: str) -> set[str]:
    """Keys that the reader names when it meets one that it does not know."""
    found = problems_of(lambda: read_part(text, name="part.toml"))
    (allowed,) = (line.partition("allowed ")[2].partition(";")[0] for line in found if "a key unknown here" in line)
    return set(allowed.split(", "))


def test_the_example_is_a_part() -> None:
    assert read_part(EXAMPLE, name="part.toml").name == "guide bush"


@pytest.mark.parametrize("table", ["", "[bore]", "[outside]", "[width]", "[edges]"])
def test_every_key_that_the_reader_takes_stands_on_the_page(table: str) -> None:
    text = EXAMPLE.replace(f"{table}\n", f"{table}\n{STRANGE}", 1) if table else STRANGE + EXAMPLE
    keys = keys_allowed(text)
    assert keys
    assert {key for key in keys if not re.search(rf"`[^`]*\b{key}\b[^`]*`", PAGE)} == set()


def test_the_table_of_fits_is_the_one_that_the_program_has() -> None:
    rows = dict(re.findall(r"(?m)^\| ([a-z ]+) \| ([A-Z]+\d+/[a-z]+\d+) \|", PAGE))
    assert rows == {name: fit.pair for name, fit in named_fits().items()}


def test_every_word_that_the_reader_knows_stands_on_the_page() -> None:
    words = [*FINISHES, *(when.value for when in PressedBore)]
    assert [word for word in words if f'"{word}"' not in PAGE and word != "as turned"] == []
