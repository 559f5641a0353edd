"""What stands on the pages: the sheet for the lathe, the summary for the desk."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.report.blocks import step_block
from handwheel.report.caution_sources import TITLE, caution_sources
from handwheel.report.head_text import (
    SHOWN_OF_ID,
    cautions_of,
    facts,
    lathe_name,
    needed,
    reading_rules,
    size_name,
    size_rows,
)
from handwheel.report.numbers import Lengths
from handwheel.report.paper.holdings import SetUp, set_ups
from handwheel.report.paper.record import MOST_PARTS, RecordRow, columns_for, record_rows
from handwheel.report.paper.rows import PaperRow, PaperStep, paper_row, paper_step
from handwheel.report.paper.small_print import NO_SMALL_PRINT, SmallPrint, small_print
from handwheel.report.paper.spans import Spans, flow_of, on_paper, spans_of
from handwheel.report.paper.tool_list import ListedTool, listed_tools
from handwheel.report.steps import numbered_steps
from handwheel.report.tail_text import WEIGHT, by_weight, finding_texts, minutes_of, step_numbers
from handwheel.report.understood_text import understood

if TYPE_CHECKING:
    from handwheel.domain.findings import Finding
    from handwheel.domain.plan import Plan
    from handwheel.domain.shop import Shop
    from handwheel.report.paper.pictures import Picture, Pictures
    from handwheel.report.passes import PassesBlock
    from handwheel.report.steps import NumberedStep

PIECES_APART = "   "
"""Parts the pieces of a line of the sheet in a rule of reading; on paper they stand further apart too."""
LONGEST_NAME, LONGEST_LATHE = 48, 70
"""Letters of the part's and of the lathe's name that the head of every page shows. The first page has them whole."""

Labelled = tuple[str, tuple[Spans, ...]]
"""A label and its texts."""


class PageHead(Struct, frozen=True, kw_only=True):
    """What every page repeats."""

    name: str
    lathe: str
    plan: str


class PaperFinding(Struct, frozen=True, kw_only=True):
    """A finding: its weight in words, where and what, what to do."""

    weight: str
    problem: str
    remedy: str


class PaperSetUp(Struct, frozen=True, kw_only=True):
    """A set-up: what holds, its steps, how it is made, what is touched in it, its picture."""

    name: str
    steps: str
    row: PaperRow
    touched: tuple[Spans, ...]
    picture: Picture | None


class PaperRecord(Struct, frozen=True, kw_only=True):
    """The record page: a row for each size, a column for each of so many parts, and what is said about more."""

    rows: tuple[RecordRow, ...]
    parts: int
    more: str


class LatheSheet(Struct, frozen=True, kw_only=True):
    """The sheet for the lathe, in the order of its pages."""

    head: PageHead
    title: str
    author: str
    keywords: tuple[str, ...]
    cautions: tuple[str, ...]
    facts: tuple[Labelled, ...]
    sizes: tuple[tuple[str, ...], ...]
    understood: tuple[Labelled, ...]
    picture: Picture | None
    set_ups: tuple[PaperSetUp, ...]
    tools: tuple[ListedTool, ...]
    needed: tuple[Labelled, ...]
    rules: tuple[Spans, ...]
    steps: tuple[PaperStep, ...]
    record: PaperRecord
    findings: tuple[PaperFinding, ...]
    sources_title: str
    sources: tuple[str, ...]
    why: SmallPrint
    program: str


class DeskStep(Struct, frozen=True, kw_only=True):
    """A step on the desk's page: number, title, minutes to make ready, to cut, to measure, in all."""

    number: int
    title: str
    minutes: tuple[str, ...]


class DeskHolding(Struct, frozen=True, kw_only=True):
    """The steps of one holding."""

    title: str
    steps: tuple[DeskStep, ...]


class DeskSummary(Struct, frozen=True, kw_only=True):
    """One page for the desk."""

    head: PageHead
    title: str
    author: str
    keywords: tuple[str, ...]
    facts: tuple[Labelled, ...]
    sizes: tuple[tuple[str, ...], ...]
    holdings: tuple[DeskHolding, ...]
    together: tuple[str, ...]
    needed: tuple[Labelled, ...]
    findings: tuple[PaperFinding, ...]
    program: str


