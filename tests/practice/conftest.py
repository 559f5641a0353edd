"""Fixtures of the practice cases: every demo plan, made once for a test run."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import pytest

from tests.demo_plans import PAIRS, demo_plan, demo_shop

if TYPE_CHECKING:
    from handwheel.domain.plan import Plan
    from handwheel.domain.shop import Shop


@dataclass(frozen=True, kw_only=True)
class Planned:
    """A demo plan with the shop that it was made for."""

    plan: Plan
    shop: Shop


@pytest.fixture(scope="session", params=PAIRS, ids="-".join)
def planned(request: pytest.FixtureRequest) -> Planned:
    """Each demo part on each demo lathe in turn."""
    part, shop = request.param
    return Planned(plan=demo_plan(part, shop), shop=demo_shop(shop))
