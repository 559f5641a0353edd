"""Speeds from a handbook table carried to another feed and depth by its printed factors."""

from __future__ import annotations

from typing import TYPE_CHECKING

from handwheel.domain.errors import require_positive
from handwheel.physics.between_rows import value_between_rows

if TYPE_CHECKING:
    from collections.abc import Sequence


def adjusted_speed_m_min(
    table_speed_m_min: float,
    *,
    depth_mm: float,
    depth_factors: Sequence[tuple[float, float]],
    feed_mm_rev: float | None = None,
    feed_factors: Sequence[tuple[float, float]] = (),
) -> float:
    r"""Cutting speed of a handbook table at the feed and the depth in use.

    .. math:: V = V_0\,F_f\,F_d

    Parameters
    ----------
    table_speed_m_min : float
        Speed of the table, :math:`V_0`: for high speed steel at feed 0.30 mm/rev and depth 3.18 mm. [m/min]
    depth_mm : float
        Depth of cut on the radius. [mm]
    depth_factors : sequence of (float, float)
        n points, (n, 2): depth in mm, rising, and factor :math:`F_d`.
    feed_mm_rev : float, optional
        Feed; left out, that of the table is kept, as for carbide, whose tables have a feed of their own. [mm/rev]
    feed_factors : sequence of (float, float)
        n points, (n, 2): feed in mm/rev, rising, and factor :math:`F_f`; needed with a feed.

    Returns
    -------
    float
        Speed :math:`V`. [m/min]

    Raises
    ------
    OutOfRangeError
        If the speed is not above 0, or feed or depth lies outside the printed rows: nothing is drawn on beyond them.

    Notes
    -----
    Straight lines between rows. The factors are powers within 2 %: exponents of about 0.42 for feed and 0.14 for depth.
    At fine feeds and shallow cuts the product can be twice the speed that other books give for finishing: begin with
    the lower figure.

    References
    ----------
    [MH31] p. 1104, Table 5c, opened; the tables stand in `speed_factors.csv`.

    Examples
    --------
    >>> feeds, depths = ((0.05, 1.5), (0.10, 1.5), (0.13, 1.44)), ((0.25, 1.42), (0.41, 1.33))
    >>> round(adjusted_speed_m_min(23.0, feed_mm_rev=0.1, depth_mm=0.41, feed_factors=feeds, depth_factors=depths))
    46
    """
    require_positive("table_speed_m_min", table_speed_m_min, unit="m/min")
    feed = 1.0
    if feed_mm_rev is not None:
        feed = value_between_rows(feed_mm_rev, feed_factors, name="feed_mm_rev", unit="mm/rev")
    depth = value_between_rows(depth_mm, depth_factors, name="depth_mm", unit="mm")
    return table_speed_m_min * feed * depth
