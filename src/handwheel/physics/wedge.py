"""A wedge between three rubbing faces: the push that lifts a load, the load of a push, whether it stays in."""

from __future__ import annotations

from math import atan, cos, degrees, radians, sin

from msgspec import Struct

from handwheel.domain.errors import OutOfRangeError, require_positive, require_within


class Wedge(Struct, frozen=True, kw_only=True):
    """A wedge that slides on a floor and lifts a block, which slides along a wall.

    ``angle_deg`` is the angle between floor and sloping face. The three frictions are coefficients: on the slope
    between wedge and block, on the floor under the wedge, on the wall beside the block.
    """

    angle_deg: float
    slope_friction: float
    floor_friction: float
    wall_friction: float

    def __post_init__(self) -> None:
        """Refuse what is no wedge."""
        require_within("angle_deg", self.angle_deg, low=0.01, high=45.0, unit="deg")
        for name in ("slope_friction", "floor_friction", "wall_friction"):
            require_within(name, getattr(self, name), low=0.0, high=0.8, unit="(coefficient)")


def wedge_push_n(load_n: float, *, wedge: Wedge) -> float:
    r"""Push that drives a wedge in under its load.

    .. math::
        P = W\,\frac{\cos\rho_w \sin(\alpha + \rho_s + \rho_f)}{\cos\rho_f \cos(\alpha + \rho_s + \rho_w)}, \qquad
        \rho = \arctan\mu

    Parameters
    ----------
    load_n : float
        Load on the block, square to the floor, :math:`W`. [N]
    wedge : Wedge
        Angle :math:`\alpha`, frictions of slope, floor and wall :math:`\mu_s, \mu_f, \mu_w`.

    Returns
    -------
    float
        Push along the floor, :math:`P`. [N]

    Raises
    ------
    OutOfRangeError
        If the load is not above 0, or the wedge so steep and rough that no push drives it.

    Notes
    -----
    Equal frictions make it :math:`W \tan(\alpha + 2\rho)`. With floor and wall free of friction it is the cone of
    `handwheel.physics.taper_drive.radial_force_n`: there the hoop of the work, and no wall, holds the segments.

    References
    ----------
    Statics of block and wedge; [BANSAL_MECHANICS] wedge example before Example 8.30, p. 277, with equal frictions.

    Examples
    --------
    >>> rough = Wedge(angle_deg=10.0, slope_friction=0.3, floor_friction=0.3, wall_friction=0.3)
    >>> round(wedge_push_n(1500.0, wedge=rough), 1)
    1418.4
    """
    require_positive("load_n", load_n, unit="N")
    return load_n * _push_over_load(wedge)


def wedge_load_n(push_n: float, *, wedge: Wedge) -> float:
    r"""Load that a push on a wedge lifts: the radial force of one segment of an expanding mandrel.

    .. math:: W = P\,\frac{\cos\rho_f \cos(\alpha + \rho_s + \rho_w)}{\cos\rho_w \sin(\alpha + \rho_s + \rho_f)}

    Parameters
    ----------
    push_n : float
        Push or pull along the floor, :math:`P`: that of the draw bar, shared among the segments. [N]
    wedge : Wedge
        As of `wedge_push_n`. Of a mandrel with loose wedges the floor is the arbor, the block a segment, the wall the
        shoulder that keeps it from going along.

    Returns
    -------
    float
        Load :math:`W`; the force to close the gap goes off first. [N]

    Raises
    ------
    OutOfRangeError
        If the push is not above 0, or the wedge so steep and rough that no push drives it.

    References
    ----------
    `wedge_push_n` solved for the load.

    Examples
    --------
    >>> dry = Wedge(angle_deg=8.0, slope_friction=0.15, floor_friction=0.15, wall_friction=0.15)
    >>> round(wedge_load_n(1000.0, wedge=dry))
    2139
    """
    require_positive("push_n", push_n, unit="N")
    return push_n / _push_over_load(wedge)


def is_self_holding_wedge(wedge: Wedge) -> bool:
    r"""Whether a wedge stays in when the push is gone.

    .. math:: \alpha < \rho_s + \rho_f

    Parameters
    ----------
    wedge : Wedge
        As of `wedge_push_n`; the wall does not come in.

    Returns
    -------
    bool
        True if it must be drawn or knocked out.

    Raises
    ------
    OutOfRangeError
        A `Wedge` cannot be made outside its ranges.

    Notes
    -----
    At rest; a wedge that shakes or turns with the spindle is held by its screw besides.

    References
    ----------
    Statics.

    Examples
    --------
    >>> is_self_holding_wedge(Wedge(angle_deg=10.0, slope_friction=0.1, floor_friction=0.1, wall_friction=0.1))
    True
    >>> is_self_holding_wedge(Wedge(angle_deg=15.0, slope_friction=0.1, floor_friction=0.1, wall_friction=0.1))
    False
    """
    return wedge.angle_deg < degrees(atan(wedge.slope_friction) + atan(wedge.floor_friction))


def _push_over_load(wedge: Wedge) -> float:
    slope, floor, wall = (atan(each) for each in (wedge.slope_friction, wedge.floor_friction, wedge.wall_friction))
    lean = radians(wedge.angle_deg) + slope
    lifting = cos(lean + wall)
    if lifting <= 0:
        msg = f"wedge: got {wedge.angle_deg:g} deg, which no push drives with such friction; take a smaller angle"
        raise OutOfRangeError(msg)
    return cos(wall) * sin(lean + floor) / (cos(floor) * lifting)
