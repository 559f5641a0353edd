"""The reasons in small print at the end of the sheet on paper: all of them, each told once, only on wish."""

from __future__ import annotations

from pypdf import PageObject

from handwheel.report.paper.documents import sheet_pdf
from handwheel.report.paper.small_print import small_print
from handwheel.report.paper.typesetting import Paper
from handwheel.report.why.whys import step_whys
from handwheel.service.jobs import demo_job
from tests.recover_paper import pages_of

PLAN, SHOP, _ = demo_job("bush", "inch-lathe")


def words_of(pages: list[PageObject]) -> str:
    """Words of some pages, blanks and ends of lines alike."""
    return " ".join(" ".join(page.extract_text().split()) for page in pages)


def test_every_act_with_reasons_stands_in_the_small_print_or_names_where_the_same_is_told() -> None:
    printed = {why.head.split()[0]: why for why in small_print(PLAN, SHOP).whys if not why.is_step}
    whys = {one.item.number: one for step in step_whys(PLAN, SHOP) for one in step.acts if one.reasons}
    assert set(printed) == set(whys)
    for number, why in printed.items():
        told = printed[why.same_as] if why.same_as else why
        assert len(told.reasons) == len(whys[number].reasons)
    assert any(why.same_as for why in printed.values())


def test_every_rule_is_named_by_its_number() -> None:
    made = small_print(PLAN, SHOP)
    figures = [reason.figure for why in made.whys for reason in why.reasons]
    for rule in made.rules:
        number = rule.partition(" ")[0]
        assert any(figure.endswith(number) for figure in figures), rule


def test_the_small_print_stands_on_paper_only_on_wish() -> None:
    bare = pages_of(sheet_pdf(PLAN, SHOP, paper=Paper.A4))
    told = pages_of(sheet_pdf(PLAN, SHOP, paper=Paper.A4, reasons=True))
    assert "WHY THESE NUMBERS" not in words_of(bare)
    words = words_of(told)
    assert "WHY THESE NUMBERS, in brackets the rule" in words
    assert "held by chatter" in words.partition("WHY THESE NUMBERS")[2]
    assert len(told) > len(bare)
