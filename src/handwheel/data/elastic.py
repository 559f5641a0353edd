"""A part as an elastic ring: its diameters with the stiffness that the tables know of its metal."""

from __future__ import annotations

from handwheel.data.materials import Material
from handwheel.physics.lame import Cylinder

USUAL_POISSON = 0.33
"""For a metal whose table has none; middle of the usual 0.27 to 0.36 (from memory of any table of metals)."""
N_MM2_PER_GPA = 1000.0


def as_cylinder(metal: Material, *, inner_dia_mm: float, outer_dia_mm: float) -> Cylinder:
    """A part as a thick cylinder of its metal, of the least stiff that the tables know. [mm]

    Raises
    ------
    DataTableError
        If the tables have no modulus of the metal.

    Examples
    --------
    >>> from handwheel.data.materials import material
    >>> as_cylinder(material("al_6082"), inner_dia_mm=20.0, outer_dia_mm=24.0).e_n_mm2
    70000.0
    """
    poisson = metal.find("poisson")
    return Cylinder(
        inner_dia_mm=inner_dia_mm,
        outer_dia_mm=outer_dia_mm,
        e_n_mm2=metal.range("e_modulus").least * N_MM2_PER_GPA,
        poisson=USUAL_POISSON if poisson is None else poisson.most,
    )
