"""What sets the depth of a cut, what its smallest step is worth at the work, and the zero it counts from."""

from __future__ import annotations

from enum import Enum
from math import cos, degrees, radians, sin

from msgspec import Struct

from handwheel.domain.acts import SetCollar, SetReadout, SettingKind, SwingSlide
from handwheel.domain.exact import Fraction
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.motion import Handle, Motion, Turn
from handwheel.domain.shop import Shop
from handwheel.domain.slides import AidKind, Slide

AIDS = {
    SettingKind.INDICATOR: AidKind.INDICATOR,
    SettingKind.STOP: AidKind.STOP,
    SettingKind.RULE: AidKind.RULE,
}


class StopScale(Struct, frozen=True, kw_only=True):
    """What the depth of a cut is set by, and what its smallest step is worth square to the cut surface.

    Parameters
    ----------
    handle : Handle
        Handle to turn.
    kind : SettingKind
        Whether marks, a readout, an indicator or a rule are read.
    step_mm : Fraction
        Slide travel of the smallest step that can be set, exact. [mm]
    square : float
        Way of the tool square to the surface for 1 mm of slide travel: 1, or the sine of the angle of a swung slide for
        a diameter, its cosine for a length. [1]
    marks_per_step : Fraction
        Marks in one step: 1, or 1/2 where half a mark can be set; 1 without a dial. [marks]
    marks_per_turn : int
        Marks round the dial; 0 without one.
    deeper, turn : Motion, Turn
        Where the tool goes as it goes deeper, and how the hand then turns.
    angle_by_scale : bool
        Whether the angle is set by the slide's own scale alone; else it was checked by an indicator.
    angle_deg, angle_error_deg : float
        Angle of the top slide from the axis and the half-width of the error of setting it; 0 of other slides. [deg]
    slack_mm : float
        Lost motion of the screw, as slide travel. [mm]
    settable : bool
        Whether collar or readout can be set to any figure where it stands.
    """

    handle: Handle
    kind: SettingKind
    step_mm: Fraction
    square: float
    marks_per_step: Fraction
    marks_per_turn: int
    deeper: Motion
    turn: Turn
    angle_deg: float = 0.0
    angle_error_deg: float = 0.0
    angle_by_scale: bool = True
    slack_mm: float = 0.0
    settable: bool = True

    @property
    def travel_per_step_mm(self) -> float:
        """Way of the tool square to the surface for the smallest step. [mm]"""
        return float(self.step_mm) * self.square

    @property
    def travel_per_mark_mm(self) -> float:
        """Way of the tool square to the surface for one whole mark, or for one step without a dial. [mm]"""
        return self.travel_per_step_mm / float(self.marks_per_step)

    @property
    def is_fine(self) -> bool:
        """Whether it is the fine scale of a top slide that was swung for the last cuts."""
        return self.handle is Handle.TOP and self.angle_deg > 0.0


class ZeroBy(Enum):
    """How a zero was found."""

    TOUCH = "touched off"
    READING = "set from a reading"


class StopZero(Struct, frozen=True, kw_only=True):
    """The zero that the depth of the last cut was counted from.

    ``act`` set it, ``surface`` was touched (or, ``by`` a reading, measured in the stop ``reading``); ``stands_for_mm``
    is the diameter, or the z, that 0 means. [mm]
    """

    id: str
    act: str
    by: ZeroBy
    surface: str
    stands_for_mm: float
    reading: str = ""


def kind_of(act: SetCollar | SetReadout) -> SettingKind:
    """What is read after a collar, or a readout, was set from a reading."""
    return SettingKind.MARKS if isinstance(act, SetCollar) else SettingKind.READOUT


def smallest_step(slide: Slide, kind: SettingKind) -> tuple[Fraction, Fraction]:
    """Slide travel of the smallest step that can be set by that, and the marks in it (1 without a dial). [mm, marks]

    Raises
    ------
    ValueError
        If the slide has nothing of the kind.
    """
    if kind is SettingKind.MARKS and slide.dial is not None:
        return slide.dial.travel_per_mark_mm * slide.dial.step, slide.dial.step
    if kind is SettingKind.READOUT and slide.readout_step_mm is not None:
        return slide.readout_step_mm, Fraction(1)
    aid = slide.aid(AIDS[kind]) if kind in AIDS else None
    if aid is None:
        msg = f"{slide.handle.value}: the sheet reads {kind.value}, and this slide has none; use the plan's own shop"
        raise ValueError(msg)
    return aid.step_mm, Fraction(1)


def checked_error_deg(act: SwingSlide, shop: Shop) -> float:
    """How far off a swung slide may stand once the tip was seen to go as far across as the sheet says. [deg]

    The check is as fine as `check_step_mm`; without an indicator the scale's own error stays.
    """
    step_mm = check_step_mm(shop)
    if step_mm is None or not act.check_travel_mm:
        return act.error_deg
    return min(act.error_deg, degrees(float(step_mm) / act.check_travel_mm))


def check_step_mm(shop: Shop) -> Fraction | None:
    """Step of the shop's finest indicator, within which the tip's way across can be read; ``None`` without one. [mm]"""
    return min((gauge.step_mm for gauge in shop.gauges if GaugeUse.RUNOUT in gauge.uses), default=None)


def square_share(handle: Handle, angle_deg: float, *, across: bool) -> float:
    """Way of the tool square to a surface for 1 mm of slide travel: 1, or sine (cosine along) of the angle. [1]

    Examples
    --------
    >>> round(square_share(Handle.TOP, 6.0, across=True), 4), square_share(Handle.CROSS, 0.0, across=True)
    (0.1045, 1.0)
    """
    if handle is not Handle.TOP:
        return 1.0
    return sin(radians(angle_deg)) if across else cos(radians(angle_deg))
