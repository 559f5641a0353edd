"""Whether what stands on paper, pictures and all, is the sheet, for drawn cases: read back act by act."""

from __future__ import annotations

from handwheel.planner.planner import make_plan
from handwheel.report.paper.typesetting import Paper
from handwheel.service.papers import desk_pdf, sheet_pdf
from tests.agree import disagreements_of
from tests.proof.cases import case_of
from tests.recover_paper import pages_of, recover_paper


def paper_faults(number: int) -> list[str]:
    """Say in what the papers of a case differ from its plan; the size of paper changes from case to case."""
    case = case_of(number)
    plan = make_plan(case.part, case.shop)
    paper = tuple(Paper)[number // 2 % len(Paper)]
    read = recover_paper(sheet_pdf(plan, case.shop, paper=paper))
    faults = [f"case {number}, {paper.value}: {fault}" for fault in disagreements_of(read, plan, case.shop)]
    pages = len(pages_of(desk_pdf(plan, case.shop, paper=paper)))
    return faults if pages == 1 else [*faults, f"case {number}: the page for the desk has {pages} pages"]
