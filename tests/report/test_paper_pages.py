"""The pages as somebody at a lathe meets them: heads, blocks, cautions, boxes, letters that can be read."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from msgspec.structs import replace
from pypdf import PageObject

from handwheel.domain.acts import Measure
from handwheel.domain.findings import Finding, Severity
from handwheel.domain.plan import Plan
from handwheel.report.head_text import size_rows
from handwheel.report.paper.documents import desk_pdf, sheet_pdf
from handwheel.report.paper.pictures import Picture, Pictures
from handwheel.report.paper.spans import on_paper
from handwheel.report.paper.typesetting import Paper, Template, TypesettingError, typeset
from tests.demo_plans import PAIRS, acts_of, demo_plan, demo_shop
from tests.factories import make_plan, make_shop
from tests.recover_paper import (
    BOX,
    STEP,
    foot_tokens,
    head_text,
    is_letter,
    is_number,
    page_tokens,
    pages_of,
    recover_paper,
)

SMALLEST_PT = 9.0
"""Smaller letters cannot be read at arm's length; common practice, no source."""
PAPER_MM = {Paper.A4: (210.0, 297.0), Paper.LETTER: (215.9, 279.4)}
MARGIN_MM = 11.0


def named(plan: Plan, name: str) -> Plan:
    return replace(plan, sheet=replace(plan.sheet, part=replace(plan.sheet.part, name=name)))


def words_of(pages: list[PageObject]) -> str:
    return " ".join(token.text for page in pages for token in page_tokens(page))


def fonts_of(pages: list[PageObject]) -> set[str]:
    return {
        str(font.get_object()["/BaseFont"]).partition("+")[2].removesuffix("-Identity-H")
        for page in pages
        for font in page["/Resources"]["/Font"].values()  # type: ignore[index]  # a dictionary of pypdf may be any object
    }


@pytest.fixture(scope="module")
def demo_pages() -> list[PageObject]:
    return pages_of(sheet_pdf(demo_plan("bush", "metric-lathe"), demo_shop("metric-lathe"), paper=Paper.A4))


@pytest.mark.parametrize("paper", list(Paper))
def test_every_page_repeats_part_lathe_plan_and_its_number_of_all(paper: Paper) -> None:
    plan, shop = make_plan(), make_shop()
    pages = pages_of(sheet_pdf(plan, shop, paper=paper))
    for number, page in enumerate(pages, start=1):
        head = head_text(page)
        assert f"page {number} of {len(pages)}" in head
        assert plan.sheet.part.name in head
        assert shop.lathe.name in head
        assert f"plan {plan.id[:12]}" in head


@pytest.mark.parametrize("paper", list(Paper))
def test_all_stands_on_the_paper_within_the_margins(paper: Paper) -> None:
    width, height = PAPER_MM[paper]
    for page in pages_of(sheet_pdf(make_plan(), make_shop(), paper=paper)):
        assert [round(float(side) / 72 * 25.4, 1) for side in page.mediabox[2:]] == [width, height]
        for token in page_tokens(page):
            assert MARGIN_MM < token.x_mm < width - MARGIN_MM, token
            assert token.y_mm < height - MARGIN_MM, token


def test_the_head_names_the_steps_of_its_page(demo_pages: list[PageObject]) -> None:
    """The step that goes on from the page before counts; one that ended there does not."""
    begun: list[int] = []
    for page in demo_pages:
        here = [int(match[1]) for token in page_tokens(page) if (match := STEP.fullmatch(token.text))]
        numbers = {int(token.text.partition(".")[0]) for token in page_tokens(page) if is_number(token)}
        if numbers and (begun or here):
            first, last = min(numbers), max(numbers)
            said = f"step {first} " if first == last else f"steps {first} to {last} "
            assert said in f"{head_text(page)} "
        begun += here
    assert begun == list(range(1, 19))


