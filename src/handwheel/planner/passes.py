"""Depth, speed and feed of one step: the quickest schedule that keeps every limit, found by trying all.

What can be set is finite: whole steps of a dial, speeds of the list, feeds of the list or a band that a hand can keep.
Force is linear in depth, so the greatest depth allowed for a speed and feed is in closed form, the least number of
passes follows, and the best of all pairs is the optimum: lower bound and value are the same number.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cache
from math import inf

from handwheel.data.forces import ForceModel, force_models
from handwheel.data.materials import Material, WorkHardening
from handwheel.data.materials import material as table_material
from handwheel.data.speeds import CutKind, SpeedRange, cutting_speed
from handwheel.domain.acts import FeedKind
from handwheel.domain.errors import DataTableError
from handwheel.domain.motion import Edge, Handle
from handwheel.domain.remedies import AddToShop, FitSlide, Remedy
from handwheel.domain.shop import Habits, Lathe, PowerFeed, Slide, SpindleSpeed, Tool, ToolKind
from handwheel.physics.force import (
    HSS_SPEED_FACTOR,
    WEAR_FACTOR,
    ForceEstimate,
    ForceFactors,
    Process,
    chip_thickness_mm,
    force_band,
)
from handwheel.physics.min_chip import is_nose_cut, least_chip_mm, nose_mean_chip_mm
from handwheel.physics.power import power_w, torque_nm
from handwheel.physics.roughness import feed_for_mean_roughness_mm_rev
from handwheel.physics.speed import cutting_speed_m_min, spindle_speed_rpm, turning_time_s
from handwheel.physics.stability import stable_width_mm
from handwheel.planner import offers
from handwheel.planner.dialing import steps_at_least, steps_at_most

NO_FEED = "no feed can be set: the hand would have to be too slow or too fast, or the list has none that suits"
FEEDABLE = "give the handle's dial or the travel of one turn of it in the shop file, or a speed between those listed"
SOFTER = "a slower speed, a tool that takes a narrower chip, or a stiffer set-up; enter it in the shop file"
HAND_FEED_SPREAD = 0.6
"""Low end of a hand-feed band as a share of its high end; how even a hand is: common practice, no source."""
HAND_LEAST_SPREAD = 0.9
"""A hand cannot be asked to feed within less than a tenth; common practice, no source."""
NOSE_SHARE = 0.8
"""Largest feed as a share of the nose radius; coarser ones leave a thread (common practice, no source)."""
MOST_RUN_MM_S = 2.0
"""Fastest that power feeds a tool towards an end that a hand must not miss: half a second late is a millimetre
(common practice, no source)."""
SLOWEST_SHARE = 0.5
"""Share of the table's low end below which a speed is unusual: slower, edges build up and surfaces tear; common
practice, no source."""
HAND_FEEDS_MM_REV = tuple(round(0.02 + 0.01 * i, 2) for i in range(29))
"""High ends of hand-feed bands that are tried. [mm/rev]"""
TOOL_DAMPING = 0.03
"""Damping ratio of toolpost and spindle; middle of 0.02 to 0.05 (from memory of Altintas)."""
DIRECTION_FACTOR = 0.5
"""Directional factor of the chatter limit, inside 0.3 to 1 (from memory of Altintas): the safe end, 1, would forbid
cuts that every small lathe makes, because below about 40 m/min process damping lifts the limit."""
THIN_CHIP = 2.0
"""A mean chip must be this many times the least chip (cutting-models section 5)."""
CHATTER = "chatter"
TINY_MM = 1e-3
ROUND_OFF = 1.0 + 1e-9
"""What a float may be off by where two ways to reckon the same limit meet."""
DRIVE_ROOM = 1.1
"""How much more power than a cut needs a speed must leave that is asked for."""
GRIP = "the grip of the holding"
FIRMER = "grip harder where the ring bears it, or hold it another way; else a narrower or shallower cut"
HEAD = "the head of the boring bar"
HEAD_ROOM_MM = 0.05
"""What stays free between uncut metal and the bar behind the edge."""
SPEED_RATIO, SPEEDS_TRIED = 0.85, 25
"""Ratio and number of the speeds that are looked through for one at which a hand can keep a feed."""
LEAST_BLADE_MM = 0.8
"""Narrowest parting blade that is asked for; common practice, no source."""
SHARPEST_UM = 2.0
"""Sharpest edge that is asked for: stoned high-speed steel; common practice, no source."""
BAR_DAMPING = 0.02
"""Damping ratio of a plain steel boring bar; upper end of 0.01 to 0.02 (from memory of Altintas)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedDrive:
    """The handle that feeds a pass: its slide, and the gearbox's feeds for it (none: by hand alone)."""

    slide: Slide
    power: tuple[PowerFeed, ...] = ()

    @property
    def handle(self) -> Handle:
        """Handle that feeds."""
        return self.slide.handle


