"""A plan as a piece of a web page, for notebooks: cautions, pictures, a table of its steps, what to know."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.report.blocks import in_force
from handwheel.report.head_text import cautions_of, facts, size_rows
from handwheel.report.pieces import Line
from handwheel.report.steps import numbered_steps
from handwheel.report.tail_text import WEIGHT, by_weight, finding_texts, minutes_of, step_numbers
from handwheel.report.wording import Wording, printed_in, worded

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from handwheel.domain.plan import Plan
    from handwheel.domain.shop import Shop

HEAD = ("step", "what is done", "with", "speed", "minutes")
BLACK_ON_WHITE = "background:white;color:black;padding:0.5em;font-family:sans-serif"
"""Pictures are drawn in black, and a notebook may be dark."""
CELL = "text-align:left;vertical-align:top;padding:0.2em 0.6em"
BY_THE_SHEET = "This is to look a plan over. Work by its sheet: print it, or read it act by act."


class StepRow(Struct, frozen=True, kw_only=True):
    """A step in the table: its number, what is done, tools, speeds, minutes in all."""

    number: int
    title: str
    tools: str
    speeds: str
    minutes: str

    @property
    def cells(self) -> tuple[str, ...]:
        """Cells in the order of the heading."""
        return (str(self.number), self.title, self.tools, self.speeds, self.minutes)


def step_rows(plan: Plan, shop: Shop) -> tuple[StepRow, ...]:
    """A row for each step, as the sheet numbers them."""
    rows = []
    for step in numbered_steps(plan, shop):
        used = dict(in_force(step))
        rows.append(
            StepRow(
                number=step.number,
                title=step.title,
                tools=_joined(used.get("tool", ())),
                speeds=_joined(used.get("speed", ())),
                minutes="" if step.time is None else minutes_of((step.time,))[-1],
            )
        )
    return tuple(rows)


def plan_html(plan: Plan, shop: Shop, *, part: str, strip: str, wording: Wording) -> str:
    """Lay a plan out as one ``<div>``.

    Parameters
    ----------
    plan, shop : Plan, Shop
        The plan, and the shop that it was made for.
    part, strip : str
        SVG elements, which go in as they are: the drawing of the part, the pictures of all steps.
    wording : Wording
        Which unit, and whose words.

    Returns
    -------
    str
        HTML that is well-formed XML too, without scripts; every text of the plan and the shop is escaped.
    """
    with printed_in(wording):
        head, *sizes = size_rows(plan.sheet.part)
        return "".join(
            (
                f'<div style="{BLACK_ON_WHITE}">',
                f"<h3>{_text(plan.sheet.part.name)}</h3>",
                _list(cautions_of(plan)),
                _table(facts(plan, shop)),
                _table(sizes, head=head),
                _picture(part),
                _table((row.cells for row in step_rows(plan, shop)), head=HEAD),
                _picture(strip),
                _findings(plan, shop),
                f"<p>{_text(BY_THE_SHEET)}</p></div>",
            )
        )


def _picture(svg: str) -> str:
    return f'<div style="overflow-x:auto">{svg}</div>'


def _findings(plan: Plan, shop: Shop) -> str:
    numbers = step_numbers(numbered_steps(plan, shop))
    rows = [(WEIGHT[finding.severity], *finding_texts(finding, numbers)) for finding in by_weight(plan.findings)]
    return _table(rows, head=("", "what to know", "what to do")) if rows else ""


def _list(texts: Iterable[str]) -> str:
    items = "".join(f"<li><b>{_text(text)}</b></li>" for text in texts)
    return f"<ul>{items}</ul>"


def _table(rows: Iterable[Iterable[str]], *, head: Sequence[str] = ()) -> str:
    first = _row(head, kind="th") if head else ""
    return f"<table>{first}{''.join(_row(row, kind='td') for row in rows)}</table>"


def _row(cells: Iterable[str], *, kind: str) -> str:
    inner = "".join(f'<{kind} style="{CELL}">{_text(cell)}</{kind}>' for cell in cells)
    return f"<tr>{inner}</tr>"


def _joined(lines: Iterable[Line]) -> str:
    return "; ".join(" ".join(map(str, line)) for line in lines)


def _text(text: str) -> str:
    """Text as it stands in HTML: escaped, without what steers a terminal or a page."""
    return escape("".join(letter for letter in worded(text) if letter.isprintable()))
