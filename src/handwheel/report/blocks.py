"""A step as a block: its head, what is in force in it, then its acts and tables of passes, as words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from handwheel.domain.acts import Cut, DrillHole, FitDrill, FitReamer, FitTool, ReamHole, SettingKind, Touch
from handwheel.domain.motion import Handle
from handwheel.report.numbers import estimate_text
from handwheel.report.passes import PassesBlock, act_row, with_passes
from handwheel.report.setting_text import go_again
from handwheel.report.setup_text import feed_pieces, speed_said, tool_text
from handwheel.report.situation import setting_of, tool_at

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from handwheel.report.pieces import ActRow, Line
    from handwheel.report.steps import NumberedAct, NumberedStep


class StepBlock(Struct, frozen=True, kw_only=True):
    """A step as it stands on a sheet; every kind of sheet prints its blocks in their order.

    ``time`` is the estimate, in words, or nothing where the plan states none; ``in_force`` are labels with what belongs
    to each (tools, speeds, feeds), in the order of use; ``overshot`` says for each handle how to come back.
    """

    number: int
    id: str
    title: str
    time: str
    in_force: tuple[tuple[str, tuple[Line, ...]], ...]
    overshot: tuple[str, ...]
    items: tuple[ActRow | PassesBlock, ...]


def step_block(step: NumberedStep, *, fits: Callable[[PassesBlock], bool]) -> StepBlock:
    """Word a step.

    Parameters
    ----------
    step : NumberedStep
        Acts of the step, numbered, with what their words depend on.
    fits : callable
        Whether the table of repeated passes goes on this kind of sheet; if not, each pass is told in full.
    """
    items = with_passes(step.acts, fits=fits)
    return replace(
        step_head(step), items=tuple(item if isinstance(item, PassesBlock) else act_row(item) for item in items)
    )


def step_head(step: NumberedStep) -> StepBlock:
    """Word what stands above the acts of a step."""
    time = step.time
    return StepBlock(
        number=step.number,
        id=step.id,
        title=step.title,
        time="" if time is None else f"about {estimate_text(time.setup_ms + time.cutting_ms + time.measuring_ms)}",
        in_force=tuple(in_force(step)),
        overshot=overshoot_texts(step),
        items=(),
    )


def in_force(step: NumberedStep) -> Iterator[tuple[str, tuple[Line, ...]]]:
    """Tool, speed and feed that the cuts and touches of a step use, in the order of use."""
    working = [item for item in step.acts if isinstance(item.act, Touch | Cut | DrillHole | ReamHole)]
    cutting = [item for item in working if not isinstance(item.act, Touch)]
    tools = _once((tool_text(tool, item.scene.shop),) for item in working if (tool := fitted(item)))
    speeds = _once((speed_said(speed, item.scene.shop),) for item in working if (speed := item.scene.before.speed))
    feeds = _once(feed_pieces(feed) for item in cutting if (feed := item.scene.before.feed))
    for label, lines in (("tool", tools), ("speed", speeds), ("feed", feeds)):
        if lines:
            yield label, lines


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


def _once(lines: Iterable[Line]) -> tuple[Line, ...]:
    return tuple(dict.fromkeys(lines))
