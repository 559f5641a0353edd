"""Worked examples of published works to the last digit printed, each test named by example and grade.

``pytest -k W14`` runs one, its grade follows the number. Grade E is no evidence, and its names say so. The page
docs/reference/worked-examples.md is made of the same list.
"""

from __future__ import annotations

from collections import Counter
from functools import cache

import pytest

from tests.published.worked import GRADES, Printed, printed_numbers, reason_left
from tests.published.worked_calculations import CALCULATIONS, LEFT

CALCULATED = [number for number in printed_numbers() if number.example in CALCULATIONS]
ROUNDING = 1e-9
"""Room for binary floats at a tie, as a share."""


@cache
def calculated(example: str) -> dict[str, float]:
    return CALCULATIONS[example]()


@pytest.mark.parametrize("number", CALCULATED, ids=lambda number: number.name)
def test_a_printed_number_comes_out(number: Printed) -> None:
    low, high = number.span
    room = ROUNDING * max(abs(low), abs(high))
    assert low - room <= calculated(number.example)[number.quantity] <= high + room


def test_the_list_is_whole() -> None:
    """76 examples with 209 numbers."""
    examples = {number.example: number.grade for number in printed_numbers()}
    assert list(examples) == [f"W{place:02}" for place in range(1, 77)]
    assert len(printed_numbers()) == len({(number.example, number.quantity) for number in printed_numbers()}) == 209
    assert Counter(examples.values()) == {"O": 57, "P": 7, "M": 8, "V": 2, "E": 2}
    assert set(GRADES) == set(examples.values())


def test_every_example_is_calculated_or_left_with_its_reason_and_never_both() -> None:
    every = {number.example for number in printed_numbers()}
    left = [example for examples in LEFT.values() for example in examples]
    assert len(left) == len(set(left))
    assert set(left) | set(CALCULATIONS) == every
    assert set(left) & set(CALCULATIONS) == set()
    assert all(reason_left(example) for example in left)


@pytest.mark.parametrize("example", CALCULATIONS)
def test_every_number_of_a_calculated_example_is_calculated(example: str) -> None:
    wanted = {number.quantity for number in printed_numbers() if number.example == example}
    assert set(calculated(example)) == wanted


def test_a_wider_span_than_the_digits_gives_its_reason() -> None:
    for number in printed_numbers():
        assert number.rule in {"rounded", "cut"} or number.rule.startswith("within ")
        assert number.rule == "rounded" or number.why


def test_the_span_follows_the_printed_digits() -> None:
    plain = Printed("W99", "O", "", "", "", "", "12.30", "rounded", "")
    assert plain.span == pytest.approx((12.295, 12.305))
    assert plain._replace(published="159").span == (158.5, 159.5)
    assert plain._replace(published="159", rule="cut").span == (159.0, 160.0)
    assert plain._replace(published="-0.05", rule="within 0.002").span == pytest.approx((-0.052, -0.048))
    assert plain._replace(grade="E", quantity="Cp").name == "W99-E-no-evidence-Cp"


@pytest.mark.parametrize("number", [number for number in CALCULATED if number.rule == "rounded"], ids=lambda n: n.name)
def test_a_number_off_by_its_last_digit_would_be_seen(number: Printed) -> None:
    """The spans are no wider than one unit of the last digit."""
    low, high = number.span
    digits = len(number.published.partition(".")[2])
    assert high - low == pytest.approx(10.0**-digits)
