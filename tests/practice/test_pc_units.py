"""Practice cases PC-03, PC-04 and PC-06: inches, millimetres and fractions, read and converted exactly."""

from __future__ import annotations

from fractions import Fraction

import pytest

from handwheel.domain.errors import InputError
from handwheel.domain.part import BORE, Aspect, Units
from handwheel.domain.said import said_short
from handwheel.service.intake.lengths import length_mm
from handwheel.service.intake.part_file import read_part
from tests.intake_files import PART, problems_of, spoiled


def test_pc_03_an_inch_on_a_1_mm_screw_with_20_marks_is_25_turns_and_8_marks() -> None:
    """PC-03, computed there: 25.4 mm, 0.05 mm a mark; a published table said 20 turns and 8 marks."""
    per_mark_mm = length_mm("1 mm", unit=Units.INCH) / 20
    assert divmod(length_mm("1 in", unit=Units.MM) / per_mark_mm, 20) == (25, Fraction(8))


def test_pc_04_a_bore_of_17_30_mm_is_0_6811_inch() -> None:
    """PC-04, computed there."""
    assert said_short(length_mm("17.30", unit=Units.MM), Units.INCH) == "0.6811 in (17.3 mm)"


def test_pc_04_the_shortcut_of_40_thou_to_the_millimetre_makes_the_bore_0_277_mm_too_big() -> None:
    """PC-04, computed there: the shortcut gives 0.692 in = 17.577 mm."""
    by_shortcut_mm = length_mm("17.30", unit=Units.MM) * length_mm("40 thou", unit=Units.MM)
    assert by_shortcut_mm == length_mm("0.692 in", unit=Units.MM)
    assert float(by_shortcut_mm) == pytest.approx(17.577, abs=0.0005)
    assert float(by_shortcut_mm - length_mm("17,30 mm", unit=Units.INCH)) == pytest.approx(0.277, abs=0.0005)


def test_pc_04_on_a_cut_of_0_05_mm_the_shortcut_costs_only_0_0008_mm() -> None:
    """PC-04, computed there."""
    cut_mm = length_mm("0.05", unit=Units.MM)
    error_mm = cut_mm * length_mm("40 thou", unit=Units.MM) - cut_mm
    assert float(error_mm) == pytest.approx(0.0008, abs=0.00005)


@pytest.mark.parametrize("written", ["2 1/2 in", "2-1/2 in", '2 1/2"', "2.5 in", "2,5 in", "63.5", "2500 thou"])
def test_pc_06_two_and_a_half_inches_is_63_5_mm_however_it_is_written(written: str) -> None:
    """PC-06: a general units library made 1.0 inch of ``2 1/2 in``."""
    assert length_mm(written, unit=Units.MM) == Fraction(127, 2)


@pytest.mark.parametrize(
    ("written", "expected_mm"),
    [('1"', "25.4"), ('3/16"', "4.7625"), ("25.4", "25.4"), ("5 thou", "0.127"), ('3 1/4"', "82.55")],
)
def test_pc_06_the_forms_of_the_case_are_read(written: str, expected_mm: str) -> None:
    """PC-06 lists the forms; values computed with 25.4 mm to the inch."""
    assert length_mm(written, unit=Units.MM) == Fraction(expected_mm)


@pytest.mark.parametrize(
    ("written", "question"),
    [("5 mil", 'a thousandth of an inch or a millimetre\\? Write "5 thou" or "5 mm"'), ("2.1/2", 'Write "2 1/2"')],
)
def test_pc_06_what_can_mean_two_things_is_asked_back(written: str, question: str) -> None:
    """PC-06: ``5 mil`` and ``2.1/2`` must be asked, not guessed."""
    with pytest.raises(InputError, match=question):
        length_mm(written, unit=Units.MM)


def test_pc_06_what_was_understood_is_said_in_both_units() -> None:
    """PC-06: echo back in both units."""
    assert said_short(length_mm("2 1/2 in", unit=Units.MM), Units.MM) == "63.5 mm (2.5 in)"


def bore_of(written: str, *, units: str = "mm") -> tuple[Fraction, Fraction]:
    """Limits of a bore that is written so in a part file. [mm]"""
    text = spoiled(PART, ('"20 H8"', f"'{written}'"), ('units = "mm"', f'units = "{units}"'))
    if units == "inch":
        text = spoiled(
            text, ("diameter = 30", 'diameter = "30 mm"'), ("= 0.1", '= "0.1 mm"'), ("length = 12", 'length = "12 mm"')
        )
        text = spoiled(text, ('["-0.1", "0.2"]', '["-0.1 mm", "0.2 mm"]'), ('"0.5 x', '"0.5 mm x'))
    feature = read_part(text, name="ring.toml").feature(BORE, Aspect.DIAMETER)
    assert feature is not None
    return feature.size.lower, feature.size.upper


@pytest.mark.parametrize("written", ["17.30 mm +0.03/-0", "17,30 mm +0,03/0", "17.30 mm to 17.33 mm"])
@pytest.mark.parametrize("units", ["mm", "inch"])
def test_pc_04_a_bore_in_millimetres_stays_exact_on_any_drawing(written: str, units: str) -> None:
    """PC-04: convert exactly. By the shortcut of 40 thou to the millimetre this bore would be 17.577 mm."""
    assert bore_of(written, units=units) == (Fraction("17.30"), Fraction("17.33"))


def test_pc_04_a_bore_in_inches_on_a_metric_drawing_is_exact() -> None:
    """PC-04: 0.6811 in and 1 thou above, times 25.4."""
    exact = (Fraction("0.6811") * Fraction("25.4"), Fraction("0.6821") * Fraction("25.4"))
    assert bore_of("0.6811 in +0.001/-0") == exact == bore_of('0.6811" +1 thou/-0', units="inch")


@pytest.mark.parametrize("written", ["1/2 in +1/64/-0", '1/2" +1/64"/0', "0.5in +0.015625/-0", "1/2 in to 33/64 in"])
def test_pc_06_fractions_with_limits_are_read_in_a_part_file(written: str) -> None:
    """PC-06: 1/2 in is 12.7 mm, 33/64 in is 13.096875 mm."""
    assert bore_of(written) == (Fraction("12.7"), Fraction("13.096875"))


@pytest.mark.parametrize(
    ("written", "question"),
    [
        ("5 mil H8", 'a thousandth of an inch or a millimetre? Write "5 thou" or "5 mm"'),
        ("2.1/2 in H8", 'a whole number and a fraction, or a slip? Write "2 1/2"'),
        ("12.7 - 12.8", 'two limits with a dash? Write "12.7 to 12.8"'),
        ("12.7 +0.1", 'what is the other limit? Write "12.7 +0.1/-0", or "12.7 ± 0.1"'),
    ],
)
def test_pc_06_a_part_file_asks_what_a_text_means(written: str, question: str) -> None:
    """PC-06: ask, do not guess; the question stands with file, line and key."""
    text = spoiled(PART, ('"20 H8"', f'"{written}"'))
    (problem,) = problems_of(lambda: read_part(text, name="ring.toml"))
    assert problem.startswith("ring.toml: line 7: bore.diameter: found ")
    assert question in problem
