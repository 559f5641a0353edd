"""Plans beside the best one: on another bar, held another way, with gentler cuts; or why there is none."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from msgspec import Struct
from msgspec.structs import replace

from handwheel.domain.comparing import Asked, Comparison, Option
from handwheel.domain.findings import Finding
from handwheel.domain.part import Part
from handwheel.domain.shop import Shop
from handwheel.planner.account import account_of, cut_forces
from handwheel.planner.attempt import Attempt, Made, attempt, written_out
from handwheel.planner.gentler import Gentler, gentle_words
from handwheel.planner.holdings import HOLDING_MODELS, HoldingModel
from handwheel.planner.kinds import KINDS
from handwheel.planner.known_answers import KnownAnswers
from handwheel.planner.planner import best_of, nobody_listens, plan_of
from handwheel.planner.search import Search
from handwheel.planner.variants import Group
from handwheel.planner.way import Kind

NOTHING_GENTLER = "no cut of the best plan can be set with less force"
ALL_ELSE = "with what then is left, "
SAME_FORCE_N = 1e-6
"""Forces that differ by less are one force: what sums of floats leave. [N]"""


class _Asking(Struct, frozen=True, kw_only=True):
    """Part, shop and rules of a comparison, and what has been worked out for it so far."""

    part: Part
    shop: Shop
    kinds: tuple[Kind, ...]
    models: tuple[tuple[str, HoldingModel], ...]
    known: KnownAnswers

    def attempt_in(self, shop: Shop) -> Attempt:
        """Attempt the part in a shop from which something was taken."""
        return attempt(self.part, shop, self.kinds, self.models, known=self.known)


def alternatives(
    part: Part,
    shop: Shop,
    *,
    kinds: Sequence[Kind] = KINDS,
    models: Sequence[tuple[str, HoldingModel]] = HOLDING_MODELS,
    said: Callable[[str], None] | None = None,
) -> Comparison:
    """The best plan for a part in a shop, and beside it one on another bar, one held another way, a gentler one.

    Each is the cheapest under the rules of every plan and what was asked of it; where there is none, the reason. What
    one search has worked out (schedules, what tools bite on their way) serves the others. ``said`` is told which
    plan is being made, for somebody who waits; nothing hangs on it.

    Raises
    ------
    NoPlanError
        If there is no plan at all, as `handwheel.planner.planner.make_plan` does.
    """
    asking = _Asking(part=part, shop=shop, kinds=tuple(kinds), models=tuple(models), known=KnownAnswers())
    tell = said or nobody_listens

    def on_the_best(doing: str) -> None:
        tell(f"{_doing(Asked.BEST)}: {doing}")

    search, made = best_of(part, shop, kinds, models, known=asking.known, said=on_the_best)
    plan = plan_of(part, shop, search, made)
    best = Option(asked=Asked.BEST, demand="the cheapest under the rules", plan=plan, account=account_of(plan, made))
    others = []
    for asked, make in _OTHERS:
        tell(_doing(asked))
        others.append(make(asking, made))
    return Comparison(part=part.name, shop=shop.name, options=(best, *(_against(best, other) for other in others)))


def _doing(asked: Asked) -> str:
    """Which plan of how many is being made."""
    every = tuple(Asked)
    return f"{every.index(asked) + 1} of {len(every)}, {asked.value}"


def _on_another_bar(asking: _Asking, best: Made) -> Option:
    taken, shop = best.solved.job.bar.id, asking.shop
    without = replace(shop, bars=tuple(bar for bar in shop.bars if bar.id != taken))
    return _option(asking, Asked.BAR, f"bar {taken} left out", without, asking.attempt_in(without))


def _held_another_way(asking: _Asking, best: Made) -> Option:
    """Without every holding of the kinds that the best plan uses; if that is too much, without those holdings alone."""
    shop, solved = asking.shop, best.solved
    used = {way.holding.id: way.holding for way in solved.ways if way.holding.id in solved.seconds}
    if not used:
        return Option(
            asked=Asked.HOLDING, demand="held another way", reason="the best plan holds the ring by nothing but its bar"
        )
    kinds = {holding.kind for holding in used.values()}
    of_kind = {means.id for means in shop.holdings if means.kind in kinds}
    without = replace(shop, holdings=tuple(means for means in shop.holdings if means.id not in of_kind))
    tried = asking.attempt_in(without)
    if tried.made is None and of_kind > set(used):
        fewer = replace(shop, holdings=tuple(means for means in shop.holdings if means.id not in used))
        again = asking.attempt_in(fewer)
        if again.made is not None:
            return _option(asking, Asked.HOLDING, f"{_listed(used)} left out", fewer, again)
    return _option(asking, Asked.HOLDING, f"{_listed(sorted(kinds))} left out", without, tried)


def _gentler(asking: _Asking, best: Made) -> Option:
    """The same bar, blade, drills and ways of holding, every cut gentler."""
    forces = cut_forces(best.solved.ways)
    gentler = Gentler(forces_n=tuple((cut.step, cut.force_n) for cut in forces))
    job = replace(best.solved.job, gentler=gentler)
    search = Search(asking.kinds, asking.models, known=asking.known)
    means = tuple(second.means for second in best.solved.seconds.values())
    search.look_at((Group(jobs=(job,), means=means, refused=()),))
    tried = written_out(search, asking.part, asking.shop, asking.kinds)
    if tried.made is not None and not any(
        _is_less(cut.force_n, gentler.force_n(cut.step)) for cut in cut_forces(tried.made.solved.ways)
    ):
        return Option(asked=Asked.GENTLER, demand=gentle_words(), reason=NOTHING_GENTLER)
    return _option(asking, Asked.GENTLER, gentle_words(), asking.shop, tried)


_OTHERS: tuple[tuple[Asked, Callable[[_Asking, Made], Option]], ...] = (
    (Asked.BAR, _on_another_bar),
    (Asked.HOLDING, _held_another_way),
    (Asked.GENTLER, _gentler),
)


def _is_less(force_n: float, than_n: float | None) -> bool:
    return than_n is not None and force_n < than_n - SAME_FORCE_N


def _option(asking: _Asking, asked: Asked, demand: str, shop: Shop, tried: Attempt) -> Option:
    """Plan of an attempt that was asked something more, or why there is none."""
    if tried.made is None:
        from handwheel.planner.refusal import short_reason  # noqa: PLC0415 - a plan does without its modules

        return Option(asked=asked, demand=demand, reason=f"{ALL_ELSE}{short_reason(asking.part, shop, tried)}")
    plan = plan_of(asking.part, asking.shop, tried.search, tried.made, asked=f"{asked.value}, {demand}")
    return Option(asked=asked, demand=demand, plan=plan, account=account_of(plan, tried.made))


def _against(best: Option, other: Option) -> Option:
    """The option with what it warns of more, and less, than the best plan."""
    if best.account is None or other.account is None:
        return other
    mine, yours = other.account, best.account
    return replace(
        other,
        findings_come=_beyond(mine.findings, yours.findings),
        findings_go=_beyond(yours.findings, mine.findings),
        cautions_come=tuple(text for text in mine.cautions if text not in yours.cautions),
        cautions_go=tuple(text for text in yours.cautions if text not in mine.cautions),
    )


def _beyond(those: Iterable[Finding], known: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings whose code and place are not among those known."""
    told = {(finding.code, finding.where) for finding in known}
    return tuple(finding for finding in those if (finding.code, finding.where) not in told)


def _listed(names: Iterable[str]) -> str:
    return " and ".join(names)
