"""Small hand-made shops, parts and plans, so that a test need not plan anything to have a sheet.

The job is plausible but is not claimed to pass the check: it shows every kind of act, setting and dial at least once.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import count

import msgspec
from msgspec.structs import replace

from handwheel.domain.acts import (
    Act,
    Approach,
    Cool,
    Cut,
    DrillHole,
    FeedKind,
    FitDrill,
    FitTool,
    HandKind,
    HandStep,
    Indicate,
    LoadBar,
    Lock,
    Measure,
    Move,
    PartOff,
    Regrip,
    Retract,
    SetCollar,
    SetFeed,
    SetSpeed,
    Setting,
    SettingKind,
    SetZero,
    StartSpindle,
    StopSpindle,
    SwingSlide,
    TailSupport,
    Touch,
    Unlock,
)
from handwheel.domain.advice import AdviceBand, AdviceRule, AdviceTable, Do
from handwheel.domain.bars import Bar
from handwheel.domain.chucks import Chuck, HoldingMeans
from handwheel.domain.contour import Contour, Point, Segment
from handwheel.domain.findings import Finding, Proof, Reason, Severity
from handwheel.domain.gauges import Gauge, GaugeUse
from handwheel.domain.habits import Habits
from handwheel.domain.holding import Holding, Side
from handwheel.domain.hole_tools import Drill, DrillKind
from handwheel.domain.lathe import Lathe, Nose, PowerFeed, SpindleSpeed, Tailstock
from handwheel.domain.motion import Edge, Handle, Motion, Turn
from handwheel.domain.part import Aspect, Part, SizedFeature, Units
from handwheel.domain.plan import Plan, Sheet, Stage, Step, StepTime, Zone
from handwheel.domain.shop import Shop
from handwheel.domain.size import Size, SizeKind
from handwheel.domain.slides import AidKind, AngleScale, Dial, LengthAid, Slide
from handwheel.domain.tools import Tool, ToolKind

ROUGH_ADVICE = AdviceTable(
    bands=(
        AdviceBand(low_mm=24.4, high_mm=24.42, do=Do.READ_AGAIN),
        AdviceBand(low_mm=24.421, high_mm=24.421, do=Do.CUT_AGAIN, marks=Fraction(2)),
        AdviceBand(low_mm=24.422, high_mm=24.6, do=Do.SET, rule=AdviceRule(zero_mm=24.0012, mm_per_mark=0.05)),
        AdviceBand(low_mm=24.601, high_mm=24.65, do=Do.SET, marks=Fraction(13), dial=Fraction(87)),
        AdviceBand(low_mm=24.651, high_mm=24.7, do=Do.SET, marks=Fraction(114), dial=Fraction(86)),
        AdviceBand(low_mm=24.701, high_mm=24.72, do=Do.COOL, seconds=300.0),
        AdviceBand(low_mm=24.721, high_mm=24.75, do=Do.GO_ON),
        AdviceBand(low_mm=24.751, high_mm=24.8, do=Do.STOP_ASK),
    ),
    step_mm=0.001,
    sets="cross-x-set",
    handle=Handle.CROSS,
    turn=Turn.CLOCKWISE,
    stood_dial=Fraction(40),
    readings=2,
    cool_s=180.0,
)
"""Advice of every kind, for a collar that can be set and is engraved with other figures than the count."""
FINE_ADVICE = AdviceTable(
    bands=(
        AdviceBand(low_mm=17.8, high_mm=17.93, do=Do.CUT_AGAIN, rule=AdviceRule(zero_mm=18.01, mm_per_mark=0.0048)),
        AdviceBand(low_mm=17.94, high_mm=17.94, do=Do.CUT_AGAIN, marks=Fraction(29, 2)),
        AdviceBand(low_mm=17.95, high_mm=17.99, do=Do.CUT_AGAIN, marks=Fraction(72)),
        AdviceBand(low_mm=18.0, high_mm=18.02, do=Do.GOOD),
        AdviceBand(low_mm=18.03, high_mm=18.2, do=Do.STOP_LOST),
    ),
    step_mm=0.01,
    handle=Handle.TOP,
    turn=Turn.ANTICLOCKWISE,
    readings=3,
)
"""Advice for a finished size, on a collar that cannot be set."""

CROSS = Slide(
    handle=Handle.CROSS,
    clockwise_moves=Motion.IN,
    slack_mm=Fraction(1, 5),
    travel_mm=90.0,
    dial=Dial(lead_mm=Fraction(5, 2), marks=100, label_mm=Fraction(1, 40)),
)
TOP = Slide(
    handle=Handle.TOP,
    clockwise_moves=Motion.LEFT,
    slack_mm=Fraction(3, 20),
    travel_mm=50.0,
    dial=Dial(lead_mm=Fraction(3, 2), marks=60, label_mm=Fraction(1, 40), settable=False, halves=True),
    angle_scale=AngleScale(zero_along_axis=False, step_deg=Fraction(1, 2), max_deg=90.0),
)
CARRIAGE = Slide(
    handle=Handle.CARRIAGE,
    clockwise_moves=Motion.RIGHT,
    slack_mm=Fraction(1, 2),
    travel_mm=400.0,
    aids=(
        LengthAid(kind=AidKind.STOP, step_mm=Fraction(1, 20), range_mm=150.0),
        LengthAid(kind=AidKind.RULE, step_mm=Fraction(1, 2), range_mm=150.0),
        LengthAid(kind=AidKind.INDICATOR, step_mm=Fraction(1, 100), range_mm=10.0),
    ),
)
QUILL = Slide(
    handle=Handle.QUILL,
    clockwise_moves=Motion.LEFT,
    slack_mm=Fraction(1, 5),
    travel_mm=60.0,
    dial=Dial(lead_mm=Fraction(2), marks=40, label_mm=Fraction(1, 20)),
)


def make_shop() -> Shop:
    """Shop with one of each; the top slide's collar cannot be set and its scale counts from the cross-slide."""
    lathe = Lathe(
        name="bench lathe",
        nose=Nose.THREADED,
        spindle_bore_dia_mm=26.0,
        spindle_length_mm=300.0,
        speeds=(
            SpindleSpeed(rpm=180.0, position="belt A1, back gear"),
            SpindleSpeed(rpm=540.0, position="belt B2", measured=True),
            SpindleSpeed(rpm=812.5, position="belt B3"),
        ),
        motor_power_w=370.0,
        drive_efficiency=0.7,
        cross=CROSS,
        top=TOP,
        carriage=CARRIAGE,
        chuck=Chuck(
            name="three-jaw chuck",
            jaws=3,
            max_rpm=2000.0,
            body_dia_mm=100.0,
            jaw_length_mm=22.0,
            jaw_height_mm=30.0,
            grip_low_dia_mm=3.0,
            grip_high_dia_mm=80.0,
            runout_mm=0.08,
        ),
        tailstock=Tailstock(quill=QUILL, chuck_high_dia_mm=13.0),
        feeds_along=(PowerFeed(mm_rev=0.08, position="lever C"),),
        feeds_across=(),
    )
    return Shop(
        name="shed",
        units=Units.MM,
        lathe=lathe,
        tools=(
            Tool(id="T1", name="right-hand turning tool", kind=ToolKind.TURNING, edge=Edge.HSS),
            Tool(id="T2", name="boring bar 10 mm", kind=ToolKind.BORING, edge=Edge.HSS, bar_dia_mm=10.0),
            Tool(id="T3", name="parting blade 2 mm", kind=ToolKind.PARTING, edge=Edge.HSS, width_mm=2.0),
            Tool(id="T4", name="spare tool", kind=ToolKind.TURNING, edge=Edge.HSS),
        ),
        drills=(Drill(id="D12", kind=DrillKind.TWIST, dia_mm=Fraction(12), dubbed=True),),
        gauges=(
            Gauge(
                id="M25",
                name="micrometer 0-25",
                uses=(GaugeUse.OUTSIDE,),
                low_mm=0.0,
                high_mm=25.0,
                step_mm=Fraction(1, 1000),
                uncertainty_mm=0.004,
            ),
            Gauge(
                id="caliper",
                name="caliper 150",
                uses=(GaugeUse.OUTSIDE, GaugeUse.BORE, GaugeUse.LENGTH),
                low_mm=0.0,
                high_mm=150.0,
                step_mm=Fraction(1, 100),
                uncertainty_mm=0.03,
            ),
            Gauge(
                id="DTI",
                name="test indicator",
                uses=(GaugeUse.RUNOUT,),
                low_mm=0.0,
                high_mm=0.8,
                step_mm=Fraction(1, 100),
                uncertainty_mm=0.005,
            ),
        ),
        bars=(
            Bar(
                id="B26",
                material="cusn12",
                dia_mm=Fraction(26),
                dia_lower_mm=Fraction(26),
                dia_upper_mm=Fraction(2610, 100),
                length_mm=280.0,
                tolerance_rule="as delivered",
            ),
        ),
        holdings=(
            HoldingMeans(
                id="soft-jaws",
                kind="soft-jaws",
                name="soft jaws, bored",
                low_dia_mm=10.0,
                high_dia_mm=60.0,
                grip_mm=4.0,
                runout_mm=0.02,
                ready_s=900.0,
                max_rpm=900.0,
            ),
            HoldingMeans(
                id="flat-plate",
                kind="flat-plate",
                name="abrasive on a flat plate",
                low_dia_mm=0.0,
                high_dia_mm=100.0,
                grip_mm=0.0,
                runout_mm=0.0,
                ready_s=60.0,
                max_rpm=0.0,
            ),
        ),
        habits=Habits(),
    )


