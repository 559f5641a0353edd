"""Dial arithmetic, speeds and times of the planner against worked examples of several works."""

from __future__ import annotations

from fractions import Fraction
from math import pi

import pytest
from msgspec.structs import replace

from handwheel.data.loader import Standing
from handwheel.data.speeds import CutKind, SpeedRange
from handwheel.domain import acts as a
from handwheel.domain.contour import Point
from handwheel.domain.lathe import SpindleSpeed
from handwheel.domain.motion import Edge, Handle, Motion
from handwheel.domain.size import MM_PER_INCH
from handwheel.domain.slides import Dial, Slide
from handwheel.domain.tools import Tool, ToolKind
from handwheel.physics.force import Process
from handwheel.physics.power import torque_at_speed_nm
from handwheel.physics.speed import cutting_speed_m_min, removal_rate_cm3_min, spindle_speed_rpm
from handwheel.planner.cut_case import CutCase, Feed, FeedDrive
from handwheel.planner.dialing import top_scale
from handwheel.planner.feeds import pass_time_s, speed_is_allowed
from handwheel.planner.kinds.bevel import Bevel
from tests.demo_plans import PAIRS, demo_plan, demo_shop

TOP = Slide(
    handle=Handle.TOP,
    clockwise_moves=Motion.LEFT,
    slack_mm=Fraction(0),
    travel_mm=100.0,
    dial=Dial(lead_mm=MM_PER_INCH / 10, marks=100, label_mm=MM_PER_INCH / 1000),
)
CASE = CutCase(
    name="worked example",
    cut=CutKind.ROUGH,
    process=Process.TURNING,
    tool=Tool(id="tool", name="tool", kind=ToolKind.TURNING, edge=Edge.HSS),
    drive=FeedDrive(slide=TOP),
    total_mm=1.0,
    step_mm=0.1,
    way_mm=1.0,
    large_dia_mm=1.0,
    max_rpm=10_000.0,
    stiffness_n_um=10.0,
)


def minutes(way_mm: float, *, feed_mm_rev: float, speed_m_min: float, dia_mm: float) -> float:
    """Time that the planner reckons for one pass. [min]"""
    speed = SpindleSpeed(rpm=spindle_speed_rpm(speed_m_min, cut_dia_mm=dia_mm), position="any")
    feed = Feed(kind=a.FeedKind.POWER, low_mm_rev=feed_mm_rev, high_mm_rev=feed_mm_rev)
    return pass_time_s(replace(CASE, way_mm=way_mm), feed=feed, speed=speed) / 60.0


# times ---------------------------------------------------------------------------------------------------------------


def test_two_turned_steps_take_0_22_minutes() -> None:
    """Source: [SHARMA] Example 4.11, p. 216 (grade O, W03); printed to 0.01 min. The feed of 0.75 is inferred."""
    found = minutes(76.0, feed_mm_rev=0.75, speed_m_min=100.0, dia_mm=50.0)
    found += minutes(38.0, feed_mm_rev=0.75, speed_m_min=100.0, dia_mm=38.0)
    assert found == pytest.approx(0.22, abs=0.005)


def test_a_relief_takes_0_17_minutes() -> None:
    """Source: [SHARMA] Example 4.12, p. 218 (grade O, W04); printed to 0.01 min."""
    assert minutes(32.0, feed_mm_rev=0.375, speed_m_min=60.0, dia_mm=38.0) == pytest.approx(0.17, abs=0.005)


def test_a_face_at_the_speed_of_its_mean_diameter_takes_1_91_minutes() -> None:
    """Source: [SHARMA] Example 4.13, p. 220 (grade O, W05); printed to 0.01 min.

    The example takes the speed at the mean diameter; the planner takes it at the rim, the safe side.
    """
    assert minutes(75.0, feed_mm_rev=0.8, speed_m_min=27.0, dia_mm=175.0) == pytest.approx(1.91, abs=0.005)
    assert minutes(75.0, feed_mm_rev=0.8, speed_m_min=27.0, dia_mm=250.0) > 1.91


