"""Acts that settle where the tool stands: approach, touch, zero."""

from __future__ import annotations

from msgspec.structs import replace

from handwheel.check.acts_spindle import must_turn_forward
from handwheel.check.dial import can_set_by
from handwheel.check.machine import (
    TOOLPOST_HANDLES,
    Contact,
    LiveZero,
    Machine,
    SlideState,
    slide_gone_to,
    travel_of,
    with_slide,
    zeros_lost,
)
from handwheel.check.names import check_zero_name
from handwheel.check.report import RefusalCode
from handwheel.check.scene import Scene, obstacles
from handwheel.check.solids import first_strike
from handwheel.check.surfaces import is_edge, is_face, is_known
from handwheel.check.touching import find_contact, quill_contact
from handwheel.check.winding import DRILLED_MM, EXPECTED_TOLERANCE_MM, check_span, check_unlocked, fits_handle
from handwheel.domain.acts import Approach, SetZero, Touch
from handwheel.domain.contour import Point
from handwheel.domain.exact import Fraction
from handwheel.domain.motion import Handle, Motion

FAR_MM = 300.0
"""Where a tool comes from when it is brought near by eye."""
_ORDERS = {
    Motion.LEFT: "right of the face, across, then to the left",
    Motion.IN: "out, along, then in",
}


def approach(scene: Scene, act: Approach) -> Machine:
    """Bring the tool near by eye, in the order that the motion that comes last says."""
    machine = scene.machine
    if machine.fitted is None:
        return scene.stop(RefusalCode.NO_TOOL, "no tool is fitted; fit one before it is brought near the work")
    for handle in (Handle.CROSS, Handle.CARRIAGE):
        check_unlocked(scene, handle)
    place = Point(act.z_mm, act.x_radius_mm)
    if act.last not in _ORDERS:
        scene.refuse(
            RefusalCode.WRONG_DIRECTION,
            f"brought near last by {act.last.value}: a tool comes to a place from the right or from outside",
        )
    else:
        _check_room(scene, place, act.last)
    before = machine.place or place
    machine = zeros_lost(machine, TOOLPOST_HANDLES, "the tool was brought along by eye since")
    ways = {
        Handle.CROSS: travel_of(scene.case.lathe, Handle.CROSS, Motion.OUT, place.radius_mm - before.radius_mm),
        Handle.CARRIAGE: travel_of(scene.case.lathe, Handle.CARRIAGE, Motion.RIGHT, place.z_mm - before.z_mm),
    }
    slides = dict(machine.slides)
    for handle, way in ways.items():
        slides[handle] = _shifted(slides[handle], way, machine.step)
    slides[Handle.TOP] = replace(slides[Handle.TOP], by_eye=False)
    slides[Handle.CROSS] = replace(slides[Handle.CROSS], bearing=None)
    left = scene.slide(Handle.CARRIAGE).turn_for(Motion.LEFT)
    slides[Handle.CARRIAGE] = replace(slides[Handle.CARRIAGE], bearing=left)
    machine = replace(machine, slides=slides, place=place, true_z=False, true_x=False, contact=None, kissed="")
    for handle in ways:
        check_span(scene, machine, handle)
    return machine


def _shifted(slide: SlideState, way_mm: Fraction, step: int) -> SlideState:
    travel = slide.travel_mm + way_mm
    return replace(
        slide,
        travel_mm=travel,
        lowest_mm=min(slide.lowest_mm, travel),
        highest_mm=max(slide.highest_mm, travel),
        by_eye=False,
        moved_at=step,
    )


def _check_room(scene: Scene, place: Point, last: Motion) -> None:
    fitted = scene.machine.fitted
    if fitted is None:
        return
    around = obstacles(scene.machine)
    met = first_strike(fitted.shape, (place,), around)
    where = f"z {place.z_mm:.2f} mm, diameter {2 * place.radius_mm:.2f} mm"
    if met is not None:
        scene.refuse(
            RefusalCode.CANNOT_GET_THERE,
            f"at {where} the {met.role.value} of {fitted.tool.name} would stand in {met.thing.value}; stay clear of it",
        )
        return
    met = first_strike(fitted.shape, _way_there(scene.machine.place, place, last), around)
    if met is not None:
        scene.refuse(
            RefusalCode.CANNOT_GET_THERE,
            f"{fitted.tool.name}: {_ORDERS[last]} to {where}, its {met.role.value} strikes {met.thing.value} on the "
            "way; come another way, or take another place",
        )


