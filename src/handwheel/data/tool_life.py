"""Usual constants of Taylor's law by tool material and work, to begin with until edges have been recorded."""

from __future__ import annotations

from enum import Enum
from typing import TYPE_CHECKING

from handwheel.data.loader import load_table
from handwheel.data.metal_families import family_of
from handwheel.data.ranges import DataRange, range_from_row
from handwheel.domain.errors import DataTableError

if TYPE_CHECKING:
    from handwheel.data.materials import Material

_COLUMNS = ("tool", "work", "quantity", "low", "high", "unit", "standing", "source_key", "place")
_ANY = "any"


class ToolMaterial(Enum):
    """What an edge is made of, as tables of tool life divide it."""

    HSS = "hss"
    CARBIDE = "carbide"
    COATED_CARBIDE = "coated_carbide"
    CERAMIC = "ceramic"


class LifeWork(Enum):
    """Groups of work for which constants are printed."""

    STEEL = "steel"
    EASY = "easy metals"


WORK_OF_FAMILY = {
    "steel": LifeWork.STEEL,
    "cast iron": LifeWork.EASY,
    "brass": LifeWork.EASY,
    "aluminium": LifeWork.EASY,
}
"""Mild steel, and the easily cut metals that the table calls nonsteel: aluminium, brass, cast iron [GROOVER], from
memory. Stainless steel, titanium, bronze, copper and the rest are in neither; nothing is borrowed for them."""


def usual_exponent(tool: ToolMaterial) -> DataRange:
    """Usual exponent n of Taylor's law; the tool's material sets it, hardly the work's.

    Parameters
    ----------
    tool : ToolMaterial
        What the edge is made of.

    Returns
    -------
    DataRange
        One value, without unit.

    References
    ----------
    [GROOVER], from memory.

    Examples
    --------
    >>> usual_exponent(ToolMaterial.HSS).words
    '0.125'
    """
    return _constant(tool, _ANY, "n")


def exponents_seen(tool: ToolMaterial) -> DataRange:
    """Range in which exponents of a tool material are found.

    Parameters
    ----------
    tool : ToolMaterial
        What the edge is made of.

    Returns
    -------
    DataRange
        Both ends, without unit.

    References
    ----------
    [TEACHING_PAGES], opened.

    Examples
    --------
    >>> exponents_seen(ToolMaterial.HSS).words
    '0.08 to 0.2'
    """
    return _constant(tool, _ANY, "n_seen")


def usual_speed_at_1_min(tool: ToolMaterial, work: LifeWork) -> DataRange:
    """Constant C of Taylor's law: the speed at which an edge lasts one minute, and no speed to cut at.

    Parameters
    ----------
    tool : ToolMaterial
        What the edge is made of.
    work : LifeWork
        What it cuts.

    Returns
    -------
    DataRange
        One value. [m/min]

    Raises
    ------
    DataTableError
        If the table has none for this pair.

    References
    ----------
    [GROOVER], from memory; for roughing cuts, with no feed or depth said.

    Examples
    --------
    >>> usual_speed_at_1_min(ToolMaterial.CARBIDE, LifeWork.STEEL).words
    '500 m/min'
    """
    return _constant(tool, work.value, "speed_at_1_min")


def life_work(material: Material) -> LifeWork:
    """Group of work to which a material belongs in the table of tool life.

    Parameters
    ----------
    material : Material
        As `handwheel.data.materials.material` returns it.

    Returns
    -------
    LifeWork
        Steel, or the easily cut metals.

    Raises
    ------
    DataTableError
        If it is neither: constants of steel would promise far too much in stainless steel or titanium.

    Examples
    --------
    >>> from handwheel.data.materials import material
    >>> life_work(material("st_c45"))
    <LifeWork.STEEL: 'steel'>
    """
    work = WORK_OF_FAMILY.get(family_of(material.key))
    if work is None:
        msg = (
            f"{material.name}: the tables have no tool life for it; record how long your own edges last, "
            "or give one speed and life of your own with the usual exponent of the tool"
        )
        raise DataTableError(msg)
    return work


def _constant(tool: ToolMaterial, work: str, quantity: str) -> DataRange:
    for row in load_table("tool_life.csv", _COLUMNS):
        if (row["tool"], row["work"], row["quantity"]) == (tool.value, work, quantity):
            return range_from_row(row)
    msg = f"tool life: the table has no {quantity} for {tool.value} in {work}; record your own edges"
    raise DataTableError(msg)
