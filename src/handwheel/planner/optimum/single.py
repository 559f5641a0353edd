"""One cut whose speed, feed and depth are all free: the least cost of a volume of metal, with its bound."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from math import exp, inf, log

from msgspec import Struct

from handwheel.domain.errors import require_positive
from handwheel.planner.optimum.bounding import GAP, Box, FeedPlanes, Found, Plane, least_sum, rivals, search
from handwheel.planner.optimum.economy import Economy
from handwheel.planner.optimum.laws import (
    Cut,
    Limit,
    Line,
    PowerLaw,
    Range,
    feed_lines,
    ln_speed,
    require_life,
    span_limits,
    time_line,
)
from handwheel.planner.optimum.multipass import DEPTH, FEED, SPEED


class SingleCut(Struct, frozen=True, kw_only=True):
    """A volume to be cut away at one speed, feed and depth.

    Parameters
    ----------
    volume_cm3 : float
        Metal to be removed; the rate is speed times feed times depth [m/min mm/rev mm = cm³/min]. [cm³]
    economy : Economy
        Prices; one pass.
    life : PowerLaw
        Tool life, falling with speed, feed and depth. [min]
    speeds, feeds, depths : tuple
        Least and most. [m/min, mm/rev, mm]
    limits : tuple of Limit
        What else may not be passed.

    Raises
    ------
    OutOfRangeError
        If the volume is not above 0, or life does not fall with speed more steeply than with feed.

    References
    ----------
    The form of [SARDINAS], read in a public restatement.
    """

    volume_cm3: float
    economy: Economy
    life: PowerLaw
    speeds: Range
    feeds: Range
    depths: Range
    limits: tuple[Limit, ...] = ()

    def __post_init__(self) -> None:
        """Refuse what this room cannot prove."""
        require_positive("volume_cm3", self.volume_cm3, unit="cm³")
        require_life(self.life)

    @property
    def all_limits(self) -> tuple[Limit, ...]:
        """Every limit, the ranges too."""
        spans = (("feed", FEED, self.feeds), ("speed", SPEED, self.speeds), ("depth", DEPTH, self.depths))
        return (*(limit for span in spans for limit in span_limits(*span)), *self.limits)

    def cost(self, cut: Cut) -> float:
        """Cost of the volume by the statement itself. [cost]"""
        cutting_min = self.volume_cm3 / (cut.speed_m_min * cut.feed_mm_rev * cut.depth_mm)
        return self.economy.cost(1, cutting_min=cutting_min, edges=cutting_min / self.life.at(cut))


def cheapest_cut(job: SingleCut, *, gap: float = GAP) -> Found[Cut]:
    """Cheapest speed, feed and depth, and a cost that no other goes below.

    Raises
    ------
    OutOfRangeError
        If nothing keeps every limit.
    """
    return search([_Free(job)], gap=gap)


class _Free:
    """Its box: ln life, ln depth [ln min, ln mm]; the best feed is the largest, as in a job of passes."""

    def __init__(self, job: SingleCut) -> None:
        self._job = job
        lines = feed_lines(job.life, job.all_limits)
        times = (_plane(time_line(job.life, job.volume_cm3, line)) for line in lines.ceilings)
        self._feed = FeedPlanes(
            ceilings=[_plane(line) for line in lines.ceilings],
            # removal is speed times feed times depth: the depth shortens the time itself
            times=[(at, life, depth - 1.0) for at, life, depth in times],
            floors=[_plane(line) for line in lines.floors],
            gates=[_plane(line) for line in lines.gates],
        )
        corners = [Cut(*corner) for corner in product(job.speeds, job.feeds, job.depths)]
        lives = [log(job.life.at(corner)) for corner in corners]
        self.box: Box | None = ((min(lives), max(lives)), (log(job.depths[0]), log(job.depths[1])))

    def tried(self, box: Box) -> Iterator[tuple[float, Cut]]:
        """The middle of a box and its corners, with the best feed there."""
        for ln_life, ln_depth in (tuple((low + high) / 2.0 for low, high in box), *product(*box)):
            ln_feed = self._feed.highest((ln_life, ln_depth))
            if ln_feed is not None:
                speed = exp(ln_speed(self._job.life, ln_life, ln_feed, ln_depth))
                cut = Cut(speed, exp(ln_feed), exp(ln_depth))
                yield self._job.cost(cut), cut

    def bound(self, box: Box) -> float:
        """A cost that no cut in the box goes below; infinite if none in it keeps the limits."""
        if self._feed.forbids(box):
            return inf
        economy = self._job.economy
        choices = [
            [
                (charge, plane)
                for charge, plane in (
                    (economy.minute_cost, time),
                    (economy.edge_charge, (time[0], time[1] - 1.0, time[2])),
                )
                if charge
            ]
            for time in rivals(self._feed.times, box)
        ]
        return economy.idle_cost(1) + least_sum([choices], box)


def _plane(line: Line) -> Plane:
    return line.at, line.life, line.depth
