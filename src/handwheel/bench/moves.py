"""What each act at the lathe does to a belief: touch, cut, wait, read, swing; steps of a Kalman filter."""

from __future__ import annotations

from math import e
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from handwheel.bench.belief import Belief, Matrix, Unknown, told, transformed
from handwheel.bench.each import chosen, most, root

if TYPE_CHECKING:
    from handwheel.bench.approach import Approach
    from handwheel.bench.each import Each

TINY = 1e-9
SHORT = 0.65
"""A cut that leaves so much of its depth has taken little: lathes that merely spring leave less; ours, no source."""
SURPRISE = 4.0
"""Standard deviations from which on a reading is believed and what was expected is not; ours, no source."""
RUBBED = 0.25
"""Share of a depth that a tool takes where it rubs, with an equal standard uncertainty; common practice, no source."""


def touched(belief: Belief, approach: Approach, *, sure: bool = False) -> Belief:
    """The tip just touches the work, and the scale in use is set to 0 there; ``sure`` where it is known to."""
    left, variance = belief.left_mm, 0.0 if sure else approach.habit.touch_mm**2
    mean, covariance = transformed(
        belief.mean,
        belief.covariance,
        changed=Unknown.TIP,
        gains={Unknown.LEFT: 1.0, **_warm_gain(approach, -1.0)},
        value=left + _warm_share(approach, -1.0) * belief.mean[Unknown.WARM],
        added=variance,
    )
    return replace(belief, mean=mean, covariance=covariance, last_depth_mm=0.0 * left)


def swung(belief: Belief, approach: Approach) -> Belief:
    """The top slide is swung for fine feed: its scale is another, its zero still to be touched."""
    rate = approach.habit.fine_rate
    mean, covariance = transformed(
        belief.mean,
        belief.covariance,
        changed=Unknown.RATE,
        gains={},
        value=0.0 * belief.left_mm + rate.value,
        added=0.0 * belief.left_mm + rate.spread**2,
    )
    return replace(
        belief,
        mean=mean,
        covariance=covariance,
        fine=belief.left_mm == belief.left_mm,
        last_depth_mm=0.0 * belief.left_mm,
    )


def edge_changed(belief: Belief, approach: Approach) -> Belief:
    """A fresh edge is in: what the last one taught of spring and wear is gone, and the zero is still to be touched."""
    habit, nothing = approach.habit, 0.0 * belief.left_mm
    mean, covariance = belief.mean, belief.covariance
    for unknown, prior in ((Unknown.SPRING, habit.spring), (Unknown.WEAR, habit.wear)):
        mean, covariance = transformed(
            mean,
            covariance,
            changed=unknown,
            gains={},
            value=nothing + prior.value,
            added=nothing + prior.spread * prior.spread,
        )
    return replace(belief, mean=mean, covariance=covariance, last_depth_mm=nothing, short_cuts=nothing)


def reversed_in_slack(belief: Belief, approach: Approach, slack_mm: Each) -> Belief:
    """The handle came back without its slack taken up: the tip stands short by anything up to it. [mm of travel]

    The next setting from the right side makes it good again; so only a cut made before that is to be reckoned with it.
    """
    del approach
    mean, covariance = transformed(
        belief.mean,
        belief.covariance,
        changed=Unknown.TIP,
        gains={Unknown.TIP: 1.0},
        value=belief.mean[Unknown.TIP] + slack_mm / 2.0,
        added=slack_mm * slack_mm / 12.0,
    )
    return replace(belief, mean=mean, covariance=covariance)


def counted_from(belief: Belief, travel_mm: Each) -> Belief:
    """The same belief with the scale in use set to 0 where it shows so much. [mm of travel]"""
    mean, covariance = transformed(
        belief.mean,
        belief.covariance,
        changed=Unknown.TIP,
        gains={Unknown.TIP: 1.0, Unknown.RATE: -travel_mm},
        value=belief.mean[Unknown.TIP] - (1.0 + belief.mean[Unknown.RATE]) * travel_mm,
        added=0.0,
    )
    return replace(belief, mean=mean, covariance=covariance)


def depth_at(belief: Belief, approach: Approach, travel_mm: Each) -> Each:
    """Depth that the tip would stand below the surface, wound so far from its zero. [mm of travel]"""
    mean = belief.mean
    tip = mean[Unknown.TIP] + _warm_share(approach, 1.0) * mean[Unknown.WARM]
    return mean[Unknown.LEFT] - tip + (1.0 + mean[Unknown.RATE]) * travel_mm


def travel_for(belief: Belief, approach: Approach, depth_mm: Each) -> Each:
    """How far to wind from the zero of the scale in use so that the tip stands that deep. [mm of travel]"""
    return (depth_mm - depth_at(belief, approach, 0.0)) / (1.0 + belief.mean[Unknown.RATE])


class Bitten(Struct, frozen=True, kw_only=True):
    """What one pass is believed to do to the metal left. [mm of travel]

    ``left_mm`` is the sum of ``gains`` times the unknowns' errors about its middle, and of scatter of its own.
    """

    depth_mm: Each
    left_mm: Each
    gains: dict[Unknown, Each]
    scatter_mm2: Each


