"""Practice cases PC-15 to PC-18: ring sizes, what may be allowed on them, and the stick they are read off."""

from __future__ import annotations

from fractions import Fraction

import pytest

from handwheel.data.ring_scales import nearest_size, ring_scale
from handwheel.domain.errors import InputError
from handwheel.domain.part import BORE, Aspect
from handwheel.domain.size import Size
from handwheel.physics.eased_bore import eased_radius_mm
from handwheel.service.demo import demo_text
from handwheel.service.intake.part_file import read_part
from handwheel.service.intake.ring_sizes import read_ring_text
from handwheel.service.intake.ring_stick import read_stick
from handwheel.service.ring_size import RingQuestion, answer, stick_marks
from handwheel.service.ring_size_text import answer_text, stick_text

BAND = demo_text("band").replace("diameter = 23", "diameter = 26")
WORN_STICK = """
name = "cheap stick, worn"
units = "mm"
scale = "US"
mark_width = 0.3
reading = 0.3
uncertainty = 0.01
[[mark]]
size = 6
at = 50
diameter = 16.40
[[mark]]
size = 7
at = 61
diameter = 17.20
[[mark]]
size = 8
at = 72
diameter = 18.05
"""


def bore_of(*lines: str) -> Size:
    text = BAND.replace("diameter = 18.5\n", "\n".join(lines) + "\n")
    assert text != BAND
    feature = read_part(text, name="band.toml").feature(BORE, Aspect.DIAMETER)
    assert feature is not None
    return feature.size


# PC-15 --------------------------------------------------------------------------------------------------------------


def test_pc_15_a_bore_of_0_850_inch_is_exactly_us_12_and_a_quarter() -> None:
    """PC-15: (0.850 - 0.458)/0.032 = 12.25."""
    near = nearest_size(ring_scale("us"), read_ring_text("0.850 in").girth)
    assert near is not None
    assert near.is_exact
    assert near.size == read_ring_text("US 12 1/4").size


def test_pc_15_polishing_a_thousandth_a_side_makes_it_0_06_of_a_size_larger() -> None:
    """PC-15: 0.001 in a side inside."""
    before, after = read_ring_text("0.848 in").girth, read_ring_text("0.850 in").girth
    us = ring_scale("us")
    assert float(us.number_of(after) - us.number_of(before)) == pytest.approx(0.0625)


def test_pc_15_the_band_can_be_asked_for_by_its_size() -> None:
    size = bore_of('ring_size = "US 12 1/4"')
    assert size.nominal == Fraction("0.850") * Fraction("25.4")


# PC-16 --------------------------------------------------------------------------------------------------------------


def test_pc_16_the_tenth_of_an_inch_is_a_step_of_the_circumference() -> None:
    """PC-16: 0.8128 mm × π = 2.553 mm = 0.1005 in around; across it is 0.032 in."""
    us = ring_scale("us")
    one, two = us.girth(Fraction(1)), us.girth(Fraction(2))
    assert two.diameter_mm - one.diameter_mm == Fraction("0.8128") == Fraction("0.032") * Fraction("25.4")
    around_mm = float(two.circumference_mm - one.circumference_mm)
    assert around_mm == pytest.approx(2.553, abs=0.0005)
    assert around_mm / 25.4 == pytest.approx(0.1005, abs=0.00005)


def test_pc_16_size_1_is_12_45_mm_across_and_39_1_mm_around() -> None:
    girth = read_ring_text("US 1").girth
    assert float(girth.diameter_mm) == pytest.approx(12.45, abs=0.005)
    assert float(girth.circumference_mm) == pytest.approx(39.1, abs=0.05)


def test_pc_16_us_4_and_uk_h_and_a_half_are_near_and_not_equal() -> None:
    """PC-16: 14.88 mm and 14.92 mm, 0.04 mm apart."""
    told = answer(RingQuestion(text="US 4"))
    near = {scale.key: near for scale, near in told.near}["uk"]
    assert near is not None
    assert near.size == read_ring_text("UK H 1/2").size
    assert not near.is_exact
    assert float(near.residual_mm) == pytest.approx(0.04, abs=0.005)
    (line,) = [line for line in answer_text(told).splitlines() if "H 1/2" in line]
    assert "+0.036 mm" in line
    assert "exactly" not in line
    assert "near, not the same" in answer_text(told)


def test_pc_16_a_circumference_given_as_a_diameter_is_asked_about() -> None:
    """PC-16: 10 to 24 mm is a finger."""
    with pytest.raises(InputError, match=r'no finger \(10 to 24 mm\); measured around\? Then write "46.76 mm around"'):
        read_ring_text("46.76 mm")
    with pytest.raises(InputError, match=r'measured across\? Then write "14.88 mm across"'):
        read_ring_text("14.88 mm around")
    with pytest.raises(InputError, match="is no finger"):
        read_ring_text("1/2 in around")


# PC-17 --------------------------------------------------------------------------------------------------------------


def test_pc_17_half_a_size_is_0_41_mm_on_the_diameter() -> None:
    size = bore_of('ring_size = "US 8"', 'wide_band = "+1/2 size"')
    plain = bore_of('ring_size = "US 8"')
    assert float(size.nominal - plain.nominal) == pytest.approx(0.41, abs=0.005)


