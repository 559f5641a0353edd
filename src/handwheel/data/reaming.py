"""What a reamer must be left to cut, and how fast it may be fed."""

from __future__ import annotations

from enum import Enum

from handwheel.data.loader import Standing, load_table
from handwheel.data.ranges import DataRange
from handwheel.domain.errors import DataTableError
from handwheel.domain.hole_tools import ReamerKind

_COLUMNS = ("quantity", "reamer", "low", "high", "unit", "standing", "source_key", "place")


class Reaming(Enum):
    """Quantities of the table of reaming."""

    ALLOWANCE = "allowance"
    FEED_SHARE = "feed_share"
    SPEED_SHARE = "speed_share"


def reaming_range(quantity: Reaming, kind: ReamerKind) -> DataRange:
    """Range of a quantity of reaming.

    Parameters
    ----------
    quantity : Reaming
        Allowance on the diameter [mm], feed as a share of a drill's, or speed as a share of a drill's.
    kind : ReamerKind
        Machine or hand reamer.

    Returns
    -------
    DataRange
        Both ends.

    Raises
    ------
    DataTableError
        If the table has none: a hand reamer has no speed, the work stands still.

    References
    ----------
    [TM_1_420] for machine reamers, opened; the rest common practice [COMMON].

    Examples
    --------
    >>> reaming_range(Reaming.ALLOWANCE, ReamerKind.MACHINE).words
    '0.127 to 0.254 mm'
    """
    for row in load_table("reaming.csv", _COLUMNS):
        if (row["quantity"], row["reamer"]) == (quantity.value, kind.value):
            return DataRange(
                low=float(row["low"]),
                high=float(row["high"]),
                unit=row["unit"],
                standing=Standing(row["standing"]),
                source_key=row["source_key"],
                place=row["place"],
            )
    msg = f"reaming: the table has no {quantity.value} for a {kind.value}; it is turned by hand, the work at rest"
    raise DataTableError(msg)
