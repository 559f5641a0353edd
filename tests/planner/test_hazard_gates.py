"""Before a hazardous metal is touched the sheet asks whether all is ready.

Sources: practice case PC-10 and what each row of the tables names; local rules and trained supervision come first.
"""

from __future__ import annotations

import json
from functools import cache

import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.check.report import RefusalCode
from handwheel.data.hazards import gates_of, hazard_gates, hazard_metal_named
from handwheel.data.materials import CautionKind, material, material_keys
from handwheel.data.unknown_metals import metal_words, unknown_metals
from handwheel.domain import acts as a
from handwheel.domain.errors import DataTableError, InputError, NoPlanError
from handwheel.domain.plan import Plan, Sheet
from handwheel.domain.shop import Shop
from handwheel.planner.planner import make_plan
from handwheel.report.text_sheet import sheet_text
from handwheel.service.demo import demo_text
from handwheel.service.intake.part_file import read_part
from handwheel.service.intake.shop_file import read_shop
from handwheel.service.metals import metal_keys, metals_text
from handwheel.service.refusal_text import refusal_json
from tests.demo_plans import demo_part, demo_plan, demo_shop, of_metal
from tests.planner.holes import made

METRIC = "metric-lathe"
PLANNED = ("ti_gr2", "al_2011", "st11smnpb30", "ptfe", "pom", "unknown_steel", "unknown_titanium")
"""Metals and plastics with a gate of which the demo lathe can make the demo band."""
REFUSED = ("zr702", "cocr", "nb")
"""Those of which it cannot."""
NAMED = (
    "magnesium",
    "AZ31",
    "az91d",
    "zirconium",
    "beryllium copper",
    "C17200",
    "BeCu",
    "lead",
    "Lead",
    "fluoroplastic",
)
"""What a metal may be called of which there are no figures at all."""


@cache
def band_of(metal: str) -> tuple[Plan, Shop]:
    part, shop = of_metal(demo_part("band"), demo_shop(METRIC), metal)
    return make_plan(part, shop), shop


def confirms(acts: tuple[a.Act, ...]) -> list[a.HandStep]:
    return [act for act in acts if isinstance(act, a.HandStep) and act.kind is a.HandKind.CONFIRM]


def codes(sheet: Sheet, shop: Shop) -> set[RefusalCode]:
    return {refusal.code for refusal in check_sheet(sheet, shop).refusals}


# the tables ---------------------------------------------------------------------------------------------------------


def test_every_metal_that_burns_holds_lead_or_gives_off_fumes_has_a_gate() -> None:
    for key in (*material_keys(), *unknown_metals()):
        metal = material(key)
        wanted = {CautionKind.FIRE, CautionKind.LEAD, CautionKind.FUME}
        for hazard in metal.hazards:
            assert bool(hazard.gate) >= (hazard.kind in wanted), key
            assert hazard.short, "what was said once is said again in short"
    asked = {key: [gate.code for gate in gates_of(material(key))] for key in material_keys()}
    assert asked["ti_gr5"] == asked["zr702"] == ["metal-fire"]
    assert asked["cu_c93200"] == asked["cu_cw614n"] == ["lead-hygiene"]
    assert asked["ptfe"] == ["hot-fumes"]
    assert asked["ss304"] == asked["cu_cw508l"] == asked["ag925"] == []


def test_a_gate_says_what_it_is_for_and_that_local_rules_come_first() -> None:
    used = {hazard.gate for key in material_keys() for hazard in material(key).hazards if hazard.gate}
    assert used == set(hazard_gates())
    for gate in hazard_gates().values():
        assert gate.text.startswith("Say yes to each, or do not begin: ")
        assert gate.text.endswith("Local rules come first.")
    fire = hazard_gates()["metal-fire"].text
    assert all(word in fire for word in ("sand", "Class D", "no water", "no CO2"))
    lead = hazard_gates()["lead-hygiene"].text
    assert all(word in lead for word in ("eats", "smokes", "hands"))
    assert "smokes" in hazard_gates()["hot-fumes"].text