def test_pc_17_nothing_is_allowed_unless_the_maker_says_so() -> None:
    """PC-17: do not hard-code; the band is 6 mm wide, and sources would have it larger, smaller or as it is."""
    plain = bore_of('ring_size = "US 8"')
    assert plain.nominal == read_ring_text("US 8").girth.diameter_mm
    told = answer(RingQuestion(text="US 8", width="8 mm"))
    assert told.made == told.asked.girth
    assert told.advice is not None
    signs = {(said.low_us_sizes or 0) > 0 for said in told.advice.said if said.low_us_sizes}
    assert signs == {True, False}, "advice that contradicts itself is shown as it is"
    assert "nothing of it is applied" in answer_text(told)


def test_pc_17_the_choice_and_its_standing_are_recorded() -> None:
    size = bore_of(
        'ring_size = "US 8"', 'wide_band = "+1/4 size"', 'eased_bore = "-0.1 mm"', 'measured_by = "gauge set 2"'
    )
    assert float(size.nominal) == pytest.approx(18.1356 + 0.2032 - 0.1)
    for said in (
        "ring size US 8, Ø 18.136 mm",
        "0.458 in + 0.032 in x size, opened",
        "measured by gauge set 2",
        "wide band +1/4 size (+0.203 mm, maker's choice; sources disagree)",
        "eased bore -0.1 mm (-0.100 mm, maker's choice; sources disagree)",
    ):
        assert said in size.as_written


def test_pc_17_an_allowance_must_say_larger_or_smaller() -> None:
    with pytest.raises(InputError, match=r'larger or smaller\? Sources disagree, so write "\+1/2 size" or "-1/2 size"'):
        bore_of('ring_size = "US 8"', 'eased_bore = "1/2 size"')


def test_pc_17_a_6_mm_band_relieved_0_2_mm_has_an_inside_radius_of_22_6_mm() -> None:
    assert eased_radius_mm(6.0, relief_mm=0.2) == pytest.approx(22.6)
    text = answer_text(answer(RingQuestion(text="US 8", width="6 mm", relief="0.2 mm")))
    assert "an arc of radius 22.6 mm" in " ".join(text.split())
    assert "the size is its smallest bore" in " ".join(text.split())


def test_pc_17_a_trial_ring_of_the_same_width_is_advised() -> None:
    text = " ".join(answer_text(answer(RingQuestion(text="US 8"))).split())
    assert "gauge as wide as the ring" in text
    assert "ring of that width in brass or aluminium first" in text


# PC-18 --------------------------------------------------------------------------------------------------------------


def test_pc_18_a_measured_stick_shows_its_deviation_in_sizes() -> None:
    """PC-18: enter the measured diameter at each mark; 17.20 at US 7 (17.3228) is 0.15 of a size small."""
    marks = stick_marks(read_stick(WORN_STICK, name="stick.toml"))
    sizes = {int(mark.reading.number): float(mark.deviation_sizes) for mark in marks}
    assert sizes[7] == pytest.approx((17.20 - 17.3228) / 0.8128)
    assert sizes[8] == pytest.approx((18.05 - 18.1356) / 0.8128)
    assert "-0.15" in stick_text(read_stick(WORN_STICK, name="stick.toml"))


def test_pc_18_a_reading_is_worth_what_was_measured_and_not_what_is_engraved() -> None:
    stick = read_stick(WORN_STICK, name="stick.toml")
    told = answer(RingQuestion(text="7 1/2"), stick=stick)
    assert told.made.diameter_mm == Fraction("17.625")
    assert told.stick is not None
    assert float(told.stick.claimed_mm) == pytest.approx(17.7292)
    text = " ".join(answer_text(told).split())
    assert "the stick is 0.104 mm smaller, 0.13 of a size" in text
    assert "exactly" not in text.replace('"exactly"', "")


def test_pc_18_a_reading_has_a_spread_and_is_exactly_no_size() -> None:
    """A stick whose mark 7 measures just what US 7 is by its rule; the same diameter asked for is exactly US 7."""
    stick = read_stick(WORN_STICK.replace("17.20", "17.3228"), name="stick.toml")
    for text, is_exact in (("7", False), ("17.3228 mm", True)):
        told = answer(RingQuestion(text=text), stick=stick)
        near = {scale.key: near for scale, near in told.near}["us"]
        assert near is not None
        assert near.residual_mm == 0
        assert told.is_exact(near) is is_exact


def test_pc_18_the_same_size_is_found_on_the_stick() -> None:
    """US 7 is 17.3228 mm: beyond the mark 7, by (17.3228 - 17.20)/(18.05 - 17.20) of the way to 8."""
    stick = read_stick(WORN_STICK, name="stick.toml")
    told = answer(RingQuestion(text="US 7"), stick=stick)
    assert told.stick is not None
    assert float(told.stick.reading.number) == pytest.approx(7 + (17.3228 - 17.20) / 0.85)
    assert told.made == read_ring_text("US 7").girth


def test_pc_18_a_wide_ring_touches_a_tapered_stick_at_one_edge() -> None:
    """Taper between 7 and 8: 0.85 mm over 11 mm; over 6 mm that is 0.464 mm."""
    told = answer(RingQuestion(text="7 1/2", width="6 mm"), stick=read_stick(WORN_STICK, name="stick.toml"))
    text = " ".join(answer_text(told).split())
    assert "a ring 6 mm wide: the stick differs by 0.464 mm between its edges" in text
    assert "read the edge that touches, or measure the bore" in text


def test_pc_18_beyond_its_marks_a_stick_says_nothing() -> None:
    stick = read_stick(WORN_STICK, name="stick.toml")
    for text in ("8 1/4", "US 9", "15 mm"):
        with pytest.raises(InputError, match="nothing is read beyond them; measure the bore"):
            answer(RingQuestion(text=text), stick=stick)
