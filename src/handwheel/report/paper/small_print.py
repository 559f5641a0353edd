"""The reasons for the numbers of the sheet, as they stand in small print at its end."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from handwheel.report.paper.spans import on_paper
from handwheel.report.tail_text import reason_texts
from handwheel.report.why.whys import numbered_rules, of_the_whole, step_whys, told_once

if TYPE_CHECKING:
    from collections.abc import Iterable

    from handwheel.domain.findings import Reason
    from handwheel.domain.plan import Plan
    from handwheel.domain.shop import Shop
    from handwheel.report.why.whys import StepWhy


class PrintedReason(Struct, frozen=True, kw_only=True):
    """A figure with the number of its rule; what it rests on."""

    figure: str
    ground: str


class PrintedWhy(Struct, frozen=True, kw_only=True):
    """A step or an act with its reasons; or the act at which the same were told."""

    head: str
    is_step: bool
    reasons: tuple[PrintedReason, ...]
    same_as: str = ""


class SmallPrint(Struct, frozen=True, kw_only=True):
    """All reasons in the order of the sheet, and the rules that they name by number."""

    whys: tuple[PrintedWhy, ...] = ()
    rules: tuple[str, ...] = ()


NO_SMALL_PRINT = SmallPrint()


def small_print(plan: Plan, shop: Shop) -> SmallPrint:
    """Reasons for every number of the sheet, each told once in a step."""
    steps = step_whys(plan, shop)
    whole = of_the_whole(plan.reasons, steps)
    rules = numbered_rules(whole, steps)
    first = PrintedWhy(head="the whole job", is_step=True, reasons=_printed(whole, rules))
    return SmallPrint(
        whys=(first, *(why for step in steps for why in _of_step(step, rules))),
        rules=tuple(on_paper(f"({number}) {rule}") for rule, number in rules.items()),
    )


def _of_step(step: StepWhy, rules: dict[str, int]) -> Iterable[PrintedWhy]:
    yield PrintedWhy(
        head=on_paper(f"step {step.step.number}: {step.step.title}"),
        is_step=True,
        reasons=_printed(step.reasons, rules),
    )
    for one, same_as in told_once(step):
        yield PrintedWhy(
            head=on_paper(f"{one.item.number} {one.item.text.verb}"),
            is_step=False,
            reasons=() if same_as else _printed(one.reasons, rules),
            same_as=same_as,
        )


def _printed(reasons: Iterable[Reason], rules: dict[str, int]) -> tuple[PrintedReason, ...]:
    texts = (reason_texts(reason, rules[reason.relation]) for reason in reasons)
    return tuple(PrintedReason(figure=on_paper(figure), ground=on_paper(ground)) for figure, ground in texts)
