"""Power and torque at the spindle and at the motor."""

from __future__ import annotations

from math import pi

from handwheel.domain.errors import require_positive, require_within

S_PER_MIN = 60.0
MM_PER_M = 1000.0


def power_w(force_n: float, *, cutting_speed_m_min: float) -> float:
    r"""Power that a cutting force takes at a cutting speed.

    .. math:: P_c = F_c\,v_c / 60

    Parameters
    ----------
    force_n : float
        Force along the cutting speed, :math:`F_c`. [N]
    cutting_speed_m_min : float
        Cutting speed, :math:`v_c`. [m/min]

    Returns
    -------
    float
        Power at the cut, :math:`P_c`. [W]

    Raises
    ------
    OutOfRangeError
        If an argument is zero or negative.

    References
    ----------
    Definition, as used in [SHARMA] Example 14.17, p. 575.

    Examples
    --------
    >>> power_w(720.0, cutting_speed_m_min=30.0)
    360.0
    """
    require_positive("force_n", force_n, unit="N")
    require_positive("cutting_speed_m_min", cutting_speed_m_min, unit="m/min")
    return force_n * cutting_speed_m_min / S_PER_MIN


def torque_nm(force_n: float, *, cut_dia_mm: float) -> float:
    r"""Torque of a cutting force about the spindle.

    .. math:: M = F_c\,d / 2000

    Parameters
    ----------
    force_n : float
        Force along the cutting speed, :math:`F_c`. [N]
    cut_dia_mm : float
        Diameter at the tool tip, :math:`d`. [mm]

    Returns
    -------
    float
        Torque :math:`M`. [N m]

    Raises
    ------
    OutOfRangeError
        If an argument is zero or negative.

    References
    ----------
    Definition, as used in [KALPAKJIAN] Example 22.1, p. 600.

    Examples
    --------
    >>> torque_nm(720.0, cut_dia_mm=20.0)
    7.2
    """
    require_positive("force_n", force_n, unit="N")
    require_positive("cut_dia_mm", cut_dia_mm, unit="mm")
    return force_n * cut_dia_mm / (2 * MM_PER_M)


def torque_at_speed_nm(power_at_cut_w: float, *, speed_rpm: float) -> float:
    r"""Torque with which a power arrives at a spindle speed.

    .. math:: M = 60\,P / (2\,\pi\,n)

    Parameters
    ----------
    power_at_cut_w : float
        Power, :math:`P`. [W]
    speed_rpm : float
        Spindle speed, :math:`n`. [rev/min]

    Returns
    -------
    float
        Torque :math:`M`. [N m]

    Raises
    ------
    OutOfRangeError
        If an argument is zero or negative.

    References
    ----------
    Definition, as used in [KALPAKJIAN] Example 22.2 and [JINDAL] Example 22-7, p. 593.

    Examples
    --------
    >>> round(torque_at_speed_nm(104.72, speed_rpm=800.0), 2)
    1.25
    """
    require_positive("power_at_cut_w", power_at_cut_w, unit="W")
    require_positive("speed_rpm", speed_rpm, unit="rev/min")
    return S_PER_MIN * power_at_cut_w / (2 * pi * speed_rpm)


def power_at_speed_w(torque_nm: float, *, speed_rpm: float) -> float:
    r"""Power that a torque takes at a spindle speed.

    .. math:: P = 2\,\pi\,n\,M / 60

    Parameters
    ----------
    torque_nm : float
        Torque, :math:`M`. [N m]
    speed_rpm : float
        Spindle speed, :math:`n`. [rev/min]

    Returns
    -------
    float
        Power :math:`P`. [W]

    Raises
    ------
    OutOfRangeError
        If an argument is zero or negative.

    References
    ----------
    `torque_at_speed_nm` turned round.

    Examples
    --------
    >>> round(power_at_speed_w(1.25, speed_rpm=800.0), 1)
    104.7
    """
    require_positive("torque_nm", torque_nm, unit="N m")
    require_positive("speed_rpm", speed_rpm, unit="rev/min")
    return torque_nm * 2 * pi * speed_rpm / S_PER_MIN


def motor_power_w(power_at_cut_w: float, *, efficiency: float) -> float:
    r"""Power that the motor must give for a power at the cut.

    .. math:: P_m = P_c / E

    Parameters
    ----------
    power_at_cut_w : float
        Power at the cut, :math:`P_c`. [W]
    efficiency : float
        Share of the motor's power that arrives, :math:`E`: 0.70 to 0.80 through gears, 0.90 by a direct belt.

    Returns
    -------
    float
        Motor power :math:`P_m`. [W]

    Raises
    ------
    OutOfRangeError
        If the power is not above 0, or the efficiency not between 0.05 and 1.

    Notes
    -----
    The efficiencies are the handbook's for machine tools in good order (from memory).

    References
    ----------
    [MH31] machining power, Tables 2 to 4; [SHARMA] Example 14.14, p. 573.

    Examples
    --------
    >>> motor_power_w(360.0, efficiency=0.75)
    480.0
    """
    require_positive("power_at_cut_w", power_at_cut_w, unit="W")
    require_within("efficiency", efficiency, low=0.05, high=1.0, unit="(share)")
    return power_at_cut_w / efficiency
