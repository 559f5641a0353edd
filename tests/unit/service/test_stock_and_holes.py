"""Bars of other shapes, reamers, taps, threads, press fits and a loose tailstock, as files say them."""

from __future__ import annotations

from fractions import Fraction

import pytest

from handwheel.domain.bars import BarShape
from handwheel.domain.errors import InputError
from handwheel.domain.hole_tools import ReamerKind
from handwheel.domain.part import BORE, OUTSIDE, Aspect, Part, PressedBore
from handwheel.domain.shop import Shop
from handwheel.service.demo import demo_text
from handwheel.service.intake.part_file import read_part
from handwheel.service.intake.shop_file import read_shop

TUBE = """
[[bar]]
id = "tube"
metal = "st11smnpb30"
shape = "tube"
diameter = 30
plus_minus = 0.2
bore = { diameter = 16, plus_minus = 0.3 }
length = 500
delivered_as = "drawn"
"""
HEXAGON = """
[[bar]]
id = "hexagon"
metal = "st11smnpb30"
shape = "hexagon"
diameter = "27 h11"
length = 500
delivered_as = "EN 10278 h11"
"""
REAMER = """
[[reamer]]
id = "reamer-20"
hole = "20 H7"
flute = 90
lead = 2
lead_diameter = 18.5
"""
TAP = """
[[tap]]
id = "tap-m12"
thread = "M12x1.5"
lead = 6
length = 40
"""

DRILL = """
[[drill]]
id = "one-more"
kind = "KIND"
diameter = "SIZE"
"""


def shop_with(more: str) -> Shop:
    """Demo shop with more in its file."""
    return read_shop(demo_text("metric-lathe") + more, name="shop.toml")


def part_with(*changes: tuple[str, str]) -> Part:
    """Demo bush with some of its file changed."""
    text = demo_text("bush")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    return read_part(text, name="part.toml")


def problems_of_shop(more: str) -> str:
    """What is wrong with a shop file."""
    with pytest.raises(InputError) as caught:
        shop_with(more)
    return "\n".join(caught.value.problems)


def test_a_tube_has_limits_outside_and_inside() -> None:
    bar = shop_with(TUBE).bar("tube")
    assert bar.shape is BarShape.TUBE
    assert (bar.dia_lower_mm, bar.dia_upper_mm) == (Fraction("29.8"), Fraction("30.2"))
    assert (bar.bore_lower_mm, bar.bore_mm, bar.bore_upper_mm) == (Fraction("15.7"), Fraction(16), Fraction("16.3"))


def test_a_hexagon_is_measured_across_its_flats() -> None:
    bar = shop_with(HEXAGON).bar("hexagon")
    assert bar.shape is BarShape.HEXAGON
    assert (bar.dia_lower_mm, bar.dia_upper_mm) == (Fraction("26.87"), Fraction(27))


def test_a_bar_without_a_shape_is_round() -> None:
    assert {bar.shape for bar in shop_with("").bars} == {BarShape.ROUND}


@pytest.mark.parametrize(
    ("old", "new", "problem"),
    [
        (
            "bore = { diameter = 16, plus_minus = 0.3 }\n",
            "",
            "bar[tube].bore: found nothing; allowed the bore of the tube",
        ),
        ('shape = "tube"', 'shape = "pipe"', 'bar[tube].shape: found "pipe"; allowed "round", "hexagon", "tube"'),
        ('shape = "tube"\n', "", "bar[tube].bore: found a key unknown here"),
        ("diameter = 16,", "diameter = 40,", "a tube has a bore with limits, above 0 and below its outside of 29.8 mm"),
        (
            "plus_minus = 0.3 }",
            "plus_minus = 0.3, finishing_change = 1 }",
            "finishing_change: found a key unknown here",
        ),
    ],
)
def test_a_wrong_tube_is_refused(old: str, new: str, problem: str) -> None:
    assert old in TUBE
    assert problem in problems_of_shop(TUBE.replace(old, new, 1))


def test_a_reamer_makes_a_hole_of_a_class_or_of_limits_as_measured() -> None:
    reamer = shop_with(REAMER).reamer("reamer-20")
    assert reamer.kind is ReamerKind.MACHINE
    assert (reamer.hole_lower_mm, reamer.hole_upper_mm) == (Fraction(20), Fraction("20.021"))
    assert reamer.hole_dia_mm == pytest.approx(20.0105)
    measured = REAMER.replace('hole = "20 H7"', 'hole = 20\nlimits = ["0.004", "0.012"]')
    assert shop_with(measured).reamer("reamer-20").hole_upper_mm == Fraction("20.012")


