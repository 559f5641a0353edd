"""The tiny ring on a cross-slide that is read by a readout: set from a measured size, as strictly as a collar.

Half a millimetre of slide is a millimetre of diameter (geometry); the readout counts inward from its zero, in steps of
0.005 mm, each worth 0.01 mm on the diameter. Size expected after the first cut: 19 mm, finished 18 mm.
"""

from __future__ import annotations

from fractions import Fraction

import msgspec
import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.check.report import RefusalCode as Code
from handwheel.domain.acts import Act, Cut, Measure, Move, SetCollar, SetReadout, Setting, SettingKind, SetZero
from handwheel.domain.motion import Motion
from handwheel.domain.shop import Shop
from tests.unit.check.sheets import (
    CARRIAGE,
    CROSS,
    OUT,
    RIGHT,
    TOP,
    approach,
    away,
    before,
    changed,
    cut,
    measure,
    move,
    place_of,
    ring_acts,
    sheet_of,
    simple_shop,
    start,
    stop,
    touch,
    without,
    zero,
)
from tests.unit.check.test_other_machines import POWER, SINE, swung

MARK_MM = Fraction(1, 50)
STEP_MM = Fraction(1, 200)
MARKS = 50


def read_shop(clockwise: Motion = Motion.IN) -> Shop:
    """Shop whose cross-slide has a readout and no dial."""
    shop = simple_shop()
    cross = replace(shop.lathe.cross, dial=None, readout_step_mm=STEP_MM, turn_mm=1.0, clockwise_moves=clockwise)
    return replace(shop, lathe=replace(shop.lathe, cross=cross))


def by_readout(setting: Setting) -> Setting:
    """The same place on the readout of the cross-slide; there clockwise goes in."""
    if setting.handle is not CROSS:
        return setting
    value = (setting.turns * MARKS + setting.marks) * MARK_MM
    bare = replace(setting, turns=0, marks=Fraction(0), back_off_marks=0)
    return replace(bare, kind=SettingKind.READOUT, value_mm=value)


def read(act: Act) -> Act:
    """The act for a cross-slide with a readout."""
    if isinstance(act, SetCollar) and act.handle is CROSS:
        return SetReadout(
            id=act.id,
            step=act.step,
            handle=CROSS,
            zero=act.zero,
            surface=act.surface,
            zero_dia_mm=act.zero_dia_mm,
            dia_per_step_mm=2.0 * float(STEP_MM),
            expected_dia_mm=act.expected_dia_mm,
            value_mm=(act.turns * MARKS + act.marks) * MARK_MM,
        )
    if isinstance(act, SetZero) and act.handle is CROSS:
        return msgspec.structs.replace(act, kind=SettingKind.READOUT)
    if isinstance(act, Measure) and act.mark_worth_mm == 2.0 * float(MARK_MM):
        return msgspec.structs.replace(act, mark_worth_mm=2.0 * float(STEP_MM))
    if isinstance(act, Move):
        return msgspec.structs.replace(act, setting=by_readout(act.setting))
    return msgspec.structs.replace(act, to=by_readout(act.to)) if isinstance(act, Cut) and act.to is not None else act


A = tuple(read(act) for act in ring_acts())


def codes(acts: tuple[Act, ...], shop: Shop | None = None) -> set[Code]:
    return {refusal.code for refusal in check_sheet(sheet_of(acts), shop or read_shop()).refusals}


def test_the_whole_job_goes_by_the_readout() -> None:
    assert codes(A) == set()
    sizes = {size.feature: size.value_mm for size in check_sheet(sheet_of(A), read_shop()).sizes}
    assert sizes["outside diameter"] == pytest.approx(18.0, abs=1e-6)


def test_an_outside_is_entered_as_minus_and_a_bore_as_plus() -> None:
    outside, bore = A[place_of(A, "collar-outside")], A[place_of(A, "collar-bore")]
    assert isinstance(outside, SetReadout)
    assert isinstance(bore, SetReadout)
    assert outside.value_mm == Fraction(-1, 2)
    assert bore.value_mm > 0
    assert 2.0 * float(bore.value_mm) == pytest.approx(bore.zero_dia_mm - bore.expected_dia_mm)


def test_it_counts_inward_whichever_way_the_hand_turns() -> None:
    assert Code.COLLAR_RULE_BROKEN not in codes(A, read_shop(clockwise=OUT))


@pytest.mark.parametrize(
    ("what", "code", "fields"),
    [
        ("a step off", Code.COLLAR_RULE_BROKEN, {"value_mm": Fraction(-99, 200)}),
        ("a step off the other way", Code.COLLAR_RULE_BROKEN, {"value_mm": Fraction(-101, 200)}),
        ("the change of diameter, not half of it", Code.RADIUS_FOR_DIAMETER, {"value_mm": Fraction(-1)}),
        ("a quarter of it", Code.RADIUS_FOR_DIAMETER, {"value_mm": Fraction(-1, 4)}),
        ("plus for minus", Code.COLLAR_RULE_BROKEN, {"value_mm": Fraction(1, 2)}),
        ("between two steps", Code.AID_CANNOT, {"value_mm": Fraction(-1, 3)}),
        ("a step worth its travel", Code.RADIUS_FOR_DIAMETER, {"dia_per_step_mm": 0.005}),
        ("a step of another readout", Code.COLLAR_RULE_BROKEN, {"dia_per_step_mm": 0.03}),
        ("a size that this place does not cut", Code.EXPECTED_NOT_MET, {"expected_dia_mm": 19.1}),
        ("a radius expected", Code.RADIUS_FOR_DIAMETER, {"expected_dia_mm": 9.5}),
        ("more than half a step from the size at 0", Code.COLLAR_RULE_BROKEN, {"zero_dia_mm": 18.006}),
        ("a surface that was not measured", Code.COLLAR_NOT_MEASURED, {"surface": "bore"}),
        ("no surface of the part", Code.UNKNOWN_SURFACE, {"surface": "front-face"}),
        ("a slide that changes no diameter", Code.WRONG_DIRECTION, {"handle": CARRIAGE}),
        ("a top slide that stands parallel", Code.WRONG_DIRECTION, {"handle": TOP}),
    ],
)
def test_what_is_wrong_with_it_is_refused(what: str, code: Code, fields: dict[str, object]) -> None:
    """Values by hand: (18 - 19) / 2 = -0.5; a step either way is 0.01 mm on the diameter."""
    assert code in codes(changed(A, "collar-outside", **fields)), what


