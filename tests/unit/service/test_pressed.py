"""Bushes that are pressed in: when the bore gets its size, and what it then has to be before pressing."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from handwheel.domain.part import BORE, OUTSIDE, Aspect, Part, PressedBore, turned_end_for_end
from handwheel.domain.size import Size
from handwheel.service.intake.part_file import read_part
from tests.intake_files import PART, problems_of, spoiled

NAME = "bush.toml"
BORE_SIZE = 'diameter = "20 H8"'
OUTSIDE_SIZE = "diameter = 30\nplus_minus = 0.1"
PRESSED = 'fit = "press into 28 mm"'


def read(bore: str, outside: str = PRESSED, more: str = "") -> Part:
    return read_part(spoiled(PART + more, (BORE_SIZE, bore), (OUTSIDE_SIZE, outside)), name=NAME)


def bore_of(part: Part) -> Size:
    feature = part.feature(BORE, Aspect.DIAMETER)
    assert feature is not None
    return feature.size


def problems(bore: str, outside: str = PRESSED) -> str:
    return "\n".join(problems_of(lambda: read(bore, outside)))


@pytest.mark.parametrize("outside", [PRESSED, "diameter = 28.03\nplus_minus = 0.01\npressed_into = 28.01"])
def test_a_part_that_is_pressed_in_asks_when_its_bore_gets_its_size(outside: str) -> None:
    found = problems(BORE_SIZE, outside)
    assert 'bore.finished: found nothing; allowed "before pressing", "after pressing", "as bored"' in found
    assert "its bore closes by about 0.0" in found


def test_a_part_that_is_not_pressed_in_has_no_such_key() -> None:
    found = problems(f'{BORE_SIZE}\nfinished = "after pressing"', OUTSIDE_SIZE)
    assert "bore.finished: found" in found
    assert "allowed only with an outside that is pressed in" in found


def test_a_bore_finished_before_pressing_is_made_larger_by_what_it_will_lose_wherever_in_its_range() -> None:
    """Hole 28.01, outside 28.027 to 28.033: interference 17 to 23 µm, closing 11.9 to 23 µm (70 to 100 %).

    Wanted 20 H8, 20.000 to 20.033: before pressing 20.023 to 20.0449.
    """
    part = read(
        f'{BORE_SIZE}\nfinished = "before pressing"', "diameter = 28.03\nplus_minus = 0.003\npressed_into = 28.01"
    )
    bore = bore_of(part)
    assert (bore.lower, bore.upper) == (Fraction("20.023"), Fraction("20.0449"))
    assert bore.finished_limits == (Fraction("20"), Fraction("20.033"))
    assert "which closes it by 0.012 to 0.023 mm" in bore.later[-1].words
    assert part.presses[0].bore is PressedBore.BEFORE


@given(
    hole=st.decimals("27", "29", places=3),
    tight=st.decimals("0.011", "0.060", places=3),
    half=st.decimals("0.001", "0.010", places=3),
    band=st.decimals("0.02", "0.3", places=3),
)
def test_every_bore_within_its_limits_comes_out_right_wherever_in_its_range_it_closes(
    hole: Decimal, tight: Decimal, half: Decimal, band: Decimal
) -> None:
    least, most = Fraction(7, 10) * Fraction(tight - half), Fraction(tight + half)
    assume(most - least < 2 * Fraction(band))
    part = read(
        f'diameter = 20\nplus_minus = {band}\nfinished = "before pressing"',
        f"diameter = {hole + tight}\nplus_minus = {half}\npressed_into = {hole}",
    )
    bore = bore_of(part)
    ends = [before - lost for before in (bore.lower, bore.upper) for lost in (least, most)]
    assert (min(ends), max(ends)) == (20 - Fraction(band), 20 + Fraction(band))


def test_a_close_fit_before_pressing_is_refused_with_what_to_do() -> None:
    """20 H7 has 21 µm; H7/p6 at 28 mm closes it by 0.7 to 35 µm."""
    found = problems('diameter = "20 H7"\nfinished = "before pressing"')
    assert "the limits are 0.021 mm apart, and the bore closes by 0.001 to 0.035 mm" in found
    assert "usually scrap" in found
    assert 'write finished = "after pressing"' in found


def test_a_bore_finished_after_pressing_says_how_much_is_left() -> None:
    found = problems(f'{BORE_SIZE}\nfinished = "after pressing"')
    assert "bore.allowance: found nothing" in found
    assert "how much is left to bore or ream?" in found
    part = read(f'{BORE_SIZE}\nfinished = "after pressing"\nallowance = "0.2 to 0.4 on the diameter"')
    assert part.presses[0].bore is PressedBore.AFTER
    assert bore_of(part).cut_upper == Fraction("19.8165")


def test_before_pressing_does_not_go_with_an_allowance_or_a_thread() -> None:
    assert 'allowed "after pressing" or "as bored"' in problems(
        f'{BORE_SIZE}\nfinished = "before pressing"\nallowance = "0.2 on the diameter"'
    )
    assert 'allowed "after pressing" or "as bored"' in problems('thread = "M12x1.5"\nfinished = "before pressing"')


def test_a_word_that_is_none_of_the_three_is_refused() -> None:
    assert 'bore.finished: found "later"; allowed "before pressing"' in problems(f'{BORE_SIZE}\nfinished = "later"')


def test_the_hole_of_a_press_fit_is_said_once() -> None:
    found = problems(f'{BORE_SIZE}\nfinished = "as bored"', f"{PRESSED}\npressed_into = 28.01")
    assert "outside.pressed_into: found 28.01; allowed nothing beside a press fit" in found


def test_the_hole_is_kept_with_its_limits_also_when_the_part_is_turned_end_for_end() -> None:
    part = read(f'{BORE_SIZE}\nfinished = "as bored"')
    (press,) = part.presses
    assert (press.surface, press.mate_lower, press.mate_upper) == (OUTSIDE, Fraction(28), Fraction("28.021"))
    assert turned_end_for_end(turned_end_for_end(part)) == part


def test_a_bore_that_goes_on_a_shaft_is_kept_with_the_limits_of_the_shaft() -> None:
    """ISO 286-2 at 20 mm: p6 +35/+22."""
    part = read('fit = "press on 20 mm shaft"', OUTSIDE_SIZE)
    (press,) = part.presses
    assert (press.surface, press.mate_lower, press.mate_upper) == (BORE, Fraction("20.022"), Fraction("20.035"))


def test_a_step_that_is_pressed_in_is_named() -> None:
    step = '\n[[outside_step]]\nfrom = "front"\nfit = "press into 26 mm"\ndepth = { length = 4, plus_minus = 0.1 }\n'
    text = spoiled(PART + step, ("plain-ring", "stepped-ring"), (BORE_SIZE, f'{BORE_SIZE}\nfinished = "as bored"'))
    part = read_part(text, name=NAME)
    assert [press.surface for press in part.presses] == ["outside-front-1"]
    assert [press.surface for press in turned_end_for_end(part).presses] == ["outside-back-1"]