def bitten(belief: Belief, approach: Approach, travel_mm: Each) -> Bitten:
    """A pass with the handle wound so far from its zero; a depth of less than 0 takes nothing."""
    mean = belief.mean
    depth = most(depth_at(belief, approach, travel_mm), 0.0)
    rubs = depth < approach.least_cut_mm * (1.0 - TINY)
    sprung = chosen(rubs, 1.0 - RUBBED, mean[Unknown.SPRING])
    taken = chosen(depth > 0.0, 1.0 - sprung, 0.0)
    own = cut_variance(belief, approach, depth)
    scatter = chosen(rubs, own + (RUBBED * depth) ** 2, own)
    gains = {
        Unknown.LEFT: 1.0 - taken,
        Unknown.TIP: taken,
        Unknown.RATE: -taken * travel_mm,
        Unknown.SPRING: chosen(rubs, 0.0, depth),
        Unknown.WARM: taken * _warm_share(approach, 1.0),
    }
    return Bitten(
        depth_mm=depth,
        left_mm=mean[Unknown.LEFT] - taken * depth,
        gains=gains,
        scatter_mm2=chosen(depth > 0.0, scatter, 0.0),
    )


def left_variance(belief: Belief, bite: Bitten) -> Each:
    """Variance of the metal left after a pass. [mm² of travel]"""
    total, gains = bite.scatter_mm2, tuple(bite.gains.items())
    for place, (one, gain) in enumerate(gains):
        row = belief.covariance[one]
        total = total + gain * gain * row[one]
        for other, its_gain in gains[place + 1 :]:
            total = total + 2.0 * gain * its_gain * row[other]
    return most(total, 0.0)


def cut(belief: Belief, approach: Approach, travel_mm: Each) -> Belief:
    """A pass with the handle wound to a place; the tip wears, the work warms."""
    bite = bitten(belief, approach, travel_mm)
    mean, covariance = transformed(
        belief.mean,
        belief.covariance,
        changed=Unknown.LEFT,
        gains=bite.gains,
        value=bite.left_mm,
        added=bite.scatter_mm2,
    )
    mean, covariance = transformed(
        mean,
        covariance,
        changed=Unknown.TIP,
        gains={Unknown.TIP: 1.0, Unknown.WEAR: 1.0},
        value=mean[Unknown.TIP] + mean[Unknown.WEAR],
        added=0.0,
    )
    mean, covariance = _heated(mean, covariance, approach, bite.depth_mm)
    is_first = (belief.readings > 0.0) | (belief.cuts_since <= 0.0)
    return replace(
        belief,
        mean=mean,
        covariance=covariance,
        last_depth_mm=bite.depth_mm,
        readings=0.0 * bite.depth_mm,
        left_before_mm=chosen(is_first, belief.left_mm, belief.left_before_mm),
        cuts_since=chosen(is_first, 1.0, belief.cuts_since + 1.0),
    )


def cut_variance(belief: Belief, approach: Approach, depth_mm: Each) -> Each:
    """Variance that one cut adds by itself: setting, ripple of the screw, scatter of spring and edge. [mm²]"""
    habit = approach.habit
    step = chosen(belief.fine, approach.fine_step_mm, approach.step_mm)
    setting = habit.setting_share * step / 2.0
    ripple = habit.ripple_mm * chosen(belief.fine, approach.fine_ratio, 1.0)
    sprung = habit.spring_scatter * belief.mean[Unknown.SPRING] * depth_mm
    return setting**2 + ripple**2 + sprung**2 + habit.scatter_mm**2


def waited(belief: Belief, approach: Approach, seconds: Each) -> Belief:
    """The work has cooled for a while."""
    habit = approach.habit
    slow = e ** (-seconds / habit.cool_slow_s)
    fast = e ** (-seconds / habit.cool_fast_s)
    middle, half = (slow + fast) / 2.0, (slow - fast) / 4.0
    warm, variance = belief.mean[Unknown.WARM], belief.covariance[Unknown.WARM][Unknown.WARM]
    mean, covariance = transformed(
        belief.mean,
        belief.covariance,
        changed=Unknown.WARM,
        gains={Unknown.WARM: middle},
        value=middle * warm,
        added=half**2 * (warm**2 + variance),
    )
    return replace(belief, mean=mean, covariance=covariance)


