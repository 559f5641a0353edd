"""The page on three lathes is what the program reckons, and what it argues is so; `three_lathes` writes it anew."""

from __future__ import annotations

import pytest

from handwheel.data.speeds import CutKind
from handwheel.domain.motion import Edge
from handwheel.planner.cut_case import NoSchedule
from handwheel.planner.cut_limits import CHATTER, POWER, TORQUE, least_chip_of, limit_name
from tests.docs.charts import asked, case_of, chart_cut, most_torque_nm, quiet_mm
from tests.docs.lathes import (
    EDGES,
    LATHES,
    METAL,
    OTHER_METAL,
    SMALL,
    TOOLROOM,
    LatheClass,
    checked,
    cut_on,
    planned,
    refused,
    regulated,
    shop_of,
)
from tests.docs.three_lathes import PATH, text
from tests.docs.three_lathes_tables import (
    FINISH,
    PART,
    ROUGH,
    ROUGH_BORE,
    STEPS,
    SWAPS,
    beside_words,
    chart_cuts,
    deepest_mm,
    depths_mm,
    share_of,
    swapped,
    too_slow,
)
from tests.docs.three_lathes_words import regulated_cut

TENTHS_MM = (0.2, 0.4)
"""A few tenths. [mm]"""


def test_the_page_is_what_the_program_reckons() -> None:
    """Mend with: python -m tests.docs.three_lathes."""
    assert PATH.read_text(encoding="utf-8") == text()


@pytest.mark.parametrize("edge", EDGES)
@pytest.mark.parametrize("lathe", LATHES, ids=lambda lathe: lathe.name)
def test_every_sheet_passes_the_check(lathe: LatheClass, edge: Edge) -> None:
    assert checked(planned(lathe, edge)).refusals == ()


@pytest.mark.parametrize("edge", EDGES)
def test_the_shops_differ_in_drive_stiffness_speeds_and_feeds_alone(edge: Edge) -> None:
    same = ("cross", "top", "carriage", "chuck", "tailstock", "spindle_bore_dia_mm", "nose")
    shops = [shop_of(lathe, edge) for lathe in LATHES]
    assert all(getattr(shop.lathe, key) == getattr(shops[0].lathe, key) for shop in shops for key in same)
    assert all(
        (shop.tools, shop.drills, shop.bars) == (shops[0].tools, shops[0].drills, shops[0].bars) for shop in shops
    )
    assert {tool.edge for shop in shops for tool in shop.tools} == {edge}
    assert [shop.lathe.motor_power_w for shop in shops] == [350.0, 750.0, 1500.0]


@pytest.mark.parametrize("edge", EDGES)
def test_roughing_is_held_by_chatter_everywhere_and_in_tenths_on_the_small_lathe(edge: Edge) -> None:
    cuts = [planned(lathe, edge).cut(step) for lathe in LATHES for step in (ROUGH, ROUGH_BORE)]
    assert {limit_name(cut.binds) for cut in cuts} == {CHATTER}
    small = planned(SMALL, edge).cut(ROUGH)
    assert TENTHS_MM[0] <= deepest_mm(small) <= TENTHS_MM[1]
    assert 2.0 * share_of(small, POWER) / share_of(small, CHATTER) < 1.0
    depths = [deepest_mm(planned(lathe, edge).cut(ROUGH)) for lathe in LATHES]
    assert depths == sorted(depths)


@pytest.mark.parametrize("edge", EDGES)
def test_of_all_parts_of_the_toolroom_lathe_only_its_stiffness_makes_few_passes(edge: Edge) -> None:
    passes = {name: len(swapped(edge, keys).cut(ROUGH).depth_steps) for name, keys in SWAPS.items()}
    assert passes["motor"] == passes["speeds"] == passes["nothing"]
    assert passes["nothing"] - passes["feeds"] <= 1
    assert passes["stiffness"] < passes["nothing"] / 2
    assert limit_name(swapped(edge, SWAPS["stiffness"]).cut(ROUGH).binds) == POWER


def test_torque_holds_parting_and_what_a_regulated_motor_roughs() -> None:
    small = planned(SMALL, Edge.HSS)
    assert share_of(small.cut(PART), POWER) > 0.9
    assert small.cut(PART).speed.rpm == min(speed.rpm for speed in small.shop.lathe.speeds)
    weak = regulated_cut(ROUGH)
    assert limit_name(weak.binds) == TORQUE
    assert deepest_mm(weak) < deepest_mm(small.cut(ROUGH)) / 2
    assert isinstance(cut_on(regulated(small.shop.lathe), small, PART), NoSchedule)