def make_part(units: Units = Units.MM) -> Part:
    """Bush, 24 outside, 18 bore, 8 wide, an edge broken at each end of the outside."""
    outer = (Point(0.0, 11.5), Point(-0.5, 12.0), Point(-7.5, 12.0), Point(-8.0, 11.5))
    names = ("front-outer-edge", "outside", "back-outer-edge")
    return Part(
        name="Bush for the pump",
        material="cusn12",
        outer=Contour(
            segments=tuple(
                Segment(id=name, start=start, end=end)
                for name, start, end in zip(names, outer, outer[1:], strict=False)
            )
        ),
        inner=Contour(segments=(Segment(id="bore", start=Point(0.0, 9.0), end=Point(-8.0, 9.0), truth_group="A"),)),
        sizes=(
            SizedFeature(
                surface="bore", aspect=Aspect.DIAMETER, size=make_size("18", "18.000", "18.027", "ISO 286-2 H8")
            ),
            SizedFeature(surface="outside", aspect=Aspect.DIAMETER, size=make_size("24 +-0.05", "23.95", "24.05")),
            SizedFeature(
                surface="back-face",
                aspect=Aspect.WIDTH,
                size=make_size("8 +-0.1", "7.9", "8.1", kind=SizeKind.LENGTH),
            ),
        ),
        units=units,
    )


