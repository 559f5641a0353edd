"""What can be saved: each way's numbers against the tables and reckoned again by other means."""

from __future__ import annotations

from fractions import Fraction
from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from handwheel.bench.salvage.joined import LEAST_WALL_MM, SLIP_MM, yield_n_mm2
from handwheel.bench.salvage.little_left import strokes_to_go
from handwheel.bench.salvage.place import place_of
from handwheel.bench.salvage.way import Verdict, Way
from handwheel.bench.salvage.ways import ways_out
from handwheel.data.fits import fit_clearance_mm, named_fits
from handwheel.data.materials import material, material_keys
from handwheel.domain.errors import ImpossiblePartError, OutOfRangeError
from handwheel.domain.hole_tools import Reamer, ReamerKind
from handwheel.domain.part import BACK_FACE, BORE, OUTSIDE, Aspect
from handwheel.service.intake.part_file import read_part
from tests.demo_plans import demo_part, demo_shop
from tests.unit.bench.salvaging import opened, ring, saved, way

SHOP = demo_shop("inch-lathe")
SLIDING = ring('fit = "sliding on 20 mm shaft"')


# where it stands ----------------------------------------------------------------------------------------------------


def test_a_size_that_is_surely_inside_needs_no_way_out() -> None:
    assert saved(ring(), BORE, 20.017) == ()


@pytest.mark.parametrize(("size", "side"), [(20.034, "past"), (20.032, "inside"), (19.999, "short")])
def test_a_size_that_may_be_either_side_of_a_limit_is_measured_again_first(size: float, side: str) -> None:
    """20 H8 is 0 to +33 µm [ISO286_1], and the size is known to ± 3 µm."""
    ways = saved(ring(), BORE, size)
    assert ways[0].code is Way.MEASURE_AGAIN
    assert (len(ways) == 1) is (side == "inside")
    assert "three-point" in ways[0].words


def test_no_gauge_that_decides_is_said() -> None:
    ways = saved(ring(), BORE, 20.034, shop=replace(SHOP, gauges=()))
    assert "no gauge of the shop decides it" in ways[0].words


@pytest.mark.parametrize(
    ("surface", "aspect", "size", "error", "words"),
    [
        (BORE, Aspect.DIAMETER, -1.0, OutOfRangeError, "size_mm: got -1 mm"),
        (BORE, Aspect.DIAMETER, 40.0, OutOfRangeError, "bore diameter: size_mm: got 40 mm, allowed 15 to 25.033"),
        (BORE, Aspect.RADIUS, 20.0, OutOfRangeError, "give a diameter, a width or a depth"),
        ("rim", Aspect.DIAMETER, 20.0, ImpossiblePartError, "rim diameter: the part has no such size"),
    ],
)
def test_what_is_no_size_of_the_part_is_refused(
    surface: str, aspect: Aspect, size: float, error: type[Exception], words: str
) -> None:
    with pytest.raises(error, match=words):
        ways_out(ring(), SHOP, surface, aspect, size, 0.003)


def test_an_uncertainty_of_nothing_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="uncertainty_mm: got 0 mm"):
        saved(ring(), BORE, 20.04, 0.0)


