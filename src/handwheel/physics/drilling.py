"""Thrust and torque of twist drills, into the full and into a hole already there."""

from __future__ import annotations

from math import radians, sin, tan
from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.domain.choice import Choice
from handwheel.domain.errors import OutOfRangeError, require_positive, require_within
from handwheel.physics.force import WEAR_FACTOR, Process, kienzle_specific_force_n_mm2

if TYPE_CHECKING:
    from collections.abc import Sequence

    from handwheel.physics.force import ForceOpinion

STANDARD_POINT_ANGLE_DEG = 118.0
"""Included angle of a standard twist drill's point."""

_THRUST_N = 0.05
_CHISEL_N = 0.007
_TORQUE_NM = 0.000025
_MM_PER_M = 1000.0


class DrillPoint(Choice):
    """Grind of the point, which settles the length of the chisel edge."""

    STANDARD = "standard"
    SPLIT = "split"


class _ChiselFactors(Struct, frozen=True, kw_only=True):
    torque: float
    thrust: float
    centre: float


_CHISEL = {
    DrillPoint.STANDARD: _ChiselFactors(torque=1.085, thrust=1.355, centre=0.030),
    DrillPoint.SPLIT: _ChiselFactors(torque=1.000, thrust=1.100, centre=0.001),
}
"""Chisel edge over diameter 0.18 and 0.03 [MH31], p. 1152 (opened)."""

_NO_CHISEL = _ChiselFactors(torque=1.0, thrust=1.0, centre=0.0)


def shaw_oxford_thrust_n(
    drill_dia_mm: float,
    *,
    feed_mm_rev: float,
    work_constant: float,
    point: DrillPoint = DrillPoint.STANDARD,
    hole_dia_mm: float = 0.0,
    wear: float = 1.0,
) -> float:
    r"""Push that a drill needs along its axis.

    .. math:: T = 0.05\,K_d f^{0.8} d^{0.8} B\,W + 0.007\,K_d d^2 J\,W

    Parameters
    ----------
    drill_dia_mm : float
        Diameter of the drill, :math:`d`. [mm]
    feed_mm_rev : float
        Feed, :math:`f`. [mm/rev]
    work_constant : float
        Constant of the work metal, :math:`K_d`; the same number serves metric and inch forms.
    point : DrillPoint
        Standard or split point, which sets :math:`B` and :math:`J`.
    hole_dia_mm : float
        Hole already there, 0 for none; it takes the chisel edge out of the cut. [mm]
    wear : float
        Factor :math:`W`: 1 for a sharp drill, 1.3 for normal wear.

    Returns
    -------
    float
        Thrust :math:`T`. [N]

    Raises
    ------
    OutOfRangeError
        If a size is not above 0, the hole not smaller than the drill, or the wear outside 1 to 2.

    Notes
    -----
    With a hole the chisel term is left out and the lip term falls with the length of lip in the cut (geometry, of
    this project; the outer part of a lip has the better rake, so this errs on the high side).

    References
    ----------
    [MH31] p. 1152, after Shaw and Oxford (opened); table of K_d from memory.

    Examples
    --------
    >>> round(shaw_oxford_thrust_n(8.0, feed_mm_rev=0.12, work_constant=24000.0))
    1896
    """
    chisel = _chisel(point, drill_dia_mm=drill_dia_mm, hole_dia_mm=hole_dia_mm)
    _require_drill(feed_mm_rev=feed_mm_rev, work_constant=work_constant, wear=wear)
    lip_share = 1.0 - hole_dia_mm / drill_dia_mm
    lips = _THRUST_N * float(feed_mm_rev**0.8) * float(drill_dia_mm**0.8) * chisel.thrust * lip_share
    return work_constant * wear * (lips + _CHISEL_N * drill_dia_mm**2 * chisel.centre)


