"""Rake of the tools with which tabled forces were measured."""

from __future__ import annotations

from typing import TYPE_CHECKING

from handwheel.data.loader import Standing, load_table
from handwheel.data.metal_families import family_of
from handwheel.data.ranges import DataRange

if TYPE_CHECKING:
    from handwheel.data.materials import Material

_COLUMNS = ("family", "rake_deg", "standing", "source_key", "place")


def reference_rake(material: Material) -> DataRange | None:
    """Rake at which the force of a material was tabled; none where the source does not say.

    Parameters
    ----------
    material : Material
        As `handwheel.data.materials.material` returns it.

    Returns
    -------
    DataRange or None
        One value [deg], for `handwheel.physics.force.rake_factor`. Without it a force stays uncorrected for rake.

    References
    ----------
    [DIETRICH], as quoted in a public script (opened).

    Examples
    --------
    >>> from handwheel.data.materials import material
    >>> reference_rake(material("st_c45")).words, reference_rake(material("ti_gr5"))
    ('6 deg', None)
    """
    family = family_of(material.key)
    for row in load_table("reference_rakes.csv", _COLUMNS):
        if row["family"] == family:
            return DataRange(
                low=float(row["rake_deg"]),
                high=float(row["rake_deg"]),
                unit="deg",
                standing=Standing(row["standing"]),
                source_key=row["source_key"],
                place=row["place"],
            )
    return None
