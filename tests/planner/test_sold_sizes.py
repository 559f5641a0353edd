"""Bars and drills that remedies ask for are sold: by millimetres or by inches, as the shop's file is."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.data.bars import bar_sizes
from handwheel.data.drills import centre_pilots_mm, drill_sizes
from handwheel.domain.bars import Bar
from handwheel.domain.errors import NoPlanError
from handwheel.domain.hole_tools import Drill, DrillKind
from handwheel.domain.part import Units
from handwheel.domain.remedies import AddToShop, with_remedy
from handwheel.domain.remedy_words import remedy_words, thing_words
from handwheel.planner import offers
from handwheel.planner.kit import things
from handwheel.planner.planner import make_plan
from tests.planner.jobs import LATHES, Ring, demo_shop

PART = Ring().part
INCH, METRIC = LATHES
LARGEST_BAR_MM = {Units.MM: 99.7, Units.INCH: 75.9}
LARGEST_DRILL_MM = {Units.MM: 25.0, Units.INCH: 38.1}
"""Largest of the lists: up to these a size that is offered must stand in them."""
units = st.sampled_from(Units)


@given(share=st.floats(0.01, 1.0), units=units)
def test_a_bar_that_is_offered_is_sold_and_large_enough_at_its_thinnest(share: float, units: Units) -> None:
    least_mm = share * LARGEST_BAR_MM[units]
    bar = offers.bar(PART, least_dia_mm=least_mm, units=units)
    assert bar.dia_mm in {size.dia_mm for size in bar_sizes() if size.units is units}
    assert float(bar.dia_lower_mm) >= least_mm
    assert bar.dia_lower_mm < bar.dia_mm <= bar.dia_upper_mm


@given(share=st.floats(0.05, 1.0), units=units)
def test_a_drill_that_is_offered_is_sold_and_small_enough(share: float, units: Units) -> None:
    below_mm = share * LARGEST_DRILL_MM[units]
    drill = offers.largest_drill(below_mm, units=units, depth_mm=20.0, dubbed=False)
    assert drill is not None
    assert drill.dia_mm in {size.dia_mm for size in drill_sizes()}
    assert below_mm - 0.5 < float(drill.dia_mm) <= below_mm


@given(below_mm=st.floats(0.25, 38.0))
def test_before_a_reamer_goes_the_nearest_drill_of_all_series(below_mm: float) -> None:
    drill = offers.nearest_drill(below_mm, depth_mm=20.0, dubbed=False)
    assert drill is not None
    assert drill.dia_mm == max(size.dia_mm for size in drill_sizes() if float(size.dia_mm) <= below_mm)


@pytest.mark.parametrize("units", Units)
def test_beyond_the_lists_sizes_go_by_steps(units: Units) -> None:
    bar = offers.bar(PART, least_dia_mm=151.0, units=units)
    drill = offers.largest_drill(41.0, units=units, depth_mm=20.0, dubbed=False)
    assert drill is not None
    expected = {Units.MM: (Fraction(155), Fraction(41)), Units.INCH: (Fraction("152.4"), Fraction("25.4") * 25 / 16)}
    assert (bar.dia_mm, drill.dia_mm) == (expected[units][0], expected[units][1])


def test_where_no_drill_is_thin_enough_none_is_offered() -> None:
    for units in Units:
        assert offers.largest_drill(0.1, units=units, depth_mm=5.0, dubbed=False) is None
    assert offers.nearest_drill(0.1, depth_mm=5.0, dubbed=False) is None


@given(below_mm=st.floats(1.1, 20.0))
def test_a_centre_drill_that_is_offered_has_a_tip_of_the_list_below_the_drill(below_mm: float) -> None:
    centre = offers.centre_drill(below_dia_mm=below_mm)
    assert centre.kind is DrillKind.CENTRE
    assert centre.dia_mm in centre_pilots_mm()
    assert float(centre.dia_mm) < below_mm


def test_a_size_by_the_inch_is_said_as_its_fraction() -> None:
    bar = offers.bar(PART, least_dia_mm=21.8, units=Units.INCH)
    drill = offers.largest_drill(12.4, units=Units.INCH, depth_mm=20.0, dubbed=False)
    assert drill is not None
    assert "Ø 22.225 mm (7/8 in), delivered as 22.174 to 22.276 mm (" in thing_words(bar, Units.MM)
    assert "Ø 7/8 in (22.225 mm), delivered as " in thing_words(bar, Units.INCH)
    assert thing_words(drill, Units.MM).startswith("a twist drill of Ø 12.303 mm (31/64 in) with ")


@pytest.mark.parametrize(
    ("lathe", "said"), [(INCH, "(1 in), delivered as "), (METRIC, "Ø 25 mm (0.9843 in), delivered as ")]
)
def test_a_shop_without_bars_is_told_the_next_that_is_sold_and_it_gives_a_plan(lathe: str, said: str) -> None:
    """The ring has an outside of 23 mm, so 24 mm is too thin as delivered and 15/16 in (23.8 mm) too."""
    shop = replace(demo_shop(lathe), bars=())
    with pytest.raises(NoPlanError) as raised:
        make_plan(PART, shop)
    (remedy,) = raised.value.refusal.remedies
    assert isinstance(remedy, AddToShop)
    assert isinstance(remedy.thing, Bar)
    assert said in remedy_words(remedy, shop, Units.MM)
    part, other = with_remedy(PART, shop, remedy)
    assert check_sheet(make_plan(part, other).sheet, other).ok


@pytest.mark.parametrize("lathe", LATHES)
def test_the_drills_of_a_well_found_shop_are_sizes_that_are_sold(lathe: str) -> None:
    kit = things(PART, replace(demo_shop(lathe), drills=()))
    drills = [r.thing for r in kit if isinstance(r, AddToShop) and isinstance(r.thing, Drill)]
    sold = {size.dia_mm for size in drill_sizes()} | set(centre_pilots_mm())
    assert len(drills) > 3
    assert {drill.dia_mm for drill in drills} <= sold
