"""The next act for a size being approached: measure, let cool, swing for fine feed, cut to a mark, or stop."""

from __future__ import annotations

from enum import IntEnum
from functools import cache
from statistics import NormalDist
from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.bench import moves
from handwheel.bench.belief import Belief, Unknown
from handwheel.bench.each import (
    Each,
    Truth,
    anywhere,
    below,
    chosen,
    least,
    most,
    natural_log,
    nearest,
    not_,
    root,
    share_below,
    size_of,
)

if TYPE_CHECKING:
    from handwheel.bench.approach import Approach

HEAT_SHARE = 0.1
"""Warmth counts from this share of the tolerance on (PC-24)."""
READ_SHARE = 0.15
"""Readings are repeated until their mean is uncertain by half this share of the tolerance; ours, no source."""
LEAST_READINGS = 2
"""Readings of a stop from which a cut follows, for one may be misread; common practice, no source."""
SURE = 2.5
"""Standard uncertainties by which a cut stays off what those after it need; ours, found on the virtual lathe."""
SLACK = 0.75
"""More left than roughing should leave, by this share of a last cut, is still shared among the last; no source."""
ALIKE = 1.5
"""Two cuts count as alike if neither is deeper than the other times this; common practice, no source."""
DOUBT_CHANCE = 0.05
"""A part that is outside its limits more surely than this is not read again; ours, no source."""
FINISHING = 1.8
"""A last cut is no deeper than the depth wanted for one times this; ours, no source."""
LOST_CHANCE = 0.5
"""A part that is rather beyond the far limit than not is lost; ours, no source."""
POOR_CHANCE = 0.1
"""A last cut with less chance of a good part is not made, for it leaves too little to go on with; ours, from virtual
lathes: of 11,335 such cuts by whole marks 0.7 % came out good, and of those with up to a quarter 12 %."""
UNLEARNED = 0.5
"""Share of the uncertainty of the spring that the first of two like cuts leaves; ours, from virtual lathes."""
STEP_COST = 0.5
"""Share of what a last cut may lack of certainty that a dial's steps may take; ours, from virtual lathes."""
BLUNT = 1.0
"""So many measured cuts that took little of their depth say that the edge is blunt or chipped; ours, no source. A lathe
that merely springs much is learned."""
MOST_RETREATS = 3
"""A cut that risks too much is made shallower; its spread changes with its depth, so this is done so often."""
TINY = 1e-9


class Next(IntEnum):
    """What to do next at the lathe."""

    MEASURE = 0
    """Stop and take ``readings`` readings, or so many more."""
    COOL = 1
    """Let the work cool for ``seconds``."""
    SWING = 2
    """Swing the top slide for fine feed and set a new zero by touch."""
    EDGE = 3
    """Change the edge, or stone it, and set a new zero by touch: a cut took little of its depth."""
    CUT = 4
    """Wind to ``steps`` from the zero of the scale in use and cut."""
    GOOD = 5
    """Stop: the size is inside its limits."""
    LOST = 6
    """Stop: the size is beyond the limit from which no metal comes back."""
    STUCK = 7
    """Stop: what is left is less than a tool can cut."""


class Advice(Struct, frozen=True, kw_only=True):
    """What to do next, and what is then expected.

    ``steps`` count from the zero of the scale in use, into the metal; ``depth_mm`` is the depth that the tip then
    stands below the surface [mm of travel]; ``expected_mm`` what a true gauge reads after it [mm], ``spread_mm`` its
    standard uncertainty. ``inside_chance`` is the chance of lying inside the limits as things stand (for a cut: after
    it), ``far_chance`` of lying beyond the far one; ``last`` says whether a cut is meant to be the last.
    """

    do: Each
    steps: Each
    depth_mm: Each
    seconds: Each
    readings: Each
    expected_mm: Each
    spread_mm: Each
    inside_chance: Each
    far_chance: Each
    last: Truth


