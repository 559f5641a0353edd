"""The shop as it stands: lathe, slides, tools, drills, bars, gauges, holdings, habits."""

from enum import Enum
from fractions import Fraction
from functools import cached_property
from math import pi, sqrt
from typing import TypeVar

from msgspec import Struct

from handwheel.domain.contour import Point
from handwheel.domain.errors import ShopError, require_positive
from handwheel.domain.motion import Edge, Handle, Motion, Turn
from handwheel.domain.part import Units
from handwheel.domain.said import said_short_range
from handwheel.domain.thread import Thread
from handwheel.domain.wording import English, UnitsShown

SHOP_SCHEMA = 1
HEXAGON_CORNERS = 2.0 / sqrt(3.0)
"""Width of a hexagon over its corners for each unit across its flats; geometry."""
QUARTER_DEG = 90
"""What a scale that shows 0 across the bed shows along it. [deg]"""
HEXAGON_AREA = sqrt(3.0) / 2.0
"""Area of a hexagon for each square unit of its width across flats; geometry."""


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


class Dial(Struct, frozen=True, kw_only=True, dict=True):
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

    @cached_property
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


class LengthAid(Struct, frozen=True, kw_only=True):
    """A stop, rule or indicator for a slide: smallest step it shows and how far it reaches. [mm]"""

    kind: AidKind
    step_mm: Fraction
    range_mm: float


class AngleScale(Struct, frozen=True, kw_only=True):
    """Base of a swivelling top slide: where its zero lies, its divisions, its greatest angle.

    ``zero_along_axis`` is true if the scale shows 0 when the slide is parallel to the bed; else it shows 0 when
    the slide is square to it, and the figure to set is the complement. The slide is set parallel by its scale again
    after each swing, so that must have a division there.
    """

    zero_along_axis: bool
    step_deg: Fraction
    max_deg: float

    def __post_init__(self) -> None:
        """Refuse a scale without divisions, and one by which the slide cannot be set parallel to the bed."""
        require_positive("division_deg", float(self.step_deg), unit="degrees")
        if self.zero_along_axis or (self.max_deg >= QUARTER_DEG and QUARTER_DEG % self.step_deg == 0):
            return
        msg = (
            f"top slide: its scale shows 0 across the bed and has divisions of {float(self.step_deg):g}° up to "
            f"{self.max_deg:g}°, so none at 90°, where the slide is parallel to the bed; if it has one, give "
            "highest_deg = 90; else leave the scale out: the slide then stays parallel, set by an indicator"
        )
        raise ShopError(msg)


class Slide(Struct, frozen=True, kw_only=True, dict=True):
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

    @cached_property
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


class SpindleSpeed(Struct, frozen=True, kw_only=True):
    """One speed that the spindle really has, and how to get it.

    ``position`` is what the hand sets (belt step, lever letters, the reading of a tachometer). ``torque_limit_nm`` is
    what the drive bears at the spindle in that position, if known (a slipping belt); else power rules. A speed worked
    out from pulleys carries the range in which it lies, ``low_rpm`` to ``high_rpm``; both stay 0 where it is known.
    """

    rpm: float
    position: str
    measured: bool = False
    torque_limit_nm: float | None = None
    low_rpm: float = 0.0
    high_rpm: float = 0.0

    def __post_init__(self) -> None:
        """Refuse a speed that is none, and a range that does not hold it."""
        require_positive("rpm", self.rpm, unit="rev/min")
        if self.is_computed and not 0 < self.low_rpm <= self.rpm <= self.high_rpm:
            msg = (
                f"speed {self.rpm:g} rev/min: lies outside its own range {self.low_rpm:g} to {self.high_rpm:g}; "
                "give both ends, or none for a speed that was measured"
            )
            raise ShopError(msg)

    @property
    def is_computed(self) -> bool:
        """Whether it was worked out from pulleys and so is only about right."""
        return bool(self.low_rpm or self.high_rpm)

    @property
    def fastest_rpm(self) -> float:
        """The most that it can be: limits go by this. [rev/min]"""
        return self.high_rpm if self.is_computed else self.rpm


class PowerFeed(Struct, frozen=True, kw_only=True):
    """One feed that the gearbox really has. [mm/rev]"""

    mm_rev: float
    position: str

    def __post_init__(self) -> None:
        """Refuse a feed that is none."""
        require_positive("mm_rev", self.mm_rev, unit="mm/rev")


