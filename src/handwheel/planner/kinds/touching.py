"""Touching: the zeros of a tool on face and diameter, and moving by them."""

from __future__ import annotations

from math import inf

from msgspec import Struct

from handwheel.domain.acts import HandKind
from handwheel.domain.contour import Point
from handwheel.domain.exact import Fraction
from handwheel.domain.holding import Holding, Side
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.part import (
    BACK_FACE,
    BACK_INNER_EDGE,
    BACK_OUTER_EDGE,
    BORE,
    FRONT_FACE,
    FRONT_INNER_EDGE,
    FRONT_OUTER_EDGE,
    OUTSIDE,
    Units,
)
from handwheel.domain.said import said, said_short
from handwheel.domain.tools import FORM_TOOLS, Hand, PieceRole, Tool, ToolKind
from handwheel.geometry.tool_shapes import blade_slant_mm, silhouette
from handwheel.planner.dialing import steps_at_least, steps_at_most
from handwheel.planner.job import POINT_GAP_MM, Job
from handwheel.planner.kinds.standing import shoulder_depth_mm
from handwheel.planner.way import Way, Zero
from handwheel.planner.writer import CLEAR_MM, Writer

TOUCH_BEHIND_MM = 3.0
"""How far behind the face a diameter is touched, by eye."""
SHOULDER_ROOM_MM = 1.5
"""How far in front of the end of the turning a blade is touched: the last cuts stop short, and their round is there."""
TOUCH_INSIDE_MM = 0.5
"""How far inside the rim of its flat a face is touched."""
TOUCH_CLEAR_MM = 0.5
"""How far off a diameter the tool waits before it is touched."""
FINE_GAP_MM = 0.1
"""Gap from which a swung top slide touches a surface."""
BEHIND_CLEAR_MM = 0.05
"""What stays free behind a tool that is drawn off the wall of a hole, at least."""
STUB_OVERLAP_MM = 0.3
"""How much of a blade's tip stands over the bar behind a groove, at least, when it touches there; common practice, no
source."""
TINY_MM = 1e-9
BLADES = (ToolKind.PARTING, ToolKind.GROOVING)
LIP_BEHIND_MM = 0.5
"""How far behind the rim the lip of a form tool touches a diameter, off its burr; common practice, no source."""
LIP_CLEAR_MM = 0.2
"""What stays free between a form tool and the shoulder behind the land that it touches; common practice, no source."""


class Spot(Struct, frozen=True, kw_only=True):
    """Where along the bed a blade touches a diameter: z of its left corner, and where that is in words. [mm]"""

    z_mm: float
    words: str


def face_name(holding: Holding) -> str:
    """Name of the face that looks to the tailstock."""
    return FRONT_FACE if holding.side is Side.FRONT else BACK_FACE


def contact_words(tool: Tool, units: Units, *, along: bool) -> str:
    """Which part of a tool touches a face (``along``) or a diameter."""
    blade = tool.kind in BLADES
    if blade and along:
        return f"left corner of the blade (it is {said_short(tool.width_mm, units)} wide)"
    if blade:
        return "tip of the blade"
    if tool.kind in FORM_TOOLS and not along:
        return "lip of the form tool that looks along the bed"
    if tool.kind in FORM_TOOLS:
        left = tool.hand is Hand.LEFT
        return (
            f"left side of the form tool, {said_short(tool.width_mm, units)} from its hollow,"
            if left
            else "side of its other lip"
        )
    return "tip of the tool" if not along else "left side of the tip"


