"""What a reading at a stop of a sheet asks for: the bench's advice, said in what the sheet can do next."""

from __future__ import annotations

from collections.abc import Callable
from math import ceil

from msgspec import Struct
from msgspec.structs import replace

from handwheel.bench import moves
from handwheel.bench.advice import Advice, Next, advise, needed_mm, readings_for, wait_s
from handwheel.bench.approach import Approach
from handwheel.bench.asking.ability import gauge_decides
from handwheel.bench.at_stop import DEEPER, approach_at, belief_at
from handwheel.bench.belief import Belief, Unknown
from handwheel.bench.runs import BandAct, Judge
from handwheel.bench.stops import Stop
from handwheel.bench.tables import DUST_MM, advice_table
from handwheel.domain.advice import AdviceTable, Do
from handwheel.domain.beliefs import Beliefs
from handwheel.domain.exact import Fraction
from handwheel.domain.shop import Shop

NEARLY_SURPRISED = 0.999
"""Share of the way to a surprise up to which beliefs lie on a line: rounding must not bring it beyond."""


MOST_COUNTS = 16
"""Where more steps of the scale than this lie in the band of a stop, a cut that is measured after is set to rounder
counts; ours, no source."""
WHOLES = (1, 2, 5, 10, 20, 50)
"""What such counts are whole multiples of: the least that leaves few enough. [steps]"""


class Bench(Struct, frozen=True, kw_only=True):
    """A stop made ready for its readings: what to wait first, how many to take, and what is believed until then.

    ``cool_s`` is how long the work is to cool before it is read [s], ``readings`` how many readings are to be taken, of
    which the mean counts.
    """

    stop: Stop
    approach: Approach
    before: Belief
    cool_s: float
    readings: int


def bench_at(stop: Stop, shop: Shop, *, beliefs: Beliefs | None = None) -> Bench:
    """The bench at a stop: the same for the tables on paper, for a walk, and for a rehearsal."""
    approach = approach_at(stop, shop, beliefs=beliefs)
    before = belief_at(stop, approach)
    decides = decides_size(stop)
    cool = float(60 * ceil(float(wait_s(approach, before)) / 60.0)) if decides else 0.0
    needed = _readings_to_decide(stop) if decides else 0
    return Bench(
        stop=stop,
        approach=approach,
        before=moves.waited(before, approach, cool),
        cool_s=cool,
        readings=max(int(readings_for(approach, before, goes_on=not decides)), needed),
    )


def _readings_to_decide(stop: Stop) -> int:
    """Readings from which on the bench asks no more whether they settle the tolerance; 0 where none would."""
    if stop.gauge is None:
        return 0
    tolerance = stop.upper_mm - stop.lower_mm
    return gauge_decides(stop.gauge, stop.use, size_mm=stop.expected_mm, tolerance_mm=tolerance) or 0


def decides_size(stop: Stop) -> bool:
    """Whether a last cut follows the reading, or none at all, so that it must be cold and sure."""
    if stop.final or _ends_here(stop):
        return True
    if stop.after.collar is None:
        return False
    size = stop.expected_mm + (1 if stop.grows else -1) * stop.per_travel * sum(cut.depth_mm for cut in stop.after.cuts)
    return len(stop.after.cuts) == 1 and stop.lower_mm <= size <= stop.upper_mm


def _ends_here(stop: Stop) -> bool:
    """Whether the size can be cut again here for the last time, though it is judged later: a shoulder, by its zero."""
    return stop.ready and stop.last and not stop.after.reamed and not stop.after.rubbed_mm


def table_at(stop: Stop, shop: Shop, *, beliefs: Beliefs | None = None) -> AdviceTable | None:
    """Advice table of a stop; ``None`` where the shop has no gauge to read."""
    bench = bench_at(stop, shop, beliefs=beliefs)
    return advice_table(stop, judge_of(bench), readings=bench.readings, cool_s=bench.cool_s, every=decides_size(stop))


def judge_of(bench: Bench) -> Judge:
    """Judge of the mean of the readings at a stop, as `handwheel.bench.tables.advice_table` asks it.

    What reads inside the limits is never called lost, however warm it is believed to be: it is read again.
    """
    stop, answer, believed = bench.stop, _answer_of(bench.stop), believed_after(bench)

    def at(reading_mm: float) -> BandAct:
        act = answer(bench, believed(reading_mm))
        inside = stop.lower_mm - DUST_MM <= reading_mm <= stop.upper_mm + DUST_MM
        return replace(act, do=Do.READ_AGAIN) if act.do is Do.STOP_LOST and inside else act

    return at


