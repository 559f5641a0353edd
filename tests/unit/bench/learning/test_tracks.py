"""Depths that a track counts from dials, readouts and collars are those that the sheet means."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import pytest

from handwheel.bench.learning.from_job import taught_by_job
from handwheel.bench.learning.scatter import scatters
from handwheel.bench.learning.tracks import Counted, Lost, Passed, Touched, Track, tracks_of
from handwheel.bench.learning.worked import Worked
from handwheel.domain import acts as a
from handwheel.domain.beliefs import Beliefs
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.planner.planner import make_plan
from tests.demo_plans import PAIRS, demo_part, demo_plan, demo_shop
from tests.shops import shop_of

ODD_SHOPS = ("readouts", "readout-cross", "diameter-inch", "fixed-collars", "remarked-dial", "half-thou")
"""Lathes whose slides are counted in other ways than by a dial on the radius that can be set."""


@cache
def odd_plan(name: str) -> Plan:
    """The band on an odd lathe."""
    return make_plan(demo_part("band"), shop_of(name))


def as_expected(plan: Plan) -> list[Worked]:
    """The sheet done as it stands, and every size read as it is expected."""
    return [
        Worked(act=act, readings_mm=(act.expected_mm,) * 2, gauge=act.gauge)
        if isinstance(act, a.Measure) and act.gauge
        else Worked(act=act)
        for act in plan.sheet.acts
    ]


def depths(track: Track) -> Iterator[tuple[str, float]]:
    """How much deeper each cut of a track was wound than the handle stood for the one before it. [mm]"""
    stood: float | None = None
    for move in track.moves:
        match move:
            case Touched():
                stood = 0.0
            case Counted():
                stood = None if stood is None else stood - move.travel_mm
            case Lost():
                stood = None
            case Passed():
                if stood is not None:
                    yield move.act, move.travel_mm - stood
                stood = move.travel_mm


def judge(plan: Plan, shop: Shop) -> None:
    """Depths as the sheet has them, and nothing strange about readings that are as expected but for spring."""
    beliefs, worked = Beliefs(shop=shop), as_expected(plan)
    tracks = tracks_of(plan.sheet, shop, beliefs, worked, scatters(beliefs, worked))
    meant = {act.id: act.depth_mm for act in plan.sheet.acts if isinstance(act, a.Cut)}
    found = dict(pair for track in tracks for pair in depths(track))
    assert len(found) >= 6
    assert found == pytest.approx({act: meant[act] for act in found}, abs=0.005)
    assert taught_by_job(plan.sheet, shop, beliefs, worked).surprises == ()


@pytest.mark.parametrize("name", ODD_SHOPS)
def test_any_scale_counts_as_its_sheet_does(name: str) -> None:
    judge(odd_plan(name), shop_of(name))


@pytest.mark.parametrize(("part", "lathe"), PAIRS)
def test_plans_of_the_demo_count_as_their_sheets_do(part: str, lathe: str) -> None:
    judge(demo_plan(part, lathe), demo_shop(lathe))
