"""The acts in their steps, numbered as a person reads them: step 5, act 12 is ``5.12``."""

from __future__ import annotations

from functools import cached_property
from itertools import groupby
from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.domain.acts import Act, Measure
from handwheel.domain.plan import Plan, StepTime
from handwheel.report.act_text import act_text
from handwheel.report.numbers import Lengths
from handwheel.report.pieces import ActText
from handwheel.report.setting_text import Scene
from handwheel.report.situation import situations
from handwheel.report.words import plain, step_title

if TYPE_CHECKING:
    from handwheel.domain.plan import Sheet
    from handwheel.domain.shop import Shop


class NumberedAct(Struct, frozen=True, kw_only=True, dict=True):
    """An act, its number on the sheet, and what its words depend on."""

    number: str
    act: Act
    scene: Scene

    @cached_property
    def text(self) -> ActText:
        """Words for the act, found once: an act that may belong to repeated passes is looked at several times."""
        return act_text(self.act, self.scene)


class NumberedStep(Struct, frozen=True, kw_only=True):
    """Acts of one step, in order, with the step's own title and time where the plan states them."""

    number: int
    id: str
    title: str
    time: StepTime | None
    acts: tuple[NumberedAct, ...]


class _Kept:
    """The steps that were numbered last: one plan is printed in several ways, and its words are made once.

    One tuple, so that of two plans printed at the same time neither can get the steps of the other.
    """

    last: tuple[Plan, Shop, tuple[NumberedStep, ...]] | None = None


def numbered_steps(plan: Plan, shop: Shop) -> tuple[NumberedStep, ...]:
    """Group the acts of the sheet by step, in their order, and number them."""
    last = _Kept.last
    if last is not None and last[0] is plan and last[1] is shop:
        return last[2]
    steps = _numbered(plan, shop)
    _Kept.last = (plan, shop, steps)
    return steps


def _numbered(plan: Plan, shop: Shop) -> tuple[NumberedStep, ...]:
    times = {time.step: time for time in plan.times}
    acts = plan.sheet.acts
    told = list(zip(acts, situations(acts, shop), strict=True))
    numbers = act_numbers(plan.sheet)
    tables = {
        act.table.sets: numbers[act.id] for act in acts if isinstance(act, Measure) and act.table and act.table.sets
    }
    steps = []
    for number, (step_id, group) in enumerate(groupby(told, key=lambda pair: pair[0].step), start=1):
        members = list(group)
        lengths = Lengths(units=plan.sheet.part.units)
        numbered = tuple(
            NumberedAct(
                number=f"{number}.{place}",
                act=act,
                scene=Scene(before=before, after=after, shop=shop, lengths=lengths, table_at=tables.get(act.id, "")),
            )
            for place, (act, (before, after)) in enumerate(members, start=1)
        )
        time = times.get(step_id)
        title = plain(time.title) if time else step_title(step_id)
        steps.append(NumberedStep(number=number, id=step_id, title=title, time=time, acts=numbered))
    return tuple(steps)


def act_numbers(sheet: Sheet) -> dict[str, str]:
    """Map the id of each act to its number on the printed sheet."""
    groups = (list(group) for _, group in groupby(sheet.acts, key=lambda act: act.step))
    return {
        act.id: f"{number}.{place}"
        for number, group in enumerate(groups, start=1)
        for place, act in enumerate(group, start=1)
    }
