"""Bars of every shape and length: which one is chosen, how it is loaded, what it gives, what the check refuses."""

from __future__ import annotations

from fractions import Fraction

import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.check.report import RefusalCode
from handwheel.data.materials import material
from handwheel.domain import acts as a
from handwheel.domain.bars import Bar, BarShape
from handwheel.domain.errors import NoPlanError, ShopError
from handwheel.domain.remedies import AddToShop
from handwheel.physics.whirl import SAFE_SHARE
from handwheel.planner.bar_use import bar_whirl_rpm, bar_yield, chip_share, loading, part_volume_mm3
from handwheel.planner.planner import make_plan
from handwheel.planner.variants import bars_that_clean_up, least_bar_dia_mm
from tests.demo_plans import acts_of
from tests.planner.holes import Made, bar_like, made
from tests.planner.jobs import LATHES, demo_part, demo_shop, job_of

SQUARE_ROOT_OF_3 = 3.0**0.5


def load_of(it: Made) -> a.LoadBar:
    """The act that loads the bar."""
    return acts_of(it.plan, a.LoadBar)[0]


def loaded(it: Made, **fields: object) -> set[RefusalCode]:
    """Refusals of the sheet with its bar loaded otherwise."""
    act = load_of(it)
    other = a.LoadBar(**{**{name: getattr(act, name) for name in act.__struct_fields__}, **fields})
    acts = tuple(other if one is act else one for one in it.plan.sheet.acts)
    return {refusal.code for refusal in check_sheet(replace(it.plan.sheet, acts=acts), it.shop).refusals}


def findings(it: Made) -> set[str]:
    """Codes of the findings of a plan."""
    return {finding.code for finding in it.plan.findings}


# shapes -------------------------------------------------------------------------------------------------------------


def test_a_hexagon_sweeps_its_corners_and_has_the_area_of_six_triangles() -> None:
    bar = bar_like(demo_part("bush"), BarShape.HEXAGON)
    across = float(bar.dia_mm)
    assert bar.swept_dia_mm == pytest.approx(2.0 * across / SQUARE_ROOT_OF_3)
    assert bar.section_mm2 == pytest.approx(SQUARE_ROOT_OF_3 / 2.0 * across**2)


def test_a_tube_needs_a_bore_with_limits_and_nothing_else_may_have_one() -> None:
    tube = bar_like(demo_part("bush"), BarShape.TUBE)
    with pytest.raises(ShopError, match="a tube has a bore with limits"):
        replace(tube, bore_lower_mm=Fraction(0), bore_mm=Fraction(0), bore_upper_mm=Fraction(0))
    with pytest.raises(ShopError, match="below its outside"):
        replace(tube, bore_upper_mm=tube.dia_mm)
    with pytest.raises(ShopError, match="enter it as a tube"):
        replace(tube, shape=BarShape.ROUND)


@pytest.mark.parametrize("lathe", LATHES)
def test_a_tube_is_bored_from_the_start_and_never_drilled(lathe: str) -> None:
    it = made("tube", lathe)
    assert not acts_of(it.plan, a.DrillHole)
    assert any("crushed" in text for text in load_of(it).cautions)


@pytest.mark.parametrize("lathe", LATHES)
def test_a_hexagon_is_gripped_on_its_flats_with_a_caution_and_its_corners_are_turned_away(lathe: str) -> None:
    it = made("hexagon", lathe)
    assert load_of(it).holding.grip_dia_mm == float(it.shop.bars[0].dia_mm)
    assert any("corners turn unseen" in text for text in load_of(it).cautions)
    assert "interrupted-cut" in findings(it)


def test_a_hexagon_does_not_go_into_a_chuck_with_four_jaws() -> None:
    it = made("hexagon", "metric-lathe")
    four = replace(it.shop, lathe=replace(it.shop.lathe, chuck=replace(it.shop.lathe.chuck, jaws=4)))
    assert RefusalCode.BAR_NOT_GRIPPED in {refusal.code for refusal in check_sheet(it.plan.sheet, four).refusals}


def test_a_sheet_for_a_solid_bar_is_refused_on_a_tube_and_the_other_way_round() -> None:
    for what, shape in (("tube", BarShape.ROUND), ("blank", BarShape.TUBE)):
        it = made(what, "metric-lathe")
        other = tuple(replace(bar_like(it.part, shape, length_mm=400.0), id=bar.id) for bar in it.shop.bars)
        assert not check_sheet(it.plan.sheet, replace(it.shop, bars=other)).ok