def _way_there(start: Point | None, place: Point, last: Motion) -> tuple[Point, ...]:
    """Corners of the way to a place; a tool just fitted, of which nobody knows where it stands, is clear of all."""
    if last is Motion.LEFT:
        before_last = Point(place.z_mm + FAR_MM, place.radius_mm)
        clear = None if start is None else Point(place.z_mm + FAR_MM, start.radius_mm)
    else:
        before_last = Point(place.z_mm, place.radius_mm + FAR_MM)
        clear = None if start is None else Point(start.z_mm, place.radius_mm + FAR_MM)
    known = () if start is None or clear is None else (start, clear)
    return (*known, before_last, place)


def touch(scene: Scene, act: Touch) -> Machine:
    """Wind until the tool just touches."""
    must_turn_forward(scene, f"touching {act.surface}")
    machine = scene.machine
    if not is_known(scene.case.part, act.surface):
        scene.refuse(RefusalCode.UNKNOWN_SURFACE, f"{act.surface!r}: the part has no such surface; name one it has")
    if machine.work is None or not machine.in_machine:
        return scene.stop(RefusalCode.NOT_HELD, f"touching {act.surface} with no work held; grip the work first")
    check_unlocked(scene, act.handle)
    if not fits_handle(scene, act.handle, act.motion):
        scene.log.stopped = True
        return machine
    if act.handle is Handle.QUILL:
        return _touch_with_drill(scene, act)
    if machine.fitted is None or machine.place is None:
        return scene.stop(
            RefusalCode.POSITION_UNKNOWN,
            f"{act.handle.value}: where the tool stands is not known; bring it near by eye first",
        )
    found = find_contact(scene, act)
    if found is None:
        return machine
    way_mm, spot = found
    machine = _wound_by(scene, act, way_mm)
    contact = Contact(handle=act.handle, surface=act.surface, spot=spot, made_at=machine.step, feeler_mm=act.feeler_mm)
    machine = replace(machine, contact=contact, kissed=act.surface if is_edge(act.surface) else machine.kissed)
    check_span(scene, machine, act.handle)
    return machine if is_edge(act.surface) else _now_true(machine, act)


def _wound_by(scene: Scene, act: Touch, way_mm: float) -> Machine:
    machine, lathe = scene.machine, scene.case.lathe
    target = machine.slides[act.handle].travel_mm + travel_of(lathe, act.handle, act.motion, way_mm)
    bearing = lathe.slide(act.handle).turn_for(act.motion)
    return slide_gone_to(machine, lathe, act.handle, stops_mm=(target,), bearing=bearing, by_eye=False)


def _now_true(machine: Machine, act: Touch) -> Machine:
    """Mark the touched coordinate as known; a swung top slide that moved by eye leaves the other one unknown."""
    blurred = machine.swung and machine.slides[Handle.TOP].by_eye
    settled = (Handle.TOP, Handle.CROSS) if machine.swung else (Handle.CROSS,)
    if is_across(machine, act.handle, act.surface):
        machine = replace(machine, true_x=True, true_z=machine.true_z and not blurred)
    else:
        machine = replace(machine, true_z=True, true_x=machine.true_x and not blurred)
        settled = (Handle.TOP, Handle.CARRIAGE)
    for handle in settled:
        machine = with_slide(machine, handle, replace(machine.slides[handle], by_eye=False))
    return machine


def _touch_with_drill(scene: Scene, act: Touch) -> Machine:
    found = quill_contact(scene, act)
    if found is None:
        return scene.machine
    tip_mm, spot = found
    machine = scene.machine
    state = SlideState(bearing=scene.slide(Handle.QUILL).turn_for(act.motion), moved_at=machine.step)
    contact = Contact(handle=Handle.QUILL, surface=act.surface, spot=spot, made_at=machine.step)
    machine = zeros_lost(machine, (Handle.QUILL,), "the tailstock was set anew")
    return replace(machine, slides={**machine.slides, Handle.QUILL: state}, drill_tip_mm=tip_mm, contact=contact)


def is_across(machine: Machine, handle: Handle, surface: str) -> bool:
    """Whether a zero of a handle on a surface counts a diameter (or depth across) rather than z."""
    return handle is Handle.CROSS or (handle is Handle.TOP and machine.swung and not is_face(surface))


