"""The act that takes metal off with a toolpost tool."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import atan2, hypot, sin

from handwheel.check.acts_move import has_place, report_strike
from handwheel.check.acts_spindle import check_speed_of_holding, must_lock_carriage, must_turn_forward
from handwheel.check.dial import turn_sign
from handwheel.check.limits import (
    CutFacts,
    cut_kind,
    least_depth_fault,
    least_feed_fault,
    metal_speed_fault,
    pace_feed_fault,
)
from handwheel.check.machine import FittedTool, Machine, direction, place_after, slide_gone_to, travel_of
from handwheel.check.report import RefusalCode
from handwheel.check.scene import Scene
from handwheel.check.solids import Solid, Thing, first_strike, leg_hull, solid
from handwheel.check.surfaces import is_edge, is_face
from handwheel.check.winding import Winding, check_expected, check_span, check_unlocked, fits_handle, wind
from handwheel.domain.acts import Cut, FeedKind, SetFeed
from handwheel.domain.contour import Point
from handwheel.domain.holding import to_work_z
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.shop import Hand, PieceRole, ToolKind
from handwheel.geometry.region import (
    Region,
    area_mm2,
    bites,
    bounds_mm,
    difference,
    intersection,
    mirrored,
    pieces,
    rings,
    union,
)

PAST_CENTRE_MM = 0.6
"""How far a facing tool may go past the centre line."""
DEEPER_MM = 2e-3
DEEPER_SHARE = 0.01
"""The metal met may be deeper than printed by these two together."""
LENGTH_MM = 0.05
LENGTH_SHARE = 0.02
"""The printed length may differ from the way of the slide by these two together."""
BY_EYE_MM = 0.5
"""How far beyond the printed end a cut may run that is ended by eye."""
LEAST_CHIP_MM2 = 1e-6
"""A cut that takes less than this takes nothing."""
LEAST_PIECE_MM2 = 1e-3
"""Pieces smaller than this are slivers of the arithmetic, not work."""
DIA_SHARE = 0.005
DIA_MM = 0.02
"""The diameter cut may pass the printed one of the speed by these two together."""

_EDGES = frozenset({PieceRole.EDGE})
_REST = frozenset({PieceRole.BODY, PieceRole.HOLDER})
_VEES = (ToolKind.EDGE_OUTSIDE, ToolKind.EDGE_INSIDE)
_ALONG = {
    Hand.RIGHT: frozenset({Motion.LEFT}),
    Hand.LEFT: frozenset({Motion.RIGHT}),
    Hand.NEUTRAL: frozenset({Motion.LEFT, Motion.RIGHT}),
}
_ACROSS = {
    ToolKind.TURNING: frozenset({Motion.IN}),
    ToolKind.BORING: frozenset({Motion.OUT}),
    ToolKind.PARTING: frozenset({Motion.IN}),
    ToolKind.GROOVING: frozenset({Motion.IN}),
    ToolKind.EDGE_OUTSIDE: frozenset({Motion.IN}),
    ToolKind.EDGE_INSIDE: frozenset({Motion.OUT}),
}
_PLUNGE_ONLY = (ToolKind.PARTING, ToolKind.GROOVING)


@dataclass(frozen=True, slots=True)
class Bite:
    """What a cut does to the work: what it takes, what it leaves, where the tool went."""

    taken: Region
    left: Region
    path: tuple[Point, Point]


def cut(scene: Scene, act: Cut) -> Machine:
    """Feed through metal."""
    machine = scene.machine
    must_turn_forward(scene, f"cutting {act.surface}")
    if machine.work is None or not machine.in_machine:
        return scene.stop(RefusalCode.NOT_HELD, f"cutting {act.surface} and nothing holds the work; grip it first")
    if machine.severed:
        return scene.stop(RefusalCode.NOT_HELD, "cutting a ring that hangs free; the last cut has gone through")
    if not fits_handle(scene, act.handle, act.motion) or not has_place(scene, act.handle):
        return machine
    _check_ready(scene, act)
    winding = _winding(scene, act)
    if winding is None or machine.fitted is None or machine.place is None:
        return machine
    end = place_after(machine, scene.case.lathe, act.handle, winding.stops_mm[-1])
    if end is None or end == machine.place:
        return machine
    bite = _bite(machine.work, machine.fitted, machine.place, end)
    _check_way(scene, act, bite)
    _check_by_eye(scene, act, bite)
    _check_metal(scene, act, bite)
    after = slide_gone_to(
        machine,
        scene.case.lathe,
        act.handle,
        stops_mm=winding.stops_mm,
        bearing=winding.bearing,
        by_eye=act.to is None,
    )
    check_span(scene, after, act.handle)
    if act.to is not None:
        check_expected(scene, after, act.to)
    return _with_work(scene.on(after), act, bite)


def _check_ready(scene: Scene, act: Cut) -> None:
    machine = scene.machine
    if not machine.indicated:
        scene.refuse(RefusalCode.NOT_INDICATED, "cutting a ring just gripped: indicate it first, it may run out")
    check_unlocked(scene, act.handle)
    must_lock_carriage(scene, act.handle)
    check_cautioned(scene)
    _check_tool(scene, act)
    _check_feed(scene, act)
    _check_set_across(scene, act)


def check_cautioned(scene: Scene) -> None:
    """Refuse the first cut in a hazardous metal without a caution since the spindle was started."""
    material = scene.case.material
    if material is None or scene.machine.has_cut or scene.machine.cautioned or not material.hazards:
        return
    kinds = ", ".join(sorted({caution.kind.value for caution in material.hazards}))
    scene.refuse(
        RefusalCode.MISSING_CAUTION,
        f"first cut in {material.name} ({kinds}) and no caution stands since its tool was fitted; print it",
    )


def _check_tool(scene: Scene, act: Cut) -> None:
    fitted = scene.machine.fitted
    if fitted is None:
        return
    tool = fitted.tool
    along = frozenset() if tool.kind in _PLUNGE_ONLY else _ALONG[tool.hand]
    if act.motion not in (_ACROSS[tool.kind] if act.motion.across else along):
        scene.refuse(
            RefusalCode.TOOL_CANNOT,
            f"{tool.name} ({tool.kind.value}) does not cut {act.motion.value}; fit another tool",
        )


def _check_feed(scene: Scene, act: Cut) -> None:
    machine = scene.machine
    feed = machine.feeds.get(act.handle)
    if feed is None or feed.kind is not act.feed:
        known = "none is set" if feed is None else f"{feed.kind.value} feed is set"
        scene.refuse(
            RefusalCode.FEED_NOT_SET, f"{act.handle.value}: cuts by {act.feed.value} feed and {known}; set it first"
        )
        return
    if act.feed is FeedKind.POWER and act.handle not in (Handle.CARRIAGE, Handle.CROSS):
        scene.refuse(RefusalCode.FEED_NOT_LISTED, f"{act.handle.value}: the gearbox does not drive it; feed by hand")
    if machine.speed is not None:
        found = pace_feed_fault(scene.slide(act.handle), feed, speed_rpm=machine.speed.rpm)
        if found is not None:
            scene.refuse(*found)
    found = None if scene.case.material is None else least_feed_fault(scene.case.material, feed)
    if found is not None:
        scene.refuse(*found)


def _check_set_across(scene: Scene, act: Cut) -> None:
    """Refuse a cut whose depth rests on the eye: the coordinate square to the feed must be known."""
    machine = scene.machine
    ahead = direction(machine, act.handle, act.motion)
    knows = (ahead.radius_mm == 0.0 or machine.knows_z) and (ahead.z_mm == 0.0 or machine.knows_x)
    if not knows and not (machine.kissed and machine.kissed == act.surface):
        scene.refuse(
            RefusalCode.POSITION_BY_EYE,
            f"cutting {act.surface}: how deep the tool stands was judged by eye; set it from a live zero first",
        )


def _winding(scene: Scene, act: Cut) -> Winding | None:
    machine, lathe = scene.machine, scene.case.lathe
    turn = lathe.slide(act.handle).turn_for(act.motion)
    here = machine.slides[act.handle].travel_mm
    if act.to is None:
        if act.length_mm <= 0:
            scene.refuse(RefusalCode.WRONG_DIRECTION, f"{act.handle.value}: cuts {act.length_mm:g} mm; give the way")
            return None
        return Winding((here + travel_of(lathe, act.handle, act.motion, act.length_mm),), turn)
    if act.to.handle is not act.handle:
        _misdirected(scene, f"{act.handle.value} cuts to a setting of the {act.to.handle.value}; name one handle")
        return None
    found = wind(scene, act.to)
    if found is None:
        return None
    target = found.stops_mm[-1]
    way = float((target - here) * turn_sign(turn))
    if way <= 0:
        _misdirected(
            scene, f"{act.handle.value}: {act.motion.value} does not lead to the setting; it lies {-way:.3f} mm behind"
        )
        return None
    if act.to.approach is not turn:
        scene.refuse(
            RefusalCode.WRONG_DIRECTION,
            f"{act.handle.value}: {act.motion.value} is {turn.value}, and the setting is reached "
            f"{act.to.approach.value}",
        )
    if abs(way - act.length_mm) > LENGTH_MM + LENGTH_SHARE * way:
        scene.refuse(
            RefusalCode.LENGTH_DISAGREES,
            f"{act.handle.value}: the way to the setting is {way:.3f} mm, and the sheet says {act.length_mm:.3f} mm",
        )
    return Winding((target,), turn)


def _misdirected(scene: Scene, text: str) -> None:
    scene.refuse(RefusalCode.WRONG_DIRECTION, text)


def _swept_by_edge(fitted: FittedTool, start: Point, end: Point) -> Region:
    hulls = [leg_hull(piece, start, end) for piece in fitted.shape.pieces if piece.role is PieceRole.EDGE]
    return hulls[0] if len(hulls) == 1 else union(hulls)


def _swept_of_work(work: Solid, fitted: FittedTool, start: Point, end: Point) -> Region:
    return intersection(work.region, _swept_by_edge(fitted, start, end))


def _bite(work: Solid, fitted: FittedTool, start: Point, end: Point) -> Bite:
    swept = _swept_by_edge(fitted, start, end)
    taken = intersection(work.region, swept)
    left = work.region if taken.is_empty else difference(work.region, swept)
    if min(start.radius_mm, end.radius_mm) < 0.0 and not left.is_empty:
        # what goes past the centre cuts on the far side too
        left = difference(left, mirrored(swept))
    return Bite(taken, left, (start, end))


def _check_way(scene: Scene, act: Cut, bite: Bite) -> None:
    machine = scene.machine
    if machine.fitted is None or machine.work is None:
        return
    shape, path = machine.fitted.shape, list(bite.path)
    met = first_strike(shape, path, machine.bodies)
    if met is not None:
        report_strike(scene, met, path, f"{act.handle.value}: cutting")
    if not bite.left.is_empty:
        left = solid(bite.left)
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


def _check_by_eye(scene: Scene, act: Cut, bite: Bite) -> None:
    """Refuse an end by eye so close to jaws, or to the finished part, that the eye's error matters."""
    machine = scene.machine
    if act.to is not None or machine.fitted is None:
        return
    ahead = direction(machine, act.handle, act.motion)
    end = bite.path[1]
    beyond = Point(end.z_mm + ahead.z_mm * BY_EYE_MM, end.radius_mm + ahead.radius_mm * BY_EYE_MM)
    met = first_strike(machine.fitted.shape, (end, beyond), machine.bodies)
    into = "the finished part" if met is None and _cuts_part(scene, bite.path, beyond) else ""
    if met is not None or into:
        scene.refuse(
            RefusalCode.BY_EYE_TOO_CLOSE,
            f"cutting {act.surface}: the end is judged by eye and {BY_EYE_MM:g} mm further the tool is in "
            f"{into or Thing.HOLDING.value}; end it at a setting or earlier",
        )


