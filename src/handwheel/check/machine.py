"""State of the machine between two acts, as far as a sheet can tell it: frozen, each act makes a new one."""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum
from math import cos, radians, sin

from msgspec import Struct, field
from msgspec.structs import replace

from handwheel.check.dial import turn_sign
from handwheel.check.solids import Obstacle, Shape, Solid
from handwheel.domain.acts import HandKind, SetFeed, SetSpeed, SettingKind
from handwheel.domain.bars import Bar
from handwheel.domain.contour import Point
from handwheel.domain.exact import Fraction
from handwheel.domain.holding import Holding, Side
from handwheel.domain.hole_tools import Drill, Reamer
from handwheel.domain.lathe import Lathe
from handwheel.domain.motion import Handle, Motion, Turn
from handwheel.domain.thread import Thread
from handwheel.domain.tools import Tool

TOOLPOST_HANDLES = (Handle.CROSS, Handle.TOP, Handle.CARRIAGE)
"""Handles that carry the toolpost."""


class Spindle(Enum):
    """What the spindle does."""

    STANDS = "stands"
    FORWARD = "forward"
    REVERSE = "reverse"


class LiveZero(Struct, frozen=True, kw_only=True):
    """A zero that counts: where the slide stood, on which side its nut bore, which surface was meant.

    ``at_mm`` is the slide's travel there (exact), ``place`` the tool's reference there (None for the quill). It belongs
    to the tool that is fitted: changing the tool takes it away.
    """

    id: str
    kind: SettingKind
    at_mm: Fraction
    bearing: Turn | None
    surface: str
    place: Point | None


class SlideState(Struct, frozen=True, kw_only=True):
    """One slide: travel so far (clockwise positive, exact), its span since it was last set up, zero, lock.

    ``by_eye`` says that its last movement was judged by eye, ``moved_at`` at which act it last moved.
    """

    travel_mm: Fraction = Fraction()
    lowest_mm: Fraction = Fraction()
    highest_mm: Fraction = Fraction()
    bearing: Turn | None = None
    zero: LiveZero | None = None
    locked: bool = False
    by_eye: bool = False
    moved_at: int = -1

    @property
    def span_mm(self) -> Fraction:
        """Way between the ends that were reached. [mm]"""
        return self.highest_mm - self.lowest_mm


class Contact(Struct, frozen=True, kw_only=True):
    """Where a touch was made: handle, surface, the touching spot of the tool, at which act, over which feeler. [mm]"""

    handle: Handle
    surface: str
    spot: Point
    made_at: int
    feeler_mm: float = 0.0


class LastCut(Struct, frozen=True, kw_only=True):
    """What cut a surface last: the act, the coarse end of its feed [mm/rev], the tool and its nose (0: none) [mm].

    ``force_n`` is its cutting force and ``bends_mm`` what that bends the diameter by, ``read_n`` the force of the cut
    before it, if that was by the same tool and was measured: the reading has what it bent. [N, mm]
    """

    act: str
    feed_mm_rev: float
    tool: str
    nose_mm: float
    force_n: float = 0.0
    bends_mm: float = 0.0
    read_n: float = 0.0


class FittedTool(Struct, frozen=True, kw_only=True):
    """A tool in the toolpost and its shape as it stands out."""

    tool: Tool
    shape: Shape


def _slides() -> Mapping[Handle, SlideState]:
    return {handle: SlideState() for handle in Handle}