# classes of ISO 286 -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("written", "surface", "size", "code", "lower", "upper", "name"),
    [
        # 20 H8 0/+33, H9 0/+52: missed by 4 µm upward
        ('diameter = "20 H8"', BORE, 20.037, Way.COARSER_CLASS, 20.0, 20.052, "H9"),
        # 20 G8 +7/+40
        ('diameter = "20 H8"', BORE, 20.037, Way.OTHER_CLASS, 20.007, 20.040, "G8"),
        # 20 H7 0/+21: missed by 7 µm; H8 0/+33
        ('diameter = "20 H7"', BORE, 20.028, Way.COARSER_CLASS, 20.0, 20.033, "H8"),
        # 30 h6 0/-13: missed by 5 µm downward; h7 0/-21
        ('diameter = "30 h6"', OUTSIDE, 29.982, Way.COARSER_CLASS, 29.979, 30.0, "h7"),
        # 30 k6 +15/+2: too small by 4 µm; h6 would need -13/0
        ('diameter = "30 k6"', OUTSIDE, 29.996, Way.OTHER_CLASS, 29.987, 30.0, "h6"),
        # 20 H8 too small by 10 µm: JS8 is ± 16.5
        ('diameter = "20 H8"', BORE, 19.990, Way.OTHER_CLASS, 19.9835, 20.0165, "JS8"),
    ],
)
def test_another_class_holds_the_size_with_its_uncertainty(
    written: str, surface: str, size: float, code: Way, lower: float, upper: float, name: str
) -> None:
    """Rows of ISO 286-2 beside each case; limits printed to 1 µm, JS to 0.5."""
    part = ring(written) if surface == BORE else ring(outside=written)
    found = way(saved(part, surface, size), code)
    assert (found.figure("limits lower"), found.figure("limits upper")) == pytest.approx((lower, upper), abs=1e-9)
    assert f" {name} holds it" in found.words
    assert found.verdict is Verdict.ASK
    assert "may the drawing say" in found.asks[0]
    assert "owns the drawing" in found.asks[0]


def test_the_uncertainty_is_kept_from_the_limits_of_a_class() -> None:
    """H9 of 20 ends at +52 µm: 20.050 ± 3 µm does not go in, 20.049 does; the next is H10, 0/+84."""
    assert " H9 " in way(saved(ring(), BORE, 20.049), Way.COARSER_CLASS).words
    assert " H10 " in way(saved(ring(), BORE, 20.050), Way.COARSER_CLASS).words


def test_a_size_with_limits_of_its_own_gets_no_class() -> None:
    codes = opened(saved(ring('diameter = "20.00 to 20.03 mm"'), BORE, 20.04))
    assert Way.ACCEPT in codes
    assert not {Way.COARSER_CLASS, Way.OTHER_CLASS, Way.MATE_TO_SUIT, Way.GENERAL_CLASS} & set(codes)


def test_a_coarser_general_class_is_a_question_to_the_owner() -> None:
    """ISO 2768-1, over 6 to 30 mm: m ± 0.2, c ± 0.5."""
    part = ring(width="length = 10", head='general_class = "m"')
    found = way(saved(part, BACK_FACE, 9.75, 0.01), Way.GENERAL_CLASS)
    assert (found.figure("limits lower"), found.figure("limits upper")) == (9.5, 10.5)
    assert found.verdict is Verdict.ASK
    assert "owns the drawing" in found.asks[0]


def test_beyond_the_coarsest_general_class_there_is_none() -> None:
    """ISO 2768-1, over 6 to 30 mm: v is ± 1."""
    part = ring(width="length = 10", head='general_class = "m"')
    assert Way.GENERAL_CLASS not in opened(saved(part, BACK_FACE, 8.9, 0.01))


# fits and mates -----------------------------------------------------------------------------------------------------


@given(excess_um=st.integers(1, 60), half_um=st.integers(1, 6), shaft_um=st.fractions(0, 1), hole=st.fractions(-1, 1))
def test_a_shaft_made_to_suit_keeps_the_clearance_whatever_both_measure(
    excess_um: int, half_um: int, shaft_um: Fraction, hole: Fraction
) -> None:
    """Sliding, 20 H7/g6: 7 to 41 µm by hand from 0/+21 and -7/-20."""
    size = Fraction(20_021 + excess_um, 1000)
    found = way(saved(SLIDING, BORE, float(size), half_um / 1000), Way.MATE_TO_SUIT)
    lower, upper = found.figure("mate lower"), found.figure("mate upper")
    shaft = lower + float(shaft_um) * (upper - lower)
    clearance = float(size) + float(hole) * half_um / 1000 - shaft
    assert 0.007 - 1e-9 <= clearance <= 0.041 + 1e-9


