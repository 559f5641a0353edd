"""What keeps a cut from being deeper: power, torque, grip, chatter, the head of a bar; and how deep it must be."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache
from math import ceil

from msgspec import Struct

from handwheel.data.force_ratios import radial_ratio
from handwheel.data.forces import ForceModel
from handwheel.data.least_cuts import least_depth_mm
from handwheel.data.materials import Material
from handwheel.data.materials import material as table_material
from handwheel.domain.lathe import Lathe, SpindleSpeed
from handwheel.domain.motion import Edge
from handwheel.domain.part import Units
from handwheel.domain.said import said_short
from handwheel.domain.tools import Tool, ToolKind
from handwheel.physics.diameter_error import straight_force_n
from handwheel.physics.drive import listed_power_w
from handwheel.physics.force import ForceEstimate, Process, force_band, worn_force_band
from handwheel.physics.min_chip import least_chip_mm
from handwheel.physics.min_chip import mean_chip_mm as chip_mean_mm
from handwheel.physics.quiet_cut import quiet_depth_mm
from handwheel.physics.speed import cutting_speed_m_min
from handwheel.planner.cut_case import CutCase, Eased, Feed, Schedule
from handwheel.planner.dialing import steps_at_least

CHATTER = "chatter"
TINY_MM = 1e-3
DRIVE_ROOM = 1.1
"""How much more power than a cut needs a speed must leave that is asked for."""
POWER, TORQUE = "power", "torque"
PUSH = "push by hand"
GRIP = "the grip of the holding"
BENDING = "bending"
BENDING_WORDS = f"{BENDING}, a quarter of the tolerance"
OVER_STEP = 0.1
"""Cuts that bend further than they had better tie within so much of the limit; ours, no source. [1]"""
ROUND_OFF = 1e-9
HEAD = "the head of the boring bar"
EASED = "the gentler cut that was asked for"
HEAD_ROOM_MM = 0.05
"""What stays free between uncut metal and the bar behind the edge."""


class DepthForce(Struct, frozen=True):
    """What a feed does for each millimetre of depth: force [N], and the depth at which chatter begins [mm]."""

    force_n: float
    chatter_mm: float


class DepthForces:
    """What each feed does in one case; worked out once for each metal, process, edge and angle of the tables."""

    def __init__(self, case: CutCase, material: Material, models: tuple[ForceModel, ...]) -> None:
        self._case = case
        self._models = models
        self._known = _known_forces(material.key) if material is table_material(material.key) else {}
        self._key = (case.process, case.tool.edge, bool(case.width_mm), case.tool.entering_deg)

    def at(self, feed: Feed) -> DepthForce:
        """Force and chatter depth for each millimetre of depth at a feed.

        Of a band that a hand keeps the coarse end for the force; for chatter, which takes many turns to grow, the
        middle.
        """
        key = (*self._key, feed.low_mm_rev, feed.high_mm_rev)
        found = self._known.get(key)
        if found is None:
            # chatter goes by a sharp edge; force and power by a worn one
            sharp = force_band(self._models, depth_mm=1.0, feed_mm_rev=feed.mean_mm_rev)
            found = (unit_force(self._case, feed.high_mm_rev, self._models).ruling_n, sharp.ruling_n)
            self._known[key] = found
        return DepthForce(found[0], chatter_depth_mm(self._case, kc_n_mm2=found[1] / feed.mean_mm_rev))


_ForceKey = tuple[Process, Edge, bool, float, float, float]


@cache
def _known_forces(_material_key: str) -> dict[_ForceKey, tuple[float, float]]:
    """Forces of a metal of the tables worked out so far: worn and sharp, for 1 mm of depth. [N]"""
    return {}


def unit_force(
    case: CutCase, feed_mm_rev: float, models: Sequence[ForceModel], *, depth_mm: float = 1.0
) -> ForceEstimate:
    """Cutting force at a depth (a chip width), all opinions, with wear and, for high speed steel, its factor."""
    return worn_force_band(
        models,
        width_mm=depth_mm,
        feed_mm_rev=feed_mm_rev,
        process=case.process,
        hss=case.tool.edge is Edge.HSS,
        entering_angle_deg=90.0 if case.width_mm else case.tool.entering_deg,
    )


def force_limits_n(speed: SpindleSpeed, case: CutCase, *, lathe: Lathe) -> tuple[tuple[float, str], ...]:
    """Greatest cutting force that power, torque and the holding allow at a speed, each with its words."""
    surface = cutting_speed_m_min(speed.fastest_rpm, cut_dia_mm=case.large_dia_mm)
    limits = [(listed_power_w(lathe, speed) * 60.0 / surface, power_words(lathe, speed))]
    if speed.torque_limit_nm is not None:
        limits.append(
            (
                speed.torque_limit_nm * 2000.0 / case.large_dia_mm,
                f"{TORQUE} in {speed.position}, {speed.torque_limit_nm:g} N·m",
            )
        )
    if case.grip_torque_nm > 0:
        limits.append((case.grip_torque_nm * 2000.0 / case.large_dia_mm, f"{GRIP}, {case.grip_torque_nm:.2g} N·m"))
    return tuple(limits)


def power_words(lathe: Lathe, speed: SpindleSpeed) -> str:
    """What the limit of power is called at a speed."""
    motor_w = lathe.motor_power_w
    share = listed_power_w(lathe, speed) / (motor_w * lathe.drive_efficiency)
    if share >= 1.0:
        return f"{POWER}, {motor_w:.0f} W at the motor"
    least = f"{POWER}, {share * motor_w:.0f} W of {motor_w:.0f} W at the motor for so slow a speed"
    return f"{least}, as full_power_from is not said" if speed.full_power_assumed else least


def eased_limits(limits: Sequence[tuple[float, str]], eased: Eased, unit: DepthForce) -> list[tuple[float, str]]:
    """Greatest depths that a gentler cut may take: its share of each limit, and what its force bears. [mm]"""
    shares = [(eased.share * limit, f"{words}, {eased.share:.0%} of it".replace("%", " %")) for limit, words in limits]
    return [*shares, (eased.force_n / unit.force_n, f"{EASED}, {eased.force_n:.0f} N at most")]


def chatter_depth_mm(case: CutCase, *, kc_n_mm2: float) -> float:
    """Depth (or width of chip) at which the flexible side of a case begins to chatter. [mm]"""
    return quiet_depth_mm(case.stiffness_n_um, damping_ratio=case.damping, kc_n_mm2=kc_n_mm2)


def head_limits(tool: Tool, units: Units) -> Iterable[tuple[float, str]]:
    """How deep a boring bar can cut: its edge is no higher than its head, and metal beyond would meet the bar. [mm]"""
    if tool.kind is ToolKind.BORING and tool.head_mm > HEAD_ROOM_MM and not tool.silhouette:
        yield tool.head_mm - HEAD_ROOM_MM, f"{HEAD}, {said_short(tool.head_mm, units)} high"


def bending_limits(case: CutCase, unit: DepthForce) -> Iterable[tuple[float, str]]:
    """Depth of two last cuts from which their bending takes more of the tolerance than it had better. [mm]

    The two are alike and the first is measured, so that what bends is measured away but for what is unlike between
    them: the limit is one to keep if it can be kept, not one that forbids a cut.
    """
    if case.bending is not None:
        ratio = radial_ratio(last_depth_mm(case), case.tool.nose_radius_mm, case.tool.entering_deg)
        straight = straight_force_n(
            case.bending.tolerance_mm, stiffness_n_um=case.bending.stiffness_n_um, passive_ratio=ratio.most
        )
        yield straight / unit.force_n, BENDING_WORDS


def last_depth_mm(case: CutCase) -> float:
    """Depth of each of so many equal passes, in whole steps. [mm]"""
    return -(-steps_at_least(case.total_mm, case.step_mm) // max(1, case.equal_passes)) * case.step_mm


def over_bending(case: CutCase, unit: DepthForce) -> int:
    """By how many tenths of its limit the two last cuts bend too far; 0 if they do not, or if nothing is asked."""
    shares = [last_depth_mm(case) / depth for depth, _ in bending_limits(case, unit)]
    return max((ceil((share - 1.0) / OVER_STEP - ROUND_OFF) for share in shares if share > 1.0 + ROUND_OFF), default=0)


def bending_share(found: Schedule) -> float:
    """Share of its limit that the bending of the two last cuts of a schedule takes up; 0 where nothing is asked. [1]"""
    return max((load.share for load in found.loads if load.limit == BENDING_WORDS), default=0.0)


def limit_name(words: str) -> str:
    """Name of a limit whatever the figures in its words are: the torque of every belt position is one limit.

    Examples
    --------
    >>> limit_name("torque in B2, 12 N·m"), limit_name("the grip of the holding, 3.1 N·m"), limit_name("chatter")
    ('torque', 'the grip of the holding', 'chatter')
    """
    return next((name for name in (POWER, TORQUE, GRIP, CHATTER, PUSH, BENDING) if words.startswith(name)), words)


def code_of(binds: str, usual: str) -> str:
    """Code of a trouble by what binds: a ring that would slip in its holding is a trouble of its own."""
    return "holding-slips" if binds.startswith(GRIP) else usual


def least_chip_of(case: CutCase) -> float:
    """Thinnest chip that the tool's edge still cuts. [mm]"""
    return least_chip_mm(case.tool.edge_radius_um)


def mean_chip_mm(case: CutCase, depth_mm: float, feed_mm_rev: float) -> float:
    """Mean thickness of the chip, on the rounded nose if the cut does not leave it. [mm]"""
    return chip_mean_mm(
        depth_mm,
        feed_mm_rev=feed_mm_rev,
        nose_radius_mm=case.tool.nose_radius_mm,
        entering_angle_deg=case.tool.entering_deg,
    )


def depth_floor_mm(case: CutCase, material: Material) -> float:
    """Least depth of a cut: what the metal asks below which it only rubs, hardening metals most of all. [mm]"""
    return 0.0 if case.width_mm else least_depth_mm(material)
