"""The papers of a plan with their pictures: the words are the sheet's all the same, and every step is drawn."""

from __future__ import annotations

from pathlib import Path

import pytest

from handwheel.drawing.svg import MINUS
from handwheel.report.paper.typesetting import Paper, TypesettingError
from handwheel.report.steps import numbered_steps
from handwheel.service import papers
from handwheel.service.papers import pictures_of, sheet_pdf, write_papers
from tests.agree import disagreements_of
from tests.demo_plans import PAIRS, demo_plan, demo_shop
from tests.recover_paper import page_tokens, pages_of, recover_paper


@pytest.mark.parametrize("pair", PAIRS)
def test_a_sheet_with_pictures_says_what_the_sheet_says(pair: tuple[str, str]) -> None:
    plan, shop = demo_plan(*pair), demo_shop(pair[1])
    assert disagreements_of(recover_paper(sheet_pdf(plan, shop, paper=Paper.A4)), plan, shop) == []


def test_every_step_and_set_up_has_its_picture() -> None:
    plan, shop = demo_plan("flange", "metric-lathe"), demo_shop("metric-lathe")
    pictures = pictures_of(plan, shop)
    assert pictures.part is not None
    assert {*pictures.set_ups, *pictures.steps} == {step.id for step in numbered_steps(plan, shop)}
    drawn = [
        token.text
        for page in pages_of(sheet_pdf(plan, shop, paper=Paper.LETTER))
        for token in page_tokens(page)
        if token.is_drawn
    ]
    every = (pictures.part, *pictures.set_ups.values(), *pictures.steps.values())
    letters = [line.text.replace(MINUS, "-") for picture in every for line in picture.letters]
    assert len(letters) > 4 * len(pictures.steps)
    assert set(letters) <= set(drawn)


def test_an_error_of_the_page_for_the_desk_is_told_where_its_file_would_be_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_args: object, **_wishes: object) -> bytes:
        msg = "desk.typ: no PDF was made"
        raise TypesettingError(msg)

    monkeypatch.setattr(papers, "desk_pdf", fails)
    written = write_papers(demo_plan("band", "metric-lathe"), demo_shop("metric-lathe"), tmp_path, paper=Paper.A4)
    assert next(written).path == tmp_path / "sheet.pdf"
    with pytest.raises(TypesettingError, match=r"desk\.typ"):
        next(written)
    assert [file.name for file in tmp_path.iterdir()] == ["sheet.pdf"]