class Landing(Struct, frozen=True, kw_only=True):
    """A cut to whole steps, how deep it is, where it is believed to end, how surely. [mm of travel]"""

    steps: Each
    depth_mm: Each
    left_mm: Each
    spread_mm: Each


class _Choice(Struct, frozen=True, kw_only=True):
    """The cut that is next, should one be next, and whether a reading is needed before it."""

    landing: Landing
    wants_fine: Truth
    goes_on: Truth
    is_last: Truth


def advise(approach: Approach, belief: Belief) -> Advice:
    """The next act, by what is believed now.

    A measured size that is surely good, or lost, ends the job; else metal comes off. What is left is roughed down; a
    fine feed is proved by a first cut; then the last two cuts are alike, with readings before each. A last cut whose
    chance of a good part is too small is shared in two where both still cut. No cut has more than the shop's chance of
    passing the far limit, none is thinner than the least that cuts, and a step finer than the dial's comes from fine
    feed alone. Before a reading that decides, warm work cools.

    Parameters
    ----------
    approach : Approach
        The size, its scales and the shop's figures.
    belief : Belief
        What is believed now; a zero has been touched.

    Returns
    -------
    Advice
        For one lathe, or for each of many.

    Notes
    -----
    What comes next is chosen by chance alone, over the cuts that may follow (all that is left, half of it, a proof, a
    roughing cut), each to the whole step nearest its aim. Nothing here knows what the lathe is really like.
    """
    measured = belief.readings > 0.0
    inside, far = chances(approach, belief.left_mm, _worst_spread_mm(approach, belief, belief.left_variance_mm2))
    good = measured & (inside >= approach.good_chance)
    lost = measured & (far > LOST_CHANCE)
    ends = good | lost
    if not anywhere(not_(ends)):
        return _ended(approach, belief, chosen(lost, float(Next.LOST), float(Next.GOOD)), (inside, far))

    choice = _choice(approach, belief)
    cut = choice.landing
    cut_inside, cut_far = chances(approach, cut.left_mm, cut.spread_mm)
    too_thin = cut.depth_mm < approach.least_cut_mm * (1.0 - TINY)
    too_thin = too_thin | (choice.is_last & (cut_inside < POOR_CHANCE))
    wanted = readings_for(approach, belief, goes_on=choice.goes_on)
    doubt = not_(ends) & too_thin & (inside + far > DOUBT_CHANCE) & (belief.readings < approach.most_readings)
    read_more = measured & (((belief.readings < wanted) & not_(ends)) | doubt)
    blind = not_(measured) & (not_(choice.goes_on) | (cut_far > approach.far_chance))
    wait = wait_s(approach, belief)
    hot = (wait > 0.0) & not_(choice.goes_on)

    do: Each = chosen(too_thin, chosen(inside >= LOST_CHANCE, float(Next.GOOD), float(Next.STUCK)), float(Next.CUT))
    do = chosen(choice.wants_fine, float(Next.SWING), do)
    blunt = measured & (belief.last_depth_mm > 0.0) & (belief.short_cuts >= BLUNT)
    do = chosen(blunt & (do == float(Next.CUT)), float(Next.EDGE), do)
    do = chosen(lost, float(Next.LOST), do)
    do = chosen(good, float(Next.GOOD), do)
    do = chosen(read_more | blind, float(Next.MEASURE), do)
    do = chosen(hot & not_(ends & not_(read_more)), float(Next.COOL), do)
    cuts = do == float(Next.CUT)
    return Advice(
        do=do,
        steps=chosen(cuts, cut.steps, 0.0),
        depth_mm=chosen(cuts, cut.depth_mm, 0.0),
        seconds=chosen(do == float(Next.COOL), wait, 0.0),
        readings=chosen(do >= float(Next.GOOD), 1.0, most(wanted - belief.readings, 1.0)),
        expected_mm=approach.reading_mm(chosen(cuts, cut.left_mm, belief.left_mm)),
        spread_mm=approach.per_travel * chosen(cuts, cut.spread_mm, belief.left_spread_mm),
        inside_chance=chosen(cuts, cut_inside, inside),
        far_chance=chosen(cuts, cut_far, far),
        last=cuts & choice.is_last,
    )


