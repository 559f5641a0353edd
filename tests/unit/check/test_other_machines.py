"""The same ring on other lathes and in other holdings: screws, senses of the hand, aids, mandrels, plates."""

from __future__ import annotations

from fractions import Fraction
from math import cos, radians, sin

import msgspec
import pytest
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.check.report import RefusalCode
from handwheel.domain.acts import (
    Act,
    Cut,
    HandKind,
    Measure,
    Move,
    SetCollar,
    Setting,
    SettingKind,
    SwingSlide,
)
from handwheel.domain.contour import Contour, Point
from handwheel.domain.holding import Holding
from handwheel.domain.lathe import Lathe
from handwheel.domain.motion import Handle, Motion, Turn
from handwheel.domain.part import Aspect, Part
from handwheel.domain.shop import Shop
from handwheel.domain.slides import Dial, Slide
from tests.unit.check.sheets import (
    ACW,
    CARRIAGE,
    CROSS,
    LEFT,
    OUT,
    RIGHT,
    TOP,
    approach,
    at,
    away,
    before,
    by_hand,
    changed,
    cut,
    edited,
    hand,
    in_soft_jaws,
    measure,
    move,
    place_of,
    reset,
    ring_acts,
    ring_part,
    sheet_of,
    simple_shop,
    start,
    stop,
    touch,
    up_to,
    without,
    zero,
)

A = ring_acts()
LATHE = simple_shop().lathe


def shop_of(**slides: Slide) -> Shop:
    lathe: Lathe = LATHE
    for name, slide in slides.items():
        lathe = replace(lathe, **{name: slide})
    return replace(simple_shop(), lathe=lathe)


def texts(acts: tuple[Act, ...], shop: Shop | None = None, part: Part | None = None) -> list[str]:
    report = check_sheet(sheet_of(acts, part), shop or simple_shop())
    return [f"{refusal.act}: {refusal.text}" for refusal in report.refusals]


def codes(acts: tuple[Act, ...], shop: Shop | None = None, part: Part | None = None) -> set[RefusalCode]:
    return {refusal.code for refusal in check_sheet(sheet_of(acts, part), shop or simple_shop()).refusals}


def on_dial(position: Fraction, count: int) -> tuple[int, Fraction]:
    """Turns and marks of a position, by integer division alone."""
    turns, rest = divmod(position, count)
    return int(turns), Fraction(rest)


def redialled(act: Act, handle: Handle, old: int, new: int, sign: int) -> Act:
    """The act for a collar of another number of marks, each worth the same, or turning the other way."""

    def same_place(setting: Setting) -> Setting:
        if setting.handle is not handle:
            return setting
        turns, marks = on_dial(sign * (setting.turns * old + setting.marks), new)
        sense: Turn = setting.approach if sign > 0 else setting.approach.other
        return replace(setting, turns=turns, marks=marks, approach=sense)

    if isinstance(act, Move):
        return msgspec.structs.replace(act, setting=same_place(act.setting))
    if isinstance(act, Cut) and act.to is not None:
        return msgspec.structs.replace(act, to=same_place(act.to))
    if isinstance(act, SetCollar) and handle is CROSS:
        turns, marks = on_dial(sign * (act.turns * old + act.marks), new)
        return msgspec.structs.replace(act, turns=turns, marks=marks)
    return act


@pytest.mark.parametrize(
    ("name", "handle", "clockwise"), [("cross", CROSS, OUT), ("top", TOP, RIGHT), ("carriage", CARRIAGE, RIGHT)]
)
def test_the_job_goes_on_a_lathe_whose_handles_turn_the_other_way(name: str, handle: Handle, clockwise: Motion) -> None:
    shop = shop_of(**{name: replace(LATHE.slide(handle), clockwise_moves=clockwise)})
    mirrored = tuple(redialled(act, handle, 50, 50, -1) for act in A)
    assert texts(mirrored, shop) == []
    if handle is not CARRIAGE:  # the tiny job sets no marks on the carriage
        assert not check_sheet(sheet_of(A), shop).ok


