"""Ratios of forces and rakes of reference: as remembered, and refused where nothing is known."""

from __future__ import annotations

import pytest

from handwheel.data.force_ratios import EdgeState, ForceDirection, force_ratio, radial_ratio
from handwheel.data.loader import Standing
from handwheel.data.materials import material
from handwheel.data.reference_rakes import reference_rake
from handwheel.domain.errors import DataTableError


@pytest.mark.parametrize(
    ("edge", "direction", "ends"),
    [
        (EdgeState.SHARP, ForceDirection.FEED, (0.3, 0.5)),
        (EdgeState.SHARP, ForceDirection.RADIAL, (0.2, 0.4)),
        (EdgeState.BLUNT, ForceDirection.RADIAL, (0.5, 1.0)),
    ],
)
def test_ratios_as_remembered(edge: EdgeState, direction: ForceDirection, ends: tuple[float, float]) -> None:
    """[TEXTBOOKS], from memory."""
    found = force_ratio(edge, direction)
    assert (found.least, found.most) == ends
    assert found.standing is Standing.FROM_MEMORY


def test_what_is_not_known_of_a_blunt_edge_is_refused() -> None:
    with pytest.raises(DataTableError, match="no feed force for a blunt edge"):
        force_ratio(EdgeState.BLUNT, ForceDirection.FEED)


@pytest.mark.parametrize(("key", "deg"), [("st_c45", 6.0), ("ci_gjl250", 2.0), ("al_6082", 0.0)])
def test_rakes_at_which_forces_were_tabled(key: str, deg: float) -> None:
    """[DIETRICH], as quoted in a public script (opened)."""
    found = reference_rake(material(key))
    assert found is not None
    assert found.least == deg


@pytest.mark.parametrize("key", ["ss304", "ti_gr5", "cu_etp", "pom"])
def test_other_families_have_none(key: str) -> None:
    assert reference_rake(material(key)) is None


@pytest.mark.parametrize(
    ("depth", "nose", "entering", "most"),
    [
        (0.4, 0.2, 90.0, 0.4),
        (0.39, 0.2, 90.0, 1.0),
        (0.1, 0.2, 90.0, 1.0),
        (0.4, 0.2, 60.0, 1.0),
        (0.1, 0.0, 95.0, 0.4),
    ],
)
def test_a_cut_on_the_nose_or_a_slanting_edge_pushes_as_a_blunt_one(
    depth: float, nose: float, entering: float, most: float
) -> None:
    assert radial_ratio(depth, nose, entering).most == most