@pytest.mark.parametrize("pair", PAIRS)
@pytest.mark.parametrize("paper", list(Paper))
def test_no_step_that_fits_on_a_page_is_parted(pair: tuple[str, str], paper: Paper) -> None:
    """A step that goes on over the edge of a page began at the top of one, and filled it."""
    pages = pages_of(sheet_pdf(demo_plan(*pair), demo_shop(pair[1]), paper=paper))
    bottom = PAPER_MM[paper][1]
    top_of_first = min(token.y_mm for page in pages for token in page_tokens(page) if STEP.fullmatch(token.text))
    parted = 0
    for page, following in pairwise(pages):
        tokens, goes_on = page_tokens(page), page_tokens(following)
        heads = [token for token in tokens if STEP.fullmatch(token.text)]
        first = next((token for token in goes_on if is_number(token) or STEP.fullmatch(token.text)), None)
        if not heads or first is None or STEP.fullmatch(first.text):
            continue
        parted += 1
        assert heads[-1].y_mm == pytest.approx(top_of_first, abs=0.5), heads[-1]
        assert max(token.y_mm for token in tokens) > bottom / 2
    assert parted > 0 or pair[0] == "band"


def test_no_act_is_parted(demo_pages: list[PageObject]) -> None:
    """Each page of the steps begins with the number of an act, a caution, a table of passes, or the head of a step."""
    acts = False
    for page in demo_pages:
        tokens = page_tokens(page)
        if acts and tokens[0].text != "RECORD":
            first = tokens[0]
            assert is_number(first) or STEP.fullmatch(first.text) or first.text == "!" or "PASSES" in first.text, first
        acts = any(STEP.fullmatch(token.text) for token in tokens) or (acts and tokens[0].text != "RECORD")


def goes_on(page: PageObject) -> bool:
    """Whether the page begins within a step."""
    first = page_tokens(page)[0]
    return is_number(first) or first.text == "!" or "PASSES" in first.text


@pytest.mark.parametrize("pair", PAIRS)
def test_no_page_ends_between_a_caution_and_its_act(pair: tuple[str, str]) -> None:
    """Letter is the lower paper; its steps are parted most."""
    pages = pages_of(sheet_pdf(demo_plan(*pair), demo_shop(pair[1]), paper=Paper.LETTER))
    begun = False
    for page in pages:
        tokens = page_tokens(page)
        begun = begun or any(STEP.fullmatch(token.text) for token in tokens)
        marks = [token for token in tokens if token.text == "!"]
        if begun and marks:
            below = [token for token in tokens if is_number(token) or is_letter(token)]
            assert max(token.y_mm for token in below) > max(token.y_mm for token in marks)


@pytest.mark.parametrize("paper", list(Paper))
def test_the_foot_says_which_step_goes_on_and_where(paper: Paper) -> None:
    plan, shop = demo_plan("bush", "inch-lathe"), demo_shop("inch-lathe")
    pages = pages_of(sheet_pdf(plan, shop, paper=paper))
    parted = 0
    for number, (page, following) in enumerate(pairwise(pages), start=1):
        said = [token.text for token in foot_tokens(page)]
        first = page_tokens(following)[0].text
        if goes_on(following):
            parted += 1
            (foot,) = said
            assert foot.endswith(f" goes on: page {number + 1}")
            step = foot.split()[1]
            assert f"step {step} " in head_text(following) or f"steps {step} to" in head_text(following)
            assert not is_number(page_tokens(following)[0]) or first.startswith(f"{step}.")
        else:
            assert said == []
    assert parted > 3
    assert [token.text for token in foot_tokens(pages[-1])] == [f"plan {plan.id}, made by {plan.program}"]


def test_the_foot_is_where_printers_print() -> None:
    """Usual printers leave 4 to 6 mm; common practice, no source."""
    plan, shop = demo_plan("bush", "inch-lathe"), demo_shop("inch-lathe")
    for page in pages_of(sheet_pdf(plan, shop, paper=Paper.A4)):
        assert all(token.y_mm < PAPER_MM[Paper.A4][1] - 6.5 for token in foot_tokens(page))


def test_no_line_ends_between_a_figure_and_its_unit(demo_pages: list[PageObject]) -> None:
    for page in demo_pages:
        for before, after in pairwise(page_tokens(page)):
            if after.y_mm > before.y_mm + 1.0 and re.search(r"(?:^| )[\d.]+$", before.text):
                assert not re.match(r"(?:mm|in|rev/min|min|s)\b", after.text), (before, after)


def test_a_minus_is_set_as_one(demo_pages: list[PageObject]) -> None:
    told = "".join(page.extract_text() for page in demo_pages)
    assert "\N{MINUS SIGN} marks" in told
    assert " - marks" not in told