def test_the_job_goes_on_a_longer_screw_with_finer_marks() -> None:
    """Lead 4 mm with 200 marks: a mark is worth the same, and four of the old turns are one."""
    shop = shop_of(cross=replace(LATHE.cross, dial=Dial(lead_mm=Fraction(4), marks=200, label_mm=Fraction(1, 50))))
    finer = tuple(redialled(act, CROSS, 50, 200, 1) for act in A)
    # one turn is now 4 mm: hand feeds of the cross-slide go four times as slowly
    slower = tuple(
        by_hand(act.id, CROSS, 400, lead=4.0, fast=12.0, slow=24.0) if act.id in HAND_FEEDS else act for act in finer
    )
    assert texts(slower, shop) == []
    assert RefusalCode.EXPECTED_NOT_MET in codes(A, shop)


HAND_FEEDS = ("feed-vee", "feed-part", "feed-vee-2")


def test_a_carriage_without_a_dial_takes_its_zero_on_the_indicator() -> None:
    shop = shop_of(carriage=replace(LATHE.carriage, dial=None))
    by_indicator = changed(A, "zero-face-carriage", kind=SettingKind.INDICATOR)
    assert RefusalCode.NOT_SETTABLE in codes(A, shop)
    assert texts(by_indicator, shop) == []


def by_readout(value: Fraction, expected: float) -> tuple[Act, ...]:
    setting = Setting(handle=CROSS, kind=SettingKind.READOUT, zero="bar", value_mm=value, expected_mm=expected)
    return changed(changed(A, "zero-bar", kind=SettingKind.READOUT), "to-turn-1", setting=setting)


def test_a_readout_of_the_cross_slide_counts_travel_inward() -> None:
    shop = shop_of(cross=replace(LATHE.cross, readout_step_mm=Fraction(1, 200)))
    assert texts(by_readout(Fraction(1, 2), 19.0), shop) == []
    assert RefusalCode.RADIUS_FOR_DIAMETER in codes(by_readout(Fraction(1), 19.0), shop)
    assert RefusalCode.EXPECTED_NOT_MET in codes(by_readout(Fraction(-1, 2), 19.0), shop)
    assert RefusalCode.NOT_SETTABLE in codes(by_readout(Fraction(1, 2), 19.0))


def test_a_feeler_stands_between_tool_and_zero() -> None:
    """0.1 mm of feeler on the raw face at z = 1: zero at 1.1; z 0.4 and 0.0 are 35 and 55 marks away."""
    acts = changed(changed(A, "touch-face", feeler_mm=0.1), "zero-raw", stands_for_mm=1.1)
    acts = reset(reset(acts, "to-face-1", marks=Fraction(35)), "to-face-2", turns=1, marks=Fraction(5))
    assert texts(acts) == []
    assert RefusalCode.ZERO_NOT_TRUE in codes(changed(acts, "zero-raw", stands_for_mm=1.0))


def on_mandrel(nose_mm: float) -> Holding:
    return in_soft_jaws(
        id="stub-mandrel",
        kind="stub-mandrel",
        gripped_surface="bore",
        grip_dia_mm=12.0,
        jaw_face_mm=-6.0,
        grip_length_mm=6.0 + nose_mm,
    )


def test_a_stub_mandrel_holds_the_second_side_if_its_nose_stays_behind_the_face() -> None:
    acts = changed(A, "bore-jaws", kind=HandKind.TURN_MANDREL)
    assert texts(changed(acts, "regrip", holding=on_mandrel(-1.0))) == []
    assert RefusalCode.STRIKES_HOLDING in codes(changed(acts, "regrip", holding=on_mandrel(0.5)))


def test_a_mandrel_of_another_size_does_not_fit() -> None:
    thin = replace(on_mandrel(-1.0), grip_dia_mm=11.5)
    assert RefusalCode.HOLDING_DOES_NOT_FIT in codes(changed(A, "regrip", holding=thin))


def test_the_shops_own_steps_shape_jaws_and_mandrel() -> None:
    """A seat step of 2.9 mm leaves 6.1 mm radius free: enough for the tools; a shoulder step of 4 mm reaches 10 mm."""
    stepped = replace(simple_shop(), holdings=tuple(replace(item, step_mm=2.9) for item in simple_shop().holdings))
    assert texts(A, stepped) == []
    acts = changed(A, "bore-jaws", kind=HandKind.TURN_MANDREL)
    assert texts(changed(acts, "regrip", holding=on_mandrel(-1.0)), stepped) == []


def test_a_holding_that_the_check_does_not_know_is_refused() -> None:
    magnet = in_soft_jaws(id="pot", kind="magnet")
    assert RefusalCode.UNKNOWN_HOLDING in codes(changed(A, "regrip", holding=magnet))


