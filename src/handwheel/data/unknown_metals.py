"""Metals of which only the group is known: the strictest member of the group rules.

A bar without a mark may be any metal of its group. Ceilings (cutting speeds, feeds) are the lowest of the group,
floors (least depth, least feed) the highest, and what is a plain fact (modulus, density, growth) spans all of them; of
forces every opinion about every member counts, so that the largest rules. What one member of the group lacks, the
unknown metal lacks too. A hardened bar is left out of the group: a file tells it first.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from msgspec import Struct
from msgspec.structs import replace

from handwheel.data.loader import Standing, load_table
from handwheel.data.materials import (
    Caution,
    DrillPractice,
    Material,
    Property,
    WorkHardening,
    cautions_of,
    material,
    material_keys,
)
from handwheel.data.metal_families import families
from handwheel.data.ranges import DataRange

_COLUMNS = (
    "key",
    "name",
    "other_names",
    "families",
    "left_out",
    "forbids",
    "lubricant",
    "lubricant_at_the_cut",
    "edge_advice",
    "chip",
    "suspicion",
    "tell",
    "standing",
    "source_key",
    "place",
)
_MAY_BE_BLANK = ("left_out", "forbids", "edge_advice")
_MANY = ";"
YES = "yes"

CEILINGS = frozenset(
    {
        Property.VC_HSS_ROUGH,
        Property.VC_HSS_FINISH,
        Property.VC_HSS_DRILL,
        Property.VC_CARBIDE_ROUGH,
        Property.VC_CARBIDE_FINISH,
        Property.FEED_ROUGH,
        Property.FEED_FINISH,
    }
)
"""What must not be passed: the member that bears least rules."""
FLOORS = frozenset({Property.MIN_DEPTH, Property.MIN_FEED})
"""What must be reached: the member that asks most rules."""
FACTS = frozenset(
    {
        Property.E_MODULUS,
        Property.POISSON,
        Property.DENSITY,
        Property.ALPHA,
        Property.CONDUCTIVITY,
        Property.SPECIFIC_HEAT,
        Property.TENSILE,
        Property.YIELD,
    }
)
"""What is as it is: the range spans all members."""
LARGEST_KNOWN = frozenset({Property.KD_DRILLING})
"""A force by another rule: the largest of the members that have one, for the others' forces count as they are."""

_WEAKEST_FIRST = (Standing.COMMON_PRACTICE, Standing.FROM_MEMORY, Standing.COMPUTED, Standing.OPENED)
_HARDENING = tuple(WorkHardening)


class UnknownMetal(Struct, frozen=True, kw_only=True):
    """A metal of which only the group is known.

    ``other_names`` are what it may be called in a part file, ``members`` the keys of what it may be. ``suspicion`` says
    what it may hold, ``tell`` how to find out more; ``forbids`` that it must not be cut before that is done.
    """

    key: str
    name: str
    other_names: tuple[str, ...]
    members: tuple[str, ...]
    forbids: bool
    suspicion: str
    tell: str
    source_key: str


@cache
def unknown_metals() -> Mapping[str, UnknownMetal]:
    """Every unknown metal by its key.

    Examples
    --------
    >>> unknown_metals()["unknown_brass"].members
    ('cu_cw614n', 'cu_cw508l')
    """
    return {
        key: UnknownMetal(
            key=key,
            name=row["name"],
            other_names=tuple(row["other_names"].split(_MANY)),
            members=_members(row),
            forbids=row["forbids"] == YES,
            suspicion=row["suspicion"],
            tell=row["tell"],
            source_key=row["source_key"],
        )
        for key, row in _rows().items()
    }


@cache
def unknown_words() -> Mapping[str, str]:
    """What an unknown metal may be called in a file, and its key.

    Examples
    --------
    >>> unknown_words()["mystery brass"]
    'unknown_brass'
    """
    return {word: found.key for found in unknown_metals().values() for word in (found.key, *found.other_names)}


@cache
def metal_words() -> Mapping[str, str]:
    """What a file may call its metal, and the key of it: keys of the tables, and names of unknown metals.

    Examples
    --------
    >>> metal_words()["ti_gr2"], metal_words()["unknown steel"]
    ('ti_gr2', 'unknown_steel')
    """
    return {key: key for key in material_keys()} | dict(unknown_words())


