"""The sheets in the documents: of the demo, and of one part on three lathes; run it to write them anew."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from handwheel.service.advising import advised
from handwheel.service.demo import DEMO_PARTS, DEMO_SHOPS
from handwheel.service.jobs import demo_job, print_sheet
from tests.docs.lathes import EDGES, LATHES, planned, sheet_stem

if TYPE_CHECKING:
    from handwheel.domain.plan import Plan
    from handwheel.domain.shop import Shop

FOLDER = Path(__file__).resolve().parents[2] / "docs" / "sheets"
NAMES = tuple((part, lathe) for part in DEMO_PARTS for lathe in DEMO_SHOPS)
ON_THREE = {sheet_stem(lathe, edge): (lathe, edge) for edge in EDGES for lathe in LATHES}
"""Files of the sheets that the page on three lathes links, with the lathe and the edges of each."""


def path_of(part: str, lathe: str) -> Path:
    """Where a sheet stands."""
    return FOLDER / f"{part}-{lathe}.txt"


def text_of(part: str, lathe: str) -> str:
    """The sheet as the program prints it now."""
    plan, shop, _ = demo_job(part, lathe)
    return _printed(plan, shop)


def three_path(stem: str) -> Path:
    """Where a sheet of the page on three lathes stands."""
    return FOLDER / f"{stem}.txt"


def three_text(stem: str) -> str:
    """The same part on one of three lathes, as the program prints it now."""
    found = planned(*ON_THREE[stem])
    return _printed(advised(found.plan, found.shop), found.shop)


def _printed(plan: Plan, shop: Shop) -> str:
    return print_sheet(plan, shop).rstrip("\n") + "\n"


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    for names in NAMES:
        path_of(*names).write_text(text_of(*names), encoding="utf-8", newline="\n")
    for stem in ON_THREE:
        three_path(stem).write_text(three_text(stem), encoding="utf-8", newline="\n")
