"""A sheet read into measuring stops: scales, zeros and cuts as the sheet itself prints them, on unlike lathes."""

from __future__ import annotations

from functools import cache
from math import degrees, radians, sin

import pytest
from msgspec.structs import replace

from handwheel.bench.scales import ZeroBy, smallest_step
from handwheel.bench.stops import Stop, stops
from handwheel.domain import acts as a
from handwheel.domain.errors import ImpossiblePartError
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.motion import Handle, Motion, Turn
from handwheel.domain.part import BACK_FACE, Aspect, shoulder_name
from handwheel.domain.plan import Sheet
from handwheel.domain.shop import Shop
from handwheel.planner.planner import make_plan
from tests.demo_plans import demo_plan, demo_shop
from tests.planner.holes import made
from tests.shops import part_of, shop_of

ROUND_OFF_MM = 1e-9
STEP_IN_THE_CORNER_MM = 0.003
"""What a shoulder leaves standing in a corner counts in the depth of the cut, and not in the diameter."""
CASES = (
    ("demo", "band", "inch-lathe"),
    ("demo", "flange", "metric-lathe"),
    ("shops", "aluminium-collar", "readouts"),
    ("shops", "aluminium-collar", "half-thou"),
    ("shops", "aluminium-collar", "carriage-by-stop"),
    ("shops", "aluminium-collar", "top-without-dial"),
)


@cache
def read(kind: str, part: str, lathe: str) -> tuple[Sheet, Shop, tuple[Stop, ...]]:
    """A sheet, its shop and its stops."""
    shop = demo_shop(lathe) if kind == "demo" else shop_of(lathe)
    plan = demo_plan(part, lathe) if kind == "demo" else make_plan(part_of(part), shop)
    return plan.sheet, shop, stops(plan.sheet, shop)


def found(case: tuple[str, str, str], surface: str, aspect: Aspect = Aspect.DIAMETER) -> tuple[Stop, ...]:
    """Stops on one size, in order."""
    return tuple(stop for stop in read(*case)[2] if (stop.surface, stop.aspect) == (surface, aspect))


@pytest.mark.parametrize("case", CASES)
def test_every_measuring_act_is_a_stop_in_its_order(case: tuple[str, str, str]) -> None:
    sheet, _, all_stops = read(*case)
    assert [stop.act for stop in all_stops] == [act.id for act in sheet.acts if isinstance(act, a.Measure)]


@pytest.mark.parametrize("case", CASES)
def test_a_step_is_worth_what_the_sheet_prints(case: tuple[str, str, str]) -> None:
    """The planner wrote the worth of a mark from its own scales; it is found again from the acts."""
    sheet, _, all_stops = read(*case)
    acts = {act.id: act for act in sheet.acts}
    told = 0
    for stop in all_stops:
        act = acts[stop.act]
        assert isinstance(act, a.Measure)
        if act.mark_worth_mm:
            told += 1
            assert stop.scale is not None
            worth = stop.per_travel * stop.scale.travel_per_mark_mm
            assert worth == pytest.approx(act.mark_worth_mm, abs=ROUND_OFF_MM)
    assert told


@pytest.mark.parametrize("case", CASES)
def test_zero_and_cuts_lead_to_the_expected_reading(case: tuple[str, str, str]) -> None:
    """From the diameter that was touched, less (or more) the cuts, to what the sheet expects."""
    touched = 0
    for stop in read(*case)[2]:
        if stop.zero is None or stop.zero.by is not ZeroBy.TOUCH or stop.aspect is not Aspect.DIAMETER:
            continue
        way = 2.0 * sum(cut.depth_mm for cut in stop.cuts)
        assert stop.expected_mm == pytest.approx(
            stop.zero.stands_for_mm + (way if stop.grows else -way), abs=STEP_IN_THE_CORNER_MM
        )
        touched += 1
    assert touched


