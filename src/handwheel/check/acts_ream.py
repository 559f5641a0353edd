"""The acts that ream: a reamer into the tailstock, and through the hole that waits for it."""

from __future__ import annotations

from msgspec.structs import replace

from handwheel.check.acts_drill import quill_way_mm
from handwheel.check.acts_spindle import check_speed_of_holding, must_stand, must_turn_forward
from handwheel.check.bite import LEAST_CHIP_MM2
from handwheel.check.cut_metal import check_dia
from handwheel.check.cut_ready import check_cautioned
from handwheel.check.hole_loads import ream_loads
from handwheel.check.limits import fastest_rpm, metal_speed_fault, pace_feed_fault
from handwheel.check.loads import check_loads
from handwheel.check.machine import Machine, SlideState, slide_gone_to, zeros_lost
from handwheel.check.report import RefusalCode
from handwheel.check.scene import Scene
from handwheel.check.section import section
from handwheel.check.solids import rest, shared, solid
from handwheel.check.touching import check_toolpost_clear, reamer_outline
from handwheel.check.winding import DRILLED_MM, check_span, wind
from handwheel.data.reaming import Reaming, reaming_range
from handwheel.data.speeds import CutKind
from handwheel.domain.acts import FitReamer, ReamHole
from handwheel.domain.hole_tools import Reamer, ReamerKind
from handwheel.domain.motion import Edge, Handle, Motion
from handwheel.domain.part import BORE, Aspect
from handwheel.geometry.region import area_mm2, bites, rectangle

LEAD_MM = 0.02
"""How far the printed length of a lead may lie from the reamer's own."""
CORE_MM = 2e-3
"""How far the hole may pass the ends of the allowance: figures are rounded."""


def fit_reamer(scene: Scene, act: FitReamer) -> Machine:
    """Reamer into the tailstock."""
    must_stand(scene, "changing the reamer")
    reamer = next((reamer for reamer in scene.case.shop.reamers if reamer.id == act.reamer), None)
    if reamer is None:
        return scene.stop(RefusalCode.UNKNOWN_REAMER, f"reamer {act.reamer!r}: the shop has none; choose one it has")
    if reamer.kind is ReamerKind.HAND:
        scene.refuse(
            RefusalCode.TOOL_CANNOT,
            f"reamer {reamer.id!r} is a hand reamer: it is turned by hand with the work at rest; take a machine reamer",
        )
    largest = scene.case.lathe.tailstock.chuck_high_dia_mm
    if float(reamer.dia_mm) > largest:
        scene.refuse(
            RefusalCode.TOOL_CANNOT,
            f"reamer {reamer.id!r}: {float(reamer.dia_mm):g} mm; the drill chuck holds {largest:g} mm",
        )
    machine = zeros_lost(scene.machine, (Handle.QUILL,), "the drill was changed")
    slides = {**machine.slides, Handle.QUILL: SlideState(locked=machine.slides[Handle.QUILL].locked)}
    return replace(
        machine,
        drill=None,
        reamer=reamer,
        drill_tip_mm=None,
        contact=None,
        slides=slides,
        cautioned=bool(act.cautions),
    )


