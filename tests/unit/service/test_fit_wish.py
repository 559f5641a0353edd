"""Fits as a wish in a part file: exact limits, the mate as it is told, and what is left open asked back."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.part import BORE, OUTSIDE, Aspect, Part
from handwheel.domain.size import Size
from handwheel.service.intake.part_file import read_part
from tests.intake_files import PART, problems_of, spoiled

NAME = "wish.toml"
BORE_SIZE = 'diameter = "20 H8"'
OUTSIDE_SIZE = "diameter = 30\nplus_minus = 0.1"


def read(*changes: tuple[str, str]) -> Part:
    return read_part(spoiled(PART, *changes), name=NAME)


def size_of(part: Part, surface: str) -> Size:
    feature = part.feature(surface, Aspect.DIAMETER)
    assert feature is not None
    return feature.size


def bore(wish: str) -> Size:
    return size_of(read((BORE_SIZE, f'fit = "{wish}"')), BORE)


def outside(wish: str) -> Size:
    finished = f'{BORE_SIZE}\nfinished = "as bored"' if wish.startswith("press") else BORE_SIZE
    return size_of(read((BORE_SIZE, finished), (OUTSIDE_SIZE, f'fit = "{wish}"')), OUTSIDE)


def problems(old: str, new: str) -> str:
    return "\n".join(problems_of(lambda: read((old, new))))


@pytest.mark.parametrize(
    ("wish", "lower", "upper", "rule"),
    [
        ("running on 12 mm shaft", "12", "12.027", "fit running H8/f7"),
        ("Running on a 12 mm shaft", "12", "12.027", "fit running H8/f7"),
        ("running fit on 12 mm shaft", "12", "12.027", "fit running H8/f7"),
        ("A close running fit on 12 mm shaft", "12", "12.018", "fit close running H7/g6"),
        ("running on 12", "12", "12.027", "fit running H8/f7"),
        ("running on 1/2 in shaft", "12.7", "12.727", "fit running H8/f7"),
        ("sliding on 12 g6 shaft", "12", "12.018", "fit sliding H7/g6"),
        ("sliding on 12 h6 shaft", "12.006", "12.024", "fit sliding H7/g6"),  # G7, the same fit to an h6 shaft
        ("running on a shaft measured 11.98 mm", "11.996", "12.041", "fit running H8/f7"),
        ("running on a 12 mm shaft measured 11.98 mm", "11.996", "12.041", "fit running H8/f7"),
        ("press on 12 mm pin", "12", "12.018", "fit press H7/p6"),
    ],
)
def test_a_bore_gets_the_limits_that_keep_the_fit(wish: str, lower: str, upper: str, rule: str) -> None:
    """ISO 286-2 at 12 mm: H8 +27/0, H7 +18/0, f7 -16/-34, g6 -6/-17, h6 0/-11; running: clearance 16 to 61 µm."""
    found = bore(wish)
    assert (found.lower, found.upper, found.rule) == (Fraction(lower), Fraction(upper), rule)
    assert found.as_written.startswith(wish)


@pytest.mark.parametrize(
    ("wish", "lower", "upper"),
    [
        ("press into 28 mm", "28.022", "28.035"),
        ("push into 28 H7", "28.002", "28.015"),
        ("sliding in a hole measured 28.02 mm", "27.979", "28.013"),
        ("press into a housing measured 28.01", "28.011", "28.045"),
    ],
)
def test_an_outside_gets_the_limits_that_keep_the_fit(wish: str, lower: str, upper: str) -> None:
    """ISO 286-2 at 28 mm: H7 +21/0, p6 +35/+22, k6 +15/+2, g6 -7/-20; press: 1 to 35 µm, sliding: 7 to 41 µm."""
    found = outside(wish)
    assert (found.lower, found.upper) == (Fraction(lower), Fraction(upper))


def test_what_was_understood_names_clearance_mate_classes_and_standing() -> None:
    said = bore("running on 12 mm shaft").as_written
    assert "clearance 0.016 to 0.061 mm" in said
    assert "a shaft of 11.966 to 11.984 mm (0.4711 to 0.4718 in), 12 f7" in said
    assert "H8/f7, from memory of BS4500" in said


@given(measured=st.decimals("11.5", "12.5", places=3), surface=st.sampled_from([BORE, OUTSIDE]))
def test_the_clearance_of_the_fit_is_applied_to_a_measured_mate_exactly(measured: Decimal, surface: str) -> None:
    """Sliding at 12 mm: 6 to 35 µm, whatever the mate measures."""
    mate, least, most = Fraction(measured), Fraction(6, 1000), Fraction(35, 1000)
    if surface == BORE:
        found = bore(f"sliding on a 12 mm shaft measured {measured}")
        assert (found.lower - mate, found.upper - mate) == (least, most)
    else:
        part = read(
            (BORE_SIZE, "diameter = 8\nplus_minus = 0.1"), (OUTSIDE_SIZE, f'fit = "sliding in 12 measured {measured}"')
        )
        found = size_of(part, OUTSIDE)
        assert (mate - found.upper, mate - found.lower) == (least, most)


def test_a_mate_that_nobody_has_measured_is_called_an_assumption() -> None:
    assert "takes it for" not in bore("running on a shaft measured 11.98 mm").assumed
    assert bore("running on a shaft measured 11.98 mm").assumed == bore("sliding on 12 g6 shaft").assumed == ""
    assert "nobody has said what the shaft measures" in bore("running on 12 mm shaft").assumed


@pytest.mark.parametrize(
    ("wish", "problem"),
    [
        ("press into 16 mm", "does the part go into a hole by its outside? Then write it under [outside]"),
        ("press 16 mm", 'write one of these fits with what it goes on or into: "running"'),
        ("snug on 12 mm", 'allowed "running", "close running", "sliding", "locating", "push", "tight push", "press"'),
        ("running on 12 H7", "found H7; allowed a class for shafts, in small letters"),
        ("running on 12 mm hole", "allowed a shaft as its mate"),
        ("running on shaft", "allowed the size of the shaft"),
        ("running on 12 g6 measured 12", "leave g6 out: the shaft is as measured"),
        (
            "running on 12 measured 15",
            "measured 15 mm (0.5906 in); allowed within 1 mm (0.0394 in) of the size it is called by",
        ),
        ("running on 12 z6", "allowed a class that the table of ISO 286 holds"),
        ("locating on 12 h14", "the mate may vary by 430 µm and the clearance of the fit by 29 µm"),
        ("running on 0.2 mm", "allowed a mate from 1 to 250 mm"),
        ("running on 300 mm", "allowed a mate from 1 to 250 mm"),
        ("running on 5 mil shaft", "a thousandth of an inch or a millimetre?"),
        ("running on 1e99 mm", "found "),
        ("running on " + "1" * 200, "allowed a fit and its mate"),
        ("running on 12 mm shaft measured", "found "),
        ("", "allowed a fit and its mate"),
    ],
)
def test_a_wish_that_can_mean_two_things_or_none_is_asked_back(wish: str, problem: str) -> None:
    found = problems(BORE_SIZE, f'fit = "{wish}"')
    assert f"{NAME}: line 7: bore.fit: " in found
    assert problem in found


@pytest.mark.parametrize("value", ["12", "true", "[1]", "{ a = 1 }", "1979-05-27"])
def test_a_wish_that_is_no_text_is_refused(value: str) -> None:
    assert "bore.fit: found " in problems(BORE_SIZE, f"fit = {value}")


@pytest.mark.parametrize(
    ("beside", "problem"),
    [
        ("diameter = 12", "bore.diameter: found 12; allowed nothing beside fit"),
        ("plus_minus = 0.1", "bore.fit: found plus_minus and the fit running; allowed one way"),
        ('general_class = "m"', "bore.fit: found general_class and the fit running"),
        ('limits = ["0", "0.1"]', "bore.fit: found limits and the fit running"),
        ("between = [11, 12]", "bore.between: found a list of 2; allowed nothing beside fit"),
        ('ring_size = "us 7"', 'bore.fit: found "running on 12 mm shaft"; allowed nothing beside ring_size'),
        ('thread = "M12x1.5"', "allowed nothing beside"),
    ],
)
def test_a_fit_beside_another_way_to_say_the_size_is_told(beside: str, problem: str) -> None:
    assert problem in problems(BORE_SIZE, f'fit = "running on 12 mm shaft"\n{beside}')


@given(text=st.text(alphabet=st.characters(exclude_characters='"\\', exclude_categories=["Cs", "Cc"]), max_size=120))
def test_any_text_is_read_or_refused_in_the_usual_form(text: str) -> None:
    found = problems_of(lambda: read((BORE_SIZE, f'fit = "{text}"')))
    assert all(line.startswith(f"{NAME}: ") for line in found)
