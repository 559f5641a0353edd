"""What a gauge reads that does not lie on the diameter: on a chord, on flats, or tilted."""

from __future__ import annotations

from math import acos, cos, degrees, radians, sqrt

from handwheel.domain.errors import OutOfRangeError, require_positive, require_within

MOST_TILT_DEG = 30.0
"""A gauge that stands further out of square falls out of the bore; own judgement. [deg]"""


def chord_shortfall_mm(bore_dia_mm: float, *, offset_mm: float) -> float:
    r"""By how much a chord beside the diameter is shorter than the diameter.

    .. math:: \Delta = D - \sqrt{D^2 - 4 e^2}

    Parameters
    ----------
    bore_dia_mm : float
        Diameter, :math:`D`. [mm]
    offset_mm : float
        Distance of the chord from the middle, :math:`e`. [mm]

    Returns
    -------
    float
        Shortfall :math:`\Delta`: the gauge reads that much too small. [mm]

    Raises
    ------
    OutOfRangeError
        If the diameter is not above 0, or the chord does not cut the circle.

    References
    ----------
    Geometry; exact [GEOMETRY].

    Examples
    --------
    A gauge that misses the diameter of a 25 mm bore by 1 mm:

    >>> round(chord_shortfall_mm(25.0, offset_mm=1.0), 2)
    0.08
    """
    require_positive("bore_dia_mm", bore_dia_mm, unit="mm")
    require_within("offset_mm", offset_mm, low=0.0, high=bore_dia_mm / 2.0, unit="mm")
    return bore_dia_mm - sqrt(bore_dia_mm**2 - 4.0 * offset_mm**2)


def chord_offset_mm(bore_dia_mm: float, *, shortfall_mm: float) -> float:
    r"""How far beside the diameter a gauge stood that reads too small by so much.

    .. math:: e = \tfrac12 \sqrt{D^2 - (D - \Delta)^2}

    Parameters
    ----------
    bore_dia_mm : float
        Diameter, :math:`D`. [mm]
    shortfall_mm : float
        By how much the reading is too small, :math:`\Delta`. [mm]

    Returns
    -------
    float
        Offset :math:`e`. [mm]

    Raises
    ------
    OutOfRangeError
        If the diameter is not above 0, or the shortfall not between 0 and the diameter.

    References
    ----------
    `chord_shortfall_mm` turned round [GEOMETRY].

    Examples
    --------
    >>> round(chord_offset_mm(25.0, shortfall_mm=0.0801), 2)
    1.0
    """
    require_positive("bore_dia_mm", bore_dia_mm, unit="mm")
    require_within("shortfall_mm", shortfall_mm, low=0.0, high=bore_dia_mm, unit="mm")
    return sqrt(bore_dia_mm**2 - (bore_dia_mm - shortfall_mm) ** 2) / 2.0


def caliper_shortfall_mm(bore_dia_mm: float, *, flat_mm: float) -> float:
    r"""By how much a caliper reads a bore small because its inside jaws end in flats.

    .. math:: \Delta = D - \sqrt{D^2 - w^2}

    Parameters
    ----------
    bore_dia_mm : float
        Diameter of the bore, :math:`D`. [mm]
    flat_mm : float
        Width of the flat that both jaws have, :math:`w`. [mm]

    Returns
    -------
    float
        Shortfall :math:`\Delta`. [mm]

    Raises
    ------
    OutOfRangeError
        If the diameter is not above 0, or the flat is wider than the bore.

    Notes
    -----
    The corners of the flats touch, half a flat beside the diameter. Jaws that are thin, or ground round, have a narrow
    flat and err little; wear widens it.

    References
    ----------
    Geometry; exact [GEOMETRY]. Practice case PC-22.

    Examples
    --------
    A finger ring of 0.650 in, flats of 0.040 in: in thousandths of an inch

    >>> round(1000.0 * caliper_shortfall_mm(0.650 * 25.4, flat_mm=0.040 * 25.4) / 25.4, 1)
    1.2
    """
    require_within("flat_mm", flat_mm, low=0.0, high=max(bore_dia_mm, 0.0), unit="mm")
    return chord_shortfall_mm(bore_dia_mm, offset_mm=flat_mm / 2.0)


