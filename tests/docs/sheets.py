"""The four demo sheets as they stand in the documents; run as a module it writes them anew."""

from __future__ import annotations

from pathlib import Path

from handwheel.service.demo import DEMO_PARTS, DEMO_SHOPS
from handwheel.service.jobs import demo_job, print_sheet

FOLDER = Path(__file__).resolve().parents[2] / "docs" / "sheets"
NAMES = tuple((part, lathe) for part in DEMO_PARTS for lathe in DEMO_SHOPS)


def path_of(part: str, lathe: str) -> Path:
    """Where a sheet stands."""
    return FOLDER / f"{part}-{lathe}.txt"


def text_of(part: str, lathe: str) -> str:
    """The sheet as the program prints it now."""
    plan, shop, _ = demo_job(part, lathe)
    return print_sheet(plan, shop).rstrip("\n") + "\n"


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    for names in NAMES:
        path_of(*names).write_text(text_of(*names), encoding="utf-8", newline="\n")