def make_size(written: str, lower: str, upper: str, rule: str = "", *, kind: SizeKind = SizeKind.DIAMETER) -> Size:
    """Size from limits written as decimals."""
    low, high = Fraction(lower), Fraction(upper)
    return Size(nominal=(low + high) / 2, lower=low, upper=high, kind=kind, as_written=written, rule=rule)


def on_dial(
    handle: Handle,
    zero: str,
    *,
    turns: int,
    marks: str,
    expected: float,
    approach: Turn = Turn.CLOCKWISE,
    back_off: int = 30,
) -> Setting:
    """Setting on a dial."""
    return Setting(
        handle=handle,
        kind=SettingKind.MARKS,
        zero=zero,
        turns=turns,
        marks=Fraction(marks),
        approach=approach,
        back_off_marks=back_off,
        expected_mm=expected,
    )


def on_aid(kind: SettingKind, value: str, *, expected: float, band: float = 0.025) -> Setting:
    """Setting of the carriage by stop, rule or indicator, coming from the right."""
    return Setting(
        handle=Handle.CARRIAGE,
        kind=kind,
        zero="carriage-z",
        value_mm=Fraction(value),
        band_mm=band,
        approach=Turn.ANTICLOCKWISE,
        expected_mm=expected,
    )


BAR_HOLDING = Holding(
    id="bar",
    kind="bar",
    side=Side.FRONT,
    gripped_surface="bar",
    grip_dia_mm=26.0,
    jaw_face_mm=-21.0,
    grip_length_mm=22.0,
    blocked=((Point(-43.0, 13.0), Point(-21.0, 13.0), Point(-21.0, 43.0), Point(-43.0, 43.0)),),
    runout_mm=0.08,
    max_rpm=2000.0,
)
JAWS_HOLDING = Holding(
    id="soft-jaws",
    kind="soft-jaws",
    side=Side.BACK,
    gripped_surface="outside",
    grip_dia_mm=24.0,
    jaw_face_mm=-4.0,
    grip_length_mm=4.0,
    blocked=(),
    runout_mm=0.02,
    max_rpm=700.0,
    lobes_mm=0.004,
)
PLATE_HOLDING = Holding(
    id="flat-plate",
    kind="flat-plate",
    side=Side.BACK,
    gripped_surface="none",
    grip_dia_mm=0.0,
    jaw_face_mm=0.0,
    grip_length_mm=0.0,
    blocked=(),
    runout_mm=0.0,
    max_rpm=0.0,
    turned=False,
)


