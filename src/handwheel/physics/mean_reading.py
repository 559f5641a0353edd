"""How sure the mean of some readings is, what of a tolerance is left for it, and how many readings would do."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, hypot, pi, sqrt

from handwheel.domain.errors import OutOfRangeError, require_positive, require_within

GUARD_FACTOR = 1.65
"""Standard uncertainties kept from each limit for 95 % conformance [ISO14253_1]; the factor from memory."""
SPREAD_SHARE = 1.0 / 3.0
"""Share of the tolerance beyond which three readings lie too far apart; practice case PC-23."""
USUAL_READINGS = 3
"""Readings that a practised hand takes of a bore; practice case PC-23."""
MEAN_RANGE_OF_THREE = 3.0 / sqrt(pi)
"""Mean distance from the smallest to the largest of three normal readings, in standard deviations; exact."""
SURE_ENOUGH = SPREAD_SHARE / (MEAN_RANGE_OF_THREE * sqrt(USUAL_READINGS))
"""Most standard uncertainty of a mean, over the tolerance: that of three readings a third of it apart (0.114)."""
LIKE_NEIGHBOURS = 0.5
"""How alike readings in one place and direction are, as a correlation; own choice."""


def effective_readings(counts: Sequence[int], *, alike: float = LIKE_NEIGHBOURS) -> float:
    r"""How many independent readings are worth as much as those taken, some of them in the same place.

    .. math:: n_\mathrm{eff} = \left( \frac{1 - \rho}{N} + \rho \sum_g \frac{n_g^2}{N^2} \right)^{-1},
        \qquad N = \sum_g n_g

    Parameters
    ----------
    counts : sequence of int
        Readings in each place and direction, :math:`n_g`; m places.
    alike : float
        Correlation of readings in one place, :math:`\rho`: 0 if only the hand scatters, 1 if only the part differs.

    Returns
    -------
    float
        Effective number :math:`n_\mathrm{eff}`, from 1 to :math:`N`.

    Raises
    ------
    OutOfRangeError
        If there is no reading, a place has none, or the correlation is not between 0 and 1.

    References
    ----------
    Variance of a mean of correlated values [GUM]; the correlation to begin with is ours.

    Examples
    --------
    Three readings in three places, and three in one:

    >>> effective_readings((1, 1, 1)), effective_readings((3,))
    (3.0, 1.5)
    """
    if not counts or min(counts) < 1:
        msg = f"counts: got {tuple(counts)}, must be one reading or more a place; leave out places without one"
        raise OutOfRangeError(msg)
    require_within("alike", alike, low=0.0, high=1.0, unit="1")
    total = sum(counts)
    shared = sum(count * count for count in counts) / total**2
    return 1.0 / ((1.0 - alike) / total + alike * shared)


def mean_uncertainty_mm(spread_mm: float, *, effective: float, bias_mm: float) -> float:
    r"""Return the standard uncertainty of a mean of readings.

    .. math:: u = \sqrt{s^2 / n_\mathrm{eff} + b^2}

    Parameters
    ----------
    spread_mm : float
        Standard deviation of one reading, :math:`s`. [mm]
    effective : float
        Readings, by what they are worth: `effective_readings`, :math:`n_\mathrm{eff}`.
    bias_mm : float
        Standard uncertainty of what all readings of the gauge share, :math:`b`. [mm]

    Returns
    -------
    float
        Standard uncertainty :math:`u`. [mm]

    Raises
    ------
    OutOfRangeError
        If spread or bias are below 0, or there is less than one reading.

    References
    ----------
    [GUM], from memory.

    Examples
    --------
    >>> round(mean_uncertainty_mm(0.006, effective=3.0, bias_mm=0.002), 4)
    0.004
    """
    require_within("spread_mm", spread_mm, low=0.0, high=1e3, unit="mm")
    require_within("bias_mm", bias_mm, low=0.0, high=1e3, unit="mm")
    require_within("effective", effective, low=1.0, high=1e6, unit="readings")
    return hypot(spread_mm / sqrt(effective), bias_mm)


def left_of_tolerance_mm(tolerance_mm: float, *, uncertainty_mm: float) -> float:
    r"""Width within which a mean must lie for the size to be proven good.

    .. math:: T' = T - 2 \cdot 1.65\,u

    Parameters
    ----------
    tolerance_mm : float
        Width of the tolerance, :math:`T`. [mm]
    uncertainty_mm : float
        Standard uncertainty of the mean, :math:`u`. [mm]

    Returns
    -------
    float
        Width :math:`T'`; below 0 no reading proves anything. [mm]

    Raises
    ------
    OutOfRangeError
        If the tolerance is not above 0, or the uncertainty is below 0.

    Notes
    -----
    For a normal result and a tolerance that is wide beside the uncertainty.

    References
    ----------
    [ISO14253_1], edition of 2017: 95 % conformance probability; the factor from memory.

    Examples
    --------
    >>> round(left_of_tolerance_mm(0.050, uncertainty_mm=0.0057), 3)
    0.031
    """
    require_positive("tolerance_mm", tolerance_mm, unit="mm")
    require_within("uncertainty_mm", uncertainty_mm, low=0.0, high=1e3, unit="mm")
    return tolerance_mm - 2.0 * GUARD_FACTOR * uncertainty_mm


def readings_needed(tolerance_mm: float, *, spread_mm: float, bias_mm: float, share: float = SURE_ENOUGH) -> int | None:
    r"""How many readings make their mean sure enough for a tolerance.

    .. math:: n = \left\lceil \frac{s^2}{(q\,T)^2 - b^2} \right\rceil

    Parameters
    ----------
    tolerance_mm : float
        Width of the tolerance, :math:`T`. [mm]
    spread_mm : float
        Standard deviation of one reading, :math:`s`. [mm]
    bias_mm : float
        Standard uncertainty of what all readings share, :math:`b`. [mm]
    share : float
        Most standard uncertainty of the mean over the tolerance, :math:`q`.

    Returns
    -------
    int or None
        Readings, each in a place of its own, at least 1; `None` if no number of them will do, for they share too much.

    Raises
    ------
    OutOfRangeError
        If the tolerance or the share is not above 0, or spread or bias are below 0.

    Notes
    -----
    The share to begin with is the custom of practice case PC-23 said anew: three readings may lie a third of the
    tolerance apart. The mean distance from the smallest to the largest of three is 1.693 standard deviations, so their
    mean has a standard uncertainty of T / (3 · 1.693 · √3) = 0.114 T. Said so it holds for any number of readings; the
    distance from the smallest to the largest only grows with them.

    References
    ----------
    `mean_uncertainty_mm` turned round; the share common practice [COMMON], practice case PC-23.

    Examples
    --------
    >>> readings_needed(0.050, spread_mm=0.009, bias_mm=0.002)
    3
    >>> readings_needed(0.010, spread_mm=0.002, bias_mm=0.002) is None
    True
    """
    require_positive("tolerance_mm", tolerance_mm, unit="mm")
    require_positive("share", share, unit="1")
    require_within("spread_mm", spread_mm, low=0.0, high=1e3, unit="mm")
    require_within("bias_mm", bias_mm, low=0.0, high=1e3, unit="mm")
    room_mm2 = (share * tolerance_mm) ** 2 - bias_mm**2
    return max(1, ceil(spread_mm**2 / room_mm2)) if room_mm2 > 0.0 else None
