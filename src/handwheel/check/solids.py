"""Metal, tools and what stands in their way: sweeps of a tool against the work and its holding.

A tool moves in straight legs and its pieces are convex, so that each leg of each piece is one convex hull. Boxes round
hulls and obstacles sort out most pairs before any region work.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from enum import Enum
from functools import lru_cache
from itertools import pairwise

from msgspec import Struct

from handwheel.domain.contour import Point
from handwheel.domain.tools import PieceRole, ToolPiece
from handwheel.geometry.region import (
    Box,
    Region,
    area_mm2,
    bites,
    bounds_mm,
    box_round,
    boxes_meet,
    difference,
    hull,
    intersection,
    mirrored,
)
from handwheel.geometry.region import pieces as parts

LEAST_PIECE_MM2 = 1e-3
"""Pieces smaller than this are slivers of the arithmetic, not work."""


class Thing(Enum):
    """What a tool can meet besides the metal it shall cut."""

    WORK = "the work"
    FAR_WALL = "the far side of the work"
    HOLDING = "the chuck, jaws or mandrel"
    STUB = "the bar left in the chuck"


class Obstacle(Struct, frozen=True):
    """A region that a tool must not enter, with the box round it."""

    thing: Thing
    region: Region
    box: Box


class Solid(Struct, frozen=True):
    """Half section of a piece of metal, with its mirror image beyond the axis."""

    region: Region
    near: Obstacle
    far: Obstacle

    @property
    def box(self) -> Box:
        """Box round the half section. [mm]"""
        return self.near.box


class Piece(Struct, frozen=True):
    """One convex piece of a tool in the tool's frame, with the box round it."""

    role: PieceRole
    points: tuple[Point, ...]
    box: Box


class Shape(Struct, frozen=True):
    """All pieces of a tool."""

    pieces: tuple[Piece, ...]

    @property
    def box(self) -> Box:
        """Box round the whole tool. [mm]"""
        return box_round(piece.box for piece in self.pieces)


class Strike(Struct, frozen=True):
    """A piece of a tool in something that it must not enter."""

    role: PieceRole
    thing: Thing


def obstacle(thing: Thing, region: Region) -> Obstacle:
    """Region as an obstacle; it must not be empty."""
    return Obstacle(thing, region, bounds_mm(region))


def solid(region: Region, *, near: Thing = Thing.WORK, far: Thing = Thing.FAR_WALL) -> Solid:
    """Metal of a half section; it must not be empty."""
    return Solid(region, obstacle(near, region), obstacle(far, mirrored(region)))


def shared(first: Region, second: Region) -> Region:
    """Area that two regions share; where they only touch, nothing."""
    return intersection(first, second)


def rest(region: Region, taken: Region) -> Region:
    """Area that is left of a region."""
    return difference(region, taken)


def work_pieces(region: Region) -> tuple[Region, ...]:
    """Separate pieces of work, slivers of the arithmetic left out, from the chuck to the tailstock."""
    found = [piece for piece in parts(region) if area_mm2(piece) > LEAST_PIECE_MM2]
    return tuple(sorted(found, key=lambda piece: bounds_mm(piece)[2]))


def shape(pieces: Sequence[ToolPiece]) -> Shape:
    """Shape of a tool from its silhouette."""
    return Shape(tuple(Piece(piece.role, piece.points, _box(piece.points)) for piece in pieces))


def shifted(box: Box, at: Point) -> Box:
    """Box with the tool's reference at a place. [mm]"""
    return box[0] + at.z_mm, box[1] + at.radius_mm, box[2] + at.z_mm, box[3] + at.radius_mm


@lru_cache(maxsize=128)
def leg_hull(piece: Piece, start: Point, end: Point) -> Region:
    """What a piece covers while the tool's reference goes straight from one place to another.

    One act asks for the same several times over: what the edge takes, what the rest strikes, on which side.
    """
    points = [(p.z_mm + start.z_mm, p.radius_mm + start.radius_mm) for p in piece.points]
    if end != start:
        points += [(p.z_mm + end.z_mm, p.radius_mm + end.radius_mm) for p in piece.points]
    return hull(points)


def legs(path: Sequence[Point]) -> Iterator[tuple[Point, Point]]:
    """Straight legs of a path; a path of one place is a leg of no length."""
    if len(path) == 1:
        yield path[0], path[0]
    yield from pairwise(path)


def first_strike(
    tool: Shape, path: Sequence[Point], obstacles: Sequence[Obstacle], *, roles: frozenset[PieceRole] | None = None
) -> Strike | None:
    """First bite of a tool (or of some of its pieces) into an obstacle along a path; ``None`` if it stays clear."""
    for start, end in legs(path):
        for piece in tool.pieces:
            if roles is not None and piece.role not in roles:
                continue
            met = _first_met(piece, start, end, obstacles)
            if met is not None:
                return Strike(piece.role, met)
    return None


def _first_met(piece: Piece, start: Point, end: Point, obstacles: Sequence[Obstacle]) -> Thing | None:
    first, last = shifted(piece.box, start), shifted(piece.box, end)
    box = (min(first[0], last[0]), min(first[1], last[1]), max(first[2], last[2]), max(first[3], last[3]))
    near = [item for item in obstacles if boxes_meet(box, item.box)]
    if not near:
        return None
    covered = leg_hull(piece, start, end)
    return next((item.thing for item in near if bites(covered, item.region)), None)


def _box(points: Sequence[Point]) -> Box:
    zs, xs = [p.z_mm for p in points], [p.radius_mm for p in points]
    return min(zs), min(xs), max(zs), max(xs)
