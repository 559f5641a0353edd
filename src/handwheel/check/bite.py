"""What a cut takes from the work, and how deep that is."""

from __future__ import annotations

from functools import cached_property
from math import atan2, hypot, sin

from msgspec import Struct

from handwheel.check.machine import FittedTool, direction
from handwheel.check.scene import Scene
from handwheel.check.solids import Solid, leg_hull, rest, shared, solid
from handwheel.check.surfaces import corner_of, neighbours
from handwheel.domain.acts import Cut
from handwheel.domain.contour import Point
from handwheel.domain.part import Part, is_shoulder
from handwheel.domain.tools import FORM_TOOLS, PieceRole, ToolKind
from handwheel.geometry.region import (
    Region,
    area_mm2,
    bounds_mm,
    corners,
    mirrored,
    rectangle,
    union,
)

LEAST_CHIP_MM2 = 1e-6
"""A cut that takes less than this takes nothing."""

_VEES = (ToolKind.EDGE_OUTSIDE, ToolKind.EDGE_INSIDE)
CORNER_SHARE = 0.2
"""What passes may leave in the corner of a step, as a share of its radius: each keeps the round of its tip, and the
next one leans away from it; common practice, no source."""
LEAST_CORNER_MM = 0.3
"""A smaller round in a corner counts as this one: over the 0.2 mm and more that roughing leaves in front of a shoulder,
the trailing edge of the tip that faces it leaves a wedge of some hundredths (common practice, no source)."""
END_MM = 0.1
"""Passes that end at one place may differ by so much: marks and rules round."""


class Bite(Struct, frozen=True, eq=False, dict=True):
    """What a tool's edges do to the work on a straight way: what they take, what they leave."""

    work: Solid
    fitted: FittedTool
    path: tuple[Point, Point]
    swept: Region
    taken: Region
    left: Region

    @cached_property
    def remains(self) -> Solid:
        """What is left as a solid; there must be something left."""
        return solid(self.left)

    @cached_property
    def taken_before_nose(self) -> Region:
        """What the cut takes if it stops short of its end by the nose radius; all of it if there is no nose."""
        return self.taken_short_of(0.0)

    def taken_short_of(self, corner_mm: float) -> Region:
        """What the cut takes if it stops short of its end by the nose radius and as much again as given. [mm]

        All of it if there is no nose, or if nothing is taken before.
        """
        start, end = self.path
        way = hypot(end.z_mm - start.z_mm, end.radius_mm - start.radius_mm)
        nose = self.fitted.tool.nose_radius_mm + corner_mm
        if not 0.0 < nose < way - END_MM:
            return self.taken
        share = 1.0 - (nose + END_MM) / way
        short = Point(
            start.z_mm + share * (end.z_mm - start.z_mm), start.radius_mm + share * (end.radius_mm - start.radius_mm)
        )
        found = shared(self.work.region, swept_by_edge(self.fitted, start, short))
        return self.taken if area_mm2(found) <= LEAST_CHIP_MM2 else found


def make_bite(work: Solid, fitted: FittedTool, start: Point, end: Point) -> Bite:
    """What the edges take from the work on a straight way, and what they leave."""
    swept = swept_by_edge(fitted, start, end)
    taken = shared(work.region, swept)
    left = work.region if taken.is_empty else rest(work.region, swept)
    if min(start.radius_mm, end.radius_mm) < 0.0 and not left.is_empty:
        # what goes past the centre cuts on the far side too
        left = rest(left, mirrored(swept))
    return Bite(work, fitted, (start, end), swept, taken, left)


def swept_by_edge(fitted: FittedTool, start: Point, end: Point) -> Region:
    """What the edges of a tool cover on a straight way."""
    hulls = [leg_hull(piece, start, end) for piece in fitted.shape.pieces if piece.role is PieceRole.EDGE]
    return hulls[0] if len(hulls) == 1 else union(hulls)


def depth_met_mm(scene: Scene, act: Cut, bite: Bite) -> float:
    """Depth of the metal met, square to the cut surface. [mm]

    That is square to the feed, except for an edge tool that is fed straight in or out: there it is square to its flank.
    For a slot it is the width of the slot, for a form tool how deep its lip goes in the direction of the feed.
    The round that the nose of the last cut has left at the end of the way is not counted.
    """
    machine = scene.machine
    taken = bite.taken_before_nose
    ahead = direction(machine, act.handle, act.motion)
    square = Point(-ahead.radius_mm, ahead.z_mm)
    flank = 1.0
    if machine.fitted is not None and machine.fitted.tool.kind in _VEES and act.motion.across:
        square, flank = ahead, sin(_half_angle(machine.fitted))
    elif machine.fitted is not None and machine.fitted.tool.kind in FORM_TOOLS:
        square = ahead
    depth = extent_mm(taken, square) * flank
    part = scene.case.part
    if is_shoulder(act.surface):
        # roughing left its round at the foot of the shoulder, and ridges above it
        whole, round_mm = extent_mm(bite.taken, square) * flank, part.corner_radius_mm
        low = extent_mm(bite.taken, ahead) <= 2.0 * round_mm + END_MM
        above = 0.0 if low else depth - CORNER_SHARE * round_mm
        # over the length of the way ridges and round hardly count: what is met there on the whole is not forgiven
        mean = area_mm2(taken) / extent_mm(taken, ahead) * flank
        return min(whole, max(act.depth_mm, above, whole - round_mm, mean))
    if not ends_at_shoulder(part, act.surface):
        return depth
    # what the round of earlier tips left is forgiven, but only in the corner
    corner_mm = max(part.corner_radius_mm, LEAST_CORNER_MM)
    before = extent_mm(bite.taken_short_of(corner_mm), square) * flank
    return min(depth, max(act.depth_mm, depth - CORNER_SHARE * corner_mm, before))


def loading_depth_mm(act: Cut, bite: Bite, *, depth_mm: float) -> float:
    """Depth by which a cut's force is judged: the depth met; on a shoulder its mean over the middle of the way. [mm]

    Roughing leaves a slope at the rim of a shoulder, and a round at its foot, a few hundredths of a millimetre high:
    the force passes over them in a turn or two.
    """
    if not is_shoulder(act.surface):
        return depth_mm
    low_z, low_x, high_z, high_x = bounds_mm(bite.taken)
    quarter = (high_x - low_x) / 4.0
    middle = shared(bite.taken, rectangle(low_z, high_z, low_x + quarter, high_x - quarter))
    return depth_mm if middle.is_empty else min(depth_mm, area_mm2(middle) / (2.0 * quarter))


def ends_at_shoulder(part: Part, surface: str) -> bool:
    """Whether cuts on a surface end in the inside corner of a step."""
    segment = part.surface(surface)
    corners = {corner_of(part, one) for one in neighbours(part, surface)}
    return segment is not None and (segment.start in corners or segment.end in corners)


def extent_mm(region: Region, along: Point) -> float:
    """Length of a region's shadow along a unit direction. [mm]"""
    shadow = [z * along.z_mm + x * along.radius_mm for z, x in corners(region)]
    return max(shadow) - min(shadow)


def _half_angle(fitted: FittedTool) -> float:
    points = [p for piece in fitted.shape.pieces if piece.role is PieceRole.EDGE for p in piece.points]
    widest = max(points, key=lambda p: abs(p.z_mm))
    return atan2(abs(widest.z_mm), abs(widest.radius_mm))