def ream_hole(scene: Scene, act: ReamHole) -> Machine:
    """Feed the reamer to a depth and draw it out, the work turning forwards."""
    machine = scene.machine
    must_turn_forward(scene, "reaming")
    if machine.work is None or not machine.in_machine or machine.severed:
        return scene.stop(RefusalCode.NOT_HELD, "reaming and nothing holds the work; grip it first")
    if machine.reamer is None or act.setting.handle is not Handle.QUILL:
        return scene.stop(RefusalCode.NO_TOOL, "reaming needs a reamer in the tailstock and a setting of its quill")
    if machine.drill_tip_mm is None:
        return scene.stop(RefusalCode.POSITION_UNKNOWN, "where the reamer stands is not known; touch the rim first")
    check_cautioned(scene)
    check_toolpost_clear(scene)
    _check_reamer(scene, act, machine.reamer)
    winding = wind(scene, act.setting)
    way = None if winding is None else quill_way_mm(scene, winding, what="reamer")
    if winding is None or way is None:
        return machine
    slide = scene.slide(Handle.QUILL)
    tip = machine.drill_tip_mm - way
    _check_depth(scene, act, machine.reamer, tip)
    check_loads(scene, f"reamer {machine.reamer.id!r}", ream_loads(scene, machine.reamer, tip))
    here = machine.slides[Handle.QUILL].travel_mm
    after = slide_gone_to(
        machine,
        scene.case.lathe,
        Handle.QUILL,
        stops_mm=(*winding.stops_mm, here),
        bearing=slide.turn_for(Motion.RIGHT),
        by_eye=False,
    )
    check_span(scene, after, Handle.QUILL)
    return _reamed(scene.on(after), machine.reamer, tip)


def _check_reamer(scene: Scene, act: ReamHole, reamer: Reamer) -> None:
    """Refuse the wrong lead, speed or feed, and a reamer that makes another hole than the drawing allows."""
    machine, material = scene.machine, scene.case.material
    if abs(act.lead_mm - reamer.lead_mm) > LEAD_MM:
        scene.refuse(
            RefusalCode.REAM_LEAD,
            f"reamer {reamer.id!r}: its lead is {reamer.lead_mm:g} mm long, and the sheet says {act.lead_mm:g} mm",
        )
    if not act.cautions:
        scene.refuse(
            RefusalCode.MISSING_CAUTION,
            f"reamer {reamer.id!r}: no caution stands that it must never turn backwards; print it",
        )
    feature = scene.case.part.feature(BORE, Aspect.DIAMETER)
    if feature is not None and not (
        feature.size.cut_lower <= reamer.hole_lower_mm and reamer.hole_upper_mm <= feature.size.cut_upper
    ):
        scene.refuse(
            RefusalCode.REAM_LIMITS,
            f"reamer {reamer.id!r} makes holes of {float(reamer.hole_lower_mm):.3f} to "
            f"{float(reamer.hole_upper_mm):.3f} mm and the bore must be {float(feature.size.cut_lower):.3f} to "
            f"{float(feature.size.cut_upper):.3f}: take another, or bore it",
        )
    feed = machine.feeds.get(Handle.QUILL)
    if feed is None:
        scene.refuse(RefusalCode.FEED_NOT_SET, "reaming before a feed was set for the quill; say band and pace first")
    if machine.speed is None:
        scene.refuse(RefusalCode.SPEED_NOT_SET, "reaming before a speed was set; set one of the list")
        return
    uneven = None if feed is None else pace_feed_fault(scene.slide(Handle.QUILL), feed, speed_rpm=machine.speed.rpm)
    if uneven is not None:
        scene.refuse(*uneven)
    fastest = fastest_rpm(scene.case.lathe, machine.speed)
    check_speed_of_holding(scene, fastest)
    check_dia(scene, float(reamer.dia_mm))
    if material is None:
        return
    found = metal_speed_fault(
        material,
        edge=Edge.HSS,
        cut=CutKind.REAM,
        speed_rpm=fastest,
        cut_dia_mm=float(reamer.dia_mm),
    )
    if found is not None:
        scene.refuse(*found)


