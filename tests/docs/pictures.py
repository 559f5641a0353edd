"""Pictures of the documents: a page of a sheet, a part, a job, parting; run as a module it writes them anew."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from pathlib import Path

from handwheel.data.materials import WorkHardening, material
from handwheel.domain.tools import ToolKind
from handwheel.drawing.model import Drawing
from handwheel.drawing.parting_view import parting_view
from handwheel.drawing.svg import svg_text
from handwheel.physics.parting_map import PartingMap
from handwheel.planner.parting_choice import parting_choice
from handwheel.report.paper.content import lathe_sheet
from handwheel.report.paper.typesetting import Paper, Template, pages_as_svg, typeset
from handwheel.report.wording import printed_in, wording_for
from handwheel.service.drawings import drawings_of
from handwheel.service.intake.shop_file import read_shop
from handwheel.service.jobs import demo_job
from handwheel.service.papers import pictures_of
from handwheel.service.templates import template_text
from tests.recover_paper import STEP, page_tokens, pages_of

FOLDER = Path(__file__).resolve().parents[2] / "docs" / "pictures"
PARTED = {"st_s235": "plain steel S235", "ss304": "stainless 304", "cu_cw614n": "free-cutting brass CW614N"}
"""Metals of which the page on parting has a picture, with what the picture calls them."""
PARTED_LATHE = "small-metric"
OUTER_MM, END_MM, REACH_MM = 20.0, 15.0, 8.0
"""A ring of 2.5 mm of wall, the blade set out no further than that needs. [mm]"""
PART, LATHE = "band", "inch-lathe"
"""The job that the page on drawings shows."""
PAGE_OF, PAGE_STEP = ("bush", "inch-lathe"), 6
"""The sheet, and the step on the page of it, that the README shows."""
PAGE = "sheet-page.svg"


@cache
def texts() -> dict[str, str]:
    """Each picture by the name of its file, as the program draws it now."""
    plan, shop, _ = demo_job(PART, LATHE)
    made = drawings_of(plan, shop)
    return {
        f"{PART}.svg": svg_text(made.part, prefix="part"),
        f"{PART}-{LATHE}.svg": svg_text(made.strip, prefix="strip"),
        **{f"parting-{key}.svg": svg_text(parting(key), prefix=f"parting-{key}") for key in PARTED},
        PAGE: page(),
    }


@cache
def parted(key: str) -> PartingMap:
    """Every speed and feed of a small lathe, judged for one metal."""
    shop = read_shop(template_text(PARTED_LATHE), name=PARTED_LATHE)
    blade = next(tool for tool in shop.tools if tool.kind is ToolKind.PARTING)
    return parting_choice(shop, material(key), blade, outer_dia_mm=OUTER_MM, end_dia_mm=END_MM, reach_mm=REACH_MM)


def parting(key: str) -> Drawing:
    """Picture of the trade-off in one metal."""
    hardens = material(key).work_hardening is not WorkHardening.NONE
    subtitle = (
        f"Ø {OUTER_MM:g} to {END_MM:g} mm, blade 2 mm wide, {REACH_MM:g} mm out; small bench lathe, 400 W, fed by hand"
    )
    return parting_view(parted(key), title=f"Parting {PARTED[key]}", subtitle=subtitle, hardens=hardens)


def page() -> str:
    """The page of a sheet as it is printed, found by the step that it shows."""
    plan, shop, _ = demo_job(*PAGE_OF)
    with printed_in(wording_for(plan, shop)):
        content = lathe_sheet(plan, shop, pictures_of(plan, shop))
    printed = pages_of(typeset(Template.SHEET, content, paper=Paper.A4))
    place = next(
        place for place, it in enumerate(printed) if _shows(PAGE_STEP, (token.text for token in page_tokens(it)))
    )
    return pages_as_svg(Template.SHEET, content, paper=Paper.A4)[place]


def _shows(step: int, texts: Iterable[str]) -> bool:
    return any((match := STEP.fullmatch(text)) and int(match[1]) == step for text in texts)


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    for name, text in texts().items():
        (FOLDER / name).write_text(text, encoding="utf-8", newline="\n")
