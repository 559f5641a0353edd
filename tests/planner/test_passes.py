"""Passes against a naive enumeration over all speeds, feeds and numbers of passes, limit by limit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import acos, cos, inf, pi, radians, sin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from handwheel.data.forces import force_models
from handwheel.data.materials import Material, Property, WorkHardening, material
from handwheel.data.speeds import CutKind, cutting_speed
from handwheel.domain import acts as a
from handwheel.domain.habits import Habits
from handwheel.domain.lathe import Lathe, SpindleSpeed
from handwheel.domain.motion import Edge, Handle
from handwheel.domain.part import BORE, OUTSIDE
from handwheel.domain.tools import ToolKind
from handwheel.physics.force import ForceFactors, Process, force_band
from handwheel.physics.quiet_cut import BAR_DAMPING, DIRECTION_FACTOR
from handwheel.physics.roughness import mean_roughness_um
from handwheel.physics.stability import stable_width_mm
from handwheel.planner.cut_case import CutCase, Eased, FeedDrive, NoSchedule, Schedule
from handwheel.planner.cut_limits import depth_floor_mm
from handwheel.planner.feeds import HAND_FEED_SPREAD, HAND_FEEDS_MM_REV
from handwheel.planner.passes import schedule
from tests.planner.jobs import LATHES, RINGS, demo_part, demo_plan, demo_shop, tool_of_kind

INCH, METRIC = LATHES
HABITS = Habits()
HSS_FACTOR, WORN = 1.2, 1.3
"""High speed steel against carbide; a worn edge (both quoted in cutting-models as from Dietrich)."""


def lathe_of(name: str) -> Lathe:
    """Lathe of a demo shop."""
    return demo_shop(name).lathe


def along(name: str) -> FeedDrive:
    """What feeds along on a demo lathe: the gearbox, else the crank of the top slide."""
    lathe = lathe_of(name)
    return FeedDrive(slide=lathe.carriage, power=lathe.feeds_along) if lathe.feeds_along else FeedDrive(slide=lathe.top)


def across(name: str) -> FeedDrive:
    """What feeds across on a demo lathe."""
    lathe = lathe_of(name)
    return FeedDrive(slide=lathe.cross, power=lathe.feeds_across)


def turning(name: str) -> CutCase:
    """Roughing an outside of 25 mm on a demo lathe."""
    shop = demo_shop(name)
    tool = next(t for t in shop.tools if t.kind is ToolKind.TURNING and t.edge is Edge.HSS)
    dial = shop.lathe.cross.dial
    assert dial is not None
    return CutCase(
        name="turning",
        cut=CutKind.ROUGH,
        process=Process.TURNING,
        tool=tool,
        drive=along(name),
        total_mm=1.0,
        step_mm=float(dial.travel_per_mark_mm),
        way_mm=12.0,
        large_dia_mm=25.0,
        max_rpm=2000.0,
        stiffness_n_um=10.0,
    )


def last_cuts(name: str) -> CutCase:
    """The two last cuts of an outside."""
    return replace(turning(name), cut=CutKind.FINISH, total_mm=0.4, equal_passes=2)


def boring(name: str) -> CutCase:
    """Boring a hole of 18 mm with a slender bar."""
    return replace(
        turning(name),
        cut=CutKind.BORE,
        process=Process.BORING,
        tool=tool_of_kind(demo_shop(name), ToolKind.BORING),
        large_dia_mm=18.0,
        damping=BAR_DAMPING,
        stiffness_n_um=4.0,
    )


def parting(name: str) -> CutCase:
    """Parting with the blade of a demo lathe."""
    tool = tool_of_kind(demo_shop(name), ToolKind.PARTING)
    return replace(
        turning(name),
        cut=CutKind.PART,
        process=Process.PARTING,
        tool=tool,
        drive=across(name),
        total_mm=2.5,
        way_mm=3.5,
        large_dia_mm=23.0,
        width_mm=tool.width_mm,
    )


# the naive enumeration ---------------------------------------------------------------------------------------------


@dataclass(frozen=True, order=True)
class Candidate:
    """A speed, a feed and a number of passes, in the order of preference.

    ``unusual``: below half the low end of the table, a band of hand feed narrower than a tenth, power that runs faster
    than 2 mm/s towards the end of its way, or a feed above eight tenths of the nose radius.
    """

    unusual: bool
    worth_ms: int
    force_n: float
    rpm: float
    feed_mm_rev: float
    depths: tuple[int, ...]
    total_ms: int
    most_load: float


@cache
def force_n(key: str, *, edge: Edge, process: Process, angle_deg: float, feed_mm_rev: float, depth_mm: float) -> float:
    """Upper force of a worn tool in a metal."""
    factors = ForceFactors(speed=HSS_FACTOR if edge is Edge.HSS else 1.0, process=process.factor, wear=WORN)
    models = force_models(material(key))
    found = force_band(
        models, depth_mm=depth_mm, feed_mm_rev=feed_mm_rev, entering_angle_deg=angle_deg, factors=factors
    )
    return found.high_n


@cache
def sharp_kc_n_mm2(key: str, feed_mm_rev: float) -> float:
    """Upper specific force of a sharp tool in a metal."""
    return force_band(force_models(material(key)), depth_mm=1.0, feed_mm_rev=feed_mm_rev).high_n / feed_mm_rev


def chatters(case: CutCase, metal: Material, *, feed_mm_rev: float, depth_mm: float) -> bool:
    """Whether a depth lies beyond the stable width."""
    limit = stable_width_mm(
        case.stiffness_n_um,
        damping_ratio=case.damping,
        kc_n_mm2=sharp_kc_n_mm2(metal.key, feed_mm_rev),
        direction_factor=DIRECTION_FACTOR,
    )
    return depth_mm > limit + 1e-6 * case.step_mm


def rubs(case: CutCase, *, feed_mm_rev: float, depth_mm: float) -> bool:
    """Whether the mean chip is thinner than twice 0.3 of the edge's rounding; on the nose it is a crescent."""
    nose, angle = case.tool.nose_radius_mm, radians(min(case.tool.entering_deg, 90.0))
    mean = feed_mm_rev * sin(angle)
    if nose > 0 and depth_mm < nose * (1.0 - cos(angle)):
        mean = depth_mm * feed_mm_rev / (nose * acos(1.0 - depth_mm / nose) + feed_mm_rev / 2.0)
    return mean < 2.0 * 0.3 * case.tool.edge_radius_um / 1000.0


