"""Judge every mutation of every demo sheet: ``python -m tests.replay.run_all_mutations``.

Prints how many of each sort were caught or passed, and every one that went astray: a wrong sheet that the check lets
through, or a harmless one that it refuses. Ends with status 1 if there is any. Takes some minutes.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass

from handwheel.check.replay import check_sheet
from tests.replay.mutation import Fate, Mutation, counts
from tests.replay.mutations import mutations_of
from tests.replay.sheets import DEMOS, job
from tests.replay.story import story


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What became of a mutation; ``counted`` is false if the simple replay did not bear its reason out."""

    job: str
    kind: str
    act: str
    why: str
    fate: Fate
    counted: bool
    refusals: tuple[str, ...]

    @property
    def astray(self) -> bool:
        """Whether the check said the wrong thing."""
        return self.counted and bool(self.refusals) is (self.fate is Fate.HARMLESS)


def outcome(mutation: Mutation) -> Outcome:
    """Have the check look at a mutated sheet."""
    it = job(mutation.job)
    counted = counts(mutation, story(mutation.job))
    report = check_sheet(mutation.sheet(it.sheet), it.shop) if counted else None
    refusals = () if report is None else tuple(f"{item.act} {item.code.value}" for item in report.refusals)
    return Outcome(
        job=mutation.job,
        kind=mutation.kind,
        act=mutation.act,
        why=mutation.why,
        fate=mutation.fate,
        counted=counted,
        refusals=refusals,
    )


def _outcomes(name: str) -> list[Outcome]:
    return [outcome(mutation) for mutation in mutations_of(name)]


def table(outcomes: Sequence[Outcome]) -> list[str]:
    """Counts by sort, a line each."""
    made = Counter((item.fate, item.kind) for item in outcomes)
    counted = Counter((item.fate, item.kind) for item in outcomes if item.counted)
    astray = Counter((item.fate, item.kind) for item in outcomes if item.astray)
    lines = [f"{'sort':42} {'fate':14} {'made':>6} {'count':>6} {'right':>6} {'astray':>6}"]
    for key in made:
        fate, kind = key
        right = counted[key] - astray[key]
        lines.append(f"{kind:42} {fate.value:14} {made[key]:6} {counted[key]:6} {right:6} {astray[key]:6}")
    return lines


def main() -> int:
    """Run all, print, return the status."""
    with ProcessPoolExecutor(max_workers=2) as pool:
        outcomes = [item for found in pool.map(_outcomes, DEMOS) for item in found]
    print("\n".join(table(outcomes)))
    astray = [item for item in outcomes if item.astray]
    for item in astray:
        print(f"ASTRAY {item.job}, {item.act}: {item.kind} ({item.fate.value}): {item.why}; {item.refusals[:3]}")
    counted = [item for item in outcomes if item.counted]
    caught = sum(item.fate is Fate.CAUGHT for item in counted)
    print(f"{len(counted)} mutations: {caught} wrong, {len(counted) - caught} harmless; {len(astray)} astray")
    return 1 if astray else 0


if __name__ == "__main__":
    sys.exit(main())
