"""A size with its limits in one text: what is read is exact, what can mean two things is asked back."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import InputError
from handwheel.domain.part import BACK_FACE, BORE, FRONT_OUTER_EDGE, OUTSIDE, Aspect, Part, Units
from handwheel.service.intake.limits_text import SizeText, read_size_text
from handwheel.service.intake.part_file import read_part
from tests.intake_files import PART, problems_of, spoiled

INCH = Fraction(254, 10)
THOU = INCH / 1000
SCALES = {"mm": Fraction(1), "in": INCH, '"': INCH, "thou": THOU}
"""Inch: exactly 25.4 mm by definition (international inch, 1959)."""


def f(text: str) -> Fraction:
    return Fraction(text)


def read(text: str, unit: Units = Units.MM) -> tuple[Fraction, Fraction, Fraction]:
    """Size and limits as they must be on the part. [mm]"""
    found = read_size_text(text, unit=unit, where="key")
    assert found is not None, text
    return found.nominal, found.nominal + found.lower, found.nominal + found.upper


@pytest.mark.parametrize(
    ("text", "nominal", "lower", "upper"),
    [
        ("17.20 mm +0.03/-0", "17.2", "17.2", "17.23"),
        ("17.20 +0.03/-0", "17.2", "17.2", "17.23"),
        ("17,20 +0,03/0", "17.2", "17.2", "17.23"),
        ("17.20+0.03-0.00", "17.2", "17.2", "17.23"),
        ("17.20 +0.03 -0.01", "17.2", "17.19", "17.23"),
        ("17.20 -0.01/+0.03", "17.2", "17.19", "17.23"),
        ("17.20 0/-0.03", "17.2", "17.17", "17.2"),
        ("17.20 −0.01/−0.03", "17.2", "17.17", "17.19"),  # true minus signs
        ("17.20 (+0.03/-0)", "17.2", "17.2", "17.23"),
        ("17.20 ± 0.03", "17.2", "17.17", "17.23"),
        ("17.20±.03", "17.2", "17.17", "17.23"),
        ("17.20 +/- 0.03 mm", "17.2", "17.17", "17.23"),
        ("17.20 +-0.03", "17.2", "17.17", "17.23"),
        ("(17.20 ± 0.03) mm", "17.2", "17.17", "17.23"),
        ("17.20 mm ± 30 µm", "17.2", "17.17", "17.23"),
        ("17.17 to 17.23 mm", "17.2", "17.17", "17.23"),
        ("17.17..17.23", "17.2", "17.17", "17.23"),
    ],
)
def test_limits_in_millimetres_are_read(text: str, nominal: str, lower: str, upper: str) -> None:
    assert read(text) == (f(nominal), f(lower), f(upper))


@pytest.mark.parametrize(
    ("text", "nominal", "lower", "upper"),
    [
        ("0.677 in +0.001/-0.000", "677", "677", "678"),
        ('0.677" +1 thou/-0', "677", "677", "678"),
        ("0.677 in ± 0.5 thou", "677", "676.5", "677.5"),
        ("2-1/2 in +1/64/-0", "2500", "2500", "2515.625"),
        ("2 1/2 in ± 1/64", "2500", "2484.375", "2515.625"),
        ("1/2 in -1/64/-1/32", "500", "468.75", "484.375"),
        ("677 thou ± 1", "677", "676", "678"),
        ("0.676 in to 0.678 in", "677", "676", "678"),
        ("0.676 to 0.678 in", "677", "676", "678"),
    ],
)
def test_limits_in_inches_are_read_in_any_file(text: str, nominal: str, lower: str, upper: str) -> None:
    """Expected in thousandths of an inch."""
    for unit in Units:
        assert read(text, unit) == (f(nominal) * THOU, f(lower) * THOU, f(upper) * THOU)


@pytest.mark.parametrize(
    ("text", "question"),
    [
        ("17.17 - 17.23", 'two limits with a dash\\? Write "17.17 to 17.23"'),
        ("17.17-17.23", 'Write "17.17 to 17.23"'),
        ("17.23 mm - 17.17 mm", 'two limits with a dash\\? Write "17.17 mm to 17.23 mm"'),
        ("17.23/17.17", 'two limits, or a fraction\\? Write "17.17 to 17.23"'),
        ("17.20 +0.03", 'what is the other limit\\? Write "17.20 \\+0.03/-0", or "17.20 ± 0.03"'),
        ("17.20 mm -0.1", 'what is the other limit\\? Write "17.20 mm -0.1/\\+0"'),
        ("17.23 to 17.17", 'the first limit is above the second; write "17.17 to 17.23"'),
        ("17.2 ± 1 thou", 'of which unit is 17.2\\? Write "17.2 mm" or "17.2 thou"'),
        ("17.2 mm +2 thou/-1", 'of which unit is -1\\? Write "-1 mm" or "-1 thou"'),
        ("1-1/64 -1/32 in", 'is 1-1/64 the size, or 1 and how far it may go below\\? .* "1 in"'),
        ("20 H8 +0.033/0", '"20 H8" is a fit and says its limits already; delete the fit'),
        ("20 H8 (+0.033/0)", "delete the fit"),
        ("20 H8 ± 0.1", "delete the fit"),
        ("5 mil ± 1", "a thousandth of an inch or a millimetre\\?"),
        ("2.1/2 in ± 0.1", "a whole number and a fraction, or a slip\\?"),
        ("1,234 ± 0.1", "does the comma part thousands"),
        ("3/16 ± 0.1", "a fraction of what\\?"),
    ],
)
def test_what_can_mean_two_things_is_asked_back(text: str, question: str) -> None:
    with pytest.raises(InputError, match=f"^key: found .*; {question}|{question}"):
        read_size_text(text, unit=Units.MM, where="key")


@pytest.mark.parametrize(
    "text", ["20", "20 H8", "2-1/2 in", "2 1/2", "5 mil", "", "x", "-0.1", "1e-3", "20 h9", "0.4 mm"]
)
def test_a_text_without_limits_is_left_to_others(text: str) -> None:
    assert read_size_text(text, unit=Units.MM, where="key") is None


decimals = st.decimals(min_value="0.001", max_value=300, places=3)
parts_of_inch = st.sampled_from([2, 4, 8, 16, 32, 64])


@given(size=decimals, up=st.integers(0, 999), down=st.integers(0, 999), data=st.data())
def test_limits_from_exact_numbers_read_back_as_the_same_numbers(
    size: object, up: int, down: int, data: st.DataObject
) -> None:
    """Every spelling of the same size and deviations, in every unit, with point or comma."""
    unit = data.draw(st.sampled_from(Units))
    named = data.draw(st.sampled_from(sorted(SCALES)))
    above, below = f"{up / 1000:.3f}", f"{down / 1000:.3f}"
    gap, slash = data.draw(st.sampled_from(["", " "])), data.draw(st.sampled_from(["/", " / ", " "]))
    upper_first = data.draw(st.booleans())
    pair = (f"+{above}", f"-{below}") if upper_first else (f"-{below}", f"+{above}")
    text = f"{size}{gap}{named} {pair[0]}{slash}{pair[1]}"
    if data.draw(st.booleans()):
        text = text.replace(".", ",")
        if "," in text and _may_be_thousands(text):
            return
    scale = SCALES[named]
    nominal = Fraction(str(size)) * scale
    assert read(text, unit) == (nominal, nominal - Fraction(below) * scale, nominal + Fraction(above) * scale)


def _may_be_thousands(text: str) -> bool:
    """Whether a comma with three digits behind it may part thousands: such a text is asked back, tested above."""
    return not text.startswith("0,")


@given(whole=st.integers(1, 20), bottom=parts_of_inch, under=parts_of_inch, data=st.data())
def test_fractions_of_an_inch_with_a_plus_and_minus_read_back_exactly(
    whole: int, bottom: int, under: int, data: st.DataObject
) -> None:
    top = data.draw(st.integers(1, bottom - 1))
    join = data.draw(st.sampled_from([" ", "-", " - "]))
    sign = data.draw(st.sampled_from(["±", "+/-", " ± ", " +/- ", "+-"]))
    text = f"{whole}{join}{top}/{bottom} in{sign}1/{under}"
    nominal, deviation = (whole + Fraction(top, bottom)) * INCH, Fraction(1, under) * INCH
    assert read(text) == (nominal, nominal - deviation, nominal + deviation)


@given(low=st.integers(1, 10**6), more=st.integers(0, 10**5), data=st.data())
def test_two_limits_read_back_exactly(low: int, more: int, data: st.DataObject) -> None:
    word = data.draw(st.sampled_from([" to ", "..", " ... ", "…"]))
    lower, upper = Fraction(low, 1000), Fraction(low + more, 1000)
    text = f"{low / 1000:.3f}{word}{(low + more) / 1000:.3f} mm"
    assert read(text, data.draw(st.sampled_from(Units)))[1:] == (lower, upper)


def outcome(text: str) -> SizeText | InputError | None:
    try:
        return read_size_text(text, unit=Units.MM, where="key")
    except InputError as error:
        return error


@given(st.text("0123456789.,/+-± \"'mincthouHh()", max_size=24) | st.text(max_size=60))
def test_any_text_is_a_size_with_limits_or_none_or_one_clear_problem(text: str) -> None:
    read = outcome(text)
    if isinstance(read, InputError):
        (problem,) = read.problems
        assert problem.startswith("key: found ")
        assert problem.isprintable()
    elif read is not None:
        assert read.lower <= read.upper


# -- in the places where a maker writes them ---------------------------------------------------------------


def limits(part: Part, surface: str, aspect: Aspect = Aspect.DIAMETER) -> tuple[Fraction, Fraction, str, str]:
    feature = part.feature(surface, aspect)
    assert feature is not None
    return feature.size.lower, feature.size.upper, feature.size.as_written, feature.size.rule


def test_every_size_of_a_part_may_have_its_limits_behind_it() -> None:
    text = spoiled(
        PART,
        ('"20 H8"', '"0.787 in +0.001/-0.000"'),
        ("diameter = 30\nplus_minus = 0.1", 'diameter = "Ø30 ± 0.1"'),
        ('length = 12\nlimits = ["-0.1", "0.2"]', 'length = "11.9 to 12.2"'),
        ('"0.5 x 45"', '"0.4 mm +0.2/-0.1 x 45°"'),
    )
    part = read_part(text, name="ring.toml")
    written = "written on the drawing"
    assert limits(part, BORE) == (f("0.787") * INCH, f("0.788") * INCH, "0.787 in +0.001/-0.000", written)
    assert limits(part, OUTSIDE) == (f("29.9"), f("30.1"), "Ø30 ± 0.1", written)
    assert limits(part, BACK_FACE, Aspect.WIDTH) == (f("11.9"), f("12.2"), "11.9 to 12.2", written)
    assert limits(part, FRONT_OUTER_EDGE, Aspect.LEG_RADIAL)[:2] == (f("0.3"), f("0.6"))


@pytest.mark.parametrize(
    ("change", "problem"),
    [
        (
            ('"20 H8"', '"20 ± 0.1"\nplus_minus = 0.2'),
            "found plus_minus and the limits behind the size; allowed one way",
        ),
        (('"20 H8"', '"17.20 +17.23/+17.17"'), "write how far each limit is from the size, not the size itself"),
        (('"20 H8"', '"2000 ± 0.1"'), 'found "2000 ± 0.1"; allowed a length from 0.1 to 1000 mm'),
        (('"20 H8"', '"R10 ± 0.1"'), "is it a radius? A diameter is wanted here: write it, twice as much"),
        (('"20 H8"', '"17.17 - 17.23"'), 'two limits with a dash? Write "17.17 to 17.23"'),
        (("length = 12", 'length = "Ø12"'), "width.length: found"),
        (('"0.5 x 45"', '"0.4"'), 'the legs of 45 degrees? Then write "0.4 x 45"'),
        (('"0.5 x 45"', '"C0.4"'), 'the legs of 45 degrees? Then write "0.4 x 45"'),
        (('"0.5 x 45"', '"0.5 x 30°"'), "an angle other than 45 needs both legs"),
        (('"0.5 x 45"', '"45 x 0.5"'), "two legs? Then write which is along the axis"),
        (('"0.5 x 45"', '"0.5 x 0.3"'), "two legs? Then write which is along the axis: { along = ..., across = ... }"),
    ],
)
def test_what_is_unclear_in_a_part_is_asked_with_its_key(change: tuple[str, str], problem: str) -> None:
    found = problems_of(lambda: read_part(spoiled(PART, change), name="ring.toml"))
    assert any(problem in line for line in found), found


@pytest.mark.parametrize(
    "text", ["0.6 x 45", "0.6x45°", "0.6 mm X 45 deg", "0.6 × 45 °", "45° x 0.6", "0,6 mm x 45 degrees"]
)
def test_an_edge_is_read_however_its_angle_is_written(text: str) -> None:
    """ISO 2768-1 m: edges from 0.5 up to 3 mm ±0.2."""
    part = read_part(spoiled(PART, ('"0.5 x 45"', f'"{text}"')), name="ring.toml")
    assert limits(part, FRONT_OUTER_EDGE, Aspect.LEG_AXIAL)[:2] == (f("0.4"), f("0.8"))
