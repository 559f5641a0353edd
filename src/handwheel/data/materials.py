"""What is known of each metal and plastic."""

from __future__ import annotations

from enum import Enum, StrEnum
from functools import cache
from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.data.loader import COMMON_KEY, Standing, load_table
from handwheel.data.ranges import DataRange, range_from_row
from handwheel.domain.errors import DataTableError
from handwheel.domain.severity import Severity

if TYPE_CHECKING:
    from collections.abc import Mapping

_NAME_COLUMNS = (
    "key",
    "name",
    "designations",
    "iso513_group",
    "condition",
    "force_group",
    "force_group_note",
    "work_hardening",
    "drill_practice",
    "lubricant",
    "lubricant_at_the_cut",
    "edge_advice",
    "most_rake_deg",
    "chip",
    "standing",
    "source_key",
    "place",
)
_MAY_BE_BLANK = ("edge_advice", "most_rake_deg")
_VALUE_COLUMNS = ("material", "property", "low", "high", "unit", "standing", "source_key", "place")
_CAUTION_COLUMNS = ("material", "kind", "weight", "text", "short", "gate", "standing", "source_key", "place")
_CAUTION_BLANKS = ("short", "gate")


class Property(StrEnum):
    """Quantities that the table of materials may hold; the unit stands in each row."""

    KC11 = "kc11"
    MC = "mc"
    KC11_ALT = "kc11_alt"
    MC_ALT = "mc_alt"
    KC_AT_H030 = "kc_at_h030"
    KF_RATIO = "kf_ratio"
    KP_RATIO = "kp_ratio"
    KD_DRILLING = "kd_drilling"
    VC_HSS_ROUGH = "vc_hss_rough"
    VC_HSS_FINISH = "vc_hss_finish"
    VC_HSS_DRILL = "vc_hss_drill"
    VC_CARBIDE_ROUGH = "vc_carbide_rough"
    VC_CARBIDE_FINISH = "vc_carbide_finish"
    FEED_ROUGH = "feed_rough"
    FEED_FINISH = "feed_finish"
    MIN_DEPTH = "min_depth"
    MIN_DEPTH_UNDER_SKIN = "min_depth_under_skin"
    MIN_FEED = "min_feed"
    E_MODULUS = "e_modulus"
    POISSON = "poisson"
    DENSITY = "density"
    ALPHA = "alpha"
    CONDUCTIVITY = "conductivity"
    SPECIFIC_HEAT = "specific_heat"
    TENSILE = "tensile"
    YIELD = "yield"
    TAYLOR_N_HSS = "taylor_n_hss"
    TAYLOR_C_HSS = "taylor_c_hss"
    TAYLOR_N_CARBIDE = "taylor_n_carbide"
    TAYLOR_C_CARBIDE = "taylor_c_carbide"


class WorkHardening(Enum):
    """How much the skin of a cut hardens; where a source says "moderate to severe" the worse stands here."""

    NONE = "none"
    MODERATE = "moderate"
    SEVERE = "severe"


class DrillPractice(Enum):
    """How a hole is opened: by a ladder of drills, or by one drill with dubbed lips and then boring."""

    LADDER = "ladder"
    SINGLE_DUBBED = "single_dubbed"


class CautionKind(Enum):
    """What a caution is about; `SKIN` concerns the wearer, all others the person at the lathe."""

    FIRE = "fire"
    LEAD = "lead"
    DUST = "dust"
    FUME = "fume"
    SWARF = "swarf"
    SKIN = "skin"


class Caution(Struct, frozen=True, kw_only=True):
    """One thing to mind about a material, with what stands behind it.

    ``weight`` tells a reason to act (warning) from a mere fact (note). ``short`` is said where ``text`` was said
    before, ``gate`` is the code of what must be confirmed before the first cut (`handwheel.data.hazards`), or empty.
    """

    kind: CautionKind
    weight: Severity
    text: str
    short: str
    gate: str
    standing: Standing
    source_key: str
    place: str


