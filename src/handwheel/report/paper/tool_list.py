"""Tools in the order of first use, each with the zeros that are set with it and where."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.domain.acts import FitDrill, FitReamer, FitTool, SetCollar, SetReadout, SetZero
from handwheel.report.paper.spans import Spans, on_paper, spans_of
from handwheel.report.setup_text import tool_text
from handwheel.report.situation import tool_at
from handwheel.report.words import HANDLE_WORDS, surface_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from handwheel.domain.shop import Shop
    from handwheel.report.numbers import Lengths
    from handwheel.report.steps import NumberedAct, NumberedStep


class ToolZero(Struct, frozen=True, kw_only=True):
    """A zero: its letter, the act that sets it, the handle, the surface that it is taken from."""

    letter: str
    act: str
    handle: str
    surface: str


class ListedTool(Struct, frozen=True, kw_only=True):
    """A tool, drill or reamer: what it is, how far it stands out, in which acts it is fitted, its zeros."""

    name: str
    stands_out: Spans
    fitted: tuple[str, ...]
    zeros: tuple[ToolZero, ...]


def listed_tools(steps: Sequence[NumberedStep], shop: Shop, lengths: Lengths) -> tuple[ListedTool, ...]:
    """List what goes into toolpost and tailstock, in the order of first use; a second fitting adds to the first."""
    fits: dict[str, list[NumberedAct]] = {}
    zeros: dict[str, list[ToolZero]] = {}
    for item in (item for step in steps for item in step.acts):
        match item.act:
            case FitTool() | FitDrill() | FitReamer():
                fits.setdefault(tool_text(item.act, shop), []).append(item)
            case SetZero() | SetCollar() | SetReadout():
                holder = tool_at(item.act.handle, item.scene.before)
                if holder is not None:
                    zeros.setdefault(tool_text(holder, shop), []).append(_zero(item.act, item))
            case _:
                pass
    return tuple(
        ListedTool(
            name=on_paper(name),
            stands_out=spans_of(_stands_out(items, lengths)),
            fitted=tuple(item.number for item in items),
            zeros=tuple(zeros.get(name, ())),
        )
        for name, items in fits.items()
    )


def _zero(act: SetZero | SetCollar | SetReadout, item: NumberedAct) -> ToolZero:
    return ToolZero(
        letter=item.scene.after.letter(act.zero),
        act=item.number,
        handle=on_paper(HANDLE_WORDS[act.handle]),
        surface=on_paper(surface_words(act.surface)),
    )


def _stands_out(items: Sequence[NumberedAct], lengths: Lengths) -> str:
    """How far a tool stands out of the post, each way that it is fitted; nothing for what goes into the tailstock."""
    outs = (lengths.rough(item.act.stands_out_mm) for item in items if isinstance(item.act, FitTool))
    return "; ".join(dict.fromkeys(outs))
