"""Tightening of bolts and nuts: preload, the torque for it by a nut factor, and the turn that makes the same."""

from __future__ import annotations

from handwheel.domain.errors import require_positive, require_within

USUAL_NUT_FACTOR = 0.2
"""Nut factor of plain steel bolts as [WENTZELL] Example 6.1 takes it; oil or plating lowers it by an amount that the
sources here do not give."""
_MM_PER_M = 1000.0
_LEAST_NUT_FACTOR, _MOST_NUT_FACTOR = 0.05, 0.5
"""Factors that are let in, so that a slip of the point is seen; a bound of this program, no source."""


def bolt_preload_n(stress_area_mm2: float, *, proof_n_mm2: float, share: float) -> float:
    r"""Preload of a bolt as a share of the load that it bears without staying longer.

    .. math:: F_i = s\,A_s\,S_p

    Parameters
    ----------
    stress_area_mm2 : float
        Stress area of the thread, :math:`A_s`. [mm2]
    proof_n_mm2 : float
        Proof stress of the bolt, :math:`S_p`. [N/mm2]
    share : float
        Share of it, :math:`s`; 0.85 in the source.

    Returns
    -------
    float
        Preload :math:`F_i`. [N]

    Raises
    ------
    OutOfRangeError
        If area or stress is not above 0, or the share outside 0.01 to 1.

    References
    ----------
    [WENTZELL] Example 6.1, p. 120.

    Examples
    --------
    >>> round(bolt_preload_n(36.6, proof_n_mm2=600.0, share=0.85))
    18666
    """
    require_positive("stress_area_mm2", stress_area_mm2, unit="mm2")
    require_positive("proof_n_mm2", proof_n_mm2, unit="N/mm2")
    require_within("share", share, low=0.01, high=1.0, unit="(share)")
    return share * stress_area_mm2 * proof_n_mm2


def tightening_torque_nm(preload_n: float, *, dia_mm: float, nut_factor: float = USUAL_NUT_FACTOR) -> float:
    r"""Torque that brings a bolt to its preload, all friction in one factor.

    .. math:: M = K\,d\,F_i

    Parameters
    ----------
    preload_n : float
        Preload wanted, :math:`F_i`. [N]
    dia_mm : float
        Nominal diameter of the thread, :math:`d`. [mm]
    nut_factor : float
        Nut factor, :math:`K`.

    Returns
    -------
    float
        Torque :math:`M`. [N m]

    Raises
    ------
    OutOfRangeError
        If preload or diameter is not above 0, or the factor outside 0.05 to 0.5.

    Notes
    -----
    `handwheel.physics.screw.raising_torque_nm` says the same in full: thread and face apart. One factor for both is
    coarse, and the preload that a torque makes scatters with the friction.

    References
    ----------
    [WENTZELL] Example 6.1, p. 120.

    Examples
    --------
    >>> round(tightening_torque_nm(10_000.0, dia_mm=8.0), 1)
    16.0
    """
    require_positive("preload_n", preload_n, unit="N")
    _require_nut(dia_mm, nut_factor)
    return nut_factor * dia_mm * preload_n / _MM_PER_M


def preload_of_torque_n(torque_nm: float, *, dia_mm: float, nut_factor: float = USUAL_NUT_FACTOR) -> float:
    r"""Preload that a torque makes, all friction in one factor.

    .. math:: F_i = M / (K\,d)

    Parameters
    ----------
    torque_nm : float
        Torque on nut or head, :math:`M`. [N m]
    dia_mm : float
        Nominal diameter of the thread, :math:`d`. [mm]
    nut_factor : float
        Nut factor, :math:`K`; a higher one errs low.

    Returns
    -------
    float
        Preload :math:`F_i`: of the nut of a spigot, the bolt of a tool post, a soft jaw on its master jaw. [N]

    Raises
    ------
    OutOfRangeError
        If torque or diameter is not above 0, or the factor outside 0.05 to 0.5.

    References
    ----------
    `tightening_torque_nm` solved for the preload.

    Examples
    --------
    >>> round(preload_of_torque_n(16.0, dia_mm=8.0))
    10000
    """
    require_positive("torque_nm", torque_nm, unit="N m")
    _require_nut(dia_mm, nut_factor)
    return torque_nm * _MM_PER_M / (nut_factor * dia_mm)


def turn_of_nut_deg(
    preload_n: float, *, length_mm: float, stress_area_mm2: float, e_n_mm2: float, pitch_mm: float
) -> float:
    r"""Turn of a nut from where it bears that stretches its bolt to a preload.

    .. math:: \theta = \frac{360^\circ}{p}\,\frac{F_i L}{A_s E}

    Parameters
    ----------
    preload_n : float
        Preload wanted, :math:`F_i`. [N]
    length_mm : float
        Length of bolt that is stretched, :math:`L`. [mm]
    stress_area_mm2 : float
        Stress area of the thread, :math:`A_s`, all along it. [mm2]
    e_n_mm2 : float
        Modulus of elasticity, :math:`E`. [N/mm2]
    pitch_mm : float
        Pitch of a single thread, :math:`p`. [mm]

    Returns
    -------
    float
        Turn :math:`\theta`. [deg]

    Raises
    ------
    OutOfRangeError
        If an argument is not above 0.

    Notes
    -----
    Friction does not come in; what lies between head and nut is taken as rigid, so a soft packing needs more turn. The
    turn counts from where all gaps are closed, which a hand must judge.

    References
    ----------
    [WENTZELL] Example 6.2, p. 121.

    Examples
    --------
    >>> round(turn_of_nut_deg(10_000.0, length_mm=40.0, stress_area_mm2=36.6, e_n_mm2=210e3, pitch_mm=1.25), 1)
    15.0
    """
    require_positive("preload_n", preload_n, unit="N")
    require_positive("length_mm", length_mm, unit="mm")
    require_positive("stress_area_mm2", stress_area_mm2, unit="mm2")
    require_positive("e_n_mm2", e_n_mm2, unit="N/mm2")
    require_positive("pitch_mm", pitch_mm, unit="mm")
    return 360.0 * preload_n * length_mm / (stress_area_mm2 * e_n_mm2 * pitch_mm)


def _require_nut(dia_mm: float, nut_factor: float) -> None:
    require_positive("dia_mm", dia_mm, unit="mm")
    require_within("nut_factor", nut_factor, low=_LEAST_NUT_FACTOR, high=_MOST_NUT_FACTOR, unit="(factor)")
