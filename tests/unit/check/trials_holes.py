"""Trials of reamers, taps and a loose tailstock, on the tiny job with its bore reamed or tapped."""

from __future__ import annotations

from fractions import Fraction

from msgspec.structs import replace

from handwheel.check.report import RefusalCode
from handwheel.domain.acts import Act, FitReamer, HandKind, HandStep, ReamHole
from handwheel.domain.hole_tools import Reamer, ReamerKind, Tap
from handwheel.domain.part import Aspect, Part
from handwheel.domain.shop import Shop
from handwheel.domain.thread import Thread
from tests.unit.check.sheets import (
    CARRIAGE,
    CROSS,
    LEFT,
    OUT,
    QUILL,
    RIGHT,
    at,
    away,
    before,
    by_hand,
    changed,
    reset,
    ring_part,
    sheet_of,
    simple_shop,
    size,
    speed,
    start,
    stop,
    touch,
    without,
    zero,
)
from tests.unit.check.trials import A, Trial, moved_to, trial

Code = RefusalCode
REAMER = Reamer(
    id="reamer-12",
    kind=ReamerKind.MACHINE,
    dia_mm=Fraction(12),
    hole_lower_mm=Fraction("11.99"),
    hole_upper_mm=Fraction("12.01"),
    flute_mm=50.0,
    lead_mm=1.5,
    lead_dia_mm=11.0,
)
THREAD = Thread(major_mm=Fraction(13), pitch_mm=Fraction(1))
TAP = Tap(id="tap-m13", thread=THREAD, lead_mm=2.0, length_mm=40.0)
CAUTION = ("the hands away, the power off, never backwards",)


def shop_of_holes(*, reamer: Reamer = REAMER, tap: Tap = TAP, play_mm: float = 0.0) -> Shop:
    shop = simple_shop()
    tailstock = replace(shop.lathe.tailstock, play_mm=play_mm)
    return replace(shop, lathe=replace(shop.lathe, tailstock=tailstock), reamers=(reamer,), taps=(tap,))


def reamed_acts() -> tuple[Act, ...]:
    """Bore to 11.8 and ream the rest."""
    # (12 - 11.8) / 0.04 = 5 marks before 0
    acts = changed(reset(A, "to-bore-2", marks=Fraction(5), expected_mm=11.8), "bore-2", depth_mm=0.4)
    acts = without(acts, "to-bore-3", "bore-3", "back-bore-3", "stop-bore-3")
    return before(
        acts,
        "measure-bore",
        stop("stop-bore-2"),
        away("out-for-reamer", CROSS, OUT, 25.0),
        FitReamer(id="fit-reamer", step="s", reamer="reamer-12"),
        speed("speed-ream", 200, 12.0),
        by_hand("feed-ream", QUILL, 200, lead=2.0),
        start("start-ream"),
        touch("touch-ream", QUILL, LEFT, "front-face"),
        zero("zero-ream", QUILL, "ream", "front-face", 0.0),
        ReamHole(
            id="ream",
            step="s",
            # the lead stands 1.5 (5.9 - 5.5) / (6 - 5.5) = 1.2 mm in; 7 + 1.5 - 1.2 = 7.3 mm: 3 turns 65
            setting=at(QUILL, "ream", 3, 65, -7.0),
            lead_mm=1.5,
            cautions=CAUTION,
        ),
        stop("stop-ream"),
    )


def tapped_acts() -> tuple[Act, ...]:
    """Tap the bore after its rim is bevelled."""
    return before(
        A,
        "fit-blade",
        away("right-for-tap", CARRIAGE, RIGHT, 20.0),
        away("out-for-tap", CROSS, OUT, 30.0),
        HandStep(
            id="tap", step="s", kind=HandKind.TAP, text="tap by hand", surface="bore", tool="tap-m13", cautions=CAUTION
        ),
    )


def threaded(part: Part | None = None) -> Part:
    return replace(part or ring_part(), thread=THREAD)


def with_bore(nominal: str) -> Part:
    """The ring with limits for its core that it does not have."""
    part = threaded()
    sizes = tuple(
        replace(item, size=size(nominal, "0.02")) if (item.surface, item.aspect) == ("bore", Aspect.DIAMETER) else item
        for item in part.sizes
    )
    return replace(part, sizes=sizes)


REAMED, TAPPED = reamed_acts(), tapped_acts()


