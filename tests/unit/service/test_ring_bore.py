"""A bore by its ring size in the part file: its limits, what the maker allows, and what is asked back."""

from __future__ import annotations

from fractions import Fraction
from functools import partial
from pathlib import Path

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
from handwheel.service.intake.part_file import read_part, read_part_file
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


# -- limits and fits behind the size --------------------------------------------------------------------


def ring(written: str, *, units: str = "mm", beside: str = "") -> Size:
    changes = (("plus_minus = 0.06", beside or "# limits stand in the text"), ('"US 8"', f'"{written}"'))
    text = spoiled(SIZED, *changes)
    if units == "inch":
        text = spoiled(text, ('units = "mm"', 'units = "inch"'))
    feature = read_part(text, name="band.toml").feature(BORE, Aspect.DIAMETER)
    assert feature is not None
    return feature.size


@pytest.mark.parametrize(
    ("written", "lower", "upper"),
    [
        ("US 8 +-0.02 mm", "-0.02", "0.02"),
        ("US 8 \u00b1 0.02", "-0.02", "0.02"),
        ("US 8 +0.05/-0", "0", "0.05"),
        ("US 8 0/-0.03", "-0.03", "0"),
        ("US 8 (+0.05/-0.01)", "-0.01", "0.05"),
        ("US 8 +2 thou/-1 thou", "-0.0254", "0.0508"),
        ("US 8 \u00b1 0.25 mm", "-0.25", "0.25"),
        ("JP 16 \u00b1 0.1 mm", "-0.1", "0.1"),
        ("ISO 57 +0.1/-0 mm across", "0", "0.1"),
        ("ISO 57 \u00b1 0.1 on the diameter", "-0.1", "0.1"),
    ],
)
def test_limits_behind_a_size_lie_about_its_diameter(written: str, lower: str, upper: str) -> None:
    size = ring(written)
    assert (size.lower - size.nominal, size.upper - size.nominal) == (Fraction(lower), Fraction(upper))
    assert size.rule == "written on the drawing"


def test_limits_around_are_those_of_the_diameter_times_pi() -> None:
    size = ring("ISO 57 \u00b1 0.22 mm around")
    assert size.upper - size.nominal == size.nominal - size.lower == Fraction("0.07")  # 0.22 / pi = 0.0700


def test_a_deviation_takes_the_units_of_its_file() -> None:
    size = ring("US 8 \u00b1 0.001", units="inch")
    assert size.upper - size.nominal == Fraction("0.0254")


def test_a_fit_behind_a_size_is_that_of_its_diameter() -> None:
    """ISO 286-2 gives H8 from 18 to 30 mm as 0 to +33 micrometres."""
    size = ring("US 8 H8")
    assert (size.lower, size.upper) == (size.nominal, size.nominal + Fraction("0.033"))
    assert size.rule == "ISO 286-2 H8"
    assert size.as_written.endswith("; H8")


def test_the_plus_of_a_letter_beyond_z_is_no_limit() -> None:
    size = ring("UK Z+1 +0.05/-0", beside="wide_band = '-1 mm'\neased_bore = '-1 mm'")
    assert (size.upper - size.nominal, size.nominal - size.lower) == (Fraction("0.05"), Fraction(0))


def test_what_the_maker_allows_moves_the_limits_along() -> None:
    size = ring("US 8 \u00b1 0.02 mm", beside='wide_band = "+0.1 mm"')
    assert size.nominal == Fraction("18.2356")
    assert size.upper == Fraction("18.2556")


@pytest.mark.parametrize(
    ("written", "question"),
    [
        ("US 8 +0.05", 'what is the other limit? Write "US 8 +0.05/-0", or "US 8 \u00b1 0.05"'),
        ("UK R -0.05", "what is the other limit?"),
        ("US 8 \u00b1 0.25", "a length, or 0.25 of a size, which is 0.203 mm?"),
        ("US 8 \u00b1 1/4", "a length, or 1/4 of a size"),
        ("UK R \u00b1 0.5", "a length, or 0.5 of a letter, which is 0.199 mm?"),
        ("US 8 \u00b1 1/4 size", '1/4 of a size is "0.203 mm"; write that'),
        ("US 8 +2 thou/-1", "of which unit is 1?"),
        ("ISO 57 \u00b1 0.1", "limits of the diameter, or around?"),
        ("CH 17 \u00b1 0.1 mm", "limits of the diameter, or around?"),
        ("57 mm around \u00b1 0.1", "of which unit is 0.1?"),
        ("57 mm around \u00b1 0.1 mm", "limits of the diameter, or around?"),
        ("8 \u00b1 0.02 mm", "of which scale?"),
        ("US 8 h8", "allowed a fit for holes, in capital letters"),
        ("US 8 \u00b1 20 mm", "write how far each limit is from the size"),
        ("US 8 \u00b1 1/0", "nothing can be divided by 0"),
    ],
)
def test_limits_behind_a_size_that_can_mean_two_things_are_asked_back(written: str, question: str) -> None:
    told = problems_of(lambda: ring(written))
    assert len(told) == 1
    assert question in told[0]
    assert told[0].startswith("band.toml: line ")


@pytest.mark.parametrize("beside", ["plus_minus = 0.06", 'limits = ["0", "0.1"]', 'general_class = "m"'])
@pytest.mark.parametrize("written", ["US 8 H8", "US 8 \u00b1 0.02 mm"])
def test_limits_stand_behind_a_size_or_beside_it(written: str, beside: str) -> None:
    (problem,) = problems_of(lambda: ring(written, beside=beside))
    assert "allowed one way to state the limits" in problem


