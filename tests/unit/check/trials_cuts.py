"""What must be refused of cutting, touching, drilling, measuring, and of the part that comes out."""

from __future__ import annotations

from fractions import Fraction
from math import sqrt

from msgspec.structs import replace

from handwheel.domain.acts import Act, Approach, DrillHole, FitDrill, FitTool, HandKind
from handwheel.domain.part import Aspect, SizedFeature
from handwheel.domain.shop import Shop
from tests.unit.check.sheets import (
    CROSS,
    IN,
    LEFT,
    OUT,
    POINT_10_MM,
    QUILL,
    RIGHT,
    TOP,
    at,
    away,
    before,
    changed,
    free,
    hand,
    measure,
    place_of,
    reset,
    ring_part,
    sheet_of,
    simple_shop,
    size,
    touch,
    up_to,
    without,
    zero,
)
from tests.unit.check.trials import A, Code, Trial, moved_to, shop_with, trial

BREAK, BREAK_OTHER = (
    hand(f"break-{edge}", HandKind.BREAK_EDGE, edge) for edge in ("front-inner-edge", "back-inner-edge")
)
BROKEN_TOO_SOON = (*up_to(A, "measure-raw"), BREAK, *A[place_of(A, "measure-raw") + 1 :])


def breaking(code: Code, what: str, wrong: tuple[Act, ...]) -> Trial:
    """The ring with an edge that the hand is to break; right is to break it at the end."""
    broken = SizedFeature(surface="front-inner-edge", aspect=Aspect.BROKEN, size=size("0.2", "0.1"))
    part = replace(ring_part(), sizes=(*ring_part().sizes, broken))
    return trial(code, what, sheet_of(wrong, part), sheet_of((*A, BREAK), part))


def with_flutes(flute_mm: float) -> Shop:
    return shop_with(drill=replace(simple_shop().drill("drill-10"), flute_mm=flute_mm))


# 18.48: 12 marks before 0; 0.26 and 0.24 deep
HALVED_ANEW = changed(
    changed(reset(A, "to-turn-2", marks=Fraction(38), expected_mm=18.48), "turn-2", depth_mm=0.26),
    "turn-3",
    depth_mm=0.24,
)
BRASS = changed(A, "load", bar="brass-20")
DRILLED_TWICE = before(
    BRASS,
    "stop-drill",
    FitDrill(id="fit-again", step="s", drill="drill-12"),
    touch("touch-again", QUILL, LEFT, "front-face"),
    zero("zero-again", QUILL, "again", "front-face", 0.0),
    DrillHole(
        id="again",
        step="s",
        setting=at(QUILL, "again", 5, 0, -10.0 + POINT_10_MM),
        point_mm=round(POINT_10_MM * 1.2, 2),
        peck_mm=4.0,
    ),
)

VEE_AGAIN = (free("free-last"), FitTool(id="fit-last", step="s", tool="vee-in", stands_out_mm=25.0))
SMALLER_AFTER = before(
    A,
    "stop-bore-1",
    away("aside", CROSS, OUT, 10.0),
    FitDrill(id="fit-smaller", step="s", drill="drill-8"),
    touch("touch-smaller", QUILL, LEFT, "front-face"),
)


def blind_drill(turns: int) -> tuple[Act, ...]:
    """The drill into a blank of 45 mm, whose end stands in the chuck at z = -44."""
    blank = changed(A, "load", bar_length_mm=45.0)
    return reset(blank, "drill", turns=turns, marks=Fraction(0), expected_mm=POINT_10_MM - 2.0 * turns)


def with_blank() -> Shop:
    """A shop whose quill and drill reach through a blank."""
    shop = simple_shop()
    quill = replace(shop.lathe.tailstock.quill, travel_mm=80.0)
    lathe = replace(shop.lathe, tailstock=replace(shop.lathe.tailstock, quill=quill))
    return shop_with(lathe=lathe, drill=replace(shop.drill("drill-10"), flute_mm=70.0))


def with_range(low_mm: float) -> Shop:
    """A bore gauge that begins at a size."""
    shop = simple_shop()
    gauges = tuple(replace(item, low_mm=low_mm) if item.id == "bore-gauge" else item for item in shop.gauges)
    return replace(shop, gauges=gauges)


def near_across(act_id: str, z: float, x: float) -> Approach:
    return Approach(id=act_id, step="s", z_mm=z, x_radius_mm=x, place="by eye", last=IN)


def near(act_id: str, z: float, x: float) -> Approach:
    return Approach(id=act_id, step="s", z_mm=z, x_radius_mm=x, place="by eye")