def test_a_class_moves_both_limits_of_any_mate() -> None:
    """20 H8, hole 20.040 ± 3 µm: a shaft of f7 (-20/-41) keeps 20 to 74 µm if it moves from +10 to +37 µm."""
    found = way(saved(ring(), BORE, 20.040), Way.MATE_TO_SUIT)
    low, high = found.figure("mate moves lower"), found.figure("mate moves upper")
    assert (low, high) == pytest.approx((0.010, 0.037), abs=1e-9)
    least, most = 20.037 - (19.980 + high), 20.043 - (19.959 + low)
    assert (least, most) == pytest.approx((0.020, 0.074), abs=1e-9)
    assert float(fit_clearance_mm(Fraction(20), named_fits()["running"])[0]) == pytest.approx(least)


def test_an_outside_too_small_wants_a_smaller_hole() -> None:
    """30 h6 (0/-13), outside 29.982 ± 2 µm: the hole moves from 16 µm down to 3 µm down."""
    found = way(saved(ring(outside='diameter = "30 h6"'), OUTSIDE, 29.982, 0.002), Way.MATE_TO_SUIT)
    assert found.figure("mate moves lower") == pytest.approx(29.984 - 30.0)
    assert found.figure("mate moves upper") == pytest.approx(29.980 - 29.987)
    assert "a hole made to suit" in found.words


def test_a_size_that_is_hardly_known_leaves_no_mate() -> None:
    found = way(saved(ring(), BORE, 20.07, 0.02), Way.MATE_TO_SUIT)
    assert found.verdict is Verdict.NOT
    assert "surer gauge" in found.words


def test_a_loose_fit_is_named_with_what_is_left_between_the_parts() -> None:
    """Shaft 20 g6 is 19.980 to 19.993; hole 20.040 ± 3 µm leaves 44 to 63 µm: running, H8/f7, is 20 to 74."""
    found = way(saved(SLIDING, BORE, 20.040), Way.OTHER_FIT)
    assert "running fit (H8/f7)" in found.words
    assert found.figure("clearance lower") == pytest.approx(0.044)
    assert found.figure("clearance upper") == pytest.approx(0.063)


def test_a_hole_looser_than_every_fit_gets_none() -> None:
    assert Way.OTHER_FIT not in opened(saved(SLIDING, BORE, 20.10))


def test_a_press_fit_that_is_too_small_becomes_a_lighter_fit_or_wants_a_smaller_hole() -> None:
    """Press into 30 H7 (0/+21): p6 is +22/+35. Outside 30.016 ± 1 µm leaves 17 µm interference to 6 clearance.

    Tight push, H7/n6 (+15/+28), has from 28 interference to 6 clearance.
    """
    part = ring('diameter = "20 H8"\nfinished = "as bored"', outside='fit = "press into 30 mm"')
    ways = saved(part, OUTSIDE, 30.016, 0.001)
    fit = way(ways, Way.OTHER_FIT)
    assert "tight push fit (H7/n6)" in fit.words
    assert (fit.figure("clearance lower"), fit.figure("clearance upper")) == pytest.approx((-0.017, 0.006))
    assert "0.017 mm (0.0007 in) interference to 0.006 mm (0.0002 in) clearance" in fit.words
    mate = way(ways, Way.MATE_TO_SUIT)
    least, most = 30.015 - mate.figure("mate upper"), 30.017 - mate.figure("mate lower")
    assert (least, most) == pytest.approx((0.001, 0.035))


def test_a_fit_of_a_size_hardly_known_leaves_no_mate() -> None:
    assert way(saved(SLIDING, BORE, 20.08, 0.018), Way.MATE_TO_SUIT).verdict is Verdict.NOT


# later work ---------------------------------------------------------------------------------------------------------


