"""Every number of a plan with its reason: step by step, act by act."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from msgspec import Struct
from msgspec.structs import replace

from handwheel.data.materials import material
from handwheel.domain import acts
from handwheel.domain.acts import Cut, DrillHole, LoadBar, Measure, ReamHole, SetCollar, SetReadout, SetZero
from handwheel.domain.errors import DataTableError
from handwheel.domain.findings import Reason
from handwheel.report.numbers import minutes_text
from handwheel.report.steps import numbered_steps
from handwheel.report.why import cuts, holding, positions, readings
from handwheel.report.why.grounds import note_whys
from handwheel.report.why.look import Look, Word, ZeroMark

if TYPE_CHECKING:
    from handwheel.data.materials import Material
    from handwheel.domain.plan import Plan, StepTime
    from handwheel.domain.shop import Shop
    from handwheel.report.steps import NumberedAct, NumberedStep


class ActWhy(Struct, frozen=True, kw_only=True):
    """An act with the reasons for its numbers."""

    item: NumberedAct
    reasons: tuple[Reason, ...]


class StepWhy(Struct, frozen=True, kw_only=True):
    """A step with the plan's reasons for it as a whole, and those for each act."""

    step: NumberedStep
    reasons: tuple[Reason, ...]
    acts: tuple[ActWhy, ...]


Why = Callable[[Any, Look], Iterable[Reason]]

WHYS: Mapping[type, Why] = {
    acts.Cut: cuts.why_cut,
    acts.DrillHole: cuts.why_drill,
    acts.SetFeed: cuts.why_feed,
    acts.ReamHole: cuts.why_ream,
    acts.SetSpeed: cuts.why_speed,
    acts.FitDrill: holding.why_fit_drill,
    acts.FitReamer: holding.why_fit_reamer,
    acts.FitTool: holding.why_fit_tool,
    acts.HandStep: holding.why_hand,
    acts.Indicate: holding.why_indicate,
    acts.LoadBar: holding.why_load,
    acts.Regrip: holding.why_regrip,
    acts.SwingSlide: holding.why_swing,
    acts.Approach: positions.why_approach,
    acts.SetCollar: positions.why_collar,
    acts.Move: positions.why_move,
    acts.SetReadout: positions.why_readout,
    acts.Retract: positions.why_retract,
    acts.Touch: positions.why_touch,
    acts.SetZero: positions.why_zero,
    acts.Cool: readings.why_cool,
    acts.Measure: readings.why_measure,
}
"""Reasons by kind of act; an act without a number of its own (start, stop, lock, free, parted) has none."""


def step_whys(plan: Plan, shop: Shop) -> tuple[StepWhy, ...]:
    """Reasons for every number of the sheet, in its order.

    Parameters
    ----------
    plan : Plan
        The plan.
    shop : Shop
        The shop that it was made for.

    Raises
    ------
    ShopError, KeyError
        If the sheet names what this shop does not have.
    """
    metal = _metal(plan)
    zeros: dict[str, ZeroMark] = {}
    known: dict[str, str] = {}
    found = []
    for step in numbered_steps(plan, shop):
        own = tuple(reason for reason in plan.reasons if reason.where == step.id)
        told = []
        for item in step.acts:
            look = Look(
                number=item.number,
                act=item.act,
                scene=item.scene,
                plan=plan,
                material=metal,
                zeros=MappingProxyType(zeros),
                known=MappingProxyType(known),
                own=own,
            )
            told.append(ActWhy(item=item, reasons=tuple(_reasons(item, look))))
            _remember(item, zeros, known)
        found.append(StepWhy(step=step, reasons=(*own, *_time_whys(step.number, step.time)), acts=tuple(told)))
    return tuple(found)


def _reasons(item: NumberedAct, look: Look) -> Iterator[Reason]:
    why = WHYS.get(type(item.act))
    if why is not None:
        yield from why(item.act, look)
    if look.scene.table_at:
        yield look.why(
            "figure from a table",
            look.scene.table_at,
            "the row of what was read there: what is sprung away, and how sure the reading is, stand in it too; the "
            "rule beside it takes the reading for all there is to know",
            word=Word.PRACTICE,
        )
    yield from note_whys(item.act, look)


def _metal(plan: Plan) -> Material | None:
    try:
        return material(plan.sheet.part.material)
    except DataTableError:
        return None


def _remember(item: NumberedAct, zeros: dict[str, ZeroMark], known: dict[str, str]) -> None:
    """Note what an act makes known for those after it."""
    act = item.act
    match act:
        case SetZero():
            stands = act.stands_for_mm
        case SetCollar() | SetReadout():
            stands = act.zero_dia_mm
        case Measure():
            known[act.surface] = f"measured at {item.number}"
            return
        case Cut():
            known[act.surface] = f"cut at {item.number}"
            return
        case DrillHole() | ReamHole():
            known["bore"] = f"drilled or reamed at {item.number}"
            return
        case LoadBar():
            known["outside"] = known["bore"] = f"the bar as loaded at {item.number}"
            return
        case _:
            return
    zeros[act.zero] = ZeroMark(
        number=item.number,
        handle=act.handle,
        surface=act.surface,
        stands_for_mm=stands,
        others=item.scene.before.stands,
    )


def _time_whys(number: int, time: StepTime | None) -> Iterator[Reason]:
    """Why a step is estimated to take so long."""
    if time is None:
        return
    pieces = (("making ready", time.setup_ms), ("cutting", time.cutting_ms), ("measuring", time.measuring_ms))
    total = sum(ms for _, ms in pieces)
    key, standing = Word.PRACTICE.value
    yield Reason(
        where=str(number),
        quantity="estimated time",
        value=f"{minutes_text(total)} min",
        relation="each handling by the habits of the shop; each cut by its length, feed and speed",
        inputs=tuple(f"{words} {minutes_text(ms)} min" for words, ms in pieces),
        source_key=key,
        standing=standing,
    )


def of_the_whole(reasons: Iterable[Reason], steps: Sequence[StepWhy]) -> tuple[Reason, ...]:
    """Reasons of a plan that belong to none of its steps."""
    ids = {step.step.id for step in steps}
    return tuple(reason for reason in reasons if reason.where not in ids)


def numbered_rules(whole: Iterable[Reason], steps: Iterable[StepWhy]) -> dict[str, int]:
    """Every relation once, numbered in the order in which they come."""
    found = [*whole]
    for step in steps:
        found += [*step.reasons, *(reason for one in step.acts for reason in one.reasons)]
    return {relation: number for number, relation in enumerate(dict.fromkeys(r.relation for r in found), start=1)}


def told_once(step: StepWhy) -> Iterator[tuple[ActWhy, str]]:
    """Acts of a step that have reasons; with each the number of an earlier one that has the very same, or nothing."""
    told: dict[tuple[Reason, ...], str] = {}
    for one in step.acts:
        if not one.reasons:
            continue
        bare = tuple(replace(reason, where="") for reason in one.reasons)
        yield one, told.get(bare, "")
        told.setdefault(bare, one.item.number)
