"""Runout read off an indicator, and how far the axis of the work stands off the axis of the spindle."""

from __future__ import annotations

from handwheel.domain.errors import OutOfRangeError


def eccentricity_mm(low_mm: float, *, high_mm: float) -> float:
    r"""How far a round surface stands off the axis that it turns about.

    .. math:: e = (h - l) / 2

    Parameters
    ----------
    low_mm : float
        Lowest reading of an indicator in one turn, :math:`l`. [mm]
    high_mm : float
        Highest reading in that turn, :math:`h`; less :math:`l` it is the total reading. [mm]

    Returns
    -------
    float
        Eccentricity :math:`e`, half of the total reading. [mm]

    Raises
    ------
    OutOfRangeError
        If the highest is below the lowest.

    Notes
    -----
    Of a surface that is round in itself; out-of-round and the play of the bearings are read along with it.

    References
    ----------
    Geometry.

    Examples
    --------
    >>> eccentricity_mm(-0.01, high_mm=0.03)
    0.02
    """
    if high_mm < low_mm:
        msg = f"high_mm: got {high_mm:g} mm, must not be below low_mm, {low_mm:g} mm; exchange them, or check the signs"
        raise OutOfRangeError(msg)
    return (high_mm - low_mm) / 2.0
