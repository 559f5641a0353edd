"""What must be refused of places, zeros, dials, angles and locks."""

from __future__ import annotations

from fractions import Fraction
from math import radians, sin

from msgspec.structs import replace

from handwheel.domain.acts import (
    Act,
    DrillHole,
    FitDrill,
    Setting,
    SettingKind,
    SwingSlide,
)
from handwheel.domain.shop import Shop
from handwheel.domain.slides import AngleScale, Slide
from tests.unit.check.sheets import (
    ACW,
    CARRIAGE,
    CROSS,
    IN,
    LEFT,
    OUT,
    POINT_8_MM,
    QUILL,
    QUILL_SLIDE,
    RIGHT,
    TOP,
    at,
    away,
    before,
    changed,
    dial,
    lock,
    measure,
    move,
    place_of,
    reset,
    speed,
    start,
    stop,
    touch,
    without,
    zero,
)
from tests.unit.check.trials import LATHE, A, Code, moved_to, shop_with, trial

FIFTY = dial(1, 50)
SCALE = AngleScale(zero_along_axis=True, step_deg=Fraction(1, 2), max_deg=90.0)


def with_slide(*, top: Slide = LATHE.top, cross: Slide = LATHE.cross) -> Shop:
    return shop_with(lathe=replace(LATHE, top=top, cross=cross))


FIXED_COLLAR = with_slide(cross=replace(LATHE.cross, dial=replace(FIFTY, settable=False)))
FROM_SQUARE = with_slide(top=replace(LATHE.top, angle_scale=replace(SCALE, zero_along_axis=False)))
TOO_FAR_IN = move("too-far", at(CROSS, "bar", 0, 35, 18.6))
# z 0.41: 29 1/2 marks; the two cuts are then 0.59 and 0.41 deep
HALF_MARK = changed(
    changed(reset(A, "to-face-1", marks=Fraction(59, 2), expected_mm=0.41), "face-1", depth_mm=0.59),
    "face-2",
    depth_mm=0.41,
)
# 26 marks: 18.96; from there 24 marks to 18
ONE_MARK_MORE = changed(
    changed(
        changed(reset(A, "to-turn-1", marks=Fraction(26), expected_mm=18.96), "turn-1", depth_mm=0.52),
        "measure-turn-1",
        expected_mm=18.96,
    ),
    "collar-outside",
    expected_dia_mm=18.96,
    marks=Fraction(26),
)
# an 8 mm drill before; the 10 mm one then enters until its lips meet the rim
AFTER_A_SMALL_DRILL = before(
    A,
    "fit-drill",
    FitDrill(id="fit-small", step="s", drill="drill-8"),
    speed("speed-small", 800, 10.0),
    start("start-small"),
    touch("touch-small", QUILL, LEFT, "front-face"),
    zero("zero-small", QUILL, "small", "front-face", 0.0),
    DrillHole(
        id="small",
        step="s",
        # 6 turns 60 marks = 13.2 mm
        setting=at(QUILL, "small", 6, 60, -13.2 + POINT_8_MM),
        point_mm=POINT_8_MM,
        peck_mm=4.0,
    ),
    stop("stop-small"),
)


def swing(act_id: str, angle: int, scale: int) -> SwingSlide:
    return SwingSlide(
        id=act_id,
        step="s",
        angle_deg=Fraction(angle),
        leftward=OUT,
        scale_deg=Fraction(scale),
        error_deg=0.25,
        check_travel_mm=10.0,
        check_across_mm=round(10.0 * sin(radians(angle)), 3),
    )


def by_indicator(value: Fraction) -> tuple[Act, ...]:
    """A move of the carriage by its indicator, from 2 mm right of the zero where the tool stands at z = 3."""
    setting = Setting(
        handle=CARRIAGE,
        kind=SettingKind.INDICATOR,
        zero="face-carriage",
        value_mm=value,
        expected_mm=1.0 - float(value),
    )
    acts = changed(A, "zero-face-carriage", kind=SettingKind.INDICATOR)
    return before(acts, "out-turn", move("indicated", setting))


