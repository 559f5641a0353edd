"""Nothing that a user can meet is missing from the documents: commands, keys, codes, functions, sources."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import pytest

import handwheel
import handwheel.data
import handwheel.physics
from handwheel.bench.asking.codes import QUESTION_CODES
from handwheel.check.report import RefusalCode
from handwheel.data.cautions import work_cautions
from handwheel.data.hazards import hazard_gates
from handwheel.data.loader import sources
from handwheel.domain.finding_codes import FINDING_CODES
from handwheel.service.schemas.build import REFUSED, part_trace, shop_trace
from handwheel.service.schemas.trace import Trace
from tests.docs import codes, commands, python_pages, settings, standing
from tests.docs.generated import DOCS, pages
from tests.docs.markdown import COMMENT, FENCE, LINK, anchors, made_by, without_code

ROOT = DOCS.parent
PAGES = sorted(DOCS.rglob("*.md"))
THEORY = sorted((DOCS / "theory").glob("*.md"))
REFERENCE = DOCS / "reference"
SOURCES_HEAD = "## Sources\n"
CITED = re.compile(r"\[([A-Z][A-Z0-9_]{2,})\](?!\()")


def named(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def read(path: Path) -> str:
    return path.read_text(encoding="utf-8")


def section(text: str, head: str) -> str:
    """Text of one section of a page, to the next of its kind."""
    return text.partition(f"## {head}\n")[2].partition("\n## ")[0]


@pytest.mark.parametrize(
    ("path", "text"), list(pages()), ids=lambda given: given.name if isinstance(given, Path) else ""
)
def test_a_page_that_is_made_of_the_program_is_current(path: Path, text: str) -> None:
    """Mend with: python -m tests.docs.generated."""
    assert read(path) == text


def test_no_other_page_stands_among_those() -> None:
    assert set(REFERENCE.glob("*")) == {path for path, _ in pages()}
    assert all(made_by("tests.docs.generated") in read(path) for path in REFERENCE.glob("*"))


def test_every_command_and_option_stands_on_the_page_of_commands() -> None:
    page = read(REFERENCE / "commands.md")
    assert set(commands.commands()) == set(commands.MORE)
    for name, command in commands.commands().items():
        text = section(page, f"handwheel {name}")
        assert [opt for each in commands.options(command) for opt in each.opts if f"`{opt}`" not in text] == []


@pytest.mark.parametrize(("kind", "trace"), [("part", part_trace()), ("shop", shop_trace())])
def test_every_key_that_the_reader_asks_for_stands_under_its_table(kind: str, trace: Trace) -> None:
    """From what the readers asked, not from the schema that the page is made of."""
    page = read(REFERENCE / f"{kind}-keys.md")
    by_place: dict[str, str] = {}
    for head, text in codes.pieces_of(REFERENCE / f"{kind}-keys.md", "##").items():
        others = re.findall(r"`(\[{1,2}[\w.]+\]{1,2})`", text.partition("|")[0])
        by_place |= dict.fromkeys((head, *others), text)
    missing = []
    for place, trail in trace.items():
        asked = trail.always_asked() - REFUSED.get(f"{kind}:{place}", frozenset())
        text = by_place.get(settings.header(place), "")
        missing += [(place, key) for key in asked if f"| `{key}`" not in text]
    assert page
    assert missing == []


def test_every_code_stands_on_the_page_of_codes_and_is_explained() -> None:
    page = read(REFERENCE / "codes.md")
    every = {*FINDING_CODES, *work_cautions(), *hazard_gates(), *(code.value for code in RefusalCode)}
    every |= {*QUESTION_CODES, *codes.pieces_of(DOCS / "refusals.md", "##")}
    assert [code for code in every if f"`{code}`" not in page] == []
    safety = read(DOCS / "safety.md")
    assert [code for code in (*work_cautions(), *hazard_gates()) if f"`{code}`" not in safety] == []


def test_the_check_page_explains_every_code_of_the_check_once_and_no_other() -> None:
    listed = re.findall(r"(?m)^\| `([a-z-]+)` \| (.+) \|$", read(DOCS / "check.md"))
    assert sorted(code for code, _ in listed) == sorted(code.value for code in RefusalCode)
    meanings = [meaning for _, meaning in listed]
    assert len(set(meanings)) == len(meanings)
    assert all(len(meaning.split()) > 3 for meaning in meanings)


def test_every_public_function_and_class_stands_on_a_page_with_its_docstring() -> None:
    api = read(REFERENCE / "python.md")
    assert [name for name in handwheel.__all__ if f"| `{name}` |" not in api] == []
    for package, name in ((handwheel.physics, "physics.md"), (handwheel.data, "tables.md")):
        page = read(REFERENCE / name)
        for module in python_pages.modules(package):
            text = section(page, module.__name__)
            names = python_pages.public_names(module)
            assert [each for each in names if f"| `{each}` |" not in text] == [], module.__name__
            assert all(python_pages.first_line(getattr(module, each)) for each in names), module.__name__
            assert not names or f"::: {module.__name__}" in text


def test_every_table_and_source_stands_on_the_page_of_the_data() -> None:
    page = read(REFERENCE / standing.NAME)
    assert [name for name in standing.table_names() if f"`{name}`" not in page] == []
    assert [key for key in sources() if f"| `{key}` |" not in page] == []


def test_the_counts_of_the_data_page_add_up() -> None:
    rows = re.findall(r"(?m)^\| (?:`[\w]+\.csv`|\*\*all\*\*) \| (.+) \|$", read(REFERENCE / standing.NAME))
    counted = [[int(cell) if cell != "-" else 0 for cell in row.split(" | ")] for row in rows]
    assert all(row[0] == sum(row[1:]) for row in counted)
    assert [sum(column) for column in zip(*counted[:-1], strict=True)] == counted[-1]


@pytest.mark.parametrize("page", THEORY, ids=named)
def test_a_theory_page_names_every_source_that_it_cites_by_key(page: Path) -> None:
    body, head, listed = read(page).partition(SOURCES_HEAD)
    keys = set(CITED.findall(listed))
    assert head
    assert keys
    assert keys <= set(sources())
    assert set(CITED.findall(without_code(body))) - keys == set()


@pytest.mark.parametrize("page", PAGES, ids=named)
def test_every_key_of_a_source_in_a_page_is_one(page: Path) -> None:
    assert set(CITED.findall(without_code(read(page)))) <= set(sources())


@pytest.mark.parametrize("page", [ROOT / "README.md", ROOT / "CHANGELOG.md", *PAGES], ids=named)
def test_every_link_of_a_page_leads_to_a_file_and_to_a_section_that_is_there(page: Path) -> None:
    lost = []
    for target in LINK.findall(without_code(read(page))):
        name, _, place = target.partition("#")
        linked = (page.parent / name).resolve() if name else page
        is_there = "://" not in target and linked.exists()
        has_place = not place or linked.suffix != ".md" or (is_there and place in anchors(read(linked)))
        if not (is_there and has_place):
            lost.append(target)
    assert lost == []


def test_every_page_of_the_documents_is_linked_from_another() -> None:
    linked = {
        (page.parent / target.partition("#")[0]).resolve()
        for page in (ROOT / "README.md", *PAGES)
        for target in LINK.findall(without_code(read(page)))
        if target.partition("#")[0] and (page.parent / target.partition("#")[0]).resolve() != page
    }
    assert [named(page) for page in PAGES if page not in linked] == []


@pytest.mark.parametrize("page", PAGES, ids=named)
def test_a_list_or_table_is_set_off_by_an_empty_line(page: Path) -> None:
    """Some readers of Markdown run it into the paragraph otherwise."""
    lines = ["", *COMMENT.sub("", FENCE.sub("\n", read(page))).splitlines()]
    run_in = [
        line
        for before, line in pairwise(lines)
        if (re.match(r"[-*] |\d+\. ", line) and before and not re.match(r"[-*] |\d+\. | ", before))
        or (line.startswith("|") and before and not before.startswith("|"))
    ]
    assert run_in == []
