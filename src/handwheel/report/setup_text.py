"""Words for the acts that make the lathe ready: bar, tool, speed, feed, slides, the other side."""

from __future__ import annotations

from math import ceil

from handwheel.bench.scales import check_step_mm
from handwheel.domain.acts import (
    FeedKind,
    FitDrill,
    FitReamer,
    FitTool,
    LoadBar,
    Lock,
    PartOff,
    Regrip,
    SetFeed,
    SetSpeed,
    StartSpindle,
    StopSpindle,
    SwingSlide,
    Unlock,
)
from handwheel.domain.bars import Bar, BarShape
from handwheel.domain.exact import Fraction
from handwheel.domain.holding import Holding
from handwheel.domain.said import said_cutting_speed, said_feed
from handwheel.domain.shop import Shop
from handwheel.domain.tools import ToolKind
from handwheel.report.numbers import (
    Lengths,
    exact_text,
    listed_text,
    trimmed,
    trimmed_band,
)
from handwheel.report.pieces import ActText, Line, Said, Weight
from handwheel.report.setting_text import Scene
from handwheel.report.words import HANDLE_WORDS, MOTION_WORDS, counted, plain, surface_words

WORTH_A_WORD_MM = 0.001
"""Lobes below this are not mentioned: no gauge of a small shop finds them. [mm]"""

ALONG_THE_BED = (ToolKind.BORING, ToolKind.EDGE_INSIDE, ToolKind.FORM_INSIDE)
"""Tools that stand out of the post to the left, towards the work."""
POST_ROOM_MM = 20.0
"""Room between a tool that is being clamped and the work, beyond what stands out; common practice, no source."""
POST_BESIDE_MM = 40.0
"""The same between post and face for a tool that stands out across the bed; common practice, no source."""

HARDLY_A_MARK = Fraction(1, 1000)
"""A check travel given in floats is whole marks if it misses them by less than this. [marks]"""


def load_text(act: LoadBar, scene: Scene) -> ActText:
    """How the bar is gripped."""
    bar = scene.shop.bar(act.bar)
    long = scene.lengths.rough
    return ActText(
        verb="load",
        lines=(
            (f"bar {act.bar}: {bar_size_text(bar, scene.lengths)}", f"in the {means_name(act.holding, scene.shop)}"),
            (
                Said(
                    weight=Weight.SETTING,
                    before="stick-out ",
                    text=long(act.stick_out_mm),
                    after=f" from {front_of(scene.shop)} to the raw end",
                ),
            ),
            (f"grip {long(act.grip_length_mm)}", f"piece {long(act.bar_length_mm)} long"),
            (f"{scene.lengths.both(act.face_stock_mm)} of that will be faced off",),
            (f"far end: {act.tail.value}", *top_speed_text(act.holding, scene.shop)),
        ),
    )


def front_of(shop: Shop) -> str:
    """What the bar stands out from."""
    return "the face of the closing nut" if shop.lathe.chuck.collets else "the jaws"


def bar_size_text(bar: Bar, lengths: Lengths) -> str:
    """Size of a bar: its diameter; of a hexagon across its flats; of a tube with its bore."""
    dia = lengths.dia(bar.dia_mm)
    if bar.shape is BarShape.HEXAGON:
        return f"hexagon, {dia} across flats"
    if bar.shape is BarShape.TUBE:
        return f"tube, {dia}, bore {lengths.dia(bar.bore_mm)}"
    return dia


def post_room_text(act: FitTool, scene: Scene) -> str:
    """Where the toolpost stands before a tool goes into it: what will stand out, and more, clear of the work."""
    out = scene.before.tailstock
    along = scene.shop.tool(act.tool).kind in ALONG_THE_BED
    room = ceil(act.stands_out_mm + POST_ROOM_MM if along or out else POST_BESIDE_MM)
    way = "cross-slide out" if out else "carriage right"
    return f"first {way}: post {scene.lengths.rough(room)} or more off the {'work' if out else 'face'}"


def fit_tool_text(act: FitTool, scene: Scene) -> ActText:
    """Which tool to clamp, and how."""
    name = scene.shop.tool(act.tool).name
    stands_out = Said(weight=Weight.WAY, before="stands out ", text=scene.lengths.rough(act.stands_out_mm))
    return ActText(
        verb="fit",
        lines=(
            (f"tool {act.tool}: {name}",),
            (post_room_text(act, scene),),
            (stands_out, "edge on centre height"),
        ),
    )


