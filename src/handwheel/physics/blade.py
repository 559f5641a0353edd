"""A parting blade as a beam: how far it bends sideways, how far it sinks, and what it bears before it sings."""

from __future__ import annotations

from math import radians, tan

from msgspec import Struct

from handwheel.domain.errors import require_positive, require_within
from handwheel.physics.deflection import STEEL_N_MM2, cantilever_stiffness_n_mm, series_stiffness_n_um
from handwheel.physics.stability import stable_width_mm

USUAL_HEIGHT_MM = 10.0
"""Height of the blade of a small lathe, where nobody has measured it; common practice, no source. [mm]"""
BLADE_DAMPING = 0.02
"""Damping ratio of a plain steel blade, upper end of 0.01 to 0.02 for steel bars [ALTINTAS], from memory."""
_UM_PER_MM = 1000.0


class Blade(Struct, frozen=True, kw_only=True):
    """A blade of rectangular section that stands out of its holder.

    Parameters
    ----------
    width_mm, height_mm : float
        Section: across the slot, and in the direction of the cutting force. [mm]
    reach_mm : float
        How far it stands out. [mm]
    slant_deg : float
        Angle of the front edge from the axis, which pushes the blade sideways; 0 for one ground square. [deg]
    e_n_mm2 : float
        Modulus of elasticity. [N/mm2]
    """

    width_mm: float
    height_mm: float
    reach_mm: float
    slant_deg: float = 0.0
    e_n_mm2: float = STEEL_N_MM2

    def __post_init__(self) -> None:
        """Refuse a blade without section or reach."""
        require_positive("width_mm", self.width_mm, unit="mm")
        require_positive("height_mm", self.height_mm, unit="mm")
        require_positive("reach_mm", self.reach_mm, unit="mm")
        require_within("slant_deg", self.slant_deg, low=0.0, high=30.0, unit="deg")
        require_positive("e_n_mm2", self.e_n_mm2, unit="N/mm2")


def sinking_stiffness_n_um(blade: Blade) -> float:
    r"""Stiffness of the tip against the cutting force, which pushes it down.

    .. math:: k = \frac{3 E}{L^3} \cdot \frac{w h^3}{12}

    Parameters
    ----------
    blade : Blade
        Its section and reach.

    Returns
    -------
    float
        Stiffness :math:`k`. [N/µm]

    Raises
    ------
    OutOfRangeError
        Only where the blade itself is refused.

    Notes
    -----
    A rigid holder. Below about three heights of reach shear adds to it: the true blade is softer.

    References
    ----------
    [BANSAL] Problem 13.1, p. 557, for the cantilever; the section is geometry.

    Examples
    --------
    >>> round(sinking_stiffness_n_um(Blade(width_mm=2.0, height_mm=10.0, reach_mm=12.0)), 1)
    60.8
    """
    moment = blade.width_mm * blade.height_mm**3 / 12.0
    return cantilever_stiffness_n_mm(blade.reach_mm, e_n_mm2=blade.e_n_mm2, moment_mm4=moment) / _UM_PER_MM


def sideways_stiffness_n_um(blade: Blade) -> float:
    r"""Stiffness of the tip along the axis of the lathe, in which a blade is weakest.

    .. math:: k = \frac{3 E}{L^3} \cdot \frac{h w^3}{12}

    Parameters
    ----------
    blade : Blade
        Its section and reach.

    Returns
    -------
    float
        Stiffness :math:`k`. [N/µm]

    Raises
    ------
    OutOfRangeError
        Only where the blade itself is refused.

    References
    ----------
    [BANSAL] Problem 13.1, p. 557, for the cantilever; the section is geometry.

    Examples
    --------
    >>> round(sideways_stiffness_n_um(Blade(width_mm=2.0, height_mm=10.0, reach_mm=12.0)), 2)
    2.43
    """
    moment = blade.height_mm * blade.width_mm**3 / 12.0
    return cantilever_stiffness_n_mm(blade.reach_mm, e_n_mm2=blade.e_n_mm2, moment_mm4=moment) / _UM_PER_MM


