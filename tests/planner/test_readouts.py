"""Readouts: learnt from a measured size between the two last cuts, and preferred to a dial of no finer steps."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import cache

import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.domain import acts as a
from handwheel.domain.motion import Handle
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.planner.dialing import cross_scale
from handwheel.planner.planner import make_plan
from tests.demo_plans import step_acts
from tests.replay.sheets import demo_part, demo_shop
from tests.shops import part_of, shop_of

PARTS = ("steel-spacer", "brass-bush", "inch-sleeve")
SHOPS = ("readout-cross", "readouts", "metric-screws")
FINE = Fraction(1, 200)


@cache
def plan_of(shop: str, part: str) -> Plan:
    return make_plan(part_of(part), shop_of(shop))


def with_readouts(step_mm: Fraction) -> Shop:
    """The metric demo lathe, its dials kept, with a readout on cross-slide and top slide."""
    shop = demo_shop("metric-lathe")
    cross = replace(shop.lathe.cross, readout_step_mm=step_mm)
    top = replace(shop.lathe.top, readout_step_mm=step_mm)
    return replace(shop, lathe=replace(shop.lathe, cross=cross, top=top))


def last_two(plan: Plan, surface: str) -> Iterator[str]:
    """Kinds of the acts from the first of the two last cuts on a surface to the second."""
    acts = step_acts(plan, surface)
    first, second = [i for i, act in enumerate(acts) if isinstance(act, a.Cut) and act.surface == surface]
    return (type(act).__name__ for act in acts[first : second + 1])


@pytest.mark.parametrize("part", PARTS)
@pytest.mark.parametrize("shop", SHOPS)
def test_the_second_of_the_last_cuts_counts_from_what_was_measured_after_the_first(shop: str, part: str) -> None:
    """Promise 6, measure, then cut: by whatever the cross-slide is set."""
    plan = plan_of(shop, part)
    for surface in ("bore", "outside"):
        kinds = [kind for kind in last_two(plan, surface) if kind in ("Cut", "Measure", "SetCollar", "SetReadout")]
        learnt = "SetCollar" if shop == "metric-screws" else "SetReadout"
        assert kinds == ["Cut", "Measure", learnt, "Cut"]


@pytest.mark.parametrize("part", PARTS)
def test_the_figure_entered_is_half_of_what_is_left_to_the_nearest_step(part: str) -> None:
    """Geometry: travel is half the change of diameter; minus outside the size at 0, plus inside it."""
    plan, step = plan_of("readout-cross", part), Fraction(1, 100)
    readouts = [act for act in plan.sheet.acts if isinstance(act, a.SetReadout)]
    assert {act.surface for act in readouts} >= {"bore", "outside"}
    for act in readouts:
        target = float(next(f.size.cut_target for f in plan.sheet.part.sizes if f.surface == act.surface))
        assert (act.value_mm / step).denominator == 1
        assert 2.0 * float(act.value_mm) == pytest.approx(act.zero_dia_mm - act.expected_dia_mm)
        assert (act.value_mm > 0) is (act.surface == "bore")
        assert abs(act.zero_dia_mm - target) <= act.dia_per_step_mm / 2.0 + 1e-9


@pytest.mark.parametrize("step_mm", [FINE, Fraction(127, 10000)], ids=["0.005 mm", "half a thou"])
def test_a_readout_beside_a_dial_is_what_the_slide_goes_by(step_mm: Fraction) -> None:
    shop = with_readouts(step_mm)
    plan = make_plan(demo_part("band"), shop)
    assert check_sheet(plan.sheet, shop).refusals == ()
    assert not [act for act in plan.sheet.acts if isinstance(act, a.SetCollar)]
    kinds = {act.kind for act in plan.sheet.acts if isinstance(act, a.SetZero) and act.handle is Handle.CROSS}
    assert kinds == {a.SettingKind.READOUT}


def test_a_dial_with_finer_steps_than_the_readout_is_kept() -> None:
    cross = demo_shop("metric-lathe").lathe.cross
    assert cross.dial is not None
    step = cross.dial.travel_per_mark_mm * cross.dial.step
    for readout_mm, kind in ((step, a.SettingKind.READOUT), (2 * step, a.SettingKind.MARKS)):
        scale = cross_scale(replace(cross, readout_step_mm=readout_mm))
        assert scale is not None
        assert (scale.kind, scale.step_mm) == (kind, step)


def test_a_fine_readout_spares_the_swung_slide() -> None:
    """The bush's H8 bore is finer than a mark of the cross-slide; a readout of 0.005 mm sets it straight."""
    by_dial = make_plan(demo_part("bush"), demo_shop("metric-lathe"))
    shop = with_readouts(FINE)
    by_readout = make_plan(demo_part("bush"), shop)
    swings = [[act for act in plan.sheet.acts if isinstance(act, a.SwingSlide)] for plan in (by_dial, by_readout)]
    assert len(swings[1]) < len(swings[0])
    assert by_readout.proof.cost_ms < by_dial.proof.cost_ms
    assert check_sheet(by_readout.sheet, shop).refusals == ()


def test_nothing_is_said_of_a_collar_that_nothing_goes_by() -> None:
    """Source: findings `collar-fixed` and `engraving-differs` speak of figures counted on that dial."""
    shop = with_readouts(FINE)
    cross, top = shop.lathe.cross, shop.lathe.top
    assert cross.dial is not None
    odd = replace(cross, dial=replace(cross.dial, settable=False, label_mm=2 * cross.dial.label_mm))
    told = make_plan(demo_part("band"), replace(shop, lathe=replace(shop.lathe, cross=odd)))
    assert not {finding.where for finding in told.findings} & {cross.handle.value, top.handle.value}
    bare = replace(odd, readout_step_mm=None)
    without = make_plan(demo_part("band"), replace(shop, lathe=replace(shop.lathe, cross=bare)))
    assert {finding.code for finding in without.findings} >= {"collar-fixed", "engraving-differs"}