def _ended(approach: Approach, belief: Belief, do: Each, judged: tuple[Each, Each]) -> Advice:
    """The job is over, for the one lathe or for all of many."""
    nothing = 0.0 * belief.left_mm
    inside, far = judged
    return Advice(
        do=do,
        steps=nothing,
        depth_mm=nothing,
        seconds=nothing,
        readings=nothing + 1.0,
        expected_mm=approach.reading_mm(belief.left_mm),
        spread_mm=approach.per_travel * belief.left_spread_mm,
        inside_chance=inside,
        far_chance=far,
        last=nothing > 0.0,
    )


def _choice(approach: Approach, belief: Belief) -> _Choice:
    """Roughing while much is left, then the proof of a new fine zero, then two like cuts, then the last.

    What no lathe needs is not worked out: nothing near the end while all are roughing, no roughing after it.
    """
    left = belief.left_mm
    kept = 1.0 - belief.mean[Unknown.SPRING]
    needed = needed_mm(approach, belief)
    step = _step_mm(approach, belief)
    to_fine = _needs_fine(approach, belief)
    proof_mm = most(approach.last_cut_mm, approach.least_cut_mm + step) * kept

    leave = _leave_mm(approach, belief, needed) + chosen(to_fine, proof_mm, 0.0)
    is_deep = left > leave + SLACK * approach.last_cut_mm
    rough = None
    if anywhere(is_deep):
        rough = landing(approach, belief, most(leave, left - approach.most_cut_mm * kept), step)
        is_deep = is_deep & (rough.depth_mm >= approach.least_cut_mm)
        if not anywhere(not_(is_deep)):
            nowhere = not_(is_deep)
            return _Choice(landing=rough, wants_fine=nowhere, goes_on=is_deep, is_last=nowhere)

    near, is_last = _near(approach, belief, needed, step)
    proves = belief.fine & (belief.last_depth_mm <= 0.0)
    if anywhere(proves):
        proof = landing(approach, belief, left - proof_mm, step)
        proves = proves & (proof.left_mm - SURE * proof.spread_mm >= needed)
        proves = proves & (proof.depth_mm >= approach.least_cut_mm * (1.0 - TINY))
        near = _either(proves, proof, near)

    wants_fine = to_fine & not_(is_deep) & (left > needed)
    return _Choice(
        landing=near if rough is None else _either(is_deep, rough, near),
        wants_fine=wants_fine,
        goes_on=is_deep | wants_fine | proves,
        is_last=is_last & not_(is_deep) & not_(proves),
    )


def _near(approach: Approach, belief: Belief, needed_mm: Each, step_mm: Each) -> tuple[Landing, Truth]:
    """All that is left in one cut, or the first of two like ones; and where it is the last."""
    left, last = belief.left_mm, belief.last_depth_mm
    thinnest = (approach.least_cut_mm + step_mm / 2.0) * (1.0 - belief.mean[Unknown.SPRING])
    whole = landing(approach, belief, least(left - thinnest, 0.0), step_mm)
    half = _first_of_two(approach, belief, needed_mm, step_mm)
    leaves_enough = share_below((half.left_mm - needed_mm) / half.spread_mm)
    pair_chance = chosen(half.depth_mm >= approach.least_cut_mm * (1.0 - TINY), leaves_enough, 0.0)
    alike = (last > 0.0) & (whole.depth_mm <= ALIKE * last) & (last <= ALIKE * whole.depth_mm)
    alike = alike & (whole.depth_mm <= FINISHING * approach.last_cut_mm)
    whole_chance, _ = chances(approach, whole.left_mm, whole.spread_mm)
    is_last = (alike & (whole_chance >= approach.wanted_chance)) | (pair_chance <= whole_chance)
    return _either(is_last, whole, half), is_last


