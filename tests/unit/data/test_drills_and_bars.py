"""How drills are called, and which bar is the next that is sold; what they measure is tested against the lists."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.data.bars import bar_at_least, bar_sizes
from handwheel.data.drills import DrillSeries, drill_named, drill_sizes, names_a_drill
from handwheel.domain.part import Units
from handwheel.domain.size import MM_PER_INCH, inch_fraction

BRIGHT = {"bright cold drawn", "stainless cold finished", "aluminium cold finished rod"}


@pytest.mark.parametrize("written", ["#7", "# 7", "no. 7", "No 7", "no.7", "number 7", "NUMBER 7", " #7 ", "#07"])
def test_a_number_may_be_written_in_many_ways(written: str) -> None:
    found = drill_named(written)
    assert found is not None
    assert (found.series, found.name, found.dia_mm) == (DrillSeries.NUMBER, "#7", Fraction("0.201") * MM_PER_INCH)


@pytest.mark.parametrize("written", ["letter F", "F", "f", "Letter f"])
def test_a_letter_may_be_written_in_many_ways(written: str) -> None:
    found = drill_named(written)
    assert found is not None
    assert (found.series, found.name, found.dia_mm) == (DrillSeries.LETTER, "F", Fraction("0.257") * MM_PER_INCH)


@pytest.mark.parametrize("written", ["7", "27/64", "6.8 mm", "", "#", "no", "FF", "letter", "letter 7", "#7 mm", "ß"])
def test_what_is_a_length_or_nothing_is_no_name(written: str) -> None:
    assert not names_a_drill(written)
    assert drill_named(written) is None


@pytest.mark.parametrize("written", ["#0", "#81", "no. 999"])
def test_a_number_that_no_drill_has_is_a_name_without_a_drill(written: str) -> None:
    assert names_a_drill(written)
    assert drill_named(written) is None


def test_every_number_and_letter_of_the_table_is_found_by_its_name() -> None:
    named = [size for size in drill_sizes() if size.series in {DrillSeries.NUMBER, DrillSeries.LETTER}]
    assert [drill_named(size.name) for size in named] == named


@given(least_mm=st.floats(0.1, 120.0), units=st.sampled_from(Units))
def test_the_bar_found_is_the_smallest_that_is_never_thinner(least_mm: float, units: Units) -> None:
    """Told again from the rows: of every size the thinnest delivery counts."""
    found = bar_at_least(least_mm, units=units)
    sold: dict[Fraction, Fraction] = {}
    for row in bar_sizes():
        if row.units is units and row.product in BRIGHT:
            sold[row.dia_mm] = min(sold.get(row.dia_mm, row.least_mm), row.least_mm)
    fit = [dia for dia, least in sold.items() if float(least) >= least_mm]
    assert (found.dia_mm if found else None) == min(fit, default=None)
    if found:
        assert found.least_mm == sold[found.dia_mm]


@given(q=st.integers(1, 640))
def test_every_sixty_fourth_of_an_inch_is_said_as_its_fraction(q: int) -> None:
    words = inch_fraction(Fraction(q, 64) * MM_PER_INCH)
    assert sum(Fraction(piece) for piece in words.split()) == Fraction(q, 64)


@given(um=st.integers(1, 100_000))
def test_what_is_no_sixty_fourth_has_no_fraction(um: int) -> None:
    length_mm = Fraction(um, 1000)
    assert bool(inch_fraction(length_mm)) == ((length_mm / MM_PER_INCH * 64).denominator == 1)
