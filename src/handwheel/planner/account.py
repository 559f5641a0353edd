"""What a plan uses, costs and bears, drawn up so that it can be held against another plan."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.data.materials import Property
from handwheel.domain.comparing import Account, BarAccount, CutForce, HeldAccount, LimitLoad
from handwheel.domain.plan import Plan
from handwheel.planner.attempt import Made
from handwheel.planner.bar_use import bar_yield, chip_share, each_mm
from handwheel.planner.cut_limits import limit_name
from handwheel.planner.job import Job
from handwheel.planner.posing import Solved
from handwheel.planner.way import Way
from handwheel.planner.weight import MM3_PER_CM3


def account_of(plan: Plan, made: Made) -> Account:
    """Draw up what a plan uses, costs and bears."""
    solved = made.solved
    return Account(
        bar=_bar_account(solved.job),
        held=tuple(_held(solved)),
        tools=tuple(dict.fromkeys(_tools(solved))),
        steps=len(plan.times),
        acts=len(plan.sheet.acts),
        cost_ms=plan.proof.cost_ms,
        proven=plan.proof.proven,
        ready_ms=sum(time.setup_ms for time in plan.times),
        cutting_ms=sum(time.cutting_ms for time in plan.times),
        measuring_ms=sum(time.measuring_ms for time in plan.times),
        forces=cut_forces(solved.ways),
        loads=_greatest_loads(solved.ways),
        findings=plan.findings,
        cautions=tuple(dict.fromkeys(text for act in plan.sheet.acts for text in act.cautions)),
        edges=sum(way.schedule.edges for way in solved.ways if way.schedule is not None),
    )


def cut_forces(ways: Sequence[Way]) -> tuple[CutForce, ...]:
    """Greatest force of each step that a tool of the toolpost cuts, in their order. [N]"""
    return tuple(
        CutForce(step=way.step.id, force_n=way.schedule.force.ruling_n)
        for way in ways
        if way.tool is not None and way.schedule is not None
    )


def _bar_account(job: Job) -> BarAccount:
    taken, density = each_mm(job), job.material.range(Property.DENSITY)
    volume_cm3 = job.bar.section_mm2 * taken / MM3_PER_CM3
    return BarAccount(
        bar=job.bar.id,
        each_mm=taken,
        parts=bar_yield(job).parts,
        chip_share=chip_share(job.part, section_mm2=job.bar.section_mm2, taken_mm=taken),
        mass_g=(volume_cm3 * density.least, volume_cm3 * density.most),
    )


def _held(solved: Solved) -> Iterator[HeldAccount]:
    """Second holdings that are used, in the order of first use."""
    for holding in {way.holding.id: way.holding for way in solved.ways if way.holding.id in solved.seconds}.values():
        yield HeldAccount(
            holding=holding.id,
            kind=holding.kind,
            name=solved.seconds[holding.id].means.name,
            gripped_surface=holding.gripped_surface,
            runout_mm=holding.runout_mm,
            lobes_mm=holding.lobes_mm,
            turned=holding.turned,
        )


def _tools(solved: Solved) -> Iterator[str]:
    for way in solved.ways:
        for thing in (way.tool, way.drill, way.reamer):
            if thing is not None:
                yield thing.id
        if way.step.kind == "tap" and solved.job.tap is not None:
            yield solved.job.tap.id


def _greatest_loads(ways: Sequence[Way]) -> tuple[LimitLoad, ...]:
    """Greatest share of each limit over all steps, the most loaded limit first."""
    greatest: dict[str, LimitLoad] = {}
    for way in ways:
        for load in () if way.schedule is None else way.schedule.loads:
            name = limit_name(load.limit)
            if name not in greatest or load.share > greatest[name].share:
                greatest[name] = LimitLoad(limit=name, share=load.share, step=way.step.id)
    return tuple(sorted(greatest.values(), key=lambda load: (-load.share, load.limit)))
