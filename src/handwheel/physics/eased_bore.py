"""The eased (comfort) inside of a ring: the arc through its smallest bore and its two relieved edges."""

from __future__ import annotations

from handwheel.domain.errors import require_positive, require_within


def eased_radius_mm(band_width_mm: float, *, relief_mm: float) -> float:
    r"""Radius of the arc that an eased inside has along the axis.

    .. math:: R = (w^2/4 + e^2) / (2 e)

    Parameters
    ----------
    band_width_mm : float
        Width of the band, :math:`w`. [mm]
    relief_mm : float
        How far the inside opens at each edge, on the radius, :math:`e`; at most half the width, a half circle. [mm]

    Returns
    -------
    float
        Radius of the arc. [mm]

    Raises
    ------
    OutOfRangeError
        If the width is not above 0, or the relief not above 0 and at most half the width.

    Notes
    -----
    The size of such a ring is its smallest bore, at the middle of its width.

    References
    ----------
    Exact geometry of the circle; practice case PC-17 gives the example.

    Examples
    --------
    >>> round(eased_radius_mm(6.0, relief_mm=0.2), 1)
    22.6
    """
    require_positive("band_width_mm", band_width_mm, unit="mm")
    require_positive("relief_mm", relief_mm, unit="mm")
    require_within("relief_mm", relief_mm, low=0.0, high=band_width_mm / 2, unit="mm")
    return (band_width_mm**2 / 4 + relief_mm**2) / (2 * relief_mm)
