"""Whether a taper in the tailstock holds against the torque of the drill that the same push drives."""

from __future__ import annotations

from math import atan, cos, degrees, radians, sin

from handwheel.domain.errors import require_positive, require_within

MORSE_HALF_ANGLE_DEG = degrees(atan(1.0 / 40.0))
"""Half angle of the Morse tapers, all of which are near 1 in 20 on the diameter; from memory of ISO 296. [deg]"""
OILY_FRICTION, DRY_FRICTION = 0.05, 0.15
"""Friction of steel on steel in a taper that was oiled, and in one wiped dry and clean; common practice, no source."""


def taper_torque_nm(push_n: float, *, mean_dia_mm: float, half_angle_deg: float, friction: float) -> float:
    r"""Torque at which a taper begins to slip under a push along its axis.

    .. math:: M = \frac{\mu\,F\,d_m}{2\,(\sin\alpha + \mu\cos\alpha)}

    Parameters
    ----------
    push_n : float
        Push that seats the taper, such as the thrust of the drill, :math:`F`. [N]
    mean_dia_mm : float
        Mean diameter of the taper where it bears, :math:`d_m`. [mm]
    half_angle_deg : float
        Half angle of the cone, :math:`\alpha`. [deg]
    friction : float
        Coefficient of friction, :math:`\mu`.

    Returns
    -------
    float
        Torque :math:`M`, the lower of what the source's form and friction while seating give. [N m]

    Raises
    ------
    OutOfRangeError
        If push or diameter is not above 0, the angle outside 0.01 to 45 degrees or the friction outside 0.01 to 0.8.

    Notes
    -----
    Once driven home with a blow a taper holds more; the tang of a drill is for driving it out. A nicked or dirty taper
    bears on a part of its length and holds less.

    References
    ----------
    [JINDAL] Example 22-8, p. 594, with friction while it seats added, which the example leaves out.

    Examples
    --------
    >>> push = 1894.0
    >>> round(taper_torque_nm(push, mean_dia_mm=15.0, half_angle_deg=MORSE_HALF_ANGLE_DEG, friction=OILY_FRICTION), 1)
    9.5
    """
    require_positive("push_n", push_n, unit="N")
    require_positive("mean_dia_mm", mean_dia_mm, unit="mm")
    require_within("half_angle_deg", half_angle_deg, low=0.01, high=45.0, unit="deg")
    require_within("friction", friction, low=0.01, high=0.8, unit="(coefficient)")
    angle = radians(half_angle_deg)
    pressing_n = push_n / (sin(angle) + friction * cos(angle))
    return friction * pressing_n * mean_dia_mm / 2.0 / 1000.0


def slip_share(drill_torque_nm: float, *, holding_torque_nm: float) -> float:
    r"""How much of what a taper holds a drill asks of it.

    .. math:: s = M_{drill} / M_{taper}

    Parameters
    ----------
    drill_torque_nm : float
        Torque of the drill, the upper end. [N m]
    holding_torque_nm : float
        Torque at which the taper slips, the lower end. [N m]

    Returns
    -------
    float
        Share :math:`s`; above 1 the taper turns and is scored.

    Raises
    ------
    OutOfRangeError
        If either is not above 0.

    Notes
    -----
    Opening a hole is the dangerous case: without the chisel edge the push falls to a part, and with it what the taper
    holds, while the torque stays nearly whole.

    References
    ----------
    Statics.

    Examples
    --------
    >>> slip_share(5.0, holding_torque_nm=10.0)
    0.5
    """
    require_positive("drill_torque_nm", drill_torque_nm, unit="N m")
    require_positive("holding_torque_nm", holding_torque_nm, unit="N m")
    return drill_torque_nm / holding_torque_nm
