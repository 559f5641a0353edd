"""The act that drills."""

from __future__ import annotations

from msgspec.structs import replace

from handwheel.check.acts_spindle import check_speed_of_holding, must_have_tailstock, must_turn_forward
from handwheel.check.bite import LEAST_CHIP_MM2
from handwheel.check.cut_metal import check_dia
from handwheel.check.cut_ready import check_cautioned
from handwheel.check.hole_loads import drill_loads
from handwheel.check.limits import fastest_rpm, least_feed_fault, metal_speed_fault, pace_feed_fault
from handwheel.check.loads import check_loads
from handwheel.check.machine import Machine, slide_gone_to
from handwheel.check.report import RefusalCode
from handwheel.check.scene import Scene
from handwheel.check.solids import rest, shared, solid
from handwheel.check.touching import check_toolpost_clear, drill_outline, drill_point_mm
from handwheel.check.winding import DRILLED_MM, Winding, check_span, wind
from handwheel.data.materials import DrillPractice
from handwheel.data.speeds import CutKind
from handwheel.domain.acts import DrillHole
from handwheel.domain.hole_tools import Drill, DrillKind
from handwheel.domain.motion import Edge, Handle, Motion
from handwheel.domain.part import BORE, Aspect
from handwheel.geometry.region import area_mm2, bites

POINT_MM = 0.02
"""How far the printed height of a drill's point may lie from its own."""


def quill_way_mm(scene: Scene, winding: Winding, *, what: str) -> float | None:
    """How far a setting feeds what is in the tailstock; refuses one that does not lead into the work. [mm]"""
    way = float(winding.stops_mm[-1] - scene.machine.slides[Handle.QUILL].travel_mm)
    if scene.slide(Handle.QUILL).clockwise_moves is not Motion.LEFT:
        way = -way
    if way > 0:
        return way
    scene.refuse(RefusalCode.WRONG_DIRECTION, f"the setting lies {-way:.3f} mm behind the {what}; correct it")
    return None


def drill_hole(scene: Scene, act: DrillHole) -> Machine:
    """Feed the quill to a depth and come out again."""
    machine = scene.machine
    must_turn_forward(scene, "drilling")
    must_have_tailstock(scene, "drilling")
    if machine.work is None or not machine.in_machine or machine.severed:
        return scene.stop(RefusalCode.NOT_HELD, "drilling and nothing holds the work; grip it first")
    if machine.drill is None or act.setting.handle is not Handle.QUILL:
        return scene.stop(RefusalCode.NO_TOOL, "drilling needs a drill in the tailstock and a setting of its quill")
    if machine.drill_tip_mm is None:
        return scene.stop(RefusalCode.POSITION_UNKNOWN, "where the drill stands is not known; touch the face first")
    check_cautioned(scene)
    check_toolpost_clear(scene)
    _check_drill(scene, act, machine.drill)
    winding = wind(scene, act.setting)
    way = None if winding is None else quill_way_mm(scene, winding, what="drill")
    if winding is None or way is None:
        return machine
    tip = machine.drill_tip_mm - way
    _check_expected(scene, act, machine.drill, tip)
    check_loads(scene, f"drill {machine.drill.id!r}", drill_loads(scene, machine.drill, tip))
    here = machine.slides[Handle.QUILL].travel_mm
    back = scene.slide(Handle.QUILL).turn_for(Motion.RIGHT)
    # in to the depth and out again: the drill then stands where it touched
    stops = (*winding.stops_mm, here)
    after = slide_gone_to(machine, scene.case.lathe, Handle.QUILL, stops_mm=stops, bearing=back, by_eye=False)
    check_span(scene, after, Handle.QUILL)
    return _drilled(scene.on(after), machine.drill, tip)


