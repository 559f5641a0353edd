"""What a cut takes off: the depth less spring, or a share of it where the edge rubs."""

from __future__ import annotations

import numpy as np

from handwheel.domain.errors import require_positive
from handwheel.physics.diameter_error import radial_error_dia_mm
from handwheel.sim.spreads import Floats


def spring_share(force_n: float, *, depth_mm: float, stiffness_n_um: float) -> float:
    r"""Share of the depth that tool and work spring away, from force and stiffness.

    .. math:: k = F_p / (c\,a_p)

    Parameters
    ----------
    force_n : float
        Passive force at that depth, :math:`F_p`. [N]
    depth_mm : float
        Depth of cut on the radius, :math:`a_p`. [mm]
    stiffness_n_um : float
        Stiffness of all that gives way, :math:`c`. [N/µm]

    Returns
    -------
    float
        Share :math:`k`. By Kienzle's law the force of a straight edge grows with the depth, so the share stays.

    Raises
    ------
    OutOfRangeError
        If an argument is not above 0.

    References
    ----------
    `handwheel.physics.diameter_error.radial_error_dia_mm`.

    Examples
    --------
    >>> round(spring_share(60.0, depth_mm=0.1, stiffness_n_um=10.0), 3)
    0.06
    """
    require_positive("depth_mm", depth_mm, unit="mm")
    return radial_error_dia_mm(force_n, stiffness_n_um=stiffness_n_um) / 2.0 / depth_mm


def sprung_mm(depth_mm: Floats, *, share: Floats, exponent: float, at_depth_mm: float) -> Floats:
    r"""What tool and work spring away from a cut of that depth, before scatter.

    .. math:: y = k\,a \left(a / a_0\right)^{p - 1}

    Parameters
    ----------
    depth_mm : array of n
        Depth the tip is set to beyond the surface, :math:`a`; 0 or less touches nothing. [mm]
    share : array of n
        Share of the depth, :math:`k`, at the depth :math:`a_0`.
    exponent : float
        Power :math:`p` by which force grows with depth; 1 for a straight edge (Kienzle).
    at_depth_mm : float
        Depth :math:`a_0`. [mm]

    Returns
    -------
    array of n
        Spring :math:`y` on the radius, 0 where nothing is cut. [mm]
    """
    cut_mm = np.maximum(depth_mm, 0.0)
    if exponent == 1.0:
        return share * cut_mm
    sprung: Floats = share * at_depth_mm * (cut_mm / at_depth_mm) ** exponent
    return sprung


def taken_mm(depth_mm: Floats, *, sprung_mm: Floats, least_chip_mm: Floats, rub_take: Floats) -> Floats:
    """What a cut takes off the radius. Ours, no source, but for the spring.

    From the least chip on the edge takes the depth less the spring; below it the edge rubs and takes a share. What
    is left stays on the work, so that the next cut finds it.

    Parameters
    ----------
    depth_mm, sprung_mm : array of n
        Depth set, and what springs away of it. [mm]
    least_chip_mm : array of n
        Depth below which the edge rubs. [mm]
    rub_take : array of n
        Share of the depth that a rubbing edge takes.

    Returns
    -------
    array of n
        Metal taken, 0 or more and never above the depth. [mm]
    """
    taken = np.where(depth_mm < least_chip_mm, rub_take * depth_mm, depth_mm - sprung_mm)
    return np.clip(taken, 0.0, np.maximum(depth_mm, 0.0))
