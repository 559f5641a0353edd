"""Numbers with their units: turns, angles, times, powers, read exactly; another kind of speed is asked back."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.domain.errors import InputError
from handwheel.service.demo import demo_text
from handwheel.service.intake.quantities import UNITS, read_quantity
from handwheel.service.intake.shop_file import read_shop
from tests.intake_files import problems_of, spoiled

SHOP = demo_text("metric-lathe")


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("300 rpm", "rev/min", "300"),
        ("300 rev/min", "rev/min", "300"),
        ("300/min", "rev/min", "300"),
        ("300 1/min", "rev/min", "300"),
        ("300 min-1", "rev/min", "300"),
        ("300 min⁻¹", "rev/min", "300"),
        ("5 rev/s", "rev/min", "300"),
        ("45°", "degrees", "45"),
        ("45 deg", "degrees", "45"),
        ("-7,5 degrees", "degrees", "-7.5"),
        ("29.5 degrees", "degrees", "29.5"),
        ("5°43'", "degrees", "343/60"),
        ("5° 43′", "degrees", "343/60"),
        ("5 deg 43 min", "degrees", "343/60"),
        ("5°43.5'", "degrees", "229/40"),
        ("-5°43'30\"", "degrees", "-229/40"),
        ("1 1/2 min", "s", "90"),
        ("2 h", "s", "7200"),
        ("1.5 kW", "W", "1500"),
        ("1500 W", "W", "1500"),
        ("12 Nm", "N m", "12"),
        ("3 MPa", "N/mm²", "3"),
        ("8 µm", "µm", "8"),
        ("75 %", "of the motor's power", "0.75"),
    ],
)
def test_a_number_with_its_unit_is_read_exactly(text: str, unit: str, value: str) -> None:
    """Factors by definition: 60 s a minute, 3600 s an hour, 1 MPa = 1 N/mm², 60 minutes a degree."""
    assert read_quantity(text, unit=unit, where="key") == Fraction(value)


@pytest.mark.parametrize(
    ("text", "unit", "question"),
    [
        ("60 m/min", "rev/min", 'turns of the spindle are wanted. How many\\? Write them, such as "300 rev/min"'),
        ("200 ft/min", "rev/min", "that is how fast the metal runs past the tool, and hangs on the diameter"),
        ("200 sfm", "rev/min", "turns of the spindle are wanted"),
        ("100 mm/min", "rev/min", "that is a feed; turns of the spindle are wanted"),
        ("2 hp", "W", "metric or mechanical horsepower\\?"),
        ("1:50", "degrees", "a taper, or a ratio\\? The angle itself is wanted"),
        ("5°43", "degrees", '43 minutes, or a decimal point\\? Write "5°43\'" or "5.43°"'),
        ("43'", "degrees", 'minutes of an angle\\? Write them behind the degrees: "0°43\'"'),
        ("5.5°30'", "degrees", "a share of a degree stands there twice"),
        ("5°75'", "degrees", "there are 60 minutes in a degree"),
        ("5°43''", "degrees", "allowed a number of degrees"),
        ("0.5 rad", "degrees", "the angle is wanted in degrees"),
        ("45", "degrees", "write the number without quotes"),
        ("fast", "rev/min", 'allowed a number of rev/min, or text with its unit \\("rpm", '),
        ("3 mm", "s", "allowed a number of s"),
        ("1,234 rpm", "rev/min", "does the comma part thousands"),
        ("x", "times", "allowed a number of times; check the figure; write it without quotes"),
        ("", "s", "allowed a number of s"),
    ],
)
def test_another_kind_of_quantity_is_asked_back(text: str, unit: str, question: str) -> None:
    with pytest.raises(InputError, match=question):
        read_quantity(text, unit=unit, where="key")


@given(hundredths=st.integers(0, 10**6), data=st.data())
def test_every_unit_reads_back_exactly_in_every_spelling(hundredths: int, data: st.DataObject) -> None:
    unit = data.draw(st.sampled_from(sorted(UNITS)))
    word = data.draw(st.sampled_from(sorted(UNITS[unit].known)))
    value = Fraction(hundredths, 100)
    text = f"{hundredths // 100}{data.draw(st.sampled_from('.,'))}{hundredths % 100:02d}"
    gap = data.draw(st.sampled_from(["", " ", "  "]))
    assert read_quantity(f"{text}{gap}{word}", unit=unit, where="key") == value * UNITS[unit].known[word]


@given(st.text(max_size=60) | st.text("0123456789.,/ -°rpmindegkWs%", max_size=12), st.sampled_from(sorted(UNITS)))
def test_any_text_is_a_quantity_or_one_clear_problem(text: str, unit: str) -> None:
    for problem in problems_of(lambda: read_quantity(text, unit=unit, where="key")):
        assert problem.startswith("key: found ")
        assert problem.isprintable()


def test_a_shop_may_write_its_units() -> None:
    written = spoiled(
        SHOP,
        ("rpm = 755", 'rpm = "755 rev/min"'),
        ("motor_power_w = 1500", 'motor_power_w = "1.5 kW"'),
        ("drive_efficiency = 0.75", 'drive_efficiency = "75 %"'),
        ("division_deg = 1", 'division_deg = "1°"'),
    )
    assert read_shop(written, name="shop.toml") == read_shop(SHOP, name="shop.toml")


def test_a_cutting_speed_for_the_spindle_is_asked_back_with_its_line() -> None:
    (problem,) = problems_of(lambda: read_shop(spoiled(SHOP, ("rpm = 755", 'rpm = "60 m/min"')), name="shop.toml"))
    assert problem.startswith("shop.toml: line 35: lathe.speed[no. 6].rpm: ")
    assert "turns of the spindle are wanted" in problem


def test_a_quantity_outside_its_range_is_told_with_what_was_understood() -> None:
    (problem,) = problems_of(
        lambda: read_shop(spoiled(SHOP, ("motor_power_w = 1500", 'motor_power_w = "1500 kW"')), name="shop.toml")
    )
    assert 'found "1500 kW", which is 1.5e+06 W; allowed 10 to 50000 W' in problem