class Material(Struct, frozen=True, kw_only=True):
    """One material in one condition: names, behaviour at the lathe, cautions, and its ranges.

    ``force_group`` names the group whose members supply the cutting force where the alloy has none of its own;
    ``force_group_note`` says so in words. ``lubricant`` names all that suit, ``lubricant_at_the_cut`` the one to use;
    ``edge_advice`` is about the tool, and ``most_rake_deg`` the most rake that it should have, if there is a limit.
    ``standing``, ``source_key`` and ``place`` are those of the words; each range and caution has its own. ``members``
    are the keys of the metals that an unknown one may be (`handwheel.data.unknown_metals`), empty for a known one.
    """

    key: str
    name: str
    designations: str
    iso513_group: str
    condition: str
    force_group: str
    force_group_note: str
    work_hardening: WorkHardening
    drill_practice: DrillPractice
    lubricant: str
    lubricant_at_the_cut: str
    edge_advice: str
    most_rake_deg: float | None
    chip: str
    cautions: tuple[Caution, ...]
    ranges: Mapping[Property, DataRange]
    members: tuple[str, ...] = ()
    standing: Standing = Standing.COMMON_PRACTICE
    source_key: str = COMMON_KEY
    place: str = "shop practice"

    def __hash__(self) -> int:
        """Hash of the key: the ranges, a mapping, have none."""
        return hash(self.key)

    @property
    def is_unknown(self) -> bool:
        """Whether nobody knows which of several metals it is."""
        return bool(self.members)

    def find(self, name: str) -> DataRange | None:
        """Range of a property, or ``None`` if the tables have none for this material.

        Parameters
        ----------
        name : str
            One of `Property`, as member or as text such as ``"kc11"``.

        Raises
        ------
        DataTableError
            If no such property exists at all.
        """
        try:
            prop = Property(name)
        except ValueError:
            msg = f"property {name!r}: unknown; choose one of {', '.join(Property)}"
            raise DataTableError(msg) from None
        return self.ranges.get(prop)

    def range(self, name: str) -> DataRange:
        """Range of a property.

        Parameters
        ----------
        name : str
            One of `Property`, as member or as text such as ``"kc11"``.

        Raises
        ------
        DataTableError
            If the tables have no such value for this material: nothing is guessed.

        Examples
        --------
        >>> material("ss303").range("vc_hss_rough").words
        '8 to 17 m/min'
        """
        found = self.find(name)
        if found is None:
            msg = f"{self.name}: the tables have no {name}; give a value of your own, with its source"
            raise DataTableError(msg)
        return found

    @property
    def hazards(self) -> tuple[Caution, ...]:
        """Cautions for the person at the lathe."""
        return tuple(caution for caution in self.cautions if caution.kind is not CautionKind.SKIN)

    @property
    def lubricant_words(self) -> str:
        """What the hand does about oil before a cut."""
        use = self.lubricant_at_the_cut
        return f"None: this metal is cut {use}." if use.startswith("dry") else f"{use[:1].upper()}{use[1:]}."

    def has_hazard(self, kind: CautionKind) -> bool:
        """Whether a caution of that kind exists."""
        return any(caution.kind is kind for caution in self.cautions)


def material_keys() -> tuple[str, ...]:
    """Keys of all materials, in the order of the table.

    Examples
    --------
    >>> len(material_keys())
    34
    """
    return tuple(_name_rows())


