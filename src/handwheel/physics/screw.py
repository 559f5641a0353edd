"""Screw threads under load: torque to raise and to lower, pull from the torque of a hand, what holds by itself."""

from __future__ import annotations

from math import atan, cos, degrees, inf, pi, radians

from msgspec import Struct

from handwheel.domain.errors import OutOfRangeError, require_positive, require_within

SQUARE_FLANK_DEG = 0.0
ACME_FLANK_DEG = 14.5
TRAPEZOIDAL_FLANK_DEG = 15.0
METRIC_FLANK_DEG = 30.0
"""Angles of a flank to the plane square to the axis, half that of the groove; from memory of the standards. [deg]"""

_MM_PER_M = 1000.0


class Screw(Struct, frozen=True, kw_only=True):
    """A screw with its nut, and the collar on which the turning part rests.

    Lengths in mm. ``lead_mm`` is the way of one turn: pitch times starts. ``collar_dia_mm`` is the mean diameter on
    which head, nut or washer slides, 0 where a bearing takes the load. A friction is a coefficient.
    """

    mean_dia_mm: float
    lead_mm: float
    friction: float
    flank_deg: float = SQUARE_FLANK_DEG
    collar_dia_mm: float = 0.0
    collar_friction: float = 0.0

    def __post_init__(self) -> None:
        """Refuse what is no screw."""
        require_positive("mean_dia_mm", self.mean_dia_mm, unit="mm")
        require_positive("lead_mm", self.lead_mm, unit="mm")
        require_within("friction", self.friction, low=0.0, high=0.8, unit="(coefficient)")
        require_within("flank_deg", self.flank_deg, low=0.0, high=45.0, unit="deg")
        require_within("collar_dia_mm", self.collar_dia_mm, low=0.0, high=inf, unit="mm")
        require_within("collar_friction", self.collar_friction, low=0.0, high=0.8, unit="(coefficient)")

    @property
    def slope(self) -> float:
        """Rise of the thread on its mean diameter over the way round it, the tangent of the lead angle."""
        return self.lead_mm / (pi * self.mean_dia_mm)

    @property
    def flank_friction(self) -> float:
        """Friction as a flank that leans makes it, larger than that of a square thread."""
        return self.friction / cos(radians(self.flank_deg))

    @property
    def collar_arm_mm(self) -> float:
        """Torque of the collar for each newton of pull. [N mm/N, which is mm]"""
        return self.collar_friction * self.collar_dia_mm / 2.0


def lead_angle_deg(screw: Screw) -> float:
    r"""Angle at which a thread climbs, on its mean diameter.

    .. math:: \lambda = \arctan\frac{l}{\pi d_m}

    Parameters
    ----------
    screw : Screw
        Screw with its lead :math:`l` and mean diameter :math:`d_m`.

    Returns
    -------
    float
        Lead angle :math:`\lambda`. [deg]

    Raises
    ------
    OutOfRangeError
        A `Screw` cannot be made with a lead or a diameter that is not above 0.

    References
    ----------
    Geometry, as in [WENTZELL] Example 18.2, p. 400.

    Examples
    --------
    >>> round(lead_angle_deg(Screw(mean_dia_mm=30.0, lead_mm=8.0, friction=0.08)), 2)
    4.85
    """
    return degrees(atan(screw.slope))


def raising_torque_nm(pull_n: float, *, screw: Screw) -> float:
    r"""Torque that turns a screw against its load: tightens a nut, draws a bar, lifts a weight.

    .. math::
        M = \frac{F d_m}{2}\,\frac{l + \pi \mu' d_m}{\pi d_m - \mu' l} + \frac{F \mu_c d_c}{2}, \qquad
        \mu' = \frac{\mu}{\cos\beta}

    Parameters
    ----------
    pull_n : float
        Load along the axis, :math:`F`. [N]
    screw : Screw
        Mean diameter :math:`d_m`, lead :math:`l`, friction :math:`\mu`, flank :math:`\beta` (0 square, 14.5 degrees
        Acme), collar :math:`d_c` with :math:`\mu_c`.

    Returns
    -------
    float
        Torque :math:`M`. [N m]

    Raises
    ------
    OutOfRangeError
        If the pull is not above 0, or the screw so steep and rough that no torque turns it.

    Notes
    -----
    The flank is taken in the plane of the axis, as printed; square to the thread it is a little smaller (under 1 % of
    the torque at lead angles up to 10 degrees). Friction is what one knows least, and it rules: without it a fine
    thread would pull many times as hard.

    References
    ----------
    [SHIGLEY] Example 8-1, from memory; [WENTZELL] Examples 18.1 and 18.3, pp. 399 and 402; [JINDAL] Example 16-1,
    p. 450.

    Examples
    --------
    >>> double_start = Screw(mean_dia_mm=30.0, lead_mm=8.0, friction=0.08, collar_dia_mm=40.0, collar_friction=0.08)
    >>> round(raising_torque_nm(6400.0, screw=double_start), 2)
    26.18
    """
    require_positive("pull_n", pull_n, unit="N")
    return pull_n * _raising_arm_mm(screw) / _MM_PER_M