def ensure_zeros(
    w: Writer,
    way: Way,
    *,
    surface: str,
    dia_mm: float,
    inside: bool,
    drive: Handle,
    across: Handle,
    gauged: bool = False,
) -> None:
    """Set whatever zero is missing: first the face, from in front of it, then the diameter.

    ``gauged``: the carriage will make room for a gauge, and must come back to where the top slide counts from.
    """
    tool = _tool_of(way)
    if tool.kind is ToolKind.EDGE_INSIDE:
        _vee_zeros(w, way, surface=surface, dia_mm=dia_mm, drive=drive)
        return
    radius = dia_mm / 2.0
    sign = 1.0 if inside else -1.0
    begins, ends = land_mm(w, surface)
    below = (
        lip_behind_mm(w.job, tool, begins_mm=begins, ends_mm=ends)
        if tool.kind in FORM_TOOLS
        else touch_below_mm(w, surface, nose_mm=tool.nose_radius_mm)
    )
    surface = w.stands_as(surface)
    where = "inside the hole" if inside else "over the outside"
    _ensure_along(w, way, drive, inside=inside, gauged=gauged)
    if Zero.ACROSS in w.live:
        return
    if w.counts(drive):
        clear_across(w, dia_mm, inside=inside)
        to_z(w, drive, w.face_mm - below)
    else:
        place = f"{where}, about {said_short(below, w.job.units)} behind the face"
        w.approach(w.face_mm - below, radius - sign * TOUCH_CLEAR_MM, place)
    w.lock(Handle.CARRIAGE)
    if across is not Handle.CROSS:
        _near_by_cross(w, surface, dia_mm=dia_mm, inside=inside, tool=tool)
        _room_along(w, across, drive, gap_mm=abs(w.x_mm - radius), room_mm=ends - below)
    _zero_across(w, across, tool, surface=surface, dia_mm=dia_mm, inside=inside)
    home(w, drive)


def ensure_blade_zeros(w: Writer, way: Way, *, cut_z_mm: float, drive: Handle) -> None:
    """Set whatever zero is missing before a blade plunges: the face, then the outside, where it may be marked."""
    tool, radius = _tool_of(way), w.outside_dia_mm / 2.0
    _ensure_along(w, way, drive, inside=False)
    if Zero.ACROSS in w.live:
        return
    surface, spot = w.stands_as(OUTSIDE), blade_spot(w, tool, cut_z_mm)
    clear_across(w, w.outside_dia_mm, inside=False)
    to_left_of(w, drive, spot.z_mm)
    w.lock(Handle.CARRIAGE)
    hangs = hangs_mm(w, tool)
    contact, note = contact_words(tool, w.job.units, along=False), ""
    if hangs:
        contact = f"left part of the {contact}"
        off = said(hangs, w.job.units, places=2)
        note = f"its right corner stands {off} deeper, in the groove; the figures allow for it"
    w.touch(Handle.CROSS, Motion.IN, surface, contact, x_mm=radius - hangs, note=spot.words)
    w.zero(Handle.CROSS, surface, 2.0 * radius, note=note)
    w.live |= Zero.ACROSS
    w.retract(Handle.CROSS, Motion.OUT, TOUCH_CLEAR_MM + hangs)


def _tool_of(way: Way) -> Tool:
    if way.tool is None:
        msg = f"way {way.id}: has no tool"
        raise ValueError(msg)
    return way.tool


def _ensure_along(w: Writer, way: Way, drive: Handle, *, inside: bool, gauged: bool = False) -> None:
    """Zero along the bed, if it is needed and missing: the tool touches the face from in front of it."""
    if Zero.ALONG not in way.zeros_needed or w.counts(drive):
        return
    tool = _tool_of(way)
    w.hand(HandKind.INK, "Ink the face where the tool will touch it, and let it dry: the touch shows as a bright line.")
    rim = "just outside the hole" if inside else "just inside the rim"
    at = face_touch_mm(face_band_mm(w, way.holding), tool, inside=inside)
    stands = w.face_mm + side_mm(tool)
    w.approach(stands + CLEAR_MM, at, f"in front of the face, {rim}")
    if drive is not Handle.CARRIAGE:
        w.lock(Handle.CARRIAGE)
    face = face_name(way.holding)
    w.touch(drive, Motion.LEFT, face, contact_words(tool, w.job.units, along=True), z_mm=stands)
    both = gauged and drive is Handle.TOP and w.job.carriage_comes_back
    w.zero_along(face, w.face_mm, (drive, Handle.CARRIAGE) if both else (drive,))
    home(w, drive)


def clear_across(w: Writer, dia_mm: float, *, inside: bool) -> None:
    """Draw the tool so far off a diameter, by the cross-slide, that it can go along above it."""
    sign = 1.0 if inside else -1.0
    over = dia_mm / 2.0 - sign * TOUCH_CLEAR_MM
    if sign * (over - w.x_mm) < 0:
        out_of_metal = Motion.IN if inside else Motion.OUT
        room = room_behind_mm(w, Handle.CROSS, dia_mm) if inside else inf
        w.retract(Handle.CROSS, out_of_metal, abs(over - w.x_mm), at_most_mm=room)


