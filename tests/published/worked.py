"""The list of worked examples with their printed numbers, and how near a calculated number must come."""

from __future__ import annotations

import csv
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import NamedTuple

from tests.published.worked_calculations import LEFT

LIST = Path(__file__).parent / "worked_examples.csv"
NO_EVIDENCE = "E"
GRADES = {
    "O": "printed result seen in a source that was opened; for textbooks a public companion with the inputs, page and "
    "answers of the book, not the book itself",
    "P": "inputs, or most of them, opened; the printed result or an input from memory, or inferred",
    "M": "inputs and result from memory of the work named, which was not opened",
    "V": "formula or coefficient from memory, confirmed by an independent method",
    NO_EVIDENCE: "inputs opened, printed result not seen: a value to guard against change, **no evidence**",
}


class Printed(NamedTuple):
    """One printed number of one example; ``published`` keeps its digits, ``rule`` says how they were made."""

    example: str
    grade: str
    title: str
    source: str
    quantity: str
    unit: str
    published: str
    rule: str
    why: str

    @property
    def name(self) -> str:
        """Name of its test: example, grade, quantity."""
        evidence = "E-no-evidence" if self.grade == NO_EVIDENCE else self.grade
        return f"{self.example}-{evidence}-{self.quantity}"

    @property
    def span(self) -> tuple[float, float]:
        """Ends between which a calculated number must lie: half a unit of the last digit, or what the rule says.

        ``rounded``: half a unit either way. ``cut``: a whole unit away from zero, none towards it. ``within x``: x
        either way, with the reason in ``why``.
        """
        value = Decimal(self.published)
        unit = Decimal(1).scaleb(min(0, int(value.as_tuple().exponent)))
        if self.rule == "cut":
            return float(value), float(value + unit)
        either_way = unit / 2 if self.rule == "rounded" else Decimal(self.rule.removeprefix("within "))
        return float(value - either_way), float(value + either_way)


@cache
def printed_numbers() -> tuple[Printed, ...]:
    """Every printed number, in the order of the list."""
    with LIST.open(encoding="utf-8", newline="") as lines:
        return tuple(Printed(*row) for row in list(csv.reader(lines))[1:])


def reason_left(example: str) -> str:
    """Why an example is not calculated; empty for one that is."""
    return next((reason for reason, examples in LEFT.items() if example in examples), "")
