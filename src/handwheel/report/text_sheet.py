"""The sheet as plain text for a terminal or a printer: head, steps with one act at a time, end."""

from __future__ import annotations

from typing import TYPE_CHECKING

from handwheel.report.blocks import step_block
from handwheel.report.head_text import head_lines
from handwheel.report.layout import labelled, require_width, row_lines, table
from handwheel.report.passes import PassesBlock
from handwheel.report.steps import numbered_steps
from handwheel.report.tail_text import tail_lines
from handwheel.report.wording import printed_in, worded, wording_for

if TYPE_CHECKING:
    from collections.abc import Iterator

    from handwheel.domain.plan import Plan
    from handwheel.domain.shop import Shop
    from handwheel.report.blocks import StepBlock
    from handwheel.report.wording import Wording


def sheet_text(plan: Plan, shop: Shop, *, width: int = 80, wording: Wording | None = None) -> str:
    """Print the whole sheet as lines of at most ``width`` columns, in ASCII and ± ° × Ø µ.

    Parameters
    ----------
    plan : Plan
        Plan to print; its sheet is printed act by act, and a test recovers the sheet from this text.
    shop : Shop
        Shop that the plan was made for.
    width : int
        Columns of the terminal, 72 to 200.
    wording : Wording or None
        Which unit, and whose words; as the shop file says if it is not given.

    Raises
    ------
    OutOfRangeError
        If the width is outside 72 to 200 columns.
    ShopError
        If the sheet counts marks on a slide that has no dial in this shop.
    KeyError
        If the sheet names a tool, drill, bar, or gauge that this shop does not have.
    """
    require_width(width)
    with printed_in(wording_for(plan, shop) if wording is None else wording):
        return "\n".join(_lines(plan, shop, width=width)) + "\n"


def _lines(plan: Plan, shop: Shop, *, width: int) -> Iterator[str]:
    steps = numbered_steps(plan, shop)
    yield from head_lines(plan, shop, width=width)
    for step in steps:
        block = step_block(step, fits=lambda passes: max(map(len, table_lines(passes))) <= width)
        yield ""
        yield from step_lines(block, of=len(steps), width=width)
    yield ""
    yield from tail_lines(plan, steps, width=width)


def step_lines(step: StepBlock, *, of: int, width: int) -> Iterator[str]:
    """Lay out one step: heading, what is in force, then its acts."""
    yield "-" * width
    yield heading_line(step, of=of, width=width)
    for label, lines in step.in_force:
        for place, line in enumerate(lines):
            yield from labelled(label if place == 0 else "then", "; ".join(map(str, line)), width=width)
    for text in step.overshot:
        yield from labelled("overshot?", text, width=width)
    yield "-" * width
    for item in step.items:
        if isinstance(item, PassesBlock):
            yield from passes_lines(item, width=width)
        else:
            yield from row_lines(item, width=width)


def heading_line(step: StepBlock, *, of: int, width: int) -> str:
    """Lay out number, title and estimated time of a step."""
    left, right = f" STEP {step.number} of {of}   {worded(step.title)}", step.time
    if not right:
        return left[:width]
    return f"{left[: width - len(right) - 2]:<{width - len(right)}}{right}"


def passes_lines(passes: PassesBlock, *, width: int) -> Iterator[str]:
    """Lay out repeated passes: the round once, act by act, then a line for each pass."""
    yield ""
    yield f"  {passes.heading}"
    for row in passes.round:
        yield from row_lines(row, width=width)
    yield from table_lines(passes)
    yield ""


def table_lines(passes: PassesBlock) -> list[str]:
    """Set the table of repeated passes in columns: words to the left, figures to the right."""
    right = frozenset(place for place, column in enumerate(passes.columns) if column.is_figure)
    return table([tuple(column.name for column in passes.columns), *passes.rows], right=right, indent="  ")
