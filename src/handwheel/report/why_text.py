"""The reasons for the numbers of a plan as plain text: the figure, by which rule, from what, on whose word."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec.structs import replace

from handwheel.report.layout import labelled, pack, require_width
from handwheel.report.tail_text import proof_lines, reason_lines
from handwheel.report.why.whys import step_whys
from handwheel.report.wording import printed_in, worded, wording_for

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from handwheel.domain.findings import Reason
    from handwheel.domain.plan import Plan
    from handwheel.domain.shop import Shop
    from handwheel.report.why.whys import ActWhy, StepWhy
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
    whole = tuple(reason for reason in plan.reasons if not of and not _is_of_step(reason, steps))
    rules = _rules(whole, steps)
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


def _is_of_step(reason: Reason, steps: Sequence[StepWhy]) -> bool:
    return any(reason.where == step.step.id for step in steps)


def _rules(whole: Sequence[Reason], steps: Sequence[StepWhy]) -> dict[str, int]:
    """Every relation once, numbered in the order in which they come."""
    found = [*whole]
    for step in steps:
        found += [*step.reasons, *(reason for one in step.acts for reason in one.reasons)]
    return {relation: number for number, relation in enumerate(dict.fromkeys(r.relation for r in found), start=1)}


def _step_lines(step: StepWhy, rules: dict[str, int], *, width: int) -> Iterator[str]:
    yield f" STEP {step.step.number}   {worded(step.step.title)}"[:width]
    yield from _reasons_lines(step.reasons, rules, width=width)
    told: dict[tuple[Reason, ...], str] = {}
    for one in step.acts:
        if one.reasons:
            yield from _act_lines(one, rules, told, width=width)


def _act_lines(one: ActWhy, rules: dict[str, int], told: dict[tuple[Reason, ...], str], *, width: int) -> Iterator[str]:
    """Lay out an act; what was told at an earlier act of the step in the same words is not told again."""
    text = one.item.text
    head = f"{one.item.number:>5} {text.verb:<7} "
    first = next(iter(pack(map(str, text.lines[0]), width=width - len(head))), "")
    yield f"{head}{first}".rstrip()
    whole = tuple(replace(reason, where="") for reason in one.reasons)
    if whole in told:
        yield f"     as at {told[whole]}"
        return
    told[whole] = one.item.number
    yield from _reasons_lines(one.reasons, rules, width=width)


def _reasons_lines(reasons: Sequence[Reason], rules: dict[str, int], *, width: int) -> Iterator[str]:
    for reason in reasons:
        yield from reason_lines(reason, rules[reason.relation], width=width)
