"""What is believed of one size while it is approached: a mean and a covariance of eight unknowns.

A Kalman filter: what a cut does and what a gauge reads are linear in eight unknowns but for one product (the share
sprung away times the depth), taken at its middle. Everything is in mm of travel of the slide square to the surface,
counted into the metal, except bias, warmth and taper, which are mm of reading.
"""

from __future__ import annotations

from enum import IntEnum
from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.bench.each import Each, Truth, root

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from handwheel.bench.approach import Approach, Prior


class Unknown(IntEnum):
    """The unknowns, in the order in which mean and covariance list them."""

    LEFT = 0
    """Metal left to the target on the cold work. [mm of travel]"""
    TIP = 1
    """Metal that the tip would leave, standing where the scale in use shows 0. [mm of travel]"""
    RATE = 2
    """Travel for one mm of travel that the scale shows, less 1."""
    SPRING = 3
    """Share of a depth of cut that is sprung away."""
    BIAS = 4
    """What the gauge reads too much. [mm of reading]"""
    WARM = 5
    """What the work reads too much for being warm. [mm of reading]"""
    TAPER = 6
    """What the front reads more than the back. [mm of reading]"""
    WEAR = 7
    """How much further off the tip stands after each cut. [mm of travel]"""


UNKNOWNS = tuple(Unknown)
Matrix = tuple[tuple["Each", ...], ...]


class Belief(Struct, frozen=True, kw_only=True):
    """Mean and covariance of the unknowns, and what has been done.

    ``fine`` says that the swung top slide is in use. ``last_depth_mm`` is the depth of the last cut by the scale in
    use, 0 before it has made one. ``readings`` counts those taken since that cut, ``spread_sum`` and ``spread_freedom``
    what they told of the gauge's spread [mm², 1]. ``short_cuts`` counts the cuts, one after the other, that
    took little of their depth, ``cuts_since`` those since the last reading, before which ``left_before_mm`` was left.
    """

    mean: tuple[Each, ...]
    covariance: Matrix
    fine: Truth
    last_depth_mm: Each
    readings: Each
    spread_sum: Each
    spread_freedom: Each
    short_cuts: Each = 0.0
    left_before_mm: Each = 0.0
    cuts_since: Each = 0.0

    @property
    def left_mm(self) -> Each:
        """Metal believed to be left. [mm of travel]"""
        return self.mean[Unknown.LEFT]

    @property
    def left_variance_mm2(self) -> Each:
        """Variance of it. [mm² of travel]"""
        return self.covariance[Unknown.LEFT][Unknown.LEFT]

    @property
    def left_spread_mm(self) -> Each:
        """Standard uncertainty of it. [mm of travel]"""
        return root(self.left_variance_mm2)

    def spread_of(self, unknown: Unknown) -> Each:
        """Standard uncertainty of an unknown."""
        return root(self.covariance[unknown][unknown])


def beginning(approach: Approach, *, left: Prior) -> Belief:
    """Belief before the first cut, with so much metal left [mm of travel]; no zero is set yet."""
    habit = approach.habit
    nothing: Each = 0.0 * (left.value + left.spread + approach.step_mm)
    no_zero = left.spread + 1.0
    priors = {
        Unknown.LEFT: (left.value, left.spread),
        Unknown.TIP: (left.value, no_zero),
        Unknown.RATE: (habit.rate.value, habit.rate.spread),
        Unknown.SPRING: (habit.spring.value, habit.spring.spread),
        Unknown.BIAS: (0.0, habit.gauge_bias_mm),
        Unknown.WARM: (0.0, 0.0),
        Unknown.TAPER: (habit.taper.value, habit.taper.spread),
        Unknown.WEAR: (habit.wear.value, habit.wear.spread),
    }
    mean = tuple(nothing + priors[one][0] for one in UNKNOWNS)
    spread = [nothing + priors[one][1] for one in UNKNOWNS]
    covariance = tuple(
        tuple(spread[one] * spread[one] if one == other else nothing for other in UNKNOWNS) for one in UNKNOWNS
    )
    return Belief(
        mean=mean,
        covariance=covariance,
        fine=nothing > 0.0,
        last_depth_mm=nothing,
        readings=nothing,
        spread_sum=nothing + habit.spread_known * habit.gauge_spread_mm**2,
        spread_freedom=nothing + habit.spread_known,
        short_cuts=nothing,
        left_before_mm=nothing,
        cuts_since=nothing,
    )


def transformed(
    mean: Sequence[Each], covariance: Matrix, *, changed: Unknown, gains: dict[Unknown, Each], value: Each, added: Each
) -> tuple[tuple[Each, ...], Matrix]:
    """Mean and covariance once an unknown has become a sum of all: ``gains`` times each, and scatter of its own.

    ``value`` is its new mean, ``added`` the variance that comes in.
    """
    row = [_sum(gain * covariance[one][other] for one, gain in gains.items()) for other in UNKNOWNS]
    own = _sum(gain * row[one] for one, gain in gains.items()) + added
    row[changed] = own
    new_mean = tuple(value if one is changed else mean[one] for one in UNKNOWNS)
    new = tuple(
        tuple(
            row[other] if one is changed else row[one] if other is changed else covariance[one][other]
            for other in UNKNOWNS
        )
        for one in UNKNOWNS
    )
    return new_mean, new


def told(
    mean: Sequence[Each], covariance: Matrix, *, seen: dict[Unknown, Each], miss: Each, variance: Each
) -> tuple[tuple[Each, ...], Matrix]:
    """Mean and covariance once a sum of the unknowns was seen ``miss`` above what was expected of it.

    ``seen`` is what of each unknown the sum holds, ``variance`` that of the observation.
    """
    shared = [_sum(gain * covariance[one][other] for one, gain in seen.items()) for other in UNKNOWNS]
    whole = _sum(gain * shared[one] for one, gain in seen.items()) + variance
    share = [one / whole for one in shared]
    new_mean = tuple(mean[one] + share[one] * miss for one in UNKNOWNS)
    rows: list[list[Each]] = [[0.0] * len(UNKNOWNS) for _ in UNKNOWNS]
    for one in UNKNOWNS:
        for other in UNKNOWNS[one:]:
            rows[one][other] = rows[other][one] = covariance[one][other] - share[one] * shared[other]
    return new_mean, tuple(map(tuple, rows))


def _sum(terms: Iterable[Each]) -> Each:
    total: Each = 0.0
    for term in terms:
        total = total + term
    return total
