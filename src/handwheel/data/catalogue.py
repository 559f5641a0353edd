"""The catalogue of metals: what is claimed of each, topic by topic, every claim with its source and standing."""

from __future__ import annotations

from enum import Enum
from functools import cache
from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.data.loader import Standing, load_table
from handwheel.data.materials import CautionKind, Material, Property, material
from handwheel.data.metal_families import family_of
from handwheel.data.ranges import DataRange, range_from_row
from handwheel.data.unknown_metals import unknown_metals

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

_CLAIM_COLUMNS = ("material", "topic", "item", "low", "high", "unit", "text", "standing", "source_key", "place")
_CLAIM_BLANKS = ("item", "low", "high", "unit", "text")
_RULE_COLUMNS = ("rule", "low", "high", "unit", "text", "edition", "standing", "source_key", "place")

NOT_IN_TABLES = "not in the tables"
NOT_KNOWN = "not known: it depends on which it is"
GRADE_ALONE = (
    "The grade alone does not make a ring safe to wear. The rules judge what the finished ring, with its own surface, "
    "gives off, by a release test; skins differ; and nothing here is medical advice."
)


class Topic(Enum):
    """What a claim is about, in the order in which it is told; the value is what the table writes."""

    WEAR = "wear"
    NICKEL = "nickel"
    LEAD = "lead"
    CORROSION = "corrosion"
    HAZARD = "hazard"
    HARDNESS = "hardness"
    DENSITY = "density"
    STRENGTH = "strength"
    STIFFNESS = "stiffness"
    CHIPS = "chips"
    HARDENING = "hardening"
    EDGE = "edge"
    MACHINING = "machining"
    SPEED = "speed"
    LEAST_CUT = "least cut"
    LUBRICANT = "lubricant"
    CONTENT = "content"


TITLES = {
    Topic.WEAR: "worn on skin",
    Topic.NICKEL: "nickel",
    Topic.LEAD: "lead",
    Topic.CORROSION: "corrosion",
    Topic.HAZARD: "hazards",
    Topic.HARDNESS: "hardness",
    Topic.DENSITY: "density",
    Topic.STRENGTH: "strength",
    Topic.STIFFNESS: "stiffness",
    Topic.CHIPS: "chips",
    Topic.HARDENING: "hardening",
    Topic.EDGE: "at the edge",
    Topic.MACHINING: "at the lathe",
    Topic.SPEED: "cut at",
    Topic.LEAST_CUT: "least cut",
    Topic.LUBRICANT: "lubricant",
    Topic.CONTENT: "made of",
}
"""What stands beside the claims of a topic."""

_OF_PROPERTIES = {
    Property.DENSITY: (Topic.DENSITY, ""),
    Property.TENSILE: (Topic.STRENGTH, "tensile"),
    Property.YIELD: (Topic.STRENGTH, "yield"),
    Property.E_MODULUS: (Topic.STIFFNESS, "modulus"),
    Property.VC_HSS_ROUGH: (Topic.SPEED, "high-speed steel, rough"),
    Property.VC_HSS_FINISH: (Topic.SPEED, "finish"),
    Property.VC_CARBIDE_ROUGH: (Topic.SPEED, "carbide, rough"),
    Property.VC_CARBIDE_FINISH: (Topic.SPEED, "carbide, finish"),
    Property.MIN_DEPTH: (Topic.LEAST_CUT, "depth"),
    Property.MIN_FEED: (Topic.LEAST_CUT, "feed"),
}
"""Quantities of the tables that are claims of the catalogue: their topic, and which of it they are."""


class Claim(Struct, frozen=True, kw_only=True):
    """One thing said of a metal: an amount, a text or both; ``item`` says of what, where the topic alone does not.

    The text of a hazard says it itself; its ``item`` is the kind, for who sorts by it.
    """

    topic: Topic
    item: str
    amount: DataRange | None
    text: str
    standing: Standing
    source_key: str
    place: str

    @property
    def words(self) -> str:
        """The claim as text, such as ``"annealed: 65 to 75 HV"``."""
        said = self.text
        if self.amount is not None:
            said = f"{self.amount.words} ({self.text})" if self.text else self.amount.words
        says_itself = not self.item or self.topic is Topic.HAZARD
        return said if says_itself else f"{self.item}: {said}"


