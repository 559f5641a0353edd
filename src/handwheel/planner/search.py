"""The cheapest order over the variants of a job, with what was lacking where there is none."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Sequence
from itertools import product

from msgspec import Struct

from handwheel.data.materials import Material, material
from handwheel.domain.holding import Side
from handwheel.domain.part import Part, turned_end_for_end
from handwheel.domain.shop import Shop
from handwheel.planner.finer import finer_surfaces
from handwheel.planner.holdings import HoldingModel
from handwheel.planner.job import Job
from handwheel.planner.known_answers import KnownAnswers
from handwheel.planner.known_metal import metal_trouble
from handwheel.planner.ledges import ledges_of
from handwheel.planner.lighter import LighterCuts, bent, lighter_cuts, straighter_cuts
from handwheel.planner.order import cheapest_order
from handwheel.planner.posing import Posed, Solved, hole_ids, hole_ms, pose, solved, without_hole_ms
from handwheel.planner.variants import Group, bars_that_clean_up, blades_for, variants
from handwheel.planner.way import Kind, NoWay

TOO_THICK = "too-thick-for-the-hole"


class Shortfall(Struct, frozen=True, kw_only=True):
    """A variant that cannot be made: steps without any way (none: no order of them exists), and why.

    ``troubles`` are those of the lacking steps, ``general`` those that belong to no step but to a holding or a bar, or
    to a step that need not be but that others wait for.
    """

    lacking: tuple[str, ...]
    troubles: tuple[NoWay, ...]
    general: tuple[NoWay, ...] = ()


def shortfall_of(posed: Posed, others: Sequence[NoWay]) -> Shortfall:
    """What a posed variant lacks; ``others`` are the troubles of ladders that end in a larger drill."""
    possible = {way.step.id for way in posed.ways.values()}
    others = larger_holes(posed, others)
    steps = {step.id for step in posed.steps if posed.lacking or not step.optional or step.id in possible}
    troubles = (*others, *posed.refused)
    return Shortfall(
        lacking=posed.lacking,
        troubles=tuple(trouble for trouble in troubles if trouble.step in posed.lacking),
        general=tuple(trouble for trouble in troubles if trouble.step not in steps),
    )


LADDER_CODES = frozenset(
    (
        "chip-too-thin",
        "depth-too-small",
        "drill-not-driven",
        "nothing-to-bore",
        "reamer-does-not-enter",
        "reaming-allowance",
        "slack-leaves-no-room",
        "too-thick-for-the-hole",
        "travel-too-short",
    )
)
"""Codes of troubles in a hole that another drill before it may end."""


def beyond_ladders(shortfall: Shortfall, hole: frozenset[str]) -> bool:
    """Whether no other ladder of drills can end what is lacking."""
    may = {trouble.step for trouble in shortfall.troubles if trouble.code in LADDER_CODES}
    told = {trouble.step for trouble in shortfall.troubles}
    return any(step not in hole or (step in told and step not in may) for step in shortfall.lacking)


def larger_holes(posed: Posed, others: Sequence[NoWay]) -> tuple[NoWay, ...]:
    """Why larger drills were refused, where the hole of a variant is too narrow for what has to go into it."""
    narrow = any(trouble.code == TOO_THICK and trouble.step in posed.lacking for trouble in posed.refused)
    return tuple(trouble for trouble in others if trouble.code != "drill-too-large") if narrow else ()


class Search:
    """The cheapest order so far over the variants looked at, and what was learnt on the way.

    ``any_order`` stops at the first order found; ``most_jobs`` gives up after so many variants were posed; ``known``
    is what other searches for the same part have worked out.
    """

    def __init__(
        self,
        kinds: Sequence[Kind],
        models: Sequence[tuple[str, HoldingModel]],
        *,
        any_order: bool = False,
        most_jobs: int | None = None,
        known: KnownAnswers | None = None,
    ) -> None:
        self.kinds = kinds
        self.models = tuple(models)
        self.any_order = any_order
        self.most_jobs = most_jobs
        self.known = known or KnownAnswers()
        self.best: Solved | None = None
        self.visited = 0
        self.alternatives = 0
        self.posed = 0
        self.open_bounds: list[int] = []
        self.shortfalls: list[Shortfall] = []
        self.turned_shortfalls: list[Shortfall] = []

    @property
    def best_ms(self) -> int | None:
        """Cost of the best order so far."""
        return self.best.order.cost_ms if self.best is not None else None

    @property
    def ended(self) -> bool:
        """Whether nothing more is to be looked at."""
        given_up = self.most_jobs is not None and self.posed >= self.most_jobs
        return given_up or (self.any_order and self.best is not None)

    def look_at(self, groups: Iterable[Group]) -> None:
        """Search groups one after the other; where any order will do, first the likeliest job of each, and so on."""
        if not self.any_order:
            for group in groups:
                for _ in self._looking_at(group):
                    pass
            return
        waiting = deque(self._looking_at(group) for group in groups)
        while waiting and not self.ended:
            look = waiting.popleft()
            if next(look, None) is not None:
                waiting.append(look)

    def _looking_at(self, group: Group) -> Iterator[Job]:
        """Search the jobs of a group, the cheapest ladder first; skip those that cannot beat the best.

        Each job is yielded when it has been searched, if others of the group may still do better.
        """
        if not group.jobs:
            lacking = tuple(dict.fromkeys(trouble.step for trouble in group.refused))
            self.shortfalls.append(Shortfall(lacking=lacking, troubles=group.refused))
        floor: int | None = None
        for hole, _, job in self._in_order(group):
            if self.ended:
                return
            self.alternatives += 1
            if floor is not None and self.best_ms is not None and floor + hole >= self.best_ms:
                continue
            floor = self._try(job, group, floor, hole)
            if floor is None:
                return
            yield job

    def _in_order(self, group: Group) -> list[tuple[int, int, Job]]:
        """Jobs of a group with the least time of the hole: the cheapest first, or if any will do the largest hole."""
        if self.any_order:
            anyhow = [(0, i, job) for i, job in enumerate(group.jobs)]
            return sorted(anyhow, key=lambda item: (-item[2].hole_radius_mm, item[1]))
        known: dict[object, int] = {}
        jobs = [(hole_ms(job, self.kinds, known), i, job) for i, job in enumerate(group.jobs)]
        return sorted(jobs, key=lambda item: item[:2])

    def _try(self, job: Job, group: Group, floor: int | None, hole: int) -> int | None:
        """Search one job; returns what the steps besides the hole cost at least, or ``None`` if no ladder can help.

        ``hole`` is what the steps of the hole cost at least: other ladders of the group cost no less.
        """
        self.posed += 1
        posed = pose(job, group.means, kinds=self.kinds, models=self.models)
        if posed.lacking:
            self.shortfalls.append(shortfall_of(posed, group.refused))
            return None if beyond_ladders(self.shortfalls[-1], hole_ids(posed.steps)) else (floor or 0)
        if not floor and not self.any_order:
            floor = without_hole_ms(posed, below_ms=None if self.best_ms is None else self.best_ms - hole)
            if floor is None:
                self.shortfalls.append(shortfall_of(posed, group.refused))
                return None
        found = cheapest_order(posed.problem, below_ms=self.best_ms)
        if found is None:
            self.shortfalls.append(shortfall_of(posed, group.refused))
            return without_hole_ms(posed) if self.any_order else floor
        self.visited += found.states_visited
        self.open_bounds.append(found.bound_ms)
        if self.best_ms is None or found.cost_ms < self.best_ms:
            self.best = solved(posed, found)
        return floor


def ends_differ(part: Part) -> bool:
    """Whether the two ends of a part have different steps, so that it matters which is cut on the bar."""
    front, back = (
        {(ledge.inner, ledge.radius_mm, ledge.depth_mm) for ledge in ledges_of(part) if ledge.side is side}
        for side in Side
    )
    return front != back


def other_way_round(part: Part) -> Part | None:
    """The part turned end for end, or ``None`` if it is the same either way."""
    turned = turned_end_for_end(part)
    return None if _shape(turned) == _shape(part) else turned


def _shape(part: Part) -> tuple[object, ...]:
    """What is to be cut, places rounded far below any size that matters."""
    segments = (*part.outer.segments, *part.inner.segments)
    places = tuple(
        (s.id, s.finish_ra_um, s.truth_group, *(round(value, 9) for point in (s.start, s.end) for value in point))
        for s in segments
    )
    return places, frozenset(part.sizes)


def search_orders(
    part: Part,
    shop: Shop,
    kinds: Sequence[Kind],
    models: Sequence[tuple[str, HoldingModel]],
    *,
    any_order: bool = False,
    most_jobs: int | None = None,
    known: KnownAnswers | None = None,
) -> Search:
    """Search every variant on the smallest bar, and with the narrowest blade for it, that give an order.

    On each bar the part is looked at as drawn, and turned end for end if its ends have different steps, or if there is
    no order as drawn. What falls short is told of the part as drawn. Last cuts that bend too far are made lighter if
    they then bend less. Where nothing goes, last cuts that were too deep are made lighter: as deep as bending keeps to
    its share of the tolerance, else as deep as their limits bear.
    """
    metal = material(part.material)
    search = Search(kinds, models, any_order=any_order, most_jobs=most_jobs, known=known)
    if (unknown := metal_trouble(metal)) is not None:
        search.shortfalls.append(Shortfall(lacking=(unknown.step,), troubles=(unknown,)))
        return search
    _sweep(search, part, shop, metal)
    if search.best is not None:
        return search if search.ended else _straighter(_finer(search, search.best, shop, metal), shop, metal)
    if search.ended:
        return search
    by_habit, turned = search.shortfalls, tuple(search.turned_shortfalls)
    turned_part = turned_end_for_end(part)
    pairs = [
        (
            _lighter(part, metal, by_habit, straight=straight),
            _lighter(turned_part, metal, turned, straight=straight),
        )
        for straight in (True, False)
    ]
    if not any(pairs[-1]):
        return search
    for lighter, turned_lighter in dict.fromkeys(pairs):
        search.shortfalls = []
        _sweep(search, part, shop, metal, lighter=lighter, turned_lighter=turned_lighter)
        if search.best_ms is not None or search.ended:
            break
    lightened = {surface for surface, _ in pairs[-1][0]}
    if all(lightened & set(shortfall.lacking) for shortfall in search.shortfalls):
        search.shortfalls = by_habit  # lighter cuts help nobody: what the habit wants is told
    return search


def _finer(search: Search, best: Solved, shop: Shop, metal: Material) -> Search:
    """The search by whole steps, or one by fine feed where those are too coarse to be sure of a size and it goes.

    The same part on the same bar with the same blade; both counts of what was looked at are told.
    """
    surfaces, job = finer_surfaces(best.job), best.job
    if not surfaces:
        return search
    singly = (frozenset((surface,)) for surface in sorted(surfaces)) if len(surfaces) > 1 else ()
    for fine in (surfaces, *singly):
        again = Search(search.kinds, search.models, most_jobs=search.most_jobs, known=search.known)
        cuts = job.lighter_cuts
        again.look_at(variants(job.part, shop, metal, job.bar, job.blade, lighter=cuts, fine=fine, known=search.known))
        if again.best is not None:
            again.visited += search.visited
            again.alternatives += search.alternatives
            return again
    return search


def _straighter(search: Search, shop: Shop, metal: Material) -> Search:
    """The search by habit, or one with lighter last cuts where those by habit bend too far and lighter ones less.

    The same part on the same bar with the same blade; both counts of what was looked at are told.
    """
    best = search.best
    cuts = () if best is None else straighter_cuts(best.ways, metal)
    if best is None or not cuts:
        return search
    job, again = best.job, Search(search.kinds, search.models, most_jobs=search.most_jobs, known=search.known)
    fine = job.fine_surfaces
    again.look_at(variants(job.part, shop, metal, job.bar, job.blade, lighter=cuts, fine=fine, known=search.known))
    if again.best is None or bent(again.best.ways) >= bent(best.ways):
        return search
    again.visited += search.visited
    again.alternatives += search.alternatives
    return again


def _lighter(part: Part, metal: Material, fallen: Sequence[Shortfall], *, straight: bool) -> LighterCuts:
    """Lighter last cuts for what fell short by habit."""
    troubles = (trouble for shortfall in fallen for trouble in shortfall.troubles)
    return lighter_cuts(part, metal, troubles, straight=straight)


def _sweep(
    search: Search,
    part: Part,
    shop: Shop,
    metal: Material,
    *,
    lighter: LighterCuts = (),
    turned_lighter: LighterCuts = (),
) -> None:
    """Look at every variant until a bar and a blade give an order."""
    other = other_way_round(part)
    for bar, blade in product(bars_that_clean_up(part, shop, metal), blades_for(part, shop)):
        search.look_at(variants(part, shop, metal, bar, blade, lighter=lighter, known=search.known))
        if other is not None and (ends_differ(part) or search.best is None) and not search.ended:
            as_drawn, search.shortfalls = search.shortfalls, []
            search.look_at(variants(other, shop, metal, bar, blade, lighter=turned_lighter, known=search.known))
            search.turned_shortfalls.extend(search.shortfalls)
            search.shortfalls = as_drawn
        if search.best is not None or search.ended:
            break