@pytest.mark.parametrize(
    ("old", "new", "problem"),
    [
        ('hole = "20 H7"', 'hole = "20 h7"', "capital letters"),
        ('hole = "20 H7"', "hole = 20", "reamer[reamer-20].hole: "),
        ("lead_diameter = 18.5", "lead_diameter = 20", "small end of its lead 20 mm must be above 0 and below"),
        ("lead = 2", "lead = 90", "lead 90 mm must be above 0 and shorter than the flutes"),
        ('id = "reamer-20"', 'id = "drill-6"', "drill or reamer id 'drill-6' is used twice"),
    ],
)
def test_a_wrong_reamer_is_refused(old: str, new: str, problem: str) -> None:
    assert old in REAMER
    assert problem in problems_of_shop(REAMER.replace(old, new, 1))


def test_a_tap_cuts_a_thread() -> None:
    tap = shop_with(TAP).tap("tap-m12")
    assert tap.thread.designation == "M12x1.5"
    assert tap.lead_mm == 6.0


@pytest.mark.parametrize("thread", ["M12", "12x1.5", "M12x1.3", "M2x3", "W 1/2", "M1e9x1", ""])
def test_a_thread_that_is_none_is_refused(thread: str) -> None:
    found = problems_of_shop(TAP.replace("M12x1.5", thread))
    assert "tap[tap-m12].thread: " in found
    assert "M12x1.5" in found or "a pitch of" in found


@pytest.mark.parametrize(
    ("written", "expected_mm"),
    [("#7", "5.1054"), ("no. 7", "5.1054"), ("letter F", "6.5278"), ("F", "6.5278"), ("27/64 in", "10.715625")],
)
def test_a_drill_may_be_named_by_its_series(written: str, expected_mm: str) -> None:
    """0.2010 in, 0.2570 in and 27/64 in, exactly; 6.8 mm and the like are lengths as ever."""
    text = DRILL.replace("SIZE", written).replace("KIND", "twist drill")
    assert shop_with(text).drills[-1].dia_mm == Fraction(expected_mm)


@pytest.mark.parametrize(
    ("kind", "written", "problem"),
    [
        ("twist drill", "#81", 'found "#81"; allowed a number from 1 to 80, a letter from A to Z, or a length'),
        ("centre drill", "#3", "centre drills are numbered otherwise than twist drills: write the tip itself"),
        ("twist drill", "#7 H8", "allowed a number and a unit"),
        ("twist drill", "27/64", "a fraction of what"),
    ],
)
def test_a_name_that_is_no_drill_is_asked_back(kind: str, written: str, problem: str) -> None:
    with pytest.raises(InputError, match=rf"line \d+: drill\[one-more\].diameter: .*{problem}"):
        shop_with(DRILL.replace("SIZE", written).replace("KIND", kind))


def test_a_loose_tailstock_says_how_far_a_drill_may_wander() -> None:
    text = demo_text("metric-lathe")
    assert "[lathe.tailstock]\n" in text
    loose = read_shop(text.replace("[lathe.tailstock]\n", "[lathe.tailstock]\nplay = 0.2\n"), name="shop.toml")
    assert loose.lathe.tailstock.play_mm == 0.2
    assert shop_with("").lathe.tailstock.play_mm == 0.0


def test_a_threaded_bore_has_the_limits_of_the_minor_diameter() -> None:
    part = part_with(('diameter = "20 H8"\n', 'thread = "M20x1.5"\n'))
    feature = part.feature(BORE, Aspect.DIAMETER)
    assert feature is not None
    assert part.thread is not None
    assert part.thread.designation == "M20x1.5"
    assert float(feature.size.lower) == pytest.approx(18.376, abs=5e-4)
    assert float(feature.size.upper) == pytest.approx(18.676, abs=5e-4)
    assert 2.0 * part.bore_radius_mm == pytest.approx(float(feature.size.cut_target))


@pytest.mark.parametrize(
    ("new", "problem"),
    [
        ('diameter = "20 H8"\nthread = "M20x1.5"\n', "bore.diameter: "),
        ('thread = "M20x1.5"\nplus_minus = 0.1\n', "bore.plus_minus: "),
        ('thread = "M20"\n', "the pitch always beside the diameter"),
        ('thread = "M20x1.4"\n', "allowed a pitch of "),
        ("thread = 20\n", "a metric thread with its pitch"),
    ],
)
def test_a_wrong_thread_in_the_bore_is_refused(new: str, problem: str) -> None:
    with pytest.raises(InputError) as caught:
        part_with(('diameter = "20 H8"\n', new))
    assert problem in "\n".join(caught.value.problems)


def test_a_part_to_be_pressed_in_says_the_hole_as_measured() -> None:
    as_bored = ('diameter = "20 H8"\n', 'diameter = "20 H8"\nfinished = "as bored"\n')
    part = part_with(as_bored, ('diameter = "28 h11"\n', 'diameter = "28 h11"\npressed_into = 27.95\n'))
    (press,) = part.presses
    assert (press.surface, press.mate_lower, press.mate_upper) == (OUTSIDE, Fraction("27.95"), Fraction("27.95"))
    assert press.bore is PressedBore.AS_BORED
    assert part_with().presses == ()
    with pytest.raises(InputError, match="pressed_into"):
        part_with(('diameter = "28 h11"\n', 'diameter = "28 h11"\npressed_into = 0\n'))