def part_without_back_edges() -> Part:
    part = ring_part()
    outside, bore = part.outer.segments[1], part.inner.segments[1]
    outer = (part.outer.segments[0], replace(outside, end=Point(-6.0, 9.0)))
    inner = (part.inner.segments[0], replace(bore, end=Point(-6.0, 6.0)))
    sizes = tuple(
        feature for feature in part.sizes if not feature.surface.startswith("back-") or "edge" not in feature.surface
    )
    return replace(part, outer=Contour(segments=outer), inner=Contour(segments=inner), sizes=sizes)


def rubbed(removes: float) -> tuple[Act, ...]:
    plate = in_soft_jaws(id="flat-plate", kind="flat-plate", gripped_surface="none", turned=False)
    regrip = changed(A, "regrip", holding=plate)[place_of(A, "regrip")]
    return (
        *up_to(A, "measure-raw"),
        regrip,
        hand("rub", HandKind.RUB_FACE, "back-face", removes),
        measure("measure-rubbed", "back-face", 6.3 - removes, "micrometer", Aspect.WIDTH, (5.95, 6.05)),
    )


def test_a_back_face_may_be_rubbed_to_width_on_a_plate() -> None:
    part = part_without_back_edges()
    assert texts(rubbed(0.3), part=part) == []
    assert codes(rubbed(0.2), part=part) >= {RefusalCode.SIZE_OUTSIDE_LIMITS, RefusalCode.LEFTOVER}
    assert codes(rubbed(0.4), part=part) >= {RefusalCode.SIZE_OUTSIDE_LIMITS, RefusalCode.GOUGE}


def test_a_face_rubbed_before_the_ring_was_turned_round_is_the_same_face() -> None:
    """The back face is the one towards the chuck while the ring lies in the part's own frame."""
    judged = A[place_of(A, "measure-width")]
    acts = (*up_to(A, "measure-raw"), hand("rub", HandKind.RUB_FACE, "back-face", 0.3), judged)
    assert texts(acts, part=part_without_back_edges()) == []


def test_nothing_is_turned_on_a_plate() -> None:
    plate = in_soft_jaws(id="flat-plate", kind="flat-plate", turned=False)
    assert RefusalCode.NOT_HELD in codes(changed(A, "regrip", holding=plate))


SINE, COSINE = sin(radians(30.0)), cos(radians(30.0))


def swung(act_id: str, angle: int) -> SwingSlide:
    return SwingSlide(
        id=act_id,
        step="s",
        angle_deg=Fraction(angle),
        leftward=OUT,
        scale_deg=Fraction(angle),
        error_deg=0.25,
        check_travel_mm=10.0,
        check_across_mm=round(10.0 * sin(radians(angle)), 3),
    )


def bored_by_the_top_slide() -> tuple[Act, ...]:
    """Bore 11 to 11.6 and 12 with the top slide at 30°: a mark is worth 2 * 0.02 * sin 30° = 0.02 mm of diameter."""
    fine: tuple[Act, ...] = (
        swung("swing-30", 30),
        start("start-fine"),
        approach("near-fine", -3.0, 4.0),
        # from 4.0 to 5.5 mm radius: 3 mm of slide, and 3 cos 30° to the left
        touch("touch-fine", TOP, LEFT, "bore"),
        zero("zero-fine", TOP, "fine", "bore", 11.0),
        away("off-fine", TOP, RIGHT, 1.0),
        away("before-fine", CARRIAGE, RIGHT, 10.0),
        # 11.0 to 11.6: 30 marks
        move("to-fine-1", at(TOP, "fine", 0, 30, 11.6)),
        cut("fine-1", CARRIAGE, LEFT, "bore", 12.8, 0.3, feed=POWER),
        away("back-fine-1", CARRIAGE, RIGHT, 12.8),
        stop("stop-fine-1"),
        measure("measure-fine-1", "bore", 11.6, "bore-gauge", worth=2 * 0.02 * SINE),
        SetCollar(
            id="collar-fine",
            step="s",
            handle=TOP,
            zero="fine-size",
            surface="bore",
            zero_dia_mm=12.0,
            dia_per_mark_mm=2 * 0.02 * SINE,
            expected_dia_mm=11.6,
            # 0.4 / 0.02 = 20 marks before 0
            turns=-1,
            marks=Fraction(30),
        ),
        start("start-fine-2"),
        move("to-fine-2", at(TOP, "fine-size", 0, 0, 12.0)),
        cut("fine-2", CARRIAGE, LEFT, "bore", 12.4, 0.2, feed=POWER),
        away("back-fine-2", CARRIAGE, RIGHT, 12.4),
        stop("stop-fine-2"),
        swung("swing-back", 0),
    )
    middle = ("collar-bore", "start-bore-2", "to-bore-2", "bore-2", "back-bore-2", "to-bore-3", "bore-3", "back-bore-3")
    acts = without(A, *middle, "stop-bore-3")
    return before(acts, "measure-bore", *fine)