def _cuts_part(scene: Scene, path: tuple[Point, Point], beyond: Point) -> bool:
    """Whether going on to ``beyond`` would cut metal of the finished part that the printed way does not."""
    machine = scene.machine
    if machine.fitted is None:
        return False
    ideal = scene.case.ideal[machine.side]
    edges = [piece for piece in machine.fitted.shape.pieces if piece.role is PieceRole.EDGE]
    return any(
        bites(further, ideal) and bites(difference(further, leg_hull(piece, *path)), ideal)
        for piece in edges
        for further in (leg_hull(piece, path[1], beyond),)
    )


def _check_metal(scene: Scene, act: Cut, bite: Bite) -> None:
    machine, material = scene.machine, scene.case.material
    if machine.fitted is None:
        return
    if area_mm2(bite.taken) <= LEAST_CHIP_MM2:
        scene.refuse(
            RefusalCode.CUTS_AIR, f"cutting {act.surface}: the edge meets no metal; check the setting before this cut"
        )
        return
    depth = depth_met_mm(scene, act, bite)
    if depth > act.depth_mm + DEEPER_MM + DEEPER_SHARE * abs(act.depth_mm):
        scene.refuse(
            RefusalCode.DEEPER_THAN_SAID,
            f"cutting {act.surface}: the edge meets {depth:.3f} mm of metal, and the sheet says {act.depth_mm:.3f} mm; "
            "take less at a time",
        )
    dia = 2.0 * max(float(ring[:, 1].max()) for ring in rings(_taken_before_nose(scene, bite)))
    tool = machine.fitted.tool
    facts = CutFacts(kind=tool.kind, edge=tool.edge, is_edge=is_edge(act.surface), depth_mm=depth, largest_dia_mm=dia)
    check_dia(scene, dia)
    _check_speed(scene, act, facts)
    found = None if material is None else least_depth_fault(material, facts)
    if found is not None:
        scene.refuse(*found)


