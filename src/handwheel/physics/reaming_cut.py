"""Torque of a reamer: many edges, each of which takes a chip so thin that it half cuts and half rubs."""

from __future__ import annotations

from math import radians, sin

from handwheel.domain.errors import OutOfRangeError, require_positive, require_within
from handwheel.physics.force import LEAST_CHIP_IN_RANGE_MM, kienzle_specific_force_n_mm2

FEWEST_FLUTES, MOST_FLUTES = 2, 20


def reaming_chip_mm(feed_mm_rev: float, *, flutes: int, lead_deg: float = 45.0) -> float:
    r"""Thickness of the chip of one edge.

    .. math:: h = \frac{f}{z}\,\sin\kappa

    Parameters
    ----------
    feed_mm_rev : float
        Feed, :math:`f`. [mm/rev]
    flutes : int
        Number of edges, :math:`z`.
    lead_deg : float
        Angle of the lead from the axis, :math:`\kappa`: 45 of a machine reamer, 1 to 5 of a hand reamer. [deg]

    Returns
    -------
    float
        Thickness :math:`h`. [mm]

    Raises
    ------
    OutOfRangeError
        If the feed is not above 0, the flutes not 2 to 20, or the angle outside 0.5 to 90 degrees.

    References
    ----------
    Geometry; the angles are common practice [COMMON].

    Examples
    --------
    >>> round(reaming_chip_mm(0.24, flutes=6), 4)
    0.0283
    """
    require_positive("feed_mm_rev", feed_mm_rev, unit="mm/rev")
    require_within("flutes", flutes, low=FEWEST_FLUTES, high=MOST_FLUTES, unit="")
    require_within("lead_deg", lead_deg, low=0.5, high=90.0, unit="deg")
    return feed_mm_rev / flutes * sin(radians(lead_deg))


def reaming_torque_nm(
    reamer_dia_mm: float,
    *,
    hole_dia_mm: float,
    feed_mm_rev: float,
    flutes: int,
    kc11_n_mm2: float,
    mc: float,
    lead_deg: float = 45.0,
) -> float:
    r"""Least torque of a reamer by Kienzle's law; what its lands rub comes on top.

    .. math:: M = k_c f (d^2 - D_0^2) / 8000, \qquad h = \frac{f}{z} \sin\kappa

    Parameters
    ----------
    reamer_dia_mm : float
        Diameter of the reamer, :math:`d`. [mm]
    hole_dia_mm : float
        Hole that it finds, :math:`D_0`. [mm]
    feed_mm_rev : float
        Feed, :math:`f`. [mm/rev]
    flutes : int
        Number of edges, :math:`z`.
    kc11_n_mm2 : float
        Specific force at chip thickness and width 1 mm. [N/mm2]
    mc : float
        Exponent of the chip thickness.
    lead_deg : float
        Angle of the lead from the axis, :math:`\kappa`. [deg]

    Returns
    -------
    float
        Torque :math:`M`; nearly always the fits are left on the thin side, where the true one is larger. [N m]

    Raises
    ------
    OutOfRangeError
        If the hole is not smaller than the reamer, or a value is out of the range of `reaming_chip_mm`.

    Notes
    -----
    The area of metal is what a drill would take between the two diameters; only the chips are thinner. Below 0.05 mm of
    chip the fits under-predict (`is_thin`), so this serves to compare reamers and allowances, and to see that a reamer
    asks far less than the drill before it.

    References
    ----------
    [DRILL_EXERCISES] for the force of a lip, opened; geometry for the number of lips.

    Examples
    --------
    Ø 20 in a hole of 19.8, C45:

    >>> cut = {"feed_mm_rev": 0.24, "flutes": 8, "kc11_n_mm2": 2220.0, "mc": 0.14}
    >>> round(reaming_torque_nm(20.0, hole_dia_mm=19.8, **cut), 2)
    0.91
    """
    require_positive("reamer_dia_mm", reamer_dia_mm, unit="mm")
    if not 0 < hole_dia_mm < reamer_dia_mm:
        msg = (
            f"hole_dia_mm: got {hole_dia_mm:g} mm, must be above 0 and below the reamer of {reamer_dia_mm:g} mm; a "
            "reamer follows a hole and leaves none larger than itself"
        )
        raise OutOfRangeError(msg)
    thickness = reaming_chip_mm(feed_mm_rev, flutes=flutes, lead_deg=lead_deg)
    kc = kienzle_specific_force_n_mm2(thickness, kc11_n_mm2=kc11_n_mm2, mc=mc)
    return kc * feed_mm_rev * (reamer_dia_mm**2 - hole_dia_mm**2) / 8000.0


def is_thin(feed_mm_rev: float, *, flutes: int, lead_deg: float = 45.0) -> bool:
    r"""Whether the chips of a reamer are thinner than the fits of the force cover.

    .. math:: h < 0.05\,\mathrm{mm}

    Parameters
    ----------
    feed_mm_rev : float
        Feed. [mm/rev]
    flutes : int
        Number of edges.
    lead_deg : float
        Angle of the lead from the axis. [deg]

    Returns
    -------
    bool
        True if a torque reckoned for it is a lower bound.

    Raises
    ------
    OutOfRangeError
        As `reaming_chip_mm`.

    References
    ----------
    [DIETRICH], from memory, for the end of the range.

    Examples
    --------
    >>> is_thin(0.24, flutes=6), is_thin(0.5, flutes=4)
    (True, False)
    """
    return reaming_chip_mm(feed_mm_rev, flutes=flutes, lead_deg=lead_deg) < LEAST_CHIP_IN_RANGE_MM
