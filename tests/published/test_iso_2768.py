"""ISO 2768-1: general tolerances."""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest

from handwheel.data.iso2768 import GeneralClass, GeneralKind, general_angle_tolerance_deg, general_tolerance_mm
from handwheel.domain.errors import DataTableError

LIST = Path(__file__).with_name("iso2768.csv")
ABOVE_ALL_MM = Fraction(1500)
"""Stands for the range without an upper end."""


def listed(quantity: str) -> list[dict[str, str]]:
    with LIST.open(encoding="utf-8", newline="") as lines:
        return [row for row in csv.DictReader(lines) if row["quantity"].startswith(quantity)]


def ends_mm(row: dict[str, str]) -> tuple[Fraction, Fraction]:
    """A size just above the lower end of a range, and its upper end."""
    over = Fraction(row["over"])
    return over + Fraction(1, 1000), Fraction(row["up_to_incl"]) if row["up_to_incl"] else ABOVE_ALL_MM


@pytest.mark.parametrize(
    ("quantity", "kind", "cells"), [("linear", GeneralKind.LINEAR, 30), ("external", GeneralKind.EDGE, 12)]
)
def test_every_tolerance_of_the_list_is_reproduced_at_both_ends(quantity: str, kind: GeneralKind, cells: int) -> None:
    """Source: ISO 2768-1, opened in reproductions (one other prints less in two cells of class c); exact."""
    judged = 0
    for row in listed(quantity):
        for size_mm in ends_mm(row):
            for cls in GeneralClass:
                if row[cls.value]:
                    assert general_tolerance_mm(kind, size_mm, cls) == Fraction(row[cls.value]), (row, cls)
                    judged += 1
                else:
                    with pytest.raises(DataTableError):
                        general_tolerance_mm(kind, size_mm, cls)
    assert judged == 2 * cells


def test_every_angle_of_the_list_is_reproduced_at_both_ends() -> None:
    """Source: ISO 2768-1, classes f, m, c opened, v from memory; printed in degrees and minutes, exact."""
    rows = listed("angle")
    assert len(rows) == 5
    for row in rows:
        for side_mm in ends_mm(row):
            for cls in GeneralClass:
                degrees, minutes = row[cls.value].split("deg")
                expected_deg = Fraction(degrees) + Fraction(minutes) / 60
                assert general_angle_tolerance_deg(side_mm, cls) == expected_deg, (row, cls)


@pytest.mark.parametrize(
    ("nominal", "fine", "medium", "coarse"),
    [
        ("3", "0.05", "0.1", "0.2"),
        ("30", "0.1", "0.2", "0.5"),
        ("120", "0.15", "0.3", "0.8"),
        ("400", "0.2", "0.5", "1.2"),
    ],
)
def test_linear_sizes(nominal: str, fine: str, medium: str, coarse: str) -> None:
    """Source: ISO 2768-1, linear sizes, opened in reproductions (grade O); exact."""
    expected = [Fraction(text) for text in (fine, medium, coarse)]
    classes = (GeneralClass.FINE, GeneralClass.MEDIUM, GeneralClass.COARSE)
    assert [general_tolerance_mm(GeneralKind.LINEAR, Fraction(nominal), cls) for cls in classes] == expected


@pytest.mark.parametrize(
    ("nominal", "fine_or_medium", "coarse_or_very"), [("0.5", "0.2", "0.4"), ("6", "0.5", "1"), ("60", "1", "2")]
)
def test_radii_and_chamfers(nominal: str, fine_or_medium: str, coarse_or_very: str) -> None:
    """Source: ISO 2768-1, outside radii and chamfer heights, opened (grade O); exact."""
    for cls in (GeneralClass.FINE, GeneralClass.MEDIUM):
        assert general_tolerance_mm(GeneralKind.EDGE, Fraction(nominal), cls) == Fraction(fine_or_medium)
    for cls in (GeneralClass.COARSE, GeneralClass.VERY_COARSE):
        assert general_tolerance_mm(GeneralKind.EDGE, Fraction(nominal), cls) == Fraction(coarse_or_very)


def test_angles() -> None:
    """Source: ISO 2768-1, angles by the shorter side, opened (grade O); 1 deg 30 min for class c up to 10 mm."""
    assert general_angle_tolerance_deg(Fraction(10), GeneralClass.COARSE) == Fraction(3, 2)
    assert general_angle_tolerance_deg(Fraction(50), GeneralClass.FINE) == Fraction(1, 2)
    assert general_angle_tolerance_deg(Fraction(120), GeneralClass.MEDIUM) == Fraction(1, 3)
    assert general_angle_tolerance_deg(Fraction(500), GeneralClass.MEDIUM) == Fraction(1, 12)
