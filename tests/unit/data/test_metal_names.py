"""What a metal may be called, and what is said of a name that is none."""

from __future__ import annotations

import pytest

from handwheel.data.materials import material, material_keys
from handwheel.data.metal_names import LONGEST_NAME, metals_named, near_metals, unknown_of
from handwheel.data.unknown_metals import unknown_metals, unknown_words


@pytest.mark.parametrize("key", [*material_keys(), *unknown_metals()])
def test_every_metal_is_found_by_its_key_and_by_its_whole_name(key: str) -> None:
    assert metals_named(key) == (key,)
    assert metals_named(material(key).name) == (key,)
    assert metals_named(f"  {material(key).name.upper()} ") == (key,)


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("1.4305", "ss303"),
        ("S31603", "ss316l"),
        ("12L14", "st11smnpb30"),
        ("EN8", "st_c45"),
        ("mild steel", "st_s235"),
        ("4140 annealed", "st_42crmo4_a"),
        ("CW614N", "cu_cw614n"),
        ("C36000", "cu_cw614n"),
        ("CuZn37", "cu_cw508l"),
        ("SAE 660", "cu_c93200"),
        ("6061", "al_6082"),
        ("EN AW-2011 AlCu6BiPb T3", "al_2011"),
        ("Ti-6Al-4V", "ti_gr5"),
        ("sterling", "ag925"),
        ("18k", "au750"),
        ("nylon", "pa66"),
        ("mystery brass", "unknown_brass"),
        ("Unknown Aluminum", "unknown_aluminium"),
    ],
)
def test_standard_numbers_and_names_of_the_trade_find_their_metal(name: str, key: str) -> None:
    assert metals_named(name) == (key,)


def test_a_family_and_a_name_of_several_find_all_of_them() -> None:
    assert metals_named("brass") == ("cu_cw614n", "cu_cw508l")
    assert metals_named("aluminum") == ("al_6082", "al_7075", "al_2011")
    assert metals_named("17-4") == ("ss174a", "ss174h")
    assert metals_named("gold") == ("au585", "au750")
    assert set(metals_named("stainless steel")) == {key for key in material_keys() if key.startswith("ss")}


@pytest.mark.parametrize(
    "name", ["", " ", "\x00", "\udcff", "☃", "steel" * 100, "x" * (LONGEST_NAME + 1), "../..", "--"]
)
def test_a_hostile_name_is_no_metal(name: str) -> None:
    assert metals_named(name) == ()
    assert set(near_metals(name)) <= {*material_keys(), *unknown_metals()}


@pytest.mark.parametrize("name", ["", " ", "\x00", "\udcff", "☃", "../.."])
def test_nothing_is_like_a_name_without_letters(name: str) -> None:
    assert near_metals(name) == ()


def test_a_near_miss_is_offered_the_nearest() -> None:
    assert "cu_cw614n" in near_metals("bras")
    assert near_metals("titaniun")[0] == "ti_gr2"
    assert near_metals("ss340")[0] == "ss304"
    assert near_metals("zzzz") == ()


def test_who_does_not_know_which_is_offered_the_unknown_one_of_the_smallest_group() -> None:
    assert unknown_of(("cu_cw614n", "cu_cw508l")) == "unknown_brass"
    assert unknown_of(("ss303", "ss304")) == "unknown_stainless"
    assert unknown_of(("ss303", "st_c45")) == "unknown_steel"
    assert unknown_of(("ss303", "al_7075")) == ""


def test_no_two_unknown_metals_share_a_word() -> None:
    words = [word for found in unknown_metals().values() for word in (found.key, *found.other_names)]
    assert len(words) == len(set(words)) == len(unknown_words())
    assert not set(words) & set(material_keys())