def deeper_edge(marks: int, depth: float) -> tuple[Act, ...]:
    """The front outer edge plunged to a depth below the corner."""
    acts = reset(A, "edge-outer", marks=Fraction(marks), expected_mm=depth)
    return changed(acts, "edge-outer", length_mm=depth, depth_mm=depth / sqrt(2.0) + 1e-6)


CUTS = (
    trial(
        Code.CUTS_AIR,
        "the size of the cut before",
        reset(A, "to-turn-2", marks=Fraction(25), expected_mm=19.0),
        HALVED_ANEW,
    ),
    trial(
        Code.WRONG_SURFACE,
        "turning the outside called boring",
        changed(A, "turn-2", surface="bore"),
        changed(A, "turn-2", surface="a word that names no surface of the part"),
    ),
    trial(Code.WRONG_SURFACE, "facing called turning", changed(A, "face-1", surface="outside")),
    trial(Code.WRONG_SURFACE, "boring called facing", changed(A, "bore-1", surface="front-face")),
    trial(Code.CUTS_AIR, "a drill in a hole of its own size", before(A, "stop-drill", A[place_of(A, "drill")])),
    trial(
        Code.DEEPER_THAN_SAID,
        "0.3 mm met and 0.25 printed",
        changed(A, "turn-2", depth_mm=0.25),
        changed(A, "turn-2", depth_mm=0.299),
    ),
    trial(
        Code.DEEPER_THAN_SAID,
        "an edge deeper than printed",
        changed(A, "edge-outer", depth_mm=0.2),
        changed(A, "edge-outer", depth_mm=0.29),
    ),
    trial(
        Code.DEEPER_THAN_SAID,
        "the blade wider than printed",
        changed(A, "part", depth_mm=1.5),
        changed(A, "part", depth_mm=3.0),
    ),
    trial(
        Code.DEEPER_THAN_SAID,
        "further into the shoulder than the last cut",
        changed(A, "turn-3", length_mm=12.5),
        changed(A, "turn-3", length_mm=12.1),
    ),
    trial(
        Code.LENGTH_DISAGREES,
        "the way to the setting is longer",
        changed(A, "part", length_mm=4.0),
        changed(A, "part", length_mm=5.3),
    ),
    trial(
        Code.TOOL_CANNOT,
        "a blade that stands out further than it is long",
        changed(A, "fit-blade", stands_out_mm=14.0),
        changed(A, "fit-blade", stands_out_mm=11.0),
    ),
    trial(
        Code.TOOL_CANNOT,
        "facing with a boring bar",
        changed(A, "fit-right", tool="bore-7"),
    ),
    trial(Code.TOOL_CANNOT, "facing with one corner of the blade", without(A, "fit-right-2")),
    trial(
        Code.TOOL_CANNOT,
        "a drill too thick for its chuck",
        changed(A, "fit-drill", drill="drill-16"),
    ),
    trial(Code.DRILL_TOO_SHORT, "flutes buried", A, wrong_shop=with_flutes(13.0), right_shop=with_flutes(13.3)),
    trial(
        Code.DRILL_GRABS,
        "a sharp drill opens a hole in brass",
        sheet_of(DRILLED_TWICE, ring_part("cu_cw614n")),
        sheet_of(BRASS, ring_part("cu_cw614n")),
    ),
    trial(
        Code.DRILL_POINT,
        "a point of another angle",
        changed(A, "drill", point_mm=2.5),
        changed(A, "drill", point_mm=3.01),
    ),
    trial(Code.MALFORMED, "no pecking", changed(A, "drill", peck_mm=0.0), changed(A, "drill", peck_mm=2.0)),
    trial(
        Code.STRIKES_HOLDING,
        "a drill that comes out behind a blank",
        blind_drill(27),
        blind_drill(9),
        wrong_shop=with_blank(),
        right_shop=with_blank(),
    ),
    trial(
        Code.STRIKES_FAR_WALL,
        "a boring bar drawn in until its back meets the far side",
        changed(A, "off-bore", distance_mm=2.2),
        changed(A, "off-bore", distance_mm=1.9),
    ),
    trial(Code.NO_CONTACT, "winding away from the face", changed(A, "touch-face", motion=RIGHT)),
    trial(Code.NO_CONTACT, "a drill wound away", changed(A, "touch-drill", motion=RIGHT)),
    trial(Code.WRONG_CONTACT, "a drill smaller than the hole", SMALLER_AFTER),
    trial(Code.WRONG_CONTACT, "the outside taken for the bore", changed(A, "touch-bar", surface="bore")),
    trial(Code.WRONG_CONTACT, "the front taken for the back", changed(A, "touch-face", surface="back-face")),
    trial(
        Code.WRONG_CONTACT,
        "another corner than the one that is meant",
        changed(A, "near-vee", z_mm=-2.0),
        changed(A, "near-vee", z_mm=1.1),
    ),
    trial(
        Code.WRONG_CONTACT,
        "a feeler thicker than the gap",
        changed(A, "touch-face", feeler_mm=2.5),
        changed(changed(A, "touch-face", feeler_mm=0.0), "near-face", z_mm=2.5),
    ),
    trial(Code.WRONG_CONTACT, "a holder that touches first", changed(A, "fit-blade", stands_out_mm=1.0)),
    trial(Code.PLOUGHS, "not drawn clear before the next depth", without(A, "off-bar", "before-bar")),
    trial(
        Code.PLOUGHS,
        "the carriage drawn into the bar",
        before(A, "over-bar", away("in", CROSS, IN, 5.0)),
        before(A, "over-bar", away("in", CROSS, IN, 1.0)),
    ),
    trial(
        Code.RUBS,
        "a blade set too short for the wall",
        changed(A, "fit-blade", stands_out_mm=3.1),
        changed(A, "fit-blade", stands_out_mm=4.5),
    ),
    trial(
        Code.STRIKES_HOLDING,
        "the carriage fed into the jaws",
        changed(A, "turn-3", length_mm=23.0),
        changed(A, "turn-3", length_mm=12.1),
    ),
    trial(
        Code.STRIKES_FAR_WALL,
        "faced far past the centre",
        changed(A, "face-1", length_mm=15.0),
        changed(A, "face-1", length_mm=13.5),
    ),
    trial(Code.STRIKES_BAR, "into the stub of the bar", before(A, "off-part-2", away("along", TOP, LEFT, 2.0))),
    trial(
        Code.STRIKES_DRILL,
        "a tool before the tailstock",
        changed(A, "out-turn", motion=IN, distance_mm=4.0),
        changed(A, "out-turn", distance_mm=1.0),
    ),
    trial(
        Code.CANNOT_GET_THERE,
        "a place inside the metal",
        changed(A, "near-bore", x_radius_mm=5.6),
        changed(A, "near-bore", x_radius_mm=4.2),
    ),
    trial(
        Code.CANNOT_GET_THERE,
        "into the bore from outside",
        changed(A, "near-bore", last=IN),
        changed(A, "near-bore", x_radius_mm=4.1),
    ),
    trial(
        Code.CANNOT_GET_THERE,
        "straight out of the bore it stands in",
        before(A, "touch-bore", near_across("n", -3.0, 4.1)),
        before(A, "touch-bore", near("n", -3.0, 4.1)),
    ),
    trial(
        Code.WRONG_DIRECTION,
        "brought near from the left",
        changed(A, "near-vee", last=RIGHT),
        changed(A, "near-vee", last=IN),
    ),
    trial(
        Code.CANNOT_GET_THERE,
        "behind the ring, inside the bore",
        before(A, "deburr-back", *VEE_AGAIN, near("n", -7.0, 4.0)),
        before(A, "deburr-back", *VEE_AGAIN, near("n", 2.0, 4.0)),
    ),
    trial(
        Code.BY_EYE_TOO_CLOSE,
        "an end by eye in the middle of the finished outside",
        changed(A, "turn-3", length_mm=8.0),
        changed(A, "turn-3", length_mm=11.9),
    ),
    trial(
        Code.BY_EYE_TOO_CLOSE,
        "an end by eye at the jaws",
        changed(A, "turn-1", length_mm=21.7),
        changed(changed(A, "turn-1", length_mm=20.0), "back-turn-1", distance_mm=20.0),
    ),
    trial(
        Code.NOTHING_LEFT,
        "all of the ring rubbed away",
        before(A, "note", hand("rub", HandKind.RUB_FACE, "back-face", 10.0)),
        before(A, "note", hand("rub", HandKind.RUB_FACE, "back-face", 0.01)),
    ),
    trial(
        Code.TOOL_IN_THE_WAY,
        "the tool still on the surface",
        without(A, "back-turn-1"),
        changed(A, "back-turn-1", distance_mm=12.05),
    ),
    trial(
        Code.TOOL_IN_THE_WAY,
        "the bar still in the bore",
        changed(A, "back-bore-3", distance_mm=6.0),
        changed(A, "back-bore-3", distance_mm=11.0),
    ),
    trial(
        Code.BURR,
        "a width over the burr",
        without(A, "deburr-part"),
        before(A, "measure-raw", hand("d", HandKind.DEBURR)),
    ),
    trial(Code.BURR, "gripped on the burr", moved_to(A, "deburr-part", "indicate")),
    trial(Code.GAUGE_CANNOT, "a micrometer for a bore", changed(A, "measure-bore", gauge="micrometer")),
    trial(
        Code.GAUGE_CANNOT,
        "a range that does not hold the size",
        A,
        wrong_shop=with_range(12.5),
        right_shop=with_range(11.0),
    ),
    trial(
        Code.GAUGE_CANNOT,
        "an indicator that does not show so much",
        changed(A, "indicate", high_mm=1.0),
        changed(A, "indicate", high_mm=0.02),
    ),
    trial(
        Code.MEASURE_DISAGREES,
        "a reading that the cuts do not give",
        changed(A, "measure-bore", expected_mm=12.01),
        changed(A, "measure-bore", expected_mm=12.001),
    ),
    trial(
        Code.MEASURE_DISAGREES,
        "a bore that is not there yet",
        before(A, "out-turn", measure("m", "bore", 12.0, "bore-gauge")),
    ),
    trial(
        Code.LIMITS_DISAGREE,
        "limits that the drawing does not state",
        changed(A, "measure-bore", lower_mm=11.9),
        changed(A, "measure-bore", lower_mm=11.9805),
    ),
    trial(
        Code.LIMITS_DISAGREE,
        "a stop band that stops the expected reading",
        changed(A, "measure-bore", stop_low_mm=12.01),
        changed(A, "measure-bore", stop_low_mm=11.99),
    ),
    trial(
        Code.LIMITS_DISAGREE,
        "a finished size outside its limits",
        changed(A, "measure-turn-1", final=True, lower_mm=17.97, upper_mm=18.03),
    ),
    trial(Code.WIDTH_NOT_REACHABLE, "a width while the ring is held", without(A, "take-out")),
)

