"""What a tool sweeps when it moves in a straight line."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from handwheel.domain.contour import Point
from handwheel.domain.shop import PieceRole, ToolPiece
from handwheel.geometry.region import Region, hulls, union


def placed(points: Sequence[Point], path: Sequence[Point]) -> npt.NDArray[np.float64]:
    """Points of a piece at each place of the tool's reference, shape (places, points, 2)."""
    stops: npt.NDArray[np.float64] = np.asarray(path, dtype=float).reshape(-1, 1, 2) + np.asarray(points, dtype=float)
    return stops


def swept_parts(
    pieces: Iterable[ToolPiece], path: Sequence[Point], *, roles: frozenset[PieceRole] | None = None
) -> list[Region]:
    """Convex regions (one for each piece and leg) that together are what `swept` returns."""
    groups: list[npt.NDArray[np.float64]] = []
    for piece in pieces:
        if roles is not None and piece.role not in roles:
            continue
        stops = placed(piece.points, path)
        groups.extend([stops[0]] if len(stops) == 1 else [np.concatenate(legs) for legs in pairwise(stops)])
    return hulls(groups)


def swept(pieces: Iterable[ToolPiece], path: Sequence[Point], *, roles: frozenset[PieceRole] | None = None) -> Region:
    """Region that the pieces (of some roles, or all) cover while the reference runs along a path of straight legs.

    A path of one point gives the tool standing there. Exact, since every piece is convex.
    """
    return union(swept_parts(pieces, path, roles=roles))
