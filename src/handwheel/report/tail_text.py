"""The end of the sheet: times, findings, sources of the cautions, reasons for the numbers, what was proven."""

from __future__ import annotations

import re
from itertools import groupby
from math import floor, log10
from typing import TYPE_CHECKING

from handwheel.domain.findings import Finding, Reason, Severity
from handwheel.domain.size import MM_PER_INCH
from handwheel.report.caution_sources import caution_source_lines
from handwheel.report.layout import labelled, table, wrap
from handwheel.report.numbers import minutes_text, trimmed
from handwheel.report.wording import worded
from handwheel.report.words import plain, surface_words

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from handwheel.domain.plan import Plan, StepTime
    from handwheel.report.steps import NumberedStep

WEIGHT = {Severity.STOP: "STOP", Severity.WARNING: "WARNING", Severity.NOTE: "note"}
_KEY = re.compile(r"[a-z0-9-]+")
"""Key of a place, of a surface for one, whose hyphens part its words."""
FINDING_COLUMN = 11
MOST_PLACES = 6
"""Decimals of a spread at most."""
FIGURES_WIDTH = 36
"""Columns that the figures of the table of times need at most."""


def tail_lines(plan: Plan, steps: Sequence[NumberedStep], *, width: int) -> Iterator[str]:
    """Lay out the end of the sheet."""
    numbers = step_numbers(steps)
    yield "=" * width
    yield from times_lines(plan.times, numbers, width=width)
    yield " (measure: touching off and setting zeros are in it)"
    if plan.findings:
        yield ""
        yield " WHAT TO KNOW"
        for finding in by_weight(plan.findings):
            yield from finding_lines(finding, numbers, width=width)
    yield ""
    yield from caution_source_lines(plan.sheet, width=width)
    yield from reasons_lines(plan.reasons, numbers, width=width)
    yield ""
    yield from proof_lines(plan, width=width)
    yield "=" * width


def step_numbers(steps: Sequence[NumberedStep]) -> dict[str, int]:
    """Map the id of each step to the number under which it first stands on the sheet."""
    return {step.id: step.number for step in reversed(steps)}


def by_weight(findings: Sequence[Finding]) -> list[Finding]:
    """Findings in the order of their weight, what forbids the job first."""
    return sorted(findings, key=lambda found: list(WEIGHT).index(found.severity))


def times_lines(times: Sequence[StepTime], numbers: dict[str, int], *, width: int) -> list[str]:
    """Lay out the estimated minutes in columns; long titles are cut short."""
    rows = [(row[0], row[1][: width - FIGURES_WIDTH].rstrip(), *row[2:]) for row in times_rows(times, numbers)]
    return table(rows, right=frozenset({0, 2, 3, 4, 5}))


def times_rows(times: Sequence[StepTime], numbers: dict[str, int]) -> list[tuple[str, ...]]:
    """Heading, then estimated minutes of each step by its number, then their sums."""
    rows = [(str(numbers.get(time.step, "")), worded(plain(time.title)), *minutes_of((time,))) for time in times]
    head = ("", "MINUTES (estimate)", "ready", "cut", "measure", "all")
    return [head, *rows, ("", "together", *minutes_of(times))]


def minutes_of(times: Sequence[StepTime]) -> tuple[str, ...]:
    """Minutes to make ready, to cut, to measure, and in all, summed over these steps."""
    sums = (
        sum(time.setup_ms for time in times),
        sum(time.cutting_ms for time in times),
        sum(time.measuring_ms for time in times),
        sum(map(_total_ms, times)),
    )
    return tuple(map(minutes_text, sums))


def _total_ms(time: StepTime) -> int:
    return time.setup_ms + time.cutting_ms + time.measuring_ms


def finding_lines(finding: Finding, numbers: dict[str, int], *, width: int) -> Iterator[str]:
    """Lay out one finding: weight, place, problem; then what to do, and on whose word."""
    problem, remedy = finding_texts(finding, numbers)
    yield from labelled(WEIGHT[finding.severity], problem, width=width, column=FINDING_COLUMN)
    for line in wrap(f"do: {remedy}", width=width - FINDING_COLUMN):
        yield " " * FINDING_COLUMN + line


def finding_texts(finding: Finding, numbers: dict[str, int]) -> tuple[str, str]:
    """Where it bites and the problem; what to do, with code and source."""
    problem = f"{place_words(finding.where, numbers)}: {finding.problem}"
    return problem, f"{finding.remedy} [{finding.code}; {finding.source_key}]"


