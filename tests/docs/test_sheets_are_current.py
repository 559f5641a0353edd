"""The sheets in the documents are what the program prints; ``python -m tests.docs.sheets`` writes them anew."""

from __future__ import annotations

import pytest

from tests.docs.sheets import FOLDER, NAMES, path_of, text_of


@pytest.mark.parametrize(("part", "lathe"), NAMES)
def test_a_sheet_in_the_documents_is_what_the_program_prints(part: str, lathe: str) -> None:
    assert path_of(part, lathe).read_text(encoding="utf-8") == text_of(part, lathe)


def test_no_other_sheet_stands_there() -> None:
    assert {path.name for path in FOLDER.glob("*.txt")} == {path_of(*names).name for names in NAMES}


def test_the_step_in_the_readme_stands_in_a_sheet() -> None:
    readme = (FOLDER.parents[1] / "README.md").read_text(encoding="utf-8")
    sample = readme.split("```")[3].strip("\n").splitlines()
    sheet = path_of("band", "inch-lathe").read_text(encoding="utf-8").splitlines()
    assert len(sample) > 5
    assert [line for line in sample if line not in sheet] == []
