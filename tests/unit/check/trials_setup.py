"""What must be refused of sense, holding, spindle, speeds and feeds."""

from __future__ import annotations

from fractions import Fraction
from math import nan

import msgspec
from msgspec.structs import replace

from handwheel.domain.acts import (
    Act,
    ActBase,
    FeedKind,
    FitDrill,
    HandKind,
    Regrip,
    SetFeed,
    SetSpeed,
    TailSupport,
)
from handwheel.domain.habits import Habits
from handwheel.domain.lathe import Nose, PowerFeed
from handwheel.domain.motion import Handle
from handwheel.domain.part import Aspect
from handwheel.domain.plan import Sheet
from handwheel.domain.tools import ToolKind
from tests.unit.check.sheets import (
    CROSS,
    IN,
    LEFT,
    QUILL,
    TOP,
    before,
    by_hand,
    changed,
    confirm,
    cut,
    edited,
    hand,
    in_soft_jaws,
    measure,
    on_bar,
    place_of,
    pressed,
    reset,
    ring_part,
    sheet_of,
    simple_shop,
    speed,
    start,
    stop,
    touch,
    without,
)
from tests.unit.check.trials import LATHE, A, Code, Trial, moved_to, shop_with, trial


class Strange(ActBase, frozen=True, kw_only=True, tag="strange"):
    """An act that no machine knows."""


def in_metal(metal: str, bar_id: str, acts: tuple[Act, ...] = A) -> Sheet:
    return sheet_of(changed(acts, "load", bar=bar_id), ring_part(metal))


def slow_and_coarse(act: Act) -> Act:
    """Stainless steel: all at 100 rev/min, power feeds of 0.1 mm/rev, hand feeds near it at that speed."""
    if isinstance(act, SetSpeed):
        return speed(act.id, 100, act.cut_dia_mm)
    if isinstance(act, SetFeed) and act.position:
        return msgspec.structs.replace(act, low_mm_rev=0.1, high_mm_rev=0.1, position="B")
    if isinstance(act, SetFeed):
        if act.handle is Handle.QUILL:
            return by_hand(act.id, act.handle, 100, lead=2.0, fast=12.0, slow=15.0)
        return by_hand(act.id, act.handle, 100, fast=6.0, slow=7.0)
    return act


STAINLESS = tuple(slow_and_coarse(act) for act in A)
COARSE_SHOP = replace(
    shop_with(
        lathe=replace(
            LATHE,
            feeds_across=(PowerFeed(mm_rev=0.05, position="A"), PowerFeed(mm_rev=0.1, position="B")),
            tool_stiffness_n_um=100.0,
        )
    ),
    habits=Habits(quill_push_n=4000.0),
)
"""A lathe that bears stainless steel: it feeds 0.1 mm/rev across, is stiff, and has a long lever at its quill."""

SENSE = (
    trial(
        Code.MALFORMED, "a time that is no number", changed(A, "cool", seconds=nan), changed(A, "cool", seconds=60.0)
    ),
    trial(Code.MALFORMED, "a time below zero", changed(A, "cool", seconds=-1.0), changed(A, "cool", seconds=0.5)),
    trial(
        Code.UNKNOWN_ACT,
        "an act of a kind that is not in the list",
        before(A, "cool", Strange(id="odd", step="s")),
        before(A, "cool", hand("even", HandKind.NOTE)),
    ),
    trial(Code.UNKNOWN_MATERIAL, "a metal that no table knows", sheet_of(A, ring_part("unobtainium"))),
    trial(Code.UNKNOWN_TOOL, "a tool that is not owned", changed(A, "fit-right", tool="left")),
    trial(Code.UNKNOWN_DRILL, "a drill that is not owned", changed(A, "fit-drill", drill="drill-9")),
    trial(Code.UNKNOWN_BAR, "a bar that is not on the rack", changed(A, "load", bar="steel-21")),
    trial(
        Code.UNKNOWN_HOLDING,
        "a holding that is not owned",
        changed(A, "regrip", holding=in_soft_jaws(id="hard-jaws")),
    ),
    trial(Code.UNKNOWN_GAUGE, "a gauge that is not owned", changed(A, "measure-bore", gauge="eye")),
    trial(Code.UNKNOWN_GAUGE, "an indicator that is not owned", changed(A, "indicate", gauge="eye")),
    trial(Code.UNKNOWN_SURFACE, "a measured surface that the part has not", changed(A, "measure-bore", surface="rim")),
    trial(Code.UNKNOWN_SURFACE, "a touched surface that the part has not", changed(A, "touch-bar", surface="rim")),
    trial(Code.UNKNOWN_SURFACE, "a zero on a surface that the part has not", changed(A, "zero-bar", surface="rim")),
    trial(Code.UNKNOWN_SURFACE, "a collar for a face", changed(A, "collar-bore", surface="front-face")),
    trial(
        Code.UNKNOWN_SURFACE,
        "a final size that the drawing does not state",
        before(A, "note", measure("m", "front-face", 6.0, "micrometer", Aspect.WIDTH, (5.95, 6.05))),
        before(A, "note", measure("m", "back-face", 6.0, "micrometer", Aspect.WIDTH, (5.95, 6.05))),
    ),
    trial(
        Code.UNKNOWN_SURFACE,
        "rubbing a surface that no plate reaches",
        before(A, "note", hand("rub", HandKind.RUB_FACE, "outside", 0.01)),
        before(A, "note", hand("rub", HandKind.RUB_FACE, "back-face", 0.01)),
    ),
    trial(Code.REST_NOT_LOOKED_AT, "nothing can be said after a lost footing", changed(A, "fit-right", tool="left")),
)

