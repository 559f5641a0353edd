"""How far the slides go: a plan stays within their travel, by the check's own account of the same sheet."""

from __future__ import annotations

from fractions import Fraction

import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.domain.errors import NoPlanError
from handwheel.domain.motion import Handle
from handwheel.domain.part import Part
from handwheel.domain.plan import Plan
from handwheel.domain.remedies import FitSlide, with_remedy
from handwheel.domain.shop import Shop
from handwheel.planner.planner import make_plan
from handwheel.planner.travel import Travels
from tests.planner.jobs import LATHES, demo_part, demo_shop

TRAVELS_MM = (4.0, 8.0, 12.0, 14.0, 16.0, 18.0, 20.0, 24.0, 28.0, 33.0, 40.0, 60.0)


def with_travel(shop: Shop, handle: Handle, travel_mm: float) -> Shop:
    slide = replace(shop.lathe.slide(handle), travel_mm=travel_mm)
    return with_remedy(demo_part("band"), shop, FitSlide(slide=slide))[1]


def planned_or_codes(part: Part, shop: Shop) -> Plan | tuple[str, ...]:
    try:
        return make_plan(part, shop)
    except NoPlanError as error:
        return error.refusal.codes


@pytest.mark.parametrize("handle", Handle)
@pytest.mark.parametrize("lathe", LATHES)
def test_no_slide_is_planned_past_its_travel_and_long_enough_ones_are_not_refused(lathe: str, handle: Handle) -> None:
    """No source: the check reckons the ways anew from the acts; a slide of 60 mm carries a ring of 6 mm."""
    part, planned = demo_part("band"), []
    for travel_mm in TRAVELS_MM:
        shop = with_travel(demo_shop(lathe), handle, travel_mm)
        found = planned_or_codes(part, shop)
        if isinstance(found, Plan):
            assert check_sheet(found.sheet, shop).ok
            planned.append(travel_mm)
        else:
            assert "travel-too-short" in found
    assert TRAVELS_MM[0] not in planned
    assert TRAVELS_MM[-1] in planned
    assert planned == sorted(set(TRAVELS_MM) & {mm for mm in TRAVELS_MM if mm >= planned[0]})


def test_a_way_there_and_back_counts_once_and_a_new_set_up_begins_anew() -> None:
    travels, lathe = Travels(), demo_shop(LATHES[0]).lathe
    travels.go(Handle.CROSS, Fraction(7), "one")
    travels.go(Handle.CROSS, Fraction(-10), "two")
    travels.go(Handle.CROSS, Fraction(3), "three")
    assert travels.needs[Handle.CROSS].need_mm == 10.0
    assert travels.needs[Handle.CROSS].step == "two"
    travels.begin((Handle.CROSS,))
    travels.go(Handle.CROSS, Fraction(8), "four")
    assert travels.needs[Handle.CROSS].need_mm == 10.0
    assert travels.too_long(lathe) == ()
    short = replace(lathe, cross=replace(lathe.cross, travel_mm=9.9))
    assert [need.handle for need in travels.too_long(short)] == [Handle.CROSS]
