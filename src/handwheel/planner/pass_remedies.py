"""What would let a cut be made that no speed and feed of the lathe allow: whole things to be tried."""

from __future__ import annotations

from handwheel.data.materials import Material
from handwheel.data.speeds import SpeedRange
from handwheel.domain.habits import Habits
from handwheel.domain.lathe import Lathe, SpindleSpeed
from handwheel.domain.motion import Edge
from handwheel.domain.remedies import AddToShop, FitSlide, Remedy
from handwheel.domain.tools import Tool, ToolKind
from handwheel.physics.speed import spindle_speed_rpm
from handwheel.planner import offers
from handwheel.planner.cut_case import CutCase
from handwheel.planner.cut_limits import CHATTER, DRIVE_ROOM, GRIP, HEAD, TINY_MM, DepthForce
from handwheel.planner.feeds import feeds_at

SPEED_RATIO, SPEEDS_TRIED = 0.85, 25
"""Ratio and number of the speeds that are looked through for one at which a hand can keep a feed."""
LEAST_BLADE_MM = 0.8
"""Narrowest parting blade that is asked for; common practice, no source."""
SHARPEST_UM = 2.0
"""Sharpest edge that is asked for: stoned high-speed steel; common practice, no source."""


def other_edge(tool: Tool) -> tuple[Remedy, ...]:
    """The same tool with an edge of the other material."""
    edge = Edge.CARBIDE if tool.edge is Edge.HSS else Edge.HSS
    return (AddToShop(thing=offers.with_edge(tool, edge)),)


def slower_speed(case: CutCase, speeds: SpeedRange) -> tuple[Remedy, ...]:
    """A speed slow enough for metal and holding."""
    bears = min(spindle_speed_rpm(speeds.high_m_min, cut_dia_mm=case.large_dia_mm), case.max_rpm)
    return slow_enough(bears)


def slow_enough(highest_rpm: float) -> tuple[Remedy, ...]:
    """A speed no faster than one, if there is any. [rev/min]"""
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


def driven_rpm(
    depth_mm: float, unit: DepthForce, speed: SpindleSpeed, case: CutCase, lathe: Lathe, binds: str
) -> float:
    """Speed, no faster than one allowed, at which power drives a cut of some depth; 0 if something else binds."""
    if binds == CHATTER or binds.startswith((GRIP, HEAD)):
        return 0.0
    power = lathe.motor_power_w * lathe.drive_efficiency
    surface = 60.0 * power / (DRIVE_ROOM * unit.force_n * depth_mm)
    return min(speed.rpm, spindle_speed_rpm(surface, cut_dia_mm=case.large_dia_mm))


def narrower(
    case: CutCase, unit: DepthForce, speed: SpindleSpeed, lathe: Lathe, *, most_mm: float, binds: str
) -> tuple[Remedy, ...]:
    """A blade as narrow as the lathe can push, if one can be had; a slower speed if power or the belt binds."""
    width = int(10.0 * most_mm) / 10.0
    slower = slow_enough(driven_rpm(case.width_mm, unit, speed, case, lathe, binds))
    if case.tool.kind not in (ToolKind.PARTING, ToolKind.GROOVING) or width < LEAST_BLADE_MM:
        return slower
    return (AddToShop(thing=offers.like(case.tool, width_mm=width)), *slower)


def for_more_depth(
    case: CutCase, unit: DepthForce, speed: SpindleSpeed, lathe: Lathe, *, most_mm: float, floor_mm: float, binds: str
) -> tuple[Remedy, ...]:
    """What lets a cut be as deep as it must: a slower speed if power binds, a stouter bar if a boring bar chatters."""
    needed = max(floor_mm, case.step_mm, case.total_mm / case.equal_passes if case.equal_passes else 0.0)
    if binds != CHATTER:
        return slow_enough(driven_rpm(needed, unit, speed, case, lathe, binds))
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
