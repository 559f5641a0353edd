"""Setting a readout from a measured size: the rule on the sheet, and the two readings worked out beside it.

The figures are reckoned by hand: half of (measured - size at 0), to the nearest step, minus outside it and plus inside
(geometry: the diameter changes by twice the travel of the slide).
"""

from __future__ import annotations

from fractions import Fraction
from math import radians, sin

import pytest
from msgspec.structs import replace

from handwheel.domain import acts as a
from handwheel.domain.errors import ShopError
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.part import Units
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.report.text_sheet import sheet_text
from tests.agree import disagreements
from tests.factories import make_plan, make_shop, with_acts

STEP_MM = Fraction(1, 100)
OUTSIDE = a.SetReadout(
    id="x",
    step="rough",
    handle=Handle.CROSS,
    zero="outside-set",
    surface="outside",
    zero_dia_mm=24.0,
    dia_per_step_mm=0.02,
    expected_dia_mm=24.5,
    value_mm=Fraction(-1, 4),
)
BORE = a.SetReadout(
    id="y",
    step="rough",
    handle=Handle.CROSS,
    zero="bore-set",
    surface="bore",
    zero_dia_mm=18.0,
    dia_per_step_mm=0.02,
    expected_dia_mm=17.74,
    value_mm=Fraction(13, 100),
)


def shop_with(*, step_mm: Fraction = STEP_MM, units: Units = Units.MM) -> Shop:
    """Shop whose cross-slide has a readout beside its dial."""
    shop = make_shop()
    cross = replace(shop.lathe.cross, readout_step_mm=step_mm)
    return replace(shop, units=units, lathe=replace(shop.lathe, cross=cross))


def ending_with(*acts: a.Act) -> Plan:
    """Plan of every kind of act, and these at its end."""
    plan = make_plan()
    return with_acts(plan, (*plan.sheet.acts, *acts))


def printed(act: a.SetReadout, shop: Shop) -> str:
    """The sheet as one line of words."""
    return " ".join(sheet_text(ending_with(act), shop).split())


def test_an_outside_is_entered_as_minus() -> None:
    """(24.5 - 24) / 2 = 0.25 and (24.56 - 24) / 2 = 0.28, both still outside the size at 0."""
    text = printed(OUTSIDE, shop_with())
    assert "enter minus (Ø - 24.000) / 2, all in mm" in text
    assert "to the nearest step of 0.01 mm; minus: the tool stands outside that size" in text
    assert "expected Ø 24.50 mm (0.9646 in): READOUT 0.25 mm minus" in text
    assert "were it Ø 24.56 mm (0.9669 in): READOUT 0.28 mm minus" in text


def test_a_bore_is_entered_as_plus() -> None:
    """(18 - 17.74) / 2 = 0.13 and (18 - 17.68) / 2 = 0.16, both still inside the size at 0."""
    text = printed(BORE, shop_with())
    assert "enter plus (18.000 - Ø) / 2, all in mm" in text
    assert "plus: the tool stands inside that size" in text
    assert "expected Ø 17.74 mm (0.6984 in): READOUT 0.13 mm plus" in text
    assert "were it Ø 17.68 mm (0.6961 in): READOUT 0.16 mm plus" in text


def test_a_readout_in_inches_has_its_rule_in_inches() -> None:
    """Half a thou of travel: 24 mm are 0.9449 in; 20 steps are 0.01 in, 0.254 mm."""
    step = Fraction(254, 20000)
    act = replace_act(OUTSIDE, dia_per_step_mm=0.0254, expected_dia_mm=24.508, value_mm=-20 * step)
    text = printed(act, shop_with(step_mm=step, units=Units.INCH))
    assert "enter minus (Ø - 0.9449) / 2, all in inches" in text
    assert "READOUT 0.01 in minus" in text
    assert "a reading in mm: divided by 25.4 first" in text, "the gauges of this shop read mm"
    in_mm = printed(act, shop_with(step_mm=step, units=Units.MM))
    assert "READOUT 0.254 mm minus" in in_mm


