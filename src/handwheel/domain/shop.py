"""The shop as it stands: lathe, slides, tools, drills, bars, gauges, holdings, habits."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import TypeVar

from handwheel.domain.contour import Point
from handwheel.domain.errors import ShopError, require_positive
from handwheel.domain.motion import Edge, Handle, Motion, Turn
from handwheel.domain.part import Units

SHOP_SCHEMA = 1


class Reads(Enum):
    """What the figures on a dial mean: travel of the slide (a radius, on the cross-slide) or a diameter."""

    TRAVEL = "travel"
    DIAMETER = "diameter"


class Nose(Enum):
    """How the chuck sits on the spindle; a threaded nose is never run backwards."""

    THREADED = "threaded"
    CAMLOCK = "camlock"
    FLANGED = "flanged"


class AidKind(Enum):
    """What else can measure or stop a slide that has no dial."""

    INDICATOR = "indicator"
    STOP = "stop"
    RULE = "rule"


@dataclass(frozen=True, slots=True, kw_only=True)
class Dial:
    """A graduated collar on a screw.

    Parameters
    ----------
    lead_mm : Fraction
        Travel of the slide in one turn, exact. [mm]
    marks : int
        Divisions in one turn.
    label_mm : Fraction
        What one division claims, in the convention of ``reads``. [mm]
    reads : Reads
        Whether the figures are slide travel or diameter.
    settable : bool
        Whether the collar can be turned to 0 on its own.
    halves : bool
        Whether half a mark can be set with confidence.
    """

    lead_mm: Fraction
    marks: int
    label_mm: Fraction
    reads: Reads = Reads.TRAVEL
    settable: bool = True
    halves: bool = False

    def __post_init__(self) -> None:
        """Refuse a screw without lead and a collar without marks."""
        require_positive("lead_mm", float(self.lead_mm), unit="mm")
        require_positive("label_mm", float(self.label_mm), unit="mm")
        require_positive("marks", self.marks, unit="marks")

    @property
    def travel_per_mark_mm(self) -> Fraction:
        """Slide travel of one mark, from the screw and not from the engraving. [mm]"""
        return self.lead_mm / self.marks

    @property
    def step(self) -> Fraction:
        """Smallest part of a mark that can be set: 1 or 1/2. [marks]"""
        return Fraction(1, 2) if self.halves else Fraction(1)

    @property
    def engraving_agrees(self) -> bool:
        """Whether the engraved value of a mark equals what the screw does."""
        factor = 2 if self.reads is Reads.DIAMETER else 1
        return self.label_mm == self.travel_per_mark_mm * factor


@dataclass(frozen=True, slots=True, kw_only=True)
class LengthAid:
    """A stop, rule or indicator for a slide: smallest step it shows and how far it reaches. [mm]"""

    kind: AidKind
    step_mm: Fraction
    range_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class AngleScale:
    """Base of a swivelling top slide: where its zero lies, its divisions, its greatest angle.

    ``zero_along_axis`` is true if the scale shows 0 when the slide is parallel to the bed; else it shows 0 when
    the slide is square to it, and the figure to set is the complement.
    """

    zero_along_axis: bool
    step_deg: Fraction
    max_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Slide:
    """A slide with its screw: dial, or readout, or neither; slack, travel, sense of the hand.

    ``slack_mm`` is the lost motion of the screw as slide travel; ``clockwise_moves`` says where the tool goes when
    the handle is turned clockwise. ``turn_mm`` is the travel of one turn of a handwheel that has no dial (0 if not
    known); with a dial the lead rules.
    """

    handle: Handle
    clockwise_moves: Motion
    slack_mm: Fraction
    travel_mm: float
    dial: Dial | None = None
    readout_step_mm: Fraction | None = None
    aids: tuple[LengthAid, ...] = ()
    angle_scale: AngleScale | None = None
    turn_mm: float = 0.0

    def __post_init__(self) -> None:
        """Refuse a motion that this slide cannot make and sizes that make no sense."""
        across = self.handle is Handle.CROSS
        if self.clockwise_moves.across is not across:
            msg = f"{self.handle.value}: clockwise cannot move the tool {self.clockwise_moves.value!r}; check the sense"
            raise ShopError(msg)
        if self.slack_mm < 0:
            msg = (
                f"{self.handle.value}: slack {float(self.slack_mm):g} mm is below 0; measure it by reversing the handle"
            )
            raise ShopError(msg)
        require_positive(f"{self.handle.value}: travel_mm", self.travel_mm, unit="mm")

    @property
    def travel_per_turn_mm(self) -> float:
        """Slide travel of one turn of the handle; 0 if nobody has measured it. [mm]"""
        return float(self.dial.lead_mm) if self.dial else self.turn_mm

    def turn_for(self, motion: Motion) -> Turn:
        """How the hand turns to make the tool go that way."""
        return Turn.CLOCKWISE if motion is self.clockwise_moves else Turn.ANTICLOCKWISE

    def motion_for(self, turn: Turn) -> Motion:
        """Where the tool goes when the hand turns that way."""
        return self.clockwise_moves if turn is Turn.CLOCKWISE else self.clockwise_moves.other

    def aid(self, kind: AidKind) -> LengthAid | None:
        """First aid of that kind, or ``None``."""
        return next((aid for aid in self.aids if aid.kind is kind), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class SpindleSpeed:
    """One speed that the spindle really has, and how to get it.

    ``position`` is what the hand sets (belt step, lever letters). ``torque_limit_nm`` is what the drive bears at the
    spindle in that position, if known (a slipping belt); else power rules.
    """

    rpm: float
    position: str
    measured: bool = False
    torque_limit_nm: float | None = None

    def __post_init__(self) -> None:
        """Refuse a speed that is none."""
        require_positive("rpm", self.rpm, unit="rev/min")


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerFeed:
    """One feed that the gearbox really has. [mm/rev]"""

    mm_rev: float
    position: str

    def __post_init__(self) -> None:
        """Refuse a feed that is none."""
        require_positive("mm_rev", self.mm_rev, unit="mm/rev")


@dataclass(frozen=True, slots=True, kw_only=True)
class Chuck:
    """A self-centring chuck with hard jaws; sizes as it sits on the nose.

    ``jaw_length_mm`` is how far the jaws stand out from the chuck face, ``jaw_height_mm`` how far they reach outward
    from the gripped surface, so that the turning jaws sweep a ring of that section.
    """

    name: str
    jaws: int
    max_rpm: float
    body_dia_mm: float
    jaw_length_mm: float
    jaw_height_mm: float
    grip_low_dia_mm: float
    grip_high_dia_mm: float
    runout_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Tailstock:
    """The tailstock: its quill as a slide and the drill chuck it carries."""

    quill: Slide
    chuck_high_dia_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Lathe:
    """The machine: spindle, drive, slides, chuck, tailstock.

    ``spindle_length_mm`` counts from the chuck's face to the far end of the spindle; a bar that ends beyond it must
    be supported or cut. ``tool_stiffness_n_um`` is the static stiffness between tool and work [N/µm]; the default is
    the low middle of the 5 to 50 N/µm of the reference (from memory of Altintas, Manufacturing Automation).
    """

    name: str
    nose: Nose
    spindle_bore_dia_mm: float
    spindle_length_mm: float
    speeds: tuple[SpindleSpeed, ...]
    motor_power_w: float
    drive_efficiency: float
    cross: Slide
    top: Slide
    carriage: Slide
    chuck: Chuck
    tailstock: Tailstock
    feeds_along: tuple[PowerFeed, ...] = ()
    feeds_across: tuple[PowerFeed, ...] = ()
    tool_stiffness_n_um: float = 12.0

    def __post_init__(self) -> None:
        """Refuse a lathe without a speed, or with slides in each other's place."""
        if not self.speeds:
            msg = (
                f"lathe {self.name!r}: has no spindle speed; list every belt position or lever setting with its rev/min"
            )
            raise ShopError(msg)
        for slide, handle in ((self.cross, Handle.CROSS), (self.top, Handle.TOP), (self.carriage, Handle.CARRIAGE)):
            if slide.handle is not handle:
                msg = f"lathe {self.name!r}: the {handle.value} is described as {slide.handle.value}"
                raise ShopError(msg)

    def slide(self, handle: Handle) -> Slide:
        """Slide that belongs to the handle."""
        return {
            Handle.CROSS: self.cross,
            Handle.TOP: self.top,
            Handle.CARRIAGE: self.carriage,
            Handle.QUILL: self.tailstock.quill,
        }[handle]


