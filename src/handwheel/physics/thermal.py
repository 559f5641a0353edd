"""Heat: growth of a size, warming of a ring by its own cut, and how long it takes to cool."""

from __future__ import annotations

from math import exp

from handwheel.domain.errors import OutOfRangeError, require_positive, require_within

REFERENCE_TEMPERATURE_C = 20.0
"""Temperature at which sizes are meant [ISO1], from memory."""

STILL_AIR_W_M2_K = 10.0
"""Heat passed to still air with radiation; 20 to 30 when turning, above 500 in emulsion [TEXTBOOKS], from memory."""

_S_PER_MM2 = 1e6


def size_change_mm(size_mm: float, *, alpha_per_k: float, difference_k: float) -> float:
    r"""Growth of a size when it gets warmer; a bore grows as the outside does.

    .. math:: \Delta D = \alpha\,D\,\Delta T

    Parameters
    ----------
    size_mm : float
        Diameter or length, :math:`D`. [mm]
    alpha_per_k : float
        Coefficient of expansion, :math:`\alpha`. [1/K]
    difference_k : float
        Warming, :math:`\Delta T`; negative for cooling. [K]

    Returns
    -------
    float
        Change of size. [mm]

    Raises
    ------
    OutOfRangeError
        If size or coefficient is not above 0, or the difference outside -300 to 1000 K.

    Notes
    -----
    The coefficient is a mean near room temperature.

    References
    ----------
    [PYTEL] Example 2.10, p. 62.

    Examples
    --------
    >>> round(size_change_mm(25.0, alpha_per_k=22.2e-6, difference_k=40.0), 3)
    0.022
    """
    require_positive("size_mm", size_mm, unit="mm")
    require_positive("alpha_per_k", alpha_per_k, unit="1/K")
    require_within("difference_k", difference_k, low=-300.0, high=1000.0, unit="K")
    return alpha_per_k * size_mm * difference_k


def size_at_reference_mm(measured_mm: float, *, alpha_per_k: float, temperature_c: float) -> float:
    r"""Size at 20 °C of a part measured at another temperature with gauges at 20 °C.

    .. math:: L_{20} = L_t \left(1 - \alpha (t - 20)\right)

    Parameters
    ----------
    measured_mm : float
        Reading, :math:`L_t`. [mm]
    alpha_per_k : float
        Coefficient of expansion, :math:`\alpha`. [1/K]
    temperature_c : float
        Temperature of the part, :math:`t`. [°C]

    Returns
    -------
    float
        Size at 20 °C. [mm]

    Raises
    ------
    OutOfRangeError
        If reading or coefficient is not above 0, or the temperature outside -30 to 200 °C.

    References
    ----------
    [ISO1], from memory.

    Examples
    --------
    >>> round(size_at_reference_mm(20.0038, alpha_per_k=19e-6, temperature_c=30.0), 4)
    20.0
    """
    require_positive("measured_mm", measured_mm, unit="mm")
    require_positive("alpha_per_k", alpha_per_k, unit="1/K")
    require_within("temperature_c", temperature_c, low=-30.0, high=200.0, unit="°C")
    return measured_mm * (1.0 - alpha_per_k * (temperature_c - REFERENCE_TEMPERATURE_C))