@dataclass(frozen=True, slots=True, kw_only=True)
class CutCase:
    """What one step asks: how much metal, along which way, with what, under which limits.

    Parameters
    ----------
    total_mm : float
        Thickness to be taken off, square to the surface (a radius for turning and boring). [mm]
    step_mm : float
        Thickness of the smallest depth that can be set. [mm]
    way_mm : float
        Slide travel of one pass. [mm]
    large_dia_mm : float
        Largest diameter that is cut. [mm]
    equal_passes : int
        Exact number of (equal) passes, 0 if free.
    width_mm : float
        Width of the chip if the tool settles it (blade, edge tool), else 0: then the depth does.
    stiffness_n_um, damping : float
        Flexible side of the cut, for chatter. [N/µm, 1]
    roughness_um : float
        Mean roughness that a finishing pass must not exceed (ideal Ra of feed and nose), 0 if none is asked. [µm]
    max_rpm : float
        What the holding bears. [rev/min]
    grip_torque_nm : float
        Torque at which the work may begin to slip in its holding, 0 if nobody has reckoned it. [N m]
    """

    name: str
    cut: CutKind
    process: Process
    tool: Tool
    drive: FeedDrive
    total_mm: float
    step_mm: float
    way_mm: float
    large_dia_mm: float
    max_rpm: float
    stiffness_n_um: float
    damping: float = TOOL_DAMPING
    equal_passes: int = 0
    width_mm: float = 0.0
    roughness_um: float = 0.0
    grip_torque_nm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Feed:
    """A feed that exists: of the gearbox, or a band by hand with its pace in seconds for one turn of the handle."""

    kind: FeedKind
    low_mm_rev: float
    high_mm_rev: float
    position: str = ""
    pace_fast_s: float = 0.0
    pace_slow_s: float = 0.0

    @property
    def mean_mm_rev(self) -> float:
        """Feed by which times are reckoned. [mm/rev]"""
        return (self.low_mm_rev + self.high_mm_rev) / 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """The chosen passes of one step.

    ``depth_steps`` are whole steps of the dial, first pass first; ``pass_s`` the time of one pass [s]; ``force`` the
    band of the cutting force at the deepest pass; ``binds`` the limit that keeps the next better choice away.
    """

    depth_steps: tuple[int, ...]
    speed: SpindleSpeed
    feed: Feed
    cutting_speed_m_min: float
    pass_s: float
    force: ForceEstimate
    power_w: float
    torque_nm: float
    binds: str
    total_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class NoSchedule:
    """Why no pass can be set, and what would change that: in words, and as whole things to be tried.

    ``offer`` makes those things, only when somebody asks; ``most_mm`` is the depth or width that would be possible, as
    far as it got, ``bears_mm`` the greatest depth that any speed and feed bears where each bears too little. [mm]
    """

    code: str
    why: str
    remedy: str = SOFTER
    offer: Callable[[], tuple[Remedy, ...]] = tuple
    most_mm: float = 0.0
    bears_mm: float = 0.0

    @property
    def remedies(self) -> tuple[Remedy, ...]:
        """Whole things that would help, each on its own."""
        return self.offer()