def reasons_lines(reasons: Sequence[Reason], numbers: dict[str, int], *, width: int) -> Iterator[str]:
    """Lay out the reasons step by step; the rules that they share stand once, below, by number."""
    if not reasons:
        return
    in_order = sorted(reasons, key=lambda reason: numbers.get(reason.where, 0))
    relations = list(dict.fromkeys(reason.relation for reason in in_order))
    yield ""
    yield " WHY THESE NUMBERS (in brackets the rule, below)"
    for where, group in groupby(in_order, key=lambda reason: reason.where):
        yield f" {place_words(where, numbers)}"
        for reason in group:
            yield from reason_lines(reason, relations.index(reason.relation) + 1, width=width)
    for number, relation in enumerate(relations, start=1):
        yield from labelled(f"({number})", relation, width=width, column=6)


def reason_lines(reason: Reason, rule: int, *, width: int, beside: bool = False) -> Iterator[str]:
    """Lay out one reason: the figure with the number of its rule, and below it what it rests on.

    ``beside``: also what stands beside the choice.
    """
    figure, ground = reason_texts(reason, rule)
    for line in wrap(figure, width=width - 5):
        yield f"     {line}"
    for text in (ground, *(reason.beside if beside else ())):
        for line in wrap(text, width=width - 9):
            yield f"         {line}"


def reason_texts(reason: Reason, rule: int) -> tuple[str, str]:
    """Say one reason: the figure, by which rule; from what, what holds it, how far sources spread, on whose word."""
    pieces = [", ".join(reason.inputs)]
    if reason.binds:
        pieces.append(f"held by {reason.binds}")
    if reason.low is not None and reason.high is not None:
        pieces += [spread_text(reason.low, reason.high, reason.unit)] if reason.low != reason.high else []
    pieces.append(f"{reason.source_key}, {reason.standing}")
    return f"{reason.quantity} = {reason.value} ({rule})", "; ".join(filter(None, pieces))


def spread_text(low: float, high: float, unit: str) -> str:
    """Two ends of a spread, with as many decimals as tell them apart by two digits; a length in both units.

    Examples
    --------
    >>> spread_text(98.9, 357.2, "N"), spread_text(30.861, 30.9118, "mm")
    ('spread 99 to 357 N', 'spread 30.861 to 30.912 mm (1.2150 to 1.2170 in)')
    """
    if unit != "mm":
        return f"spread {_two_digits(low, high)} {unit}".rstrip()
    inch = float(MM_PER_INCH)
    return f"spread {_two_digits(low, high)} mm ({_two_digits(low / inch, high / inch)} in)"


def _two_digits(low: float, high: float) -> str:
    digits = floor(log10(high - low)) if high > low else 0
    places = min(MOST_PLACES, max(0, 1 - digits))
    return f"{low:.{places}f} to {high:.{places}f}"


def three_digits(value: float) -> str:
    """Three digits of a figure that only informs.

    Examples
    --------
    >>> three_digits(1172.2), three_digits(0.016842)
    ('1170', '0.0168')
    """
    return trimmed(float(f"{value:.3g}"), places=6)


def place_words(where: str, numbers: dict[str, int]) -> str:
    """Say where something applies: the number of the step if it names one; a name keeps its hyphens.

    Examples
    --------
    >>> place_words("face-front", {"face-front": 2}), place_words("back-outer-edge", {})
    ('step 2', 'back outer edge')
    >>> place_words("Nickel-aluminium bronze", {})
    'Nickel-aluminium bronze'
    """
    if where in numbers:
        return f"step {numbers[where]}"
    return surface_words(where) if _KEY.fullmatch(where) else plain(where)


def proof_lines(plan: Plan, *, width: int) -> Iterator[str]:
    """Lay out what was proven about the order, under which rules, and how much was looked at."""
    proof = plan.proof
    yield from labelled("ORDER", f"{proof.words}: {minutes_text(proof.cost_ms)} min", width=width)
    looked = f"{proof.states_visited} states looked at, {proof.alternatives} alternatives"
    yield from labelled("", looked, width=width)
    for rule in proof.rules:
        yield from labelled("", f"- {rule}", width=width)
    yield from labelled("PLAN", f"{plan.id}, made by {plan.program}", width=width)
