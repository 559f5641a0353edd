"""The check and the simple replay find the same stepped part at the end of the same acts."""

from __future__ import annotations

from functools import cache

import pytest

from handwheel.check.replay import check_sheet
from handwheel.domain.errors import NoPlanError
from handwheel.domain.part import Aspect, Part
from handwheel.planner.planner import make_plan
from tests.replay.sheets import SHOPS, Job, demo_shop
from tests.replay.simple_replay import replay
from tests.stepped import NAMED, random_part

SIZE_MM = 1e-4
"""Diameters, width, legs and settings: a tenth of a micrometre, as in the tests of the plain parts."""
DEPTH_MM = 0.03
"""Depths: the simple replay draws every leading edge square, so no ridge stays beside the corner (decision 0008)."""
RANDOM = 10
_TOLERANCE_MM = {Aspect.DEPTH: DEPTH_MM}


@cache
def job(name: str, lathe: str) -> Job | None:
    part: Part = NAMED[name].part if name in NAMED else random_part(int(name))
    shop = demo_shop(lathe)
    try:
        return Job(name=name, sheet=make_plan(part, shop).sheet, shop=shop)
    except NoPlanError:
        return None


def agrees(it: Job) -> None:
    ran = replay(it.sheet, it.shop)
    ring = ran.ring()
    checked = {size.feature: size for size in check_sheet(it.sheet, it.shop).sizes}
    assert set(checked) == {feature.id for feature in it.sheet.part.sizes}
    for feature in it.sheet.part.sizes:
        smallest, largest = ring.values_mm(feature)
        value = checked[feature.id].value_mm
        near = min(abs(value - smallest), abs(value - largest))
        assert near <= _TOLERANCE_MM.get(feature.aspect, SIZE_MM), feature.id
        assert float(feature.size.cut_lower) - 1e-6 <= smallest, feature.id
        assert largest <= float(feature.size.cut_upper) + 1e-6, feature.id
    assert [item for item in ran.expected if abs(item.said_mm - item.true_mm) > SIZE_MM] == []


@pytest.mark.parametrize("lathe", SHOPS)
@pytest.mark.parametrize("name", NAMED)
def test_both_replays_find_the_same_stepped_part(name: str, lathe: str) -> None:
    it = job(name, lathe)
    assert it is not None
    agrees(it)


@pytest.mark.parametrize("seed", range(RANDOM))
def test_both_replays_find_the_same_random_stepped_part(seed: int) -> None:
    it = job(str(seed), SHOPS[seed % 2])
    if it is not None:
        agrees(it)


def test_most_of_the_random_parts_are_there_to_be_compared() -> None:
    assert sum(job(str(seed), SHOPS[seed % 2]) is not None for seed in range(RANDOM)) >= 0.7 * RANDOM
