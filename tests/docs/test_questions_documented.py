"""Every question about a reading has its section in docs/questions-at-the-lathe.md, and no section is left over."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from handwheel.bench.asking.codes import QUESTION_CODES
from handwheel.data.loader import sources
from tests.docs.codes import pieces_of
from tests.unit.bench.asked import PROVOKED

PAGE = Path(__file__).resolve().parents[2] / "docs" / "questions-at-the-lathe.md"
PARTS = ("Meaning", "Example", "Do", "Source")
SECTIONS = pieces_of(PAGE, "##")


def test_every_code_has_its_section_and_no_section_is_left_over() -> None:
    assert list(SECTIONS) == sorted(SECTIONS)
    assert set(SECTIONS) == set(QUESTION_CODES) == set(PROVOKED)


def test_the_table_of_codes_stands_in_order_with_a_meaning_and_a_source_for_each() -> None:
    assert list(QUESTION_CODES) == sorted(QUESTION_CODES)
    meanings = [known.meaning for known in QUESTION_CODES.values()]
    assert len(set(meanings)) == len(meanings)
    assert all(len(meaning.split()) > 3 for meaning in meanings)
    assert {known.source_key for known in QUESTION_CODES.values()} <= set(sources())


@pytest.mark.parametrize("code", sorted(SECTIONS))
def test_a_section_says_what_it_means_with_an_example_what_to_do_and_on_whose_word(code: str) -> None:
    text = SECTIONS[code]
    for part in PARTS:
        (found,) = re.findall(rf"(?ms)^- \*\*{part}\*\*: (.+?)(?=^- \*\*|\Z)", text)
        assert len(found.split()) >= 2, part
    (counts,) = re.findall(r"Counts meanwhile: \*(.+?)\.\*", " ".join(text.split()))
    assert counts == QUESTION_CODES[code].counts.value


@pytest.mark.parametrize("code", sorted(SECTIONS))
def test_an_example_is_what_the_program_says_of_the_stop_that_provokes_it(code: str) -> None:
    from handwheel.bench.asking.ask import questions  # noqa: PLC0415 - beside the one test that asks

    (example,) = re.findall(r'(?s)^- \*\*Example\*\*: "(.+?)"', SECTIONS[code], re.MULTILINE)
    (question,) = [each for each in questions(PROVOKED[code]) if each.code == code]
    assert " ".join(example.split()) == question.saw
