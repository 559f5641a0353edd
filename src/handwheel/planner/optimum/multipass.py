"""A diameter taken off in equal rough passes and one finishing pass: what it costs, and which limits forbid it."""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum

from msgspec import Struct

from handwheel.domain.errors import require_positive
from handwheel.planner.optimum.economy import Economy
from handwheel.planner.optimum.laws import Cut, Limit, PowerLaw, Range, require_life, span_limits

FEED = PowerLaw(coefficient=1.0, feed=1.0)
SPEED = PowerLaw(coefficient=1.0, speed=1.0)
DEPTH = PowerLaw(coefficient=1.0, depth=1.0)


class Lives(Enum):
    """How edge life enters the cost: each pass by its own life, or all by one average of the two."""

    SEPARATE = "separate"
    AVERAGED = "averaged"


class Multipass(Struct, frozen=True, kw_only=True):
    r"""A job in :math:`n` equal rough passes and one finishing pass: cost and limits.

    The time of a pass is :math:`t = K / (v f)`; with averaged lives its edges are counted by
    :math:`t_m / T_p`, :math:`T_p = \theta T_r + (1 - \theta) T_s`.

    Parameters
    ----------
    path : float
        :math:`K = \pi D L / 1000`: surface that passes the edge for 1 mm/rev. [m mm/rev]
    economy : Economy
        Prices.
    life : PowerLaw
        Tool life, falling with speed, feed and depth. [min]
    lives, speeds, feeds, depths : tuple
        Least and most of a pass. [min, m/min, mm/rev, mm]
    rough, finish : tuple of Limit
        What else may not be passed, for each kind of pass.
    speed_ratio, feed_ratio, depth_ratio : float
        :math:`v_s \ge k_3 v_r`, :math:`f_r \ge k_4 f_s`, :math:`d_r \ge k_5 d_s`; 0 where nothing is asked. [1]
    counted : Lives
        How lives enter the cost.
    rough_weight : float
        :math:`\theta`, of averaged lives. [1]

    Raises
    ------
    OutOfRangeError
        If a range is empty, or life does not fall with speed more steeply than with feed.

    References
    ----------
    [CHEN_TSAI], from memory; the form of its cost was read in a later paper that restates it. Separate lives are the
    sounder form: an average lets one edge pay for the other.
    """

    path: float
    economy: Economy
    life: PowerLaw
    lives: Range
    speeds: Range
    feeds: Range
    depths: Range
    rough: tuple[Limit, ...] = ()
    finish: tuple[Limit, ...] = ()
    speed_ratio: float = 0.0
    feed_ratio: float = 0.0
    depth_ratio: float = 0.0
    counted: Lives = Lives.SEPARATE
    rough_weight: float = 0.5

    def __post_init__(self) -> None:
        """Refuse statements whose optimum this room cannot prove."""
        require_positive("path", self.path, unit="m mm/rev")
        require_life(self.life)
        for name in ("lives", "speeds", "feeds", "depths"):
            low, high = getattr(self, name)
            require_positive(f"{name}, least", low, unit="of its kind")
            require_positive(f"{name}, most less least", high - low, unit="of its kind")

    @property
    def rough_limits(self) -> tuple[Limit, ...]:
        """Every limit of speed, feed and more on a rough pass, but for its life and depth."""
        return (*span_limits("feed", FEED, self.feeds), *span_limits("speed", SPEED, self.speeds), *self.rough)

    @property
    def finish_limits(self) -> tuple[Limit, ...]:
        """The same of the finishing pass."""
        return (*span_limits("feed", FEED, self.feeds), *span_limits("speed", SPEED, self.speeds), *self.finish)

    def cost(self, rough_passes: int, rough: Cut, finish: Cut) -> float:
        """Cost of a piece by the statement itself. [cost]"""
        rough_min = rough_passes * self.path / (rough.speed_m_min * rough.feed_mm_rev)
        finish_min = self.path / (finish.speed_m_min * finish.feed_mm_rev)
        rough_life, finish_life = self.life.at(rough), self.life.at(finish)
        if self.counted is Lives.SEPARATE:
            edges = rough_min / rough_life + finish_min / finish_life
        else:
            mean = self.rough_weight * rough_life + (1.0 - self.rough_weight) * finish_life
            edges = (rough_min + finish_min) / mean
        return self.economy.cost(rough_passes + 1, cutting_min=rough_min + finish_min, edges=edges)

    def broken(self, rough: Cut, finish: Cut, *, within: float = 1e-9) -> tuple[str, ...]:
        """Names of the limits that two cuts break by more than a share ``within``, such as ``"force, rough"``."""
        return tuple(self._broken(rough, finish, within))

    def _broken(self, rough: Cut, finish: Cut, within: float) -> Iterator[str]:
        always = (*span_limits("life", self.life, self.lives), *span_limits("depth", DEPTH, self.depths))
        for kind, cut, limits in (("rough", rough, self.rough_limits), ("finish", finish, self.finish_limits)):
            for limit in (*always, *limits):
                if limit.is_broken(cut, within=within):
                    yield f"{limit.name}, {kind}"
        for name, least, most in (
            ("speed", self.speed_ratio * rough.speed_m_min, finish.speed_m_min),
            ("feed", self.feed_ratio * finish.feed_mm_rev, rough.feed_mm_rev),
            ("depth", self.depth_ratio * finish.depth_mm, rough.depth_mm),
        ):
            if least > most * (1.0 + within):
                yield f"{name}, rough to finish"
