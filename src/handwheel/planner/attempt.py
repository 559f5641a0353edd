"""One attempt at a plan: search the order, write its sheet, see whether the slides go that far."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from handwheel.domain.part import Part
from handwheel.domain.shop import Shop
from handwheel.planner.holdings import HoldingModel
from handwheel.planner.known_answers import KnownAnswers
from handwheel.planner.posing import Solved
from handwheel.planner.search import Search, Shortfall, search_orders
from handwheel.planner.sheet import Written, write_sheet
from handwheel.planner.travel import too_short
from handwheel.planner.way import Kind


class Made(Struct, frozen=True, kw_only=True):
    """The order that was chosen, and its sheet."""

    solved: Solved
    written: Written


class Attempt(Struct, frozen=True, kw_only=True):
    """What came of an attempt: the search, the sheet if there is one, what fell short if not."""

    search: Search
    made: Made | None
    shortfalls: tuple[Shortfall, ...]


def attempt(
    part: Part,
    shop: Shop,
    kinds: Sequence[Kind],
    models: Sequence[tuple[str, HoldingModel]],
    *,
    any_order: bool = False,
    most_jobs: int | None = None,
    known: KnownAnswers | None = None,
) -> Attempt:
    """Search the orders of a part in a shop and write the cheapest; ``any_order`` is content with the first."""
    search = search_orders(part, shop, kinds, models, any_order=any_order, most_jobs=most_jobs, known=known)
    return written_out(search, part, shop, kinds)


def written_out(search: Search, part: Part, shop: Shop, kinds: Sequence[Kind]) -> Attempt:
    """Write the sheet of the cheapest order that a search has found, or tell what fell short."""
    best = search.best
    if best is None:
        return Attempt(search=search, made=None, shortfalls=tuple(search.shortfalls))
    by_name = {kind.name: kind for kind in kinds}
    written = write_sheet(best.job, best.ways, kinds=by_name, seconds=best.seconds, spent_ms=best.spent_ms)
    if written.too_long:  # it may be the room for a gauge that is too much
        stays = frozenset(need.handle for need in written.too_long)
        written = write_sheet(
            best.job, best.ways, kinds=by_name, seconds=best.seconds, spent_ms=best.spent_ms, stays=stays
        )
    if written.too_long:
        troubles = tuple(
            too_short(need, shop.lathe, tried="the cheapest order", units=part.units) for need in written.too_long
        )
        steps = tuple(trouble.step for trouble in troubles)
        return Attempt(search=search, made=None, shortfalls=(Shortfall(lacking=steps, troubles=troubles),))
    return Attempt(search=search, made=Made(solved=best, written=written), shortfalls=())