class CatalogueEntry(Struct, frozen=True, kw_only=True):
    """One metal of the catalogue with all its claims.

    ``may_be`` are the names of what an unknown metal may be, ``tell`` how to find out; both are empty for a known one.
    """

    key: str
    name: str
    family: str
    designations: str
    condition: str
    claims: tuple[Claim, ...]
    may_be: tuple[str, ...] = ()
    tell: str = ""

    def of(self, topic: Topic) -> tuple[Claim, ...]:
        """Claims about a topic; empty if the tables have none."""
        return tuple(claim for claim in self.claims if claim.topic is topic)

    @property
    def silent(self) -> tuple[Topic, ...]:
        """Topics on which the tables say nothing."""
        return tuple(topic for topic in Topic if not self.of(topic))

    @property
    def silence(self) -> str:
        """What is said of a topic without a claim; nothing is ever guessed."""
        return NOT_KNOWN if self.may_be else NOT_IN_TABLES


class WearRule(Struct, frozen=True, kw_only=True):
    """One rule about what is worn on skin, with its limit if it has one, and the edition that was read."""

    rule: str
    limit: DataRange | None
    text: str
    edition: str
    standing: Standing
    source_key: str
    place: str


@cache
def catalogue_entry(key: str) -> CatalogueEntry:
    """Everything that the tables claim of a metal.

    Parameters
    ----------
    key : str
        Key of a metal of the tables, or of an unknown one.

    Raises
    ------
    DataTableError
        If no material has that key.

    Examples
    --------
    >>> [claim.words for claim in catalogue_entry("ag925").of(Topic.HARDNESS)]
    ['annealed: 65 to 75 HV', 'hard drawn: 140 to 150 HV']
    """
    metal = material(key)
    unknown = unknown_metals().get(key)
    found = (*_of_cautions(metal), *_of_table(key), *_of_ranges(metal), *_of_words(metal))
    order = list(Topic)
    return CatalogueEntry(
        key=key,
        name=metal.name,
        family=family_of(key),
        designations=metal.designations,
        condition=metal.condition,
        claims=tuple(sorted(found, key=lambda claim: order.index(claim.topic))),
        may_be=tuple(material(member).name for member in metal.members),
        tell="" if unknown is None else f"{unknown.suspicion} {unknown.tell}",
    )


@cache
def wear_rules() -> tuple[WearRule, ...]:
    """Rules about nickel, lead and cadmium in what is worn, as far as they were read.

    Examples
    --------
    >>> wear_rules()[0].limit.words
    'up to 0.5 ug/cm2/week'
    """
    return tuple(
        WearRule(
            rule=row["rule"],
            limit=_amount(row),
            text=row["text"],
            edition=row["edition"],
            standing=Standing(row["standing"]),
            source_key=row["source_key"],
            place=row["place"],
        )
        for row in load_table("wear_rules.csv", _RULE_COLUMNS, ("low", "high", "unit"))
    )


@cache
def _rows() -> Mapping[str, tuple[Mapping[str, str], ...]]:
    groups: dict[str, list[Mapping[str, str]]] = {}
    for row in load_table("metal_claims.csv", _CLAIM_COLUMNS, _CLAIM_BLANKS):
        groups.setdefault(row["material"], []).append(row)
    return {key: tuple(group) for key, group in groups.items()}


def _amount(row: Mapping[str, str]) -> DataRange | None:
    return range_from_row(row) if row["low"] or row["high"] else None


def _of_table(key: str) -> Iterator[Claim]:
    for row in _rows().get(key, ()):
        yield Claim(
            topic=Topic(row["topic"]),
            item=row["item"],
            amount=_amount(row),
            text=row["text"],
            standing=Standing(row["standing"]),
            source_key=row["source_key"],
            place=row["place"],
        )


def _of_cautions(metal: Material) -> Iterator[Claim]:
    """Cautions as claims: those of the wearer about wear, all others about hazards."""
    for caution in metal.cautions:
        yield Claim(
            topic=Topic.WEAR if caution.kind is CautionKind.SKIN else Topic.HAZARD,
            item="" if caution.kind is CautionKind.SKIN else caution.kind.value,
            amount=None,
            text=caution.text,
            standing=caution.standing,
            source_key=caution.source_key,
            place=caution.place,
        )


def _of_ranges(metal: Material) -> Iterator[Claim]:
    for prop, (topic, item) in _OF_PROPERTIES.items():
        found = metal.find(prop)
        if found is not None:
            yield Claim(
                topic=topic,
                item=item,
                amount=found,
                text="",
                standing=found.standing,
                source_key=found.source_key,
                place=found.place,
            )


def _of_words(metal: Material) -> Iterator[Claim]:
    """What the table of names says of chips, hardening, lubricant and edge."""
    said = (
        (Topic.CHIPS, metal.chip),
        (Topic.HARDENING, metal.work_hardening.value),
        (Topic.LUBRICANT, metal.lubricant),
        (Topic.EDGE, metal.edge_advice),
    )
    for topic, text in said:
        if text:
            yield Claim(
                topic=topic,
                item="",
                amount=None,
                text=text,
                standing=metal.standing,
                source_key=metal.source_key,
                place=metal.place,
            )