def depth_met_mm(scene: Scene, act: Cut, bite: Bite) -> float:
    """Depth of the metal met, square to the cut surface. [mm]

    That is square to the feed, except for an edge tool that is fed straight in or out: there it is square to its flank.
    The depth of a slot may be meant as its width or as the way into the metal: the smaller is taken.
    The round that the nose of the last cut has left at the end of the way is not counted.
    """
    machine = scene.machine
    taken = _taken_before_nose(scene, bite)
    ahead = direction(machine, act.handle, act.motion)
    square = Point(-ahead.radius_mm, ahead.z_mm)
    flank = 1.0
    if machine.fitted is not None and machine.fitted.tool.kind in _VEES and act.motion.across:
        square, flank = ahead, sin(_half_angle(machine.fitted))
    found = _extent_mm(taken, square) * flank
    if machine.fitted is not None and machine.fitted.tool.kind in _PLUNGE_ONLY:
        return min(found, _extent_mm(taken, ahead))
    return found


def _extent_mm(region: Region, along: Point) -> float:
    """Length of a region's shadow along a unit direction. [mm]"""
    shadows = [ring[:, 0] * along.z_mm + ring[:, 1] * along.radius_mm for ring in rings(region)]
    return max(float(shadow.max()) for shadow in shadows) - min(float(shadow.min()) for shadow in shadows)