# choice -------------------------------------------------------------------------------------------------------------


def test_bars_are_tried_in_the_order_of_the_metal_that_they_waste() -> None:
    part, shop = demo_part("bush"), demo_shop("metric-lathe")
    round_bar, tube, hexagon = (bar_like(part, shape) for shape in (BarShape.ROUND, BarShape.TUBE, BarShape.HEXAGON))
    larger = replace(round_bar, id="larger", dia_mm=Fraction(60), dia_lower_mm=Fraction(60), dia_upper_mm=Fraction(60))
    owned = replace(shop, bars=(larger, hexagon, round_bar, tube))
    found = bars_that_clean_up(part, owned, material(part.material))
    assert [bar.id for bar in found] == ["tube", "round", "hexagon", "larger"]


def test_a_tube_whose_bore_leaves_too_little_to_clean_up_is_no_candidate() -> None:
    part, shop = demo_part("bush"), demo_shop("metric-lathe")
    tube = bar_like(part, BarShape.TUBE)
    wide = replace(tube, bore_mm=Fraction(19), bore_lower_mm=Fraction(19), bore_upper_mm=Fraction(39, 2))
    assert bars_that_clean_up(part, replace(shop, bars=(wide,)), material(part.material)) == ()
    assert bars_that_clean_up(part, replace(shop, bars=(tube,)), material(part.material)) == (tube,)


def test_a_shop_that_has_nothing_but_a_hollow_tube_is_told_which_bore_would_do() -> None:
    part, shop = demo_part("bush"), demo_shop("metric-lathe")
    wide = replace(
        bar_like(part, BarShape.TUBE), bore_mm=Fraction(19), bore_lower_mm=Fraction(19), bore_upper_mm=Fraction(39, 2)
    )
    with pytest.raises(NoPlanError) as caught:
        make_plan(part, replace(shop, bars=(wide,)))
    refusal = caught.value.refusal
    assert [trouble.code for trouble in refusal.troubles] == ["tube-too-hollow"]
    (remedy,) = refusal.remedies
    assert isinstance(remedy, AddToShop)


def test_a_bar_must_clean_up_at_its_smallest_and_a_hexagon_on_its_flats() -> None:
    part, shop = demo_part("bush"), demo_shop("metric-lathe")
    metal = material(part.material)
    least = Fraction(least_bar_dia_mm(part, shop, metal)).limit_denominator(1000)
    for shape in (BarShape.ROUND, BarShape.HEXAGON):
        bar = replace(bar_like(part, shape), dia_mm=least, dia_upper_mm=least)
        just = replace(bar, dia_lower_mm=least + Fraction(1, 1000), dia_mm=least + Fraction(1, 1000))
        assert bars_that_clean_up(part, replace(shop, bars=(just,)), metal) == (just,)
        short = replace(bar, dia_lower_mm=least - Fraction(1, 100))
        assert bars_that_clean_up(part, replace(shop, bars=(short,)), metal) == ()


# length -------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("lathe", LATHES)
def test_a_short_overhang_is_allowed_below_half_the_whirling_speed(lathe: str) -> None:
    it = made("overhang", lathe)
    act = load_of(it)
    assert act.tail is a.TailSupport.OVERHANGS
    free = act.bar_length_mm - act.stick_out_mm - act.grip_length_mm
    whirls = bar_whirl_rpm(it.shop.bars[0], material(it.part.material), free_mm=free)
    assert act.holding.max_rpm <= SAFE_SHARE * whirls
    assert all(speed.rpm <= act.holding.max_rpm for speed in acts_of(it.plan, a.SetSpeed)[:1])
    assert "bar-overhangs" in findings(it)


def test_a_long_overhang_is_cut_to_what_goes_into_the_spindle() -> None:
    it = made("overhang", "metric-lathe")
    long = replace(it.shop, bars=(replace(it.shop.bars[0], length_mm=3000.0),))
    job = job_of(it.part, long)
    found = loading(job)
    assert found.tail is a.TailSupport.INSIDE_SPINDLE
    assert found.length_mm <= job.stick_out_mm + long.lathe.spindle_length_mm
    assert "bar-cut" in {finding.code for finding in make_plan(it.part, long).findings}


