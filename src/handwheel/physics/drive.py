"""Torque that a drive gives at the spindle by its power, its regulation and its belt; when it stalls."""

from __future__ import annotations

from msgspec import Struct

from handwheel.domain.errors import require_positive, require_within
from handwheel.domain.lathe import Lathe, SpindleSpeed
from handwheel.physics.power import torque_at_speed_nm

STANDARD_GRAVITY_M_S2 = 9.80665
MM_PER_M = 1000.0
MOST_REDUCTION = 100.0
STALL_ROOM = 1.25
"""What a cut should leave: a hard place in the bar or a chip caught under the edge takes a quarter more at once; common
practice, no source."""


class SpindleTorque(Struct, frozen=True, kw_only=True):
    """Greatest torque at the spindle at one speed, and whether somebody measured what holds it back.

    ``by_belt`` says that the belt gives way first. ``estimated`` says that nobody entered a limit for this position, so
    that the motor's power alone stands behind the figure; a slack or oily belt may slip before that.
    """

    torque_nm: float
    by_belt: bool
    estimated: bool


def available_power_w(
    motor_power_w: float, *, efficiency: float, speed_rpm: float, full_power_rpm: float | None = None
) -> float:
    r"""Power that a drive gives for long at a spindle speed.

    .. math:: P = P_m\,E\,\min\left(1,\ \frac{n}{n_0}\right)

    Parameters
    ----------
    motor_power_w : float
        Power on the motor's plate, :math:`P_m`: what it gives for long. [W]
    efficiency : float
        Share of it that arrives at the spindle, :math:`E`.
    speed_rpm : float
        Spindle speed, :math:`n`. [rev/min]
    full_power_rpm : float, optional
        For a drive without steps, the spindle speed from which the motor gives its full power, :math:`n_0`. [rev/min]

    Returns
    -------
    float
        Power at the spindle, :math:`P`. [W]

    Raises
    ------
    OutOfRangeError
        If a figure is not above 0, or the efficiency not within 0.05 to 1.

    References
    ----------
    As `spindle_torque`.

    Examples
    --------
    >>> round(available_power_w(750.0, efficiency=0.8, speed_rpm=100.0), 1)
    600.0
    >>> round(available_power_w(750.0, efficiency=0.8, speed_rpm=100.0, full_power_rpm=1000.0), 1)
    60.0
    """
    require_positive("motor_power_w", motor_power_w, unit="W")
    require_within("efficiency", efficiency, low=0.05, high=1.0, unit="(share)")
    require_positive("speed_rpm", speed_rpm, unit="rev/min")
    power = motor_power_w * efficiency
    if full_power_rpm is None:
        return power
    require_positive("full_power_rpm", full_power_rpm, unit="rev/min")
    return power * min(1.0, speed_rpm / full_power_rpm)


def listed_power_w(lathe: Lathe, speed: SpindleSpeed) -> float:
    """Power that a lathe gives for long at the spindle, at a speed of its list.

    Parameters
    ----------
    lathe : Lathe
        Its motor and drive.
    speed : SpindleSpeed
        One of its speeds.

    Returns
    -------
    float
        Power, see `available_power_w`. [W]

    Raises
    ------
    OutOfRangeError
        As `available_power_w`.

    References
    ----------
    As `available_power_w`.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> knob = SimpleNamespace(fastest_rpm=250.0, full_power_rpm=1000.0)
    >>> listed_power_w(SimpleNamespace(motor_power_w=750.0, drive_efficiency=0.8), knob)
    150.0
    """
    return available_power_w(
        lathe.motor_power_w,
        efficiency=lathe.drive_efficiency,
        speed_rpm=speed.fastest_rpm,
        full_power_rpm=speed.full_power_rpm or None,
    )


def spindle_torque(
    motor_power_w: float,
    *,
    efficiency: float,
    speed_rpm: float,
    torque_limit_nm: float | None = None,
    full_power_rpm: float | None = None,
) -> SpindleTorque:
    r"""Greatest torque that a drive gives at a spindle speed.

    .. math:: M = \min\left(\frac{60\,P_m E}{2\pi\,\max(n, n_0)},\ M_b\right)

    Parameters
    ----------
    motor_power_w : float
        Power on the motor's plate, :math:`P_m`: what it gives for long. [W]
    efficiency : float
        Share of it that arrives at the spindle, :math:`E`.
    speed_rpm : float
        Spindle speed, :math:`n`. [rev/min]
    torque_limit_nm : float, optional
        Torque at the spindle at which the drive gives way in that position, :math:`M_b`, if somebody tried it. [N m]
    full_power_rpm : float, optional
        For a drive without steps, the spindle speed from which the motor gives its full power, :math:`n_0`: below it
        the torque stays the same and the power falls with the speed. Belts and gears have none. [rev/min]

    Returns
    -------
    SpindleTorque
        The torque, what holds it back, and whether that is estimated.

    Raises
    ------
    OutOfRangeError
        If a figure is not above 0, or the efficiency not within 0.05 to 1.

    Notes
    -----
    A motor bears more than its plate for seconds, an induction motor about twice as much before it stalls (from memory
    of [TEXTBOOKS]); nothing is planned on that. Where the speed at which a regulated drive reaches full power is not
    known, its fastest speed in that belt position is the safe figure.

    References
    ----------
    Definition of power, as in [KALPAKJIAN] Example 22.2; that a regulated motor keeps its torque below the speed of
    full power is from memory of [TEXTBOOKS].

    Examples
    --------
    A 350 W lathe at 400 rev/min by belts, then regulated with full power at 1100, then with a belt that was tried.

    >>> found = spindle_torque(350.0, efficiency=0.8, speed_rpm=400.0)
    >>> round(found.torque_nm, 1), found.estimated
    (6.7, True)
    >>> round(spindle_torque(350.0, efficiency=0.8, speed_rpm=400.0, full_power_rpm=1100.0).torque_nm, 1)
    2.4
    >>> spindle_torque(350.0, efficiency=0.8, speed_rpm=400.0, torque_limit_nm=5.0)
    SpindleTorque(torque_nm=5.0, by_belt=True, estimated=False)
    """
    power = available_power_w(motor_power_w, efficiency=efficiency, speed_rpm=speed_rpm, full_power_rpm=full_power_rpm)
    by_power = torque_at_speed_nm(power, speed_rpm=speed_rpm)
    if torque_limit_nm is None:
        return SpindleTorque(torque_nm=by_power, by_belt=False, estimated=True)
    require_positive("torque_limit_nm", torque_limit_nm, unit="N m")
    return SpindleTorque(torque_nm=min(by_power, torque_limit_nm), by_belt=torque_limit_nm < by_power, estimated=False)


