"""How many cuts a second virtual lathes make by the bench's advice, and how long one advice takes.

Times are those of one process on one core, the least of several repeats. A cut counts with all that it takes: advice
before each act, readings, what is believed after them. Linear means: twice the lathes, or twice the cuts of a lathe,
take at most twice as long, or less where what every round costs is shared by more. Exits with 1 if a target is missed.
"""

from __future__ import annotations

import subprocess
import sys
import time

import numpy as np
from msgspec.structs import replace

from handwheel.bench import moves
from handwheel.bench.advice import advise
from handwheel.bench.approach import Approach, Habit, Prior
from handwheel.bench.belief import beginning
from handwheel.rehearsal.player import approach_of, play
from handwheel.sim.envelope import BLANK_SD_DIA_MM, DEFAULT
from handwheel.sim.lathes import draw_lathes
from handwheel.sim.machine import Machine
from handwheel.sim.spreads import fixed

LEAST_PER_S = 200_000
MOST_ADVICE_MS = 2.0
LATHES = 10_000
REPEATS = 5
ADVICES = 500
NOISE = 1.25
"""What a busy machine, and arrays that no longer fit its caches, may add to a ratio."""
COLD = (
    "import sys, handwheel.bench.advice, handwheel.bench.loop, handwheel.bench.gate\nsys.exit('numpy' in sys.modules)\n"
)


def played_s(lathes: int, to_remove_mm: float) -> tuple[float, int]:
    """Least time over some repeats for so many lathes with so much to remove, and the cuts that they made. [s]"""
    envelope = replace(DEFAULT, to_remove_mm=fixed(to_remove_mm)) if to_remove_mm else DEFAULT
    taken, cuts = [], 0
    for _ in range(REPEATS):
        rng = np.random.default_rng(1)
        machine = Machine(draw_lathes(lathes, envelope, rng), rng)
        approach = approach_of(machine, least_cut_mm=0.05, last_cut_mm=0.08, most_cut_mm=0.5, habit=Habit())
        left = Prior(value=approach.left_mm(machine.known.start_dia_mm), spread=BLANK_SD_DIA_MM)
        start = time.process_time()
        play(machine, approach, start=left)
        taken.append(time.process_time() - start)
        cuts = int(machine.cuts.sum())
    return min(taken), cuts


def advice_ms() -> float:
    """Least time of one advice for one lathe near its end, where all cuts are weighed. [ms]"""
    approach = Approach(
        inside=True,
        lower_mm=18.0,
        upper_mm=18.05,
        target_mm=18.025,
        step_mm=0.02,
        fine_step_mm=0.002,
        least_cut_mm=0.05,
        last_cut_mm=0.08,
        most_cut_mm=0.5,
    )
    belief = moves.touched(beginning(approach, left=Prior(value=0.17, spread=0.01)), approach)
    belief = moves.touched(moves.swung(belief, approach), approach)
    belief = moves.read(belief, approach, float(approach.reading_mm(0.17)), count=3.0)
    taken = []
    for _ in range(REPEATS):
        start = time.process_time()
        for _ in range(ADVICES):
            advise(approach, belief)
        taken.append(time.process_time() - start)
    return 1000.0 * min(taken) / ADVICES


def main() -> int:
    """Print cuts a second, growth, and the time of one advice; return 1 if a target is missed."""
    base_s, cuts = played_s(LATHES, 0.0)
    twice_s, twice_cuts = played_s(2 * LATHES, 0.0)
    for lathes, spent_s, made in ((LATHES, base_s, cuts), (2 * LATHES, twice_s, twice_cuts)):
        print(f"{lathes:,} lathes, {made / lathes:.1f} cuts each: {made / spent_s:,.0f} cuts a second ", end="")
        print(f"(target {LEAST_PER_S:,})")
    print(f"  twice the lathes: {twice_s / base_s:.2f} times as long (at most 2)")
    little_s, little_cuts = played_s(LATHES, 2.0)
    much_s, much_cuts = played_s(LATHES, 8.0)
    cuts_ratio = much_cuts / little_cuts
    print(f"  {cuts_ratio:.1f} times the cuts: {much_s / little_s:.2f} times as long (at most {cuts_ratio:.1f})")
    one_ms = advice_ms()
    print(f"one advice for one lathe: {one_ms:.2f} ms (target {MOST_ADVICE_MS:g})")
    loads = subprocess.run([sys.executable, "-c", COLD], check=False).returncode
    print(f"numpy loaded for it: {'yes' if loads else 'no'} (target no)")
    is_well = (
        max(cuts / base_s, twice_cuts / twice_s) >= LEAST_PER_S
        and twice_s <= 2.0 * NOISE * base_s
        and much_s <= cuts_ratio * NOISE * little_s
        and one_ms <= MOST_ADVICE_MS
        and not loads
    )
    return 0 if is_well else 1


if __name__ == "__main__":
    sys.exit(main())
