"""The chart of the impossible: a demo shop with one thing changed, why it then fails, and the remedy that works.

Each case asserts the code and the words, takes the remedies that the planner names, plans again, and has the sheet
replayed by the check, which knows nothing of the planner. The cases themselves are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest
from msgspec import Struct
from msgspec.structs import replace

from handwheel.check.replay import check_sheet
from handwheel.domain.bars import Bar
from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.errors import NoPlanError
from handwheel.domain.gauges import Gauge, GaugeUse
from handwheel.domain.hole_tools import Drill, DrillKind
from handwheel.domain.lathe import Lathe, SpindleSpeed
from handwheel.domain.motion import Handle
from handwheel.domain.part import Part
from handwheel.domain.refusal import Refusal
from handwheel.domain.remedies import FitSlide, Remedy, UseLathe, with_remedy
from handwheel.domain.remedy_words import remedy_words
from handwheel.domain.shop import Shop
from handwheel.domain.slides import Slide
from handwheel.domain.tools import Hand, Tool, ToolKind
from handwheel.domain.wording import English, UnitsShown
from handwheel.planner.planner import make_plan
from handwheel.planner.remedying import MOST_TRIES
from handwheel.report.wording import wording_for_part
from handwheel.service.refusal_text import refusal_lines, reworded
from tests.one_unit import left_of_the_other
from tests.planner.jobs import LATHES, Ring, demo_part, demo_shop, only_holdings, with_slides, with_tools, without_tools

INCH, METRIC = LATHES
MOST_LINES = 12

# changes to a shop -------------------------------------------------------------------------------------------------


def yard(lathe: str = METRIC) -> Shop:
    return demo_shop(lathe)


def lathe_with(shop: Shop, change: Callable[[Lathe], Lathe]) -> Shop:
    return replace(shop, lathe=change(shop.lathe))


def speeds_with(shop: Shop, change: Callable[[SpindleSpeed], SpindleSpeed]) -> Shop:
    return lathe_with(shop, lambda lathe: replace(lathe, speeds=tuple(change(speed) for speed in lathe.speeds)))


def drills_with(shop: Shop, change: Callable[[Drill], Drill]) -> Shop:
    return replace(
        shop, drills=tuple(drill if drill.kind is DrillKind.CENTRE else change(drill) for drill in shop.drills)
    )


def bars_with(shop: Shop, change: Callable[[Bar], Bar]) -> Shop:
    return replace(shop, bars=tuple(change(bar) for bar in shop.bars))


def gauges_with(shop: Shop, change: Callable[[Gauge], Gauge]) -> Shop:
    return replace(shop, gauges=tuple(change(gauge) for gauge in shop.gauges))


def means_with(shop: Shop, *kinds: str, change: Callable[[HoldingMeans], HoldingMeans]) -> Shop:
    return replace(shop, holdings=tuple(change(means) for means in shop.holdings if means.kind in kinds))


def tools_with(shop: Shop, kind: ToolKind, change: Callable[[Tool], Tool]) -> Shop:
    return replace(shop, tools=tuple(change(tool) if tool.kind is kind else tool for tool in shop.tools))


def without_use(shop: Shop, use: GaugeUse) -> Shop:
    """Shop whose gauges are no good for one use."""
    kept = (replace(gauge, uses=tuple(one for one in gauge.uses if one is not use)) for gauge in shop.gauges)
    return replace(shop, gauges=tuple(gauge for gauge in kept if gauge.uses))


def slide_with_travel(shop: Shop, handle: Handle, travel_mm: float) -> Shop:
    """Shop one of whose slides goes no further than that."""
    fitted: FitSlide = FitSlide(slide=replace(shop.lathe.slide(handle), travel_mm=travel_mm))
    return with_remedy(Ring().part, shop, fitted)[1]


def of_dia(bar: Bar, dia: int) -> Bar:
    return replace(bar, dia_mm=Fraction(dia), dia_lower_mm=Fraction(dia), dia_upper_mm=Fraction(dia))


def centred_by(shop: Shop, dia_mm: Fraction) -> Shop:
    """Shop whose centre drills all have tips of that size."""
    return replace(
        shop, drills=tuple(replace(d, dia_mm=dia_mm) if d.kind is DrillKind.CENTRE else d for d in shop.drills)
    )


def bare_top(shop: Shop) -> Slide:
    return replace(shop.lathe.top, dial=None)


def without_angle_scale(shop: Shop) -> Shop:
    return with_slides(shop, top=replace(shop.lathe.top, angle_scale=None))


def hard_to_cut(shop: Shop) -> Shop:
    """Shop whose titanium is the hard alloy."""
    return bars_with(shop, lambda bar: replace(bar, material="ti_gr5") if bar.material == "ti_gr2" else bar)


# the chart ---------------------------------------------------------------------------------------------------------


class Case(Struct, frozen=True, kw_only=True):
    """One kind of the impossible: what is changed, the code it gets, words of the trouble, words of the remedy."""

    shop: Callable[[], Shop]
    code: str
    why: str
    asks: str
    part: Callable[[], Part] = lambda: Ring().part


CHART = {
    "no drill at all and the bar is solid": Case(
        shop=lambda: replace(yard(), drills=()),
        code="no-drill",
        why="no twist drill, and the bar is solid",
        asks="a twist drill of Ø",
    ),
    "no drill that stays below the bore": Case(
        shop=lambda: drills_with(yard(), lambda drill: replace(drill, dia_mm=drill.dia_mm + 20)),
        code="drill-too-large",
        why="the rough bore must stay below Ø 17.5 mm (0.69 in)",
        asks="a twist drill of Ø",
    ),
    "every centre drill larger than the drill": Case(
        shop=lambda: centred_by(yard(), Fraction(25)),
        code="centre-drill-too-large",
        why="the smallest centre drill opens Ø 25 mm (0.9843 in)",
        asks="a centre drill of Ø 2.5 mm",
    ),
    "a metal without a modulus": Case(
        shop=lambda: bars_with(yard(), lambda bar: replace(bar, material="au585") if bar.material == "ti_gr2" else bar),
        part=lambda: Ring(metal="au585").part,
        code="metal-not-known",
        why="no modulus of elasticity",
        asks="another metal",
    ),
    "drill chuck too small": Case(
        shop=lambda: lathe_with(
            yard(), lambda lathe: replace(lathe, tailstock=replace(lathe.tailstock, chuck_high_dia_mm=4.0))
        ),
        code="drill-chuck-too-small",
        why="the drill chuck takes Ø 4 mm",
        asks="a drill chuck or taper sleeve that takes drills of Ø",
    ),
    "hole deeper than the flutes": Case(
        shop=lambda: drills_with(yard(), lambda drill: replace(drill, flute_mm=10.0)),
        code="flutes-too-short",
        why="its flutes are 10 mm (0.3937 in) long",
        asks="with 20 mm (0.7874 in) of flute",
    ),
    "belt slips under every drill": Case(
        shop=lambda: speeds_with(yard(), lambda speed: replace(speed, torque_limit_nm=1.0)),
        code="drill-not-driven",
        why="N·m at the least feed; torque in",
        asks="a spindle speed of",
    ),
    "motor too weak to part off": Case(
        shop=lambda: lathe_with(yard(), lambda lathe: replace(lathe, motor_power_w=80.0)),
        code="chip-too-wide",
        why="needs more than the lathe has (power, 80 W at the motor)",
        asks="a spindle speed of 40 rev/min",
    ),
    "no blade": Case(
        shop=lambda: without_tools(yard(), ToolKind.PARTING),
        code="no-blade",
        why="the shop has no parting blade",
        asks="a parting blade",
    ),
    "blade too short": Case(
        shop=lambda: with_tools(yard(), ToolKind.PARTING, reach_mm=2.0),
        code="blade-too-short",
        why="it reaches 2 mm (0.0787 in) and 4.8 mm",
        asks="reaching 5 mm",
    ),
    "no boring bar": Case(
        shop=lambda: without_tools(yard(), ToolKind.BORING),
        code="no-boring-bar",
        why="the shop has no boring bar",
        asks="a boring bar",
    ),
    "boring bar too short": Case(
        shop=lambda: with_tools(yard(), ToolKind.BORING, reach_mm=8.0),
        code="boring-bar-too-short",
        why="it reaches 8 mm (0.315 in) and the bore with its overrun is",
        asks="reaching 13 mm",
    ),
    "bore too small for the boring bar": Case(
        shop=lambda: with_tools(yard(), ToolKind.BORING, bar_dia_mm=17.0),
        code="too-thick-for-the-hole",
        why="its back would rub on the opposite wall",
        asks="boring bar, sharp, but Ø",
    ),
    "no turning tool": Case(
        shop=lambda: without_tools(yard(), ToolKind.TURNING),
        code="no-turning-tool",
        why="no tool for turning and facing",
        asks="a turning and facing tool: nose radius 0.2 mm",
    ),
    "wrong hand": Case(
        shop=lambda: tools_with(yard(), ToolKind.TURNING, lambda tool: replace(tool, hand=Hand.LEFT)),
        code="wrong-hand",
        why="left",
        asks="right hand",
    ),
    "nose too round to face to the centre": Case(
        shop=lambda: tools_with(yard(), ToolKind.TURNING, lambda tool: replace(tool, nose_radius_mm=1.5)),
        code="nose-too-round",
        why="its nose, 1.5 mm (0.0591 in)",
        asks="nose radius 0.2 mm",
    ),
    "edges too blunt": Case(
        shop=lambda: replace(yard(), tools=tuple(replace(tool, edge_radius_um=120.0) for tool in yard().tools)),
        code="chip-too-thin",
        why="the edge rubs below 0.0720 mm (0.00283 in)",
        asks="edge sharp to",
    ),
    "wall to a knife edge": Case(
        part=lambda: Ring(outside=20.9, edges=("front_outer", "back_outer")).part,
        shop=lambda: only_holdings(yard(), "flat-plate"),
        code="knife-edge",
        why="in) of wall; at least 0.50 mm (0.0197 in) must hold the ring",
        asks="a stub mandrel",
    ),
    "bar too short": Case(
        shop=lambda: bars_with(yard(), lambda bar: replace(bar, length_mm=20.0)),
        code="bar-too-short",
        why="it is 20 mm (0.79 in) long",
        asks="a bar of ti_gr2",
    ),
    "bar too small": Case(
        shop=lambda: bars_with(yard(), lambda bar: of_dia(bar, 20)),
        code="bar-too-small",
        why="no bar of Titanium grade 2 is large enough",
        asks="a bar of ti_gr2, Ø 25 mm (0.9843 in), delivered as 24.87 to 25 mm",
    ),
    "no bar of the metal": Case(
        shop=lambda: bars_with(yard(), lambda bar: replace(bar, material="cu_cw307g")),
        code="no-bar-of-the-metal",
        why="the shop has no bar of Titanium grade 2",
        asks="a bar of ti_gr2, Ø 25 mm (0.9843 in), delivered as 24.87 to 25 mm",
    ),
    "bar does not go into the chuck": Case(
        shop=lambda: lathe_with(
            yard(), lambda lathe: replace(lathe, chuck=replace(lathe.chuck, grip_high_dia_mm=20.0))
        ),
        code="bar-not-gripped",
        why="grips",
        asks="that grip Ø 3 to 25.02 mm",
    ),
    "nothing to hold the ring by": Case(
        shop=lambda: replace(yard(), holdings=()),
        code="no-holding",
        why="nothing holds the ring for its second side",
        asks="a flat plate",
    ),
    "holdings of the wrong size": Case(
        shop=lambda: means_with(
            yard(), "soft-jaws", "stub-mandrel", change=lambda m: replace(m, low_dia_mm=60.0, high_dia_mm=80.0)
        ),
        code="holding-takes-not-the-size",
        why="60 to 80 mm (2.3622 to 3.1496 in) and the ring has 23.00 mm (0.9055 in)",
        asks="",
    ),
    "lobes beyond the tolerance": Case(
        shop=lambda: means_with(
            yard(), "soft-jaws", change=lambda means: replace(means, force_n=9000.0, wrap_deg=20.0)
        ),
        code="lobes-exceed-tolerance",
        why="would leave lobes of",
        asks="",
    ),
    "holding bears no speed of the lathe": Case(
        shop=lambda: means_with(yard(), "soft-jaws", change=lambda means: replace(means, max_rpm=40.0)),
        code="speeds-too-fast",
        why="what holds the work bears 40",
        asks="a spindle speed of 40 rev/min",
    ),
    "back edge that nothing reaches": Case(
        part=lambda: demo_part("band"),
        shop=lambda: only_holdings(yard(INCH), "flat-plate"),
        code="unreachable",
        why="none of them reaches it",
        asks="",
    ),
    "tolerance finer than the dial": Case(
        part=lambda: Ring(outside_pm=0.018).part,
        shop=lambda: without_angle_scale(yard()),
        code="tolerance-finer-than-dial",
        why="the tolerance is 0.036 mm (0.0014 in) wide and one step of the "
        "cross-slide is worth 0.040 mm (0.0016 in) on the diameter",
        asks="",
    ),
    "tolerance finer than the gauge": Case(
        shop=lambda: gauges_with(yard(), lambda gauge: replace(gauge, uncertainty_mm=0.05)),
        code="gauge-too-coarse",
        why="the best gauge is uncertain by ±0.050 mm (0.0020 in) and the tolerance is 0.120 mm (0.0047 in) wide",
        asks="a gauge for bore",
    ),
    "no gauge in range": Case(
        shop=lambda: gauges_with(yard(), lambda gauge: replace(gauge, high_mm=min(gauge.high_mm, 22.0))),
        code="no-gauge-in-range",
        why="no gauge of the shop takes 23.00 mm (0.9055 in) (outside diameter)",
        asks="a gauge for outside diameter",
    ),
    "no gauge for the width": Case(
        shop=lambda: without_use(yard(), GaugeUse.LENGTH),
        code="no-gauge-in-range",
        why="no gauge of the shop takes 6.00 mm (0.2362 in) (length)",
        asks="a gauge for length",
    ),
    "no indicator": Case(
        shop=lambda: without_use(only_holdings(yard(), "soft-jaws"), GaugeUse.RUNOUT),
        code="no-indicator",
        why="the shop has no indicator for runout",
        asks="a gauge for runout",
    ),
    "speeds too fast for titanium": Case(
        part=lambda: Ring(metal="ti_gr5").part,
        shop=lambda: lathe_with(
            hard_to_cut(yard()),
            lambda lathe: replace(lathe, speeds=tuple(speed for speed in lathe.speeds if speed.rpm >= 700)),
        ),
        code="speeds-too-fast",
        why="Titanium grade 5 Ti-6Al-4V bears 50 m/min, 164 ft/min with carbide",
        asks="a spindle speed of",
    ),
    "cross-slide too short": Case(
        shop=lambda: slide_with_travel(yard(), Handle.CROSS, 8.0),
        code="travel-too-short",
        why="in) from end to end and has 8 mm (0.315 in)",
        asks="cross-slide:",
    ),
    "top slide too short": Case(
        shop=lambda: slide_with_travel(yard(), Handle.TOP, 6.0),
        code="travel-too-short",
        why="the top slide would go",
        asks="top slide:",
    ),
    "carriage too short": Case(
        shop=lambda: slide_with_travel(yard(), Handle.CARRIAGE, 6.0),
        code="travel-too-short",
        why="the carriage would go",
        asks="carriage:",
    ),
    "quill too short": Case(
        shop=lambda: slide_with_travel(yard(), Handle.QUILL, 9.0),
        code="travel-too-short",
        why="the tailstock quill would go",
        asks="tailstock quill:",
    ),
    "nothing tells a length": Case(
        shop=lambda: with_slides(
            yard(INCH), top=bare_top(yard(INCH)), carriage=replace(yard(INCH).lathe.carriage, aids=())
        ),
        code="no-length-scale",
        why="nothing tells how far the tool goes along the bed",
        asks="carriage: an indicator with steps of 0.01 mm",
    ),
    "nothing feeds along": Case(
        shop=lambda: with_slides(
            yard(INCH), top=bare_top(yard(INCH)), carriage=replace(yard(INCH).lathe.carriage, turn_mm=0.0)
        ),
        code="nothing-feeds-along",
        why="nothing can feed along the bed",
        asks="carriage: tell its travel in one turn",
    ),
    "nothing tells the cross-slide": Case(
        shop=lambda: with_slides(yard(), cross=replace(yard().lathe.cross, dial=None)),
        code="no-cross-scale",
        why="the cross-slide has neither dial nor readout",
        asks="cross-slide: a ",
    ),
    "no scale to swing the top slide by": Case(
        part=lambda: Ring(edges=("front_outer",), along=0.6, across=0.3).part,
        shop=lambda: without_angle_scale(yard()),
        code="edge-angle-not-settable",
        why="the top slide has no scale to be swung by",
        asks="top slide: a scale to be swung by",
    ),
    "edge steeper than the top slide swings": Case(
        part=lambda: Ring(edges=("front_outer",), along=0.3, across=0.6).part,
        shop=lambda: with_slides(
            yard(INCH),
            top=replace(
                yard(INCH).lathe.top,
                angle_scale=replace(scale, max_deg=15.0) if (scale := yard(INCH).lathe.top.angle_scale) else None,
            ),
        ),
        code="edge-angle-not-settable",
        why="the top slide cannot be set to 63.4°",
        asks="top slide: a scale to be swung by",
    ),
    "width finer than the scale along the bed": Case(
        part=lambda: Ring(width=6.05, width_pm=0.03).part,
        shop=lambda: with_slides(
            only_holdings(yard(), "soft-jaws"),
            top=bare_top(yard()),
        ),
        code="width-finer-than-scale",
        why="the width must be",
        asks="",
    ),
}


def refusal_of(part: Part, shop: Shop) -> Refusal:
    with pytest.raises(NoPlanError) as raised:
        make_plan(part, shop)
    return raised.value.refusal


def with_all(part: Part, shop: Shop, remedies: tuple[Remedy, ...]) -> tuple[Part, Shop]:
    for remedy in remedies:
        part, shop = with_remedy(part, shop, remedy)
    return part, shop


@pytest.mark.parametrize("name", CHART)
def test_the_remedy_named_for_what_is_impossible_works(name: str) -> None:
    case = CHART[name]
    part, shop = case.part(), case.shop()
    refusal = refusal_of(part, shop)
    assert case.code in refusal.codes
    assert any(case.why in trouble.why for trouble in refusal.troubles if trouble.code == case.code)
    assert any(case.asks in remedy_words(remedy, shop, part.units) for remedy in refusal.remedies)
    other_part, other_shop = with_all(part, shop, refusal.remedies)
    plan = make_plan(other_part, other_shop)
    report = check_sheet(plan.sheet, other_shop)
    assert report.ok, report.refusals


@pytest.mark.parametrize("name", CHART)
def test_a_refusal_is_short_and_begins_with_what_would_help(name: str) -> None:
    case = CHART[name]
    refusal = refusal_of(case.part(), case.shop())
    text = str(NoPlanError(refusal)).splitlines()
    assert len(text) <= MOST_LINES
    assert text[0].startswith("no plan for ")
    assert text[1].startswith("what would make it possible (tried")
    assert text[1 + len(refusal.remedies) + 1] == "what was tried and failed:"
    assert refusal.tries <= MOST_TRIES
    assert all(len(line) <= 80 for line in refusal_lines(refusal, width=80))


@pytest.mark.parametrize("name", CHART)
def test_a_refusal_is_told_in_inches_and_american_words_alone_if_so_wanted(name: str) -> None:
    part, shop = CHART[name].part(), CHART[name].shop()
    wording = wording_for_part(part, shop, shown=UnitsShown.INCH, english=English.AMERICAN)
    told = "\n".join(reworded(refusal_of(part, shop), wording.of).lines)
    assert left_of_the_other(told, UnitsShown.INCH, part, shop) == []
    assert "top slide" not in told


def test_where_nothing_at_hand_helps_another_lathe_is_named_and_tried() -> None:
    """A motor of 5 W drives no drill at any speed that is tried, and on 1 N/µm every cut chatters."""
    own = yard()
    for lathe in (replace(own.lathe, motor_power_w=5.0), replace(own.lathe, tool_stiffness_n_um=1.0)):
        shop = replace(own, lathe=lathe)
        refusal = refusal_of(Ring().part, shop)
        assert [type(remedy) for remedy in refusal.remedies] == [UseLathe]
        part, other = with_all(Ring().part, shop, refusal.remedies)
        assert check_sheet(make_plan(part, other).sheet, other).ok


def test_what_was_not_tried_to_the_end_is_not_promised() -> None:
    """A bore of 0.6 mm is below every drill that can be had here, so a blade alone does not help."""
    refusal = refusal_of(Ring(bore=0.6, outside=12.0).part, without_tools(yard(), ToolKind.PARTING))
    assert refusal.remedies == ()
    assert refusal.might_help
    assert refusal.lines[1] == "what might help (not tried to the end):"


def test_where_nothing_can_be_named_only_what_failed_is_told() -> None:
    refusal = refusal_of(Ring(bore=0.6, outside=12.0).part, yard())
    assert (refusal.remedies, refusal.might_help) == ((), ())
    assert refusal.lines[1] == "what was tried and failed:"
    assert "leaves nothing for a drill" in refusal.lines[2]


def test_the_remedies_of_a_refusal_are_all_needed() -> None:
    """Two faults at once: each of the two remedies alone gives no plan."""
    part = Ring().part
    shop = with_tools(without_tools(yard(), ToolKind.PARTING), ToolKind.BORING, reach_mm=8.0)
    refusal = refusal_of(part, shop)
    assert len(refusal.remedies) == 2
    for remedy in refusal.remedies:
        refusal_of(*with_remedy(part, shop, remedy))
    make_plan(*with_all(part, shop, refusal.remedies))


def test_the_same_refusal_is_given_twice() -> None:
    part, shop = Ring().part, with_tools(yard(), ToolKind.BORING, reach_mm=8.0)
    assert refusal_of(part, shop) == refusal_of(part, shop)
