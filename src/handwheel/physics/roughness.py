"""Roughness that feed and nose leave on an ideal surface: peak to valley, and mean, named apart."""

from __future__ import annotations

from math import radians, sin, sqrt, tan

from handwheel.domain.errors import require_positive, require_within

UM_PER_MM = 1000.0
REAL_OVER_IDEAL = (1.5, 3.0)
"""How many times rougher than the ideal a turned surface is at low speed, where an edge builds up; common practice, no
source. [GROOVER] has 1.25 for mild steel at 100 m/min, from memory."""
_MEAN_DIVISOR = 18.0 * sqrt(3.0)


def peak_to_valley_um(feed_mm_rev: float, *, nose_radius_mm: float) -> float:
    r"""Ideal height of the feed marks, Rt: about four times the mean roughness Ra.

    .. math:: R_t = f^2 / (8\,r_\varepsilon)

    Parameters
    ----------
    feed_mm_rev : float
        Feed, :math:`f`. [mm/rev]
    nose_radius_mm : float
        Nose radius, :math:`r_\varepsilon`. [mm]

    Returns
    -------
    float
        Height :math:`R_t`. [um]

    Raises
    ------
    OutOfRangeError
        If either argument is not above 0, or the feed above the nose radius.

    Notes
    -----
    Valid while the nose alone makes the surface; the parabola is low by under 8 % at a feed equal to the radius. A real
    surface is 1.5 to 3 times rougher at low speed (built-up edge; common practice).

    References
    ----------
    Geometry, as in [GHOSH_MALLIK] Problem 4.24, p. 260.

    Examples
    --------
    >>> round(peak_to_valley_um(0.1, nose_radius_mm=0.4), 3)
    3.125
    """
    _require_nose_surface(feed_mm_rev, nose_radius_mm)
    return UM_PER_MM * feed_mm_rev**2 / (8 * nose_radius_mm)


def mean_roughness_um(feed_mm_rev: float, *, nose_radius_mm: float) -> float:
    r"""Ideal arithmetic mean roughness, Ra, the figure on drawings.

    .. math:: R_a = f^2 / (18 \sqrt{3}\,r_\varepsilon)

    Parameters
    ----------
    feed_mm_rev : float
        Feed, :math:`f`. [mm/rev]
    nose_radius_mm : float
        Nose radius, :math:`r_\varepsilon`. [mm]

    Returns
    -------
    float
        Mean roughness :math:`R_a`. [um]

    Raises
    ------
    OutOfRangeError
        If either argument is not above 0, or the feed above the nose radius.

    Notes
    -----
    As `peak_to_valley_um`; [GROOVER] prints 0.032 for the constant 0.0321.

    References
    ----------
    Geometry (mean deviation of a parabola), as in [GROOVER] surface-finish example.

    Examples
    --------
    >>> round(mean_roughness_um(0.1, nose_radius_mm=0.4), 2)
    0.8
    """
    _require_nose_surface(feed_mm_rev, nose_radius_mm)
    return UM_PER_MM * feed_mm_rev**2 / (_MEAN_DIVISOR * nose_radius_mm)


def real_mean_roughness_band_um(ideal_um: float) -> tuple[float, float]:
    r"""Range in which the mean roughness of a surface turned at low speed lies.

    .. math:: R_a = (1.5 \dots 3)\,R_{a,ideal}

    Parameters
    ----------
    ideal_um : float
        Mean roughness that feed and nose would leave, from `mean_roughness_um`; or the peak to valley, likewise. [um]

    Returns
    -------
    tuple of float
        Least and greatest, um.

    Raises
    ------
    OutOfRangeError
        If the ideal is not above 0.

    Notes
    -----
    Below about 40 m/min in steel. A keen edge and oil bring it to the lower end; grooves of a chipped edge are in
    neither.

    References
    ----------
    Common practice, no source [COMMON].

    Examples
    --------
    >>> [round(each, 1) for each in real_mean_roughness_band_um(0.8)]
    [1.2, 2.4]
    """
    require_positive("ideal_um", ideal_um, unit="um")
    low, high = REAL_OVER_IDEAL
    return low * ideal_um, high * ideal_um


def greatest_nose_feed_mm_rev(nose_radius_mm: float, *, trailing_angle_deg: float) -> float:
    r"""Greatest feed at which the nose alone makes the surface; beyond it the trailing edge takes part.

    .. math:: f = 2\,r_\varepsilon \sin\kappa'

    Parameters
    ----------
    nose_radius_mm : float
        Nose radius, :math:`r_\varepsilon`. [mm]
    trailing_angle_deg : float
        Angle of the trailing edge to the feed direction, :math:`\kappa'`. [deg]

    Returns
    -------
    float
        Feed :math:`f`. [mm/rev]

    Raises
    ------
    OutOfRangeError
        If the radius is not above 0, or the angle not within 1 to 89 degrees.

    Notes
    -----
    Beyond it the straight trailing edge cuts the peaks lower than `peak_to_valley_um` and `mean_roughness_um` say, so
    that these err on the safe side.

    References
    ----------
    Geometry.

    Examples
    --------
    >>> round(greatest_nose_feed_mm_rev(0.4, trailing_angle_deg=5.0), 3)
    0.07
    """
    require_positive("nose_radius_mm", nose_radius_mm, unit="mm")
    require_within("trailing_angle_deg", trailing_angle_deg, low=1.0, high=89.0, unit="deg")
    return 2.0 * nose_radius_mm * sin(radians(trailing_angle_deg))