class Machine(Struct, frozen=True, kw_only=True):
    """All that the next act depends on.

    Parameters
    ----------
    step : int
        Number of the act that is looked at.
    slides : mapping
        State of each handle's slide.
    work : Solid or None
        Half section of the work, in the work frame; while parted off, of the ring alone.
    stub : Solid or None
        What is left of the bar in the chuck after parting off.
    holding, bodies
        What holds the work in the machine, and what of it stands in the way on both sides of the axis.
    stock, grip_torque_nm : Bar or None, float
        Bar that was gripped; torque at which the ring may begin to slip in its second holding, 0 if nobody knows. [N m]
    side : Side
        Frame of ``work``.
    parted, severed, indicated, burr, rod
        Whether the ring is off the bar; whether a cut has gone through and waits for its mark; whether the work
        runs true by indicator; whether a burr stands; whether the catching rod is in place.
    fitted, drill, drill_tip_mm
        Tool in the toolpost, drill in the tailstock, z of its tip once known. [mm]
    place, true_z, true_x : Point or None, bool, bool
        Tool's reference, and whether each coordinate rests on a touch rather than on the eye. [mm]
    contact, kissed
        The touch just made; the edge whose corner was touched.
    swing_deg, leftward
        Angle of the top slide, and where it takes the tool when it goes left. [deg]
    cut_at, measured_at, judged_at, cut_spans_mm
        Last act that cut, and that measured, each surface; that judged a finished size (surface, aspect); z range of
        the metal last taken there (part frame). [mm]
    last_cuts : mapping
        What cut each surface last with a turning tool or boring bar, as long as nothing else went over it.
    lost : mapping
        Ids of zeros that are gone, each with what ended it.
    cautioned, has_cut
        Whether a caution was given since tool or drill was fitted; whether anything was cut yet.
    confirmed : frozenset of str
        What was asked, and answered with yes, before the metal is touched: word for word.
    holed
        Whether the work has a hole larger than a centre drill's.
    reamer, reamed_at, tapped
        Reamer in the tailstock (then ``drill_tip_mm`` is that of its lead); act that reamed last; thread that was cut.
    ready
        What was made ready last to hold the ring by, and has not been used since.
    """

    step: int = 0
    slides: Mapping[Handle, SlideState] = field(default_factory=_slides)
    work: Solid | None = None
    stub: Solid | None = None
    holding: Holding | None = None
    stock: Bar | None = None
    grip_torque_nm: float = 0.0
    bodies: tuple[Obstacle, ...] = ()
    side: Side = Side.FRONT
    parted: bool = False
    severed: bool = False
    indicated: bool = False
    burr: bool = False
    broken: frozenset[str] = frozenset()
    rod: bool = False
    fitted: FittedTool | None = None
    drill: Drill | None = None
    drill_tip_mm: float | None = None
    place: Point | None = None
    true_z: bool = False
    true_x: bool = False
    contact: Contact | None = None
    kissed: str = ""
    swing_deg: Fraction = Fraction()
    leftward: Motion = Motion.OUT
    speed: SetSpeed | None = None
    spindle: Spindle = Spindle.STANDS
    feeds: Mapping[Handle, SetFeed] = field(default_factory=dict)
    cut_at: Mapping[str, int] = field(default_factory=dict)
    measured_at: Mapping[str, int] = field(default_factory=dict)
    judged_at: Mapping[tuple[str, str], int] = field(default_factory=dict)
    cut_spans_mm: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    last_cuts: Mapping[str, LastCut] = field(default_factory=dict)
    lost: Mapping[str, str] = field(default_factory=dict)
    cautioned: bool = False
    confirmed: frozenset[str] = frozenset()
    has_cut: bool = False
    holed: bool = False
    reamer: Reamer | None = None
    reamed_at: int = -1
    tapped: Thread | None = None
    ready: HandKind | None = None

    @property
    def turns(self) -> bool:
        """Whether the spindle turns."""
        return self.spindle is not Spindle.STANDS

    @property
    def in_machine(self) -> bool:
        """Whether the work is held where the lathe turns it."""
        return self.holding is not None and self.holding.turned

    @property
    def swung(self) -> bool:
        """Whether the top slide moves the tool across as well as along."""
        return self.swing_deg != 0

    @property
    def knows_z(self) -> bool:
        """Whether z rests on a touch and on readings since."""
        return self.true_z and not (self.slides[Handle.CARRIAGE].by_eye or self.slides[Handle.TOP].by_eye)

    @property
    def knows_x(self) -> bool:
        """Whether x rests on a touch and on readings since."""
        return self.true_x and not (self.slides[Handle.CROSS].by_eye or (self.swung and self.slides[Handle.TOP].by_eye))


