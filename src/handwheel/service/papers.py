"""A plan on paper: its documents as PDF, with a picture of the part, of every set-up, of every step."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from threading import Thread

from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.drawing.frames import without_title
from handwheel.drawing.letters import font_size_mm
from handwheel.drawing.model import Drawing, Text
from handwheel.drawing.svg import HALO_MM, as_lettered, letters_of, svg_text
from handwheel.report.paper import documents
from handwheel.report.paper.pictures import Lettering, Picture, Pictures
from handwheel.report.paper.typesetting import Paper, Template, compiler_of
from handwheel.report.wording import Wording
from handwheel.service.drawings import drawings_of
from handwheel.service.files import Written, write_whole

ENLARGED = 1.25
"""Pictures of set-ups and steps are drawn for a page in the hand; at arm's length they are set larger by this."""
SHEET_FILE = "sheet.pdf"
DESK_FILE = "desk.pdf"


def sheet_pdf(plan: Plan, shop: Shop, *, paper: Paper, reasons: bool = False, wording: Wording | None = None) -> bytes:
    """Set the sheet for the lathe, with pictures; raises as `drawings_of` and `documents.sheet_pdf` do."""
    pictures = pictures_of(plan, shop, wording=wording)
    return documents.sheet_pdf(plan, shop, paper=paper, pictures=pictures, reasons=reasons, wording=wording)


def desk_pdf(plan: Plan, shop: Shop, *, paper: Paper, wording: Wording | None = None) -> bytes:
    """Set the summary for the desk; raises as `documents.desk_pdf` does."""
    return documents.desk_pdf(plan, shop, paper=paper, wording=wording)


def papers_of(
    plan: Plan, shop: Shop, *, paper: Paper, reasons: bool = False, wording: Wording | None = None
) -> dict[str, bytes]:
    """Set what `write_papers` writes, by its name; raises as `sheet_pdf` and `desk_pdf` do."""
    pictures = pictures_of(plan, shop, wording=wording)
    desk = _begun(lambda: desk_pdf(plan, shop, paper=paper, wording=wording))
    sheet = documents.sheet_pdf(plan, shop, paper=paper, pictures=pictures, reasons=reasons, wording=wording)
    return {SHEET_FILE: sheet, DESK_FILE: desk()}


def get_ready() -> None:
    """Load what the papers need, so that they are set sooner when there is a plan."""
    for template in Template:
        compiler_of(template)


def pictures_of(plan: Plan, shop: Shop, *, wording: Wording | None = None) -> Pictures:
    """Draw a plan for its sheet, in the letters of the sheet."""
    drawn = drawings_of(plan, shop, wording=wording)
    return Pictures(
        part=_picture("part", drawn.part, scale=1.0),
        set_ups=_pictures("set-up", drawn.set_ups),
        steps=_pictures("step", drawn.steps),
    )


def _pictures(prefix: str, drawn: Mapping[str, Drawing]) -> dict[str, Picture]:
    return {step: _picture(f"{prefix}-{step}", without_title(it), scale=ENLARGED) for step, it in drawn.items()}


def _picture(prefix: str, drawing: Drawing, *, scale: float) -> Picture:
    return Picture(
        svg=svg_text(drawing, prefix=prefix, lettered=False),
        width_mm=drawing.paper_width_mm * scale,
        drawn_mm=drawing.paper_width_mm,
        halo_mm=HALO_MM,
        letters=tuple(_lettering(text, drawing.paper_height_mm) for text in letters_of(drawing)),
    )


def _lettering(text: Text, height_mm: float) -> Lettering:
    return Lettering(
        x_mm=text.at.x_mm,
        y_mm=height_mm - text.at.y_mm,
        size_mm=font_size_mm(text.height_mm),
        text=as_lettered(" ".join(text.text.split())),  # spaces as SVG reads them
        anchor=text.anchor.value,
        turned_deg=-text.angle_deg,
        bold=text.bold,
    )


def write_papers(
    plan: Plan, shop: Shop, folder: Path, *, paper: Paper, reasons: bool = False, wording: Wording | None = None
) -> Iterator[Written]:
    """Put the sheet for the lathe and the summary for the desk on the disk as ``sheet.pdf`` and ``desk.pdf``.

    Raises
    ------
    NotWrittenError
        If one is not on the disk; nothing of it is changed then.
    TypesettingError
        If a page cannot be set, a fault of handwheel.
    """
    desk = _begun(lambda: desk_pdf(plan, shop, paper=paper, wording=wording))
    yield write_whole(folder / SHEET_FILE, sheet_pdf(plan, shop, paper=paper, reasons=reasons, wording=wording))
    yield write_whole(folder / DESK_FILE, desk())


def _begun(work: Callable[[], bytes]) -> Callable[[], bytes]:
    """Begin some work in a thread; what is returned waits for what comes of it, or raises its error.

    The pools of the standard library do this too; to load them takes a fifth as long as to set the page for the desk.
    """
    made: list[bytes] = []
    failed: list[BaseException] = []

    def run() -> None:
        try:
            made.append(work())
        except BaseException as error:  # noqa: BLE001 - it is raised where the result is asked for
            failed.append(error)

    thread = Thread(target=run)
    thread.start()

    def result() -> bytes:
        thread.join()
        if failed:
            raise failed[0]
        return made[0]

    return result
