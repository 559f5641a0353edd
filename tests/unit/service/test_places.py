"""The line that a message names is the line where the key stands, in every form of TOML."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.service.demo import DEMO_PARTS, DEMO_SHOPS, demo_text
from handwheel.service.intake.part_file import read_part
from handwheel.service.intake.places import Place, key_lines, value_lines
from handwheel.service.intake.shop_file import read_shop
from tests.intake_files import PART, problems_of, spoiled

SHOPS = Path(__file__).resolve().parents[2] / "shops"
TEXTS = [*map(demo_text, (*DEMO_PARTS, *DEMO_SHOPS)), *(p.read_text("utf-8") for p in sorted(SHOPS.rglob("*.toml")))]
EVERY_FORM = '''\
# [remark]
a = 1 # [b]
"quoted key" = 'x # y'
b.c."d.e" = """
[not.a.table]
x = 1 \\
"""

t = { x = 1, y = { z = [ { w = 2 }, 3 ] } }
many = [
  1, # one
  [ 2, { q = "}" } ],
  """]""",
]
empty = []
when = 1979-05-27 07:32:00
[p]
[[p.row]]
n = \'\'\'a\'\'\'\'
[p.row.inner]
k = ""
[[p.row]]
[p.row.inner]
k = "\\""
[ "q" . r ]
last = true
'''


def places_of(value: object, start: Place = ()) -> set[Place]:
    """Every table, key and row that the standard library's parser finds."""
    pairs: list[tuple[str | int, object]] = []
    if isinstance(value, dict):
        pairs = list(value.items())
    elif isinstance(value, list):
        pairs = list(enumerate(value))
    return {(*start, name) for name, _ in pairs} | {p for name, v in pairs for p in places_of(v, (*start, name))}


@pytest.mark.parametrize("text", [EVERY_FORM, *TEXTS])
def test_every_key_that_the_parser_finds_has_its_line(text: str) -> None:
    found = value_lines(text)
    assert set(found) == places_of(tomllib.loads(text))
    rows = text.split("\n")
    for place, line in found.items():
        assert not isinstance(place[-1], str) or place[-1] in rows[line - 1]


def test_the_lines_of_the_forms_are_right() -> None:
    """Counted by hand in the text above."""
    found = value_lines(EVERY_FORM)
    assert [found[place] for place in (("a",), ("b", "c", "d.e"), ("t", "y", "z", 0, "w"))] == [2, 4, 9]
    assert [found[("many", place)] for place in range(3)] == [11, 12, 13]
    assert [found[("p", "row", row)] for row in range(2)] == [18, 22]
    assert [found[("p", "row", row, "inner", "k")] for row in range(2)] == [21, 24]
    assert found[("q", "r", "last")] == 26


def test_a_row_goes_by_its_id_and_by_its_number_if_two_share_one() -> None:
    text = '[[tool]]\nid = "a"\n[[tool]]\nid = "b.c"\n[[tool]]\nid = "a"\n[[tool]]\n'
    assert key_lines(text, tomllib.loads(text)) == {
        "tool": 1,
        "tool[a, no. 1]": 1,
        "tool[a, no. 1].id": 2,
        "tool[b.c]": 3,
        "tool[b.c].id": 4,
        "tool[a, no. 3]": 5,
        "tool[a, no. 3].id": 6,
        "tool[no. 4]": 7,
    }


@given(st.text("[]{}=,.\"'\\#\n ab1", max_size=60))
def test_whatever_the_parser_takes_has_lines_and_the_rest_no_traceback(text: str) -> None:
    found = value_lines(text)
    try:
        values = tomllib.loads(text)
    except ValueError:
        return
    assert set(found) == places_of(values)


@pytest.mark.parametrize(
    ("change", "start"),
    [
        (('"20 H8"', '"20 Q8"'), "line 7: bore.diameter: "),
        (("plus_minus = 0.1", "plus_minus = 0.1\ncolour = 3"), "line 12: outside.colour: "),
        (("length = 12", ""), "line 13: width.length: "),  # missing: the line of the table where it is missed
        (('all = "0.5 x 45"', 'front_outer = { along = 1, across = "x" }'), "line 19: edges.front_outer.across: "),
        (('name = "spacer"', ""), "name: "),  # missing outside every table: there is no line to name
    ],
)
def test_a_problem_of_a_part_names_its_line(change: tuple[str, str], start: str) -> None:
    text = spoiled(PART, change)
    assert problems_of(lambda: read_part(text, name="ring.toml"))[0].startswith(f"ring.toml: {start}")


def test_a_problem_of_a_shop_names_the_line_of_its_own_row() -> None:
    text = demo_text("metric-lathe").replace("\n", "\r\n")
    rows = text.split("\r\n")
    line = next(number for number, row in enumerate(rows, start=1) if row == "rpm = 755")
    (problem,) = problems_of(lambda: read_shop(text.replace("rpm = 755", 'rpm = "fast"'), name="shop.toml"))
    assert problem.startswith(f"shop.toml: line {line}: lathe.speed[no. 6].rpm: ")