def bears(case: CutCase, speed: SpindleSpeed, lathe: Lathe, force: float) -> bool:
    """Whether motor and belt bear a force."""
    power_w = force * pi * case.large_dia_mm * speed.rpm / 60_000.0
    torque_nm = force * case.large_dia_mm / 2000.0
    return power_w <= lathe.motor_power_w * lathe.drive_efficiency * (1 + 1e-6) and (
        speed.torque_limit_nm is None or torque_nm <= speed.torque_limit_nm * (1 + 1e-6)
    )


def load(
    case: CutCase, metal: Material, speed: SpindleSpeed, lathe: Lathe, *, force: float, low: float, high: float
) -> float:
    """Largest share of power, torque, chatter and grip that the deepest pass takes up, as if it were 1 deep."""
    power_w = force * pi * case.large_dia_mm * speed.rpm / 60_000.0
    shares = [power_w / (lathe.motor_power_w * lathe.drive_efficiency)]
    if speed.torque_limit_nm is not None:
        shares.append(force * case.large_dia_mm / 2000.0 / speed.torque_limit_nm)
    if not case.width_mm:
        widest = stable_width_mm(
            case.stiffness_n_um,
            damping_ratio=case.damping,
            kc_n_mm2=sharp_kc_n_mm2(metal.key, (low + high) / 2.0),
            direction_factor=DIRECTION_FACTOR,
        )
        wide = force / force_n(
            metal.key,
            edge=case.tool.edge,
            process=case.process,
            angle_deg=case.tool.entering_deg,
            feed_mm_rev=high,
            depth_mm=1.0,
        )
        shares.append(wide / widest)
    return max(shares)


def life_min(edge: Edge, surface_m_min: float, table_m_min: float) -> float:
    """Taylor: 60 minutes at the upper end of the table with high speed steel, 15 with carbide; never over 600."""
    stated, exponent = (60.0, 8.0) if edge is Edge.HSS else (15.0, 4.0)
    return min(600.0, float(stated * (table_m_min / surface_m_min) ** exponent))


