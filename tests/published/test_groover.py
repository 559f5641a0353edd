"""M. P. Groover, Fundamentals of Modern Manufacturing [GROOVER]."""

from __future__ import annotations

import pytest

from handwheel.physics.roughness import mean_roughness_um


def test_ideal_and_expected_mean_roughness() -> None:
    """Source: surface-finish example (grade M, W20: from memory): feed 0.25, radius 1.2, ratio 1.25; 1.7 and 2.1 um."""
    ideal = mean_roughness_um(0.25, nose_radius_mm=1.2)
    assert ideal == pytest.approx(1.7, abs=0.05)
    assert 1.25 * ideal == pytest.approx(2.1, abs=0.05)