class ToolKind(Enum):
    """What a tool is ground for; it settles which cuts may be tried with it."""

    TURNING = "turning and facing"
    BORING = "boring"
    PARTING = "parting"
    GROOVING = "grooving"
    EDGE_OUTSIDE = "edge tool, pointing in"
    EDGE_INSIDE = "edge tool, pointing out"


class Hand(Enum):
    """Way a tool cuts along the bed: a right-hand tool cuts towards the headstock."""

    RIGHT = "right"
    LEFT = "left"
    NEUTRAL = "neutral"


class PieceRole(Enum):
    """What a piece of a tool's silhouette is: only the edge may meet the metal."""

    EDGE = "edge"
    BODY = "body"
    HOLDER = "holder"


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolPiece:
    """A convex piece of a silhouette, in the tool's frame: its tip at (0, 0), z to the right, x outward. [mm]"""

    role: PieceRole
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool:
    """A toolpost tool. Lengths in mm; what a kind does not have stays 0.

    Parameters
    ----------
    nose_radius_mm : float
        Rounding of the tip.
    edge_radius_um : float
        Sharpness of the edge. [µm]
    entering_deg : float
        Entering angle κ of the leading edge when cutting along the bed.
    width_mm : float
        Width of a blade, or of the cutting part of an edge tool measured across its V.
    reach_mm : float
        How far a blade or boring bar stands out of its holder.
    bar_dia_mm, head_mm : float
        Boring bar: its diameter, and how far the tip stands proud of it.
    shank_mm : float
        Width of the shank or holder along the bed.
    rake_deg : float
        Rake angle γ.
    silhouette : tuple of ToolPiece
        Measured outline in convex pieces; empty to have it built from the numbers above.
    """

    id: str
    name: str
    kind: ToolKind
    edge: Edge
    hand: Hand = Hand.RIGHT
    nose_radius_mm: float = 0.0
    edge_radius_um: float = 8.0
    entering_deg: float = 90.0
    width_mm: float = 0.0
    reach_mm: float = 0.0
    bar_dia_mm: float = 0.0
    head_mm: float = 0.0
    shank_mm: float = 10.0
    rake_deg: float = 0.0
    silhouette: tuple[ToolPiece, ...] = ()


