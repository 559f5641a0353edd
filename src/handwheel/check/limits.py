"""Limits that the tables and the shop set to a cut: speeds, feeds, paces, least depth; each looked up anew here."""

from __future__ import annotations

from msgspec import Struct

from handwheel.check.dial import Fault
from handwheel.check.report import RefusalCode
from handwheel.data.materials import Material, WorkHardening
from handwheel.data.speeds import CutKind, cutting_speed
from handwheel.domain.acts import FeedKind, SetFeed, SetSpeed
from handwheel.domain.errors import DataTableError
from handwheel.domain.habits import Habits
from handwheel.domain.holding import Holding
from handwheel.domain.lathe import Lathe, PowerFeed
from handwheel.domain.motion import Edge, Handle
from handwheel.domain.shop import Shop
from handwheel.domain.slides import Slide
from handwheel.domain.tools import ToolKind
from handwheel.physics.speed import cutting_speed_m_min

FINISH_DEPTH_MM = 1.0
"""Deepest cut that the tables' finishing speeds are given for (FERROUS_DATA: depth 1.0 mm)."""
FINISH_FEED_MM_REV = 0.18
"""Coarsest feed that the tables' finishing speeds are given for (FERROUS_DATA: feed 0.18 mm)."""
SPEED_SLACK = 1.005
"""Share by which a speed may pass its limit before it is refused: printed figures are rounded."""
PACE_SHARE = 0.10
"""Share by which a printed hand pace may differ from the feed it stands for; common practice, no source."""
PACE_ROUNDING = 1.001
"""Share by which a printed pace may pass the habits: figures are rounded."""

_KINDS = {ToolKind.PARTING: CutKind.PART, ToolKind.GROOVING: CutKind.PART, ToolKind.BORING: CutKind.BORE}


class CutFacts(Struct, frozen=True, kw_only=True):
    """What a cut is, as far as the limits go. Depth as the metal met, largest diameter cut. [mm]"""

    kind: ToolKind
    edge: Edge
    is_edge: bool
    depth_mm: float
    largest_dia_mm: float


def cut_kind(facts: CutFacts, feed: SetFeed | None) -> CutKind:
    """Row of the tables that a cut falls under: light cuts at a fine feed may run at finishing speed."""
    if facts.kind in _KINDS:
        return _KINDS[facts.kind]
    light = feed is not None and facts.depth_mm <= FINISH_DEPTH_MM and feed.high_mm_rev <= FINISH_FEED_MM_REV
    return CutKind.FINISH if light else CutKind.ROUGH


def metal_speed_fault(
    material: Material, *, edge: Edge, cut: CutKind, speed_rpm: float, cut_dia_mm: float
) -> Fault | None:
    """Refuse a surface speed above the upper end of the tables for this metal, edge and kind of cut."""
    try:
        limit = cutting_speed(material, edge=edge, cut=cut)
    except DataTableError as error:
        return RefusalCode.NO_SPEED_DATA, f"speed cannot be judged: {error}"
    if cut_dia_mm <= 0:
        return None
    speed_m_min = cutting_speed_m_min(speed_rpm, cut_dia_mm=cut_dia_mm)
    if speed_m_min <= limit.high_m_min * SPEED_SLACK:
        return None
    text = (
        f"{speed_rpm:g} rev/min on {cut_dia_mm:.2f} mm diameter is {speed_m_min:.1f} m/min; {material.name} "
        "bears at most "
        f"{limit.high_m_min:.1f} m/min ({cut.value}, {edge.value}): the edge burns; set a slower speed"
    )
    return RefusalCode.SPEED_ABOVE_METAL, text


def holding_speed_limit_rpm(shop: Shop, holding: Holding) -> float:
    """Highest speed that chuck, holding and the shop's means all bear; collets take the chuck's place. [rev/min]"""
    means = [means.max_rpm for means in shop.holdings if means.id == holding.id]
    chucked = [] if holding.kind == "collet" and means else [shop.lathe.chuck.max_rpm]
    return min(holding.max_rpm, *chucked, *means)


def listed_speed_fault(lathe: Lathe, act: SetSpeed) -> Fault | None:
    """Refuse a speed that this spindle does not have, at this belt or lever position."""
    for speed in lathe.speeds:
        if speed.rpm == act.rpm and speed.position == act.position:
            return None
    text = (
        f"{act.rpm:g} rev/min at {act.position!r} is not in the list of {lathe.name!r}; "
        f"it has {', '.join(f'{speed.rpm:g}' for speed in lathe.speeds)}"
    )
    return RefusalCode.SPEED_NOT_LISTED, text


def fastest_rpm(lathe: Lathe, act: SetSpeed) -> float:
    """The most that a set speed can really be: one worked out from pulleys is only about right. [rev/min]"""
    ranges = [speed.high_rpm for speed in lathe.speeds if (speed.rpm, speed.position) == (act.rpm, act.position)]
    return max(act.rpm, *ranges) if ranges else act.rpm


