"""Ring sizes as people write them: every form that is read, every one asked back, and no text that breaks it."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.data.ring_scales import Measure, RingScale, RingSize, ring_scales
from handwheel.domain.errors import InputError
from handwheel.service.intake.ring_sizes import read_ring_text

WRITTEN = [scale for scale in ring_scales() if scale.written_as]
pieces = st.sampled_from(
    [
        *("US", "uk", "ISO", "EU", "JP", "ch", "CA", "AU", "us/ca", "size", "ring", "around", "across", "Ø", "circ"),
        *("7", "17.3", "54", "1/4", "½", "N", "Z", "+", "1", "mm", "in", '"', "mil", "-", ",", ".", "/", " ", "0", "²"),
        *("1.25-rule", "half-US-chart", "(", ")", "\x00", "\u212a", "\u017f", "٣", "é", "9" * 30),
    ]
)


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("US 7", "US 7"),
        ("US 7 1/4", "US 7 1/4"),
        ("US 7.25", "US 7 1/4"),
        ("us 7,25", "US 7 1/4"),
        ("us7¼", "US 7 1/4"),
        ("7 1/4 US", "US 7 1/4"),
        ("ring size US 7", "US 7"),
        ("US size 7", "US 7"),
        ("US: 7", "US 7"),
        ("CA 1/2", "US 1/2"),
        ("US/CA 10", "US 10"),
        ("US 0", "US 0"),
        ("UK N½", "UK N 1/2 1.25-rule"),
        ("UK N 1/2", "UK N 1/2 1.25-rule"),
        ("uk n1/2", "UK N 1/2 1.25-rule"),
        ("uk n.5", "UK N 1/2 1.25-rule"),
        ("AU N", "UK N 1.25-rule"),
        ("N½ UK", "UK N 1/2 1.25-rule"),
        ("UK Z+1½", "UK Z+1 1/2 1.25-rule"),
        ("UK/AU z+6.5", "UK Z+6 1/2 1.25-rule"),
        ("UK C 1.25-rule", "UK C 1.25-rule"),
        ("uk c (half-us-chart)", "UK C half-US-chart"),
        ("ISO 54", "ISO 54"),
        ("EU 54", "ISO 54"),
        ("iso 54,0", "ISO 54"),
        ("JP 14", "JP 14"),
        ("CH 14", "CH 14"),
        ("IT 14", "CH 14"),
        ("  US\t7  ", "US 7"),
    ],
)
def test_a_size_is_read_however_it_is_written(written: str, name: str) -> None:
    asked = read_ring_text(written)
    assert asked.size is not None
    assert asked.size.name == name
    assert asked.girth == asked.size.girth


@pytest.mark.parametrize(
    ("written", "measure", "mm"),
    [
        ("17.3 mm", Measure.DIAMETER, "17.3"),
        ("17,3mm", Measure.DIAMETER, "17.3"),
        ("Ø17.3 mm", Measure.DIAMETER, "17.3"),
        ("17.3 mm across", Measure.DIAMETER, "17.3"),
        ("dia 17.3 mm", Measure.DIAMETER, "17.3"),
        ("0.681in", Measure.DIAMETER, "17.2974"),
        ('11/16"', Measure.DIAMETER, "17.4625"),
        ("681 thou", Measure.DIAMETER, "17.2974"),
        ("54.4 mm around", Measure.CIRCUMFERENCE, "54.4"),
        ("circumference 54,4 mm", Measure.CIRCUMFERENCE, "54.4"),
        ("2 1/8 in around", Measure.CIRCUMFERENCE, "53.975"),
    ],
)
def test_a_length_is_a_diameter_unless_it_says_around(written: str, measure: Measure, mm: str) -> None:
    asked = read_ring_text(written)
    assert asked.size is None
    assert (asked.girth.measure, asked.girth.mm) == (measure, Fraction(mm))


@pytest.mark.parametrize(
    ("written", "question"),
    [
        ("7", r'of which scale\? Write "US 7" .*, "JP 7" .* or "CH 7" \(Ø 14.961 mm\)'),
        ("N", r'of which scale\? Write "UK N 1.25-rule" \(Ø 17.109 mm\)'),
        ("C", r'"UK C 1.25-rule" \(Ø 12.732 mm\) or "UK C half-US-chart" \(Ø 12.852 mm\)'),
        ("17", r'"JP 17" .*, "CH 17" .* or "17 mm" across'),
        ("54", r'"ISO 54" .* or "54 mm around"'),
        ("0.681", r'Write "0.681 in" across'),
        ("UK C", r'two rules for this letter.*"UK C 1.25-rule" .* or "UK C half-US-chart"'),
        ("UK", r'which size of UK/AU\? Write for instance "UK'),
        ("UK 7", "sizes of UK/AU are letters"),
        ("US N", "sizes of US/CA are numbers"),
        ("US 7.3", r'goes by 1/4 size; write "US 7 1/4" or "US 7 1/2", or the length itself: "17.5666 mm"'),
        ("ISO 54.5", r'write "ISO 54" or "ISO 55", or the length itself: "54.5 mm around"'),
        ("US 20", "from US 0 to US 16 only"),
        ("UK Z+9", r"from UK A to UK Z\+7 only"),
        ("US 71/4", r'is there a space missing in "71/4"\?'),
        ("UK Z+11/2", r'is there a space missing in "11/2"\?'),
        ("UK N+1", "are letters, half letters"),
        ("17.3 across", r"of which unit\?"),
        ("54 mm", r'no finger \(10 to 24 mm\); measured around\? Then write "54 mm around"'),
        ("8.65 mm", r'is it a radius\? Then write "17.3 mm"'),
        ("17.3 mm around", r'measured across\? Then write "17.3 mm across"'),
        ("30 mm", "A ring that is for no finger needs no size"),
        ("5 mil", r"a thousandth of an inch or a millimetre\?"),
        ("-17 mm", "above 0; check the sign"),
        ("1/0 mm", "nothing can be divided by 0"),
        ("", "this is no size that is known here"),
        ("banana", 'write a size such as "US 7 1/4"'),
        ("US " + "1" * 60, "at most 40 characters"),
    ],
)
def test_what_can_mean_two_things_or_none_is_asked_back(written: str, question: str) -> None:
    with pytest.raises(InputError, match=question) as caught:
        read_ring_text(written)
    assert str(caught.value).startswith("ring size: found ")


NO_TEXTS = (7, Decimal("7.25"), Fraction(7), 10**5000, Decimal("NaN"), Decimal("1e9"), True, None, [1], {"a": 1}, 1.5)


@pytest.mark.parametrize("place", range(len(NO_TEXTS)))
def test_what_is_no_text_is_asked_back(place: int) -> None:
    with pytest.raises(InputError, match="ring size: found "):
        read_ring_text(NO_TEXTS[place])


@pytest.mark.parametrize("scale", WRITTEN, ids=lambda scale: scale.key)
def test_every_size_can_be_written_by_its_name_and_read_back(scale: RingScale) -> None:
    for number in scale.numbers:
        size = RingSize(scale=scale, number=number)
        for word in scale.written_as:
            written = size.name.replace(scale.written_as[0], word, 1)
            assert read_ring_text(written).size == size
            assert read_ring_text(written.lower()).size == size


def is_read_or_asked_back(text: str) -> None:
    try:
        asked = read_ring_text(text)
    except InputError as error:
        (problem,) = error.problems
        assert problem.startswith("ring size: found ")
        assert "; " in problem
        assert problem.isprintable()
    else:
        assert 8 < asked.girth.diameter_mm < 26


@given(st.text(max_size=60))
def test_no_text_breaks_it(text: str) -> None:
    is_read_or_asked_back(text)


@given(st.lists(pieces, max_size=6), st.sampled_from(["", " "]))
def test_no_text_of_the_words_that_it_knows_breaks_it(parts: list[str], between: str) -> None:
    is_read_or_asked_back(between.join(parts))