def lathe_sheet(plan: Plan, shop: Shop, pictures: Pictures, *, reasons: bool = False) -> LatheSheet:
    """Everything that stands on the sheet for the lathe; with ``reasons`` those of its numbers too, in small print."""
    part = plan.sheet.part
    steps = numbered_steps(plan, shop)
    return LatheSheet(
        head=_head(plan, shop),
        title=on_paper(part.name),
        author=plan.program,
        keywords=_keywords(plan),
        cautions=tuple(map(on_paper, cautions_of(plan))),
        facts=_facts(plan, shop),
        sizes=_sizes(plan),
        understood=tuple((label, tuple(map(spans_of, texts))) for label, texts in understood(part, size_name) if texts),
        picture=pictures.part,
        set_ups=tuple(_set_up(it, pictures) for it in set_ups(steps, shop)),
        tools=_tools(steps, shop, Lengths(units=part.units)),
        needed=_needed(plan, shop, skipped=LISTED_APART),
        rules=tuple(flow_of((tuple(rule.split(PIECES_APART)),)) for rule in reading_rules(plan, shop)),
        steps=tuple(paper_step(step_block(step, fits=_fits), picture=pictures.steps.get(step.id)) for step in steps),
        record=_record(plan, shop),
        findings=_findings(plan, steps),
        sources_title=TITLE.strip(),
        sources=tuple(map(on_paper, caution_sources(plan.sheet))),
        why=small_print(plan, shop) if reasons else NO_SMALL_PRINT,
        program=_program(plan),
    )


def desk_summary(plan: Plan, shop: Shop) -> DeskSummary:
    """Everything that stands on the page for the desk."""
    steps = numbered_steps(plan, shop)
    return DeskSummary(
        head=_head(plan, shop),
        title=on_paper(plan.sheet.part.name),
        author=plan.program,
        keywords=_keywords(plan),
        facts=_facts(plan, shop),
        sizes=_sizes(plan),
        holdings=tuple(
            DeskHolding(title=on_paper(it.name), steps=tuple(map(_desk_step, it.steps))) for it in set_ups(steps, shop)
        ),
        together=minutes_of(plan.times),
        needed=_needed(plan, shop, skipped=frozenset()),
        findings=_findings(plan, steps),
        program=_program(plan),
    )


def _desk_step(step: NumberedStep) -> DeskStep:
    return DeskStep(
        number=step.number,
        title=on_paper(step.title),
        minutes=() if step.time is None else minutes_of((step.time,)),
    )


LISTED_APART = frozenset({"tools", "drills", "reamers"})
"""What the sheet for the lathe lists with its zeros."""


def _fits(passes: PassesBlock) -> bool:
    """A page holds every column that a table of passes can have."""
    del passes
    return True


def _head(plan: Plan, shop: Shop) -> PageHead:
    return PageHead(
        name=_shortened(plan.sheet.part.name, LONGEST_NAME),
        lathe=_shortened(lathe_name(shop), LONGEST_LATHE),
        plan=plan.id[:SHOWN_OF_ID],
    )


def _shortened(name: str, most: int) -> str:
    shown = on_paper(name)
    return shown if len(shown) <= most else f"{shown[: most - 1].rstrip()}…"


def _program(plan: Plan) -> str:
    return on_paper(f"plan {plan.id}, made by {plan.program}")


def _keywords(plan: Plan) -> tuple[str, ...]:
    """By what the file is found again: its metal, its lathe, its plan."""
    return (on_paper(plan.sheet.part.material), on_paper(plan.sheet.shop), f"plan {plan.id}")


def _facts(plan: Plan, shop: Shop) -> tuple[Labelled, ...]:
    return tuple((label, (spans_of(text),)) for label, text in facts(plan, shop))


def _sizes(plan: Plan) -> tuple[tuple[str, ...], ...]:
    return tuple(tuple(map(on_paper, row)) for row in size_rows(plan.sheet.part))


def _needed(plan: Plan, shop: Shop, *, skipped: frozenset[str]) -> tuple[Labelled, ...]:
    return tuple(
        (label, tuple(map(spans_of, things))) for label, things in needed(plan, shop) if things and label not in skipped
    )


def _tools(steps: tuple[NumberedStep, ...], shop: Shop, lengths: Lengths) -> tuple[ListedTool, ...]:
    return listed_tools(steps, shop, lengths)


def _set_up(it: SetUp, pictures: Pictures) -> PaperSetUp:
    return PaperSetUp(
        name=on_paper(it.name),
        steps=it.steps_words,
        row=paper_row(it.row),
        touched=tuple(map(spans_of, it.touched)),
        picture=next((picture for step in it.steps if (picture := pictures.set_ups.get(step.id))), None),
    )


def _record(plan: Plan, shop: Shop) -> PaperRecord:
    quantity = plan.sheet.part.quantity
    more = (
        f"{quantity} parts are wanted: copy this page for each further {MOST_PARTS}." if quantity > MOST_PARTS else ""
    )
    return PaperRecord(rows=record_rows(plan.sheet, shop), parts=columns_for(quantity), more=more)


def _findings(plan: Plan, steps: tuple[NumberedStep, ...]) -> tuple[PaperFinding, ...]:
    numbers = step_numbers(steps)
    return tuple(_finding(finding, numbers) for finding in by_weight(plan.findings))


def _finding(finding: Finding, numbers: dict[str, int]) -> PaperFinding:
    problem, remedy = finding_texts(finding, numbers)
    return PaperFinding(weight=WEIGHT[finding.severity], problem=on_paper(problem), remedy=on_paper(remedy))
