"""Depth, speed and feed of one step: the quickest schedule that keeps every limit, found by trying all.

What can be set is finite: whole steps of a dial, speeds of the list, feeds of the list or a band that a hand can keep.
Force is linear in depth, so the greatest depth allowed for a speed and feed is in closed form, the least number of
passes follows, and the best of all pairs is the optimum: lower bound and value are the same number.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

from handwheel.data.forces import ForceModel, force_models
from handwheel.data.materials import Material
from handwheel.data.speeds import SpeedRange, cutting_speed
from handwheel.domain.errors import DataTableError
from handwheel.domain.habits import Habits
from handwheel.domain.lathe import Lathe, SpindleSpeed
from handwheel.domain.said import said
from handwheel.physics.power import power_w, torque_nm
from handwheel.physics.speed import cutting_speed_m_min
from handwheel.planner.cut_case import SOFTER, CutCase, Feed, Load, NoSchedule, Schedule
from handwheel.planner.cut_limits import (
    CHATTER,
    GRIP,
    THIN_CHIP,
    DepthForce,
    DepthForces,
    code_of,
    depth_floor_mm,
    eased_limits,
    force_limits_n,
    head_limits,
    least_chip_of,
    mean_chip_mm,
    unit_force,
)
from handwheel.planner.dialing import steps_at_least, steps_at_most
from handwheel.planner.feeds import feeds_at, is_unusual, pass_time_s, speed_is_allowed
from handwheel.planner.pass_remedies import feedable, for_more_depth, narrower, other_edge, sharper, slower_speed

NO_FEED = "no feed can be set: the hand would have to be too slow or too fast, or the list has none that suits"
FEEDABLE = "give the handle's dial or the travel of one turn of it in the shop file, or a speed between those listed"
FIRMER = "grip harder where the ring bears it, or hold it another way; else a narrower or shallower cut"


def schedule(case: CutCase, *, material: Material, lathe: Lathe, habits: Habits) -> Schedule | NoSchedule:
    """Quickest schedule that keeps every limit, or the limit that forbids all of them.

    Limits: cutting speed of the tables, speed of the holding, power, torque (a belt position's own limit where the
    shop states one), regenerative chatter, the metal's least feed and, if it hardens, its least depth. A speed far
    below the table, or a hand feed within a hair, is taken only where nothing else goes (`is_unusual`). Ties go to the
    smaller force, then to the slower speed. A case that is eased takes no more than its share of each limit.
    """
    try:
        speeds = cutting_speed(material, edge=case.tool.edge, cut=case.cut)
    except DataTableError as error:
        return NoSchedule(code="no-speed-for-this-edge", why=str(error), offer=lambda: other_edge(case.tool))
    usable = [speed for speed in lathe.speeds if speed_is_allowed(speed, case, speeds)]
    if not usable:
        slowest = min(lathe.speeds, key=lambda speed: (speed.fastest_rpm, speed.position))
        surface = cutting_speed_m_min(slowest.fastest_rpm, cut_dia_mm=case.large_dia_mm)
        if slowest.fastest_rpm > case.max_rpm:
            return NoSchedule(
                code="speeds-too-fast",
                offer=lambda: slower_speed(case, speeds),
                why=f"the slowest speed is {slowest.fastest_rpm:g} rev/min; what holds the work bears {case.max_rpm:g}",
                remedy="a slower speed (back gear, another belt), or another way to hold the work",
            )
        return NoSchedule(
            code="speeds-too-fast",
            offer=lambda: slower_speed(case, speeds),
            why=f"the slowest speed, {slowest.fastest_rpm:g} rev/min, is {surface:.0f} m/min on "
            f"Ø {said(case.large_dia_mm, case.units, places=1)}; {material.name} bears {speeds.high_m_min:.0f} with "
            f"{case.tool.edge.value} ({case.cut.value})",
            remedy="a slower speed (back gear, another belt), or a smaller diameter",
        )
    best: tuple[tuple[bool, int, float, float], _Choice] | None = None
    bears = 0.0
    refused = NoSchedule(
        code="no-feed",
        why=NO_FEED,
        remedy=FEEDABLE,
        offer=lambda: feedable(case, speeds, material=material, habits=habits),
    )
    models = force_models(material)
    forces = DepthForces(case, material, models)
    floor = depth_floor_mm(case, material)
    for unusual, pass_s, speed, feed in _quickest_first(usable, case, speeds, material=material, habits=habits):
        if best is not None and (unusual, _total_ms(case.equal_passes or 1, pass_s, habits)) > best[0][:2]:
            break  # every pair that follows is less usual, or takes longer even with the fewest passes
        unit = forces.at(feed.high_mm_rev)
        found = _choice(speed, feed, unit, case, lathe=lathe, habits=habits, floor_mm=floor, pass_s=pass_s)
        if isinstance(found, NoSchedule):
            bears = max(bears, found.bears_mm)
            if found.most_mm >= refused.most_mm:
                refused = found
            continue
        rank = (unusual, found.total_ms, unit.force_n * found.deepest_mm, speed.rpm)
        if best is None or rank < best[0]:
            best = (rank, found)
    if best is None:
        return replace(refused, bears_mm=bears)
    return replace(_schedule(best[1], case, models), unusual=best[0][0])


class _Choice(Struct, frozen=True):
    """A speed and feed with the passes that their limits allow."""

    speed: SpindleSpeed
    feed: Feed
    depth_steps: tuple[int, ...]
    deepest_mm: float
    pass_s: float
    binds: str
    total_ms: int
    limits: tuple[tuple[float, str], ...]


def _quickest_first(
    usable: Sequence[SpindleSpeed], case: CutCase, speeds: SpeedRange, *, material: Material, habits: Habits
) -> list[tuple[bool, float, SpindleSpeed, Feed]]:
    """Every speed with every feed that exists at it, whether it is unusual, and the time of one pass [s].

    The usual ones first, of these the quickest. What a person would rather not set is no way to be gentler.
    """
    usual_alone = case.eased is not None and not case.eased.unusual
    pairs = [
        (is_unusual(speed, feed, case, speeds), pass_time_s(case, feed=feed, speed=speed), speed, feed)
        for speed in usable
        for feed in feeds_at(speed, case, material=material, habits=habits)
    ]
    if usual_alone:
        pairs = [pair for pair in pairs if not pair[0]]
    return sorted(
        pairs, key=lambda pair: (*pair[:2], pair[2].rpm, pair[3].high_mm_rev, pair[2].position, pair[3].position)
    )


def _total_ms(passes: int, pass_s: float, habits: Habits) -> int:
    return round(1000.0 * passes * (pass_s + habits.handling_s))


def _choice(
    speed: SpindleSpeed,
    feed: Feed,
    unit: DepthForce,
    case: CutCase,
    *,
    lathe: Lathe,
    habits: Habits,
    floor_mm: float,
    pass_s: float,
) -> _Choice | NoSchedule:
    limits = [(limit / unit.force_n, words) for limit, words in force_limits_n(speed, case, lathe=lathe)]
    if not case.width_mm:
        limits.append((unit.chatter_mm, CHATTER))
    bounds = limits if case.eased is None else eased_limits(limits, case.eased, unit)
    if not case.width_mm:
        bounds = [*bounds, *head_limits(case.tool, case.units)]
    most, binds = min(bounds)
    if case.width_mm:
        if case.width_mm > most:
            return NoSchedule(
                code=code_of(binds, "chip-too-wide"),
                remedy=FIRMER if binds.startswith(GRIP) else SOFTER,
                offer=lambda: narrower(case, unit, speed, lathe, most_mm=most, binds=binds),
                most_mm=most,
                why=f"{case.name}: a chip {said(case.width_mm, case.units)} wide needs more than the lathe has "
                f"({binds})",
            )
        depths: tuple[int, ...] = (steps_at_least(case.total_mm, case.step_mm),)
        deepest = case.width_mm
    else:
        alike = _depths(case, most, floor_mm=floor_mm)
        if alike is None:
            return NoSchedule(
                code=code_of(binds, "depth-too-small"),
                remedy=FIRMER if binds.startswith(GRIP) else SOFTER,
                offer=lambda: for_more_depth(case, unit, speed, lathe, most_mm=most, floor_mm=floor_mm, binds=binds),
                most_mm=most,
                bears_mm=most,
                why=f"{case.name}: depth is limited to {said(most, case.units)} by {binds}, which cannot be shared "
                "into cuts that are deep enough for the metal and whole on the dial",
            )
        depths, deepest = alike, max(alike) * case.step_mm
        mean, least = mean_chip_mm(case, min(alike) * case.step_mm, feed.low_mm_rev), least_chip_of(case)
        if mean < THIN_CHIP * least:
            return NoSchedule(
                code="chip-too-thin",
                remedy="a sharper edge: stone or grind it, and enter its sharpness in the shop file",
                offer=lambda: sharper(case.tool, share=mean / (THIN_CHIP * least)),
                most_mm=most,
                why=f"{case.name}: at {feed.low_mm_rev:.3g} mm/rev the chip is {mean * 1000:.0f} µm thick on the mean, "
                f"and the edge rubs below {THIN_CHIP * least * 1000:.0f} µm",
            )
    return _Choice(speed, feed, depths, deepest, pass_s, binds, _total_ms(len(depths), pass_s, habits), tuple(limits))


def _schedule(choice: _Choice, case: CutCase, models: Sequence[ForceModel]) -> Schedule:
    force = unit_force(case, choice.feed.high_mm_rev, models, depth_mm=choice.deepest_mm)
    surface = cutting_speed_m_min(choice.speed.rpm, cut_dia_mm=case.large_dia_mm)
    return Schedule(
        depth_steps=choice.depth_steps,
        speed=choice.speed,
        feed=choice.feed,
        cutting_speed_m_min=surface,
        pass_s=choice.pass_s,
        force=force,
        power_w=power_w(force.ruling_n, cutting_speed_m_min=surface),
        torque_nm=torque_nm(force.ruling_n, cut_dia_mm=case.large_dia_mm),
        binds=choice.binds,
        total_ms=choice.total_ms,
        loads=tuple(Load(limit=words, share=choice.deepest_mm / limit) for limit, words in choice.limits),
    )


def _depths(case: CutCase, most_mm: float, *, floor_mm: float) -> tuple[int, ...] | None:
    """Whole steps of each pass: as few passes as allowed, as alike as whole steps can be, the deepest first."""
    whole = steps_at_least(case.total_mm, case.step_mm)
    deepest = steps_at_most(most_mm, case.step_mm)
    least = max(1, steps_at_least(floor_mm, case.step_mm))
    if deepest < 1 or whole < 1:
        return None
    count = case.equal_passes or -(-whole // deepest)
    small, extra = divmod(whole, count)
    if small + (1 if extra else 0) > deepest or small < least:
        return None
    return tuple(small + (1 if i < extra else 0) for i in range(count))
