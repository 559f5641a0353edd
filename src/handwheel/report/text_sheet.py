"""The sheet as plain text for a terminal or a printer: head, steps with one act at a time, end."""

from __future__ import annotations

from typing import TYPE_CHECKING

from handwheel.domain.acts import Cut, DrillHole, FitDrill, FitReamer, FitTool, ReamHole, SettingKind, Touch
from handwheel.domain.motion import Handle
from handwheel.report.head_text import head_lines
from handwheel.report.layout import act_lines, caution_lines, labelled, require_width, with_note
from handwheel.report.numbers import estimate_text
from handwheel.report.passes import Passes, passes_lines, with_passes
from handwheel.report.setting_text import go_again
from handwheel.report.setup_text import feed_pieces, speed_text, tool_text
from handwheel.report.situation import setting_of, tool_at
from handwheel.report.steps import numbered_steps
from handwheel.report.tail_text import tail_lines

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from handwheel.domain.plan import Plan
    from handwheel.domain.shop import Shop
    from handwheel.report.steps import NumberedAct, NumberedStep


def sheet_text(plan: Plan, shop: Shop, *, width: int = 80) -> str:
    """Print the whole sheet as lines of at most ``width`` columns, in ASCII and ± ° × Ø µ.

    Parameters
    ----------
    plan : Plan
        Plan to print; its sheet is printed act by act, and a test recovers the sheet from this text.
    shop : Shop
        Shop that the plan was made for.
    width : int
        Columns of the terminal, 72 to 200.

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
    steps = numbered_steps(plan, shop)
    lines = [*head_lines(plan, shop, width=width)]
    for step in steps:
        lines += ["", *step_lines(step, of=len(steps), width=width)]
    lines += ["", *tail_lines(plan, steps, width=width)]
    return "\n".join(lines) + "\n"


def step_lines(step: NumberedStep, *, of: int, width: int) -> Iterator[str]:
    """Lay out one step: heading, what is in force, then its acts."""
    yield "-" * width
    yield from heading_lines(step, of=of, width=width)
    for label, texts in in_force(step):
        for place, text in enumerate(texts):
            yield from labelled(label if place == 0 else "then", text, width=width)
    for text in overshoot_texts(step):
        yield from labelled("overshot?", text, width=width)
    yield "-" * width
    for item in with_passes(step.acts, width=width):
        if isinstance(item, Passes):
            yield from passes_lines(item, width=width)
        else:
            yield from numbered_act_lines(item, width=width)


def heading_lines(step: NumberedStep, *, of: int, width: int) -> Iterator[str]:
    """Lay out number, title and estimated time of a step."""
    left = f" STEP {step.number} of {of}   {step.title}"
    if step.time is None:
        yield left[:width]
        return
    time = step.time
    right = f"about {estimate_text(time.setup_ms + time.cutting_ms + time.measuring_ms)}"
    yield f"{left[: width - len(right) - 2]:<{width - len(right)}}{right}"


def in_force(step: NumberedStep) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Tool, speed and feed that the cuts and touches of a step use, in the order of use."""
    working = [item for item in step.acts if isinstance(item.act, Touch | Cut | DrillHole | ReamHole)]
    cutting = [item for item in working if not isinstance(item.act, Touch)]
    tools = _once(tool_text(tool, item.scene.shop) for item in working if (tool := fitted(item)))
    speeds = _once(speed_text(speed, item.scene.shop) for item in working if (speed := item.scene.before.speed))
    feeds = _once("; ".join(feed_pieces(feed)) for item in cutting if (feed := item.scene.before.feed))
    for label, texts in (("tool", tools), ("speed", speeds), ("feed", feeds)):
        if texts:
            yield label, texts


def fitted(item: NumberedAct) -> FitTool | FitDrill | FitReamer | None:
    """Tool or drill that a touch or cut works with."""
    match item.act:
        case DrillHole() | ReamHole():
            return tool_at(Handle.QUILL, item.scene.before)
        case Touch() | Cut():
            return tool_at(item.act.handle, item.scene.before)
        case _:
            return None


def overshoot_texts(step: NumberedStep) -> tuple[str, ...]:
    """Say what to do if a dial went past its mark: for each handle the longest way back that the step needs."""
    longest: dict[Handle, tuple[int, str]] = {}
    for item in step.acts:
        setting = setting_of(item.act)
        if setting is None or setting.kind is not SettingKind.MARKS:
            continue
        marks = setting.back_off_marks
        if marks > longest.get(setting.handle, (0, ""))[0]:
            longest[setting.handle] = (marks, go_again(setting, item.scene))
    return tuple(text for _, text in longest.values())


def numbered_act_lines(item: NumberedAct, *, width: int) -> Iterator[str]:
    """Lay out one act with its cautions before it and its note after it."""
    yield from caution_lines(item.act.cautions, width=width)
    text = with_note(item.text, item.act.note)
    yield from act_lines(item.number, text, width=width)


def _once(texts: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(texts))
