"""ISO 2768-1: general tolerances."""

from __future__ import annotations

from fractions import Fraction

import pytest

from handwheel.data.iso2768 import GeneralClass, GeneralKind, general_angle_tolerance_deg, general_tolerance_mm


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
