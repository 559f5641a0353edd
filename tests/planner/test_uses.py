"""What a plan uses of the shop: a dial that changes voids it, a tool that nobody touches does not."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from functools import cache

import pytest
from msgspec.structs import replace

from handwheel.domain.acts import Regrip
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.domain.slides import Dial
from handwheel.domain.tools import ToolKind
from handwheel.planner.planner import make_plan
from handwheel.planner.uses import canonical, digest, used_of_shop, used_things
from tests.planner.jobs import Ring, demo_plan, demo_shop, plus_tools, tool_of_kind, with_slides, with_tools

PART = Ring().part
SHOP = demo_shop("metric-lathe")


@cache
def plan() -> Plan:
    """Plan of the plain ring on the metric lathe, made once."""
    return make_plan(PART, SHOP)


def dial_of(shop: Shop) -> Dial:
    """Dial of the cross-slide."""
    assert shop.lathe.cross.dial is not None
    return shop.lathe.cross.dial


def more_marks(shop: Shop) -> Shop:
    """Another collar on the cross-slide."""
    finer = replace(dial_of(shop), marks=250, label_mm=Fraction(8, 250))
    return with_slides(shop, cross=replace(shop.lathe.cross, dial=finer))


def more_slack(shop: Shop) -> Shop:
    """A worn nut."""
    return with_slides(shop, cross=replace(shop.lathe.cross, slack_mm=Fraction(1, 2)))


def slower_hand(shop: Shop) -> Shop:
    """Other habits."""
    return replace(shop, habits=replace(shop.habits, touch_s=31.0))


def other_bar(shop: Shop) -> Shop:
    """The bar in use, measured again."""
    bars = tuple(
        replace(bar, dia_upper_mm=bar.dia_upper_mm + Fraction(1, 100)) if bar.id == "titanium-25" else bar
        for bar in shop.bars
    )
    return replace(shop, bars=bars)


def wider_blade(shop: Shop) -> Shop:
    """The parting blade, measured again."""
    return with_tools(shop, ToolKind.PARTING, width_mm=2.52)


def other_point(shop: Shop) -> Shop:
    """The last drill, ground to another point."""
    drills = tuple(replace(drill, point_deg=135.0) if drill.id == "drill-17" else drill for drill in shop.drills)
    return replace(shop, drills=drills)


USED: tuple[Callable[[Shop], Shop], ...] = (more_marks, more_slack, slower_hand, other_bar, wider_blade, other_point)


@pytest.mark.parametrize("change", USED, ids=lambda change: change.__name__)
def test_a_change_of_what_is_used_voids_the_plan(change: Callable[[Shop], Shop]) -> None:
    assert used_of_shop(plan().sheet, SHOP) == plan().uses
    assert used_of_shop(plan().sheet, change(SHOP)) != plan().uses


def another_tool(shop: Shop) -> Shop:
    """A second grooving tool, which this ring does not need."""
    return plus_tools(shop, replace(tool_of_kind(shop, ToolKind.GROOVING), id="spare"))


def other_groover(shop: Shop) -> Shop:
    """The grooving tool, reground."""
    return with_tools(shop, ToolKind.GROOVING, width_mm=1.9)


def another_name(shop: Shop) -> Shop:
    """The shop by another name."""
    return replace(shop, name="the same shop")


def bronze_used_up(shop: Shop) -> Shop:
    """A bar of another metal gone."""
    return replace(shop, bars=tuple(bar for bar in shop.bars if bar.id != "bronze-30"))


def caliper_lost(shop: Shop) -> Shop:
    """A gauge gone that the sheet does not name."""
    return replace(shop, gauges=tuple(gauge for gauge in shop.gauges if gauge.id != "caliper"))


UNUSED: tuple[Callable[[Shop], Shop], ...] = (another_tool, other_groover, another_name, bronze_used_up, caliper_lost)


@pytest.mark.parametrize("change", UNUSED, ids=lambda change: change.__name__)
def test_a_change_of_what_is_not_used_leaves_it_valid(change: Callable[[Shop], Shop]) -> None:
    assert change(SHOP) != SHOP
    assert used_of_shop(plan().sheet, change(SHOP)) == plan().uses


def test_a_plan_made_again_has_the_same_id_and_another_part_another() -> None:
    assert make_plan(PART, SHOP).id == plan().id
    assert make_plan(PART, another_tool(SHOP)).id == plan().id
    assert make_plan(Ring(width=6.02).part, SHOP).id != plan().id
    assert make_plan(PART, more_slack(SHOP)).id != plan().id


def test_a_child_of_a_plan_names_its_parent_and_keeps_its_id() -> None:
    child = make_plan(PART, SHOP, parent=plan().id)
    assert (child.parent, child.id) == (plan().id, plan().id)


def test_what_is_used_is_named() -> None:
    band = demo_plan("band", "metric-lathe")
    names = [name for name, _ in used_things(band.sheet, SHOP)]
    held = {f"holding {act.holding.id}" for act in band.sheet.acts if isinstance(act, Regrip)}
    assert names[:2] == ["lathe", "habits"]
    assert held
    assert {"tool grooving-2", "tool vee-in", "bar titanium-25", "gauge micrometer-0-25", *held} <= {*names}
    assert "bar bronze-30" not in names
    assert len(names) == len(set(names))


def test_a_tool_that_is_gone_is_missed() -> None:
    gone = replace(SHOP, tools=tuple(tool for tool in SHOP.tools if tool.kind is not ToolKind.PARTING))
    with pytest.raises(KeyError, match=r"parting-2\.5"):
        used_of_shop(plan().sheet, gone)


def test_a_digest_tells_things_apart_and_their_order() -> None:
    assert digest("a", "b") == digest("a", "b")
    assert digest("a", "b") != digest("b", "a")
    assert digest("ab") != digest("a", "b")
    assert canonical({"y": Fraction(1, 3), "x": 2}) == canonical({"x": 2, "y": Fraction(1, 3)})
    assert canonical(Fraction(1, 3)) != canonical(Fraction(33, 100))