def _taken_before_nose(scene: Scene, bite: Bite) -> Region:
    """What the cut takes if it stops short of its end by the nose radius; all of it if there is no nose or nothing."""
    fitted, work = scene.machine.fitted, scene.machine.work
    start, end = bite.path
    way = hypot(end.z_mm - start.z_mm, end.radius_mm - start.radius_mm)
    if fitted is None or work is None or not 0.0 < fitted.tool.nose_radius_mm < way:
        return bite.taken
    share = 1.0 - fitted.tool.nose_radius_mm / way
    short = Point(
        start.z_mm + share * (end.z_mm - start.z_mm), start.radius_mm + share * (end.radius_mm - start.radius_mm)
    )
    found = _swept_of_work(work, fitted, start, short)
    return bite.taken if area_mm2(found) <= LEAST_CHIP_MM2 else found


def _half_angle(fitted: FittedTool) -> float:
    points = [p for piece in fitted.shape.pieces if piece.role is PieceRole.EDGE for p in piece.points]
    widest = max(points, key=lambda p: abs(p.z_mm))
    return atan2(abs(widest.z_mm), abs(widest.radius_mm))


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
    check_speed_of_holding(scene, machine.speed.rpm)
    if material is None:
        return
    feed: SetFeed | None = machine.feeds.get(act.handle)
    kind = cut_kind(facts, feed)
    found = metal_speed_fault(
        material, edge=facts.edge, cut=kind, speed_rpm=machine.speed.rpm, cut_dia_mm=facts.largest_dia_mm
    )
    if found is not None:
        scene.refuse(*found)


def _with_work(scene: Scene, act: Cut, bite: Bite) -> Machine:
    machine = scene.machine
    if machine.fitted is None:
        return machine
    if bite.left.is_empty:
        return scene.stop(RefusalCode.NOTHING_LEFT, f"cutting {act.surface} takes away all of the work")
    width = scene.case.part.width_mm
    spans = dict(machine.cut_spans_mm)
    if not bite.taken.is_empty:
        low, _, high, _ = bounds_mm(bite.taken)
        ends = sorted(to_work_z(z, side=machine.side, width_mm=width) for z in (low, high))
        spans[act.surface] = (ends[0], ends[1])
    parting = machine.fitted.tool.kind is ToolKind.PARTING
    severed = len([piece for piece in pieces(bite.left) if area_mm2(piece) > LEAST_PIECE_MM2]) > 1
    if severed and not parting:
        scene.refuse(
            RefusalCode.SEVERED, f"cutting {act.surface} cuts the work in two; a piece flies off: only a blade parts"
        )
    return replace(
        machine,
        work=solid(bite.left),
        severed=severed,
        burr=machine.burr or parting or is_face(act.surface),
        cut_at={**machine.cut_at, act.surface: machine.step},
        cut_spans_mm=spans,
        contact=None,
        has_cut=True,
    )