def face_acts() -> tuple[Act, ...]:
    """Load the bar, fit the tool, face it, set the zeros along the axis."""
    step = "face"
    return (
        LoadBar(
            id="",
            step=step,
            bar="B26",
            holding=BAR_HOLDING,
            stick_out_mm=22.0,
            grip_length_mm=22.0,
            bar_length_mm=280.0,
            face_stock_mm=1.0,
            tail=TailSupport.INSIDE_SPINDLE,
        ),
        SwingSlide(
            id="",
            step=step,
            angle_deg=Fraction(0),
            leftward=Motion.OUT,
            scale_deg=Fraction(90),
            error_deg=0.25,
            check_travel_mm=15.0,
            check_across_mm=0.0,
        ),
        FitTool(id="", step=step, tool="T1", stands_out_mm=18.0),
        SetSpeed(id="", step=step, rpm=540.0, position="belt B2", cut_dia_mm=26.0, cutting_speed_m_min=44.1),
        SetFeed(
            id="",
            step=step,
            kind=FeedKind.HAND,
            handle=Handle.CROSS,
            low_mm_rev=0.03,
            high_mm_rev=0.06,
            pace_fast_s=4.6,
            pace_slow_s=9.3,
        ),
        StartSpindle(id="", step=step, cautions=("Guard down. Stand out of the plane of the chuck.",)),
        Approach(id="", step=step, z_mm=3.0, x_radius_mm=11.0, place="in front of the raw face"),
        Touch(
            id="",
            step=step,
            handle=Handle.CARRIAGE,
            motion=Motion.LEFT,
            surface="front-face",
            contact="tip of the tool",
            feeler_mm=0.05,
        ),
        SetZero(
            id="",
            step=step,
            handle=Handle.CARRIAGE,
            zero="carriage-z",
            kind=SettingKind.STOP,
            surface="front-face",
            stands_for_mm=1.05,
        ),
        Retract(id="", step=step, handle=Handle.CROSS, motion=Motion.OUT, distance_mm=4.0),
        Move(id="", step=step, setting=on_aid(SettingKind.STOP, "1.05", expected=0.0)),
        Lock(id="", step=step, handle=Handle.CARRIAGE),
        Cut(
            id="",
            step=step,
            handle=Handle.CROSS,
            motion=Motion.IN,
            to=None,
            length_mm=13.5,
            depth_mm=1.0,
            surface="front-face",
            feed=FeedKind.HAND,
            seconds=33.0,
            note="stop as the pip goes",
        ),
        Retract(id="", step=step, handle=Handle.CROSS, motion=Motion.OUT, distance_mm=14.0, turns=Fraction(11, 2)),
        SetZero(
            id="",
            step=step,
            handle=Handle.TOP,
            zero="top-z",
            kind=SettingKind.MARKS,
            surface="front-face",
            stands_for_mm=0.0,
        ),
        StopSpindle(id="", step=step),
        HandStep(id="", step=step, kind=HandKind.CLEAR_CHIPS, text="clear the chips with a brush"),
        Unlock(id="", step=step, handle=Handle.CARRIAGE),
    )


def one_pass(number: int) -> tuple[Act, ...]:
    """Return one of several equal passes along the outside."""
    position = -70 + 10 * number
    turns, marks = divmod(position, 100)
    step = "rough"
    return (
        Move(
            id="",
            step=step,
            setting=on_dial(
                Handle.CROSS, "cross-x", turns=turns, marks=str(marks), expected=24.5 - 0.05 * position / 1
            ),
        ),
        Cut(
            id="",
            step=step,
            handle=Handle.CARRIAGE,
            motion=Motion.LEFT,
            to=on_aid(SettingKind.STOP, "12.55", expected=-11.5),
            length_mm=13.5,
            depth_mm=0.25,
            surface="outside",
            feed=FeedKind.POWER,
            seconds=19.0,
        ),
        Retract(id="", step=step, handle=Handle.CROSS, motion=Motion.OUT, distance_mm=1.3, turns=Fraction(1, 2)),
        Move(id="", step=step, setting=on_aid(SettingKind.RULE, "-1", expected=2.05, band=0.25)),
    )