def _zero_across(w: Writer, across: Handle, tool: Tool, *, surface: str, dia_mm: float, inside: bool) -> None:
    """Touch a diameter, zero the handle on it, and draw the tool off."""
    motion = deeper(w, across, inside=inside)
    w.touch(across, motion, surface, contact_words(tool, w.job.units, along=False), x_mm=dia_mm / 2.0)
    w.zero(across, surface, dia_mm)
    w.live |= Zero.ACROSS
    w.retract(across, motion.other, TOUCH_CLEAR_MM, at_most_mm=room_behind_mm(w, across, dia_mm) if inside else inf)


def lip_behind_mm(job: Job, tool: Tool, *, begins_mm: float, ends_mm: float) -> float:
    """How far behind the face a form tool's reference stands while its lip touches a land between two depths. [mm]

    The lip lies to the right of a right-hand tool's reference, to the left of a left-hand one's, from the radius of the
    hollow to the width; nothing else of the tool may come over what ends the land.
    """
    room = ends_mm - begins_mm - job.part.corner_radius_mm - LIP_CLEAR_MM
    if tool.hand is Hand.LEFT:
        return begins_mm + max(0.0, min(LIP_BEHIND_MM, room - tool.width_mm))
    return begins_mm + min(tool.width_mm + LIP_BEHIND_MM, room)


def side_mm(tool: Tool) -> float:
    """How far to the left of its reference a tool's side stands that touches a face: a left-hand form tool's width."""
    return tool.width_mm if tool.kind in FORM_TOOLS and tool.hand is Hand.LEFT else 0.0


def blade_spot(w: Writer, tool: Tool, cut_z_mm: float) -> Spot:
    """Where a blade touches the outside before it plunges: it rubs a mark, so on what will be cut away if it can.

    That is the place of its own cut, by its left corner; if a groove is there, the bar just behind that. Only where
    neither has room for its tip does it touch the ring.
    """
    if not w.groove_wall_mm:
        return Spot(z_mm=cut_z_mm, words="over the place to be cut: the mark goes with the cut")
    begins, ends = stub_mm(w)
    least = _least_on_stub_mm(w, tool)
    wished = tool.width_mm if blade_slant_mm(tool) else least  # a slanted blade stands whole over the bar if it can
    over = min(cut_z_mm, -begins - max(least, min(wished, ends - begins)))
    if -over <= ends:
        return Spot(z_mm=over, words="on the bar behind the groove: no mark on the ring")
    below = touch_below_mm(w, OUTSIDE, wide_mm=tool.width_mm)
    words = "lightly: this part of the outside stays, and a hard touch marks it"
    return Spot(z_mm=w.face_mm - below - tool.width_mm, words=words)


def stub_mm(w: Writer) -> tuple[float, float]:
    """Depths behind the finished face between which the turned bar behind a groove stands whole.

    A V that cut the far edge through the groove may have cut the far rim of the groove too: its other side lies twice
    the gap of its point and the leg behind the wall of the ring.
    """
    cut = w.edges_cut.get(BACK_OUTER_EDGE)
    wide = _groove_wide_mm(w) if cut is None else max(_groove_wide_mm(w), cut + 2.0 * POINT_GAP_MM)
    return wide - w.groove_wall_mm, -w.job.turn_end_mm - SHOULDER_ROOM_MM


def _groove_wide_mm(w: Writer) -> float:
    return 0.0 if w.job.groover is None else w.job.groover.width_mm


def _least_on_stub_mm(w: Writer, tool: Tool) -> float:
    """How much of a blade must stand over the bar behind the groove when it touches there. [mm]

    The leading right corner of a slanted one must hang free in the groove, beside the ring; of a measured outline
    nobody knows which part would touch.
    """
    if tool.silhouette:
        return tool.width_mm
    hangs = tool.width_mm - _groove_wide_mm(w) if blade_slant_mm(tool) else 0.0
    return STUB_OVERLAP_MM + max(0.0, hangs)


def hangs_mm(w: Writer, tool: Tool) -> float:
    """How far the right corner of a slanted blade stands below what it touches: it hangs in a groove. [mm]"""
    if not w.groove_wall_mm or w.z_mm >= w.groove_wall_mm:
        return 0.0
    begins, _ = stub_mm(w)
    free = w.z_mm + tool.width_mm + begins
    return blade_slant_mm(tool) * max(0.0, free) / tool.width_mm