def test_less_is_left_where_later_work_takes_more_off() -> None:
    """20 H8 with 0.2 to 0.4 left is bored to 19.60 to 19.80; at 19.90 there are 0.100 to 0.133 left, less 3 µm."""
    part = ring('diameter = "20 H8"\nallowance = "0.2 to 0.4 on the diameter"')
    ways = saved(part, BORE, 19.90)
    found = way(ways, Way.LATER_WORK)
    assert found.figure("left, as read lower") == pytest.approx(0.103)
    assert found.figure("left, as read upper") == pytest.approx(0.130)
    assert Way.COARSER_CLASS not in opened(ways)


def test_nothing_is_left_once_the_finished_limit_is_passed() -> None:
    part = ring('diameter = "20 H8"\nallowance = "0.2 to 0.4 on the diameter"')
    assert Way.LATER_WORK not in opened(saved(part, BORE, 20.05))


# ring sizes ---------------------------------------------------------------------------------------------------------

US_7 = 'ring_size = "US 7"\nplus_minus = 0.05'
BAND = {"outside": 'diameter = "20.8 mm ± 0.1"', "metal": "al_6082", "head": "worn_on_skin = true"}


def test_a_band_that_is_too_large_is_bored_to_the_next_size_of_its_scale() -> None:
    """US sizes are 0.458 in + 0.032 in a size: 7 1/4 is 0.690 in, 17.526 mm; bored out from 17.42 ± 5 µm."""
    ways = saved(ring(US_7, **BAND), BORE, 17.42, 0.005)
    found = way(ways, Way.RING_SIZE)
    target = 0.690 * 25.4
    assert "US 7 1/4, in place of US 7" in found.words
    assert found.figure("limits lower") == pytest.approx(target - 0.05, abs=6e-5)
    assert found.off_low_mm == pytest.approx(max((target - 0.05 + 0.005 - 17.42) / 2, 0.05), abs=6e-5)
    assert found.off_high_mm == pytest.approx((target + 0.05 - 0.005 - 17.42) / 2, abs=6e-5)
    assert found.wall_mm == pytest.approx((20.7 - target - 0.05) / 2, abs=6e-5)


def test_a_metal_that_wants_a_deeper_cut_goes_a_size_further() -> None:
    """Titanium wants 0.10 mm: 7 1/4 leaves at most (17.576 - 17.425) / 2 = 0.076 a side, 7 1/2 has 0.177."""
    found = way(saved(ring(US_7, **{**BAND, "metal": "ti_gr2"}), BORE, 17.42, 0.005), Way.RING_SIZE)
    assert "US 7 1/2, in place of US 7" in found.words
    assert found.off_low_mm >= 0.10


def test_a_band_that_is_another_size_already_is_said_to_be_it() -> None:
    """17.52 lies 6 µm below 7 1/4; no metal comes off for that."""
    ways = saved(ring(US_7, **BAND), BORE, 17.52, 0.005)
    first = next(each for each in ways if each.code is Way.RING_SIZE)
    assert "it is a US 7 1/4 as it is" in first.words
    assert first.off_high_mm == 0.0
    assert first.figure("miss") == pytest.approx(17.52 - 17.526, abs=6e-5)


def test_the_nearest_size_of_every_scale_is_near_and_not_equal() -> None:
    """ISO 55 is 55/pi = 17.507 mm, JP 14 is 52/3 = 17.333, US 7 is 17.323: practice case PC-16."""
    found = way(saved(ring(US_7, **BAND), BORE, 17.42, 0.005), Way.NEAREST_SIZES)
    assert found.figures[0].name == "US 7"
    assert found.figure("US 7") == pytest.approx(17.42 - 17.3228, abs=1e-4)
    assert found.figure("ISO 55") == pytest.approx(17.42 - 55 / pi, abs=1e-4)
    assert found.figure("JP 14") == pytest.approx(17.42 - 52 / 3, abs=1e-4)
    assert "equal" not in found.words.replace("equal only where it says so", "")