def stall_margin(needed_nm: float, *, available: SpindleTorque) -> float:
    r"""How many times the torque of a cut the drive could give; below 1 the spindle stops.

    .. math:: s = M / M_c

    Parameters
    ----------
    needed_nm : float
        Torque of the cut about the spindle, :math:`M_c`. [N m]
    available : SpindleTorque
        What the drive gives at that speed, :math:`M`.

    Returns
    -------
    float
        Margin :math:`s`; cuts should leave `STALL_ROOM`.

    Raises
    ------
    OutOfRangeError
        If the torque is not above 0.

    References
    ----------
    Definition; the room is common practice [COMMON].

    Examples
    --------
    >>> stall_margin(4.0, available=SpindleTorque(torque_nm=5.0, by_belt=True, estimated=False))
    1.25
    """
    require_positive("needed_nm", needed_nm, unit="N m")
    return available.torque_nm / needed_nm


def weighed_torque_nm(mass_kg: float, *, arm_mm: float) -> float:
    r"""Torque of a weight, or of a pull read off a spring balance, square to an arm on the spindle.

    .. math:: M = m\,g\,l

    Parameters
    ----------
    mass_kg : float
        What hangs there, or what the balance reads, :math:`m`. [kg]
    arm_mm : float
        From the axis to where it pulls, :math:`l`. [mm]

    Returns
    -------
    float
        Torque :math:`M`. [N m]

    Raises
    ------
    OutOfRangeError
        If an argument is not above 0.

    References
    ----------
    Statics; standard gravity, 9.80665 m/s2.

    Examples
    --------
    >>> round(weighed_torque_nm(2.0, arm_mm=250.0), 1)
    4.9
    """
    require_positive("mass_kg", mass_kg, unit="kg")
    require_positive("arm_mm", arm_mm, unit="mm")
    return mass_kg * STANDARD_GRAVITY_M_S2 * arm_mm / MM_PER_M


def slip_torque_elsewhere_nm(
    tried_nm: float,
    *,
    tried_pulley_dia_mm: float,
    pulley_dia_mm: float,
    tried_back_gear: float = 1.0,
    back_gear: float = 1.0,
) -> float:
    r"""Torque at which the belt slips in another position, from one position in which that was tried.

    .. math:: M_2 = M_1\,\frac{D_2\,i_2}{D_1\,i_1}

    Parameters
    ----------
    tried_nm : float
        Torque at the spindle at which the belt slipped, :math:`M_1`. [N m]
    tried_pulley_dia_mm : float
        Step of the spindle's pulley in that trial, :math:`D_1`. [mm]
    pulley_dia_mm : float
        Step of the spindle's pulley in the other position, :math:`D_2`. [mm]
    tried_back_gear : float
        How many times slower the back gear made the spindle in the trial, :math:`i_1`; 1 without.
    back_gear : float
        The same in the other position, :math:`i_2`.

    Returns
    -------
    float
        Torque at the spindle at which the belt slips there, :math:`M_2`. [N m]

    Raises
    ------
    OutOfRangeError
        If torque or a diameter is not above 0, or a back gear not within 1 to 100.

    Notes
    -----
    The belt is as tight in both and slips at the same pull. It holds less where it lies round less of its smaller
    pulley: try the position with the smallest driving step if you try only one.

    References
    ----------
    Statics.

    Examples
    --------
    >>> round(slip_torque_elsewhere_nm(5.0, tried_pulley_dia_mm=80.0, pulley_dia_mm=120.0, back_gear=6.0), 1)
    45.0
    """
    require_positive("tried_nm", tried_nm, unit="N m")
    require_positive("tried_pulley_dia_mm", tried_pulley_dia_mm, unit="mm")
    require_positive("pulley_dia_mm", pulley_dia_mm, unit="mm")
    for name, gear in (("tried_back_gear", tried_back_gear), ("back_gear", back_gear)):
        require_within(name, gear, low=1.0, high=MOST_REDUCTION, unit="times")
    return tried_nm * (pulley_dia_mm * back_gear) / (tried_pulley_dia_mm * tried_back_gear)