def test_a_readout_in_millimetres_of_an_inch_shop_says_how_to_convert() -> None:
    text = printed(OUTSIDE, shop_with(units=Units.INCH))
    assert "enter minus (Ø - 24.000) / 2, all in mm" in text
    assert "a reading in inches: times 25.4 first" in text


def replace_act(act: a.SetReadout, **fields: object) -> a.SetReadout:
    values = {name: getattr(act, name) for name in act.__struct_fields__}
    return a.SetReadout(**{**values, **fields})


def swung_acts() -> tuple[a.Act, ...]:
    """The top slide at 5.5°, leftward out: a step of 0.01 mm is 0.02 sin 5.5° on the diameter, right of 0 is inward."""
    worth = 0.02 * sin(radians(5.5))
    swing = a.SwingSlide(
        id="",
        step="bore",
        angle_deg=Fraction(11, 2),
        leftward=Motion.OUT,
        scale_deg=Fraction(169, 2),
        error_deg=0.25,
        check_travel_mm=15.0,
        check_across_mm=15.0 * sin(radians(5.5)),
    )
    inside = replace_act(
        BORE,
        handle=Handle.TOP,
        dia_per_step_mm=worth,
        expected_dia_mm=18.0 - 60 * worth,
        value_mm=Fraction(-60, 100),
    )
    return swing, inside


CASES = {
    "outside, mm": (shop_with(), (OUTSIDE,)),
    "bore, mm": (shop_with(), (BORE,)),
    "inch shop, readout in mm": (shop_with(units=Units.INCH), (BORE,)),
    "inch shop, readout in inches": (
        shop_with(step_mm=Fraction(254, 20000), units=Units.INCH),
        (replace_act(BORE, dia_per_step_mm=0.0254, expected_dia_mm=17.746, value_mm=Fraction(127, 1000)),),
    ),
    "fine steps": (
        shop_with(step_mm=Fraction(1, 1000)),
        (replace_act(OUTSIDE, dia_per_step_mm=0.002, expected_dia_mm=24.254, value_mm=Fraction(-127, 1000)),),
    ),
}


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("width", [72, 80, 132])
def test_what_is_printed_is_the_act(name: str, width: int) -> None:
    shop, acts = CASES[name]
    assert disagreements(sheet_text(ending_with(*acts), shop, width=width), ending_with(*acts), shop) == []


def test_a_swung_top_slide_with_a_readout_counts_to_its_sides() -> None:
    shop = make_shop()
    shop = replace(shop, lathe=replace(shop.lathe, top=replace(shop.lathe.top, readout_step_mm=STEP_MM)))
    plan = ending_with(*swung_acts())
    text = sheet_text(plan, shop)
    assert disagreements(text, plan, shop) == []
    assert "enter right of 0 (18.000 - Ø) / 0.19169, all in mm" in " ".join(text.split())


def test_no_figure_of_the_rule_can_be_altered_unnoticed() -> None:
    plan, shop = ending_with(OUTSIDE, BORE), shop_with()
    lines = sheet_text(plan, shop).splitlines()
    starts = [place for place, line in enumerate(lines) if " readout " in line and "handle still" in line]
    assert len(starts) == 2
    unnoticed = []
    for start in starts:
        for place in range(start + 1, start + 6):
            for old, new in (("0", "3"), ("1", "7"), ("2", "9"), ("minus", "plus"), ("plus", "minus"), ("side", "out")):
                line = lines[place].replace(old, new, 1)
                text = "\n".join([*lines[:place], line, *lines[place + 1 :]])
                if line != lines[place] and not disagreements(text, plan, shop):
                    unnoticed.append(line)
    assert unnoticed == []


def test_a_sheet_that_sets_a_readout_needs_one_in_the_shop() -> None:
    with pytest.raises(ShopError, match="has none; plan again"):
        sheet_text(ending_with(OUTSIDE), make_shop())
