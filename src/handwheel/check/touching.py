"""Where a tool or a drill first touches the work, and whether that is the surface that was meant."""

from __future__ import annotations

from math import radians, tan

from handwheel.check.machine import Machine, direction
from handwheel.check.report import RefusalCode
from handwheel.check.scene import Scene
from handwheel.check.solids import Piece, first_strike, leg_hull, shared
from handwheel.check.surfaces import edge_corner, is_edge, is_face, is_inner
from handwheel.check.winding import DRILLED_MM
from handwheel.domain.acts import Touch
from handwheel.domain.contour import Point
from handwheel.domain.holding import Side, to_work_z
from handwheel.domain.hole_tools import Drill, Reamer
from handwheel.domain.motion import Motion
from handwheel.domain.part import BACK_FACE, FRONT_FACE
from handwheel.domain.tools import PieceRole
from handwheel.geometry.contact import travel_to_contact_mm
from handwheel.geometry.region import Region, bounds_mm, empty, hull

FARTHEST_MM = 40.0
"""A touch further away than this was not near the work."""
PEEP_MM = 1e-4
"""How far a tool is pushed in to find the touching spot."""
CORNER_MM = 0.1
"""How far the corner that is touched may lie from the finished corner: dials round, facing leaves its error."""
ALLOWANCE_MM = 2.0
"""How far behind the finished corner that of a far edge may stand before the second side is faced."""
FACE_MM = 1e-3
"""How far the touched spot may lie from the face that was meant."""

_REST = frozenset({PieceRole.BODY, PieceRole.HOLDER})


def find_contact(scene: Scene, act: Touch) -> tuple[float, Point] | None:
    """Way to the touch (less the feeler) and the spot of the tool that makes it; refuses and stops if none. [mm]"""
    machine = scene.machine
    if machine.fitted is None or machine.place is None or machine.work is None:
        return None
    ahead = direction(machine, act.handle, act.motion)
    by_edge = _way_of_edge(scene, ahead)
    if _meets_else(scene, ahead, FARTHEST_MM if by_edge is None else by_edge):
        scene.stop(
            RefusalCode.WRONG_CONTACT,
            f"{machine.fitted.tool.name}: its body or holder, or something that is not {act.surface}, is met before "
            "the edge touches; come from another place",
        )
        return None
    if by_edge is None or by_edge > FARTHEST_MM:
        scene.stop(
            RefusalCode.NO_CONTACT,
            f"{act.handle.value} {act.motion.value}: meets nothing within {FARTHEST_MM:g} mm; bring the tool nearer, "
            "or wind the other way",
        )
        return None
    if act.feeler_mm < 0 or act.feeler_mm > by_edge + PEEP_MM:
        scene.refuse(
            RefusalCode.WRONG_CONTACT,
            f"a feeler of {act.feeler_mm:g} mm does not go between tool and work ({by_edge:.3f} mm apart): "
            "start further off",
        )
    spot = _spot(scene, ahead, by_edge, act.motion)
    _check_surface(scene, act, spot)
    way = by_edge - act.feeler_mm
    return way, Point(spot.z_mm - ahead.z_mm * act.feeler_mm, spot.radius_mm - ahead.radius_mm * act.feeler_mm)


def _way_of_edge(scene: Scene, ahead: Point) -> float | None:
    """Way until an edge meets the work; ``None`` if none ever does. [mm]"""
    machine = scene.machine
    if machine.fitted is None or machine.place is None or machine.work is None:
        return None
    edges = [piece for piece in machine.fitted.shape.pieces if piece.role is PieceRole.EDGE]
    ways = [
        travel_to_contact_mm(leg_hull(piece, machine.place, machine.place), machine.work.region, ahead)
        for piece in edges
    ]
    return min((way for way in ways if way is not None), default=None)


def _meets_else(scene: Scene, ahead: Point, way_mm: float) -> bool:
    """Whether anything but an edge on the work is met on a way: a body on the work, anything on holding or far wall."""
    machine = scene.machine
    if machine.fitted is None or machine.place is None or machine.work is None:
        return False
    at = machine.place
    path = (at, Point(at.z_mm + ahead.z_mm * way_mm, at.radius_mm + ahead.radius_mm * way_mm))
    shape = machine.fitted.shape
    held = (*machine.bodies, machine.work.far)
    return (
        first_strike(shape, path, held) is not None
        or first_strike(shape, path, (machine.work.near,), roles=_REST) is not None
    )


