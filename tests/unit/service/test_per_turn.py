"""Travels in one turn: feeds and leads with "/rev" behind, read exactly; another kind of speed is asked back."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import InputError
from handwheel.domain.part import Units
from handwheel.service.demo import demo_text
from handwheel.service.intake.lengths import LENGTH_UNITS
from handwheel.service.intake.per_turn import PER_TURN, travel_mm
from handwheel.service.intake.shop_file import read_shop
from tests.intake_files import problems_of, spoiled

SHOP = demo_text("metric-lathe")


@pytest.mark.parametrize(
    ("text", "unit", "mm"),
    [
        ("0.1 mm/rev", Units.INCH, "0.1"),
        ("0.1 mm / rev", Units.MM, "0.1"),
        ("0,1 mm per turn", Units.MM, "0.1"),
        ("0.004 in/rev", Units.MM, "0.1016"),
        ("0.004 ipr", Units.MM, "0.1016"),
        ("4 thou/rev", Units.MM, "0.1016"),
        ('1/8"/rev', Units.MM, "3.175"),
        ("0.1/rev", Units.MM, "0.1"),
        ("0.004/rev", Units.INCH, "0.1016"),
        ("0.1 mm", Units.INCH, "0.1"),
    ],
)
def test_a_travel_in_a_turn_is_read_exactly(text: str, unit: Units, mm: str) -> None:
    """One inch is 25.4 mm by definition."""
    assert travel_mm(text, unit=unit, where="per_rev") == Fraction(mm)


@pytest.mark.parametrize(
    ("text", "question"),
    [
        ("100 mm/min", "that is travel in a minute, and hangs on the speed; travel in one turn is wanted"),
        ("4 thou/min", "that is travel in a minute"),
        ("2 ipm", "that is travel in a minute"),
        ("30 m/min", "that is a cutting speed; travel in one turn is wanted"),
        ("100 ft/min", "that is a cutting speed"),
        ("100 sfm", "that is a cutting speed"),
        ("4 mil/rev", 'found "4 mil/rev"; a thousandth of an inch or a millimetre\\?'),
        ("1/8 /rev", 'a fraction of what\\? Write "1/8 in" or "1/8 mm"'),
        ("3 kg/rev", '"kg" is no unit that is known here'),
        ("/rev", "allowed one decimal number or one fraction"),
    ],
)
def test_another_kind_of_speed_or_an_unclear_one_is_asked_back(text: str, question: str) -> None:
    with pytest.raises(InputError, match=question):
        travel_mm(text, unit=Units.MM, where="per_rev")


@given(
    thousandths=st.integers(0, 10**6),
    unit=st.sampled_from(sorted(LENGTH_UNITS)),
    behind=st.sampled_from(PER_TURN),
    gap=st.sampled_from(["", " "]),
)
def test_every_unit_reads_back_exactly_with_every_word_behind(
    thousandths: int, unit: str, behind: str, gap: str
) -> None:
    text = f"{thousandths // 1000}.{thousandths % 1000:03d} {unit}{gap or ' ' * behind[0].isalpha()}{behind}"
    assert travel_mm(text, unit=Units.MM, where="x") == Fraction(thousandths, 1000) * LENGTH_UNITS[unit]


@given(st.text(max_size=60) | st.text("0123456789.,/ -mmrevinft", max_size=14))
def test_any_text_is_a_travel_or_one_clear_problem(text: str) -> None:
    for problem in problems_of(lambda: travel_mm(text, unit=Units.MM, where="key")):
        assert problem.startswith("key: found ")
        assert problem.isprintable()


def test_a_shop_may_write_its_feeds_and_leads_by_the_turn() -> None:
    new = (("per_rev = 0.05\n", 'per_rev = "0.05 mm/rev"\n'), ('lead = "4 mm"', 'lead = "4 mm/rev"'))
    assert read_shop(spoiled(SHOP, *new), name="shop.toml") == read_shop(SHOP, name="shop.toml")


def test_a_cutting_speed_for_a_feed_is_asked_back_with_its_line() -> None:
    written = spoiled(SHOP, ("per_rev = 0.13\n", 'per_rev = "30 m/min"\n'))
    (problem,) = problems_of(lambda: read_shop(written, name="shop.toml"))
    assert problem.startswith("shop.toml: line 64: lathe.feed_along[no. 5].per_rev: ")
    assert "that is a cutting speed" in problem
