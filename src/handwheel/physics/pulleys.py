"""Spindle speeds from motor, pulleys and belt: about right, with the range in which they lie."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from handwheel.domain.errors import OutOfRangeError, require_positive

SOURCE_SHARE = 1.0
"""Share of a V-belt's nominal size that comes off the outside diameter to give the pitch diameter, by the page that
practice case PC-09 goes back to."""
PRACTICE_SHARE = 2.0 / 3.0
"""The same by workshop practice (PC-09: about 0.25 in for a 3/8 in belt); common practice, no source."""
NOTHING = 0.0
"""Share for the outside diameters themselves, which is what a quick sum takes."""


class SpeedRange(NamedTuple):
    """A worked-out speed and the range in which it lies. [rev/min]"""

    low_rpm: float
    about_rpm: float
    high_rpm: float


def pitch_dia_mm(outside_dia_mm: float, *, taken_off_mm: float) -> float:
    r"""Diameter at which a belt runs on a pulley.

    .. math:: d_p = d_o - b

    Parameters
    ----------
    outside_dia_mm : float
        Diameter over the rim, :math:`d_o`. [mm]
    taken_off_mm : float
        What the belt lies deeper than the rim, both sides together, :math:`b`; below 0 for a flat belt, whose middle
        lies half its thickness outside the rim on either side. [mm]

    Returns
    -------
    float
        Pitch diameter. [mm]

    Raises
    ------
    OutOfRangeError
        If the diameter is not above 0, or nothing is left of it.

    References
    ----------
    Geometry; practice case PC-09.

    Examples
    --------
    >>> round(pitch_dia_mm(63.5, taken_off_mm=6.35), 2)
    57.15
    """
    require_positive("outside_dia_mm", outside_dia_mm, unit="mm")
    pitch = outside_dia_mm - taken_off_mm
    if pitch <= 0:
        msg = (
            f"outside_dia_mm: a pulley of {outside_dia_mm:g} mm has nothing left after {taken_off_mm:g} mm "
            "for the belt; check the size of the belt"
        )
        raise OutOfRangeError(msg)
    return pitch


def driven_rpm(motor_rpm: float, pulleys_mm: Sequence[tuple[float, float]], *, taken_off_mm: float = 0.0) -> float:
    r"""Speed of the last shaft of a train of belts.

    .. math:: n = n_m \prod_i d_{p,i} / D_{p,i}

    Parameters
    ----------
    motor_rpm : float
        Speed of the motor under load, as its plate says, :math:`n_m`. [rev/min]
    pulleys_mm : sequence
        Driving and driven outside diameter of each belt, motor first, shape (n, 2). [mm]
    taken_off_mm : float
        What comes off every outside diameter for the pitch, see `pitch_dia_mm`. [mm]

    Returns
    -------
    float
        Speed without slip; a belt that slips makes it slower. [rev/min]

    Raises
    ------
    OutOfRangeError
        If the motor stands still or a pulley has nothing left.

    References
    ----------
    Geometry; practice case PC-09.

    Examples
    --------
    >>> round(driven_rpm(1725.0, [(63.5, 203.2), (76.2, 127.0)], taken_off_mm=6.35))
    290
    """
    require_positive("motor_rpm", motor_rpm, unit="rev/min")
    speed = motor_rpm
    for driving, driven in pulleys_mm:
        speed *= pitch_dia_mm(driving, taken_off_mm=taken_off_mm) / pitch_dia_mm(driven, taken_off_mm=taken_off_mm)
    return speed


def v_belt_rpm(motor_rpm: float, pulleys_mm: Sequence[tuple[float, float]], *, belt_mm: float) -> SpeedRange:
    r"""Speed by V-belts: two thirds of the belt taken off, and the range from nothing to the whole of it.

    .. math:: n(s) = n_m \prod_i (d_i - s\,b) / (D_i - s\,b), \qquad s = 0,\ 2/3,\ 1

    Parameters
    ----------
    motor_rpm : float
        Speed of the motor under load. [rev/min]
    pulleys_mm : sequence
        Driving and driven outside diameter of each belt, motor first, shape (n, 2). [mm]
    belt_mm : float
        Nominal size of the belt, its width across the top, :math:`b`. [mm]

    Returns
    -------
    SpeedRange
        Slowest, about, fastest.

    Raises
    ------
    OutOfRangeError
        As `driven_rpm`, or if the belt has no size.

    References
    ----------
    Practice case PC-09; two thirds is workshop practice, [COMMON].

    Examples
    --------
    >>> [round(n) for n in v_belt_rpm(1725.0, [(63.5, 203.2), (76.2, 127.0)], belt_mm=9.525)]
    [273, 290, 323]
    """
    require_positive("belt_mm", belt_mm, unit="mm")
    speeds = [
        driven_rpm(motor_rpm, pulleys_mm, taken_off_mm=share * belt_mm)
        for share in (NOTHING, PRACTICE_SHARE, SOURCE_SHARE)
    ]
    return SpeedRange(min(speeds), speeds[1], max(speeds))


def flat_belt_rpm(motor_rpm: float, pulleys_mm: Sequence[tuple[float, float]], *, thickness_mm: float) -> SpeedRange:
    r"""Speed by flat belts: the belt's thickness added to each diameter, and the range down to nothing added.

    .. math:: n = n_m \prod_i (d_i + t) / (D_i + t)

    Parameters
    ----------
    motor_rpm : float
        Speed of the motor under load. [rev/min]
    pulleys_mm : sequence
        Driving and driven outside diameter of each belt, motor first, shape (n, 2). [mm]
    thickness_mm : float
        Thickness of the belt, :math:`t`. [mm]

    Returns
    -------
    SpeedRange
        Slowest, about, fastest.

    Raises
    ------
    OutOfRangeError
        As `driven_rpm`, or if the belt has no thickness.

    References
    ----------
    Practice case PC-09.

    Examples
    --------
    >>> [round(n) for n in flat_belt_rpm(960.0, [(100.0, 300.0)], thickness_mm=5.0)]
    [320, 330, 330]
    """
    require_positive("thickness_mm", thickness_mm, unit="mm")
    bare, about = (driven_rpm(motor_rpm, pulleys_mm, taken_off_mm=-added) for added in (0.0, thickness_mm))
    return SpeedRange(min(bare, about), about, max(bare, about))
