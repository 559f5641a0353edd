"""A plan with its advice tables: at each measuring act what to do by the reading, as the bench has it."""

from __future__ import annotations

from msgspec.structs import replace

from handwheel.domain.acts import Measure
from handwheel.domain.beliefs import Beliefs
from handwheel.domain.plan import Plan, Sheet
from handwheel.domain.shop import Shop


def advised(plan: Plan, shop: Shop, *, beliefs: Beliefs | None = None) -> Plan:
    """The plan with an advice table at each measuring act; its id stays, for the acts are the same.

    Parameters
    ----------
    plan, shop : Plan, Shop
        The plan, and the shop that it was made for.
    beliefs : Beliefs, optional
        What was learned at this lathe; without it, what is believed of any.
    """
    return replace(plan, sheet=advised_sheet(plan.sheet, shop, beliefs=beliefs))


def advised_sheet(sheet: Sheet, shop: Shop, *, beliefs: Beliefs | None = None) -> Sheet:
    """The sheet with an advice table at each measuring act for which the shop has a gauge."""
    from handwheel.bench.judge import table_at  # loaded once there is a sheet, which is being checked meanwhile
    from handwheel.bench.stops import stops

    tables = {stop.act: table_at(stop, shop, beliefs=beliefs) for stop in stops(sheet, shop)}
    acts = tuple(replace(act, table=tables[act.id]) if isinstance(act, Measure) else act for act in sheet.acts)
    return replace(sheet, acts=acts)
