"""A sheet gone through act by act: by what each cut was set, and how lathe and work stand at each measuring act."""

from __future__ import annotations

from msgspec import Struct

from handwheel.bench.scales import StopScale, StopZero, ZeroBy, checked_error_deg, kind_of, smallest_step, square_share
from handwheel.domain import acts as a
from handwheel.domain.exact import Fraction
from handwheel.domain.motion import Handle, Motion
from handwheel.domain.part import Part
from handwheel.domain.plan import Sheet
from handwheel.domain.shop import Shop

POST_HANDLES = (Handle.CROSS, Handle.TOP, Handle.CARRIAGE)


def walked(sheet: Sheet, shop: Shop) -> tuple[tuple[MadeCut, ...], tuple[MeasurePlace, ...]]:
    """Every cut of a sheet, and every measuring act in its place."""
    walk = Walk(shop, sheet.part)
    found = [walk.go(index, act) for index, act in enumerate(sheet.acts)]
    return (
        tuple(one for one in found if isinstance(one, MadeCut)),
        tuple(one for one in found if isinstance(one, MeasurePlace)),
    )


class MadeCut(Struct, frozen=True, kw_only=True):
    """A cut where it stands in the sheet, with what its depth was set by: scale, zero, act, and to where."""

    index: int
    act: a.Cut
    tool: str
    feed: a.SetFeed | None
    scale: StopScale | None
    zero: StopZero | None
    setting: str
    set_at: a.Setting | None


class MeasurePlace(Struct, frozen=True, kw_only=True):
    """A measuring act where it stands, with the zeros that live there, the tool in the post, and how warm the work is.

    ``zeros`` holds the ids of the living zeros.
    """

    index: int
    act: a.Measure
    zeros: frozenset[str]
    tool: str
    cooled_s: float
    cutting_s: float
    in_hand: bool


