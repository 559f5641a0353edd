"""Speeds and feeds that exist for a cut: of the gearbox, or bands that a hand can keep; which are unusual."""

from __future__ import annotations

from math import inf

from handwheel.data.materials import Material
from handwheel.data.speeds import SpeedRange
from handwheel.domain.acts import FeedKind
from handwheel.domain.habits import Habits
from handwheel.domain.lathe import SpindleSpeed
from handwheel.domain.motion import Handle
from handwheel.domain.said import said, said_cutting_speed, said_feed, said_short
from handwheel.domain.slides import Slide
from handwheel.physics.roughness import feed_for_mean_roughness_mm_rev
from handwheel.physics.speed import cutting_speed_m_min, turning_time_s
from handwheel.planner.cut_case import CutCase, Feed

HAND_FEED_SPREAD = 0.6
"""Low end of a hand-feed band as a share of its high end; how even a hand is: common practice, no source."""
HAND_LEAST_SPREAD = 0.9
"""A hand cannot be asked to feed within less than a tenth; common practice, no source."""
NOSE_SHARE = 0.8
"""Largest feed as a share of the nose radius; coarser ones leave a thread (common practice, no source)."""
MOST_RUN_MM_S = 2.0
"""Fastest that power feeds a tool towards an end that a hand must not miss: half a second late is a millimetre
(common practice, no source)."""
SLOWEST_SHARE = 0.5
"""Share of the table's low end below which a speed is unusual: slower, edges build up and surfaces tear; common
practice, no source."""
HAND_FEEDS_MM_REV = tuple(round(0.02 + 0.01 * i, 2) for i in range(29))
"""High ends of hand-feed bands that are tried. [mm/rev]"""
ROUND_OFF = 1.0 + 1e-9
"""What a float may be off by where two ways to reckon the same limit meet."""


def speed_is_allowed(speed: SpindleSpeed, case: CutCase, speeds: SpeedRange) -> bool:
    """Whether a spindle speed keeps the cutting speed of the table and the holding's limit."""
    surface = cutting_speed_m_min(speed.fastest_rpm, cut_dia_mm=case.large_dia_mm)
    return surface <= speeds.high_m_min and speed.fastest_rpm <= case.max_rpm


def feeds_at(speed: SpindleSpeed, case: CutCase, *, material: Material, habits: Habits) -> tuple[Feed, ...]:
    """Feeds that exist at a speed: of the gearbox, and bands that a hand can keep (handle turns in time)."""
    least = material.range("min_feed").most
    most = material.range("feed_finish" if case.equal_passes or case.width_mm else "feed_rough").most
    if case.roughness_um and case.tool.nose_radius_mm > 0:
        # a feed beyond the nose radius has no such ideal surface; the metal's least feed rules over a fine surface
        ideal = feed_for_mean_roughness_mm_rev(case.roughness_um, nose_radius_mm=case.tool.nose_radius_mm)
        most = max(least, min(most, ideal, case.tool.nose_radius_mm))
    found = [
        Feed(kind=FeedKind.POWER, low_mm_rev=feed.mm_rev, high_mm_rev=feed.mm_rev, position=feed.position)
        for feed in case.drive.power
        if least <= feed.mm_rev <= most
    ]
    if not found:
        found = [
            band
            for high in _hand_feeds_mm_rev(case.drive.slide, speed.rpm, habits, most_mm_rev=most)
            for band in (hand_band(high, speed.rpm, case.drive.slide, least_mm_rev=least, habits=habits),)
            if band is not None
        ]
    return tuple(found)


def _hand_feeds_mm_rev(slide: Slide, speed_rpm: float, habits: Habits, *, most_mm_rev: float) -> tuple[float, ...]:
    """High ends of the bands that a hand can wind: round figures, and what it feeds when it winds as fast as it can.

    With round figures alone the coarse feed of a slow spindle would seem quicker than the fine feed of a fast one, by
    no more than their rounding: the hand winds both as fast as it can.
    """
    fastest = _fastest_hand_feed_mm_rev(slide, speed_rpm, habits)
    top = min(most_mm_rev, fastest)
    rounds = tuple(high for high in HAND_FEEDS_MM_REV if high <= top * ROUND_OFF)
    if top < fastest or fastest > HAND_FEEDS_MM_REV[-1] or (rounds and rounds[-1] * ROUND_OFF >= fastest):
        return rounds
    return (*rounds, fastest)