UNDER_TAILSTOCK = changed(changed(A, "bore-jaws", kind=HandKind.FACE_PLATE), "regrip", holding=pressed())

HOLDING = (
    trial(
        Code.WRONG_BAR,
        "a bar of another metal",
        changed(A, "load", bar="brass-20"),
        changed(A, "load", bar_length_mm=250.0),
    ),
    trial(
        Code.WRONG_BAR,
        "more bar than there is",
        changed(A, "load", bar_length_mm=310.0),
        changed(A, "load", bar_length_mm=299.0),
    ),
    trial(Code.WRONG_BAR, "a bar of no length", changed(A, "load", bar_length_mm=0.0)),
    trial(
        Code.BAR_NOT_SUPPORTED,
        "the bar reaches out of the spindle",
        A,
        changed(A, "load", tail=TailSupport.SUPPORTED),
        wrong_shop=shop_with(lathe=replace(LATHE, spindle_length_mm=200.0)),
        right_shop=shop_with(lathe=replace(LATHE, spindle_length_mm=200.0)),
    ),
    trial(
        Code.BAR_NOT_SUPPORTED,
        "the bar does not enter the spindle",
        A,
        changed(A, "load", tail=TailSupport.BLANK, bar_length_mm=45.0),
        wrong_shop=shop_with(lathe=replace(LATHE, spindle_bore_dia_mm=15.0)),
        right_shop=shop_with(lathe=replace(LATHE, spindle_bore_dia_mm=15.0)),
    ),
    trial(
        Code.BAR_NOT_SUPPORTED,
        "a blank that is longer than jaws and stick-out",
        changed(A, "load", tail=TailSupport.BLANK),
        changed(A, "load", tail=TailSupport.BLANK, bar_length_mm=45.0),
    ),
    trial(
        Code.BAR_NOT_GRIPPED,
        "jaws elsewhere than the stick-out says",
        changed(A, "load", stick_out_mm=22.0),
        changed(A, "load", stick_out_mm=22.0, holding=on_bar(jaw_face_mm=-21.0)),
    ),
    trial(
        Code.BAR_NOT_GRIPPED,
        "more gripped than there is",
        changed(A, "load", grip_length_mm=290.0),
        changed(A, "load", grip_length_mm=280.0),
    ),
    trial(
        Code.BAR_NOT_GRIPPED,
        "a chuck that does not open so far",
        A,
        wrong_shop=shop_with(lathe=replace(LATHE, chuck=replace(LATHE.chuck, grip_high_dia_mm=19.0))),
        right_shop=shop_with(lathe=replace(LATHE, chuck=replace(LATHE.chuck, grip_high_dia_mm=20.0))),
    ),
    trial(
        Code.ALREADY_HELD,
        "a second bar",
        before(A, "fit-right", msgspec.structs.replace(A[place_of(A, "load")], id="again")),
    ),
    trial(
        Code.ALREADY_HELD,
        "soft jaws bored with work in the chuck",
        before(A, "fit-right", hand("jaws", HandKind.BORE_JAWS)),
    ),
    trial(Code.HOLDING_NOT_READY, "jaws that nobody has bored", without(A, "bore-jaws")),
    trial(Code.HOLDING_NOT_READY, "a mandrel turned for jaws", changed(A, "bore-jaws", kind=HandKind.TURN_MANDREL)),
    trial(Code.QUILL_NOT_LOCKED, "a ring under a free quill", UNDER_TAILSTOCK),
    trial(
        Code.TAILSTOCK_BUSY,
        "a drill fitted while the centre holds the ring",
        before(UNDER_TAILSTOCK, "indicate", FitDrill(id="no-room", step="s", drill="drill-10")),
    ),
    trial(Code.NOT_HELD, "starting an empty spindle", without(A, "load")),
    trial(
        Code.NOT_HELD,
        "cutting the ring once it hangs free",
        before(without(A, "part-off"), "off-part-2", cut("again", CROSS, IN, "back-face", 0.5, 2.0)),
    ),
    trial(
        Code.NOT_HELD,
        "cutting after parting off",
        before(A, "off-part-2", cut("again", CROSS, IN, "back-face", 0.5, 2.0)),
    ),
    trial(Code.NOT_HELD, "touching after parting off", before(A, "off-part-2", touch("t", TOP, LEFT, "front-face"))),
    trial(Code.NOT_HELD, "measuring before there is work", before(A, "load", measure("m", "bore", 12.0, "bore-gauge"))),
    trial(
        Code.NOT_HELD,
        "indicating a ring in the hand",
        moved_to(A, "indicate", "bore-jaws"),
        moved_to(A, "indicate", "fit-right-2"),
    ),
    trial(Code.NOT_HELD, "drilling a ring in the hand", before(A, "deburr-part", A[place_of(A, "drill")])),
    trial(Code.NOT_HELD, "parting off what is no bar", before(A, "load", A[place_of(A, "part-off")])),
    trial(
        Code.NOT_PARTED,
        "gripping a ring that hangs on the bar",
        before(A, "fit-blade", Regrip(id="early", step="s", holding=in_soft_jaws())),
    ),
    trial(
        Code.NOT_PARTED,
        "rubbing a ring that is held",
        before(A, "stop-vee-out-2", hand("rub", HandKind.RUB_FACE, "back-face", 0.01)),
        before(A, "note", hand("rub", HandKind.RUB_FACE, "back-face", 0.01)),
    ),
    trial(
        Code.NOT_INDICATED,
        "twice the runout that the holding promises",
        changed(A, "indicate", high_mm=0.04),
        changed(A, "indicate", high_mm=0.01),
    ),
    trial(Code.UNKNOWN_SURFACE, "an indicator put to nothing", changed(A, "indicate", surface="rim")),
    trial(
        Code.NOT_INDICATED, "no indicator after gripping", without(A, "indicate"), moved_to(A, "indicate", "start-back")
    ),
    trial(
        Code.HOLDING_DOES_NOT_FIT,
        "jaws bored to another size",
        changed(A, "regrip", holding=in_soft_jaws(grip_dia_mm=18.5)),
        changed(A, "regrip", holding=in_soft_jaws(grip_dia_mm=18.05)),
    ),
    trial(
        Code.HOLDING_DOES_NOT_FIT,
        "a seat that the ring does not reach",
        changed(A, "regrip", holding=in_soft_jaws(jaw_face_mm=-2.0)),
        changed(A, "regrip", holding=in_soft_jaws(jaw_face_mm=-3.5, grip_length_mm=2.5)),
    ),
    trial(
        Code.HOLDING_DOES_NOT_FIT,
        "a kind that the means is not",
        changed(A, "regrip", holding=in_soft_jaws(kind="pot")),
    ),
    trial(
        Code.HOLDING_DOES_NOT_FIT,
        "a size that the means does not take",
        A,
        wrong_shop=replace(
            simple_shop(), holdings=tuple(replace(item, high_dia_mm=17.0) for item in simple_shop().holdings)
        ),
        right_shop=replace(
            simple_shop(), holdings=tuple(replace(item, high_dia_mm=18.0) for item in simple_shop().holdings)
        ),
    ),
    trial(Code.NO_CATCH_ROD, "nothing catches the ring", without(A, "rod"), moved_to(A, "rod", "start-part")),
    trial(
        Code.NOT_SEVERED,
        "the blade stops inside the wall",
        changed(reset(A, "part", turns=2, marks=Fraction(40), expected_mm=12.4), "part", length_mm=4.8),
        changed(reset(A, "part", turns=3, marks=Fraction(20), expected_mm=11.2), "part", length_mm=5.4),
    ),
    trial(
        Code.SEVERED,
        "a tool that is no parting blade cuts the work in two",
        A,
        wrong_shop=shop_with(tool=replace(simple_shop().tool("blade"), kind=ToolKind.GROOVING)),
    ),
)

