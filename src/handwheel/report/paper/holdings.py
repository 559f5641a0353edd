"""Set-ups in their order: how the work is held, in which steps, and what is touched meanwhile."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.domain.acts import LoadBar, Regrip, Touch
from handwheel.report.passes import act_row
from handwheel.report.setup_text import means_name
from handwheel.report.words import HANDLE_WORDS, surface_words

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from handwheel.domain.shop import Shop
    from handwheel.report.pieces import ActRow
    from handwheel.report.steps import NumberedStep


class SetUp(Struct, frozen=True, kw_only=True):
    """One holding: what holds, the act that makes it, the steps from the one with that act to the next holding."""

    name: str
    row: ActRow
    steps: tuple[NumberedStep, ...]

    @property
    def touched(self) -> Iterator[str]:
        """Each act that touches the work, with surface, part of the tool and handle."""
        for item in (item for step in self.steps for item in step.acts):
            if isinstance(item.act, Touch):
                surface, handle = surface_words(item.act.surface), HANDLE_WORDS[item.act.handle]
                yield f"{item.number} {surface}: {item.act.contact.rstrip(',')}, by the {handle}"

    @property
    def steps_words(self) -> str:
        """The numbers of its steps."""
        first, last = self.steps[0].number, self.steps[-1].number
        return f"step {first}" if first == last else f"steps {first} to {last}"


def set_ups(steps: Sequence[NumberedStep], shop: Shop) -> tuple[SetUp, ...]:
    """Every holding in its order; what comes before the first belongs to the first."""
    found: list[SetUp] = []
    waiting: list[NumberedStep] = []
    for step in steps:
        made = next((item for item in step.acts if isinstance(item.act, LoadBar | Regrip)), None)
        if made is not None and isinstance(made.act, LoadBar | Regrip):
            name = means_name(made.act.holding, shop)
            found.append(SetUp(name=name, row=act_row(made), steps=(*waiting, step)))
            waiting = []
        elif found:
            last = found.pop()
            found.append(SetUp(name=last.name, row=last.row, steps=(*last.steps, step)))
        else:
            waiting.append(step)
    return tuple(found)