def _check_drill(scene: Scene, act: DrillHole, drill: Drill) -> None:
    machine, material = scene.machine, scene.case.material
    point = drill_point_mm(drill)
    if abs(act.point_mm - point) > POINT_MM:
        scene.refuse(
            RefusalCode.DRILL_POINT,
            f"drill {drill.id!r}: its point is {point:.2f} mm high, and the sheet says {act.point_mm:.2f} mm",
        )
    if act.peck_mm <= 0:
        scene.refuse(RefusalCode.MALFORMED, f"withdrawing every {act.peck_mm:g} mm; give a length above 0")
    if machine.speed is None:
        scene.refuse(RefusalCode.SPEED_NOT_SET, "drilling before a speed was set; set one of the list")
        return
    dia = float(drill.dia_mm)
    feed = machine.feeds.get(Handle.QUILL)
    if feed is None:
        scene.refuse(RefusalCode.FEED_NOT_SET, "drilling before a feed was set for the quill; say band and pace first")
    else:
        uneven = pace_feed_fault(scene.slide(Handle.QUILL), feed, speed_rpm=machine.speed.rpm)
        if uneven is not None:
            scene.refuse(*uneven)
    fastest = fastest_rpm(scene.case.lathe, machine.speed)
    check_speed_of_holding(scene, fastest)
    check_dia(scene, dia)
    if material is None:
        return
    found = metal_speed_fault(material, edge=Edge.HSS, cut=CutKind.DRILL, speed_rpm=fastest, cut_dia_mm=dia)
    if found is not None:
        scene.refuse(*found)
    rubs = None if feed is None or drill.kind is DrillKind.CENTRE else least_feed_fault(material, feed)
    if rubs is not None:
        scene.refuse(*rubs)
    _check_wander(scene, drill)
    grabs = material.drill_practice is DrillPractice.SINGLE_DUBBED and drill.kind is DrillKind.TWIST
    if grabs and scene.machine.holed and not drill.dubbed:
        scene.refuse(
            RefusalCode.DRILL_GRABS,
            f"drill {drill.id!r} opens a hole with sharp lips and {material.name} pulls it in: take one with "
            "dubbed lips",
        )


def _check_wander(scene: Scene, drill: Drill) -> None:
    """Refuse a drill that a loose tailstock may let wander beyond the finished bore."""
    feature, play = scene.case.part.feature(BORE, Aspect.DIAMETER), scene.case.lathe.tailstock.play_mm
    widest = float(drill.dia_mm) + 2.0 * play
    if feature is None:
        return
    # the core of a thread may be left as drilled; any other bore is finished after the drill
    limit = float(feature.size.cut_lower if scene.case.part.thread is None else feature.size.cut_upper)
    if widest > limit:
        scene.refuse(
            RefusalCode.DRILL_WANDERS,
            f"drill {drill.id!r}: with {play:g} mm of play in the tailstock its hole may reach {widest:.2f} mm, and "
            f"{limit:.2f} mm is the limit; take a smaller drill",
        )


def _check_expected(scene: Scene, act: DrillHole, drill: Drill, tip_mm: float) -> None:
    full = tip_mm + drill_point_mm(drill)
    if abs(act.setting.expected_mm - full) > DRILLED_MM:
        scene.refuse(
            RefusalCode.EXPECTED_NOT_MET,
            f"drill {drill.id!r}: the full diameter ends at z {full:.3f} mm, and the sheet says "
            f"{act.setting.expected_mm:.3f} mm; mind the point and where it touched",
        )
    work = scene.machine.work
    if work is not None and work.box[2] - tip_mm > drill.flute_mm:
        scene.refuse(
            RefusalCode.DRILL_TOO_SHORT,
            f"drill {drill.id!r}: the hole is {work.box[2] - tip_mm:.1f} mm deep with the point and the flutes "
            f"{drill.flute_mm:g} mm long: chips jam; take a longer drill",
        )


def _drilled(scene: Scene, drill: Drill, tip_mm: float) -> Machine:
    machine = scene.machine
    if machine.work is None:
        return machine
    region = machine.work.region
    bored = drill_outline(drill, tip_mm)
    if area_mm2(shared(region, bored)) <= LEAST_CHIP_MM2:
        scene.refuse(
            RefusalCode.CUTS_AIR, f"drill {drill.id!r} meets no metal: the hole is as large already; leave it out"
        )
    left = rest(region, bored)
    if left.is_empty:
        return scene.stop(RefusalCode.NOTHING_LEFT, f"drill {drill.id!r} takes away all of the work")
    # inside the bar a drill cannot meet the chuck
    beside = rest(bored, region)
    if any(bites(beside, body.region) for body in machine.bodies):
        scene.refuse(
            RefusalCode.STRIKES_HOLDING,
            f"drill {drill.id!r} comes out behind the work and into the chuck; stop it sooner",
        )
    holed = machine.holed or drill.kind is DrillKind.TWIST
    return replace(machine, work=solid(left), contact=None, has_cut=True, holed=holed)
