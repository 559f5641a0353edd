"""Drives without steps: below the speed of full power they give less, to planner and check alike."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.check.report import RefusalCode
from handwheel.domain.lathe import SpindleSpeed
from handwheel.domain.shop import Shop
from handwheel.planner.cut_limits import POWER, force_limits_n, limit_name
from handwheel.planner.planner import make_plan
from tests.planner.jobs import LATHES
from tests.planner.test_passes import lathe_of, turning
from tests.shops import part_of, shop_of

METRIC = LATHES[1]


def by_knob(rpm: float, full_power_rpm: float = 0.0, *, assumed: bool = False) -> SpindleSpeed:
    """A speed of a drive without steps, or (0) of one with them."""
    return SpindleSpeed(
        rpm=rpm, position="knob", measured=True, full_power_rpm=full_power_rpm, full_power_assumed=assumed
    )


def shop_with_full_power_from(rpm: float) -> Shop:
    """The shop with an electronic drive; both ranges have their full power from one speed on."""
    shop = shop_of("variable-speed")
    speeds = tuple(replace(speed, full_power_rpm=rpm, full_power_assumed=False) for speed in shop.lathe.speeds)
    return replace(shop, lathe=replace(shop.lathe, speeds=speeds))


@pytest.mark.parametrize(("rpm", "share"), [(100.0, 0.125), (400.0, 0.5), (800.0, 1.0), (1600.0, 1.0)])
def test_below_full_power_a_cut_may_ask_for_the_same_torque_and_no_more(rpm: float, share: float) -> None:
    lathe = lathe_of(METRIC)
    stepped, knob = (
        force_limits_n(speed, turning(METRIC), lathe=lathe)[0] for speed in (by_knob(rpm), by_knob(rpm, 800.0))
    )
    assert knob[0] == pytest.approx(share * stepped[0])
    assert limit_name(knob[1]) == limit_name(stepped[1]) == POWER


def test_the_limit_says_how_much_of_the_motor_is_left_and_whether_that_is_assumed() -> None:
    lathe = lathe_of(METRIC)
    words = [
        force_limits_n(by_knob(200.0, 800.0, assumed=assumed), turning(METRIC), lathe=lathe)[0][1]
        for assumed in (False, True)
    ]
    left = f"{lathe.motor_power_w / 4.0:.0f} W of {lathe.motor_power_w:.0f} W at the motor"
    assert all(left in each for each in words)
    assert ["full_power_from is not said" in each for each in words] == [False, True]


def test_a_plan_for_the_full_power_is_refused_by_the_check_where_the_drive_has_less() -> None:
    strong, weak = shop_with_full_power_from(100.0), shop_with_full_power_from(2500.0)
    plan = make_plan(part_of("titanium-band"), strong)
    assert check_sheet(plan.sheet, strong).refusals == ()
    codes = {refusal.code for refusal in check_sheet(plan.sheet, weak).refusals}
    assert codes == {RefusalCode.POWER_EXCEEDED}


def test_what_is_said_is_no_finding() -> None:
    part = part_of("brass-bush")
    assumed, said = (make_plan(part, shop) for shop in (shop_of("variable-speed"), shop_with_full_power_from(300.0)))
    assert ["full-power-assumed" in {one.code for one in plan.findings} for plan in (assumed, said)] == [True, False]
