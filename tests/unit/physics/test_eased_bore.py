"""The arc of an eased inside."""

from __future__ import annotations

import pytest

from handwheel.domain.errors import OutOfRangeError
from handwheel.physics.eased_bore import eased_radius_mm


@pytest.mark.parametrize(("width_mm", "relief_mm"), [(6.0, 0.2), (4.0, 0.5), (8.0, 4.0)])
def test_the_arc_goes_through_the_middle_and_both_edges(width_mm: float, relief_mm: float) -> None:
    """By the circle itself: at half the width it has fallen by the relief."""
    radius_mm = eased_radius_mm(width_mm, relief_mm=relief_mm)
    assert radius_mm - (radius_mm**2 - (width_mm / 2) ** 2) ** 0.5 == pytest.approx(relief_mm)


@pytest.mark.parametrize(("width_mm", "relief_mm"), [(0.0, 0.1), (6.0, 0.0), (6.0, 3.01), (6.0, -0.2)])
def test_what_is_no_arc_is_refused(width_mm: float, relief_mm: float) -> None:
    with pytest.raises(OutOfRangeError):
        eased_radius_mm(width_mm, relief_mm=relief_mm)
