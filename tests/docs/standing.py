"""The page that says how well the numbers of the tables are known, counted from the tables themselves."""

from __future__ import annotations

import csv
from collections import Counter
from importlib.resources import files

from handwheel.data.loader import Standing, sources
from tests.docs.markdown import made_by, page, table

NAME = "data.md"
WORDS = {
    Standing.OPENED: "read in the work that the row names, or in a reproduction or page of it; the row says which",
    Standing.FROM_MEMORY: "of the work named, which was not opened to write it down; nobody has looked it up again",
    Standing.COMPUTED: "worked out here from what the row names",
    Standing.COMMON_PRACTICE: "a workshop convention without a source; your own may be another",
}


def rows(name: str) -> list[dict[str, str]]:
    """Rows of a table of the package."""
    return list(csv.DictReader(files("handwheel.data").joinpath(name).read_text(encoding="utf-8").splitlines()))


def table_names() -> list[str]:
    """Every table of facts."""
    named = sorted(each.name for each in files("handwheel.data").iterdir() if each.name.endswith(".csv"))
    return [name for name in named if name != "sources.csv"]


def counts(name: str) -> Counter[str]:
    """How many rows of a table stand how."""
    return Counter(row["standing"] for row in rows(name))


def line_of(words: str, counted: Counter[str]) -> list[str]:
    """Row of the page for one table or for all."""
    each = [str(counted[standing.value] or "") for standing in Standing]
    return [words, str(counted.total()), *each]


def rows_by_source() -> dict[str, Counter[str]]:
    """How many rows of which table each source is named in."""
    found: dict[str, Counter[str]] = {key: Counter() for key in sources()}
    for name in table_names():
        for row in rows(name):
            found[row["source_key"]][name.removesuffix(".csv")] += 1
    return found


def source_rows() -> list[tuple[str, str, str]]:
    """Row for every source: its key, what it is, which tables rest on it."""
    made = []
    for key, used in rows_by_source().items():
        work = sources()[key]
        edition = "" if work.edition in {"none", "not recorded"} else f" ({work.edition})"
        where = ", ".join(f"{name} {count}" for name, count in sorted(used.items()))
        made.append(
            (f"`{key}`", f"{work.citation}{edition}; {work.note}", where or "cited beside formulas and findings")
        )
    return made


def pages() -> dict[str, str]:
    """The page by its name."""
    all_rows: Counter[str] = sum((counts(name) for name in table_names()), Counter())
    head = ("table", "rows", *(standing.value for standing in Standing))
    lines = [line_of(f"`{name}`", counts(name)) for name in table_names()]
    share = 100 * all_rows[Standing.OPENED.value] / all_rows.total()
    return {
        NAME: page(
            "How well the numbers are known",
            made_by("tests.docs.generated"),
            f"The program works with {all_rows.total():,} rows of facts in {len(table_names())} tables; {share:.0f} % "
            "of them were read in their source. Each row names its source and how it stands; the sheet, "
            "`handwheel explain` and `handwheel metal` say it beside the number. "
            "A standing says what is behind a figure, not how accurate it is.",
            table(("standing", "what it means"), [(standing.value, words) for standing, words in WORDS.items()]),
            "## Tables",
            "They stand in `src/handwheel/data`; what each covers, and what happens between and beyond its rows, "
            "is told in the `README.md` there.",
            table(head, [*lines, line_of("**all**", all_rows)]),
            "## Sources",
            "An edition that is not named was not recorded. No standard was opened itself unless its line says so.",
            table(("key", "what it is", "rows that rest on it"), source_rows()),
        )
    }
