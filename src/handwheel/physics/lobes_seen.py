"""Which lobes a gauge with two or with three contacts sees, and how much of them."""

from __future__ import annotations

from math import cos, radians

from handwheel.domain.errors import OutOfRangeError, require_within

EVEN_VEE_DEG = 60.0
"""Included angle of the vee whose three contacts stand 120° apart, as those of a three-point bore gauge do. [deg]"""
LEAST_SEEN = 0.05
"""Below this part of their height lobes count as unseen; own choice."""
FEWEST_LOBES = 2
"""One lobe is a circle beside its axis: no gauge that floats sees it, and none needs to."""
MOST_LOBES = 60


def two_point_swing_factor(lobes: int) -> float:
    r"""How much of its lobes a gauge with two opposite contacts shows, as its reading swings round the part.

    .. math:: \frac{\Delta D}{h} = 1 + (-1)^n

    Parameters
    ----------
    lobes : int
        Number of lobes round the part, :math:`n`.

    Returns
    -------
    float
        Swing of the diameter that is read, :math:`\Delta D`, over the height of the lobes from valley to peak on the
        radius, :math:`h`: 2 if their number is even, 0 if it is odd.

    Raises
    ------
    OutOfRangeError
        If the number of lobes is not between 2 and 60.

    Notes
    -----
    For lobes that are a cosine, small beside the radius: the two radii at opposite ends add.

    References
    ----------
    Geometry [GEOMETRY].

    Examples
    --------
    >>> two_point_swing_factor(2), two_point_swing_factor(3)
    (2.0, 0.0)
    """
    _require_lobes(lobes)
    return 2.0 if lobes % 2 == 0 else 0.0


def three_point_swing_factor(lobes: int, *, vee_deg: float = EVEN_VEE_DEG) -> float:
    r"""How much of its lobes a gauge with three contacts shows, two of them in a vee.

    .. math::

        \frac{\Delta D}{h} = 2 \left| \frac{\cos\gamma + (-1)^n \cos n\gamma}{1 + \cos\gamma} \right|,
        \qquad \gamma = 90^\circ - \alpha/2

    Parameters
    ----------
    lobes : int
        Number of lobes round the part, :math:`n`.
    vee_deg : float
        Included angle of the vee, :math:`\alpha`; 60 is the same as three contacts 120° apart. [deg]

    Returns
    -------
    float
        Swing of the diameter that is read, :math:`\Delta D`, over the height of the lobes from valley to peak on the
        radius, :math:`h`.

    Raises
    ------
    OutOfRangeError
        If the number of lobes is not between 2 and 60, or the angle of the vee not between 10 and 170 degrees.

    Notes
    -----
    For lobes that are a cosine, small beside the radius, and a scale that is true on round work. The centre moves along
    the middle of the vee until both its sides touch. At 120° only lobes whose number is a multiple of 3 are seen: an
    oval is not.

    References
    ----------
    Geometry [GEOMETRY].

    Examples
    --------
    >>> [round(three_point_swing_factor(lobes), 2) for lobes in (2, 3, 4, 5, 6)]
    [0.0, 2.0, 0.0, 0.0, 2.0]
    >>> round(three_point_swing_factor(2, vee_deg=90.0), 2)
    0.83
    """
    _require_lobes(lobes)
    require_within("vee_deg", vee_deg, low=10.0, high=170.0, unit="deg")
    half = radians(90.0 - vee_deg / 2.0)
    return 2.0 * abs((cos(half) + (-1.0) ** lobes * cos(lobes * half)) / (1.0 + cos(half)))


def _require_lobes(lobes: int) -> None:
    if not FEWEST_LOBES <= lobes <= MOST_LOBES:
        msg = f"lobes: got {lobes}, allowed {FEWEST_LOBES} to {MOST_LOBES}; count the jaws, or the peaks round the part"
        raise OutOfRangeError(msg)