def test_what_the_maker_allows_stays_on_every_size() -> None:
    part = ring('ring_size = "US 7"\nwide_band = "+0.2 mm"\nplus_minus = 0.05', **BAND)
    found = way(saved(part, BORE, 17.62, 0.005), Way.RING_SIZE)
    middle = (found.figure("limits lower") + found.figure("limits upper")) / 2
    assert middle == pytest.approx(0.690 * 25.4 + 0.2, abs=6e-5)
    nearest = way(saved(part, BORE, 17.62, 0.005), Way.NEAREST_SIZES)
    assert nearest.figure("US 7") == pytest.approx(17.62 - 0.2 - 17.3228, abs=1e-4)


def test_a_band_asked_for_in_millimetres_gets_the_nearest_of_every_scale() -> None:
    part = ring('diameter = "17.3 mm ± 0.05"', **BAND)
    ways = saved(part, BORE, 17.42, 0.005)
    assert Way.NEAREST_SIZES in opened(ways)
    assert Way.RING_SIZE not in opened(ways)


def test_a_bush_gets_no_ring_size() -> None:
    assert not {Way.NEAREST_SIZES, Way.RING_SIZE} & set(opened(saved(ring(), BORE, 20.04)))


def test_a_larger_size_without_wall_is_no_way_out() -> None:
    """Wall 1.09 less two edges of 0.5 leaves 0.09 of a face; 7 1/4 at its upper limit takes 0.13 of it."""
    part = ring(US_7, **{**BAND, "outside": 'diameter = "19.5 mm ± 0.02"'})
    found = way(saved(part, BORE, 17.42, 0.005), Way.RING_SIZE)
    assert found.verdict is Verdict.NOT
    assert "nothing of a face is left" in found.words


# joined -------------------------------------------------------------------------------------------------------------


def test_a_sleeve_has_room_a_fit_and_a_stress_that_are_reckoned_again_from_the_compliances() -> None:
    """20 H8 bored to 20.04: joint 22.5; H7 0/+21 and p6 +22/+35 give 35 µm at most, half of it at least.

    Both rings are of one metal, so that p = E i / (2 d^3) (d^2 - a^2)(c^2 - d^2) / (c^2 - a^2), by hand from
    the compliances of both.
    """
    found = way(saved(ring(), BORE, 20.04), Way.SLEEVE)
    assert found.figure("joint") == 22.5
    assert found.figure("interference least") == pytest.approx(0.0175)
    assert found.figure("interference most") == pytest.approx(0.035)
    a, d, c = 20.0165, 22.5, 29.9
    pressure = 97e3 * 0.035 / (2 * d**3) * (d**2 - a**2) * (c**2 - d**2) / (c**2 - a**2)
    assert found.figure("pressure") == pytest.approx(pressure, rel=1e-6)
    # greatest shear at the bore of the outer ring, and round the bore of the inner: 2 p c2 / (c2 - d2), 2 p d2 / (..)
    outer, inner = 2 * pressure * c**2 / (c**2 - d**2), 2 * pressure * d**2 / (d**2 - a**2)
    assert found.figure("stress") == pytest.approx(max(outer, inner), rel=1e-6)
    assert found.figure("closing of the bore") == pytest.approx(inner * a / 97e3, rel=1e-6)
    assert found.figure("growth of the outside") == pytest.approx(
        2 * pressure * d**2 * c / (97e3 * (c**2 - d**2)), rel=1e-6
    )
    assert found.figure("inner wall") >= LEAST_WALL_MM
    assert found.wall_mm == pytest.approx((29.9 - 22.5) / 2)
    assert found.verdict is Verdict.ASK
    assert any("throw a part" in caution for caution in found.cautions)


def test_a_sleeve_needs_wall() -> None:
    found = way(saved(ring(outside='diameter = "23 mm ± 0.1"'), BORE, 20.04), Way.SLEEVE)
    assert found.verdict is Verdict.NOT
    assert found.figure("wall left") == pytest.approx((22.9 - 22.5) / 2)


