"""Why limits of chatter are other than usual: what the shop has heard."""

from __future__ import annotations

from collections.abc import Iterable

from handwheel.data.heard import belief_about, has_heard
from handwheel.domain.chatter import Learner, learner_of
from handwheel.domain.findings import Reason
from handwheel.domain.said import said_cutting_speed, said_short
from handwheel.domain.shop import Shop
from handwheel.physics.stability import DAMPED_BELOW_M_MIN


def heard_reasons(shop: Shop) -> Iterable[Reason]:
    """Why the limits of chatter are other than usual: what was heard, and what it does to them."""
    for learner in Learner:
        if not has_heard(shop, learner):
            continue
        rows = [row for row in shop.chatter if learner_of(shop.tool(row.tool)) is learner]
        belief = belief_about(shop.chatter, shop.tools, machine_n_um=shop.lathe.tool_stiffness_n_um, learner=learner)
        low, high = belief.range_n_um
        yield Reason(
            where=learner.value,
            quantity="limit of chatter",
            value=f"{belief.median_n_um:.2f} times the reckoned one",
            relation="middle of a guess within a factor of two, cut off at what the shop has heard; another metal "
            f"scales it by its force; below about {said_cutting_speed(DAMPED_BELOW_M_MIN)} the flank damps and the "
            "true limit is higher (not reckoned)",
            inputs=tuple(
                f"{row.tool} in {row.metal}: {'chattered' if row.chattered else 'quiet'} at "
                f"{said_short(row.depth_mm, shop.units)}"
                for row in rows
            ),
            source_key="SHOP_FILE",
            standing="as entered",
            low=low,
            high=high,
            unit="times",
        )