@cache
def material(key: str) -> Material:
    """Material of that key.

    Parameters
    ----------
    key : str
        Such as ``"ss304"`` or ``"ti_gr5"``; or of an unknown metal, such as ``"unknown_steel"``.

    Raises
    ------
    DataTableError
        If no material has that key; the message names the nearest ones.

    Examples
    --------
    >>> material("cu_cw614n").drill_practice
    <DrillPractice.SINGLE_DUBBED: 'single_dubbed'>
    """
    row = _name_rows().get(key)
    if row is None:
        return _made_of_its_group(key)
    return Material(
        key=key,
        name=row["name"],
        designations=row["designations"],
        iso513_group=row["iso513_group"],
        condition=row["condition"],
        force_group=row["force_group"],
        force_group_note=row["force_group_note"],
        work_hardening=WorkHardening(row["work_hardening"]),
        drill_practice=DrillPractice(row["drill_practice"]),
        lubricant=row["lubricant"],
        lubricant_at_the_cut=row["lubricant_at_the_cut"],
        edge_advice=row["edge_advice"],
        most_rake_deg=float(row["most_rake_deg"]) if row["most_rake_deg"] else None,
        chip=row["chip"],
        cautions=cautions_of(key),
        ranges=_ranges(key),
        standing=Standing(row["standing"]),
        source_key=row["source_key"],
        place=row["place"],
    )


def materials() -> tuple[Material, ...]:
    """All materials, in the order of the table."""
    return tuple(material(key) for key in material_keys())


def materials_of_force_group(force_group: str) -> tuple[Material, ...]:
    """Materials that belong to a force group, in the order of the table; empty if there is no such group."""
    return tuple(material(key) for key, row in _name_rows().items() if row["force_group"] == force_group)


@cache
def _name_rows() -> Mapping[str, Mapping[str, str]]:
    return {row["key"]: row for row in load_table("material_names.csv", _NAME_COLUMNS, _MAY_BE_BLANK)}


@cache
def _value_rows() -> Mapping[str, tuple[Mapping[str, str], ...]]:
    return _grouped(load_table("materials.csv", _VALUE_COLUMNS, ("low", "high")))


@cache
def _caution_rows() -> Mapping[str, tuple[Mapping[str, str], ...]]:
    return _grouped(load_table("material_cautions.csv", _CAUTION_COLUMNS, _CAUTION_BLANKS))


def _grouped(rows: tuple[Mapping[str, str], ...]) -> Mapping[str, tuple[Mapping[str, str], ...]]:
    groups: dict[str, list[Mapping[str, str]]] = {}
    for row in rows:
        groups.setdefault(row["material"], []).append(row)
    return {key: tuple(group) for key, group in groups.items()}


def _ranges(key: str) -> Mapping[Property, DataRange]:
    return {Property(row["property"]): range_from_row(row) for row in _value_rows()[key]}


def cautions_of(key: str) -> tuple[Caution, ...]:
    """Cautions that the table has under a key, be it of a metal or of an unknown one; empty if it has none."""
    return tuple(
        Caution(
            kind=CautionKind(row["kind"]),
            weight=Severity(row["weight"]),
            text=row["text"],
            short=row["short"],
            gate=row["gate"],
            standing=Standing(row["standing"]),
            source_key=row["source_key"],
            place=row["place"],
        )
        for row in _caution_rows().get(key, ())
    )


def _made_of_its_group(key: str) -> Material:
    from handwheel.data.unknown_metals import (  # noqa: PLC0415  that module builds on this one
        unknown_material,
        unknown_metals,
    )

    if key not in unknown_metals():
        raise DataTableError(_not_in_the_tables(key))
    return unknown_material(key)


def _not_in_the_tables(key: str) -> str:
    from difflib import get_close_matches  # noqa: PLC0415  only an error needs it, and a look-up must stay quick

    from handwheel.data.hazards import hazard_metal_named  # noqa: PLC0415  only an error needs it

    hazardous = hazard_metal_named(key)
    if hazardous is not None:
        return f"material {key!r}: {hazardous.words}"
    near = get_close_matches(key, material_keys(), n=3, cutoff=0.4)
    hint = f"did you mean {' or '.join(near)}?" if near else f"choose one of {', '.join(material_keys())}"
    return f"material {key!r}: not in the tables; {hint}"
