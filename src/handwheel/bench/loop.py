"""One size from the first cut to the last, with somebody who does what is advised and reads the gauge."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from statistics import fmean

from msgspec import Struct

from handwheel.bench import moves
from handwheel.bench.advice import Advice, Next, advise
from handwheel.bench.approach import Approach, Prior, require_approach
from handwheel.bench.belief import Belief, beginning
from handwheel.domain.errors import InputError

MOST_ACTS = 200
"""More acts than this for one size mean that readings and cuts contradict each other."""
ENDS = (Next.GOOD, Next.LOST, Next.STUCK)


class Reached(Struct, frozen=True, kw_only=True):
    """How an approach has ended: ``do`` is GOOD, LOST or STUCK; what was advised, and what is believed at the end."""

    do: Next
    advised: tuple[Advice, ...]
    belief: Belief

    def size_mm(self, approach: Approach) -> float:
        """The size believed to be reached. [mm]"""
        return float(approach.reading_mm(self.belief.left_mm))


def after(approach: Approach, belief: Belief, advice: Advice, readings_mm: Sequence[float] = ()) -> Belief:
    """What is believed once an advice has been followed; for one lathe. Readings are those that it asked for. [mm]

    Raises
    ------
    InputError
        If readings were asked for and there are none.
    """
    match Next(int(advice.do)):
        case Next.MEASURE:
            if not readings_mm:
                msg = "the advice was to measure, and no reading came back; give one or more, in mm"
                raise InputError((msg,))
            mean = fmean(readings_mm)
            spread = sum((one - mean) ** 2 for one in readings_mm)
            return moves.read(belief, approach, mean, count=float(len(readings_mm)), sum_mm2=spread)
        case Next.COOL:
            return moves.waited(belief, approach, advice.seconds)
        case Next.SWING:
            return moves.touched(moves.swung(belief, approach), approach)
        case Next.EDGE:
            return moves.touched(moves.edge_changed(belief, approach), approach)
        case Next.CUT:
            step = approach.fine_step_mm if belief.fine else approach.step_mm
            return moves.cut(belief, approach, advice.steps * step)
        case _:
            return belief


def approach_size(
    approach: Approach, *, start_mm: float, start_spread_mm: float, at_the_lathe: Callable[[Advice], Sequence[float]]
) -> Reached:
    """Approach one size: ``at_the_lathe`` is told each next act and, where that is to measure, gives the readings.

    The tip has just touched the work, and the handle in use is set to 0 there.

    Parameters
    ----------
    approach : Approach
        What is wanted, and by which scales.
    start_mm, start_spread_mm : float
        Size before the first cut, as read, and its standard uncertainty. [mm]
    at_the_lathe : Callable
        Does the act; returns the readings [mm] that were taken, or nothing.

    Returns
    -------
    Reached
        How it ended.

    Raises
    ------
    InputError
        If no reading comes where one was asked for, or there is no end to it.
    OutOfRangeError
        If the approach makes no sense.

    Examples
    --------
    A lathe that springs a tenth of each cut away, and a gauge that is always right:

    >>> bush = Approach(
    ...     inside=True,
    ...     lower_mm=18.0,
    ...     upper_mm=18.05,
    ...     target_mm=18.025,
    ...     step_mm=0.005,
    ...     least_cut_mm=0.05,
    ...     last_cut_mm=0.08,
    ...     most_cut_mm=0.4,
    ... )
    >>> bore = [17.2]
    >>> def lathe(advice):
    ...     if advice.do == Next.CUT:
    ...         tip = 17.2 + 2 * 0.005 * advice.steps
    ...         bore[0] += 0.9 * (tip - bore[0])
    ...     return [bore[0]] * int(advice.readings)
    >>> reached = approach_size(bush, start_mm=17.2, start_spread_mm=0.02, at_the_lathe=lathe)
    >>> reached.do.name, 18.0 <= bore[0] <= 18.05
    ('GOOD', True)
    """
    require_approach(approach)
    left = Prior(value=float(approach.left_mm(start_mm)), spread=start_spread_mm / approach.per_travel)
    belief = moves.touched(beginning(approach, left=left), approach)
    advised: list[Advice] = []
    while len(advised) < MOST_ACTS:
        advice = advise(approach, belief)
        advised.append(advice)
        if Next(int(advice.do)) in ENDS:
            return Reached(do=Next(int(advice.do)), advised=tuple(advised), belief=belief)
        belief = after(approach, belief, advice, at_the_lathe(advice))
    msg = f"after {MOST_ACTS} acts the size is not reached: readings and cuts contradict each other; begin again"
    raise InputError((msg,))
