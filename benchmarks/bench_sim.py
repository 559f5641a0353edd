"""How many cuts a second the virtual lathes make, each with a reading, and how that grows with lathes and cuts.

Times are those of one process on one core, the least of several repeats. Linear means: ten times the lathes, or ten
times the cuts, take at most ten times as long. Exits with 1 if a target is missed.
"""

from __future__ import annotations

import sys
import time

import numpy as np

from handwheel.sim.envelope import DEFAULT
from handwheel.sim.lathes import draw_lathes
from handwheel.sim.machine import Machine

LEAST_PER_S = 1_000_000
"""Cuts with a reading each: five times what a rehearsal must reach together with its advice."""
LATHES = 10_000
CUTS = 20
TIMES = 10
REPEATS = 5
NOISE = 1.25
"""What a busy machine, and arrays that no longer fit its caches, may add to a ratio."""


def worked_s(lathes: int, cuts: int) -> float:
    """Least time over some repeats for so many cuts, each with a reading, on so many lathes. [s]"""
    taken = []
    for _ in range(REPEATS):
        rng = np.random.default_rng(1)
        machine = Machine(draw_lathes(lathes, DEFAULT, rng), rng)
        at = machine.everyone
        machine.touch(at)
        start = time.process_time()
        for number in range(cuts):
            machine.cut(at, 1.0 + number / TIMES)
            machine.read(at)
        taken.append(time.process_time() - start)
    return min(taken)


def main() -> int:
    """Print cuts a second and growth; return 1 if a target is missed."""
    base_s = worked_s(LATHES, CUTS)
    per_s = LATHES * CUTS / base_s
    is_well = per_s >= LEAST_PER_S
    print(f"{LATHES:,} lathes, {CUTS} cuts with a reading each: {per_s:,.0f} a second (target {LEAST_PER_S:,})")
    for name, lathes, cuts in (("lathes", TIMES * LATHES, CUTS), ("cuts", LATHES, TIMES * CUTS)):
        growth = worked_s(lathes, cuts) / base_s
        is_well &= growth <= TIMES * NOISE
        print(f"  {TIMES} times the {name}: {growth:.1f} times as long (at most {TIMES})")
    return 0 if is_well else 1


if __name__ == "__main__":
    sys.exit(main())
