"""Every table of the package keeps the rules that the reader cannot see alone."""

from __future__ import annotations

import ast
import csv
import re
from collections import Counter
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

import handwheel
from handwheel.data.loader import STANDINGS, sources

if TYPE_CHECKING:
    from collections.abc import Iterator

PACKAGE = Path(handwheel.__file__).parent
PUBLISHED = Path(__file__).parents[2] / "published"
TABLES = sorted(path.name for path in files("handwheel.data").iterdir() if path.name.endswith(".csv"))
FACT_TABLES = [name for name in TABLES if name != "sources.csv"]
MAY_BE_BLANK = {
    "belief_priors.csv": {"low", "high"},
    "materials.csv": {"low", "high"},
    "material_names.csv": {"edge_advice", "most_rake_deg"},
    "material_cautions.csv": {"short", "gate"},
    "cautions.csv": {"short"},
    "hazard_metals.csv": {"relatives"},
    "metal_claims.csv": {"item", "low", "high", "unit", "text"},
    "unknown_metals.csv": {"left_out", "forbids", "edge_advice"},
    "wear_rules.csv": {"low", "high", "unit"},
    "ring_allowances.csv": {"low_us_sizes", "high_us_sizes"},
    "diagnosis_symptoms.csv": {"amount"},
    "diagnosis_causes.csv": {"raised_by", "lowered_by", "effect"},
    "diagnosis_rules.csv": {"only_if"},
    "diagnosis_evidence.csv": {"most", "of"},
    "drill_sizes.csv": {"dia_in", "dia_mm"},
    "centre_drill_sizes.csv": {"pilot_length_low_mm", "protect_dia_mm", "radius_low_mm", "radius_high_mm", "cone_deg"},
}
CITED = re.compile(r"\[([A-Z][A-Z0-9_]{2,})\]")


def rows(table: str) -> list[dict[str, str]]:
    return list(csv.DictReader(files("handwheel.data").joinpath(table).read_text(encoding="utf-8").splitlines()))


def docstrings(folder: Path) -> Iterator[str]:
    for path in folder.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                yield node.value


def keys_given_to_findings(folder: Path) -> Iterator[str]:
    for path in folder.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.keyword) and node.arg == "source_key" and isinstance(node.value, ast.Constant):
                yield str(node.value.value)


def cited_keys() -> set[str]:
    from_rows = {row["source_key"] for table in FACT_TABLES for row in rows(table)}
    from_texts = {key for folder in (PACKAGE, PUBLISHED) for text in docstrings(folder) for key in CITED.findall(text)}
    return from_rows | from_texts | set(keys_given_to_findings(PACKAGE))


def test_there_are_tables_to_look_at() -> None:
    assert {"materials.csv", "iso286_it.csv", "sources.csv"} <= set(TABLES)


def test_each_key_used_is_listed() -> None:
    assert cited_keys() - set(sources()) == set()


def test_each_key_listed_is_used() -> None:
    assert set(sources()) - cited_keys() == set()


def test_sources_are_listed_once_and_in_order() -> None:
    keys = [row["key"] for row in rows("sources.csv")]
    assert keys == ["COMMON", *sorted(set(keys) - {"COMMON"})]


@pytest.mark.parametrize("table", TABLES)
def test_no_cell_is_blank_unless_it_may_be(table: str) -> None:
    allowed = MAY_BE_BLANK.get(table, set())
    blank = [(row, name) for row in rows(table) for name, cell in row.items() if not cell and name not in allowed]
    assert blank == []


@pytest.mark.parametrize("table", FACT_TABLES)
def test_standings_come_from_the_closed_set(table: str) -> None:
    assert {row["standing"] for row in rows(table)} <= STANDINGS


@pytest.mark.parametrize("table", TABLES)
def test_cells_carry_no_stray_blanks_or_addresses(table: str) -> None:
    cells = [cell for row in rows(table) for cell in row.values()]
    assert [cell for cell in cells if cell != cell.strip() or "://" in cell] == []


@pytest.mark.parametrize(
    ("table", "low", "high"),
    [
        ("materials.csv", "low", "high"),
        ("metal_claims.csv", "low", "high"),
        ("cut_speed_factors.csv", "factor_low", "factor_high"),
        ("edge_radii.csv", "radius_low_um", "radius_high_um"),
        ("iso286_it.csv", "over_mm", "up_to_incl_mm"),
        ("iso286_deviations.csv", "grade_low", "grade_high"),
    ],
)
def test_ranges_are_in_rising_order(table: str, low: str, high: str) -> None:
    both = [row for row in rows(table) if row[low] and row[high]]
    assert both
    assert [row for row in both if float(row[low]) > float(row[high])] == []


@pytest.mark.parametrize(
    ("table", "name"),
    [
        ("materials.csv", ("material", "property")),
        ("material_names.csv", ("key",)),
        ("metal_claims.csv", ("material", "topic", "item", "unit", "text")),
        ("metal_families.csv", ("material",)),
        ("metal_other_names.csv", ("material", "other_name")),
        ("unknown_metals.csv", ("key",)),
        ("wear_rules.csv", ("rule",)),
        ("iso286_it.csv", ("over_mm",)),
        ("iso286_deviations.csv", ("letter", "over_mm", "grade_low")),
        ("iso2768.csv", ("quantity", "tolerance_class", "over_mm")),
        ("thick_ring.csv", ("wall_to_mean_radius", "jaws")),
        ("ring_scales.csv", ("key",)),
        ("ring_allowances.csv", ("choice", "says")),
        ("diagnosis_symptoms.csv", ("key",)),
        ("diagnosis_evidence.csv", ("key",)),
        ("diagnosis_causes.csv", ("symptom", "cause")),
        ("diagnosis_rules.csv", ("symptom", "only_if", "text")),
    ],
)
def test_no_fact_stands_twice(table: str, name: tuple[str, ...]) -> None:
    counts = Counter(tuple(row[column] for column in name) for row in rows(table))
    assert [key for key, count in counts.items() if count > 1] == []


@pytest.mark.parametrize(
    ("table", "group"),
    [("iso286_it.csv", ()), ("iso2768.csv", ("quantity", "tolerance_class"))],
)
def test_size_ranges_leave_no_gap(table: str, group: tuple[str, ...]) -> None:
    ends: dict[tuple[str, ...], str] = {}
    for row in rows(table):
        key = tuple(row[column] for column in group)
        assert ends.get(key, row["over_mm"]) == row["over_mm"]
        ends[key] = row["up_to_incl_mm"]
    assert ends