def reaming(code: RefusalCode, what: str, wrong: tuple[Act, ...] = REAMED, *, shop: Shop | None = None) -> Trial:
    return trial(code, what, wrong, REAMED, wrong_shop=shop or shop_of_holes(), right_shop=shop_of_holes())


def tapping(
    code: RefusalCode,
    what: str,
    wrong: tuple[Act, ...] = TAPPED,
    *,
    part: Part | None = None,
    shop: Shop | None = None,
) -> Trial:
    return trial(
        code,
        what,
        sheet_of(wrong, part or threaded()),
        sheet_of(TAPPED, threaded()),
        wrong_shop=shop or shop_of_holes(),
        right_shop=shop_of_holes(),
    )


HOLES = (
    reaming(Code.UNKNOWN_REAMER, "a reamer that nobody owns", changed(REAMED, "fit-reamer", reamer="none")),
    reaming(
        Code.REAM_ALLOWANCE,
        "a reamer that finds 0.3 mm",
        shop=shop_of_holes(reamer=replace(REAMER, dia_mm=Fraction("12.1"))),
    ),
    reaming(
        Code.REAM_ALLOWANCE,
        "a reamer that finds 0.1 mm",
        shop=shop_of_holes(reamer=replace(REAMER, dia_mm=Fraction("11.9"))),
    ),
    # the bored hole ends at -9, the drilled one goes on with 10 mm
    reaming(
        Code.REAM_BOTTOMS,
        "the end of the reamer meets the bottom of the bored hole",
        reset(REAMED, "ream", turns=5, marks=Fraction(15), expected_mm=-10.0),
    ),
    reaming(Code.REAM_LEAD, "another lead than the reamer has", changed(REAMED, "ream", lead_mm=2.0)),
    reaming(
        Code.REAM_LIMITS,
        "a reamer that may cut too large",
        shop=shop_of_holes(reamer=replace(REAMER, hole_lower_mm=Fraction("11.97"), hole_upper_mm=Fraction("12.03"))),
    ),
    reaming(
        Code.REAM_NOT_THROUGH,
        "the lead stops in the bore",
        reset(REAMED, "ream", turns=2, marks=Fraction(65), expected_mm=-5.0),
    ),
    reaming(Code.REAM_NOT_MEASURED, "parted without a look at the bore", without(REAMED, "measure-bore")),
    reaming(Code.MISSING_CAUTION, "reaming without a word", changed(REAMED, "ream", cautions=())),
    reaming(Code.TOOL_CANNOT, "a hand reamer", shop=shop_of_holes(reamer=replace(REAMER, kind=ReamerKind.HAND))),
    reaming(Code.DRILL_TOO_SHORT, "flutes too short", shop=shop_of_holes(reamer=replace(REAMER, flute_mm=5.0))),
    tapping(Code.UNKNOWN_TAP, "a tap that nobody owns", changed(TAPPED, "tap", tool="none")),
    tapping(
        Code.UNKNOWN_TAP,
        "a tap for another thread",
        shop=shop_of_holes(tap=replace(TAP, thread=replace(THREAD, pitch_mm=Fraction(3, 2)))),
    ),
    tapping(Code.TAP_CORE, "a core outside its limits", part=with_bore("12.1")),
    tapping(Code.TAP_ENTRY, "a tap on a sharp rim", moved_to(TAPPED, "tap", "fit-vee")),
    tapping(Code.TAP_NOT_THROUGH, "a lead that finds the bottom", shop=shop_of_holes(tap=replace(TAP, lead_mm=5.0))),
    tapping(Code.MISSING_CAUTION, "tapping without a word", changed(TAPPED, "tap", cautions=())),
    tapping(Code.STRIKES_DRILL, "the tool stands before the hole", without(TAPPED, "out-for-tap")),
    tapping(Code.UNKNOWN_SURFACE, "the outside cannot be tapped", changed(TAPPED, "tap", surface="outside")),
    tapping(Code.NOT_TAPPED, "a thread that nobody cuts", A),
    trial(
        Code.DRILL_WANDERS,
        "a drill of 10 in a tailstock with 1 mm of play",
        A,
        wrong_shop=shop_of_holes(play_mm=1.0),
        right_shop=shop_of_holes(play_mm=0.9),
    ),
    trial(
        Code.MALFORMED,
        "a tool named where none is used",
        changed(A, "chips", tool="tap-m13"),
    ),
)