def feeds(case: CutCase, metal: Material, speed: SpindleSpeed) -> Iterator[tuple[float, float]]:
    """Feeds that exist, as low and high end: of the gearbox, and only without any of those by hand."""
    low = metal.range("min_feed").most
    fine = bool(case.equal_passes or case.width_mm)
    high = metal.range("feed_finish" if fine else "feed_rough").most
    listed = [
        feed.mm_rev for feed in case.drive.power if low <= feed.mm_rev <= high and smooth(case, metal, feed.mm_rev)
    ]
    yield from ((feed, feed) for feed in listed)
    if listed:
        return
    wheel = 2.5 if case.drive.handle is Handle.CARRIAGE else 1.0
    fastest = 60.0 * case.drive.slide.travel_per_turn_mm / (HABITS.hand_pace_fast_s * wheel * speed.rpm)
    for top in (*HAND_FEEDS_MM_REV, *((fastest,) if fastest <= HAND_FEEDS_MM_REV[-1] else ())):
        least = max(low, HAND_FEED_SPREAD * top)
        turn_s = [60.0 * case.drive.slide.travel_per_turn_mm / (feed * speed.rpm) for feed in (top, least)]
        possible = least <= top <= high and HABITS.hand_pace_fast_s * wheel <= turn_s[0] * (1.0 + 1e-9)
        if possible and turn_s[1] <= HABITS.hand_pace_slow_s * wheel and smooth(case, metal, top):
            yield least, top


def smooth(case: CutCase, metal: Material, feed_mm_rev: float) -> bool:
    """Whether a feed keeps the roughness asked for; the metal's least feed is allowed whatever it leaves."""
    nose = case.tool.nose_radius_mm
    if not case.roughness_um or nose <= 0 or feed_mm_rev <= metal.range("min_feed").most:
        return True
    return feed_mm_rev <= nose and mean_roughness_um(feed_mm_rev, nose_radius_mm=nose) <= case.roughness_um + 1e-9


