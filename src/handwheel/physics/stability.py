"""Regenerative chatter: the width of cut that is stable at any speed, one flexible mode."""

from __future__ import annotations

from handwheel.domain.errors import require_positive, require_within


def stable_width_mm(
    stiffness_n_um: float, *, damping_ratio: float, kc_n_mm2: float, direction_factor: float = 1.0
) -> float:
    r"""Width of cut below which regenerative chatter cannot grow, whatever the speed.

    .. math:: b_{lim} = 2\,k\,\zeta\,(1 + \zeta) / (K_s\,\mu)

    Parameters
    ----------
    stiffness_n_um : float
        Static stiffness of the flexible side, :math:`k`. [N/µm]
    damping_ratio : float
        Damping ratio, :math:`\zeta`. [1]
    kc_n_mm2 : float
        Specific cutting force at the working chip thickness, :math:`K_s`. [N/mm²]
    direction_factor : float
        Directional factor, :math:`\mu`; 1 is the safe side. [1]

    Returns
    -------
    float
        Width of cut :math:`b_{lim}`. [mm]

    Raises
    ------
    OutOfRangeError
        If an argument is not above 0, or the damping ratio is not below 1.

    Notes
    -----
    One mode, linear. Below about 40 m/min process damping lifts the real limit (not modelled), so on a manual
    lathe the figure is on the safe side.

    References
    ----------
    [ALTINTAS] regenerative chatter, absolute stability limit; from memory of that chapter.

    Examples
    --------
    >>> round(stable_width_mm(20.0, damping_ratio=0.03, kc_n_mm2=2000.0), 2)
    0.62
    """
    require_positive("stiffness_n_um", stiffness_n_um, unit="N/µm")
    require_within("damping_ratio", damping_ratio, low=1e-4, high=0.99, unit="1")
    require_positive("kc_n_mm2", kc_n_mm2, unit="N/mm²")
    require_positive("direction_factor", direction_factor, unit="1")
    return 2.0 * stiffness_n_um * 1000.0 * damping_ratio * (1.0 + damping_ratio) / (kc_n_mm2 * direction_factor)
