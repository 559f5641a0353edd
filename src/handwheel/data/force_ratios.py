"""How large the forces along and across the feed are beside the cutting force."""

from __future__ import annotations

from enum import Enum
from functools import cache

from handwheel.data.loader import load_table
from handwheel.data.ranges import DataRange, range_from_row
from handwheel.domain.errors import DataTableError

NOSES_DEEP = 2.0
"""Depths above so many nose radii leave the nose and count as a sharp edge does [TEXTBOOKS], from memory."""
NEAR_SQUARE_DEG = 80.0
"""Entering angles below this are not "near 90 degrees": the thrust turns across the feed; ours, no source."""
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


@cache
def radial_ratio(depth_mm: float, nose_radius_mm: float, entering_deg: float) -> DataRange:
    """Force across the feed over the cutting force, by how the edge meets the work.

    Parameters
    ----------
    depth_mm, nose_radius_mm : float
        Depth of the cut, and the round of the tip. [mm]
    entering_deg : float
        Entering angle. [deg]

    Returns
    -------
    DataRange
        As of a sharp edge from twice the nose radius on, entering near 90 degrees; else as of a blunt one: between one
        and two radii the table has no figure, and the larger rules.

    References
    ----------
    `force_ratio`.

    Examples
    --------
    >>> radial_ratio(0.125, 0.2, 90.0).words, radial_ratio(0.5, 0.2, 90.0).words
    ('0.5 to 1', '0.2 to 0.4')
    """
    sharp = depth_mm >= NOSES_DEEP * nose_radius_mm and entering_deg >= NEAR_SQUARE_DEG
    return force_ratio(EdgeState.SHARP if sharp else EdgeState.BLUNT, ForceDirection.RADIAL)
