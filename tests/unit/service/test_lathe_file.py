"""What a shop file says of speeds, chuck and tools: pulleys, drives without steps, collets, possible tools."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest

from handwheel.domain.chucks import Chuck, Collet
from handwheel.domain.errors import ShopError
from handwheel.domain.lathe import SpindleSpeed
from handwheel.domain.part import Units
from handwheel.domain.shop import Shop
from handwheel.service.demo import demo_text
from handwheel.service.intake.shop_file import read_shop
from handwheel.service.intake.speeds import FINEST_RATIO, readings
from tests.intake_files import problems_of, spoiled

TEXT = demo_text("metric-lathe")
NAME = "shop.toml"
FIRST_SPEED = '[[lathe.speed]]\nrpm = 70\nposition = "low range, lever 1"\n'
BELTS = """\
[lathe.belts]
motor_rpm = 1725
motor_pulley = "2.5 in"
countershaft_pulley = "8 in"
belt = "v-belt"
belt_size = "3/8 in"

[[lathe.belts.step]]
driving = "3 in"
spindle = "5 in"
position = "3 in on 5 in"

[[lathe.belts.step]]
driving = "4 in"
spindle = "4 in"
position = "4 in on 4 in"
measured_rpm = 512

[[lathe.belts.step]]
driving = "3 in"
spindle = "5 in"
back_gear = 6
position = "3 in on 5 in, back gear"
"""
BAND = """\
[[lathe.variable_speed]]
lowest = 95
highest = 2000
tachometer_step = 10
position = "knob, by the tachometer"
"""
CHUCK = TEXT[TEXT.index("[lathe.chuck]") : TEXT.index("[lathe.tailstock]")]
COLLETS = """\
[lathe.collet_chuck]
name = "collet chuck"
max_rpm = 3000
body_diameter = 55
nut_diameter = 50
nut_length = 18
runout = 0.015

[[lathe.collet_chuck.collet]]
size = 16
closes = 0.5

[[lathe.collet_chuck.collet]]
size = "1 in"
closes = "0.5 mm"

