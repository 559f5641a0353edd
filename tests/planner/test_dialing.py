"""From a way to turns and marks and back, exactly; what a mark is worth; how far to back off."""

from __future__ import annotations

from fractions import Fraction
from math import cos, isclose, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from handwheel.domain.acts import SettingKind
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.slides import AidKind, Dial, LengthAid, Reads, Slide
from handwheel.planner.dialing import (
    PARALLEL,
    back_off_marks,
    carriage_scale,
    cross_scale,
    engraved_change_mm,
    engraving_is_diameter,
    marks_for_way,
    steps_at_least,
    steps_at_most,
    steps_nearest,
    top_scale,
    turns_and_marks,
)
from tests.planner.jobs import LATHES, demo_shop

INCH = Fraction(254, 10)


def dial(lead_mm: Fraction, marks: int, *, halves: bool = False, reads: Reads = Reads.TRAVEL) -> Dial:
    """Dial whose engraving tells the truth."""
    label = lead_mm / marks * (2 if reads is Reads.DIAMETER else 1)
    return Dial(lead_mm=lead_mm, marks=marks, label_mm=label, halves=halves, reads=reads)


def slide(
    made: Dial | None, *, slack_mm: Fraction = Fraction(0), handle: Handle = Handle.CROSS, clockwise: Motion = Motion.IN
) -> Slide:
    """Slide with a dial and some slack."""
    return Slide(handle=handle, clockwise_moves=clockwise, slack_mm=slack_mm, travel_mm=100.0, dial=made)


ONE_MM = dial(Fraction(1), 20)


def test_pc_03_an_inch_on_a_screw_of_one_millimetre() -> None:
    """Practice case PC-03: 25.4 mm on 1 mm with 20 marks is 25 turns and 8 marks; 20 turns was the printed error."""
    marks = marks_for_way(slide(ONE_MM), INCH, Motion.IN)
    turns, rest = turns_and_marks(marks, 20)
    assert (turns, rest) == (25, Fraction(8))
    assert turns * ONE_MM.lead_mm + rest * ONE_MM.travel_per_mark_mm == INCH
    assert INCH - (20 * ONE_MM.lead_mm + 8 * ONE_MM.travel_per_mark_mm) == 5


@pytest.mark.parametrize(
    ("position", "expected"),
    [
        (0, (0, 0)),
        (19, (0, 19)),
        (20, (1, 0)),
        (-1, (-1, 19)),
        (-19, (-1, 1)),
        (-20, (-1, 0)),
        (-21, (-2, 19)),
        (Fraction(-1, 2), (-1, Fraction(39, 2))),
    ],
)
def test_positions_before_zero_show_what_the_collar_shows(position: Fraction, expected: tuple[int, Fraction]) -> None:
    assert turns_and_marks(Fraction(position), 20) == expected


@given(st.fractions(-1000, 1000, max_denominator=8), st.integers(1, 250))
def test_turns_and_marks_make_the_position_again(position: Fraction, marks: int) -> None:
    turns, rest = turns_and_marks(position, marks)
    assert turns * marks + rest == position
    assert 0 <= rest < marks


@pytest.mark.parametrize("motion", [Motion.IN, Motion.OUT])
@pytest.mark.parametrize("clockwise", [Motion.IN, Motion.OUT])
def test_clockwise_counts_up_whichever_way_the_tool_then_goes(motion: Motion, clockwise: Motion) -> None:
    turned = marks_for_way(slide(ONE_MM, clockwise=clockwise), Fraction(1, 4), motion)
    assert turned == (5 if motion is clockwise else -5)


def test_a_slide_without_a_dial_has_no_marks() -> None:
    with pytest.raises(ValueError, match="cross-slide: has no dial"):
        marks_for_way(slide(None), Fraction(1), Motion.IN)


@pytest.mark.parametrize(
    ("slack_mm", "made", "least"),
    [
        (Fraction("0.508"), dial(Fraction(1), 40), 31),  # 0.020 in: 1.5 times is 0.762 mm, 30.5 marks of 0.025
        (Fraction("0.1"), dial(Fraction(1), 40), 20),  # half a turn is more
        (Fraction(0), dial(Fraction(1), 25), 13),  # half a turn is no whole mark: the next one
        (Fraction(2), dial(Fraction(1), 20), 60),  # slack of two turns
    ],
)
def test_pc_02_backing_off_clears_the_slack(slack_mm: Fraction, made: Dial, least: int) -> None:
    """Practice case PC-02: at least one and a half times the slack, better half a turn."""
    assert back_off_marks(slide(made, slack_mm=slack_mm)) == least


@given(
    st.fractions(0, 5, max_denominator=1000), st.fractions(Fraction(1, 2), 6, max_denominator=40), st.integers(1, 250)
)
def test_backing_off_is_never_shorter_than_the_rule(slack_mm: Fraction, lead_mm: Fraction, marks: int) -> None:
    made = dial(lead_mm, marks)
    off_mm = back_off_marks(slide(made, slack_mm=slack_mm)) * made.travel_per_mark_mm
    assert off_mm >= Fraction(3, 2) * slack_mm
    assert off_mm >= lead_mm / 2
    assert off_mm > slack_mm
    # and no longer than the rule and one mark: nobody winds for nothing
    assert off_mm <= max(Fraction(3, 2) * slack_mm, lead_mm / 2, slack_mm) + made.travel_per_mark_mm


def test_without_a_dial_there_is_nothing_to_count_back() -> None:
    assert back_off_marks(slide(None, slack_mm=Fraction(1))) == 0