@cache
def unknown_material(key: str) -> Material:
    """Material that stands for a metal nobody has named, made of its group.

    Parameters
    ----------
    key : str
        A key of `unknown_metals`.

    Returns
    -------
    Material
        Ranges as the head of this module says; the worst hardening; a dubbed drill if any member grabs; every caution
        for the hand, with the member that it belongs to; for the wearer the caution of its own.

    Examples
    --------
    >>> unknown_material("unknown_stainless").range("vc_hss_rough").words
    '6 to 12 m/min'
    """
    row, found = _rows()[key], unknown_metals()[key]
    members = tuple(map(material, found.members))
    rakes = [member.most_rake_deg for member in members if member.most_rake_deg is not None]
    return Material(
        key=key,
        name=found.name,
        designations="none: it bears no mark",
        iso513_group="/".join(dict.fromkeys(member.iso513_group for member in members)),
        condition="not known",
        force_group=key,
        force_group_note="no force data of its own; it may be any of its group, and the largest force rules",
        work_hardening=max((member.work_hardening for member in members), key=_HARDENING.index),
        drill_practice=_drill_practice(members),
        lubricant=row["lubricant"],
        lubricant_at_the_cut=row["lubricant_at_the_cut"],
        edge_advice=row["edge_advice"],
        most_rake_deg=min(rakes, default=None),
        chip=row["chip"],
        cautions=(*cautions_of(key), *_hazards(members)),
        ranges=_ranges(members),
        members=found.members,
        standing=Standing(row["standing"]),
        source_key=row["source_key"],
        place=row["place"],
    )


@cache
def _rows() -> Mapping[str, Mapping[str, str]]:
    return {row["key"]: row for row in load_table("unknown_metals.csv", _COLUMNS, _MAY_BE_BLANK)}


def _members(row: Mapping[str, str]) -> tuple[str, ...]:
    left_out = row["left_out"].split(_MANY)
    grouped = (member for family in row["families"].split(_MANY) for member in families()[family])
    return tuple(member for member in grouped if member not in left_out)


def _drill_practice(members: tuple[Material, ...]) -> DrillPractice:
    grabs = any(member.drill_practice is DrillPractice.SINGLE_DUBBED for member in members)
    return DrillPractice.SINGLE_DUBBED if grabs else DrillPractice.LADDER


def _hazards(members: tuple[Material, ...]) -> tuple[Caution, ...]:
    """Every caution of the group for the hand, once, with the members that it belongs to unless it is all of them."""
    owners: dict[Caution, list[str]] = {}
    for member in members:
        for caution in member.hazards:
            owners.setdefault(caution, []).append(member.name)
    return tuple(
        caution if len(names) == len(members) else _perhaps(caution, names) for caution, names in owners.items()
    )


def _perhaps(caution: Caution, names: list[str]) -> Caution:
    short = f"Perhaps {caution.short[0].lower()}{caution.short[1:]}" if caution.short else ""
    return replace(caution, text=f"It may be {' or '.join(names)}. {caution.text}", short=short)


# ranges -------------------------------------------------------------------------------------------------------------


class _End(Struct, frozen=True, kw_only=True):
    """One end of a member's range, and what stands behind it."""

    value: float
    member: Material
    own: DataRange


def _ranges(members: tuple[Material, ...]) -> Mapping[Property, DataRange]:
    joined = {prop: _joined(members, prop) for prop in CEILINGS | FLOORS | FACTS | LARGEST_KNOWN}
    return {prop: found for prop in Property if (found := joined.get(prop)) is not None}


def _joined(members: tuple[Material, ...], prop: Property) -> DataRange | None:
    """Range that holds for every member; nothing if the tables have none of it for one of them."""
    found = [(member, _range_of(member, prop)) for member in members]
    known = [(member, own) for member, own in found if own is not None]
    if not known or (len(known) < len(members) and prop not in LARGEST_KNOWN):
        return None
    if prop in FACTS:
        known_lows = [_End(value=own.low, member=member, own=own) for member, own in known if own.low is not None]
        known_highs = [_End(value=own.high, member=member, own=own) for member, own in known if own.high is not None]
        low = min(known_lows, key=_value) if len(known_lows) == len(known) else None
        high = max(known_highs, key=_value) if len(known_highs) == len(known) else None
        return _between(low, high)
    lows = [_End(value=own.least, member=member, own=own) for member, own in known]
    highs = [_End(value=own.most, member=member, own=own) for member, own in known]
    if prop in CEILINGS:
        return _between(min(lows, key=_value), min(highs, key=_value))
    return _between(max(lows, key=_value), max(highs, key=_value))


def _value(end: _End) -> float:
    return end.value


def _range_of(member: Material, prop: Property) -> DataRange | None:
    """Range of a member; where a drill has no speed of its own the rough one counts, as `cutting_speed` has it."""
    found = member.find(prop)
    return member.find(Property.VC_HSS_ROUGH) if found is None and prop is Property.VC_HSS_DRILL else found


def _between(low: _End | None, high: _End | None) -> DataRange | None:
    """Range from one end to another, with the weaker standing of the two; open where an end is missing."""
    ends = [end for end in (low, high) if end is not None]
    if not ends:
        return None
    weaker = min(ends, key=lambda end: _WEAKEST_FIRST.index(end.own.standing))
    said = dict.fromkeys(f"{end.member.name} ({end.own.source_key}, {end.own.standing.value})" for end in ends)
    return DataRange(
        low=None if low is None else low.value,
        high=None if high is None else high.value,
        unit=weaker.own.unit,
        standing=weaker.own.standing,
        source_key=weaker.own.source_key,
        place=f"ruled by {' and '.join(said)}",
    )
