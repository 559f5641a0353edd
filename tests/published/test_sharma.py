"""P. C. Sharma, A Textbook of Production Engineering [SHARMA]: beside its worked numbers."""

from __future__ import annotations

import pytest

from handwheel.physics.drilling import point_length_mm


def test_the_approach_of_a_drill_is_about_its_point() -> None:
    """Source: Example 4.14, p. 221 (grade O, W06): 0.29 D each way; a 118 degree point is 0.300 D, 4 % apart."""
    assert point_length_mm(12.7) == pytest.approx(0.29 * 12.7, rel=0.04)