class Collet(Struct, frozen=True, kw_only=True):
    """A collet: the bar it is bored for, and how much smaller a bar may be for it still to close on. [mm]"""

    dia_mm: Fraction
    closes_mm: Fraction

    def __post_init__(self) -> None:
        """Refuse a collet that closes on nothing."""
        require_positive("dia_mm", float(self.dia_mm), unit="mm")
        if not 0 <= self.closes_mm < self.dia_mm:
            msg = (
                f"collet {float(self.dia_mm):g} mm: closes by {float(self.closes_mm):g} mm; give how much smaller "
                "a bar may be, from 0 to less than its size"
            )
            raise ShopError(msg)


class Chuck(Struct, frozen=True, kw_only=True):
    """A self-centring chuck with hard jaws, or a collet chuck; sizes as it sits on the nose.

    ``jaw_length_mm`` is how far the jaws stand out from the chuck face, ``jaw_height_mm`` how far they reach outward
    from the gripped surface, so that the turning jaws sweep a ring of that section. A collet chuck has ``collets``, no
    jaws, and a closing nut of ``nose_dia_mm`` that stands out by ``jaw_length_mm``.
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
    collets: tuple[Collet, ...] = ()
    nose_dia_mm: float = 0.0

    def takes(self, low_mm: float, high_mm: float) -> bool:
        """Whether it grips any bar between two diameters: one collet must close on all of them. [mm]"""
        if not self.collets:
            return self.grip_low_dia_mm <= low_mm and high_mm <= self.grip_high_dia_mm
        return any(float(c.dia_mm - c.closes_mm) <= low_mm and high_mm <= float(c.dia_mm) for c in self.collets)

    def grips_words(self, units: Units) -> str:
        """What it grips, for a message."""
        if not self.collets:
            return said_short_range(self.grip_low_dia_mm, self.grip_high_dia_mm, units)
        sizes = sorted((c.dia_mm - c.closes_mm, c.dia_mm) for c in self.collets)
        return ", ".join(said_short_range(low, high, units) for low, high in sizes)

    def front_radius_mm(self, grip_radius_mm: float) -> float:
        """How far from the axis jaws or closing nut reach while they grip a radius. [mm]"""
        if self.collets:
            return max(self.nose_dia_mm / 2.0, grip_radius_mm)
        return grip_radius_mm + self.jaw_height_mm


class Tailstock(Struct, frozen=True, kw_only=True):
    """The tailstock: its quill as a slide and the drill chuck it carries.

    ``play_mm`` is how far a loose quill or a tailstock off the line lets a drill wander to any side, so that its hole
    may be larger by twice as much.
    """

    quill: Slide
    chuck_high_dia_mm: float
    play_mm: float = 0.0


class Lathe(Struct, frozen=True, kw_only=True):
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
        match handle:
            case Handle.CROSS:
                return self.cross
            case Handle.TOP:
                return self.top
            case Handle.CARRIAGE:
                return self.carriage
            case Handle.QUILL:
                return self.tailstock.quill


class ToolKind(Enum):
    """What a tool is ground for; it settles which cuts may be tried with it."""

    TURNING = "turning and facing"
    BORING = "boring"
    PARTING = "parting"
    GROOVING = "grooving"
    EDGE_OUTSIDE = "edge tool, pointing in"
    EDGE_INSIDE = "edge tool, pointing out"
    FORM_OUTSIDE = "form tool, pointing in"
    FORM_INSIDE = "form tool, pointing out"


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


class ToolPiece(Struct, frozen=True, kw_only=True):
    """A convex piece of a silhouette, in the tool's frame: its tip at (0, 0), z to the right, x outward. [mm]"""

    role: PieceRole
    points: tuple[Point, ...]


class Tool(Struct, frozen=True, kw_only=True):
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
        Width of a blade, or of the cutting part of an edge tool measured across its V, or of the ground end of a form
        tool along the bed, its hollow included.
    reach_mm : float
        How far a blade or boring bar stands out of its holder.
    bar_dia_mm, head_mm : float
        Boring bar: its diameter, and how far the tip stands proud of it. ``head_mm`` of a form tool is the height of
        its ground end, its hollow included.
    hollow_radius_mm : float
        Form tool: radius of the hollow quarter circle that rounds an edge.
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
    hollow_radius_mm: float = 0.0
    silhouette: tuple[ToolPiece, ...] = ()


class DrillKind(Enum):
    """Centre drill or twist drill."""

    CENTRE = "centre drill"
    TWIST = "twist drill"


