"""A tiny job written out by hand: one steel ring on a simple lathe, every kind of act in it at least once.

Ring: bore 12 mm, outside 18 mm, width 6 mm, edges 0.4 mm at 45°, from a 20 mm bar. All settings below were worked out
by hand from leads of 1 mm with 50 marks (cross-slide, top slide), 20 mm with 200 marks (carriage) and 2 mm with 100
marks (quill); each comment gives the sum.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from math import pi, radians, sqrt, tan
from typing import Any

import msgspec
from msgspec.structs import replace

from handwheel.data.hazards import hazard_gates
from handwheel.domain.acts import (
    Act,
    ActBase,
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
from handwheel.domain.bars import Bar
from handwheel.domain.chucks import Chuck, HoldingMeans
from handwheel.domain.contour import Contour, Point, Segment
from handwheel.domain.gauges import Gauge, GaugeUse
from handwheel.domain.habits import Habits
from handwheel.domain.holding import Holding, Side
from handwheel.domain.hole_tools import Drill, DrillKind
from handwheel.domain.lathe import Lathe, Nose, PowerFeed, SpindleSpeed, Tailstock
from handwheel.domain.motion import Edge, Handle, Motion, Turn
from handwheel.domain.part import Aspect, Part, SizedFeature, Units
from handwheel.domain.plan import Sheet
from handwheel.domain.shop import Shop
from handwheel.domain.size import Size, SizeKind
from handwheel.domain.slides import AidKind, AngleScale, Dial, LengthAid, Slide
from handwheel.domain.tools import Hand, Tool, ToolKind

CROSS, TOP, CARRIAGE, QUILL = Handle.CROSS, Handle.TOP, Handle.CARRIAGE, Handle.QUILL
IN, OUT, LEFT, RIGHT = Motion.IN, Motion.OUT, Motion.LEFT, Motion.RIGHT
CW, ACW = Turn.CLOCKWISE, Turn.ANTICLOCKWISE
STEEL = "st11smnpb30"
LEAD_GATE = "lead-hygiene"
"""What leaded steel asks to be confirmed."""
POINT_10_MM = 5.0 / tan(radians(59.0))
POINT_8_MM = 4.0 / tan(radians(59.0))
EDGE_DEPTH_MM = 0.4 / sqrt(2.0)
"""A 0.4 mm edge at 45°, square to the flank."""


def size(nominal: str, plus_minus: str, kind: SizeKind = SizeKind.DIAMETER) -> Size:
    mid, half = Fraction(nominal), Fraction(plus_minus)
    return Size(nominal=mid, lower=mid - half, upper=mid + half, kind=kind, as_written=nominal, rule="drawing")


def ring_part(material: str = STEEL) -> Part:
    """The ring as drawn."""
    outer = Contour(
        segments=(
            Segment(id="front-outer-edge", start=Point(0.0, 8.6), end=Point(-0.4, 9.0)),
            Segment(id="outside", start=Point(-0.4, 9.0), end=Point(-5.6, 9.0)),
            Segment(id="back-outer-edge", start=Point(-5.6, 9.0), end=Point(-6.0, 8.6)),
        )
    )
    inner = Contour(
        segments=(
            Segment(id="front-inner-edge", start=Point(0.0, 6.4), end=Point(-0.4, 6.0)),
            Segment(id="bore", start=Point(-0.4, 6.0), end=Point(-5.6, 6.0)),
            Segment(id="back-inner-edge", start=Point(-5.6, 6.0), end=Point(-6.0, 6.4)),
        )
    )
    edges = tuple(
        SizedFeature(surface=edge, aspect=aspect, size=size("0.4", "0.1", SizeKind.LENGTH))
        for edge in ("front-outer-edge", "front-inner-edge", "back-outer-edge", "back-inner-edge")
        for aspect in (Aspect.LEG_AXIAL, Aspect.LEG_RADIAL)
    )
    sizes = (
        SizedFeature(surface="bore", aspect=Aspect.DIAMETER, size=size("12", "0.02")),
        SizedFeature(surface="outside", aspect=Aspect.DIAMETER, size=size("18", "0.03")),
        SizedFeature(surface="back-face", aspect=Aspect.WIDTH, size=size("6", "0.05", SizeKind.LENGTH)),
        *edges,
    )
    return Part(name="test ring", material=material, outer=outer, inner=inner, sizes=sizes)


def dial(lead: int, marks: int) -> Dial:
    return Dial(lead_mm=Fraction(lead), marks=marks, label_mm=Fraction(lead, marks))


CROSS_SLIDE = Slide(
    handle=CROSS, clockwise_moves=IN, slack_mm=Fraction(1, 10), travel_mm=60.0, dial=dial(1, 50), readout_step_mm=None
)
TOP_SLIDE = Slide(
    handle=TOP,
    clockwise_moves=LEFT,
    slack_mm=Fraction(1, 10),
    travel_mm=40.0,
    dial=dial(1, 50),
    angle_scale=AngleScale(zero_along_axis=True, step_deg=Fraction(1, 2), max_deg=90.0),
)
CARRIAGE_SLIDE = Slide(
    handle=CARRIAGE,
    clockwise_moves=LEFT,
    slack_mm=Fraction(1, 2),
    travel_mm=300.0,
    dial=dial(20, 200),
    aids=(
        LengthAid(kind=AidKind.INDICATOR, step_mm=Fraction(1, 100), range_mm=10.0),
        LengthAid(kind=AidKind.STOP, step_mm=Fraction(1, 50), range_mm=100.0),
    ),
)
QUILL_SLIDE = Slide(handle=QUILL, clockwise_moves=LEFT, slack_mm=Fraction(1, 5), travel_mm=60.0, dial=dial(2, 100))


def simple_lathe() -> Lathe:
    return Lathe(
        name="test lathe",
        nose=Nose.THREADED,
        spindle_bore_dia_mm=26.0,
        spindle_length_mm=400.0,
        speeds=tuple(SpindleSpeed(rpm=float(rpm), position=f"belt {rpm}") for rpm in (100, 200, 400, 800, 1600)),
        motor_power_w=400.0,
        drive_efficiency=0.7,
        cross=CROSS_SLIDE,
        top=TOP_SLIDE,
        carriage=CARRIAGE_SLIDE,
        chuck=Chuck(
            name="80 mm chuck",
            jaws=3,
            max_rpm=2000.0,
            body_dia_mm=80.0,
            jaw_length_mm=25.0,
            jaw_height_mm=20.0,
            grip_low_dia_mm=2.0,
            grip_high_dia_mm=60.0,
            runout_mm=0.05,
        ),
        tailstock=Tailstock(quill=QUILL_SLIDE, chuck_high_dia_mm=13.0),
        feeds_along=(PowerFeed(mm_rev=0.05, position="A"), PowerFeed(mm_rev=0.1, position="B")),
        feeds_across=(PowerFeed(mm_rev=0.05, position="A"),),
        tool_stiffness_n_um=50.0,
    )


def simple_shop() -> Shop:
    """A lathe, seven tools, what is needed besides."""
    return Shop(
        name="test shop",
        units=Units.MM,
        lathe=simple_lathe(),
        tools=(
            Tool(
                id="right",
                name="right-hand tool",
                kind=ToolKind.TURNING,
                edge=Edge.HSS,
                nose_radius_mm=0.2,
                entering_deg=93.0,
                shank_mm=10.0,
            ),
            Tool(
                id="bore-7",
                name="7 mm boring bar",
                kind=ToolKind.BORING,
                edge=Edge.HSS,
                nose_radius_mm=0.2,
                entering_deg=93.0,
                bar_dia_mm=7.0,
                head_mm=1.0,
                reach_mm=30.0,
            ),
            Tool(
                id="blade",
                name="2 mm blade",
                kind=ToolKind.PARTING,
                edge=Edge.HSS,
                hand=Hand.NEUTRAL,
                width_mm=2.0,
                reach_mm=12.0,
            ),
            Tool(
                id="vee-in",
                name="edge tool",
                kind=ToolKind.EDGE_OUTSIDE,
                edge=Edge.HSS,
                hand=Hand.NEUTRAL,
                width_mm=3.0,
            ),
            Tool(
                id="vee-out",
                name="inner edge tool",
                kind=ToolKind.EDGE_INSIDE,
                edge=Edge.HSS,
                hand=Hand.NEUTRAL,
                head_mm=2.0,
                width_mm=4.0,
                bar_dia_mm=4.0,
                reach_mm=25.0,
            ),
        ),
        drills=(
            Drill(id="drill-10", kind=DrillKind.TWIST, dia_mm=Fraction(10)),
            Drill(id="drill-8", kind=DrillKind.TWIST, dia_mm=Fraction(8)),
            Drill(id="drill-12", kind=DrillKind.TWIST, dia_mm=Fraction(12)),
            Drill(id="drill-16", kind=DrillKind.TWIST, dia_mm=Fraction(16)),
        ),
        gauges=(
            Gauge(
                id="micrometer",
                name="micrometer 0-25",
                uses=(GaugeUse.OUTSIDE, GaugeUse.LENGTH),
                low_mm=0.0,
                high_mm=25.0,
                step_mm=Fraction(1, 100),
                uncertainty_mm=0.004,
            ),
            Gauge(
                id="bore-gauge",
                name="bore gauge 10-20",
                uses=(GaugeUse.BORE,),
                low_mm=10.0,
                high_mm=20.0,
                step_mm=Fraction(1, 200),
                uncertainty_mm=0.004,
            ),
            Gauge(
                id="indicator",
                name="test indicator",
                uses=(GaugeUse.RUNOUT,),
                low_mm=0.0,
                high_mm=0.8,
                step_mm=Fraction(1, 100),
                uncertainty_mm=0.005,
            ),
        ),
        bars=(
            bar("steel-20", STEEL, 20),
            bar("steel-30", STEEL, 30),
            bar("brass-20", "cu_cw614n", 20),
            bar("stainless-20", "ss304", 20),
            bar("gold-20", "au585", 20),
        ),
        holdings=(
            means("soft-jaws", "soft-jaws"),
            means("stub-mandrel", "stub-mandrel"),
            means("flat-plate", "flat-plate"),
            means("pot", "pot"),
            means("press", "plate-and-tailstock"),
        ),
        habits=Habits(),
    )


def bar(bar_id: str, material: str, dia: int) -> Bar:
    return Bar(
        id=bar_id,
        material=material,
        dia_mm=Fraction(dia),
        dia_lower_mm=Fraction(dia),
        dia_upper_mm=Fraction(dia),
        length_mm=300.0,
        tolerance_rule="as measured",
    )


def means(means_id: str, kind: str) -> HoldingMeans:
    return HoldingMeans(
        id=means_id,
        kind=kind,
        name=kind,
        low_dia_mm=5.0,
        high_dia_mm=60.0,
        grip_mm=3.0,
        runout_mm=0.02,
        ready_s=600.0,
        max_rpm=1000.0,
    )


def on_bar(**changes: object) -> Holding:
    holding = Holding(
        id="bar",
        kind="bar",
        side=Side.FRONT,
        gripped_surface="bar",
        grip_dia_mm=20.0,
        jaw_face_mm=-19.0,
        grip_length_mm=25.0,
        blocked=(),
        runout_mm=0.05,
        max_rpm=2000.0,
    )
    return replace(holding, **fields(changes))


def in_soft_jaws(**changes: object) -> Holding:
    """Ring turned round: its front face sits on the seat at z = -6, gripped over 3 mm."""
    holding = Holding(
        id="soft-jaws",
        kind="soft-jaws",
        side=Side.BACK,
        gripped_surface="outside",
        grip_dia_mm=18.0,
        jaw_face_mm=-3.0,
        grip_length_mm=3.0,
        blocked=(),
        runout_mm=0.02,
        max_rpm=1000.0,
    )
    return replace(holding, **fields(changes))


def pressed(**changes: object) -> Holding:
    """Ring turned round: pressed by the tailstock between a plate of 17 mm and a loose one of 14 mm."""
    return in_soft_jaws(
        id="press",
        kind="plate-and-tailstock",
        gripped_surface="faces",
        jaw_face_mm=-6.0,
        grip_length_mm=6.0,
        seat_dia_mm=17.0,
        cover_dia_mm=14.0,
        **changes,
    )


def at(
    handle: Handle, zero: str, turns: int, marks: int, expected_mm: float, approach: Turn = CW, back_off: int = 0
) -> Setting:
    """A dial setting."""
    return Setting(
        handle=handle,
        kind=SettingKind.MARKS,
        zero=zero,
        turns=turns,
        marks=Fraction(marks),
        approach=approach,
        back_off_marks=back_off,
        expected_mm=expected_mm,
    )


def speed(act_id: str, rpm: int, dia: float) -> SetSpeed:
    return SetSpeed(
        id=act_id,
        step="s",
        rpm=float(rpm),
        position=f"belt {rpm}",
        cut_dia_mm=dia,
        cutting_speed_m_min=round(pi * dia * rpm / 1000.0, 1),
    )


def power(act_id: str, handle: Handle, feed: float, position: str) -> SetFeed:
    return SetFeed(
        id=act_id,
        step="s",
        kind=FeedKind.POWER,
        handle=handle,
        low_mm_rev=feed,
        high_mm_rev=feed,
        position=position,
    )


def by_hand(act_id: str, handle: Handle, rpm: int, lead: float = 1.0, fast: float = 3.0, slow: float = 6.0) -> SetFeed:
    return SetFeed(
        id=act_id,
        step="s",
        kind=FeedKind.HAND,
        handle=handle,
        low_mm_rev=lead * 60.0 / (slow * rpm),
        high_mm_rev=lead * 60.0 / (fast * rpm),
        pace_fast_s=fast,
        pace_slow_s=slow,
    )


def start(act_id: str) -> StartSpindle:
    return StartSpindle(id=act_id, step="s", cautions=("Key out of the chuck. No dry grinding of leaded chips.",))


def stop(act_id: str) -> StopSpindle:
    return StopSpindle(id=act_id, step="s")


def approach(act_id: str, z: float, x: float) -> Approach:
    return Approach(id=act_id, step="s", z_mm=z, x_radius_mm=x, place="by eye")


def touch(act_id: str, handle: Handle, motion: Motion, surface: str, feeler: float = 0.0) -> Touch:
    return Touch(id=act_id, step="s", handle=handle, motion=motion, surface=surface, contact="tip", feeler_mm=feeler)


def zero(act_id: str, handle: Handle, name: str, surface: str, stands_for: float) -> SetZero:
    return SetZero(
        id=act_id,
        step="s",
        handle=handle,
        zero=name,
        kind=SettingKind.MARKS,
        surface=surface,
        stands_for_mm=stands_for,
    )


def away(act_id: str, handle: Handle, motion: Motion, distance: float) -> Retract:
    return Retract(id=act_id, step="s", handle=handle, motion=motion, distance_mm=distance)


def move(act_id: str, setting: Setting) -> Move:
    return Move(id=act_id, step="s", setting=setting)


def cut(
    act_id: str,
    handle: Handle,
    motion: Motion,
    surface: str,
    length: float,
    depth: float,
    to: Setting | None = None,
    feed: FeedKind = FeedKind.HAND,
) -> Cut:
    return Cut(
        id=act_id,
        step="s",
        handle=handle,
        motion=motion,
        to=to,
        length_mm=length,
        depth_mm=depth,
        surface=surface,
        feed=feed,
    )


def lock(act_id: str) -> Lock:
    return Lock(id=act_id, step="s", handle=CARRIAGE)


def free(act_id: str) -> Unlock:
    return Unlock(id=act_id, step="s", handle=CARRIAGE)


def confirm(act_id: str, gate: str) -> HandStep:
    """The act that asks for what a hazard of the metal wants, in the words of the tables."""
    return HandStep(id=act_id, step="s", kind=HandKind.CONFIRM, text=hazard_gates()[gate].text)


def hand(act_id: str, kind: HandKind, surface: str = "", removes: float = 0.0) -> HandStep:
    return HandStep(id=act_id, step="s", kind=kind, text=kind.value, surface=surface, removes_mm=removes)


def measure(
    act_id: str,
    surface: str,
    expected: float,
    gauge: str,
    aspect: Aspect = Aspect.DIAMETER,
    limits: tuple[float, float] | None = None,
    worth: float = 0.0,
) -> Measure:
    low, high = limits or (0.0, 0.0)
    return Measure(
        id=act_id,
        step="s",
        surface=surface,
        aspect=aspect.value,
        gauge=gauge,
        expected_mm=expected,
        stop_low_mm=expected - 0.1,
        stop_high_mm=expected + 0.1,
        mark_worth_mm=worth,
        final=limits is not None,
        lower_mm=low,
        upper_mm=high,
    )


def collar(act_id: str, name: str, surface: str, expected: float, target: float, turns: int, marks: int) -> SetCollar:
    return SetCollar(
        id=act_id,
        step="s",
        handle=CROSS,
        zero=name,
        surface=surface,
        zero_dia_mm=target,
        dia_per_mark_mm=0.04,
        expected_dia_mm=expected,
        turns=turns,
        marks=Fraction(marks),
    )


def face_front() -> tuple[Act, ...]:
    """Say yes to what leaded steel asks for; grip, touch the raw end at z = 1, face in two cuts to z = 0."""
    return (
        confirm("confirm-lead", LEAD_GATE),
        LoadBar(
            id="load",
            step="s",
            bar="steel-20",
            holding=on_bar(),
            stick_out_mm=20.0,
            grip_length_mm=25.0,
            bar_length_mm=300.0,
            face_stock_mm=1.0,
            tail=TailSupport.INSIDE_SPINDLE,
        ),
        FitTool(id="fit-right", step="s", tool="right", stands_out_mm=25.0),
        speed("speed-turn", 800, 20.0),
        power("feed-face", CROSS, 0.05, "A"),
        hand("ink-face", HandKind.INK),
        start("start-face"),
        approach("near-face", 3.0, 5.0),
        touch("touch-face", TOP, LEFT, "front-face"),
        zero("zero-raw", TOP, "raw", "front-face", 1.0),
        away("clear-face", TOP, RIGHT, 1.0),
        away("out-face", CROSS, OUT, 8.0),
        lock("lock-face"),
        # z 1.0 to 0.4: 0.6 mm / 0.02 mm = 30 marks to the left
        move("to-face-1", at(TOP, "raw", 0, 30, 0.4)),
        cut("face-1", CROSS, IN, "front-face", 13.6, 0.6, feed=FeedKind.POWER),
        away("clear-face-1", TOP, RIGHT, 1.0),
        away("out-face-1", CROSS, OUT, 13.6),
        # z 0.0: 50 marks = 1 turn
        move("to-face-2", at(TOP, "raw", 1, 0, 0.0)),
        cut("face-2", CROSS, IN, "front-face", 13.6, 0.4, feed=FeedKind.POWER),
        zero("zero-face", TOP, "face", "front-face", 0.0),
        zero("zero-face-carriage", CARRIAGE, "face-carriage", "front-face", 0.0),
        away("clear-face-2", TOP, RIGHT, 1.0),
        away("out-face-2", CROSS, OUT, 13.6),
        free("free-face"),
    )


def turn_outside() -> tuple[Act, ...]:
    """Touch the bar at 20 mm, cut to 19, measure, collar to 18, cut to 18.4 and 18."""
    return (
        away("over-bar", CARRIAGE, LEFT, 5.0),
        touch("touch-bar", CROSS, IN, "outside"),
        zero("zero-bar", CROSS, "bar", "outside", 20.0),
        away("off-bar", CROSS, OUT, 1.0),
        away("before-bar", CARRIAGE, RIGHT, 7.0),
        power("feed-turn", CARRIAGE, 0.1, "B"),
        # 20 to 19: 1.0 mm / 0.04 mm = 25 marks
        move("to-turn-1", at(CROSS, "bar", 0, 25, 19.0)),
        cut("turn-1", CARRIAGE, LEFT, "outside", 12.0, 0.5, feed=FeedKind.POWER),
        away("back-turn-1", CARRIAGE, RIGHT, 12.0),
        stop("stop-turn-1"),
        measure("measure-turn-1", "outside", 19.0, "micrometer", worth=0.04),
        # (19 - 18) / 0.04 = 25 marks before 0: the turn before, 50 - 25 = 25
        collar("collar-outside", "outside-size", "outside", 19.0, 18.0, -1, 25),
        start("start-turn-2"),
        # 18.4: 10 marks before 0
        move("to-turn-2", at(CROSS, "outside-size", -1, 40, 18.4)),
        cut("turn-2", CARRIAGE, LEFT, "outside", 12.0, 0.3, feed=FeedKind.POWER),
        away("back-turn-2", CARRIAGE, RIGHT, 12.0),
        Cool(id="cool", step="s", seconds=120.0),
        power("feed-finish", CARRIAGE, 0.05, "A"),
        move("to-turn-3", at(CROSS, "outside-size", 0, 0, 18.0)),
        cut("turn-3", CARRIAGE, LEFT, "outside", 12.0, 0.2, feed=FeedKind.POWER),
        away("back-turn-3", CARRIAGE, RIGHT, 12.0),
        stop("stop-turn-3"),
        measure("measure-outside", "outside", 18.0, "micrometer", limits=(17.97, 18.03)),
        away("out-turn", CROSS, OUT, 5.0),
    )


def drill_and_bore() -> tuple[Act, ...]:
    """Drill 10, touch the wall, bore to 11, 11.6 and 12."""
    return (
        hand("oil", HandKind.LUBRICATE),
        FitDrill(id="fit-drill", step="s", drill="drill-10"),
        speed("speed-drill", 800, 10.0),
        by_hand("feed-drill", QUILL, 800, lead=2.0),
        start("start-drill"),
        touch("touch-drill", QUILL, LEFT, "front-face"),
        zero("zero-drill", QUILL, "drill", "front-face", 0.0),
        DrillHole(
            id="drill",
            step="s",
            # 6 turns 60 marks = 13.2 mm; the full diameter ends a point height before
            setting=at(QUILL, "drill", 6, 60, -13.2 + POINT_10_MM),
            point_mm=round(POINT_10_MM, 2),
            peck_mm=5.0,
        ),
        stop("stop-drill"),
        hand("chips", HandKind.CLEAR_CHIPS),
        FitTool(id="fit-bore", step="s", tool="bore-7", stands_out_mm=12.0),
        speed("speed-bore", 800, 12.0),
        power("feed-bore", CARRIAGE, 0.1, "B"),
        start("start-bore"),
        approach("near-bore", -3.0, 4.0),
        touch("touch-bore", CROSS, OUT, "bore"),
        zero("zero-bore", CROSS, "hole", "bore", 10.0),
        away("off-bore", CROSS, IN, 0.5),
        away("before-bore", CARRIAGE, RIGHT, 6.0),
        # 10 to 11: 1.0 mm / 0.04 mm = 25 marks anticlockwise
        move("to-bore-1", at(CROSS, "hole", -1, 25, 11.0, ACW)),
        cut("bore-1", CARRIAGE, LEFT, "bore", 12.0, 0.5, feed=FeedKind.POWER),
        away("back-bore-1", CARRIAGE, RIGHT, 12.0),
        stop("stop-bore-1"),
        measure("measure-bore-1", "bore", 11.0, "bore-gauge", worth=0.04),
        # (12 - 11) / 0.04 = 25 marks, turning anticlockwise to 0
        collar("collar-bore", "bore-size", "bore", 11.0, 12.0, 0, 25),
        start("start-bore-2"),
        move("to-bore-2", at(CROSS, "bore-size", 0, 10, 11.6, ACW)),
        cut("bore-2", CARRIAGE, LEFT, "bore", 12.0, 0.3, feed=FeedKind.POWER),
        away("back-bore-2", CARRIAGE, RIGHT, 12.0),
        move("to-bore-3", at(CROSS, "bore-size", 0, 0, 12.0, ACW)),
        cut("bore-3", CARRIAGE, LEFT, "bore", 12.0, 0.2, feed=FeedKind.POWER),
        away("back-bore-3", CARRIAGE, RIGHT, 12.0),
        stop("stop-bore-3"),
        measure("measure-bore", "bore", 12.0, "bore-gauge", limits=(11.98, 12.02)),
    )


def front_edges() -> tuple[Act, ...]:
    """Kiss each front corner with a flank 1 mm from the point, then plunge 0.4 mm: 20 marks."""
    return (
        FitTool(id="fit-vee", step="s", tool="vee-in", stands_out_mm=25.0),
        speed("speed-vee", 400, 18.0),
        by_hand("feed-vee", CROSS, 400),
        start("start-vee"),
        approach("near-vee", 1.0, 10.0),
        touch("kiss-outer", CROSS, IN, "front-outer-edge"),
        zero("zero-outer", CROSS, "outer-corner", "front-outer-edge", 0.0),
        lock("lock-vee"),
        cut(
            "edge-outer",
            CROSS,
            IN,
            "front-outer-edge",
            0.4,
            EDGE_DEPTH_MM,
            to=at(CROSS, "outer-corner", 0, 20, 0.4),
        ),
        away("off-vee", CROSS, OUT, 4.0),
        stop("stop-vee"),
        free("free-vee"),
        FitTool(id="fit-vee-out", step="s", tool="vee-out", stands_out_mm=25.0),
        start("start-vee-out"),
        approach("near-vee-out", 1.0, 5.0),
        touch("kiss-inner", CROSS, OUT, "front-inner-edge"),
        zero("zero-inner", CROSS, "inner-corner", "front-inner-edge", 0.0),
        lock("lock-vee-out"),
        # 0.4 mm outward is anticlockwise: 20 marks before 0
        cut(
            "edge-inner",
            CROSS,
            OUT,
            "front-inner-edge",
            0.4,
            EDGE_DEPTH_MM,
            to=at(CROSS, "inner-corner", -1, 30, 0.4, ACW),
        ),
        away("off-vee-out", CROSS, IN, 2.0),
        stop("stop-vee-out"),
        free("free-vee-out"),
    )


def part_ring() -> tuple[Act, ...]:
    """Touch face and outside with the blade, part behind 6 mm and 0.3 mm allowance."""
    return (
        FitTool(id="fit-blade", step="s", tool="blade", stands_out_mm=12.0),
        speed("speed-part", 400, 18.0),
        by_hand("feed-part", CROSS, 400),
        start("start-part"),
        approach("near-part", 2.0, 7.0),
        touch("touch-part-face", TOP, LEFT, "front-face"),
        zero("zero-part-face", TOP, "part-face", "front-face", 0.0),
        away("clear-part", TOP, RIGHT, 1.0),
        away("out-part", CROSS, OUT, 5.0),
        # z -3: 3 turns
        move("over-part", at(TOP, "part-face", 3, 0, -3.0)),
        touch("touch-part-outside", CROSS, IN, "outside"),
        zero("zero-part-outside", CROSS, "part-outside", "outside", 18.0),
        away("off-part", CROSS, OUT, 2.0),
        # left corner at -(6 + 0.3 + 2) = -8.3: 415 marks = 8 turns 15
        move("to-part", at(TOP, "part-face", 8, 15, -8.3)),
        lock("lock-part"),
        stop("stop-part"),
        hand("rod", HandKind.CATCH_ROD),
        start("start-part-2"),
        # 18 to 11.6: 6.4 / 0.04 = 160 marks = 3 turns 10
        msgspec.structs.replace(
            cut("part", CROSS, IN, "back-face", 5.2, 2.0, to=at(CROSS, "part-outside", 3, 10, 11.6)),
            cautions=("Stand aside of the blade.",),
        ),
        PartOff(id="part-off", step="s"),
        away("off-part-2", CROSS, OUT, 8.0),
        stop("stop-part-2"),
        free("free-part"),
        hand("deburr-part", HandKind.DEBURR),
        measure("measure-raw", "back-face", 6.3, "micrometer", Aspect.WIDTH),
    )


def second_side() -> tuple[Act, ...]:
    """Soft jaws; face 0.3 mm off; plunge the inner edge, sweep the outer edge with the top slide at 45°."""
    return (
        hand("bore-jaws", HandKind.BORE_JAWS),
        Regrip(id="regrip", step="s", holding=in_soft_jaws()),
        Indicate(id="indicate", step="s", surface="back-face", high_mm=0.02, gauge="indicator"),
        FitTool(id="fit-right-2", step="s", tool="right", stands_out_mm=25.0),
        speed("speed-back", 800, 18.0),
        power("feed-back", CROSS, 0.05, "A"),
        start("start-back"),
        approach("near-back", 2.0, 7.5),
        touch("touch-back", TOP, LEFT, "back-face"),
        zero("zero-back", TOP, "back-raw", "back-face", 0.3),
        away("clear-back", TOP, RIGHT, 1.0),
        away("out-back", CROSS, OUT, 4.0),
        lock("lock-back"),
        # z 0.3 to 0: 15 marks
        move("to-back", at(TOP, "back-raw", 0, 15, 0.0)),
        cut("face-back", CROSS, IN, "back-face", 6.5, 0.3, feed=FeedKind.POWER),
        away("clear-back-2", TOP, RIGHT, 3.0),
        stop("stop-back"),
        free("free-back"),
        FitTool(id="fit-vee-out-2", step="s", tool="vee-out", stands_out_mm=25.0),
        speed("speed-vee-2", 400, 18.0),
        by_hand("feed-vee-2", CROSS, 400),
        start("start-vee-out-2"),
        approach("near-vee-out-2", 1.0, 5.0),
        touch("kiss-back-inner", CROSS, OUT, "back-inner-edge"),
        zero("zero-back-inner", CROSS, "back-inner-corner", "back-inner-edge", 0.0),
        lock("lock-vee-out-2"),
        cut(
            "edge-back-inner",
            CROSS,
            OUT,
            "back-inner-edge",
            0.4,
            EDGE_DEPTH_MM,
            to=at(CROSS, "back-inner-corner", -1, 30, 0.4, ACW),
        ),
        away("off-vee-out-2", CROSS, IN, 2.0),
        stop("stop-vee-out-2"),
        free("free-vee-out-2"),
        FitTool(id="fit-vee-2", step="s", tool="vee-in", stands_out_mm=25.0),
        SwingSlide(
            id="swing",
            step="s",
            angle_deg=Fraction(45),
            leftward=OUT,
            scale_deg=Fraction(45),
            error_deg=0.25,
            check_travel_mm=10.0,
            check_across_mm=7.071,
        ),
        by_hand("feed-sweep", TOP, 400),
        start("start-sweep"),
        approach("near-sweep", 1.0, 10.0),
        touch("kiss-back-outer", CROSS, IN, "back-outer-edge"),
        zero("zero-back-outer", CROSS, "back-outer-corner", "back-outer-edge", 0.0),
        lock("lock-sweep"),
        away("clear-sweep", TOP, RIGHT, 3.0),
        move("to-sweep", at(CROSS, "back-outer-corner", 0, 20, 0.4)),
        cut("sweep", TOP, LEFT, "back-outer-edge", 5.0, EDGE_DEPTH_MM),
        away("off-sweep", CROSS, OUT, 5.0),
        stop("stop-sweep"),
        hand("deburr-back", HandKind.DEBURR),
        hand("take-out", HandKind.TAKE_OUT),
        measure("measure-width", "back-face", 6.0, "micrometer", Aspect.WIDTH, (5.95, 6.05)),
        measure("measure-edge", "back-outer-edge", 0.4, "micrometer", Aspect.LEG_AXIAL, (0.3, 0.5)),
        hand("note", HandKind.NOTE),
    )


def ring_acts() -> tuple[Act, ...]:
    """All acts of the job, in order."""
    return (
        *face_front(),
        *turn_outside(),
        *drill_and_bore(),
        *front_edges(),
        *part_ring(),
        *second_side(),
    )


def sheet_of(acts: tuple[Act, ...], part: Part | None = None) -> Sheet:
    return Sheet(part=part or ring_part(), shop="test shop", acts=acts)


def changed(acts: tuple[Act, ...], act_id: str, **changes: object) -> tuple[Act, ...]:
    """Return the acts with some fields of one act changed."""
    return edited(acts, act_id, lambda act: msgspec.structs.replace(act, **changes))


def reset(acts: tuple[Act, ...], act_id: str, **changes: object) -> tuple[Act, ...]:
    """Return the acts with some fields of one act's setting changed."""

    def edit(act: Move | Cut | DrillHole) -> Act:
        name = "to" if isinstance(act, Cut) else "setting"
        return msgspec.structs.replace(act, **{name: replace(getattr(act, name), **fields(changes))})

    return edited(acts, act_id, edit)