CaseResult = Schedule | NoSchedule
Schedules = dict[CutCase, CaseResult]
"""Answers of one lathe, its habits and one metal that have been worked out."""


class KnownSchedules:
    """Answers worked out while one part is planned: most cuts are the same for every ladder, blade and remedy tried."""

    def __init__(self) -> None:
        self._of: dict[tuple[Lathe, Habits, str], Schedules] = {}

    def of(self, lathe: Lathe, habits: Habits, material: Material) -> Schedules:
        """Those of a lathe with the habits of its user and a metal; a new one begins empty."""
        return self._of.setdefault((lathe, habits, material.key), {})


def schedule(case: CutCase, *, material: Material, lathe: Lathe, habits: Habits) -> Schedule | NoSchedule:
    """Quickest schedule that keeps every limit, or the limit that forbids all of them.

    Limits: cutting speed of the tables, speed of the holding, power, torque (a belt position's own limit where the
    shop states one), regenerative chatter, the metal's least feed and, if it hardens, its least depth. A speed far
    below the table, or a hand feed within a hair, is taken only where nothing else goes (`is_unusual`). Ties go to the
    smaller force, then to the slower speed.
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
            f"Ø {case.large_dia_mm:.1f} mm; {material.name} bears {speeds.high_m_min:.0f} with "
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
    forces = _UnitForces(case, material, models)
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
    return _schedule(best[1], case, models)


@dataclass(frozen=True, slots=True)
class _Unit:
    """What a feed does for each millimetre of depth: force [N], and the depth at which chatter begins [mm]."""

    force_n: float
    chatter_mm: float


class _UnitForces:
    """What each feed does in one case; worked out once for each metal, process, edge and angle of the tables."""

    def __init__(self, case: CutCase, material: Material, models: tuple[ForceModel, ...]) -> None:
        self._case = case
        self._models = models
        self._known = _known_forces(material.key) if material is table_material(material.key) else {}
        self._key = (case.process, case.tool.edge, bool(case.width_mm), case.tool.entering_deg)

    def at(self, feed_mm_rev: float) -> _Unit:
        """Force and chatter depth for each millimetre of depth at a feed."""
        key = (*self._key, feed_mm_rev)
        found = self._known.get(key)
        if found is None:
            # chatter goes by a sharp edge; force and power by a worn one
            sharp = force_band(self._models, depth_mm=1.0, feed_mm_rev=feed_mm_rev)
            found = (unit_force(self._case, feed_mm_rev, self._models).ruling_n, sharp.ruling_n)
            self._known[key] = found
        return _Unit(found[0], _chatter_mm(self._case, kc_n_mm2=found[1] / feed_mm_rev))


_ForceKey = tuple[Process, Edge, bool, float, float]


@cache
def _known_forces(_material_key: str) -> dict[_ForceKey, tuple[float, float]]:
    """Forces of a metal of the tables worked out so far: worn and sharp, for 1 mm of depth. [N]"""
    return {}


@dataclass(frozen=True, slots=True)
class _Choice:
    """A speed and feed with the passes that their limits allow."""

    speed: SpindleSpeed
    feed: Feed
    depth_steps: tuple[int, ...]
    deepest_mm: float
    pass_s: float
    binds: str
    total_ms: int


def speed_is_allowed(speed: SpindleSpeed, case: CutCase, speeds: SpeedRange) -> bool:
    """Whether a spindle speed keeps the cutting speed of the table and the holding's limit."""
    surface = cutting_speed_m_min(speed.fastest_rpm, cut_dia_mm=case.large_dia_mm)
    return surface <= speeds.high_m_min and speed.fastest_rpm <= case.max_rpm


