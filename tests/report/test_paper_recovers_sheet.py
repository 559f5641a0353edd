"""What stands on paper is the sheet: every act is read back from the letters of the PDF and compared."""

from __future__ import annotations

import msgspec
import pytest
from msgspec.structs import replace

from handwheel.domain.acts import SetCollar
from handwheel.domain.part import Units
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.report.paper.content import LatheSheet, lathe_sheet
from handwheel.report.paper.documents import sheet_pdf
from handwheel.report.paper.pictures import NO_PICTURES
from handwheel.report.paper.typesetting import Paper, Template, typeset
from handwheel.service.demo import DEMO_PARTS, DEMO_SHOPS
from tests.agree import disagreements_of
from tests.demo_plans import demo_plan, demo_shop
from tests.factories import make_plan, make_shop, with_acts
from tests.planner.holes import CASES, made
from tests.recover import SheetTextError
from tests.recover_paper import recover_paper


def paper_disagreements(plan: Plan, shop: Shop, paper: Paper = Paper.A4) -> list[str]:
    return disagreements_of(recover_paper(sheet_pdf(plan, shop, paper=paper)), plan, shop)


@pytest.mark.parametrize("units", list(Units))
@pytest.mark.parametrize("paper", list(Paper))
def test_every_kind_of_act_is_read_back_as_it_was(units: Units, paper: Paper) -> None:
    assert paper_disagreements(make_plan(units), make_shop(), paper) == []


@pytest.mark.parametrize("part", DEMO_PARTS)
@pytest.mark.parametrize("lathe", DEMO_SHOPS)
@pytest.mark.parametrize("paper", list(Paper))
def test_the_demo_sheets_are_read_back_as_they_were(part: str, lathe: str, paper: Paper) -> None:
    assert paper_disagreements(demo_plan(part, lathe), demo_shop(lathe), paper) == []


@pytest.mark.parametrize("lathe", DEMO_SHOPS)
def test_sheets_for_collars_that_cannot_be_set_are_read_back_as_they_were(lathe: str) -> None:
    plan, shop = demo_plan("bush", lathe), demo_shop(lathe)
    slides = {
        name: replace(slide, dial=replace(slide.dial, settable=False))
        for name in ("cross", "top")
        if (slide := getattr(shop.lathe, name)).dial is not None
    }
    fixed = replace(shop, lathe=replace(shop.lathe, **slides))
    acts = tuple(
        msgspec.structs.replace(act, settable=False) if isinstance(act, SetCollar) else act for act in plan.sheet.acts
    )
    assert paper_disagreements(with_acts(plan, acts), fixed) == []


@pytest.mark.parametrize("what", CASES)
def test_sheets_with_reamers_taps_and_other_bars_are_read_back_as_they_were(what: str) -> None:
    it = made(what, DEMO_SHOPS[0])
    assert paper_disagreements(it.plan, it.shop) == []


def altered(content: LatheSheet, said: str, instead: str) -> bytes:
    """The sheet with one word or figure of its steps changed, where it first stands."""
    text = msgspec.json.encode(content).decode().replace("\N{NO-BREAK SPACE}", " ")
    start = text.index('"steps":[{"number":1,')
    assert said in text[start:]
    changed = text[:start] + text[start:].replace(said, instead, 1)
    return typeset(Template.SHEET, msgspec.json.decode(changed), paper=Paper.A4)


@pytest.mark.parametrize(
    ("said", "instead"),
    [
        ('"kind":"turn","text":"clockwise"', '"kind":"turn","text":"anticlockwise"'),
        ('"figure":"19"', '"figure":"18"'),
        ("0 turns + 19 marks beyond 0", "0 turns + 18 marks beyond 0"),
        ("19 marks beyond 0", "19 marks short of 0"),
        ('"Ø 29.24 mm ', '"Ø 29.34 mm '),
        ("(1.1512 in)", "(1.1513 in)"),
        ('"figure":"755 rev/min"', '"figure":"765 rev/min"'),
        ('"figure":"0.15 mm/rev ', '"figure":"0.16 mm/rev '),
        ("zero A", "zero B"),
        ('"number":"2.6","verb":"lock"', '"number":"2.6","verb":"free"'),
        ('"number":"2.16"', '"number":"2.17"'),
        ("Emulsion.", "Oil."),
        ("keep the feed going", "stop the feed"),
        ("note: to the centre", "note: near the centre"),
        ('{"kind":"box","text":""}', '""'),
        ('"rows":[[["7.28"', '"rows":[[["7.29"'),
        ('"18.80"', '"18.81"'),
    ],
)
def test_no_word_or_figure_that_moves_the_hand_can_be_altered_unnoticed(said: str, instead: str) -> None:
    """Otherwise the comparison could not fail, and a wrong figure could stand on the paper."""
    plan, shop = demo_plan("bush", "metric-lathe"), demo_shop("metric-lathe")
    pdf = altered(lathe_sheet(plan, shop, NO_PICTURES), said, instead)
    try:
        found = disagreements_of(recover_paper(pdf), plan, shop)
    except (SheetTextError, ValueError, LookupError) as error:  # what is not a sheet any more
        found = [str(error)]
    assert found != []


def test_an_act_left_off_the_paper_is_noticed() -> None:
    plan, shop = demo_plan("bush", "metric-lathe"), demo_shop("metric-lathe")
    content = lathe_sheet(plan, shop, NO_PICTURES)
    step = content.steps[1]
    shorter = replace(content, steps=(content.steps[0], replace(step, items=step.items[:-1]), *content.steps[2:]))
    pdf = typeset(Template.SHEET, shorter, paper=Paper.A4)
    assert disagreements_of(recover_paper(pdf), plan, shop) != []
