"""Acts that hold the work: bar, parting off, second holding, indicator."""

from __future__ import annotations

from msgspec.structs import replace

from handwheel.check.acts_ream import check_reamed
from handwheel.check.acts_spindle import must_stand
from handwheel.check.bars import bar_region, check_shape, check_tail
from handwheel.check.grip import grip_torque_nm
from handwheel.check.holding_bodies import Held, holding_bodies
from handwheel.check.holding_fit import AGREE_MM, check_fit
from handwheel.check.holding_rules import HOLDING_RULES
from handwheel.check.machine import Machine, toolpost_lost
from handwheel.check.report import RefusalCode
from handwheel.check.scene import Scene
from handwheel.check.section import section
from handwheel.check.solids import Obstacle, Thing, obstacle, solid, work_pieces
from handwheel.check.surfaces import is_known
from handwheel.data.hazards import gates_of
from handwheel.domain.acts import Indicate, LoadBar, PartOff, Regrip
from handwheel.domain.bars import Bar
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.holding import Holding, Side
from handwheel.domain.said import said_short_range
from handwheel.geometry.bodies import Outline, chuck_bodies
from handwheel.geometry.region import area_mm2, bounds_mm, is_sound, mirrored, polygon, turned_round

FINEST_RUNOUT_MM = 0.01
"""Runout below which nobody is asked to tap a ring: an indicator of a small shop shows no less."""
BAR_AND_RING = 2
"""Pieces that parting off must leave."""
TRIANGLE = 3
"""Fewest corners of an outline."""


def load_bar(scene: Scene, act: LoadBar) -> Machine:
    """Grip the bar."""
    must_stand(scene, "loading the bar")
    bar = next((bar for bar in scene.case.shop.bars if bar.id == act.bar), None)
    if bar is None:
        return scene.stop(RefusalCode.UNKNOWN_BAR, f"bar {act.bar!r}: not on the rack; choose one that is")
    if scene.machine.work is not None:
        return scene.stop(
            RefusalCode.ALREADY_HELD, f"loading bar {act.bar!r} while other work is in hand; finish that first"
        )
    if act.bar_length_mm <= 0:
        return scene.stop(RefusalCode.WRONG_BAR, f"bar {act.bar!r}: {act.bar_length_mm:g} mm long; give its length")
    _check_confirmed(scene)
    _check_bar(scene, act, bar)
    check_shape(scene, bar)
    check_tail(scene, act, bar)
    face = act.face_stock_mm
    radius = float(bar.dia_mm) / 2.0
    if radius <= 0:
        return scene.stop(RefusalCode.WRONG_BAR, f"bar {act.bar!r}: has no diameter; correct the rack's list")
    work = solid(bar_region(bar, low_mm=face - act.bar_length_mm, high_mm=face))
    jaws = chuck_bodies(scene.case.lathe.chuck, jaw_face_mm=face - act.stick_out_mm, grip_radius_mm=radius)
    return replace(
        toolpost_lost(scene.machine, "the bar was gripped after it was set"),
        work=work,
        holding=act.holding,
        stock=bar,
        bodies=both_sides(jaws),
        side=Side.FRONT,
        indicated=True,
        holed=bar.bore_mm > 0,
    )


def _check_confirmed(scene: Scene) -> None:
    """Refuse a bar of a metal with a hazard before all is confirmed that the tables ask for it, word for word."""
    material = scene.case.material
    for gate in () if material is None else gates_of(material):
        if gate.text not in scene.machine.confirmed:
            scene.refuse(
                RefusalCode.HAZARD_NOT_CONFIRMED,
                f"{scene.case.part.material}: gripped, or cut, before {gate.have} is confirmed ({gate.code}); begin "
                "the sheet with that, in the words of the tables",
            )


def _check_bar(scene: Scene, act: LoadBar, bar: Bar) -> None:
    chuck, dia = scene.case.lathe.chuck, float(bar.dia_mm)
    if bar.material != scene.case.part.material:
        scene.refuse(
            RefusalCode.WRONG_BAR,
            f"bar {bar.id!r} is {bar.material} and the part wants {scene.case.part.material}; take another bar",
        )
    if act.bar_length_mm > bar.length_mm + AGREE_MM:
        scene.refuse(
            RefusalCode.WRONG_BAR,
            f"bar {bar.id!r} is {bar.length_mm:g} mm long and {act.bar_length_mm:g} mm are asked for; take a "
            "longer one",
        )
    units = scene.case.part.units
    if not chuck.takes(float(bar.dia_lower_mm), float(bar.dia_upper_mm)):
        scene.refuse(
            RefusalCode.BAR_NOT_GRIPPED,
            f"{chuck.name} grips {chuck.grips_words(units)}; the bar has "
            f"{said_short_range(bar.dia_lower_mm, bar.dia_upper_mm, units)}: take another bar or collet",
        )
    if act.grip_length_mm <= 0 or act.stick_out_mm + act.grip_length_mm > act.bar_length_mm + AGREE_MM:
        scene.refuse(
            RefusalCode.BAR_NOT_GRIPPED,
            f"{act.stick_out_mm:g} mm out of the jaws and {act.grip_length_mm:g} mm in them do not fit on "
            f"{act.bar_length_mm:g} mm of bar; grip more of it",
        )
    said, is_at = act.holding.jaw_face_mm, act.face_stock_mm - act.stick_out_mm
    if (
        abs(said - is_at) > AGREE_MM
        or abs(act.holding.grip_dia_mm - dia) > AGREE_MM
        or act.holding.side is not Side.FRONT
    ):
        scene.refuse(
            RefusalCode.BAR_NOT_GRIPPED,
            f"the holding says jaws at z {said:g} mm on {act.holding.grip_dia_mm:g} mm; with this stick-out "
            "they are at "
            f"z {is_at:g} mm on {dia:g} mm: make them agree",
        )


