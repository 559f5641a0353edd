"""The pages that are made of the program itself; run as a module it writes all of them anew."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tests.docs import codes, commands, python_pages, settings, standing, worked

if TYPE_CHECKING:
    from collections.abc import Iterator

DOCS = Path(__file__).resolve().parents[2] / "docs"


def pages() -> Iterator[tuple[Path, str]]:
    """Every such page: where it stands, and what it says now."""
    for maker in (commands, settings, codes, standing, python_pages, worked):
        for name, text in maker.pages().items():
            yield DOCS / "reference" / name, text


if __name__ == "__main__":
    for path, text in pages():
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="\n")
