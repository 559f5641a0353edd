"""What bending does to a diameter, and how deep a pass may be so that it stays within the tolerance."""

from __future__ import annotations

from collections.abc import Sequence

from handwheel.domain.errors import require_positive, require_within
from handwheel.physics.force import ForceFactors, ForceOpinion, force_band

ERROR_SHARE = 0.25
"""Share of the tolerance that bending may take in the last cuts; common practice, no source (cutting-models 7)."""
_UM_PER_MM = 1000.0


def radial_error_dia_mm(force_n: float, *, stiffness_n_um: float) -> float:
    r"""Change of a diameter because tool and work give way across it.

    .. math:: \Delta D = 2 F_p / k

    Parameters
    ----------
    force_n : float
        Passive force, square to the surface, :math:`F_p`. [N]
    stiffness_n_um : float
        Stiffness of all that gives way in that direction, :math:`k`; see
        `handwheel.physics.deflection.series_stiffness_n_um`. [N/µm]

    Returns
    -------
    float
        Change :math:`\Delta D`: an outside comes out large, a bore small. [mm]

    Raises
    ------
    OutOfRangeError
        If force or stiffness is not above 0.

    References
    ----------
    Statics.

    Examples
    --------
    >>> radial_error_dia_mm(100.0, stiffness_n_um=10.0)
    0.02
    """
    require_positive("force_n", force_n, unit="N")
    require_positive("stiffness_n_um", stiffness_n_um, unit="N/µm")
    return 2.0 * force_n / (stiffness_n_um * _UM_PER_MM)


def tangential_error_dia_mm(sinking_mm: float, *, cut_dia_mm: float) -> float:
    r"""Change of a diameter because the tip sinks below the centre: of second order.

    .. math:: \Delta D \approx y^2 / (D/2)

    Parameters
    ----------
    sinking_mm : float
        How far the tip sinks, :math:`y`. [mm]
    cut_dia_mm : float
        Diameter, :math:`D`. [mm]

    Returns
    -------
    float
        Change :math:`\Delta D`; outside and bore both come out large by it. [mm]

    Raises
    ------
    OutOfRangeError
        If the diameter is not above 0, or the tip sinks by more than a tenth of it.

    Notes
    -----
    Exact is :math:`\sqrt{D^2 + 4 y^2} - D` (`handwheel.physics.tool_height.dia_off_centre_mm`); within a tenth of the
    diameter the two differ by less than 1 % of the change.

    References
    ----------
    Geometry.

    Examples
    --------
    A tip that sinks by 87 µm on Ø 20 changes it by less than a thousandth:

    >>> round(1000.0 * tangential_error_dia_mm(0.087, cut_dia_mm=20.0), 2)
    0.76
    """
    require_positive("cut_dia_mm", cut_dia_mm, unit="mm")
    require_within("sinking_mm", sinking_mm, low=0.0, high=cut_dia_mm / 10.0, unit="mm")
    return 2.0 * sinking_mm**2 / cut_dia_mm


def straight_force_n(
    tolerance_mm: float, *, stiffness_n_um: float, passive_ratio: float, share: float = ERROR_SHARE
) -> float:
    r"""Greatest cutting force whose bending stays within a share of the tolerance of a diameter.

    .. math:: F_c = \frac{s\,T\,k}{2\,k_p}

    Parameters
    ----------
    tolerance_mm : float
        Width of the tolerance on the diameter, :math:`T`. [mm]
    stiffness_n_um : float
        Stiffness of machine, tool and work in series, :math:`k`. [N/µm]
    passive_ratio : float
        Passive force as a share of the cutting force, :math:`k_p`.
    share : float
        Share of the tolerance that bending may take, :math:`s`.

    Returns
    -------
    float
        Cutting force :math:`F_c`. [N]

    Raises
    ------
    OutOfRangeError
        If an argument is not above 0, or the share above 1.

    References
    ----------
    `radial_error_dia_mm` turned round; the quarter is common practice [COMMON].

    Examples
    --------
    >>> round(straight_force_n(0.033, stiffness_n_um=8.0, passive_ratio=0.4), 1)
    82.5
    """
    require_positive("tolerance_mm", tolerance_mm, unit="mm")
    require_positive("passive_ratio", passive_ratio, unit="(ratio)")
    require_positive("share", share, unit="1")
    require_within("share", share, low=0.0, high=1.0, unit="1")
    return share * tolerance_mm / radial_error_dia_mm(passive_ratio, stiffness_n_um=stiffness_n_um)


