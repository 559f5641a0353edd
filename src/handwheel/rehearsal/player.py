"""Many virtual lathes worked by the bench's advice alone, readings asked for again where they look wrong."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from handwheel.bench import moves
from handwheel.bench.advice import Advice, Next, advise
from handwheel.bench.approach import Approach, Habit, Prior
from handwheel.bench.belief import Belief, beginning
from handwheel.bench.gate import is_off, is_unexpected
from handwheel.rehearsal.lots import Places, as_arrays, put, some_of, step_mm, taken
from handwheel.sim.machine import Machine

Floats = npt.NDArray[np.float64]
MOST_ROUNDS = 200
MOST_AGAIN = 4
"""How often a doubtful reading is taken again at one stop."""


class Stop(Struct, frozen=True, kw_only=True):
    """What was believed after one round of readings, and what was true: for judging how well beliefs hold. [mm]"""

    places: Places
    left_mm: Floats
    spread_mm: Floats
    true_left_mm: Floats


class Pass(Struct, frozen=True, kw_only=True):
    """A round of cuts: what was advised and believed before it, and what was true after it. [mm of travel]

    ``steps`` count from the zero of the scale in use, ``depth_mm`` is the depth believed, ``far_chance`` the stated
    chance of lying beyond the far limit afterwards, ``left_mm`` and ``spread_mm`` what was expected to be left.
    """

    places: Places
    fine: npt.NDArray[np.bool_]
    steps: Floats
    depth_mm: Floats
    far_chance: Floats
    left_mm: Floats
    spread_mm: Floats
    true_left_mm: Floats


class Played(Struct, frozen=True, kw_only=True):
    """How the lathes ended: the last advice, what is believed, the stops and the cuts on the way."""

    ended: npt.NDArray[np.intp]
    belief: Belief
    stops: tuple[Stop, ...]
    passes: tuple[Pass, ...]


class Ways(Struct, frozen=True, kw_only=True):
    """What is done otherwise than the bench says: factors on waiting and on readings; what is done before a reading.

    ``before_reading`` gets the places of the lathes that are about to be read, and changes the belief about them.
    """

    cooling: float = 1.0
    readings: float = 1.0
    before_reading: Callable[[Places, Belief], None] | None = None


AS_ADVISED = Ways()


def play(machine: Machine, approach: Approach, *, start: Prior) -> Played:
    """Work every lathe of a machine by the advice until it says stop; ``start`` is the metal left at first. [mm]"""
    count = machine.lathes.count
    belief = as_arrays(beginning(approach, left=start), count)
    machine.touch(machine.everyone)
    belief = as_arrays(moves.touched(belief, approach), count)
    return work(machine, approach, belief)


def work(machine: Machine, approach: Approach, belief: Belief, *, ways: Ways = AS_ADVISED) -> Played:
    """Go on with every lathe, a zero touched, by the advice until it says stop; the arrays of the belief change."""
    ended = np.full(machine.lathes.count, -1, dtype=np.intp)
    stops: list[Stop] = []
    passes: list[Pass] = []
    at = machine.everyone
    for _ in range(MOST_ROUNDS):
        if not len(at):
            break
        some, known = some_of(approach, at), taken(belief, at)
        advice = advise(some, known)
        do = np.asarray(advice.do).astype(np.intp)
        made = _cut(machine, at, do, advice, some, known, belief)
        if made is not None:
            passes.append(made)
        _wait(machine, at, do, ways.cooling * np.asarray(advice.seconds), some, known, belief)
        _swing(machine, at, do, some, known, belief)
        _change_edge(machine, at, do, some, known, belief)
        which = np.nonzero(do == Next.MEASURE)[0]
        if len(which):
            wanted = np.ceil(ways.readings * np.asarray(advice.readings)[which])
            stops.append(measure(machine, at[which], wanted, approach, belief, ways=ways))
        over = do >= Next.GOOD
        ended[at[over]] = do[over]
        at = at[~over]
    return Played(ended=ended, belief=belief, stops=tuple(stops), passes=tuple(passes))


def _cut(
    machine: Machine, at: Places, do: Places, advice: Advice, some: Approach, known: Belief, belief: Belief
) -> Pass | None:
    which = np.nonzero(do == Next.CUT)[0]
    if not len(which):
        return None
    part, its = taken(known, which), some_of(some, which)
    steps, fine = np.asarray(advice.steps)[which], np.asarray(part.fine)
    machine.cut(at[which], steps, fine=fine)
    put(belief, at[which], moves.cut(part, its, steps * step_mm(its, part)))
    return Pass(
        places=at[which],
        fine=fine,
        steps=steps,
        depth_mm=np.asarray(advice.depth_mm)[which],
        far_chance=np.asarray(advice.far_chance)[which],
        left_mm=np.asarray(its.left_mm(np.asarray(advice.expected_mm)[which])),
        spread_mm=np.asarray(advice.spread_mm)[which] / its.per_travel,
        true_left_mm=machine.metal_left_mm[at[which]],
    )


def _wait(
    machine: Machine, at: Places, do: Places, wanted_s: Floats, some: Approach, known: Belief, belief: Belief
) -> None:
    which = np.nonzero(do == Next.COOL)[0]
    if not len(which):
        return
    seconds = wanted_s[which]
    machine.wait(at[which], seconds)
    put(belief, at[which], moves.waited(taken(known, which), some_of(some, which), seconds))


def _swing(machine: Machine, at: Places, do: Places, some: Approach, known: Belief, belief: Belief) -> None:
    which = np.nonzero(do == Next.SWING)[0]
    if not len(which):
        return
    machine.swing(at[which])
    machine.touch(at[which], fine=True)
    its = some_of(some, which)
    put(belief, at[which], moves.touched(moves.swung(taken(known, which), its), its))


def _change_edge(machine: Machine, at: Places, do: Places, some: Approach, known: Belief, belief: Belief) -> None:
    which = np.nonzero(do == Next.EDGE)[0]
    if not len(which):
        return
    machine.change_edge(at[which])
    part, its = taken(known, which), some_of(some, which)
    for fine in (False, True):
        same = np.nonzero(np.asarray(part.fine) == fine)[0]
        if len(same):
            machine.touch(at[which][same], fine=fine)
    put(belief, at[which], moves.touched(moves.edge_changed(part, its), its))


def measure(
    machine: Machine, at: Places, wanted: Floats, approach: Approach, belief: Belief, *, ways: Ways = AS_ADVISED
) -> Stop:
    """Read some of the lathes so often each, as the bench asks, and take in what was read."""
    if ways.before_reading is not None:
        ways.before_reading(at, belief)
    part, its = taken(belief, at), some_of(approach, at)
    readings = settled_readings(machine, at, wanted, its, part)
    count = np.sum(~np.isnan(readings), axis=1).astype(np.float64)
    mean = np.nansum(readings, axis=1) / count
    squares = np.nansum((readings - mean[:, None]) ** 2, axis=1)
    now = moves.read(part, its, mean, count=count, sum_mm2=squares)
    put(belief, at, now)
    return Stop(
        places=at,
        left_mm=np.asarray(now.left_mm),
        spread_mm=np.asarray(now.left_spread_mm),
        true_left_mm=machine.metal_left_mm[at],
    )


def settled_readings(machine: Machine, at: Places, wanted: Floats, approach: Approach, belief: Belief) -> Floats:
    """Readings of a stop, ``nan`` where fewer are wanted; those that look wrong are taken again, as the bench asks.

    A reading off the others of its stop is taken again in its place. A stop whose mean is far from what was expected
    is read once more in full; what is then read counts.
    """
    readings = np.full((len(at), int(wanted.max())), np.nan)
    asked = np.arange(readings.shape[1])[None, :] < wanted[:, None]
    _fill(machine, at, readings, asked)
    for _ in range(MOST_AGAIN):
        off = is_off(readings, belief) & asked
        if not off.any():
            break
        _fill(machine, at, readings, off)
    strange = np.asarray(is_unexpected(np.nanmean(readings, axis=1), belief, approach))
    _fill(machine, at, readings, asked & strange[:, None])
    for _ in range(MOST_AGAIN):
        off = is_off(readings, belief) & asked
        if not off.any():
            break
        _fill(machine, at, readings, off)
    return readings


def _fill(machine: Machine, at: Places, readings: Floats, which: npt.NDArray[np.bool_]) -> None:
    """Take the readings that are wanted, a column at a time: one of each lathe."""
    for column in range(readings.shape[1]):
        rows = np.nonzero(which[:, column])[0]
        if len(rows):
            readings[rows, column] = machine.read(at[rows])


def approach_of(
    machine: Machine, *, least_cut_mm: float, last_cut_mm: float, most_cut_mm: float, habit: Habit
) -> Approach:
    """What the operators of a machine know of their task and their dials, with depths that they bear. [mm of travel]"""
    known = machine.known
    whole = np.ones(machine.lathes.count)
    return Approach(
        inside=known.inside,
        lower_mm=known.lower_dia_mm,
        upper_mm=known.upper_dia_mm,
        target_mm=known.target_dia_mm,
        step_mm=known.mark_mm,
        fine_step_mm=known.fine_mark_mm,
        least_cut_mm=least_cut_mm * whole,
        last_cut_mm=last_cut_mm * whole,
        most_cut_mm=most_cut_mm * whole,
        habit=habit,
    )