def room_behind_mm(w: Writer, across: Handle, hole_dia_mm: float) -> float:
    """How far a handle can draw a tool in a hole off its wall, before the tool's back meets the wall opposite. [mm]"""
    scale = w.scale(across)
    if w.tool is None or scale is None:
        return 0.0
    bodies = (piece for piece in silhouette(w.tool) if piece.role is not PieceRole.HOLDER)
    back = min(point.radius_mm for piece in bodies for point in piece.points)
    return max(0.0, hole_dia_mm / 2.0 + w.x_mm + back - BEHIND_CLEAR_MM) / scale.across


def steady(w: Writer, drive: Handle) -> None:
    """Bring the other handle along the bed back to its 0, if it has gone from there.

    Moved by eye it would leave z unknown; at any other mark the steps of the drive would no longer count from the face.
    """
    other = Handle.CARRIAGE if drive is Handle.TOP else Handle.TOP
    if w.swing.angle_deg or not w.counts(drive):
        return
    if not w.counts(other):
        if other in w.by_eye:
            w.forget_zeros()
        return
    if other not in w.by_eye and not w.place(other):
        return
    need = w.face_mm + CLEAR_MM - (w.z_mm + float(w.place(other)))
    if need > TINY_MM:
        w.retract(drive, Motion.RIGHT, need)
    w.move_to(other, Fraction(0), Motion.LEFT)


def touch_below_mm(w: Writer, surface: str, *, wide_mm: float = 0.0, nose_mm: float = 0.0) -> float:
    """How far behind the face a diameter is touched: a little behind where it begins, half-way along a short step.

    A blade ``wide_mm`` wide stands that much further behind, and all of it over what was turned. The lowest place of a
    round tip lies its radius ``nose_mm`` in front of its left side, and must be over the land too.
    """
    begins, ends = land_mm(w, surface)
    half = (ends - wide_mm - begins) if _ends_in_bar(w, surface) else (ends - begins) / 2.0
    return begins + max(min(TOUCH_BEHIND_MM, half), nose_mm)


def land_mm(w: Writer, surface: str) -> tuple[float, float]:
    """Depths behind the finished face between which a diameter can be touched in this holding; far ones may be inf."""
    begins, ledge = w.begins_mm(surface), w.job.ledge(surface)
    if ledge is not None:
        return begins, ledge.depth_mm
    if w.holding is not None and w.holding.side is Side.BACK:  # behind the ring stands nothing but the holding
        far = w.job.stack(Side.FRONT, inner=surface.startswith(BORE))
        return begins, w.job.width_mm - max((one.depth_mm for one in far if one.surface in w.dias_mm), default=0.0)
    if surface == OUTSIDE and w.groove_wall_mm:  # in front of the groove that stands behind the ring by now
        return begins, -w.groove_wall_mm - w.edges_cut.get(BACK_OUTER_EDGE, 0.0)
    return begins, -w.job.turn_end_mm - SHOULDER_ROOM_MM if surface == OUTSIDE else inf


def _ends_in_bar(w: Writer, surface: str) -> bool:
    """Whether a diameter ends at the shoulder that turning leaves in the bar, which keeps a room of its own."""
    on_bar = w.holding is None or w.holding.side is not Side.BACK
    return surface == OUTSIDE and on_bar and not w.groove_wall_mm


def _vee_zeros(w: Writer, way: Way, *, surface: str, dia_mm: float, drive: Handle) -> None:
    """Zeros of a V that points out of the bore: the wall first, so that then its side can touch a rim.

    The side slopes at 45°, so where the point stands along the bed depends on where it stands across, and that must be
    known.
    """
    if Zero.ACROSS in w.live and w.counts(drive):
        return
    radius, scale = dia_mm / 2.0, w.scale(Handle.CROSS)
    if scale is None or way.tool is None:
        return
    # no further in than where the edge will be cut: there the whole head has room, behind it perhaps not
    below = min(touch_below_mm(w, surface) + way.tool.head_mm, w.face_mm - w.job.raw_back_mm)
    rim = vee_rim(w, way.holding)
    w.hand(HandKind.INK, f"Ink the wall of the bore and the {rim.on} round it: the touches show as bright lines.")
    w.approach(
        w.face_mm - below,
        radius - TOUCH_CLEAR_MM,
        f"inside the hole, the point about {said_short(below, w.job.units)} behind the face",
    )
    w.lock(Handle.CARRIAGE)
    w.touch(Handle.CROSS, Motion.OUT, surface, "point of the V", x_mm=radius)
    w.zero(Handle.CROSS, surface, dia_mm)
    w.live |= Zero.ACROSS
    w.retract(Handle.CROSS, Motion.IN, TOUCH_CLEAR_MM, at_most_mm=room_behind_mm(w, Handle.CROSS, dia_mm))
    w.retract(drive, Motion.RIGHT, w.face_mm + CLEAR_MM + way.tool.head_mm - w.z_mm)
    steps = steps_at_least(rim.at.radius_mm + TOUCH_INSIDE_MM - radius, scale.radius_per_step_mm)
    w.move_to(Handle.CROSS, -steps * scale.step_mm, Motion.OUT)
    off = w.x_mm - rim.at.radius_mm
    if drive is not Handle.CARRIAGE:
        w.lock(Handle.CARRIAGE)
    w.touch(drive, Motion.LEFT, rim.surface, f"left-hand side of the V against the {rim.words}", z_mm=rim.at.z_mm + off)
    note = f"the point of the V now stands {said(off, w.job.units)} in front of the {rim.on}"
    w.zero(drive, rim.surface, rim.at.z_mm, note=note)
    w.live |= Zero.ALONG
    w.retract(drive, Motion.RIGHT, CLEAR_MM)


