"""What turns the plain pages into a site does it rightly: links, sheets, equations, nothing from outside."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from typing import Any

import pytest

SITE = Path(__file__).resolve().parents[2] / "site"


def load(name: str) -> Any:  # noqa: ANN401 - a module that is found by its path has no type of its own
    """Load a module of the site as its builder does, by its path."""
    found = importlib.util.spec_from_file_location(f"site_{name}", SITE / f"{name}.py")
    assert found is not None
    assert found.loader is not None
    module = importlib.util.module_from_spec(found)
    found.loader.exec_module(module)
    return module


hooks, docstrings = load("hooks"), load("docstrings")
THERE = {"about.md", "safety.md", "sheets/index.md", "sheets/band-inch-lathe.md", "theory/dials.md"}


@pytest.mark.parametrize(
    ("source", "written", "turned"),
    [
        ("index.md", "[R](../README.md)", "[R](about.md)"),
        ("theory/dials.md", "[R](../../README.md)", "[R](../about.md)"),
        ("index.md", "[s](sheets/band-inch-lathe.txt)", "[s](sheets/band-inch-lathe.md)"),
        ("reference/commands.md", "[s](../sheets/band-inch-lathe.txt)", "[s](../sheets/band-inch-lathe.md)"),
        ("index.md", "[all](sheets)", "[all](sheets/index.md)"),
        ("theory/dials.md", "[replay](../../tests/replay.py)", "replay"),
        ("index.md", "[safe](safety.md#on-the-skin)", "[safe](safety.md#on-the-skin)"),
        ("index.md", "![picture](pictures/band.svg)", "![picture](pictures/band.svg)"),
    ],
)
def test_a_link_leads_to_what_stands_on_the_site_or_keeps_its_words(source: str, written: str, turned: str) -> None:
    assert hooks.LINK.sub(lambda found: hooks.turned(found, source, THERE), written) == turned


def test_links_of_the_readme_are_seen_from_the_documents() -> None:
    text = "[d](docs/index.md), [c](CHANGELOG.md), [l](LICENSE)\n```\n[x](docs/y.md)\n```\n"
    assert hooks.turned_to_docs(text) == "[d](index.md), [c](changelog.md), l\n```\n[x](docs/y.md)\n```\n"


@pytest.mark.parametrize(
    ("html", "loads"),
    [
        ('<script src="https://example.invalid/a.js"></script>', True),
        ('<link rel="stylesheet" href="//example.invalid/a.css">', True),
        ('<link href="https://example.invalid/f" rel="preconnect">', True),
        ('<img alt="x" src="http://example.invalid/a.png">', True),
        ('<a href="https://example.invalid/">a link is not loaded</a>', False),
        ('<script src="assets/a.js"></script><link rel="icon" href="favicon.svg">', False),
    ],
)
def test_what_a_page_would_load_from_outside_is_seen(html: str, *, loads: bool) -> None:
    assert bool(hooks.OUTSIDE.search(html)) is loads


def test_an_equation_becomes_mathml_and_the_rest_of_a_docstring_stays() -> None:
    equation = ".. math:: n = 1000\\,v_c / (\\pi\\,d)"
    text = f"Speed.\n\n{equation}\n\nParameters\n----------\nd : float\n    Diameter, :math:`d`. [mm]"
    made = docstrings.with_mathml(text)
    assert '<div class="equation"><math' in made
    assert made.count("<math") == 2
    assert "math::" not in made
    assert ":math:" not in made
    assert "Parameters\n----------\nd : float\n    Diameter, <math" in made


def test_an_equation_on_lines_of_its_own_ends_where_they_end() -> None:
    made = docstrings.with_mathml(".. math::\n    a = b + c,\n    d = e\n\nNotes\n-----\n")
    assert made.count("<math") == 1
    assert made.rstrip().endswith("</div>\n\nNotes\n-----")


def test_signs_of_markdown_within_an_equation_are_no_signs() -> None:
    assert "*" not in docstrings.mathml("a * b", display="inline")
