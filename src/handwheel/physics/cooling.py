"""Warm work: whether it matters for a size, and how long to wait before it does not."""

from __future__ import annotations

from math import log

from handwheel.domain.errors import require_positive, require_within

MOST_BIOT = 0.1
"""Below this number of Biot a body is of one temperature throughout [TEXTBOOKS], from memory."""
_MM_PER_M = 1000.0


def warmth_matters(size_error_mm: float, *, tolerance_mm: float, share: float) -> bool:
    r"""Whether an error of size by warmth is large enough to be spoken of.

    .. math:: |\Delta D| > s\,T

    Parameters
    ----------
    size_error_mm : float
        Error of the size, as `handwheel.physics.thermal.size_change_mm` gives it, :math:`\Delta D`. [mm]
    tolerance_mm : float
        Width of the tolerance, :math:`T`. [mm]
    share : float
        Share of the tolerance from which on it matters, :math:`s`; a tenth in this project's plans.

    Returns
    -------
    bool
        True if it does.

    Raises
    ------
    OutOfRangeError
        If the tolerance is not above 0 or the share outside 0 to 1.

    References
    ----------
    Practice case PC-24 [COMMON].

    Examples
    --------
    >>> warmth_matters(0.0077, tolerance_mm=0.033, share=0.1), warmth_matters(0.0077, tolerance_mm=0.1, share=0.1)
    (True, False)
    """
    require_positive("tolerance_mm", tolerance_mm, unit="mm")
    require_within("share", share, low=0.0, high=1.0, unit="1")
    return abs(size_error_mm) > share * tolerance_mm


def cooling_wait_s(size_error_mm: float, *, allowed_mm: float, time_constant_s: float) -> float:
    r"""How long to wait until an error by warmth has fallen to what is allowed.

    .. math:: t = \tau\,\ln(|\Delta D| / \Delta D_{allowed})

    Parameters
    ----------
    size_error_mm : float
        Error of the size now, :math:`\Delta D`. [mm]
    allowed_mm : float
        Error that is allowed, such as a tenth of the tolerance. [mm]
    time_constant_s : float
        Time constant of cooling, :math:`\tau`; see `handwheel.physics.thermal.cooling_time_constant_s`. [s]

    Returns
    -------
    float
        Time :math:`t`, 0 if no waiting is needed; an upper bound for work that touches bar or mandrel. [s]

    Raises
    ------
    OutOfRangeError
        If what is allowed, or the time constant, is not above 0.

    References
    ----------
    [TEXTBOOKS] of heat transfer, from memory: cooling of a body of one temperature.

    Examples
    --------
    From 7.7 µm to a tenth of 33 µm, in still air:

    >>> round(cooling_wait_s(0.0077, allowed_mm=0.0033, time_constant_s=296.0))
    251
    """
    require_positive("allowed_mm", allowed_mm, unit="mm")
    require_positive("time_constant_s", time_constant_s, unit="s")
    return time_constant_s * log(max(1.0, abs(size_error_mm) / allowed_mm))


def biot_number(wall_mm: float, *, film_w_m2_k: float, conductivity: float) -> float:
    r"""How uneven the temperature in a wall is while it cools; below `MOST_BIOT` it counts as even.

    .. math:: Bi = h\,s / k

    Parameters
    ----------
    wall_mm : float
        Thickness of the wall, :math:`s`. [mm]
    film_w_m2_k : float
        Heat passed on by the surface, :math:`h`. [W/(m2 K)]
    conductivity : float
        Conductivity of the metal in W/(m K), :math:`k`.

    Returns
    -------
    float
        Number of Biot, :math:`Bi`.

    Raises
    ------
    OutOfRangeError
        If an argument is not above 0.

    References
    ----------
    [TEXTBOOKS] of heat transfer, from memory.

    Examples
    --------
    Stainless steel in emulsion, and acetal in air:

    >>> round(biot_number(2.0, film_w_m2_k=500.0, conductivity=15.0), 3)
    0.067
    >>> round(biot_number(5.0, film_w_m2_k=10.0, conductivity=0.31), 2)
    0.16
    """
    require_positive("wall_mm", wall_mm, unit="mm")
    require_positive("film_w_m2_k", film_w_m2_k, unit="W/(m2 K)")
    require_positive("conductivity", conductivity, unit="W/(m K)")
    return film_w_m2_k * wall_mm / _MM_PER_M / conductivity