class Rim(Struct, frozen=True, kw_only=True):
    """A rim in the hole that the side of a V can touch: its face or shoulder, where it lies, both in words. [mm]"""

    surface: str
    at: Point
    on: str
    words: str


def vee_rim(w: Writer, holding: Holding) -> Rim:
    """The rim that a side at 45° meets first: the face's, or behind a wide shallow step that of its shoulder."""
    face = face_name(holding)
    inner, _ = face_band_mm(w, holding)
    rims = [Rim(surface=face, at=Point(w.face_mm, inner), on="face", words="rim of the bore")]
    for ledge in reversed(w.job.stack(holding.side, inner=True)):
        if ledge.shoulder in w.feet:
            radius = w.dia_mm(ledge.deeper) / 2.0
            depth = shoulder_depth_mm(w.feet[ledge.shoulder], radius, inner=True)
            at = Point(w.face_mm - depth, radius)
            rims.append(Rim(surface=ledge.shoulder, at=at, on="shoulder", words="inner rim of the shoulder"))
    return max(rims, key=lambda rim: (round(rim.at.z_mm - rim.at.radius_mm, 6), rim.at.z_mm))


def _near_by_cross(w: Writer, surface: str, *, dia_mm: float, inside: bool, tool: Tool) -> None:
    """Bring the tool a few marks from a surface by the cross-slide: a swung slide hardly goes across."""
    scale = w.scale(Handle.CROSS)
    if scale is None:
        return
    motion = deeper(w, Handle.CROSS, inside=inside)
    w.touch(Handle.CROSS, motion, surface, contact_words(tool, w.job.units, along=False), x_mm=dia_mm / 2.0)
    w.zero(Handle.CROSS, surface, dia_mm)
    gap = steps_at_least(FINE_GAP_MM, scale.radius_per_step_mm) * scale.step_mm
    if inside and (room := room_behind_mm(w, Handle.CROSS, dia_mm)) < w.back_off_mm(Handle.CROSS) + gap:
        # too narrow to go so far past the setting: off the wall by what there is, then out again
        w.retract(Handle.CROSS, motion.other, TOUCH_CLEAR_MM, at_most_mm=room)
    w.move_to(Handle.CROSS, gap if motion is Motion.OUT else -gap, motion)
    w.lock(Handle.CROSS)


def _room_along(w: Writer, across: Handle, drive: Handle, *, gap_mm: float, room_mm: float) -> None:
    """Wind the carriage to the right by what a swung slide goes along the bed to its touch, if there is no room for it.

    So it touches where the cross-slide did, and not what stands behind a short diameter.
    """
    scale = w.scale(across)
    if scale is None or not w.counts(drive):
        return
    ahead = gap_mm * scale.along / scale.across
    if ahead <= room_mm - w.job.part.corner_radius_mm - FINE_GAP_MM:
        return
    to_z(w, drive, w.z_mm + ahead)
    w.lock(drive)


def face_touch_mm(flat: tuple[float, float], tool: Tool, *, inside: bool) -> float:
    """Where a tool stands across to touch a flat, given by its inner and outer radius: near its rim, or half-way. [mm]

    What meets the flat first lies beside the tool's reference; on a narrow flat it is the middle that it must meet.
    """
    inner, outer = flat
    off = min(TOUCH_INSIDE_MM, (outer - inner) / 2.0)
    return inner + off + tip_mm(tool) if inside else outer - off - tip_mm(tool)