def part_off(scene: Scene, _act: PartOff) -> Machine:
    """Take the ring that the last cut has freed: the piece nearer the tailstock."""
    machine = scene.machine
    if machine.work is None or not machine.in_machine or machine.parted:
        return scene.stop(RefusalCode.NOT_HELD, "nothing is on a bar to be parted off; load a bar first")
    check_reamed(scene)
    found = work_pieces(machine.work.region)
    if len(found) < BAR_AND_RING:
        return scene.stop(
            RefusalCode.NOT_SEVERED,
            "the ring still hangs on the bar: the blade has not gone through the wall; feed it further in",
        )
    if not machine.rod:
        scene.refuse(
            RefusalCode.NO_CATCH_ROD,
            "the ring drops among turning jaws: put the catching rod in its bore before parting",
        )
    if len(found) > BAR_AND_RING or bounds_mm(found[-1])[1] <= 0:
        scene.refuse(
            RefusalCode.NOT_SEVERED,
            "what came off is no ring: it has no hole, or fell into pieces; check bore and cuts",
        )
    return replace(
        machine,
        work=solid(found[-1]),
        stub=solid(found[0], near=Thing.STUB, far=Thing.STUB),
        holding=None,
        parted=True,
        severed=False,
        indicated=False,
        burr=True,
        rod=False,
    )


def regrip(scene: Scene, act: Regrip) -> Machine:
    """Hold the ring for its other side."""
    must_stand(scene, "gripping the ring")
    machine, holding = scene.machine, act.holding
    if machine.work is None or not machine.parted:
        return scene.stop(RefusalCode.NOT_PARTED, "the ring is still part of the bar; part it off before it is gripped")
    if machine.burr:
        scene.refuse(RefusalCode.BURR, "gripping a ring with a burr on it: it sits askew; take the burr off first")
    means = next((item for item in scene.case.shop.holdings if item.id == holding.id), None)
    if means is None:
        return scene.stop(RefusalCode.UNKNOWN_HOLDING, f"holding {holding.id!r}: the shop has none; choose one it has")
    if holding.kind not in HOLDING_RULES:
        known = ", ".join(HOLDING_RULES)
        return scene.stop(
            RefusalCode.UNKNOWN_HOLDING,
            f"holding {holding.id!r}: what a {holding.kind!r} is nobody here knows; the known kinds are {known}",
        )
    if not all(len(outline) >= TRIANGLE and is_sound(outline) for outline in holding.blocked):
        return scene.stop(RefusalCode.MALFORMED, f"holding {holding.id!r}: a blocked outline crosses itself; redraw it")
    width = scene.case.part.width_mm
    region = machine.work.region
    if holding.side is not machine.side:
        region = turned_round(region, width)
    work = solid(region)
    ring = section(region)
    check_fit(scene, holding, means, ring)
    held = Held(chuck=scene.case.lathe.chuck, holding=holding, means=means, ring=ring)
    return replace(
        toolpost_lost(machine, "the ring was gripped anew"),
        work=work,
        stub=None,
        holding=holding,
        grip_torque_nm=grip_torque_nm(held),
        bodies=both_sides(holding_bodies(held) if holding.turned else ()),
        side=holding.side,
        indicated=not holding.turned,
        ready=None,
    )


def both_sides(outlines: tuple[Outline, ...]) -> tuple[Obstacle, ...]:
    """Outlines of a holding as obstacles on both sides of the axis; those without area are left out."""
    found = []
    for outline in outlines:
        region = polygon(outline)
        if area_mm2(region) > 0:
            found += [obstacle(Thing.HOLDING, region), obstacle(Thing.HOLDING, mirrored(region))]
    return tuple(found)


def indicate(scene: Scene, act: Indicate) -> Machine:
    """Try by hand whether the work runs true."""
    must_stand(scene, "putting an indicator to the work")
    machine = scene.machine
    if not machine.in_machine or machine.holding is None:
        scene.refuse(RefusalCode.NOT_HELD, "indicating work that is not held in the spindle; grip it first")
        return machine
    gauge = next((gauge for gauge in scene.case.shop.gauges if gauge.id == act.gauge), None)
    if gauge is None:
        scene.refuse(RefusalCode.UNKNOWN_GAUGE, f"gauge {act.gauge!r}: the shop has none; choose one it has")
    elif GaugeUse.RUNOUT not in gauge.uses or not 0 < act.high_mm <= gauge.high_mm:
        scene.refuse(
            RefusalCode.GAUGE_CANNOT,
            f"{gauge.name} does not show a runout of {act.high_mm:g} mm; take an indicator that does",
        )
    _check_trueness(scene, act, machine.holding)
    return replace(machine, indicated=True)


def _check_trueness(scene: Scene, act: Indicate, holding: Holding) -> None:
    """Refuse an indicator put to nothing that the part has, or a reading looser than the shop's means promise."""
    if not is_known(scene.case.part, act.surface):
        scene.refuse(RefusalCode.UNKNOWN_SURFACE, f"indicating {act.surface!r}: the part has no such surface")
    shop = scene.case.shop
    means = [item.runout_mm for item in shop.holdings if item.id == holding.id]
    promised = max(*(means or [shop.lathe.chuck.runout_mm]), FINEST_RUNOUT_MM)
    if act.high_mm > promised + 1e-9:
        scene.refuse(
            RefusalCode.NOT_INDICATED,
            f"{act.high_mm:g} mm of runout are let pass and this holding is made to run true within {promised:g} mm; "
            "tap the ring until it does",
        )
