"""Minor diameters of metric nut threads in class 6H.

Source: ASME B1.13M-1995, table of internal threads, opened in a reproduction; printed to 0.001 mm.
"""

from __future__ import annotations

import pytest

from handwheel.data.loader import Standing
from handwheel.data.threads import minor_limits_mm, minor_standing, thread_pitches_mm
from handwheel.domain.errors import DataTableError
from handwheel.domain.thread import Thread, parse_thread

HALF_A_DIGIT_MM = 5e-4
ROWS = (
    ("M9x1.25", 7.647, 7.912),
    ("M9x0.75", 8.188, 8.378),
    ("M10x1.5", 8.376, 8.676),
    ("M10x1", 8.917, 9.153),
    ("M10x0.5", 9.459, 9.599),
    ("M12x1.75", 10.106, 10.441),
    ("M12x1.5", 10.376, 10.676),
    ("M12x1.25", 10.647, 10.912),
    ("M12x1", 10.917, 11.153),
    ("M14x2", 11.835, 12.210),
)


def thread(designation: str) -> Thread:
    """Thread of that name."""
    found = parse_thread(designation)
    assert found is not None
    return found


@pytest.mark.parametrize(("designation", "smallest_mm", "largest_mm"), ROWS)
def test_the_minor_diameter_agrees_with_the_published_table(
    designation: str, smallest_mm: float, largest_mm: float
) -> None:
    """Source: ASME B1.13M-1995, internal threads, 6H, row of that name; printed to 0.001, hence ± 0.0005."""
    low, high = (float(limit) for limit in minor_limits_mm(thread(designation)))
    assert low == pytest.approx(smallest_mm, abs=HALF_A_DIGIT_MM)
    assert high == pytest.approx(largest_mm, abs=HALF_A_DIGIT_MM)


@pytest.mark.parametrize("pitch", [float(pitch) for pitch in thread_pitches_mm()])
def test_the_tolerance_follows_the_relation_of_the_standard_within_its_rounding(pitch: float) -> None:
    """Source: ISO 965-1, from memory: 433 P - 190 P^1.22 µm to 0.8 mm, 230 P^0.7 µm from 1 mm, rounded to R 40."""
    relation = 433.0 * pitch - 190.0 * pitch**1.22 if pitch < 1.0 else 230.0 * pitch**0.7
    low, high = minor_limits_mm(thread(f"M20x{pitch:g}"))
    assert 1000.0 * float(high - low) == pytest.approx(relation, rel=0.04)


def test_what_was_opened_and_what_is_from_memory_is_said() -> None:
    assert minor_standing(thread("M12x1.5")) is Standing.OPENED
    assert minor_standing(thread("M24x3")) is Standing.FROM_MEMORY


def test_a_pitch_that_the_table_does_not_have_is_refused() -> None:
    with pytest.raises(DataTableError, match="no nut thread of this pitch"):
        minor_limits_mm(thread("M12x1.3"))
