"""The sheets in the documents are what the program prints; ``python -m tests.docs.sheets`` writes them anew."""

from __future__ import annotations

import pytest

from tests.docs.sheets import FOLDER, NAMES, path_of, text_of


@pytest.mark.parametrize(("part", "lathe"), NAMES)
def test_a_sheet_in_the_documents_is_what_the_program_prints(part: str, lathe: str) -> None:
    assert path_of(part, lathe).read_text(encoding="utf-8") == text_of(part, lathe)


def test_no_other_sheet_stands_there() -> None:
    assert {path.name for path in FOLDER.glob("*.txt")} == {path_of(*names).name for names in NAMES}
