"""How long the command line takes to answer: its help over the bare interpreter, a ring size as a whole.

Each figure is the median of several fresh processes, so a cold first read of the disk does not count. The look-up of a
ring size is judged by ``import numpy`` in the same run, for a busy machine slows both alike.
Exits with 1 if a target is missed.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time

RUNS = 9
TARGET_ADDED_S = 0.5
"""Waiting that a person at a keyboard does not yet notice as waiting; own judgement, no source."""
TARGET_SIZE_S = 0.150
"""A ring size is looked up with the customer waiting; the target of this command on a quiet machine. [s]"""
MOST_IMPORTS = 1.0
"""The same in imports of numpy, one of which takes 133 ms on a quiet machine: the stricter of the two there."""

BARE = ("-c", "pass")
HELP = ("-m", "handwheel", "--help")
RING_SIZE = ("-m", "handwheel", "size", "US", "7")
NUMPY = ("-c", "import numpy")


def elapsed_s(arguments: tuple[str, ...]) -> float:
    """Wall time of one fresh interpreter with these arguments. [s]"""
    start = time.perf_counter()
    subprocess.run((sys.executable, *arguments), check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - start


def median_s(arguments: tuple[str, ...]) -> float:
    """Median wall time over `RUNS` fresh interpreters. [s]"""
    return statistics.median(elapsed_s(arguments) for _ in range(RUNS))


def main() -> int:
    """Print the times and what they come to; return 1 if a target is missed."""
    bare_s, help_s, size_s, numpy_s = (median_s(arguments) for arguments in (BARE, HELP, RING_SIZE, NUMPY))
    added_s = help_s - bare_s
    imports = size_s / numpy_s
    is_within = added_s <= TARGET_ADDED_S and imports <= MOST_IMPORTS
    print(f"bare interpreter    {bare_s * 1e3:4.0f} ms, median of {RUNS}")
    print(f"import numpy        {numpy_s * 1e3:4.0f} ms, median of {RUNS}")
    print(f"handwheel --help    {help_s * 1e3:4.0f} ms, median of {RUNS}")
    print(f"added by handwheel  {added_s * 1e3:4.0f} ms, {verdict(added_s, TARGET_ADDED_S)} of {TARGET_ADDED_S} s")
    print(
        f"handwheel size US 7 {size_s * 1e3:4.0f} ms, {verdict(size_s, TARGET_SIZE_S)} of {TARGET_SIZE_S} s when quiet"
    )
    print(f"import numpy times  {imports:4.2f}, {verdict(imports, MOST_IMPORTS)} of {MOST_IMPORTS}")
    return 0 if is_within else 1


def verdict(found: float, target: float) -> str:
    """Whether a figure is within its target."""
    return f"{'within' if found <= target else 'ABOVE'} the target"


if __name__ == "__main__":
    raise SystemExit(main())