def _fastest_hand_feed_mm_rev(slide: Slide, speed_rpm: float, habits: Habits) -> float:
    """What a hand feeds that winds a handle as fast as it can. [mm/rev]"""
    factor = habits.carriage_wheel_factor if slide.handle is Handle.CARRIAGE else 1.0
    pace = habits.hand_pace_fast_s * factor
    return 60.0 * slide.travel_per_turn_mm / (pace * speed_rpm) if pace > 0 else inf


def hand_band(
    high_mm_rev: float, speed_rpm: float, slide: Slide, *, least_mm_rev: float, habits: Habits
) -> Feed | None:
    """Band of hand feed below a feed, with its pace; ``None`` if a hand cannot keep it on this handle.

    The carriage's wheel is larger than a slide's crank, so one turn of it may take longer (`Habits`).
    """
    travel = slide.travel_per_turn_mm
    if travel <= 0:
        return None
    low = max(least_mm_rev, HAND_FEED_SPREAD * high_mm_rev)
    if low > high_mm_rev:
        return None
    factor = habits.carriage_wheel_factor if slide.handle is Handle.CARRIAGE else 1.0
    fast = 60.0 * travel / (high_mm_rev * speed_rpm)
    slow = 60.0 * travel / (low * speed_rpm)
    if fast * ROUND_OFF < habits.hand_pace_fast_s * factor or slow > habits.hand_pace_slow_s * factor:
        return None
    return Feed(kind=FeedKind.HAND, low_mm_rev=low, high_mm_rev=high_mm_rev, pace_fast_s=fast, pace_slow_s=slow)


def is_unusual(speed: SpindleSpeed, feed: Feed, case: CutCase, speeds: SpeedRange) -> bool:
    """Whether a person would rather not: too slow, too even for a hand, too coarse for the nose, too fast.

    Passes end in front of jaws, at a shoulder, at the centre: by power the hand must knock the feed off in time.
    """
    surface = cutting_speed_m_min(speed.rpm, cut_dia_mm=case.large_dia_mm)
    return (
        _is_tight(feed)
        or _is_coarse(feed, case)
        or _is_hasty(feed, speed)
        or surface < SLOWEST_SHARE * speeds.low_m_min
    )


def unusual_words(speed: SpindleSpeed, feed: Feed, case: CutCase, speeds: SpeedRange) -> str:
    """Why a person would rather not, in words; empty where nothing is unusual."""
    surface = cutting_speed_m_min(speed.rpm, cut_dia_mm=case.large_dia_mm)
    if surface < SLOWEST_SHARE * speeds.low_m_min:
        least = said_cutting_speed(speeds.low_m_min)
        return f"{said_cutting_speed(surface)} is far below the table's {least}: edges build up and surfaces tear"
    if _is_coarse(feed, case):
        nose = said_short(case.tool.nose_radius_mm, case.units)
        return f"{said_feed(feed.high_mm_rev, feed.high_mm_rev)} on a nose of {nose} leaves a thread"
    if _is_hasty(feed, speed):
        way = said(run_mm_s(feed, speed), case.units, places=1)
        return f"the feed runs {way} a second towards its end: the hand must not be late"
    return "no hand feeds so evenly" if _is_tight(feed) else ""


def _is_tight(feed: Feed) -> bool:
    return feed.kind is FeedKind.HAND and feed.low_mm_rev > HAND_LEAST_SPREAD * feed.high_mm_rev


def _is_coarse(feed: Feed, case: CutCase) -> bool:
    return not case.width_mm and feed.high_mm_rev > NOSE_SHARE * case.tool.nose_radius_mm > 0


def _is_hasty(feed: Feed, speed: SpindleSpeed) -> bool:
    return feed.kind is FeedKind.POWER and run_mm_s(feed, speed) > MOST_RUN_MM_S


def run_mm_s(feed: Feed, speed: SpindleSpeed) -> float:
    """How fast the tool goes along by a feed at a speed. [mm/s]"""
    return feed.high_mm_rev * speed.fastest_rpm / 60.0


def pass_time_s(case: CutCase, *, feed: Feed, speed: SpindleSpeed) -> float:
    """Time of one pass at the mean feed. [s]"""
    return turning_time_s(case.way_mm, feed_mm_rev=feed.mean_mm_rev, speed_rpm=speed.rpm)
