"""Practice cases PC-01, PC-02, PC-04, PC-07, PC-09, PC-11 and PC-21 at the bench: trials that measure the lathe."""

from __future__ import annotations

import pytest

from handwheel.bench.checkup.trial import KeyChange
from handwheel.domain.errors import InputError
from handwheel.domain.slides import Reads
from tests.bench.checkups import INDICATOR, MICROMETER, outcome_of, said, shop_of, with_cross_dial

THOU = 0.0254


@pytest.mark.parametrize(("reads", "fell_marks"), [(Reads.DIAMETER, 10), (Reads.TRAVEL, 20)])
def test_pc_01_ten_marks_tell_a_dial_of_diameters_from_one_of_radius(reads: Reads, fell_marks: int) -> None:
    """Diameter fell by 10 marks: the dial reads diameter; by 20: radius. A mark is engraved 0.001 in."""
    lead = f"{0.05 * 25.4 / (2 if reads is Reads.DIAMETER else 1)}"
    shop = with_cross_dial(shop_of("small-inch"), reads=reads, label_mm="0.0254", marks=50, lead_mm=lead)
    readings = (0.9 * 25.4, 0.9 * 25.4 - fell_marks * THOU)
    found = outcome_of("trial-cut", shop, marks=10, before=readings[0], after=readings[1], gauge="micrometer-0-1")
    assert not found.questions
    assert ("diameters" if reads is Reads.DIAMETER else "radius, travel of the slide") in found.verdicts[0]
    assert found.verdicts[1] == "The shop file says so too."
    assert not any(change.path.endswith("reads") for change in found.changes if isinstance(change, KeyChange))


def test_pc_01_a_shop_file_that_has_it_the_wrong_way_round_is_told_and_changed() -> None:
    shop = with_cross_dial(shop_of(), reads=Reads.DIAMETER)
    found = outcome_of("trial-cut", shop, marks=10, before=20.0, after=19.5, gauge=MICROMETER)
    assert "double or half" in said(found)
    assert [(change.path, change.value) for change in found.changes if isinstance(change, KeyChange)] == [
        ("lathe.cross_slide.dial.reads", "radius")
    ]


@pytest.mark.parametrize("fell_mm", [0.375, 0.30, 0.1, 1.0])
def test_pc_01_what_lies_between_is_asked_and_changes_nothing(fell_mm: float) -> None:
    """Ten marks of 0.025 mm: a dial of diameters gives 0.25, one of radius 0.5."""
    found = outcome_of("trial-cut", shop_of(), marks=10, before=20.0, after=20.0 - fell_mm, gauge=MICROMETER)
    assert found.questions
    assert (found.measured, found.changes) == ((), ())


def test_pc_04_a_long_trial_finds_a_metric_ring_on_an_inch_screw() -> None:
    """The ring counts 2.5 mm a turn and the screw is 1/10 in: 1.6 % further. Four turns of 50 marks."""
    shop = with_cross_dial(shop_of(), lead_mm="2.5", marks=50, label_mm="0.05")
    after = 24.0 - 2.0 * 4 * 2.54
    gauge = "caliper"
    found = outcome_of("trial-cut", shop, marks=200, before=(24.0,) * 3, after=(after,) * 3, gauge=gauge)
    (change,) = found.changes
    assert isinstance(change, KeyChange)
    assert (change.path, change.value) == ("lathe.cross_slide.dial.lead", "1/10 in")
    assert "an inch screw under a metric ring" in said(found)
    (rate,) = found.measured
    assert abs(rate.value) < 1e-9


@pytest.mark.parametrize("marks", [12, 16, 24])
def test_a_slide_that_went_as_far_as_it_should_is_told_so_without_dust(marks: int) -> None:
    """A mark is 0.05 mm on the diameter; means of decimal readings differ by that only to some 1e-15 of it."""
    after = tuple(round(one - 0.05 * marks, 2) for one in (30.0, 30.01, 30.0))
    found = outcome_of("trial-cut", shop_of(), marks=marks, before=(30.0, 30.01, 30.0), after=after, gauge="caliper")
    assert "the slide went as far, give or take" in said(found)
    (rate,) = found.measured
    assert rate.value == 0.0


