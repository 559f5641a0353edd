"""The whole judgement, five seeds of 10,000 lathes in every envelope: ``python -m tests.rehearsal.whole``.

Prints the tables of docs/theory/approach.md and ends with status 1 if what must hold does not.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from math import erf, sqrt

import numpy as np
from msgspec.structs import replace

from handwheel.rehearsal.plain import HABITS, Setting
from handwheel.sim.envelope import DEFAULT
from tests.rehearsal.trials import (
    ENVELOPES,
    SEEDS,
    WHOLE,
    Result,
    Trial,
    advised,
    best_plainly,
    knowing,
    plainly,
    result_of,
)

LEAST_GOOD, MOST_SPOILED = 99.0, 0.5
MOST_MORE = 2.0
WAYS = ((Setting.BETWEEN, False), (Setting.WHOLE, False), (Setting.WHOLE, True), (Setting.FINE, True))
LEVELS = (0.50, 0.68, 0.90, 0.95, 0.99)
POINTS = 2.0


def sigmas_for(level: float) -> float:
    """Half width, in standard deviations, of the interval that holds so much of a normal distribution."""
    low, high = 0.0, 10.0
    for _ in range(60):
        middle = (low + high) / 2.0
        low, high = (middle, high) if erf(middle / sqrt(2.0)) < level else (low, middle)
    return low


def row(name: str, result: Result) -> str:
    """A line of the table."""
    return (
        f"| {name} | {result.good:.2f} | {result.spoiled:.2f} | {result.cuts:.0f} | {result.stops:.0f} "
        f"| {result.waited_s / 60.0:.0f} |"
    )


def judged(lathes: int, seeds: Sequence[int]) -> list[str]:
    """Print the results; return what does not hold."""
    faults: list[str] = []
    print("| who, where | good % | spoiled % | cuts | stops | minutes of cooling |")
    print("| --- | --- | --- | --- | --- | --- |")
    for name, (envelope, habit) in ENVELOPES.items():
        trials = [advised(envelope, seed=seed, lathes=lathes, changes={"habit": habit}) for seed in seeds]
        machines = [trial.machine for trial in trials]
        ours = result_of(machines)
        print(row(f"the advice, {name}", ours))
        helpers = [knowing(envelope, seed=seed, lathes=lathes) for seed in seeds]
        print(row(f"the helper who knows, {name}", result_of(helpers)))
        pairs = list(zip(machines, helpers, strict=True))
        more_cuts = np.median(np.concatenate([one.cuts - other.cuts for one, other in pairs]))
        more_stops = np.median(np.concatenate([one.stops - other.stops for one, other in pairs]))
        plain, its = best_plainly(envelope, seeds=seeds, lathes=lathes)
        cooled = "cooled" if plain.cools else "not cooled"
        print(row(f"best plain habit ({plain.name}, {plain.setting.value}, {cooled}), {name}", its))
        print(f"  more than the helper, at the median: {more_cuts:.0f} cuts, {more_stops:.0f} stops")
        if ours.good < its.good:
            faults.append(f"{name}: {ours.good:.2f} % good, the best plain habit {its.good:.2f} %")
        if name == "micrometer":
            faults += _strict(trials, ours, float(more_cuts), float(more_stops))
    print("\n| plain habit | between the marks | whole marks | whole marks, cooled | fine feed, cooled |")
    print("| --- | --- | --- | --- | --- |")
    for plain in HABITS:
        found = [
            plainly(DEFAULT, replace(plain, setting=setting, cools=cools), seeds=seeds, lathes=lathes)
            for setting, cools in WAYS
        ]
        print(f"| {plain.name} | " + " | ".join(f"{one.good:.1f} ({one.spoiled:.1f})" for one in found) + " |")
    return faults


def _strict(trials: Sequence[Trial], ours: Result, more_cuts: float, more_stops: float) -> list[str]:
    """What must hold with a micrometer and does not."""
    faults = []
    if ours.good < LEAST_GOOD or ours.spoiled > MOST_SPOILED:
        faults.append(f"micrometer: {ours.good:.2f} % good, {ours.spoiled:.2f} % spoiled")
    if more_cuts > MOST_MORE or more_stops > MOST_MORE:
        faults.append(f"micrometer: {more_cuts:.0f} more cuts, {more_stops:.0f} more stops than the helper")
    off = np.abs(np.concatenate([trial.surprises for trial in trials]))
    held = {level: 100.0 * float(np.mean(off < sigmas_for(level))) for level in LEVELS}
    print("  held: " + ", ".join(f"{100 * level:.0f} % → {found:.1f} %" for level, found in held.items()))
    faults += [
        f"intervals of {100 * level:.0f} % hold {found:.1f} %"
        for level, found in held.items()
        if abs(found - 100.0 * level) > POINTS
    ]
    past = sum(int(trial.is_past.sum()) for trial in trials)
    stated = sum(float(trial.far_chances.sum()) for trial in trials)
    count = sum(len(trial.is_past) for trial in trials)
    print(f"  cuts that passed the far limit: {past} of {count}; stated were {stated:.0f}")
    if past > stated + 3.0 * sqrt(stated):
        faults.append(f"{past} cuts passed the far limit, {stated:.0f} were stated")
    return faults


def main() -> int:
    """Judge; 1 if what must hold does not."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--lathes", type=int, default=WHOLE)
    faults = judged(asked.parse_args().lathes, SEEDS)
    print("\n" + ("\n".join(faults) if faults else "What must hold holds."))
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
