"""ISO 286: limits of tolerance classes."""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest

from handwheel.data.iso286 import iso286_deviations

LIMITS = Path(__file__).with_name("iso286_limits.csv")
GRADES = Path(__file__).with_name("iso286_it.csv")
UM = Fraction(1, 1000)


def limit_rows() -> list[dict[str, str]]:
    with LIMITS.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def test_every_limit_of_the_list_is_reproduced_at_both_ends_of_its_range() -> None:
    """Source: list of limits of ISO 286-2; 192 of the limits (29 classes) compared with opened reproductions.

    The rest of the list, like our deviations, is from memory of ISO 286-1: agreement there is a check of reading and
    arithmetic, not of the memory. Printed to 0.5 um, hence exact.
    """
    rows = limit_rows()
    assert len(rows) == 440
    wrong = []
    for row in rows:
        expected = (Fraction(row["lower_um"]) * UM, Fraction(row["upper_um"]) * UM)
        for nominal_mm in (Fraction(row["over_mm"]) + Fraction(1, 100), Fraction(row["up_to_incl_mm"])):
            got = iso286_deviations(nominal_mm, row["class"])
            if got != expected:
                wrong.append((row["class"], float(nominal_mm), got, expected))
    assert wrong == []


@pytest.mark.parametrize(
    ("tolerance_class", "over_and_up_to", "um"),
    [("H8", (50, 80), 46), ("H7", (18, 30), 21), ("H7", (80, 120), 35)],
)
def test_width_of_a_grade_follows_the_tolerance_unit(
    tolerance_class: str, over_and_up_to: tuple[int, int], um: int
) -> None:
    """Source: ISO 286-1, i = 0.45 D^(1/3) + 0.001 D, IT7 = 16 i, IT8 = 25 i (formula from memory, grade P).

    The standard rounds each cell, hence 1 % between formula and table; the table itself is met exactly.
    """
    over, up_to = over_and_up_to
    mean = (over * up_to) ** 0.5
    unit_um = 0.45 * mean ** (1 / 3) + 0.001 * mean
    lower, upper = iso286_deviations(Fraction(up_to), tolerance_class)
    width_um = (upper - lower) / UM
    assert width_um == um
    assert float(width_um) == pytest.approx({"7": 16, "8": 25}[tolerance_class[-1]] * unit_um, rel=0.01)


def test_every_standard_tolerance_is_the_width_of_a_hole_of_its_grade() -> None:
    """Source: list of standard tolerances of ISO 286-1, grades 4 to 14, opened in a reproduction; exact."""
    with GRADES.open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(lines))
    judged = 0
    for row in rows:
        for grade in range(4, 15):
            for nominal_mm in (Fraction(row["over_mm"]) + Fraction(1, 100), Fraction(row["up_to_incl_mm"])):
                lower, upper = iso286_deviations(nominal_mm, f"H{grade}")
                assert (lower, upper) == (Fraction(0), Fraction(row[f"IT{grade}_um"]) * UM), (row, grade)
                judged += 1
    assert judged == 2 * 11 * len(rows) == 220
