"""Drills, centre drills and round bars against copies of the lists, row by row with their standing."""

from __future__ import annotations

import csv
from fractions import Fraction
from importlib.resources import files
from pathlib import Path

import pytest

from handwheel.data.bars import bar_sizes
from handwheel.data.drills import DrillSeries, centre_pilots_mm, drill_named, drill_sizes, series_mm
from handwheel.data.iso286 import iso286_deviations
from handwheel.data.loader import Standing
from handwheel.domain.part import Units
from handwheel.domain.size import MM_PER_INCH

HERE = Path(__file__).parent
HALF_OF_THE_LAST_DIGIT_MM = Fraction(1, 20000)
"""The lists print millimetres to 0.0001 mm."""


def rows(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader((HERE / name).read_text(encoding="utf-8").splitlines()))


def packaged(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader(files("handwheel.data").joinpath(name).read_text(encoding="utf-8").splitlines()))


def standing_of(status: str) -> Standing:
    """Weakest standing that the words of a list name."""
    if "common practice" in status:
        return Standing.COMMON_PRACTICE
    if "from memory" in status:
        return Standing.FROM_MEMORY
    return Standing.COMPUTED if status.startswith("exact") else Standing.OPENED


def test_every_drill_of_the_lists_is_there_in_its_order_with_its_standing() -> None:
    """[DRILL_CHARTS] opened, [ASME_B94_11M] from memory, [BS328] by the rule of its series, fractions exact."""
    listed = [(row["series"], row["name"], standing_of(row["status"])) for row in rows("drills.csv")]
    assert [(size.series.value, size.name, size.standing) for size in drill_sizes()] == listed


def test_every_drill_has_the_diameter_that_is_printed() -> None:
    """Source: the same lists; printed to 0.0001 mm."""
    for size, row in zip(drill_sizes(), rows("drills.csv"), strict=True):
        assert abs(size.dia_mm - Fraction(row["d_mm"])) <= HALF_OF_THE_LAST_DIGIT_MM, row


def test_drills_by_the_inch_are_kept_exactly_in_inches() -> None:
    for size, row in zip(drill_sizes(), rows("drills.csv"), strict=True):
        if size.series is not DrillSeries.METRIC:
            assert size.dia_mm == Fraction(row["d_in"]) * MM_PER_INCH


def test_46_of_the_106_numbers_and_letters_were_seen_in_charts() -> None:
    """As the note beside the lists says."""
    named = [size for size in drill_sizes() if size.series in {DrillSeries.NUMBER, DrillSeries.LETTER}]
    assert len(named) == 106
    assert sum(size.standing is Standing.OPENED for size in named) == 46


def test_the_metric_series_follows_the_rule_of_bs_328() -> None:
    """Source: [BS328], rule opened: tenths and .02, .05, .08 to 0.98, by 0.05 to 2.95, by 0.1 to 13.9, by 0.25."""
    expected = [Fraction(tenth, 10) + Fraction(more, 100) for tenth in range(2, 10) for more in (0, 2, 5, 8)]
    expected += [Fraction(step, 20) for step in range(20, 60)]
    expected += [Fraction(step, 10) for step in range(30, 140)]
    expected += [Fraction(step, 4) for step in range(56, 101)]
    assert series_mm(DrillSeries.METRIC) == tuple(expected)


def test_fractions_are_all_sixty_fourths_to_an_inch_and_a_half() -> None:
    """By the definition of the [INCH]."""
    assert series_mm(DrillSeries.FRACTION) == tuple(Fraction(q, 64) * MM_PER_INCH for q in range(1, 97))
    for size in drill_sizes():
        if size.series is DrillSeries.FRACTION:
            assert sum(Fraction(piece) for piece in size.name.split()) * MM_PER_INCH == size.dia_mm


@pytest.mark.parametrize("series", [DrillSeries.NUMBER, DrillSeries.LETTER])
def test_numbers_and_letters_grow_along_their_list(series: DrillSeries) -> None:
    """#80 is the thinnest of the numbers, Z the thickest of the letters, and A is thicker than #1."""
    dias = [size.dia_mm for size in drill_sizes() if size.series is series]
    assert dias == sorted(set(dias))
    one, first = drill_named("#1"), drill_named("A")
    assert one is not None
    assert first is not None
    assert one.dia_mm < first.dia_mm


def test_centre_drills_are_those_of_the_list() -> None:
    """[ISO866], [ISO2540] and [ISO2541], all from memory: type, tip, shank, lengths, chamfer, radii."""
    names = {
        "pilot_d_mm": "pilot_dia_mm",
        "shank_d_mm": "shank_dia_mm",
        "overall_L_mm": "overall_mm",
        "pilot_l_min_mm": "pilot_length_low_mm",
        "pilot_l_max_mm": "pilot_length_high_mm",
        "protect_chamfer_d_mm": "protect_dia_mm",
        "radius_min_mm": "radius_low_mm",
        "radius_max_mm": "radius_high_mm",
        "series": "preference",
        "type": "type",
    }
    kept = packaged("centre_drill_sizes.csv")
    for row, listed in zip(kept, rows("centre_drills.csv"), strict=True):
        assert {new: row[new] for new in names.values()} == {new: listed[old] for old, new in names.items()}
        assert row["cone_deg"] == listed["cone_deg"].replace("radius", "")
        assert row["source_key"] == listed["standard"].replace(" ", "")
        assert Standing(row["standing"]) is standing_of(listed["status"]) is Standing.FROM_MEMORY


def test_the_tips_that_are_offered_are_the_preferred_ones() -> None:
    """[ISO866], from memory."""
    assert [float(dia) for dia in centre_pilots_mm()] == [1.0, 1.6, 2.0, 2.5, 3.15, 4.0, 6.3, 10.0]


def test_every_bar_of_the_list_is_there_with_its_tolerance_and_its_standing() -> None:
    """[EN10278] on sizes of common practice, [EN10060], [ASTM_A484], [AL_ROD_TABLE]; the weaker standing is kept."""
    systems = {"metric": Units.MM, "inch": Units.INCH}
    listed = [
        (
            systems[row["system"]],
            row["nominal"],
            row["product"],
            row["tolerance_standard"],
            *(Fraction(row[name]) for name in ("d_mm", "lower_mm", "upper_mm")),
            standing_of(row["status"]),
        )
        for row in rows("bar_stock.csv")
    ]
    kept = [
        (s.units, s.nominal, s.product, s.delivered_as, s.dia_mm, s.lower_mm, s.upper_mm, s.standing)
        for s in bar_sizes()
    ]
    assert kept == listed


def test_bright_bars_have_the_limits_of_their_class_in_iso_286() -> None:
    """Two lists that know nothing of each other: the class that [EN10278] names, and [ISO286_1]."""
    judged = 0
    for size in bar_sizes():
        if size.delivered_as.startswith("EN 10278 "):
            of_the_class = iso286_deviations(size.dia_mm, size.delivered_as.removeprefix("EN 10278 "))
            assert (size.lower_mm, size.upper_mm) == of_the_class, size
            judged += 1
    assert judged == 144
