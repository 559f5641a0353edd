"""From part and shop to a plan: the cheapest order over all variants, written as a sheet with its proof."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from handwheel import __version__
from handwheel.data.materials import Material, material
from handwheel.domain.errors import NoPlanError
from handwheel.domain.findings import Proof
from handwheel.domain.part import Part
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.planner.explain import findings_for, reasons_for
from handwheel.planner.holdings import HOLDING_MODELS, HoldingModel
from handwheel.planner.job import Job
from handwheel.planner.kinds import KINDS
from handwheel.planner.kinds.part import reach_needed_mm
from handwheel.planner.order import cheapest_order
from handwheel.planner.posing import Solved, hole_ids, hole_ms, pose, solved, without_hole_ms
from handwheel.planner.sheet import write_sheet
from handwheel.planner.uses import digest, used_of_shop
from handwheel.planner.variants import (
    Group,
    bars_that_clean_up,
    blade_for,
    least_bar_dia_mm,
    variants,
)
from handwheel.planner.way import Kind, NoWay

PROGRAM = f"handwheel {__version__}"
RULES = (
    "costs: cutting, handling of each pass, tool change with its zeros, drill change, measuring",
    "costs: swinging the top slide (all zeros lost), making a holding ready, re-gripping and indicating",
    "rough before finish: bore and outside are finished after both are roughed",
    "the smallest bar that cleans up; the narrowest blade that reaches",
    "surfaces that must run true to each other are finished in one holding",
    "what hangs on the bar before parting keeps a web of half a millimetre and a quarter of the wall",
)


class _Search:
    """The cheapest order so far over the variants looked at, and what was learnt on the way."""

    def __init__(self, kinds: Sequence[Kind], models: Sequence[tuple[str, HoldingModel]]) -> None:
        self.kinds = kinds
        self.models = tuple(models)
        self.best: Solved | None = None
        self.visited = 0
        self.alternatives = 0
        self.open_bounds: list[int] = []
        self.refused: list[NoWay] = []

    @property
    def best_ms(self) -> int | None:
        """Cost of the best order so far."""
        return self.best.order.cost_ms if self.best is not None else None

    def look_at(self, group: Group) -> None:
        """Search the jobs of a group, the cheapest ladder first; skip those that cannot beat the best."""
        self.refused.extend(group.refused)
        floor: int | None = None
        for hole, _, job in sorted((hole_ms(job, self.kinds), i, job) for i, job in enumerate(group.jobs)):
            self.alternatives += 1
            if floor is not None and self.best_ms is not None and floor + hole >= self.best_ms:
                continue
            floor = self._try(job, group, floor)
            if floor is None:
                return

    def _try(self, job: Job, group: Group, floor: int | None) -> int | None:
        """Search one job; returns what the steps besides the hole cost at least, or ``None`` if no ladder can help."""
        posed = pose(job, group.means, kinds=self.kinds, models=self.models)
        self.refused.extend(posed.refused)
        told = {trouble.step for trouble in posed.refused}
        self.refused.extend(
            NoWay(
                step=step,
                tried="every tool and holding of the shop",
                why="none of them reaches it",
                remedy="add a tool that cuts it from the bar's side, or a holding that leaves it free",
            )
            for step in posed.lacking
            if step not in told
        )
        if posed.lacking:
            return None if set(posed.lacking) - hole_ids(posed.steps) else (floor or 0)
        if not floor:
            floor = without_hole_ms(posed)
            if floor is None:
                return None
        found = cheapest_order(posed.problem, below_ms=self.best_ms)
        if found is not None:
            self.visited += found.states_visited
            self.open_bounds.append(found.bound_ms)
            if self.best_ms is None or found.cost_ms < self.best_ms:
                self.best = solved(posed, found)
        return floor


def make_plan(
    part: Part,
    shop: Shop,
    *,
    kinds: Sequence[Kind] = KINDS,
    models: Sequence[tuple[str, HoldingModel]] = HOLDING_MODELS,
    parent: str = "",
) -> Plan:
    """Cheapest checked order for a part in a shop, written as a sheet.

    Parameters
    ----------
    part, shop
        What is wanted, and what there is.
    kinds, models
        Kinds of step and of holding that may be used.
    parent : str
        Id of the plan that this one replaces.

    Raises
    ------
    NoPlanError
        With what was tried, what failed, and the nearest remedy.
    """
    metal = material(part.material)
    search = _Search(kinds, models)
    for bar in bars_that_clean_up(part, shop, metal):
        for group in variants(part, shop, metal, bar):
            search.look_at(group)
        if search.best is not None:
            break
    best = search.best
    if best is None:
        raise NoPlanError(no_plan_text(part, shop, metal, search.refused))
    written = write_sheet(
        best.job, best.ways, kinds={kind.name: kind for kind in kinds}, seconds=best.seconds, spent_ms=best.spent_ms
    )
    uses = used_of_shop(written.sheet, shop)
    return Plan(
        id=digest(part, uses, PROGRAM),
        program=PROGRAM,
        uses=uses,
        steps=tuple(way.step for way in best.ways),
        sheet=written.sheet,
        proof=Proof(
            cost_ms=best.order.cost_ms,
            bound_ms=min(best.order.cost_ms, *search.open_bounds),
            states_visited=search.visited,
            alternatives=search.alternatives,
            rules=RULES,
        ),
        times=written.times,
        reasons=reasons_for(best.job, best.ways),
        findings=(*findings_for(best.job, best.ways), *written.findings),
        parent=parent,
    )


def no_plan_text(part: Part, shop: Shop, metal: Material, refused: Sequence[NoWay]) -> str:
    """What was tried, what failed, what would help, in plain words."""
    head = f"no plan for {part.name!r} on {shop.name!r}"
    least = ceil(10.0 * least_bar_dia_mm(part, shop, metal)) / 10.0
    if not any(bar.material == part.material for bar in shop.bars):
        return f"{head}: the shop has no bar of {metal.name}; add one of at least Ø {least:.1f} mm"
    if not bars_that_clean_up(part, shop, metal):
        return f"{head}: no bar of {metal.name} is large enough; Ø {least:.1f} mm or more is needed"
    if blade_for(part, shop) is None:
        reach = reach_needed_mm(part.outside_radius_mm - part.bore_radius_mm, None)
        return f"{head}: the shop has no parting blade; add one that reaches {ceil(reach)} mm"
    if not shop.holdings:
        return f"{head}: nothing holds the ring for its second side; add soft jaws, a stub mandrel or a flat plate"
    seen: dict[tuple[str, str], NoWay] = {}
    for trouble in refused:
        seen.setdefault((trouble.step, trouble.why), trouble)
    lines = [head + ":"]
    lines += [
        f"  {t.step}: tried {t.tried}: {t.why}" + (f". What would help: {t.remedy}" if t.remedy else "")
        for t in seen.values()
    ]
    if len(lines) == 1:
        lines.append(
            "  every single step is possible, but no order of them keeps every face reachable and every surface true"
        )
    return "\n".join(lines)
