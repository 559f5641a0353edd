"""How far bars and work bend under a load across them."""

from __future__ import annotations

from collections.abc import Sequence
from math import pi

from handwheel.domain.errors import OutOfRangeError, require_positive, require_within

STEEL_N_MM2 = 210_000.0
"""Modulus of a steel boring bar, of tools and of blades [TEXTBOOKS], from memory. [N/mm2]"""

STEEL_BAR_REACH_IN_DIAMETERS = 4.0
"""Longest reach of a steel boring bar in its own diameters [BORING_GUIDES], opened."""

CARBIDE_BAR_REACH_IN_DIAMETERS = 6.0
"""Longest reach of a carbide boring bar in its own diameters; finishing to 8 [BORING_GUIDES], opened."""


def second_moment_mm4(outer_dia_mm: float, *, bore_dia_mm: float = 0.0) -> float:
    r"""Second moment of area of a round bar or tube, its stiffness in bending.

    .. math:: I = \pi\,(D^4 - d^4) / 64

    Parameters
    ----------
    outer_dia_mm : float
        Outside diameter, :math:`D`. [mm]
    bore_dia_mm : float
        Bore, :math:`d`, 0 for a solid bar. [mm]

    Returns
    -------
    float
        Second moment :math:`I`. [mm4]

    Raises
    ------
    OutOfRangeError
        If the outside is not above 0, or the bore negative or not the smaller.

    References
    ----------
    Geometry, as in [BANSAL].

    Examples
    --------
    >>> round(second_moment_mm4(12.0), 1)
    1017.9
    """
    require_positive("outer_dia_mm", outer_dia_mm, unit="mm")
    if not 0 <= bore_dia_mm < outer_dia_mm:
        msg = (
            f"bore_dia_mm: got {bore_dia_mm:g} mm, must be 0 or more and below the outside of {outer_dia_mm:g} mm; "
            "check them, and that both are diameters"
        )
        raise OutOfRangeError(msg)
    return pi * (outer_dia_mm**4 - bore_dia_mm**4) / 64


def cantilever_deflection_mm(force_n: float, *, length_mm: float, e_n_mm2: float, moment_mm4: float) -> float:
    r"""Deflection of the free end of a bar held at one end, loaded at the free end.

    .. math:: y = F L^3 / (3 E I)

    Parameters
    ----------
    force_n : float
        Load across the bar, :math:`F`. [N]
    length_mm : float
        Free length, :math:`L`. [mm]
    e_n_mm2 : float
        Modulus of elasticity, :math:`E`. [N/mm2]
    moment_mm4 : float
        Second moment of area, :math:`I`. [mm4]

    Returns
    -------
    float
        Deflection :math:`y`; on a radius, so a diameter changes by twice it. [mm]

    Raises
    ------
    OutOfRangeError
        If an argument is zero or negative.

    Notes
    -----
    Long thin bars; below about three diameters shear and the holder add to it.

    References
    ----------
    [BANSAL] Problem 13.1, p. 557.

    Examples
    --------
    >>> round(cantilever_deflection_mm(100.0, length_mm=48.0, e_n_mm2=210e3, moment_mm4=second_moment_mm4(12.0)), 3)
    0.017
    """
    _require_beam(force_n=force_n, length_mm=length_mm, e_n_mm2=e_n_mm2, moment_mm4=moment_mm4)
    return force_n * length_mm**3 / (3 * e_n_mm2 * moment_mm4)


def cantilever_slope_rad(force_n: float, *, length_mm: float, e_n_mm2: float, moment_mm4: float) -> float:
    r"""Slope of the free end of a bar held at one end, loaded at the free end.

    .. math:: \theta = F L^2 / (2 E I)

    Parameters
    ----------
    force_n : float
        Load across the bar, :math:`F`. [N]
    length_mm : float
        Free length, :math:`L`. [mm]
    e_n_mm2 : float
        Modulus of elasticity, :math:`E`. [N/mm2]
    moment_mm4 : float
        Second moment of area, :math:`I`. [mm4]

    Returns
    -------
    float
        Slope :math:`\theta`. [rad]

    Raises
    ------
    OutOfRangeError
        If an argument is zero or negative.

    References
    ----------
    [BANSAL] Problem 13.1, p. 557.

    Examples
    --------
    >>> cantilever_slope_rad(6.0, length_mm=10.0, e_n_mm2=100.0, moment_mm4=3.0)
    1.0
    """
    _require_beam(force_n=force_n, length_mm=length_mm, e_n_mm2=e_n_mm2, moment_mm4=moment_mm4)
    return force_n * length_mm**2 / (2 * e_n_mm2 * moment_mm4)


