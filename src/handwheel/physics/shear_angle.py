"""Force of a cut from a shear plane (Merchant's least energy): a second look at force, no limit of a plan."""

from __future__ import annotations

from math import atan, cos, degrees, radians, sin

from handwheel.domain.errors import OutOfRangeError, require_positive, require_within

LEAST_RAKE_DEG, MOST_RAKE_DEG = -30.0, 45.0
"""Rakes that the picture of one shear plane is asked for here; a bound of this program, no source. [deg]"""
MOST_CHIP_FRICTION = 2.0
"""Highest friction of chip on tool that is let in; a bound of this program, no source."""


def merchant_shear_angle_deg(rake_deg: float, *, friction: float) -> float:
    r"""Angle of the shear plane at which a given metal would be cut with the least energy.

    .. math:: \varphi = (90^\circ + \alpha - \lambda) / 2, \qquad \lambda = \arctan\mu

    Parameters
    ----------
    rake_deg : float
        Rake of the tool, :math:`\alpha`. [deg]
    friction : float
        Friction of the chip on the rake face, :math:`\mu`.

    Returns
    -------
    float
        Angle between shear plane and cutting direction, :math:`\varphi`. [deg]

    Raises
    ------
    OutOfRangeError
        If the rake is outside -30 to 45 degrees or the friction outside 0 to 2.

    Notes
    -----
    Real chips shear at smaller angles than this, and so need more force: the least energy is a lower end. No plan is
    limited by it; limits come from measured specific forces (`handwheel.physics.force`).

    References
    ----------
    [GHOSH_MALLIK] Problem 4.3, p. 193.

    Examples
    --------
    >>> round(merchant_shear_angle_deg(10.0, friction=0.5), 1)
    36.7
    """
    _require_chip(rake_deg, friction)
    return (90.0 + rake_deg - degrees(atan(friction))) / 2.0


def shear_plane_forces_n(
    chip_thickness_mm: float,
    *,
    width_mm: float,
    shear_strength_n_mm2: float,
    rake_deg: float,
    friction: float,
    shear_angle_deg: float,
) -> tuple[float, float]:
    r"""Cutting force and thrust of a straight edge that cuts square to its way, from the strength of one shear plane.

    .. math::
        R = \frac{\tau\,h\,b}{\sin\varphi\,\cos(\varphi + \lambda - \alpha)}, \qquad
        F_c = R\cos(\lambda - \alpha), \qquad F_t = R\sin(\lambda - \alpha)

    Parameters
    ----------
    chip_thickness_mm : float
        Thickness of the chip before the cut, :math:`h`. [mm]
    width_mm : float
        Width of the chip, :math:`b`. [mm]
    shear_strength_n_mm2 : float
        Strength of the metal in shear at the cut, :math:`\tau`. [N/mm2]
    rake_deg : float
        Rake of the tool, :math:`\alpha`. [deg]
    friction : float
        Friction of the chip on the rake face, :math:`\mu = \tan\lambda`.
    shear_angle_deg : float
        Angle of the shear plane, :math:`\varphi`: measured on chips, or `merchant_shear_angle_deg`. [deg]

    Returns
    -------
    tuple of float
        Force along the cut :math:`F_c` and thrust square to it :math:`F_t`, N; a thrust below 0 draws the tool in.

    Raises
    ------
    OutOfRangeError
        If thickness, width or strength is not above 0, the rake outside -30 to 45 degrees, the friction outside 0 to 2,
        the shear angle outside 1 to 89 degrees, or so large that the chip could not be pushed off at all.

    Notes
    -----
    Keen edge, chip without a built-up edge, edge square to the cut; a turning tool with a nose comes near it when the
    depth is many times the feed. The strength in shear at the cut is above that of a tensile test, by an amount that
    the tables do not have: a second look at a force, not what limits the plan.

    References
    ----------
    Statics of the chip, as in [GHOSH_MALLIK] Problem 4.3, p. 193.

    Examples
    --------
    >>> cut = dict(width_mm=2.0, shear_strength_n_mm2=400.0, rake_deg=10.0, friction=0.5)
    >>> angle = merchant_shear_angle_deg(10.0, friction=0.5)
    >>> [round(each) for each in shear_plane_forces_n(0.2, shear_angle_deg=angle, **cut)]
    [429, 128]
    """
    require_positive("chip_thickness_mm", chip_thickness_mm, unit="mm")
    require_positive("width_mm", width_mm, unit="mm")
    require_positive("shear_strength_n_mm2", shear_strength_n_mm2, unit="N/mm2")
    _require_chip(rake_deg, friction)
    require_within("shear_angle_deg", shear_angle_deg, low=1.0, high=89.0, unit="deg")
    plane, lean = radians(shear_angle_deg), atan(friction) - radians(rake_deg)
    along_plane = cos(plane + lean)
    if along_plane <= 0:
        most_deg = 90.0 - degrees(lean)
        msg = f"shear_angle_deg: got {shear_angle_deg:g} deg, must be below {most_deg:g} deg for this rake and friction"
        raise OutOfRangeError(msg)
    pressed_n = shear_strength_n_mm2 * chip_thickness_mm * width_mm / (sin(plane) * along_plane)
    return pressed_n * cos(lean), pressed_n * sin(lean)


def _require_chip(rake_deg: float, friction: float) -> None:
    require_within("rake_deg", rake_deg, low=LEAST_RAKE_DEG, high=MOST_RAKE_DEG, unit="deg")
    require_within("friction", friction, low=0.0, high=MOST_CHIP_FRICTION, unit="(coefficient)")
