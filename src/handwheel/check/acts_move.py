"""Acts that move a tool without cutting: to a setting, or away from the work."""

from __future__ import annotations

from msgspec.structs import replace

from handwheel.check.machine import Machine, place_after, slide_gone_to, travel_of
from handwheel.check.report import RefusalCode
from handwheel.check.scene import Scene, obstacles
from handwheel.check.solids import Strike, Thing, first_strike, leg_hull, legs, rest, solid
from handwheel.check.winding import check_span, check_unlocked, fits_handle, wind, wound
from handwheel.domain.acts import Move, Retract
from handwheel.domain.contour import Point
from handwheel.domain.exact import Fraction
from handwheel.domain.motion import Handle
from handwheel.domain.tools import PieceRole

ABOUT_SHARE = 0.10
"""Share by which turns of the handle may differ from the printed distance of a retract."""
ABOUT_MM = 0.05
"""The same for very small distances. [mm]"""
LEAST_MOVE_MM = 1e-6
"""A slide that is wound by less than this beyond its slack does not move."""


def move(scene: Scene, act: Move) -> Machine:
    """Wind to a setting through free air."""
    machine, handle = scene.machine, act.setting.handle
    if handle is Handle.QUILL:
        scene.refuse(RefusalCode.WRONG_DIRECTION, f"{handle.value}: moves to a setting only by drilling; use that act")
        return machine
    if not has_place(scene, handle):
        return machine
    winding = wind(scene, act.setting)
    if winding is None:
        return machine
    machine = check_free_way(scene, handle, winding.stops_mm)
    return wound(scene.on(machine), act.setting, winding)


def has_place(scene: Scene, handle: Handle) -> bool:
    """Whether a tool is fitted and it is known where it stands; refuses and stops if not."""
    machine = scene.machine
    if machine.fitted is None:
        scene.stop(RefusalCode.NO_TOOL, f"{handle.value}: no tool is fitted; fit one first")
    elif machine.place is None:
        scene.stop(
            RefusalCode.POSITION_UNKNOWN,
            f"{handle.value}: nobody knows where the tool stands; bring it near the work by eye and touch first",
        )
    return not scene.log.stopped


def check_free_way(scene: Scene, handle: Handle, stops_mm: tuple[Fraction, ...]) -> Machine:
    """Refuse a way on which any part of the tool enters the work or its holding; metal in the way is then gone."""
    machine = scene.machine
    if machine.fitted is None or machine.place is None:
        return machine
    places = [place_after(machine, scene.case.lathe, handle, stop) for stop in stops_mm]
    path = [machine.place, *(place for place in places if place is not None)]
    met = first_strike(machine.fitted.shape, path, obstacles(machine))
    if met is not None:
        report_strike(scene, met, path, f"{handle.value}: moving")
    return machine if met is None or met.thing is not Thing.WORK else _ploughed(machine, path)


def _ploughed(machine: Machine, path: list[Point]) -> Machine:
    if machine.fitted is None or machine.work is None:
        return machine
    edges = [piece for piece in machine.fitted.shape.pieces if piece.role is PieceRole.EDGE]
    left = machine.work.region
    for start, end in legs(path):
        for piece in edges:
            left = rest(left, leg_hull(piece, start, end))
    return machine if left.is_empty else replace(machine, work=solid(left))


def report_strike(scene: Scene, met: Strike, path: list[Point], doing: str) -> None:
    """Refuse a strike in the words of what was met."""
    tool = "" if scene.machine.fitted is None else scene.machine.fitted.tool.name
    way = (
        f"from z {path[0].z_mm:.2f} mm, diameter {2 * path[0].radius_mm:.2f} mm to z {path[-1].z_mm:.2f} mm, diameter "
        f"{2 * path[-1].radius_mm:.2f} mm"
    )
    part = {PieceRole.EDGE: "edge", PieceRole.BODY: "body", PieceRole.HOLDER: "holder"}[met.role]
    code = {
        Thing.WORK: RefusalCode.PLOUGHS,
        Thing.FAR_WALL: RefusalCode.STRIKES_FAR_WALL,
        Thing.HOLDING: RefusalCode.STRIKES_HOLDING,
        Thing.STUB: RefusalCode.STRIKES_BAR,
    }[met.thing]
    scene.refuse(
        code, f"{doing} {way}, the {part} of {tool} runs into {met.thing.value}; draw clear first, or go another way"
    )


def retract(scene: Scene, act: Retract) -> Machine:
    """Wind away from the work, by about a distance."""
    machine = scene.machine
    if not fits_handle(scene, act.handle, act.motion):
        return machine
    if act.distance_mm <= 0:
        scene.refuse(RefusalCode.WRONG_DIRECTION, f"{act.handle.value}: away by {act.distance_mm:g} mm; give the way")
        return machine
    check_unlocked(scene, act.handle)
    _check_turns(scene, act)
    if act.handle is not Handle.QUILL and not has_place(scene, act.handle):
        return machine
    lathe, state = scene.case.lathe, machine.slides[act.handle]
    target = state.travel_mm + travel_of(lathe, act.handle, act.motion, act.distance_mm)
    bearing = lathe.slide(act.handle).turn_for(act.motion)
    if state.bearing is not bearing and act.distance_mm <= float(scene.slide(act.handle).slack_mm) + LEAST_MOVE_MM:
        scene.refuse(
            RefusalCode.BACK_OFF_TOO_SMALL,
            f"{act.handle.value}: {act.distance_mm:g} mm back are within its slack of "
            f"{float(scene.slide(act.handle).slack_mm):g} mm: the tool does not move; turn further",
        )
    if act.handle is not Handle.QUILL:
        machine = check_free_way(scene, act.handle, (target,))
    by_eye = act.handle is not Handle.QUILL
    moved = slide_gone_to(machine, lathe, act.handle, stops_mm=(target,), bearing=bearing, by_eye=by_eye)
    check_span(scene, moved, act.handle)
    return replace(moved, contact=None)


def _check_turns(scene: Scene, act: Retract) -> None:
    dial = scene.slide(act.handle).dial
    if act.turns is None:
        return
    if dial is None:
        scene.refuse(RefusalCode.NOT_SETTABLE, f"{act.handle.value}: has no dial whose turns could be counted")
        return
    way = float(act.turns * dial.lead_mm)
    if abs(way - act.distance_mm) > ABOUT_SHARE * act.distance_mm + ABOUT_MM:
        scene.refuse(
            RefusalCode.WRONG_TURNS,
            f"{act.handle.value}: {float(act.turns):g} turns are {way:g} mm, and the sheet says "
            f"{act.distance_mm:g} mm; "
            "correct one of them",
        )