def shaw_oxford_torque_nm(
    drill_dia_mm: float,
    *,
    feed_mm_rev: float,
    work_constant: float,
    point: DrillPoint = DrillPoint.STANDARD,
    hole_dia_mm: float = 0.0,
    wear: float = 1.0,
) -> float:
    r"""Torque that a drill needs.

    .. math:: M = 0.000025\,K_d f^{0.8} d^{1.8} A\,W \left(1 - (D_0/d)^2\right)

    Parameters
    ----------
    drill_dia_mm : float
        Diameter of the drill, :math:`d`. [mm]
    feed_mm_rev : float
        Feed, :math:`f`. [mm/rev]
    work_constant : float
        Constant of the work metal, :math:`K_d`.
    point : DrillPoint
        Standard or split point, which sets :math:`A`.
    hole_dia_mm : float
        Hole already there, :math:`D_0`, 0 for none. [mm]
    wear : float
        Factor :math:`W`: 1 for a sharp drill, 1.3 for normal wear.

    Returns
    -------
    float
        Torque :math:`M`. [N m]

    Raises
    ------
    OutOfRangeError
        If a size is not above 0, the hole not smaller than the drill, or the wear outside 1 to 2.

    Notes
    -----
    The last bracket is geometry: force per width of lip taken as even.

    References
    ----------
    [MH31] p. 1152, after Shaw and Oxford (opened); table of K_d from memory.

    Examples
    --------
    >>> round(shaw_oxford_torque_nm(8.0, feed_mm_rev=0.12, work_constant=24000.0), 1)
    5.0
    """
    chisel = _chisel(point, drill_dia_mm=drill_dia_mm, hole_dia_mm=hole_dia_mm)
    _require_drill(feed_mm_rev=feed_mm_rev, work_constant=work_constant, wear=wear)
    full = _TORQUE_NM * work_constant * float(feed_mm_rev**0.8) * float(drill_dia_mm**1.8) * chisel.torque * wear
    return full * (1.0 - (hole_dia_mm / drill_dia_mm) ** 2)


def kienzle_drill_torque_nm(
    drill_dia_mm: float,
    *,
    feed_mm_rev: float,
    kc11_n_mm2: float,
    mc: float,
    point_angle_deg: float = STANDARD_POINT_ANGLE_DEG,
    hole_dia_mm: float = 0.0,
) -> float:
    r"""Torque of a two-lip drill by Kienzle's law, sharp and uncorrected.

    .. math:: M = k_c f (d^2 - D_0^2) / 8000, \qquad h = (f/2) \sin(\sigma/2)

    Parameters
    ----------
    drill_dia_mm : float
        Diameter of the drill, :math:`d`. [mm]
    feed_mm_rev : float
        Feed, :math:`f`, half of it for each lip. [mm/rev]
    kc11_n_mm2 : float
        Specific force at chip thickness and width 1 mm. [N/mm2]
    mc : float
        Exponent of the chip thickness.
    point_angle_deg : float
        Included angle of the point, :math:`\sigma`. [deg]
    hole_dia_mm : float
        Hole already there, :math:`D_0`, 0 for none. [mm]

    Returns
    -------
    float
        Torque :math:`M`; multiply by 1.2 for drilling and 1.3 for wear. [N m]

    Raises
    ------
    OutOfRangeError
        If a size is not above 0, the hole not smaller than the drill, or the angle outside 60 to 180 degrees.

    Notes
    -----
    The force of a lip acts in the middle of its cut. The chisel edge is left out.

    References
    ----------
    [DRILL_EXERCISES], opened: force at d/4, area d f / 4, h = f/2 sin(sigma/2).

    Examples
    --------
    >>> round(kienzle_drill_torque_nm(8.0, feed_mm_rev=0.12, kc11_n_mm2=2220.0, mc=0.14), 1)
    3.2
    """
    _require_hole(drill_dia_mm=drill_dia_mm, hole_dia_mm=hole_dia_mm)
    require_positive("feed_mm_rev", feed_mm_rev, unit="mm/rev")
    require_within("point_angle_deg", point_angle_deg, low=60.0, high=180.0, unit="deg")
    thickness_mm = feed_mm_rev / 2 * sin(radians(point_angle_deg / 2))
    kc = kienzle_specific_force_n_mm2(thickness_mm, kc11_n_mm2=kc11_n_mm2, mc=mc)
    return kc * feed_mm_rev * (drill_dia_mm**2 - hole_dia_mm**2) / (8 * _MM_PER_M)