def rough_acts() -> tuple[Act, ...]:
    """Touch the outside, take equal passes, measure, set the collar from the reading."""
    step = "rough"
    return (
        SetFeed(
            id="",
            step=step,
            kind=FeedKind.POWER,
            handle=Handle.CARRIAGE,
            low_mm_rev=0.08,
            high_mm_rev=0.08,
            position="lever C",
        ),
        HandStep(id="", step=step, kind=HandKind.INK, text="ink the outside", surface="outside"),
        HandStep(id="", step=step, kind=HandKind.LUBRICATE, text="dry, or a drop of oil"),
        StartSpindle(id="", step=step),
        Approach(id="", step=step, z_mm=-3.0, x_radius_mm=14.0, place="outside, 3 mm behind the face"),
        Touch(
            id="",
            step=step,
            handle=Handle.CROSS,
            motion=Motion.IN,
            surface="outside",
            contact="tip of the tool",
            cautions=("Sleeves away from the chuck.", "Lean on nothing that moves; keep the left hand on the stop."),
        ),
        SetZero(
            id="",
            step=step,
            handle=Handle.CROSS,
            zero="cross-x",
            kind=SettingKind.MARKS,
            surface="outside",
            stands_for_mm=26.0,
        ),
        Retract(id="", step=step, handle=Handle.CROSS, motion=Motion.OUT, distance_mm=1.3, turns=Fraction(1, 2)),
        *(act for number in range(5) for act in one_pass(number)),
        StopSpindle(id="", step=step),
        Cool(id="", step=step, seconds=300.0),
        Measure(
            id="",
            step=step,
            surface="outside",
            aspect="diameter",
            gauge="M25",
            expected_mm=24.5,
            stop_low_mm=24.4,
            stop_high_mm=24.8,
            mark_worth_mm=0.05,
            table=ROUGH_ADVICE,
        ),
        SetCollar(
            id="",
            step=step,
            handle=Handle.CROSS,
            zero="cross-x-set",
            surface="outside",
            zero_dia_mm=24.0,
            dia_per_mark_mm=0.05,
            expected_dia_mm=24.5,
            turns=-1,
            marks=Fraction(90),
        ),
    )


def bore_acts() -> tuple[Act, ...]:
    """Drill, bore, fine feed with the top slide swung: dial settings past the zero and with half marks."""
    step = "bore"
    return (
        FitDrill(id="", step=step, drill="D12"),
        SetSpeed(id="", step=step, rpm=812.5, position="belt B3", cut_dia_mm=12.0, cutting_speed_m_min=30.6),
        StartSpindle(id="", step=step),
        Touch(
            id="",
            step=step,
            handle=Handle.QUILL,
            motion=Motion.LEFT,
            surface="front-face",
            contact="point of the drill",
        ),
        SetZero(
            id="",
            step=step,
            handle=Handle.QUILL,
            zero="quill-z",
            kind=SettingKind.MARKS,
            surface="front-face",
            stands_for_mm=0.0,
        ),
        DrillHole(
            id="",
            step=step,
            setting=on_dial(Handle.QUILL, "quill-z", turns=7, marks="5", expected=-14.25, back_off=10),
            point_mm=3.6,
            peck_mm=6.0,
            seconds=48.0,
        ),
        StopSpindle(id="", step=step),
        FitTool(id="", step=step, tool="T2", stands_out_mm=25.0),
        SwingSlide(
            id="",
            step=step,
            angle_deg=Fraction(11, 2),
            leftward=Motion.OUT,
            scale_deg=Fraction(169, 2),
            error_deg=0.25,
            check_travel_mm=15.0,
            check_across_mm=1.4377,
        ),
        StartSpindle(id="", step=step),
        Approach(id="", step=step, z_mm=-2.0, x_radius_mm=5.0, place="in the bore, 2 mm behind the face"),
        Touch(id="", step=step, handle=Handle.TOP, motion=Motion.OUT, surface="bore", contact="tip of the boring tool"),
        SetZero(
            id="",
            step=step,
            handle=Handle.TOP,
            zero="top-fine",
            kind=SettingKind.MARKS,
            surface="bore",
            stands_for_mm=17.5,
        ),
        Move(
            id="",
            step=step,
            setting=on_dial(Handle.TOP, "top-fine", turns=1, marks="37.5", expected=17.967, back_off=20),
        ),
        Cut(
            id="",
            step=step,
            handle=Handle.CARRIAGE,
            motion=Motion.LEFT,
            to=on_aid(SettingKind.INDICATOR, "9.5", expected=-9.5, band=0.01),
            length_mm=11.5,
            depth_mm=0.23,
            surface="bore",
            feed=FeedKind.POWER,
            seconds=11.0,
        ),
        Retract(id="", step=step, handle=Handle.TOP, motion=Motion.IN, distance_mm=3.0, turns=Fraction(2)),
        Move(
            id="",
            step=step,
            setting=on_dial(Handle.TOP, "top-fine", turns=-1, marks="59.5", expected=17.5),
            note="beside the work",
        ),
        StopSpindle(id="", step=step),
        Measure(
            id="",
            step=step,
            surface="bore",
            aspect="diameter",
            gauge="caliper",
            expected_mm=17.97,
            stop_low_mm=17.9,
            stop_high_mm=18.02,
            mark_worth_mm=0.0048,
            final=True,
            lower_mm=18.0,
            upper_mm=18.027,
            table=FINE_ADVICE,
        ),
        SetCollar(
            id="",
            step=step,
            handle=Handle.TOP,
            zero="top-fine-set",
            surface="bore",
            zero_dia_mm=18.0135,
            dia_per_mark_mm=0.0048,
            expected_dia_mm=17.967,
            turns=-1,
            marks=Fraction(101, 2),
            settable=False,
        ),
    )


