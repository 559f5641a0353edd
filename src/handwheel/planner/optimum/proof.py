"""The least cost of a job in passes, with a bound below which no schedule can go.

Speed is written through the life of the edge. For given lives and depths the time of a pass falls with its feed, and
every ceiling of the finishing feed rises with the rough feed: the best feeds are their largest ones, each the least of
some power laws. So every part of the cost is the largest of some exponentials of straight lines in the logarithms of
lives and depths, and one of them, taken alone, is a bound below it.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from math import exp, floor, inf, log

from msgspec import Struct

from handwheel.planner.optimum.bounding import (
    GAP,
    MOST_BOXES,
    ROUND_OFF,
    Box,
    FeedPlanes,
    Plane,
    difference,
    least_sum,
    lowest,
    rivals,
    search,
)
from handwheel.planner.optimum.laws import Cut, Line, Range, feed_lines, ln_speed, time_line
from handwheel.planner.optimum.multipass import Lives, Multipass


class Schedule(Struct, frozen=True, kw_only=True):
    """Equal rough passes and a finishing pass, and the proof of them.

    ``bound`` is a cost that no schedule goes below, but for the rounding of floats (about 1e-12 of the cost), ``boxes``
    how many parts of everything that can be set were looked at.
    """

    cost: float
    bound: float
    rough_passes: int
    rough: Cut
    finish: Cut
    boxes: int

    @property
    def gap(self) -> float:
        """What is left between the cost and its bound. [cost]"""
        return self.cost - self.bound


def cheapest(
    job: Multipass,
    depth_mm: float,
    *,
    rough_passes: int | None = None,
    gap: float = GAP,
    most_boxes: int = MOST_BOXES,
) -> Schedule:
    """Cheapest schedule that takes off a depth, and its bound.

    Parameters
    ----------
    job : Multipass
        Cost and limits.
    depth_mm : float
        What is to be taken off, on the radius. [mm]
    rough_passes : int or None
        How many rough passes; every number that shares out the depth if ``None``.
    gap : float
        How near the bound must come. [cost]
    most_boxes : int
        Parts after which the search stops with the gap that is left.

    Raises
    ------
    OutOfRangeError
        If no number of passes shares out the depth, or nothing that can be set keeps every limit.
    """
    most_passes = floor((depth_mm - job.depths[0]) / job.depths[0] * (1.0 + ROUND_OFF))
    counts = range(1, most_passes + 1) if rough_passes is None else (rough_passes,)
    lines = _Lines(job)
    found = search((_Passes(lines, depth_mm, n) for n in counts), gap=gap, most_boxes=most_boxes)
    n, rough, finish = found.point
    return Schedule(cost=found.cost, bound=found.bound, rough_passes=n, rough=rough, finish=finish, boxes=found.boxes)


class _Lines:
    """Ceilings, floors and gates of both feeds, and the times that the ceilings leave: the same for every number."""

    def __init__(self, job: Multipass) -> None:
        self.job = job
        rough, finish = feed_lines(job.life, job.rough_limits), feed_lines(job.life, job.finish_limits)
        lives, depths = _ln_span(job.lives), _ln_span(job.depths)
        everything = lives, lives, depths, depths
        per_feed = 1.0 - job.life.feed / job.life.speed
        kinds = []
        own = lowest([_rough(line) for line in rough.ceilings], everything)
        all_of_finish = [*(_finish(line) for line in finish.ceilings), *self._coupled(own)]
        for lines, place, ceilings in ((rough, _rough, own), (finish, _finish, lowest(all_of_finish, everything))):
            alone = place(time_line(job.life, job.path, Line(0.0)))
            kinds.append(
                FeedPlanes(
                    ceilings=ceilings,
                    times=[_sum(alone, ceiling, -per_feed) for ceiling in ceilings],
                    floors=[place(line) for line in lines.floors],
                    gates=[place(line) for line in lines.gates],
                )
            )
        self.rough, self.finish = kinds

    def _coupled(self, rough: list[Plane]) -> Iterator[Plane]:
        """Ceilings of the finishing feed that the rough pass sets, one for each ceiling of its own."""
        job, p, q, r = self.job, -self.job.life.speed, -self.job.life.feed, -self.job.life.depth
        for plane in rough:
            if job.feed_ratio:
                yield _sum(plane, (log(job.feed_ratio), 0.0, 0.0, 0.0, 0.0), -1.0)
            if job.speed_ratio and q:
                yield _sum(plane, (-p * log(job.speed_ratio), 1.0, -1.0, r, -r), 1.0 / q)


class _Passes:
    """One number of rough passes. Its box: ln rough life, ln finishing life, finishing depth [ln min, ln min, mm]."""

    def __init__(self, lines: _Lines, depth_mm: float, passes: int) -> None:
        self._job, self._depth_mm, self._n = lines.job, depth_mm, passes
        self._kinds = lines.rough, lines.finish
        self.box = self._whole()
        self._tried: set[tuple[float, ...]] = set()

    def _whole(self) -> Box | None:
        """Everything that depths and lives allow; ``None`` if so many passes cannot share out the depth."""
        low, high = self._job.depths
        first = max(low, self._depth_mm - self._n * high)
        last = min(high, self._depth_mm - self._n * low)
        if self._job.depth_ratio:
            last = min(last, self._depth_mm / (1.0 + self._n * self._job.depth_ratio))
        if first > last * (1.0 + ROUND_OFF):
            return None
        lives = _ln_span(self._job.lives)
        return lives, lives, (min(first, last), last)

    def tried(self, box: Box) -> Iterator[tuple[float, tuple[int, Cut, Cut]]]:
        """The middle of a box and its corners, with the best feeds there."""
        for at in (tuple((low + high) / 2.0 for low, high in box), *product(*box)):
            found = None if at in self._tried else self._cuts(*at)
            self._tried.add(at)
            if found is not None:
                yield self._job.cost(self._n, *found), (self._n, *found)

    def _cuts(self, ln_rough: float, ln_finish: float, finish_mm: float) -> tuple[Cut, Cut] | None:
        """Both cuts with their largest feeds; ``None`` if a floor or a gate forbids them."""
        rough_mm = (self._depth_mm - finish_mm) / self._n
        at = (ln_rough, ln_finish, log(rough_mm), log(finish_mm))
        feeds = []
        for kind in self._kinds:
            feed = kind.highest(at)
            if feed is None:
                return None
            feeds.append(feed)
        rough_feed, finish_feed = feeds
        life = self._job.life
        return (
            Cut(exp(ln_speed(life, ln_rough, rough_feed, at[2])), exp(rough_feed), rough_mm),
            Cut(exp(ln_speed(life, ln_finish, finish_feed, at[3])), exp(finish_feed), finish_mm),
        )

    def bound(self, box: Box) -> float:
        """A cost that no schedule in the box goes below; infinite if none in it keeps the limits."""
        economy, n = self._job.economy, self._n
        depth = _Depths(box[2], self._depth_mm, n)
        spans = (box[0], box[1], depth.rough, depth.finish)
        if any(kind.forbids(spans) for kind in self._kinds):
            return inf
        if self._job.counted is Lives.SEPARATE:
            lives: tuple[Plane, Plane] = (0.0, 1.0, 0.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0, 0.0)
        else:
            mean = self._mean_life(box)
            lives = mean, mean
        parts = [
            [
                [
                    (passes * charge, depth.below(plane))
                    for charge, plane in ((economy.minute_cost, time), (economy.edge_charge, difference(time, life)))
                    if charge
                ]
                for time in rivals(times, spans)
            ]
            for passes, times, life in zip((float(n), 1.0), (kind.times for kind in self._kinds), lives, strict=True)
        ]
        return economy.idle_cost(n + 1) + least_sum(parts, box)

    def _mean_life(self, box: Box) -> Plane:
        """A plane above the logarithm of the averaged life: that is convex, so no corner of the box stands out."""
        (x0, x1), (y0, y1), _ = box
        weight = self._job.rough_weight
        rough, finish = weight * exp((x0 + x1) / 2.0), (1.0 - weight) * exp((y0 + y1) / 2.0)
        a, b = rough / (rough + finish), finish / (rough + finish)
        corners = product((x0, x1), (y0, y1))
        return max(log(weight * exp(x) + (1.0 - weight) * exp(y)) - a * x - b * y for x, y in corners), a, b, 0.0, 0.0


Height = tuple[float, float]
"""Value in the middle of a span, and slope."""


class _Depths:
    """Logarithms of both depths over a span of the finishing depth, as straight lines in it."""

    def __init__(self, span: Range, depth_mm: float, passes: int) -> None:
        low, high = span
        self._mid, width = (low + high) / 2.0, high - low
        left = depth_mm - self._mid
        self.rough = log((depth_mm - high) / passes), log((depth_mm - low) / passes)
        self.finish = log(low), log(high)
        self.middle = log(left / passes), log(self._mid)
        self._tangents: tuple[Height, Height] = (self.middle[0], -1.0 / left), (self.middle[1], 1.0 / self._mid)
        self._chords: tuple[Height, Height] = self._tangents
        if width > 0.0:
            (r0, r1), (f0, f1) = self.rough, self.finish
            self._chords = ((r0 + r1) / 2.0, (r0 - r1) / width), ((f0 + f1) / 2.0, (f1 - f0) / width)

    def below(self, plane: Plane) -> Plane:
        """A plane in lives and finishing depth that lies below one in lives and the logarithms of both depths.

        A logarithm is concave: where it counts for more it lies above its chord, where for less below its tangent.
        """
        at, rough_life, finish_life, *factors = plane
        slope = 0.0
        for factor, chord, tangent in zip(factors, self._chords, self._tangents, strict=True):
            height, rise = chord if factor > 0.0 else tangent
            at += factor * (height - rise * self._mid)
            slope += factor * rise
        return at, rough_life, finish_life, slope


def _rough(line: Line) -> Plane:
    """A line of the rough pass among the logarithms of both lives and both depths."""
    return line.at, line.life, 0.0, line.depth, 0.0


def _finish(line: Line) -> Plane:
    """The same of the finishing pass."""
    return line.at, 0.0, line.life, 0.0, line.depth


def _sum(plane: Plane, other: Plane, factor: float) -> Plane:
    return tuple(a + factor * b for a, b in zip(plane, other, strict=True))


def _ln_span(span: Range) -> Range:
    return log(span[0]), log(span[1])