# the sheet ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("metal", PLANNED)
def test_the_sheet_begins_with_the_question_and_what_it_is_about_stands_before_it_in_full(metal: str) -> None:
    plan, shop = band_of(metal)
    gates = gates_of(material(metal))
    assert gates
    acts = plan.sheet.acts
    assert [act.text for act in confirms(acts)] == [gate.text for gate in gates]
    assert confirms(acts[: len(gates)]) == confirms(acts)
    for act, gate in zip(confirms(acts), gates, strict=True):
        about = [hazard.text for hazard in material(metal).hazards if hazard.gate == gate.code]
        assert list(act.cautions) == about
    assert check_sheet(plan.sheet, shop).refusals == ()


def test_it_is_asked_before_a_bar_is_sawn_too() -> None:
    """Sawing makes chips as well."""
    shop = demo_shop(METRIC)
    long = tuple(replace(bar, length_mm=3000.0) for bar in shop.bars)
    acts = make_plan(demo_part("band"), replace(shop, bars=long)).sheet.acts
    saws = [i for i, act in enumerate(acts) if isinstance(act, a.HandStep) and act.text.startswith("Saw ")]
    assert saws
    assert isinstance(acts[0], a.HandStep)
    assert acts[0].kind is a.HandKind.CONFIRM


def test_a_metal_without_such_a_hazard_asks_nothing() -> None:
    """A question that stands everywhere is answered without thought."""
    assert confirms(demo_plan("bush", METRIC).sheet.acts) == []
    assert confirms(make_plan(*of_metal(demo_part("band"), demo_shop(METRIC), "al_7075")).sheet.acts) == []


def test_what_must_be_at_hand_stands_in_the_list_to_get_ready() -> None:
    head = " ".join(sheet_text(demo_plan("band", METRIC), demo_shop(METRIC)).partition("HOW TO READ")[0].split())
    assert "also dry sand, dry salt or a Class D extinguisher" in head
    assert "Class D" not in sheet_text(demo_plan("bush", METRIC), demo_shop(METRIC))


# the check ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("metal", PLANNED)
def test_the_check_refuses_a_sheet_that_does_not_ask_or_asks_too_late_or_otherwise(metal: str) -> None:
    plan, shop = band_of(metal)
    acts = plan.sheet.acts
    gate, rest = acts[0], acts[1:]
    assert isinstance(gate, a.HandStep)
    loaded = next(i for i, act in enumerate(rest) if isinstance(act, a.LoadBar)) + 1
    fields = {name: getattr(gate, name) for name in gate.__struct_fields__}
    for other in (
        rest,
        (*rest[:loaded], gate, *rest[loaded:]),
        (a.HandStep(**{**fields, "text": "All ready?"}), *rest),
        (a.HandStep(**{**fields, "kind": a.HandKind.NOTE}), *rest),
    ):
        assert codes(replace(plan.sheet, acts=other), shop) == {RefusalCode.HAZARD_NOT_CONFIRMED}


def test_cautions_cannot_be_switched_off_for_a_first_cut_in_titanium() -> None:
    plan, shop = band_of("ti_gr2")
    silent = tuple(
        type(act)(**{**{name: getattr(act, name) for name in act.__struct_fields__}, "cautions": ()})
        for act in plan.sheet.acts
    )
    assert RefusalCode.MISSING_CAUTION in codes(replace(plan.sheet, acts=silent), shop)


def test_the_check_says_the_hazard_of_a_metal_that_has_no_figures() -> None:
    plan, shop = band_of("ti_gr2")
    part = replace(plan.sheet.part, material="magnesium")
    (said,) = [
        refusal.text
        for refusal in check_sheet(replace(plan.sheet, part=part), shop).refusals
        if refusal.code is RefusalCode.UNKNOWN_MATERIAL
    ]
    assert "Water, foam and CO2 make it burn harder" in said


# no plan ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("metal", REFUSED)
def test_a_refusal_of_a_hazardous_metal_says_what_is_lacking_and_the_hazard(metal: str) -> None:
    part, shop = of_metal(demo_part("band"), demo_shop(METRIC), metal)
    with pytest.raises(NoPlanError) as caught:
        make_plan(part, shop)
    refusal = caught.value.refusal
    assert refusal.troubles
    assert refusal.hazards == tuple(hazard.text for hazard in material(metal).hazards if hazard.gate)
    text = "\n".join(refusal.lines)
    assert all(hazard in text for hazard in refusal.hazards)
    assert "Local rules and trained supervision come first" in text
    assert json.loads(refusal_json(refusal))["hazards"] == list(refusal.hazards)