SPINDLE = (
    trial(
        Code.SPINDLE_RUNS,
        "measuring a turning bore",
        without(A, "stop-bore-1"),
        before(A, "measure-bore-1", stop("twice")),
    ),
    trial(Code.SPINDLE_RUNS, "starting twice", before(A, "near-face", start("twice"))),
    trial(Code.SPINDLE_STANDS, "touching a standing bar", without(A, "start-face")),
    trial(Code.SPINDLE_STANDS, "cutting a standing bar", without(A, "start-turn-2")),
    trial(
        Code.RUNS_BACKWARDS,
        "cutting backwards",
        changed(A, "start-turn-2", reverse=True),
        wrong_shop=shop_with(lathe=replace(LATHE, nose=Nose.CAMLOCK)),
        right_shop=shop_with(lathe=replace(LATHE, nose=Nose.CAMLOCK)),
    ),
    trial(Code.REVERSE_ON_THREAD, "a threaded chuck run backwards", changed(A, "start-face", reverse=True)),
    trial(Code.SPEED_NOT_SET, "starting at no known speed", without(A, "speed-turn")),
    trial(
        Code.SPEED_NOT_LISTED,
        "a speed between two belts",
        edited(A, "speed-turn", lambda _: speed("speed-turn", 820, 20.0)),
        edited(A, "speed-turn", lambda _: speed("speed-turn", 400, 20.0)),
    ),
    trial(Code.SPEED_NOT_LISTED, "a speed at another belt", changed(A, "speed-turn", position="belt 400")),
    trial(
        Code.SPEED_ABOVE_HOLDING,
        "faster than the chuck bears",
        A,
        wrong_shop=shop_with(lathe=replace(LATHE, chuck=replace(LATHE.chuck, max_rpm=790.0))),
        right_shop=shop_with(lathe=replace(LATHE, chuck=replace(LATHE.chuck, max_rpm=800.0))),
    ),
    trial(
        Code.SPEED_ABOVE_HOLDING,
        "faster than the second holding bears",
        changed(A, "regrip", holding=in_soft_jaws(max_rpm=790.0)),
        changed(A, "regrip", holding=in_soft_jaws(max_rpm=800.0)),
    ),
    trial(
        Code.SPEED_ABOVE_METAL,
        "100 m/min in free-cutting steel",
        edited(A, "speed-turn", lambda _: speed("speed-turn", 1600, 20.0)),
        edited(A, "speed-turn", lambda _: speed("speed-turn", 800, 20.0)),
    ),
    trial(
        Code.SPEED_ABOVE_METAL,
        "a drill above its row of the table",
        edited(
            changed(A, "load", holding=on_bar(max_rpm=5000.0)),
            "speed-drill",
            lambda _: speed("speed-drill", 4000, 10.0),
        ),
        wrong_shop=shop_with(
            lathe=replace(
                LATHE,
                speeds=(*LATHE.speeds, replace(LATHE.speeds[0], rpm=4000.0, position="belt 4000")),
                chuck=replace(LATHE.chuck, max_rpm=5000.0),
            )
        ),
    ),
    trial(
        Code.SPEED_WORDS_WRONG,
        "surface speed of the radius",
        changed(A, "speed-turn", cutting_speed_m_min=25.1),
        changed(A, "speed-turn", cutting_speed_m_min=50.2),
    ),
    trial(
        Code.SPEED_WORDS_WRONG,
        "a larger diameter cut than the speed was set for",
        edited(A, "speed-turn", lambda _: speed("speed-turn", 800, 19.0)),
        edited(A, "speed-turn", lambda _: speed("speed-turn", 800, 20.1)),
    ),
    trial(Code.NO_SPEED_DATA, "a metal without cutting speeds", in_metal("au585", "gold-20")),
    trial(
        Code.FEED_NOT_SET,
        "cutting before a feed was set",
        without(A, "feed-face"),
        moved_to(A, "feed-face", "lock-face"),
    ),
    trial(
        Code.FEED_NOT_SET,
        "the gearbox was set for the other slide since",
        before(A, "face-2", A[place_of(A, "feed-turn")]),
    ),
    trial(
        Code.FEED_NOT_LISTED,
        "a feed that the gearbox has not",
        changed(A, "feed-turn", low_mm_rev=0.09, high_mm_rev=0.09),
        changed(A, "feed-turn", low_mm_rev=0.05, high_mm_rev=0.05, position="A"),
    ),
    trial(
        Code.FEED_NOT_LISTED,
        "power for a slide that the gearbox does not drive",
        edited(
            changed(A, "sweep", feed=FeedKind.POWER),
            "feed-sweep",
            lambda act: msgspec.structs.replace(act, kind=FeedKind.POWER),
        ),
    ),
    trial(
        Code.FEED_TOO_FINE,
        "rubbing stainless steel",
        in_metal(
            "ss304", "stainless-20", changed(STAINLESS, "feed-turn", low_mm_rev=0.05, high_mm_rev=0.05, position="A")
        ),
        in_metal("ss304", "stainless-20", STAINLESS),
        wrong_shop=COARSE_SHOP,
        right_shop=COARSE_SHOP,
    ),
    trial(
        Code.CUT_TOO_SHALLOW,
        "a whisper of a cut in stainless steel",
        in_metal(
            "ss304",
            "stainless-20",
            # 18.16: 4 marks before 0; 0.42 deep, and 0.08 is left for the last cut
            changed(reset(STAINLESS, "to-turn-2", marks=Fraction(46), expected_mm=18.16), "turn-2", depth_mm=0.42),
        ),
        in_metal(
            "ss304",
            "stainless-20",
            changed(
                changed(reset(STAINLESS, "to-turn-2", marks=Fraction(41), expected_mm=18.36), "turn-2", depth_mm=0.32),
                "turn-3",
                depth_mm=0.18,
            ),
        ),
        wrong_shop=COARSE_SHOP,
        right_shop=COARSE_SHOP,
    ),
    trial(
        Code.PACE_NOT_KEPT,
        "a turn in two seconds",
        edited(A, "feed-part", lambda _: by_hand("feed-part", CROSS, 400, fast=2.0)),
        edited(A, "feed-part", lambda _: by_hand("feed-part", CROSS, 400, fast=3.5)),
    ),
    trial(
        Code.PACE_NOT_KEPT,
        "a pace for another speed",
        edited(A, "feed-part", lambda _: by_hand("feed-part", CROSS, 200)),
        edited(A, "feed-part", lambda _: by_hand("feed-part", CROSS, 390)),
    ),
    trial(
        Code.PACE_NOT_KEPT,
        "a pace of the quill for another speed",
        before(A, "start-drill", by_hand("feed-drill", QUILL, 400, lead=2.0)),
        before(A, "start-drill", by_hand("feed-drill", QUILL, 800, lead=2.0)),
    ),
    trial(
        Code.PACE_NOT_KEPT,
        "a band with its ends exchanged",
        changed(A, "feed-part", low_mm_rev=0.05, high_mm_rev=0.02),
    ),
    trial(Code.MISSING_CAUTION, "parting without a word", changed(A, "part", cautions=())),
    trial(Code.HAZARD_NOT_CONFIRMED, "leaded steel gripped before anything is asked", without(A, "confirm-lead")),
    trial(
        Code.HAZARD_NOT_CONFIRMED,
        "leaded steel gripped, and then asked",
        moved_to(A, "confirm-lead", "fit-right"),
    ),
    trial(
        Code.HAZARD_NOT_CONFIRMED,
        "asked in words of one's own",
        changed(A, "confirm-lead", text="All ready?"),
    ),
    trial(
        Code.HAZARD_NOT_CONFIRMED,
        "another hazard asked for",
        changed(A, "confirm-lead", text=confirm("fire", "metal-fire").text),
    ),
    trial(Code.HAZARD_NOT_CONFIRMED, "a note in place of a question", changed(A, "confirm-lead", kind=HandKind.NOTE)),
    trial(
        Code.MISSING_CAUTION,
        "no caution before the first cut in leaded steel",
        changed(A, "start-face", cautions=()),
        changed(changed(A, "start-face", cautions=()), "face-1", cautions=("Lead: no dry grinding.",)),
    ),
)

SETUP: tuple[Trial, ...] = (*SENSE, *HOLDING, *SPINDLE)
