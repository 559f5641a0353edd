"""The page of worked examples, made of the list of printed numbers and of the calculations that the tests run."""

from __future__ import annotations

from collections import Counter
from types import CodeType, FunctionType
from typing import TYPE_CHECKING

from tests.docs.markdown import made_by, page, table
from tests.published import worked_calculations
from tests.published.worked import GRADES, NO_EVIDENCE, Printed, printed_numbers
from tests.published.worked_calculations import CALCULATIONS, LEFT

if TYPE_CHECKING:
    from collections.abc import Iterator

NAME = "worked-examples.md"


def by_example() -> dict[str, list[Printed]]:
    """Printed numbers of each example."""
    found: dict[str, list[Printed]] = {}
    for number in printed_numbers():
        found.setdefault(number.example, []).append(number)
    return found


def names_in(code: CodeType) -> Iterator[str]:
    """Names that a function uses, those of functions inside it too."""
    yield from code.co_names
    for inner in code.co_consts:
        if isinstance(inner, CodeType):
            yield from names_in(inner)


def relations(example: str) -> str:
    """Functions of the project that a calculation rests on, its helpers' too."""
    found: set[str] = set()
    waiting, seen = [CALCULATIONS[example].__name__], set()
    while waiting:
        name = waiting.pop()
        thing = getattr(worked_calculations, name, None)
        if name in seen or thing is None:
            continue
        seen.add(name)
        if isinstance(thing, FunctionType) and thing.__module__ == worked_calculations.__name__:
            waiting += names_in(thing.__code__)
        elif getattr(thing, "__module__", "").startswith("handwheel.") and callable(thing):
            found.add(f"`{name}`")
    return ", ".join(sorted(found))


def numbers_of(numbers: list[Printed]) -> str:
    """Printed numbers of an example as one cell, with what is said where a span is not half a digit."""
    said = []
    for each in numbers:
        unit = "" if each.unit in {"-", ""} else f" {each.unit}"
        span = "" if each.rule == "rounded" else f" ({each.why})"
        said.append(f"{each.quantity} {each.published}{unit}{span}")
    return "; ".join(said)


def count_rows() -> list[list[str]]:
    """For each grade: examples, those calculated, numbers, those calculated."""
    grades = {example: numbers[0].grade for example, numbers in by_example().items()}
    examples = Counter(grades.values())
    done = Counter(grade for example, grade in grades.items() if example in CALCULATIONS)
    numbers = Counter(each.grade for each in printed_numbers())
    numbers_done = Counter(each.grade for each in printed_numbers() if each.example in CALCULATIONS)
    rows = [
        [grade, words, str(examples[grade]), str(done[grade]), str(numbers[grade]), str(numbers_done[grade])]
        for grade, words in GRADES.items()
    ]
    evidence = [grade for grade in GRADES if grade != NO_EVIDENCE]
    sums = [sum(counted[grade] for grade in evidence) for counted in (examples, done, numbers, numbers_done)]
    return [*rows, ["**all but E**", "", *map(str, sums)]]


def pages() -> dict[str, str]:
    """The page by its name."""
    known = by_example()
    calculated = [
        (
            example,
            known[example][0].grade,
            known[example][0].title,
            known[example][0].source,
            numbers,
            relations(example),
        )
        for example in CALCULATIONS
        if (numbers := numbers_of(known[example]))
    ]
    left = [
        (example, known[example][0].grade, known[example][0].title, known[example][0].source, reason)
        for reason, examples in LEFT.items()
        for example in examples
    ]
    head = ("grade", "what stands behind it", "examples", "calculated", "numbers", "calculated")
    return {
        NAME: page(
            "Worked examples",
            made_by("tests.docs.generated"),
            "Examples that published works calculate, and what of them this project calculates too. A number counts as "
            "met within half a unit of its last printed digit; where the span is another, the reason stands beside it. "
            "Each is a test, named by example and grade (`pytest -k W14`).",
            table(head, count_rows()),
            "That a companion's answer is met proves that inputs and formula were read alike; it is no independent "
            "experiment.",
            "## Calculated",
            table(("no.", "grade", "example", "source", "printed", "by"), calculated),
            "## Not calculated",
            "No test stands for these, each for its reason.",
            table(("no.", "grade", "example", "source", "reason"), sorted(left)),
        )
    }
