"""What gauges of a kind have in common: what one turn of them is worth, how wide the flats of their jaws are."""

from __future__ import annotations

from enum import Enum

from handwheel.data.loader import load_table
from handwheel.data.ranges import DataRange, range_from_row
from handwheel.domain.gauges import GaugeKind

_COLUMNS = ("quantity", "kind", "low", "high", "unit", "standing", "source_key", "place")


class GaugeFact(Enum):
    """Quantities of the table of gauges."""

    TURN_METRIC = "turn_metric"
    TURN_INCH = "turn_inch"
    FLAT = "flat"


def gauge_fact(quantity: GaugeFact, kind: GaugeKind) -> DataRange | None:
    """What the table says of a kind of gauge.

    Parameters
    ----------
    quantity : GaugeFact
        One turn of a gauge divided in millimetres [mm] or in inches [in], or the width of a flat [mm].
    kind : GaugeKind
        Kind of gauge.

    Returns
    -------
    DataRange or None
        Both ends; nothing where such a gauge has none, as one with an electronic display has no turn to miscount.

    Raises
    ------
    DataTableError
        If the table is missing or breaks its own rules.

    References
    ----------
    Common practice [COMMON]; practice cases PC-05 and PC-22.

    Examples
    --------
    >>> gauge_fact(GaugeFact.TURN_INCH, GaugeKind.MICROMETER).words
    '0.025 in'
    >>> gauge_fact(GaugeFact.FLAT, GaugeKind.MICROMETER) is None
    True
    """
    for row in load_table("gauge_kinds.csv", _COLUMNS):
        if (row["quantity"], row["kind"]) == (quantity.value, kind.value):
            return range_from_row(row)
    return None