def test_a_drilled_hole_with_its_approach_takes_0_174_minutes() -> None:
    """Source: [SHARMA] Example 4.14, p. 221 (grade O, W06); printed to 0.001 min; approach 0.29 D at either end."""
    way_mm = 50.0 + 2 * 0.29 * 12.7
    assert minutes(way_mm, feed_mm_rev=0.175, speed_m_min=75.0, dia_mm=12.7) == pytest.approx(0.174, abs=0.0005)


def test_a_band_of_hand_feed_is_reckoned_at_its_middle() -> None:
    """Computed here: a band has no published time; its mean must give the same as that feed."""
    speed = SpindleSpeed(rpm=100.0, position="any")
    band = Feed(kind=a.FeedKind.HAND, low_mm_rev=0.3, high_mm_rev=0.45)
    exact = Feed(kind=a.FeedKind.POWER, low_mm_rev=0.375, high_mm_rev=0.375)
    case = replace(CASE, way_mm=32.0)
    assert pass_time_s(case, feed=band, speed=speed) == pytest.approx(pass_time_s(case, feed=exact, speed=speed))


@pytest.mark.parametrize("pair", PAIRS, ids="-".join)
def test_the_time_printed_beside_each_cut_is_its_length_over_feed_times_speed(pair: tuple[str, str]) -> None:
    """By the formula of [SHARMA] Example 4.12 (grade O, W04), t = l / (f N), on the figures of the sheet itself."""
    rpm, mean_feed = 0.0, 0.0
    cuts = 0
    for act in demo_plan(*pair).sheet.acts:
        if isinstance(act, a.SetSpeed):
            rpm = act.rpm
        if isinstance(act, a.SetFeed):
            mean_feed = (act.low_mm_rev + act.high_mm_rev) / 2.0
        if isinstance(act, a.Cut):
            assert act.seconds == pytest.approx(60.0 * act.length_mm / (mean_feed * rpm), rel=1e-9), act.id
            cuts += 1
    assert cuts >= 12


# speeds --------------------------------------------------------------------------------------------------------------


def test_six_speeds_in_geometric_series_for_10_to_60_mm() -> None:
    """Source: [SHARMA] Example 22.1, p. 778 (grade O, W70): 30 m/min; published values are cut to whole rev/min.

    The ratio comes from the ends; n2 is printed 227 and n3 325, both cut down, the others alike.
    """
    dias = [60.0 * (10.0 / 60.0) ** (i / 5) for i in range(6)]
    assert [int(spindle_speed_rpm(30.0, cut_dia_mm=dia)) for dia in dias] == [159, 227, 325, 466, 667, 954]


@pytest.mark.parametrize(
    ("dia_mm", "expected_rpm"),
    [(60.0, 159), (50.0, 159), (42.0, 227), (25.0, 325), (15.0, 466), (12.0, 667), (10, 954)],
)
def test_the_fastest_speed_of_that_list_that_keeps_30_m_min(dia_mm: float, expected_rpm: float) -> None:
    """List of [SHARMA] Example 22.1 (grade O, W70); the choice, at or below the limit, is practice (PC-09)."""
    limit = SpeedRange(
        low_m_min=20.0, high_m_min=30.0, words="", standing=Standing.OPENED, source_key="SHARMA", place="Example 22.1"
    )
    case = replace(CASE, large_dia_mm=dia_mm)
    listed = [SpindleSpeed(rpm=rpm, position="any") for rpm in (159.0, 227.0, 325.0, 466.0, 667.0, 954.0)]
    allowed = [speed.rpm for speed in listed if speed_is_allowed(speed, case, limit)]
    assert max(allowed) == expected_rpm
    assert cutting_speed_m_min(max(allowed), cut_dia_mm=dia_mm) <= 30.0


