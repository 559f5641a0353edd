"""Lathes worked by the advice, by plain habits and by the helper who knows, from the same seeds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from math import sqrt

import numpy as np
import numpy.typing as npt
from msgspec import Struct
from msgspec.structs import replace

from handwheel.bench.approach import Approach, Habit, Prior
from handwheel.rehearsal.knowing import work_knowingly
from handwheel.rehearsal.plain import HABITS, Plain, Setting, work_plainly
from handwheel.rehearsal.player import Pass, Played, approach_of, play
from handwheel.sim.envelope import BLANK_SD_DIA_MM, DEFAULT, DRIFTING, HEAVY_TAILED, LOOSE_GIB, TELESCOPING, Envelope
from handwheel.sim.lathes import draw_lathes
from handwheel.sim.machine import Machine

Floats = npt.NDArray[np.float64]

SEEDS = (101, 102, 103, 104, 105)
"""Nothing was tuned on these: the constants of the advice were found on seeds from 0 on."""
SLICE = 2_000
WHOLE = 10_000
LEAST_CUT_MM, LAST_CUT_MM, MOST_CUT_MM = 0.05, 0.08, 0.5
LEAVES_MM = (0.07, 0.1, 0.16, 0.25)
"""What roughing may leave a plain habit; the one that serves it best counts. [mm of travel]"""
TELESCOPING_HABIT = Habit(gauge_spread_mm=0.017)
"""Who holds a telescoping gauge knows that it is one: the middle of its class. [mm]"""
WIDE = DEFAULT.widened(2.0)
ENVELOPES: dict[str, tuple[Envelope, Habit]] = {
    "micrometer": (DEFAULT, Habit()),
    "telescoping gauge": (TELESCOPING, TELESCOPING_HABIT),
    "telescoping, believed a micrometer": (TELESCOPING, Habit()),
    "twice as wide": (WIDE, Habit()),
    "heavy tails": (HEAVY_TAILED, Habit()),
    "slow drift": (DRIFTING, Habit()),
    "loose gib": (LOOSE_GIB, Habit()),
}


class Trial(Struct, frozen=True, kw_only=True):
    """Lathes that have been worked by the advice: the truth, how it went, what was wanted."""

    machine: Machine
    played: Played
    approach: Approach

    @property
    def surprises(self) -> Floats:
        """After each round of readings, truth less belief in stated standard uncertainties."""
        return np.concatenate([(stop.true_left_mm - stop.left_mm) / stop.spread_mm for stop in self.played.stops])

    @property
    def far_chances(self) -> Floats:
        """Of each cut, the stated chance of passing the far limit."""
        return np.concatenate([one.far_chance for one in self.played.passes])

    @property
    def is_past(self) -> npt.NDArray[np.bool_]:
        """Of each cut, whether the far limit lies behind it."""
        far_mm = np.asarray(self.approach.far_mm)
        return np.concatenate([one.true_left_mm < -far_mm[one.places] for one in self.played.passes])

    @property
    def last_two(self) -> tuple[Floats, Floats]:
        """Depths of the last cut and of the one before it, as believed; ``nan`` for none. [mm of travel]"""
        last, before = np.full((2, self.machine.lathes.count), np.nan)
        for one in self.played.passes:
            before[one.places] = last[one.places]
            last[one.places] = one.depth_mm
        return last, before

    @property
    def ends_fine(self) -> npt.NDArray[np.bool_]:
        """Whether the last cut was made by fine feed."""
        fine = np.zeros(self.machine.lathes.count, dtype=np.bool_)
        for one in self.played.passes:
            fine[one.places] = one.fine
        return fine


class Result(Struct, frozen=True, kw_only=True):
    """What became of many lathes: shares in per cent, medians of what one lathe needed."""

    good: float
    spoiled: float
    cuts: float
    stops: float
    waited_s: float


def machine_of(envelope: Envelope, seed: int, lathes: int) -> Machine:
    """The same lathes whoever works them; blanks untouched."""
    rng = np.random.default_rng(seed)
    return Machine(draw_lathes(lathes, envelope, rng), rng)


def advised(
    envelope: Envelope = DEFAULT,
    *,
    seed: int = 0,
    lathes: int = SLICE,
    depths_mm: tuple[float, float, float] = (LEAST_CUT_MM, LAST_CUT_MM, MOST_CUT_MM),
    changes: Mapping[str, object] | None = None,
) -> Trial:
    """Lathes worked by the advice; ``depths_mm`` are least, last and most cut, ``changes`` are to the approach."""
    machine = machine_of(envelope, seed, lathes)
    least_mm, last_mm, most_mm = depths_mm
    usual = approach_of(machine, least_cut_mm=least_mm, last_cut_mm=last_mm, most_cut_mm=most_mm, habit=Habit())
    approach = replace(usual, **(changes or {}))
    start = Prior(value=approach.left_mm(machine.known.start_dia_mm), spread=BLANK_SD_DIA_MM)
    return Trial(machine=machine, played=play(machine, approach, start=start), approach=approach)


@cache
def slices(name: str) -> tuple[Trial, ...]:
    """One trial a seed in the envelope of that name, small enough for every run of the tests."""
    envelope, habit = ENVELOPES[name]
    return tuple(advised(envelope, seed=seed, changes={"habit": habit}) for seed in SEEDS)


def knowing(envelope: Envelope, *, seed: int, lathes: int, last_cuts: int = 1) -> Machine:
    """The same lathes worked by the helper who knows."""
    machine = machine_of(envelope, seed, lathes)
    work_knowingly(machine, last_cut_mm=LAST_CUT_MM, most_cut_mm=MOST_CUT_MM, last_cuts=last_cuts)
    return machine


def plainly(envelope: Envelope, habit: Plain, *, seeds: Sequence[int], lathes: int) -> Result:
    """The same lathes worked by a plain habit, with the roughing that serves it best."""

    def at(leave_mm: float) -> Result:
        machines = [machine_of(envelope, seed, lathes) for seed in seeds]
        for machine in machines:
            work_plainly(machine, habit, leave_mm=leave_mm, most_cut_mm=MOST_CUT_MM)
        return result_of(machines)

    return max((at(leave_mm) for leave_mm in LEAVES_MM), key=lambda result: result.good)


def variants(habit: Plain) -> Iterator[Plain]:
    """A plain habit by every way of setting the handle, without and with cooling."""
    for setting in Setting:
        for cools in (False, True):
            yield replace(habit, setting=setting, cools=cools)


def best_plainly(envelope: Envelope, *, seeds: Sequence[int], lathes: int) -> tuple[Plain, Result]:
    """The plain habit, of all there are, that makes most good parts."""
    every = [one for habit in HABITS for one in variants(habit)]
    results = [(habit, plainly(envelope, habit, seeds=seeds, lathes=lathes)) for habit in every]
    return max(results, key=lambda pair: pair[1].good)


def result_of(machines: Sequence[Machine]) -> Result:
    """What became of the lathes of some machines."""

    def all_of(field: str) -> Floats:
        return np.concatenate([getattr(machine, field) for machine in machines]).astype(np.float64)

    return Result(
        good=100.0 * float(np.mean(all_of("is_good"))),
        spoiled=100.0 * float(np.mean(all_of("is_spoiled"))),
        cuts=float(np.median(all_of("cuts"))),
        stops=float(np.median(all_of("stops"))),
        waited_s=float(np.median(all_of("waited_s"))),
    )


def allowance(share: float, count: int, *, sigmas: float = 3.0) -> float:
    """How far a share of so many may lie off by chance: three standard deviations of the binomial."""
    return sigmas * sqrt(share * (1.0 - share) / count)


def cuts_of(trials: Sequence[Trial]) -> Iterator[Pass]:
    """All rounds of cuts."""
    for trial in trials:
        yield from trial.played.passes