def feeds_at(speed: SpindleSpeed, case: CutCase, *, material: Material, habits: Habits) -> tuple[Feed, ...]:
    """Feeds that exist at a speed: of the gearbox, and bands that a hand can keep (handle turns in time)."""
    least = material.range("min_feed").most
    most = material.range("feed_finish" if case.equal_passes or case.width_mm else "feed_rough").most
    if case.roughness_um and case.tool.nose_radius_mm > 0:
        # a feed beyond the nose radius has no such ideal surface; the metal's least feed rules over a fine surface
        ideal = feed_for_mean_roughness_mm_rev(case.roughness_um, nose_radius_mm=case.tool.nose_radius_mm)
        most = max(least, min(most, ideal, case.tool.nose_radius_mm))
    found = [
        Feed(kind=FeedKind.POWER, low_mm_rev=feed.mm_rev, high_mm_rev=feed.mm_rev, position=feed.position)
        for feed in case.drive.power
        if least <= feed.mm_rev <= most
    ]
    if not found:
        found = [
            band
            for high in _hand_feeds_mm_rev(case.drive.slide, speed.rpm, habits, most_mm_rev=most)
            for band in (hand_band(high, speed.rpm, case.drive.slide, least_mm_rev=least, habits=habits),)
            if band is not None
        ]
    return tuple(found)


def _hand_feeds_mm_rev(slide: Slide, speed_rpm: float, habits: Habits, *, most_mm_rev: float) -> tuple[float, ...]:
    """High ends of the bands that a hand can wind: round figures, and what it feeds when it winds as fast as it can.

    With round figures alone the coarse feed of a slow spindle would seem quicker than the fine feed of a fast one, by
    no more than their rounding: the hand winds both as fast as it can.
    """
    fastest = _fastest_hand_feed_mm_rev(slide, speed_rpm, habits)
    top = min(most_mm_rev, fastest)
    rounds = tuple(high for high in HAND_FEEDS_MM_REV if high <= top * ROUND_OFF)
    if top < fastest or fastest > HAND_FEEDS_MM_REV[-1] or (rounds and rounds[-1] * ROUND_OFF >= fastest):
        return rounds
    return (*rounds, fastest)


def _fastest_hand_feed_mm_rev(slide: Slide, speed_rpm: float, habits: Habits) -> float:
    """What a hand feeds that winds a handle as fast as it can. [mm/rev]"""
    factor = habits.carriage_wheel_factor if slide.handle is Handle.CARRIAGE else 1.0
    pace = habits.hand_pace_fast_s * factor
    return 60.0 * slide.travel_per_turn_mm / (pace * speed_rpm) if pace > 0 else inf


def hand_band(
    high_mm_rev: float, speed_rpm: float, slide: Slide, *, least_mm_rev: float, habits: Habits
) -> Feed | None:
    """Band of hand feed below a feed, with its pace; ``None`` if a hand cannot keep it on this handle.

    The carriage's wheel is larger than a slide's crank, so one turn of it may take longer (`Habits`).
    """
    travel = slide.travel_per_turn_mm
    if travel <= 0:
        return None
    low = max(least_mm_rev, HAND_FEED_SPREAD * high_mm_rev)
    if low > high_mm_rev:
        return None
    factor = habits.carriage_wheel_factor if slide.handle is Handle.CARRIAGE else 1.0
    fast = 60.0 * travel / (high_mm_rev * speed_rpm)
    slow = 60.0 * travel / (low * speed_rpm)
    if fast * ROUND_OFF < habits.hand_pace_fast_s * factor or slow > habits.hand_pace_slow_s * factor:
        return None
    return Feed(kind=FeedKind.HAND, low_mm_rev=low, high_mm_rev=high_mm_rev, pace_fast_s=fast, pace_slow_s=slow)