class Walk:
    """The state of the lathe as the acts go by, as far as the depth of a cut depends on it."""

    def __init__(self, shop: Shop, part: Part) -> None:
        self._shop = shop
        self._part = part
        self._round = {one.surface for one in (*part.outer_cylinders, *part.inner_cylinders)}
        self._inner = {segment.id for segment in part.inner.segments}
        self._tool, self._swing = "", _parallel()
        self._feed: a.SetFeed | None = None
        self._zeros: dict[Handle, tuple[StopZero, a.SettingKind]] = {}
        # across or not: the handle that was wound last, by which act, and to where if that is not by eye
        self._set_last: dict[bool, tuple[Handle, str, a.Setting | None]] = {}
        self._read: dict[str, str] = {}
        self._cooled_s = self._cutting_s = 0.0
        self._in_hand = False

    def go(self, index: int, act: a.Act) -> MadeCut | MeasurePlace | None:
        """Take in one act; tell a cut or a stop."""
        self._lose(act)
        self._set(act)
        self._warm_up(act)
        if isinstance(act, a.Cut):
            return self._made(index, act)
        if isinstance(act, a.Measure):
            self._read[act.surface] = act.id
            return self._place(index, act)
        return None

    def _lose(self, act: a.Act) -> None:
        """Zeros go with the tool, the angle of the slide, a place found by eye, and the work's holding."""
        taken_out = isinstance(act, a.HandStep) and act.kind is a.HandKind.TAKE_OUT
        gripped = isinstance(act, a.LoadBar | a.Regrip)
        if isinstance(act, a.FitTool):
            self._tool = act.tool
        if isinstance(act, a.SwingSlide):
            self._swing = act
        if isinstance(act, a.FitTool | a.SwingSlide | a.Approach | a.PartOff) or taken_out or gripped:
            for handle in POST_HANDLES:
                self._zeros.pop(handle, None)
            self._set_last.clear()
        if isinstance(act, a.PartOff) or taken_out:
            self._in_hand = True
        if isinstance(act, a.LoadBar) or (isinstance(act, a.Regrip) and act.holding.turned):
            self._in_hand = False

    def _set(self, act: a.Act) -> None:
        match act:
            case a.SetFeed():
                self._feed = act
            case a.Touch():
                self._wound(act.handle, act.id, None)
            case a.Move():
                self._wound(act.setting.handle, act.id, act.setting)
            case a.SetZero():
                self._zeros[act.handle] = (_touched(act), act.kind)
            case a.SetCollar() | a.SetReadout():
                self._zeros[act.handle] = (self._from_reading(act), kind_of(act))

    def _warm_up(self, act: a.Act) -> None:
        if isinstance(act, a.Cut | a.DrillHole | a.ReamHole):
            self._cutting_s += act.seconds
            self._cooled_s = 0.0
        elif isinstance(act, a.Cool):
            self._cooled_s += act.seconds
            self._cutting_s = 0.0
        elif isinstance(act, a.LoadBar | a.Regrip):
            self._cooled_s = self._cutting_s = 0.0

    def _wound(self, handle: Handle, act: str, setting: a.Setting | None) -> None:
        """Keep which handle was wound last of those that go across the bed, and of those that go along it."""
        swung = handle is Handle.TOP and self._swing.angle_deg > 0
        if handle is Handle.CROSS or swung:
            self._set_last[True] = (handle, act, setting)
        if handle in (Handle.CARRIAGE, Handle.TOP):
            self._set_last[False] = (handle, act, setting)

    def _from_reading(self, act: a.SetCollar | a.SetReadout) -> StopZero:
        return StopZero(
            id=act.zero,
            act=act.id,
            by=ZeroBy.READING,
            surface=act.surface,
            stands_for_mm=act.zero_dia_mm,
            reading=self._read.get(act.surface, ""),
        )

    def _made(self, index: int, act: a.Cut) -> MadeCut:
        across = act.surface in self._round
        handle, setting, set_at = self._set_last.get(across, (None, "", None))
        zero, kind = self._zeros.get(handle, (None, None)) if handle is not None else (None, None)
        inside = act.surface in self._inner
        scale = None if handle is None or kind is None else self._scale(handle, kind, across=across, inside=inside)
        return MadeCut(
            index=index,
            act=act,
            tool=self._tool,
            feed=self._feed,
            scale=scale,
            zero=zero,
            setting=setting,
            set_at=set_at,
        )

    def _scale(self, handle: Handle, kind: a.SettingKind, *, across: bool, inside: bool) -> StopScale:
        slide = self._shop.lathe.slide(handle)
        step, marks = smallest_step(slide, kind)
        is_top = handle is Handle.TOP
        angle = float(self._swing.angle_deg) if is_top else 0.0
        deeper = self._deeper(handle, inside=inside) if across else Motion.LEFT
        error = checked_error_deg(self._swing, self._shop) if is_top and angle else 0.0
        return StopScale(
            handle=handle,
            kind=kind,
            step_mm=step,
            square=square_share(handle, angle, across=across),
            marks_per_step=marks,
            marks_per_turn=slide.dial.marks if kind is a.SettingKind.MARKS and slide.dial is not None else 0,
            deeper=deeper,
            turn=slide.turn_for(deeper),
            angle_deg=angle,
            angle_error_deg=error,
            angle_by_scale=error >= self._swing.error_deg,
            slack_mm=float(slide.slack_mm),
            settable=kind is not a.SettingKind.MARKS or slide.dial is None or slide.dial.settable,
        )

    def _deeper(self, handle: Handle, *, inside: bool) -> Motion:
        wanted = Motion.OUT if inside else Motion.IN
        if handle is Handle.CROSS:
            return wanted
        return Motion.LEFT if self._swing.leftward is wanted else Motion.RIGHT

    def _place(self, index: int, act: a.Measure) -> MeasurePlace:
        return MeasurePlace(
            index=index,
            act=act,
            zeros=frozenset(zero.id for zero, _ in self._zeros.values()),
            tool=self._tool,
            cooled_s=self._cooled_s,
            cutting_s=self._cutting_s,
            in_hand=self._in_hand,
        )


def _touched(act: a.SetZero) -> StopZero:
    return StopZero(id=act.zero, act=act.id, by=ZeroBy.TOUCH, surface=act.surface, stands_for_mm=act.stands_for_mm)


def _parallel() -> a.SwingSlide:
    """The top slide parallel to the bed, as it stands before a sheet swings it."""
    return a.SwingSlide(
        id="",
        step="",
        angle_deg=Fraction(0),
        leftward=Motion.OUT,
        scale_deg=Fraction(0),
        error_deg=0.0,
        check_travel_mm=0.0,
        check_across_mm=0.0,
    )
