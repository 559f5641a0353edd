"""The page on beliefs says what the tables hold and what the rules are."""

from __future__ import annotations

import re
from math import inf
from pathlib import Path

from handwheel.bench.learning.believing import SURE_SPREADS, UNLIKELY_SPREADS
from handwheel.bench.learning.overlay import FACTOR_STEP, LEFT_FOR_DRILLS_MM
from handwheel.data.priors import fading, prior_rows
from handwheel.domain.beliefs import EventKind, Quantity
from handwheel.domain.matters import SHARE_THAT_MATTERS

PAGE = (Path(__file__).parents[2] / "docs" / "theory" / "beliefs.md").read_text(encoding="utf-8")
CELLS = [[cell.strip() for cell in line.strip("|").split("|")] for line in PAGE.splitlines() if line.startswith("| ")]


def test_the_table_of_priors_has_the_rows_of_the_program() -> None:
    said = {cells[0]: cells[3:] for cells in CELLS if cells[0] in {quantity.value for quantity in Quantity}}
    assert list(said) == [quantity.value for quantity in Quantity]
    for quantity, row in prior_rows().items():
        ends = "nobody knows"
        if row.spread < inf:
            ends = f"{row.middle - 2 * row.spread:.6g} to {row.middle + 2 * row.spread:.6g}"
        assert said[quantity.value] == [ends, _plain(row.job_scatter), _plain(row.drift_year)], quantity


def _plain(figure: float) -> str:
    return f"{figure:.6f}".rstrip("0").rstrip(".")


def test_the_table_of_events_has_the_rows_of_the_program() -> None:
    said = {cells[0]: cells[1] for cells in CELLS if cells[0] in {kind.value for kind in EventKind}}
    for kind in EventKind:
        parts = re.findall(r"([a-z ]+?) ([0-9.]+)(?:, |$)", said[kind.value])
        expected = {quantity.value: added for (event, quantity), added in fading().items() if event is kind}
        assert {name: float(added) for name, added in parts} == expected


def test_the_figures_in_the_text_are_those_of_the_rules() -> None:
    assert (SURE_SPREADS, UNLIKELY_SPREADS, SHARE_THAT_MATTERS) == (2.0, 3.0, 0.1)
    assert float(FACTOR_STEP) == 1e-4
    assert "more than three spreads" in PAGE
    assert f"bears {float(LEFT_FOR_DRILLS_MM):g} mm" in PAGE
