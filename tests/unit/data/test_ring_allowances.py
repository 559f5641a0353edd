"""What is said of wide bands and eased bores: kept with its standing, contradictions and all."""

from __future__ import annotations

from fractions import Fraction

import pytest

from handwheel.data.loader import Standing
from handwheel.data.ring_allowances import RingChoice, ring_advice
from handwheel.domain.errors import OutOfRangeError


@pytest.mark.parametrize(
    ("width_mm", "low", "high"),
    [
        ("3", "0", "0"),
        ("4", "0", "0"),
        ("5", "1/4", "1/4"),
        ("6", "1/4", "1/4"),
        ("7", "1/2", "1/2"),
        ("8", "1/2", "1/2"),
        ("9", "1/2", "3/4"),
        ("10", "1/2", "3/4"),
        ("12", "0", "1"),
    ],
)
def test_the_usual_steps_for_wide_bands_are_common_practice(width_mm: str, low: str, high: str) -> None:
    """Reference: up to 4 mm none, 5 to 6 a quarter, 7 to 8 a half, 9 to 10 a half to three quarters, over 10 to 1."""
    (usual,) = (
        advice
        for advice in ring_advice(RingChoice.WIDE_BAND, Fraction(width_mm))
        if advice.standing is Standing.COMMON_PRACTICE
    )
    assert (usual.low_us_sizes, usual.high_us_sizes) == (Fraction(low), Fraction(high))


def test_the_ranges_of_advice_are_in_rising_order() -> None:
    every = {
        advice for choice in RingChoice for width in (1, 5, 7, 9, 12) for advice in ring_advice(choice, Fraction(width))
    }
    assert len(every) == 14, "the whole table"
    for advice in every:
        assert advice.up_to_incl_mm is None or advice.over_mm < advice.up_to_incl_mm
        if advice.low_us_sizes is not None and advice.high_us_sizes is not None:
            assert advice.low_us_sizes <= advice.high_us_sizes


def test_a_width_of_nothing_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="width_mm: got 0 mm"):
        ring_advice(RingChoice.EASED_BORE, Fraction(0))
