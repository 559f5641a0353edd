"""Every finding that the program can give is in the table of codes and in docs/findings.md, and no other."""

from __future__ import annotations

import ast
import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from handwheel.domain.finding_codes import FINDING_CODES

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).resolve().parent.parent.parent
PAGE = ROOT / "docs" / "findings.md"
PARTS = ("Meaning", "Example", "Do", "Source")


def codes_in(code: str) -> Iterator[str]:
    """Code of each ``Finding(code=...)`` in a module; raises `TypeError` if one is not written out."""
    for node in ast.walk(ast.parse(code)):
        if not isinstance(node, ast.Call) or getattr(node.func, "id", getattr(node.func, "attr", "")) != "Finding":
            continue
        given = next((word.value for word in node.keywords if word.arg == "code"), None)
        if not isinstance(given, ast.Constant) or not isinstance(given.value, str):
            msg = f"line {node.lineno}: a finding's code must be written out, or nobody can look it up"
            raise TypeError(msg)
        yield given.value


def codes_of_the_source() -> set[str]:
    """Codes of all findings that the package makes."""
    return {code for path in (ROOT / "src").rglob("*.py") for code in codes_in(path.read_text(encoding="utf-8"))}


def sections() -> dict[str, str]:
    """Text below each heading of the page."""
    pieces = re.split(r"(?m)^## (.+)\n", PAGE.read_text(encoding="utf-8"))[1:]
    return dict(zip(pieces[::2], pieces[1::2], strict=True))


def test_every_finding_of_the_source_has_its_section_and_no_section_is_left_over() -> None:
    found = codes_of_the_source()
    assert {"fire-hazard", "bar-cut", "fine-feed"} <= found
    assert set(sections()) == found == set(FINDING_CODES)


def test_the_table_of_codes_stands_in_the_order_of_the_alphabet_with_a_meaning_for_each() -> None:
    assert list(FINDING_CODES) == sorted(FINDING_CODES)
    meanings = [known.meaning for known in FINDING_CODES.values()]
    assert len(set(meanings)) == len(meanings)
    assert all(len(meaning.split()) > 3 for meaning in meanings)


def test_the_sections_stand_in_the_order_of_the_alphabet() -> None:
    assert list(sections()) == sorted(sections())


@pytest.mark.parametrize("code", sorted(sections()))
def test_a_section_says_what_it_means_with_an_example_what_to_do_and_on_whose_word(code: str) -> None:
    text = sections()[code]
    for part in PARTS:
        (found,) = re.findall(rf"(?ms)^- \*\*{part}\*\*: (.+?)(?=^- \*\*|\Z)", text)
        assert len(found.split()) >= 2, part
    weights = {word.lower() for word in re.findall(r"\*(stop|warning|note)\b", text, re.IGNORECASE)}
    assert weights == {severity.value for severity in FINDING_CODES[code].severities}


def test_a_finding_without_a_written_code_is_reported() -> None:
    with pytest.raises(TypeError, match="line 2: a finding's code must be written out"):
        list(codes_in("name = 'x'\nFinding(code=name, where='here')\n"))


def test_codes_are_found_however_the_class_is_named() -> None:
    assert list(codes_in("Finding(code='a')\nfindings.Finding(where='x', code='b')\nOther(code='c')\n")) == ["a", "b"]


def test_links_between_the_pages_lead_somewhere() -> None:
    """Every link to another page, and to a section of the findings, is there."""
    for page in (ROOT / "docs").rglob("*.md"):
        for target in re.findall(r"\]\(([^)\s]+)\)", page.read_text(encoding="utf-8")):
            name, _, section = target.partition("#")
            if "://" in name:
                continue
            linked = (page.parent / name).resolve() if name else page
            assert linked.exists(), f"{page.name}: {target}"
            if linked == PAGE and section:
                assert section in sections(), f"{page.name}: {target}"