def is_read(machine: Machine, surface: str) -> bool:
    """Whether a surface has been measured since it was cut last."""
    return machine.measured_at.get(surface, -1) > machine.cut_at.get(surface, -1)


def direction(machine: Machine, handle: Handle, motion: Motion) -> Point:
    """Unit vector (z, x) of the tool for a motion of a handle."""
    sign = 1.0 if motion in (Motion.OUT, Motion.RIGHT) else -1.0
    if handle is Handle.CROSS:
        return Point(0.0, sign)
    if handle is not Handle.TOP or not machine.swung:
        return Point(sign, 0.0)
    angle = radians(float(machine.swing_deg))
    across = -1.0 if machine.leftward is Motion.OUT else 1.0
    return Point(sign * cos(angle), sign * across * sin(angle))


def place_after(machine: Machine, lathe: Lathe, handle: Handle, travel_mm: Fraction) -> Point | None:
    """Where the tool's reference stands when a slide has gone to a travel; None if it is nowhere known. [mm]"""
    if machine.place is None:
        return None
    way_mm = float(travel_mm - machine.slides[handle].travel_mm)
    ahead = direction(machine, handle, lathe.slide(handle).clockwise_moves)
    return Point(machine.place.z_mm + ahead.z_mm * way_mm, machine.place.radius_mm + ahead.radius_mm * way_mm)


def with_slide(machine: Machine, handle: Handle, state: SlideState) -> Machine:
    """Return the machine with the state of one slide changed."""
    return replace(machine, slides={**machine.slides, handle: state})


def slide_gone_to(
    machine: Machine, lathe: Lathe, handle: Handle, *, stops_mm: tuple[Fraction, ...], bearing: Turn, by_eye: bool
) -> Machine:
    """Return the machine with a slide wound through some travels to the last of them, and the tool with it. [mm]"""
    slide = machine.slides[handle]
    place = machine.place if handle is Handle.QUILL else place_after(machine, lathe, handle, stops_mm[-1])
    moved = replace(
        slide,
        travel_mm=stops_mm[-1],
        lowest_mm=min(slide.lowest_mm, *stops_mm),
        highest_mm=max(slide.highest_mm, *stops_mm),
        bearing=bearing,
        by_eye=by_eye,
        moved_at=machine.step,
    )
    return replace(machine, slides={**machine.slides, handle: moved}, place=place)


def zeros_lost(machine: Machine, handles: tuple[Handle, ...], why: str) -> Machine:
    """Return the machine with the zeros of some handles gone, and the reason noted."""
    slides, lost = dict(machine.slides), dict(machine.lost)
    for handle in handles:
        zero = slides[handle].zero
        if zero is not None:
            lost[zero.id] = why
        slides[handle] = replace(slides[handle], zero=None)
    return replace(machine, slides=slides, lost=lost)


def toolpost_lost(machine: Machine, why: str) -> Machine:
    """Return the machine with no zero on the toolpost's slides and the tool nowhere known; spans begin anew."""
    machine = zeros_lost(machine, TOOLPOST_HANDLES, why)
    slides = dict(machine.slides)
    for handle in TOOLPOST_HANDLES:
        slides[handle] = SlideState(locked=slides[handle].locked)
    return replace(machine, slides=slides, place=None, true_z=False, true_x=False, contact=None, kissed="")


def travel_of(lathe: Lathe, handle: Handle, motion: Motion, distance_mm: float) -> Fraction:
    """Signed travel (clockwise positive) for a distance in a motion. [mm]"""
    return Fraction(distance_mm) * turn_sign(lathe.slide(handle).turn_for(motion))
