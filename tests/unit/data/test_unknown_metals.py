"""A metal nobody has named bears no more than any metal that it may be, and asks no less."""

from __future__ import annotations

import pytest

from handwheel.data.forces import force_models
from handwheel.data.loader import Standing, sources
from handwheel.data.materials import DrillPractice, Material, Property, WorkHardening, material
from handwheel.data.speeds import CutKind, cutting_speed
from handwheel.data.unknown_metals import (
    CEILINGS,
    FACTS,
    FLOORS,
    LARGEST_KNOWN,
    metal_words,
    unknown_material,
    unknown_metals,
)
from handwheel.domain.errors import DataTableError
from handwheel.domain.motion import Edge
from handwheel.physics.force import force_band

PAIRS = [(key, member) for key, found in unknown_metals().items() for member in found.members]
FEEDS_MM_REV = (0.02, 0.05, 0.1, 0.2, 0.3)
HARDENING = tuple(WorkHardening)


def force_n(metal: Material, feed_mm_rev: float) -> float:
    return force_band(force_models(metal), feed_mm_rev=feed_mm_rev, depth_mm=1.0).high_n


@pytest.mark.parametrize(("key", "member"), PAIRS)
def test_it_is_cut_no_faster_than_any_metal_that_it_may_be(key: str, member: str) -> None:
    for edge in Edge:
        for cut in CutKind:
            unknown = cutting_speed(material(key), edge=edge, cut=cut)
            known = cutting_speed(material(member), edge=edge, cut=cut)
            assert unknown.high_m_min <= known.high_m_min
            assert unknown.low_m_min <= known.low_m_min


@pytest.mark.parametrize(("key", "member"), PAIRS)
def test_it_is_reckoned_to_need_no_less_force(key: str, member: str) -> None:
    for feed in FEEDS_MM_REV:
        assert force_n(material(key), feed) >= force_n(material(member), feed)
    drilled, own = material(key).find("kd_drilling"), material(member).find("kd_drilling")
    assert own is None or (drilled is not None and drilled.most >= own.most)


@pytest.mark.parametrize(("key", "member"), PAIRS)
def test_feeds_floors_and_facts_hold_for_every_metal_that_it_may_be(key: str, member: str) -> None:
    unknown, known = material(key), material(member)
    for name in (Property.FEED_ROUGH, Property.FEED_FINISH):
        assert unknown.range(name).most <= known.range(name).most
    for name in FLOORS:
        assert unknown.range(name).least >= known.range(name).least
        assert unknown.range(name).most >= known.range(name).most
    for name in (Property.E_MODULUS, Property.DENSITY, Property.ALPHA):
        assert unknown.range(name).least <= known.range(name).least
        assert unknown.range(name).most >= known.range(name).most
    assert unknown.range(Property.FEED_FINISH).most >= unknown.range(Property.MIN_FEED).most


@pytest.mark.parametrize(("key", "member"), PAIRS)
def test_it_behaves_as_badly_as_the_worst_of_them(key: str, member: str) -> None:
    unknown, known = material(key), material(member)
    assert HARDENING.index(unknown.work_hardening) >= HARDENING.index(known.work_hardening)
    if known.drill_practice is DrillPractice.SINGLE_DUBBED:
        assert unknown.drill_practice is DrillPractice.SINGLE_DUBBED
    if known.most_rake_deg is not None:
        assert unknown.most_rake_deg is not None
        assert unknown.most_rake_deg <= known.most_rake_deg


@pytest.mark.parametrize(("key", "member"), PAIRS)
def test_every_danger_of_the_group_is_told_with_the_metal_that_it_belongs_to(key: str, member: str) -> None:
    for caution in material(member).hazards:
        (told,) = [own for own in material(key).hazards if own.text.endswith(caution.text) and own.kind is caution.kind]
        assert told.source_key == caution.source_key
        assert told.text == caution.text or material(member).name in told.text


@pytest.mark.parametrize("key", unknown_metals())
def test_nobody_is_told_that_it_may_be_worn(key: str) -> None:
    (skin,) = [caution for caution in material(key).cautions if caution not in material(key).hazards]
    assert "not to be worn on trust" in skin.text


@pytest.mark.parametrize("key", unknown_metals())
def test_its_ranges_say_who_rules_them_with_the_weaker_standing(key: str) -> None:
    for found in material(key).ranges.values():
        assert found.source_key in sources()
        assert found.place.startswith("ruled by ")
    names = [material(member).name for member in unknown_metals()[key].members]
    assert all(any(name in found.place for name in names) for found in material(key).ranges.values())


def test_two_ends_of_unlike_standing_carry_the_weaker() -> None:
    rough = material("unknown_steel").range("vc_carbide_rough")
    assert (rough.low, rough.high) == (40.0, 61.0)
    assert rough.standing is Standing.COMMON_PRACTICE
    assert "17-4PH stainless, solution annealed (COMMON" in rough.place
    assert "Austenitic stainless 304 / 304L (TO_1_1A_9, opened)" in rough.place


def test_an_end_that_one_of_them_leaves_open_stays_open() -> None:
    assert material("unknown_titanium").range("tensile").words == "at least 345 N/mm2"
    assert material("unknown_stainless").range("tensile").words == "up to 1200 N/mm2"
    assert material("unknown_steel").find("tensile") is None


def test_a_hardened_bar_is_left_out_of_the_steels() -> None:
    for key in ("unknown_steel", "unknown_stainless"):
        assert "ss174h" not in material(key).members
        assert "ss174a" in material(key).members


def test_every_quantity_has_one_rule_or_is_left_to_the_members() -> None:
    groups = (CEILINGS, FLOORS, FACTS, LARGEST_KNOWN)
    ruled = [prop for group in groups for prop in group]
    assert len(ruled) == len(set(ruled))
    left = set(Property) - set(ruled)
    assert not any(material(key).find(prop) for key in unknown_metals() for prop in left)


def test_files_may_call_it_by_its_names() -> None:
    words = metal_words()
    assert words["unknown steel"] == words["mystery steel"] == words["unknown_steel"] == "unknown_steel"
    assert words["mystery brass"] == "unknown_brass"
    assert words["ti_gr2"] == "ti_gr2"


def test_it_is_made_once_and_known_as_unknown() -> None:
    assert material("unknown_brass") is material("unknown_brass") is unknown_material("unknown_brass")
    assert material("unknown_brass").is_unknown
    assert not material("cu_cw614n").is_unknown
    with pytest.raises(DataTableError, match="material 'unknown_wood': not in the tables"):
        material("unknown_wood")
