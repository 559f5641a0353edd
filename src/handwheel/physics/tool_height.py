"""A tool above or below the centre of the work: what becomes of its rake, its clearance, and the size it cuts."""

from __future__ import annotations

from math import asin, degrees, hypot, radians, sin

from handwheel.domain.errors import OutOfRangeError, require_positive, require_within


def height_angle_deg(height_mm: float, *, cut_dia_mm: float) -> float:
    r"""Angle by which work of some diameter meets a tool otherwise because it stands off the centre.

    .. math:: \delta = \arcsin(2 h / d)

    Parameters
    ----------
    height_mm : float
        Height of the tip above the centre, :math:`h`; negative below. [mm]
    cut_dia_mm : float
        Diameter where it cuts, :math:`d`; the end of a facing or parting cut is the worst. [mm]

    Returns
    -------
    float
        Angle :math:`\delta`, of the sign of the height. [deg]

    Raises
    ------
    OutOfRangeError
        If the diameter is not above 0, or no larger than twice the height: the tip passes and never cuts there.

    References
    ----------
    Geometry.

    Examples
    --------
    >>> round(height_angle_deg(0.5, cut_dia_mm=20.0), 2), round(height_angle_deg(0.5, cut_dia_mm=4.0), 1)
    (2.87, 14.5)
    """
    require_positive("cut_dia_mm", cut_dia_mm, unit="mm")
    if not 2.0 * abs(height_mm) < cut_dia_mm:
        msg = (
            f"height_mm: got {height_mm:g} mm off the centre, must be within half the diameter of {cut_dia_mm:g} mm: "
            "the tip passes the work there and leaves a pip; set the tool to the centre"
        )
        raise OutOfRangeError(msg)
    return degrees(asin(2.0 * height_mm / cut_dia_mm))


def effective_clearance_deg(
    clearance_deg: float, *, height_mm: float, cut_dia_mm: float, inside: bool = False
) -> float:
    r"""Clearance that is left below the edge of a tool off the centre.

    .. math:: \alpha_e = \alpha \mp \delta

    Parameters
    ----------
    clearance_deg : float
        Clearance as ground, :math:`\alpha`. [deg]
    height_mm : float
        Height of the tip above the centre; negative below. [mm]
    cut_dia_mm : float
        Diameter where the cut ends. [mm]
    inside : bool
        Whether it bores; there a tool above the centre gains clearance, outside it loses.

    Returns
    -------
    float
        Clearance :math:`\alpha_e`; at 0 or below the flank rubs. [deg]

    Raises
    ------
    OutOfRangeError
        As `height_angle_deg`, or if the clearance is outside 0 to 45 degrees.

    Notes
    -----
    Turning, facing and parting count as outside. The small angle of the feed's spiral is left out; so is the heel of a
    boring tool, which a small bore meets first.

    References
    ----------
    Geometry.

    Examples
    --------
    >>> round(effective_clearance_deg(8.0, height_mm=0.5, cut_dia_mm=20.0), 1)
    5.1
    >>> round(effective_clearance_deg(8.0, height_mm=0.5, cut_dia_mm=20.0, inside=True), 1)
    10.9
    """
    require_within("clearance_deg", clearance_deg, low=0.0, high=45.0, unit="deg")
    angle = height_angle_deg(height_mm, cut_dia_mm=cut_dia_mm)
    return clearance_deg + angle if inside else clearance_deg - angle


def effective_rake_deg(rake_deg: float, *, height_mm: float, cut_dia_mm: float, inside: bool = False) -> float:
    r"""Rake with which a tool off the centre cuts; it gains what the clearance loses.

    .. math:: \gamma_e = \gamma \pm \delta

    Parameters
    ----------
    rake_deg : float
        Rake as ground, :math:`\gamma`. [deg]
    height_mm : float
        Height of the tip above the centre; negative below. [mm]
    cut_dia_mm : float
        Diameter where the cut ends. [mm]
    inside : bool
        Whether it bores.

    Returns
    -------
    float
        Rake :math:`\gamma_e`. [deg]

    Raises
    ------
    OutOfRangeError
        As `height_angle_deg`.

    References
    ----------
    Geometry.

    Examples
    --------
    >>> round(effective_rake_deg(5.0, height_mm=-0.5, cut_dia_mm=20.0), 1)
    2.1
    """
    angle = height_angle_deg(height_mm, cut_dia_mm=cut_dia_mm)
    return rake_deg - angle if inside else rake_deg + angle


def least_clear_dia_mm(clearance_deg: float, *, height_mm: float, inside: bool = False) -> float:
    r"""Diameter below which a tool off the centre has no clearance left.

    .. math:: d = 2 |h| / \sin\alpha

    Parameters
    ----------
    clearance_deg : float
        Clearance as ground, :math:`\alpha`. [deg]
    height_mm : float
        Height of the tip above the centre; negative below. [mm]
    inside : bool
        Whether it bores.

    Returns
    -------
    float
        Diameter :math:`d`; where the clearance grows instead, twice the height, below which the tip passes by. [mm]

    Raises
    ------
    OutOfRangeError
        If the clearance is not above 0 or is more than 45 degrees.

    References
    ----------
    Geometry.

    Examples
    --------
    A blade with 6° of clearance, 0.2 mm too high, rubs from Ø 3.8 mm on; 0.2 mm too low it leaves a pip of 0.4 mm:

    >>> round(least_clear_dia_mm(6.0, height_mm=0.2), 1), least_clear_dia_mm(6.0, height_mm=-0.2)
    (3.8, 0.4)
    """
    require_positive("clearance_deg", clearance_deg, unit="deg")
    require_within("clearance_deg", clearance_deg, low=0.0, high=45.0, unit="deg")
    loses = height_mm < 0 if inside else height_mm > 0
    return 2.0 * abs(height_mm) / (sin(radians(clearance_deg)) if loses else 1.0)


def dia_off_centre_mm(cut_dia_mm: float, *, height_mm: float) -> float:
    r"""Diameter that a tip cuts off the centre where, at the centre, it would cut another.

    .. math:: d_h = \sqrt{d^2 + 4 h^2}

    Parameters
    ----------
    cut_dia_mm : float
        Twice the distance of the tip from the axis along the slide, :math:`d`. [mm]
    height_mm : float
        Height of the tip above or below the centre, :math:`h`. [mm]

    Returns
    -------
    float
        Diameter :math:`d_h`. [mm]

    Raises
    ------
    OutOfRangeError
        If the diameter is not above 0.

    Notes
    -----
    Second order: what bends a tool down by a few hundredths changes no size. A steady height cancels where the zero of
    the slide was taken by a trial cut of about the same diameter.

    References
    ----------
    Geometry.

    Examples
    --------
    >>> round(1000.0 * (dia_off_centre_mm(20.0, height_mm=0.1) - 20.0), 1)
    1.0
    """
    require_positive("cut_dia_mm", cut_dia_mm, unit="mm")
    return hypot(cut_dia_mm, 2.0 * height_mm)