def fit_drill_text(act: FitDrill, scene: Scene) -> ActText:
    """Which drill goes into the tailstock."""
    drill = scene.shop.drill(act.drill)
    lips = ", lips dubbed" if drill.dubbed else ""
    return ActText(
        verb="fit",
        lines=((f"drill {act.drill}: {drill.kind.value} {scene.lengths.dia(drill.dia_mm)}{lips}", "in the tailstock"),),
    )


def fit_reamer_text(act: FitReamer, scene: Scene) -> ActText:
    """Which reamer goes into the tailstock."""
    reamer = scene.shop.reamer(act.reamer)
    return ActText(
        verb="fit",
        lines=((f"reamer {act.reamer}: {reamer.kind.value} {scene.lengths.dia(reamer.dia_mm)}", "in the tailstock"),),
    )


def set_speed_text(act: SetSpeed, scene: Scene) -> ActText:
    """Speed to set, with the surface speed that it gives."""
    return ActText(
        verb="speed",
        lines=(
            (speed_said(act, scene.shop),),
            (f"{said_cutting_speed(act.cutting_speed_m_min)} at {scene.lengths.dia(act.cut_dia_mm)}",),
        ),
    )


def tool_text(act: FitTool | FitDrill | FitReamer, shop: Shop) -> str:
    """Name of the tool, drill or reamer that is fitted."""
    if isinstance(act, FitTool):
        return f"{act.tool}: {shop.tool(act.tool).name}"
    if isinstance(act, FitReamer):
        return f"{act.reamer}: {shop.reamer(act.reamer).kind.value}"
    return f"{act.drill}: {shop.drill(act.drill).kind.value}"


def speed_said(act: SetSpeed, shop: Shop) -> Said:
    """Speed of the lathe's own list, and how to get it; one worked out from pulleys is only about right."""
    where = f": {plain(act.position)}" if act.position else ""
    about = "about " if _is_computed(act, shop) else ""
    return Said(weight=Weight.SETTING, before=about, text=f"{listed_text(act.rpm)} rev/min", after=where)


def _is_computed(act: SetSpeed, shop: Shop) -> bool:
    return any(
        speed.is_computed for speed in shop.lathe.speeds if (speed.rpm, speed.position) == (act.rpm, act.position)
    )


def set_feed_text(act: SetFeed, scene: Scene) -> ActText:
    """Feed to set, or the pace to wind at."""
    del scene
    pieces = feed_pieces(act)
    return ActText(verb="feed", lines=((pieces[0],), pieces[1:]))


def feed_pieces(act: SetFeed) -> Line:
    """Feed by gearbox or by hand, and how to get it or keep it."""
    feed = said_feed(act.low_mm_rev, act.high_mm_rev)
    if act.kind is FeedKind.POWER:
        where = f": {plain(act.position)}" if act.position else ""
        before = f"power, {HANDLE_WORDS[act.handle]}, "
        return (Said(weight=Weight.SETTING, before=before, text=feed, after=where),)
    band = trimmed_band(act.pace_fast_s, act.pace_slow_s, places=1)
    pace = band if " to " in band else f"about {band}"
    before = f"by hand, {HANDLE_WORDS[act.handle]}: one turn in "
    return (Said(weight=Weight.SETTING, before=before, text=f"{pace} s"), feed)


def start_text(act: StartSpindle, scene: Scene) -> ActText:
    """Start of the spindle."""
    del scene
    return ActText(verb="start", lines=((f"spindle {'REVERSE' if act.reverse else 'forward'}",),))


def stop_text(act: StopSpindle, scene: Scene) -> ActText:
    """Stop of the spindle."""
    del act, scene
    return ActText(verb="stop", lines=(("spindle; wait until it stands",),))


def lock_text(act: Lock, scene: Scene) -> ActText:
    """Slide to lock."""
    del scene
    return ActText(verb="lock", lines=((HANDLE_WORDS[act.handle],),))


def unlock_text(act: Unlock, scene: Scene) -> ActText:
    """Slide to free."""
    del scene
    return ActText(verb="free", lines=((HANDLE_WORDS[act.handle],),))


