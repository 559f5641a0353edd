"""Blades that touch an outside rub a mark: they do so on what is cut away."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.domain import acts as a
from handwheel.domain.motion import Handle
from handwheel.domain.part import OUTSIDE, Part
from handwheel.domain.plan import Plan
from handwheel.domain.shop import Shop
from handwheel.domain.tools import Tool, ToolKind
from handwheel.geometry.tool_shapes import blade_slant_mm, silhouette
from handwheel.planner.loosen import ABOUT_MM
from handwheel.planner.planner import make_plan
from handwheel.report.text_sheet import sheet_text
from tests.proof.cases import case_of
from tests.replay.sheets import demo_part, demo_shop
from tests.shops import part_of, shop_of

BLADES = (ToolKind.PARTING, ToolKind.GROOVING)
GROOVE, PART_OFF = "groove", "part-off"
WITHIN_MM = 1e-3
DRAWN = (1000056, 1000104, 1000140, 1000186, 1000208, 1000304, 1000328)
"""Feasible cases with a groove: blades square and slanted, narrower than it, as wide, and wider."""


@dataclass(frozen=True, kw_only=True)
class Touched:
    """A blade's touch of the outside: where its left corner stands then, and where it then cuts. [mm]"""

    touch: a.Touch
    tool: Tool
    left_mm: float
    cut_mm: float
    set_by: a.Move

    @property
    def right_mm(self) -> float:
        """Where its right corner stands."""
        return self.left_mm + self.tool.width_mm


def touched(plan: Plan, shop: Shop) -> Iterator[Touched]:
    """Touches of the outside by blades; places along the bed are what the settings say, which the check verifies."""
    tool, move, found = None, None, None
    for act in plan.sheet.acts:
        if isinstance(act, a.FitTool):
            tool, move, found = shop.tool(act.tool), None, None
        elif isinstance(act, a.Move) and act.setting.handle is not Handle.CROSS:
            move = act
        elif tool is None or move is None or tool.kind not in BLADES:
            continue
        elif isinstance(act, a.Touch) and act.surface == OUTSIDE:
            found = (act, move)
        elif isinstance(act, a.Cut) and found is not None:
            touch, set_by = found
            left, cut = set_by.setting.expected_mm, move.setting.expected_mm
            yield Touched(touch=touch, tool=tool, left_mm=left, cut_mm=cut, set_by=set_by)
            found = None


def planned(part: Part, shop: Shop) -> tuple[Plan, list[Touched]]:
    """A plan that passes the check, and its touches by blades."""
    plan = make_plan(part, shop)
    assert check_sheet(plan.sheet, shop).refusals == ()
    return plan, list(touched(plan, shop))


@pytest.mark.parametrize("lathe", ["inch-lathe", "metric-lathe"])
@pytest.mark.parametrize("ring", ["band", "bush", "flange"])
def test_no_blade_is_touched_on_the_ring(ring: str, lathe: str) -> None:
    part, shop = demo_part(ring), demo_shop(lathe)
    _, touches = planned(part, shop)
    assert PART_OFF in {one.touch.step for one in touches}
    for one in touches:
        assert one.right_mm <= -part.width_mm, one.touch.id
        assert one.touch.note, one.touch.id


@pytest.mark.parametrize("number", DRAWN)
def test_after_a_groove_a_blade_is_touched_on_the_bar_behind_it(number: int) -> None:
    case = case_of(number)
    _, touches = planned(case.part, case.shop)
    by_step = {one.touch.step: one for one in touches}
    groove, parting = by_step[GROOVE], by_step[PART_OFF]
    assert groove.left_mm == groove.cut_mm
    assert "over the place to be cut" in groove.touch.note
    # some of its tip over the bar that stands to the left of the groove, the rest of it clear of the ring
    assert parting.left_mm < groove.cut_mm - WITHIN_MM
    assert "on the bar behind the groove" in parting.touch.note
    assert parting.right_mm <= -case.part.width_mm


@pytest.mark.parametrize("number", DRAWN)
def test_a_slanted_blade_over_the_groove_says_how_far_its_right_corner_hangs(number: int) -> None:
    """Source: geometry; of a tip that slants evenly the part over the groove hangs by its share of the slant."""
    case = case_of(number)
    plan, touches = planned(case.part, case.shop)
    groove, parting = (next(one for one in touches if one.touch.step == step) for step in (GROOVE, PART_OFF))
    hangs = blade_slant_mm(parting.tool) * max(0.0, parting.right_mm - groove.cut_mm) / parting.tool.width_mm
    zero = next(
        act for act in plan.sheet.acts if isinstance(act, a.SetZero) and act.step == PART_OFF and act.surface == OUTSIDE
    )
    assert bool(hangs) == ("deeper, in the groove" in zero.note)
    if hangs:
        assert f"{hangs:.2f} mm" in zero.note
        assert parting.touch.contact.startswith("left part")


def test_a_blade_over_its_cut_stays_there_and_cuts() -> None:
    part, shop = demo_part("flange"), demo_shop("inch-lathe")
    plan, touches = planned(part, shop)
    (one,) = (one for one in touches if one.touch.step == PART_OFF)
    assert one.left_mm == one.cut_mm
    flat = " ".join(sheet_text(plan, shop).split())
    assert "just touches the outside note: over the place to be cut: the mark goes with the cut" in flat


def test_a_measured_outline_that_has_no_room_behind_the_groove_is_touched_on_the_ring_and_that_is_said() -> None:
    """Nobody knows which part of it would touch, so it stands whole over the outside: only the ring has the room."""
    part, shop = demo_part("band"), demo_shop("inch-lathe")
    tools = tuple(replace(t, silhouette=silhouette(t)) if t.kind is ToolKind.PARTING else t for t in shop.tools)
    _, touches = planned(part, replace(shop, tools=tools))
    (one,) = (one for one in touches if one.touch.step == PART_OFF)
    assert one.right_mm > -part.width_mm
    assert "this part of the outside stays" in one.touch.note


def test_where_the_blade_stays_to_cut_its_place_is_set_as_finely_as_that_of_a_cut() -> None:
    """On this lathe an indicator at the carriage tells lengths; a place for a touch alone is asked to a tenth."""
    part, shop = part_of("steel-spacer"), shop_of("top-without-dial")
    _, touches = planned(part, shop)
    groove, parting = touches
    assert {one.set_by.setting.kind for one in touches} == {a.SettingKind.INDICATOR}
    assert groove.left_mm == groove.cut_mm
    assert groove.set_by.setting.band_mm < ABOUT_MM[part.units]
    assert parting.left_mm != parting.cut_mm
    assert parting.set_by.setting.band_mm == ABOUT_MM[part.units]
