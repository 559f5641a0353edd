"""Ring scales against what their sources print; the standing of each rule stands beside its test."""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest

from handwheel.data.loader import Standing
from handwheel.data.ring_scales import Girth, Measure, RingScale, nearest_size, ring_scale
from handwheel.service.intake.ring_sizes import read_number

HERE = Path(__file__).parent
PER_SCALE = {
    "US/CA": "us",
    "UK/AU (BS 6820 rule)": "uk",
    "JP (JIS S 4700 rule)": "jp",
    "ISO 8653": "iso",
}


def rows(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader((HERE / name).read_text(encoding="utf-8").splitlines()))


def number(scale: RingScale, label: str) -> Fraction:
    """Number of a label as the lists print it: ``A1/2``, and ``Z+11/2`` for a half beyond Z+1."""
    whole, half, _ = label.partition("1/2") if label.endswith("1/2") else (label, "", "")
    return read_number(scale, whole) + (Fraction(1, 2) if half else 0)


@pytest.mark.parametrize(("size", "expected_mm"), [(49, "15.6"), (54, "17.2"), (60, "19.1"), (66, "21"), (72, "22.9")])
def test_iso_8653_gives_the_diameters_that_the_encyclopaedia_prints(size: int, expected_mm: str) -> None:
    """Source: [RING_ENCYCLOPAEDIA], table of ISO 8653, opened; printed to 0.1 mm, hence ± 0.05."""
    scale = ring_scale("iso")
    assert scale.standing is Standing.OPENED
    assert float(scale.girth(Fraction(size)).diameter_mm) == pytest.approx(float(expected_mm), abs=0.05)


@pytest.mark.parametrize(("size", "expected_mm"), [(0, 11.63), (1, 12.45), (4, 14.88)])
def test_us_sizes_give_the_diameters_that_the_encyclopaedia_prints(size: int, expected_mm: float) -> None:
    """Source: [RING_ENCYCLOPAEDIA], conversion chart, opened; printed to 0.01 mm, hence ± 0.005."""
    scale = ring_scale("us")
    assert scale.standing is Standing.OPENED
    assert float(scale.girth(Fraction(size)).diameter_mm) == pytest.approx(expected_mm, abs=0.005)


@pytest.mark.parametrize(("size", "expected_mm"), [(2, 41.7), (3, 44.2)])
def test_us_sizes_give_the_circumferences_that_the_encyclopaedia_prints(size: int, expected_mm: float) -> None:
    """Source: [RING_ENCYCLOPAEDIA], conversion chart, opened; printed to 0.1 mm, hence ± 0.05."""
    assert float(ring_scale("us").girth(Fraction(size)).circumference_mm) == pytest.approx(expected_mm, abs=0.05)


def test_uk_letters_are_anchored_where_the_dictionary_of_units_has_them() -> None:
    """Source: [UNITS_DICTIONARY], opened: C is ISO 40, four letters are five ISO sizes; A and Z follow exactly."""
    scale = ring_scale("uk")
    assert scale.standing is Standing.OPENED
    for letter, around_mm in (("A", "37.5"), ("C", "40"), ("Z", "68.75")):
        assert scale.girth(read_number(scale, letter)).circumference_mm == Fraction(around_mm)
    assert 4 * scale.per_size_mm == 5 * ring_scale("iso").per_size_mm


@pytest.mark.parametrize(
    ("letter", "expected_mm"),
    [("A", 37.8), ("B", 39.1), ("C", 40.4), ("D", 41.7), ("F", 44.2), ("H", 46.8), ("I", 48.0)],
)
def test_the_chart_on_half_us_sizes_has_the_circumferences_printed(letter: str, expected_mm: float) -> None:
    """Source: [RING_ENCYCLOPAEDIA], conversion chart, opened from A to I; printed to 0.1 mm, hence ± 0.05.

    Its letters are larger than those of the 1.25 mm rule by 0.3 to 0.55 mm around, as the chart's readers found.
    """
    chart, rule = ring_scale("uk_half_us"), ring_scale("uk")
    place = read_number(chart, letter)
    around_mm = float(chart.girth(place).circumference_mm)
    assert around_mm == pytest.approx(expected_mm, abs=0.05)
    assert 0.3 <= around_mm - float(rule.girth(place).circumference_mm) < 0.55


