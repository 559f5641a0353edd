"""Explain a plan: why each number of a step, of an act or of the whole job is what it is, as text and as JSON."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import msgspec

from handwheel.domain.errors import InputError
from handwheel.report.why.whys import of_the_whole, step_whys
from handwheel.report.why_text import chosen, why_text
from handwheel.report.words import plain
from handwheel.service.jobs import read_for
from handwheel.service.wording import wording_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from handwheel.domain.findings import Reason
    from handwheel.domain.plan import Plan
    from handwheel.domain.shop import Shop
    from handwheel.report.why.whys import StepWhy
    from handwheel.report.wording import Wording


def explain_files(
    plan_path: Path,
    shop_path: Path,
    *,
    of: str = "",
    as_json: bool = False,
    width: int = 80,
    show: str | None = None,
    words: str | None = None,
) -> str:
    """Explain a plan file, or a step or act of it; ``show`` and ``words`` are those of `wording_of`.

    Raises
    ------
    InputError
        If a file cannot be understood, the shop differs from the plan's, or there is no such step or act.
    """
    plan, shop = read_for(plan_path, shop_path)
    if as_json:
        return explain_json(plan, shop, of=of)
    wording = wording_of(plan, shop, show=show, words=words)
    return explain_text(plan, shop, of=of, width=width, wording=wording)


def explain_text(plan: Plan, shop: Shop, *, of: str = "", width: int = 80, wording: Wording | None = None) -> str:
    """Say why the numbers of a plan are what they are, in lines of at most ``width`` columns.

    Parameters
    ----------
    plan : Plan
        The plan.
    shop : Shop
        The shop that it was made for.
    of : str
        Number or id of a step (``"6"``, ``"rough-outside"``), number of an act (``"6.20"``), or nothing: the whole job.
    width : int
        Columns, 72 to 200.
    wording : Wording or None
        Which unit, and whose words; as the shop file says if it is not given.

    Returns
    -------
    str
        For each act its figures, each with its rule, what went into it, source, standing, spread and what binds.

    Raises
    ------
    InputError
        If there is no such step or act.
    OutOfRangeError
        If the width is outside 72 to 200 columns.

    Examples
    --------
    >>> from handwheel.service.jobs import demo_job
    >>> plan, shop, _ = demo_job("bush", "inch-lathe")
    >>> print(explain_text(plan, shop, of="3.8").splitlines()[1].strip())
    3.8 zero    D: quill, dial to 0, handle still
    """
    try:
        return why_text(plan, shop, of=of, width=width, wording=wording)
    except KeyError:
        raise _nothing_so_called(plan, shop, of) from None


def explain_json(plan: Plan, shop: Shop, *, of: str = "") -> str:
    """Give the same as JSON: steps, their acts, and the reasons of each; raises as `explain_text` does."""
    try:
        steps = chosen(step_whys(plan, shop), of)
    except KeyError:
        raise _nothing_so_called(plan, shop, of) from None
    whole = () if of else of_the_whole(plan.reasons, steps)
    found = {"plan": plan.id, "reasons": _plain(whole), "steps": [_step(step) for step in steps]}
    return json.dumps(found, indent=2, ensure_ascii=False) + "\n"


def _step(step: StepWhy) -> dict[str, Any]:
    return {
        "number": step.step.number,
        "id": step.step.id,
        "title": step.step.title,
        "reasons": _plain(step.reasons),
        "acts": [
            {
                "number": one.item.number,
                "id": one.item.act.id,
                "act": one.item.text.verb,
                "reasons": _plain(one.reasons),
            }
            for one in step.acts
        ],
    }


def _plain(reasons: Iterable[Reason]) -> list[Any]:
    return [msgspec.to_builtins(reason) for reason in reasons]


def _nothing_so_called(plan: Plan, shop: Shop, of: str) -> InputError:
    steps = step_whys(plan, shop)
    names = ", ".join(f"{step.step.number} ({step.step.id})" for step in steps)
    last = steps[-1].acts[-1].item.number if steps and steps[-1].acts else "1.1"
    told = (
        f"step {plain(of)!r}: the plan has no such step or act; name a step by its number or id, or an act by its "
        f"number, 1.1 to {last}; the steps are {names}"
    )
    return InputError((told,))