def swing_text(act: SwingSlide, scene: Scene) -> ActText:
    """Angle of the top slide, by every way of counting it."""
    angle = act.angle_deg
    moves = MOTION_WORDS[act.leftward]
    setting = Said(weight=Weight.SETTING, before="SCALE ", text=f"{exact_text(act.scale_deg)}°", after=" on this lathe")
    goes = f"wound left, the tool also goes {moves}" if angle else "parallel to the bed"
    return ActText(
        verb="swing",
        lines=(
            ("top slide", goes),
            *_tool_clear(scene),
            (setting, f"± {trimmed(act.error_deg, places=2)}°"),
            (f"{exact_text(angle)}° from the lathe's axis", f"{exact_text(90 - angle)}° from the cross-slide"),
            *check_move(act, scene),
            ("all zeros are gone: cross-slide, top slide, carriage",),
        ),
    )


def _tool_clear(scene: Scene) -> tuple[Line, ...]:
    """Where a tool in the post goes before the slide under it is swung."""
    if scene.before.tool is None:
        return ()
    way = "cross-slide out" if scene.before.tailstock else "carriage right"
    return ((f"first {way}: tool {scene.lengths.rough(POST_ROOM_MM)} or more off the work",),)


def check_move(act: SwingSlide, scene: Scene) -> tuple[Line, ...]:
    """Say how to check the angle: wind so far, and the tip must move so far across, to an indicator's step."""
    wound = scene.lengths.both(act.check_travel_mm)
    dial = scene.shop.lathe.top.dial
    if dial is not None:
        marks = Fraction(act.check_travel_mm) / dial.travel_per_mark_mm
        if abs(marks - round(marks)) < HARDLY_A_MARK:
            turns, rest = divmod(round(marks), dial.marks)
            wound = f"{counted(turns, 'turn')} + {counted(rest, 'mark')}, {wound}"
    across = scene.lengths.both(act.check_across_mm)
    step_mm = check_step_mm(scene.shop)
    within = () if step_mm is None else (f"± {scene.lengths.micro(step_mm)}",)
    return ((f"check: wind the top slide {wound}",), (f"and the tip must move {across} across", *within))


def regrip_text(act: Regrip, scene: Scene) -> ActText:
    """How the ring is held for its other side."""
    held = act.holding
    where = "" if held.gripped_surface in {"none", "bar"} else f"on the {surface_words(held.gripped_surface)}"
    size = (f"{where} {scene.lengths.dia(held.grip_dia_mm)}".strip(),) if where else ()
    on = "in" if held.turned else "on"
    lies = "towards the tailstock" if held.turned else "down on the paper"
    lines: list[Line] = [(f"ring {on} {held.id}: {means_name(held, scene.shop)}", *size)]
    lines.append((f"{held.side.value} face {lies}",))
    if held.turned:
        lines.append(
            (
                f"gripped {scene.lengths.rough(held.grip_length_mm)}",
                f"stop or jaw face {scene.lengths.along(held.jaw_face_mm)}",
            )
        )
        if held.seat_dia_mm > 0:
            lines.append((f"seat or shoulder behind it {scene.lengths.dia(held.seat_dia_mm)}",))
        if held.cover_dia_mm > 0:
            lines.append((f"washer or plate on its face {scene.lengths.dia(held.cover_dia_mm)}",))
        lines.append((*top_speed_text(held, scene.shop), f"runs true within {scene.lengths.micro(held.runout_mm)}"))
    if held.growth_dia_mm >= WORTH_A_WORD_MM:
        lines.append((f"outside {scene.lengths.micro(held.growth_dia_mm)} larger while it is held",))
    if held.lobes_mm >= WORTH_A_WORD_MM:
        lines.append((f"grip lightly: lobes up to {scene.lengths.micro(held.lobes_mm)} may be left",))
    return ActText(verb="hold", lines=tuple(lines))


def part_off_text(act: PartOff, scene: Scene) -> ActText:
    """The ring is free."""
    del act, scene
    return ActText(verb="parted", lines=(("the ring is free, on the catching rod; stop before you reach for it",),))


def means_name(holding: Holding, shop: Shop) -> str:
    """Name of what holds the work: the shop's own name for it, or the chuck."""
    named = next((means.name for means in shop.holdings if means.id == holding.id), None)
    return named or shop.lathe.chuck.name


def top_speed_text(holding: Holding, shop: Shop) -> Line:
    """Highest speed at which this may run, if the lathe has a faster one."""
    if all(speed.fastest_rpm <= holding.max_rpm for speed in shop.lathe.speeds):
        return ()
    return (f"never above {trimmed(holding.max_rpm, places=0)} rev/min",)
