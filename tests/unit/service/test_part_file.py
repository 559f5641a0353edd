"""Part files: what is read is what is written, and what is wrong is said all at once."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from functools import partial
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.data.iso2768 import GeneralClass
from handwheel.domain.contour import Point
from handwheel.domain.errors import InputError
from handwheel.domain.part import (
    BACK_FACE,
    BACK_INNER_EDGE,
    BACK_OUTER_EDGE,
    BORE,
    FRONT_INNER_EDGE,
    FRONT_OUTER_EDGE,
    OUTSIDE,
    Aspect,
    Part,
    Units,
)
from handwheel.domain.size import Size
from handwheel.service.demo import DEMO_PARTS, demo_text
from handwheel.service.intake.part_file import read_part, read_part_file
from handwheel.service.intake.toml_text import LONGEST_FILE, LONGEST_LINE, parse_toml
from tests.intake_files import PART, problems_of, spoiled, without_line

NAME = "spacer.toml"
UNITS = 'units = "mm"'
INNER = 'diameter = "20 H8"'
FIT = '"20 H8"'
OUTER = "diameter = 30\nplus_minus = 0.1"
PLUS_MINUS = "plus_minus = 0.1"
WIDTH = 'length = 12\nlimits = ["-0.1", "0.2"]'
LIMITS = '["-0.1", "0.2"]'
EDGE = '"0.5 x 45"'
ALL_EDGES = 'all = "0.5 x 45"'
EDGES = (FRONT_OUTER_EDGE, FRONT_INNER_EDGE, BACK_OUTER_EDGE, BACK_INNER_EDGE)
LEGS = (Aspect.LEG_AXIAL, Aspect.LEG_RADIAL)


def read(*changes: tuple[str, str], text: str = PART) -> Part:
    return read_part(spoiled(text, *changes), name=NAME)


def problems(*changes: tuple[str, str], text: str = PART) -> tuple[str, ...]:
    return problems_of(lambda: read(*changes, text=text))


def size(part: Part, surface: str, aspect: Aspect = Aspect.DIAMETER) -> Size:
    feature = part.feature(surface, aspect)
    assert feature is not None
    return feature.size


def limits(size: Size) -> tuple[Fraction, Fraction]:
    return size.lower, size.upper


def f(text: str) -> Fraction:
    return Fraction(text)


# -- what is written is what is read ------------------------------------------------------------------


def test_a_fit_gives_the_limits_of_the_standard() -> None:
    """ISO 286-2: 20 H8 is +33/0 µm (range over 18 up to 30 mm, IT8 = 33 µm)."""
    bore = size(read(), BORE)
    assert limits(bore) == (f("20"), f("20.033"))
    assert (bore.as_written, bore.rule) == ("20 H8", "ISO 286-2 H8")


@pytest.mark.parametrize(
    ("written", "nominal_mm", "lower_mm", "upper_mm"),
    [
        ('"28 h11"', "28", "27.87", "28"),
        ('"28h11"', "28", "27.87", "28"),
        ('"28 mm h11"', "28", "27.87", "28"),
        ('"1 in h9"', "25.4", "25.348", "25.4"),
        ("'1\" h9'", "25.4", "25.348", "25.4"),
        ('"25 js7"', "25", "24.9895", "25.0105"),
        ('"25 k6"', "25", "25.002", "25.015"),
    ],
)
def test_an_outside_takes_the_fits_of_shafts(written: str, nominal_mm: str, lower_mm: str, upper_mm: str) -> None:
    """ISO 286-2, range over 18 up to 30 mm: IT11 130 µm, IT9 52, IT7 21, k6 +15/+2."""
    outside = size(read(("diameter = 30\nplus_minus = 0.1", f"diameter = {written}")), OUTSIDE)
    assert (outside.nominal, *limits(outside)) == (f(nominal_mm), f(lower_mm), f(upper_mm))


def test_plus_and_minus_and_written_limits_are_exact() -> None:
    part = read()
    outside, width = size(part, OUTSIDE), size(part, BACK_FACE, Aspect.WIDTH)
    assert limits(outside) == (f("29.9"), f("30.1"))
    assert (outside.as_written, outside.rule) == ("30 ± 0.1", "written on the drawing")
    assert limits(width) == (f("11.9"), f("12.2"))
    assert (width.as_written, width.cut_target) == ("12 -0.1/0.2", f("12.05"))


def test_a_general_class_gives_the_limits_of_sizes_and_edges() -> None:
    """ISO 2768-1 m: ±0.2 over 6 up to 30 mm; edges ±0.2 from 0.5 up to 3 mm."""
    part = read(
        ('units = "mm"', 'units = "mm"\ngeneral_class = "m"'), ('length = 12\nlimits = ["-0.1", "0.2"]', "length = 12")
    )
    width = size(part, BACK_FACE, Aspect.WIDTH)
    assert (*limits(width), width.rule) == (f("11.8"), f("12.2"), "ISO 2768-1 m")
    assert {limits(size(part, edge, leg)) for edge in EDGES for leg in LEGS} == {(f("0.3"), f("0.7"))}


def test_a_size_may_name_its_own_class() -> None:
    """ISO 2768-1 f: ±0.1 over 6 up to 30 mm."""
    part = read(
        ('limits = ["-0.1", "0.2"]', 'general_class = "f"'), ('units = "mm"', 'units = "mm"\ngeneral_class="c"')
    )
    assert limits(size(part, BACK_FACE, Aspect.WIDTH)) == (f("11.9"), f("12.1"))


def test_an_inch_file_takes_bare_numbers_as_inches() -> None:
    """One inch is 25.4 mm; 0.0005 in on the outside."""
    part = read(
        ('units = "mm"', 'units = "inch"'),
        ("diameter = 30\nplus_minus = 0.1", "diameter = 1.25\nplus_minus = 0.0005"),
        ('"20 H8"', '"3/4 H8"'),
        ('length = 12\nlimits = ["-0.1", "0.2"]', 'length = "12 mm"\nlimits = [-0.01, "0.2 mm"]'),
        ('"0.5 x 45"', '"1/32 x 45°"'),
    )
    assert part.units is Units.INCH
    assert limits(size(part, OUTSIDE)) == (f("1.2495") * f("25.4"), f("1.2505") * f("25.4"))
    assert size(part, BORE).nominal == f("19.05")
    assert limits(size(part, BACK_FACE, Aspect.WIDTH)) == (f("11.746"), f("12.2"))
    assert size(part, FRONT_OUTER_EDGE, Aspect.LEG_AXIAL).nominal == f("25.4") / 32


def test_a_tolerance_for_all_edges_is_read_back_in_the_unit_of_the_file() -> None:
    folder = Path(__file__).resolve().parents[2] / "shops" / "parts"
    inches = read_part_file(folder / "inch-sleeve.toml")
    told = {
        feature.size.as_written for feature in inches.sizes if feature.aspect in (Aspect.LEG_AXIAL, Aspect.LEG_RADIAL)
    }
    assert told == {"0.02 in ± 0.005 in"}


def test_the_contours_stand_at_the_cut_targets() -> None:
    """Targets by hand: bore 20.0165, outside 30.0, width 12.05, legs 0.5 mm."""
    part = read()
    assert [segment.id for segment in part.outer.segments] == [FRONT_OUTER_EDGE, OUTSIDE, BACK_OUTER_EDGE]
    assert [segment.id for segment in part.inner.segments] == [FRONT_INNER_EDGE, BORE, BACK_INNER_EDGE]
    assert [part.outer.segments[0].start, *(s.end for s in part.outer.segments)] == [
        Point(0.0, 14.5),
        Point(-0.5, 15.0),
        Point(-11.55, 15.0),
        Point(-12.05, 14.5),
    ]
    assert [part.inner.segments[0].start, *(s.end for s in part.inner.segments)] == [
        Point(0.0, 10.50825),
        Point(-0.5, 10.00825),
        Point(-11.55, 10.00825),
        Point(-12.05, 10.50825),
    ]


def test_an_edge_may_have_two_legs_or_stay_sharp() -> None:
    part = read(
        (
            'all = "0.5 x 45"',
            'all = "sharp"\nfront_outer = { along = 1, across = 0.5, plus_minus = 0.2 }\nback_inner = "0.6 × 45 deg"',
        )
    )
    assert [s.id for s in part.outer.segments] == [FRONT_OUTER_EDGE, OUTSIDE]
    assert [s.id for s in part.inner.segments] == [BORE, BACK_INNER_EDGE]
    assert part.outer.segments[0].start == Point(0.0, 14.5)
    assert part.outer.segments[0].end == Point(-1.0, 15.0)
    assert limits(size(part, FRONT_OUTER_EDGE, Aspect.LEG_AXIAL)) == (f("0.8"), f("1.2"))
    assert limits(size(part, FRONT_OUTER_EDGE, Aspect.LEG_RADIAL)) == (f("0.3"), f("0.7"))
    assert limits(size(part, BACK_INNER_EDGE, Aspect.LEG_RADIAL)) == (f("0.4"), f("0.8"))
    assert part.feature(BACK_OUTER_EDGE, Aspect.LEG_AXIAL) is None


def test_finishing_moves_the_cut_target_against_its_change() -> None:
    """A bore that polishing opens by 0.02 is turned 0.02 smaller; legs that it shortens by 0.05 are cut longer."""
    part = read(
        ('diameter = "20 H8"', 'diameter = "20 H8"\nfinishing_change = 0.02'),
        ('all = "0.5 x 45"', "all = { along = 0.5, across = 0.5, finishing_change = -0.05 }"),
    )
    assert size(part, BORE).cut_target == f("19.9965")
    assert part.bore_radius_mm == pytest.approx(9.99825)
    assert {size(part, edge, leg).cut_target for edge in EDGES for leg in LEGS} == {f("0.55")}


@pytest.mark.parametrize(
    ("surface", "other"), [('diameter = "20 H8"', "outside"), ("diameter = 30\nplus_minus = 0.1", "bore")]
)
def test_bore_and_outside_share_a_truth_group_when_either_asks(surface: str, other: str) -> None:
    part = read((surface, f'{surface}\ntrue_to = "{other}"'))
    groups = {segment.id: segment.truth_group for segment in (*part.outer.segments, *part.inner.segments)}
    assert groups == dict.fromkeys(EDGES) | {BORE: "A", OUTSIDE: "A"}


def test_without_asking_there_is_no_truth_group() -> None:
    part = read()
    assert {segment.truth_group for segment in (*part.outer.segments, *part.inner.segments)} == {None}


def test_the_rest_of_the_file_is_read() -> None:
    part = read(
        ('units = "mm"', 'units = "mm"\nquantity = 12\nworn_on_skin = true'),
        ('diameter = "20 H8"', 'diameter = "20 H8"\nfinish_ra = 1.6'),
    )
    assert (part.name, part.material, part.quantity, part.skin_contact) == ("spacer", "st_c45", 12, True)
    bore = part.surface(BORE)
    assert bore is not None
    assert bore.finish_ra_um == pytest.approx(1.6)
    assert (read().quantity, read().skin_contact) == (1, False)


@given(
    bore_mm=st.decimals(5, 20, places=3),
    wall_mm=st.decimals(1, 10, places=3),
    width_mm=st.decimals(2, 50, places=3),
    plus_minus_mm=st.decimals("0.001", "0.3", places=4),
)
def test_sizes_come_out_exactly_as_written(
    bore_mm: Decimal, wall_mm: Decimal, width_mm: Decimal, plus_minus_mm: Decimal
) -> None:
    outside_mm = bore_mm + 2 * wall_mm
    part = read(
        ('"20 H8"', f"{bore_mm}\nplus_minus = {plus_minus_mm}"),
        ("diameter = 30\nplus_minus = 0.1", f'diameter = "{outside_mm} mm"\nplus_minus = "{plus_minus_mm}"'),
        (
            'length = 12\nlimits = ["-0.1", "0.2"]',
            f'length = {width_mm}\nlimits = [-{plus_minus_mm}, "+{plus_minus_mm}"]',
        ),
        ('all = "0.5 x 45"', 'all = "sharp"'),
    )
    change = Fraction(plus_minus_mm)
    for read_size, written in (
        (size(part, BORE), bore_mm),
        (size(part, OUTSIDE), outside_mm),
        (size(part, BACK_FACE, Aspect.WIDTH), width_mm),
    ):
        assert (read_size.nominal, *limits(read_size)) == (
            Fraction(written),
            Fraction(written) - change,
            Fraction(written) + change,
        )
    assert part.width_mm == float(width_mm)


# -- demo files ----------------------------------------------------------------------------------------


def demo(name: str) -> Part:
    return read_part(demo_text(name), name=f"{name}.toml")


def test_the_demo_bush_is_what_its_file_says() -> None:
    """ISO 286-2: 20 H8 +33/0 µm, 28 h11 0/-130 µm. ISO 2768-1 m: ±0.2 on 18 mm and on edges of 0.5 mm."""
    part = demo("bush")
    assert (part.material, part.units, part.quantity) == ("cu_cw307g", Units.MM, 1)
    assert limits(size(part, BORE)) == (f("20"), f("20.033"))
    assert limits(size(part, OUTSIDE)) == (f("27.87"), f("28"))
    assert limits(size(part, BACK_FACE, Aspect.WIDTH)) == (f("17.8"), f("18.2"))
    assert {(size(part, e, leg).nominal, *limits(size(part, e, leg))) for e in EDGES for leg in LEGS} == {
        (f("0.5"), f("0.3"), f("0.7"))
    }
    assert {s.truth_group for s in (part.outer.segment(OUTSIDE), part.inner.segment(BORE))} == {"A"}


def test_the_demo_band_is_what_its_file_says() -> None:
    part = demo("band")
    assert part.material == "ti_gr2"
    assert limits(size(part, BORE)) == (f("18.44"), f("18.56"))
    assert limits(size(part, OUTSIDE)) == (f("22.9"), f("23.1"))
    assert limits(size(part, BACK_FACE, Aspect.WIDTH)) == (f("5.9"), f("6.1"))
    assert {(size(part, e, leg).nominal, *limits(size(part, e, leg))) for e in EDGES for leg in LEGS} == {
        (f("0.5"), f("0.35"), f("0.65"))
    }


def test_there_is_no_other_demo_file() -> None:
    with pytest.raises(KeyError):
        demo_text("../intake/table")


# -- what is wrong is said -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("changes", "problem"),
    [
        (
            [('kind = "plain-ring"', "")],
            'kind: found nothing; allowed "plain-ring", "stepped-ring"; write kind = "plain-ring"',
        ),
        (
            [("plain-ring", "plain-rign")],
            'kind: found "plain-rign"; allowed "plain-ring", "stepped-ring"; did you mean "plain-ring"?',
        ),
        ([('"spacer"', '""')], 'name: found ""; allowed 1 to 200 characters on one line; write it in quotes'),
        ([('"spacer"', "7")], "name: found 7; allowed 1 to 200 characters"),
        ([('"spacer"', r'"a\nb"')], 'name: found "a b"; allowed 1 to 200 characters on one line'),
        ([("st_c45", "st_c54")], 'did you mean "st_c45"?'),
        ([('"st_c45"', "[1]")], "metal: found a list of 1; allowed "),
        ([(UNITS, 'units = "cm"')], 'units: found "cm"; allowed "mm", "inch"; '),
        ([(UNITS, "")], 'units: found nothing; allowed "mm", "inch"; write units = "mm"'),
        ([(UNITS, f"{UNITS}\nquantity = 0")], "quantity: found 0; allowed a whole number from 1 to 10000; "),
        ([(UNITS, f"{UNITS}\nquantity = 2.0")], "quantity: found 2.0; allowed a whole number"),
        ([(UNITS, f"{UNITS}\nquantity = true")], "quantity: found true; allowed a whole number"),
        ([(UNITS, f'{UNITS}\nworn_on_skin = "no"')], 'worn_on_skin: found "no"; allowed true or false; '),
        ([(UNITS, f'{UNITS}\nmetl = "x"')], "metl: found a key unknown here; allowed "),
        ([(UNITS, f'{UNITS}\nmetl = "x"')], 'rename it to "metal" or delete it'),
        ([(UNITS, f'{UNITS}\n"a b" = 1')], '"a b": found a key unknown here; allowed '),
        ([("[bore]", "[boer]")], "bore: found nothing; allowed a table; add [bore] with its keys"),
        ([("[bore]", "[boer]")], "boer: found a key unknown here; "),
        (
            [('[bore]\ndiameter = "20 H8"', ""), (UNITS, f"{UNITS}\nbore = 20")],
            "bore: found 20; allowed a table; write [bore]",
        ),
        ([(INNER, "")], "bore.diameter: found nothing; allowed a length, with a fit such as"),
        ([(FIT, '"20 mil"')], 'bore.diameter: found "20 mil"; a thousandth of an inch or a millimetre?'),
        ([(FIT, "2000")], "bore.diameter: found 2000; allowed a length from 0.1 to 1000 mm; check"),
        ([(FIT, '"50 in H8"')], 'bore.diameter: found "50 in", which is 1270 mm; allowed a length from 0.1 to 1000 mm'),
        ([(FIT, "nan")], "bore.diameter: found NaN; this is no number; write the length in digits"),
        ([(FIT, "-inf")], "bore.diameter: found -Infinity; this is no number"),
        ([(FIT, "1e999999999")], "bore.diameter: found 1E+999999999; no length in a workshop has that many digits"),
        ([(FIT, "9" * 900)], "bore.diameter: found a whole number of more than 40 digits; "),
        ([(FIT, "1979-05-27")], "bore.diameter: found 1979-05-27; allowed a number, or text with a unit"),
        ([(FIT, "20")], "bore.diameter: found 20; allowed a size with its tolerance: a fit such as"),
        ([(FIT, '"20 h8"')], 'bore.diameter: found "20 h8"; allowed a fit for holes, in capital letters, such as H8; '),
        ([(FIT, '"20 Z8"')], 'found "20 Z8"; allowed a fit that the table of ISO 286 holds (tolerance class'),
        ([(FIT, '"300 H8"')], "allowed a fit that the table of ISO 286 holds ("),
        (
            [(OUTER, 'diameter = "30 H7"')],
            'outside.diameter: found "30 H7"; allowed a fit for shafts, in small letters',
        ),
        (
            [("length = 12", 'length = "12 h9"'), ('limits = ["-0.1", "0.2"]', "")],
            'width.length: found "12 h9"; allowed limits, plus_minus or general_class: this is no hole',
        ),
        (
            [(INNER, f"{INNER}\nplus_minus = 0.1")],
            "bore.diameter: found plus_minus and the fit H8; allowed one way to state the limits; delete the others",
        ),
        (
            [(PLUS_MINUS, f'{PLUS_MINUS}\ngeneral_class = "m"')],
            "outside.diameter: found plus_minus and general_class; allowed one way",
        ),
        (
            [(PLUS_MINUS, "plus_minus = -0.1")],
            "outside.plus_minus: found -0.1; allowed a length from 0.0001 to 100 mm",
        ),
        (
            [(PLUS_MINUS, "plus_minus = 40")],
            "outside.diameter: found plus and minus 40 mm on 30 mm; allowed less than the size itself; ",
        ),
        (
            [(LIMITS, '["0.2", "-0.1"]')],
            'width.limits: found "0.2" and "-0.1"; allowed two deviations from the size, the lower first; exch',
        ),
        (
            [(LIMITS, "[11.9, 12.2]")],
            "width.limits: found 11.9 and 12.2; allowed two deviations from the size, the lower first; write how far",
        ),
        ([(LIMITS, "[1]")], "width.limits: found a list of 1; allowed two deviations from the size"),
        ([(LIMITS, "0.1")], "width.limits: found 0.1; allowed a list; write for instance limits ="),
        ([(LIMITS, '["x", "0"]')], 'width.limits: found "x"; allowed a number and a unit'),
        (
            [(PLUS_MINUS, f"{PLUS_MINUS}\nfinishing_change = 9")],
            "outside.finishing_change: found 9; allowed a length from -5 to 5 mm",
        ),
        (
            [(ALL_EDGES, "all = { along = 0.5, across = 0.5, finishing_change = 0.4 }")],
            "edges.all.finishing_change: found 0.4; allowed less than the size itself",
        ),
        ([(PLUS_MINUS, f'{PLUS_MINUS}\ntrue_to = "front"')], 'outside.true_to: found "front"; allowed "bore"; '),
        ([(PLUS_MINUS, f"{PLUS_MINUS}\nfinish_ra = 0")], "outside.finish_ra: found 0; allowed 0.01 to 50 µm; "),
        (
            [(ALL_EDGES, "")],
            """edges.front_outer: found nothing; allowed "0.5 x 45", { along = 0.5, across = 0.5 }, "broken", """,
        ),
        ([(EDGE, '"0.5 x 30"')], 'edges.all: found "0.5 x 30"; allowed "0.5 x 45", '),
        ([(EDGE, '"0.4 x 45"')], 'edges.all: found "0.4" with general class m; allowed what ISO 2768-1 covers'),
        ([(EDGE, '"0.4 x 45"')], "write plus_minus = ... beside it"),
        ([(EDGE, "{ along = 0.5 }")], "edges.all.across: found nothing; allowed a length, with"),
        ([(EDGE, "{ along = 0.5, across = 0.5, acros = 1 }")], "edges.all.acros: found a key unknown here; "),
        (
            [('general_class = "m"\nall', 'general_class = "m"\nplus_minus = 0.1\nall')],
            "edges.all: found plus_minus and general_class; allowed one way",
        ),
        (
            [(FIT, '"30 H8"')],
            "line 7: bore.diameter: found 30 mm, and the outside is 30 mm; allowed a bore smaller than the outside",
        ),
        (
            [("diameter = " + FIT, 'fit = "running on 31 mm shaft"')],
            "bore.fit: found 31 mm, and the outside is 30 mm; allowed a bore smaller",
        ),
        ([(FIT, '"29.5 H8"')], "as a whole: part 'spacer': the edges meet: nothing is left of a face"),
        (
            [("length = 12\nlimits", "length = 0.9\nlimits")],
            "as a whole: surface 'outside': its edges leave nothing between them on a width of 0.95 mm",
        ),
    ],
)
def test_a_problem_says_file_key_what_was_found_what_is_allowed_and_what_to_do(
    changes: list[tuple[str, str]], problem: str
) -> None:
    found = problems(*changes)
    assert found
    assert all(line.startswith(f"{NAME}: ") for line in found)
    assert any(problem in line for line in found), "\n".join(found)


def test_all_problems_are_told_at_once_and_raised_as_one_error() -> None:
    found = problems(
        ("plain-ring", "cup"),
        ("st_c45", "wood"),
        ('"20 H8"', '"20 h8"'),
        ("plus_minus = 0.1", "plus_minus = 0.1\ncolour = 3"),
        ("length = 12", ""),
        ('"0.5 x 45"', '"0.5"'),
    )
    starts = ["kind:", "metal:", "bore.diameter:", "outside.colour:", "width.length:", "edges.all:"]
    assert [without_line(line).removeprefix(f"{NAME}: ").split(" ")[0] for line in found] == starts
    with pytest.raises(InputError, match=r"kind: .*\n.*bore.diameter: "):
        read(("plain-ring", "cup"), ('"20 H8"', '"20 h8"'))


def test_a_missing_table_is_one_problem_not_one_for_each_key() -> None:
    assert (
        problems(("[width]", "[wdith]"))[0]
        == f"{NAME}: width: found nothing; allowed a table; add [width] with its keys"
    )
    assert len(problems(("[width]", "[wdith]"))) == 2


@pytest.mark.parametrize("letter", [member.value for member in GeneralClass])
def test_every_class_of_the_standard_is_known(letter: str) -> None:
    """ISO 2768-1, edges from 0.5 up to 3 mm: f and m ±0.2, c and v ±0.4."""
    part = read(('general_class = "m"', f'general_class = "{letter}"'))
    half_mm = {"f": "0.2", "m": "0.2", "c": "0.4", "v": "0.4"}[letter]
    assert size(part, FRONT_OUTER_EDGE, Aspect.LEG_AXIAL).band == 2 * f(half_mm)


# -- hostile and broken files ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        (
            "kind = \nname = 1",
            'line 1, column 8: found "kind =", which cannot be read as TOML (Invalid value); allowed key = value',
        ),
        ('kind = "x', "line 1, column 10: found "),
        ("a = 1\n\na = 2", "line 3, column 6: found "),
        ("[a]\n[a]", "line 2, column 3: found "),
        ("\x00", "line 1, column 1: found "),
        ("\ufeffkind = 1", "line 1, column 1: found "),
        ("x = " + "9" * 990 + "\n" * 3 + "= 2", "line 4, column 1: found "),
        ("x = [\n" + "1" * 900, "which cannot be read as TOML"),
        ("x = 2024-13-01", "cannot be read as TOML"),
        ("x = 1e" + "9" * 30, "cannot be read as TOML ("),
        ("x = " + "[\n" * 60_000, "nested too deep to be followed"),
        ("x" * 10_000_000, f"found 10000000 characters; allowed {LONGEST_FILE}; check that this is the file"),
        (
            "x = 1\ny = " + "1" * LONGEST_LINE,
            f"line 2: found {LONGEST_LINE + 4} characters in one line; allowed {LONGEST_LINE}",
        ),
    ],
)
def test_a_file_that_is_no_toml_gives_one_problem_with_its_line(text: str, problem: str) -> None:
    (found,) = problems(text=text)
    assert found.startswith(f"{NAME}: ")
    assert problem in found


def test_a_number_of_thousands_of_digits_is_refused_before_it_is_computed() -> None:
    lines = "x = [" + ",\n".join("9" * 900 for _ in range(6)) + "]"
    assert parse_toml(lines, name=NAME)
    (found,) = problems(text="x = " + "9" * 5000)
    assert "5004 characters in one line" in found


PIECES = st.sampled_from(
    [
        "",
        '"',
        "=",
        "[",
        "]",
        "{",
        "}",
        "\n",
        "nan",
        "-inf",
        "1e999",
        "-1",
        "0",
        "true",
        "1979-01-01",
        "é",
        "\x00",
        "[[x]]",
    ]
) | st.text(max_size=4)


@pytest.mark.parametrize("name", DEMO_PARTS)
@given(data=st.data())
def test_a_file_with_any_passage_exchanged_is_read_or_its_problems_are_told(name: str, data: st.DataObject) -> None:
    text = demo_text(name)
    begin = data.draw(st.integers(0, len(text)))
    end = data.draw(st.integers(begin, min(len(text), begin + 8)))
    found = problems_of(lambda: read_part(text[:begin] + data.draw(PIECES) + text[end:], name=NAME))
    assert all(problem.startswith(f"{NAME}: ") for problem in found)


def test_a_file_on_disk_is_read_with_or_without_a_byte_order_mark(tmp_path: Path) -> None:
    path = tmp_path / NAME
    path.write_text(PART, encoding="utf-8")
    assert read_part_file(path) == read()
    path.write_text(PART, encoding="utf-8-sig")
    assert read_part_file(path) == read()


@pytest.mark.parametrize(
    ("content", "problem"),
    [
        (
            PART.encode("utf-16"),
            "line 1: found byte 0xff, which is not UTF-8 text (the whole file looks like UTF-16); allowed UTF-8; save",
        ),
        (PART.replace("spacer", "Hülse").encode("latin-1"), "line 2: found byte 0xfc, which is not UTF-8 text"),
        (b"x" * 2_000_000, "found more than 1000000 bytes; allowed a part or shop file; check that it is one"),
    ],
)
def test_a_file_that_is_no_text_is_refused(tmp_path: Path, content: bytes, problem: str) -> None:
    path = tmp_path / NAME
    path.write_bytes(content)
    (found,) = problems_of(lambda: read_part_file(path))
    assert found.startswith(f"{NAME}: {problem}")


def test_a_file_that_cannot_be_opened_says_why(tmp_path: Path) -> None:
    for path in (tmp_path / "none.toml", tmp_path, Path("zero\0byte.toml")):
        (found,) = problems_of(partial(read_part_file, path))
        assert "cannot be opened (" in found
        assert found.endswith("; check the name and the folder")