def bore_by_caliper_mm(reading_mm: float, *, flat_mm: float) -> float:
    r"""Bore that a caliper with flats on its inside jaws stands in.

    .. math:: D = \sqrt{R^2 + w^2}

    Parameters
    ----------
    reading_mm : float
        What the caliper reads, :math:`R`. [mm]
    flat_mm : float
        Width of the flat that both jaws have, :math:`w`. [mm]

    Returns
    -------
    float
        Diameter of the bore :math:`D`. [mm]

    Raises
    ------
    OutOfRangeError
        If the reading is not above 0, or the flat is below 0 or wider than what is read.

    References
    ----------
    `caliper_shortfall_mm` turned round [GEOMETRY].

    Examples
    --------
    >>> round(bore_by_caliper_mm(16.479, flat_mm=1.016), 3)
    16.51
    """
    require_positive("reading_mm", reading_mm, unit="mm")
    require_within("flat_mm", flat_mm, low=0.0, high=reading_mm, unit="mm")
    return sqrt(reading_mm**2 + flat_mm**2)


def tilt_excess_mm(bore_dia_mm: float, *, tilt_deg: float) -> float:
    r"""By how much a gauge reads a bore large that is tilted along the axis.

    .. math:: \Delta = D / \cos\theta - D

    Parameters
    ----------
    bore_dia_mm : float
        Diameter, :math:`D`. [mm]
    tilt_deg : float
        Tilt out of the plane square to the axis, :math:`\theta`. [deg]

    Returns
    -------
    float
        Excess :math:`\Delta`. [mm]

    Raises
    ------
    OutOfRangeError
        If the diameter is not above 0, or the tilt below 0 or above `MOST_TILT_DEG`.

    Notes
    -----
    For contacts that are points; large balls or a short bore let a gauge tilt less.

    References
    ----------
    Geometry [GEOMETRY]. Practice case PC-23.

    Examples
    --------
    >>> round(tilt_excess_mm(25.0, tilt_deg=3.0), 3), round(tilt_excess_mm(18.0, tilt_deg=3.0), 3)
    (0.034, 0.025)
    """
    require_positive("bore_dia_mm", bore_dia_mm, unit="mm")
    require_within("tilt_deg", tilt_deg, low=0.0, high=MOST_TILT_DEG, unit="deg")
    return bore_dia_mm / cos(radians(tilt_deg)) - bore_dia_mm


def tilt_deg(bore_dia_mm: float, *, excess_mm: float) -> float:
    r"""Tilt that makes a gauge read a bore large by so much.

    .. math:: \theta = \arccos \frac{D}{D + \Delta}

    Parameters
    ----------
    bore_dia_mm : float
        Diameter, :math:`D`. [mm]
    excess_mm : float
        By how much the reading is too large, :math:`\Delta`. [mm]

    Returns
    -------
    float
        Tilt :math:`\theta`. [deg]

    Raises
    ------
    OutOfRangeError
        If the diameter is not above 0, the excess below 0, or the tilt above `MOST_TILT_DEG`.

    References
    ----------
    `tilt_excess_mm` turned round [GEOMETRY].

    Examples
    --------
    >>> round(tilt_deg(25.0, excess_mm=0.0343), 1)
    3.0
    """
    require_positive("bore_dia_mm", bore_dia_mm, unit="mm")
    require_within("excess_mm", excess_mm, low=0.0, high=bore_dia_mm, unit="mm")
    tilt = degrees(acos(bore_dia_mm / (bore_dia_mm + excess_mm)))
    if tilt > MOST_TILT_DEG:
        msg = f"excess_mm: got {excess_mm:g} mm, a tilt above {MOST_TILT_DEG:g} deg; look for another cause"
        raise OutOfRangeError(msg)
    return tilt