def test_a_turn_the_other_way_stands_before_the_figure_it_comes_before() -> None:
    """``first clockwise 50 marks past it`` must be met before the figure: it stands on a line above, or beside it."""
    pages = pages_of(sheet_pdf(demo_plan("bush", "inch-lathe"), demo_shop("inch-lathe"), paper=Paper.A4))
    found = 0
    for page in pages:
        tokens = page_tokens(page)
        for place, token in enumerate(tokens):
            if token.text == "first" and tokens[place + 1].text == "clockwise":
                dial = next(it for it in tokens[place:] if it.text == "DIAL")
                assert token.y_mm <= dial.y_mm
                found += 1
    assert found > 0


def test_a_caution_stands_directly_before_its_act() -> None:
    read = recover_paper(sheet_pdf(make_plan(), make_shop(), paper=Paper.A4))
    cut = next(record for record in read.records if record.number == "5.5")
    assert cut.cautions[-1] == "The ring comes free: no hand near it."


@pytest.mark.parametrize("pair", PAIRS)
def test_nothing_on_the_pages_for_the_lathe_is_too_small(pair: tuple[str, str]) -> None:
    pages = pages_of(sheet_pdf(demo_plan(*pair), demo_shop(pair[1]), paper=Paper.A4))
    letters = [token for page in pages for token in page_tokens(page) if token.size_pt]
    assert min(token.size_pt for token in letters) >= SMALLEST_PT
    dials = [after for before, after in pairwise(letters) if before.text == "DIAL"]
    dials = [token for token in dials if re.fullmatch(r"\d+", token.text)]
    assert len(dials) > 10
    assert min(token.size_pt for token in dials) >= 18


def test_there_is_a_box_for_every_reading(demo_pages: list[PageObject]) -> None:
    tokens = [token for page in demo_pages for token in page_tokens(page)]
    readings = [after for before, after in pairwise(tokens) if re.search(r"(?<!the )\breading$", before.text)]
    plan = demo_plan("bush", "metric-lathe")
    assert len(readings) >= len(acts_of(plan, Measure))
    assert all(token.text == BOX for token in readings)


def test_the_record_has_every_size_with_its_limits_and_room(demo_pages: list[PageObject]) -> None:
    record = words_of(demo_pages).partition(" RECORD ")[2]
    for said in (
        "bore diameter",
        "20.000 to 20.033",
        "three-point bore gauge, 20 to 25 mm",
        "made by",
        "date",
        "remarks",
    ):
        assert said in record


@pytest.mark.parametrize("quantity", [1, 4])
def test_names_of_sizes_in_the_record_stand_clear_of_each_other(quantity: int) -> None:
    """Each on one line of its own, with a row as high as a pencil needs; common practice, no source."""
    plan, shop = demo_plan("flange", "metric-lathe"), demo_shop("metric-lathe")
    part = replace(plan.sheet.part, quantity=quantity)
    pages = pages_of(sheet_pdf(replace(plan, sheet=replace(plan.sheet, part=part)), shop, paper=Paper.A4))
    record = next(page_tokens(page) for page in pages if page_tokens(page)[0].text == "RECORD")
    names = {row[0] for row in size_rows(part)[1:]}
    rows = [token for token in record if token.text in names]
    assert {token.text for token in rows} == names
    assert all(after.y_mm - before.y_mm >= 10.0 for before, after in pairwise(rows))


def test_findings_stand_with_their_remedies(demo_pages: list[PageObject]) -> None:
    told = words_of(demo_pages).partition(" WHAT TO KNOW ")[2]
    for finding in demo_plan("bush", "metric-lathe").findings:
        assert finding.problem in told
        assert finding.remedy in told


def test_a_finding_that_forbids_the_job_stands_in_the_first_frame() -> None:
    stop = Finding(
        code="unknown-metal",
        severity=Severity.STOP,
        where="back",
        problem="the ring cannot be held.",
        remedy="Bore soft jaws.",
        source_key="COMMON",
    )
    plan = replace(make_plan(), findings=(stop,))
    first = page_tokens(pages_of(sheet_pdf(plan, make_shop(), paper=Paper.A4))[0])
    assert "STOP, do not cut: the ring cannot be held. Remedy: Bore soft jaws." in " ".join(it.text for it in first)