def test_a_refusal_of_any_other_metal_does_not() -> None:
    with pytest.raises(NoPlanError) as caught:
        make_plan(demo_part("bush"), replace(demo_shop(METRIC), bars=()))
    assert caught.value.refusal.hazards == ()
    assert "all the same" not in str(caught.value)


def part_text(metal: str) -> str:
    return demo_text("band").replace('"ti_gr2"', f'"{metal}"')


@pytest.mark.parametrize("name", NAMED)
def test_a_part_of_a_metal_without_figures_is_refused_with_what_is_lacking_and_its_hazard(name: str) -> None:
    found = hazard_metal_named(name)
    assert found is not None
    with pytest.raises(InputError) as caught:
        read_part(part_text(name), name="band.toml")
    assert len(caught.value.problems) == 1
    text = str(caught.value)
    assert "metal" in text
    assert "no speeds, forces and least cut" in text
    assert found.hazard in text
    assert "Local rules and trained supervision come first" in text
    assert f"[{found.source_key}, {found.standing.value}]" in text


def test_a_bar_of_such_a_metal_is_refused_so_too() -> None:
    text = demo_text(METRIC).replace('metal = "ti_gr2"', 'metal = "AZ31"')
    with pytest.raises(InputError, match=r"Magnesium and its alloys.*Hazard"):
        read_shop(text, name="shop.toml")


def test_a_name_that_means_several_metals_is_answered_with_their_keys_and_hazards() -> None:
    with pytest.raises(InputError) as caught:
        read_part(part_text("titanium"), name="band.toml")
    assert 'Write "ti_gr2" (' in str(caught.value)
    assert "Hazard: Titanium swarf" in str(caught.value)


@pytest.mark.parametrize(("name", "key"), [("PTFE", "ptfe"), ("leaded brass", "cu_cw614n"), ("zirconium 702", "zr702")])
def test_a_name_that_means_one_hazardous_metal_is_read_and_its_hazard_comes_with_the_plan(name: str, key: str) -> None:
    assert read_part(part_text(name), name="band.toml").material == key
    assert any(hazard.gate or hazard.text for hazard in material(key).hazards)


def test_a_name_that_nobody_knows_is_answered_as_before() -> None:
    with pytest.raises(InputError, match="did you mean"):
        read_part(part_text("ti_gr3"), name="band.toml")


@pytest.mark.parametrize("name", ["magnesium", "AZ31", "beryllium copper", "lead", "pure lead"])
def test_the_catalogue_says_the_hazard_of_a_metal_that_it_does_not_have(name: str) -> None:
    found = hazard_metal_named(name)
    assert found is not None
    for names in ([name], name.split()):
        with pytest.raises(InputError) as caught:
            metal_keys(names)
        assert found.hazard in str(caught.value)


def test_lead_is_not_taken_for_bronze_without_lead() -> None:
    """The name "tin bronze (lead free)" holds the word, and was what the catalogue answered with."""
    with pytest.raises(InputError, match="Lead and alloys that are mostly lead"):
        metals_text(["lead"])


def test_a_metal_of_the_tables_is_found_though_its_kin_has_no_figures() -> None:
    assert metal_keys(["zirconium"]) == ("zr702",)
    assert metal_keys(["ptfe"]) == ("ptfe",)


def test_no_name_of_a_hazard_hides_a_key_of_the_tables() -> None:
    for key in metal_words():
        assert hazard_metal_named(key) is None, key


def test_a_key_that_is_none_brings_the_hazard_wherever_it_is_looked_up() -> None:
    with pytest.raises(DataTableError, match="harm the lungs"):
        material("becu")


def test_thread_and_reamer_jobs_in_titanium_ask_as_well() -> None:
    assert len(confirms(made("tapped", METRIC).plan.sheet.acts)) == 1