END = (
    trial(Code.STILL_TURNING, "the spindle turns at the end", up_to(A, "start-face")),
    trial(Code.STILL_HELD, "the ring is still in the jaws", up_to(A, "deburr-back")),
    trial(Code.UNFINISHED, "the ring is still on the bar", up_to(A, "free-vee-out")),
    trial(Code.UNFINISHED, "an empty sheet", ()),
    trial(Code.NOT_JUDGED, "the outside was cut and never measured again", without(A, "measure-outside")),
    trial(Code.NOT_JUDGED, "the last reading of the bore decides nothing", changed(A, "measure-bore", final=False)),
    trial(Code.NOT_JUDGED, "the width is measured before the back is faced", without(A, "measure-width")),
    trial(Code.BURR_LEFT, "the last burr stands", without(A, "deburr-back")),
    breaking(Code.EDGE_NOT_BROKEN, "an edge that the hand should break", A),
    breaking(Code.EDGE_NOT_BROKEN, "another edge is broken", (*A, BREAK_OTHER)),
    breaking(Code.EDGE_NOT_BROKEN, "broken, and then rubbed away", BROKEN_TOO_SOON),
    breaking(Code.NOT_PARTED, "an edge broken on the lathe", before(A, "take-out", BREAK)),
    breaking(Code.UNKNOWN_SURFACE, "an edge that nobody wants broken", (*A, BREAK, BREAK_OTHER)),
    trial(
        Code.SIZE_NOT_FOUND,
        "a size on a surface that the part has not",
        sheet_of(
            A,
            replace(
                ring_part(),
                sizes=(
                    *ring_part().sizes,
                    SizedFeature(surface="groove", aspect=Aspect.DIAMETER, size=size("15", "0.1")),
                ),
            ),
        ),
    ),
    trial(
        Code.SIZE_OUTSIDE_LIMITS,
        "one mark short of the limit",
        # 18.04: the mark before 0
        changed(
            changed(reset(A, "to-turn-3", turns=-1, marks=Fraction(49), expected_mm=18.04), "turn-3", depth_mm=0.18),
            "measure-outside",
            expected_mm=18.04,
        ),
    ),
    trial(Code.LEFTOVER, "an edge left sharp", without(A, "edge-outer")),
    trial(Code.LEFTOVER, "no second side", (*up_to(A, "measure-raw"),)),
    trial(
        Code.GOUGE,
        "an edge cut 0.2 mm too deep",
        deeper_edge(30, 0.6),
        deeper_edge(22, 0.44),
    ),
)