@pytest.mark.parametrize("case", CASES)
def test_the_cuts_that_follow_lead_to_the_next_stop(case: tuple[str, str, str]) -> None:
    all_stops = read(*case)[2]
    by_id = {stop.act: stop for stop in all_stops}
    for stop in all_stops:
        if stop.aspect is not Aspect.DIAMETER or not stop.after.next_stop:
            continue
        way = 2.0 * sum(cut.depth_mm for cut in stop.after.cuts)
        then = by_id[stop.after.next_stop].expected_mm
        assert then == pytest.approx(stop.expected_mm + (way if stop.grows else -way), abs=STEP_IN_THE_CORNER_MM)


@pytest.mark.parametrize("case", CASES)
def test_a_collar_is_set_only_where_the_tool_stands_ready_and_then_rules_the_next_cut(
    case: tuple[str, str, str],
) -> None:
    collars = [stop for stop in read(*case)[2] if stop.after.collar is not None]
    assert collars
    for stop in collars:
        assert stop.ready
        assert stop.after.same_zero
        assert stop.after.cuts


@pytest.mark.parametrize("case", CASES)
def test_a_part_out_of_the_lathe_is_not_ready_to_be_cut(case: tuple[str, str, str]) -> None:
    inspected = [stop for stop in read(*case)[2] if stop.step == "inspect"]
    assert inspected
    for stop in inspected:
        assert (stop.final, stop.last, stop.in_hand, stop.ready) == (True, True, True, False)
        assert stop.scale is None


def test_a_bore_on_the_inch_lathe_is_read_as_the_sheet_has_it() -> None:
    """Read off the printed sheet by hand: touched at 17 mm, two roughing cuts, a wait to cool, two last cuts."""
    rough, roughed, half, done, inspected = found(CASES[0], "bore")
    assert rough.zero is not None
    assert (rough.zero.by, rough.zero.stands_for_mm, len(rough.cuts)) == (ZeroBy.TOUCH, 17.0, 1)
    assert roughed.zero is not None
    assert (roughed.zero.by, roughed.zero.reading) == (ZeroBy.READING, rough.act)
    assert roughed.after.same_zero, "the same boring bar goes on from the same collar"
    assert [cut.read_at for cut in half.cuts] == [roughed.act, half.act]
    assert isinstance(half.after.collar, a.SetCollar)
    assert (done.final, done.last, done.ready) == (True, True, True)
    assert inspected.gauge is not None
    assert inspected.gauge.id == "bore-16-20"
    for stop in (rough, roughed, half, done):
        assert stop.scale is not None
        assert (stop.scale.handle, stop.scale.deeper, stop.scale.turn) == (
            Handle.CROSS,
            Motion.OUT,
            Turn.ANTICLOCKWISE,
        )
        assert (stop.grows, stop.per_travel, stop.hardens) == (True, 2, True)
        assert stop.lower_mm < stop.target_mm < stop.upper_mm


def test_a_new_tool_needs_a_new_zero() -> None:
    """The outside is roughed before the boring bar is fitted, and finished after a new touch."""
    _, roughed, *_ = found(CASES[0], "outside")
    assert roughed.ready, "the tool that roughed it still stands in the post"
    assert roughed.after.cuts
    assert not roughed.after.same_zero


def test_a_swung_top_slide_is_the_fine_scale() -> None:
    """Geometry: a mark of the top slide goes the sine of the angle across."""
    sheet, shop, _ = read(*CASES[1])
    swing = next(act for act in sheet.acts if isinstance(act, a.SwingSlide) and act.angle_deg)
    coarse, fine = found(CASES[1], "bore")[1:3]
    assert coarse.scale is not None
    assert fine.scale is not None
    assert not coarse.scale.is_fine
    assert fine.scale.is_fine
    dial = shop.lathe.top.dial
    assert dial is not None
    mark = float(dial.travel_per_mark_mm) * sin(radians(float(swing.angle_deg)))
    assert fine.scale.travel_per_mark_mm == pytest.approx(mark)
    step_mm = min(gauge.step_mm for gauge in shop.gauges if GaugeUse.RUNOUT in gauge.uses)
    checked = degrees(float(step_mm) / swing.check_travel_mm)
    assert fine.scale.angle_error_deg == pytest.approx(checked), "as fine as the check on the sheet can be read"
    assert 0.0 < checked < swing.error_deg
    assert not fine.scale.angle_by_scale
    assert fine.scale.marks_per_turn == dial.marks