def _spot(scene: Scene, ahead: Point, way_mm: float, motion: Motion) -> Point:
    """Touching spot: the tool is pushed in by a hair and what it then covers of the work is looked at. [mm]"""
    machine = scene.machine
    if machine.fitted is None or machine.place is None or machine.work is None:
        return Point(0.0, 0.0)
    deep = way_mm + PEEP_MM
    at = Point(machine.place.z_mm + ahead.z_mm * deep, machine.place.radius_mm + ahead.radius_mm * deep)
    edges: list[Piece] = [piece for piece in machine.fitted.shape.pieces if piece.role is PieceRole.EDGE]
    covered = [shared(leg_hull(piece, at, at), machine.work.region) for piece in edges]
    boxes = [bounds_mm(region) for region in covered if not region.is_empty]
    if not boxes:
        return Point(at.z_mm, at.radius_mm)
    low_z, low_x, high_z, high_x = boxes[0]
    middle = Point((low_z + high_z) / 2.0, (low_x + high_x) / 2.0)
    return {
        Motion.IN: Point(middle.z_mm, high_x),
        Motion.OUT: Point(middle.z_mm, low_x),
        Motion.LEFT: Point(high_z, middle.radius_mm),
        Motion.RIGHT: Point(low_z, middle.radius_mm),
    }[motion]


def _check_surface(scene: Scene, act: Touch, spot: Point) -> None:
    if is_edge(act.surface):
        _check_corner(scene, act, spot)
    elif is_face(act.surface):
        _check_face(scene, act, spot)
    elif _goes_across(scene, act) and is_inner(scene.case.part, act.surface) is not _goes_out(scene, act):
        scene.refuse(
            RefusalCode.WRONG_CONTACT,
            f"moving {act.motion.value} does not touch {act.surface} from where metal is missing; wind the other way",
        )


def _goes_across(scene: Scene, act: Touch) -> bool:
    """Whether the tool goes across at all, as a swung top slide does too."""
    return direction(scene.machine, act.handle, act.motion).radius_mm != 0.0


def _goes_out(scene: Scene, act: Touch) -> bool:
    return direction(scene.machine, act.handle, act.motion).radius_mm > 0.0


def _check_corner(scene: Scene, act: Touch, spot: Point) -> None:
    corner = edge_corner(scene.case.part, act.surface)
    if corner is None:
        return
    z_mm = to_work_z(corner.z_mm, side=scene.machine.side, width_mm=scene.case.part.width_mm)
    # the corner of a far edge still stands proud by the allowance that the second side takes off
    off_z = abs(spot.z_mm - z_mm)
    if corner_is_far(z_mm, scene.case.part.width_mm) and 0.0 <= z_mm - spot.z_mm <= ALLOWANCE_MM:
        off_z = 0.0
    if max(off_z, abs(spot.radius_mm - corner.radius_mm)) > CORNER_MM:
        scene.refuse(
            RefusalCode.WRONG_CONTACT,
            f"touches at z {spot.z_mm:.2f} mm on {2 * spot.radius_mm:.2f} mm diameter, and the corner of "
            f"{act.surface} is at "
            f"z {z_mm:.2f} mm on {2 * corner.radius_mm:.2f} mm; bring the tool over the corner",
        )


def corner_is_far(z_mm: float, width_mm: float) -> bool:
    """Whether a corner at a z of the work frame lies on the side towards the chuck."""
    return z_mm < -width_mm / 2.0


def _check_face(scene: Scene, act: Touch, spot: Point, within_mm: float = FACE_MM) -> None:
    work = scene.machine.work
    if work is None:
        return
    near, far = (FRONT_FACE, BACK_FACE) if scene.machine.side is Side.FRONT else (BACK_FACE, FRONT_FACE)
    faces = {Motion.LEFT: (near, work.box[2]), Motion.RIGHT: (far, work.box[0])}
    name, z_mm = faces.get(act.motion, ("", 0.0))
    if name != act.surface or abs(spot.z_mm - z_mm) > within_mm:
        scene.refuse(
            RefusalCode.WRONG_CONTACT,
            f"moving {act.motion.value} touches at z {spot.z_mm:.3f} mm, which is not the {act.surface}; bring "
            "the tool "
            "in front of that face",
        )


