"""Hands of tools: what cuts towards the headstock is right-handed; others are refused with what would serve."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.domain.errors import NoPlanError
from handwheel.domain.remedies import AddToShop, with_remedy
from handwheel.domain.shop import Shop
from handwheel.domain.tools import Hand, Tool, ToolKind
from handwheel.geometry.tool_sound import shape_trouble
from handwheel.planner.kinds.hands import right_hand
from handwheel.planner.planner import make_plan
from tests.demo_plans import PAIRS, demo_part, demo_shop
from tests.shops import part_of, shop_of

HANDED = (ToolKind.TURNING, ToolKind.BORING)


def with_hand(shop: Shop, kind: ToolKind, hand: Hand) -> Shop:
    """The shop with every tool of a kind ground for another hand."""
    entering = 62.5 if hand is Hand.NEUTRAL else 93.0
    tools = tuple(replace(t, hand=hand, entering_deg=entering) if t.kind is kind else t for t in shop.tools)
    return replace(shop, tools=tools)


@pytest.mark.parametrize("kind", HANDED)
@pytest.mark.parametrize("hand", [Hand.LEFT, Hand.NEUTRAL])
def test_a_shop_with_the_other_hand_alone_is_refused_and_the_remedy_works(kind: ToolKind, hand: Hand) -> None:
    part, shop = part_of("steel-spacer"), with_hand(shop_of("no-power-feed"), kind, hand)
    with pytest.raises(NoPlanError) as caught:
        make_plan(part, shop)
    refusal = caught.value.refusal
    assert "wrong-hand" in refusal.codes
    assert "right-hand" in str(caught.value)
    assert refusal.remedies
    for remedy in refusal.remedies:
        part, shop = with_remedy(part, shop, remedy)
    plan = make_plan(part, shop)
    assert check_sheet(plan.sheet, shop).refusals == ()


def test_the_shop_of_left_hand_tools_asks_for_one_right_hand_tool() -> None:
    with pytest.raises(NoPlanError) as caught:
        make_plan(part_of("brass-bush"), shop_of("left-hand-tools"))
    things = [remedy.thing for remedy in caught.value.refusal.remedies if isinstance(remedy, AddToShop)]
    assert [thing.hand for thing in things if isinstance(thing, Tool)] == [Hand.RIGHT]


@pytest.mark.parametrize("pair", PAIRS, ids="-".join)
def test_no_plan_uses_a_left_hand_tool_that_lies_about(pair: tuple[str, str]) -> None:
    """A left-hand twin of every turning and boring tool changes nothing: the same acts."""
    part, shop = demo_part(pair[0]), demo_shop(pair[1])
    twins = tuple(
        replace(tool, id=f"a-{tool.id}", name=f"left-hand {tool.name}", hand=Hand.LEFT)
        for tool in shop.tools
        if tool.kind in HANDED
    )
    assert make_plan(part, replace(shop, tools=(*twins, *shop.tools))).sheet.acts == make_plan(part, shop).sheet.acts


@pytest.mark.parametrize("kind", HANDED)
@pytest.mark.parametrize("hand", [Hand.LEFT, Hand.NEUTRAL])
def test_the_tool_that_is_offered_can_exist(kind: ToolKind, hand: Hand) -> None:
    for tool in with_hand(shop_of("no-power-feed"), kind, hand).tools:
        if tool.kind is kind:
            fitting = right_hand(tool)
            assert fitting.hand is Hand.RIGHT
            assert fitting.entering_deg >= 90.0
            assert shape_trouble(fitting) is None
