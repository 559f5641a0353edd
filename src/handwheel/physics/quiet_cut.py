"""Chatter of a manual lathe: the depth below which a cut stays quiet, by stiffness and overhang."""

from __future__ import annotations

from handwheel.physics.deflection import cantilever_stiffness_n_mm, second_moment_mm4, series_stiffness_n_um
from handwheel.physics.stability import stable_width_mm

DIRECTION_FACTOR = 0.5
"""Directional factor of the chatter limit, inside 0.3 to 1 (from memory of Altintas): the safe end, 1, would forbid
cuts that every small lathe makes, because below about 40 m/min process damping lifts the limit."""
TOOL_DAMPING = 0.03
"""Damping ratio of toolpost and spindle; middle of 0.02 to 0.05 (from memory of Altintas)."""
BAR_DAMPING = 0.02
"""Damping ratio of a plain steel boring bar; upper end of 0.01 to 0.02 (from memory of Altintas)."""
LEAST_OVERHANG_MM = 1.0
"""Shorter overhangs are reckoned as this one: what holds them gives there too; common practice, no source."""

_N_MM_PER_N_UM = 1000.0


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


def overhang_stiffness_n_um(
    machine_n_um: float, *, length_mm: float, dia_mm: float, bore_dia_mm: float = 0.0, e_n_mm2: float
) -> float:
    """Stiffness at the free end of work, or of a boring bar, that stands out: the machine and it in series.

    Parameters
    ----------
    machine_n_um : float
        Stiffness between tool and work without it. [N/µm]
    length_mm : float
        How far it stands out; at least `LEAST_OVERHANG_MM` is reckoned. [mm]
    dia_mm, bore_dia_mm : float
        Its diameter and its hole, taken as even over the length. [mm]
    e_n_mm2 : float
        Modulus of elasticity. [N/mm²]

    Returns
    -------
    float
        Stiffness. [N/µm]

    Raises
    ------
    OutOfRangeError
        As the functions it is built of.

    References
    ----------
    `handwheel.physics.deflection.cantilever_stiffness_n_mm` and `series_stiffness_n_um`.

    Examples
    --------
    >>> round(overhang_stiffness_n_um(12.0, length_mm=40.0, dia_mm=10.0, e_n_mm2=210e3), 2)
    3.44
    """
    own = cantilever_stiffness_n_mm(
        max(LEAST_OVERHANG_MM, length_mm),
        e_n_mm2=e_n_mm2,
        moment_mm4=second_moment_mm4(dia_mm, bore_dia_mm=bore_dia_mm),
    )
    return series_stiffness_n_um((machine_n_um, own / _N_MM_PER_N_UM))
