"""Why a cut is as deep, as long and as fast as it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from handwheel.domain.acts import Cut, DrillHole, FeedKind, ReamHole, SetFeed, SetSpeed
from handwheel.domain.said import said_cutting_speed
from handwheel.report.numbers import duration_text, exact_text, trimmed, trimmed_band
from handwheel.report.setup_text import feed_pieces, speed_said
from handwheel.report.why.look import Look, Word, joined
from handwheel.report.why.positions import why_setting
from handwheel.report.winding_text import length_text
from handwheel.report.words import HANDLE_WORDS

if TYPE_CHECKING:
    from collections.abc import Iterator

    from handwheel.domain.findings import Reason

DEPTH_AND_FEED = "depth and feed"
SPINDLE_SPEED = "spindle speed"


def why_speed(act: SetSpeed, look: Look) -> Iterator[Reason]:
    """Which speed of the lathe's list, and what the tool then sees."""
    yield from look.handed_down(look.of_step(SPINDLE_SPEED), str(speed_said(act, look.shop)))
    yield look.why(
        "surface speed",
        f"{said_cutting_speed(act.cutting_speed_m_min)} at {look.lengths.dia(act.cut_dia_mm)}",
        "v = pi d n / 1000, at the largest diameter that is cut at this speed",
        f"n = {exact_text(act.rpm)} rev/min",
    )


def why_feed(act: SetFeed, look: Look) -> Iterator[Reason]:
    """Which feed of the gearbox, or how fast a hand has to wind."""
    yield from look.handed_down(look.of_step(DEPTH_AND_FEED), joined((feed_pieces(act),)))
    if act.kind is FeedKind.POWER:
        return
    speed = look.scene.before.speed
    slide = look.shop.lathe.slide(act.handle)
    travel = slide.travel_per_turn_mm
    if speed is None or not travel:
        return
    fast_s, slow_s = (60.0 * travel / (feed * speed.rpm) for feed in (act.high_mm_rev, act.low_mm_rev))
    paces = trimmed_band(fast_s, slow_s, places=1)
    yield look.why(
        "pace of the hand",
        f"one turn in {paces} s",
        "t = 60 p / (f n): a turn of the handle moves the slide by p",
        f"p = {look.fine.both(travel)}, the {HANDLE_WORDS[act.handle]}",
        f"n = {exact_text(speed.rpm)} rev/min",
        f"a hand keeps {trimmed(look.shop.habits.hand_pace_fast_s, places=1)} to "
        f"{trimmed(look.shop.habits.hand_pace_slow_s, places=1)} s for a turn of a small crank (habits of the shop)",
        spread=(act.pace_fast_s, act.pace_slow_s),
        unit="s",
    )


def why_cut(act: Cut, look: Look) -> Iterator[Reason]:
    """Where a cut ends, how deep and long it is, how long it takes."""
    if act.to is not None:
        yield from why_setting(act.to, look)
    own = look.of_step(DEPTH_AND_FEED)
    depth = look.lengths.both(act.depth_mm)
    yield look.why(
        "depth",
        depth,
        "what the setting before this cut leaves to come off, square to the surface; how deep a pass is: see the feed",
        *(() if own is None else (own.value,)),
        binds="" if own is None else own.binds,
    )
    yield look.why(
        "length of the cut",
        length_text(act.length_mm, look.lengths),
        "way of the slide from where the tool stands to where the cut ends, with what it runs in and over",
    )
    yield from _time(act, act.length_mm, look)


def _time(act: Cut | DrillHole | ReamHole, length_mm: float, look: Look) -> Iterator[Reason]:
    speed, feed = look.scene.before.speed, look.scene.before.feed
    if not act.seconds or speed is None or feed is None:
        return
    seconds = [60.0 * length_mm / (one * speed.rpm) for one in (feed.high_mm_rev, feed.low_mm_rev)]
    pecks = isinstance(act, DrillHole)
    yield look.why(
        "time",
        f"about {duration_text(act.seconds)}",
        "t = 60 L / (f n), in the middle of the feeds"
        + ("; less of the point's way where a hole is opened out; drawing out comes on top" * pecks),
        f"n = {exact_text(speed.rpm)} rev/min",
        f"f = {feed_pieces(feed)[-1]}",
        spread=(min(seconds[0], act.seconds), max(seconds[1], act.seconds)),
        unit="s",
    )


def why_drill(act: DrillHole, look: Look) -> Iterator[Reason]:
    """How deep to drill, and how often to draw out."""
    yield from why_setting(act.setting, look)
    drill = look.scene.before.drill
    point = None if drill is None else getattr(drill, "drill", None)
    dia = look.shop.drill(point).dia_mm if point else None
    dia_words = () if dia is None else (f"drill {look.lengths.dia(dia)}",)
    yield look.why(
        "point beyond",
        look.lengths.rough(act.point_mm),
        "height of the drill's cone: half its diameter / tan of half the point angle (a centre drill: pilot and cone)",
        *dia_words,
    )
    yield look.why(
        "draw out every",
        look.lengths.rough(act.peck_mm),
        "one diameter of the drill between withdrawals",
        *dia_words,
        word=Word.PRACTICE,
    )
    yield from _time(act, abs(float(act.setting.expected_mm)) + act.point_mm, look)


def why_ream(act: ReamHole, look: Look) -> Iterator[Reason]:
    """How far to ream."""
    yield from why_setting(act.setting, look)
    yield look.why(
        "lead beyond",
        look.lengths.rough(act.lead_mm),
        "length of the reamer's tapered lead, which must be through",
        word=Word.SHOP_FILE,
    )
    yield from _time(act, abs(float(act.setting.expected_mm)) + act.lead_mm, look)
