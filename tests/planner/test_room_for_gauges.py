"""Room for a gauge: the tool goes far back before a size is measured, and comes back to where its figures hold."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import pairwise

import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.domain import acts as a
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.part import Aspect
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.domain.slides import AidKind, LengthAid
from handwheel.planner.gauge_room import measuring_ms
from handwheel.planner.planner import make_plan
from handwheel.report.text_sheet import sheet_text
from tests.agree import disagreements
from tests.demo_plans import PAIRS, demo_plan, demo_shop
from tests.planner.holes import made
from tests.planner.jobs import demo_part, job_of, with_slides
from tests.replay.simple_replay import SimpleReplay, replay

GAUGE_MM = {GaugeUse.BORE: 110.0, GaugeUse.DEPTH: 110.0, GaugeUse.OUTSIDE: 30.0}
"""What a three-point gauge, a depth micrometer, the frame of a micrometer take up; common practice, no source."""
NEAR_MM = 15.0
INCH, METRIC = "inch-lathe", "metric-lathe"


@dataclass(frozen=True, kw_only=True)
class Seen:
    """An act, the tool's place after it (by the simple replay), and whether the work turns between jaws or on means."""

    act: a.Act
    z_mm: float | None
    x_mm: float | None
    face_mm: float
    held: bool


def seen(plan: Plan, shop: Shop) -> tuple[Seen, ...]:
    found: list[Seen] = []
    held = False

    def watch(machine: SimpleReplay, act: a.Act) -> None:
        nonlocal held
        match act:
            case a.LoadBar():
                held = True
            case a.PartOff() | a.HandStep(kind=a.HandKind.TAKE_OUT):
                held = False
            case a.Regrip():
                held = act.holding.turned
            case _:
                pass
        z, x = (None, None) if machine.place is None else machine.place
        face = 0.0 if machine.work is None else machine.work.high_z
        found.append(Seen(act=act, z_mm=z, x_mm=x, face_mm=face, held=held))

    replay(plan.sheet, shop, watch=watch)
    return tuple(found)


@cache
def demo_seen(part: str, lathe: str) -> tuple[Seen, ...]:
    return seen(demo_plan(part, lathe), demo_shop(lathe))


def measured(moments: tuple[Seen, ...]) -> Iterator[tuple[int, a.Measure, float]]:
    """Measurements of work that is held, with their place among the acts and the room between tool and face. [mm]"""
    for i, item in enumerate(moments):
        if isinstance(item.act, a.Measure) and item.held:
            assert item.z_mm is not None
            yield i, item.act, item.z_mm - item.face_mm


def starts_mm(moments: tuple[Seen, ...]) -> list[float]:
    """How far in front of the face each cut starts."""
    pairs = [(before, after.act) for before, after in pairwise(moments) if isinstance(after.act, a.Cut)]
    return [before.z_mm - before.face_mm for before, _ in pairs if before.z_mm is not None]


def use_of(act: a.Measure) -> GaugeUse:
    if act.aspect == Aspect.DEPTH.value:
        return GaugeUse.DEPTH
    return GaugeUse.BORE if act.surface.startswith("bore") else GaugeUse.OUTSIDE


@pytest.mark.parametrize(("part", "lathe"), PAIRS)
def test_a_gauge_finds_room_wherever_the_demo_sheets_measure(part: str, lathe: str) -> None:
    rooms = [(use_of(act), room) for _, act, room in measured(demo_seen(part, lathe))]
    assert len(rooms) > 5
    assert [(use, room) for use, room in rooms if room < GAUGE_MM[use]] == []


@pytest.mark.parametrize(("part", "lathe"), PAIRS)
def test_the_tool_is_near_again_before_it_cuts(part: str, lathe: str) -> None:
    """A power feed from a hand's breadth away would take minutes, and nobody would wait for it."""
    starts = starts_mm(demo_seen(part, lathe))
    assert len(starts) > 10
    assert max(starts) < NEAR_MM


@pytest.mark.parametrize(("part", "lathe"), PAIRS)
def test_what_the_collar_is_set_from_stands_still_until_it_is_set(part: str, lathe: str) -> None:
    """The measured collar: drawn clear along the bed alone, then set with the handle unmoved (docs/theory/dials)."""
    acts = demo_plan(part, lathe).sheet.acts
    collars = [i for i, act in enumerate(acts) if isinstance(act, a.SetCollar)]
    assert len(collars) > 3
    for i in collars:
        cut = max(k for k in range(i) if isinstance(acts[k], a.Cut))
        between = acts[cut + 1 : i]
        assert any(isinstance(act, a.Retract) for act in between)
        assert {act.motion for act in between if isinstance(act, a.Retract)} == {Motion.RIGHT}
        collar = acts[i]
        assert isinstance(collar, a.SetCollar)
        assert collar.handle not in {act.handle for act in between if isinstance(act, a.Retract)}


def without_indicator() -> Shop:
    """The inch lathe with stop and rule at its carriage."""
    shop = demo_shop(INCH)
    aids = tuple(aid for aid in shop.lathe.carriage.aids if aid.kind is not AidKind.INDICATOR)
    assert {aid.kind for aid in aids} == {AidKind.STOP, AidKind.RULE}
    return with_slides(shop, carriage=replace(shop.lathe.carriage, aids=aids))