class Drill(Struct, frozen=True, kw_only=True):
    """A drill for the tailstock. ``dubbed`` lips do not grab in brass and bronze."""

    id: str
    kind: DrillKind
    dia_mm: Fraction
    point_deg: float = 118.0
    flute_mm: float = 60.0
    dubbed: bool = False


class ReamerKind(Enum):
    """How a reamer is driven: held in the tailstock with the work turning, or turned by hand with the work at rest."""

    MACHINE = "machine reamer"
    HAND = "hand reamer"


class Reamer(Struct, frozen=True, kw_only=True):
    """A reamer for the tailstock.

    Parameters
    ----------
    dia_mm : Fraction
        Its nominal diameter.
    hole_lower_mm, hole_upper_mm : Fraction
        Limits of the hole that it makes, as measured in a trial hole or as its class promises.
    flute_mm : float
        Length of its flutes, lead included.
    lead_mm : float
        Length of the lead at its end: so much deeper must it go for the full diameter to come through.
    lead_dia_mm : float
        Diameter at the small end of the lead: the hole must be larger for the reamer to enter.
    """

    id: str
    kind: ReamerKind
    dia_mm: Fraction
    hole_lower_mm: Fraction
    hole_upper_mm: Fraction
    flute_mm: float
    lead_mm: float
    lead_dia_mm: float

    def __post_init__(self) -> None:
        """Refuse limits that fall, and a lead that is none."""
        if self.hole_lower_mm > self.hole_upper_mm:
            msg = f"reamer {self.id!r}: the limits of its hole fall; give the smaller first"
            raise ShopError(msg)
        if not 0 < self.lead_dia_mm < float(self.dia_mm):
            msg = (
                f"reamer {self.id!r}: small end of its lead {self.lead_dia_mm:g} mm must be above 0 and below its "
                f"diameter of {float(self.dia_mm):g} mm; measure it over the front end"
            )
            raise ShopError(msg)
        if not 0 < self.lead_mm < self.flute_mm:
            msg = (
                f"reamer {self.id!r}: lead {self.lead_mm:g} mm must be above 0 and shorter than the flutes of "
                f"{self.flute_mm:g} mm"
            )
            raise ShopError(msg)

    @property
    def hole_dia_mm(self) -> float:
        """Middle of the limits of the hole that it makes. [mm]"""
        return float(self.hole_lower_mm + self.hole_upper_mm) / 2.0


class Tap(Struct, frozen=True, kw_only=True):
    """A tap for one metric thread; ``lead_mm`` is its tapered lead, which must come through below the part."""

    id: str
    thread: Thread
    lead_mm: float
    length_mm: float


class GaugeUse(Enum):
    """What a gauge can measure."""

    OUTSIDE = "outside diameter"
    BORE = "bore"
    LENGTH = "length"
    DEPTH = "depth"
    RUNOUT = "runout"


class Gauge(Struct, frozen=True, kw_only=True):
    """A measuring instrument: range, step, and the half-width within which a reading is trusted. [mm]"""

    id: str
    name: str
    uses: tuple[GaugeUse, ...]
    low_mm: float
    high_mm: float
    step_mm: Fraction
    uncertainty_mm: float


class BarShape(Enum):
    """Section of a bar."""

    ROUND = "round"
    HEXAGON = "hexagon"
    TUBE = "tube"


class Bar(Struct, frozen=True, kw_only=True):
    """A bar on the rack; diameter limits as delivered. [mm]

    The diameter of a hexagon is its width across flats. A tube has the limits of its bore too; they are 0 otherwise.
    """

    id: str
    material: str
    dia_mm: Fraction
    dia_lower_mm: Fraction
    dia_upper_mm: Fraction
    length_mm: float
    tolerance_rule: str
    shape: BarShape = BarShape.ROUND
    bore_mm: Fraction = Fraction(0)
    bore_lower_mm: Fraction = Fraction(0)
    bore_upper_mm: Fraction = Fraction(0)

    def __post_init__(self) -> None:
        """Refuse a tube without a bore or wall, and a bore in anything else."""
        is_tube = self.shape is BarShape.TUBE
        if is_tube and not 0 < self.bore_lower_mm <= self.bore_mm <= self.bore_upper_mm < self.dia_lower_mm:
            msg = (
                f"bar {self.id!r}: a tube has a bore with limits, above 0 and below its outside of "
                f"{float(self.dia_lower_mm):g} mm; measure it at both ends"
            )
            raise ShopError(msg)
        if not is_tube and (self.bore_mm or self.bore_lower_mm or self.bore_upper_mm):
            msg = f"bar {self.id!r}: a {self.shape.value} bar has no bore; enter it as a tube, or leave the bore out"
            raise ShopError(msg)

    @property
    def swept_dia_mm(self) -> float:
        """Diameter that the turning bar sweeps: over the corners of a hexagon, taken as sharp. [mm]"""
        return float(self.dia_mm) * (HEXAGON_CORNERS if self.shape is BarShape.HEXAGON else 1.0)

    @property
    def largest_dia_mm(self) -> float:
        """Largest diameter that it may sweep: what a hole must be for the bar to pass. [mm]"""
        return float(self.dia_upper_mm) * (HEXAGON_CORNERS if self.shape is BarShape.HEXAGON else 1.0)

    @property
    def section_mm2(self) -> float:
        """Area of its metal. [mm²]"""
        across = float(self.dia_mm) ** 2
        if self.shape is BarShape.HEXAGON:
            return HEXAGON_AREA * across
        return pi / 4.0 * (across - float(self.bore_mm) ** 2)


