"""Regenerative chatter: the width of cut that is stable at any speed, one flexible mode."""

from __future__ import annotations

from handwheel.domain.errors import require_positive, require_within

DIRECTION_FACTOR = 0.5
"""Directional factor of the chatter limit, inside 0.3 to 1 (from memory of Altintas): the safe end, 1, would forbid
cuts that every small lathe makes, because below about 40 m/min process damping lifts the limit."""
TOOL_DAMPING = 0.03
"""Damping ratio of toolpost and spindle; middle of 0.02 to 0.05 (from memory of Altintas)."""
BAR_DAMPING = 0.02
"""Damping ratio of a plain steel boring bar; upper end of 0.01 to 0.02 (from memory of Altintas)."""


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


def quiet_depth_mm(stiffness_n_um: float, *, damping_ratio: float, kc_n_mm2: float) -> float:
    """Depth of a cut below which a manual lathe does not chatter: `stable_width_mm` with its directional factor.

    Parameters
    ----------
    stiffness_n_um : float
        Static stiffness of the flexible side. [N/µm]
    damping_ratio : float
        `TOOL_DAMPING` or, for a boring bar, `BAR_DAMPING`. [1]
    kc_n_mm2 : float
        Specific cutting force of a sharp edge at the working chip thickness. [N/mm²]

    Returns
    -------
    float
        Depth. [mm]

    Raises
    ------
    OutOfRangeError
        As `stable_width_mm`.

    Notes
    -----
    `DIRECTION_FACTOR` is a choice between two ends of a range; decision 0007 says why.

    References
    ----------
    [ALTINTAS] regenerative chatter, absolute stability limit; from memory of that chapter.

    Examples
    --------
    >>> round(quiet_depth_mm(20.0, damping_ratio=TOOL_DAMPING, kc_n_mm2=2000.0), 2)
    1.24
    """
    return stable_width_mm(
        stiffness_n_um, damping_ratio=damping_ratio, kc_n_mm2=kc_n_mm2, direction_factor=DIRECTION_FACTOR
    )


def in_series_n_um(first_n_um: float, second_n_um: float) -> float:
    r"""Stiffness of two springs that carry the same force, one after the other.

    .. math:: 1/k = 1/k_1 + 1/k_2

    Parameters
    ----------
    first_n_um, second_n_um : float
        Stiffness of each. [N/µm]

    Returns
    -------
    float
        Stiffness of both together. [N/µm]

    Raises
    ------
    OutOfRangeError
        If a stiffness is not above 0.

    References
    ----------
    Statics.

    Examples
    --------
    >>> in_series_n_um(12.0, 6.0)
    4.0
    """
    require_positive("first_n_um", first_n_um, unit="N/µm")
    require_positive("second_n_um", second_n_um, unit="N/µm")
    return 1.0 / (1.0 / first_n_um + 1.0 / second_n_um)
