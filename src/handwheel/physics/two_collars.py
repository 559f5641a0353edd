"""Two collars turned at one setting: the taper that the lathe makes, and how far what out of line."""

from __future__ import annotations

from math import atan, degrees

from handwheel.domain.errors import OutOfRangeError, require_positive


def taper_per_length(far_dia_mm: float, *, near_dia_mm: float, apart_mm: float) -> float:
    r"""Change of diameter along a piece, as a share of the length.

    .. math:: t = (d_2 - d_1) / L

    Parameters
    ----------
    far_dia_mm : float
        Diameter of the collar away from the chuck, :math:`d_2`. [mm]
    near_dia_mm : float
        Diameter of the collar beside the chuck, :math:`d_1`. [mm]
    apart_mm : float
        Distance between the middles of the collars, :math:`L`. [mm]

    Returns
    -------
    float
        Taper :math:`t` on the diameter, above 0 if the piece is larger away from the chuck. [1]

    Raises
    ------
    OutOfRangeError
        If one is not above 0.

    References
    ----------
    Geometry.

    Examples
    --------
    >>> round(taper_per_length(25.03, near_dia_mm=25.0, apart_mm=100.0), 6)
    0.0003
    """
    require_positive("far_dia_mm", far_dia_mm, unit="mm")
    require_positive("near_dia_mm", near_dia_mm, unit="mm")
    require_positive("apart_mm", apart_mm, unit="mm")
    return (far_dia_mm - near_dia_mm) / apart_mm


def axis_angle_deg(taper: float) -> float:
    r"""Angle between the axis of the spindle and the way of the carriage that makes a taper.

    .. math:: \alpha = \arctan(t / 2)

    Parameters
    ----------
    taper : float
        Taper on the diameter, as a share of the length, :math:`t`.

    Returns
    -------
    float
        Angle :math:`\alpha`, of the sign of the taper: above 0 the axis points away from the tool. [deg]

    Raises
    ------
    OutOfRangeError
        If the taper is 1 or more either way, which no lathe out of line makes.

    Notes
    -----
    Of a piece held by the chuck alone, and if nothing bends: a piece that springs away at its free end looks the same.

    References
    ----------
    Geometry.

    Examples
    --------
    >>> round(axis_angle_deg(0.0003), 4)
    0.0086
    """
    if not abs(taper) < 1.0:
        msg = f"taper: got {taper:g} mm/mm, must lie between -1 and 1; check both diameters and the distance"
        raise OutOfRangeError(msg)
    return degrees(atan(taper / 2.0))


def tailstock_offset_mm(taper: float, *, between_mm: float) -> float:
    r"""How far the tailstock's centre stands off the line, away from the tool, by the taper of a piece it carries.

    .. math:: e = t\,l / 2

    Parameters
    ----------
    taper : float
        Taper on the diameter, as a share of the length, :math:`t`.
    between_mm : float
        Distance from where the other end is held, the centre or the jaws, to the tailstock's centre, :math:`l`. [mm]

    Returns
    -------
    float
        Offset :math:`e`: above 0 the centre has to come towards the tool by so much, below 0 away from it. [mm]

    Raises
    ------
    OutOfRangeError
        If the distance is not above 0.

    Notes
    -----
    The headstock must be true by itself; try it first with a short piece held by the chuck alone.

    References
    ----------
    Geometry.

    Examples
    --------
    >>> round(tailstock_offset_mm(0.0003, between_mm=150.0), 4)
    0.0225
    """
    require_positive("between_mm", between_mm, unit="mm")
    return taper * between_mm / 2.0
