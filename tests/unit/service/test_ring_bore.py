"""A bore by its ring size in the part file: its limits, what the maker allows, and what is asked back."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.data.ring_allowances import RingChoice
from handwheel.data.ring_scales import RingScale, ring_scale, ring_scales
from handwheel.domain.errors import InputError
from handwheel.domain.part import BORE, Aspect, Part, Units
from handwheel.domain.size import Size
from handwheel.planner.planner import make_plan
from handwheel.report.text_sheet import sheet_text
from handwheel.service.demo import demo_text
from handwheel.service.intake.part_file import read_part
from handwheel.service.intake.ring_choice import read_makers_choice
from handwheel.service.intake.shop_file import read_shop
from tests.intake_files import problems_of, spoiled

BAND = demo_text("band")
SIZED = spoiled(BAND, ("diameter = 18.5", 'ring_size = "US 8"'))


def part(*changes: tuple[str, str]) -> Part:
    return read_part(spoiled(SIZED, *changes), name="band.toml")


def bore(*changes: tuple[str, str]) -> Size:
    feature = part(*changes).feature(BORE, Aspect.DIAMETER)
    assert feature is not None
    return feature.size


def problems(*changes: tuple[str, str]) -> tuple[str, ...]:
    return problems_of(lambda: part(*changes))


def test_a_size_stands_for_its_diameter_with_the_limits_beside_it() -> None:
    size = bore()
    assert size.nominal == Fraction("18.1356")
    assert (size.lower, size.upper) == (size.nominal - Fraction("0.06"), size.nominal + Fraction("0.06"))
    assert size.as_written.endswith(" ± 0.06")
    assert size.rule == "written on the drawing"


def test_limits_and_general_classes_and_finishing_hold_as_for_a_diameter() -> None:
    limits = bore(("plus_minus = 0.06", 'limits = ["0", "+0.05"]'))
    assert (limits.lower, limits.upper) == (Fraction("18.1356"), Fraction("18.1856"))
    assert bore(("plus_minus = 0.06", 'general_class = "m"')).rule == "ISO 2768-1 m"
    assert bore(("plus_minus = 0.06", "plus_minus = 0.06\nfinishing_change = 0.02")).cut_target == Fraction("18.1156")


def test_a_size_by_circumference_is_rounded_to_a_tenth_of_a_micrometre() -> None:
    assert bore(("US 8", "ISO 57")).nominal == Fraction("18.1437")
    assert bore(("US 8", "57 mm around")).nominal == Fraction("18.1437")


def test_an_allowance_without_a_unit_is_in_the_units_of_the_file() -> None:
    read = read_makers_choice("+0.01", choice=RingChoice.WIDE_BAND, scale=None, unit=Units.INCH, where="bore.wide_band")
    assert read.diameter_mm == Fraction("0.254")


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ((('"US 8"', "8"),), 'bore.ring_size: found 8; of which scale? Write "US 8"'),
        ((('"US 8"', '"N"'),), 'bore.ring_size: found "N"; of which scale? Write "UK N 1.25-rule"'),
        (
            (('"US 8"', '"18 mm"'),),
            'bore.ring_size: found "18 mm"; allowed a ring size, or a circumference; write diam',
        ),
        ((('"US 8"', '"US 8"\ndiameter = 18'),), "bore.diameter: found 18; allowed nothing beside ring_size"),
        ((("plus_minus = 0.06", ""),), 'bore.ring_size: found "US 8"; allowed a size with its tolerance'),
        ((("plus_minus = 0.06", "wide_band = 0.2\nplus_minus = 0.06"),), "bore.wide_band: found 0.2; allowed a change"),
        ((("ring_size", "ring_sise"),), 'rename it to "ring_size"'),
        ((("plus_minus = 0.06", "measured_by = 3\nplus_minus = 0.06"),), "bore.measured_by: found 3"),
        ((("plus_minus = 0.06", 'wide_bend = "+0.1 mm"\nplus_minus = 0.06'),), 'rename it to "wide_band"'),
    ],
)
def test_what_is_wrong_is_told_with_its_key(changes: tuple[tuple[str, str], ...], said: str) -> None:
    assert any(said in problem for problem in problems(*changes)), problems(*changes)
    assert all(problem.startswith("band.toml: ") for problem in problems(*changes))


def test_a_part_by_its_ring_size_is_worn_on_the_skin_unless_the_file_says_otherwise() -> None:
    """So that its metal is judged for the skin: silence must not be the unsafe answer."""
    assert part(("worn_on_skin = false\n", "")).skin_contact
    assert not part().skin_contact
    assert not read_part(spoiled(BAND, ("worn_on_skin = false\n", "")), name="band.toml").skin_contact


def test_both_allowances_add_up() -> None:
    size = bore(("plus_minus = 0.06", 'wide_band = "+1/4 size"\neased_bore = "-0.05 mm"\nplus_minus = 0.06'))
    assert size.nominal == Fraction("18.1356") + Fraction("0.2032") - Fraction("0.05")


def test_the_plan_is_made_for_that_diameter_and_its_sheet_says_what_was_understood() -> None:
    shop = read_shop(demo_text("metric-lathe"), name="shop.toml")
    plan = make_plan(part(("plus_minus = 0.06", 'wide_band = "+1/4 size"\nplus_minus = 0.06')), shop)
    text = sheet_text(plan, shop)
    assert max(map(len, text.splitlines())) <= 80
    words = " ".join(text.split())
    assert "as written bore diameter: ring size US 8, Ø 18.136 mm" in words
    assert "wide band +1/4 size (+0.203 mm, maker's choice; sources disagree) ± 0.06" in words
    assert "bore diameter 18.279 to 18.398" in words


@pytest.mark.parametrize(
    ("written", "key", "expected_mm"),
    [
        ("+0.25 mm", "us", "0.25"),
        ("-0,25 mm", "us", "-0.25"),
        ("−0.25", "us", "-0.25"),
        ("+10 thou", "us", "0.254"),
        ("+1/4 size", "us", "0.2032"),
        ("+ ½ size", "us", "0.4064"),
        ("-0.5 sizes", "us", "-0.4064"),
        ("+1/4 US size", "iso", "0.2032"),
        ("+1 JP size", "us", "1/3"),
        ("0", "us", "0"),
        ("0 mm", "us", "0"),
    ],
)
def test_an_allowance_is_read_as_a_length_or_a_share_of_a_size(written: str, key: str, expected_mm: str) -> None:
    read = read_makers_choice(
        written, choice=RingChoice.WIDE_BAND, scale=ring_scale(key), unit=Units.MM, where="bore.wide_band"
    )
    assert read.diameter_mm == Fraction(expected_mm)


@pytest.mark.parametrize(
    ("written", "key", "question"),
    [
        ("0.25 mm", "us", r'larger or smaller\? Sources disagree, so write "\+0.25 mm" or "-0.25 mm"'),
        ("1/4 size", "us", r"larger or smaller\?"),
        ("+1/4 size", None, r"of which scale\?"),
        ("+1/4 size", "uk", r'Write "\+1/4 UK letter" or "\+1/4 US size"'),
        ("+1/4 letter", "us", r'Write "\+1/4 UK letter" or "\+1/4 US size"'),
        ("+2 mm", "us", "allowed up to 1 mm; check the figure: it is a change of the diameter"),
        ("+18.4 mm", "us", "not the size itself"),
        ("+1/0 size", "us", "nothing can be divided by 0"),
        ("+1/4 XX size", "us", r"of which scale\?"),
        ("a bit", "us", "allowed a number and a unit"),
        ("", "us", "allowed a number and a unit"),
        ("+" + "1" * 50, "us", "allowed a change of the diameter with its sign"),
    ],
)
def test_an_allowance_that_is_not_clear_is_asked_back(written: str, key: str | None, question: str) -> None:
    scale = ring_scale(key) if key else None
    with pytest.raises(InputError, match=question) as caught:
        read_makers_choice(written, choice=RingChoice.EASED_BORE, scale=scale, unit=Units.MM, where="bore.eased_bore")
    assert str(caught.value).startswith("bore.eased_bore: found ")


@given(st.text(alphabet='+-−0123456789./, ½sizelettrUSKmn"xØ', max_size=45), st.sampled_from([None, *ring_scales()]))
def test_no_text_of_an_allowance_breaks_it(written: str, scale: RingScale | None) -> None:
    def read() -> None:
        made = read_makers_choice(written, choice=RingChoice.WIDE_BAND, scale=scale, unit=Units.MM, where="k")
        assert abs(made.diameter_mm) <= 1
        assert not made.diameter_mm or made.written[0] in "+-"

    assert all(problem.startswith("k: ") for problem in problems_of(read))
