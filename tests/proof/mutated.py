"""Mutations of the sheets of drawn cases, judged by the check: wrong ones refused, harmless ones passed."""

from __future__ import annotations

from random import Random

from handwheel.check.replay import check_sheet
from handwheel.domain.errors import NoPlanError
from tests.replay.mutations import mutations_of, seeded_slice
from tests.replay.run_all_mutations import Outcome, outcome
from tests.replay.sheets import CASE, job


def mutated(number: int, *, most: int, seed: int) -> list[Outcome]:
    """Outcomes of some mutations, no two of a sort; none if the case has no sheet that passes as it is."""
    name = f"{CASE}{number}"
    try:
        it = job(name)
    except NoPlanError:
        return []  # the cases themselves are tried elsewhere
    if check_sheet(it.sheet, it.shop).refusals:
        return []  # likewise: a refusal of its mutations would prove nothing
    drawn = seeded_slice(mutations_of(name), each=1, seed=seed)
    chance = Random(seed)  # noqa: S311  a repeatable draw, no secret
    return [outcome(mutation) for mutation in chance.sample(drawn, min(most, len(drawn)))]


def mutation_faults(number: int, *, most: int = 200) -> list[str]:
    """Mutations of a case that went astray."""
    return [
        f"case {number}, {item.act}: {item.kind} ({item.fate.value}): {item.why}; {item.refusals[:3]}"
        for item in mutated(number, most=most, seed=number)
        if item.astray
    ]
