"""Narrow rings and holes: where tools touch, how deep a bar cuts, how long a drill is, why none is larger."""

from __future__ import annotations

from fractions import Fraction

import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.data.materials import material
from handwheel.domain.errors import NoPlanError
from handwheel.domain.hole_tools import Drill, DrillKind
from handwheel.domain.tools import ToolKind
from handwheel.planner.kinds.drill import ladders
from handwheel.planner.planner import make_plan
from tests.planner.jobs import (
    EDGES,
    Ring,
    demo_shop,
    lean_shop,
    only_holdings,
    posed_first,
    with_tools,
)
from tests.replay.simple_replay import replay

BACK = ("back_outer", "back_inner")


@pytest.mark.parametrize(
    ("holding", "width"),
    [("flat-plate", 1.2), ("flat-plate", 1.8), ("flat-plate", 2.6), ("flat-plate", 4.0), ("stub-mandrel", 5.0)],
)
@pytest.mark.parametrize("edges", [(), BACK, EDGES], ids=["sharp", "back", "all"])
def test_a_narrow_ring_is_touched_where_there_is_ring(holding: str, edges: tuple[str, ...], width: float) -> None:
    """Both replays, neither of which knows the planner, find every touch where the sheet says."""
    shop = only_holdings(demo_shop("metric-lathe"), holding)
    plan = make_plan(Ring(width=width, width_pm=0.05, edges=edges, along=0.25, across=0.25).part, shop)
    assert check_sheet(plan.sheet, shop).refusals == ()
    ring = replay(plan.sheet, shop).ring()
    for feature in plan.sheet.part.sizes:
        size = feature.size
        assert any(
            float(size.cut_lower) - 1e-3 <= value <= float(size.cut_upper) + 1e-3 for value in ring.values_mm(feature)
        )


@pytest.mark.parametrize("head_mm", [0.4, 0.7, 1.0, 2.0])
def test_a_boring_bar_never_cuts_deeper_than_its_head_is_high(head_mm: float) -> None:
    """Geometry: metal beyond the head would meet the bar behind the edge."""
    shop = with_tools(demo_shop("metric-lathe"), ToolKind.BORING, head_mm=head_mm, bar_dia_mm=8.0)
    kept = tuple(drill for drill in shop.drills if drill.id in ("centre-3", "drill-6", "drill-12"))
    shop, part = replace(shop, drills=kept), Ring().part
    bored = [way for way in posed_first(part, shop).ways.values() if way.step.id == "rough-bore"]
    assert bored
    for way in bored:
        assert way.schedule is not None
        assert way.across is not None
        assert max(way.schedule.depth_steps) * way.across.radius_per_step_mm < head_mm
    plan = make_plan(part, shop)
    assert check_sheet(plan.sheet, shop).refusals == ()


@pytest.mark.parametrize(("flute_mm", "fits"), [(16.0, False), (18.0, False), (18.2, True), (30.0, True)])
def test_the_flutes_of_a_large_drill_hold_its_point_too(flute_mm: float, *, fits: bool) -> None:
    """Geometry: the point of 17 mm and 118 degrees is 17 / 2 / tan 59 degrees = 5.1 mm long."""
    shop = demo_shop("metric-lathe")
    drill = Drill(id="large", kind=DrillKind.TWIST, dia_mm=Fraction(17), point_deg=118.0, flute_mm=flute_mm)
    centre = next(one for one in shop.drills if one.kind is DrillKind.CENTRE)
    shop = replace(shop, drills=(centre, drill), habits=replace(shop.habits, quill_push_n=20_000.0))
    found = ladders(shop, material=material("al_6082"), hole_below_dia_mm=18.0, depth_mm=13.0, max_rpm=3000.0)
    assert bool(found.chains) is fits
    assert [trouble.code for trouble in found.refused] == ([] if fits else ["flutes-too-short"])


def test_where_the_hole_is_too_narrow_it_is_told_why_no_larger_drill_makes_it() -> None:
    """The bar does not go into the hole of the largest drill that a hand can push; the next larger is the real trouble.

    It is told of the largest hole that the others leave: there it comes nearest to going.
    """
    shop = with_tools(lean_shop("metric-lathe"), ToolKind.BORING, bar_dia_mm=9.0)
    kept = tuple(drill for drill in shop.drills if drill.id in ("centre-3", "drill-6", "drill-17"))
    shop = replace(shop, drills=kept, habits=replace(shop.habits, quill_push_n=2000.0))
    with pytest.raises(NoPlanError) as caught:
        make_plan(Ring().part, shop)
    refusal = caught.value.refusal
    assert "too-thick-for-the-hole" in refusal.codes
    told = [trouble for trouble in refusal.troubles if trouble.code == "drill-not-driven"]
    assert told[0].tried == "drill Ø 17 mm (0.6693 in)"
    assert "in a hole of Ø 6 mm (0.2362 in) needs a push of" in told[0].why


def test_where_the_hole_is_wide_enough_nothing_is_told_of_larger_drills() -> None:
    """A refusal for another reason says nothing of drills that need not go."""
    shop = only_holdings(lean_shop("metric-lathe"))
    with pytest.raises(NoPlanError) as caught:
        make_plan(Ring().part, shop)
    assert "no-holding" in caught.value.refusal.codes
    assert not any(code.startswith("drill") for code in caught.value.refusal.codes)


def test_a_drill_that_drops_into_the_centre_hole_begins_no_ladder() -> None:
    """A drill is zeroed where it touches the face; one as thin as the pilot of the centre drill touches its bottom."""
    shop = demo_shop("metric-lathe")
    centre = next(drill for drill in shop.drills if drill.kind is DrillKind.CENTRE)
    thin, thick = (
        Drill(id=name, kind=DrillKind.TWIST, dia_mm=dia, point_deg=118.0, flute_mm=40.0)
        for name, dia in (("thin", centre.dia_mm), ("thick", centre.dia_mm + 2))
    )
    for drills, chains in (((centre, thin), ()), ((centre, thin, thick), ((centre, thick),)), ((thin,), ((thin,),))):
        found = ladders(
            replace(shop, drills=drills),
            material=material("al_6082"),
            hole_below_dia_mm=18.0,
            depth_mm=13.0,
            max_rpm=3000.0,
        )
        assert found.chains == chains
        assert bool(found.refused) is not bool(chains)


def test_of_two_centre_drills_alike_the_place_in_the_list_decides_nothing() -> None:
    shop = demo_shop("metric-lathe")
    centre = next(drill for drill in shop.drills if drill.kind is DrillKind.CENTRE)
    twin = replace(centre, id=f"{centre.id}-twin")
    given = ((*shop.drills, twin), (twin, *shop.drills))
    found = [
        ladders(
            replace(shop, drills=drills),
            material=material("ti_gr2"),
            hole_below_dia_mm=17.2,
            depth_mm=13.0,
            max_rpm=3000.0,
        )
        for drills in given
    ]
    assert found[0] == found[1]