"""


def read(*changes: tuple[str, str]) -> Shop:
    return read_shop(spoiled(TEXT, *changes), name=NAME)


def problems(*changes: tuple[str, str]) -> tuple[str, ...]:
    return problems_of(lambda: read(*changes))


def at(shop: Shop, position: str) -> SpindleSpeed:
    return next(speed for speed in shop.lathe.speeds if speed.position == position)


# pulleys -------------------------------------------------------------------------------------------------------------


def test_pulleys_give_a_speed_with_the_range_in_which_it_lies() -> None:
    """PC-09: about 290 rev/min, 273 with the whole belt taken off, 323 with nothing."""
    speed = at(read((FIRST_SPEED, BELTS)), "3 in on 5 in")
    assert (speed.low_rpm, speed.rpm, speed.high_rpm) == (273.0, 290.0, 323.0)
    assert speed.is_computed
    assert not speed.measured
    assert speed.fastest_rpm == 323.0


def test_a_measured_speed_overrides_the_pulleys() -> None:
    speed = at(read((FIRST_SPEED, BELTS)), "4 in on 4 in")
    assert (speed.rpm, speed.fastest_rpm, speed.measured, speed.is_computed) == (512.0, 512.0, True, False)


def test_a_back_gear_divides_speed_and_range() -> None:
    """290, 273 and 323 rev/min by 6, to whole turns (computed here)."""
    speed = at(read((FIRST_SPEED, BELTS)), "3 in on 5 in, back gear")
    assert (speed.low_rpm, speed.rpm, speed.high_rpm) == (45.0, 48.0, 54.0)


def test_a_flat_belt_may_drive_the_spindle_without_a_countershaft() -> None:
    belts = BELTS.replace('motor_pulley = "2.5 in"\ncountershaft_pulley = "8 in"\n', "")
    flat = belts.replace('belt = "v-belt"\nbelt_size = "3/8 in"', 'belt = "flat belt"\nbelt_size = 4')
    speed = at(read((FIRST_SPEED, flat)), "3 in on 5 in")
    assert speed.rpm == round(1725 * (76.2 + 4) / (127 + 4))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (('belt = "v-belt"\n', 'belt = "chain"\n'), 'allowed "v-belt", "flat belt"'),
        (("motor_rpm = 1725\n", ""), "lathe.belts.motor_rpm"),
        (('countershaft_pulley = "8 in"\n', ""), "countershaft_pulley"),
        (('driving = "4 in"', 'driving = "4 miles"'), "lathe.belts.step"),
        (('position = "3 in on 5 in, back gear"', 'position = "3 in on 5 in"'), "one speed for each position"),
        (("back_gear = 6", "backgear = 6"), 'rename it to "back_gear"'),
    ],
)
def test_what_is_wrong_with_pulleys_is_named(change: tuple[str, str], words: str) -> None:
    assert any(words in problem for problem in problems((FIRST_SPEED, spoiled(BELTS, change))))


def test_a_belt_wider_than_its_pulley_is_refused() -> None:
    small = spoiled(BELTS, ('motor_pulley = "2.5 in"', "motor_pulley = 8"))
    assert any("check the size of the belt" in problem for problem in problems((FIRST_SPEED, small)))


def test_belts_without_a_step_are_refused() -> None:
    alone = BELTS[: BELTS.index("[[lathe.belts.step]]")]
    assert any("[[lathe.belts.step]]" in problem for problem in problems((FIRST_SPEED, alone)))


# drives without steps ------------------------------------------------------------------------------------------------


def test_a_drive_without_steps_gives_what_its_tachometer_shows() -> None:
    speeds = [s for s in read((FIRST_SPEED, BAND)).lathe.speeds if s.position.startswith("knob")]
    assert speeds[0].rpm == 100.0
    assert speeds[-1].rpm == 2000.0
    assert all(speed.rpm % 10 == 0 and speed.measured for speed in speeds)


def test_of_two_ranges_that_overlap_the_slower_one_counts() -> None:
    """It has the stronger drive: the belt gives the spindle more torque at the same speed."""
    both = BAND.replace("highest = 2000", "highest = 500").replace("knob", "low belt, knob") + BAND
    speeds = [s for s in read((FIRST_SPEED, both)).lathe.speeds if "knob" in s.position]
    assert [s.position.startswith("low belt") for s in speeds] == [s.rpm <= 500 for s in speeds]
    assert len({s.rpm for s in speeds}) == len(speeds)


@pytest.mark.parametrize(("low", "high", "step"), [(50.0, 2500.0, 10.0), (60.0, 900.0, 25.0), (10.0, 200.0, 1.0)])
def test_readings_are_multiples_no_further_apart_than_the_series_and_the_step_ask(
    low: float, high: float, step: float
) -> None:
    """ISO 3, series R10: steps of 1.25."""
    found = readings(low, high, step)
    assert all(reading % step == 0 for reading in found)
    assert found[0] - step < low <= found[0]
    assert found[-1] <= high < found[-1] + step
    for slower, faster in pairwise(found):
        assert faster - slower >= step - 1e-9
        assert faster <= (slower + step) * FINEST_RATIO + 1e-9


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (("lowest = 95", "lowest = 3000"), "at most highest"),
        (("tachometer_step = 10", "tachometer_step = 0"), "tachometer_step"),
        (
            ("lowest = 95\nhighest = 2000\ntachometer_step = 10", "lowest = 95\nhighest = 99\ntachometer_step = 10"),
            "multiple",
        ),
    ],
)
def test_what_is_wrong_with_a_band_is_named(change: tuple[str, str], words: str) -> None:
    assert any(words in problem for problem in problems((FIRST_SPEED, spoiled(BAND, change))))


def test_a_speed_outside_its_own_range_is_refused() -> None:
    with pytest.raises(ShopError, match="outside its own range"):
        SpindleSpeed(rpm=300.0, position="a", low_rpm=310.0, high_rpm=320.0)


# collets -------------------------------------------------------------------------------------------------------------


def test_a_collet_chuck_grips_what_one_collet_closes_on() -> None:
    chuck = read((CHUCK, COLLETS)).lathe.chuck
    assert chuck.collets[1] == Collet(dia_mm=Fraction(254, 10), closes_mm=Fraction(1, 2))
    assert chuck.takes(15.5, 16.0)
    assert chuck.takes(15.93, 15.97)
    assert not chuck.takes(15.4, 15.9)
    assert not chuck.takes(15.9, 16.05)
    assert not chuck.takes(16.0, 25.0)
    assert chuck.grips_words(Units.INCH) == "0.6102 to 0.6299 in (15.5 to 16 mm), 0.9803 to 1 in (24.9 to 25.4 mm)"


def test_the_nut_of_a_collet_chuck_is_as_large_whatever_it_grips() -> None:
    chuck = read((CHUCK, COLLETS)).lathe.chuck
    assert chuck.front_radius_mm(3.0) == chuck.front_radius_mm(12.0) == 25.0


def test_jaws_reach_further_out_the_more_they_grip() -> None:
    chuck = read().lathe.chuck
    assert chuck.front_radius_mm(12.0) - chuck.front_radius_mm(3.0) == 9.0
    assert chuck.takes(chuck.grip_low_dia_mm, chuck.grip_high_dia_mm)
    assert not chuck.takes(chuck.grip_low_dia_mm, chuck.grip_high_dia_mm + 0.1)


def test_one_of_chuck_and_collet_chuck_is_asked_for() -> None:
    assert any("one of them" in problem for problem in problems((CHUCK, CHUCK + COLLETS)))
    assert any("[lathe.chuck]" in problem for problem in problems((CHUCK, "")))
    alone = COLLETS[: COLLETS.index("[[lathe.collet_chuck.collet]]")]
    assert any("[[lathe.collet_chuck.collet]]" in problem for problem in problems((CHUCK, alone)))


def test_a_collet_that_closes_on_nothing_is_refused() -> None:
    with pytest.raises(ShopError, match="how much smaller a bar may be"):
        Collet(dia_mm=Fraction(4), closes_mm=Fraction(4))


def test_a_chuck_without_collets_stays_what_it_was() -> None:
    assert isinstance(read().lathe.chuck, Chuck)
    assert read().lathe.chuck.collets == ()


# tools ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ((("entering_deg = 95", "entering_deg = 30"),), "allowed 45 to 135"),
        ((("head = 2\nreach = 50", "head = 0.3\nreach = 50"),), "nose radius of 0.2 mm"),
        ((("width = 2.5\nreach = 18", "width = 2.5"),), "needs reach"),
    ],
)
def test_a_tool_that_cannot_exist_is_refused(changes: tuple[tuple[str, str], ...], words: str) -> None:
    assert any(words in problem for problem in problems(*changes))


# drives without steps: from which speed on they have their full power -------------------------------------------------


def test_where_it_is_not_said_full_power_is_assumed_from_the_fastest_speed_on() -> None:
    shop = read((FIRST_SPEED, BAND))
    speeds = [speed for speed in shop.lathe.speeds if speed.position == "knob, by the tachometer"]
    assert len(speeds) > 1
    assert {(speed.full_power_rpm, speed.full_power_assumed) for speed in speeds} == {(2000.0, True)}
    stepped = [speed for speed in shop.lathe.speeds if speed not in speeds]
    assert {(speed.full_power_rpm, speed.full_power_assumed) for speed in stepped} == {(0.0, False)}


def test_what_the_file_says_of_full_power_stands() -> None:
    shop = read((FIRST_SPEED, BAND + "full_power_from = 600\n"))
    speed = at(shop, "knob, by the tachometer")
    assert (speed.full_power_rpm, speed.full_power_assumed) == (600.0, False)


def test_a_full_power_from_no_speed_is_a_problem() -> None:
    (told,) = problems((FIRST_SPEED, BAND + "full_power_from = 0\n"))
    assert "lathe.variable_speed[no. 1].full_power_from: found 0; allowed 1 to 20000 rev/min" in told


def test_the_taper_of_the_tailstock_is_read_and_may_be_left_out() -> None:
    assert read().lathe.tailstock.taper_dia_mm == 0.0
    shop = read(("[lathe.tailstock]\n", '[lathe.tailstock]\ntaper = "5/8 in"\n'))
    assert shop.lathe.tailstock.taper_dia_mm == pytest.approx(15.875)
