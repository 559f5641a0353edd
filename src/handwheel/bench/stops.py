"""Read off a sheet: each stop at which a size is measured, with all that the next act depends on."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from handwheel.bench.scales import StopScale, StopZero
from handwheel.bench.walk import MadeCut, MeasurePlace, walked
from handwheel.data.least_cuts import least_depth_mm, least_last_cut_mm
from handwheel.data.materials import Material, WorkHardening, material
from handwheel.domain import acts as a
from handwheel.domain.errors import ImpossiblePartError
from handwheel.domain.gauges import Gauge, GaugeUse
from handwheel.domain.motion import Motion, Turn
from handwheel.domain.part import BORE, Aspect, Part, SizedFeature
from handwheel.domain.plan import Sheet
from handwheel.domain.shop import Shop
from handwheel.domain.tools import Tool

PER_TRAVEL = {Aspect.DIAMETER: 2}
"""How much a reading changes for 1 mm that the tool goes square to the surface; 1 for what is not named here."""


class StopCut(Struct, frozen=True, kw_only=True):
    """One cut on the surface: its act, its depth as travel square to the surface [mm], the stop that reads it, if any.

    ``depth_mm`` counts what an earlier step left standing there too, so that a cut up to a shoulder may be deeper than
    the dial went on.
    """

    act: str
    depth_mm: float
    read_at: str = ""


class Following(Struct, frozen=True, kw_only=True):
    """What the sheet does with the size from one stop to the next one on it, or to its end.

    Parameters
    ----------
    collar : SetCollar, SetReadout or None
        The act that is set from this reading.
    cuts : tuple of StopCut
        Cuts of the surface that come next.
    first_setting : str
        Act that winds to the depth of the first of them; empty if there is none.
    beyond_steps : int
        How far beyond the zero of the collar that setting goes into the metal; 0 where it is set to the zero itself,
        less where it stays short of it. [steps of the scale]
    same_zero : bool
        Whether these count from the zero that lives at the stop, or from the collar set there: no new touch between.
    reamed : bool
        Whether a reamer goes through the hole next.
    rubbed_mm : float
        What is rubbed off the surface by hand. [mm]
    next_stop : str
        Next stop on the size; empty if none comes.
    """

    collar: a.SetCollar | a.SetReadout | None = None
    cuts: tuple[StopCut, ...] = ()
    first_setting: str = ""
    beyond_steps: int = 0
    same_zero: bool = False
    reamed: bool = False
    rubbed_mm: float = 0.0
    next_stop: str = ""


class Stop(Struct, frozen=True, kw_only=True):
    """A measuring act in its place on the sheet. Sizes are as read: a diameter, a width or a depth. [mm]

    Parameters
    ----------
    act, step, surface : str
        The measuring act, its step, what is measured.
    aspect : Aspect
        Diameter, width or depth.
    gauge : Gauge or None
        What it is measured with; ``None`` if the shop has nothing for it.
    grows : bool
        Whether readings grow as metal goes: of a bore, and of the depth of a shoulder.
    lower_mm, upper_mm, target_mm : float
        Limits and aim of the size when the tool has done its work, before finishing changes it; of a hole that is
        reamed later, what the reamer may be left.
    expected_mm, stop_low_mm, stop_high_mm : float
        Reading that the sheet expects and the band outside which it says stop.
    per_travel : int
        How much the reading changes for 1 mm of travel square to the surface: 2 for a diameter, else 1.
    scale : StopScale or None
        What sets the depth here; if no tool stands ready, that of the next cut on the surface; ``None`` if none comes.
    ready : bool
        Whether the work is still held, the tool that cut the surface still in the post and its zero alive: only then
        can it be cut again at once.
    zero : StopZero or None
        Zero of that scale, if it lives.
    set_at : Setting or None
        Where the scale stood for the last of the cuts, counted from that zero; ``None`` if it was not wound there.
    cuts : tuple of StopCut
        Cuts made on the surface by this tool from that zero.
    cooled_s, cutting_s : float
        Waiting to cool since the last cut of all; cutting since that last waiting, or since the work was gripped. [s]
    after : Following
        What the sheet does next with the size.
    final, last : bool
        Whether the finished size is judged here; whether no cut on the surface follows.
    in_hand : bool
        Whether the part is out of the lathe.
    tool : Tool or None
        Tool of the last cut on the surface.
    feed_low_mm_rev, feed_high_mm_rev : float
        Feed of that cut. [mm/rev]
    material : Material
        The metal.
    """

    act: str
    step: str
    surface: str
    aspect: Aspect
    gauge: Gauge | None
    grows: bool
    lower_mm: float
    upper_mm: float
    target_mm: float
    expected_mm: float
    stop_low_mm: float
    stop_high_mm: float
    per_travel: int
    scale: StopScale | None
    ready: bool
    zero: StopZero | None
    set_at: a.Setting | None
    cuts: tuple[StopCut, ...]
    cooled_s: float
    cutting_s: float
    after: Following
    final: bool
    last: bool
    in_hand: bool
    tool: Tool | None
    feed_low_mm_rev: float
    feed_high_mm_rev: float
    material: Material

    @property
    def use(self) -> GaugeUse:
        """What a gauge is used for here."""
        return gauge_use(self.aspect, grows=self.grows)

    @property
    def hardens(self) -> bool:
        """Whether the metal hardens where it is rubbed, so that no cut is repeated without depth."""
        return self.material.work_hardening is not WorkHardening.NONE

    @property
    def least_cut_mm(self) -> float:
        """Depth below which no last cut of this metal is set, as travel; 0 if the tables say nothing of it. [mm]"""
        return least_last_cut_mm(self.material)

    @property
    def least_depth_mm(self) -> float:
        """Depth below which this metal only rubs, as travel; 0 if the tables say nothing of it. [mm]"""
        return least_depth_mm(self.material)

    @property
    def expansion_per_k(self) -> tuple[float, float]:
        """Least and greatest growth of a length for each kelvin, as a share of it. [1/K]"""
        alpha = self.material.range("alpha")
        return alpha.least * 1e-6, alpha.most * 1e-6


def stops(sheet: Sheet, shop: Shop) -> tuple[Stop, ...]:
    """Each measuring act of a sheet as a stop, in order.

    Raises
    ------
    KeyError
        If the sheet names a tool or gauge that the shop does not have.
    ImpossiblePartError
        If it measures a size that the part does not have.
    """
    cuts, places = walked(sheet, shop)
    return tuple(_stop(sheet, shop, place, cuts) for place in places)


def _stop(sheet: Sheet, shop: Shop, place: MeasurePlace, cuts: Iterable[MadeCut]) -> Stop:
    act = place.act
    feature = _feature(sheet.part, act)
    aspect = feature.aspect
    lower, target, upper = _limits(sheet, place, feature)
    own = [one for one in cuts if one.act.surface == act.surface]
    before = [one for one in own if one.index < place.index]
    after = [one for one in own if one.index > place.index]
    made = before[-1] if before else None
    zero = made.zero if made is not None and made.zero is not None and made.zero.id in place.zeros else None
    ready = zero is not None and made is not None and made.tool == place.tool and not place.in_hand
    scales = ([made.scale] if ready and made is not None else []) + [one.scale for one in after[:1]]
    feed = made.feed if made is not None else None
    return Stop(
        act=act.id,
        step=act.step,
        surface=act.surface,
        aspect=aspect,
        gauge=shop.gauge(act.gauge) if act.gauge else None,
        grows=reading_grows(sheet.part, act.surface, aspect),
        lower_mm=lower,
        upper_mm=upper,
        target_mm=target,
        expected_mm=act.expected_mm,
        stop_low_mm=act.stop_low_mm,
        stop_high_mm=act.stop_high_mm,
        per_travel=PER_TRAVEL.get(aspect, 1),
        scale=scales[0] if scales else None,
        ready=ready,
        zero=zero if ready else None,
        set_at=_set_at(made, zero) if ready else None,
        cuts=_told(sheet, [one for one in before if ready and one.zero == zero]),
        cooled_s=place.cooled_s,
        cutting_s=place.cutting_s,
        after=_following(sheet, place, after, zero=zero),
        final=act.final,
        last=not after and not _reamed(sheet.acts[place.index :], act.surface),
        in_hand=place.in_hand,
        tool=shop.tool(made.tool) if made is not None and made.tool else None,
        feed_low_mm_rev=feed.low_mm_rev if feed is not None else 0.0,
        feed_high_mm_rev=feed.high_mm_rev if feed is not None else 0.0,
        material=material(sheet.part.material),
    )


def gauge_use(aspect: Aspect, *, grows: bool) -> GaugeUse:
    """What a gauge is used for at a size."""
    if aspect is Aspect.DIAMETER:
        return GaugeUse.BORE if grows else GaugeUse.OUTSIDE
    return GaugeUse.DEPTH if aspect is Aspect.DEPTH else GaugeUse.LENGTH


def reading_grows(part: Part, surface: str, aspect: Aspect) -> bool:
    """Whether the readings of a size grow as metal goes: of a bore, and of the depth of a shoulder."""
    is_bore = aspect is Aspect.DIAMETER and any(one.id == surface for one in part.inner.segments)
    return aspect is Aspect.DEPTH or is_bore


def _set_at(made: MadeCut | None, zero: StopZero | None) -> a.Setting | None:
    setting = None if made is None else made.set_at
    return setting if setting is not None and zero is not None and setting.zero == zero.id else None


def _limits(sheet: Sheet, place: MeasurePlace, feature: SizedFeature) -> tuple[float, float, float]:
    """Least size, aim and greatest size to cut to: the drawing's, or what the last stop before a reamer allows. [mm]"""
    reamed = next((i for i, act in enumerate(sheet.acts) if isinstance(act, a.ReamHole)), 0)
    if feature.surface == BORE and reamed > place.index:
        last = [one for one in sheet.acts[:reamed] if isinstance(one, a.Measure) and _same_size(one, place.act)][-1]
        return last.stop_low_mm, last.expected_mm, last.stop_high_mm
    return float(feature.size.cut_lower), float(feature.size.cut_target), float(feature.size.cut_upper)