DIALS = (
    trial(Code.NO_TOOL, "bringing no tool near", without(A, "fit-right")),
    trial(Code.NO_TOOL, "drilling without a drill", without(A, "fit-drill")),
    trial(Code.POSITION_UNKNOWN, "touching before the tool was brought near", without(A, "near-face")),
    trial(Code.POSITION_UNKNOWN, "moving before the tool was brought near", moved_to(A, "to-face-1", "near-face")),
    trial(Code.POSITION_UNKNOWN, "drilling before the drill touched", without(A, "touch-drill", "zero-drill")),
    trial(Code.POSITION_UNKNOWN, "a zero of the quill before the drill touched", without(A, "touch-drill")),
    trial(Code.POSITION_UNKNOWN, "a zero before the tool was brought near", moved_to(A, "zero-raw", "near-face")),
    trial(Code.POSITION_BY_EYE, "a zero where nothing was touched", without(A, "touch-bar")),
    trial(
        Code.POSITION_BY_EYE,
        "a depth that was judged by eye",
        before(A, "turn-2", away("nudge", CROSS, IN, 0.2)),
        before(A, "to-turn-2", away("nudge", CROSS, OUT, 0.5)),
    ),
    trial(
        Code.POSITION_BY_EYE,
        "a face whose zero was lost with the carriage",
        before(
            before(A, "lock-face", away("nudge", CARRIAGE, RIGHT, 2.0)), "lock-face", away("back", CARRIAGE, LEFT, 2.0)
        ),
    ),
    trial(Code.NO_LIVE_ZERO, "a setting without a zero", without(A, "zero-raw")),
    trial(
        Code.NO_LIVE_ZERO, "a dial figure from an indicator's zero", reset(A, "to-face-1", kind=SettingKind.INDICATOR)
    ),
    trial(Code.ZERO_LOST, "a zero of the tool before", reset(A, "to-bore-1", zero="outside-size")),
    trial(Code.ZERO_LOST, "a zero that was set anew under another name", reset(A, "to-turn-2", zero="bar")),
    trial(
        Code.ZERO_LOST,
        "a zero from before the tool was brought along by eye",
        before(A, "to-turn-2", A[place_of(A, "near-face")]),
    ),
    trial(
        Code.ZERO_NOT_TRUE,
        "the face is elsewhere than the zero says",
        changed(A, "zero-raw", stands_for_mm=0.9),
        changed(A, "zero-raw", stands_for_mm=1.0005),
    ),
    trial(Code.ZERO_NOT_TRUE, "a depth at the kissed corner", changed(A, "zero-outer", stands_for_mm=0.1)),
    trial(
        Code.WRONG_SURFACE, "a zero along the bed on a cylinder", changed(A, "zero-face-carriage", surface="outside")
    ),
    trial(Code.WRONG_SURFACE, "a zero across the bed on a face", changed(A, "zero-bar", surface="front-face")),
    trial(
        Code.ZERO_IN_SLACK,
        "a collar set before its handle was wound",
        without(changed(A, "touch-face", handle=CARRIAGE), "clear-face"),
    ),
    trial(
        Code.NOT_SETTABLE,
        "a readout that the carriage has not",
        changed(A, "zero-face-carriage", kind=SettingKind.READOUT),
        changed(A, "zero-face-carriage", kind=SettingKind.INDICATOR),
    ),
    trial(
        Code.NOT_SETTABLE,
        "a collar that cannot be turned on its own",
        A,
        changed(changed(A, "collar-outside", settable=False), "collar-bore", settable=False),
        wrong_shop=FIXED_COLLAR,
        right_shop=FIXED_COLLAR,
    ),
    trial(
        Code.MARKS_NOT_ON_DIAL, "fifty marks on a collar of fifty", reset(A, "to-face-2", turns=0, marks=Fraction(50))
    ),
    trial(
        Code.MARKS_NOT_ON_DIAL,
        "a collar set to a mark that it has not",
        changed(A, "collar-outside", turns=-2, marks=Fraction(75)),
    ),
    trial(
        Code.MARKS_NOT_WHOLE,
        "half a mark on a dial without halves",
        HALF_MARK,
        HALF_MARK,
        right_shop=with_slide(top=replace(LATHE.top, dial=replace(FIFTY, halves=True))),
    ),
    trial(
        Code.AID_CANNOT, "half a step of the indicator", by_indicator(Fraction(-601, 200)), by_indicator(Fraction(-3))
    ),
    trial(
        Code.AID_CANNOT, "further than the indicator reaches", by_indicator(Fraction(-11)), by_indicator(Fraction(-10))
    ),
    trial(
        Code.WRONG_SIDE,
        "a mark reached while winding out",
        reset(A, "to-turn-1", approach=ACW, back_off_marks=10),
        reset(A, "to-turn-1", back_off_marks=10),
    ),
    trial(
        Code.BACK_OFF_TOO_SMALL,
        "coming back by no more than the slack",
        before(reset(A, "to-turn-1", back_off_marks=5), "to-turn-1", TOO_FAR_IN),
        before(reset(A, "to-turn-1", back_off_marks=6), "to-turn-1", TOO_FAR_IN),
    ),
    trial(
        Code.BACK_OFF_TOO_SMALL,
        "drawing away by no more than the slack",
        changed(A, "off-bar", distance_mm=0.1),
        changed(A, "off-bar", distance_mm=0.2),
    ),
    trial(Code.WRONG_DIRECTION, "a cross-slide that goes left", changed(A, "out-face", motion=LEFT)),
    trial(Code.WRONG_DIRECTION, "away by nothing", changed(A, "out-face", distance_mm=0.0)),
    trial(Code.WRONG_DIRECTION, "a cut away from its setting", changed(A, "part", motion=OUT)),
    trial(Code.WRONG_DIRECTION, "a cut by eye of no length", changed(A, "turn-3", length_mm=0.0)),
    trial(
        Code.WRONG_DIRECTION,
        "a cut to another handle's setting",
        changed(A, "part", to=at(TOP, "part-face", 8, 20, -8.4)),
    ),
    trial(
        Code.WRONG_DIRECTION,
        "a collar of a slide that changes no diameter",
        changed(A, "collar-outside", handle=CARRIAGE),
    ),
    trial(Code.WRONG_DIRECTION, "a top slide swung to the left", changed(A, "swing", leftward=LEFT)),
    trial(
        Code.WRONG_DIRECTION, "a quill moved by hand", before(A, "stop-drill", move("q", at(QUILL, "drill", 1, 0, 0.0)))
    ),
    trial(
        Code.EXPECTED_NOT_MET,
        "one mark more than the size needs",
        reset(A, "to-turn-1", marks=Fraction(26)),
        ONE_MARK_MORE,
    ),
    trial(Code.EXPECTED_NOT_MET, "a drill that touches the rim of a hole", AFTER_A_SMALL_DRILL),
    trial(
        Code.EXPECTED_NOT_MET,
        "a printed worth that no mark has",
        changed(A, "measure-bore-1", mark_worth_mm=0.05),
        changed(A, "measure-bore-1", mark_worth_mm=0.0),
    ),
    trial(
        Code.EXPECTED_NOT_MET,
        "a collar from a size that this place does not cut",
        changed(A, "collar-bore", expected_dia_mm=11.04),
    ),
    trial(Code.WRONG_TURNS, "a whole turn too far", reset(A, "to-turn-1", turns=1)),
    trial(Code.WRONG_TURNS, "a whole turn too little along", reset(A, "over-part", turns=2)),
    trial(
        Code.WRONG_TURNS,
        "a retract whose turns are not its distance",
        changed(A, "out-face", turns=Fraction(4)),
        changed(A, "out-face", turns=Fraction(8)),
    ),
    trial(Code.RADIUS_FOR_DIAMETER, "marks taken for diameter", reset(A, "to-turn-1", turns=1, marks=Fraction(0))),
    trial(Code.RADIUS_FOR_DIAMETER, "a radius printed as the size", reset(A, "to-turn-1", expected_mm=9.5)),
    trial(Code.RADIUS_FOR_DIAMETER, "a radius printed at the zero", changed(A, "zero-bar", stands_for_mm=10.0)),
    trial(Code.RADIUS_FOR_DIAMETER, "a mark worth its travel", changed(A, "collar-outside", dia_per_mark_mm=0.02)),
    trial(
        Code.RADIUS_FOR_DIAMETER,
        "a mark worth its travel beside a reading",
        changed(A, "measure-bore-1", mark_worth_mm=0.02),
    ),
    trial(
        Code.RADIUS_FOR_DIAMETER,
        "a radius expected on the micrometer",
        changed(A, "measure-turn-1", expected_mm=9.5, stop_low_mm=9.4, stop_high_mm=9.6),
    ),
    trial(Code.RADIUS_FOR_DIAMETER, "a depth below the corner taken twice", reset(A, "edge-outer", expected_mm=0.8)),
    trial(Code.RADIUS_FOR_DIAMETER, "a radius expected at the collar", changed(A, "collar-bore", expected_dia_mm=5.5)),
    trial(
        Code.PAST_TRAVEL,
        "further than the top slide goes",
        A,
        wrong_shop=with_slide(top=replace(LATHE.top, travel_mm=10.2)),
        right_shop=with_slide(top=replace(LATHE.top, travel_mm=10.3)),
    ),
    trial(
        Code.PAST_TRAVEL,
        "further than the quill goes",
        A,
        wrong_shop=shop_with(
            lathe=replace(LATHE, tailstock=replace(LATHE.tailstock, quill=replace(QUILL_SLIDE, travel_mm=13.1)))
        ),
        right_shop=shop_with(
            lathe=replace(LATHE, tailstock=replace(LATHE.tailstock, quill=replace(QUILL_SLIDE, travel_mm=13.2)))
        ),
    ),
    trial(Code.SLIDE_LOCKED, "a locked carriage moved", without(A, "free-face")),
    trial(Code.SLIDE_LOCKED, "a locked carriage brought along by eye", without(A, "free-vee")),
    trial(Code.SLIDE_LOCKED, "a tool fitted, the carriage locked", before(A, "fit-vee", lock("l"))),
    trial(Code.SLIDE_LOCKED, "a slide swung, the carriage locked", before(A, "swing", lock("l"))),
    trial(Code.CARRIAGE_NOT_LOCKED, "facing with the carriage free", without(A, "lock-face", "free-face")),
    trial(Code.CARRIAGE_NOT_LOCKED, "sweeping with the carriage free", without(A, "lock-sweep")),
    trial(
        Code.COLLAR_RULE_BROKEN,
        "a mark beside the rule",
        changed(A, "collar-outside", marks=Fraction(24)),
        changed(A, "collar-outside", zero_dia_mm=18.015),
    ),
    trial(Code.COLLAR_RULE_BROKEN, "a mark of another screw", changed(A, "collar-outside", dia_per_mark_mm=0.05)),
    trial(
        Code.COLLAR_NOT_MEASURED,
        "a collar from a size that nobody measured",
        without(A, "measure-turn-1"),
        before(A, "collar-outside", measure("again", "outside", 19.0, "micrometer")),
    ),
    trial(
        Code.COLLAR_MOVED,
        "the cross-slide moved before the collar was set",
        before(A, "stop-turn-1", away("nudge", CROSS, OUT, 1.0)),
        before(A, "stop-turn-1", away("nudge", TOP, RIGHT, 0.5)),
    ),
    trial(
        Code.COMPLEMENT_ANGLE,
        "the complement on a scale that counts from the axis",
        before(A, "fit-right", swing("s1", 30, 60), swing("s2", 0, 0)),
        before(A, "fit-right", swing("s1", 30, 30), swing("s2", 0, 0)),
    ),
    trial(
        Code.COMPLEMENT_ANGLE,
        "the angle on a scale that counts from the square",
        before(A, "fit-right", swing("s1", 0, 0)),
        before(A, "fit-right", swing("s1", 0, 90)),
        wrong_shop=FROM_SQUARE,
        right_shop=FROM_SQUARE,
    ),
    trial(
        Code.ANGLE_NOT_SETTABLE,
        "a figure that is neither",
        before(A, "fit-right", swing("s1", 30, 31), swing("s2", 0, 0)),
        before(A, "fit-right", swing("s1", 31, 31), swing("s2", 0, 0)),
    ),
    trial(
        Code.ANGLE_NOT_SETTABLE,
        "between two divisions",
        A,
        wrong_shop=with_slide(top=replace(LATHE.top, angle_scale=replace(SCALE, step_deg=Fraction(10)))),
        right_shop=with_slide(top=replace(LATHE.top, angle_scale=replace(SCALE, step_deg=Fraction(15)))),
    ),
    trial(
        Code.ANGLE_NOT_SETTABLE,
        "further than the base goes",
        A,
        wrong_shop=with_slide(top=replace(LATHE.top, angle_scale=replace(SCALE, max_deg=40.0))),
        right_shop=with_slide(top=replace(LATHE.top, angle_scale=replace(SCALE, max_deg=45.0))),
    ),
    trial(Code.ANGLE_NOT_SETTABLE, "no scale", A, wrong_shop=with_slide(top=replace(LATHE.top, angle_scale=None))),
    trial(
        Code.ANGLE_CHECK_WRONG,
        "a check that does not follow from the angle",
        changed(A, "swing", check_across_mm=5.0),
        changed(A, "swing", check_across_mm=7.1),
    ),
)
