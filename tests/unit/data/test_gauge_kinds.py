"""The table of gauges: what a turn is worth, which flats jaws have, and which kinds have neither."""

from __future__ import annotations

import pytest

from handwheel.data.gauge_kinds import GaugeFact, gauge_fact
from handwheel.data.loader import load_table
from handwheel.domain.gauges import GaugeKind


@pytest.mark.parametrize(
    ("fact", "kind", "words"),
    [
        (GaugeFact.TURN_METRIC, GaugeKind.MICROMETER, "0.5 mm"),
        (GaugeFact.TURN_INCH, GaugeKind.MICROMETER, "0.025 in"),
        (GaugeFact.TURN_INCH, GaugeKind.DIAL_CALIPER, "0.1 in"),
        (GaugeFact.TURN_METRIC, GaugeKind.DIAL_CALIPER, "1 to 2 mm"),
        (GaugeFact.FLAT, GaugeKind.CALIPER, "0.5 to 1 mm"),
    ],
)
def test_figures_of_the_table(fact: GaugeFact, kind: GaugeKind, words: str) -> None:
    """As in practice cases PC-05 and PC-22; the rest common practice."""
    found = gauge_fact(fact, kind)
    assert found is not None
    assert found.words == words


def test_gauges_without_a_thimble_or_a_hand_have_no_turn() -> None:
    for kind in (GaugeKind.CALIPER, GaugeKind.ELECTRONIC, GaugeKind.PLUG):
        assert gauge_fact(GaugeFact.TURN_METRIC, kind) is None


def test_every_row_names_a_kind_and_a_quantity_that_exist() -> None:
    rows = load_table("gauge_kinds.csv", ("quantity", "kind", "low", "high", "unit", "standing", "source_key", "place"))
    assert {row["kind"] for row in rows} <= {kind.value for kind in GaugeKind}
    assert {row["quantity"] for row in rows} == {fact.value for fact in GaugeFact}