def inner_load_deflection_mm(
    force_n: float, *, load_at_mm: float, length_mm: float, e_n_mm2: float, moment_mm4: float
) -> float:
    r"""Deflection of the free end of a bar held at one end, loaded short of that end.

    .. math:: y = \frac{F a^3}{3 E I} + \frac{F a^2 (L - a)}{2 E I}

    Parameters
    ----------
    force_n : float
        Load across the bar, :math:`F`. [N]
    load_at_mm : float
        Distance of the load from the holder, :math:`a`. [mm]
    length_mm : float
        Free length, :math:`L`. [mm]
    e_n_mm2 : float
        Modulus of elasticity, :math:`E`. [N/mm2]
    moment_mm4 : float
        Second moment of area, :math:`I`. [mm4]

    Returns
    -------
    float
        Deflection :math:`y` of the free end. [mm]

    Raises
    ------
    OutOfRangeError
        If an argument is zero or negative, or the load lies beyond the end.

    References
    ----------
    [BANSAL] Problem 13.2, p. 557.

    Examples
    --------
    >>> inner_load_deflection_mm(6.0, load_at_mm=10.0, length_mm=10.0, e_n_mm2=100.0, moment_mm4=20.0)
    1.0
    """
    _require_beam(force_n=force_n, length_mm=length_mm, e_n_mm2=e_n_mm2, moment_mm4=moment_mm4)
    require_positive("load_at_mm", load_at_mm, unit="mm")
    require_within("load_at_mm", load_at_mm, low=0.0, high=length_mm, unit="mm")
    at_load_mm = force_n * load_at_mm**3 / (3 * e_n_mm2 * moment_mm4)
    return at_load_mm + force_n * load_at_mm**2 * (length_mm - load_at_mm) / (2 * e_n_mm2 * moment_mm4)


def cantilever_stiffness_n_mm(length_mm: float, *, e_n_mm2: float, moment_mm4: float) -> float:
    r"""Load that bends the free end of a bar by one millimetre.

    .. math:: k = 3 E I / L^3

    Parameters
    ----------
    length_mm : float
        Free length, :math:`L`. [mm]
    e_n_mm2 : float
        Modulus of elasticity, :math:`E`. [N/mm2]
    moment_mm4 : float
        Second moment of area, :math:`I`. [mm4]

    Returns
    -------
    float
        Stiffness :math:`k`. [N/mm]

    Raises
    ------
    OutOfRangeError
        If an argument is zero or negative.

    References
    ----------
    [BANSAL] Problem 13.1, p. 557, turned round.

    Examples
    --------
    >>> round(cantilever_stiffness_n_mm(48.0, e_n_mm2=210e3, moment_mm4=second_moment_mm4(12.0)))
    5798
    """
    return 1.0 / cantilever_deflection_mm(1.0, length_mm=length_mm, e_n_mm2=e_n_mm2, moment_mm4=moment_mm4)


def series_stiffness_n_um(parts_n_um: Sequence[float]) -> float:
    r"""Stiffness of parts that carry the same force one after another: machine, tool, work.

    .. math:: 1/k = \sum_i 1/k_i

    Parameters
    ----------
    parts_n_um : sequence of float
        n stiffnesses, at least one. [N/µm]

    Returns
    -------
    float
        Stiffness :math:`k` of all together, below that of the softest. [N/µm]

    Raises
    ------
    OutOfRangeError
        If there is no part, or one is not above 0.

    References
    ----------
    Statics: their compliances add up.

    Examples
    --------
    >>> series_stiffness_n_um((12.0, 6.0))
    4.0
    """
    if not parts_n_um:
        msg = "parts_n_um: got none, something must carry the force; give at least the machine"
        raise OutOfRangeError(msg)
    for part in parts_n_um:
        require_positive("parts_n_um", part, unit="N/µm")
    return 1.0 / sum(1.0 / part for part in parts_n_um)


def chuck_and_centre_deflection_mm(force_n: float, *, length_mm: float, e_n_mm2: float, moment_mm4: float) -> float:
    r"""Deflection at mid length of work held in a chuck and on a centre, loaded there.

    .. math:: y = 7 F L^3 / (768 E I)

    Parameters
    ----------
    force_n : float
        Load across the work, :math:`F`. [N]
    length_mm : float
        Length from chuck to centre, :math:`L`. [mm]
    e_n_mm2 : float
        Modulus of elasticity, :math:`E`. [N/mm2]
    moment_mm4 : float
        Second moment of area, :math:`I`. [mm4]

    Returns
    -------
    float
        Deflection :math:`y`. [mm]

    Raises
    ------
    OutOfRangeError
        If an argument is zero or negative.

    References
    ----------
    Beam theory, as in [ROARK], beam tables, from memory.

    Examples
    --------
    >>> chuck_and_centre_deflection_mm(768.0, length_mm=10.0, e_n_mm2=100.0, moment_mm4=70.0)
    1.0
    """
    _require_beam(force_n=force_n, length_mm=length_mm, e_n_mm2=e_n_mm2, moment_mm4=moment_mm4)
    return 7 * force_n * length_mm**3 / (768 * e_n_mm2 * moment_mm4)


def _require_beam(*, force_n: float, length_mm: float, e_n_mm2: float, moment_mm4: float) -> None:
    require_positive("force_n", force_n, unit="N")
    require_positive("length_mm", length_mm, unit="mm")
    require_positive("e_n_mm2", e_n_mm2, unit="N/mm2")
    require_positive("moment_mm4", moment_mm4, unit="mm4")
