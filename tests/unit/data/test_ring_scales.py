"""Scales of ring sizes: both ways, nearest, never equal by chance."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from handwheel.data.loader import Standing
from handwheel.data.ring_scales import (
    PI,
    Girth,
    Measure,
    RingScale,
    RingSize,
    nearest_size,
    ring_scale,
    ring_scales,
    rivals,
)
from handwheel.domain.errors import DataTableError, OutOfRangeError

diameters = st.fractions(min_value=10, max_value=26, max_denominator=1000)
measures = st.sampled_from(Measure)


@pytest.mark.parametrize("scale", ring_scales(), ids=lambda scale: scale.key)
def test_every_size_goes_to_a_girth_and_back(scale: RingScale) -> None:
    for number in scale.numbers:
        girth = scale.girth(number)
        assert scale.number_of(girth) == number
        near = nearest_size(scale, girth)
        assert near is not None
        assert near.is_exact
        assert near.size.number == number
        assert near.residual_mm == near.share_of_step == 0


@given(diameters, measures)
def test_nothing_on_a_scale_is_nearer_than_the_nearest(diameter_mm: Fraction, measure: Measure) -> None:
    mm = diameter_mm if measure is Measure.DIAMETER else diameter_mm * 3
    asked = Girth(measure=measure, mm=mm)
    for scale in ring_scales():
        near = nearest_size(scale, asked)
        by_force = min(abs(scale.girth(number).diameter_mm - asked.diameter_mm) for number in scale.numbers)
        half_step = scale.step * scale.diameter_per_size_mm / 2
        if near is None:
            assert by_force > half_step * (1 - Fraction(1, 10**12))
        else:
            assert abs(abs(near.residual_mm) - by_force) < Fraction(1, 10**20)
            assert abs(near.share_of_step) <= Fraction(1, 2)
            assert (near.residual_mm > 0) == (near.share_of_step > 0)


def test_half_way_between_two_sizes_the_smaller_is_taken() -> None:
    us = ring_scale("us")
    near = nearest_size(us, us.girth(Fraction(57, 8)))
    assert near is not None
    assert near.size.name == "US 7"


def test_a_scale_ends_half_a_step_beyond_its_last_size() -> None:
    jp = ring_scale("jp")
    assert nearest_size(jp, jp.girth(Fraction(1, 2))) is not None
    assert nearest_size(jp, jp.girth(Fraction(49, 100))) is None
    assert nearest_size(jp, jp.girth(Fraction(73, 2))) is not None
    assert nearest_size(jp, jp.girth(Fraction(3651, 100))) is None


def test_sizes_of_two_scales_are_the_same_only_where_their_rules_meet() -> None:
    """ISO 40, UK C and CH 0 are all 40 mm around; no size by diameter is any size by circumference."""
    forty = ring_scale("iso").girth(Fraction(40))
    assert forty.is_exactly(ring_scale("uk").girth(Fraction(3)))
    assert forty.is_exactly(ring_scale("ch").girth(Fraction(0)))
    by_diameter = [scale for scale in ring_scales() if scale.measure is Measure.DIAMETER]
    by_circumference = [scale for scale in ring_scales() if scale.measure is Measure.CIRCUMFERENCE]
    assert by_diameter
    assert by_circumference
    for one in by_diameter:
        for other in by_circumference:
            assert not any(one.girth(a).is_exactly(other.girth(b)) for a in one.numbers for b in other.numbers)


def test_pi_is_good_to_more_digits_than_any_float() -> None:
    """Machin's formula, summed exactly until its terms are below 1e-40."""

    def arctan_of_one_over(n: int) -> Fraction:
        return sum((Fraction((-1) ** k, (2 * k + 1) * n ** (2 * k + 1)) for k in range(35)), Fraction(0))

    machin = 4 * (4 * arctan_of_one_over(5) - arctan_of_one_over(239))
    assert abs(PI - machin) < Fraction(1, 10**36)


def test_labels_are_written_as_each_scale_writes_them() -> None:
    us, uk = ring_scale("us"), ring_scale("uk")
    assert [us.label(Fraction(n, 4)) for n in (0, 1, 28, 29)] == ["0", "1/4", "7", "7 1/4"]
    assert [uk.label(Fraction(n, 2)) for n in (2, 3, 52, 53, 54, 55)] == ["A", "A 1/2", "Z", "Z 1/2", "Z+1", "Z+1 1/2"]


def test_rules_that_contradict_each_other_know_each_other() -> None:
    assert [scale.key for scale in rivals(ring_scale("us"))] == ["us_around"]
    assert [scale.key for scale in rivals(ring_scale("uk_half_us"))] == ["uk"]
    assert rivals(ring_scale("iso")) == ()


def test_every_scale_says_where_it_comes_from_and_in_words_what_it_says() -> None:
    for scale in ring_scales():
        assert scale.standing in set(Standing)
        assert scale.place
        assert scale.rule.startswith(f"inside {scale.measure.value} = ")
    assert ring_scale("us").rule == "inside diameter = 0.458 in + 0.032 in x size"


def test_what_a_scale_does_not_have_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="has sizes 0 to 16 by 1/4 size"):
        RingSize(scale=ring_scale("us"), number=Fraction(17))
    with pytest.raises(DataTableError, match="has no scale 'xx'"):
        ring_scale("xx")
    with pytest.raises(DataTableError, match="must rise"):
        replace(ring_scale("us"), last=Fraction(-1))
    with pytest.raises(DataTableError, match="whole steps"):
        replace(ring_scale("us"), last=Fraction(1, 3))
    with pytest.raises(OutOfRangeError, match="must be above 0"):
        Girth(measure=Measure.DIAMETER, mm=Fraction(0))
