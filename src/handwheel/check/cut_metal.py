"""Whether the metal that a cut meets is what the sheet says, at a speed that metal and holding bear."""

from __future__ import annotations

from handwheel.check.acts_spindle import check_speed_of_holding
from handwheel.check.bite import LEAST_CHIP_MM2, Bite, depth_met_mm, extent_mm, loading_depth_mm
from handwheel.check.limits import (
    CutFacts,
    cut_kind,
    fastest_rpm,
    least_depth_fault,
    metal_speed_fault,
)
from handwheel.check.loads import Chip, check_loads, chip_loads, chip_of
from handwheel.check.report import RefusalCode
from handwheel.check.scene import Scene
from handwheel.check.surfaces import is_edge
from handwheel.domain.acts import Cut, SetFeed
from handwheel.domain.contour import Point
from handwheel.domain.tools import ToolKind
from handwheel.geometry.region import (
    area_mm2,
    bounds_mm,
)

BLADE_SHARE = 0.5
"""A parting blade must cut with at least this share of its width; common practice, no source."""
DEEPER_MM = 2e-3
DEEPER_SHARE = 0.01
"""The metal met may be deeper than printed by these two together."""
DIA_SHARE = 0.005
DIA_MM = 0.02
"""The diameter cut may pass the printed one of the speed by these two together."""


def check_metal(scene: Scene, act: Cut, bite: Bite) -> Chip | None:
    """Refuse air, metal deeper or larger than printed, and speeds and depths outside the limits.

    Returns the chip, as far as anything can be reckoned of it.
    """
    machine, material = scene.machine, scene.case.material
    if machine.fitted is None:
        return None
    if area_mm2(bite.taken) <= LEAST_CHIP_MM2:
        scene.refuse(
            RefusalCode.CUTS_AIR, f"cutting {act.surface}: the edge meets no metal; check the setting before this cut"
        )
        return None
    depth = depth_met_mm(scene, act, bite)
    if depth > act.depth_mm + DEEPER_MM + DEEPER_SHARE * abs(act.depth_mm):
        scene.refuse(
            RefusalCode.DEEPER_THAN_SAID,
            f"cutting {act.surface}: the edge meets {depth:.3f} mm of metal, and the sheet says {act.depth_mm:.3f} mm; "
            "take less at a time",
        )
    dia = 2.0 * bounds_mm(bite.taken_before_nose)[3]
    tool = machine.fitted.tool
    facts = CutFacts(kind=tool.kind, edge=tool.edge, is_edge=is_edge(act.surface), depth_mm=depth, largest_dia_mm=dia)
    _check_blade(scene, act, bite)
    check_dia(scene, dia)
    _check_speed(scene, act, facts)
    loading = loading_depth_mm(act, bite, depth_mm=depth)
    chip = chip_of(scene, act, bite, depth_mm=loading, dia_mm=dia)
    if chip is not None:
        check_loads(scene, f"cutting {act.surface}", chip_loads(scene, chip))
    found = None if material is None else least_depth_fault(material, facts)
    if found is not None:
        scene.refuse(*found)
    return chip


def _check_blade(scene: Scene, act: Cut, bite: Bite) -> None:
    """Refuse a parting blade that cuts with one corner: it is pushed aside and wanders."""
    fitted = scene.machine.fitted
    if fitted is None or fitted.tool.kind is not ToolKind.PARTING:
        return
    width_mm = extent_mm(bite.taken, Point(1.0, 0.0))
    if width_mm < BLADE_SHARE * fitted.tool.width_mm:
        scene.refuse(
            RefusalCode.TOOL_CANNOT,
            f"cutting {act.surface}: {fitted.tool.name} meets metal on {width_mm:.2f} mm of its width alone "
            "and is pushed "
            "aside; face with a facing tool",
        )


def check_dia(scene: Scene, dia_mm: float) -> None:
    """Refuse a diameter larger than the one that the speed was chosen for."""
    speed = scene.machine.speed
    if speed is not None and dia_mm > speed.cut_dia_mm * (1.0 + DIA_SHARE) + DIA_MM:
        scene.refuse(
            RefusalCode.SPEED_WORDS_WRONG,
            f"the speed was set for {speed.cut_dia_mm:.2f} mm diameter and {dia_mm:.2f} mm are cut: it is "
            "faster than printed",
        )


def _check_speed(scene: Scene, act: Cut, facts: CutFacts) -> None:
    machine, material = scene.machine, scene.case.material
    if machine.speed is None:
        scene.refuse(RefusalCode.SPEED_NOT_SET, f"cutting {act.surface} before a speed was set; set one of the list")
        return
    fastest = fastest_rpm(scene.case.lathe, machine.speed)
    check_speed_of_holding(scene, fastest)
    if material is None:
        return
    feed: SetFeed | None = machine.feeds.get(act.handle)
    kind = cut_kind(facts, feed)
    found = metal_speed_fault(material, edge=facts.edge, cut=kind, speed_rpm=fastest, cut_dia_mm=facts.largest_dia_mm)
    if found is not None:
        scene.refuse(*found)
