"""Depth, speed and feed of one step: the best schedule that keeps every limit, found by trying all.

What can be set is finite: whole steps of a dial, speeds of the list, feeds of the list or a band that a hand can keep.
Force is linear in depth, so the greatest depth allowed for a speed and feed is in closed form and the least number of
passes follows. More passes than that are tried as long as what they cost at least, were they without any load, is less
than the best so far. Of one number of passes the most even one is the best: load counts by its square, and the wear of
the edge goes by time. So the best of all pairs is the optimum: lower bound and value are the same number.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from handwheel.data.forces import force_models
from handwheel.data.materials import Material
from handwheel.data.speeds import SpeedRange, cutting_speed
from handwheel.domain.errors import DataTableError
from handwheel.domain.habits import Habits
from handwheel.domain.lathe import Lathe, SpindleSpeed
from handwheel.domain.said import said, said_cutting_speed, said_feed
from handwheel.physics.min_chip import THIN_CHIP
from handwheel.physics.power import power_w, torque_nm
from handwheel.physics.speed import cutting_speed_m_min
from handwheel.planner.cut_case import SOFTER, CutCase, Feed, Load, NoSchedule, Schedule
from handwheel.planner.cut_limits import (
    CHATTER,
    GRIP,
    DepthForces,
    bending_limits,
    code_of,
    depth_floor_mm,
    eased_limits,
    force_limits_n,
    head_limits,
    least_chip_of,
    mean_chip_mm,
    over_bending,
    unit_force,
)
from handwheel.planner.dialing import steps_at_least, steps_at_most
from handwheel.planner.feeds import feeds_at, is_unusual, pass_time_s, speed_is_allowed
from handwheel.planner.pass_remedies import feedable, for_more_depth, narrower, other_edge, sharper, slower_speed
from handwheel.planner.worth import life_s, worth_of

NO_FEED = "no feed can be set: the hand would have to be too slow or too fast, or the list has none that suits"
FEEDABLE = "give the handle's dial or the travel of one turn of it in the shop file, or a speed between those listed"
FIRMER = "grip harder where the ring bears it, or hold it another way; else a narrower or shallower cut"


def schedule(case: CutCase, *, material: Material, lathe: Lathe, habits: Habits) -> Schedule | NoSchedule:
    """Best schedule that keeps every limit, by what counts in the shop; or the limit that forbids all of them.

    Limits: cutting speed of the tables, speed of the holding, power, torque (a belt position's own limit where the
    shop states one), regenerative chatter, the metal's least feed and, if it hardens, its least depth. A speed far
    below the table, a hand feed within a hair, or a pass through which no edge lasts is taken only where nothing else
    goes (`is_unusual`); so are two last cuts that bend more than a share of the tolerance, and of those the ones that
    bend least. Ties go to the smaller force, then to the slower speed. A case that is eased takes no more than its
    share of each limit.
    """
    try:
        speeds = cutting_speed(material, edge=case.tool.edge, cut=case.cut)
    except DataTableError as error:
        return NoSchedule(code="no-speed-for-this-edge", why=str(error), offer=lambda: other_edge(case.tool))
    options = Options(case, speeds, material=material, lathe=lathe, habits=habits)
    usable = [speed for speed in lathe.speeds if speed_is_allowed(speed, case, speeds)]
    if not usable:
        return _too_fast(case, speeds, lathe=lathe, material=material)
    best: tuple[tuple[bool, int, int, float, float], Choice] | None = None
    bears = straight = 0.0
    refused = NoSchedule(
        code="no-feed",
        why=NO_FEED,
        remedy=FEEDABLE,
        offer=lambda: feedable(case, speeds, material=material, habits=habits),
    )
    for option in options.best_first(usable):
        if best is not None and (option.unusual, option.over, option.worth_ms) > best[0][:3]:
            break  # every pair that follows is less usual, bends further, or is worth less even with the fewest passes
        found = options.choice(option)
        if isinstance(found, NoSchedule):
            bears, straight = max(bears, found.bears_mm), max(straight, found.straight_mm)
            if found.most_mm >= refused.most_mm:
                refused = found
            continue
        for choice in options.with_more_passes(found, below_ms=None if best is None else best[0][2]):
            rank = (option.unusual, option.over, choice.worth_ms, choice.force_n, option.speed.rpm)
            if best is None or rank < best[0]:
                best = (rank, choice)
    return replace(refused, bears_mm=bears, straight_mm=straight) if best is None else options.schedule(best[1])


def _too_fast(case: CutCase, speeds: SpeedRange, *, lathe: Lathe, material: Material) -> NoSchedule:
    """Why even the slowest speed is too fast: for the holding, or for the metal."""
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
        why=f"the slowest speed, {slowest.fastest_rpm:g} rev/min, is {said_cutting_speed(surface)} on "
        f"Ø {said(case.large_dia_mm, case.units, places=1)}; {material.name} bears "
        f"{said_cutting_speed(speeds.high_m_min)} with {case.tool.edge.value} ({case.cut.value})",
        remedy="a slower speed (back gear, another belt), or a smaller diameter",
    )


class Option(Struct, frozen=True):
    """A speed with a feed that exists at it: time of one pass [s], share of an edge's life that it uses up [1].

    ``over`` is by how many tenths of its limit two last cuts would bend too far; ``worth_ms`` what the fewest passes
    that there could be are worth, were they without load. [ms]
    """

    unusual: bool
    over: int
    worth_ms: int
    speed: SpindleSpeed
    feed: Feed
    pass_s: float
    edge_share: float


class Choice(Struct, frozen=True):
    """An option with the passes that its limits allow; what they are worth. [ms]"""

    option: Option
    depth_steps: tuple[int, ...]
    deepest_mm: float
    force_n: float
    binds: str
    load: float
    worth_ms: int
    limits: tuple[tuple[float, str], ...]


class Options:
    """Everything that can be set for one case, what it bears, and what it is worth."""

    def __init__(self, case: CutCase, speeds: SpeedRange, *, material: Material, lathe: Lathe, habits: Habits) -> None:
        self.case, self.speeds = case, speeds
        self._material, self._lathe, self._habits = material, lathe, habits
        self._worth = worth_of(habits)
        self._models = force_models(material)
        self._forces = DepthForces(case, material, self._models)
        self._floor_mm = depth_floor_mm(case, material)

    def at(self, speed: SpindleSpeed) -> list[Option]:
        """What can be set at a speed of the list."""
        case = self.case
        surface = cutting_speed_m_min(speed.rpm, cut_dia_mm=case.large_dia_mm)
        lasts_s = life_s(case.tool.edge, surface, self.speeds.high_m_min)
        fewest = case.equal_passes or 1
        found = []
        for feed in feeds_at(speed, case, material=self._material, habits=self._habits):
            pass_s = pass_time_s(case, feed=feed, speed=speed)
            share = pass_s / lasts_s
            worth = _ms(self._worth.of(fewest, pass_s=pass_s, edge_share=share, load=0.0))
            unusual = share > 1.0 or is_unusual(speed, feed, case, self.speeds)
            found.append(Option(unusual, self.over(feed), worth, speed, feed, pass_s, share))
        return found

    def over(self, feed: Feed) -> int:
        """By how many tenths of its limit two last cuts at a feed would bend too far."""
        return 0 if self.case.bending is None else over_bending(self.case, self._forces.at(feed))

    def best_first(self, usable: Sequence[SpindleSpeed]) -> list[Option]:
        """The usual ones first, then those that bend least beyond the limit, then by what a pass without load is worth.

        What a person would rather not set is no way to be gentler.
        """
        found = [option for speed in usable for option in self.at(speed)]
        if self.case.eased is not None and not self.case.eased.unusual:
            found = [option for option in found if not option.unusual]
        return sorted(
            found,
            key=lambda option: (
                option.unusual,
                option.over,
                option.worth_ms,
                option.speed.rpm,
                option.feed.high_mm_rev,
                option.speed.position,
                option.feed.position,
            ),
        )

    def worth_ms(self, option: Option, passes: int, *, load: float = 0.0) -> int:
        """What so many passes are worth: never less than without load. [ms]"""
        return _ms(self._worth.of(passes, pass_s=option.pass_s, edge_share=option.edge_share, load=load))

    def total_ms(self, option: Option, passes: int) -> int:
        """Time of so many passes with their handling and the edges that they use up. [ms]"""
        return _ms(self._worth.seconds(passes, pass_s=option.pass_s, edge_share=option.edge_share))

    def with_more_passes(self, fewest: Choice, *, below_ms: int | None) -> Iterator[Choice]:
        """The fewest passes, then one more each time, as long as that can be worth less than a bound."""
        yield fewest
        case = self.case
        if not self._worth.gentle or case.equal_passes or case.width_mm:
            return
        least_ms = fewest.worth_ms if below_ms is None else min(fewest.worth_ms, below_ms)
        for count in range(len(fewest.depth_steps) + 1, sum(fewest.depth_steps) + 1):
            if self.worth_ms(fewest.option, count) > least_ms:
                return
            found = self.choice(fewest.option, passes=count)
            if isinstance(found, NoSchedule):
                return
            least_ms = min(least_ms, found.worth_ms)
            yield found

    def most(self, option: Option, limits: list[tuple[float, str]]) -> tuple[float, str]:
        """Greatest depth, or width of a blade's chip, that every limit bears, and the limit that binds. [mm]"""
        case = self.case
        bounds = limits
        if case.eased is not None:
            bounds = eased_limits(limits, case.eased, self._forces.at(option.feed))
        if not case.width_mm:
            bounds = [*bounds, *head_limits(case.tool, case.units)]
        return min(bounds)

    def limits(self, option: Option) -> list[tuple[float, str]]:
        """Depth, or width of a blade's chip, that each limit bears, and its words. [mm]"""
        case, unit = self.case, self._forces.at(option.feed)
        found = [
            (limit / unit.force_n, words) for limit, words in force_limits_n(option.speed, case, lathe=self._lathe)
        ]
        if not case.width_mm:
            found.append((unit.chatter_mm, CHATTER))
        return found

    def choice(self, option: Option, *, passes: int = 0) -> Choice | NoSchedule:
        """Passes that an option allows, as few as its limits bear (or just so many); or why it allows none."""
        case = self.case
        limits = self.limits(option)
        most, binds = self.most(option, limits)
        if case.width_mm:
            if case.width_mm > most:
                return self._chip_too_wide(option, most, binds)
            depths: tuple[int, ...] = (steps_at_least(case.total_mm, case.step_mm),)
            deepest = case.width_mm
        else:
            alike = _depths(case, most, floor_mm=self._floor_mm, passes=passes)
            if alike is None:
                return self._depth_too_small(option, most, binds)
            depths, deepest = alike, max(alike) * case.step_mm
            mean, least = mean_chip_mm(case, min(alike) * case.step_mm, option.feed.low_mm_rev), least_chip_of(case)
            if mean < THIN_CHIP * least:
                return self._chip_too_thin(option, most, mean, least)
        wished = list(bending_limits(case, self._forces.at(option.feed)))
        binds = min([(most, binds), *wished])[1]
        limits = [*limits, *wished]
        load = max(deepest / limit for limit, _ in limits)
        return Choice(
            option=option,
            depth_steps=depths,
            deepest_mm=deepest,
            force_n=self._forces.at(option.feed).force_n * deepest,
            binds=binds,
            load=load,
            worth_ms=self.worth_ms(option, len(depths), load=load),
            limits=tuple(limits),
        )

    def _chip_too_wide(self, option: Option, most: float, binds: str) -> NoSchedule:
        case, unit = self.case, self._forces.at(option.feed)
        return NoSchedule(
            code=code_of(binds, "chip-too-wide"),
            remedy=FIRMER if binds.startswith(GRIP) else SOFTER,
            offer=lambda: narrower(case, unit, option.speed, self._lathe, most_mm=most, binds=binds),
            most_mm=most,
            why=f"{case.name}: a chip {said(case.width_mm, case.units)} wide needs more than the lathe has ({binds})",
        )

    def _depth_too_small(self, option: Option, most: float, binds: str) -> NoSchedule:
        case, unit, floor = self.case, self._forces.at(option.feed), self._floor_mm
        return NoSchedule(
            code=code_of(binds, "depth-too-small"),
            remedy=FIRMER if binds.startswith(GRIP) else SOFTER,
            offer=lambda: for_more_depth(
                case, unit, option.speed, self._lathe, most_mm=most, floor_mm=floor, binds=binds
            ),
            most_mm=most,
            bears_mm=most,
            straight_mm=min((most, *(depth for depth, _ in bending_limits(case, unit)))),
            why=f"{case.name}: depth is limited to {said(most, case.units)} by {binds}, which cannot be shared "
            "into cuts that are deep enough for the metal and whole on the dial",
        )

    def _chip_too_thin(self, option: Option, most: float, mean: float, least: float) -> NoSchedule:
        case = self.case
        return NoSchedule(
            code="chip-too-thin",
            remedy="a sharper edge: stone or grind it, and enter its sharpness in the shop file",
            offer=lambda: sharper(case.tool, share=mean / (THIN_CHIP * least)),
            most_mm=most,
            why=f"{case.name}: at {said_feed(option.feed.low_mm_rev, option.feed.low_mm_rev)} the chip is "
            f"{said(mean, case.units, places=4)} thick on the mean, and the edge rubs below "
            f"{said(THIN_CHIP * least, case.units, places=4)}",
        )

    def schedule(self, choice: Choice) -> Schedule:
        """What is told of a choice."""
        case, option = self.case, choice.option
        force = unit_force(case, option.feed.high_mm_rev, self._models, depth_mm=choice.deepest_mm)
        surface = cutting_speed_m_min(option.speed.rpm, cut_dia_mm=case.large_dia_mm)
        passes = len(choice.depth_steps)
        return Schedule(
            depth_steps=choice.depth_steps,
            speed=option.speed,
            feed=option.feed,
            cutting_speed_m_min=surface,
            pass_s=option.pass_s,
            force=force,
            power_w=power_w(force.ruling_n, cutting_speed_m_min=surface),
            torque_nm=torque_nm(force.ruling_n, cut_dia_mm=case.large_dia_mm),
            binds=choice.binds,
            total_ms=self.total_ms(option, passes),
            loads=tuple(Load(limit=words, share=choice.deepest_mm / limit) for limit, words in choice.limits),
            unusual=option.unusual,
            edges=passes * option.edge_share,
            case=case,
        )


def _ms(seconds: float) -> int:
    return round(1000.0 * seconds)


def _depths(case: CutCase, most_mm: float, *, floor_mm: float, passes: int = 0) -> tuple[int, ...] | None:
    """Whole steps of each pass, as alike as they can be, the deepest first: as few as allowed, or just so many."""
    whole = steps_at_least(case.total_mm, case.step_mm)
    deepest = steps_at_most(most_mm, case.step_mm)
    least = max(1, steps_at_least(floor_mm, case.step_mm))
    if deepest < 1 or whole < 1:
        return None
    count = passes or case.equal_passes or -(-whole // deepest)
    small, extra = divmod(whole, count)
    if small + (1 if extra else 0) > deepest or small < least:
        return None
    return tuple(small + (1 if i < extra else 0) for i in range(count))