def sinking_mm(blade: Blade, *, force_n: float) -> float:
    r"""How far the tip sinks below its height under the cutting force.

    .. math:: y = F_c / k

    Parameters
    ----------
    blade : Blade
        Its section and reach.
    force_n : float
        Cutting force, :math:`F_c`. [N]

    Returns
    -------
    float
        Sinking :math:`y`; a solid bar keeps a pip of twice that diameter. [mm]

    Raises
    ------
    OutOfRangeError
        If the force is not above 0.

    References
    ----------
    [BANSAL] Problem 13.1, p. 557.

    Examples
    --------
    >>> round(1000.0 * sinking_mm(Blade(width_mm=2.0, height_mm=10.0, reach_mm=12.0), force_n=439.0), 1)
    7.2
    """
    require_positive("force_n", force_n, unit="N")
    return force_n / (sinking_stiffness_n_um(blade) * _UM_PER_MM)


def wandering_mm(blade: Blade, *, push_n: float) -> float:
    r"""How far the tip bends sideways because its front edge is slanted.

    .. math:: y = F_f \tan\varphi / k

    Parameters
    ----------
    blade : Blade
        Its section, reach and slant, :math:`\varphi`.
    push_n : float
        Radial (feed) force on the blade, :math:`F_f`: 0.3 to 0.5 of the cutting force. [N]

    Returns
    -------
    float
        Bending :math:`y`; 0 for a square front. A dull corner or swarf beside the blade bends it more. [mm]

    Raises
    ------
    OutOfRangeError
        If the push is not above 0.

    References
    ----------
    Statics: the push stands square to the edge; [BANSAL] Problem 13.1, p. 557.

    Examples
    --------
    >>> slanted = Blade(width_mm=2.0, height_mm=10.0, reach_mm=12.0, slant_deg=8.0)
    >>> round(1000.0 * wandering_mm(slanted, push_n=220.0), 1)
    12.7
    """
    require_positive("push_n", push_n, unit="N")
    return push_n * tan(radians(blade.slant_deg)) / (sideways_stiffness_n_um(blade) * _UM_PER_MM)


def blade_stable_width_mm(
    blade: Blade,
    *,
    machine_n_um: float,
    kc_n_mm2: float,
    direction_factor: float = 1.0,
    damping_ratio: float = BLADE_DAMPING,
) -> float:
    r"""Width of chip that a blade bears at any speed before it sings.

    .. math:: b_{lim} = 2\,k\,\zeta\,(1 + \zeta) / (K_s\,\mu), \qquad 1/k = 1/k_{machine} + 1/k_{blade}

    Parameters
    ----------
    blade : Blade
        Its section and reach; its stiffness against sinking counts.
    machine_n_um : float
        Stiffness between toolpost and work. [N/µm]
    kc_n_mm2 : float
        Specific force at the feed, :math:`K_s`. [N/mm2]
    direction_factor : float
        Directional factor :math:`\mu`; 1 is the safe side.
    damping_ratio : float
        Damping ratio :math:`\zeta`.

    Returns
    -------
    float
        Width :math:`b_{lim}`; the blade's own width stays below it where it is surely quiet. [mm]

    Raises
    ------
    OutOfRangeError
        As `handwheel.physics.stability.stable_width_mm`.

    Notes
    -----
    On a small lathe the blade is nearly always wider than this, and parts all the same: below about 40 m/min the flank
    damps (not modelled). So the figure tells which of two set-ups is the quieter, and what becomes of a fast one.

    References
    ----------
    [ALTINTAS] absolute stability limit, from memory.

    Examples
    --------
    >>> short = Blade(width_mm=2.0, height_mm=10.0, reach_mm=12.0)
    >>> round(blade_stable_width_mm(short, machine_n_um=30.0, kc_n_mm2=2000.0), 2)
    0.41
    """
    stiffness = series_stiffness_n_um((machine_n_um, sinking_stiffness_n_um(blade)))
    return stable_width_mm(stiffness, damping_ratio=damping_ratio, kc_n_mm2=kc_n_mm2, direction_factor=direction_factor)