def test_pc_04_a_short_trial_says_that_it_cannot_tell_and_how_far_to_wind() -> None:
    found = outcome_of("trial-cut", shop_of(), marks=10, before=20.0, after=19.5, gauge=MICROMETER)
    assert "this cannot tell: wind 80 marks or more" in said(found)
    assert found.changes == ()


def test_pc_02_slack_of_twenty_thou_is_cleared_by_thirty_or_half_a_turn() -> None:
    """0.020 in of slack: wind back by 0.030 at least, better half a turn; forgotten, the diameter is 0.040 out."""
    shop = with_cross_dial(shop_of("small-inch"), lead_mm=f"{0.1 * 25.4}", marks=100, label_mm="0.0254")
    found = outcome_of("slack", shop, slide="cross_slide", marks=(20, 20, 20), gauge=INDICATOR)
    assert "wind out past it by 0.0300 in (0.762 mm) at least, better half a turn" in said(found)
    assert "the diameter may be out by 0.0400 in (1.016 mm)" in said(found)
    (change,) = found.changes
    assert isinstance(change, KeyChange)
    assert (change.path, change.value) == ("lathe.cross_slide.slack", "0.0200 in")
    (slack,) = found.measured
    assert slack.value == pytest.approx(0.508)


def test_pc_02_on_the_top_slide_it_is_a_length_that_may_be_out() -> None:
    found = outcome_of("slack", shop_of(), slide="top_slide", marks=(20, 20, 20), gauge=INDICATOR)
    assert "the length may be out by 0.500 mm" in said(found)


def test_pc_07_and_21_the_tip_goes_across_by_the_sine_of_the_angle() -> None:
    """Wind 10 mm: 1 mm across is 5.74 degrees, 10 to 1; 11 degrees are 5.24 to 1."""
    ten = outcome_of("angle", shop_of(), scale=5.74, wound=8.0, across=(0.8,) * 3, gauge=INDICATOR)
    assert "stands 5.74° from the axis" in said(ten)
    assert "10.00 to 1" in said(ten)
    eleven = outcome_of("angle", shop_of(), scale=11.0, wound=4.0, across=(0.763236,) * 3, gauge=INDICATOR)
    assert "5.24 to 1" in said(eleven)


def test_pc_21_a_scale_that_counts_from_the_cross_slide_is_found() -> None:
    found = outcome_of("angle", shop_of(), scale=84.0, wound=7.0, across=(0.7317,) * 3, gauge=INDICATOR)
    (change,) = found.changes
    assert isinstance(change, KeyChange)
    assert (change.path, change.value) == ("lathe.top_slide.angle_scale.zero", "across the axis")
    assert "84.00° from across it" in said(found)


def test_pc_21_at_45_degrees_both_ways_to_count_are_alike() -> None:
    found = outcome_of("angle", shop_of(), scale=45.0, wound=100.0, across=(70.71,) * 3, gauge="caliper")
    assert "At 45° both are alike" in said(found)
    assert (found.measured, found.changes) == ((), ())


def test_pc_09_a_counted_speed_overrides_one_that_is_worked_out() -> None:
    position = "low belt, middle step"
    found = outcome_of("speed", shop_of(), position=position, turns=105, seconds=30.0, by="counter")
    (speed,) = found.measured
    assert speed.value == pytest.approx(210.0)
    assert (speed.unit, speed.thing) == ("rev/min", position)
    assert found.changes


@pytest.mark.parametrize("metal", ["ss304", "ti_gr2"])
def test_pc_11_no_pass_is_repeated_without_depth_in_a_metal_that_hardens(metal: str) -> None:
    with pytest.raises(InputError, match="never repeat a pass without depth"):
        outcome_of(
            "spring-repeat",
            shop_of(),
            tool="right-hand",
            metal=metal,
            depth=20,
            before=20.0,
            after=19.9,
            gauge=MICROMETER,
        )


def test_pc_11_spring_is_found_there_by_one_deep_cut() -> None:
    found = outcome_of(
        "spring-depths",
        shop_of(),
        tool="right-hand",
        metal="ss304",
        light=5,
        deep=20,
        before=(20.0,) * 3,
        after=(20.0 - 2.0 * (0.9 * 0.5 + 0.1 * 0.125),) * 3,
        gauge=MICROMETER,
    )
    (spring,) = found.measured
    assert spring.value == pytest.approx(0.1)
