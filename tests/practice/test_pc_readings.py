"""Practice cases PC-05, PC-19, PC-22, PC-23 and PC-24: what is asked before a reading counts."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from handwheel.bench.asking.ask import may_count, questions
from handwheel.bench.asking.codes import Counts
from handwheel.bench.asking.records import Decides, HandleTurn, Question, StopContext, TypedReading
from handwheel.bench.asking.slips import gauge_turn_mm
from handwheel.domain.exact import Fraction
from handwheel.domain.gauges import Gauge, GaugeUse
from handwheel.domain.part import Units
from handwheel.physics.gauge_error import caliper_shortfall_mm, chord_shortfall_mm, tilt_excess_mm
from handwheel.physics.thermal import size_change_mm

INCH_MM = 25.4
THOU = Fraction("0.0254")
METRIC_MICROMETER = Gauge(
    id="m25",
    name="micrometer, 0 to 25 mm",
    uses=(GaugeUse.OUTSIDE,),
    low_mm=0.0,
    high_mm=25.0,
    step_mm=Fraction("0.01"),
    uncertainty_mm=0.005,
)
INCH_MICROMETER = replace(METRIC_MICROMETER, id="m1", high_mm=INCH_MM, step_mm=THOU, uncertainty_mm=0.0076)
DIAL_CALIPER = Gauge(
    id="dc",
    name="dial caliper",
    uses=(GaugeUse.OUTSIDE, GaugeUse.BORE),
    low_mm=0.0,
    high_mm=150.0,
    step_mm=THOU,
    uncertainty_mm=0.025,
)
TELESCOPING = Gauge(
    id="tg",
    name="telescoping gauge",
    uses=(GaugeUse.BORE,),
    low_mm=12.0,
    high_mm=32.0,
    step_mm=Fraction("0.01"),
    uncertainty_mm=0.01,
)


def read(*readings_mm: float) -> tuple[TypedReading, ...]:
    """Readings, each in a direction of its own."""
    return tuple(TypedReading(read_mm=value, direction=f"{at}") for at, value in enumerate(readings_mm))


def stop(gauge: Gauge, expected_mm: float, *readings_mm: float, use: GaugeUse, tolerance_mm: float) -> StopContext:
    return StopContext(
        readings=read(*readings_mm),
        gauge=gauge,
        use=use,
        expected_mm=expected_mm,
        expected_sd_mm=0.02,
        tolerance_mm=tolerance_mm,
    )


def codes(context: StopContext) -> list[str]:
    return [question.code for question in questions(context)]


def the(context: StopContext, code: str) -> Question:
    (found,) = [question for question in questions(context) if question.code == code]
    return found


def figure(question: Question, name: str) -> float:
    return next(figure.value for figure in question.figures if figure.name == name)


# -- PC-05: out by exactly one turn -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("gauge", "turn_mm"),
    [(METRIC_MICROMETER, 0.5), (INCH_MICROMETER, 0.025 * INCH_MM), (DIAL_CALIPER, 0.100 * INCH_MM)],
    ids=["metric thimble", "inch thimble", "dial caliper"],
)
@pytest.mark.parametrize("share", [-1.09, -0.91, 0.91, 1.0, 1.09])
def test_pc_05_a_reading_about_one_turn_of_the_gauge_out_is_asked_about(
    gauge: Gauge, turn_mm: float, share: float
) -> None:
    """PC-05: 0.025 in, 0.5 mm, 0.100 in, to a tenth of a turn; a second instrument before it counts."""
    assert gauge_turn_mm(gauge) == pytest.approx(turn_mm)
    context = stop(gauge, 20.0, 20.0 + share * turn_mm, use=GaugeUse.OUTSIDE, tolerance_mm=0.1)
    question = the(context, "gauge-turn-out")
    assert question.counts is Counts.ONCE_CONFIRMED
    assert "second instrument" in question.ask
    assert question.offered_mm == pytest.approx(20.0 + (share - (1 if share > 0 else -1)) * turn_mm)
    assert not may_count(questions(context), confirmed=False)


@pytest.mark.parametrize("share", [0.89, 1.11])
def test_pc_05_beyond_a_tenth_of_a_turn_it_is_far_off_but_no_turn(share: float) -> None:
    context = stop(METRIC_MICROMETER, 20.0, 20.0 + share * 0.5, use=GaugeUse.OUTSIDE, tolerance_mm=0.1)
    assert codes(context) == ["far-from-expected"]


def test_pc_05_a_turn_of_the_handwheel_is_asked_about_likewise() -> None:
    """A cross-slide of 1 mm a turn takes 2 mm off a diameter with one turn too many."""
    context = replace(
        stop(METRIC_MICROMETER, 20.0, 18.05, use=GaugeUse.OUTSIDE, tolerance_mm=0.1),
        handle_turns=(HandleTurn(name="cross-slide", reading_mm=2.0),),
    )
    assert codes(context) == ["handle-turn-out"]
    assert "cross-slide" in the(context, "handle-turn-out").perhaps


def test_pc_05_the_reading_is_never_changed_by_itself() -> None:
    """The part of the case measured 0.025 in larger than it could be: asked, offered, and left as it was typed."""
    context = stop(INCH_MICROMETER, 19.05, 19.685, use=GaugeUse.OUTSIDE, tolerance_mm=0.05)
    assert the(context, "gauge-turn-out").offered_mm == pytest.approx(19.05)
    assert context.readings[0].read_mm == 19.685
    stood_by = replace(context, readings=(replace(context.readings[0], confirmed=True),))
    assert "gauge-turn-out" not in codes(stood_by)


# -- PC-22: a caliper in a bore reads small ---------------------------------------------------------------


@pytest.mark.parametrize(
    ("bore_in", "flat_in", "printed_in"), [(1.125, 0.020, "0.0002"), (0.650, 0.040, "0.0012")], ids=["bush", "ring"]
)
def test_pc_22_the_shortfalls_of_the_case(bore_in: float, flat_in: float, printed_in: str) -> None:
    """PC-22, computed there, to the printed digits."""
    short_mm = caliper_shortfall_mm(bore_in * INCH_MM, flat_mm=flat_in * INCH_MM)
    assert f"{short_mm / INCH_MM:.4f}" == printed_in


def test_pc_22_a_caliper_in_a_ring_is_asked_about_with_its_number_and_what_would_read_true() -> None:
    gauge = replace(DIAL_CALIPER, flat_mm=0.040 * INCH_MM)
    true_mm = 0.650 * INCH_MM
    context = replace(
        stop(gauge, true_mm, true_mm - 0.0012 * INCH_MM, use=GaugeUse.BORE, tolerance_mm=0.25), units=Units.INCH
    )
    question = the(context, "caliper-flats")
    assert "0.0012 in" in question.saw
    assert "plug gauge" in question.ask
    assert question.offered_mm == pytest.approx(true_mm, abs=0.001)


def test_pc_22_flats_that_nobody_measured_give_a_range_and_no_corrected_value() -> None:
    question = the(stop(DIAL_CALIPER, 16.51, 16.48, use=GaugeUse.BORE, tolerance_mm=0.2), "caliper-flats")
    assert "0.5 to 1 mm" in question.saw
    assert question.offered_mm is None


def test_pc_22_it_is_quiet_outside_and_where_it_does_not_matter() -> None:
    assert "caliper-flats" not in codes(stop(DIAL_CALIPER, 16.51, 16.51, use=GaugeUse.OUTSIDE, tolerance_mm=0.2))
    assert "caliper-flats" not in codes(stop(DIAL_CALIPER, 16.51, 16.51, use=GaugeUse.BORE, tolerance_mm=0.5))


# -- PC-23: a telescoping gauge gives a different answer each time ----------------------------------------


def test_pc_23_tilt_and_chord_of_the_case() -> None:
    """PC-23, computed there, to the printed digits."""
    assert f"{tilt_excess_mm(25.0, tilt_deg=3.0):+.3f}" == "+0.034"
    assert f"{tilt_excess_mm(18.0, tilt_deg=3.0):+.3f}" == "+0.025"
    assert f"{-chord_shortfall_mm(25.0, offset_mm=1.0):.2f}" == "-0.08"


def test_pc_23_three_readings_in_two_directions_are_asked_for() -> None:
    two = stop(TELESCOPING, 25.0, 25.0, 25.005, use=GaugeUse.BORE, tolerance_mm=0.06)
    question = the(two, "more-readings")
    assert question.counts is Counts.NOT_YET
    assert question.ask == "Take 3 in all in two directions, and say which."
    assert "0.034 mm" in question.perhaps
    assert "0.080 mm" in question.perhaps
    one_way = replace(two, readings=tuple(TypedReading(read_mm=25.0, direction="a") for _ in range(3)))
    assert codes(one_way) == ["more-readings"]
    assert codes(stop(TELESCOPING, 25.0, 25.0, 25.005, 25.0, use=GaugeUse.BORE, tolerance_mm=0.06)) == []


@pytest.mark.parametrize("decides", [Decides.LAST_CUTS, Decides.FINISHED])
def test_pc_23_three_readings_more_than_a_third_of_the_tolerance_apart_allow_no_last_cut(decides: Decides) -> None:
    just_less, just_more = (
        replace(
            stop(TELESCOPING, 25.0, 25.0, 25.0 + apart_mm / 2.0, 25.0 + apart_mm, use=GaugeUse.BORE, tolerance_mm=0.06),
            decides=decides,
        )
        for apart_mm in (0.0199, 0.0201)
    )
    assert codes(just_less) == []
    assert codes(just_more) == ["spread-wide"]
    assert not may_count(questions(just_more), confirmed=True)
    assert codes(replace(just_more, decides=Decides.ROUGHING)) == []


def test_pc_23_more_readings_as_far_apart_decide_by_their_mean() -> None:
    """The same distance from smallest to largest, but the mean is known well enough by then."""
    spread = (25.0, 25.021, 25.010, 25.008, 25.013, 25.011, 25.009)
    assert codes(stop(TELESCOPING, 25.0, *spread[:3], use=GaugeUse.BORE, tolerance_mm=0.06)) == ["spread-wide"]
    context = stop(TELESCOPING, 25.0, *spread, use=GaugeUse.BORE, tolerance_mm=0.06)
    assert codes(context) == []
    # the same values all read in one place say less
    here = replace(context, readings=tuple(replace(each, direction="a") for each in context.readings))
    assert [question.counts for question in questions(here)] == [Counts.NOT_YET]


# -- PC-19 and PC-23: lobes -------------------------------------------------------------------------------


def test_pc_19_three_lobes_of_the_jaws_are_asked_about_with_a_gauge_that_cannot_see_them() -> None:
    """PC-23: two-point readings cannot see three lobes; PC-19: steel ring, 0.0075 mm from valley to peak."""
    context = replace(
        stop(METRIC_MICROMETER, 22.0, 22.0, use=GaugeUse.OUTSIDE, tolerance_mm=0.05), lobes=3, lobes_mm=0.0075
    )
    question = the(context, "lobes-unseen")
    assert "vee" in question.ask
    assert "after release, at room temperature" in question.ask
    assert codes(replace(context, lobes_mm=0.0049)) == []
    assert codes(replace(context, lobes=2)) == []
    three_point = replace(TELESCOPING, name="three-point gauge")
    assert codes(replace(context, gauge=three_point, use=GaugeUse.BORE)) == []
    assert codes(replace(context, gauge=three_point, use=GaugeUse.BORE, lobes=2)) == ["lobes-unseen"]


# -- PC-24: fitted warm, tight or loose cold --------------------------------------------------------------


def test_pc_24_growth_of_the_case() -> None:
    """PC-24, computed there, to the printed digits."""
    assert f"{size_change_mm(25.0, alpha_per_k=22.2e-6, difference_k=40.0):.3f}" == "0.022"
    assert f"{size_change_mm(18.0, alpha_per_k=22.2e-6, difference_k=30.0):.3f}" == "0.012"
    assert f"{size_change_mm(18.0, alpha_per_k=11.7e-6, difference_k=30.0):.3f}" == "0.006"


def test_pc_24_a_correction_is_offered_only_if_a_temperature_is_typed_and_it_matters() -> None:
    """0.022 mm matters below a tolerance of 0.2 mm (there 0.222 exactly): quiet above."""
    warm = replace(
        stop(METRIC_MICROMETER, 25.0, 25.0, use=GaugeUse.OUTSIDE, tolerance_mm=0.2),
        alpha_per_k=22.2e-6,
        temperature_c=60.0,
    )
    question = the(warm, "warm-reading")
    assert question.offered_mm == pytest.approx(25.0 - 0.0222, abs=1e-6)
    assert codes(replace(warm, tolerance_mm=0.23)) == []
    untyped = replace(warm, temperature_c=None, warm_mm=0.0222)
    assert the(untyped, "still-warm").offered_mm is None
    assert codes(replace(untyped, tolerance_mm=0.23)) == []