class DrillKind(Enum):
    """Centre drill or twist drill."""

    CENTRE = "centre drill"
    TWIST = "twist drill"


@dataclass(frozen=True, slots=True, kw_only=True)
class Drill:
    """A drill for the tailstock. ``dubbed`` lips do not grab in brass and bronze."""

    id: str
    kind: DrillKind
    dia_mm: Fraction
    point_deg: float = 118.0
    flute_mm: float = 60.0
    dubbed: bool = False


class GaugeUse(Enum):
    """What a gauge can measure."""

    OUTSIDE = "outside diameter"
    BORE = "bore"
    LENGTH = "length"
    RUNOUT = "runout"


@dataclass(frozen=True, slots=True, kw_only=True)
class Gauge:
    """A measuring instrument: range, step, and the half-width within which a reading is trusted. [mm]"""

    id: str
    name: str
    uses: tuple[GaugeUse, ...]
    low_mm: float
    high_mm: float
    step_mm: Fraction
    uncertainty_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A round bar on the rack; diameter limits as delivered. [mm]"""

    id: str
    material: str
    dia_mm: Fraction
    dia_lower_mm: Fraction
    dia_upper_mm: Fraction
    length_mm: float
    tolerance_rule: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldingMeans:
    """Something the shop owns to hold a finished side by; ``kind`` names the holding model that knows it.

    ``low_dia_mm`` and ``high_dia_mm`` bound the surface it takes, ``grip_mm`` how far along the part it reaches,
    ``force_n`` the grip of each jaw or the draw, ``ready_s`` the time to make it ready for one size.
    """

    id: str
    kind: str
    name: str
    low_dia_mm: float
    high_dia_mm: float
    grip_mm: float
    runout_mm: float
    ready_s: float
    max_rpm: float
    force_n: float = 0.0
    step_mm: float = 0.0
    wrap_deg: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Habits:
    """How this person works: paces, waiting, time for each handling. Defaults are common practice, no source.

    Paces are seconds for one turn of a small crank that a hand can keep even; the carriage's wheel is about
    ``carriage_wheel_factor`` times as large, so that the same hand takes so many times longer for a turn. Times are
    seconds, allowances are thicknesses in mm; ``finish_cut_mm`` is the depth of each of the two equal last cuts,
    ``quill_push_n`` the thrust that a hand can keep up through the tailstock's wheel [N].
    """

    hand_pace_fast_s: float = 3.0
    hand_pace_slow_s: float = 30.0
    carriage_wheel_factor: float = 2.5
    finish_cut_mm: float = 0.125
    quill_push_n: float = 2500.0
    tool_change_s: float = 60.0
    touch_s: float = 30.0
    collar_s: float = 20.0
    swing_s: float = 240.0
    regrip_s: float = 120.0
    indicate_s: float = 240.0
    measure_s: float = 40.0
    drill_change_s: float = 45.0
    speed_change_s: float = 20.0
    handling_s: float = 12.0
    cool_s: float = 300.0
    face_stock_mm: float = 1.0
    back_allowance_mm: float = 0.3
    rub_allowance_mm: float = 0.05
    clearance_mm: float = 2.0
    whole_turns_back: Fraction = Fraction(1, 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """Everything at hand."""

    name: str
    units: Units
    lathe: Lathe
    tools: tuple[Tool, ...]
    drills: tuple[Drill, ...]
    gauges: tuple[Gauge, ...]
    bars: tuple[Bar, ...]
    holdings: tuple[HoldingMeans, ...]
    habits: Habits
    schema: int = SHOP_SCHEMA

    def __post_init__(self) -> None:
        """Refuse two things under one name."""
        for what, ids in (
            ("tool", [tool.id for tool in self.tools]),
            ("drill", [drill.id for drill in self.drills]),
            ("gauge", [gauge.id for gauge in self.gauges]),
            ("bar", [bar.id for bar in self.bars]),
            ("holding", [holding.id for holding in self.holdings]),
        ):
            twice = sorted({name for name in ids if ids.count(name) > 1})
            if twice:
                msg = f"shop {self.name!r}: {what} id {twice[0]!r} is used twice; give each its own"
                raise ShopError(msg)

    def tool(self, tool_id: str) -> Tool:
        """Tool of that id; raises `KeyError`."""
        return _by_id(self.tools, tool_id)

    def drill(self, drill_id: str) -> Drill:
        """Drill of that id; raises `KeyError`."""
        return _by_id(self.drills, drill_id)

    def gauge(self, gauge_id: str) -> Gauge:
        """Gauge of that id; raises `KeyError`."""
        return _by_id(self.gauges, gauge_id)

    def bar(self, bar_id: str) -> Bar:
        """Bar of that id; raises `KeyError`."""
        return _by_id(self.bars, bar_id)

    def holding(self, holding_id: str) -> HoldingMeans:
        """Holding means of that id; raises `KeyError`."""
        return _by_id(self.holdings, holding_id)


Owned = TypeVar("Owned", Tool, Drill, Gauge, Bar, HoldingMeans)


def _by_id(things: tuple[Owned, ...], wanted: str) -> Owned:
    for thing in things:
        if thing.id == wanted:
            return thing
    raise KeyError(wanted)