def test_a_metal_that_yields_gets_as_much_interference_as_it_bears() -> None:
    """S235 bar up to 40 mm has 225 N/mm2 at least [materials.csv]; the whole fit makes more."""
    part = ring(outside='diameter = "60 mm ± 0.1"', metal="st_s235")
    found = way(saved(part, BORE, 20.04), Way.SLEEVE)
    assert found.figure("yield") == yield_n_mm2(material("st_s235")) == 225.0
    assert found.figure("stress") == pytest.approx(225.0)
    assert 0.0175 < found.figure("interference most") < 0.035
    assert found.verdict is Verdict.ASK


def test_a_joint_that_yields_is_no_way_out() -> None:
    """A small joint has much interference for its diameter: 6 H7/p6 is 0 to 20 µm [ISO286_1]."""
    part = ring('diameter = "3 H8"', outside='diameter = "9 mm ± 0.05"', metal="ss304")
    found = way(saved(part, BORE, 3.05), Way.SLEEVE)
    assert found.figure("stress") > found.figure("yield") == 175.0
    assert found.verdict is Verdict.NOT
    assert "adhesive" in found.words


def test_a_ring_shrunk_on_says_how_warm_it_has_to_be() -> None:
    """Brass, 20.5 µm/m/K: Ø 28 with 35 µm and room to slip on."""
    found = way(saved(ring(), OUTSIDE, 29.85, 0.01), Way.RING_ON)
    assert found.figure("joint") == 28.0
    assert found.figure("warmer than the part") == pytest.approx((0.035 + SLIP_MM) / (20.5e-6 * 28.0))
    assert found.off_low_mm == pytest.approx((29.85 - 28.0) / 2)
    assert any("tongs" in caution for caution in found.cautions)
    assert Way.SLEEVE not in opened(saved(ring(), OUTSIDE, 29.85, 0.01))


def test_a_ring_needs_wall_under_it() -> None:
    """Outside 23, bore 20 H8: turned down to 21 for a ring of 1 mm, 0.48 of wall is left."""
    found = way(saved(ring(outside='diameter = "23 mm ± 0.1"'), OUTSIDE, 22.8, 0.01), Way.RING_ON)
    assert found.verdict is Verdict.NOT
    assert found.figure("wall left") == pytest.approx((21.0 - 20.033) / 2)


def test_the_wall_is_that_of_the_least_outside_over_the_bore() -> None:
    """The flange's bore lies under an outside of 24 h9 as well as of 28 h11; 24 h9 is 0/-52 µm."""
    place = place_of(demo_part("flange"), SHOP, BORE, Aspect.DIAMETER, size_mm=19.05, uncertainty_mm=0.003)
    assert place.facing_dia_mm == pytest.approx(23.948)
    assert place.wall_mm(19.05) == pytest.approx((23.948 - 19.05) / 2)


def test_a_tapped_bore_gets_no_sleeve_of_ours() -> None:
    part = read_part(
        """kind = "plain-ring"
name = "nut"
metal = "cu_cw614n"
units = "mm"
[bore]
thread = "M10 x 1.5"
[outside]
diameter = "20 mm ± 0.1"
[width]
length = "10 mm ± 0.1"
[edges]
all = "0.5 x 45"
plus_minus = 0.2
""",
        name="nut.toml",
    )
    found = way(ways_out(part, SHOP, BORE, Aspect.DIAMETER, 8.9, 0.01), Way.SLEEVE)
    assert found.verdict is Verdict.NOT
    assert "thread insert" in found.words


# lengths ------------------------------------------------------------------------------------------------------------


def test_a_width_too_short_may_be_a_shorter_part_or_take_a_shim() -> None:
    """9.85 ± 0.01 of 9.9 to 10.1: with a shim of 0.06 to 0.24 both together lie inside, whatever the width is."""
    ways = saved(ring(), BACK_FACE, 9.85, 0.01)
    shim = way(ways, Way.SHIM)
    low, high = shim.figure("shim lower"), shim.figure("shim upper")
    assert (low, high) == pytest.approx((0.06, 0.24))
    assert 9.84 + low == pytest.approx(9.9)
    assert 9.86 + high == pytest.approx(10.1)
    assert opened(ways)[:3] == [Way.ACCEPT, Way.SHORTER, Way.SHIM]