def read(
    belief: Belief, approach: Approach, mean_mm: Each, *, count: Each = 1.0, sum_mm2: Each = 0.0, place: float = 0.0
) -> Belief:
    """The mean of some readings in one place of the cut, and the sum of their squared distances from it. [mm, mm²]

    ``place`` is 0 for the middle of the cut, 1 for its front end, -1 for its back end: readings at both tell the taper.

    A mean further from what was expected than `SURPRISE` standard deviations says that something else has happened to
    the work or the tip: so much is then added to how uncertain both are, and the reading rules.
    """
    spread_sum = belief.spread_sum + sum_mm2
    freedom = belief.spread_freedom + most(count - 1.0, 0.0)
    variance = spread_sum / (freedom * count)
    gain = approach.sign * approach.per_travel
    seen = {Unknown.LEFT: gain, Unknown.BIAS: 1.0, Unknown.WARM: 1.0}
    taper = 0.0 * belief.left_mm
    if place:
        seen[Unknown.TAPER] = place / 2.0
        taper = place / 2.0 * belief.mean[Unknown.TAPER]
    miss = mean_mm - expected_reading_mm(belief, approach) - taper
    expected = _seen_variance(belief, approach) + variance
    if place:
        expected = expected + place * place / 4.0 * belief.covariance[Unknown.TAPER][Unknown.TAPER]
    surprise = chosen(miss * miss > SURPRISE * SURPRISE * expected, miss * miss, 0.0) / (gain * gain)
    mean, covariance = told(
        belief.mean, _loosened(belief.covariance, surprise), seen=seen, miss=miss, variance=variance
    )
    return replace(
        belief,
        mean=mean,
        covariance=covariance,
        readings=belief.readings + count,
        spread_sum=spread_sum,
        spread_freedom=freedom,
        short_cuts=_short_cuts(belief, mean[Unknown.LEFT]),
    )


def _short_cuts(belief: Belief, left_mm: Each) -> Each:
    """How many cuts in a row took little of their depth, now that so much is left; only single ones tell."""
    is_first = (belief.readings <= 0.0) & (belief.cuts_since > 0.0)
    depth = most(belief.last_depth_mm, TINY)
    sprung = 1.0 - (belief.left_before_mm - left_mm) / depth
    is_short = (belief.cuts_since <= 1.0) & (sprung > SHORT)
    return chosen(is_first, chosen(is_short, belief.short_cuts + 1.0, 0.0), belief.short_cuts)


def unsurprising_mm(belief: Belief, approach: Approach, *, count: Each = 1.0) -> Each:
    """How far the mean of so many readings, that scatter as is believed, may lie off and be no surprise to `read`. [mm]

    Up to there what is believed afterwards shifts evenly with the mean, and is as sure whatever it is.
    """
    return SURPRISE * root(_seen_variance(belief, approach) + belief.spread_sum / (belief.spread_freedom * count))


def _loosened(covariance: Matrix, variance: Each) -> Matrix:
    """Covariance with so much more of a common, unknown change of the metal left and the tip's place. [mm²]"""
    both = (Unknown.LEFT, Unknown.TIP)
    return tuple(
        tuple(cell + variance if one in both and other in both else cell for other, cell in enumerate(row))
        for one, row in enumerate(covariance)
    )


def expected_reading_mm(belief: Belief, approach: Approach) -> Each:
    """What the gauge should read at the middle of the cut. [mm]"""
    mean = belief.mean
    return approach.reading_mm(mean[Unknown.LEFT]) + mean[Unknown.BIAS] + mean[Unknown.WARM]


def reading_variance(belief: Belief, approach: Approach) -> Each:
    """Variance with which the next reading is expected. [mm²]"""
    return _seen_variance(belief, approach) + belief.spread_sum / belief.spread_freedom


def _seen_variance(belief: Belief, approach: Approach) -> Each:
    """Variance of what a gauge without scatter would read: metal left, bias, warmth. [mm²]"""
    gain, covariance = approach.sign * approach.per_travel, belief.covariance
    own = (
        gain * gain * covariance[Unknown.LEFT][Unknown.LEFT]
        + covariance[Unknown.BIAS][Unknown.BIAS]
        + covariance[Unknown.WARM][Unknown.WARM]
        + 2.0 * gain * (covariance[Unknown.LEFT][Unknown.BIAS] + covariance[Unknown.LEFT][Unknown.WARM])
        + 2.0 * covariance[Unknown.BIAS][Unknown.WARM]
    )
    return most(own, 0.0)


def _heated(
    mean: tuple[Each, ...], covariance: Matrix, approach: Approach, depth_mm: Each
) -> tuple[tuple[Each, ...], Matrix]:
    """Warmth of the work after a cut: the usual, whatever it was before; a cut in air changes nothing."""
    warm, cuts = approach.habit.warm, depth_mm > 0.0
    return transformed(
        mean,
        covariance,
        changed=Unknown.WARM,
        gains={Unknown.WARM: chosen(cuts, 0.0, 1.0)},
        value=chosen(cuts, warm.value, mean[Unknown.WARM]),
        added=chosen(cuts, warm.spread * warm.spread, 0.0),
    )


def _warm_share(approach: Approach, sign: float) -> Each:
    """How much further into the metal a tip cuts, seen from the cold work, for one mm that the work reads too much.

    Warm work is larger, outside and inside: an outside cut to size while warm ends small, and so does a bore.
    """
    return -sign * approach.sign / approach.per_travel


def _warm_gain(approach: Approach, sign: float) -> dict[Unknown, Each]:
    return {Unknown.WARM: _warm_share(approach, sign)}