def edge_acts() -> tuple[Act, ...]:
    """Break the front edge with the point of the tool and the top slide swung, then part."""
    step = "edge"
    return (
        FitTool(id="", step=step, tool="T1", stands_out_mm=18.0),
        SwingSlide(
            id="",
            step=step,
            angle_deg=Fraction(45),
            leftward=Motion.OUT,
            scale_deg=Fraction(45),
            error_deg=0.25,
            check_travel_mm=9.0,
            check_across_mm=6.364,
        ),
        StartSpindle(id="", step=step),
        Approach(id="", step=step, z_mm=0.5, x_radius_mm=12.5, place="near the front outer corner"),
        Touch(
            id="",
            step=step,
            handle=Handle.CROSS,
            motion=Motion.IN,
            surface="front-outer-edge",
            contact="flank of the tool",
        ),
        SetZero(
            id="",
            step=step,
            handle=Handle.CROSS,
            zero="cross-edge",
            kind=SettingKind.MARKS,
            surface="front-outer-edge",
            stands_for_mm=0.0,
        ),
        Lock(id="", step=step, handle=Handle.CARRIAGE),
        Retract(id="", step=step, handle=Handle.TOP, motion=Motion.RIGHT, distance_mm=3.0, turns=Fraction(2)),
        Move(id="", step=step, setting=on_dial(Handle.CROSS, "cross-edge", turns=0, marks="20", expected=0.5)),
        SetFeed(
            id="",
            step=step,
            kind=FeedKind.HAND,
            handle=Handle.TOP,
            low_mm_rev=0.02,
            high_mm_rev=0.04,
            pace_fast_s=4.2,
            pace_slow_s=8.3,
        ),
        Cut(
            id="",
            step=step,
            handle=Handle.TOP,
            motion=Motion.LEFT,
            to=None,
            length_mm=0.71,
            depth_mm=0.35,
            surface="front-outer-edge",
            feed=FeedKind.HAND,
            seconds=4.0,
        ),
        StopSpindle(id="", step=step),
    )


def part_off_acts() -> tuple[Act, ...]:
    """Part under a catching rod, take the burr off."""
    step = "part"
    return (
        FitTool(id="", step=step, tool="T3", stands_out_mm=10.0),
        SetSpeed(id="", step=step, rpm=180.0, position="belt A1, back gear", cut_dia_mm=24.0, cutting_speed_m_min=13.6),
        HandStep(id="", step=step, kind=HandKind.CATCH_ROD, text="rod in the bore, held in the tailstock chuck"),
        StartSpindle(id="", step=step),
        Cut(
            id="",
            step=step,
            handle=Handle.CROSS,
            motion=Motion.IN,
            to=None,
            length_mm=4.0,
            depth_mm=2.0,
            surface="back-face",
            feed=FeedKind.HAND,
            seconds=60.0,
            cautions=("The ring comes free: no hand near it.",),
        ),
        PartOff(id="", step=step),
        StopSpindle(id="", step=step),
        HandStep(id="", step=step, kind=HandKind.DEBURR, text="break the sharp edge"),
        Measure(
            id="",
            step=step,
            surface="back-face",
            aspect="width",
            gauge="caliper",
            expected_mm=8.3,
            stop_low_mm=8.2,
            stop_high_mm=8.4,
        ),
    )


