"""Parting at every speed and feed: each limit passed on its own, and the choice against trying all."""

from __future__ import annotations

from types import SimpleNamespace

import pytest
from msgspec.structs import replace

from handwheel.domain.errors import OutOfRangeError
from handwheel.domain.lathe import SpindleSpeed
from handwheel.physics.blade import Blade
from handwheel.physics.force import ForceFactors
from handwheel.physics.parting import parting_force_band
from handwheel.physics.parting_map import PartingLimit, PartingMap, PartingPoint, PartingSetup, parting_map

STEEL = SimpleNamespace(kc_low_n_mm2=1500.0, kc_high_n_mm2=2220.0, mc=0.14, feed_factors=())
SETUP = PartingSetup(
    outer_dia_mm=20.0,
    end_dia_mm=15.0,
    blade=Blade(width_mm=2.0, height_mm=10.0, reach_mm=8.0, slant_deg=6.0),
    opinions=(STEEL,),
    push_ratio=0.5,
    least_feed_mm_rev=0.03,
    most_feed_mm_rev=0.12,
    most_speed_m_min=60.0,
    power_w=2000.0,
    machine_n_um=500.0,
    direction_factor=0.3,
    factors=ForceFactors(wear=1.3),
)
"""A lathe so stiff and strong that it parts at any point of the middle."""
SPEEDS = tuple(SpindleSpeed(rpm=rpm, position=f"{rpm:g}") for rpm in (200.0, 400.0, 800.0))
FEEDS = (0.03, 0.05, 0.08, 0.12)


def judged(setup: PartingSetup = SETUP) -> PartingMap:
    return parting_map(setup, speeds=SPEEDS, feeds=FEEDS)


def one(setup: PartingSetup, rpm: float, feed: float) -> PartingPoint:
    return parting_map(setup, speeds=(SpindleSpeed(rpm=rpm, position="x"),), feeds=(feed,)).points[0]


def test_a_stout_lathe_parts_at_every_point_and_takes_the_quickest() -> None:
    found = judged()
    assert all(point.passed is None for point in found.points)
    assert found.best is not None
    assert (found.best.speed.rpm, found.best.feed_mm_rev) == (800.0, 0.12)
    assert found.best.time_s == pytest.approx(60.0 * 2.5 / (0.12 * 800.0))


@pytest.mark.parametrize(
    ("changed", "limit"),
    [
        ({"power_w": 50.0}, PartingLimit.STALL),
        ({"grip_torque_nm": 3.0}, PartingLimit.STALL),
        ({"machine_n_um": 2.0}, PartingLimit.SINGS),
        ({"most_wandering_mm": 0.001}, PartingLimit.WANDERS),
        ({"most_sinking_mm": 0.001}, PartingLimit.SINKS),
        ({"least_feed_mm_rev": 0.1}, PartingLimit.RUBS),
        ({"most_feed_mm_rev": 0.04}, PartingLimit.COARSE),
        ({"most_speed_m_min": 30.0}, PartingLimit.FAST),
        ({"hand_mm_min": 10.0}, PartingLimit.HAND),
    ],
)
def test_each_limit_is_passed_on_its_own(changed: dict[str, float], limit: PartingLimit) -> None:
    before, after = one(SETUP, 800.0, 0.05), one(replace(SETUP, **changed), 800.0, 0.05)
    assert before.passed is None
    assert (after.passed, after.all_passed) == (limit, (limit,))


def test_a_belt_that_slips_stalls_in_its_own_speed_alone() -> None:
    slipping = (replace(SPEEDS[0], torque_limit_nm=2.0), *SPEEDS[1:])
    found = parting_map(SETUP, speeds=slipping, feeds=FEEDS)
    stalled = {point.speed.rpm for point in found.points if point.passed is PartingLimit.STALL}
    assert stalled == {200.0}


def test_below_40_m_min_a_blade_that_would_sing_is_told_and_not_refused() -> None:
    soft = replace(SETUP, machine_n_um=2.0)
    slow, fast = one(soft, 400.0, 0.05), one(soft, 800.0, 0.05)
    assert (slow.passed, slow.may_sing) == (None, True)
    assert (fast.passed, fast.may_sing) == (PartingLimit.SINGS, False)


def test_a_hand_that_is_too_slow_is_told_only_where_nothing_else_forbids() -> None:
    weak = replace(SETUP, hand_mm_min=1.0, power_w=50.0)
    point = one(weak, 800.0, 0.05)
    assert point.passed is PartingLimit.STALL
    assert set(point.all_passed) == {PartingLimit.STALL, PartingLimit.HAND}


def test_going_timid_saves_force_and_is_refused_all_the_same() -> None:
    """At half the least feed the force is lower, every other limit is kept, and only the feed is at fault."""
    hard = replace(SETUP, least_feed_mm_rev=0.06)
    timid, brave = one(hard, 200.0, 0.03), one(hard, 200.0, 0.06)
    assert timid.force_n < brave.force_n
    assert timid.all_passed == (PartingLimit.RUBS,)
    assert brave.passed is None


@pytest.mark.parametrize("power", [80.0, 150.0, 300.0])
@pytest.mark.parametrize("hand", [0.0, 15.0, 40.0])
def test_no_point_that_keeps_every_limit_is_quicker_than_the_best(power: float, hand: float) -> None:
    """By a rule of its own: limits worked out here, not read from the point."""
    setup = replace(SETUP, power_w=power, hand_mm_min=hand)
    kept = []
    for speed in SPEEDS:
        for feed in FEEDS:
            force = parting_force_band(
                (STEEL,), blade_width_mm=2.0, feed_mm_rev=feed, factors=ForceFactors(wear=1.3)
            ).ruling_n
            surface = 3.14159265 * 20.0 * speed.rpm / 1000.0
            if force * surface / 60.0 <= power and (hand == 0 or feed * speed.rpm <= hand):
                kept.append(60.0 * 2.5 / (feed * speed.rpm))
    found = parting_map(setup, speeds=SPEEDS, feeds=FEEDS)
    assert found.best is not None
    assert found.best.time_s == pytest.approx(min(kept))


def test_where_nothing_goes_there_is_no_best() -> None:
    assert judged(replace(SETUP, power_w=5.0)).best is None


def test_points_are_found_again_and_others_are_not() -> None:
    found = judged()
    assert found.at(SPEEDS[1], 0.05).speed == SPEEDS[1]
    with pytest.raises(KeyError):
        found.at(SPEEDS[1], 0.07)


def test_what_makes_no_sense_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="a choice needs both"):
        parting_map(SETUP, speeds=SPEEDS, feeds=())
    with pytest.raises(OutOfRangeError, match="least_feed_mm_rev"):
        replace(SETUP, least_feed_mm_rev=0.2)
    with pytest.raises(OutOfRangeError, match="power_w"):
        replace(SETUP, power_w=0.0)
