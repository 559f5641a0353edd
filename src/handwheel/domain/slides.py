"""A lathe's slides: their dials, what else tells lengths, the angle to which they swing."""

from enum import Enum
from functools import cached_property

from msgspec import Struct

from handwheel.domain.choice import Choice
from handwheel.domain.errors import ShopError, require_positive
from handwheel.domain.exact import Fraction
from handwheel.domain.motion import Handle, Motion, Turn

QUARTER_DEG = 90
"""What a scale that shows 0 across the bed shows along it. [deg]"""


class Reads(Choice):
    """What the figures on a dial mean: travel of the slide (a radius, on the cross-slide) or a diameter."""

    TRAVEL = "travel"
    DIAMETER = "diameter"


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
