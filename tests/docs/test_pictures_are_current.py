"""The pictures in the documents are what the program draws; ``python -m tests.docs.pictures`` writes them anew."""

from __future__ import annotations

from tests.docs.pictures import FOLDER, texts


def test_the_pictures_in_the_documents_are_what_the_program_draws() -> None:
    assert {path.name: path.read_text(encoding="utf-8") for path in FOLDER.glob("*.svg")} == texts()


def test_the_page_on_drawings_shows_them() -> None:
    page = (FOLDER.parent / "drawings.md").read_text(encoding="utf-8")
    assert all(f"pictures/{name}" in page for name in texts())
