"""Lengths as a workshop writes them: every form that is read, every form that is asked back."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import InputError
from handwheel.domain.part import Units
from handwheel.domain.said import said_short
from handwheel.service.intake.lengths import LONGEST_TEXT, length_mm, shown

INCH = Fraction(254, 10)
IN_MM = {"unit": Units.MM}
IN_INCHES = {"unit": Units.INCH}
NAMED_UNITS = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "µm": Fraction(1, 1000),
    "um": Fraction(1, 1000),
    "in": INCH,
    "inch": INCH,
    "inches": INCH,
    '"': INCH,
    "''": INCH,
    "″": INCH,
    "”": INCH,
    "thou": INCH / 1000,
}
"""Inch: exactly 25.4 mm by definition (international inch, 1959)."""

decimals = st.decimals(min_value=0, max_value=9999, places=4, allow_nan=False, allow_infinity=False)
units = st.sampled_from(Units)


@pytest.mark.parametrize(
    ("written", "expected_mm"),
    [
        ("20", Fraction(20)),
        ("20 mm", Fraction(20)),
        ("20mm", Fraction(20)),
        ("  20  MM ", Fraction(20)),
        ("0,5 mm", Fraction(1, 2)),
        ("0,125", Fraction(1, 8)),
        (",5", Fraction(1, 2)),
        (".5", Fraction(1, 2)),
        ("12,34", Fraction(1234, 100)),
        ("0.787 in", Fraction(787, 1000) * INCH),
        ("1 1/4 in", Fraction(5, 4) * INCH),
        ('1-1/4"', Fraction(5, 4) * INCH),
        ("1 - 1/4 in", Fraction(5, 4) * INCH),
        ("1–1/4 in", Fraction(5, 4) * INCH),  # an en dash, as word processors make it
        ('3/16"', Fraction(3, 16) * INCH),
        ("5/4 in", Fraction(5, 4) * INCH),
        ("1/2 mm", Fraction(1, 2)),
        ("1½ in", Fraction(3, 2) * INCH),
        ("½ in", Fraction(1, 2) * INCH),
        ("3\N{FRACTION SLASH}8 in", Fraction(3, 8) * INCH),
        ("5 thou", Fraction(127, 1000)),
        ("0.1 m", Fraction(100)),
        ("+0.033", Fraction(33, 1000)),
        ("-0.1", Fraction(-1, 10)),
        ("−0.1", Fraction(-1, 10)),  # a true minus sign
        ("- 1 1/2 in", Fraction(-3, 2) * INCH),
        ("25.4", INCH),
        ("1\N{NO-BREAK SPACE}in", INCH),
    ],
)
def test_a_length_with_one_meaning_is_read_exactly(written: str, expected_mm: Fraction) -> None:
    assert length_mm(written, unit=Units.MM) == expected_mm


@pytest.mark.parametrize(
    ("written", "expected_mm"),
    [(20, Fraction(20)), (Decimal("0.1"), Fraction(1, 10)), (Fraction(1, 3), Fraction(1, 3)), (-1, Fraction(-1))],
)
def test_a_number_takes_the_unit_of_the_file(written: object, expected_mm: Fraction) -> None:
    assert length_mm(written, unit=Units.MM) == expected_mm
    assert length_mm(written, unit=Units.INCH) == expected_mm * INCH


@pytest.mark.parametrize(("unit", "scale"), NAMED_UNITS.items())
def test_a_named_unit_rules_over_that_of_the_file(unit: str, scale: Fraction) -> None:
    assert length_mm(f"3 {unit}", unit=Units.MM) == length_mm(f"3{unit}", unit=Units.INCH) == 3 * scale


def test_bare_text_takes_the_unit_of_the_file() -> None:
    assert length_mm("2", unit=Units.INCH) == 2 * INCH
    assert length_mm("3/16", unit=Units.INCH) == Fraction(3, 16) * INCH


@pytest.mark.parametrize(
    ("written", "question"),
    [
        ("5 mil", 'found "5 mil"; a thousandth of an inch or a millimetre\\? Write "5 thou" or "5 mm"'),
        ("5 mils", 'Write "5 thou" or "5 mm"'),
        ("2 tenths", "of a thousandth of an inch or of a millimetre\\?"),
        ("1 tenth", "of a thousandth of an inch or of a millimetre\\?"),
        ("2.1/2", 'a whole number and a fraction, or a slip\\? Write "2 1/2", or one decimal number'),
        ("2,1/2 in", 'Write "2 1/2"'),
        ("1,234.5", 'part thousands, or is it a decimal comma\\? Write "1234.5" or "1.2345"'),
        ("1.234,5", 'Write "1.2345" or "1234.5"'),
        ("1,234", 'Write "1234" or "1.234"'),
        ("1,234,567", "does the comma part thousands"),
        ("3/16", 'a fraction of what\\? Write "3/16 in" or "3/16 mm"'),
    ],
)
def test_a_length_with_two_meanings_is_asked_back(written: str, question: str) -> None:
    with pytest.raises(InputError, match=question):
        length_mm(written, unit=Units.MM)


@pytest.mark.parametrize(
    ("written", "reason"),
    [
        ("", 'found ""; allowed a number and a unit'),
        ("mm", "allowed a number and a unit"),
        ("twenty", "allowed a number and a unit"),
        ("1e3", "allowed a number and a unit"),
        ("20 H8", "allowed a number and a unit"),
        ("٣ mm", "allowed a number and a unit"),  # a digit, but of another script
        ("5 furlong", '"furlong" is no unit that is known here; write one of mm, cm, m, µm, in, " or thou'),
        ("5'", "is no unit that is known here"),
        ("5.", "allowed one decimal number or one fraction"),
        ("1 2 mm", "allowed one decimal number or one fraction"),
        ("1.2.3 mm", "allowed one decimal number or one fraction"),
        ("1/2/3 in", "allowed one decimal number or one fraction"),
        ("1/0 in", "nothing can be divided by 0; check the fraction"),
        ("1 5/4 in", "the fraction 5/4 after a whole number must be below 1; check it"),
        ("9" * (LONGEST_TEXT + 1), f"a length has at most {LONGEST_TEXT} characters; write the length alone"),
        (True, "found true; allowed a number, or text with a unit"),
        (0.1, "allowed a number, or text with a unit"),
        (None, "allowed a number, or text with a unit"),
        ([1], "found a list of 1; allowed a number, or text"),
        (Decimal("nan"), "this is no number; write the length in digits"),
        (Decimal("-inf"), "this is no number; write the length in digits"),
        (Decimal("1e999999999"), "has that many digits; check the decimal point"),
        (Decimal("1e-999999999"), "has that many digits; check the decimal point"),
        (10**4000, "found a whole number of more than 40 digits; no length in a workshop has that many digits"),
    ],
)
def test_what_is_no_length_is_refused_with_what_to_do(written: object, reason: str) -> None:
    with pytest.raises(InputError, match=reason):
        length_mm(written, unit=Units.MM)


def test_the_error_says_where() -> None:
    with pytest.raises(InputError, match=r'^bush.toml: bore.diameter: found "x"; '):
        length_mm("x", unit=Units.MM, where="bush.toml: bore.diameter")


@given(value=decimals, unit=units)
def test_a_decimal_written_with_point_or_comma_reads_the_same(value: Decimal, unit: Units) -> None:
    text = f"{value:f}"
    assert length_mm(text, unit=unit) == length_mm(value, unit=unit)
    assert length_mm(text.replace(".", ","), unit=unit) == length_mm(value, unit=unit)


@given(whole=st.integers(0, 99), bottom=st.sampled_from([2, 4, 8, 16, 32, 64, 128]), data=st.data())
def test_a_mixed_fraction_reads_as_the_sum_of_its_parts(whole: int, bottom: int, data: st.DataObject) -> None:
    top = data.draw(st.integers(1, bottom - 1))
    expected_mm = (whole + Fraction(top, bottom)) * INCH
    for text in (f"{whole} {top}/{bottom} in", f'{whole}-{top}/{bottom}"', f"+{whole} {top} / {bottom} inch"):
        assert length_mm(text, unit=Units.MM) == expected_mm


@given(value=decimals, unit=st.sampled_from(sorted(NAMED_UNITS)), sign=st.sampled_from(["", "+", "-"]))
def test_a_length_written_in_any_unit_comes_back_exactly(value: Decimal, unit: str, sign: str) -> None:
    read_mm = length_mm(f"{sign}{value:f} {unit}", unit=Units.MM)
    assert read_mm / NAMED_UNITS[unit] == (-1 if sign == "-" else 1) * Fraction(value)


@given(mm_thousandths=st.integers(-(10**7), 10**7), first=units)
def test_a_length_said_in_both_units_reads_back_the_same_in_mm(mm_thousandths: int, first: Units) -> None:
    size_mm = Fraction(mm_thousandths, 1000)
    outside, inside = said_short(size_mm, first).removesuffix(")").split(" (")
    mm, inch = (outside, inside) if first is Units.MM else (inside, outside)
    assert length_mm(mm, unit=Units.INCH) == size_mm
    assert abs(length_mm(inch, unit=Units.MM) - size_mm) <= Fraction(1, 20000) * INCH


def outcome(text: str) -> Fraction | InputError:
    try:
        return length_mm(text, unit=Units.MM, where="key")
    except InputError as error:
        return error


@given(st.text(max_size=60) | st.text("0123456789.,/+- \"'mincthou½", max_size=12))
def test_any_text_is_a_length_or_one_clear_problem(text: str) -> None:
    read = outcome(text)
    if isinstance(read, InputError):
        (problem,) = read.problems
        assert problem.startswith("key: found ")
        assert problem.isprintable()
    else:
        assert any(sign.isascii() and sign.isdigit() for sign in text) or "½" in text


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("a\nb\x1b[31m", '"a b [31m"'),
        ("x" * 100, '"' + "x" * 39 + "..."),
        ({"a": 1}, "a table"),
        ([1, 2], "a list of 2"),
        (True, "true"),
        (Decimal("1.50"), "1.50"),
        (10**50, "a whole number of more than 40 digits"),
    ],
)
def test_a_message_shows_a_value_short_and_harmless(value: object, text: str) -> None:
    assert shown(value) == text
