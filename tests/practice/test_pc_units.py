"""Practice cases PC-03, PC-04 and PC-06: inches, millimetres and fractions, read and converted exactly."""

from __future__ import annotations

from fractions import Fraction

import pytest

from handwheel.domain.errors import InputError
from handwheel.domain.part import Units
from handwheel.service.intake.lengths import both_units, length_mm


def test_pc_03_an_inch_on_a_1_mm_screw_with_20_marks_is_25_turns_and_8_marks() -> None:
    """PC-03, computed there: 25.4 mm, 0.05 mm a mark; a published table said 20 turns and 8 marks."""
    per_mark_mm = length_mm("1 mm", unit=Units.INCH) / 20
    assert divmod(length_mm("1 in", unit=Units.MM) / per_mark_mm, 20) == (25, Fraction(8))


def test_pc_04_a_bore_of_17_30_mm_is_0_6811_inch() -> None:
    """PC-04, computed there."""
    assert both_units(length_mm("17.30", unit=Units.MM), first=Units.INCH) == "0.6811 in (17.3 mm)"


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
    assert both_units(length_mm("2 1/2 in", unit=Units.MM), first=Units.MM) == "63.5 mm (2.5 in)"