def _either(condition: Truth, yes: Landing, no: Landing) -> Landing:
    """One landing where a condition holds, another where not."""
    return Landing(
        steps=chosen(condition, yes.steps, no.steps),
        depth_mm=chosen(condition, yes.depth_mm, no.depth_mm),
        left_mm=chosen(condition, yes.left_mm, no.left_mm),
        spread_mm=chosen(condition, yes.spread_mm, no.spread_mm),
    )


def chances(approach: Approach, left_mm: Each, spread_mm: Each) -> tuple[Each, Each]:
    """Chance of lying inside the limits, and beyond the far one, with so much metal left. [mm of travel]"""
    spread = most(spread_mm, TINY)
    far = share_below((-approach.far_mm - left_mm) / spread)
    near = share_below((approach.near_mm - left_mm) / spread)
    return near - far, far


@cache
def _deviations_beyond(chance: float) -> float:
    return NormalDist().inv_cdf(1.0 - chance)


def far_factor(approach: Approach) -> float:
    """How many standard deviations leave the shop's chance beyond them."""
    return _deviations_beyond(approach.far_chance)


def landing(approach: Approach, belief: Belief, left_mm: Each, step_mm: Each) -> Landing:
    """The whole steps that leave most nearly so much metal, are no deeper than a pass may be, and not too risky.

    Not too risky: the far limit is passed with no more than the shop's chance.
    """
    kept = 1.0 - belief.mean[Unknown.SPRING]
    at_zero, rate = moves.depth_at(belief, approach, 0.0), 1.0 + belief.mean[Unknown.RATE]
    wanted = ((belief.left_mm - left_mm) / kept - at_zero) / rate
    deepest = below((approach.most_cut_mm - at_zero) / rate / step_mm + TINY)
    found = _landing_at(approach, belief, least(nearest(wanted / step_mm), deepest), step_mm)
    factor, far = far_factor(approach), approach.far_mm
    for _ in range(MOST_RETREATS):
        short = factor * found.spread_mm - far - found.left_mm
        if not anywhere(short > 0.0):
            break
        fewer = chosen(short > 0.0, -below(-short / (kept * step_mm)), 0.0)
        found = _landing_at(approach, belief, found.steps - fewer, step_mm)
    return found


def _landing_at(approach: Approach, belief: Belief, steps: Each, step_mm: Each) -> Landing:
    bite = moves.bitten(belief, approach, steps * step_mm)
    spread = _worst_spread_mm(approach, belief, moves.left_variance(belief, bite))
    return Landing(steps=steps, depth_mm=bite.depth_mm, left_mm=bite.left_mm, spread_mm=spread)


def _worst_spread_mm(approach: Approach, belief: Belief, left_mm2: Each) -> Each:
    """Spread of the metal left at the worse end of the cut: half the taper is on top. [mm of travel]"""
    mean = belief.mean[Unknown.TAPER]
    taper = belief.covariance[Unknown.TAPER][Unknown.TAPER] + mean * mean
    both_ends = 2.0 * approach.per_travel
    return root(left_mm2 + taper / (both_ends * both_ends))


def _first_of_two(approach: Approach, belief: Belief, needed_mm: Each, step_mm: Each) -> Landing:
    """The first of two like cuts; a thinner one where half would leave too little for the second."""
    half = landing(approach, belief, belief.left_mm / 2.0, step_mm)
    wanted = most(half.left_mm, needed_mm + SURE * half.spread_mm)
    thinnest = belief.left_mm - (approach.least_cut_mm + step_mm / 2.0) * (1.0 - belief.mean[Unknown.SPRING])
    return landing(approach, belief, least(wanted, most(thinnest, 0.0)), step_mm)


