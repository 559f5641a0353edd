"""How far work bends where it is cut, wherever that is between chuck and centre or between two centres."""

from __future__ import annotations

from handwheel.domain.errors import OutOfRangeError, require_positive


def propped_deflection_mm(
    force_n: float, *, load_at_mm: float, length_mm: float, e_n_mm2: float, moment_mm4: float
) -> float:
    r"""Deflection under the tool of work held in a chuck and on a centre.

    .. math:: y = \frac{F a^3}{3 E I} - \frac{F a^4 (3 L - a)^2}{12\,L^3 E I}

    Parameters
    ----------
    force_n : float
        Load across the work, :math:`F`. [N]
    load_at_mm : float
        Distance of the load from the chuck, :math:`a`. [mm]
    length_mm : float
        Length from chuck to centre, :math:`L`. [mm]
    e_n_mm2 : float
        Modulus of elasticity, :math:`E`. [N/mm2]
    moment_mm4 : float
        Second moment of area, :math:`I`. [mm4]

    Returns
    -------
    float
        Deflection :math:`y` where the load is. [mm]

    Raises
    ------
    OutOfRangeError
        If an argument is not above 0, or the load lies at or beyond the centre.

    Notes
    -----
    Chuck and centre do not give. In the middle it is 7 F L³ / (768 E I); it is greatest at 0.59 L.

    References
    ----------
    Beam theory: a cantilever whose end the centre pushes back to nothing; tables as in [ROARK], from memory.

    Examples
    --------
    >>> round(propped_deflection_mm(768.0, load_at_mm=5.0, length_mm=10.0, e_n_mm2=100.0, moment_mm4=70.0), 9)
    1.0
    """
    _require_between(load_at_mm, force_n=force_n, length_mm=length_mm, e_n_mm2=e_n_mm2, moment_mm4=moment_mm4)
    free = force_n * load_at_mm**3 / 3.0
    pushed_back = force_n * load_at_mm**4 * (3.0 * length_mm - load_at_mm) ** 2 / (12.0 * length_mm**3)
    return (free - pushed_back) / (e_n_mm2 * moment_mm4)


def between_centres_deflection_mm(
    force_n: float, *, load_at_mm: float, length_mm: float, e_n_mm2: float, moment_mm4: float
) -> float:
    r"""Deflection under the tool of work held between centres.

    .. math:: y = \frac{F a^2 (L - a)^2}{3\,E I L}

    Parameters
    ----------
    force_n : float
        Load across the work, :math:`F`. [N]
    load_at_mm : float
        Distance of the load from one centre, :math:`a`. [mm]
    length_mm : float
        Length between the centres, :math:`L`. [mm]
    e_n_mm2 : float
        Modulus of elasticity, :math:`E`. [N/mm2]
    moment_mm4 : float
        Second moment of area, :math:`I`. [mm4]

    Returns
    -------
    float
        Deflection :math:`y` where the load is; in the middle F L³ / (48 E I). [mm]

    Raises
    ------
    OutOfRangeError
        If an argument is not above 0, or the load lies at or beyond a centre.

    References
    ----------
    Beam theory; tables as in [ROARK], from memory.

    Examples
    --------
    >>> between_centres_deflection_mm(48.0, load_at_mm=5.0, length_mm=10.0, e_n_mm2=100.0, moment_mm4=10.0)
    1.0
    """
    _require_between(load_at_mm, force_n=force_n, length_mm=length_mm, e_n_mm2=e_n_mm2, moment_mm4=moment_mm4)
    rest = length_mm - load_at_mm
    return force_n * load_at_mm**2 * rest**2 / (3.0 * e_n_mm2 * moment_mm4 * length_mm)


def _require_between(load_at_mm: float, *, force_n: float, length_mm: float, e_n_mm2: float, moment_mm4: float) -> None:
    require_positive("force_n", force_n, unit="N")
    require_positive("load_at_mm", load_at_mm, unit="mm")
    require_positive("length_mm", length_mm, unit="mm")
    require_positive("e_n_mm2", e_n_mm2, unit="N/mm2")
    require_positive("moment_mm4", moment_mm4, unit="mm4")
    if load_at_mm >= length_mm:
        msg = (
            f"load_at_mm: got {load_at_mm:g} mm, must lie before the centre at {length_mm:g} mm; beyond it "
            "nothing bends in this way"
        )
        raise OutOfRangeError(msg)
