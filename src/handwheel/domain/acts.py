"""The acts of a sheet: one thing for the hand to do at a time, each a tagged record.

The acts carry a tag because the sheet travels as JSON and a union of them must say which is which; all else in this
room is structs without one. Places are in the work frame of the current holding (see `holding.Holding`): z = 0 is the
finished face of that side, z positive to the tailstock, x a radius. What a person reads is a diameter and named so.
"""

from enum import Enum

import msgspec
from msgspec import Struct, field

from handwheel.domain.advice import AdviceTable
from handwheel.domain.choice import Choice
from handwheel.domain.exact import Fraction
from handwheel.domain.holding import Holding
from handwheel.domain.motion import Handle, Motion, Turn


class SettingKind(Choice):
    """What a position is set by."""

    MARKS = "marks of the dial"
    READOUT = "readout"
    INDICATOR = "indicator"
    STOP = "stop"
    RULE = "rule"


class Setting(Struct, frozen=True, kw_only=True):
    """A position that can be set by hand, exactly.

    Dial positions count in marks from the zero, rising clockwise: position = turns * marks per turn + marks, with
    0 <= marks < marks per turn, so that ``marks`` is what the dial shows and ``turns`` is -1 in the turn before zero.

    Parameters
    ----------
    handle : Handle
        Handle to turn.
    kind : SettingKind
        What the position is read from.
    zero : str
        Id of the zero that it counts from.
    turns : int
        Whole turns from the zero, clockwise positive (dial only).
    marks : Fraction
        What the dial shows; a whole number, or a half where the dial allows halves (dial only).
    value_mm : Fraction
        Distance from the zero, positive to the left, for readout, indicator, stop and rule. [mm]
    band_mm : float
        Half-width within which such a value can be set (0 for a dial: there it is the mark). [mm]
    approach : Turn
        Last sense in which the hand turns before it stops.
    back_off_marks : int
        If the handle has to come back from beyond, how far past to go first; always more than the slack. [marks]
    expected_mm : float
        What is then true: a diameter (cross-slide, or top slide that feeds across) or z (along). [mm]
    """

    handle: Handle
    kind: SettingKind
    zero: str
    turns: int = 0
    marks: Fraction = field(default_factory=Fraction)
    value_mm: Fraction = field(default_factory=Fraction)
    band_mm: float = 0.0
    approach: Turn = Turn.CLOCKWISE
    back_off_marks: int = 0
    expected_mm: float = 0.0


class TailSupport(Enum):
    """Where the far end of the bar is."""

    INSIDE_SPINDLE = "inside the spindle"
    SUPPORTED = "supported behind the spindle"
    BLANK = "a cut blank, held in the jaws alone"
    OVERHANGS = "out behind the spindle, not supported"


class FeedKind(Enum):
    """Feed by the gearbox or by hand."""

    POWER = "power"
    HAND = "hand"


class HandKind(Enum):
    """Kinds of hand step."""

    CONFIRM = "confirm"
    INK = "ink"
    DEBURR = "deburr"
    CATCH_ROD = "catch rod"
    CLEAR_CHIPS = "clear chips"
    LUBRICATE = "lubricate"
    BORE_JAWS = "bore the soft jaws"
    TURN_MANDREL = "turn the stub mandrel"
    FIT_COLLET = "fit the collet"
    BORE_POT = "bore the pot"
    TURN_SPIGOT = "turn the spigot"
    FIT_MANDREL = "fit the expanding mandrel"
    FACE_PLATE = "face the driving plate"
    TURN_ARBOR = "turn the glue arbor"
    RUB_FACE = "rub the face"
    CLEAN = "clean"
    TAKE_OUT = "take out"
    TAP = "tap by hand"
    BREAK_EDGE = "break an edge"
    NOTE = "note"


class ActBase(msgspec.Struct, frozen=True, kw_only=True, tag_field="act"):
    """What every act has: its id in the sheet, its step, cautions that stand before it, a short note."""

    id: str
    step: str
    cautions: tuple[str, ...] = ()
    note: str = ""


class LoadBar(ActBase, frozen=True, kw_only=True, tag="load-bar"):
    """Grip the bar. The bar's raw end then stands at z = + ``face_stock_mm``.

    ``stick_out_mm`` counts from the jaw face to the raw end, ``grip_length_mm`` is inside the jaws,
    ``bar_length_mm`` the length of the piece that is loaded. [mm]
    """

    bar: str
    holding: Holding
    stick_out_mm: float
    grip_length_mm: float
    bar_length_mm: float
    face_stock_mm: float
    tail: TailSupport


class FitTool(ActBase, frozen=True, kw_only=True, tag="fit-tool"):
    """Clamp a tool in the toolpost, edge on centre height. Every zero of the last tool is gone.

    The post stands well clear of the work before the tool goes in: the carriage to the right by what stands out along
    the bed and more; where a tailstock is in the way of that, the cross-slide out. Those slides are free for it.
    """

    tool: str
    stands_out_mm: float