def believed_after(bench: Bench) -> Callable[[float], Belief]:
    """What `after_reading` says, worked out in full twice: but for surprises the rest lies on a line through both."""
    before, approach = bench.before, bench.approach
    expected = float(moves.expected_reading_mm(before, approach))
    reach = NEARLY_SURPRISED * float(moves.unsurprising_mm(before, approach, count=float(bench.readings)))
    middle, far = after_reading(bench, expected), after_reading(bench, expected + reach)
    slopes = [(there - here) / reach for here, there in zip(middle.mean, far.mean, strict=True)]

    def at(reading_mm: float) -> Belief:
        off = reading_mm - expected
        if abs(off) > reach:
            return after_reading(bench, reading_mm)
        mean = tuple(here + slope * off for here, slope in zip(middle.mean, slopes, strict=True))
        return replace(middle, mean=mean)

    return at


def after_reading(bench: Bench, mean_mm: float) -> Belief:
    """What is believed once the mean of so many readings as are wanted has been taken. [mm]

    How far apart they lie is not known on paper: they are taken to scatter as the gauge is believed to.
    """
    before, count = bench.before, float(bench.readings)
    squares = (count - 1.0) * before.spread_sum / before.spread_freedom
    return moves.read(before, bench.approach, mean_mm, count=count, sum_mm2=squares)


def _answer_of(stop: Stop) -> Callable[[Bench, Belief], BandAct]:
    if decides_size(stop):
        return _by_advice
    if stop.after.collar is not None:
        return _roughing_on
    if not stop.after.cuts and not stop.after.reamed:
        return _nothing_follows
    return _roughed if stop.ready else _set_anew


def _by_advice(bench: Bench, belief: Belief) -> BandAct:
    """Between the last cuts, and at the end: what the bench advises."""
    advice, left = advise(bench.approach, belief), float(belief.left_mm)
    match Next(int(advice.do)):
        case Next.GOOD:
            return BandAct(do=Do.GO_ON if _ends_here(bench.stop) and not bench.stop.final else Do.GOOD, left_mm=left)
        case Next.LOST:
            return BandAct(do=Do.STOP_LOST, left_mm=left)
        case Next.MEASURE:
            return BandAct(do=Do.READ_AGAIN, left_mm=left)
        case Next.COOL:
            return BandAct(do=Do.COOL, seconds=float(60 * ceil(float(advice.seconds) / 60.0)), left_mm=left)
        case Next.CUT if bench.stop.ready:
            return _cut_by(bench, belief, advice, left)
        case _:
            return BandAct(do=Do.STOP_ASK, left_mm=left)


def _cut_by(bench: Bench, belief: Belief, advice: Advice, left_mm: float) -> BandAct:
    """A cut as the sheet can make it: its own last one set from this reading, or one more before that."""
    steps, is_last = round(float(advice.steps)), bool(advice.last)
    if is_last and bench.stop.after.collar is not None:
        # the collar's 0 need not be where the sheet ends: short of it by what is cut, less what it then goes beyond
        return BandAct(do=Do.SET, marks=_marks(bench, steps - bench.stop.after.beyond_steps), left_mm=left_mm)
    return _cut_again(bench, steps if is_last else _coarse(bench, belief, steps), left_mm)


def _cut_again(bench: Bench, steps: int, left_mm: float) -> BandAct:
    """So many steps deeper than the last cut; a pass that goes no deeper is none, for metal may harden under it."""
    if steps < 1:
        return BandAct(do=Do.STOP_ASK, left_mm=left_mm)
    return BandAct(do=Do.CUT_AGAIN, marks=_marks(bench, steps), left_mm=left_mm)