def drill_torque_band_nm(
    opinions: Sequence[ForceOpinion],
    *,
    drill_dia_mm: float,
    feed_mm_rev: float,
    hole_dia_mm: float = 0.0,
    work_constant: float | None = None,
    factor: float = 1.0,
) -> tuple[float, float]:
    """Range of the drilling torque over the Kienzle sets and, where its constant is known, the handbook's formula.

    Parameters
    ----------
    opinions : sequence of ForceOpinion
        n opinions; power constants are passed over, for their feed factors are those of turning.
    drill_dia_mm : float
        Diameter of the drill. [mm]
    feed_mm_rev : float
        Feed. [mm/rev]
    hole_dia_mm : float
        Hole already there, 0 for none. [mm]
    work_constant : float, optional
        Constant of the work metal for `shaw_oxford_torque_nm`, if the tables have one.
    factor : float
        Corrections, such as 1.2 for drilling times 1.3 for wear; the handbook's formula gets at most its own wear
        factor of 1.3, since it was made for drills.

    Returns
    -------
    tuple of float
        Least and greatest torque, N m.

    Raises
    ------
    OutOfRangeError
        If there is neither a Kienzle set nor a constant, or a value is out of range.

    References
    ----------
    `kienzle_drill_torque_nm` [DRILL_EXERCISES] and `shaw_oxford_torque_nm` [MH31].

    Examples
    --------
    >>> low, high = drill_torque_band_nm((), drill_dia_mm=8.0, feed_mm_rev=0.12, work_constant=24000.0)
    >>> low == high
    True
    """
    require_within("factor", factor, low=1.0, high=3.0, unit="(factor)")
    torques = [
        factor
        * kienzle_drill_torque_nm(
            drill_dia_mm, feed_mm_rev=feed_mm_rev, kc11_n_mm2=kc, mc=opinion.mc, hole_dia_mm=hole_dia_mm
        )
        for opinion in opinions
        if opinion.mc is not None
        for kc in (opinion.kc_low_n_mm2, opinion.kc_high_n_mm2)
    ]
    if work_constant is not None:
        torques.append(
            shaw_oxford_torque_nm(
                drill_dia_mm,
                feed_mm_rev=feed_mm_rev,
                work_constant=work_constant,
                hole_dia_mm=hole_dia_mm,
                wear=min(factor, 1.3),
            )
        )
    if not torques:
        msg = "opinions: no Kienzle set and no drilling constant; give a kc1.1 and mc of your own with their source"
        raise OutOfRangeError(msg)
    return min(torques), max(torques)


def worn_drill_torque_band_nm(
    opinions: Sequence[ForceOpinion],
    *,
    drill_dia_mm: float,
    hole_dia_mm: float = 0.0,
    feed_mm_rev: float,
    work_constant: float | None = None,
) -> tuple[float, float]:
    """Range of the torque that limits go by: `drill_torque_band_nm` with normal wear. [N m]

    Parameters
    ----------
    opinions : sequence of ForceOpinion
        n opinions; power constants are passed over.
    drill_dia_mm, hole_dia_mm : float
        Diameter of the drill (or reamer), and of the hole already there. [mm]
    feed_mm_rev : float
        Feed. [mm/rev]
    work_constant : float, optional
        Constant of the work metal, if the tables have one.

    Returns
    -------
    tuple of float
        Least and greatest torque, N m.

    Raises
    ------
    OutOfRangeError
        As `drill_torque_band_nm`.

    References
    ----------
    `drill_torque_band_nm` with the factors of drilling and of wear [DIETRICH].

    Examples
    --------
    >>> low, high = worn_drill_torque_band_nm((), drill_dia_mm=8.0, feed_mm_rev=0.12, work_constant=24000.0)
    >>> round(high / shaw_oxford_torque_nm(8.0, feed_mm_rev=0.12, work_constant=24000.0), 6)
    1.3
    """
    return drill_torque_band_nm(
        opinions,
        drill_dia_mm=drill_dia_mm,
        feed_mm_rev=feed_mm_rev,
        hole_dia_mm=hole_dia_mm,
        work_constant=work_constant,
        factor=Process.DRILLING.factor * WEAR_FACTOR,
    )


