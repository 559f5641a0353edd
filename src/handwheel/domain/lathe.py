"""A lathe: its nose, speeds, feeds, tailstock, with its slides and its chuck."""

from enum import Enum

from msgspec import Struct

from handwheel.domain.chucks import Chuck
from handwheel.domain.errors import ShopError, require_positive
from handwheel.domain.motion import Handle
from handwheel.domain.slides import Slide


class Nose(Enum):
    """How the chuck sits on the spindle; a threaded nose is never run backwards."""

    THREADED = "threaded"
    CAMLOCK = "camlock"
    FLANGED = "flanged"


class SpindleSpeed(Struct, frozen=True, kw_only=True):
    """One speed that the spindle really has, and how to get it.

    ``position`` is what the hand sets (belt step, lever letters, the reading of a tachometer). ``torque_limit_nm`` is
    what the drive bears at the spindle in that position, if known (a slipping belt); else power rules. A speed worked
    out from pulleys carries the range in which it lies, ``low_rpm`` to ``high_rpm``; both stay 0 where it is known. Of
    a drive without steps ``full_power_rpm`` is the speed from which it gives its full power, ``full_power_assumed``
    that nobody has said it; belts and gears have none, 0.
    """

    rpm: float
    position: str
    measured: bool = False
    torque_limit_nm: float | None = None
    low_rpm: float = 0.0
    high_rpm: float = 0.0
    full_power_rpm: float = 0.0
    full_power_assumed: bool = False

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


class Tailstock(Struct, frozen=True, kw_only=True):
    """The tailstock: its quill as a slide and the drill chuck it carries.

    ``play_mm`` is how far a loose quill or a tailstock off the line lets a drill wander to any side, so that its hole
    may be larger by twice as much. ``taper_dia_mm`` is the diameter, half way along, of the taper that holds the drill
    chuck in the quill; 0 if nobody has measured it.
    """

    quill: Slide
    chuck_high_dia_mm: float
    play_mm: float = 0.0
    taper_dia_mm: float = 0.0


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