def test_a_bar_that_does_not_pass_through_the_spindle_is_sawn_to_blanks_and_a_hexagon_passes_by_its_corners() -> None:
    it = made("blank", "metric-lathe")
    assert load_of(it).tail is a.TailSupport.BLANK
    bush, shop = demo_part("bush"), demo_shop("metric-lathe")
    hexagon = bar_like(bush, BarShape.HEXAGON)
    tight = replace(shop, bars=(hexagon,), lathe=replace(shop.lathe, spindle_bore_dia_mm=float(hexagon.dia_mm) + 1.0))
    assert loading(job_of(bush, tight)).tail is a.TailSupport.BLANK


def test_a_bar_too_short_to_be_gripped_is_refused_with_the_length_that_would_do() -> None:
    bush, shop = demo_part("bush"), demo_shop("metric-lathe")
    stub = replace(shop, bars=(bar_like(bush, BarShape.ROUND, length_mm=30.0),))
    with pytest.raises(NoPlanError, match="a piece of at least") as caught:
        make_plan(bush, stub)
    assert "bar-too-short" in str(caught.value)


def test_the_check_refuses_an_overhang_that_is_too_fast_too_long_or_not_cautioned() -> None:
    it = made("overhang", "metric-lathe")
    act = load_of(it)
    fast = replace(act.holding, max_rpm=act.holding.max_rpm * 1.5)
    assert RefusalCode.SPEED_ABOVE_HOLDING in loaded(it, holding=fast)
    assert RefusalCode.MISSING_CAUTION in loaded(it, cautions=())
    assert RefusalCode.BAR_NOT_SUPPORTED in loaded(it, tail=a.TailSupport.INSIDE_SPINDLE)
    short = replace(it.shop, lathe=replace(it.shop.lathe, spindle_length_mm=it.shop.lathe.spindle_length_mm - 100.0))
    found = check_sheet(it.plan.sheet, short).refusals
    assert RefusalCode.BAR_NOT_SUPPORTED in {refusal.code for refusal in found}


# yield --------------------------------------------------------------------------------------------------------------


def rings(quantity: int, bar: Bar) -> Made:
    """Plan for some bushes from one bar."""
    bush, shop = replace(demo_part("bush"), quantity=quantity), replace(demo_shop("metric-lathe"), bars=(bar,))
    return Made(part=bush, shop=shop, plan=make_plan(bush, shop))


def test_a_quantity_that_the_bar_does_not_give_is_said_with_the_bars_that_are_needed() -> None:
    bar = bar_like(demo_part("bush"), BarShape.ROUND, length_mm=130.0)
    it = rings(5, bar)
    parts = bar_yield(job_of(it.part, it.shop)).parts
    assert 0 < parts < 5
    found = next(finding for finding in it.plan.findings if finding.code == "bar-too-short-for-quantity")
    assert f"gives {parts}:" in found.problem
    assert f"have {-(-5 // parts)} such bars" in found.remedy
    assert "bar-too-short-for-quantity" not in findings(rings(parts, bar))


def test_every_blank_pays_the_grip_again() -> None:
    it = made("blank", "metric-lathe")
    found = bar_yield(job_of(it.part, it.shop))
    wide = replace(it.shop, lathe=replace(it.shop.lathe, spindle_bore_dia_mm=60.0))
    through = bar_yield(job_of(it.part, wide))
    assert found.parts == found.pieces
    assert found.parts < through.parts
    assert found.lost_share > through.lost_share


def test_the_volume_of_a_bush_is_that_of_its_tube_less_its_bevels() -> None:
    part = demo_part("bush")
    tube = 3.14159265 * (part.outside_radius_mm**2 - part.bore_radius_mm**2) * part.width_mm
    assert 0.97 * tube < part_volume_mm3(part) < tube
    assert chip_share(part, section_mm2=part_volume_mm3(part) / part.width_mm, taken_mm=part.width_mm) == pytest.approx(
        0
    )


def test_a_part_that_is_mostly_hole_is_offered_a_tube_that_cleans_up_and_wastes_less() -> None:
    it = made("overhang", "metric-lathe")
    found = next(finding for finding in it.plan.findings if finding.code == "mostly-swarf")
    assert "a tube of Ø 30 mm (1.1811 in) with a bore of up to 18.5 mm (0.7283 in)" in found.remedy
    tube = replace(
        bar_like(it.part, BarShape.TUBE),
        bore_mm=Fraction(37, 2),
        bore_lower_mm=Fraction(37, 2),
        bore_upper_mm=Fraction(37, 2),
    )
    assert bars_that_clean_up(it.part, replace(it.shop, bars=(tube,)), material(it.part.material)) == (tube,)
    assert tube.section_mm2 < it.shop.bars[0].section_mm2
