"""Speed of a spindle by counting its turns, with what a count and a hand on a watch leave open."""

from __future__ import annotations

from math import hypot, sqrt

from handwheel.domain.errors import require_positive, require_within

S_PER_MIN = 60.0
COUNT_STANDARD = 1.0 / sqrt(6.0)
"""Standard uncertainty of a count of whole turns, which may be 1 short or 1 over, in between more likely. [turns]"""


def counted_rpm(turns: float, *, time_s: float) -> float:
    r"""Speed of a spindle from a count of its turns.

    .. math:: n = 60 N / t

    Parameters
    ----------
    turns : float
        Whole turns counted, :math:`N`.
    time_s : float
        Time that they took, :math:`t`. [s]

    Returns
    -------
    float
        Speed :math:`n`. [rev/min]

    Raises
    ------
    OutOfRangeError
        If either is not above 0.

    References
    ----------
    Definition.

    Examples
    --------
    >>> counted_rpm(60, time_s=30.0)
    120.0
    """
    require_positive("turns", turns, unit="turns")
    require_positive("time_s", time_s, unit="s")
    return S_PER_MIN * turns / time_s


def counted_standard_rpm(turns: float, *, time_s: float, watch_standard_s: float) -> float:
    r"""Standard uncertainty of one counted speed: a turn more or less, and the hand on the watch.

    .. math:: u_n = n \sqrt{\left(\frac{1}{\sqrt{6}\,N}\right)^2 + \left(\frac{u_t}{t}\right)^2}

    Parameters
    ----------
    turns : float
        Whole turns counted, :math:`N`.
    time_s : float
        Time that they took, :math:`t`. [s]
    watch_standard_s : float
        Standard uncertainty of that time, start and stop together, :math:`u_t`. [s]

    Returns
    -------
    float
        Standard uncertainty :math:`u_n`. [rev/min]

    Raises
    ------
    OutOfRangeError
        If turns or time is not above 0, or the doubt is negative.

    Notes
    -----
    Start and stop each fall anywhere within a turn, so that the error of a count lies between -1 and 1 with a
    triangular density, whose variance is 1/6.

    References
    ----------
    [GUM] 4.3.9 for the triangular density; from memory.

    Examples
    --------
    >>> round(counted_standard_rpm(60, time_s=30.0, watch_standard_s=0.15), 2)
    1.01
    """
    speed_rpm = counted_rpm(turns, time_s=time_s)
    require_within("watch_standard_s", watch_standard_s, low=0.0, high=time_s, unit="s")
    return speed_rpm * hypot(COUNT_STANDARD / turns, watch_standard_s / time_s)
