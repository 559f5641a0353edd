"""Damage many part and shop files and judge what becomes of each: ``python -m tests.damage.run --files 5000``.

Prints how many were refused with a place, read exactly as they say, and every fault with its number; ``--file N``
shows one. Ends with status 1 if there is a fault.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from handwheel.service.demo import DEMO_PARTS, DEMO_SHOPS, demo_text
from handwheel.service.schemas.build import source_text
from tests.damage.damages import DAMAGES, drawn
from tests.damage.judge import Fate, Outcome, judge

SHOPS = Path(__file__).resolve().parents[1] / "shops"
OTHER_SHOPS = ("belts-computed", "readouts", "collets-only", "variable-speed")
"""Shops of the tests with tables that the demo shops lack."""
WISHES = ("every-key-finish", "every-key-fits", "every-key-step-wishes")
"""Parts with fits, finishes, metal left for later and edges that the demo parts lack."""
SOURCES = (*DEMO_PARTS, *WISHES, *DEMO_SHOPS, *OTHER_SHOPS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """One damaged file: its number, from which file, how it was damaged, what became of it."""

    number: int
    source: str
    damage: str
    content: bytes
    outcome: Outcome


@cache
def _text(name: str) -> str:
    if name in WISHES:
        return source_text(name)
    return (SHOPS / f"{name}.toml").read_text("utf-8") if name in OTHER_SHOPS else demo_text(name)


def tried(numbers: Sequence[int], *, seed: int, folder: Path) -> Iterator[Tried]:
    """Damage and judge files by their numbers; every source meets every damage."""
    for number in numbers:
        source = SOURCES[number // len(DAMAGES) % len(SOURCES)]
        damage, content = drawn(_text(source), number, seed=seed)
        is_part = source in {*DEMO_PARTS, *WISHES}
        outcome = judge(content, folder / f"{source}.toml", whole=_text(source), is_part=is_part)
        yield Tried(number=number, source=source, damage=damage, content=content, outcome=outcome)


def main(arguments: Sequence[str] | None = None) -> int:
    """Judge as many files as asked for, or show one."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--files", type=int, default=5000)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--file", type=int)
    given = options.parse_args(arguments)
    numbers = range(given.files) if given.file is None else [given.file]
    with tempfile.TemporaryDirectory() as folder:
        every = list(tried(numbers, seed=given.seed, folder=Path(folder)))
    if given.file is not None:
        sys.stdout.buffer.write(every[0].content + b"\n")
    fates = Counter(one.outcome.fate for one in every)
    for fate in Fate:
        print(f"{fates[fate]:6d}  {fate.value}")
    faults = [one for one in every if one.outcome.fate is Fate.FAULT]
    for one in faults:
        print(f"file {one.number} ({one.source}, {one.damage}): {one.outcome.why}")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
