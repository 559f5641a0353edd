"""What a tool sweeps when it moves in a straight line."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from handwheel.domain.contour import Point
from handwheel.domain.shop import PieceRole, ToolPiece
from handwheel.geometry.region import Region, hull, union


def placed(points: Sequence[Point], at: Point) -> list[tuple[float, float]]:
    """Points of a piece when the tool's reference stands at a place."""
    return [(p.z_mm + at.z_mm, p.radius_mm + at.radius_mm) for p in points]


def swept_parts(
    pieces: Iterable[ToolPiece], path: Sequence[Point], *, roles: frozenset[PieceRole] | None = None
) -> list[Region]:
    """Convex regions (one for each piece and leg) that together are what `swept` returns."""
    regions: list[Region] = []
    for piece in pieces:
        if roles is not None and piece.role not in roles:
            continue
        stops = [placed(piece.points, at) for at in path]
        if len(stops) == 1:
            regions.append(hull(stops[0]))
        regions.extend(hull(first + second) for first, second in pairwise(stops))
    return regions


def swept(pieces: Iterable[ToolPiece], path: Sequence[Point], *, roles: frozenset[PieceRole] | None = None) -> Region:
    """Region that the pieces (of some roles, or all) cover while the reference runs along a path of straight legs.

    A path of one point gives the tool standing there. Exact, since every piece is convex.
    """
    return union(swept_parts(pieces, path, roles=roles))