@pytest.mark.parametrize("part", ["band", "bush", "flange"])
def test_where_the_top_slide_feeds_the_carriage_comes_back_to_what_was_put_against_it(part: str) -> None:
    """Its place is what the dial of the top slide counts on: the stop stands where the face was touched."""
    shop = without_indicator()
    acts = make_plan(demo_part(part), shop).sheet.acts
    carriage = shop.lathe.carriage
    settings = [act.setting for act in acts if isinstance(act, a.Move) and act.setting.handle is Handle.CARRIAGE]
    came = [item for item in settings if item.kind in (a.SettingKind.STOP, a.SettingKind.INDICATOR)]
    assert len(came) > 1
    assert {item.value_mm for item in came} == {Fraction(0)}
    assert {carriage.motion_for(item.approach) for item in came} == {Motion.LEFT}
    put = {act.zero: act for act in acts if isinstance(act, a.SetZero)}
    assert all(put[item.zero].surface.endswith("-face") for item in came)


@pytest.mark.parametrize("part", ["bush", "flange"])
def test_a_stop_is_put_there_with_the_spindle_at_rest(part: str) -> None:
    """Plain sense, no source: it is clamped to the bed with a hand near the chuck."""
    turns, put = False, 0
    for act in make_plan(demo_part(part), without_indicator()).sheet.acts:
        match act:
            case a.StartSpindle():
                turns = True
            case a.StopSpindle():
                turns = False
            case a.SetZero(kind=a.SettingKind.STOP):
                put += 1
                assert not turns
            case _:
                pass
    assert put


def by_rule_alone(*, slack_mm: Fraction = Fraction(1, 2)) -> Shop:
    shop = demo_shop(INCH)
    rule = LengthAid(kind=AidKind.RULE, step_mm=Fraction(1, 2), range_mm=200.0)
    return with_slides(shop, carriage=replace(shop.lathe.carriage, aids=(rule,), slack_mm=slack_mm))


def test_a_carriage_that_only_a_rule_tells_of_stays_while_lengths_count_on_it() -> None:
    """Half a millimetre off would be half a millimetre of every length that the top slide's dial counts."""
    shop = by_rule_alone()
    plan = make_plan(demo_part("bush"), shop)
    acts = plan.sheet.acts
    top_counts = False
    for act in acts:
        match act:
            case a.FitTool() | a.Approach() | a.SwingSlide() | a.Regrip():
                top_counts = False
            case a.SetZero(handle=Handle.TOP):
                top_counts = act.surface.endswith("-face")
            case a.Retract(handle=Handle.CARRIAGE):
                assert not top_counts
            case _:
                pass
    assert check_sheet(plan.sheet, shop).ok


def test_a_carriage_that_nothing_tells_of_comes_back_by_eye() -> None:
    """By power feed its cuts end by eye or are read off anew: an act says so, else the feed starts far away."""
    shop = demo_shop(METRIC)
    rule = LengthAid(kind=AidKind.RULE, step_mm=Fraction(1, 2), range_mm=200.0)
    bare = replace(shop.lathe.carriage, dial=None, turn_mm=20.0, aids=(rule,))
    shop = with_slides(shop, carriage=bare)
    plan = make_plan(demo_part("bush"), shop)
    back = [
        act
        for act in plan.sheet.acts
        if isinstance(act, a.Retract) and act.handle is Handle.CARRIAGE and act.motion is Motion.LEFT
    ]
    assert len(back) > 2
    assert all("by eye" in act.note for act in back)
    assert check_sheet(plan.sheet, shop).ok
    assert disagreements(sheet_text(plan, shop), plan, shop) == []
    assert max(starts_mm(seen(plan, shop))) < NEAR_MM


@pytest.mark.parametrize("travel_mm", [60.0, 100.0, 140.0, 300.0])
def test_a_short_bed_gives_what_room_it_has_and_no_refusal(travel_mm: float) -> None:
    shop = demo_shop(METRIC)
    shop = with_slides(shop, carriage=replace(shop.lathe.carriage, travel_mm=travel_mm))
    plan = make_plan(demo_part("bush"), shop)
    assert check_sheet(plan.sheet, shop).ok
    rooms = [room for _, act, room in measured(seen(plan, shop)) if use_of(act) is GaugeUse.BORE]
    assert len(rooms) > 3
    assert (min(rooms) >= GAUGE_MM[GaugeUse.BORE]) is (travel_mm > 150.0)


def test_a_reamer_finds_the_carriage_out_of_its_way() -> None:
    """A carriage that stands a hand's breadth right of the face keeps the tailstock from coming up."""
    result = made("reamed after boring", METRIC)
    moments = seen(result.plan, result.shop)
    (at,) = [i for i, item in enumerate(moments) if isinstance(item.act, a.FitReamer)]
    last = max(i for i, act, _ in measured(moments) if i < at)
    far, near = moments[last].z_mm, moments[at].z_mm
    assert far is not None
    assert near is not None
    assert far >= GAUGE_MM[GaugeUse.OUTSIDE]
    assert near < NEAR_MM


def test_the_time_is_that_of_winding_there_and_back() -> None:
    """By hand: 120 mm at 20 mm a turn and a turn a second are 6 s, there and back 12 s; 40 mm are 4 s."""
    job = job_of(demo_part("bush"), demo_shop(METRIC))
    lead = job.shop.lathe.carriage.travel_per_turn_mm
    habits = job.shop.habits
    assert lead == 20.0
    for use, seconds in ((GaugeUse.BORE, 12.0), (GaugeUse.OUTSIDE, 4.0)):
        for times in (1, 2):
            got = measuring_ms(job, Handle.CARRIAGE, use, measured=times)
            assert got == pytest.approx(1000 * (times * (habits.measure_s + seconds) + habits.collar_s))
    shop = demo_shop(INCH)
    job = job_of(demo_part("bush"), shop)
    there = 2 * 120.0 / shop.lathe.carriage.travel_per_turn_mm
    got = measuring_ms(job, Handle.TOP, GaugeUse.BORE, measured=1)
    # the stop is set as a collar is
    assert got == pytest.approx(1000 * (shop.habits.measure_s + 2 * shop.habits.collar_s + there), abs=1)