def drill_outline(drill: Drill, tip_mm: float) -> Region:
    """Upper half of a drill with its tip at a z, point and flutes. [mm]"""
    radius = float(drill.dia_mm) / 2.0
    shoulder = tip_mm + drill_point_mm(drill)
    end = tip_mm + max(drill.flute_mm, drill_point_mm(drill)) + FARTHEST_MM
    return hull([(tip_mm, 0.0), (shoulder, radius), (end, radius), (end, 0.0)])


def drill_point_mm(drill: Drill) -> float:
    """Height of the point: d/2 over the tangent of half its angle. [mm]"""
    half = radians(min(max(drill.point_deg, 1.0), 179.0) / 2.0)
    return float(drill.dia_mm) / 2.0 / tan(half)


def reamer_outline(reamer: Reamer, tip_mm: float) -> Region:
    """Upper half of a reamer with the end of its lead at a z, as large as the middle of the hole it makes. [mm]"""
    small, full = reamer.lead_dia_mm / 2.0, reamed_radius_mm(reamer)
    end = tip_mm + reamer.flute_mm + FARTHEST_MM
    return hull([(tip_mm, 0.0), (tip_mm, small), (tip_mm + reamer.lead_mm, full), (end, full), (end, 0.0)])


def reamed_radius_mm(reamer: Reamer) -> float:
    """Radius of the hole that a reamer makes: the middle of its limits. [mm]"""
    return float(reamer.hole_lower_mm + reamer.hole_upper_mm) / 4.0


def tailstock_outline(machine: Machine, tip_mm: float) -> Region:
    """Upper half of the drill or reamer in the tailstock. [mm]"""
    if machine.reamer is not None:
        return reamer_outline(machine.reamer, tip_mm)
    return empty() if machine.drill is None else drill_outline(machine.drill, tip_mm)


def tailstock_dia_mm(machine: Machine) -> float | None:
    """Diameter of the drill or reamer in the tailstock, if there is one. [mm]"""
    if machine.reamer is not None:
        return float(machine.reamer.dia_mm)
    return None if machine.drill is None else float(machine.drill.dia_mm)


def quill_contact(scene: Scene, act: Touch) -> tuple[float, Point] | None:
    """Tip of the drill when it touches, and the touched spot; the tailstock is slid up first. [mm]"""
    machine = scene.machine
    if (machine.drill is None and machine.reamer is None) or machine.work is None:
        scene.stop(RefusalCode.NO_TOOL, "no drill is fitted; fit one before it is wound to the work")
        return None
    check_toolpost_clear(scene)
    start = machine.work.box[2] + 1.0
    outline = tailstock_outline(machine, start)
    way = travel_to_contact_mm(outline, machine.work.region, (-1.0, 0.0))
    if way is None or way > FARTHEST_MM or act.motion is not Motion.LEFT:
        scene.stop(RefusalCode.NO_CONTACT, "the drill meets nothing: the hole is as large already; take a larger drill")
        return None
    tip = start - way
    covered = shared(tailstock_outline(machine, tip - PEEP_MM), machine.work.region)
    box = bounds_mm(covered) if not covered.is_empty else (tip, 0.0, tip, 0.0)
    spot = Point(box[2] + act.feeler_mm, (box[1] + box[3]) / 2.0)
    if is_face(act.surface):
        _check_face(scene, act, Point(box[2], spot.radius_mm), DRILLED_MM)
    return tip + act.feeler_mm, spot


def check_toolpost_clear(scene: Scene) -> None:
    """Refuse a toolpost tool that stands where the drill and its chuck come along."""
    machine = scene.machine
    dia = tailstock_dia_mm(machine)
    if machine.fitted is None or machine.place is None or dia is None:
        return
    lowest = machine.fitted.shape.box[1] + machine.place.radius_mm
    if lowest <= dia / 2.0 + 1.0:
        scene.refuse(
            RefusalCode.STRIKES_DRILL,
            f"{machine.fitted.tool.name} stands in the way of the drill; wind the cross-slide out first",
        )
