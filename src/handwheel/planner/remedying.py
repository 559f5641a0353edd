"""What would give a plan: the remedies that failed tries offer, tried by planning anew, alone and together.

The number of tries is bounded by work done (variants posed), never by a clock, so that the same input gets the same
answer on any machine.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import islice
from math import log

from msgspec import Struct, field

from handwheel.domain.bars import Bar
from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.errors import HandwheelError
from handwheel.domain.gauges import Gauge
from handwheel.domain.hole_tools import Drill, Reamer, Tap
from handwheel.domain.lathe import SpindleSpeed
from handwheel.domain.part import Part
from handwheel.domain.remedies import (
    AddToShop,
    AllowCorner,
    AllowFinish,
    AllowSize,
    BevelEdge,
    FitSlide,
    LeaveEdge,
    LeaveStep,
    LeaveTruth,
    LighterLastCuts,
    Owned,
    Remedy,
    UseLathe,
    UseMetal,
    with_remedy,
)
from handwheel.domain.shop import Shop
from handwheel.domain.tools import Tool
from handwheel.planner.search import Shortfall

MOST_TRIES_ALONE = 4
MOST_ROUNDS = 4
"""Rounds in which what is still lacking gets its remedies too."""
MOST_KITS = 3
MOST_TRIES_TO_DROP = 7
MOST_TRIES = MOST_TRIES_ALONE + MOST_ROUNDS + MOST_KITS + MOST_TRIES_TO_DROP + 1
"""Tries altogether: of single remedies, of rounds, of kits, and of those that show what is not needed; the last of
these may take two."""
MOST_JOBS = 10
MOST_JOBS_OF_A_TRY = 4
"""Variants that the tries of single remedies and rounds, and one try, may pose: about 25 ms each."""
MOST_JOBS_OF_A_KIT, MOST_JOBS_OF_A_DROP = 6, 3
"""Likewise of a kit, and of a try without some of it."""
MOST_MIGHT_HELP = 4


class Trial(Struct, frozen=True, kw_only=True):
    """Outcome of planning anew: whether there is an order, what is lacking if not, how many variants were posed.

    ``used`` names what the plan uses of the shop, as `name_of` does.
    """

    found: bool
    shortfalls: tuple[Shortfall, ...]
    jobs: int
    used: frozenset[str] = frozenset()


Retry = Callable[[Part, Shop, int], Trial]
"""Plans a part in a shop, posing at most so many variants."""


class Remedied(Struct, frozen=True, kw_only=True):
    """Remedies that together give a plan (none if not found), what was not tried to the end, how many tries.

    ``further`` is what was still lacking with all that was taken, where no plan was found.
    """

    needed: tuple[Remedy, ...]
    untried: tuple[Remedy, ...]
    tries: int
    further: tuple[Shortfall, ...] = ()


class _Bench(Struct, kw_only=True):
    """Part and shop as they are, what was tried of them so far, and what came of it."""

    part: Part
    shop: Shop
    retry: Retry
    tries: int = 0
    jobs: int = 0
    known: dict[frozenset[Remedy], Trial] = field(default_factory=dict)
    taken: tuple[Remedy, ...] = ()
    further: tuple[Shortfall, ...] = ()

    @property
    def spent(self) -> bool:
        """Whether single remedies and rounds have posed all the variants that they may."""
        return self.jobs >= MOST_JOBS

    def with_all(self, remedies: Sequence[Remedy], *, most_jobs: int = MOST_JOBS_OF_A_TRY) -> Trial | None:
        """Plan with some remedies taken; ``None`` if they exclude each other."""
        key = frozenset(remedies)
        if key in self.known:
            return self.known[key]
        part, shop = self.part, self.shop
        try:
            for remedy in remedies:
                part, shop = with_remedy(part, shop, remedy)
        except HandwheelError:
            return None
        trial = self.retry(part, shop, most_jobs)
        self.tries += 1
        self.jobs += max(1, trial.jobs)
        self.known[key] = trial
        return trial


def remedied(
    part: Part,
    shop: Shop,
    shortfalls: Sequence[Shortfall],
    *,
    retry: Retry,
    kits: Iterable[tuple[Remedy, ...]] = (),
) -> Remedied:
    """Find remedies that give a plan: each alone, nearest first; what every lacking step asks for, together; kits.

    ``kits`` are whole sets of changes, each wider than the one before; they are tried last.
    """
    bench = _Bench(part=part, shop=shop, retry=retry)
    offered = ranked(shortfalls, part, shop)
    alone = tuple(remedy for remedy, left in offered if not left)
    needed = _alone(bench, alone) or _together(bench, shortfalls) or _kit(bench, kits)
    if needed:
        return Remedied(needed=needed, untried=(), tries=bench.tries)
    untried = (bench.taken or tuple(remedy for remedy, _ in offered))[:MOST_MIGHT_HELP]
    return Remedied(needed=(), untried=untried, tries=bench.tries, further=bench.further)


def ranked(shortfalls: Sequence[Shortfall], part: Part, shop: Shop) -> tuple[tuple[Remedy, int], ...]:
    """Every remedy offered, with how many steps it leaves lacking at best: fewest first, then the smaller change."""
    cover: dict[Remedy, int] = {}
    for shortfall in shortfalls:
        for remedy in _offered(shortfall):
            left = len(_left_by(shortfall, remedy))
            cover[remedy] = min(cover.get(remedy, left), left)
    return tuple(sorted(cover.items(), key=lambda item: (item[1], effort(item[0], part, shop))))


def _offered(shortfall: Shortfall) -> Iterable[Remedy]:
    for trouble in (*shortfall.troubles, *shortfall.general):
        yield from trouble.remedies


def _left_by(shortfall: Shortfall, remedy: Remedy) -> tuple[str, ...]:
    """Steps that a variant lacks and for which this remedy was not offered; a step without offers counts as met."""
    offers = {step: _offers_for(shortfall, step) for step in shortfall.lacking}
    return tuple(step for step, found in offers.items() if found and remedy not in found)


def _offers_for(shortfall: Shortfall, step: str) -> tuple[Remedy, ...]:
    return tuple(remedy for trouble in shortfall.troubles if trouble.step == step for remedy in trouble.remedies)


def _alone(bench: _Bench, offered: Sequence[Remedy]) -> tuple[Remedy, ...]:
    for remedy in offered[:MOST_TRIES_ALONE]:
        if bench.spent:
            break
        trial = bench.with_all((remedy,))
        if trial is not None and trial.found:
            return (remedy,)
    return ()


def _together(bench: _Bench, shortfalls: Sequence[Shortfall]) -> tuple[Remedy, ...]:
    """Take the nearest remedy of every lacking step, plan, and again for what then is lacking; drop the unneeded."""
    taken: tuple[Remedy, ...] = ()
    before: frozenset[Remedy] = frozenset()
    for _ in range(MOST_ROUNDS):
        more = _for_each_step(bench, shortfalls, taken, before)
        if not more or bench.spent:
            return ()
        before |= frozenset(remedy for shortfall in shortfalls for remedy in _offered(shortfall))
        taken = (*_not_overtaken(taken, more), *more)
        trial = bench.with_all(taken)
        if trial is None:
            return ()
        if trial.found:
            return _needed(bench, taken)
        bench.taken, bench.further = taken, trial.shortfalls
        shortfalls = trial.shortfalls
    return ()


def _kit(bench: _Bench, kits: Iterable[tuple[Remedy, ...]]) -> tuple[Remedy, ...]:
    """The first kit that gives a plan, without what proves unnecessary."""
    for kit in islice(kits, MOST_KITS):
        trial = bench.with_all(kit, most_jobs=MOST_JOBS_OF_A_KIT)
        if trial is not None and trial.found:
            return _needed(bench, kit)
    return ()


def _for_each_step(
    bench: _Bench, shortfalls: Sequence[Shortfall], taken: tuple[Remedy, ...], before: frozenset[Remedy]
) -> tuple[Remedy, ...]:
    """Nearest remedy for each step that the nearest variant lacks; one that nothing asked for ``before`` comes first.

    What is asked for only now that something was taken is what that thing needs (a pilot for a drill that was added).
    """
    for shortfall in shortfalls:
        more: dict[Remedy, None] = {}
        told = {trouble.step for trouble in shortfall.troubles}
        for step in shortfall.lacking or ("",):
            asked = _offers_for(shortfall, step) if step in told else tuple(_offered(shortfall))
            found = [remedy for remedy in asked if remedy not in taken]
            if found:
                more[min(found, key=lambda r: (r in before, effort(r, bench.part, bench.shop)))] = None
        if more:
            return tuple(more)
    return ()


def _not_overtaken(taken: tuple[Remedy, ...], more: tuple[Remedy, ...]) -> tuple[Remedy, ...]:
    """Remedies without the slides that are now fitted further: the later one was asked of the earlier."""
    handles = {remedy.slide.handle for remedy in more if isinstance(remedy, FitSlide)}
    return tuple(remedy for remedy in taken if not (isinstance(remedy, FitSlide) and remedy.slide.handle in handles))


def _needed(bench: _Bench, taken: tuple[Remedy, ...]) -> tuple[Remedy, ...]:
    """Remedies that give a plan, without those that it does not use, nor those that prove unnecessary.

    The farthest are dropped first, all of a rank at once and one by one if that fails, as long as tries are left.
    """
    most = bench.tries + MOST_TRIES_TO_DROP
    taken = _of_use(bench, taken)
    ranks = sorted({_rank(bench, remedy) for remedy in taken}, reverse=True)
    drops = [tuple(remedy for remedy in taken if _rank(bench, remedy) == rank) for rank in ranks]
    while drops and bench.tries < most:
        drop = tuple(remedy for remedy in drops.pop(0) if remedy in taken)
        rest = tuple(remedy for remedy in taken if remedy not in drop)
        trial = bench.with_all(rest, most_jobs=MOST_JOBS_OF_A_DROP) if drop and rest else None
        if trial is not None and trial.found:
            taken = _of_use(bench, rest)
        elif len(drop) > 1:
            farthest_first = sorted(drop, key=lambda remedy: effort(remedy, bench.part, bench.shop), reverse=True)
            drops[:0] = [(remedy,) for remedy in farthest_first]
    return taken


def _rank(bench: _Bench, remedy: Remedy) -> int:
    return effort(remedy, bench.part, bench.shop)[0]


def _of_use(bench: _Bench, taken: tuple[Remedy, ...]) -> tuple[Remedy, ...]:
    """Remedies without the things that the plan found with them does not use, if there is a plan without them."""
    trial = bench.with_all(taken)
    if trial is None or not trial.used:
        return taken
    used = tuple(r for r in taken if not isinstance(r, AddToShop) or name_of(r.thing) in trial.used)
    again = bench.with_all(used, most_jobs=MOST_JOBS_OF_A_KIT) if used and used != taken else None
    return used if again is not None and again.found else taken


def name_of(thing: Owned) -> str:
    """Name of a thing of the shop, by which a trial tells that it used it."""
    if isinstance(thing, SpindleSpeed):
        return f"speed {thing.rpm:g}"
    kind = "holding" if isinstance(thing, HoldingMeans) else type(thing).__name__.lower()
    return f"{kind} {thing.id}"


_RANKS: dict[type, int] = {
    LighterLastCuts: 1,
    AllowFinish: 8,
    AllowCorner: 9,
    LeaveTruth: 9,
    BevelEdge: 9,
    LeaveEdge: 10,
    UseLathe: 11,
    UseMetal: 12,
    LeaveStep: 13,
}
"""Ranks of remedies that need no second look."""


def effort(remedy: Remedy, part: Part, shop: Shop) -> tuple[int, float]:
    """How far a remedy is from what there is: saying more before buying, buying before another drawing."""
    match remedy:
        case FitSlide(slide=slide):
            own = shop.lathe.slide(slide.handle)
            told = (own.dial, own.aids, own.readout_step_mm) == (slide.dial, slide.aids, slide.readout_step_mm)
            return (0 if told else 6), 0.0
        case AllowSize():
            feature = part.feature(remedy.surface, remedy.aspect)
            return 8, log(float(remedy.size.band) / float(feature.size.band)) if feature else 0.0
        case (
            LighterLastCuts()
            | AllowFinish()
            | AllowCorner()
            | BevelEdge()
            | LeaveEdge()
            | LeaveStep()
            | LeaveTruth()
            | UseLathe()
            | UseMetal()
        ):
            return _RANKS[type(remedy)], 0.0
        case AddToShop(thing=thing):
            return _effort_of(thing, shop)
        case _:
            return 7, 0.0


def _effort_of(thing: Owned, shop: Shop) -> tuple[int, float]:
    match thing:
        case SpindleSpeed():
            return 1, thing.rpm  # what is slow enough for one step may be too fast for the next
        case Tool():
            like = [tool for tool in shop.tools if tool.kind is thing.kind]
            return (2, min(_unlike(thing, tool) for tool in like)) if like else (4, 0.0)
        case Drill():
            return 3, -float(thing.dia_mm)  # the larger the hole, the stouter the boring bar
        case Gauge() | Bar() | Reamer() | Tap():
            return 3, 0.0
        case HoldingMeans():
            return 5, thing.ready_s


def _unlike(one: Tool, other: Tool) -> float:
    """How far two tools of a kind are apart: the ratios of their measures, added up."""
    pairs = (
        (one.reach_mm, other.reach_mm),
        (one.bar_dia_mm, other.bar_dia_mm),
        (one.width_mm, other.width_mm),
        (one.nose_radius_mm, other.nose_radius_mm),
        (one.hollow_radius_mm, other.hollow_radius_mm),
        (one.edge_radius_um, other.edge_radius_um),
        (one.entering_deg, other.entering_deg),
    )
    ratios = sum(abs(log(a / b)) for a, b in pairs if a > 0 and b > 0)
    return ratios + (one.edge is not other.edge) + (one.hand is not other.hand)