class HoldingMeans(Struct, frozen=True, kw_only=True):
    """Something the shop owns to hold a finished side by; ``kind`` names the holding model that knows it.

    Parameters
    ----------
    low_dia_mm, high_dia_mm : float
        Bounds of the surface that it takes. [mm]
    grip_mm : float
        How far along the part it reaches. [mm]
    runout_mm : float
        Total indicator reading to be expected once the work has been indicated. [mm]
    ready_s : float
        Time to make it ready for one size. [s]
    force_n : float
        All that each jaw (or segment of a collet) presses on the part, added up round its land; or the pull of nut or
        tailstock along the axis. [N]
    step_mm : float
        Width of the seat or shoulder behind the ring, from the gripped surface; 0: half-way across the wall. [mm]
    wrap_deg : float
        How far round each jaw or segment presses; 0: a line. [deg]
    sizes_mm : tuple of float
        Diameters of the collets of a set. [mm]
    closes_mm : float
        How far each collet closes below its own diameter. [mm]
    pressure_n_mm2 : float
        Pressure of an expanding mandrel on the bore. [N/mm2]
    bond_n_mm2 : float
        Strength of an adhesive in shear, from its own data sheet. [N/mm2]
    body_dia_mm : float
        Outside diameter of a collet's nose, of a pot, or of the tailstock centre's body; 0: as large as usual. [mm]
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
    sizes_mm: tuple[float, ...] = ()
    closes_mm: float = 0.0
    pressure_n_mm2: float = 0.0
    bond_n_mm2: float = 0.0
    body_dia_mm: float = 0.0


class Habits(Struct, frozen=True, kw_only=True):
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


class Shop(Struct, frozen=True, kw_only=True):
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
    reamers: tuple[Reamer, ...] = ()
    taps: tuple[Tap, ...] = ()
    show: UnitsShown = UnitsShown.BOTH
    words: English = English.BRITISH
    schema: int = SHOP_SCHEMA

    def __post_init__(self) -> None:
        """Refuse two things under one name."""
        for what, ids in (
            ("tool", [tool.id for tool in self.tools]),
            ("drill", [drill.id for drill in self.drills]),
            ("drill or reamer", [*(drill.id for drill in self.drills), *(reamer.id for reamer in self.reamers)]),
            ("tap", [tap.id for tap in self.taps]),
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

    def reamer(self, reamer_id: str) -> Reamer:
        """Reamer of that id; raises `KeyError`."""
        return _by_id(self.reamers, reamer_id)

    def tap(self, tap_id: str) -> Tap:
        """Tap of that id; raises `KeyError`."""
        return _by_id(self.taps, tap_id)

    def gauge(self, gauge_id: str) -> Gauge:
        """Gauge of that id; raises `KeyError`."""
        return _by_id(self.gauges, gauge_id)

    def bar(self, bar_id: str) -> Bar:
        """Bar of that id; raises `KeyError`."""
        return _by_id(self.bars, bar_id)

    def holding(self, holding_id: str) -> HoldingMeans:
        """Holding means of that id; raises `KeyError`."""
        return _by_id(self.holdings, holding_id)


Owned = TypeVar("Owned", Tool, Drill, Reamer, Tap, Gauge, Bar, HoldingMeans)


def _by_id(things: tuple[Owned, ...], wanted: str) -> Owned:
    for thing in things:
        if thing.id == wanted:
            return thing
    raise KeyError(wanted)
