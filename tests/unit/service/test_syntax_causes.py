"""A file that is no TOML: where it breaks, the line with a mark below, and the usual slip behind it."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.service.intake.part_file import read_part_file
from handwheel.service.intake.toml_text import SHOWN_OF_LINE, parse_toml
from tests.intake_files import PART, problems_of


def problem_of(text: str) -> str:
    (problem,) = problems_of(lambda: parse_toml(text, name="ring.toml"))
    return problem


@pytest.mark.parametrize(
    ("text", "do"),
    [
        ("d = 18,5", 'a decimal comma? Write 18.5, or with its unit in quotes "18,5 mm"'),
        ("e = { along = 0,5, across = 0,5 }", "a decimal comma? Write 0.5"),
        ("d = 20 mm", 'put the whole of it in quotes, "20 mm"'),
        ("d = 20 H8 # fit", 'put the whole of it in quotes, "20 H8"'),
        ("d = 17.2 ± 0.1", 'put the whole of it in quotes, "17.2 ± 0.1"'),
        ("e = 0.5 x 45", 'put the whole of it in quotes, "0.5 x 45"'),
        ("d = 1/2 in", 'put the whole of it in quotes, "1/2 in"'),
        ('d = 1 1/2"', 'inches? Write them in words and in quotes: "1 1/2 in"'),
        ("m = ti_gr2", 'text stands in quotes: write "ti_gr2"'),
        ('m = "ti_gr2', "the quote at the end of the text is missing: close it"),
        ('m = "ti_gr2\nx = "y"', "the quote at the end of the text is missing: close it"),
        ('n = "the bosun\u2019s ring', "the quote at the end of the text is missing: close it"),
        ('m = ti_gr2"', 'the quote before the text is missing: write "ti_gr2"'),
        ("m = “ti_gr2”", '“ is no quote in TOML: put the straight "'),
        ("m = „ti_gr2“", '„ is no quote in TOML: put the straight "'),
        ("m = «ti_gr2»", '« is no quote in TOML: put the straight "'),
        ("d = .5", "a digit must stand before the point"),
        ("d = 5.", "a digit must stand behind the point: write 5.0"),
        ("d = 05", "a number begins with no idle 0: write 5"),
        ("worn = True", "write true or false, in small letters"),
        ("d: 5", "write = in place of the colon"),
        ("d =", "the value is missing: write it after the ="),
        ("d = 5; e = 6", "; ends nothing in TOML"),
        ("d = 5 // wide", "// ends nothing in TOML"),
        ("// ring", "a remark begins with #"),
        ('n = "a\\b c\\y"', "a backslash in a text"),
        ("[bore\nd = 1", "the closing bracket is missing: [name]"),
        ("[[tool]\nd = 1", "a list of tables has two brackets on either side"),
        ("e = { along = 1,\n across = 2 }", "a table in braces stands on one line"),
        ("d = 20\u00a0mm", "a no-break space is in it"),
        ("größe = 1", "a key has plain letters only"),
        ("d = 1\re = 2", 'save the file with line ends "LF" or "CRLF"'),
        ("d\x00 = 1", "there is a zero byte in it"),
        ("\ufeffd = 1", "an invisible byte-order mark is in it"),
        ("d = 1\nd = 2", "d stands in line 1 already: delete one of the two"),
        ("[bore]\nd = 1\n[out]\nd = 1\n[bore]", "bore stands in line 1 already"),
        ("[bore]\nd = 1\nd = 2", "bore.d stands in line 2 already"),
        ("e = { d = 1, d = 2 }", "the same key or table is there twice"),
        ("d = = 2", "mend this line (or the one before it) and read the file again"),
    ],
)
def test_the_usual_slip_is_named(text: str, do: str) -> None:
    assert do in problem_of(text)


def test_the_line_is_shown_with_a_mark_below_the_place() -> None:
    told = problem_of("name = 1\n\tdiameter = 18,5 # bore").split("\n")
    assert told[0].startswith('ring.toml: line 2, column 15: found "diameter = 18,5 # bore", which cannot be read')
    assert told[1:] == ["     diameter = 18,5 # bore", " " * 18 + "^"]
    assert told[1][18] == ","


@given(st.text("=\"'[]{}#,.\\ \tax1±“\x00\u200b\n\r", max_size=200))
def test_whatever_is_no_toml_is_one_problem_with_a_place_and_a_mark(text: str) -> None:
    for problem in problems_of(lambda: parse_toml(text, name="ring.toml")):
        said, shown, mark = problem.split("\n")
        assert said.startswith("ring.toml: line ")
        assert said.isprintable()
        assert shown.isprintable()
        assert len(shown) <= SHOWN_OF_LINE + 4
        assert mark.strip() == "^"
        assert len(mark) <= SHOWN_OF_LINE + 5


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (PART.encode("utf-16"), "the whole file looks like UTF-16"),
        (PART.replace("spacer", "Ø 20 ring").encode("cp1252"), "(Ø in the old encoding Windows-1252, perhaps)"),
        (PART.replace("spacer", "20 ± 1").encode("cp1252"), "(± in the old encoding Windows-1252, perhaps)"),
        (PART.encode("utf-16-le"), "there is a zero byte in it"),
    ],
)
def test_the_encoding_in_which_a_file_was_saved_is_guessed_aloud(tmp_path: Path, content: bytes, said: str) -> None:
    path = tmp_path / "ring.toml"
    path.write_bytes(content)
    (problem,) = problems_of(lambda: read_part_file(path))
    assert said in problem
