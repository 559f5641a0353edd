"""Collets and expanding mandrels: the radial force that an axial pull makes over a cone."""

from __future__ import annotations

from math import atan, degrees, radians, tan

from handwheel.domain.errors import require_positive, require_within


def radial_force_n(axial_pull_n: float, *, half_angle_deg: float, friction: float) -> float:
    r"""Total radial force that a pull along the axis makes while the cone is drawn home.

    .. math:: F_r = F_a / \tan(\alpha + \rho), \qquad \rho = \arctan\mu

    Parameters
    ----------
    axial_pull_n : float
        Pull of the draw bar or nut, :math:`F_a`. [N]
    half_angle_deg : float
        Half angle of the cone, :math:`\alpha`. [deg]
    friction : float
        Coefficient of friction, :math:`\mu`.

    Returns
    -------
    float
        Sum of the radial forces all round, :math:`F_r`; the force to close the gap goes off first. [N]

    Raises
    ------
    OutOfRangeError
        If the pull is not above 0, the angle outside 0.01 to 45 degrees or the friction outside 0 to 0.8.

    References
    ----------
    Statics; the cone of [JINDAL] Example 22-8, p. 594, is its case without friction on the cone.

    Examples
    --------
    >>> round(radial_force_n(1.0, half_angle_deg=8.0, friction=0.10), 3)
    4.099
    """
    require_positive("axial_pull_n", axial_pull_n, unit="N")
    _require_cone(half_angle_deg, friction)
    return axial_pull_n / tan(radians(half_angle_deg) + atan(friction))


def is_self_holding(half_angle_deg: float, *, friction: float) -> bool:
    r"""Whether a cone stays shut when the pull is gone.

    .. math:: \alpha < \rho = \arctan\mu

    Parameters
    ----------
    half_angle_deg : float
        Half angle of the cone, :math:`\alpha`. [deg]
    friction : float
        Coefficient of friction, :math:`\mu`.

    Returns
    -------
    bool
        True if it must be driven off.

    Raises
    ------
    OutOfRangeError
        If the angle is outside 0.01 to 45 degrees or the friction outside 0 to 0.8.

    References
    ----------
    Statics.

    Examples
    --------
    >>> is_self_holding(1.0, friction=0.15), is_self_holding(10.0, friction=0.15)
    (True, False)
    """
    _require_cone(half_angle_deg, friction)
    return half_angle_deg < degrees(atan(friction))


def _require_cone(half_angle_deg: float, friction: float) -> None:
    require_within("half_angle_deg", half_angle_deg, low=0.01, high=45.0, unit="deg")
    require_within("friction", friction, low=0.0, high=0.8, unit="(coefficient)")