def test_japanese_sizes_are_those_of_the_page() -> None:
    """Source: [RING_PAGES], opened as (size + 38)/3 mm; as [JIS_S4700] from memory."""
    scale = ring_scale("jp")
    for size, diameter_mm in ((1, 13), (4, 14), (7, 15), (10, 16)):
        assert scale.girth(Fraction(size)).diameter_mm == diameter_mm == Fraction(size + 38, 3)


def test_the_other_us_rule_departs_by_a_twelfth_of_a_millimetre_at_most() -> None:
    """Source: [RING_PAGES], opened: 1.43 in + 0.102 in a size around. Rounded figures: 0.07 below to 0.12 mm above."""
    us, other = ring_scale("us"), ring_scale("us_around")
    apart = [other.girth(size).diameter_mm - us.girth(size).diameter_mm for size in us.numbers]
    assert (float(min(apart)), float(max(apart))) == pytest.approx((-0.0715, 0.1185), abs=0.0005)


@pytest.mark.parametrize("key", PER_SCALE.values())
def test_every_row_of_the_computed_list_is_met(key: str) -> None:
    """A list computed from the same rules, apart from this program; printed to 0.0001 mm, hence ± 0.00005."""
    scale = ring_scale(key)
    listed = [row for row in rows("ring_scales.csv") if PER_SCALE[row["scale"]] == key]
    assert len(listed) >= 30
    for row in listed:
        girth = scale.girth(number(scale, row["size"]))
        assert float(girth.diameter_mm) == pytest.approx(float(row["inner_diameter_mm"]), abs=0.000051)
        assert float(girth.circumference_mm) == pytest.approx(float(row["inner_circumference_mm"]), abs=0.000051)


@pytest.mark.parametrize("row", rows("ring_sizes.csv"), ids=lambda row: row["us_ca_size"])
def test_the_nearest_sizes_are_those_of_the_computed_chart(row: dict[str, str]) -> None:
    """The chart gives US halves with the nearest size of each scale; blank where a scale has none near it."""
    asked = ring_scale("us").girth(Fraction(row["us_ca_size"]))
    assert float(asked.diameter_mm) == pytest.approx(float(row["us_inner_d_mm"]), abs=0.00051)
    for key, column in (("uk", "uk_au_nearest_half_letter"), ("jp", "jp_nearest_size")):
        near = nearest_size(ring_scale(key), asked)
        assert (near and near.size.number) == (number(ring_scale(key), row[column]) if row[column] else None)
    iso = nearest_size(ring_scale("iso"), asked)
    assert iso is None or iso.size.number == int(row["iso8653_nearest_whole"])
    assert (iso is None) == (int(row["iso8653_nearest_whole"]) < 40 or float(row["inner_circumference_mm"]) > 76.5)
    less_40 = float(ring_scale("ch").number_of(asked))
    assert less_40 == pytest.approx(float(row["ch_it_es_circ_minus_40"]), abs=0.051)


def test_the_usual_us_and_uk_pairs_agree_to_0_15_mm_around() -> None:
    """Reference: US 6 L 1/2, US 7 N 1/2 (opened), US 8 P 1/2, US 9 R 1/2, all to 0.15 mm around, hence below 0.155."""
    uk = ring_scale("uk")
    for size, letter in ((6, "L 1/2"), (7, "N 1/2"), (8, "P 1/2"), (9, "R 1/2")):
        asked = ring_scale("us").girth(Fraction(size))
        apart = uk.girth(read_number(uk, letter)).circumference_mm - asked.circumference_mm
        assert 0 < abs(float(apart)) < 0.155
        assert asked != Girth(measure=Measure.CIRCUMFERENCE, mm=asked.circumference_mm)
