"""The sheets in the documents are what the program prints; ``python -m tests.docs.sheets`` writes them anew."""

from __future__ import annotations

import pytest

from tests.docs.sheets import FOLDER, NAMES, ON_THREE, path_of, text_of, three_path, three_text


@pytest.mark.parametrize(("part", "lathe"), NAMES)
def test_a_sheet_in_the_documents_is_what_the_program_prints(part: str, lathe: str) -> None:
    assert path_of(part, lathe).read_text(encoding="utf-8") == text_of(part, lathe)


@pytest.mark.parametrize("stem", ON_THREE)
def test_a_sheet_on_three_lathes_is_what_the_program_prints(stem: str) -> None:
    assert three_path(stem).read_text(encoding="utf-8") == three_text(stem)


def test_no_other_sheet_stands_there() -> None:
    known = {path_of(*names) for names in NAMES} | {three_path(stem) for stem in ON_THREE}
    assert set(FOLDER.glob("*.txt")) == known


def test_the_step_in_the_readme_stands_in_a_sheet() -> None:
    readme = (FOLDER.parents[1] / "README.md").read_text(encoding="utf-8")
    sample = readme.split("```")[3].strip("\n").splitlines()
    sheet = path_of("band", "inch-lathe").read_text(encoding="utf-8").splitlines()
    assert len(sample) > 5
    assert [line for line in sample if line not in sheet] == []
