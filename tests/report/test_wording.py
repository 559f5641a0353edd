"""A sheet in one unit or in American words is the same sheet, and names stay as they were given."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

import handwheel
from handwheel.data.words import WordPair, word_pairs
from handwheel.domain.part import Units
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.domain.wording import English, UnitsShown
from handwheel.drawing.svg import svg_text
from handwheel.report.paper.documents import desk_pdf, sheet_pdf
from handwheel.report.paper.typesetting import Paper
from handwheel.report.text_sheet import sheet_text
from handwheel.report.why_text import why_text
from handwheel.report.wording import Wording, american, in_one_unit, wording_for
from handwheel.service.codec import plan_from_json, plan_to_json
from handwheel.service.demo import DEMO_PARTS, DEMO_SHOPS
from handwheel.service.drawings import drawings_of
from tests.agree import disagreements, disagreements_of
from tests.demo_plans import demo_plan, demo_shop
from tests.factories import make_plan, make_shop
from tests.other_wording import back_to_british, with_one_unit, with_words_merged
from tests.recover_paper import pages_of, recover_paper

ALONE = {UnitsShown.MM: "mm", UnitsShown.INCH: "in"}
AMERICAN = Wording(english=English.AMERICAN)


def whole_words(words: list[str]) -> re.Pattern[str]:
    return re.compile(rf"(?<![\w\[-])(?:{'|'.join(words)})(?![\w\]-])", re.IGNORECASE)


BRITISH_WORDS = whole_words([pair.british for pair in word_pairs()])
AMERICAN_WORDS = whole_words([pair.american for pair in word_pairs() if not pair.also_british])


def as_paragraph(text: str) -> str:
    """A text without its lines: words that were broken across two stand together again."""
    return " ".join(text.split())


@cache
def texts_of_ours() -> str:
    """Everything of the package that may hold words, but for the catalogue itself."""
    root = Path(handwheel.__file__).parent
    paths = [path for path in root.rglob("*") if path.suffix in {".py", ".csv", ".typ"} and path.stem != "words"]
    return "\n".join(path.read_text(encoding="utf-8") for path in [*paths, root / "report" / "words.py"])


@pytest.mark.parametrize("units", list(Units))
@pytest.mark.parametrize("width", [72, 80, 132])
@pytest.mark.parametrize("shown", list(ALONE))
def test_every_kind_of_act_is_read_back_from_a_sheet_in_one_unit(shown: UnitsShown, width: int, units: Units) -> None:
    plan, shop = make_plan(units), make_shop()
    text = sheet_text(plan, shop, width=width, wording=Wording(shown=shown))
    assert disagreements(text, plan, shop, ALONE[shown]) == []


@pytest.mark.parametrize("part", DEMO_PARTS)
@pytest.mark.parametrize("lathe", DEMO_SHOPS)
@pytest.mark.parametrize("shown", list(ALONE))
def test_the_demo_sheets_are_read_back_in_one_unit(part: str, lathe: str, shown: UnitsShown) -> None:
    plan, shop = demo_plan(part, lathe), demo_shop(lathe)
    text = sheet_text(plan, shop, wording=Wording(shown=shown))
    in_one = plan_from_json(with_one_unit(plan_to_json(plan), ALONE[shown]), name="plan")
    assert disagreements(text, in_one, shop, ALONE[shown]) == []


@pytest.mark.parametrize("shown", list(ALONE))
def test_a_sheet_in_one_unit_is_no_sheet_in_both_nor_in_the_other(shown: UnitsShown) -> None:
    """Otherwise the reader could not tell that a unit is missing."""
    plan, shop = make_plan(), make_shop()
    text = sheet_text(plan, shop, wording=Wording(shown=shown))
    other = next(unit for unit in ALONE.values() if unit != ALONE[shown])
    assert disagreements(text, plan, shop) != []
    assert disagreements(text, plan, shop, other) != []
    assert disagreements(sheet_text(plan, shop), plan, shop, ALONE[shown]) != []


@pytest.mark.parametrize("shown", list(UnitsShown))
def test_what_the_hand_sets_is_the_same_in_every_choice(shown: UnitsShown) -> None:
    plan, shop = make_plan(), make_shop()
    settings = re.compile(r"(?:DIAL|READOUT|STOP|RULE|INDICATOR|SCALE) [\d.]+°?(?: mm| in)?")
    said = settings.findall(sheet_text(plan, shop, width=200, wording=Wording(shown=shown)))
    assert len(said) > 15
    assert said == settings.findall(sheet_text(plan, shop, width=200))


@pytest.mark.parametrize("shown", list(ALONE))
def test_paper_is_read_back_in_one_unit(shown: UnitsShown) -> None:
    plan, shop = make_plan(), make_shop()
    pdf = sheet_pdf(plan, shop, paper=Paper.A4, wording=Wording(shown=shown))
    assert disagreements_of(recover_paper(pdf, ALONE[shown]), plan, shop) == []


def american_disagreements(text: str, plan: Plan, shop: Shop) -> list[str]:
    merged = plan_from_json(with_words_merged(plan_to_json(plan)), name="plan")
    return disagreements(back_to_british(text), merged, shop)


@pytest.mark.parametrize("units", list(Units))
@pytest.mark.parametrize("width", [72, 80, 132])
def test_every_kind_of_act_is_read_back_from_an_american_sheet(width: int, units: Units) -> None:
    plan, shop = make_plan(units), make_shop()
    text = sheet_text(plan, shop, width=width, wording=AMERICAN)
    assert american_disagreements(text, plan, shop) == []
    assert max(map(len, text.splitlines())) <= width


@pytest.mark.parametrize("part", DEMO_PARTS)
@pytest.mark.parametrize("lathe", DEMO_SHOPS)
def test_the_demo_sheets_are_read_back_from_american(part: str, lathe: str) -> None:
    plan, shop = demo_plan(part, lathe), demo_shop(lathe)
    text = sheet_text(plan, shop, wording=wording_for(plan, shop, english=English.AMERICAN))
    assert american_disagreements(text, plan, shop) == []


@pytest.mark.parametrize("part", DEMO_PARTS)
@pytest.mark.parametrize("lathe", DEMO_SHOPS)
def test_no_british_word_is_left_in_an_american_text_and_no_american_one_stands_in_a_british(
    part: str, lathe: str
) -> None:
    plan, shop = demo_plan(part, lathe), demo_shop(lathe)
    for told in (sheet_text, why_text):
        british, its_american = told(plan, shop), told(plan, shop, wording=AMERICAN)
        assert BRITISH_WORDS.findall(as_paragraph(british)) != []
        assert AMERICAN_WORDS.findall(as_paragraph(british)) == []
        assert AMERICAN_WORDS.findall(as_paragraph(its_american)) != []
        assert BRITISH_WORDS.findall(as_paragraph(its_american)) == []


def test_no_british_word_is_left_on_american_paper() -> None:
    plan, shop = make_plan(), make_shop()
    for make, has in ((sheet_pdf, "counterclockwise"), (desk_pdf, "compound")):
        pdf = make(plan, shop, paper=Paper.A4, wording=AMERICAN)
        text = as_paragraph(" ".join(page.extract_text() for page in pages_of(pdf)))
        assert BRITISH_WORDS.findall(text) == []
        assert has in text


@pytest.mark.parametrize("pair", word_pairs(), ids=lambda pair: pair.british)
def test_every_word_of_the_catalogue_stands_in_a_text_of_ours(pair: WordPair) -> None:
    assert re.search(rf"\b{pair.british}\b", texts_of_ours(), re.IGNORECASE)


def test_the_catalogue_says_each_word_once() -> None:
    british = [pair.british for pair in word_pairs()]
    assert len(set(british)) == len(british)
    assert not set(british) & {pair.american for pair in word_pairs()}


def test_what_people_have_named_keeps_its_words() -> None:
    plan, shop = make_plan(), make_shop()
    tools = (replace(shop.tools[0], name="grey top slide tool, Müller's centre"), *shop.tools[1:])
    shop = replace(shop, tools=tools, name="Jewellery swarf works")
    plan = replace(plan, sheet=replace(plan.sheet, part=replace(plan.sheet.part, name="Aluminium centre")))
    text = as_paragraph(sheet_text(plan, shop, wording=wording_for(plan, shop, english=English.AMERICAN)))
    assert "grey top slide tool, Muller's centre" in text
    assert "Aluminium centre" in text
    assert "compound, c" in text
    assert "edge on center height" in text


def test_the_shop_file_has_the_say_where_nobody_else_has() -> None:
    plan, shop = make_plan(), replace(make_shop(), words=English.AMERICAN, show=UnitsShown.INCH)
    text = sheet_text(plan, shop)
    assert "counterclockwise" in text
    assert american_disagreements(text.replace("\N{NULL}", ""), plan, shop) != []  # it is in inches alone
    assert disagreements(back_to_british(text), plan, shop, "in") == []
    assert "anticlockwise" in sheet_text(plan, shop, wording=wording_for(plan, shop, english=English.BRITISH))


lengths = st.builds(
    lambda mm, places: (f"{mm:.{places}f} mm ({mm / 25.4:.4f} in)", f"{mm:.{places}f} mm", f"{mm / 25.4:.4f} in"),
    st.floats(-400.0, 400.0),
    st.integers(0, 4),
)


@given(lengths, lengths)
def test_one_unit_is_left_of_every_length(first: tuple[str, str, str], second: tuple[str, str, str]) -> None:
    text = "Ø {} behind the face, {} long; STOP 12.5 mm"
    for place, shown in ((1, UnitsShown.MM), (2, UnitsShown.INCH)):
        once = in_one_unit(text.format(first[0], second[0]), shown)
        assert once == text.format(first[place], second[place])
        assert in_one_unit(once, shown) == once


@pytest.mark.parametrize("pair", word_pairs(), ids=lambda pair: pair.british)
def test_words_keep_their_capitals_and_change_once(pair: WordPair) -> None:
    british, other = pair.british, pair.american
    for form in (str.lower, str.upper, str.capitalize):
        assert american(f"a {form(british)}, x{british}x") == f"a {form(other)}, x{british}x"
        assert american(american(form(british))) == american(form(british))


def test_pictures_speak_as_the_shop_file_says() -> None:
    plan, shop = demo_plan("band", "inch-lathe"), demo_shop("inch-lathe")
    said = {}
    for english in English:
        made = drawings_of(plan, replace(shop, words=english))
        pictures = " ".join(svg_text(drawn, prefix="it") for drawn in (made.part, made.strip))
        said[english] = as_paragraph(re.sub(r"<[^>]*>", " ", pictures))
    assert BRITISH_WORDS.findall(said[English.BRITISH]) != []
    assert AMERICAN_WORDS.findall(said[English.BRITISH]) == []
    assert BRITISH_WORDS.findall(said[English.AMERICAN]) == []