def test_the_bar_is_softer_than_the_toolroom_lathe_but_not_than_nothing() -> None:
    tool = planned(TOOLROOM, Edge.HSS)
    assert case_of(tool, ROUGH_BORE).stiffness_n_um < tool.shop.lathe.tool_stiffness_n_um / 2
    small = planned(SMALL, Edge.HSS)
    assert case_of(small, ROUGH_BORE).stiffness_n_um < small.shop.lathe.tool_stiffness_n_um


def test_what_the_chart_asks_agrees_with_what_the_plan_reckons_where_both_cut_alike() -> None:
    """The plan's own pass, put to the chart's relations, asks the shares that the plan tells of it."""
    small = planned(SMALL, Edge.HSS)
    cut = small.cut(ROUGH)
    share = deepest_mm(cut) / quiet_mm(case_of(small, ROUGH), cut.feed.mean_mm_rev)
    assert share == pytest.approx(share_of(cut, CHATTER))
    assert cut.torque_nm / most_torque_nm(small.shop.lathe, cut.speed.rpm) == pytest.approx(share_of(cut, POWER))


def test_a_chart_cut_is_in_proportion_to_its_depth_and_needs_its_row() -> None:
    small = planned(SMALL, Edge.HSS)
    (own, _), (at_once, _), *_ = chart_cuts(Edge.HSS)
    assert own.force_n / at_once.force_n == pytest.approx(own.depth_mm / at_once.depth_mm)
    assert (own.depth_mm, own.feed_mm_rev, own.low_m_min, own.high_m_min) == (3.8, 0.38, 27.0, 30.0)

    with pytest.raises(ValueError, match="is not a valid Property"):
        chart_cut(small, ROUGH, CutKind.BORE, name="boring")


@pytest.mark.parametrize("edge", EDGES)
def test_the_charts_roughing_overruns_the_small_lathe_in_every_way_and_no_lathe_takes_it_quietly(edge: Edge) -> None:
    own = chart_cuts(edge)[0][0]
    over = asked(own, planned(SMALL, edge), ROUGH)
    assert min(over.power, over.torque, over.depth) > 2.0
    assert all(asked(own, planned(lathe, edge), ROUGH).depth > 1.0 for lathe in LATHES)


def test_what_the_page_says_of_carbide() -> None:
    finishing = next(cut for cut, step in chart_cuts(Edge.CARBIDE) if step == FINISH)
    fastest = [max(speed.rpm for speed in shop_of(lathe, Edge.CARBIDE).lathe.speeds) for lathe in LATHES]
    assert max(fastest) < finishing.rpm[0]
    assert len(too_slow(planned(SMALL, Edge.CARBIDE))) > len(STEPS) / 2
    assert too_slow(planned(SMALL, Edge.HSS)) == ()
    for step in too_slow(planned(SMALL, Edge.CARBIDE)):
        faster, *_ = beside_words(planned(SMALL, Edge.CARBIDE), step)
        assert faster.startswith("next speed up")
        assert "longer" in faster or "rubs below" in faster
    for lathe in LATHES:
        hss, hard = (planned(lathe, edge) for edge in EDGES)
        assert deepest_mm(hard.cut(ROUGH)) <= deepest_mm(hss.cut(ROUGH))
        assert hard.account.cost_ms < hss.account.cost_ms
        assert least_chip_of(case_of(hard, FINISH)) > least_chip_of(case_of(hss, FINISH))
        assert [way.schedule for way in hard.ways if way.drill] == [way.schedule for way in hss.ways if way.drill]
        for found in (hss, hard):
            assert max(depths_mm(found.cut(FINISH))) < case_of(found, FINISH).tool.nose_radius_mm
            assert 2 * found.account.cutting_ms < found.account.cost_ms


@pytest.mark.parametrize("edge", EDGES)
def test_only_the_toolroom_lathe_has_a_plan_in_stainless(edge: Edge) -> None:
    assert METAL != OTHER_METAL
    told = [refused(lathe, edge, metal=OTHER_METAL) for lathe in LATHES]
    assert [CHATTER in words for words in told] == [True, True, False]
    assert told[-1] == ""
