"""Plan, check and replay many drawn cases: ``python -m tests.proof.run --cases 20000 --seed 1 --jobs 2``.

Prints shares, times, states visited and every failure with its number; ends with status 1 if there is any.
``--what`` asks other questions of the same cases: do they answer to a change as they must (``relations``), does the
order of the shop's lists show (``ties``), is any order of a small problem cheaper (``orders``), are changed sheets
caught or passed (``mutations``), do the PDFs say what the sheet says (``papers``). ``--keep FILE`` keeps what came of
each case, and a run that was stopped goes on from there. ``--case N`` shows one: the part as typed, how its shop
differs from its origin, and what became of it.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path

from msgspec import Struct

from tests.proof.cases import Promise, case_of, numbers
from tests.proof.kept import going_on
from tests.proof.mutated import mutation_faults
from tests.proof.papers import paper_faults
from tests.proof.relations import relation_faults
from tests.proof.small_orders import order_faults
from tests.proof.stock import base_named
from tests.proof.tally import lines
from tests.proof.ties import tie_faults
from tests.proof.trial import Outcome, Verdict, tried

CHUNK = 10
CASES = "cases"
QUESTIONS: dict[str, Callable[[int], list[str]]] = {
    "relations": relation_faults,
    "ties": tie_faults,
    "orders": order_faults,
    "mutations": mutation_faults,
    "papers": paper_faults,
}
"""What else is asked; of cases drawn feasible alone, since the others may have no plan."""


PROMISES = {promise.name.lower(): promise for promise in Promise}


def outcomes_of(cases: Sequence[int], *, jobs: int) -> Iterator[Outcome]:
    """Outcomes of many cases, spread over processes; each failure is told as soon as it is known."""
    with ProcessPoolExecutor(max_workers=jobs) as pool:
        for outcome in pool.map(tried, cases, chunksize=CHUNK):
            if outcome.verdict is Verdict.FAILED:
                print(f"case {outcome.number} failed", file=sys.stderr, flush=True)
            yield outcome


def faults_of(question: str, cases: Sequence[int], *, jobs: int) -> list[str]:
    """Wrong answers of many cases to another question."""
    with ProcessPoolExecutor(max_workers=jobs) as pool:
        return [fault for found in pool.map(QUESTIONS[question], cases, chunksize=CHUNK) for fault in found]


def differences(new: object, old: object, path: str = "") -> Iterator[str]:
    """Where one thing differs from another, field by field."""
    if isinstance(new, Struct) and isinstance(old, Struct) and type(new) is type(old):
        for field in new.__struct_fields__:
            yield from differences(getattr(new, field), getattr(old, field), f"{path}.{field}")
    elif isinstance(new, tuple):
        known = old if isinstance(old, tuple) else ()
        yield from (f"{path} + {thing}" for thing in new if thing not in known)
        yield from (f"{path} - {getattr(thing, 'id', thing)}" for thing in known if thing not in new)
    elif new != old:
        yield f"{path} = {new}"


def shown(number: int) -> Iterator[str]:
    """One case, to be read."""
    case, outcome = case_of(number), tried(number)
    yield f"case {number}, {case.promise.value}"
    yield case.draft.text
    yield from differences(case.shop, base_named(case.shop.name), "shop")
    yield f"{outcome.verdict.value}: {outcome.why}"


def main(arguments: Sequence[str] | None = None) -> int:
    """Run, print, return the status."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--cases", type=int, default=1000, help="how many (default 1000)")
    parser.add_argument("--seed", type=int, default=1, help="which million of cases (default 1)")
    parser.add_argument("--jobs", type=int, default=2, help="processes (default 2)")
    parser.add_argument("--what", choices=(CASES, *QUESTIONS), default=CASES, help="what is asked (default cases)")
    parser.add_argument("--only", choices=PROMISES, help="cases of one kind alone (default both, in turn)")
    parser.add_argument("--keep", type=Path, help="file that keeps the outcomes; those in it are not tried again")
    parser.add_argument("--case", type=int, help="show this one case")
    given = parser.parse_args(arguments)
    if given.case is not None:
        print("\n".join(shown(given.case)))
        return 0
    drawn = numbers(given.seed, given.cases, PROMISES.get(given.only))
    if given.what != CASES:
        asked = numbers(given.seed, given.cases // 2, Promise.FEASIBLE)
        faults = faults_of(given.what, asked, jobs=given.jobs)
        print("\n".join((*faults, f"{given.what} of {len(asked)} cases: {len(faults)} wrong")))
        return 1 if faults else 0
    tried_of = partial(outcomes_of, jobs=given.jobs)
    outcomes = list(tried_of(drawn) if given.keep is None else going_on(given.keep, drawn, tried_of))
    print("\n".join(lines(outcomes)))
    return 1 if any(item.verdict is Verdict.FAILED for item in outcomes) else 0


if __name__ == "__main__":
    sys.exit(main())
