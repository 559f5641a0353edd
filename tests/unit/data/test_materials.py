"""Materials."""

from __future__ import annotations

import pytest

from handwheel.data.loader import Standing
from handwheel.data.materials import (
    CautionKind,
    DrillPractice,
    Property,
    WorkHardening,
    material,
    material_keys,
    materials,
    materials_of_force_group,
)
from handwheel.domain.errors import DataTableError

PLAUSIBLE = {
    Property.KC11: (500, 4000),
    Property.MC: (0.1, 0.35),
    Property.VC_HSS_ROUGH: (3, 200),
    Property.VC_HSS_FINISH: (5, 300),
    Property.VC_HSS_DRILL: (5, 150),
    Property.VC_CARBIDE_ROUGH: (10, 500),
    Property.VC_CARBIDE_FINISH: (10, 900),
    Property.FEED_ROUGH: (0.02, 0.5),
    Property.FEED_FINISH: (0.01, 0.2),
    Property.MIN_DEPTH: (0.02, 0.8),
    Property.MIN_FEED: (0.01, 0.1),
    Property.E_MODULUS: (0.3, 250),
    Property.POISSON: (0.2, 0.5),
    Property.DENSITY: (1, 22),
    Property.ALPHA: (5, 140),
    Property.KF_RATIO: (0.1, 0.6),
    Property.KP_RATIO: (0.1, 0.6),
}


def test_all_materials_are_there() -> None:
    assert len(material_keys()) == len(set(material_keys())) == 34
    assert tuple(found.key for found in materials()) == material_keys()


@pytest.mark.parametrize("key", material_keys())
def test_every_material_has_what_no_plan_can_do_without(key: str) -> None:
    found = material(key)
    for name in (Property.FEED_ROUGH, Property.FEED_FINISH, Property.MIN_DEPTH, Property.MIN_FEED, Property.DENSITY):
        assert found.range(name).source_key
    assert found.cautions
    assert found.lubricant
    assert found.chip


@pytest.mark.parametrize("prop", sorted(PLAUSIBLE))
def test_values_lie_where_such_values_lie(prop: Property) -> None:
    low, high = PLAUSIBLE[prop]
    known = [found for found in (one.find(prop) for one in materials()) if found is not None]
    assert known
    assert all(low <= found.least <= found.most <= high for found in known)


@pytest.mark.parametrize("key", material_keys())
def test_a_finishing_feed_reaches_above_the_least_feed(key: str) -> None:
    found = material(key)
    assert found.range(Property.FEED_FINISH).most >= found.range(Property.MIN_FEED).least


@pytest.mark.parametrize("key", material_keys())
def test_a_kienzle_set_is_whole(key: str) -> None:
    found = material(key)
    for kc, mc in ((Property.KC11, Property.MC), (Property.KC11_ALT, Property.MC_ALT)):
        assert (found.find(kc) is None) == (found.find(mc) is None)


def test_ranges_and_limits_are_read_as_written() -> None:
    assert material("ss303").range("vc_hss_rough").words == "8 to 17 m/min"
    assert material("ss303").range("yield").words == "at least 190 N/mm2"
    assert material("ss420a").range("tensile").words == "up to 760 N/mm2"
    assert material("ss303").range(Property.KC11).standing is Standing.OPENED
    assert material("ti_gr5").range("kc11").source_key == "VDI3323"


def test_what_the_tables_do_not_have_is_not_guessed() -> None:
    assert material("au585").find("vc_hss_rough") is None
    with pytest.raises(
        DataTableError, match="Gold 14k / 585: the tables have no vc_hss_rough; give a value of your own"
    ):
        material("au585").range("vc_hss_rough")


def test_a_property_that_does_not_exist_is_refused() -> None:
    with pytest.raises(DataTableError, match="property 'hardness': unknown; choose one of kc11, mc"):
        material("ss303").find("hardness")


def test_an_unknown_material_is_answered_with_the_nearest() -> None:
    with pytest.raises(DataTableError, match="material 'ss340': not in the tables; did you mean ss304"):
        material("ss340")
    with pytest.raises(DataTableError, match="material '': not in the tables; choose one of ss303, "):
        material("")


def test_brass_and_bronze_are_not_opened_by_a_ladder_of_sharp_drills() -> None:
    single = {one.key for one in materials() if one.drill_practice is DrillPractice.SINGLE_DUBBED}
    assert single == {"cu_cw614n", "cu_cw508l", "cu_cusn8", "cu_c93200", "cu_cw307g"}


def test_metals_that_burn_say_so_and_name_no_water() -> None:
    for key in ("ti_gr2", "ti_gr5", "zr702"):
        found = material(key)
        assert found.has_hazard(CautionKind.FIRE)
        fire = next(caution.text for caution in found.hazards if caution.kind is CautionKind.FIRE)
        assert "never water" in fire
        assert "Class D" in fire
    assert not material("ss304").has_hazard(CautionKind.FIRE)


def test_leaded_metals_warn_the_hand_and_the_wearer() -> None:
    for key in ("st11smnpb30", "cu_cw614n", "cu_c93200", "al_2011"):
        found = material(key)
        assert found.has_hazard(CautionKind.LEAD)
        assert any(caution.source_key == "REACH63" for caution in found.cautions)


def test_what_concerns_the_wearer_is_no_hazard_at_the_lathe() -> None:
    found = material("pt950")
    assert found.hazards == ()
    assert [caution.kind for caution in found.cautions] == [CautionKind.SKIN]


def test_the_worse_class_stands_where_a_source_gives_two() -> None:
    assert material("pt950").work_hardening is WorkHardening.SEVERE
    assert material("nb").work_hardening is WorkHardening.MODERATE
    assert material("ss304").work_hardening is WorkHardening.SEVERE


def test_members_of_a_force_group() -> None:
    assert [one.key for one in materials_of_force_group("titanium")] == ["ti_gr2", "ti_gr5", "zr702"]
    assert materials_of_force_group("wood") == ()