def test_tools_are_listed_with_the_acts_that_set_their_zeros(demo_pages: list[PageObject]) -> None:
    tokens = [token for page in demo_pages for token in page_tokens(page)]
    place = next(place for place, token in enumerate(tokens) if token.text == "boring-12: 12 mm boring bar, sharp")
    listed = [token.text for token in tokens[place : place + 12]]
    assert listed[1] == "fitted in 7.3"
    assert listed[2:4] == ["27.6 mm", "(1.09 in)"]
    assert listed[4:8] == ["I", "7.10", "carriage", "front face"]


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("pair", PAIRS)
def test_the_summary_for_the_desk_is_one_page(pair: tuple[str, str], paper: Paper) -> None:
    plan, shop = demo_plan(*pair), demo_shop(pair[1])
    (page,) = pages_of(desk_pdf(plan, shop, paper=paper))
    told = " ".join(token.text for token in page_tokens(page))
    for time in plan.times:
        assert time.title in told
    for finding in plan.findings:
        assert finding.problem in told


def test_a_desk_that_would_need_more_than_a_page_is_made_smaller_as_a_whole() -> None:
    finding = Finding(
        code="bar-cut",
        severity=Severity.WARNING,
        where="back",
        problem="words " * 60,
        remedy="more " * 60,
        source_key="C",
    )
    plan = replace(make_plan(), findings=(finding,) * 40)
    (page,) = pages_of(desk_pdf(plan, make_shop(), paper=Paper.LETTER))
    assert "".join(token.text for token in page_tokens(page)).count("words words") > 40


def test_the_same_plan_gives_the_same_bytes() -> None:
    plan, shop = make_plan(), make_shop()
    assert sheet_pdf(plan, shop, paper=Paper.A4) == sheet_pdf(plan, shop, paper=Paper.A4)
    assert b"/CreationDate" not in sheet_pdf(plan, shop, paper=Paper.A4)


def test_only_letters_that_come_in_a_package_are_used(demo_pages: list[PageObject]) -> None:
    assert fonts_of(demo_pages) == {"SourceSansPro-Regular", "SourceSansPro-Bold"}


HOSTILE = (
    '#panic("x") *bold* _it_ $x^2$ `raw` <label> @ref [a] {b} // c /* d */ ~ --',
    '\\u{41} \\n #sys.inputs.content #import "@preview/x:1.0.0"',
    "</content> \" ' & %PDF- )ET",
    "W" * 300,
    "name " * 80,
    "Bague – 18 ½ mm “für Zoë” 指輪 ⌀",
    "\u202egnir\u200b \u0007 a\nb\tc",
)


@pytest.mark.parametrize("name", HOSTILE)
def test_a_name_is_never_markup_and_never_leaves_the_page(name: str) -> None:
    plan, shop = named(make_plan(), name), make_shop()
    hostile = replace(shop, name=name, tools=tuple(replace(tool, name=name) for tool in shop.tools))
    pages = pages_of(sheet_pdf(plan, hostile, paper=Paper.A4))
    told = "".join(words_of(pages).split())
    shown = "".join(on_paper(name).replace("\u200b", "").split())
    assert told.count(shown) >= 2  # as the title, and among the facts
    (desk,) = pages_of(desk_pdf(plan, hostile, paper=Paper.A4))
    assert shown in "".join(words_of([desk]).split())
    width, height = PAPER_MM[Paper.A4]
    assert all(token.x_mm < width - MARGIN_MM and token.y_mm < height for page in pages for token in page_tokens(page))


def test_letters_that_the_font_lacks_are_put_into_plain_ones() -> None:
    assert on_paper("Bague – 18 ½ mm “für Zoë” 指輪 ⌀ Łódź") == "Bague – 18 ½ mm “für Zoë” ?? Ø Łódź"


def test_pictures_stand_where_they_belong_and_leave_no_gap_where_they_are_missing() -> None:
    svg = Picture(
        svg='<svg xmlns="http://www.w3.org/2000/svg" width="40" height="20"><path d="M0 0h40v20z"/></svg>', width_mm=40
    )
    plan, shop = make_plan(), make_shop()
    steps = [act.step for act in plan.sheet.acts]
    pictures = Pictures(part=svg, set_ups={steps[0]: svg}, steps={steps[-1]: svg})
    drawn = sheet_pdf(plan, shop, paper=Paper.A4, pictures=pictures)
    assert recover_paper(drawn).records == recover_paper(sheet_pdf(plan, shop, paper=Paper.A4)).records
    assert len(drawn) > len(sheet_pdf(plan, shop, paper=Paper.A4))


def test_a_fault_of_a_page_is_told_and_no_pdf_is_given() -> None:
    with pytest.raises(TypesettingError, match=r"desk.typ: .*no PDF was made"):
        typeset(Template.DESK, {"head": {}}, paper=Paper.A4)
