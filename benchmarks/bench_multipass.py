"""The proven schedule of the multi-pass statement beside three general searches of SciPy, in one run.

Each search of SciPy works on the raw settings (speeds and feeds of both cuts, depth of the last) with penalties for
the limits, and is told the best number of passes, which the proof has to find. It is judged by the best point that
keeps every limit, and by when it first came within 1e-5 of the proven cost. Exits with 1 if a search finds a better
value than the proof, if a proof is not closed, or if a target of time is missed.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import time
from collections.abc import Callable, Sequence
from math import inf

from scipy import optimize

from handwheel.planner.optimum.laws import Limit
from handwheel.planner.optimum.multipass import Lives, Multipass
from handwheel.planner.optimum.proof import Schedule, cheapest
from tests.published.multipass import turning

CLOSE = 1e-5
"""How near the proof closes, and how near a search must come. [cost]"""
TIMES_FASTER = 20.0
"""Separate lives: how many times less than differential evolution the proof takes at least."""
MOST_AVERAGED_S = 2.0
"""Averaged lives: the proof takes this long at most on the machine of the project. [s]"""
REPEATS = 5
ROUND_OFF = 1e-9
"""What floats may be off by where a proof closes."""
KEPT = 1e-12
"""Share by which a search may miss a limit."""
PENALTY = 10.0
DEPTHS_MM = (6.0, 8.0, 10.0, 12.0)


class Searched:
    """The statement as a plain function of five settings; keeps the best point and when it was close."""

    def __init__(self, job: Multipass, depth_mm: float, proven: Schedule) -> None:
        self._job, self._depth_mm, self._proven = job, depth_mm, proven
        self.bounds = [job.speeds, job.feeds, job.speeds, job.feeds, job.depths]
        self._rough = [(limit, _powers(limit)) for limit in job.rough_limits]
        self._finish = [(limit, _powers(limit)) for limit in job.finish_limits]
        self._life = (job.life.coefficient, job.life.speed, job.life.feed, job.life.depth)
        self.best, self.close_s = inf, inf
        self._start = time.perf_counter()

    def __call__(self, settings: Sequence[float]) -> float:
        """Cost with penalties."""
        job, n = self._job, self._proven.rough_passes
        rough_v, rough_f, finish_v, finish_f, finish_d = (float(x) for x in settings)
        raw = (self._depth_mm - finish_d) / n
        rough_d = min(max(raw, job.depths[0]), job.depths[1])
        missed = abs(raw - rough_d) + max(0.0, job.depth_ratio * finish_d / rough_d - 1.0)
        missed += max(0.0, job.speed_ratio * rough_v / finish_v - 1.0)
        missed += max(0.0, job.feed_ratio * finish_f / rough_f - 1.0)
        c, a, b, g = self._life
        lives = []
        for (v, f, d), limits in (
            ((rough_v, rough_f, rough_d), self._rough),
            ((finish_v, finish_f, finish_d), self._finish),
        ):
            life = c * v**a * f**b * d**g
            lives.append(life)
            missed += max(0.0, job.lives[0] / life - 1.0) + max(0.0, life / job.lives[1] - 1.0)
            for limit, (k, x, y, z) in limits:
                value = k * v**x * f**y * d**z
                missed += max(0.0, (value / limit.bound if limit.most else limit.bound / value) - 1.0)
        times = n * job.path / (rough_v * rough_f), job.path / (finish_v * finish_f)
        if job.counted is Lives.SEPARATE:
            edges = times[0] / lives[0] + times[1] / lives[1]
        else:
            edges = sum(times) / (job.rough_weight * lives[0] + (1.0 - job.rough_weight) * lives[1])
        cost = job.economy.cost(n + 1, cutting_min=sum(times), edges=edges)
        if missed <= KEPT and cost < self.best:
            self.best = cost
            if self.close_s == inf and cost <= self._proven.cost + CLOSE:
                self.close_s = time.perf_counter() - self._start
        return cost + PENALTY * missed


def _powers(limit: Limit) -> tuple[float, float, float, float]:
    return limit.law.coefficient, limit.law.speed, limit.law.feed, limit.law.depth


SEARCHES: dict[str, Callable[[Searched, int], object]] = {
    "differential evolution": lambda f, seed: optimize.differential_evolution(
        f, f.bounds, rng=seed, maxiter=400, tol=1e-10, polish=False
    ),
    "dual annealing": lambda f, seed: optimize.dual_annealing(f, f.bounds, rng=seed, maxiter=400),
    "SHGO": lambda f, _seed: optimize.shgo(f, f.bounds, n=128, iters=3, sampling_method="sobol"),
}


def main() -> int:
    """Print the table; return 1 if something is missed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="one depth for each kind of lives")
    depths = DEPTHS_MM[1:2] if parser.parse_args().quick else DEPTHS_MM
    is_well = True
    for counted in Lives:
        for depth in depths:
            is_well &= compare(counted, depth)
    return 0 if is_well else 1


def timed(job: Multipass, depth_mm: float) -> tuple[Schedule, float]:
    """A proof that closes as far as a search must come, and the median of its times. [s]"""
    taken = []
    for _ in range(REPEATS):
        start = time.perf_counter()
        cheapest(job, depth_mm, gap=CLOSE)
        taken.append(time.perf_counter() - start)
    return cheapest(job, depth_mm, gap=CLOSE), statistics.median(taken)


def compare(counted: Lives, depth_mm: float) -> bool:
    """Prove one job and let the searches of SciPy try it; whether every target is met."""
    job = turning(counted=counted)
    proven, own_s = timed(job, depth_mm)
    exact = cheapest(job, depth_mm)
    print(
        f"{counted.value} lives, {depth_mm:g} mm: cost {exact.cost:.9f}, bound {exact.bound:.9f}, "
        f"{exact.rough_passes} + 1 passes; to {CLOSE:g} in {proven.boxes} boxes, {own_s * 1e3:.1f} ms"
    )
    is_well = proven.gap <= CLOSE * (1.0 + ROUND_OFF) and (counted is Lives.SEPARATE or own_s <= MOST_AVERAGED_S)
    for name, search in SEARCHES.items():
        searched = Searched(job, depth_mm, exact)
        start = time.perf_counter()
        search(searched, 1)
        whole_s = time.perf_counter() - start
        close = f"close after {searched.close_s:6.2f} s" if searched.close_s < inf else "never close      "
        print(f"  {name:<23} best {searched.best:.9f}, {close}, {whole_s:6.2f} s in all", flush=True)
        is_well &= searched.best >= exact.bound
        if name.startswith("differential") and counted is Lives.SEPARATE:
            ratio = searched.close_s / own_s
            print(f"  the proof takes {ratio:.0f} times less than differential evolution (target {TIMES_FASTER:g})")
            is_well &= ratio >= TIMES_FASTER
    return is_well


if __name__ == "__main__":
    sys.exit(main())
