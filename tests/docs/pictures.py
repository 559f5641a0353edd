"""Pictures of the documents: one part and one job; run as a module it writes them anew."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from handwheel.drawing.svg import svg_text
from handwheel.service.drawings import drawings_of
from handwheel.service.jobs import demo_job

FOLDER = Path(__file__).resolve().parents[2] / "docs" / "pictures"
PART, LATHE = "band", "inch-lathe"
"""The job whose step the README shows."""


@cache
def texts() -> dict[str, str]:
    """Each picture by the name of its file, as the program draws it now."""
    plan, shop, _ = demo_job(PART, LATHE)
    made = drawings_of(plan, shop)
    return {
        f"{PART}.svg": svg_text(made.part, prefix="part"),
        f"{PART}-{LATHE}.svg": svg_text(made.strip, prefix="strip"),
    }


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    for name, text in texts().items():
        (FOLDER / name).write_text(text, encoding="utf-8", newline="\n")
