"""What a handbook's chart says of a cut, and what that cut would ask of a lathe, by the package's own relations."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.data.drill_feeds import drill_feeds
from handwheel.data.forces import force_models
from handwheel.data.materials import Property, material
from handwheel.data.speed_factors import SpeedFactors, speed_factors
from handwheel.data.speeds import CutKind, cutting_speed
from handwheel.domain.motion import Edge
from handwheel.physics.edge_speed import adjusted_speed_m_min
from handwheel.physics.force import force_band
from handwheel.physics.power import power_w, torque_at_speed_nm, torque_nm
from handwheel.physics.quiet_cut import quiet_depth_mm
from handwheel.physics.speed import spindle_speed_rpm
from handwheel.planner.cut_limits import unit_force
from handwheel.planner.kinds.drill import torque_band_nm
from tests.docs.lathes import METAL

if TYPE_CHECKING:
    from handwheel.domain.hole_tools import Drill
    from handwheel.domain.lathe import Lathe
    from handwheel.planner.cut_case import CutCase
    from tests.docs.lathes import Planned

_AT = re.compile(r"depth ([\d.]+) mm, feed ([\d.]+) mm")
"""Depth [mm] and feed [mm/rev] that a row of the tables says its speeds are for."""


class ChartCut(Struct, frozen=True, kw_only=True):
    """A cut as a chart has it: depth [mm], feed [mm/rev], speeds [m/min], where it says so, on which diameter [mm]."""

    name: str
    depth_mm: float
    feed_mm_rev: float
    low_m_min: float
    high_m_min: float
    source_key: str
    standing: str
    dia_mm: float
    force_n: float

    @property
    def rpm(self) -> tuple[float, float]:
        """Spindle speeds that the chart asks for. [rev/min]"""
        return (
            spindle_speed_rpm(self.low_m_min, cut_dia_mm=self.dia_mm),
            spindle_speed_rpm(self.high_m_min, cut_dia_mm=self.dia_mm),
        )

    @property
    def power_w(self) -> float:
        """Power at the spindle that it needs at the low end of its speeds. [W]"""
        return power_w(self.force_n, cutting_speed_m_min=self.low_m_min)

    @property
    def torque_nm(self) -> float:
        """Torque at the spindle that it needs. [N m]"""
        return torque_nm(self.force_n, cut_dia_mm=self.dia_mm)


class Asked(Struct, frozen=True, kw_only=True):
    """How many times a cut asks what a lathe has: power, torque at its slowest speed, depth before it chatters. [1]"""

    power: float
    torque: float
    depth: float


def chart_cut(found: Planned, step: str, cut: CutKind, *, name: str, depth_mm: float | None = None) -> ChartCut:
    """The chart's own cut in place of a planned one; with a depth given its speed and feed at that depth."""
    case = case_of(found, step)
    row = material(METAL).find(Property(f"vc_{case.tool.edge.value}_{cut.value}"))
    at = None if row is None else _AT.search(row.place)
    if row is None or at is None:
        msg = f"{METAL}, {case.tool.edge.value}, {cut.value}: the tables do not say for which depth and feed"
        raise ValueError(msg)
    depth, feed = float(at[1]) if depth_mm is None else depth_mm, float(at[2])
    return ChartCut(
        name=name,
        depth_mm=depth,
        feed_mm_rev=feed,
        low_m_min=row.least,
        high_m_min=row.most,
        source_key=row.source_key,
        standing=row.standing.value,
        dia_mm=case.large_dia_mm,
        force_n=unit_force(case, feed, force_models(material(METAL)), depth_mm=depth).ruling_n,
    )


def parting_cut(found: Planned) -> ChartCut:
    """Parting off by the tables: a share of the turning speed, the coarsest finishing feed; common practice both."""
    case = case_of(found, "part-off")
    speeds = cutting_speed(material(METAL), edge=case.tool.edge, cut=CutKind.PART)
    feed = material(METAL).range("feed_finish").most
    return ChartCut(
        name="parting off",
        depth_mm=case.width_mm,
        feed_mm_rev=feed,
        low_m_min=speeds.low_m_min,
        high_m_min=speeds.high_m_min,
        source_key=speeds.source_key,
        standing=speeds.standing.value,
        dia_mm=case.large_dia_mm,
        force_n=unit_force(case, feed, force_models(material(METAL)), depth_mm=case.width_mm).ruling_n,
    )


def drill_torque_nm(drill: Drill, *, hole_dia_mm: float) -> tuple[float, float, float]:
    """Coarsest feed that the chart has for a drill [mm/rev], its lowest speed [rev/min], torque that it needs. [N m]"""
    feed = drill_feeds(float(drill.dia_mm), material(METAL))[1]
    speeds = cutting_speed(material(METAL), edge=Edge.HSS, cut=CutKind.DRILL)
    torque = torque_band_nm(drill, feed, hole_dia_mm=hole_dia_mm, material=material(METAL))[1]
    return feed, spindle_speed_rpm(speeds.low_m_min, cut_dia_mm=float(drill.dia_mm)), torque


def case_of(found: Planned, step: str) -> CutCase:
    """What a step asks of a cut."""
    case = found.cut(step).case
    if case is None:
        msg = f"step {step}: has no case"
        raise ValueError(msg)
    return case


def at_spindle_w(lathe: Lathe) -> float:
    """Power that arrives at the spindle. [W]"""
    return lathe.motor_power_w * lathe.drive_efficiency


def most_torque_nm(lathe: Lathe, rpm: float) -> float:
    """Torque that the power gives at a speed. [N m]"""
    return torque_at_speed_nm(at_spindle_w(lathe), speed_rpm=rpm)


def slowest_rpm(lathe: Lathe) -> float:
    """Slowest speed of a lathe. [rev/min]"""
    return min(speed.rpm for speed in lathe.speeds)


def quiet_mm(case: CutCase, feed_mm_rev: float) -> float:
    """Depth before a cut chatters at a feed. [mm]"""
    sharp = force_band(force_models(material(METAL)), depth_mm=1.0, feed_mm_rev=feed_mm_rev).ruling_n / feed_mm_rev
    return quiet_depth_mm(case.stiffness_n_um, damping_ratio=case.damping, kc_n_mm2=sharp)


def asked(cut: ChartCut, found: Planned, step: str) -> Asked:
    """How many times a chart's cut asks what a lathe has."""
    lathe = found.shop.lathe
    return Asked(
        power=cut.power_w / at_spindle_w(lathe),
        torque=cut.torque_nm / most_torque_nm(lathe, slowest_rpm(lathe)),
        depth=cut.depth_mm / quiet_mm(case_of(found, step), cut.feed_mm_rev),
    )


def lighter_factor(*, depth_mm: float, feed_mm_rev: float, base: ChartCut) -> float:
    """By how much another handbook raises the speed for a lighter cut in high speed steel. [1]"""
    depths, feeds = speed_factors(SpeedFactors.HSS_DEPTH), speed_factors(SpeedFactors.HSS_FEED)
    light, own = (
        adjusted_speed_m_min(1.0, depth_mm=depth, feed_mm_rev=feed, depth_factors=depths, feed_factors=feeds)
        for depth, feed in ((depth_mm, feed_mm_rev), (base.depth_mm, base.feed_mm_rev))
    )
    return light / own