class FitDrill(ActBase, frozen=True, kw_only=True, tag="fit-drill"):
    """Put a drill in the tailstock."""

    drill: str


class FitReamer(ActBase, frozen=True, kw_only=True, tag="fit-reamer"):
    """Put a reamer in the tailstock."""

    reamer: str


class SetSpeed(ActBase, frozen=True, kw_only=True, tag="set-speed"):
    """Set a spindle speed of the lathe's own list; the spindle stands still meanwhile.

    ``cut_dia_mm`` is the largest diameter that will be cut at it, ``cutting_speed_m_min`` the surface speed there.
    """

    rpm: float
    position: str
    cut_dia_mm: float
    cutting_speed_m_min: float


class SetFeed(ActBase, frozen=True, kw_only=True, tag="set-feed"):
    """Set a feed of the gearbox (low = high = its value), or a band and a pace that a hand can keep.

    Paces are seconds for one turn of ``handle``; 0 for power feed.
    """

    kind: FeedKind
    handle: Handle
    low_mm_rev: float
    high_mm_rev: float
    position: str = ""
    pace_fast_s: float = 0.0
    pace_slow_s: float = 0.0


class StartSpindle(ActBase, frozen=True, kw_only=True, tag="start"):
    """Start the spindle forward (``reverse``: never on a threaded nose)."""

    reverse: bool = False


class StopSpindle(ActBase, frozen=True, kw_only=True, tag="stop"):
    """Stop the spindle and wait until it stands."""


class Approach(ActBase, frozen=True, kw_only=True, tag="approach"):
    """Bring the tool's tip near a place by eye, with cross-slide and carriage (never the top slide). [mm]

    ``last`` is the motion that comes last, and so the order of all three. LEFT: the carriage right of the face, the
    cross-slide to its place, the carriage to the left; so the tool enters a hole clear of its rim. IN: the cross-slide
    out clear of the work, the carriage along, the cross-slide in; so it comes down on an outside. Either way the
    carriage goes to the left at the end of its way: a carriage with a dial bears on the side from which all its
    settings come.

    ``place`` is how a person finds it, such as ``"outside, 3 mm behind the face"``.
    """

    z_mm: float
    x_radius_mm: float
    place: str
    last: Motion = Motion.LEFT


class Touch(ActBase, frozen=True, kw_only=True, tag="touch"):
    """Wind the handle so that the tool moves ``motion`` until it just touches ``surface``, spindle running.

    ``feeler_mm`` is the thickness of what lies between (0 for a kiss on ink). ``contact`` says in words which part
    of the tool touches, for instance ``"left corner of the blade"``.
    """

    handle: Handle
    motion: Motion
    surface: str
    contact: str
    feeler_mm: float = 0.0


class SetZero(ActBase, frozen=True, kw_only=True, tag="set-zero"):
    """Set the collar (or indicator, rule) of a handle to 0 here, without moving the handle.

    ``stands_for_mm`` is the diameter or z that this zero means, as far as it is known.
    """

    handle: Handle
    zero: str
    kind: SettingKind
    surface: str
    stands_for_mm: float


class SetCollar(ActBase, frozen=True, kw_only=True, tag="set-collar"):
    """Set the collar from the measured size, handle unmoved, so that 0 is (nearly) the finished size.

    Printed rule: marks short of 0 = (measured diameter - ``zero_dia_mm``) / ``dia_per_mark_mm``, to the
    nearest whole mark. With the expected reading the dial is set to ``turns`` and ``marks`` (as in `Setting`).
    On a collar that cannot be set the same figure goes into the offset box.
    """

    handle: Handle
    zero: str
    surface: str
    zero_dia_mm: float
    dia_per_mark_mm: float
    expected_dia_mm: float
    turns: int
    marks: Fraction
    settable: bool = True


class SetReadout(ActBase, frozen=True, kw_only=True, tag="set-readout"):
    """Set the readout from the measured size, handle unmoved, so that 0 is (nearly) the finished size.

    Printed rule: enter (measured diameter - ``zero_dia_mm``) / 2, to the nearest step: minus while the tool stands
    outside that size (an outside to be turned), plus while it stands inside it (a bore). ``dia_per_step_mm`` is what
    one step of the readout changes in the diameter. With the expected reading ``value_mm`` is entered: where the slide
    then stands, counted from the new zero as in `Setting` (positive inward, or to the left).
    """

    handle: Handle
    zero: str
    surface: str
    zero_dia_mm: float
    dia_per_step_mm: float
    expected_dia_mm: float
    value_mm: Fraction


class Move(ActBase, frozen=True, kw_only=True, tag="move"):
    """Wind a handle to a setting without cutting."""

    setting: Setting


class Cut(ActBase, frozen=True, kw_only=True, tag="cut"):
    """Feed one handle so that the tool cuts, to a setting, or (``to`` is None) until it runs clear by eye.

    ``length_mm`` is the way of the slide. ``depth_mm`` is the depth of the cut square to the cut surface (a
    radius for turning), ``surface`` what is being made.
    """

    handle: Handle
    motion: Motion
    to: Setting | None
    length_mm: float
    depth_mm: float
    surface: str
    feed: FeedKind
    seconds: float = 0.0


