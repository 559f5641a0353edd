"""What a job did to each diameter, as moves of the filter: touches, cuts, waits, readings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from statistics import fmean

from msgspec import Struct
from msgspec.structs import replace

from handwheel.bench.approach import Approach
from handwheel.bench.at_stop import approach_at
from handwheel.bench.learning.scatter import Scatter, is_apart
from handwheel.bench.learning.worked import Worked
from handwheel.bench.scales import StopScale
from handwheel.bench.stops import Stop, stops
from handwheel.bench.tables import advised, marks_at
from handwheel.bench.walk import MadeCut, walked
from handwheel.domain import acts as a
from handwheel.domain.advice import AdviceTable, Do
from handwheel.domain.beliefs import Beliefs
from handwheel.domain.exact import Fraction
from handwheel.domain.motion import Handle, Turn
from handwheel.domain.part import BORE, Aspect
from handwheel.domain.plan import Sheet
from handwheel.domain.shop import Shop


class Fit(Struct, frozen=True, kw_only=True):
    """By which tool and which scale a surface is cut; ``swing`` counts how often the top slide was swung before."""

    tool: str
    handle: Handle
    swing: int
    edge: int
    scale: StopScale


class Touched(Struct, frozen=True, kw_only=True):
    """The tip touched the surface, or a feeler of so much on it; the scale was put to 0 there. [mm]"""

    act: str
    step: str
    fit: Fit
    approach: Approach
    feeler_mm: float = 0.0


class Counted(Struct, frozen=True, kw_only=True):
    """The scale was set to show 0 where it showed so much. [mm of travel]"""

    travel_mm: float


class Passed(Struct, frozen=True, kw_only=True):
    """A cut with the handle wound so far from its 0. [mm of travel]"""

    act: str
    fit: Fit
    approach: Approach
    travel_mm: float


class Waited(Struct, frozen=True, kw_only=True):
    """The work has cooled for a while. [s]"""

    seconds: float


class Heated(Struct, frozen=True, kw_only=True):
    """Something else was cut on the work, which is warm again."""


class Lost(Struct, frozen=True, kw_only=True):
    """Metal came off, or may have, and nobody knows how much."""


class Read(Struct, frozen=True, kw_only=True):
    """Readings of one stop, the spread of one reading, and whether one of them lies apart. [mm]"""

    act: str
    step: str
    gauge: str
    approach: Approach
    readings_mm: tuple[float, ...]
    spread_mm: float
    is_apart: bool


Move = Touched | Counted | Passed | Waited | Heated | Lost | Read


class Track(Struct, frozen=True, kw_only=True):
    """All that a job did to one diameter, in order."""

    surface: str
    moves: tuple[Move, ...]

    @property
    def reads(self) -> tuple[Read, ...]:
        """The readings among it."""
        return tuple(move for move in self.moves if isinstance(move, Read))


def tracks_of(
    sheet: Sheet, shop: Shop, beliefs: Beliefs, worked: Sequence[Worked], found: Mapping[str, Scatter]
) -> tuple[Track, ...]:
    """What was done to each diameter that was measured in the lathe, and what was read of it.

    Parameters
    ----------
    sheet : Sheet
        The sheet as planned.
    shop : Shop
        The shop as the plan took it.
    beliefs : Beliefs
        What was believed before.
    worked : sequence of Worked
        What was done, in order.
    found : mapping of Scatter
        How far the readings of each gauge scatter.
    """
    made = {cut.act.id: cut for cut in walked(sheet, shop)[0]}
    measured = [stop for stop in stops(sheet, shop) if stop.aspect is Aspect.DIAMETER and not stop.in_hand]
    surfaces = tuple(dict.fromkeys(stop.surface for stop in measured))
    tracks = []
    for surface in surfaces:
        own = [stop for stop in measured if stop.surface == surface]
        trail = _Trail(sheet, shop, beliefs, own, made, found)
        for one in worked:
            trail.go(one)
        tracks.append(Track(surface=surface, moves=tuple(trail.moves)))
    return tuple(track for track in tracks if track.reads)


class _Trail:
    """Goes through a job for one surface: which zero is alive, and where the handle stands, as far as that is known."""

    def __init__(
        self,
        sheet: Sheet,
        shop: Shop,
        beliefs: Beliefs,
        own: Sequence[Stop],
        made: Mapping[str, MadeCut],
        found: Mapping[str, Scatter],
    ) -> None:
        """Begin where nothing is cut yet."""
        self.moves: list[Move] = []
        self._shop, self._beliefs, self._made, self._found = shop, beliefs, made, found
        self._stops = {stop.act: stop for stop in own}
        self._surface, self._target_mm = own[0].surface, own[0].target_mm
        self._places = {act.id: place for place, act in enumerate(sheet.acts)}
        self._own_cuts = [cut for cut in made.values() if cut.act.surface == self._surface]
        self._senses = readout_senses(sheet, grows=own[0].grows)
        self._settings: dict[str, a.Setting] = {}
        self._touch: a.Touch | None = None
        self._zero = ""
        self._position_mm = 0.0
        self._swing = self._edge = 0
        self._fit: Fit | None = None

    def go(self, one: Worked) -> None:
        """Take in one act."""
        if one.lost:
            self._lose()
        if one.fresh_edge:
            self._edge += 1
            self._zero = ""
        act = one.act
        self._handled(act)
        match act:
            case a.Cut() if act.surface == self._surface:
                self._cut(act)
            case a.DrillHole() | a.ReamHole() if self._surface == BORE:
                self._lose()
            case a.Cut() | a.DrillHole() | a.ReamHole():
                self.moves.append(Heated())
            case a.HandStep() if act.surface == self._surface and act.removes_mm > 0.0:
                self._lose()
            case a.Cool():
                self.moves.append(Waited(seconds=act.seconds if one.seconds is None else one.seconds))
            case a.Measure() if act.id in self._stops:
                self._read(act, one)

    def _handled(self, act: a.Act) -> None:
        """What an act does to the zeros and to where the handles stand."""
        match act:
            case a.FitTool() | a.Approach() | a.LoadBar() | a.Regrip() | a.PartOff():
                self._zero = ""
            case a.SwingSlide():
                self._swing += 1
                self._zero = ""
            case a.Touch():
                self._touch = act
            case a.SetZero():
                self._touched(act)
            case a.Move():
                self._wound(act)
            case a.SetCollar() | a.SetReadout() if act.surface == self._surface:
                self._set_from_reading(act)

    def _wound(self, act: a.Move) -> None:
        """A handle was wound, perhaps for another surface that counts from the same zero."""
        self._settings[act.id] = act.setting
        if self._fit is not None and act.setting.zero == self._zero:
            self._position_mm = self._travel_mm(act.setting, self._fit.scale) or 0.0

    def _lose(self) -> None:
        self.moves.append(Lost())
        self._zero = ""

    def _touched(self, act: a.SetZero) -> None:
        """A zero by touch, if the tool that touched is one that cuts the surface by that handle."""
        touch = self._touch
        if touch is None or touch.handle is not act.handle or act.surface != self._surface:
            return
        cut = self._cut_from(act.zero)
        stop = None if cut is None else self._stop_after(cut.act.id)
        fit = None if cut is None else self._fit_of(cut)
        if cut is None or stop is None or fit is None:
            return
        self._zero, self._position_mm = act.zero, 0.0
        approach = self._approach(stop, fit)
        self.moves.append(Touched(act=touch.id, step=touch.step, fit=fit, approach=approach, feeler_mm=touch.feeler_mm))

    def _cut_from(self, zero: str) -> MadeCut | None:
        return next((cut for cut in self._own_cuts if cut.set_at is not None and cut.set_at.zero == zero), None)

    def _fit_of(self, cut: MadeCut) -> Fit | None:
        if cut.scale is None or not cut.tool:
            return None
        swing = self._swing if cut.scale.is_fine else 0
        return Fit(tool=cut.tool, handle=cut.scale.handle, swing=swing, edge=self._edge, scale=cut.scale)

    def _stop_after(self, act: str) -> Stop | None:
        place = self._places[act]
        return next((stop for stop in self._stops.values() if self._places[stop.act] > place), None)

    def _approach(self, stop: Stop, fit: Fit) -> Approach:
        """The size of a stop by tool and scale of a cut before it, counted to one target all through the job."""
        seen = replace(stop, scale=fit.scale, tool=self._shop.tool(fit.tool))
        return replace(approach_at(seen, self._shop, beliefs=self._beliefs), target_mm=self._target_mm)

    def _set_from_reading(self, act: a.SetCollar | a.SetReadout) -> None:
        fit = self._fit
        if not self._zero or fit is None or act.handle is not fit.handle:
            self._zero = ""
            return
        shown = (
            _marks_mm(act.turns, act.marks, fit.scale)
            if isinstance(act, a.SetCollar)
            else self._value_mm(act.value_mm, act.zero, fit.scale)
        )
        if shown is None:
            self._zero = ""
            return
        self.moves.append(Counted(travel_mm=self._position_mm - shown))
        self._zero, self._position_mm = act.zero, shown

    def _cut(self, act: a.Cut) -> None:
        cut = self._made[act.id]
        setting = self._settings.get(cut.setting)
        fit, stop = self._fit_of(cut), self._stop_after(act.id)
        travel = None if setting is None or fit is None else self._travel_mm(setting, fit.scale)
        if setting is None or fit is None or travel is None or not self._zero or setting.zero != self._zero:
            self._lose()
            return
        self._fit, self._position_mm = fit, travel
        if stop is not None:
            self.moves.append(Passed(act=act.id, fit=fit, approach=self._approach(stop, fit), travel_mm=travel))

    def _travel_mm(self, setting: a.Setting, scale: StopScale) -> float | None:
        """How far from its 0 a scale is wound, into the metal, as travel square to the surface. [mm]"""
        if setting.kind is a.SettingKind.MARKS:
            return _marks_mm(setting.turns, setting.marks, scale)
        return self._value_mm(setting.value_mm, setting.zero, scale)

    def _value_mm(self, value_mm: Fraction, zero: str, scale: StopScale) -> float | None:
        sense = self._senses.get(zero)
        return None if sense is None else sense * float(value_mm) * scale.square

    def _read(self, act: a.Measure, one: Worked) -> None:
        scatter = self._found.get(one.gauge)
        if one.readings_mm and scatter is not None:
            stop = replace(self._stops[act.id], gauge=self._shop.gauge(one.gauge))
            approach = replace(approach_at(stop, self._shop, beliefs=self._beliefs), target_mm=self._target_mm)
            self.moves.append(
                Read(
                    act=act.id,
                    step=act.step,
                    gauge=one.gauge,
                    approach=approach,
                    readings_mm=one.readings_mm,
                    spread_mm=scatter.spread_mm,
                    is_apart=is_apart(one, self._found),
                )
            )
        if one.again:
            self._by_table(act.table, one)

    def _by_table(self, table: AdviceTable | None, one: Worked) -> None:
        """What the row for the readings says to do before the stop is read anew."""
        mean = fmean(one.readings_mm) if one.readings_mm else None
        row = None if table is None or mean is None else advised(table, mean)
        if row is None or mean is None or row.do is Do.READ_AGAIN:
            return
        if row.do is Do.COOL:
            self.moves.append(Waited(seconds=row.seconds))
            return
        marks = marks_at(row, mean) if row.do is Do.CUT_AGAIN else None
        last = next((move for move in reversed(self.moves) if isinstance(move, Passed)), None)
        if marks is None or last is None or not self._zero:
            self._lose()
            return
        self._position_mm += float(marks) * last.fit.scale.travel_per_mark_mm
        self.moves.append(replace(last, act=one.act.id, travel_mm=self._position_mm))


def _marks_mm(turns: int, marks: Fraction, scale: StopScale) -> float | None:
    """Where a dial stands from its 0, into the metal; nothing if the scale is no dial. [mm of travel]"""
    if not scale.marks_per_turn:
        return None
    sense = 1 if scale.turn is Turn.CLOCKWISE else -1
    return float(sense * (turns * scale.marks_per_turn + marks)) * scale.travel_per_mark_mm


def readout_senses(sheet: Sheet, *, grows: bool) -> dict[str, int]:
    """Whether a figure above 0 stands deeper in the metal (1) or short of it (-1), for the zero of each readout.

    Read off the planned settings: which side of what 0 stands for the size lies that they lead to.
    """
    stands_for: dict[str, float] = {}
    senses: dict[str, int] = {}
    for act in sheet.acts:
        if isinstance(act, a.SetZero):
            stands_for[act.zero] = act.stands_for_mm
        elif isinstance(act, a.SetReadout):
            stands_for[act.zero] = act.zero_dia_mm
            if act.value_mm:
                senses.setdefault(act.zero, -1 if act.value_mm > 0 else 1)
        elif isinstance(act, a.Move) and act.setting.kind is a.SettingKind.READOUT and act.setting.value_mm:
            zero = act.setting.zero
            if zero in stands_for:
                deeper = (act.setting.expected_mm > stands_for[zero]) is grows
                senses.setdefault(zero, 1 if deeper is (act.setting.value_mm > 0) else -1)
    return senses