def test_a_width_hardly_known_leaves_no_shim() -> None:
    part = ring(width='length = "10 mm ± 0.02"')
    found = way(saved(part, BACK_FACE, 9.94, 0.03), Way.SHIM)
    assert found.verdict is Verdict.NOT
    assert "surer gauge" in found.words


def test_a_shim_thinner_than_foil_is_none() -> None:
    part = ring(width='length = "10 mm ± 0.004"')
    assert way(saved(part, BACK_FACE, 9.994, 0.001), Way.SHIM).verdict is Verdict.NOT


def test_a_shoulder_too_deep_takes_its_face_back_as_far_as_the_width_bears() -> None:
    """Depth 11 ± 0.05 is 11.10 ± 0.01: 0.06 to 0.14 off the face; aluminium bronze wants 0.08 [materials.csv]."""
    shoulder = "outside-front-1-shoulder"
    found = way(ways_out(demo_part("flange"), SHOP, shoulder, Aspect.DEPTH, 11.10, 0.01), Way.FACE_BACK)
    assert found.figure("off the face lower") == pytest.approx(0.06)
    assert found.figure("off the face upper") == pytest.approx(0.14)
    assert found.verdict is Verdict.ASK


# too little left ----------------------------------------------------------------------------------------------------


def test_what_no_edge_cuts_goes_in_measured_strokes_and_never_under_a_finger() -> None:
    """Brass wants 0.03 mm; of 19.99 ± 3 µm to 20.000 to 20.033 come 13 to 40 µm off, 20 at most a side."""
    ways = saved(ring(), BORE, 19.99)
    lap = way(ways, Way.LAP)
    assert (lap.off_low_mm, lap.off_high_mm) == pytest.approx((0.0065, 0.020))
    assert any("never a finger with it in a bore" in caution for caution in lap.cautions)
    assert "Nobody knows what a stroke takes" in lap.words
    assert way(ways, Way.CUT_AGAIN).verdict is Verdict.NOT
    assert opened(ways)[0] is Way.LAP


def test_where_a_cut_goes_in_it_is_cut_and_not_rubbed() -> None:
    ways = saved(ring(), OUTSIDE, 30.35, 0.01)
    cut = way(ways, Way.CUT_AGAIN)
    assert (cut.off_low_mm, cut.off_high_mm) == pytest.approx((0.13, 0.22))
    assert way(ways, Way.LAP).verdict is Verdict.NOT


def test_a_gauge_wider_than_the_limits_lets_nothing_be_taken_off() -> None:
    found = way(saved(ring(), BORE, 19.95, 0.02), Way.LAP)
    assert found.verdict is Verdict.NOT
    assert "surer gauge" in found.words


@pytest.mark.parametrize(("size", "verdict"), [(19.95, Verdict.HOLDS), (19.5, Verdict.NOT)])
def test_a_reamer_that_finds_enough_to_cut_is_a_way(size: float, verdict: Verdict) -> None:
    """A hand reamer wants 0.03 to 0.13 mm [reaming.csv]; its hole is 20.005 to 20.020."""
    reamer = Reamer(
        id="reamer-20",
        kind=ReamerKind.HAND,
        dia_mm=Fraction(20),
        hole_lower_mm=Fraction("20.005"),
        hole_upper_mm=Fraction("20.020"),
        flute_mm=60.0,
        lead_mm=10.0,
        lead_dia_mm=19.8,
    )
    found = way(saved(ring(), BORE, size, shop=replace(SHOP, reamers=(reamer,))), Way.REAM)
    assert found.verdict is verdict
    assert found.figure("to ream lower") == pytest.approx(20.005 - size - 0.003)