def test_a_shoulder_is_set_along_the_bed() -> None:
    shoulder = shoulder_name("outside-front-1")
    faced, inspected = found(CASES[1], shoulder, Aspect.DEPTH)
    assert faced.scale is not None
    assert (faced.scale.handle, faced.scale.deeper, faced.per_travel) == (Handle.TOP, Motion.LEFT, 1)
    assert faced.grows, "the more is faced off, the deeper it reads"
    assert faced.ready
    assert not faced.final
    assert inspected.final
    assert faced.after.next_stop == inspected.act


def test_the_raw_width_rules_what_the_back_face_loses_after_a_new_touch() -> None:
    raw, inspected = found(CASES[0], BACK_FACE, Aspect.WIDTH)
    assert raw.in_hand
    assert not raw.ready
    assert not raw.grows
    assert raw.zero is None
    assert raw.scale is not None
    assert raw.scale.handle is Handle.TOP
    assert raw.expected_mm - sum(cut.depth_mm for cut in raw.after.cuts) == pytest.approx(inspected.expected_mm)
    acts = {act.id: act for act in read(*CASES[0])[0].acts}
    assert isinstance(acts[raw.after.first_setting], a.Move)


def test_a_face_that_is_rubbed_loses_what_the_hand_takes() -> None:
    sheet, shop = demo_plan("bush", "metric-lathe").sheet, demo_shop("metric-lathe")
    raw, inspected = (stop for stop in stops(sheet, shop) if stop.aspect is Aspect.WIDTH)
    assert raw.scale is None
    assert raw.expected_mm - raw.after.rubbed_mm == pytest.approx(inspected.expected_mm)


def test_cooling_counts_from_the_last_cut_to_the_stop() -> None:
    sheet, shop, before = read(*CASES[0])
    first = before[0]
    at = next(i for i, act in enumerate(sheet.acts) if act.id == first.act)
    cool = a.Cool(id="wait", step=first.step, seconds=300.0)
    with_wait = replace(sheet, acts=(*sheet.acts[:at], cool, *sheet.acts[at:]))
    after = stops(with_wait, shop)
    assert (first.cooled_s, after[0].cooled_s) == (0.0, 300.0)
    assert first.cutting_s > 0.0
    assert after[0].cutting_s == 0.0
    assert after[1].cooled_s == 0.0, "the next cut warms it again"


def test_a_hole_that_is_reamed_next_is_told() -> None:
    case = made("reamed after boring", "metric-lathe")
    told = [stop for stop in stops(case.plan.sheet, case.shop) if stop.surface == "bore"]
    before = [stop for stop in told if stop.after.reamed]
    assert len(before) == 1, "the last reading before the reamer, and no other"
    assert not before[0].last
    assert not before[0].after.cuts
    for stop in told[: told.index(before[0]) + 1]:
        limits = (stop.lower_mm, stop.upper_mm)
        assert limits == (before[0].stop_low_mm, before[0].stop_high_mm), "what the reamer may be left"
    then = told[told.index(before[0]) + 1]
    assert then.act == before[0].after.next_stop
    assert then.final
    assert not then.ready, "the boring bar counts no more once the reamer has been through"


def test_a_size_that_the_part_does_not_have_is_refused() -> None:
    sheet, shop, _ = read(*CASES[0])
    part = replace(sheet.part, sizes=tuple(one for one in sheet.part.sizes if one.aspect is not Aspect.WIDTH))
    with pytest.raises(ImpossiblePartError, match="back-face width, and the part has no such size"):
        stops(replace(sheet, part=part), shop)


def test_a_slide_without_what_the_sheet_reads_is_refused() -> None:
    slide = replace(demo_shop("metric-lathe").lathe.cross, readout_step_mm=None)
    with pytest.raises(ValueError, match="the sheet reads readout"):
        smallest_step(slide, a.SettingKind.READOUT)