def pass_error_dia_mm(
    opinions: Sequence[ForceOpinion],
    *,
    depth_mm: float,
    feed_mm_rev: float,
    passive_ratio: float,
    stiffness_n_um: float,
    factors: ForceFactors | None = None,
) -> float:
    r"""Greatest change of a diameter by bending under one pass.

    .. math:: \Delta D = 2\,k_p F_c(a_p, f) / k

    Parameters
    ----------
    opinions : sequence of ForceOpinion
        n opinions about the metal; the upper end of the force rules.
    depth_mm : float
        Depth of the pass on the radius, :math:`a_p`. [mm]
    feed_mm_rev : float
        Feed, :math:`f`. [mm/rev]
    passive_ratio : float
        Passive force as a share of the cutting force, :math:`k_p`: 0.2 to 0.4, to 1 for a blunt edge or a cut on the
        nose alone.
    stiffness_n_um : float
        Stiffness of machine, tool and work in series, :math:`k`. [N/µm]
    factors : ForceFactors, optional
        Corrections of the force.

    Returns
    -------
    float
        Change :math:`\Delta D`. [mm]

    Raises
    ------
    OutOfRangeError
        If there is no opinion, or a value is out of the range of the functions it is built of.

    Notes
    -----
    Two equal last cuts bend alike: what the first one did is in the reading, so only what is unlike between them is
    left. This is the whole of it, as for a single cut set by the dial.

    References
    ----------
    `handwheel.physics.force.force_band` [DIETRICH]; ratio [TEXTBOOKS], from memory; statics.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> c45 = SimpleNamespace(kc_low_n_mm2=1500.0, kc_high_n_mm2=2220.0, mc=0.14, feed_factors=())
    >>> cut = {"feed_mm_rev": 0.1, "passive_ratio": 0.4, "stiffness_n_um": 8.0}
    >>> round(pass_error_dia_mm((c45,), depth_mm=0.125, **cut), 4)
    0.0038
    """
    band = force_band(opinions, depth_mm=depth_mm, feed_mm_rev=feed_mm_rev, factors=factors)
    require_positive("passive_ratio", passive_ratio, unit="(ratio)")
    return radial_error_dia_mm(passive_ratio * band.ruling_n, stiffness_n_um=stiffness_n_um)


def deepest_pass_mm(
    opinions: Sequence[ForceOpinion],
    *,
    tolerance_mm: float,
    feed_mm_rev: float,
    passive_ratio: float,
    stiffness_n_um: float,
    share: float = ERROR_SHARE,
    factors: ForceFactors | None = None,
) -> float:
    r"""Deepest pass whose bending stays within a share of the tolerance.

    .. math:: a_p = \frac{s\,T\,k}{2\,k_p\,F_1}, \qquad F_1 = F_c(a_p = 1\,\mathrm{mm})

    Parameters
    ----------
    opinions : sequence of ForceOpinion
        n opinions about the metal; the upper end of the force rules.
    tolerance_mm : float
        Width of the tolerance on the diameter, :math:`T`. [mm]
    feed_mm_rev : float
        Feed, :math:`f`. [mm/rev]
    passive_ratio : float
        Passive force as a share of the cutting force, :math:`k_p`.
    stiffness_n_um : float
        Stiffness of machine, tool and work in series, :math:`k`. [N/µm]
    share : float
        Share of the tolerance that bending may take, :math:`s`.
    factors : ForceFactors, optional
        Corrections of the force.

    Returns
    -------
    float
        Depth on the radius :math:`a_p`; it may lie below the least cut of the metal, and then none will do. [mm]

    Raises
    ------
    OutOfRangeError
        If there is no opinion, or a value is out of the range of the functions it is built of.

    Notes
    -----
    In closed form, for every opinion's force is in proportion to depth at one feed.

    References
    ----------
    As `pass_error_dia_mm`; the quarter is common practice [COMMON].

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> c45 = SimpleNamespace(kc_low_n_mm2=1500.0, kc_high_n_mm2=2220.0, mc=0.14, feed_factors=())
    >>> cut = {"feed_mm_rev": 0.1, "passive_ratio": 0.4, "stiffness_n_um": 8.0}
    >>> round(deepest_pass_mm((c45,), tolerance_mm=0.033, **cut), 2)
    0.27
    """
    straight = straight_force_n(tolerance_mm, stiffness_n_um=stiffness_n_um, passive_ratio=passive_ratio, share=share)
    return straight / force_band(opinions, depth_mm=1.0, feed_mm_rev=feed_mm_rev, factors=factors).ruling_n