def lowering_torque_nm(pull_n: float, *, screw: Screw) -> float:
    r"""Torque that turns a screw with its load: slackens a nut, lets a weight down.

    .. math:: M = \frac{F d_m}{2}\,\frac{\pi \mu' d_m - l}{\pi d_m + \mu' l} + \frac{F \mu_c d_c}{2}

    Parameters
    ----------
    pull_n : float
        Load along the axis, :math:`F`. [N]
    screw : Screw
        As of `raising_torque_nm`.

    Returns
    -------
    float
        Torque :math:`M`; below 0 the load turns the screw by itself, and this is what must hold it back. [N m]

    Raises
    ------
    OutOfRangeError
        If the pull is not above 0.

    References
    ----------
    [SHIGLEY] Example 8-1, from memory.

    Examples
    --------
    >>> double_start = Screw(mean_dia_mm=30.0, lead_mm=8.0, friction=0.08, collar_dia_mm=40.0, collar_friction=0.08)
    >>> round(lowering_torque_nm(6400.0, screw=double_start), 2)
    9.77
    """
    require_positive("pull_n", pull_n, unit="N")
    rubbing = screw.flank_friction
    thread_arm_mm = screw.mean_dia_mm / 2.0 * (rubbing - screw.slope) / (1.0 + rubbing * screw.slope)
    return pull_n * (thread_arm_mm + screw.collar_arm_mm) / _MM_PER_M


def screw_pull_n(torque_nm: float, *, screw: Screw) -> float:
    r"""Pull along the axis that a torque makes, such as that of a hand on a key.

    .. math:: F = M / m, \qquad m = M_{raise} / F_{raise}

    Parameters
    ----------
    torque_nm : float
        Torque on nut, screw or draw bar: hand force times arm of the key, :math:`M`. [N m]
    screw : Screw
        As of `raising_torque_nm`.

    Returns
    -------
    float
        Pull :math:`F`. [N]

    Raises
    ------
    OutOfRangeError
        If the torque is not above 0, or the screw so steep and rough that no torque turns it.

    Notes
    -----
    It is the force that the holdings ask for: of the nut on a stepped spigot, which presses faces together
    (`handwheel.physics.grip.faces_torque_nm`); of the draw bar of a collet or an expanding mandrel
    (`handwheel.physics.taper_drive.radial_force_n`); of the screw of an independent jaw. For a limit take the high end
    of both frictions: the pull then errs low. Where a pull does harm, as to a thin ring, take the low end.

    References
    ----------
    `raising_torque_nm` solved for the pull; no plan uses it, and it stands beside what a hand can tell.

    Examples
    --------
    An M8 nut by 5 N m, friction 0.15, its face 10.8 mm in the mean:

    >>> nut = Screw(
    ...     mean_dia_mm=7.188,
    ...     lead_mm=1.25,
    ...     friction=0.15,
    ...     flank_deg=METRIC_FLANK_DEG,
    ...     collar_dia_mm=10.8,
    ...     collar_friction=0.15,
    ... )
    >>> round(screw_pull_n(5.0, screw=nut))
    3050
    """
    require_positive("torque_nm", torque_nm, unit="N m")
    arm_mm = _raising_arm_mm(screw)
    return torque_nm * _MM_PER_M / arm_mm


def screw_efficiency(screw: Screw) -> float:
    r"""Share of the work put in that a screw hands on while it raises, its collar included.

    .. math:: \eta = F l / (2 \pi M)

    Parameters
    ----------
    screw : Screw
        As of `raising_torque_nm`.

    Returns
    -------
    float
        Efficiency :math:`\eta`, 0 to 1.

    Raises
    ------
    OutOfRangeError
        If the screw is so steep and rough that no torque turns it.

    References
    ----------
    [SHIGLEY] Example 8-1, from memory; [WENTZELL] Example 18.2, p. 400, without collar.

    Examples
    --------
    >>> double_start = Screw(mean_dia_mm=30.0, lead_mm=8.0, friction=0.08, collar_dia_mm=40.0, collar_friction=0.08)
    >>> round(screw_efficiency(double_start), 3)
    0.311
    """
    return screw.lead_mm / (2.0 * pi * _raising_arm_mm(screw))


def is_self_locking(screw: Screw) -> bool:
    r"""Whether a thread holds its load by itself when the torque is gone, its collar left out.

    .. math:: \mu / \cos\beta > \tan\lambda

    Parameters
    ----------
    screw : Screw
        As of `raising_torque_nm`; a collar adds to what holds, and is not counted on.

    Returns
    -------
    bool
        True if the load alone does not turn it.

    Raises
    ------
    OutOfRangeError
        A `Screw` cannot be made outside its ranges.

    Notes
    -----
    At rest. Shaking loosens what this calls locked: a draw bar or nut that turns with the spindle is looked at again.

    References
    ----------
    Statics; `lowering_torque_nm` above 0 without a collar.

    Examples
    --------
    >>> is_self_locking(Screw(mean_dia_mm=30.0, lead_mm=8.0, friction=0.08))
    False
    >>> is_self_locking(Screw(mean_dia_mm=30.0, lead_mm=4.0, friction=0.08))
    True
    """
    return screw.flank_friction > screw.slope


def _raising_arm_mm(screw: Screw) -> float:
    """Torque for each newton of pull. [N mm/N, which is mm]"""
    rubbing = screw.flank_friction
    left = 1.0 - rubbing * screw.slope
    if left <= 0:
        msg = (
            f"screw: got a lead of {screw.lead_mm:g} mm on {screw.mean_dia_mm:g} mm with friction {screw.friction:g}, "
            "which no torque turns against its load; check the lead, and that the diameter is no radius"
        )
        raise OutOfRangeError(msg)
    return screw.mean_dia_mm / 2.0 * (screw.slope + rubbing) / left + screw.collar_arm_mm