@pytest.mark.parametrize("reads", list(Reads))
def test_pc_01_the_metal_does_not_care_what_the_dial_means(reads: Reads) -> None:
    """Practice case PC-01: 0.001 in of tool travel takes 0.002 off the work, whichever figure is engraved."""
    made = dial(Fraction("2.54"), 100, reads=reads)
    scale = cross_scale(slide(made))
    assert scale is not None
    assert scale.dia_per_step_mm == pytest.approx(0.0508)
    assert scale.radius_per_step_mm == pytest.approx(0.0254)
    assert engraving_is_diameter(made) is (reads is Reads.DIAMETER)
    assert float(engraved_change_mm(made, Fraction(10))) == pytest.approx(0.508 if reads is Reads.DIAMETER else 0.254)


def test_half_marks_are_steps_only_where_the_dial_allows_them() -> None:
    whole, half = (cross_scale(slide(dial(Fraction(1), 20, halves=halves))) for halves in (False, True))
    assert whole is not None
    assert half is not None
    assert (whole.step_mm, half.step_mm) == (Fraction(1, 20), Fraction(1, 40))


def test_a_readout_serves_where_there_is_no_dial() -> None:
    bare = slide(None)
    assert cross_scale(bare) is None
    assert top_scale(replace(bare, handle=Handle.TOP, clockwise_moves=Motion.LEFT), PARALLEL) is None
    read = cross_scale(replace(bare, readout_step_mm=Fraction(1, 200)))
    assert read is not None
    assert (read.kind, read.step_mm, read.handle) == (SettingKind.READOUT, Fraction(1, 200), Handle.CROSS)


@given(st.integers(0, 90))
def test_a_swung_top_slide_shares_its_way(angle: int) -> None:
    made = slide(ONE_MM, handle=Handle.TOP, clockwise=Motion.LEFT)
    scale = top_scale(made, Fraction(angle))
    assert scale is not None
    assert isclose(scale.across, sin(radians(angle)), abs_tol=1e-12)
    assert isclose(scale.along, cos(radians(angle)), abs_tol=1e-12)
    assert scale.dia_per_step_mm == pytest.approx(0.1 * sin(radians(angle)))
    assert scale.length_per_step_mm == pytest.approx(0.05 * cos(radians(angle)))


@pytest.mark.parametrize(("angle", "ratio"), [("11", 5.24), ("11.54", 5.0), ("5.74", 10.0)])
def test_pc_07_the_angle_and_the_ratio(angle: str, ratio: float) -> None:
    """Practice case PC-07, computed there: 11 degrees is 5.24 : 1, 5 : 1 is 11.54, 10 : 1 is 5.74 degrees."""
    scale = top_scale(slide(ONE_MM, handle=Handle.TOP, clockwise=Motion.LEFT), Fraction(angle))
    assert scale is not None
    assert 1.0 / scale.across == pytest.approx(ratio, abs=0.005)


def carriage(*aids: LengthAid, made: Dial | None = None) -> Slide:
    """Carriage with some aids."""
    bare = slide(made, handle=Handle.CARRIAGE, clockwise=Motion.RIGHT)
    return replace(bare, aids=aids)


STOP = LengthAid(kind=AidKind.STOP, step_mm=Fraction(1, 50), range_mm=100.0)
INDICATOR = LengthAid(kind=AidKind.INDICATOR, step_mm=Fraction(1, 100), range_mm=10.0)
RULE = LengthAid(kind=AidKind.RULE, step_mm=Fraction(1, 2), range_mm=150.0)


@pytest.mark.parametrize(
    ("made", "reach_mm", "kind"),
    [
        (carriage(RULE, INDICATOR, made=dial(Fraction(20), 200)), 50.0, SettingKind.MARKS),
        (carriage(RULE, INDICATOR), 10.0, SettingKind.INDICATOR),
        (carriage(RULE, INDICATOR), 10.1, SettingKind.RULE),
        (carriage(INDICATOR), 10.1, None),
        (carriage(RULE), 151.0, None),
        (carriage(STOP), 5.0, None),  # a stop repeats a place, it tells none
        (carriage(), 5.0, None),
    ],
)
def test_lengths_go_by_the_finest_thing_that_reaches(made: Slide, reach_mm: float, kind: SettingKind | None) -> None:
    found = carriage_scale(made, reach_mm=reach_mm)
    assert (found.kind if found else None) is kind
    assert found is None or (found.across, found.along) == (0.0, 1.0)


@given(st.floats(0, 100), st.sampled_from([0.0254, 0.02, 0.05, 0.1, 1 / 3]))
def test_steps_are_rounded_the_way_their_name_says(way_mm: float, step_mm: float) -> None:
    low, high = steps_at_most(way_mm, step_mm) * step_mm, steps_at_least(way_mm, step_mm) * step_mm
    near = steps_nearest(way_mm, step_mm) * step_mm
    forgiven = 2e-6 * step_mm
    assert way_mm - step_mm <= low <= way_mm + forgiven
    assert way_mm - forgiven <= high <= way_mm + step_mm
    assert abs(near - way_mm) <= step_mm / 2 + 1e-9


def test_a_sum_of_floats_that_should_be_whole_is_whole() -> None:
    """0.1 three times is a little more than 0.3, which is no reason for a fourth mark."""
    assert steps_at_least(0.1 + 0.1 + 0.1, 0.1) == 3
    assert steps_at_most(0.3, 0.1) == 3


@pytest.mark.parametrize("lathe", LATHES)
def test_every_dial_of_the_demo_lathes_says_what_its_screw_does(lathe: str) -> None:
    shop = demo_shop(lathe)
    dials = [made.dial for made in (shop.lathe.cross, shop.lathe.top, shop.lathe.carriage) if made.dial]
    assert len(dials) >= 2
    for made in dials:
        factor = 2 if engraving_is_diameter(made) else 1
        assert engraved_change_mm(made, Fraction(made.marks)) == made.lead_mm * factor
