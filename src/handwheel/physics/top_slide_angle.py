"""The angle of a swung top slide, from how far its tip goes across when it is wound."""

from __future__ import annotations

from math import asin, cos, degrees, hypot, radians, sin

from handwheel.domain.errors import OutOfRangeError, require_positive, require_within

STEEPEST_DEG = 85.0
"""Beyond it the sine hardly changes with the angle, and winding tells it no more; own choice. [deg]"""


def winding_angle_deg(across_mm: float, *, wound_mm: float) -> float:
    r"""Angle of the top slide from the axis of the lathe.

    .. math:: \theta = \arcsin(x / s)

    Parameters
    ----------
    across_mm : float
        How far the tip went across the bed, :math:`x`; below 0 the other way. [mm]
    wound_mm : float
        Travel of the top slide on its own way, :math:`s`. [mm]

    Returns
    -------
    float
        Angle :math:`\theta`, at most `STEEPEST_DEG` either way, of the sign of x. [deg]

    Raises
    ------
    OutOfRangeError
        If the travel is not above 0, the tip went further than the slide, or the slide stands so steep that its travel
        hardly tells the angle.

    References
    ----------
    Geometry; practice cases PC-07 and PC-21.

    Examples
    --------
    >>> round(winding_angle_deg(1.0, wound_mm=10.0), 2), round(winding_angle_deg(2.0, wound_mm=10.0), 2)
    (5.74, 11.54)
    """
    require_positive("wound_mm", wound_mm, unit="mm")
    require_within("across_mm", across_mm, low=-wound_mm, high=wound_mm, unit="mm")
    angle = degrees(asin(across_mm / wound_mm))
    if abs(angle) > STEEPEST_DEG:
        msg = (
            f"across_mm: got {across_mm:g} mm for {wound_mm:g} mm wound, which is steeper than {STEEPEST_DEG:g}° and "
            "tells no angle; swing the slide nearer to the axis, or read how far the tip goes along"
        )
        raise OutOfRangeError(msg)
    return angle


def winding_angle_standard_deg(angle_deg: float, *, wound_mm: float, across_standard_mm: float, rate: float) -> float:
    r"""Standard uncertainty of an angle that was found by winding.

    .. math:: u_\theta = \frac{\sqrt{u_x^2 + (x\,e)^2}}{s \cos\theta}, \qquad x = s \sin\theta

    Parameters
    ----------
    angle_deg : float
        Angle found, :math:`\theta`. [deg]
    wound_mm : float
        Travel of the top slide, :math:`s`. [mm]
    across_standard_mm : float
        Standard uncertainty of how far the tip went across, that of setting the dial included, :math:`u_x`. [mm]
    rate : float
        Standard uncertainty of the travel as a share of it, :math:`e`: of the lead as believed.

    Returns
    -------
    float
        Standard uncertainty :math:`u_\theta`. [deg]

    Raises
    ------
    OutOfRangeError
        If the angle is outside 0 to `STEEPEST_DEG`, the travel not above 0, or a doubt negative.

    References
    ----------
    First derivatives of `winding_angle_deg`, [GUM] 5.1.2; from memory.

    Examples
    --------
    >>> round(winding_angle_standard_deg(5.74, wound_mm=10.0, across_standard_mm=0.005, rate=0.004), 3)
    0.037
    """
    require_within("angle_deg", angle_deg, low=0.0, high=STEEPEST_DEG, unit="deg")
    require_positive("wound_mm", wound_mm, unit="mm")
    require_within("across_standard_mm", across_standard_mm, low=0.0, high=wound_mm, unit="mm")
    require_within("rate", rate, low=0.0, high=1.0, unit="(share)")
    angle = radians(angle_deg)
    return degrees(hypot(across_standard_mm, wound_mm * sin(angle) * rate) / (wound_mm * cos(angle)))


def fine_feed_ratio(angle_deg: float) -> float:
    r"""Travel of a swung top slide for each millimetre that its tip goes across.

    .. math:: n = 1 / \sin\theta

    Parameters
    ----------
    angle_deg : float
        Angle from the axis of the lathe, :math:`\theta`. [deg]

    Returns
    -------
    float
        Ratio :math:`n`: how many times finer the depth of cut can be set.

    Raises
    ------
    OutOfRangeError
        If the angle is not above 0 and at most 90.

    References
    ----------
    Geometry; practice case PC-07.

    Examples
    --------
    >>> round(fine_feed_ratio(11.0), 2), round(fine_feed_ratio(5.74), 1)
    (5.24, 10.0)
    """
    require_positive("angle_deg", angle_deg, unit="deg")
    require_within("angle_deg", angle_deg, low=0.0, high=90.0, unit="deg")
    return 1.0 / sin(radians(angle_deg))