def unit_force(
    case: CutCase, feed_mm_rev: float, models: Sequence[ForceModel], *, depth_mm: float = 1.0
) -> ForceEstimate:
    """Cutting force at a depth (a chip width), all opinions, with wear and, for high speed steel, its factor."""
    factors = ForceFactors(
        speed=HSS_SPEED_FACTOR if case.tool.edge is Edge.HSS else 1.0,
        process=case.process.factor,
        wear=WEAR_FACTOR,
    )
    angle = 90.0 if case.width_mm else min(95.0, max(45.0, case.tool.entering_deg))
    return force_band(models, depth_mm=depth_mm, feed_mm_rev=feed_mm_rev, entering_angle_deg=angle, factors=factors)


def force_limits_n(speed: SpindleSpeed, case: CutCase, *, lathe: Lathe) -> tuple[tuple[float, str], ...]:
    """Greatest cutting force that power, torque and the holding allow at a speed, each with its words."""
    surface = cutting_speed_m_min(speed.fastest_rpm, cut_dia_mm=case.large_dia_mm)
    power = lathe.motor_power_w * lathe.drive_efficiency
    limits = [(power * 60.0 / surface, f"power, {lathe.motor_power_w:.0f} W at the motor")]
    if speed.torque_limit_nm is not None:
        limits.append(
            (
                speed.torque_limit_nm * 2000.0 / case.large_dia_mm,
                f"torque in {speed.position}, {speed.torque_limit_nm:g} N·m",
            )
        )
    if case.grip_torque_nm > 0:
        limits.append((case.grip_torque_nm * 2000.0 / case.large_dia_mm, f"{GRIP}, {case.grip_torque_nm:.2g} N·m"))
    return tuple(limits)


def _chatter_mm(case: CutCase, *, kc_n_mm2: float) -> float:
    return stable_width_mm(
        case.stiffness_n_um, damping_ratio=case.damping, kc_n_mm2=kc_n_mm2, direction_factor=DIRECTION_FACTOR
    )


def _head_limit_mm(tool: Tool) -> Iterable[tuple[float, str]]:
    """How deep a boring bar can cut: its edge is no higher than its head, and metal beyond would meet the bar. [mm]"""
    if tool.kind is ToolKind.BORING and tool.head_mm > HEAD_ROOM_MM and not tool.silhouette:
        yield tool.head_mm - HEAD_ROOM_MM, f"{HEAD}, {tool.head_mm:g} mm high"


def is_unusual(speed: SpindleSpeed, feed: Feed, case: CutCase, speeds: SpeedRange) -> bool:
    """Whether a person would rather not: far slower than the metal wants, a pace that no hand keeps, a feed that runs.

    Or a feed so coarse for the nose that it cuts a thread.
    Passes end in front of jaws, at a shoulder, at the centre: by power the hand must knock the feed off in time.
    """
    surface = cutting_speed_m_min(speed.rpm, cut_dia_mm=case.large_dia_mm)
    tight = feed.kind is FeedKind.HAND and feed.low_mm_rev > HAND_LEAST_SPREAD * feed.high_mm_rev
    coarse = not case.width_mm and feed.high_mm_rev > NOSE_SHARE * case.tool.nose_radius_mm > 0
    hasty = feed.kind is FeedKind.POWER and run_mm_s(feed, speed) > MOST_RUN_MM_S
    return tight or coarse or hasty or surface < SLOWEST_SHARE * speeds.low_m_min


def run_mm_s(feed: Feed, speed: SpindleSpeed) -> float:
    """How fast the tool goes along by a feed at a speed. [mm/s]"""
    return feed.high_mm_rev * speed.fastest_rpm / 60.0


