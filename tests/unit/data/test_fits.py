"""Named fits: their pairs, what is left between the parts, limits to a mate."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.data.fits import FitCharacter, fit_clearance_mm, limits_to_mate_mm, named_fits
from handwheel.data.iso286 import iso286_limits
from handwheel.data.roughness import grade_of, ra_words, roughness_grades_um
from handwheel.domain.errors import OutOfRangeError

NAMES = list(named_fits())


@pytest.mark.parametrize(
    ("name", "nominal", "least_um", "most_um"),
    [
        ("running", 12, 16, 61),  # H8 +27/0, f7 -16/-34
        ("close running", 12, 6, 35),  # H7 +18/0, g6 -6/-17
        ("sliding", 25, 7, 41),  # H7 +21/0, g6 -7/-20
        ("locating", 16, 0, 29),  # H7 +18/0, h6 0/-11
        ("push", 28, -15, 19),  # H7 +21/0, k6 +15/+2
        ("tight push", 16, -23, 6),  # H7 +18/0, n6 +23/+12
        ("press", 25, -35, -1),  # H7 +21/0, p6 +35/+22
        ("press", 16, -29, 0),  # H7 +18/0, p6 +29/+18
    ],
)
def test_what_is_left_between_the_parts_is_reckoned_from_both_limits(
    name: str, nominal: int, least_um: int, most_um: int
) -> None:
    """ISO 286-2, limits of both classes by hand beside each row."""
    found = fit_clearance_mm(Fraction(nominal), named_fits()[name])
    assert found == (Fraction(least_um, 1000), Fraction(most_um, 1000))


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("nominal", [4, 6, 10, 18, 25, 30, 50, 80, 120, 180, 250])
def test_a_fit_is_of_the_character_that_its_row_says_at_every_size(name: str, nominal: int) -> None:
    fit = named_fits()[name]
    least, most = fit_clearance_mm(Fraction(nominal), fit)
    match fit.character:
        case FitCharacter.CLEARANCE:
            assert least >= 0
        case FitCharacter.TRANSITION:
            assert least < 0 < most
        case FitCharacter.INTERFERENCE:
            assert most <= 0


def test_up_to_3_mm_a_press_fit_may_be_loose_as_the_standard_has_it() -> None:
    """ISO 286-2 up to 3 mm: H7 +10/0, p6 +12/+6: the finding no-interference then says so."""
    assert fit_clearance_mm(Fraction(3), named_fits()["press"]) == (Fraction(-12, 1000), Fraction(4, 1000))


sizes = st.fractions(min_value=2, max_value=240, max_denominator=1000)


@given(nominal=sizes, name=st.sampled_from(NAMES), is_hole=st.booleans())
def test_to_a_mate_of_its_own_class_a_fit_has_the_limits_of_its_own_class(
    nominal: Fraction, name: str, *, is_hole: bool
) -> None:
    fit = named_fits()[name]
    mate = iso286_limits(nominal, fit.mate_class(of_hole=is_hole))
    own = iso286_limits(nominal, fit.mate_class(of_hole=not is_hole))
    assert limits_to_mate_mm(fit_clearance_mm(nominal, fit), mate, is_hole=is_hole) == own


@given(
    least=st.fractions(min_value=-1, max_value=1),
    band=st.fractions(min_value=Fraction(1, 100), max_value=1),
    low=st.fractions(min_value=5, max_value=50),
    spread=st.fractions(min_value=0, max_value=Fraction(1, 200)),
    is_hole=st.booleans(),
)
def test_every_pair_within_its_limits_keeps_the_clearance_and_the_ends_are_met(
    least: Fraction, band: Fraction, low: Fraction, spread: Fraction, *, is_hole: bool
) -> None:
    clearance, mate = (least, least + band), (low, low + spread)
    limits = limits_to_mate_mm(clearance, mate, is_hole=is_hole)
    left = {own - other if is_hole else other - own for own in limits for other in mate}
    assert (min(left), max(left)) == clearance


def test_a_mate_that_varies_by_more_than_the_fit_leaves_nothing() -> None:
    with pytest.raises(OutOfRangeError, match="measure the mate"):
        limits_to_mate_mm((Fraction(0), Fraction(1, 100)), (Fraction(10), Fraction(1002, 100)), is_hole=True)


def test_the_grades_double_from_one_to_the_next_as_printed() -> None:
    """Twelve grades, 0.025 to 50 µm, each twice the one before but for printed rounding (3.2, 6.3; 12.5)."""
    values = list(roughness_grades_um().values())
    assert (len(values), values[0], values[-1]) == (12, Fraction("0.025"), Fraction(50))
    assert all(Fraction("1.9") < after / before < Fraction("2.1") for before, after in pairwise(values))


def test_a_roughness_has_the_finest_grade_that_it_keeps() -> None:
    """A measured Ra of 7.4 fails N9 (6.3) and is N10 (reference text on standards, section 7)."""
    assert [grade_of(ra) for ra in (0.01, 1.6, 1.61, 7.4, 50.0, 51.0)] == ["N1", "N7", "N8", "N10", "N12", ""]
    assert (ra_words(0.2), ra_words(80.0)) == ("Ra 0.2 µm (N4)", "Ra 80 µm")
