"""The reasons for the numbers of a plan as plain text: the figure, by which rule, from what, on whose word."""

from __future__ import annotations

from typing import TYPE_CHECKING

from handwheel.report.layout import labelled, pack, require_width
from handwheel.report.tail_text import proof_lines, reason_lines
from handwheel.report.why.whys import numbered_rules, of_the_whole, step_whys, told_once
from handwheel.report.wording import printed_in, worded, wording_for

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from handwheel.domain.findings import Reason
    from handwheel.domain.plan import Plan
    from handwheel.domain.shop import Shop
    from handwheel.report.why.whys import StepWhy
    from handwheel.report.wording import Wording

RULE_COLUMN = 6


def why_text(plan: Plan, shop: Shop, *, of: str = "", width: int = 80, wording: Wording | None = None) -> str:
    """Print why the numbers of a plan are what they are, in lines of at most ``width`` columns.

    Parameters
    ----------
    plan, shop : Plan, Shop
        The plan, and the shop that it was made for.
    of : str
        Number or id of a step (``"6"``, ``"rough-outside"``), number of an act (``"6.20"``), or nothing: the whole job.
    width : int
        Columns of the terminal, 72 to 200.
    wording : Wording or None
        Which unit, and whose words; as the shop file says if it is not given.

    Raises
    ------
    OutOfRangeError
        If the width is outside 72 to 200 columns.
    KeyError
        If there is no such step or act.
    """
    require_width(width)
    with printed_in(wording_for(plan, shop) if wording is None else wording):
        return "\n".join(_lines(plan, shop, of=of, width=width)) + "\n"


def _lines(plan: Plan, shop: Shop, *, of: str, width: int) -> list[str]:
    steps = chosen(step_whys(plan, shop), of)
    whole = () if of else of_the_whole(plan.reasons, steps)
    rules = numbered_rules(whole, steps)
    lines: list[str] = []
    if whole:
        lines += [" OF THE WHOLE JOB", *_reasons_lines(whole, rules, width=width), ""]
    for step in steps:
        lines += [*_step_lines(step, rules, width=width), ""]
    lines.append(" THE RULES, by the numbers in brackets")
    for rule, number in rules.items():
        lines += labelled(f"({number})", rule, width=width, column=RULE_COLUMN)
    if not of:
        lines += ["", *proof_lines(plan, width=width)]
    return lines


def chosen(steps: Sequence[StepWhy], of: str) -> tuple[StepWhy, ...]:
    """The step or act that is asked for; all of them if none is.

    Raises
    ------
    KeyError
        If there is no such step or act.
    """
    if not of:
        return tuple(steps)
    for step in steps:
        if of in (str(step.step.number), step.step.id):
            return (step,)
        acts = tuple(one for one in step.acts if one.item.number == of)
        if acts:
            return (type(step)(step=step.step, reasons=(), acts=acts),)
    raise KeyError(of)


def _step_lines(step: StepWhy, rules: dict[str, int], *, width: int) -> Iterator[str]:
    yield f" STEP {step.step.number}   {worded(step.step.title)}"[:width]
    yield from _reasons_lines(step.reasons, rules, width=width)
    for one, same_as in told_once(step):
        text = one.item.text
        head = f"{one.item.number:>5} {text.verb:<7} "
        first = next(iter(pack(map(str, text.lines[0]), width=width - len(head))), "")
        yield f"{head}{first}".rstrip()
        if same_as:
            yield f"     as at {same_as}"
        else:
            yield from _reasons_lines(one.reasons, rules, width=width)


def _reasons_lines(reasons: Sequence[Reason], rules: dict[str, int], *, width: int) -> Iterator[str]:
    for reason in reasons:
        yield from reason_lines(reason, rules[reason.relation], width=width, beside=True)
