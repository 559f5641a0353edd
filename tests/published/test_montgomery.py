"""Designed runs at the lathe: [MONTGOMERY], [MONTGOMERY_DOE] and [MONTGOMERY_RUNGER], by the same least squares.

Data and published results from memory (grade M); that the results come out to their last digit confirms the data.
"""

from __future__ import annotations

from itertools import product
from math import prod

import pytest

from handwheel.physics.linear_fit import LinearFit, linear_fit

TYPE_A = "18.73@610 14.52@950 17.43@720 14.54@840 13.44@980 24.39@530 13.34@680 22.71@540 12.68@890 19.32@730"
TYPE_B = "30.16@670 27.09@770 25.40@880 26.05@1000 33.49@760 35.62@590 26.07@910 36.78@650 34.95@810 43.67@500"
"""Hours of life at rev/min of two types of lathe tool, Peck and Vining's co-authored book, chapter 8."""


def runs(text: str) -> list[tuple[float, float]]:
    """Revolutions and hours."""
    pairs = (each.split("@") for each in text.split())
    return [(float(speed), float(hours)) for hours, speed in pairs]


def test_life_of_two_types_of_tool() -> None:
    """[MONTGOMERY] chapter 8 (grade M): 36.986 - 0.027 rpm + 15.004 for type B, R2 .9003.

    With more digits, computed: 0.02661, 15.00425, residual mean square 9.2385.
    """
    a, b = runs(TYPE_A), runs(TYPE_B)
    causes = [(speed, 0.0) for speed, _ in a] + [(speed, 1.0) for speed, _ in b]
    found = linear_fit(causes, [hours for _, hours in (*a, *b)], names=("speed", "type"))
    assert found.coefficients[0] == pytest.approx(36.986, abs=5e-4)
    assert found.coefficients[1] == pytest.approx(-0.02661, abs=5e-6)
    assert found.coefficients[2] == pytest.approx(15.00425, abs=5e-6)
    assert found.r_squared == pytest.approx(0.9003, abs=5e-5)
    assert found.residual_sd**2 == pytest.approx(9.2385, abs=5e-5)


WORDS = ("A", "B", "AB", "C", "AC", "BC", "ABC")


def two_cubed(replicates: dict[str, tuple[float, ...]]) -> LinearFit:
    """Every cause and interaction of a design of two levels; effects are twice the coefficients."""
    causes, values = [], []
    for c, b, a in product((-1.0, 1.0), repeat=3):
        level = {"A": a, "B": b, "C": c}
        name = "".join(letter.lower() for letter, value in level.items() if value > 0) or "(1)"
        for value in replicates[name]:
            causes.append(tuple(prod(level[letter] for letter in word) for word in WORDS))
            values.append(value)
    return linear_fit(causes, values, names=WORDS)


def test_effects_of_speed_geometry_and_angle_on_tool_life() -> None:
    """[MONTGOMERY_DOE], tool life 2^3 (grade M): effects to 0.001; error 482.667 with 16, mean square 30.167."""
    found = two_cubed(
        {
            "(1)": (22, 31, 25),
            "a": (32, 43, 29),
            "b": (35, 34, 50),
            "ab": (55, 47, 46),
            "c": (44, 45, 38),
            "ac": (40, 37, 36),
            "bc": (60, 50, 54),
            "abc": (39, 41, 47),
        }
    )
    effects = [2.0 * each for each in found.coefficients[1:]]
    assert effects == pytest.approx([0.333, 11.333, -1.667, 6.833, -8.833, -2.833, -2.167], abs=5e-4)
    assert found.degrees_of_freedom == 16
    assert found.residual_sd**2 == pytest.approx(30.167, abs=5e-4)
    assert found.residual_sd**2 * 16 == pytest.approx(482.667, abs=5e-4)


def test_effects_of_feed_depth_and_angle_on_the_surface() -> None:
    """[MONTGOMERY_RUNGER], surface finish 2^3 (grade M): effects exact in eighths; error 19.5 with 8."""
    found = two_cubed(
        {
            "(1)": (9, 7),
            "a": (10, 12),
            "b": (9, 11),
            "ab": (12, 15),
            "c": (11, 10),
            "ac": (10, 13),
            "bc": (10, 8),
            "abc": (16, 14),
        }
    )
    effects = [2.0 * each for each in found.coefficients[1:]]
    assert effects == pytest.approx([3.375, 1.625, 1.375, 0.875, 0.125, -0.625, 1.125], abs=1e-12)
    assert found.residual_sd**2 == pytest.approx(2.4375, abs=1e-12)