POWER = A[place_of(A, "turn-1")].feed  # type: ignore[union-attr]  # it is a Cut


def test_a_swung_top_slide_sets_a_bore_finer_than_the_cross_slide() -> None:
    """Source: PC-07: infeed = travel * sin(angle), and the tool also goes along by cos(angle) * travel."""
    assert texts(bored_by_the_top_slide()) == []


def test_cosine_for_sine_at_the_swung_slide_is_refused() -> None:
    wrong = changed(bored_by_the_top_slide(), "collar-fine", dia_per_mark_mm=2 * 0.02 * COSINE)
    assert RefusalCode.COLLAR_RULE_BROKEN in codes(wrong)


def test_travel_for_diameter_at_the_swung_slide_is_refused() -> None:
    wrong = changed(bored_by_the_top_slide(), "collar-fine", dia_per_mark_mm=0.02 * SINE)
    assert RefusalCode.RADIUS_FOR_DIAMETER in codes(wrong)


def test_a_whole_turn_too_far_at_the_swung_slide_is_refused() -> None:
    wrong = reset(bored_by_the_top_slide(), "to-fine-2", turns=-1)
    assert RefusalCode.WRONG_TURNS in codes(wrong)


def test_a_slide_drawn_by_eye_leaves_both_its_axes_unknown() -> None:
    """At 30° the top slide moves the tool across as well: cutting then needs a setting of it first."""
    wrong = before(bored_by_the_top_slide(), "fine-2", away("nudge", TOP, RIGHT, 0.5))
    assert RefusalCode.POSITION_BY_EYE in codes(wrong)


def test_a_width_is_read_with_a_mark_of_a_slide_that_goes_along() -> None:
    acts = changed(A, "measure-raw", mark_worth_mm=0.02)
    assert texts(acts) == []
    assert RefusalCode.RADIUS_FOR_DIAMETER in codes(changed(A, "measure-raw", mark_worth_mm=0.04))
    legs = edited(A, "measure-edge", lambda act: msgspec.structs.replace(act, mark_worth_mm=0.02))
    assert texts(legs) == []


def test_a_diameter_is_read_with_a_step_of_the_readout() -> None:
    """Geometry: a step of 0.005 mm on the slide changes the diameter by 0.010 mm."""
    shop = shop_of(cross=replace(LATHE.cross, readout_step_mm=Fraction(1, 200)))
    by_step = changed(by_readout(Fraction(1, 2), 19.0), "measure-turn-1", mark_worth_mm=0.01)
    assert texts(by_step, shop) == []
    halved = changed(by_readout(Fraction(1, 2), 19.0), "measure-turn-1", mark_worth_mm=0.005)
    assert RefusalCode.RADIUS_FOR_DIAMETER in codes(halved, shop)
    other = changed(by_readout(Fraction(1, 2), 19.0), "measure-turn-1", mark_worth_mm=0.033)
    told = "marks (or steps of a readout) are worth 0.04000 mm, 0.01000 mm here"
    assert any(told in text for text in texts(other, shop))


def test_a_leg_across_is_read_from_cylinder_to_face() -> None:
    across = changed(A, "measure-edge", aspect=Aspect.LEG_RADIAL.value)
    assert texts(across) == []
    assert isinstance(across[place_of(A, "measure-edge")], Measure)


def test_anticlockwise_and_clockwise_are_told_apart() -> None:
    assert RefusalCode.WRONG_SIDE in codes(reset(A, "to-bore-1", approach=Turn.CLOCKWISE, back_off_marks=10))
    assert RefusalCode.WRONG_SIDE not in codes(reset(A, "to-bore-1", approach=ACW))
