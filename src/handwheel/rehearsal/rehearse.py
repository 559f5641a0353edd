"""A sheet rehearsed: every size on the same virtual lathes, then what could be done otherwise, on those again."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor
from math import sqrt

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from handwheel.domain.beliefs import Beliefs
from handwheel.domain.errors import OutOfRangeError, require_positive
from handwheel.domain.plan import Sheet
from handwheel.rehearsal.counting import Z, chance_of, to_make
from handwheel.rehearsal.courses import courses_of, gauges_of
from handwheel.rehearsal.remedies import Try, tries_for
from handwheel.rehearsal.result import Bound, NotRehearsed, Rehearsal, Remedy, SizeChance
from handwheel.rehearsal.scenario import Made, Scenario, rehearse_size
from handwheel.rehearsal.world import world_of

USUAL_LATHES = 10_000
MOST_LATHES = 10_000_000
"""More take hours and tell nothing more; own judgement."""
CHUNK = 2_500
"""Lathes that are worked at a time: enough for arrays to pay, few enough to share out. It is part of the result."""
MOST_SIZES = 2
"""For so many of the sizes that fail most it is tried what helps."""
WORTH = 0.001
"""Sizes that fail less often than this need no remedy; own judgement. [share]"""

Said = Callable[[str], None]


class _Task(Struct, frozen=True, kw_only=True):
    """Scenarios on one chunk of lathes; what a worker gets."""

    scenarios: tuple[Scenario, ...]
    count: int
    seed: np.random.SeedSequence


def rehearse(
    sheet: Sheet,
    beliefs: Beliefs,
    *,
    lathes: int = USUAL_LATHES,
    seed: int = 0,
    wanted: int | None = None,
    executor: Executor | None = None,
    said: Said | None = None,
) -> Rehearsal:
    """Rehearse a sheet on virtual lathes like the shop's.

    Parameters
    ----------
    sheet : Sheet
        The sheet of a plan.
    beliefs : Beliefs
        The shop that it was made for, and what was learned at its lathe.
    lathes : int
        How many virtual lathes.
    seed : int
        Settles which.
    wanted : int, optional
        Good parts wanted; as many as the part says if it is not given.
    executor : Executor, optional
        Who works; here, one chunk after the other, without. It changes no result.
    said : callable, optional
        Told what is being done.

    Returns
    -------
    Rehearsal
        Chances, the risky step, remedies, how many to make.

    Raises
    ------
    OutOfRangeError
        If no lathe is asked for, or too many, or nothing on the sheet can be rehearsed.

    Notes
    -----
    A size's lathes hang on seed and chunk alone, so that each remedy meets the same ones. Time grows with
    lathes · cuts.
    """
    _require_sensible(lathes, seed, wanted)
    courses, unplayed = courses_of(sheet, beliefs.shop)
    if not courses:
        msg = "no size of this sheet is cut by a path that the virtual lathe knows; there is nothing to rehearse"
        raise OutOfRangeError(msg)
    world = world_of(courses, sheet.part, beliefs, gauges=gauges_of(courses))
    planned = tuple(Scenario(course=one, world=world, beliefs=beliefs) for one in courses)
    runner = _Runner(lathes=lathes, seed=seed, executor=executor, said=said or _quiet)
    made = runner.run(planned, doing="rehearsing the sheet")
    sizes = tuple(_size(scenario, one) for scenario, one in zip(planned, made, strict=True))
    all_good = np.logical_and.reduce([one.good for one in made])
    risky = sorted(range(len(sizes)), key=lambda place: sizes[place].good.value)
    risky = [place for place in risky if 1.0 - sizes[place].good.value >= WORTH][:MOST_SIZES]
    worst = sizes[risky[0]] if risky else None
    return Rehearsal(
        part=sheet.part.name,
        shop=beliefs.shop.name,
        lathes=lathes,
        seed=seed,
        chance=chance_of(int(all_good.sum()), lathes),
        sizes=sizes,
        risk="" if worst is None else worst.size,
        risk_step="" if worst is None else worst.step,
        remedies=_remedies(runner, planned, made, risky),
        to_make=to_make(float(all_good.mean()), wanted=wanted or sheet.part.quantity),
        not_rehearsed=tuple(NotRehearsed(size=one.feature.id, why=one.why) for one in unplayed),
        bounds=tuple(Bound(what=one.what, words=one.words, standing=one.standing) for one in world.whose),
    )


def _require_sensible(lathes: int, seed: int, wanted: int | None) -> None:
    require_positive("lathes", lathes, unit="lathes")
    if lathes > MOST_LATHES:
        msg = f"lathes: got {lathes}, must be {MOST_LATHES} at most; {USUAL_LATHES} tell a chance to one in a hundred"
        raise OutOfRangeError(msg)
    if seed < 0:
        msg = f"seed: got {seed}, must be 0 or more"
        raise OutOfRangeError(msg)
    if wanted is not None:
        require_positive("wanted", wanted, unit="parts")


def _quiet(_doing: str) -> None:
    """Tell nobody."""


class _Runner:
    """Plays scenarios on all chunks, by whoever works, always in the same order."""

    def __init__(self, *, lathes: int, seed: int, executor: Executor | None, said: Said) -> None:
        self._counts = [min(CHUNK, lathes - start) for start in range(0, lathes, CHUNK)]
        self._seeds = np.random.SeedSequence(seed).spawn(len(self._counts))
        self._executor, self._said = executor, said

    def run(self, scenarios: Sequence[Scenario], *, doing: str) -> tuple[Made, ...]:
        """What came of each scenario on all lathes."""
        tasks = [
            _Task(scenarios=tuple(scenarios), count=count, seed=seed)
            for count, seed in zip(self._counts, self._seeds, strict=True)
        ]
        done: list[tuple[Made, ...]] = []
        for made in self._results(tasks):
            done.append(made)
            self._said(f"{doing}: {len(done)} of {len(tasks)} lots")
        return tuple(_joined([chunk[place] for chunk in done]) for place in range(len(scenarios)))

    def _results(self, tasks: Sequence[_Task]) -> Iterator[tuple[Made, ...]]:
        if self._executor is None:
            return map(play_task, tasks)
        return self._executor.map(play_task, tasks)


def play_task(task: _Task) -> tuple[Made, ...]:
    """Play the scenarios of one chunk; a worker's whole job."""
    return tuple(rehearse_size(one, task.count, task.seed) for one in task.scenarios)