def listed_feed_fault(lathe: Lathe, act: SetFeed) -> Fault | None:
    """Refuse a power feed that this gearbox does not have for this slide."""
    feeds: tuple[PowerFeed, ...] = ()
    if act.handle is Handle.CARRIAGE:
        feeds = lathe.feeds_along
    elif act.handle is Handle.CROSS:
        feeds = lathe.feeds_across
    listed = any(feed.mm_rev == act.low_mm_rev and feed.position == act.position for feed in feeds)
    if listed and act.low_mm_rev == act.high_mm_rev:
        return None
    if not feeds:
        return RefusalCode.FEED_NOT_LISTED, f"{act.handle.value}: this lathe does not drive it; feed it by hand"
    known = ", ".join(f"{feed.mm_rev:g} mm/rev" for feed in feeds)
    text = (
        f"{act.handle.value}: {act.low_mm_rev:g} mm/rev at {act.position!r} is not in its list; choose one of {known}"
    )
    return RefusalCode.FEED_NOT_LISTED, text


def pace_fault(habits: Habits, act: SetFeed) -> Fault | None:
    """Refuse a hand feed that no hand keeps: no band, no pace, or a pace outside the habits."""
    if not 0 < act.low_mm_rev <= act.high_mm_rev:
        text = (
            f"{act.handle.value}: a hand feed of {act.low_mm_rev:g} to {act.high_mm_rev:g} mm/rev is no band; "
            "give both ends, the finer first"
        )
        return RefusalCode.PACE_NOT_KEPT, text
    # the carriage's wheel is larger: the same hand takes longer for a turn
    share = habits.carriage_wheel_factor if act.handle is Handle.CARRIAGE else 1.0
    fastest_s, slowest_s = habits.hand_pace_fast_s * share, habits.hand_pace_slow_s * share
    if fastest_s <= act.pace_fast_s * PACE_ROUNDING and act.pace_fast_s <= act.pace_slow_s <= slowest_s * PACE_ROUNDING:
        return None
    text = (
        f"{act.handle.value}: a turn in {act.pace_fast_s:g} to {act.pace_slow_s:g} s; this hand keeps "
        f"{fastest_s:g} to {slowest_s:g} s a turn even: change speed or feed"
    )
    return RefusalCode.PACE_NOT_KEPT, text


def pace_feed_fault(slide: Slide, feed: SetFeed, *, speed_rpm: float) -> Fault | None:
    """Refuse a pace that does not give the printed feed at the speed that runs; an unmeasured wheel is not judged."""
    if feed.kind is FeedKind.POWER or slide.travel_per_turn_mm <= 0:
        return None
    turn_mm_rev = slide.travel_per_turn_mm * 60.0 / speed_rpm
    for pace_s, feed_mm_rev in ((feed.pace_fast_s, feed.high_mm_rev), (feed.pace_slow_s, feed.low_mm_rev)):
        given_mm_rev = turn_mm_rev / pace_s if pace_s > 0 else 0.0
        if abs(given_mm_rev - feed_mm_rev) > PACE_SHARE * feed_mm_rev:
            text = (
                f"{feed.handle.value}: a turn in {pace_s:g} s at {speed_rpm:g} rev/min feeds {given_mm_rev:.3f} mm/rev "
                f"and the sheet says {feed_mm_rev:.3f}; set speed, pace and feed to agree"
            )
            return RefusalCode.PACE_NOT_KEPT, text
    return None


def hardens(material: Material) -> bool:
    """Whether rubbing hardens this metal's skin."""
    return material.work_hardening is not WorkHardening.NONE


def least_feed_fault(material: Material, feed: SetFeed) -> Fault | None:
    """Refuse a feed below the least of a metal that hardens under a rubbing edge."""
    least = material.find("min_feed") if hardens(material) else None
    if least is None or feed.low_mm_rev >= least.least * (1.0 - 1e-9):
        return None
    text = (
        f"{feed.low_mm_rev:g} mm/rev in {material.name} rubs and hardens the skin; "
        f"feed at least {least.least:g} mm/rev ({least.standing.value})"
    )
    return RefusalCode.FEED_TOO_FINE, text


def least_depth_fault(material: Material, facts: CutFacts) -> Fault | None:
    """Refuse a whisper of a turning or boring cut: the edge rubs; edges are narrow and not judged."""
    least = material.find("min_depth")
    judged = facts.kind in (ToolKind.TURNING, ToolKind.BORING) and not facts.is_edge
    if least is None or not judged or facts.depth_mm >= least.least - 1e-3:
        return None
    text = (
        f"{facts.depth_mm:.3f} mm deep in {material.name} rubs{' and hardens the skin' * hardens(material)}; "
        f"cut at least {least.least:g} mm ({least.standing.value}), or leave it"
    )
    return RefusalCode.CUT_TOO_SHALLOW, text