@given(off_um=st.integers(5, 60), strokes=st.integers(1, 40), lost_um=st.integers(2, 20), doubt=st.fractions(0, 1))
def test_strokes_never_take_more_than_half_even_if_each_takes_all_it_may(
    off_um: int, strokes: int, lost_um: int, doubt: Fraction
) -> None:
    uncertainty_um = max(1e-3, float(doubt) * (lost_um - 1))
    more = strokes_to_go(off_um / 1000, strokes=strokes, lost_mm=lost_um / 1000, uncertainty_mm=uncertainty_um / 1000)
    assert more * (lost_um + uncertainty_um) / strokes <= off_um / 2 + 1e-6


def test_a_loss_that_nobody_can_see_is_not_reckoned_with() -> None:
    """Practice case PC-12."""
    with pytest.raises(OutOfRangeError, match="that is no measured loss"):
        strokes_to_go(0.02, strokes=10, lost_mm=0.002, uncertainty_mm=0.003)


def test_a_width_too_long_by_little_is_rubbed_on_a_plate() -> None:
    """10.13 ± 0.01 of 9.9 to 10.1: 0.04 to 0.22 comes off; the habits rub 0.05."""
    lap = way(saved(ring(), BACK_FACE, 10.13, 0.01), Way.LAP)
    assert (lap.off_low_mm, lap.off_high_mm) == pytest.approx((0.04, 0.22))
    assert any("wet the paper" in caution for caution in lap.cautions)
    assert "emery" not in lap.words


@pytest.mark.parametrize(
    ("surface", "aspect", "size"),
    [("back-face", Aspect.WIDTH, 15.8), ("outside-front-1-shoulder", Aspect.DEPTH, 11.055)],
)
def test_a_length_in_doubt_is_measured_again(surface: str, aspect: Aspect, size: float) -> None:
    ways = ways_out(demo_part("flange"), SHOP, surface, aspect, size, 0.02)
    assert ways[0].code is Way.MEASURE_AGAIN


# a new one, and all together ----------------------------------------------------------------------------------------


def test_a_new_one_names_the_bars_that_are_thick_and_long_enough() -> None:
    bush = demo_part("bush")
    found = way(saved(bush, BORE, 20.04), Way.NEW_ONE)
    bars = [bar for bar in SHOP.bars if bar.material == bush.material and bar.dia_lower_mm >= 28]
    assert bars
    assert all(bar.id in found.words for bar in bars)
    assert found.figure("takes") > 18.0


def test_without_a_bar_there_is_no_new_one() -> None:
    found = way(saved(demo_part("bush"), BORE, 20.04, shop=replace(SHOP, bars=())), Way.NEW_ONE)
    assert found.verdict is Verdict.NOT


@pytest.mark.parametrize("metal", [*material_keys(), "unknown_steel", "unknown_brass"])
@pytest.mark.parametrize(("surface", "size"), [(BORE, 20.04), (BORE, 19.99), (OUTSIDE, 29.8), (OUTSIDE, 30.12)])
def test_every_metal_gets_an_answer_in_order_and_nothing_is_silently_widened(
    metal: str, surface: str, size: float
) -> None:
    ways = saved(replace(ring(), material=metal), surface, size)
    order = list(Way)
    ranks = [(each.verdict is Verdict.NOT, order.index(each.code)) for each in ways]
    assert ranks == sorted(ranks)
    for each in ways:
        assert each.words
        assert each.verdict is not Verdict.ASK or each.asks or each.code is Way.MEASURE_AGAIN
        assert 0.0 <= each.off_low_mm <= each.off_high_mm + 1e-9
        if each.code in {Way.COARSER_CLASS, Way.OTHER_CLASS, Way.GENERAL_CLASS, Way.ACCEPT, Way.MATE_TO_SUIT}:
            assert each.verdict is not Verdict.HOLDS
        if each.verdict is not Verdict.NOT and each.off_high_mm > 0.0:
            assert each.cautions
