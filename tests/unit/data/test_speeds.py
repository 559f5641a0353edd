"""Cutting speeds."""

from __future__ import annotations

import pytest

from handwheel.data.loader import Standing
from handwheel.data.materials import material, material_keys
from handwheel.data.speeds import CutKind, cutting_speed
from handwheel.domain.errors import DataTableError
from handwheel.domain.motion import Edge

HSS, CARBIDE = Edge.HSS, Edge.CARBIDE
WITHOUT_SPEEDS = {"au585", "au750", "pt950"}


def test_turning_speeds_are_those_of_the_table_without_comment() -> None:
    found = cutting_speed(material("ss304"), edge=HSS, cut=CutKind.ROUGH)
    assert (found.low_m_min, found.high_m_min, found.words) == (6.0, 12.0, "")
    assert (found.source_key, found.standing) == ("TO_1_1A_9", Standing.OPENED)
    assert cutting_speed(material("ss304"), edge=CARBIDE, cut=CutKind.FINISH).high_m_min == 91.0


def test_a_drill_speed_of_its_own_comes_first() -> None:
    found = cutting_speed(material("ss304"), edge=HSS, cut=CutKind.DRILL)
    assert (found.low_m_min, found.high_m_min, found.words) == (17.0, 17.0, "")


def test_a_missing_drill_speed_is_replaced_and_said() -> None:
    drill = cutting_speed(material("cu_cusn8"), edge=HSS, cut=CutKind.DRILL)
    rough = cutting_speed(material("cu_cusn8"), edge=HSS, cut=CutKind.ROUGH)
    assert (drill.low_m_min, drill.high_m_min) == (rough.low_m_min, rough.high_m_min)
    assert drill.words == "no drill speed in the tables: rough turning range used"


def test_a_carbide_drill_runs_at_the_speed_of_hss_and_says_so() -> None:
    found = cutting_speed(material("ss304"), edge=CARBIDE, cut=CutKind.DRILL)
    assert found.high_m_min == 17.0
    assert found.words == "no carbide drill speed in the tables: HSS range used, slower and safe"
    both = cutting_speed(material("st_c45"), edge=CARBIDE, cut=CutKind.DRILL)
    assert both.words.endswith("slower and safe; no drill speed in the tables: rough turning range used")


@pytest.mark.parametrize(("cut", "low", "high"), [(CutKind.PART, 3.0, 8.4), (CutKind.BORE, 4.5, 10.8)])
def test_shares_of_another_speed_widen_the_range_and_are_common_practice(cut: CutKind, low: float, high: float) -> None:
    """Practice: parting 50 to 70 %, boring 75 to 90 % of turning; here 304 with HSS."""
    found = cutting_speed(material("ss304"), edge=HSS, cut=cut)
    assert (found.low_m_min, found.high_m_min) == pytest.approx((low, high))
    assert found.standing is Standing.COMMON_PRACTICE
    assert found.words
    assert "TO_1_1A_9" in found.place or "DRILL_REPRINT" in found.place


@pytest.mark.parametrize("edge", list(Edge))
@pytest.mark.parametrize("cut", list(CutKind))
@pytest.mark.parametrize("key", sorted(WITHOUT_SPEEDS))
def test_metals_without_a_speed_ask_for_one(key: str, cut: CutKind, edge: Edge) -> None:
    with pytest.raises(DataTableError, match=r"have no (rough|finish) cutting speed"):
        cutting_speed(material(key), edge=edge, cut=cut)


def test_zirconium_has_no_speed_for_hss() -> None:
    message = "Zirconium 702: the tables have no rough cutting speed for hss; give one of your own in m/min"
    with pytest.raises(DataTableError, match=message):
        cutting_speed(material("zr702"), edge=HSS, cut=CutKind.PART)
    assert cutting_speed(material("zr702"), edge=CARBIDE, cut=CutKind.PART).low_m_min == 22.5


@pytest.mark.parametrize("key", sorted(set(material_keys()) - WITHOUT_SPEEDS - {"zr702"}))
@pytest.mark.parametrize("cut", list(CutKind))
def test_all_others_have_a_speed_for_every_cut(key: str, cut: CutKind) -> None:
    for edge in Edge:
        found = cutting_speed(material(key), edge=edge, cut=cut)
        assert 0 < found.low_m_min <= found.high_m_min
