"""The table of usual tool lives: what is in it, and for which metals nothing is."""

from __future__ import annotations

import pytest

from handwheel.data.loader import Standing
from handwheel.data.materials import material, material_keys
from handwheel.data.metal_families import family_of
from handwheel.data.tool_life import (
    LifeWork,
    ToolMaterial,
    exponents_seen,
    life_work,
    usual_exponent,
    usual_speed_at_1_min,
)
from handwheel.domain.errors import DataTableError


@pytest.mark.parametrize("tool", ToolMaterial)
def test_the_usual_exponent_is_among_those_seen(tool: ToolMaterial) -> None:
    usual, seen = usual_exponent(tool), exponents_seen(tool)
    assert usual.is_single
    assert seen.least <= usual.least <= seen.most
    assert (usual.standing, seen.standing) == (Standing.FROM_MEMORY, Standing.OPENED)


@pytest.mark.parametrize(
    ("tool", "work", "expected"),
    [
        (ToolMaterial.HSS, LifeWork.STEEL, 70.0),
        (ToolMaterial.HSS, LifeWork.EASY, 120.0),
        (ToolMaterial.CARBIDE, LifeWork.STEEL, 500.0),
        (ToolMaterial.CARBIDE, LifeWork.EASY, 900.0),
        (ToolMaterial.COATED_CARBIDE, LifeWork.STEEL, 700.0),
        (ToolMaterial.CERAMIC, LifeWork.STEEL, 3000.0),
    ],
)
def test_constants_as_remembered(tool: ToolMaterial, work: LifeWork, expected: float) -> None:
    """[GROOVER], from memory."""
    found = usual_speed_at_1_min(tool, work)
    assert (found.least, found.most, found.unit) == (expected, expected, "m/min")


def test_a_pair_that_is_not_printed_is_refused() -> None:
    with pytest.raises(DataTableError, match="no speed_at_1_min for ceramic in easy metals; record your own edges"):
        usual_speed_at_1_min(ToolMaterial.CERAMIC, LifeWork.EASY)


@pytest.mark.parametrize("key", material_keys())
def test_only_steels_and_easy_metals_have_a_group(key: str) -> None:
    family = family_of(key)
    if family in {"steel", "cast iron", "brass", "aluminium"}:
        assert (life_work(material(key)) is LifeWork.STEEL) == (family == "steel")
    else:
        with pytest.raises(DataTableError, match="record how long your own edges last"):
            life_work(material(key))
