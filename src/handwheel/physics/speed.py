"""Spindle speed, cutting speed and the time a cut takes."""

from __future__ import annotations

from math import pi

from handwheel.domain.errors import OutOfRangeError, require_positive

MM_PER_M = 1000.0
S_PER_MIN = 60.0


def spindle_speed_rpm(cutting_speed_m_min: float, *, cut_dia_mm: float) -> float:
    r"""Spindle speed at which a point on the cut diameter moves at the cutting speed.

    .. math:: n = 1000\,v_c / (\pi\,d)

    Parameters
    ----------
    cutting_speed_m_min : float
        Surface speed wanted, :math:`v_c`. [m/min]
    cut_dia_mm : float
        Diameter at the tool tip, :math:`d`: outside for turning, bore for boring. [mm]

    Returns
    -------
    float
        Spindle speed :math:`n`, not yet rounded to a speed the machine has. [rev/min]

    Raises
    ------
    OutOfRangeError
        If either argument is zero or negative.

    Notes
    -----
    Exact geometry, so any positive diameter is valid. Facing runs to d = 0, where the
    result has no bound: the planner caps it with the machine's top speed.

    References
    ----------
    Definition, as used in [SHARMA] Example 4.11, p. 216.

    Examples
    --------
    >>> round(spindle_speed_rpm(60.0, cut_dia_mm=22.0))
    868
    """
    require_positive("cutting_speed_m_min", cutting_speed_m_min, unit="m/min")
    require_positive("cut_dia_mm", cut_dia_mm, unit="mm")
    return MM_PER_M * cutting_speed_m_min / (pi * cut_dia_mm)


def cutting_speed_m_min(speed_rpm: float, *, cut_dia_mm: float) -> float:
    r"""Speed at which a point on the cut diameter moves at a given spindle speed.

    .. math:: v_c = \pi\,d\,n / 1000

    Parameters
    ----------
    speed_rpm : float
        Spindle speed, :math:`n`. [rev/min]
    cut_dia_mm : float
        Diameter at the tool tip, :math:`d`. [mm]

    Returns
    -------
    float
        Cutting speed :math:`v_c`. [m/min]

    Raises
    ------
    OutOfRangeError
        If either argument is zero or negative.

    References
    ----------
    Definition, as used in [KALPAKJIAN] Example 22.1, p. 600.

    Examples
    --------
    >>> round(cutting_speed_m_min(434.0, cut_dia_mm=22.0), 1)
    30.0
    """
    require_positive("speed_rpm", speed_rpm, unit="rev/min")
    require_positive("cut_dia_mm", cut_dia_mm, unit="mm")
    return pi * cut_dia_mm * speed_rpm / MM_PER_M


def turning_time_s(length_mm: float, *, feed_mm_rev: float, speed_rpm: float) -> float:
    r"""Time that a tool takes to be fed over a length.

    .. math:: t = 60\,l / (f\,n)

    Parameters
    ----------
    length_mm : float
        Path of the tool along its feed, :math:`l`, run-in and run-out included. [mm]
    feed_mm_rev : float
        Feed, :math:`f`. [mm/rev]
    speed_rpm : float
        Spindle speed, :math:`n`. [rev/min]

    Returns
    -------
    float
        Time :math:`t` of one pass, cutting only. [s]

    Raises
    ------
    OutOfRangeError
        If an argument is zero or negative.

    Notes
    -----
    The same for turning, boring and drilling; `facing_time_s` takes diameters instead.

    References
    ----------
    [SHARMA] Examples 4.11 to 4.14, pp. 216-221.

    Examples
    --------
    >>> turning_time_s(10.0, feed_mm_rev=0.1, speed_rpm=600.0)
    10.0
    """
    require_positive("length_mm", length_mm, unit="mm")
    require_positive("feed_mm_rev", feed_mm_rev, unit="mm/rev")
    require_positive("speed_rpm", speed_rpm, unit="rev/min")
    return S_PER_MIN * length_mm / (feed_mm_rev * speed_rpm)


def facing_time_s(outer_dia_mm: float, *, inner_dia_mm: float, feed_mm_rev: float, speed_rpm: float) -> float:
    r"""Time to face, or to plunge straight in, between two diameters at constant spindle speed.

    .. math:: t = 60\,(D - d) / (2\,f\,n)

    Parameters
    ----------
    outer_dia_mm : float
        Diameter at which the cut begins, :math:`D`. [mm]
    inner_dia_mm : float
        Diameter at which it ends, :math:`d`; 0 for the centre. [mm]
    feed_mm_rev : float
        Feed across the axis, :math:`f`, on the radius. [mm/rev]
    speed_rpm : float
        Spindle speed, :math:`n`. [rev/min]

    Returns
    -------
    float
        Time :math:`t`, cutting only. [s]

    Raises
    ------
    OutOfRangeError
        If feed, speed or outer diameter is not above 0, or the inner diameter is negative or not the smaller.

    References
    ----------
    [SHARMA] Example 4.13, p. 220.

    Examples
    --------
    >>> facing_time_s(22.0, inner_dia_mm=18.0, feed_mm_rev=0.05, speed_rpm=400.0)
    6.0
    """
    require_positive("outer_dia_mm", outer_dia_mm, unit="mm")
    if not 0 <= inner_dia_mm < outer_dia_mm:
        msg = (
            f"inner_dia_mm: got {inner_dia_mm:g} mm, must be 0 or more and below the outer diameter "
            f"{outer_dia_mm:g} mm; check them, and that both are diameters"
        )
        raise OutOfRangeError(msg)
    return turning_time_s((outer_dia_mm - inner_dia_mm) / 2, feed_mm_rev=feed_mm_rev, speed_rpm=speed_rpm)


def removal_rate_cm3_min(cutting_speed_m_min: float, *, depth_mm: float, feed_mm_rev: float) -> float:
    r"""Volume of metal cut in a minute.

    .. math:: Q = v_c\,a_p\,f

    Parameters
    ----------
    cutting_speed_m_min : float
        Cutting speed at the mean diameter of the cut, :math:`v_c`. [m/min]
    depth_mm : float
        Depth of cut on the radius, :math:`a_p`. [mm]
    feed_mm_rev : float
        Feed, :math:`f`. [mm/rev]

    Returns
    -------
    float
        Removal rate :math:`Q`. [cm3/min]

    Raises
    ------
    OutOfRangeError
        If an argument is zero or negative.

    Notes
    -----
    Exact when the speed is taken at the mean of the diameters before and after the cut.

    References
    ----------
    [KALPAKJIAN] Example 22.1, p. 600.

    Examples
    --------
    >>> removal_rate_cm3_min(30.0, depth_mm=1.0, feed_mm_rev=0.15)
    4.5
    """
    require_positive("cutting_speed_m_min", cutting_speed_m_min, unit="m/min")
    require_positive("depth_mm", depth_mm, unit="mm")
    require_positive("feed_mm_rev", feed_mm_rev, unit="mm/rev")
    return cutting_speed_m_min * depth_mm * feed_mm_rev
