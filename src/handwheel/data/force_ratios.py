"""How large the forces along and across the feed are beside the cutting force."""

from __future__ import annotations

from enum import Enum

from handwheel.data.loader import load_table
from handwheel.data.ranges import DataRange, range_from_row
from handwheel.domain.errors import DataTableError

_COLUMNS = ("edge", "direction", "low", "high", "unit", "standing", "source_key", "place")


class EdgeState(Enum):
    """How an edge meets the work. Blunt stands also for a negative rake and for a cut shallower than the nose."""

    SHARP = "sharp"
    BLUNT = "blunt"


class ForceDirection(Enum):
    """Directions beside that of the cutting speed."""

    FEED = "feed"
    RADIAL = "radial"


def force_ratio(edge: EdgeState, direction: ForceDirection) -> DataRange:
    """Force of a direction over the cutting force.

    Parameters
    ----------
    edge : EdgeState
        Sharp, or blunt and the like.
    direction : ForceDirection
        Along the feed, or across it: the one that pushes work and tool apart.

    Returns
    -------
    DataRange
        Both ends, without unit; for `handwheel.physics.force.component_band_n`.

    Raises
    ------
    DataTableError
        If the table has none: what a blunt edge does to the force along the feed is not in it.

    References
    ----------
    [TEXTBOOKS], order of magnitude, from memory.

    Examples
    --------
    >>> force_ratio(EdgeState.SHARP, ForceDirection.RADIAL).words
    '0.2 to 0.4'
    """
    for row in load_table("force_ratios.csv", _COLUMNS):
        if (row["edge"], row["direction"]) == (edge.value, direction.value):
            return range_from_row(row)
    msg = f"force: the table has no {direction.value} force for a {edge.value} edge; take the radial one, it is larger"
    raise DataTableError(msg)