class Retract(ActBase, frozen=True, kw_only=True, tag="retract"):
    """Wind a handle away from the work by about ``distance_mm``; ``turns`` of the handle where it has a dial.

    Where there is room for no half turn, ``turns`` is a part of one in whole marks.
    """

    handle: Handle
    motion: Motion
    distance_mm: float
    turns: Fraction | None = None


class DrillHole(ActBase, frozen=True, kw_only=True, tag="drill-hole"):
    """Feed the quill from the touched face to ``setting``; withdraw every ``peck_mm``, holding the chuck back.

    ``setting.expected_mm`` is the z that the full diameter reaches; the point stands ``point_mm`` beyond it.
    """

    setting: Setting
    point_mm: float
    peck_mm: float
    seconds: float = 0.0


class ReamHole(ActBase, frozen=True, kw_only=True, tag="ream-hole"):
    """Feed a reamer evenly from the touched rim to ``setting`` and draw it out, the work turning forwards throughout.

    ``setting.expected_mm`` is the z that the full diameter reaches; the lead stands ``lead_mm`` beyond it.
    """

    setting: Setting
    lead_mm: float
    seconds: float = 0.0


class Lock(ActBase, frozen=True, kw_only=True, tag="lock"):
    """Lock a slide."""

    handle: Handle


class Unlock(ActBase, frozen=True, kw_only=True, tag="unlock"):
    """Free a slide."""

    handle: Handle


class Cool(ActBase, frozen=True, kw_only=True, tag="cool"):
    """Let the work come to room temperature. [s]"""

    seconds: float


class Measure(ActBase, frozen=True, kw_only=True, tag="measure"):
    """Measure a dimension with the spindle stopped and the tool clear.

    ``expected_mm`` is the nominal reading; outside ``stop_low_mm`` … ``stop_high_mm``: stop and find out why before
    any further cut. ``mark_worth_mm`` is what one mark of the handle in use changes in it (0 if none follows).
    ``final`` says that this is the finished dimension and must lie within ``lower_mm`` … ``upper_mm``. ``table`` is
    what to do by the reading: words beside the act, which move nothing by themselves.
    """

    surface: str
    aspect: str
    gauge: str
    expected_mm: float
    stop_low_mm: float
    stop_high_mm: float
    mark_worth_mm: float = 0.0
    final: bool = False
    lower_mm: float = 0.0
    upper_mm: float = 0.0
    table: AdviceTable | None = None


class Regrip(ActBase, frozen=True, kw_only=True, tag="regrip"):
    """Hold the parted ring for its other side."""

    holding: Holding


class Indicate(ActBase, frozen=True, kw_only=True, tag="indicate"):
    """Turn the work by hand under an indicator; total reading on ``surface`` at most ``high_mm``."""

    surface: str
    high_mm: float
    gauge: str


class SwingSlide(ActBase, frozen=True, kw_only=True, tag="swing"):
    """Swing the top slide. Every zero of cross-slide, top slide and carriage is gone.

    Parameters
    ----------
    angle_deg : Fraction
        Angle between the slide and the lathe's axis; 0 is parallel to the bed. [deg]
    leftward : Motion
        Where the tool goes across when the top slide moves it to the left: OUT or IN (OUT if parallel).
    scale_deg : Fraction
        Figure to set on this lathe's own scale (the angle, or 90° less it). [deg]
    error_deg : float
        Half-width of the error of setting it. [deg]
    check_travel_mm, check_across_mm : float
        Check: winding this much must move the tip this much across. [mm]
    """

    angle_deg: Fraction
    leftward: Motion
    scale_deg: Fraction
    error_deg: float
    check_travel_mm: float
    check_across_mm: float


class HandStep(ActBase, frozen=True, kw_only=True, tag="hand"):
    """Something done by hand, said in ``text``; with ``tool`` (a tap), if it has an id of its own.

    ``removes_mm`` is metal taken off ``surface`` (rubbing).
    """

    kind: HandKind
    text: str
    surface: str = ""
    removes_mm: float = 0.0
    tool: str = ""


class PartOff(ActBase, frozen=True, kw_only=True, tag="part-off"):
    """Mark that the cut just made has freed the ring: it hangs on the catching rod."""


Act = (
    LoadBar
    | FitTool
    | FitDrill
    | FitReamer
    | SetSpeed
    | SetFeed
    | StartSpindle
    | StopSpindle
    | Approach
    | Touch
    | SetZero
    | SetCollar
    | SetReadout
    | Move
    | Cut
    | Retract
    | DrillHole
    | ReamHole
    | Lock
    | Unlock
    | Cool
    | Measure
    | Regrip
    | Indicate
    | SwingSlide
    | HandStep
    | PartOff
)
