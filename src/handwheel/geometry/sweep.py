"""What a tool sweeps when it moves in a straight line."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from handwheel.domain.contour import Point
from handwheel.domain.tools import PieceRole, ToolPiece
from handwheel.geometry.region import Place, Region, hull, union


def placed(points: Sequence[Point], at: Point) -> list[Place]:
    """Points of a piece with the tool's reference at a place. [mm]"""
    return [(point.z_mm + at.z_mm, point.radius_mm + at.radius_mm) for point in points]


def swept_parts(
    pieces: Iterable[ToolPiece], path: Sequence[Point], *, roles: frozenset[PieceRole] | None = None
) -> list[Region]:
    """Convex regions (one for each piece and leg) that together are what `swept` returns."""
    found: list[Region] = []
    for piece in pieces:
        if roles is not None and piece.role not in roles:
            continue
        stops = [placed(piece.points, at) for at in path]
        legs = stops if len(stops) == 1 else [start + end for start, end in pairwise(stops)]
        found.extend(hull(leg) for leg in legs)
    return found


def swept(pieces: Iterable[ToolPiece], path: Sequence[Point], *, roles: frozenset[PieceRole] | None = None) -> Region:
    """Region that the pieces (of some roles, or all) cover while the reference runs along a path of straight legs.

    A path of one point gives the tool standing there. Exact, since every piece is convex.
    """
    return union(swept_parts(pieces, path, roles=roles))
