"""Torque that a grip carries before the work slips in it: jaws, faces pressed together, an adhesive."""

from __future__ import annotations

from math import pi

from handwheel.domain.errors import require_positive

LEAST_FRICTION = 0.10
"""Low end of the friction of metal on metal, oily or clean; common practice, no source."""
SEGMENTS = 3
"""Segments by which a collet or an expanding mandrel is reckoned."""
PEEL_SHARE = 0.25
"""Share of its shear strength on which an adhesive is counted: a bond peels far below it; common practice."""
LEAST_BOND_N_MM2 = 5.0
"""Shear strength of an adhesive whose data sheet is not at hand; common practice, no source, errs low."""
SPIGOT_FACES = 2
"""Faces that drive a ring on a stepped spigot: shoulder and washer both turn with it."""
PLATE_FACES = 1
"""Faces that drive a ring between plates: the one at the headstock; the other turns with the ring."""

_MM_PER_M = 1000.0


def jaws_torque_nm(force_n: float, *, jaws: int, radius_mm: float) -> float:
    r"""Torque that jaws round a ring carry by friction, low end.

    .. math:: M = \mu\,z\,F\,R / 1000

    Parameters
    ----------
    force_n : float
        All that each jaw presses, added up round its land, :math:`F`; 0 if nobody has given it. [N]
    jaws : int
        Number of jaws (or segments of a collet), :math:`z`.
    radius_mm : float
        Radius gripped, :math:`R`. [mm]

    Returns
    -------
    float
        Torque :math:`M`. [N m]

    Raises
    ------
    OutOfRangeError
        If the radius is not above 0.

    References
    ----------
    Statics, with `LEAST_FRICTION`.

    Examples
    --------
    >>> round(jaws_torque_nm(1000.0, jaws=3, radius_mm=10.0), 6)
    3.0
    """
    require_positive("radius_mm", radius_mm, unit="mm")
    return LEAST_FRICTION * jaws * force_n * radius_mm / _MM_PER_M


def faces_torque_nm(force_n: float, *, faces: int, inner_mm: float, outer_mm: float) -> float:
    r"""Torque that faces pressed together by a force along the axis carry, at their mean radius, low end.

    .. math:: M = \mu\,z\,F\,(r_i + r_o) / 2000

    Parameters
    ----------
    force_n : float
        Force along the axis, :math:`F`; 0 if nobody has given it. [N]
    faces : int
        Number of faces that drive, :math:`z`.
    inner_mm, outer_mm : float
        Radii between which they touch. [mm]

    Returns
    -------
    float
        Torque :math:`M`. [N m]

    Raises
    ------
    OutOfRangeError
        If the outer radius is not above 0.

    References
    ----------
    Statics, with `LEAST_FRICTION`.

    Examples
    --------
    >>> round(faces_torque_nm(1000.0, faces=2, inner_mm=8.0, outer_mm=12.0), 6)
    2.0
    """
    require_positive("outer_mm", outer_mm, unit="mm")
    return faces * LEAST_FRICTION * force_n * 0.5 * (inner_mm + outer_mm) / _MM_PER_M


def mandrel_torque_nm(
    pressure_n_mm2: float, *, dia_mm: float, length_mm: float, friction: float = LEAST_FRICTION
) -> float:
    r"""Torque at which a ring turns on an expanding mandrel, low end.

    .. math:: M = \mu\,p\,\pi\,d^2\,b / 2000

    Parameters
    ----------
    pressure_n_mm2 : float
        Pressure on the bore, :math:`p`. [N/mm²]
    dia_mm, length_mm : float
        Bore :math:`d`, and how much of its length is gripped, :math:`b`. [mm]
    friction : float
        Coefficient of friction, :math:`\mu`.

    Returns
    -------
    float
        Torque :math:`M`. [N m]

    Raises
    ------
    OutOfRangeError
        If diameter or length is not above 0.

    References
    ----------
    Statics.

    Examples
    --------
    >>> round(mandrel_torque_nm(5.0, dia_mm=20.0, length_mm=8.0), 4)
    2.5133
    """
    require_positive("dia_mm", dia_mm, unit="mm")
    require_positive("length_mm", length_mm, unit="mm")
    return friction * pressure_n_mm2 * pi * dia_mm**2 * length_mm / (2.0 * _MM_PER_M)


def bond_torque_nm(bond_n_mm2: float, *, radius_mm: float, length_mm: float) -> float:
    r"""Torque that an adhesive in the bore is counted on for.

    .. math:: M = s\,\tau\,2\pi\,R^2\,b / 1000

    Parameters
    ----------
    bond_n_mm2 : float
        Its shear strength, :math:`\tau`. [N/mm²]
    radius_mm, length_mm : float
        Radius :math:`R` and length :math:`b` of the joint. [mm]

    Returns
    -------
    float
        Torque :math:`M`, with the share `PEEL_SHARE` of the strength, :math:`s`. [N m]

    Raises
    ------
    OutOfRangeError
        If radius or length is not above 0.

    References
    ----------
    Statics; the share is common practice.

    Examples
    --------
    >>> round(bond_torque_nm(5.0, radius_mm=10.0, length_mm=6.0), 3)
    4.712
    """
    require_positive("radius_mm", radius_mm, unit="mm")
    require_positive("length_mm", length_mm, unit="mm")
    return PEEL_SHARE * bond_n_mm2 * 2.0 * pi * radius_mm**2 * length_mm / _MM_PER_M