def _quickest_first(
    usable: Sequence[SpindleSpeed], case: CutCase, speeds: SpeedRange, *, material: Material, habits: Habits
) -> list[tuple[bool, float, SpindleSpeed, Feed]]:
    """Every speed with every feed that exists at it, whether it is unusual, and the time of one pass [s].

    The usual ones first, of these the quickest.
    """
    pairs = [
        (is_unusual(speed, feed, case, speeds), pass_time_s(case, feed=feed, speed=speed), speed, feed)
        for speed in usable
        for feed in feeds_at(speed, case, material=material, habits=habits)
    ]
    return sorted(
        pairs, key=lambda pair: (*pair[:2], pair[2].rpm, pair[3].high_mm_rev, pair[2].position, pair[3].position)
    )


def _total_ms(passes: int, pass_s: float, habits: Habits) -> int:
    return round(1000.0 * passes * (pass_s + habits.handling_s))


def _choice(
    speed: SpindleSpeed,
    feed: Feed,
    unit: _Unit,
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
        limits.extend(_head_limit_mm(case.tool))
    most, binds = min(limits)
    if case.width_mm:
        if case.width_mm > most:
            return NoSchedule(
                code=code_of(binds, "chip-too-wide"),
                remedy=FIRMER if binds.startswith(GRIP) else SOFTER,
                offer=lambda: narrower(case, unit, speed, lathe, most_mm=most, binds=binds),
                most_mm=most,
                why=f"{case.name}: a chip {case.width_mm:.2f} mm wide needs more than the lathe has ({binds})",
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
                why=f"{case.name}: depth is limited to {most:.2f} mm by {binds}, which cannot be shared into cuts "
                "that are deep enough for the metal and whole on the dial",
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
    return _Choice(speed, feed, depths, deepest, pass_s, binds, _total_ms(len(depths), pass_s, habits))


def code_of(binds: str, usual: str) -> str:
    """Code of a trouble by what binds: a ring that would slip in its holding is a trouble of its own."""
    return "holding-slips" if binds.startswith(GRIP) else usual


def least_chip_of(case: CutCase) -> float:
    """Thinnest chip that the tool's edge still cuts. [mm]"""
    return least_chip_mm(case.tool.edge_radius_um)


def mean_chip_mm(case: CutCase, depth_mm: float, feed_mm_rev: float) -> float:
    """Mean thickness of the chip, on the rounded nose if the cut does not leave it. [mm]"""
    nose, angle = case.tool.nose_radius_mm, min(case.tool.entering_deg, 90.0)
    if nose > 0 and is_nose_cut(depth_mm, nose_radius_mm=nose, entering_angle_deg=angle):
        return nose_mean_chip_mm(depth_mm, feed_mm_rev=feed_mm_rev, nose_radius_mm=nose)
    return chip_thickness_mm(feed_mm_rev, entering_angle_deg=angle)


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


def depth_floor_mm(case: CutCase, material: Material) -> float:
    """Least depth of a cut: what the metal asks below which it only rubs, hardening metals most of all. [mm]"""
    return 0.0 if case.width_mm else least_depth_mm(material)


def least_depth_mm(material: Material) -> float:
    """Least depth that a metal asks of a cut; 0 if the tables say nothing of it. [mm]"""
    least = material.find("min_depth")
    if least is None:
        return 0.0
    return least.most if material.work_hardening is not WorkHardening.NONE else least.least


def pass_time_s(case: CutCase, *, feed: Feed, speed: SpindleSpeed) -> float:
    """Time of one pass at the mean feed. [s]"""
    return turning_time_s(case.way_mm, feed_mm_rev=feed.mean_mm_rev, speed_rpm=speed.rpm)


# remedies ----------------------------------------------------------------------------------------------------------


def other_edge(tool: Tool) -> tuple[Remedy, ...]:
    """The same tool with an edge of the other material."""
    edge = Edge.CARBIDE if tool.edge is Edge.HSS else Edge.HSS
    return (AddToShop(thing=offers.with_edge(tool, edge)),)


def slower_speed(case: CutCase, speeds: SpeedRange) -> tuple[Remedy, ...]:
    """A speed slow enough for metal and holding."""
    bears = min(spindle_speed_rpm(speeds.high_m_min, cut_dia_mm=case.large_dia_mm), case.max_rpm)
    return _speed(bears)


def _speed(highest_rpm: float) -> tuple[Remedy, ...]:
    found = offers.slow_speed(highest_rpm)
    return () if found is None else (AddToShop(thing=found),)


def feedable(case: CutCase, speeds: SpeedRange, *, material: Material, habits: Habits) -> tuple[Remedy, ...]:
    """The travel of a turn of the handle if nobody has told it; else a speed at which a hand can keep a feed.

    Where the metal bears none that is fast enough, an edge that bears more.
    """
    slide = case.drive.slide
    if slide.travel_per_turn_mm <= 0:
        return (FitSlide(slide=offers.with_turn(slide)),)
    bears = min(spindle_speed_rpm(speeds.high_m_min, cut_dia_mm=case.large_dia_mm), case.max_rpm)
    for i in range(SPEEDS_TRIED):
        found = offers.slow_speed(bears * SPEED_RATIO**i)
        if found is not None and feeds_at(found, case, material=material, habits=habits):
            return (AddToShop(thing=found),)
    return other_edge(case.tool) if case.tool.edge is Edge.HSS else ()


def driven_rpm(depth_mm: float, unit: _Unit, speed: SpindleSpeed, case: CutCase, lathe: Lathe, binds: str) -> float:
    """Speed, no faster than one allowed, at which power drives a cut of some depth; 0 if something else binds."""
    if binds == CHATTER or binds.startswith((GRIP, HEAD)):
        return 0.0
    power = lathe.motor_power_w * lathe.drive_efficiency
    surface = 60.0 * power / (DRIVE_ROOM * unit.force_n * depth_mm)
    return min(speed.rpm, spindle_speed_rpm(surface, cut_dia_mm=case.large_dia_mm))


def narrower(
    case: CutCase, unit: _Unit, speed: SpindleSpeed, lathe: Lathe, *, most_mm: float, binds: str
) -> tuple[Remedy, ...]:
    """A blade as narrow as the lathe can push, if one can be had; a slower speed if power or the belt binds."""
    width = int(10.0 * most_mm) / 10.0
    slower = _speed(driven_rpm(case.width_mm, unit, speed, case, lathe, binds))
    if case.tool.kind not in (ToolKind.PARTING, ToolKind.GROOVING) or width < LEAST_BLADE_MM:
        return slower
    return (AddToShop(thing=offers.like(case.tool, width_mm=width)), *slower)


def for_more_depth(
    case: CutCase, unit: _Unit, speed: SpindleSpeed, lathe: Lathe, *, most_mm: float, floor_mm: float, binds: str
) -> tuple[Remedy, ...]:
    """What lets a cut be as deep as it must: a slower speed if power binds, a stouter bar if a boring bar chatters."""
    needed = max(floor_mm, case.step_mm, case.total_mm / case.equal_passes if case.equal_passes else 0.0)
    if binds != CHATTER:
        return _speed(driven_rpm(needed, unit, speed, case, lathe, binds))
    tool = case.tool
    # a bar's stiffness grows with the fourth power of its diameter
    stouter = float(round(tool.bar_dia_mm * (needed / max(most_mm, TINY_MM)) ** 0.25 + 0.5))
    if tool.bar_dia_mm <= 0 or stouter + tool.head_mm >= case.large_dia_mm:
        return ()
    return (AddToShop(thing=offers.like(tool, bar_dia_mm=stouter)),)


def sharper(tool: Tool, *, share: float) -> tuple[Remedy, ...]:
    """The tool with an edge as sharp as the chip asks, if stoning can give it."""
    radius = int(2.0 * share * tool.edge_radius_um) / 2.0
    return (AddToShop(thing=offers.like(tool, edge_radius_um=radius)),) if radius >= SHARPEST_UM else ()
