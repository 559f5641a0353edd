"""Bushes that are pressed in: when the bore gets its size, and what it then has to be before pressing."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from math import ceil, floor

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from handwheel.data.materials import material
from handwheel.domain.errors import InputError
from handwheel.domain.part import BORE, OUTSIDE, Aspect, Part, PressedBore, turned_end_for_end
from handwheel.domain.size import Size
from handwheel.service.intake.part_file import read_part
from tests.intake_files import PART, problems_of, spoiled

NAME = "bush.toml"
BORE_SIZE = 'diameter = "20 H8"'
THIN_BORE = 'diameter = "24 H8"'
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

    Wanted 24 H8, 24.000 to 24.033: before pressing 24.023 to 24.0449.
    """
    part = read(
        f'{THIN_BORE}\nfinished = "before pressing"', "diameter = 28.03\nplus_minus = 0.003\npressed_into = 28.01"
    )
    bore = bore_of(part)
    assert (bore.lower, bore.upper) == (Fraction("24.023"), Fraction("24.0449"))
    assert bore.finished_limits == (Fraction("24"), Fraction("24.033"))
    assert (
        "which closes it by 0.012 to 0.023 mm (0.0005 to 0.0009 in) (70 to 100 % of the interference, practice)"
        in bore.later[-1].words
    )
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
        f'diameter = 24\nplus_minus = {band}\nfinished = "before pressing"',
        f"diameter = {hole + tight}\nplus_minus = {half}\npressed_into = {hole}",
    )
    bore = bore_of(part)
    ends = [before - lost for before in (bore.lower, bore.upper) for lost in (least, most)]
    assert (min(ends), max(ends)) == (24 - Fraction(band), 24 + Fraction(band))


def test_a_close_fit_before_pressing_is_refused_with_what_to_do() -> None:
    """24 H7 has 21 µm; H7/p6 at 28 mm closes it by 0.7 to 35 µm."""
    found = problems('diameter = "24 H7"\nfinished = "before pressing"')
    assert "the limits of the bore are 0.021 mm (0.0008 in) apart, and it closes by 0.001 to 0.035 mm" in found
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
    found = problems('thread = "M12x1.5"\nfinished = "before pressing"')
    assert 'allowed "after pressing" or "as bored"' in found
    assert "closes on its flanks too" in found


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


# steps of the bore ---------------------------------------------------------------------------------------------------


def flanged(*bore_steps: str, finished: str = "before pressing") -> Part:
    """A flanged bush of 12 mm, bored 10: 26 H7/p6 over the front 8 mm (interference 1 to 35 µm), flange Ø 30 behind."""
    front = '[[outside_step]]\nfrom = "front"\nfit = "press into 26 H7"\ndepth = { length = 8, plus_minus = 0.1 }\n'
    bore = f'diameter = 10\nplus_minus = 0.1\nfinished = "{finished}"'
    text = "\n".join((PART, front, *bore_steps))
    return read_part(spoiled(text, ("plain-ring", "stepped-ring"), (BORE_SIZE, bore)), name=NAME)


LEAST, MOST = Fraction("0.001"), Fraction("0.035")
"""Interference of 26 H7/p6: hole 26.000 to 26.021, shaft 26.022 to 26.035. [mm]"""


def bore_step(end: str, diameter: str, depth: float, *, more: str = "plus_minus = 0.1") -> str:
    return (
        f'[[bore_step]]\nfrom = "{end}"\ndiameter = {diameter}\n{more}\n'
        f"depth = {{ length = {depth}, plus_minus = 0.1 }}\n"
    )


def limits_of(part: Part, surface: str) -> tuple[Fraction, Fraction]:
    feature = part.feature(surface, Aspect.DIAMETER)
    assert feature is not None
    return feature.size.lower, feature.size.upper


def by_hand(bore_mm: float, hole_mm: float, *, stout: bool) -> float:
    """Share by which a bush of C45 closes in a stout steel housing, or else in one that does not give, written out.

    The stout one is three times its hole, E 210 000 N/mm², Poisson 0.3: (9 + 1) / (9 - 1) + 0.3 over E.
    """
    metal = material("st_c45")
    modulus, poisson = 1000 * metal.range("e_modulus").least, metal.range("poisson").most
    ratio = (hole_mm**2 + bore_mm**2) / (hole_mm**2 - bore_mm**2)
    housing = (10 / 8 + 0.3) / 210_000 if stout else 0.0
    pressure = 1 / hole_mm / (housing + (ratio - poisson) / modulus)
    return 2 * pressure * bore_mm * hole_mm**2 / modulus / (hole_mm**2 - bore_mm**2)


def hundredths(bore_mm: float) -> tuple[Fraction, Fraction]:
    """Least and most share of a bush in a hole of 26 mm: 0.7 to 1 of practice, or what the wall hands on."""
    low, high = floor(100 * by_hand(bore_mm, 26, stout=True)), ceil(100 * by_hand(bore_mm, 26, stout=False))
    return Fraction(min(70, low), 100), Fraction(min(100, high), 100)


def test_each_step_of_a_bore_is_opened_by_what_its_own_wall_hands_on() -> None:
    part = flanged(bore_step("front", "22", 5), bore_step("back", "20", 4))
    (thin_low, thin_high), (thick_low, thick_high) = hundredths(22), hundredths(10)
    assert (thick_low, thick_high) < (thin_low, thin_high)
    assert thick_high < 1
    thin = (Fraction("21.9") + thin_high * MOST, Fraction("22.1") + thin_low * LEAST)
    thick = (Fraction("9.9") + thick_high * MOST, Fraction("10.1") + thick_low * LEAST)
    assert (limits_of(part, "bore-front-1"), limits_of(part, BORE)) == (thin, thick)


def test_a_step_under_the_flange_does_not_close_and_keeps_its_limits() -> None:
    """The flange begins 8 mm from the front of 12 mm, so that 3 mm from the back lie under it altogether."""
    part = flanged(bore_step("back", "20", 3))
    feature = part.feature("bore-back-1", Aspect.DIAMETER)
    assert feature is not None
    assert (feature.size.lower, feature.size.upper, feature.size.later) == (Fraction("19.9"), Fraction("20.1"), ())


def test_a_bore_of_which_some_lies_under_the_flange_closes_from_nothing_to_the_most() -> None:
    """Its upper limit then stays: under the flange it loses nothing."""
    part = flanged(bore_step("back", "20", 3))
    assert limits_of(part, BORE) == (Fraction("9.9") + hundredths(10)[1] * MOST, Fraction("10.1"))
    assert "where the outside over it is not in the hole it does not close" in bore_of(part).later[-1].words


def test_a_plain_bore_through_a_flange_is_such_a_bore() -> None:
    assert limits_of(flanged(), BORE)[1] == Fraction("10.1")


def test_a_step_whose_limits_are_closer_than_its_closing_is_named() -> None:
    close = bore_step("front", '"22 H6"', 5, more="")
    with pytest.raises(InputError, match=r"the limits of the bore-front-1 are 0.013 mm \(0.0005 in\) apart"):
        flanged(close)


def test_a_bore_finished_after_pressing_may_have_its_allowance_on_a_step_that_closes() -> None:
    more = 'plus_minus = 0.1\nallowance = "0.2 to 0.4 on the diameter"'
    part = flanged(bore_step("front", "22", 5, more=more), finished="after pressing")
    assert {press.bore for press in part.presses} == {PressedBore.AFTER}
    with pytest.raises(InputError, match=r"bore.allowance: found nothing"):
        flanged(bore_step("back", "20", 3, more=more), finished="after pressing")
