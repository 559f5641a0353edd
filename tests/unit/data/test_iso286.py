"""Limits of tolerance classes at the edges of the table."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.data.iso286 import iso286_deviations, iso286_letters, iso286_limits
from handwheel.domain.errors import DataTableError, OutOfRangeError

sizes = st.fractions(min_value=Fraction(1, 10), max_value=250, max_denominator=1000)


def test_a_range_includes_its_upper_end_and_excludes_its_lower() -> None:
    assert iso286_deviations(Fraction(30), "H7")[1] == Fraction("0.021")
    assert iso286_deviations(Fraction(30) + Fraction(1, 10**6), "H7")[1] == Fraction("0.025")


def test_limits_are_the_nominal_size_and_the_deviations() -> None:
    assert iso286_limits(Fraction(20), "H8") == (Fraction(20), Fraction("20.033"))
    assert iso286_limits(Fraction(20), "js7") == (Fraction("19.9895"), Fraction("20.0105"))


@given(sizes, st.sampled_from(["H7", "g6", "js7", "K7", "N8", "P9", "p6", "F8"]))
def test_limits_are_in_order_and_as_wide_as_the_grade(nominal: Fraction, tolerance_class: str) -> None:
    lower, upper = iso286_deviations(nominal, tolerance_class)
    h_lower, h_upper = iso286_deviations(nominal, f"H{tolerance_class[-1]}")
    assert upper - lower == h_upper - h_lower > 0


@given(sizes, st.sampled_from([4, 6, 7, 9, 11, 13]))
def test_shaft_h_mirrors_hole_h(nominal: Fraction, grade: int) -> None:
    hole_lower, hole_upper = iso286_deviations(nominal, f"H{grade}")
    assert iso286_deviations(nominal, f"h{grade}") == (-hole_upper, -hole_lower)
    assert hole_lower == 0


@pytest.mark.parametrize("tolerance_class", ["H", "8", "", "H3", "H15", "A8", "h-8", "H8.5", "HH8", "H08x"])
def test_a_class_that_is_none_is_refused_with_an_example(tolerance_class: str) -> None:
    with pytest.raises(DataTableError, match=r"not in the table; write one letter of F G H .* such as H8"):
        iso286_deviations(Fraction(20), tolerance_class)


def test_a_class_that_the_standard_does_not_table_is_refused() -> None:
    with pytest.raises(DataTableError, match="20 mm K9: the standard tables no deviation for it; take another grade"):
        iso286_deviations(Fraction(20), "K9")


@pytest.mark.parametrize("nominal", [Fraction(0), Fraction(-5), Fraction(250) + Fraction(1, 1000)])
def test_sizes_outside_the_table_are_refused(nominal: Fraction) -> None:
    with pytest.raises(OutOfRangeError, match="the table of ISO 286 covers above 0 to 250 mm"):
        iso286_deviations(nominal, "H7")


@pytest.mark.parametrize("tolerance_class", ["H14", "h14", "N9", "N11"])
def test_coarse_classes_are_not_used_up_to_1_mm(tolerance_class: str) -> None:
    with pytest.raises(
        OutOfRangeError, match=f"1 mm {tolerance_class}: the standard does not use this class up to 1 mm"
    ):
        iso286_deviations(Fraction(1), tolerance_class)
    assert iso286_deviations(Fraction(1), "N8") == (Fraction("-0.018"), Fraction("-0.004"))
    lower, upper = iso286_deviations(Fraction(11, 10), tolerance_class)
    assert lower < upper


def test_letters_of_the_table() -> None:
    assert iso286_letters() == (*"FGH", "JS", *"KNP", *"fgh", "js", *"knp")
