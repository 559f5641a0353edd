"""How far each slide goes while a sheet is written, against how far it can."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil, hypot

from msgspec import Struct, field

from handwheel.domain import acts as a
from handwheel.domain.exact import Fraction
from handwheel.domain.lathe import Lathe
from handwheel.domain.motion import Handle
from handwheel.domain.part import Units
from handwheel.domain.remedies import FitSlide
from handwheel.domain.said import said, said_short
from handwheel.planner import offers
from handwheel.planner.way import NoWay, Way

TOOLPOST = (Handle.CROSS, Handle.TOP, Handle.CARRIAGE)
SET_UP_ANEW = (a.FitTool, a.SwingSlide, a.Regrip)
"""Acts after which every slide of the toolpost may stand anywhere again."""
ROOM_MM = 5.0
"""What backing off and clearing take beyond the way of the cut, when travel is asked for."""
SAME_MM = 1e-6


class _Span(Struct):
    """Place of a slide since it was set up, and the ends that it reached. [mm]"""

    at_mm: Fraction = Fraction()
    low_mm: Fraction = Fraction()
    high_mm: Fraction = Fraction()

    @property
    def span_mm(self) -> Fraction:
        return self.high_mm - self.low_mm


class TravelNeed(Struct, frozen=True, kw_only=True):
    """Longest way from end to end that a slide goes between two settings-up, and at which step. [mm]"""

    handle: Handle
    step: str
    need_mm: float


class Travels(Struct):
    """Account of how far the slides go; ``placed`` says that the tool stands where the writer thinks."""

    placed: bool = False
    needs: dict[Handle, TravelNeed] = field(default_factory=dict)
    _spans: dict[Handle, _Span] = field(default_factory=dict)

    def begin(self, handles: Iterable[Handle]) -> None:
        """Slides that were set up anew: what they went before no longer counts."""
        for handle in handles:
            self._spans[handle] = _Span()

    def act(self, act: a.ActBase, lathe: Lathe) -> None:
        """Account for an act that sets slides up anew, or winds the quill."""
        if isinstance(act, SET_UP_ANEW):
            self.begin(TOOLPOST)
            self.placed = False
        elif isinstance(act, a.FitDrill):
            self.begin((Handle.QUILL,))
        elif isinstance(act, a.DrillHole):
            way = setting_way_mm(act.setting, lathe)
            self.go(Handle.QUILL, way, act.step)
            self.go(Handle.QUILL, -way, act.step)

    def go(self, handle: Handle, way_mm: Fraction, step: str) -> None:
        """Account for a way, positive inward or to the left. [mm]"""
        span = self._spans.setdefault(handle, _Span())
        span.at_mm += way_mm
        span.low_mm, span.high_mm = min(span.low_mm, span.at_mm), max(span.high_mm, span.at_mm)
        known = self.needs.get(handle)
        if known is None or span.span_mm > known.need_mm:
            self.needs[handle] = TravelNeed(handle=handle, step=step, need_mm=float(span.span_mm))

    def left_mm(self, handle: Handle, lathe: Lathe) -> float:
        """How much further right a slide may go before its ways are longer than its travel. [mm]"""
        span = self._spans.setdefault(handle, _Span())
        return lathe.slide(handle).travel_mm - float(span.high_mm - span.at_mm)

    def too_long(self, lathe: Lathe) -> tuple[TravelNeed, ...]:
        """Slides that would have to go further than they can."""
        return tuple(
            need for need in self.needs.values() if need.need_mm > lathe.slide(need.handle).travel_mm + SAME_MM
        )


def setting_way_mm(setting: a.Setting, lathe: Lathe) -> Fraction:
    """Slide travel from the zero to a setting, without sign. [mm]"""
    dial = lathe.slide(setting.handle).dial
    if dial is None or setting.kind is not a.SettingKind.MARKS:
        return abs(setting.value_mm)
    return abs(setting.turns * dial.marks + setting.marks) * dial.travel_per_mark_mm


def travel_trouble(way: Way, lathe: Lathe, *, units: Units) -> NoWay | None:
    """Why a way is longer than the slide that carries it, or ``None``; what the writing adds is seen only then."""
    if not way.path:
        return None
    swung = way.swing is not None and way.swing.angle_deg > 0
    xs, zs = [p.radius_mm for p in way.path], [p.z_mm for p in way.path]
    if swung:
        need = TravelNeed(handle=Handle.TOP, step=way.step.id, need_mm=hypot(max(xs) - min(xs), max(zs) - min(zs)))
    else:
        need = TravelNeed(handle=Handle.CROSS, step=way.step.id, need_mm=max(xs) - min(xs))
    if need.need_mm <= lathe.slide(need.handle).travel_mm:
        return None
    return too_short(need, lathe, tried=way.tool.name if way.tool else "the slide", units=units)


def too_short(need: TravelNeed, lathe: Lathe, *, tried: str, units: Units) -> NoWay:
    """Trouble of a slide that cannot go far enough."""
    slide = lathe.slide(need.handle)
    asked = float(ceil(need.need_mm + ROOM_MM))
    return NoWay(
        step=need.step,
        code="travel-too-short",
        tried=tried,
        why=f"the {slide.handle.value} would go {said(need.need_mm, units, places=1)} from end to end and has "
        f"{said_short(slide.travel_mm, units)}",
        remedy=f"shift the tool in its holder so that {said_short(asked, units)} are enough, or measure the "
        "travel again",
        remedies=(FitSlide(slide=offers.with_travel(slide, travel_mm=asked)),),
    )