def test_the_sheet_says_the_limits_behind_a_size_in_both_units() -> None:
    shop = read_shop(demo_text("metric-lathe"), name="shop.toml")
    plan = make_plan(part(("plus_minus = 0.06", "# in the text"), ('"US 8"', '"US 8 +0.08/-0.06"')), shop)
    words = " ".join(sheet_text(plan, shop).split())
    assert "ring size US 8, \u00d8 18.136 mm" in words
    assert "bore diameter 18.076 to 18.215" in words  # inward, to the thousandth
    assert "0.7117 to 0.7171" in words


# -- a stick that its owner measured --------------------------------------------------------------------

STICK = """\
name = "steel stick"
units = "mm"
scale = "US"
mark_width = 0.3
reading = 0.3
uncertainty = 0.01

[[mark]]
size = "8"
at = 100
diameter = 18.20

[[mark]]
size = "9"
at = 120
diameter = 19.00
"""
ON_STICK = (('"US 8"', '"8 1/4"'), ("plus_minus = 0.06", 'plus_minus = 0.06\nstick = "stick.toml"'))


def on_stick(*changes: tuple[str, str], stick: str = STICK) -> Part:
    return read_part(spoiled(SIZED, *ON_STICK, *changes), name="band.toml", load={"stick.toml": stick}.__getitem__)


def test_a_size_read_off_a_measured_stick_is_what_was_measured_there() -> None:
    """Practice case PC-18: the stick is larger than it says, so rings made to its marks came back."""
    feature = on_stick().feature(BORE, Aspect.DIAMETER)
    assert feature is not None
    assert feature.size.nominal == Fraction("18.4")  # a quarter of the way from 18.20 to 19.00 mm
    assert feature.size.nominal > Fraction("18.3388")  # which the rule gives
    # spread: (0.3 / 2 + 0.3) mm along a taper of 0.8 in 20, and 0.01 mm of the marks
    assert (
        feature.size.as_written == "8 1/4 as read on steel stick (spread \u00b1 0.028 mm), \u00d8 18.400 mm \u00b1 0.06"
    )


def test_limits_narrower_than_the_stick_can_be_read_are_told() -> None:
    told = {}
    for plus_minus in ("0.02", "0.03"):
        feature = on_stick(("plus_minus = 0.06", f"plus_minus = {plus_minus}")).feature(BORE, Aspect.DIAMETER)
        assert feature is not None
        told[plus_minus] = feature.size.as_written.endswith(
            "; the limits are narrower than the stick can be read: measure the ring that fits"
        )
    assert told == {"0.02": True, "0.03": False}  # the spread is 0.028 mm


def test_a_reading_takes_limits_fits_and_allowances_as_a_size_does() -> None:
    limits = on_stick(("plus_minus = 0.06\n", ""), ('"8 1/4"', '"8 1/4 H8"')).feature(BORE, Aspect.DIAMETER)
    assert limits is not None
    assert limits.size.upper == Fraction("18.433")
    wide = on_stick(("stick = ", 'wide_band = "+1/4 size"\nstick = ')).feature(BORE, Aspect.DIAMETER)
    assert wide is not None
    assert wide.size.nominal == Fraction("18.6032")


@pytest.mark.parametrize(
    ("change", "question"),
    [
        (('"8 1/4"', '"US 8 1/4"'), "beside a stick stands what was read off it, without a scale"),
        (('"8 1/4"', '"18.3 mm"'), "beside a stick stands what was read off it"),
        (('"8 1/4"', '"10"'), "10 lies outside its marks 8 to 9, and nothing is read beyond them"),
        (('"stick.toml"', "3"), "found 3"),
        (('"stick.toml"', '"my stick"'), "allowed the name of a .toml file"),
    ],
)
def test_a_reading_that_can_mean_two_things_or_lies_outside_is_asked_back(
    change: tuple[str, str], question: str
) -> None:
    (problem,) = problems_of(lambda: on_stick(change))
    assert question in problem


def test_the_problems_of_a_stick_file_are_told_under_the_key_that_names_it() -> None:
    (problem,) = problems_of(lambda: on_stick(stick=STICK.replace("at = 120", "at = 90")))
    assert problem.startswith("band.toml: line ")
    assert "bore.stick: stick.toml: as a whole: stick 'steel stick': marks 8 and 9 do not rise" in problem


def test_a_stick_is_read_beside_its_part_and_nowhere_else(tmp_path: Path) -> None:
    folder = tmp_path / "parts"
    (folder / "sticks").mkdir(parents=True)
    (folder / "sticks" / "mine.toml").write_text(STICK, encoding="utf-8")
    (tmp_path / "stick.toml").write_text(STICK, encoding="utf-8")

    def read(named: str) -> Part:
        path = folder / "band.toml"
        path.write_text(spoiled(SIZED, *ON_STICK, ('"stick.toml"', f"'{named}'")), encoding="utf-8")
        return read_part_file(path)

    assert read("sticks/mine.toml") == read("sticks\\mine.toml") == on_stick()
    for away in ("../stick.toml", f"{tmp_path}/stick.toml", "C:/stick.toml", "sticks/../../stick.toml"):
        (problem,) = problems_of(partial(read, away))
        assert "leads away from the folder of band.toml; allowed a file in it" in problem
    (problem,) = problems_of(lambda: read("stick.toml"))
    assert "bore.stick: stick.toml: cannot be opened" in problem


def test_a_part_that_is_no_file_can_name_no_stick() -> None:
    (problem,) = problems_of(lambda: part(*ON_STICK))
    assert "bore.stick: " in problem
    assert "allowed a stick only where files can be read" in problem