def splits(case: CutCase, metal: Material) -> Iterator[tuple[int, ...]]:
    """Every number of passes, the depths as alike as whole steps can be."""
    whole = round(case.total_mm / case.step_mm + 0.4999)
    if case.width_mm:
        yield (whole,)
        return
    floor = depth_floor_mm(case, metal) / case.step_mm - 1e-6
    for count in range(1, whole + 1):
        depths = tuple(sorted(((whole + i) // count for i in range(count)), reverse=True))
        if case.equal_passes in (0, count) and depths[-1] >= floor:
            yield depths


@cache
def candidates(what: str, key: str, counts: str = "time") -> tuple[Candidate, ...]:
    """Candidates of a case by its name, best first."""
    case, name = CASES[what]
    return tuple(sorted(enumerate_all(case, material(key), lathe_of(name), COUNTS[counts])))


def enumerate_all(case: CutCase, metal: Material, lathe: Lathe, habits: Habits = HABITS) -> Iterator[Candidate]:
    """Every candidate that keeps every limit."""
    table = cutting_speed(metal, edge=case.tool.edge, cut=case.cut)
    for speed in lathe.speeds:
        surface = pi * case.large_dia_mm * speed.rpm / 1000.0
        if speed.rpm > case.max_rpm or surface > table.high_m_min:
            continue
        for low, high in feeds(case, metal, speed):
            pass_s = 60.0 * case.way_mm / ((low + high) / 2.0 * speed.rpm)
            for depths in splits(case, metal):
                deepest = case.width_mm or max(depths) * case.step_mm
                force = force_n(
                    metal.key,
                    edge=case.tool.edge,
                    process=case.process,
                    angle_deg=90.0 if case.width_mm else case.tool.entering_deg,
                    feed_mm_rev=high,
                    depth_mm=deepest,
                )
                if not bears(case, speed, lathe, force):
                    continue
                if not case.width_mm and rubs(case, feed_mm_rev=low, depth_mm=min(depths) * case.step_mm):
                    continue
                if not case.width_mm and chatters(case, metal, feed_mm_rev=(low + high) / 2.0, depth_mm=deepest):
                    continue
                count = len(depths)
                edges = count * pass_s / 60.0 / life_min(case.tool.edge, surface, table.high_m_min)
                seconds = count * (pass_s + habits.handling_s) + round(edges * habits.edge_change_s)
                share = load(case, metal, speed, lathe, force=force, low=low, high=high)
                worth = (
                    habits.time_weight * seconds
                    + habits.cost_weight * (seconds + 3600.0 * edges * habits.edge_price / (habits.hour_price or inf))
                    + habits.gentle_weight * seconds * share**2
                )
                total = round(1000.0 * seconds)
                powered = any(low == high == feed.mm_rev for feed in case.drive.power)
                unusual = (
                    surface < 0.5 * table.low_m_min
                    or (not powered and low > 0.9 * high)
                    or (powered and high * speed.rpm / 60.0 > 2.0)
                    or (not case.width_mm and case.tool.nose_radius_mm > 0 and high > 0.8 * case.tool.nose_radius_mm)
                )
                yield Candidate(unusual, round(1000.0 * worth), force, speed.rpm, high, depths, total, share)


METALS = ("ti_gr2", "cu_cw307g", "st11smnpb30", "ss304", "st_c45")
CASES = {
    f"{what}, {name}": (case, name)
    for name in LATHES
    for what, case in (
        ("rough 1.0", turning(name)),
        ("rough 3.3", replace(turning(name), total_mm=3.3, large_dia_mm=30.0)),
        ("rough 0.4 on a slender bar", replace(turning(name), total_mm=0.4, stiffness_n_um=2.0)),
        ("two last cuts", replace(last_cuts(name), roughness_um=1.6)),
        ("two smooth last cuts", replace(last_cuts(name), roughness_um=0.4)),
        ("bore 0.8", replace(boring(name), total_mm=0.8)),
        ("bore, weak bar", replace(boring(name), total_mm=0.8, stiffness_n_um=0.7)),
        ("bore, two last cuts", replace(boring(name), total_mm=0.3, equal_passes=2, roughness_um=3.2)),
        ("part", parting(name)),
        ("part with a slow chuck", replace(parting(name), max_rpm=200.0)),
        ("face", replace(turning(name), drive=across(name), way_mm=14.0)),
    )
}


COUNTS = {
    "time": HABITS,
    "money": Habits(time_weight=0.0, cost_weight=1.0, hour_price=20.0, edge_price=60.0),
    "gentleness": Habits(gentle_weight=3.0),
    "all": Habits(time_weight=0.5, cost_weight=0.5, gentle_weight=20.0, hour_price=10.0, edge_price=30.0),
}
"""What may count in a shop."""


@pytest.mark.parametrize("counts", COUNTS)
@pytest.mark.parametrize("metal", METALS)
@pytest.mark.parametrize("what", CASES)
def test_the_schedule_is_the_best_of_all_candidates(what: str, metal: str, counts: str) -> None:
    case, name = CASES[what]
    found = schedule(case, material=material(metal), lathe=lathe_of(name), habits=COUNTS[counts])
    best = next(iter(candidates(what, metal, counts)), None)
    if best is None or isinstance(found, NoSchedule):
        assert best is None
        assert isinstance(found, NoSchedule)
        return
    assert found.total_ms == best.total_ms
    assert found.force.ruling_n == pytest.approx(best.force_n)
    assert max(load.share for load in found.loads) == pytest.approx(best.most_load)
    assert (found.speed.rpm, found.feed.high_mm_rev) == (best.rpm, best.feed_mm_rev)
    assert found.depth_steps == best.depths


def by_hand(*rpm: float) -> tuple[CutCase, Lathe]:
    """A light facing cut of 14 mm, wound by a handle of 2 mm a turn, and a lathe with those speeds."""
    lathe = lathe_of(METRIC)
    speeds = tuple(SpindleSpeed(rpm=each, position=f"{each:g}") for each in rpm)
    drive = FeedDrive(slide=replace(lathe.cross, dial=None, turn_mm=2.0))
    case = replace(turning(METRIC), drive=drive, way_mm=14.0, large_dia_mm=20.0, total_mm=0.1, step_mm=0.1)
    return case, replace(lathe, speeds=speeds)


def test_a_hand_that_winds_as_fast_as_it_can_feeds_finer_on_the_faster_spindle() -> None:
    """2 mm in 3 s are 40 mm/min at any speed: 0.222, 0.121 or 0.069 mm/rev take as long, and the finest cuts lightest.

    Source: the tie rule of `schedule` (time, then force, then the slower speed); 3 s a turn is the shop's habit.
    """
    case, lathe = by_hand(180.0, 330.0, 580.0)
    found = schedule(case, material=material("st11smnpb30"), lathe=lathe, habits=HABITS)
    assert isinstance(found, Schedule)
    assert found.speed.rpm == 580.0
    assert found.feed.high_mm_rev == pytest.approx(40.0 / 580.0)
    assert found.feed.pace_fast_s == pytest.approx(HABITS.hand_pace_fast_s)
    alone = [
        schedule(case, material=material("st11smnpb30"), lathe=replace(lathe, speeds=(speed,)), habits=HABITS)
        for speed in lathe.speeds
    ]
    assert {each.total_ms for each in alone if isinstance(each, Schedule)} == {found.total_ms}


def test_what_counts_changes_what_is_set() -> None:
    """Where edges are dear the spindle goes slower; where gentleness counts more passes are cut, each shallower."""
    chosen = {
        counts: [
            (what, metal, best[0].rpm, best[0].feed_mm_rev, len(best[0].depths), best[0].force_n)
            for what in CASES
            for metal in METALS
            if (best := candidates(what, metal, counts))
        ]
        for counts in COUNTS
    }
    pairs = {
        counts: list(zip(chosen["time"], chosen[counts], strict=True)) for counts in ("money", "gentleness", "all")
    }
    assert sum(a[2] > b[2] for a, b in pairs["money"]) > 3
    assert sum(a[4] < b[4] for a, b in pairs["gentleness"]) > 3
    assert all(a[5] >= b[5] * (1.0 - 1e-9) or a[2] != b[2] or a[3] != b[3] for a, b in pairs["gentleness"])
    assert pairs["all"] != pairs["money"]


def test_the_enumeration_has_both_answers_and_something_to_choose() -> None:
    counts = [len(candidates(what, metal)) for what in CASES for metal in METALS]
    assert min(counts) == 0
    assert sum(count > 20 for count in counts) > 30


# gentler cuts ------------------------------------------------------------------------------------------------------


def weaker(lathe: Lathe, share: float) -> Lathe:
    """A lathe that has so much less of power and torque."""
    speeds = tuple(
        speed if speed.torque_limit_nm is None else replace(speed, torque_limit_nm=share * speed.torque_limit_nm)
        for speed in lathe.speeds
    )
    return replace(lathe, motor_power_w=share * lathe.motor_power_w, speeds=speeds)


@pytest.mark.parametrize("share", [0.6, 0.9])
@pytest.mark.parametrize("metal", METALS)
@pytest.mark.parametrize("what", CASES)
def test_an_eased_cut_is_the_best_of_a_lathe_so_much_weaker_and_floppier_below_the_force(
    what: str, metal: str, share: float
) -> None:
    """Power and torque of the lathe and the stiffness, in which the chatter limit is linear, times the share."""
    case, name = CASES[what]
    whole = schedule(case, material=material(metal), lathe=lathe_of(name), habits=HABITS)
    if isinstance(whole, NoSchedule):
        return
    force_n = share * whole.force.ruling_n
    eased = replace(case, eased=Eased(share=share, force_n=force_n, unusual=whole.unusual))
    found = schedule(eased, material=material(metal), lathe=lathe_of(name), habits=HABITS)
    floppy = replace(case, stiffness_n_um=share * case.stiffness_n_um)
    best = min(
        (
            each
            for each in enumerate_all(floppy, material(metal), weaker(lathe_of(name), share))
            if each.force_n <= force_n * (1 + 1e-9) and (whole.unusual or not each.unusual)
        ),
        default=None,
    )
    if best is None or isinstance(found, NoSchedule):
        assert best is None
        assert isinstance(found, NoSchedule)
        return
    assert (found.total_ms, found.depth_steps) == (best.total_ms, best.depths)
    assert found.force.ruling_n == pytest.approx(best.force_n)
    assert found.total_ms >= whole.total_ms
    assert max(load.share for load in found.loads) <= share + 1e-9


def test_some_of_the_eased_cuts_exist_and_some_do_not() -> None:
    found = [
        schedule(
            replace(
                case, eased=Eased(share=0.6, force_n=0.6 * quickest(case, lathe_of(name), "ti_gr2").force.ruling_n)
            ),
            material=material("ti_gr2"),
            lathe=lathe_of(name),
            habits=HABITS,
        )
        for case, name in CASES.values()
        if isinstance(schedule(case, material=material("ti_gr2"), lathe=lathe_of(name), habits=HABITS), Schedule)
    ]
    assert {type(each) for each in found} == {Schedule, NoSchedule}


@pytest.mark.parametrize("what", CASES)
def test_what_a_cut_takes_up_of_each_limit_is_its_power_and_torque_over_what_there_is(what: str) -> None:
    case, name = CASES[what]
    lathe = lathe_of(name)
    found = schedule(case, material=material("cu_cw307g"), lathe=lathe, habits=HABITS)
    if isinstance(found, NoSchedule):
        return
    shares = {load.limit.split()[0].rstrip(","): load.share for load in found.loads}
    assert shares["power"] == pytest.approx(found.power_w / (lathe.motor_power_w * lathe.drive_efficiency))
    if found.speed.torque_limit_nm is not None:
        assert shares["torque"] == pytest.approx(found.torque_nm / found.speed.torque_limit_nm)
    assert ("chatter" in shares) is not bool(case.width_mm)
    assert max(shares.values()) <= 1.0 + 1e-9


# floors ------------------------------------------------------------------------------------------------------------


def test_pc_26_half_a_millimetre_on_the_diameter_is_two_equal_cuts() -> None:
    """Practice case PC-26: 0.5 mm left on the diameter is cut 0.25, measure, cut 0.25; a radius of 0.125 each."""
    case = replace(last_cuts(METRIC), total_mm=0.25, step_mm=0.0125)
    found = schedule(case, material=material("st_c45"), lathe=lathe_of(METRIC), habits=HABITS)
    assert isinstance(found, Schedule)
    assert [steps * case.step_mm for steps in found.depth_steps] == pytest.approx([0.125, 0.125])


@pytest.mark.parametrize("lathe", LATHES)
@pytest.mark.parametrize("ring", RINGS)
@pytest.mark.parametrize("step", [BORE, OUTSIDE])
def test_the_two_last_cuts_of_a_plan_are_alike_and_the_first_is_measured(step: str, ring: str, lathe: str) -> None:
    plan = demo_plan(ring, lathe)
    acts = [act for act in plan.sheet.acts if act.step == step and isinstance(act, a.Cut | a.Measure)]
    assert [type(act) for act in acts] == [a.Cut, a.Measure, a.Cut, a.Measure]
    depths = [act.depth_mm for act in acts if isinstance(act, a.Cut)]
    assert depths[0] == pytest.approx(depths[1])
    # each above the least chip of the metal
    assert depths[0] >= material(demo_part(ring).material).range("min_depth").most
    # the two readings differ by both sides of one cut
    reads = [act.expected_mm for act in acts if isinstance(act, a.Measure)]
    assert abs(reads[1] - reads[0]) == pytest.approx(2 * depths[1])


@settings(max_examples=60)
@given(st.floats(0.02, 2.0), st.sampled_from([0.01, 0.0127, 0.02, 0.0254, 0.05]), st.integers(0, 2))
def test_pc_11_a_metal_that_hardens_never_gets_a_whisper(total_mm: float, step_mm: float, equal: int) -> None:
    """Practice case PC-11: every pass above a minimum, 0.10 to 0.15 mm for 304; the upper end of the table rules."""
    steel = material("ss304")
    assert steel.work_hardening is not WorkHardening.NONE
    floor = steel.range("min_depth").most
    assert 0.10 <= floor <= 0.15
    case = replace(turning(METRIC), total_mm=total_mm, step_mm=step_mm, equal_passes=equal)
    found = schedule(case, material=steel, lathe=lathe_of(METRIC), habits=HABITS)
    if isinstance(found, NoSchedule):
        assert equal or total_mm < 2 * floor + 4 * step_mm  # more metal than that can be shared
        return
    assert min(found.depth_steps) * step_mm >= floor - 1e-9
    assert max(found.depth_steps) - min(found.depth_steps) <= 1
    assert total_mm - 1e-6 <= sum(found.depth_steps) * step_mm < total_mm + step_mm + 1e-6


@pytest.mark.parametrize(("hardening", "least_mm"), [(WorkHardening.SEVERE, 0.2), (WorkHardening.NONE, 0.1)])
def test_of_a_range_of_least_depths_the_upper_end_rules_where_the_metal_hardens(
    hardening: WorkHardening, least_mm: float
) -> None:
    steel = material("st_c45")
    spread = replace(steel.range("min_depth"), low=0.1, high=0.2)
    made = replace(steel, work_hardening=hardening, ranges={**steel.ranges, Property.MIN_DEPTH: spread})
    for off_mm, allowed in ((0.02, True), (-0.02, False)):
        case = replace(turning(METRIC), total_mm=2 * (least_mm + off_mm), equal_passes=2)
        found = schedule(case, material=made, lathe=lathe_of(METRIC), habits=HABITS)
        assert isinstance(found, Schedule) is allowed


def test_pc_11_feed_never_below_the_least_of_the_metal() -> None:
    steel = material("ss304")
    for name in LATHES:
        found = schedule(turning(name), material=steel, lathe=lathe_of(name), habits=HABITS)
        assert isinstance(found, Schedule)
        assert found.feed.low_mm_rev >= steel.range("min_feed").most


# limits one by one -------------------------------------------------------------------------------------------------


def quickest(case: CutCase, lathe: Lathe, metal: str = "st_c45") -> Schedule:
    """Schedule that must exist."""
    found = schedule(case, material=material(metal), lathe=lathe, habits=HABITS)
    assert isinstance(found, Schedule)
    return found


def test_a_weaker_motor_makes_more_or_slower_passes_and_is_named() -> None:
    lathe = lathe_of(METRIC)
    case = replace(turning(METRIC), total_mm=3.0, stiffness_n_um=100.0)
    strong, weak = quickest(case, lathe), quickest(case, replace(lathe, motor_power_w=300.0))
    assert weak.total_ms > strong.total_ms
    assert weak.power_w <= 300.0 * lathe.drive_efficiency
    assert weak.binds == "power, 300 W at the motor"


def test_the_belts_torque_limits_its_own_position_alone() -> None:
    lathe = lathe_of(INCH)
    case = replace(turning(INCH), total_mm=2.0, stiffness_n_um=100.0)
    free = quickest(case, lathe, "ti_gr2")
    slipping = tuple(
        replace(speed, torque_limit_nm=0.01) if speed.rpm == free.speed.rpm else speed for speed in lathe.speeds
    )
    other = quickest(case, replace(lathe, speeds=slipping), "ti_gr2")
    assert other.speed.rpm != free.speed.rpm
    assert other.total_ms >= free.total_ms
    tight = tuple(replace(speed, torque_limit_nm=(speed.torque_limit_nm or 0.0) / 8) for speed in lathe.speeds)
    bound = quickest(case, replace(lathe, speeds=tight), "ti_gr2")
    assert bound.torque_nm <= (bound.speed.torque_limit_nm or 0.0) * (1 + 1e-9)
    assert bound.binds.startswith(f"torque in {bound.speed.position}")


def test_chatter_limits_a_slender_bar() -> None:
    stiff, slender = (
        quickest(replace(boring(METRIC), stiffness_n_um=k, total_mm=1.0), lathe_of(METRIC)) for k in (20.0, 6.0)
    )
    assert max(slender.depth_steps) < max(stiff.depth_steps)
    assert slender.binds == "chatter"


@pytest.mark.parametrize("name", LATHES)
@pytest.mark.parametrize("metal", METALS)
def test_the_speed_keeps_the_table_and_the_holding(name: str, metal: str) -> None:
    speeds = cutting_speed(material(metal), edge=Edge.HSS, cut=CutKind.ROUGH)
    for most in (2000.0, 250.0):
        found = schedule(
            replace(turning(name), max_rpm=most), material=material(metal), lathe=lathe_of(name), habits=HABITS
        )
        assert isinstance(found, Schedule)
        assert found.speed in lathe_of(name).speeds
        assert found.speed.rpm <= most
        assert pi * 25.0 * found.speed.rpm / 1000.0 == pytest.approx(found.cutting_speed_m_min)
        assert found.cutting_speed_m_min <= speeds.high_m_min


def test_a_smooth_surface_asks_for_a_finer_feed() -> None:
    """Ra = f² / (32 r) for feed f and nose r, as in Groover; 0.4 and 1.6 µm are a factor of two in the feed."""
    case = last_cuts(METRIC)
    nose = case.tool.nose_radius_mm
    found = [quickest(replace(case, roughness_um=ra), lathe_of(METRIC), "st11smnpb30") for ra in (3.2, 0.8)]
    assert found[1].feed.high_mm_rev < found[0].feed.high_mm_rev
    assert found[1].feed.high_mm_rev ** 2 / (32.0 * nose) * 1000.0 <= 0.8


def test_hand_feed_keeps_a_pace_that_a_hand_can_keep() -> None:
    found = quickest(turning(INCH), lathe_of(INCH), "ti_gr2")
    dial = lathe_of(INCH).top.dial
    assert dial is not None
    assert found.feed.kind is a.FeedKind.HAND
    for feed, pace in (
        (found.feed.high_mm_rev, found.feed.pace_fast_s),
        (found.feed.low_mm_rev, found.feed.pace_slow_s),
    ):
        assert pace == pytest.approx(60.0 * float(dial.lead_mm) / (feed * found.speed.rpm))
        assert HABITS.hand_pace_fast_s <= pace <= HABITS.hand_pace_slow_s
    hasty = replace(HABITS, hand_pace_fast_s=29.0)
    refused = schedule(turning(INCH), material=material("ti_gr2"), lathe=lathe_of(INCH), habits=hasty)
    assert isinstance(refused, NoSchedule)
    assert refused.why == (
        "no feed can be set: the hand would have to be too slow or too fast, or the list has none that suits"
    )
    assert "in the shop file" in refused.remedy


def test_a_slide_that_nobody_has_measured_cannot_be_fed_by_hand() -> None:
    bare = FeedDrive(slide=replace(lathe_of(INCH).top, dial=None))
    refused = schedule(
        replace(turning(INCH), drive=bare), material=material("ti_gr2"), lathe=lathe_of(INCH), habits=HABITS
    )
    assert isinstance(refused, NoSchedule)


def test_pc_10_a_lathe_too_fast_for_titanium_says_by_how_much() -> None:
    """Practice case PC-10: 755 rev/min on 25 mm is 59 m/min."""
    lathe = replace(lathe_of(METRIC), speeds=tuple(s for s in lathe_of(METRIC).speeds if s.rpm > 700))
    refused = schedule(turning(METRIC), material=material("ti_gr2"), lathe=lathe, habits=HABITS)
    assert isinstance(refused, NoSchedule)
    assert refused.why.startswith(
        "the slowest speed, 755 rev/min, is 59 m/min, 195 ft/min on Ø 25.0 mm (0.98 in); Titanium grade 2 bears "
    )


def test_a_metal_without_a_speed_in_the_tables_is_not_guessed() -> None:
    refused = schedule(turning(METRIC), material=material("zr702"), lathe=lathe_of(METRIC), habits=HABITS)
    assert isinstance(refused, NoSchedule)
    assert "the tables have no rough cutting speed for hss" in refused.why


def test_a_blade_wider_than_the_motor_bears_is_refused() -> None:
    refused = schedule(
        replace(parting(METRIC), width_mm=80.0), material=material("st_c45"), lathe=lathe_of(METRIC), habits=HABITS
    )
    assert isinstance(refused, NoSchedule)
    assert "a chip 80.00 mm (3.1496 in) wide needs more than the lathe has (power, 1500 W at the motor)" in refused.why


def test_a_finishing_share_below_one_step_is_refused() -> None:
    coarse = replace(turning(METRIC), total_mm=0.1, step_mm=0.1, equal_passes=2)
    refused = schedule(coarse, material=material("st_c45"), lathe=lathe_of(METRIC), habits=HABITS)
    assert isinstance(refused, NoSchedule)
    assert "cannot be shared into cuts" in refused.why


def test_the_dial_in_use_is_the_lathes_own() -> None:
    assert turning(INCH).step_mm == pytest.approx(float(Fraction("0.0254")))
    assert turning(METRIC).step_mm == pytest.approx(0.02)
