"""Factors by which a handbook's cutting speeds are carried to other feeds and depths."""

from __future__ import annotations

from enum import Enum
from functools import cache

from handwheel.data.loader import load_table

_COLUMNS = ("tool", "factor_for", "at", "unit", "factor", "standing", "source_key", "place")


class SpeedFactors(Enum):
    """The tables there are: for which tool, and by what."""

    HSS_FEED = ("hss", "feed")
    HSS_DEPTH = ("hss", "depth")
    CARBIDE_DEPTH = ("carbide", "depth")


@cache
def speed_factors(which: SpeedFactors) -> tuple[tuple[float, float], ...]:
    """Rows of one table of factors, for `handwheel.physics.edge_speed.adjusted_speed_m_min`.

    Parameters
    ----------
    which : SpeedFactors
        High speed steel by feed or depth, or carbide by depth.

    Returns
    -------
    tuple of (float, float)
        n points, (n, 2): feed [mm/rev] or depth [mm], rising, and factor. The speeds of the table hold where it is 1.

    References
    ----------
    [MH31] p. 1104, Table 5c, and Table 5a; opened.

    Examples
    --------
    >>> speed_factors(SpeedFactors.HSS_FEED)[0], speed_factors(SpeedFactors.CARBIDE_DEPTH)[-1]
    ((0.05, 1.5), (25.4, 0.74))
    """
    return tuple(
        (float(row["at"]), float(row["factor"]))
        for row in load_table("speed_factors.csv", _COLUMNS)
        if (row["tool"], row["factor_for"]) == which.value
    )
