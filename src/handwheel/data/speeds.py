"""Cutting speeds of the tables, by edge and kind of cut."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.data.loader import Standing, load_table
from handwheel.data.materials import Property
from handwheel.domain.choice import Choice
from handwheel.domain.errors import DataTableError
from handwheel.domain.motion import Edge

if TYPE_CHECKING:
    from collections.abc import Mapping

    from handwheel.data.materials import Material
    from handwheel.data.ranges import DataRange

_FACTOR_COLUMNS = ("cut", "base", "factor_low", "factor_high", "words", "standing", "source_key", "place")


class CutKind(Choice):
    """Kinds of cut that run at different speeds; facing runs as turning does."""

    ROUGH = "rough"
    FINISH = "finish"
    DRILL = "drill"
    BORE = "bore"
    REAM = "ream"
    PART = "part"


class SpeedRange(Struct, frozen=True, kw_only=True):
    """Cutting speeds from which to choose, with the words that must stand beside them."""

    low_m_min: float
    high_m_min: float
    words: str
    standing: Standing
    source_key: str
    place: str


class _Factor(Struct, frozen=True, kw_only=True):
    base: CutKind
    low: float
    high: float
    words: str
    standing: Standing
    source_key: str


def cutting_speed(material: Material, *, edge: Edge, cut: CutKind) -> SpeedRange:
    """Range of cutting speeds for a material, an edge and a kind of cut.

    Parameters
    ----------
    material : Material
        As `handwheel.data.materials.material` returns it.
    edge : Edge
        High speed steel or carbide.
    cut : CutKind
        Rough, finish and drill come from the tables; bore and part are shares of them by common practice, ream a share
        of drill [TM_1_420].

    Returns
    -------
    SpeedRange
        Both ends in m/min. The books were written for rigid powered lathes: take the low end first.

    Raises
    ------
    DataTableError
        If the tables have no speed for this pair (gold, platinum, zirconium with HSS): nothing is guessed.

    Examples
    --------
    >>> from handwheel.data.materials import material
    >>> found = cutting_speed(material("st_c45"), edge=Edge.HSS, cut=CutKind.DRILL)
    >>> found.low_m_min, found.high_m_min, found.words
    (27.0, 30.0, 'no drill speed in the tables: rough turning range used')
    """
    factor = _factors().get(cut)
    if factor is None:
        return _listed_speed(material, edge=edge, cut=cut)
    base = cutting_speed(material, edge=edge, cut=factor.base)
    place = f"{factor.words}; {factor.base.value}: {base.source_key}, {base.standing.value}, {base.place}"
    return SpeedRange(
        low_m_min=base.low_m_min * factor.low,
        high_m_min=base.high_m_min * factor.high,
        words="; ".join(text for text in (factor.words, base.words) if text),
        standing=factor.standing,
        source_key=factor.source_key,
        place=place,
    )


def _listed_speed(material: Material, *, edge: Edge, cut: CutKind) -> SpeedRange:
    if cut is CutKind.DRILL:
        return _drill_speed(material, edge=edge)
    found = material.find(Property(f"vc_{edge.value}_{cut.value}"))
    if found is None:
        msg = (
            f"{material.name}: the tables have no {cut.value} cutting speed for {edge.value}; "
            "give one of your own in m/min, from the maker of the bar or of the tool"
        )
        raise DataTableError(msg)
    return _speed(found, words="")


def _drill_speed(material: Material, *, edge: Edge) -> SpeedRange:
    words = "" if edge is Edge.HSS else "no carbide drill speed in the tables: HSS range used, slower and safe"
    found = material.find(Property.VC_HSS_DRILL)
    if found is not None:
        return _speed(found, words=words)
    rough = _listed_speed(material, edge=Edge.HSS, cut=CutKind.ROUGH)
    said = "no drill speed in the tables: rough turning range used"
    return SpeedRange(
        low_m_min=rough.low_m_min,
        high_m_min=rough.high_m_min,
        words=f"{words}; {said}" if words else said,
        standing=rough.standing,
        source_key=rough.source_key,
        place=rough.place,
    )


def _speed(found: DataRange, *, words: str) -> SpeedRange:
    return SpeedRange(
        low_m_min=found.least,
        high_m_min=found.most,
        words=words,
        standing=found.standing,
        source_key=found.source_key,
        place=found.place,
    )


@cache
def _factors() -> Mapping[CutKind, _Factor]:
    return {
        CutKind(row["cut"]): _Factor(
            base=CutKind(row["base"]),
            low=float(row["factor_low"]),
            high=float(row["factor_high"]),
            words=row["words"],
            standing=Standing(row["standing"]),
            source_key=row["source_key"],
        )
        for row in load_table("cut_speed_factors.csv", _FACTOR_COLUMNS)
    }