def test_within_half_a_step_of_the_size_at_0_is_the_nearest_step() -> None:
    assert codes(changed(A, "collar-outside", zero_dia_mm=18.0049)) == set()


def test_a_size_must_be_measured_after_the_cut_and_before_the_readout_is_set() -> None:
    assert Code.COLLAR_NOT_MEASURED in codes(without(A, "measure-turn-1"))


def test_the_cross_slide_must_not_have_moved_since_the_cut() -> None:
    assert Code.COLLAR_MOVED in codes(before(A, "collar-outside", away("off", CROSS, OUT, 1.0)))


def test_a_slide_without_a_readout_has_none_to_set() -> None:
    shop = simple_shop()
    assert Code.NOT_SETTABLE in codes(A, shop)
    assert Code.NOT_SETTABLE in codes(tuple(ring_acts()), read_shop())


def test_a_readout_set_without_a_tool_in_place_is_refused() -> None:
    here = place_of(A, "collar-outside")
    assert Code.POSITION_UNKNOWN in codes(before(A, "near-face", A[here]))


def test_what_counts_from_the_old_zero_is_refused_once_it_is_set_anew() -> None:
    old = Setting(handle=CROSS, kind=SettingKind.READOUT, zero="bar", value_mm=Fraction(1), expected_mm=18.0)
    assert Code.ZERO_LOST in codes(changed(A, "to-turn-2", setting=old))


def bored_by_the_top_slide(value: Fraction) -> tuple[Act, ...]:
    """Bore 11 to 11.6 and 12 with the top slide at 30° and a readout: 0.005 mm are 0.005 mm on the diameter."""
    fine: tuple[Act, ...] = (
        swung("swing-30", 30),
        start("start-fine"),
        approach("near-fine", -3.0, 4.0),
        touch("touch-fine", TOP, Motion.LEFT, "bore"),
        msgspec.structs.replace(zero("zero-fine", TOP, "fine", "bore", 11.0), kind=SettingKind.READOUT),
        away("off-fine", TOP, RIGHT, 1.0),
        away("before-fine", CARRIAGE, RIGHT, 10.0),
        move("to-fine-1", _read_top("fine", Fraction(3, 5), 11.6)),
        cut("fine-1", CARRIAGE, Motion.LEFT, "bore", 12.8, 0.3, feed=POWER),
        away("back-fine-1", CARRIAGE, RIGHT, 12.8),
        stop("stop-fine-1"),
        measure("measure-fine-1", "bore", 11.6, "bore-gauge", worth=2 * 0.02 * SINE),
        SetReadout(
            id="collar-fine",
            step="s",
            handle=TOP,
            zero="fine-size",
            surface="bore",
            zero_dia_mm=12.0,
            dia_per_step_mm=2 * 0.005 * SINE,
            expected_dia_mm=11.6,
            value_mm=value,
        ),
        start("start-fine-2"),
        move("to-fine-2", _read_top("fine-size", Fraction(0), 12.0)),
        cut("fine-2", CARRIAGE, Motion.LEFT, "bore", 12.4, 0.2, feed=POWER),
        away("back-fine-2", CARRIAGE, RIGHT, 12.4),
        stop("stop-fine-2"),
        swung("swing-back", 0),
    )
    middle = ("collar-bore", "start-bore-2", "to-bore-2", "bore-2", "back-bore-2", "to-bore-3", "bore-3", "back-bore-3")
    return before(without(A, *middle, "stop-bore-3"), "measure-bore", *fine)


def _read_top(name: str, value: Fraction, expected: float) -> Setting:
    return Setting(handle=TOP, kind=SettingKind.READOUT, zero=name, value_mm=value, expected_mm=expected)


def test_a_swung_top_slide_is_entered_as_minus_before_the_size_of_a_bore() -> None:
    """Left is outward at 30°: 0.4 mm of diameter are 0.4 mm of slide, and the tool stands to the right of 0."""
    shop = read_shop()
    shop = replace(shop, lathe=replace(shop.lathe, top=replace(shop.lathe.top, readout_step_mm=STEP_MM)))
    assert codes(bored_by_the_top_slide(Fraction(-2, 5)), shop) == set()
    assert Code.COLLAR_RULE_BROKEN in codes(bored_by_the_top_slide(Fraction(2, 5)), shop)
    assert Code.COLLAR_RULE_BROKEN in codes(bored_by_the_top_slide(Fraction(-81, 200)), shop)
