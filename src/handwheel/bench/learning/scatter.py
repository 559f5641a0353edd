"""How far the readings of each gauge scatter in a job, and which stops have a reading that lies apart."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import sqrt
from statistics import fmean, median, median_low, stdev

from msgspec import Struct

from handwheel.bench.asking.records import spread_of_mm
from handwheel.bench.gate import OFF
from handwheel.bench.learning.believing import believed, has_learned
from handwheel.bench.learning.worked import Worked
from handwheel.domain.beliefs import About, Beliefs, Quantity

KNOWN_FREEDOM = 8.0
"""Degrees of freedom that what was believed of a spread is worth, as the bench takes it at the lathe
(`handwheel.bench.approach.Habit`)."""
SEVERAL = 2
"""Fewer readings have no scatter."""


class Scatter(Struct, frozen=True, kw_only=True):
    """Scatter of one gauge in a job.

    ``sum_mm2`` and ``freedom`` are squared distances from the means of the stops and their degrees of freedom, stops
    with a reading apart left out; ``usual_mm`` tells a reading apart, and is not moved by one; ``known_mm`` is what was
    believed before, never finer than the gauge's step allows. [mm, mm²]
    """

    sum_mm2: float
    freedom: float
    usual_mm: float
    known_mm: float
    steps: tuple[str, ...]

    @property
    def spread_mm(self) -> float:
        """Standard deviation of one reading, by what was believed and by this job together. [mm]"""
        return sqrt((KNOWN_FREEDOM * self.known_mm**2 + self.sum_mm2) / (KNOWN_FREEDOM + self.freedom))


def scatters(beliefs: Beliefs, worked: Sequence[Worked]) -> Mapping[str, Scatter]:
    """Scatter of each gauge that was read with."""
    several = [one for one in worked if one.gauge and len(one.readings_mm) >= SEVERAL]
    known_mm = {one.gauge: known_spread_mm(beliefs, one.gauge) for one in worked if one.gauge and one.readings_mm}
    hand = hand_share([stdev(one.readings_mm) / known_mm[one.gauge] for one in several])
    found = {}
    for gauge, known in known_mm.items():
        stops, usual = [one for one in several if one.gauge == gauge], hand * known
        fitting = [one for one in stops if not _lies_apart(one, usual)]
        found[gauge] = Scatter(
            sum_mm2=sum((read - fmean(one.readings_mm)) ** 2 for one in fitting for read in one.readings_mm),
            freedom=float(sum(len(one.readings_mm) - 1 for one in fitting)),
            usual_mm=usual,
            known_mm=known,
            steps=tuple(dict.fromkeys(one.act.step for one in fitting)),
        )
    return found


def hand_share(shares: Sequence[float]) -> float:
    """How many times as much as believed the readings of a hand scatter, by all its stops; 1 at least.

    The middle stop says it, the lower of two: a slip makes a stop scatter a hundred times as much, and must not excuse
    itself.

    Examples
    --------
    >>> hand_share([1.8, 2.2, 90.0]), hand_share([0.4])
    (2.2, 1.0)
    """
    return max(1.0, median_low(shares)) if shares else 1.0


def known_spread_mm(beliefs: Beliefs, gauge: str) -> float:
    """What was believed of the scatter of a gauge, as the bench takes it at a stop. [mm]"""
    own = beliefs.shop.gauge(gauge)
    about = About(thing=gauge)
    learned = has_learned(beliefs, Quantity.GAUGE_SPREAD, about)
    spread = believed(beliefs, Quantity.GAUGE_SPREAD, about)[0] if learned else spread_of_mm(own)
    return max(spread, finest_mm(beliefs, gauge))


def finest_mm(beliefs: Beliefs, gauge: str) -> float:
    """Scatter that the step of a gauge alone makes: a width of one step, evenly. [mm]"""
    return float(beliefs.shop.gauge(gauge).step_mm) / sqrt(12.0)


def is_apart(one: Worked, found: Mapping[str, Scatter]) -> bool:
    """Whether a reading of a stop lies apart from its fellows."""
    return one.gauge in found and _lies_apart(one, found[one.gauge].usual_mm)


def apart_mm(readings_mm: Sequence[float]) -> float:
    """How far the reading that lies furthest off is from the middle one. [mm]"""
    middle = median(readings_mm)
    return max((abs(one - middle) for one in readings_mm), default=0.0)


def _lies_apart(one: Worked, usual_mm: float) -> bool:
    return apart_mm(one.readings_mm) > OFF * usual_mm