def _check_depth(scene: Scene, act: ReamHole, reamer: Reamer, tip_mm: float) -> None:
    """Refuse a depth that is not the printed one, does not come through, or for which the reamer is too short."""
    full, work = tip_mm + reamer.lead_mm, scene.machine.work
    if abs(act.setting.expected_mm - full) > DRILLED_MM:
        scene.refuse(
            RefusalCode.EXPECTED_NOT_MET,
            f"reamer {reamer.id!r}: its full diameter ends at z {full:.3f} mm, and the sheet says "
            f"{act.setting.expected_mm:.3f} mm; mind the lead and where it touched",
        )
    if work is None:
        return
    end = -scene.case.part.width_mm
    if full > end:
        scene.refuse(
            RefusalCode.REAM_NOT_THROUGH,
            f"reamer {reamer.id!r}: its full diameter stops {full - end:.2f} mm before the end of the bore, where the "
            "hole stays narrow; go on until the lead has come through",
        )
    if work.box[2] - tip_mm > reamer.flute_mm:
        scene.refuse(
            RefusalCode.DRILL_TOO_SHORT,
            f"reamer {reamer.id!r}: it goes {work.box[2] - tip_mm:.1f} mm in and its flutes are {reamer.flute_mm:g} mm "
            "long: chips jam; take a longer one",
        )


def _reamed(scene: Scene, reamer: Reamer, tip_mm: float) -> Machine:
    machine = scene.machine
    if machine.work is None:
        return machine
    region = machine.work.region
    swept = reamer_outline(reamer, tip_mm)
    if area_mm2(shared(region, swept)) <= LEAST_CHIP_MM2:
        scene.refuse(RefusalCode.CUTS_AIR, f"reamer {reamer.id!r} meets no metal: the hole is as large already")
        return machine
    _check_core(scene, reamer, tip_mm)
    left = rest(region, swept)
    if left.is_empty:
        return scene.stop(RefusalCode.NOTHING_LEFT, f"reamer {reamer.id!r} takes away all of the work")
    if any(bites(rest(swept, region), body.region) for body in machine.bodies):
        scene.refuse(
            RefusalCode.STRIKES_HOLDING,
            f"reamer {reamer.id!r} comes out behind the work and into the chuck; stop it sooner",
        )
    return replace(
        machine,
        work=solid(left),
        contact=None,
        has_cut=True,
        holed=True,
        reamed_at=machine.step,
        cut_at={**machine.cut_at, BORE: machine.step},
        last_cuts={surface: one for surface, one in machine.last_cuts.items() if surface != BORE},
        cut_spans_mm={**machine.cut_spans_mm, BORE: (tip_mm + reamer.lead_mm, machine.work.box[2])},
    )


def _check_core(scene: Scene, reamer: Reamer, tip_mm: float) -> None:
    """Refuse a hole that leaves the reamer too much or too little, or whose bottom its end would meet."""
    work = scene.machine.work
    if work is None:
        return
    small = rectangle(tip_mm, tip_mm + reamer.lead_mm, 0.0, reamer.lead_dia_mm / 2.0)
    if area_mm2(shared(work.region, small)) > LEAST_CHIP_MM2:
        scene.refuse(
            RefusalCode.REAM_BOTTOMS,
            f"reamer {reamer.id!r}: its end runs into the bottom of the hole; drill deeper before",
        )
        return
    found = section(work.region).inner_radii_mm(tip_mm + reamer.lead_mm, work.box[2] - CORE_MM)
    allowance = reaming_range(Reaming.ALLOWANCE, reamer.kind)
    if found is None:
        return
    least, most = (float(reamer.dia_mm) - 2.0 * radius for radius in reversed(found))
    if least < allowance.least - CORE_MM or most > allowance.most + CORE_MM:
        scene.refuse(
            RefusalCode.REAM_ALLOWANCE,
            f"reamer {reamer.id!r}: the hole leaves it {least:.3f} to {most:.3f} mm to cut on the diameter; it wants "
            f"{allowance.words}: less and it rubs, more and it tears and cuts large",
        )


def check_reamed(scene: Scene) -> None:
    """Refuse to go on to parting with a reamed bore that nobody has measured."""
    machine = scene.machine
    if machine.reamed_at > machine.measured_at.get(BORE, -1):
        scene.refuse(
            RefusalCode.REAM_NOT_MEASURED,
            "the bore was reamed and not measured since: measure it while it can still be bored out on the bar",
        )
