"""How long the command line takes to answer, over the bare interpreter.

Each figure is the median of several fresh processes, so a cold first read of the disk does not count.
Exits with 1 if the command line adds more than the target.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time

RUNS = 9
TARGET_ADDED_S = 0.5
"""Waiting that a person at a keyboard does not yet notice as waiting; own judgement, no source."""

BARE = ("-c", "pass")
HELP = ("-m", "handwheel", "--help")


def elapsed_s(arguments: tuple[str, ...]) -> float:
    """Wall time of one fresh interpreter with these arguments. [s]"""
    start = time.perf_counter()
    subprocess.run((sys.executable, *arguments), check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - start


def median_s(arguments: tuple[str, ...]) -> float:
    """Median wall time over `RUNS` fresh interpreters. [s]"""
    return statistics.median(elapsed_s(arguments) for _ in range(RUNS))


def main() -> int:
    """Print both times and their difference; return 1 if the target is missed."""
    bare_s, help_s = median_s(BARE), median_s(HELP)
    added_s = help_s - bare_s
    verdict = "within" if added_s <= TARGET_ADDED_S else "ABOVE"
    print(f"bare interpreter    {bare_s * 1e3:4.0f} ms, median of {RUNS}")
    print(f"handwheel --help    {help_s * 1e3:4.0f} ms, median of {RUNS}")
    print(f"added by handwheel  {added_s * 1e3:4.0f} ms, {verdict} the target of {TARGET_ADDED_S} s")
    return 0 if added_s <= TARGET_ADDED_S else 1


if __name__ == "__main__":
    raise SystemExit(main())