def needed_mm(approach: Approach, belief: Belief) -> Each:
    """Metal from which on a last cut of the least depth still ends inside the limits. [mm of travel]

    Whole steps make the least cut half a step deeper at the mean. Uncertain are the cut itself, the gauge, what the
    readings before it will leave uncertain, and the spring.
    """
    habit, per_travel, sprung = approach.habit, approach.per_travel, belief.mean[Unknown.SPRING]
    taken = (approach.least_cut_mm + _step_mm(approach, belief) / 2.0) * (1.0 - sprung)
    reading = READ_SHARE / 2.0 * (approach.upper_mm - approach.lower_mm)
    spring = belief.covariance[Unknown.SPRING][Unknown.SPRING] * approach.least_cut_mm * approach.least_cut_mm
    gauge = (habit.gauge_bias_mm * habit.gauge_bias_mm + reading * reading) / (per_travel * per_travel)
    spread = root(moves.cut_variance(belief, approach, approach.least_cut_mm) + gauge + spring)
    return most(taken - approach.far_mm + far_factor(approach) * spread, approach.near_mm)


def _leave_mm(approach: Approach, belief: Belief, needed_mm: Each) -> Each:
    """What roughing leaves for two like cuts, and for what it may take too much. [mm of travel]"""
    depth = least(most(belief.left_mm - 2.0 * approach.last_cut_mm, 0.0), approach.most_cut_mm)
    bite = moves.bitten(belief, approach, moves.travel_for(belief, approach, depth))
    spread = root(moves.left_variance(belief, bite))
    return most(2.0 * approach.last_cut_mm, needed_mm + approach.least_cut_mm + SURE * spread)


def _step_mm(approach: Approach, belief: Belief) -> Each:
    """Travel of the smallest step of the scale in use. [mm]"""
    return chosen(belief.fine, approach.fine_step_mm, approach.step_mm)


def _needs_fine(approach: Approach, belief: Belief) -> Truth:
    """Whether whole steps of the usual handle leave too small a chance, and a finer feed is there.

    The chance is that of a last cut that comes to lie half a step off: scatter of a cut, the gauge, and the spring, of
    which the cut before will have told something. A dial whose steps take little from it is fine enough, however small
    the chance is.
    """
    usual = not_(belief.fine) & (approach.fine_step_mm > 0.0)
    if not anywhere(usual):
        return usual
    last, gauge = approach.last_cut_mm, approach.habit.gauge_bias_mm / approach.per_travel
    spring = UNLEARNED * UNLEARNED * belief.covariance[Unknown.SPRING][Unknown.SPRING] * last * last
    spread = root(moves.cut_variance(belief, approach, last) + spring + gauge * gauge)
    inside, far = chances(approach, approach.step_mm / 2.0, spread)
    at_target, _ = chances(approach, 0.0, spread)
    is_coarse = at_target - inside > STEP_COST * (1.0 - approach.wanted_chance)
    return usual & is_coarse & ((inside < approach.wanted_chance) | (far > approach.far_chance))


def readings_for(approach: Approach, belief: Belief, *, goes_on: Truth) -> Each:
    """Readings to take at a stop: until their mean is sure enough, fewer where much is still to come off."""
    goal = READ_SHARE / 2.0 * (approach.upper_mm - approach.lower_mm)
    wanted = -below(-belief.spread_sum / (belief.spread_freedom * goal * goal))
    few = float(LEAST_READINGS)
    return chosen(goes_on, few, least(most(wanted, few), float(approach.most_readings)))


def wait_s(approach: Approach, belief: Belief) -> Each:
    """How long to wait until warmth counts no more; 0 if it does not. [s]"""
    allowed = HEAT_SHARE * (approach.upper_mm - approach.lower_mm)
    warm = size_of(belief.mean[Unknown.WARM]) + 2.0 * belief.spread_of(Unknown.WARM)
    wait = approach.habit.cool_slow_s * natural_log(most(warm / allowed, 1.0))
    return chosen(wait > 1.0, wait, 0.0)
