"""Why the bar stands out so far, the tool so far, the top slide so, the ring is held so."""

from __future__ import annotations

from math import cos, radians
from typing import TYPE_CHECKING

from handwheel.domain.acts import (
    FitDrill,
    FitReamer,
    FitTool,
    HandStep,
    Indicate,
    LoadBar,
    Regrip,
    SwingSlide,
    TailSupport,
)
from handwheel.domain.said import said_short
from handwheel.planner.writer import CHECK_TRAVEL_MM
from handwheel.report.measure_text import hand_step_text
from handwheel.report.numbers import exact_text, trimmed
from handwheel.report.setup_text import (
    POST_ROOM_MM,
    bar_size_text,
    check_move,
    fit_drill_text,
    fit_reamer_text,
    post_room_text,
    regrip_text,
    top_speed_text,
)
from handwheel.report.why.grounds import hand_whys
from handwheel.report.why.look import Look, Word, joined

if TYPE_CHECKING:
    from collections.abc import Iterator

    from handwheel.domain.findings import Reason

_PIECE = {
    TailSupport.BLANK: "a blank as long as stick-out and grip together: the bar does not pass through the spindle",
    TailSupport.INSIDE_SPINDLE: "the bar as it is on the rack, or cut so that its end stays inside the spindle",
    TailSupport.SUPPORTED: "the bar as it is on the rack, supported behind the spindle",
    TailSupport.OVERHANGS: "the bar as it is on the rack: a short end stands out behind the spindle",
}


def why_load(act: LoadBar, look: Look) -> Iterator[Reason]:
    """How the bar is gripped."""
    chuck = look.shop.lathe.chuck
    yield look.why(
        "bar",
        bar_size_text(look.shop.bar(act.bar), look.lengths),
        "the bar of the rack that gives the cheapest plan",
        word=Word.SHOP_FILE,
    )
    yield from look.handed_down(look.of_step("stick-out"), look.lengths.rough(act.stick_out_mm))
    yield look.why("grip", look.lengths.rough(act.grip_length_mm), "length of the jaws", word=Word.SHOP_FILE)
    yield look.why("piece", look.lengths.rough(act.bar_length_mm), _PIECE[act.tail])
    yield look.why(
        "faced off",
        look.lengths.both(act.face_stock_mm),
        "the habit of the shop for the first facing, to the nearest whole step of the slide that sets it",
        f"habit {look.lengths.both(look.shop.habits.face_stock_mm)}",
        word=Word.PRACTICE,
    )
    if top_speed_text(act.holding, look.shop):
        yield look.why(
            "top speed",
            joined((top_speed_text(act.holding, look.shop),)),
            "the least of what the chuck's maker allows and what an overhanging bar bears before it whirls",
            f"chuck {trimmed(chuck.max_rpm, places=0)} rev/min",
            word=Word.SHOP_FILE,
        )


def why_fit_tool(act: FitTool, look: Look) -> Iterator[Reason]:
    """How far a tool stands out."""
    yield look.why(
        "stands out",
        look.lengths.rough(act.stands_out_mm),
        "as far as this step needs and no further; a tool that does not reach into or past the work: as it is ground",
        word=Word.SHOP_FILE,
    )
    yield look.why(
        "room for the post",
        post_room_text(act, look.scene),
        "what will stand out, and room for the hand that clamps it",
        word=Word.PRACTICE,
    )


def why_fit_drill(act: FitDrill, look: Look) -> Iterator[Reason]:
    """Which drill, by its size."""
    yield look.why(
        "drill",
        str(fit_drill_text(act, look.scene).lines[0][0]),
        "the drills that make the whole hole in the least time, of those that the shop has",
        word=Word.SHOP_FILE,
    )


def why_fit_reamer(act: FitReamer, look: Look) -> Iterator[Reason]:
    """Which reamer, by its size."""
    yield look.why(
        "reamer",
        str(fit_reamer_text(act, look.scene).lines[0][0]),
        "the reamer of the shop whose hole falls into the limits",
        word=Word.SHOP_FILE,
    )


def why_swing(act: SwingSlide, look: Look) -> Iterator[Reason]:
    """Angle of the top slide, how well its scale gives it, and the move that checks it."""
    angle = (
        f"{exact_text(act.angle_deg)}° from the lathe's axis, {exact_text(90 - act.angle_deg)}° from the cross-slide"
    )
    use = "the bevel or the fine feed across that this step needs" if act.angle_deg else "it feeds along the bed"
    yield look.why("angle", f"SCALE {exact_text(act.scale_deg)}°; {angle}", f"in whole divisions of its scale: {use}")
    off = act.check_travel_mm * cos(radians(float(act.angle_deg))) * radians(act.error_deg)
    yield look.why(
        "error of the scale",
        f"± {trimmed(act.error_deg, places=2)}°",
        "half a division",
        f"over the check move the tip may be {look.fine.both(off)} off by that",
        word=Word.PRACTICE,
        spread=(float(act.angle_deg) - act.error_deg, float(act.angle_deg) + act.error_deg),
        unit="degrees",
    )
    yield look.why(
        "check move",
        joined(check_move(act, look.scene)),
        "way across = way of the slide x sine of the angle; whole turns, "
        f"{said_short(CHECK_TRAVEL_MM, look.lengths.units)} or more (PC-21)",
        f"{look.fine.both(act.check_travel_mm)} of the slide",
    )
    if look.scene.before.tool is not None:
        yield look.why(
            "room for the tool",
            look.lengths.rough(POST_ROOM_MM),
            "the tool swings with the slide: clear of the work",
            word=Word.PRACTICE,
        )


def why_regrip(act: Regrip, look: Look) -> Iterator[Reason]:
    """How the ring is held for its other side."""
    held = act.holding
    words = regrip_text(act, look.scene)
    yield look.why(
        "holding",
        joined(words.lines),
        "of the ways of holding that the shop has, the cheapest that leaves every face to be cut in reach",
        f"{held.kind}: sizes, runout and top speed as its makers or its owner give them",
        word=Word.SHOP_FILE,
    )
    if held.grip_torque_nm:
        yield look.why(
            "torque that the grip bears",
            f"{trimmed(held.grip_torque_nm, places=2)} N m at least",
            "friction of the grip at its low end; no cut in this holding may ask for more",
            word=Word.PRACTICE,
        )


def why_indicate(act: Indicate, look: Look) -> Iterator[Reason]:
    """How true the work must run."""
    yield look.why(
        "total reading",
        f"at most {look.lengths.micro(act.high_mm)}",
        "what this holding may run out once it is set true; never less than an indicator of a small shop tells",
        word=Word.SHOP_FILE,
    )


def why_hand(act: HandStep, look: Look) -> Iterator[Reason]:
    """Figures of what is done by hand."""
    yield from hand_whys(act.kind, joined(hand_step_text(act, look.scene).lines), look)
