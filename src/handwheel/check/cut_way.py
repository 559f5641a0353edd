"""What a cut must not meet on its way: jaws, metal that the edge does not clear, the far wall."""

from __future__ import annotations

from handwheel.check.acts_move import report_strike
from handwheel.check.bite import Bite, swept_by_edge
from handwheel.check.machine import direction
from handwheel.check.report import RefusalCode
from handwheel.check.scene import Scene
from handwheel.check.solids import first_strike, leg_hull, rest, shared
from handwheel.domain.acts import Cut
from handwheel.domain.contour import Point
from handwheel.domain.motion import Motion
from handwheel.domain.tools import PieceRole
from handwheel.geometry.region import (
    TOUCH_AREA_MM2,
    area_mm2,
    bites,
    bounds_mm,
    distance_mm,
    rectangle,
)

PAST_CENTRE_MM = 0.6
"""How far a facing tool may go past the centre line."""
ON_PART_MM = 0.01
"""Metal nearer than this to the finished part is that of a last cut."""
BY_EYE_MM = 0.5
"""How far beyond the printed end a cut may run that is ended by eye."""

_EDGES = frozenset({PieceRole.EDGE})
_REST = frozenset({PieceRole.BODY, PieceRole.HOLDER})


def check_way(scene: Scene, act: Cut, bite: Bite) -> None:
    """Refuse a way on which a tool meets what it must not."""
    machine = scene.machine
    if machine.fitted is None or machine.work is None:
        return
    shape, path = machine.fitted.shape, list(bite.path)
    met = first_strike(shape, path, machine.bodies)
    if met is not None:
        report_strike(scene, met, path, f"{act.handle.value}: cutting")
    if not bite.left.is_empty:
        left = bite.remains
        rubs = first_strike(shape, path, (left.near,), roles=_REST)
        if rubs is not None:
            scene.refuse(
                RefusalCode.RUBS,
                f"cutting {act.surface}: the {rubs.role.value} of {machine.fitted.tool.name} runs into metal "
                "that its edge "
                "does not clear; let it stand out further, or take a narrower tool or less at a time",
            )
        behind = first_strike(shape, path, (left.far,), roles=_REST)
        if behind is not None:
            report_strike(scene, behind, path, f"{act.handle.value}: cutting")
    _check_far_wall(scene, act, bite)


def _check_far_wall(scene: Scene, act: Cut, bite: Bite) -> None:
    machine = scene.machine
    if machine.fitted is None or machine.work is None:
        return
    path = list(bite.path)
    met = first_strike(machine.fitted.shape, path, (machine.work.far,), roles=_EDGES)
    past = -min(place.radius_mm for place in path)
    if met is not None and not (act.motion is Motion.IN and past <= PAST_CENTRE_MM + 1e-6):
        report_strike(scene, met, path, f"{act.handle.value}: cutting")


def check_by_eye(scene: Scene, act: Cut, bite: Bite) -> None:
    """Refuse an end by eye so close to jaws, or to the finished part, that the eye's error matters."""
    machine = scene.machine
    if act.to is not None or machine.fitted is None:
        return
    ahead = direction(machine, act.handle, act.motion)
    end = bite.path[1]
    beyond = Point(end.z_mm + ahead.z_mm * BY_EYE_MM, end.radius_mm + ahead.radius_mm * BY_EYE_MM)
    met = first_strike(machine.fitted.shape, (end, beyond), machine.bodies)
    if met is not None or _cuts_part(scene, bite.path, beyond):
        scene.refuse(
            RefusalCode.BY_EYE_TOO_CLOSE,
            f"cutting {act.surface}: the end is judged by eye and {BY_EYE_MM:g} mm further the tool is in "
            f"{'the finished part' if met is None else met.thing.value}; end it at a setting or earlier",
        )
    elif _leaves_part(scene, act, bite):
        scene.refuse(
            RefusalCode.BY_EYE_TOO_CLOSE,
            f"cutting {act.surface}: the end is judged by eye and {BY_EYE_MM:g} mm sooner metal stays on the finished "
            "part; end it at a setting or further on",
        )


def _leaves_part(scene: Scene, act: Cut, bite: Bite) -> bool:
    """Whether an end somewhat sooner leaves metal on a finished surface."""
    machine = scene.machine
    if machine.fitted is None or bite.taken.is_empty:
        return False
    ahead = direction(machine, act.handle, act.motion)
    start, end = bite.path
    sooner = Point(end.z_mm - ahead.z_mm * BY_EYE_MM, end.radius_mm - ahead.radius_mm * BY_EYE_MM)
    if act.length_mm <= BY_EYE_MM:
        sooner = start
    ideal = scene.case.ideal[machine.side]
    low_z, _, high_z, _ = bounds_mm(ideal)
    part_range = rectangle(low_z, high_z, 0.0, bounds_mm(bite.taken)[3] + 1.0)
    stays = shared(rest(bite.taken, swept_by_edge(machine.fitted, start, sooner)), part_range)
    return area_mm2(stays) > TOUCH_AREA_MM2 and distance_mm(stays, ideal) < ON_PART_MM


def _cuts_part(scene: Scene, path: tuple[Point, Point], beyond: Point) -> bool:
    """Whether going on to ``beyond`` would cut metal of the finished part that the printed way does not."""
    machine = scene.machine
    if machine.fitted is None:
        return False
    ideal = scene.case.ideal[machine.side]
    edges = [piece for piece in machine.fitted.shape.pieces if piece.role is PieceRole.EDGE]
    return any(
        bites(further, ideal) and bites(rest(further, leg_hull(piece, *path)), ideal)
        for piece in edges
        for further in (leg_hull(piece, path[1], beyond),)
    )
