"""How far work and boring bars may stand out before they need help: rules by length over diameter."""

from __future__ import annotations

from enum import Enum

from handwheel.domain.errors import require_positive
from handwheel.physics.deflection import (
    CARBIDE_BAR_REACH_IN_DIAMETERS,
    STEEL_BAR_REACH_IN_DIAMETERS,
    STEEL_N_MM2,
)

STIFF_IN_DIAMETERS = 3.0
"""Free length in a chuck up to which nothing is said; common practice, no source."""
SLENDER_IN_DIAMETERS = 4.0
"""Free length above which work bends by what a gauge finds [BORING_GUIDES], the trade article; opened."""
CENTRE_IN_DIAMETERS = 10.0
"""Length up to which a centre is enough, 8 to 10; common practice, no source."""


class WorkHelp(Enum):
    """What holds slender work, besides the chuck."""

    NONE = "none: the chuck alone"
    LIGHT_CUTS = "light cuts, and measure both ends"
    CENTRE = "a centre in the tailstock"
    STEADY = "a steady"


class BarMetal(Enum):
    """What a boring bar is made of."""

    STEEL = "steel"
    HEAVY = "heavy tungsten"
    CARBIDE = "carbide"
    DAMPED = "damped"

    @property
    def e_n_mm2(self) -> float:
        """Modulus, lower end: steel 210, heavy tungsten 330 to 350, carbide 550 to 600 GPa [TEXTBOOKS], from memory.

        A damped bar is taken as the steel that it mostly is. [N/mm2]
        """
        return {BarMetal.HEAVY: 330_000.0, BarMetal.CARBIDE: 550_000.0}.get(self, STEEL_N_MM2)

    @property
    def most_reach_in_diameters(self) -> float:
        """Longest reach in its own diameters [BORING_GUIDES], opened; of heavy tungsten no figure: as steel."""
        return {
            BarMetal.CARBIDE: CARBIDE_BAR_REACH_IN_DIAMETERS,
            BarMetal.DAMPED: DAMPED_BAR_REACH_IN_DIAMETERS,
        }.get(self, STEEL_BAR_REACH_IN_DIAMETERS)


DAMPED_BAR_REACH_IN_DIAMETERS = 7.0
"""Longest reach of a damped bar, lower end of 7 to 14 [BORING_GUIDES], opened."""


def work_help(free_length_mm: float, *, work_dia_mm: float) -> WorkHelp:
    r"""What work needs that stands out of the chuck.

    .. math:: s = L / D

    Parameters
    ----------
    free_length_mm : float
        How far it stands out of the jaws, :math:`L`. [mm]
    work_dia_mm : float
        Its diameter where it is thinnest, :math:`D`. [mm]

    Returns
    -------
    WorkHelp
        Nothing up to 3, light cuts up to 4, a centre up to 10, a steady beyond.

    Raises
    ------
    OutOfRangeError
        If either is not above 0.

    References
    ----------
    [COMMON]; the 4 is in [BORING_GUIDES], opened.

    Examples
    --------
    >>> work_help(30.0, work_dia_mm=20.0).name, work_help(80.0, work_dia_mm=15.0).name
    ('NONE', 'CENTRE')
    """
    require_positive("free_length_mm", free_length_mm, unit="mm")
    require_positive("work_dia_mm", work_dia_mm, unit="mm")
    slenderness = free_length_mm / work_dia_mm
    ladder = (
        (STIFF_IN_DIAMETERS, WorkHelp.NONE),
        (SLENDER_IN_DIAMETERS, WorkHelp.LIGHT_CUTS),
        (CENTRE_IN_DIAMETERS, WorkHelp.CENTRE),
    )
    return next((help_ for most, help_ in ladder if slenderness <= most), WorkHelp.STEADY)


def bar_reach_share(reach_mm: float, *, bar_dia_mm: float, metal: BarMetal = BarMetal.STEEL) -> float:
    r"""How much of its longest reach a boring bar is set out.

    .. math:: L / (s\,d)

    Parameters
    ----------
    reach_mm : float
        How far it stands out of its holder, :math:`L`. [mm]
    bar_dia_mm : float
        Its diameter, :math:`d`. [mm]
    metal : BarMetal
        What it is made of; its longest reach in diameters is :math:`s`.

    Returns
    -------
    float
        Share; above 1 it is set out further than its makers advise.

    Raises
    ------
    OutOfRangeError
        If either length is not above 0.

    References
    ----------
    [BORING_GUIDES], opened.

    Examples
    --------
    >>> bar_reach_share(48.0, bar_dia_mm=12.0), bar_reach_share(48.0, bar_dia_mm=8.0, metal=BarMetal.CARBIDE)
    (1.0, 1.0)
    """
    require_positive("reach_mm", reach_mm, unit="mm")
    require_positive("bar_dia_mm", bar_dia_mm, unit="mm")
    return reach_mm / (metal.most_reach_in_diameters * bar_dia_mm)