def second_side_acts() -> tuple[Act, ...]:
    """Hold the ring for its other side; what is done without the lathe."""
    step = "back"
    return (
        HandStep(id="", step=step, kind=HandKind.BORE_JAWS, text="bore the jaws to 24.0"),
        HandStep(id="", step=step, kind=HandKind.TURN_MANDREL, text="or turn a stub to 17.99"),
        HandStep(id="", step=step, kind=HandKind.CLEAN, text="wipe jaws and ring"),
        Regrip(id="", step=step, holding=JAWS_HOLDING, cautions=("Light on the key: the wall is thin.",)),
        Indicate(id="", step=step, surface="bore", high_mm=0.03, gauge="DTI"),
        HandStep(id="", step=step, kind=HandKind.NOTE, text="loosen a little, tap true, tighten again"),
        Regrip(id="", step=step, holding=PLATE_HOLDING),
        HandStep(
            id="",
            step=step,
            kind=HandKind.RUB_FACE,
            text="rub the face in figures of eight",
            surface="back-face",
            removes_mm=0.05,
        ),
    )


def make_acts() -> tuple[Act, ...]:
    """Every kind of act, numbered in order."""
    numbers = count(1)
    acts = (*face_acts(), *rough_acts(), *bore_acts(), *edge_acts(), *part_off_acts(), *second_side_acts())
    return tuple(msgspec.structs.replace(act, id=f"a{next(numbers):03}") for act in acts)


TITLES = {
    "face": "Face the bar",
    "rough": "Turn the outside, rough",
    "bore": "Drill and bore",
    "edge": "Break the front outer edge",
    "part": "Part off",
    "back": "The other side",
}


def make_plan(units: Units = Units.MM) -> Plan:
    """Plan around the hand-made sheet."""
    steps = tuple(
        Step(
            id=name,
            kind=name,
            surface="outside",
            stage=Stage.WHOLE,
            zones=(
                Zone(id=f"{name}-1", surface="outside", region=(Point(0.0, 0.0), Point(1.0, 0.0), Point(0.0, 1.0))),
            ),
        )
        for name in TITLES
    )
    return Plan(
        id="0123456789abcdef0123",
        program="handwheel 0.1.0",
        uses="feedface",
        steps=steps,
        sheet=Sheet(part=make_part(units), shop="shed", acts=make_acts()),
        proof=Proof(
            cost_ms=5_400_000, bound_ms=5_400_000, states_visited=1234, alternatives=56, rules=("bore before outside",)
        ),
        times=tuple(
            StepTime(step=name, title=title, setup_ms=240_000, cutting_ms=95_000, measuring_ms=60_000)
            for name, title in TITLES.items()
        ),
        reasons=(
            Reason(
                where="rough",
                quantity="spindle speed",
                value="540 rev/min",
                relation="n = 1000 v / (pi d), next listed speed below",
                inputs=("v 40 to 50 m/min", "Ø 26.00 mm"),
                source_key="COMMON",
                standing="common practice",
                binds="the list of speeds",
                low=490.0,
                high=612.0,
            ),
        ),
        findings=(
            Finding(
                code="no-centre-drill",
                severity=Severity.WARNING,
                where="back",
                problem="the wall of 3 mm springs in the jaws.",
                remedy="bore soft jaws to the outside and grip lightly.",
                source_key="COMMON",
            ),
            Finding(
                code="jaw-lobes",
                severity=Severity.NOTE,
                where="rough",
                problem="a warm ring reads large.",
                remedy="let it cool before the last two readings.",
                source_key="COMMON",
            ),
        ),
    )


def with_acts(plan: Plan, acts: tuple[Act, ...]) -> Plan:
    """Return the plan with other acts in its sheet."""
    return replace(plan, sheet=replace(plan.sheet, acts=acts))
