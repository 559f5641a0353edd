"""Branch and bound over boxes, and a bound below a sum of exponentials of straight lines over one."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from heapq import heappop, heappush
from itertools import count
from math import exp, inf
from typing import Generic, Protocol, TypeVar

from msgspec import Struct

from handwheel.domain.errors import OutOfRangeError
from handwheel.planner.optimum.laws import Range

GAP = 1e-9
"""How near the bound must come to the value before a proof is closed. [cost]"""
MOST_BOXES = 200_000
"""Boxes after which a search stops with the gap that is left."""
ROUND_OFF = 1e-9
"""What a logarithm may be off by where two limits meet."""

Plane = tuple[float, ...]
"""A constant, then a factor for each variable."""
Box = tuple[Range, ...]
"""Span of each variable."""
Point = TypeVar("Point")
PointOut_co = TypeVar("PointOut_co", covariant=True)


class Problem(Protocol[PointOut_co]):
    """What can be searched: a first box, points that are tried in a box, and a bound below all of it."""

    @property
    def box(self) -> Box | None:
        """Everything that is allowed; ``None`` if nothing is."""

    def tried(self, box: Box) -> Iterable[tuple[float, PointOut_co]]:
        """Cost and settings of some points of a box that keep every limit."""

    def bound(self, box: Box) -> float:
        """A cost that nothing in the box goes below; infinite if nothing in it keeps the limits."""


class Found(Struct, Generic[Point], frozen=True):
    """Best point of a search, a bound below every other, and how many boxes it took."""

    cost: float
    bound: float
    point: Point
    boxes: int


def search(problems: Iterable[Problem[Point]], *, gap: float, most_boxes: int = MOST_BOXES) -> Found[Point]:
    """Least cost over several problems, the box with the lowest bound first.

    Raises
    ------
    OutOfRangeError
        If nothing that was looked at keeps every limit.
    """
    looked = _Looked[Point](gap)
    for problem in problems:
        if problem.box is not None:
            looked.at(problem, problem.box)
    boxes = 0
    while looked.heap and boxes < most_boxes and looked.heap[0][0] < looked.worth_below:
        _, _, problem, box = heappop(looked.heap)
        boxes += 1
        for half in halves(box):
            looked.at(problem, half)
    if looked.best is None:
        msg = "no schedule: nothing that can be set keeps every limit"
        raise OutOfRangeError(msg)
    cost, point = looked.best
    bound = min(cost - gap, looked.heap[0][0]) if looked.heap else cost - gap
    return Found(cost, bound, point, boxes)


class _Looked(Generic[Point]):
    """The best point so far, and the boxes in which a better one may be, the lowest bound first."""

    def __init__(self, gap: float) -> None:
        self.best: tuple[float, Point] | None = None
        self.heap: list[tuple[float, int, Problem[Point], Box]] = []
        self._gap, self._tick = gap, count()

    @property
    def worth_below(self) -> float:
        """Bound from which on a box holds nothing that is better by more than the gap. [cost]"""
        return inf if self.best is None else self.best[0] - self._gap

    def at(self, problem: Problem[Point], box: Box) -> None:
        """Look at a box: try some of its points, and keep it if there may be better ones."""
        bound = problem.bound(box)
        if bound >= self.worth_below:
            return
        for cost, point in problem.tried(box):
            if self.best is None or cost < self.best[0]:
                self.best = cost, point
        if bound < self.worth_below:
            heappush(self.heap, (bound, next(self._tick), problem, box))


def halves(box: Box) -> tuple[Box, Box]:
    """Both halves of a box, parted across its widest side."""
    widths = [high - low for low, high in box]
    across = widths.index(max(widths))
    low, high = box[across]
    middle = (low + high) / 2.0
    return (
        (*box[:across], (low, middle), *box[across + 1 :]),
        (*box[:across], (middle, high), *box[across + 1 :]),
    )


def value(plane: Plane, at: Sequence[float]) -> float:
    """Value of a plane at a point."""
    total = plane[0]
    for i, x in enumerate(at, start=1):
        total += plane[i] * x
    return total


def most(plane: Plane, box: Box) -> float:
    """Largest value of a plane over a box."""
    total = plane[0]
    for factor, (low, high) in zip(plane[1:], box, strict=True):
        total += factor * (high if factor > 0.0 else low)
    return total


def least(plane: Plane, box: Box) -> float:
    """Smallest value of a plane over a box."""
    total = plane[0]
    for factor, (low, high) in zip(plane[1:], box, strict=True):
        total += factor * (low if factor > 0.0 else high)
    return total


Term = tuple[float, Plane]
"""A factor above 0, and the plane whose exponential it multiplies."""


def least_sum(parts: Sequence[Sequence[Sequence[Term]]], box: Box) -> float:
    """Lower bound over a box of a sum of parts, each the largest of some sums of exponentials of planes.

    Each part may be replaced by a mean of two of its choices, which never lies above the largest. Such a sum is convex:
    it lies above the plane that touches it in the middle of the box. Means are chosen so that this plane is as level as
    it can be, for where two choices cross neither of them alone is. The least corner of the first choices is a bound
    too.

    Parameters
    ----------
    parts : sequence
        For each part its choices, at most two: the sum that is largest in the middle of the box, then a rival.
    box : Box
        Span of each variable.
    """
    middle = [(low + high) / 2.0 for low, high in box]
    half = [(high - low) / 2.0 for low, high in box]
    corners = sum(factor * exp(least(plane, box)) for choices in parts for factor, plane in choices[0])
    touched = [[_touching(terms, middle) for terms in choices] for choices in parts]
    firsts = [choices[0] for choices in touched]
    best = _below(firsts, half)
    for i, choices in enumerate(touched):
        if len(choices) > 1:
            for share in _level_shares(firsts, i, choices[1]):
                mixed = [*firsts[:i], _mean(choices[0], choices[1], share), *firsts[i + 1 :]]
                bound = _below(mixed, half)
                if bound > best:
                    best, firsts = bound, mixed
    return max(corners, best)


_Touch = tuple[float, list[float]]
"""Value in the middle of a box, and slope along each variable."""


def _touching(terms: Sequence[Term], middle: Sequence[float]) -> _Touch:
    slopes, height = [0.0] * len(middle), 0.0
    for factor, plane in terms:
        here = factor * exp(value(plane, middle))
        height += here
        for i, slope in enumerate(plane[1:]):
            slopes[i] += here * slope
    return height, slopes


def _below(parts: Sequence[_Touch], half: Sequence[float]) -> float:
    """Least value over the box of the plane that touches a sum of parts."""
    away = sum(abs(sum(slopes[k] for _, slopes in parts)) * reach for k, reach in enumerate(half))
    return sum(height for height, _ in parts) - away


def _level_shares(parts: Sequence[_Touch], i: int, rival: _Touch) -> Iterable[float]:
    """Shares of a rival in part ``i`` at which the touching plane is level along some variable; and all of it."""
    yield 1.0
    for k, slope in enumerate(parts[i][1]):
        total, change = sum(slopes[k] for _, slopes in parts), rival[1][k] - slope
        if total * change < 0.0 and abs(total) < abs(change):
            yield -total / change


def _mean(first: _Touch, rival: _Touch, share: float) -> _Touch:
    slopes = [(1.0 - share) * a + share * b for a, b in zip(first[1], rival[1], strict=True)]
    return (1.0 - share) * first[0] + share * rival[0], slopes


def rivals(planes: Sequence[Plane], box: Box) -> list[Plane]:
    """The plane that is highest in the middle of a box, and the one that rises highest above it anywhere in the box."""
    middle = [(low + high) / 2.0 for low, high in box]
    first = max(planes, key=lambda plane: value(plane, middle))
    ahead = [(most(difference(plane, first), box), plane) for plane in planes if plane is not first]
    above, rival = max(ahead, default=(0.0, first))
    return [first, rival] if above > 0.0 else [first]


class FeedPlanes(Struct, frozen=True, kw_only=True):
    """What limits leave of the logarithm of a feed: under all ceilings, over all floors, no gate below 0.

    ``times`` are the logarithms of the time of a pass whose feed stands at each ceiling. [ln min]
    """

    ceilings: list[Plane]
    times: list[Plane]
    floors: list[Plane]
    gates: list[Plane]

    def highest(self, at: Sequence[float]) -> float | None:
        """Largest feed at a point, its logarithm; ``None`` if a floor or a gate forbids it. [ln mm/rev]"""
        feed = min(value(plane, at) for plane in self.ceilings)
        if any(value(plane, at) > feed + ROUND_OFF for plane in self.floors):
            return None
        return None if any(value(plane, at) < -ROUND_OFF for plane in self.gates) else feed

    def forbids(self, box: Box) -> bool:
        """Whether nothing in a box keeps the limits."""
        top = min(most(plane, box) for plane in self.ceilings)
        return any(least(plane, box) > top + ROUND_OFF for plane in self.floors) or any(
            most(plane, box) < -ROUND_OFF for plane in self.gates
        )


def lowest(planes: Sequence[Plane], box: Box) -> list[Plane]:
    """Planes that are the lowest of all somewhere in a box, as far as pairs of them tell; of equals the first."""
    return [
        plane
        for i, plane in enumerate(planes)
        if not any(
            (highest := most(difference(other, plane), box)) < 0.0 or (highest == 0.0 and j < i)
            for j, other in enumerate(planes)
            if j != i
        )
    ]


def difference(plane: Plane, other: Plane) -> Plane:
    """Plane of the logarithm of a quotient."""
    return tuple(a - b for a, b in zip(plane, other, strict=True))
