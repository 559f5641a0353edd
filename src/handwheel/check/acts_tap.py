"""Tapping by hand: what must be true before a tap is wound into the bore."""

from __future__ import annotations

from msgspec.structs import replace

from handwheel.check.machine import Machine
from handwheel.check.report import RefusalCode
from handwheel.check.scene import Scene
from handwheel.check.section import Section, section
from handwheel.check.solids import Solid
from handwheel.domain.acts import HandStep
from handwheel.domain.hole_tools import Tap
from handwheel.domain.part import BORE, Aspect
from handwheel.domain.thread import Thread

CORE_MM = 2e-3
"""How far the hole may pass the limits of the minor diameter: figures are rounded."""
ENTRY_MM = 0.2
"""A tap starts straight if the hole is wider than its core at the face by this much; common practice, no source."""
BESIDE_MM = 1e-3
"""How far behind the face the entry is read."""


def tap_bore(scene: Scene, act: HandStep) -> Machine:
    """Wind a tap through the bore by hand, the spindle standing."""
    machine, thread = scene.machine, scene.case.part.thread
    tap = next((tap for tap in scene.case.shop.taps if tap.id == act.tool), None)
    if tap is None:
        scene.refuse(RefusalCode.UNKNOWN_TAP, f"tap {act.tool!r}: the shop has none; choose one it has")
        return machine
    if act.surface != BORE:
        scene.refuse(RefusalCode.UNKNOWN_SURFACE, f"tapping {act.surface!r}: only the bore is tapped; say so")
        return machine
    if machine.work is None or machine.severed:
        scene.refuse(RefusalCode.NOT_HELD, "tapping and there is no work; load the bar first")
        return machine
    if thread is None or tap.thread != thread:
        wanted = "no thread" if thread is None else thread.designation
        scene.refuse(RefusalCode.UNKNOWN_TAP, f"tap {tap.id!r} cuts {tap.thread.designation}; the part has {wanted}")
        return machine
    if not act.cautions:
        scene.refuse(RefusalCode.MISSING_CAUTION, "tapping and no caution stands that the power must be off; print it")
    _check_toolpost(scene, thread)
    _check_hole(scene, tap, machine.work)
    return replace(machine, tapped=thread)


def _check_toolpost(scene: Scene, thread: Thread) -> None:
    """Refuse a toolpost tool that stands where tap and wrench come along."""
    machine = scene.machine
    if machine.fitted is None or machine.place is None:
        return
    if machine.fitted.shape.box[1] + machine.place.radius_mm <= float(thread.major_mm) / 2.0 + 1.0:
        scene.refuse(
            RefusalCode.STRIKES_DRILL,
            f"{machine.fitted.tool.name} stands in the way of the tap; wind the cross-slide out first",
        )


def _check_hole(scene: Scene, tap: Tap, work: Solid) -> None:
    """Refuse a core outside its limits, a sharp entry, and a hole in which the lead finds no room."""
    found, width = section(work.region), scene.case.part.width_mm
    feature, land = scene.case.part.feature(BORE, Aspect.DIAMETER), scene.case.part.surface(BORE)
    if feature is None or land is None:
        return
    core = found.inner_radii_mm(land.end.z_mm + BESIDE_MM, land.start.z_mm - BESIDE_MM)
    low, high = float(feature.size.cut_lower), float(feature.size.cut_upper)
    if core is None or 2.0 * core[0] < low - CORE_MM or 2.0 * core[1] > high + CORE_MM:
        is_said = "there is no hole" if core is None else f"the hole is {2 * core[0]:.3f} to {2 * core[1]:.3f} mm"
        scene.refuse(
            RefusalCode.TAP_CORE,
            f"tap {tap.id!r}: {is_said} and its core must be {low:.3f} to {high:.3f} mm: smaller breaks the tap, "
            "larger leaves a shallow thread",
        )
        return
    _check_entry(scene, tap, found, core_mm=2.0 * core[1])
    deep = -(width + tap.lead_mm)
    bottom = found.inner_radii_mm(max(deep, found.low_z_mm + BESIDE_MM), land.end.z_mm)
    if bottom is None or 2.0 * bottom[0] < low - CORE_MM:
        scene.refuse(
            RefusalCode.TAP_NOT_THROUGH,
            f"tap {tap.id!r}: its lead of {tap.lead_mm:g} mm does not come through: the hole is no deeper than the "
            "part; drill and bore deeper before",
        )


def _check_entry(scene: Scene, tap: Tap, found: Section, *, core_mm: float) -> None:
    """Refuse an entry without a bevel."""
    entry = found.inner_radii_mm(found.high_z_mm - 2.0 * BESIDE_MM, found.high_z_mm - BESIDE_MM)
    if entry is None or 2.0 * entry[1] < core_mm + ENTRY_MM:
        scene.refuse(
            RefusalCode.TAP_ENTRY,
            f"tap {tap.id!r}: the hole has a sharp rim, the tap starts askew and raises a burr; bevel the rim first",
        )
