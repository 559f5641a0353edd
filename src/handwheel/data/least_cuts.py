"""How deep a cut must be at least, metal by metal: below that the edge rubs and the metal hardens."""

from __future__ import annotations

from handwheel.data.materials import Material, WorkHardening

LEAST_CUT_SHARE = 1.25
"""A last cut takes this many times the metal's least cut at least; common practice, no source."""


def least_last_cut_mm(material: Material) -> float:
    """Depth below which no last cut is set: the upper end of the metal's least cut and a quarter; 0 if none. [mm]

    Examples
    --------
    >>> from handwheel.data.materials import material
    >>> least_last_cut_mm(material("ti_gr2")) >= least_depth_mm(material("ti_gr2"))
    True
    """
    least = material.find("min_depth")
    return 0.0 if least is None else LEAST_CUT_SHARE * least.most


def least_depth_mm(material: Material) -> float:
    """Least depth that a metal asks of a cut; 0 if the tables say nothing of it. [mm]"""
    least = material.find("min_depth")
    if least is None:
        return 0.0
    return least.most if material.work_hardening is not WorkHardening.NONE else least.least