def _coarse(bench: Bench, belief: Belief, steps: int) -> int:
    """Steps of a cut that is measured after, rounded down so that a table has few such counts on a fine scale.

    What it takes less the next cut takes. It stays as it is where it would then be thinner than what cuts.
    """
    stop, approach = bench.stop, bench.approach
    in_band = (stop.stop_high_mm - stop.stop_low_mm) / (stop.per_travel * float(approach.step_mm))
    whole = next((one for one in WHOLES if in_band <= MOST_COUNTS * one), WHOLES[-1])
    fewer = steps // whole * whole
    depth = float(moves.depth_at(belief, approach, fewer * approach.step_mm))
    return fewer if fewer > 0 and depth >= float(approach.least_cut_mm) else steps


def _roughing_on(bench: Bench, belief: Belief) -> BandAct:
    """Roughing goes on: the collar is set so that its 0 is the size that the sheet counts to."""
    stop, left = bench.stop, float(belief.left_mm)
    collar = stop.after.collar
    first = stop.after.cuts[0].depth_mm if stop.after.cuts else 0.0
    zero = stop.target_mm if collar is None else collar.zero_dia_mm
    more = (float(bench.approach.left_mm(stop.expected_mm)) - left) * -1.0
    if first + more > max(DEEPER * first, float(bench.approach.most_cut_mm)):
        steps = _coarse(bench, belief, _steps_of(bench, more))
        if steps > 0:  # what is over by less than half a step the next cut takes with it
            return _cut_again(bench, steps, left)
    if first + more <= 0.0:
        return BandAct(do=Do.STOP_ASK, left_mm=left)
    to_zero = left - float(bench.approach.left_mm(zero))
    return BandAct(do=Do.SET, marks=_marks_of(bench, to_zero), left_mm=left)


def _roughed(bench: Bench, belief: Belief) -> BandAct:
    """Roughing has ended and the tool still stands ready: cut the rest of it, go on, or stop if too little is left."""
    stop, left, approach = bench.stop, float(belief.left_mm), bench.approach
    expected = float(approach.left_mm(stop.expected_mm))
    kept = 1.0 - float(belief.mean[Unknown.SPRING])
    if left < float(needed_mm(approach, belief)):
        return BandAct(do=Do.STOP_ASK, left_mm=left)
    over = (left - expected) / kept
    if over >= float(approach.least_cut_mm):
        steps = _steps_of(bench, over - float(moves.depth_at(belief, approach, 0.0)))
        if steps > 0:
            return _cut_again(bench, _coarse(bench, belief, steps), left)
    return BandAct(do=Do.GO_ON, left_mm=left)


def _set_anew(bench: Bench, belief: Belief) -> BandAct:
    """The next cut counts from a zero that is still to be touched: one cut takes all, of more the sheet's own go.

    What lies inside the limits with less left than a tool can cut is good as it is.
    """
    stop, left, approach = bench.stop, float(belief.left_mm), bench.approach
    if left < -float(approach.far_mm) and not stop.after.reamed:
        return BandAct(do=Do.STOP_LOST, left_mm=left)
    if len(stop.after.cuts) != 1 or not stop.after.first_setting:
        return BandAct(do=Do.GO_ON, left_mm=left)
    if left <= float(approach.near_mm) and left < float(approach.least_cut_mm):
        return BandAct(do=Do.GOOD, left_mm=left)
    return BandAct(do=Do.SET, marks=_marks_of(bench, left), left_mm=left)


def _nothing_follows(bench: Bench, belief: Belief) -> BandAct:
    """No cut follows, but the size is not judged yet: what is over goes by hand, or the size was set as it is."""
    left = float(belief.left_mm)
    rubbed = bench.stop.after.rubbed_mm
    if left < -float(bench.approach.far_mm):
        return BandAct(do=Do.STOP_LOST, left_mm=left)
    too_much = left > float(bench.approach.near_mm) + DEEPER * rubbed
    return BandAct(do=Do.STOP_ASK if too_much else Do.GO_ON, left_mm=left)


def _steps_of(bench: Bench, travel_mm: float) -> int:
    """Steps of the scale nearest to a way of the tool square to the surface."""
    return round(travel_mm / float(bench.approach.step_mm))


def _marks_of(bench: Bench, travel_mm: float) -> Fraction:
    """Marks nearest to a way of the tool square to the surface. [marks]"""
    return _marks(bench, _steps_of(bench, travel_mm))


def _marks(bench: Bench, steps: int) -> Fraction:
    scale = bench.stop.scale
    return Fraction(steps) * (Fraction(1) if scale is None else scale.marks_per_step)
