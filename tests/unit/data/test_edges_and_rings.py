"""Two small tables: edges and thick rings."""

from __future__ import annotations

import pytest

from handwheel.data.edges import EdgeCondition, edge_radius_um
from handwheel.data.loader import Standing
from handwheel.data.rings import thick_ring_table


def test_a_honed_edge_is_blunter_than_a_keen_one() -> None:
    keen, honed = edge_radius_um(EdgeCondition.KEEN), edge_radius_um(EdgeCondition.HONED)
    assert keen.words == "5 to 10 um"
    assert honed.words == "25 to 50 um"
    assert keen.standing is honed.standing is Standing.COMMON_PRACTICE


@pytest.mark.parametrize("jaws", [2, 3, 4, 6])
def test_ratios_of_thick_rings_rise_with_the_wall(jaws: int) -> None:
    points = thick_ring_table()[jaws]
    assert len(points) == 7
    assert list(points) == sorted(points)
    assert [ratio for _, ratio in points] == sorted(ratio for _, ratio in points)
    assert points[0][1] > 1
