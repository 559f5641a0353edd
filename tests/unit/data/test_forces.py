"""Opinions about cutting force."""

from __future__ import annotations

import pytest

from handwheel.data.forces import force_models, power_feed_factors
from handwheel.data.materials import material, material_keys
from handwheel.physics.force import force_band


def test_steel_has_three_opinions_of_its_own() -> None:
    models = force_models(material("st_c45"))
    assert [(model.kc_high_n_mm2, model.mc) for model in models] == [(1500.0, 0.22), (2220.0, 0.14), (2240.0, None)]
    assert not any(model.from_group for model in models)
    assert models[2].feed_factors == power_feed_factors()
    assert models[0].feed_factors == ()


@pytest.mark.parametrize("key", material_keys())
def test_every_material_gets_a_force_with_its_words(key: str) -> None:
    models = force_models(material(key))
    assert any(model.mc is not None for model in models)
    assert all(model.words and model.source_key and model.place for model in models)
    band = force_band(models, depth_mm=0.5, feed_mm_rev=0.1)
    assert 0 < band.low_n <= band.high_n


@pytest.mark.parametrize("key", ["cu_cw508l", "nb", "ag925", "au585", "au750", "pt950", "pom", "ptfe", "pa66"])
def test_a_material_without_force_data_borrows_from_its_group_and_says_so(key: str) -> None:
    found = material(key)
    models = force_models(found)
    assert all(model.from_group for model in models)
    assert all(model.words.startswith(f"{found.name}: {found.force_group_note}") for model in models)


@pytest.mark.parametrize(("key", "own"), [("cu_cw307g", 2480.0), ("zr702", 1410.0)])
def test_a_lone_power_constant_is_completed_by_the_group(key: str, own: float) -> None:
    first, *others = force_models(material(key))
    assert (first.kc_high_n_mm2, first.mc, first.from_group) == (own, None, False)
    assert others
    assert all(model.from_group for model in others)


def test_borrowed_range_spans_the_members_of_the_group() -> None:
    borrowed = force_band(force_models(material("ag925")), depth_mm=0.5, feed_mm_rev=0.1)
    for key in ("cu_cw614n", "cu_cusn8", "cu_c93200", "cu_etp"):
        own = force_band(force_models(material(key)), depth_mm=0.5, feed_mm_rev=0.1)
        assert borrowed.low_n <= own.low_n
        assert own.high_n <= borrowed.high_n


def test_an_opinion_is_borrowed_once() -> None:
    labels = [model.label for model in force_models(material("pom"))]
    assert len(labels) == len(set(labels))


@pytest.mark.parametrize(("key", "least", "most"), [("st_c45", 1.25, 1.45), ("ti_gr5", 1.6, 1.7), ("cu_etp", 2.2, 2.6)])
def test_sources_differ_as_much_as_is_said(key: str, least: float, most: float) -> None:
    """Computed for this project: steels 25 to 45 %, Ti-6Al-4V 65 %, copper up to 156 % at a chip of 0.3 mm and less."""
    spreads = []
    for feed in (0.1, 0.3):
        band = force_band(force_models(material(key)), depth_mm=1.0, feed_mm_rev=feed)
        spreads.append(band.high_n / band.low_n)
    assert least <= max(spreads) <= most