def feed_for_mean_roughness_mm_rev(roughness_um: float, *, nose_radius_mm: float) -> float:
    r"""Greatest feed whose ideal mean roughness does not exceed a figure.

    .. math:: f = \sqrt{18 \sqrt{3}\,r_\varepsilon R_a}

    Parameters
    ----------
    roughness_um : float
        Mean roughness allowed, :math:`R_a`; divide it by 1.5 to 3 first for a real surface. [um]
    nose_radius_mm : float
        Nose radius, :math:`r_\varepsilon`. [mm]

    Returns
    -------
    float
        Feed :math:`f`, at most the nose radius. [mm/rev]

    Raises
    ------
    OutOfRangeError
        If either argument is not above 0.

    References
    ----------
    `mean_roughness_um` solved for the feed; [GROOVER].

    Examples
    --------
    >>> round(feed_for_mean_roughness_mm_rev(0.8, nose_radius_mm=0.4), 3)
    0.1
    """
    require_positive("roughness_um", roughness_um, unit="um")
    require_positive("nose_radius_mm", nose_radius_mm, unit="mm")
    return min(sqrt(_MEAN_DIVISOR * nose_radius_mm * roughness_um / UM_PER_MM), nose_radius_mm)


def sharp_peak_to_valley_um(feed_mm_rev: float, *, entering_angle_deg: float, trailing_angle_deg: float) -> float:
    r"""Ideal height of the feed marks of a pointed tool without a nose radius.

    .. math:: R_t = f / (\cot\kappa + \cot\kappa')

    Parameters
    ----------
    feed_mm_rev : float
        Feed, :math:`f`. [mm/rev]
    entering_angle_deg : float
        Angle of the leading edge to the feed direction, :math:`\kappa`. [deg]
    trailing_angle_deg : float
        Angle of the trailing edge to the feed direction, :math:`\kappa'`. [deg]

    Returns
    -------
    float
        Height :math:`R_t`. [um]

    Raises
    ------
    OutOfRangeError
        If the feed is not above 0, the leading angle not within 1 to 90 or the trailing one not within 1 to 89 degrees.

    References
    ----------
    Geometry, as in [GHOSH_MALLIK] Problem 4.24, p. 260.

    Examples
    --------
    >>> round(sharp_peak_to_valley_um(0.125, entering_angle_deg=60.0, trailing_angle_deg=7.0), 1)
    14.3
    """
    require_positive("feed_mm_rev", feed_mm_rev, unit="mm/rev")
    require_within("entering_angle_deg", entering_angle_deg, low=1.0, high=90.0, unit="deg")
    require_within("trailing_angle_deg", trailing_angle_deg, low=1.0, high=89.0, unit="deg")
    slopes = 1 / tan(radians(entering_angle_deg)) + 1 / tan(radians(trailing_angle_deg))
    return UM_PER_MM * feed_mm_rev / slopes


def least_chip_peak_to_valley_um(feed_mm_rev: float, *, nose_radius_mm: float, least_chip_mm: float) -> float:
    r"""Height of the feed marks when an edge cannot cut thinner than its least chip: why tiny feeds stop helping.

    .. math:: R_t = \frac{f^2}{8 r_\varepsilon} + \frac{h_{min}}{2} \left(1 + \frac{r_\varepsilon h_{min}}{f^2}\right)

    Parameters
    ----------
    feed_mm_rev : float
        Feed, :math:`f`. [mm/rev]
    nose_radius_mm : float
        Nose radius, :math:`r_\varepsilon`. [mm]
    least_chip_mm : float
        Least chip thickness, :math:`h_{min}`. [mm]

    Returns
    -------
    float
        Height :math:`R_t`. [um]

    Raises
    ------
    OutOfRangeError
        If an argument is not above 0, or the feed above the nose radius.

    References
    ----------
    [BRAMMERTZ], from memory.

    Examples
    --------
    >>> round(least_chip_peak_to_valley_um(0.05, nose_radius_mm=0.4, least_chip_mm=0.003), 1)
    3.0
    """
    require_positive("least_chip_mm", least_chip_mm, unit="mm")
    ideal_um = peak_to_valley_um(feed_mm_rev, nose_radius_mm=nose_radius_mm)
    return ideal_um + UM_PER_MM * least_chip_mm / 2 * (1 + nose_radius_mm * least_chip_mm / feed_mm_rev**2)


def _require_nose_surface(feed_mm_rev: float, nose_radius_mm: float) -> None:
    require_positive("nose_radius_mm", nose_radius_mm, unit="mm")
    require_positive("feed_mm_rev", feed_mm_rev, unit="mm/rev")
    require_within("feed_mm_rev", feed_mm_rev, low=0.0, high=nose_radius_mm, unit="mm/rev")
