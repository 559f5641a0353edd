"""The page on part files: its example is a part, its table of fits is the program's, and it leaves out no key."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from handwheel.data.fits import named_fits
from handwheel.domain.part import FRONT_OUTER_EDGE, Aspect, PressedBore
from handwheel.service.intake.finishing import FINISHES
from handwheel.service.intake.part_file import read_part
from handwheel.service.intake.sizes import BETWEEN, WAYS_BESIDE
from tests.intake_files import PART, problems_of, spoiled

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


@pytest.mark.parametrize("written", re.findall(r"`\"([^`\"]+)\"`", PAGE.partition("## Edges")[2]))
def test_the_edges_of_the_page_are_read(written: str) -> None:
    has_limits = "+" in written
    others = "" if has_limits else "plus_minus = 0.1\n"
    part = read_part(
        spoiled(PART, ('general_class = "m"\nall = "0.5 x 45"', f'{others}all = "{written}"')), name="ring.toml"
    )
    is_bevel = part.feature(FRONT_OUTER_EDGE, Aspect.LEG_AXIAL) is not None
    assert is_bevel is ("45" in written)


@pytest.mark.parametrize("written", ["0.5", "0.5 x 0.3", "0.5 x 30°"])
def test_what_the_page_says_of_edges_is_asked_back(written: str) -> None:
    (problem,) = problems_of(lambda: read_part(spoiled(PART, ("0.5 x 45", written)), name="ring.toml"))
    assert re.search("the legs of 45 degrees\\?|which is along the axis|needs both legs", problem)


def test_no_way_to_write_limits_beside_a_size_is_left_out_or_told_twice() -> None:
    rows = re.findall(r"(?m)^\| `(\w+)` \| ", PAGE.partition("## Sizes and their limits")[2].partition("\n## ")[0])
    assert sorted(rows) == sorted([*WAYS_BESIDE, BETWEEN])
