"""What must be ready before a hazardous metal is cut, and metals that are named here only for their hazard."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.data.loader import Standing, load_table

if TYPE_CHECKING:
    from collections.abc import Mapping

    from handwheel.data.materials import Material

_GATE_COLUMNS = ("code", "have", "text", "standing", "source_key", "place")
_METAL_COLUMNS = ("key", "name", "other_names", "relatives", "hazard", "standing", "source_key", "place")
_MAY_BE_BLANK = ("relatives",)
_MANY = ";"


class HazardGate(Struct, frozen=True, kw_only=True):
    """What the person confirms before a metal with one hazard is cut.

    ``text`` is what is asked, ``have`` what must be at hand for it, in few words.
    """

    code: str
    have: str
    text: str
    standing: Standing
    source_key: str
    place: str


class HazardMetal(Struct, frozen=True, kw_only=True):
    """A metal or plastic without figures to cut it by, whose hazard is known all the same.

    ``other_names`` are what it may be called, ``relatives`` keys of the tables that a name of it may mean.
    """

    key: str
    name: str
    other_names: tuple[str, ...]
    relatives: tuple[str, ...]
    hazard: str
    standing: Standing
    source_key: str
    place: str

    @property
    def words(self) -> str:
        """What is lacking, and the hazard: for a request that is refused."""
        known = " or ".join(self.relatives)
        ask = f"; if it is {known}, write {known}" if known else ""
        return (
            f"{self.name}: the tables have no speeds, forces and least cut of it, so nothing is planned{ask}. "
            f"Hazard: {self.hazard} Local rules and trained supervision come first "
            f"[{self.source_key}, {self.standing.value}]"
        )


@cache
def hazard_gates() -> Mapping[str, HazardGate]:
    """Every gate by its code.

    Examples
    --------
    >>> hazard_gates()["metal-fire"].have
    'dry sand, dry salt or a Class D extinguisher'
    """
    return {
        row["code"]: HazardGate(
            code=row["code"],
            have=row["have"],
            text=row["text"],
            standing=Standing(row["standing"]),
            source_key=row["source_key"],
            place=row["place"],
        )
        for row in load_table("hazard_gates.csv", _GATE_COLUMNS)
    }


def gates_of(metal: Material) -> tuple[HazardGate, ...]:
    """Gates of a metal, each once, in the order of its hazards; none for most metals.

    Examples
    --------
    >>> from handwheel.data.materials import material
    >>> [gate.code for gate in gates_of(material("ti_gr2"))], gates_of(material("ss304"))
    (['metal-fire'], ())
    """
    codes = dict.fromkeys(caution.gate for caution in metal.hazards if caution.gate)
    return tuple(hazard_gates()[code] for code in codes)


@cache
def hazard_metals() -> Mapping[str, HazardMetal]:
    """Every metal that is here only for its hazard, by key."""
    return {
        row["key"]: HazardMetal(
            key=row["key"],
            name=row["name"],
            other_names=tuple(row["other_names"].split(_MANY)),
            relatives=tuple(key for key in row["relatives"].split(_MANY) if key),
            hazard=row["hazard"],
            standing=Standing(row["standing"]),
            source_key=row["source_key"],
            place=row["place"],
        )
        for row in load_table("hazard_metals.csv", _METAL_COLUMNS, _MAY_BE_BLANK)
    }


def hazard_metal_named(text: str) -> HazardMetal | None:
    """Metal that is meant by a whole name, whatever its capital letters, hyphens and spaces.

    Examples
    --------
    >>> found = hazard_metal_named("AZ31-B")
    >>> found.name if found else "none"
    'Magnesium and its alloys'
    >>> hazard_metal_named("lead free bronze")
    """
    wanted = _bare(text)
    for found in hazard_metals().values():
        if wanted and wanted in {_bare(name) for name in (found.key, *found.other_names)}:
            return found
    return None


def _bare(text: str) -> str:
    return "".join(letter for letter in text.casefold() if letter.isalnum())