def _joined(parts: Sequence[Made]) -> Made:
    return Made(
        good=np.concatenate([part.good for part in parts]),
        spoiled=np.concatenate([part.spoiled for part in parts]),
        passed=np.concatenate([part.passed for part in parts]),
        cuts=np.concatenate([part.cuts for part in parts]),
        stops=np.concatenate([part.stops for part in parts]),
        waited_s=np.concatenate([part.waited_s for part in parts]),
    )


def _size(scenario: Scenario, made: Made) -> SizeChance:
    course, count = scenario.course, len(made.good)
    good, spoiled = int(made.good.sum()), int(made.spoiled.sum())
    return SizeChance(
        size=course.key,
        step=course.step,
        good=chance_of(good, count),
        spoiled=chance_of(spoiled, count),
        left=chance_of(count - good - spoiled, count),
        misjudged=float((made.passed & ~made.good).mean()),
        cuts=float(made.cuts.mean()),
        stops=float(made.stops.mean()),
        waited_s=float(made.waited_s.mean()),
    )


def _remedies(
    runner: _Runner, planned: Sequence[Scenario], made: Sequence[Made], risky: Sequence[int]
) -> tuple[Remedy, ...]:
    """What each thing done otherwise brings, for the sizes that fail most; the most helpful first."""
    tries = [(place, one) for place in risky for one in tries_for(planned[place])]
    if not tries:
        return ()
    replayed = runner.run([one.scenario for _, one in tries], doing="trying what helps")
    found = [
        _remedy(one, [each.good for each in made], place, again.good)
        for (place, one), again in zip(tries, replayed, strict=True)
    ]
    return tuple(sorted(found, key=lambda one: -one.gain))


def _remedy(tried: Try, good: Sequence[npt.NDArray[np.bool_]], place: int, again: npt.NDArray[np.bool_]) -> Remedy:
    """Gain of the part's chance, lathe by lathe, so that what the lathes differ in is in both."""
    before = np.logical_and.reduce(list(good))
    after = np.logical_and.reduce([*good[:place], again, *good[place + 1 :]])
    gain = after.astype(np.float64) - before
    half = Z * float(gain.std()) / sqrt(len(gain))
    middle = float(gain.mean())
    return Remedy(
        code=tried.code,
        size=tried.scenario.course.key,
        words=tried.words,
        chance=float(after.mean()),
        gain=middle,
        gain_low=middle - half,
        gain_high=middle + half,
    )
