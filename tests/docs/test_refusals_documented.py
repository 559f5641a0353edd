"""Every code that a refusal can give is explained in docs/refusals.md, and nothing else is."""

from __future__ import annotations

import ast
import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).resolve().parent.parent.parent
PAGE = ROOT / "docs" / "refusals.md"
PLANNER = ROOT / "src" / "handwheel" / "planner"
PARTS = ("Meaning", "Example", "Do", "Tried")
MAKERS = {"NoWay", "NoSchedule"}
PASSED_ON = "found.code"
"""The one place where a code is handed from one to the other."""
CHOICE = "code_of"
"""Function that chooses between the code it is given and one of its own."""


def codes_in(code: str) -> Iterator[str]:
    """Code of each trouble that a module makes; raises `TypeError` if one is not written out."""
    for node in ast.walk(ast.parse(code)):
        if not isinstance(node, ast.Call) or getattr(node.func, "id", "") not in MAKERS:
            continue
        given = next((word.value for word in node.keywords if word.arg == "code"), None)
        if given is not None and ast.unparse(given) == PASSED_ON:
            continue
        if isinstance(given, ast.Name):
            continue  # chosen further up: `assigned_in` finds what it may be
        if isinstance(given, ast.Call) and getattr(given.func, "id", "") == CHOICE:
            given = given.args[-1]
        if not isinstance(given, ast.Constant) or not isinstance(given.value, str) or not given.value:
            msg = f"line {node.lineno}: a trouble's code must be written out, or nobody can look it up"
            raise TypeError(msg)
        yield given.value


def choices_in(code: str) -> Iterator[str]:
    """Codes that the choosing function has of its own."""
    for node in ast.walk(ast.parse(code)):
        if isinstance(node, ast.FunctionDef) and node.name == CHOICE:
            returned = [one.value for one in ast.walk(node) if isinstance(one, ast.Return)]
            for value in returned:
                if isinstance(value, ast.IfExp) and isinstance(value.body, ast.Constant):
                    yield str(value.body.value)


def assigned_in(code: str) -> Iterator[str]:
    """Codes that are given to a variable of that name before a trouble is made."""
    for node in ast.walk(ast.parse(code)):
        if not isinstance(node, ast.Assign):
            continue
        for target in node.targets:
            pairs = zip(_parts(target), _parts(node.value), strict=False)
            for name, value in pairs:
                if isinstance(name, ast.Name) and name.id == "code" and isinstance(value, ast.Constant):
                    yield str(value.value)


def _parts(node: ast.expr) -> list[ast.expr]:
    return node.elts if isinstance(node, ast.Tuple) else [node]


def sections() -> dict[str, str]:
    """Text below each heading of the page."""
    pieces = re.split(r"(?m)^## (.+)\n", PAGE.read_text(encoding="utf-8"))[1:]
    return dict(zip(pieces[::2], pieces[1::2], strict=True))


def test_every_trouble_of_the_planner_has_its_section_and_no_section_is_left_over() -> None:
    texts = [path.read_text(encoding="utf-8") for path in PLANNER.rglob("*.py")]
    found = {code for text in texts for code in (*codes_in(text), *choices_in(text), *assigned_in(text))}
    assert {"blade-too-short", "no-order", "chip-too-thin", "holding-slips"} <= found
    assert set(sections()) == found


def test_the_sections_stand_in_the_order_of_the_alphabet() -> None:
    assert list(sections()) == sorted(sections())


@pytest.mark.parametrize("code", sorted(sections()))
def test_a_section_says_what_it_means_with_an_example_what_to_do_and_what_is_tried(code: str) -> None:
    for part in PARTS:
        (found,) = re.findall(rf"(?ms)^- \*\*{part}\*\*: (.+?)(?=^- \*\*|\Z)", sections()[code])
        assert len(found.split()) >= 2, part
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", code)


def test_a_trouble_without_a_written_code_is_reported() -> None:
    with pytest.raises(TypeError, match="line 2: a trouble's code must be written out"):
        list(codes_in("name = 'x'\nNoWay(code=f'{name}', step='here')\n"))
    assert list(assigned_in("why, code = 'w', 'c-d'\ncode, why = 'e-f', 'w'\nother = 'g'\n")) == ["c-d", "e-f"]
    with pytest.raises(TypeError, match="line 1"):
        list(codes_in("NoSchedule(why='because')\n"))