def push_n(drill_dia_mm: float, *, hole_dia_mm: float = 0.0, feed_mm_rev: float, solid_torque_nm: float) -> float:
    """Push that a drill needs along its axis, from the torque that it would need in the solid.

    Parameters
    ----------
    drill_dia_mm, hole_dia_mm : float
        Diameter of the drill, and of the hole already there; its chisel edge counts only while it has to cut. [mm]
    feed_mm_rev : float
        Feed. [mm/rev]
    solid_torque_nm : float
        Torque in the solid at that feed, all corrections in it. [N m]

    Returns
    -------
    float
        Thrust. [N]

    Raises
    ------
    OutOfRangeError
        As the functions it is built of.

    Notes
    -----
    The constant of the work metal is that which gives the known torque, so that metals without one get a push too.

    References
    ----------
    `shaw_oxford_torque_nm` turned round, and `shaw_oxford_thrust_n` [MH31].

    Examples
    --------
    >>> torque = shaw_oxford_torque_nm(8.0, feed_mm_rev=0.12, work_constant=24000.0)
    >>> round(push_n(8.0, feed_mm_rev=0.12, solid_torque_nm=torque))
    1896
    """
    constant = solid_torque_nm / shaw_oxford_torque_nm(drill_dia_mm, feed_mm_rev=feed_mm_rev, work_constant=1.0)
    return shaw_oxford_thrust_n(drill_dia_mm, feed_mm_rev=feed_mm_rev, work_constant=constant, hole_dia_mm=hole_dia_mm)


def point_length_mm(
    drill_dia_mm: float, *, point_angle_deg: float = STANDARD_POINT_ANGLE_DEG, hole_dia_mm: float = 0.0
) -> float:
    r"""Length of the cone of a drill, by which it must go beyond a full hole.

    .. math:: l = (d - D_0) / (2 \tan(\sigma/2))

    Parameters
    ----------
    drill_dia_mm : float
        Diameter of the drill, :math:`d`. [mm]
    point_angle_deg : float
        Included angle of the point, :math:`\sigma`. [deg]
    hole_dia_mm : float
        Hole already there, :math:`D_0`, 0 for none. [mm]

    Returns
    -------
    float
        Length of the cone that cuts. [mm]

    Raises
    ------
    OutOfRangeError
        If the drill is not above 0, the hole not smaller than it, or the angle outside 60 to 180 degrees.

    References
    ----------
    Geometry; [SHARMA] Example 4.14, p. 221 takes 0.29 d for it.

    Examples
    --------
    >>> round(point_length_mm(10.0), 2)
    3.0
    """
    _require_hole(drill_dia_mm=drill_dia_mm, hole_dia_mm=hole_dia_mm)
    require_within("point_angle_deg", point_angle_deg, low=60.0, high=180.0, unit="deg")
    return (drill_dia_mm - hole_dia_mm) / (2 * tan(radians(point_angle_deg / 2)))


def _chisel(point: DrillPoint, *, drill_dia_mm: float, hole_dia_mm: float) -> _ChiselFactors:
    _require_hole(drill_dia_mm=drill_dia_mm, hole_dia_mm=hole_dia_mm)
    return _NO_CHISEL if hole_dia_mm > 0 else _CHISEL[point]


def _require_hole(*, drill_dia_mm: float, hole_dia_mm: float) -> None:
    require_positive("drill_dia_mm", drill_dia_mm, unit="mm")
    if not 0 <= hole_dia_mm < drill_dia_mm:
        msg = (
            f"hole_dia_mm: got {hole_dia_mm:g} mm, must be 0 or more and below the drill of {drill_dia_mm:g} mm; "
            "a drill no larger than the hole cuts nothing"
        )
        raise OutOfRangeError(msg)


def _require_drill(*, feed_mm_rev: float, work_constant: float, wear: float) -> None:
    require_positive("feed_mm_rev", feed_mm_rev, unit="mm/rev")
    require_positive("work_constant", work_constant, unit="(constant)")
    require_within("wear", wear, low=1.0, high=2.0, unit="(factor)")