def edited(acts: tuple[Act, ...], act_id: str, edit: Callable[[Any], Any]) -> tuple[Act, ...]:
    """Return the acts with one of them edited; it must be there."""
    index = place_of(acts, act_id)
    return (*acts[:index], edit(acts[index]), *acts[index + 1 :])


def without(acts: tuple[Act, ...], *act_ids: str) -> tuple[Act, ...]:
    """Return the acts without some, all of which must be there."""
    for act_id in act_ids:
        index = place_of(acts, act_id)
        acts = (*acts[:index], *acts[index + 1 :])
    return acts


def before(acts: tuple[Act, ...], act_id: str, *more: ActBase) -> tuple[Act, ...]:
    """Return the acts with more put in before one."""
    index = place_of(acts, act_id)
    return (*acts[:index], *more, *acts[index:])  # type: ignore[arg-type]  # a hostile sheet may hold any act


def up_to(acts: tuple[Act, ...], act_id: str) -> tuple[Act, ...]:
    """Return the acts up to one, which is the last."""
    return acts[: place_of(acts, act_id) + 1]


def place_of(acts: tuple[Act, ...], act_id: str) -> int:
    return next(index for index, act in enumerate(acts) if act.id == act_id)


def fields(changes: dict[str, object]) -> dict[str, Any]:
    """Changes for `dataclasses.replace`, whose types it cannot know."""
    return changes