def set_zero(scene: Scene, act: SetZero) -> Machine:
    """Collar, indicator or rule to 0 where the slide stands."""
    machine, slide = scene.machine, scene.slide(act.handle)
    if not is_known(scene.case.part, act.surface):
        scene.refuse(RefusalCode.UNKNOWN_SURFACE, f"{act.surface!r}: the part has no such surface; name one it has")
    check_zero_name(scene, act)
    if not can_set_by(slide, act.kind):
        return scene.stop(
            RefusalCode.NOT_SETTABLE, f"{act.handle.value}: has no {act.kind.value} to set a zero on; use what it has"
        )
    state = machine.slides[act.handle]
    if not _is_placed(scene, act):
        return machine
    _check_stands_for(scene, act)
    place = None if act.handle is Handle.QUILL else machine.place
    zero = LiveZero(
        id=act.zero,
        kind=act.kind,
        at_mm=state.travel_mm,
        bearing=state.bearing,
        surface=act.surface,
        place=place,
    )
    return with_zero(machine, act.handle, zero)


def with_zero(machine: Machine, handle: Handle, zero: LiveZero) -> Machine:
    """Return the machine with a handle's zero set; the one before is gone."""
    old = machine.slides[handle].zero
    lost = dict(machine.lost)
    if old is not None and old.id != zero.id:
        lost[old.id] = f"the collar was set anew for {zero.id!r}"
    lost.pop(zero.id, None)
    return replace(with_slide(machine, handle, replace(machine.slides[handle], zero=zero)), lost=lost)


def _is_placed(scene: Scene, act: SetZero) -> bool:
    """Whether it is known where the tool or the drill stands; refuses and stops if not."""
    machine = scene.machine
    if act.handle is Handle.QUILL:
        if (machine.drill is None and machine.reamer is None) or machine.drill_tip_mm is None:
            scene.stop(
                RefusalCode.POSITION_UNKNOWN, "where the drill stands is not known; fit it and touch the face first"
            )
        return not scene.log.stopped
    if machine.fitted is None or machine.place is None:
        scene.stop(
            RefusalCode.POSITION_UNKNOWN,
            f"{act.handle.value}: where the tool stands is not known; bring it near and touch first",
        )
    return not scene.log.stopped


def _check_stands_for(scene: Scene, act: SetZero) -> None:
    spot = _spot(scene, act)
    if spot is None:
        return
    if is_edge(act.surface):
        # a feeler keeps the tool off the corner: it stands that much less than nothing below it
        truly = 0.0 if scene.machine.contact is None else -scene.machine.contact.feeler_mm
    elif is_across(scene.machine, act.handle, act.surface):
        truly = 2.0 * spot.radius_mm
    else:
        truly = spot.z_mm
    if abs(act.stands_for_mm - truly) <= (DRILLED_MM if act.handle is Handle.QUILL else EXPECTED_TOLERANCE_MM):
        return
    across = is_across(scene.machine, act.handle, act.surface) and not is_edge(act.surface)
    halved = across and abs(2.0 * act.stands_for_mm - truly) <= EXPECTED_TOLERANCE_MM
    scene.refuse(
        RefusalCode.RADIUS_FOR_DIAMETER if halved else RefusalCode.ZERO_NOT_TRUE,
        f"{act.handle.value}: this zero stands for {truly:.3f} mm, and the sheet says {act.stands_for_mm:.3f} mm"
        f"{': that is the radius' if halved else ''}; correct it",
    )


def _spot(scene: Scene, act: SetZero) -> Point | None:
    """Place that the zero rests on: the spot just touched, or the tool itself if its place is known."""
    machine = scene.machine
    contact = machine.contact
    across = is_across(machine, act.handle, act.surface)
    if (
        contact is not None
        and contact.surface == act.surface
        and is_across(machine, contact.handle, contact.surface) is across
        and all(slide.moved_at <= contact.made_at for slide in machine.slides.values())
    ):
        return contact.spot
    known = machine.knows_x if across else machine.knows_z
    if known and not is_edge(act.surface) and act.handle is not Handle.QUILL:
        return machine.place
    scene.refuse(
        RefusalCode.POSITION_BY_EYE,
        f"{act.handle.value}: a zero on {act.surface} where the tool was brought by eye; touch it first, then set 0",
    )
    return None
