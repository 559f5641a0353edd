"""What a PDF says of itself."""

from __future__ import annotations

from collections.abc import Callable
from io import BytesIO

import pytest
from pypdf import PdfReader

from handwheel.report.paper.typesetting import Paper
from handwheel.service.papers import desk_pdf, sheet_pdf
from tests.demo_plans import demo_plan, demo_shop

PLAN, SHOP = demo_plan("bush", "inch-lathe"), demo_shop("inch-lathe")


@pytest.mark.parametrize("document", [sheet_pdf, desk_pdf])
def test_a_pdf_tells_its_title_its_language_and_by_what_it_is_found(document: Callable[..., bytes]) -> None:
    pdf = document(PLAN, SHOP, paper=Paper.A4)
    reader = PdfReader(BytesIO(pdf))
    told = reader.metadata
    assert told is not None
    assert (told.title, told.author) == (PLAN.sheet.part.name, PLAN.program)
    assert str(told["/Keywords"]).split(", plan ") == [f"{PLAN.sheet.part.material}, {PLAN.sheet.shop}", PLAN.id]
    assert "/CreationDate" not in told
    assert str(reader.root_object["/Lang"]) == "en"
    assert document(PLAN, SHOP, paper=Paper.A4) == pdf  # the same plan, the same bytes
