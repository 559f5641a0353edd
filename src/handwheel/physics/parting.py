"""Parting off: force on the blade, its reach, the time it takes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec.structs import replace

from handwheel.domain.errors import OutOfRangeError, require_positive, require_within
from handwheel.physics.force import ForceFactors, Process, force_band
from handwheel.physics.speed import facing_time_s

if TYPE_CHECKING:
    from collections.abc import Sequence

    from handwheel.physics.force import ForceEstimate, ForceOpinion

MOST_REACH_IN_WIDTHS = 8.0
"""Longest reach of a blade in its own widths: common practice, no source [COMMON]."""


def parting_force_band(
    opinions: Sequence[ForceOpinion],
    *,
    blade_width_mm: float,
    feed_mm_rev: float,
    factors: ForceFactors | None = None,
) -> ForceEstimate:
    r"""Range of the cutting force on a parting or grooving blade.

    .. math:: F_c = 1.3\,k_c\,w\,f, \qquad h = f, \; b = w

    Parameters
    ----------
    opinions : sequence of ForceOpinion
        n opinions, at least one.
    blade_width_mm : float
        Width of the blade, :math:`w`. [mm]
    feed_mm_rev : float
        Feed on the radius, :math:`f`. [mm/rev]
    factors : ForceFactors, optional
        Corrections for rake, speed and wear; the factor for the process is set to that of parting.

    Returns
    -------
    ForceEstimate
        Least and greatest force; the push of the blade is 0.3 to 0.5 of it.

    Raises
    ------
    OutOfRangeError
        If there is no opinion, or width or feed is not above 0.

    References
    ----------
    [DIETRICH], from memory, for the factor 1.3.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> c45 = SimpleNamespace(kc_low_n_mm2=1500.0, kc_high_n_mm2=2220.0, mc=0.14, feed_factors=())
    >>> round(parting_force_band((c45,), blade_width_mm=2.0, feed_mm_rev=0.05).ruling_n)
    439
    """
    require_positive("blade_width_mm", blade_width_mm, unit="mm")
    parting = replace(factors or ForceFactors(), process=Process.PARTING.factor)
    return force_band(opinions, depth_mm=blade_width_mm, feed_mm_rev=feed_mm_rev, factors=parting)


def parting_time_s(outer_dia_mm: float, *, bore_dia_mm: float, feed_mm_rev: float, speed_rpm: float) -> float:
    r"""Time of parting at constant spindle speed, from the outside to the bore or the centre.

    .. math:: t = 60\,(D - d) / (2\,f\,n)

    Parameters
    ----------
    outer_dia_mm : float
        Outside diameter, :math:`D`. [mm]
    bore_dia_mm : float
        Bore into which the blade breaks, :math:`d`; 0 for a solid bar. [mm]
    feed_mm_rev : float
        Feed on the radius, :math:`f`. [mm/rev]
    speed_rpm : float
        Spindle speed, :math:`n`. [rev/min]

    Returns
    -------
    float
        Time :math:`t`, cutting only. [s]

    Raises
    ------
    OutOfRangeError
        As `handwheel.physics.speed.facing_time_s`.

    References
    ----------
    [SHARMA] Example 4.13, p. 220, for the same path in facing.

    Examples
    --------
    >>> parting_time_s(22.0, bore_dia_mm=18.0, feed_mm_rev=0.05, speed_rpm=240.0)
    10.0
    """
    return facing_time_s(outer_dia_mm, inner_dia_mm=bore_dia_mm, feed_mm_rev=feed_mm_rev, speed_rpm=speed_rpm)


def blade_reach_mm(outer_dia_mm: float, *, bore_dia_mm: float, margin_mm: float) -> float:
    r"""Length of blade that must stand out to part from the outside to the bore.

    .. math:: L = (D - d)/2 + m

    Parameters
    ----------
    outer_dia_mm : float
        Outside diameter, :math:`D`. [mm]
    bore_dia_mm : float
        Bore, :math:`d`; 0 for a solid bar. [mm]
    margin_mm : float
        Play before the work and travel beyond the wall, :math:`m`. [mm]

    Returns
    -------
    float
        Reach :math:`L`. [mm]

    Raises
    ------
    OutOfRangeError
        If the outside is not above 0, the bore negative or not the smaller, or the margin negative.

    References
    ----------
    Geometry.

    Examples
    --------
    >>> blade_reach_mm(22.0, bore_dia_mm=18.0, margin_mm=2.5)
    4.5
    """
    require_positive("outer_dia_mm", outer_dia_mm, unit="mm")
    require_within("margin_mm", margin_mm, low=0.0, high=outer_dia_mm, unit="mm")
    if not 0 <= bore_dia_mm < outer_dia_mm:
        msg = (
            f"bore_dia_mm: got {bore_dia_mm:g} mm, must be 0 or more and below the outside of {outer_dia_mm:g} mm; "
            "check them, and that both are diameters"
        )
        raise OutOfRangeError(msg)
    return (outer_dia_mm - bore_dia_mm) / 2 + margin_mm


def reach_in_widths(reach_mm: float, *, blade_width_mm: float) -> float:
    r"""Slenderness of a blade: its reach in its own widths.

    .. math:: s = L / w

    Parameters
    ----------
    reach_mm : float
        Reach, :math:`L`. [mm]
    blade_width_mm : float
        Width, :math:`w`. [mm]

    Returns
    -------
    float
        Slenderness :math:`s`; above `MOST_REACH_IN_WIDTHS` the blade wanders.

    Raises
    ------
    OutOfRangeError
        If either is not above 0.

    References
    ----------
    Common practice, no source [COMMON].

    Examples
    --------
    >>> reach_in_widths(12.0, blade_width_mm=2.0)
    6.0
    """
    require_positive("reach_mm", reach_mm, unit="mm")
    require_positive("blade_width_mm", blade_width_mm, unit="mm")
    return reach_mm / blade_width_mm
