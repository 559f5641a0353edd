"""The speed at which a bar that stands out behind the spindle begins to whirl."""

from __future__ import annotations

from math import pi, sqrt

from handwheel.domain.errors import require_positive

FIRST_MODE = 3.516
"""Square of 1.8751, the first root of cos x cosh x = -1: a bar held at one end [DEN_HARTOG], from memory."""
SAFE_SHARE = 0.5
"""Share of the whirling speed at which an unsupported bar may run; common practice, no source.

A bar bent by e runs out by e / (1 - (n / nc)²): by a third more at half the whirling speed, by more than double at
three quarters of it.
"""


def whirl_speed_rpm(
    length_mm: float, *, e_n_mm2: float, moment_mm4: float, section_mm2: float, density_g_cm3: float
) -> float:
    r"""Whirling speed of a uniform bar held at one end, free at the other.

    .. math:: n_c = \frac{30}{\pi}\,\frac{3.516}{L^2}\sqrt{\frac{E I}{\rho A}}

    Parameters
    ----------
    length_mm : float
        Free length, :math:`L`, from where the bar is gripped. [mm]
    e_n_mm2 : float
        Modulus of elasticity, :math:`E`. [N/mm2]
    moment_mm4 : float
        Second moment of area, :math:`I`. [mm4]
    section_mm2 : float
        Area of the section, :math:`A`. [mm2]
    density_g_cm3 : float
        Density, :math:`\rho`. [g/cm3]

    Returns
    -------
    float
        Speed :math:`n_c` at which the bar bows out without bound. [rev/min]

    Raises
    ------
    OutOfRangeError
        If any argument is zero or negative.

    Notes
    -----
    Euler-Bernoulli bar with a rigid grip and nothing at its far end. A spindle bore round the bar can only make it
    stiffer and the true speed higher; jaws that give make it lower, which `SAFE_SHARE` has to cover. Valid for bars
    longer than about ten diameters; shorter ones stand far above any speed of a lathe.

    References
    ----------
    [DEN_HARTOG], table of natural frequencies, from memory.

    Examples
    --------
    A steel bar of 20 mm, 400 mm free:

    >>> round(whirl_speed_rpm(400.0, e_n_mm2=210e3, moment_mm4=7854.0, section_mm2=314.16, density_g_cm3=7.85))
    5427
    """
    require_positive("length_mm", length_mm, unit="mm")
    require_positive("e_n_mm2", e_n_mm2, unit="N/mm2")
    require_positive("moment_mm4", moment_mm4, unit="mm4")
    require_positive("section_mm2", section_mm2, unit="mm2")
    require_positive("density_g_cm3", density_g_cm3, unit="g/cm3")
    # N/mm2 = 1e6 N/m2, mm4 = 1e-12 m4, g/cm3 = 1e3 kg/m3, mm2 = 1e-6 m2
    stiffness = sqrt(e_n_mm2 * moment_mm4 * 1e-6 / (density_g_cm3 * section_mm2 * 1e-3))
    return 30.0 / pi * FIRST_MODE * stiffness / (length_mm / 1000.0) ** 2
