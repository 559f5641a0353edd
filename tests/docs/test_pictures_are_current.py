"""The pictures in the documents are what the program draws; ``python -m tests.docs.pictures`` writes them anew."""

from __future__ import annotations

from tests.docs.pictures import FOLDER, PAGE, texts


def test_the_pictures_in_the_documents_are_what_the_program_draws() -> None:
    assert {path.name: path.read_text(encoding="utf-8") for path in FOLDER.glob("*.svg")} == texts()


def test_each_stands_on_its_page() -> None:
    drawings, parting = (
        (FOLDER.parent / page).read_text(encoding="utf-8") for page in ("drawings.md", "theory/parting.md")
    )
    for name in texts():
        if name == PAGE:
            continue
        assert f"pictures/{name}" in (parting if name.startswith("parting-") else drawings)


def test_the_readme_and_the_page_on_paper_show_a_page_of_a_real_sheet() -> None:
    root = FOLDER.parents[1]
    assert f"](docs/pictures/{PAGE})" in (root / "README.md").read_text(encoding="utf-8")
    assert f"](pictures/{PAGE})" in (root / "docs" / "paper.md").read_text(encoding="utf-8")
