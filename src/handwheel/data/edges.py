"""How sharp a cutting edge is."""

from __future__ import annotations

from enum import Enum

from handwheel.data.loader import Standing, load_table
from handwheel.data.ranges import DataRange

_COLUMNS = ("edge", "radius_low_um", "radius_high_um", "words", "standing", "source_key", "place")


class EdgeCondition(Enum):
    """How an edge was prepared."""

    KEEN = "keen"
    HONED = "honed"


def edge_radius_um(edge: EdgeCondition) -> DataRange:
    """Radius of the cutting edge itself, which sets the least chip.

    Parameters
    ----------
    edge : EdgeCondition
        Keen (stoned HSS, ground and polished carbide) or honed (honed or coated insert).

    Returns
    -------
    DataRange
        Radius. [um]

    References
    ----------
    Common practice, no source [COMMON].

    Examples
    --------
    >>> edge_radius_um(EdgeCondition.KEEN).words
    '5 to 10 um'
    """
    row = next(row for row in load_table("edge_radii.csv", _COLUMNS) if row["edge"] == edge.value)
    return DataRange(
        low=float(row["radius_low_um"]),
        high=float(row["radius_high_um"]),
        unit="um",
        standing=Standing(row["standing"]),
        source_key=row["source_key"],
        place=row["words"],
    )