def _feature(part: Part, act: a.Measure) -> SizedFeature:
    aspect = next((one for one in Aspect if one.value == act.aspect), None)
    found = part.feature(act.surface, aspect) if aspect is not None else None
    if found is None:
        msg = f"act {act.id}: measures {act.surface} {act.aspect}, and the part has no such size; check the sheet"
        raise ImpossiblePartError(msg)
    return found


def _same_size(act: a.Act, like: a.Measure) -> bool:
    return isinstance(act, a.Measure) and (act.surface, act.aspect) == (like.surface, like.aspect)


def _told(sheet: Sheet, cuts: Iterable[MadeCut]) -> tuple[StopCut, ...]:
    return tuple(StopCut(act=one.act.id, depth_mm=one.act.depth_mm, read_at=_read_at(sheet, one)) for one in cuts)


def _read_at(sheet: Sheet, cut: MadeCut) -> str:
    """Stop that reads a cut before the surface is cut again; empty if none does."""
    for act in sheet.acts[cut.index + 1 :]:
        if isinstance(act, a.Cut) and act.surface == cut.act.surface:
            return ""
        if isinstance(act, a.Measure) and act.surface == cut.act.surface:
            return act.id
    return ""


def _following(sheet: Sheet, place: MeasurePlace, cuts: Iterable[MadeCut], *, zero: StopZero | None) -> Following:
    rest = sheet.acts[place.index + 1 :]
    ends = next((i for i, act in enumerate(rest) if _same_size(act, place.act)), len(rest))
    between = rest[:ends]
    next_cuts = [one for one in cuts if one.index <= place.index + ends]
    rubbed = [act for act in between if isinstance(act, a.HandStep) and act.surface == place.act.surface]
    collar = _collar(between, place.act.surface, {one.act.id for one in next_cuts})
    alive = {one for one in (zero.id if zero is not None else "", collar.zero if collar is not None else "") if one}
    first = next_cuts[0] if next_cuts else None
    return Following(
        collar=collar,
        cuts=_told(sheet, next_cuts),
        first_setting=first.setting if first is not None else "",
        beyond_steps=_beyond_steps(first, collar) if first is not None else 0,
        same_zero=first is not None and first.zero is not None and first.zero.id in alive,
        reamed=_reamed(between, place.act.surface),
        rubbed_mm=sum(act.removes_mm for act in rubbed),
        next_stop=rest[ends].id if ends < len(rest) else "",
    )


def _beyond_steps(cut: MadeCut, collar: a.SetCollar | a.SetReadout | None) -> int:
    """Steps of its scale by which a cut is set beyond the zero of a collar, into the metal; 0 for another zero."""
    setting, scale = cut.set_at, cut.scale
    if setting is None or scale is None or collar is None or setting.zero != collar.zero:
        return 0
    if setting.kind is a.SettingKind.MARKS:
        clockwise = (setting.turns * scale.marks_per_turn + setting.marks) / scale.marks_per_step
        return round(clockwise if scale.turn is Turn.CLOCKWISE else -clockwise)
    inward = setting.value_mm / scale.step_mm
    return round(inward if scale.deeper in (Motion.IN, Motion.LEFT) else -inward)


def _collar(between: Iterable[a.Act], surface: str, cuts: set[str]) -> a.SetCollar | a.SetReadout | None:
    """Collar that is set from the reading, before the surface is cut again."""
    for act in between:
        if act.id in cuts:
            return None
        if isinstance(act, a.SetCollar | a.SetReadout) and act.surface == surface:
            return act
    return None


def _reamed(acts: Iterable[a.Act], surface: str) -> bool:
    return surface == BORE and any(isinstance(act, a.ReamHole) for act in acts)
