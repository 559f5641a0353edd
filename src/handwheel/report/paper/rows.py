"""Acts and steps as they stand on paper: what the hand sets apart from the words about it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.report.paper.spans import Spans, flow_of, on_paper, spans_of
from handwheel.report.passes import DIAL_COLUMN, PassesBlock
from handwheel.report.pieces import BOX, Said, Weight

if TYPE_CHECKING:
    from handwheel.report.blocks import StepBlock
    from handwheel.report.paper.pictures import Picture
    from handwheel.report.pieces import ActRow, ActTable, Line

CUTTING = frozenset({"cut", "drill", "ream"})
MEASURING = frozenset({"MEASURE"})
LONGEST_FIGURE = 11
"""A setting of more letters, name included, or with a unit stands on a line of its own: its column holds no more."""
MOST_BESIDE = 2
"""So many lines of words stand beside what is set; of more the last alone, the others above it."""
FIRST = "first "
"""What is done before the setting stands beside it, the other words above both: the eye meets it before the figure."""
MOST_FLOWING = 2
"""So many lines without a box flow on as one; more stand one under the other."""


class Reading(Struct, frozen=True, kw_only=True):
    """What the hand sets, largest on the page, and beside it how far that is and what is then true.

    ``before`` and ``after`` are the words about the figure; ``is_long`` says that it needs a line of its own.
    """

    before: Spans
    figure: str
    after: Spans
    beside: Spans
    is_long: bool


class PaperAdvice(Struct, frozen=True, kw_only=True):
    """From a reading to what to do: columns by name, rows of words, the column that the hand goes by."""

    columns: tuple[str, ...]
    rows: tuple[tuple[Spans, ...], ...]
    tells: int


class PaperRow(Struct, frozen=True, kw_only=True):
    """An act: words above, words beside what is set, that itself, words below, table, note; read in this order.

    ``mark`` tells a cut and a measurement from all else. What stands after a table stands in ``after``.
    """

    number: str
    verb: str
    mark: str
    above: Spans
    words: Spans
    reading: Reading | None
    below: Spans
    table: PaperAdvice | None
    after: Spans
    note: Spans
    cautions: tuple[str, ...]


class PaperColumn(Struct, frozen=True, kw_only=True):
    """A column of a table of passes; the hand sets by the one that ``is_set``."""

    name: str
    is_figure: bool
    is_set: bool


class PaperPasses(Struct, frozen=True, kw_only=True):
    """Repeated passes: heading, acts of a round, table."""

    heading: str
    round: tuple[PaperRow, ...]
    columns: tuple[PaperColumn, ...]
    rows: tuple[tuple[Spans, ...], ...]


class PaperItem(Struct, frozen=True, kw_only=True):
    """An act, or repeated passes; the other one is missing."""

    row: PaperRow | None = None
    passes: PaperPasses | None = None


class PaperStep(Struct, frozen=True, kw_only=True):
    """A step with its picture, if there is one."""

    number: int
    title: str
    time: str
    in_force: tuple[tuple[str, tuple[Spans, ...]], ...]
    overshot: tuple[Spans, ...]
    picture: Picture | None
    items: tuple[PaperItem, ...]


def paper_step(step: StepBlock, *, picture: Picture | None) -> PaperStep:
    """Lay out a step."""
    return PaperStep(
        number=step.number,
        title=on_paper(step.title),
        time=step.time,
        in_force=tuple((label, tuple(flow_of((line,)) for line in lines)) for label, lines in step.in_force),
        overshot=tuple(map(spans_of, step.overshot)),
        picture=picture,
        items=tuple(
            PaperItem(passes=paper_passes(item)) if isinstance(item, PassesBlock) else PaperItem(row=paper_row(item))
            for item in step.items
        ),
    )


def paper_row(row: ActRow) -> PaperRow:
    """Lay out an act: the first setting is its reading, what is said before and after it are words."""
    lines = tuple(line for line in row.text.lines if line)
    before, setting, beside, after = _parted_at_setting(lines)
    apart = len(before) > MOST_BESIDE or (len(before) > 1 and str(before[-1][0]).startswith(FIRST))
    above = before[:-1] if setting and apart else ()
    return PaperRow(
        number=row.number,
        verb=row.text.verb,
        mark="cut" if row.text.verb in CUTTING else "measure" if row.text.verb in MEASURING else "",
        above=flow_of(above),
        words=flow_of(_narrow(before[len(above) :]) if setting else _flowing(before)),
        reading=None if setting is None else reading(setting, beside),
        below=flow_of(after),
        table=None if row.text.table is None else paper_advice(row.text.table),
        after=flow_of(row.text.after),
        note=spans_of(f"note: {row.note}") if row.note else (),
        cautions=tuple(map(on_paper, row.cautions)),
    )


def paper_advice(it: ActTable) -> PaperAdvice:
    """Lay out what to do by the reading."""
    return PaperAdvice(
        columns=tuple(map(on_paper, it.columns)),
        rows=tuple(tuple(map(spans_of, row)) for row in it.rows),
        tells=it.tells,
    )


def reading(setting: Said, beside: Line) -> Reading:
    """Lay out a setting, and what stands beside it, each piece on a line of its own."""
    figure, *rest = spans_of(setting.text)
    figure_text = str(figure)
    return Reading(
        before=spans_of(setting.before),
        figure=figure_text,
        after=(*rest, *spans_of(setting.after)),
        beside=flow_of(tuple((piece,) for piece in beside)),
        is_long=len(setting.before) + len(setting.text) > LONGEST_FIGURE or figure_text[-1].isalpha(),
    )


def _parted_at_setting(lines: tuple[Line, ...]) -> tuple[tuple[Line, ...], Said | None, Line, tuple[Line, ...]]:
    """Lines before the first setting, the setting, the rest of its line, the lines after that."""
    for place, line in enumerate(lines):
        for position, piece in enumerate(line):
            if isinstance(piece, Said) and piece.weight is Weight.SETTING:
                before = (*lines[:place], *((line[:position],) if position else ()))
                return before, piece, line[position + 1 :], lines[place + 1 :]
    return lines, None, (), ()


def paper_passes(passes: PassesBlock) -> PaperPasses:
    """Lay out repeated passes."""
    return PaperPasses(
        heading=passes.heading,
        round=tuple(map(paper_row, passes.round)),
        columns=tuple(
            PaperColumn(name=column.name, is_figure=column.is_figure, is_set=column is DIAL_COLUMN)
            for column in passes.columns
        ),
        rows=tuple(tuple(map(spans_of, row)) for row in passes.rows),
    )


def _flowing(lines: tuple[Line, ...]) -> tuple[Line, ...]:
    """Put few lines without a box on one."""
    if len(lines) > MOST_FLOWING or any(BOX in str(piece) for line in lines for piece in line):
        return lines
    return (tuple(piece for line in lines for piece in line),)


def _narrow(lines: tuple[Line, ...]) -> tuple[Line, ...]:
    """Put the first piece of words that stand in a narrow column on a line of its own."""
    return tuple(part for line in lines for part in (line[:1], line[1:]) if part)
