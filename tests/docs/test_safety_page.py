"""docs/safety.md says every caution, every question and every hazard of the tables, word for word, and no other."""

from __future__ import annotations

import csv
import re
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from handwheel.check.report import RefusalCode

if TYPE_CHECKING:
    from collections.abc import Callable

PAGE = Path(__file__).resolve().parent.parent.parent / "docs" / "safety.md"
HEAD = "head"


def rows(table: str) -> list[dict[str, str]]:
    """Rows of a table of the package."""
    return list(csv.DictReader(files("handwheel.data").joinpath(table).read_text(encoding="utf-8").splitlines()))


def sections() -> dict[str, str]:
    """Text below each heading of the page."""
    pieces = re.split(r"(?m)^## (.+)\n", PAGE.read_text(encoding="utf-8"))[1:]
    return dict(zip(pieces[::2], pieces[1::2], strict=True))


def listed(section: str) -> list[list[str]]:
    """Cells of the rows of a section's table, without its head."""
    lines = [line for line in sections()[section].splitlines() if line.startswith("|")]
    return [[cell.strip() for cell in line.strip("|").split(" | ")] for line in lines[2:]]


def whose(row: dict[str, str]) -> str:
    """Source and standing as the page prints them."""
    return f"[{row['source_key']}], {row['standing']}"


def head_rows() -> list[list[str]]:
    return [[f"`{row['code']}`", row["text"], whose(row)] for row in rows("cautions.csv") if row["act"] == HEAD]


def act_rows() -> list[list[str]]:
    return [
        [f"`{row['code']}`", row["act"], row["applies"], row["text"], row["short"] or "-", whose(row)]
        for row in rows("cautions.csv")
        if row["act"] != HEAD
    ]


def gate_rows() -> list[list[str]]:
    metals = rows("material_cautions.csv")
    return [
        [
            f"`{row['code']}`",
            row["have"],
            ", ".join(f"`{each['material']}`" for each in metals if each["gate"] == row["code"]),
            row["text"],
            whose(row),
        ]
        for row in rows("hazard_gates.csv")
    ]


def metal_rows() -> list[list[str]]:
    return [
        [f"`{row['key']}`", row["other_names"].replace(";", ", "), row["hazard"], whose(row)]
        for row in rows("hazard_metals.csv")
    ]


@pytest.mark.parametrize(
    ("section", "wanted"),
    [
        ("At the head of every sheet", head_rows),
        ("Before an act", act_rows),
        ("What is asked first", gate_rows),
        ("Metals that are here for their hazard alone", metal_rows),
    ],
)
def test_a_table_of_the_page_has_the_rows_of_the_program(section: str, wanted: Callable[[], list[list[str]]]) -> None:
    assert wanted()
    assert sorted(listed(section)) == sorted(wanted())


def test_the_page_puts_local_rules_and_supervision_before_itself() -> None:
    first = " ".join(PAGE.read_text(encoding="utf-8").partition("## ")[0].split())
    assert "local rules, the makers' manuals and trained supervision come first" in first
    assert "nothing is medical advice" in first


def test_what_the_page_says_the_check_refuses_are_codes_of_the_check() -> None:
    known = {code.value for code in RefusalCode}
    assert {"missing-caution", "hazard-not-confirmed", "spindle-runs"} <= known
    for code in re.findall(r"\(`([a-z-]+)`(?: otherwise)?\)", PAGE.read_text(encoding="utf-8")):
        assert code in known
