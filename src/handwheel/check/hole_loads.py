"""What drills and reamers ask of drive and hand, reckoned anew from the hole that the replay has left."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.check.limits import fastest_rpm
from handwheel.check.loads import Load, coarse_feed, drive_loads
from handwheel.check.report import RefusalCode
from handwheel.check.scene import Scene
from handwheel.check.section import section
from handwheel.check.touching import drill_point_mm
from handwheel.data.drill_feeds import drill_feeds, feed_band
from handwheel.data.forces import force_models
from handwheel.data.materials import Material
from handwheel.data.reaming import Reaming, reaming_range
from handwheel.domain.hole_tools import Drill, Reamer
from handwheel.domain.motion import Handle
from handwheel.physics.drilling import push_n, worn_drill_torque_band_nm
from handwheel.physics.power import power_at_speed_w

SHORT_END_MM = 0.5
"""How much nearer to the face the hole before may end, so that less than a millimetre of a drill's way meets more than
was reckoned; common practice, no source."""
CUTS_MM = 1e-3
"""A hole that is no smaller than drill or reamer, but for this, leaves them nothing to cut."""


def drill_loads(scene: Scene, drill: Drill, tip_mm: float) -> Iterator[Load]:
    """Everything that a drill asks on its way to a place of its tip."""
    material, feed = scene.case.material, scene.machine.feeds.get(Handle.QUILL)
    if material is None or feed is None or not 0 < feed.low_mm_rev <= feed.high_mm_rev:
        return
    dia = float(drill.dia_mm)
    low, high = feed_band(drill, material)
    yield coarse_feed(
        feed.high_mm_rev, max(low, high), what=f"feed that a drill of {dia:g} mm bears in {material.name}"
    )
    hole = _hole_mm(scene, tip_mm + drill_point_mm(drill))
    if hole > dia - CUTS_MM or not _has_torque(material):
        return
    yield from _turned(scene, material, dia, hole, feed.high_mm_rev)
    solid = _torque_nm(material, dia, 0.0, feed.high_mm_rev)
    yield Load(
        code=RefusalCode.PUSH_EXCEEDED,
        asked=push_n(dia, hole_dia_mm=hole, feed_mm_rev=feed.high_mm_rev, solid_torque_nm=solid),
        allowed=scene.case.shop.habits.quill_push_n,
        unit="N",
        what="push that a hand keeps up through the quill",
        remedy="a finer feed, or a smaller drill before it",
    )


def ream_loads(scene: Scene, reamer: Reamer, tip_mm: float) -> Iterator[Load]:
    """Everything that a reamer asks on its way to a place of its end."""
    material, feed = scene.case.material, scene.machine.feeds.get(Handle.QUILL)
    if material is None or feed is None or not 0 < feed.low_mm_rev <= feed.high_mm_rev:
        return
    dia = float(reamer.dia_mm)
    most = reaming_range(Reaming.FEED_SHARE, reamer.kind).most * max(drill_feeds(dia, material))
    yield coarse_feed(feed.high_mm_rev, most, what=f"feed that a reamer of {dia:g} mm bears in {material.name}")
    hole = _hole_mm(scene, tip_mm + reamer.lead_mm)
    if 0 < hole <= dia - CUTS_MM and _has_torque(material):
        yield from _turned(scene, material, dia, hole, feed.high_mm_rev)


def _turned(scene: Scene, material: Material, dia_mm: float, hole_mm: float, feed_mm_rev: float) -> Iterator[Load]:
    speed = scene.machine.speed
    if speed is None:
        return
    torque = _torque_nm(material, dia_mm, hole_mm, feed_mm_rev)
    power = power_at_speed_w(torque, speed_rpm=fastest_rpm(scene.case.lathe, speed))
    yield from drive_loads(scene.case.lathe, scene.machine, power_asked_w=power, torque_asked_nm=torque)


def _has_torque(material: Material) -> bool:
    """Whether the tables tell the torque of a drill in a metal."""
    return material.find("kd_drilling") is not None or any(model.mc is not None for model in force_models(material))


def _torque_nm(material: Material, dia_mm: float, hole_mm: float, feed_mm_rev: float) -> float:
    constant = material.find("kd_drilling")
    return worn_drill_torque_band_nm(
        force_models(material),
        drill_dia_mm=dia_mm,
        hole_dia_mm=hole_mm,
        feed_mm_rev=feed_mm_rev,
        work_constant=constant.most if constant else None,
    )[1]


def _hole_mm(scene: Scene, full_mm: float) -> float:
    """Diameter of the hole where it is narrowest, from the face to where the full diameter will end; 0 if none is.

    What lies beyond, under the point, is not counted, nor the last `SHORT_END_MM`, where the hole before may already
    narrow to its point: below its end only the middle of the point meets the solid, for less than a millimetre.
    """
    work = scene.machine.work
    if work is None:
        return 0.0
    found = section(work.region).inner_radii_mm(min(full_mm + SHORT_END_MM, work.box[2]), work.box[2])
    return 0.0 if found is None else 2.0 * max(0.0, found[0])