@pytest.mark.parametrize("pair", PAIRS, ids="-".join)
def test_the_surface_speed_printed_with_each_spindle_speed_is_pi_d_n(pair: tuple[str, str]) -> None:
    """By V = pi D N of [KALPAKJIAN] Example 22.1 (grade O, W01), on the sheet's figures and the lathe's list."""
    listed = {speed.rpm for speed in demo_shop(pair[1]).lathe.speeds}
    speeds = [act for act in demo_plan(*pair).sheet.acts if isinstance(act, a.SetSpeed)]
    assert speeds
    for act in speeds:
        assert act.rpm in listed
        assert act.cutting_speed_m_min == pytest.approx(pi * act.cut_dia_mm * act.rpm / 1000.0, rel=1e-9)


def test_metal_removed_by_a_drill() -> None:
    """Source: [KALPAKJIAN] Example 22.2, also [SHARMA] Example 15.10 (grade O, W23): 209.44 mm3/s, 104.72 W, 1.25 N m.

    A drill's lips take a depth of a quarter of its diameter at the speed of its rim: pi D N D/4 f. 0.5 W s/mm3.
    """
    surface = cutting_speed_m_min(800.0, cut_dia_mm=10.0)
    rate_mm3_s = removal_rate_cm3_min(surface, depth_mm=10.0 / 4.0, feed_mm_rev=0.2) * 1000.0 / 60.0
    assert rate_mm3_s == pytest.approx(209.44, abs=0.005)
    assert 0.5 * rate_mm3_s == pytest.approx(104.72, abs=0.005)
    assert torque_at_speed_nm(0.5 * rate_mm3_s, speed_rpm=800.0) == pytest.approx(1.25, abs=0.005)


# angles and the dial of a swung slide --------------------------------------------------------------------------------


def half_angle_deg(large: float, small: float, length: float) -> float:
    """Angle to which the top slide is swung for a taper: half the difference across, over the length."""
    return Bevel(
        corner=Point(0.0, large / 2.0), along_mm=length, across_mm=(large - small) / 2.0, inside=False
    ).angle_deg


@pytest.mark.parametrize(
    ("large", "small", "length", "expected_deg"), [(0.750, 0.500, 2.000, 3.58), (0.218, 0.146, 0.758, 2.72)]
)
def test_half_angle_of_a_short_taper(large: float, small: float, length: float, expected_deg: float) -> None:
    """Source: a machinists' question page, opened (grade O, W26 and W27); printed to 0.01 degrees.

    For W27 the page halves the angle of the whole difference, 2.713 degrees; the exact figure, 2.719, prints alike.
    """
    assert half_angle_deg(large, small, length) == pytest.approx(expected_deg, abs=0.005)


@pytest.mark.parametrize(("inches_a_foot", "included_deg"), [(0.5, 2.38694), (0.75, 3.57972), (1.0, 4.77194)])
def test_included_angle_of_a_taper_per_foot(inches_a_foot: float, included_deg: float) -> None:
    """Source: [MH31] table of tapers per foot (grade M, from memory, W25).

    The remembered figures differ from the formula by up to 0.0001 degrees, hence ± 0.00015.
    """
    assert 2.0 * half_angle_deg(inches_a_foot, 0.0, 12.0) == pytest.approx(included_deg, abs=0.00015)


@pytest.mark.parametrize(("angle_deg", "radial_in"), [(Fraction(5) + Fraction(44, 60), 0.0001), (Fraction(30), 0.0005)])
def test_a_thou_of_the_swung_top_slide(angle_deg: Fraction, radial_in: float) -> None:
    """Source: shop-text rule, [MH31] and lathe manuals (grade M, from memory, W28): 5 deg 44 min is ten to one."""
    scale = top_scale(TOP, angle_deg)
    assert scale is not None
    assert float(scale.step_mm / MM_PER_INCH) == 0.001
    assert scale.radius_per_step_mm / float(MM_PER_INCH) == pytest.approx(radial_in, rel=0.002)
