"""How work grows by its cuts and shrinks while it cools."""

from __future__ import annotations

import numpy as np

from handwheel.sim.spreads import Floats


def cooled_mm(growth_mm: Floats, *, time_s: Floats | float, time_constant_s: Floats) -> Floats:
    r"""Growth that is left after a time of cooling.

    .. math:: w(t) = w_0\,e^{-t/\tau}

    Parameters
    ----------
    growth_mm : array of n
        Growth at the beginning, :math:`w_0`; proportional to the excess temperature. [mm]
    time_s : array of n, or one number
        Time of cooling, :math:`t`. [s]
    time_constant_s : array of n
        Time constant, :math:`\tau`. [s]

    Returns
    -------
    array of n
        Growth left. [mm]

    References
    ----------
    The relation of `handwheel.physics.thermal.excess_temperature_k`, for many at once.
    """
    left: Floats = growth_mm * np.exp(-time_s / time_constant_s)
    return left


def warmed_mm(growth_mm: Floats, *, steady_mm: Floats, share: Floats) -> Floats:
    """Growth after a cut: part of the way from where it was to that of steady cutting. Ours, no source.

    Parameters
    ----------
    growth_mm : array of n
        Growth before. [mm]
    steady_mm : array of n
        Growth that steady cutting would bring. [mm]
    share : array of n
        Share of the way that this cut goes.

    Returns
    -------
    array of n
        Growth after. [mm]
    """
    return growth_mm + (steady_mm - growth_mm) * share
