"""A plan on paper: its documents as PDF, and as files."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.report.paper import documents
from handwheel.report.paper.typesetting import Paper
from handwheel.service.files import Written, write_whole

SHEET_FILE = "sheet.pdf"
DESK_FILE = "desk.pdf"


def sheet_pdf(plan: Plan, shop: Shop, *, paper: Paper) -> bytes:
    """Set the sheet for the lathe; raises as `documents.sheet_pdf` does."""
    return documents.sheet_pdf(plan, shop, paper=paper)


def desk_pdf(plan: Plan, shop: Shop, *, paper: Paper) -> bytes:
    """Set the summary for the desk; raises as `documents.desk_pdf` does."""
    return documents.desk_pdf(plan, shop, paper=paper)


def write_papers(plan: Plan, shop: Shop, folder: Path, *, paper: Paper) -> Iterator[Written]:
    """Put the sheet for the lathe and the summary for the desk on the disk as ``sheet.pdf`` and ``desk.pdf``.

    Raises
    ------
    NotWrittenError
        If one is not on the disk; nothing of it is changed then.
    TypesettingError
        If a page cannot be set, a fault of handwheel.
    """
    with ThreadPoolExecutor(max_workers=1) as beside:
        desk = beside.submit(desk_pdf, plan, shop, paper=paper)
        yield write_whole(folder / SHEET_FILE, sheet_pdf(plan, shop, paper=paper))
        yield write_whole(folder / DESK_FILE, desk.result())