def tip_mm(tool: Tool) -> float:
    """How far from a tool's reference, across, the spot lies that meets a face first: the nose, or a slanted corner."""
    if (
        tool.kind in FORM_TOOLS
    ):  # the lip beyond the hollow; to the left of a left-hand one stands the whole height of its head
        return 0.0 if tool.hand is Hand.LEFT else tool.hollow_radius_mm
    return max(tool.nose_radius_mm, blade_slant_mm(tool) if tool.kind in BLADES else 0.0)


def face_band_mm(w: Writer, holding: Holding) -> tuple[float, float]:
    """Inner and outer radius of the flat of the face that looks to the tailstock, edges already cut left out."""
    front = holding.side is Side.FRONT
    inner, outer = (w.side_dia_mm(holding.side, inner=within) / 2.0 for within in (True, False))
    for edge, sign in ((FRONT_INNER_EDGE, 1), (BACK_INNER_EDGE, 1), (FRONT_OUTER_EDGE, -1), (BACK_OUTER_EDGE, -1)):
        if edge not in w.edges_cut or (edge in (FRONT_INNER_EDGE, FRONT_OUTER_EDGE)) is not front:
            continue
        if sign > 0:
            inner += w.edges_cut[edge]
        else:
            outer -= w.edges_cut[edge]
    return inner, outer


def deeper(w: Writer, across: Handle, *, inside: bool) -> Motion:
    """Motion of a handle that takes the tool further into the metal."""
    out = w.outward(across)
    return out if inside else out.other


def near_place(w: Writer, handle: Handle, z_mm: float) -> Fraction:
    """Place of a handle, in whole steps from its zero, at which the tool stands nearest a z."""
    scale = w.scale(handle)
    if scale is None:
        msg = f"{handle.value}: nothing tells where it is"
        raise ValueError(msg)
    exact_place = float(w.place(handle)) + (w.z_mm - z_mm) / scale.along
    return round(exact_place / float(scale.step_mm)) * scale.step_mm


def to_z(w: Writer, handle: Handle, z_mm: float) -> None:
    """Wind to the step nearest a z, lengths being live, coming in from the right."""
    w.move_to(handle, near_place(w, handle, z_mm), Motion.LEFT)


def to_left_of(w: Writer, handle: Handle, z_mm: float) -> None:
    """Wind to the step at a z or next to its left, lengths being live; not at all if the tool stands there.

    Rounded away from the ring, so that no metal is missing at its back.
    """
    scale = w.scale(handle)
    if scale is None:
        msg = f"{handle.value}: nothing tells where it is"
        raise ValueError(msg)
    place = steps_at_least(float(w.place(handle)) + (w.z_mm - z_mm) / scale.along, float(scale.step_mm)) * scale.step_mm
    if handle in w.by_eye or place != w.place(handle):
        w.move_to(handle, place, Motion.LEFT)


def to_right_of(w: Writer, handle: Handle, z_mm: float) -> None:
    """Wind to the step at a z or next to its right, lengths being live, coming in from the right."""
    scale = w.scale(handle)
    if scale is None:
        msg = f"{handle.value}: nothing tells where it is"
        raise ValueError(msg)
    place = steps_at_most(float(w.place(handle)) + (w.z_mm - z_mm) / scale.along, float(scale.step_mm)) * scale.step_mm
    w.move_to(handle, place, Motion.LEFT)


def home(w: Writer, drive: Handle) -> None:
    """Draw the tool to the right, clear of the face."""
    need = w.face_mm + CLEAR_MM + (0.0 if w.tool is None else side_mm(w.tool)) - w.z_mm
    if need > TINY_MM:
        w.retract(drive, Motion.RIGHT, need)


def end_place(w: Writer, drive: Handle, z_mm: float) -> Fraction | None:
    """Place of the drive's scale at a z, a whole step and never beyond it; ``None`` if nothing tells lengths there."""
    if not w.counts(drive):
        return None
    scale = w.scale(drive)
    if scale is None:
        return None
    exact_place = float(w.place(drive)) + (w.z_mm - z_mm) / scale.along
    return steps_at_most(exact_place, float(scale.step_mm)) * scale.step_mm