def temperature_rise_k(
    power_at_cut_w: float, *, time_s: float, heat_share: float, mass_kg: float, specific_heat_j_kg_k: float
) -> float:
    r"""Warming of a ring by its cut, if it keeps all heat that enters it.

    .. math:: \Delta T = \eta\,P_c\,t / (m\,c_p)

    Parameters
    ----------
    power_at_cut_w : float
        Power at the cut, :math:`P_c`; all of it becomes heat. [W]
    time_s : float
        Time of the cut, :math:`t`. [s]
    heat_share : float
        Share that enters the work, :math:`\eta`: about 0.1, at low speed or with a blunt tool 0.3 and more.
    mass_kg : float
        Mass that is warmed, :math:`m`. [kg]
    specific_heat_j_kg_k : float
        Specific heat, :math:`c_p`. [J/(kg K)]

    Returns
    -------
    float
        Rise of temperature :math:`\Delta T`; an upper bound for a ring still on its bar. [K]

    Raises
    ------
    OutOfRangeError
        If an argument is not above 0, or the share above 1.

    References
    ----------
    [HEAT_NOTES], opened, for the share of 10 %; the balance is exact.

    Examples
    --------
    >>> round(temperature_rise_k(56.8, time_s=11.3, heat_share=0.1, mass_kg=5.36e-3, specific_heat_j_kg_k=500.0))
    24
    """
    require_positive("power_at_cut_w", power_at_cut_w, unit="W")
    require_positive("time_s", time_s, unit="s")
    require_positive("heat_share", heat_share, unit="(share)")
    require_within("heat_share", heat_share, low=0.0, high=1.0, unit="(share)")
    require_positive("mass_kg", mass_kg, unit="kg")
    require_positive("specific_heat_j_kg_k", specific_heat_j_kg_k, unit="J/(kg K)")
    return heat_share * power_at_cut_w * time_s / (mass_kg * specific_heat_j_kg_k)


def cooling_time_constant_s(
    mass_kg: float, *, specific_heat_j_kg_k: float, surface_mm2: float, film_w_m2_k: float = STILL_AIR_W_M2_K
) -> float:
    r"""Time in which a free ring loses 63 % of its excess temperature.

    .. math:: \tau = m\,c_p / (h\,A)

    Parameters
    ----------
    mass_kg : float
        Mass, :math:`m`. [kg]
    specific_heat_j_kg_k : float
        Specific heat, :math:`c_p`. [J/(kg K)]
    surface_mm2 : float
        Whole surface, :math:`A`. [mm2]
    film_w_m2_k : float
        Heat passed on by a surface, :math:`h`: still air 10, turning 20 to 30, emulsion above 500. [W/(m2 K)]

    Returns
    -------
    float
        Time constant :math:`\tau`; an upper bound for a ring that touches bar or mandrel. [s]

    Raises
    ------
    OutOfRangeError
        If an argument is zero or negative.

    Notes
    -----
    Valid while the ring is of one temperature throughout: all metals with walls below 5 mm, poor for plastics.

    References
    ----------
    [TEXTBOOKS] of heat transfer, from memory.

    Examples
    --------
    >>> round(cooling_time_constant_s(5.36e-3, specific_heat_j_kg_k=500.0, surface_mm2=904.8))
    296
    """
    require_positive("mass_kg", mass_kg, unit="kg")
    require_positive("specific_heat_j_kg_k", specific_heat_j_kg_k, unit="J/(kg K)")
    require_positive("surface_mm2", surface_mm2, unit="mm2")
    require_positive("film_w_m2_k", film_w_m2_k, unit="W/(m2 K)")
    return mass_kg * specific_heat_j_kg_k * _S_PER_MM2 / (film_w_m2_k * surface_mm2)


def excess_temperature_k(rise_k: float, *, time_s: float, time_constant_s: float) -> float:
    r"""Excess temperature that is left after a time of cooling.

    .. math:: \Delta T(t) = \Delta T_0\,e^{-t/\tau}

    Parameters
    ----------
    rise_k : float
        Excess at the beginning, :math:`\Delta T_0`. [K]
    time_s : float
        Time of cooling, :math:`t`. [s]
    time_constant_s : float
        Time constant, :math:`\tau`. [s]

    Returns
    -------
    float
        Excess left. [K]

    Raises
    ------
    OutOfRangeError
        If rise or constant is not above 0, or the time negative.

    References
    ----------
    [TEXTBOOKS] of heat transfer, from memory.

    Examples
    --------
    >>> round(excess_temperature_k(24.0, time_s=592.0, time_constant_s=296.0), 1)
    3.2
    """
    require_positive("rise_k", rise_k, unit="K")
    require_positive("time_constant_s", time_constant_s, unit="s")
    if time_s < 0:
        msg = f"time_s: got {time_s:g} s, must be 0 or more; check the order of the times"
        raise OutOfRangeError(msg)
    return rise_k * exp(-time_s / time_constant_s)
