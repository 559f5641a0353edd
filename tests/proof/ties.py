"""The order in which a shop file lists its things must not show in the sheet."""

from __future__ import annotations

from random import Random

from msgspec.structs import replace

from handwheel.domain.errors import NoPlanError
from handwheel.domain.shop import Shop
from handwheel.planner.planner import make_plan
from tests.proof.cases import case_of
from tests.proof.relations import same_plan


def shuffled(chance: Random, shop: Shop) -> Shop:
    """Shop with every list in another order."""
    lathe = shop.lathe
    lathe = replace(
        lathe,
        speeds=tuple(chance.sample(lathe.speeds, len(lathe.speeds))),
        feeds_along=tuple(chance.sample(lathe.feeds_along, len(lathe.feeds_along))),
        feeds_across=tuple(chance.sample(lathe.feeds_across, len(lathe.feeds_across))),
    )
    return replace(
        shop,
        lathe=lathe,
        tools=tuple(chance.sample(shop.tools, len(shop.tools))),
        drills=tuple(chance.sample(shop.drills, len(shop.drills))),
        gauges=tuple(chance.sample(shop.gauges, len(shop.gauges))),
        bars=tuple(chance.sample(shop.bars, len(shop.bars))),
        holdings=tuple(chance.sample(shop.holdings, len(shop.holdings))),
    )


def tie_faults(number: int) -> list[str]:
    """What changes in the sheet of a case when its shop is listed in another order."""
    case = case_of(number)
    chance = Random(number + 1)  # noqa: S311  a repeatable draw, no secret
    try:
        before = make_plan(case.part, case.shop)
        after = make_plan(case.part, shuffled(chance, case.shop))
    except NoPlanError:
        return []  # the cases themselves are tried elsewhere
    # the shop's speeds and feeds stand in what is used, so the hash may change and the acts may not
    wrong = same_plan(replace(before, id=after.id, uses=after.uses), after)
    return [f"case {number}, shop shuffled: {wrong}"] if wrong else []
