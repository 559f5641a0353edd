"""A measured ring stick: read between its marks and never beyond them, with its spread."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from handwheel.domain.errors import OutOfRangeError, ShopError
from handwheel.domain.ring_stick import RingStick, StickMark

STICK = RingStick(
    name="steel",
    scale_key="us",
    marks=(
        StickMark(number=Fraction(5), at_mm=Fraction(40), diameter_mm=Fraction("15.60")),
        StickMark(number=Fraction(7), at_mm=Fraction(62), diameter_mm=Fraction("17.25")),
        StickMark(number=Fraction(19, 2), at_mm=Fraction(90), diameter_mm=Fraction("19.31")),
    ),
    mark_width_mm=Fraction("0.3"),
    reading_mm=Fraction("0.3"),
    uncertainty_mm=Fraction("0.01"),
)
shares = st.fractions(min_value=0, max_value=1, max_denominator=500)


def test_at_a_mark_the_stick_is_worth_what_was_measured_there() -> None:
    for mark in STICK.marks:
        assert STICK.at_number(mark.number).diameter_mm == mark.diameter_mm
        assert STICK.at_diameter(mark.diameter_mm).number == mark.number


def test_between_two_marks_it_is_read_in_proportion() -> None:
    """Half-way from 5 (15.60) to 7 (17.25); taper 1.65 mm over 22 mm."""
    reading = STICK.at_number(Fraction(6))
    assert reading.diameter_mm == Fraction("16.425")
    assert reading.taper == Fraction("1.65") / 22
    assert reading.spread_mm == Fraction("0.45") * Fraction("1.65") / 22 + Fraction("0.01")
    assert reading.edges_differ_mm(Fraction(6)) == 6 * Fraction("1.65") / 22


@given(shares)
def test_both_ways_agree_everywhere(share: Fraction) -> None:
    number = STICK.first.number + share * (STICK.last.number - STICK.first.number)
    reading = STICK.at_number(number)
    assert STICK.at_diameter(reading.diameter_mm).number == number
    assert STICK.first.diameter_mm <= reading.diameter_mm <= STICK.last.diameter_mm


@pytest.mark.parametrize("number", ["4.99", "9.51"])
def test_nothing_is_read_beyond_the_marks(number: str) -> None:
    with pytest.raises(OutOfRangeError, match=r"outside its marks 5 to 9\.5, and nothing is read beyond them"):
        STICK.at_number(Fraction(number))


@pytest.mark.parametrize("diameter_mm", ["15.59", "19.32"])
def test_no_diameter_is_found_beyond_the_marks(diameter_mm: str) -> None:
    with pytest.raises(OutOfRangeError, match=r"outside its marks, 15\.6 to 19\.31 mm"):
        STICK.at_diameter(Fraction(diameter_mm))


def test_marks_that_do_not_rise_are_no_stick() -> None:
    with pytest.raises(ShopError, match="do not rise in size, place and diameter"):
        replace(STICK, marks=STICK.marks[::-1])
    with pytest.raises(ShopError, match="it has 1 marks, needs 2"):
        replace(STICK, marks=STICK.marks[:1])
