"""Whole things that would serve: the shop's own thing with one measure changed, or a plain new one.

What the shop lacks altogether gets the usual measures of such a thing; they are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, floor
from re import sub
from typing import Any

from msgspec.structs import replace

from handwheel.data.bars import bar_at_least
from handwheel.data.drills import DrillSeries, centre_pilots_mm, drill_sizes, series_mm
from handwheel.domain.bars import Bar
from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.exact import Fraction
from handwheel.domain.gauges import Gauge, GaugeUse
from handwheel.domain.hole_tools import Drill, DrillKind, Reamer, ReamerKind, Tap
from handwheel.domain.lathe import SpindleSpeed
from handwheel.domain.motion import Edge, Handle
from handwheel.domain.part import BACK_OUTER_EDGE, FRONT_OUTER_EDGE, Part, Units
from handwheel.domain.shop import Shop
from handwheel.domain.size import MM_PER_INCH, Size, inch_fraction
from handwheel.domain.slides import AidKind, AngleScale, Dial, LengthAid, Slide
from handwheel.domain.thread import Thread
from handwheel.domain.tools import Hand, Tool, ToolKind
from handwheel.planner.ledges import most_corner_mm

BAR_LENGTH_MM = 150.0
GAUGE_TRUST_SHARE = 8.0
"""A gauge that is offered is trusted to this part of the tolerance, at best to a micron."""
GAUGE_ROOM_MM = 5.0
"""How far a gauge that is offered reaches below and above the size."""
USUAL_TURN_MM = 18.0
"""Travel of a carriage in one turn of its wheel; lathes have about 12 to 25 mm."""
FINE_STEPS_MM = tuple(Fraction(step, 1000) for step in (10, 5, 2, 1))
"""Steps that readouts have."""
USUAL_LEAD_MM = 2.0
"""Lead of a slide's screw; metric lathes have about 1 to 4 mm."""
INDICATOR_STEP_MM = Fraction(1, 100)
SOFT_FORCE_N = 200.0
"""Grip of a jaw that is offered: light, as for a finished ring (common practice, no source)."""
FORM_LIP_MM, FORM_HEAD_MM, FORM_SHANK_MM = 1.0, 4.0, 8.0
"""Lip beside the hollow of a form tool that is offered, height of its ground end beyond the hollow, and its shank: it
goes into a groove of 2 mm (common practice, no source)."""
FORM_BAR_SHARE, FORM_REACH_MM = 0.4, 6.0
"""Its bar as a share of the hole, and how far it stands out beyond its room (common practice, no source)."""
INSIDE_HEAD_MM = 1.5
INSIDE_ROOM_MM = 8.0
NUT_FORCE_N = 3000.0
"""Pull of a small nut done up by hand with a spanner (common practice, no source)."""
NOSE_MM = 0.2
LEAST_NOSE_MM = 0.05
"""Sharpest nose that is offered: a point without a round does not hold; common practice, no source."""
CORNER_STEP_MM = 0.01
"""Round corners are drawn in steps of this."""
ENTERING_DEG = 93.0
SQUARE_DEG = 90.0
SPEED_STEP_RPM = 5.0
TAP_LEAD_PITCHES = 4.0
"""Lead of a second or plug tap, in pitches; common practice, no source."""
TAP_LENGTH_DIAS = 2.0
REAMED_MM = Fraction(1, 50)
"""Scatter of a reamed hole, about that of H7; from memory of Machinery's Handbook."""
REAMER_LEAD_DIAS, LEAD_BELOW_MM = 0.25, 0.4
"""Length of a machine reamer's lead in diameters, and how much smaller it begins; common practice, no source."""
FLUTE_STEP_MM = 10.0
FLUTE_ROOM_MM = 3.0
"""How much longer than the full diameter is deep the flutes are at least, so that the chips come out."""
POINT_SHARE = 0.3
"""Length of a drill's usual point, 118°, for each millimetre of its diameter; geometry."""
DRILL_STEP_MM = Fraction(1, 2)
"""Steps of the metric drills that sets have (common practice, no source); of fractions of an inch all are offered."""
BEYOND_STEPS_MM = {Units.MM: DRILL_STEP_MM, Units.INCH: MM_PER_INCH / 16}
"""Steps of drills that are larger than the largest of their series; common practice, no source."""
BEYOND_BAR_STEPS_MM = {Units.MM: Fraction(5), Units.INCH: MM_PER_INCH / 4}
"""Likewise of bars."""
CENTRE_FLUTE_DIAS = 3.0
"""Flutes of a centre drill in diameters of its tip: as deep as it goes, its point and room for chips."""
USUAL_CENTRE_MM = Fraction(5, 2)
"""Tip of the largest centre drill that is offered; common practice, no source."""


def _named(base: str, **measures: float) -> str:
    return "-".join((base, *(f"{name}-{value:g}" for name, value in measures.items())))


def like(tool: Tool, **changes: float) -> Tool:
    """The tool with some measures changed, under a name of its own."""
    plain = tool.id
    for name in changes:  # a measure that was changed before is changed anew, not twice
        plain = sub(rf"-{name}-[0-9.]+", "", plain)
    changed: dict[str, Any] = {"id": _named(plain, **changes), **changes}
    return replace(tool, **changed)


def with_edge(tool: Tool, edge: Edge) -> Tool:
    """The tool with an edge of another material."""
    return replace(tool, id=f"{tool.id}-{edge.value.replace(' ', '-')}", edge=edge)


def bar(part: Part, *, least_dia_mm: float, units: Units) -> Bar:
    """Bar of the part's metal as it is sold, large enough even at its lower limit, one ring and its waste long."""
    sold = bar_at_least(least_dia_mm, units=units)
    step = BEYOND_BAR_STEPS_MM[units]
    dia = ceil(least_dia_mm / float(step)) * step if sold is None else sold.dia_mm
    return Bar(
        id=f"new-{part.material}-{_dia_name(dia)}",
        material=part.material,
        dia_mm=dia,
        dia_lower_mm=dia if sold is None else sold.least_mm,
        dia_upper_mm=dia if sold is None else dia + sold.upper_mm,
        length_mm=BAR_LENGTH_MM,
        tolerance_rule="as measured" if sold is None else sold.delivered_as,
    )


def _dia_name(dia_mm: Fraction) -> str:
    """Diameter as part of a name: a fraction of an inch if it is one, millimetres otherwise."""
    inches = inch_fraction(dia_mm)
    return f"{inches.replace(' ', '-')}in" if inches else f"{float(dia_mm):g}"


def blade(shop: Shop, *, reach_mm: float) -> Tool:
    """Parting blade of that reach: the shop's own set further out, or a plain one 2 mm wide."""
    own = [tool for tool in shop.tools if tool.kind is ToolKind.PARTING]
    if own:
        return like(max(own, key=lambda tool: (tool.reach_mm, tool.id)), reach_mm=reach_mm)
    return Tool(
        id=_named("blade", width_mm=2.0, reach_mm=reach_mm),
        name="2 mm parting blade",
        kind=ToolKind.PARTING,
        edge=Edge.HSS,
        hand=Hand.NEUTRAL,
        width_mm=2.0,
        reach_mm=reach_mm,
    )


def flat_plate(part: Part) -> HoldingMeans:
    """Flat plate with abrasive paper, to rub the back face on."""
    return HoldingMeans(
        id="new-flat-plate",
        kind="flat-plate",
        name="a flat plate with abrasive paper",
        low_dia_mm=0.0,
        high_dia_mm=ceil(2.0 * part.outside_radius_mm),
        grip_mm=0.0,
        runout_mm=0.0,
        ready_s=120.0,
        max_rpm=0.0,
    )


def soft_jaws(part: Part, *, force_n: float = SOFT_FORCE_N) -> HoldingMeans:
    """Soft jaws for this ring, that grip half of its width."""
    outside = 2.0 * part.outside_radius_mm
    return HoldingMeans(
        id=_named("new-soft-jaws", force=force_n),
        kind="soft-jaws",
        name=f"soft jaws (grip {force_n:g} N each)",
        low_dia_mm=floor(0.5 * outside),
        high_dia_mm=ceil(2.0 * outside),
        grip_mm=max(3.0, 0.5 * part.width_mm),
        runout_mm=0.03,
        ready_s=900.0,
        max_rpm=1000.0,
        force_n=force_n,
        wrap_deg=110.0,
    )


def stub_mandrel(part: Part) -> HoldingMeans:
    """Stub turned in place to the bore of this ring."""
    hole = 2.0 * part.bore_radius_mm
    return HoldingMeans(
        id="new-stub-mandrel",
        kind="stub-mandrel",
        name="a stub mandrel, turned in place",
        low_dia_mm=floor(0.5 * hole),
        high_dia_mm=ceil(2.0 * hole),
        grip_mm=0.5 * part.width_mm,
        runout_mm=0.01,
        ready_s=1200.0,
        max_rpm=1000.0,
        force_n=300.0,
    )


def step_spigot(part: Part) -> HoldingMeans:
    """Stub with a step to the bore of this ring, a washer and a nut that press it endwise."""
    return replace(
        stub_mandrel(part),
        id="new-step-spigot",
        kind="step-spigot",
        name="a step spigot with washer and nut",
        force_n=NUT_FORCE_N,
    )


def turned_holdings(part: Part) -> tuple[HoldingMeans, ...]:
    """Plain things to turn this ring in for its second side, the simplest first."""
    return soft_jaws(part), stub_mandrel(part)


def holdings(part: Part) -> tuple[HoldingMeans, ...]:
    """Plain things to hold this ring by for its second side, the simplest first."""
    return flat_plate(part), *turned_holdings(part)


def edge_tool(*, inside: bool, hole_dia_mm: float, reach_mm: float) -> Tool:
    """Tool with two sides at 45°, for edges outside, or for edges in a hole from either end."""
    if not inside:
        return Tool(
            id="new-vee-in",
            name="90 degree edge tool for outside edges",
            kind=ToolKind.EDGE_OUTSIDE,
            edge=Edge.HSS,
            hand=Hand.NEUTRAL,
            width_mm=8.0,
        )
    bar_mm = max(2.0, floor(0.5 * hole_dia_mm))
    return Tool(
        id=_named("new-vee-out", bar=bar_mm, reach=ceil(reach_mm + INSIDE_ROOM_MM)),
        name="edge tool for edges in a hole",
        kind=ToolKind.EDGE_INSIDE,
        edge=Edge.HSS,
        hand=Hand.NEUTRAL,
        width_mm=2.0 * INSIDE_HEAD_MM,
        head_mm=INSIDE_HEAD_MM,
        bar_dia_mm=bar_mm,
        reach_mm=ceil(reach_mm + INSIDE_ROOM_MM),
    )


def form_tool(part: Part, edge: str, *, radius_mm: float, hand: Hand) -> Tool:
    """Tool with a hollow quarter circle of a radius, for an outside edge or for the mouth of a hole."""
    if edge in (FRONT_OUTER_EDGE, BACK_OUTER_EDGE):
        return Tool(
            id=_named(f"new-form-in-{hand.value}", radius=radius_mm),
            name=f"form tool for rounds of {radius_mm:g} mm on outside edges",
            kind=ToolKind.FORM_OUTSIDE,
            edge=Edge.HSS,
            hand=hand,
            width_mm=radius_mm + FORM_LIP_MM,
            head_mm=radius_mm + FORM_HEAD_MM,
            shank_mm=FORM_SHANK_MM,
            hollow_radius_mm=radius_mm,
        )
    bar_mm = max(2.0, floor(FORM_BAR_SHARE * 2.0 * part.bore_radius_mm))
    return Tool(
        id=_named(f"new-form-out-{hand.value}", radius=radius_mm, bar=bar_mm),
        name=f"form tool for rounds of {radius_mm:g} mm at the mouth of a hole",
        kind=ToolKind.FORM_INSIDE,
        edge=Edge.HSS,
        hand=hand,
        width_mm=radius_mm + FORM_LIP_MM,
        head_mm=radius_mm + FORM_LIP_MM,
        bar_dia_mm=bar_mm,
        reach_mm=ceil(radius_mm + INSIDE_ROOM_MM + FORM_REACH_MM),
        hollow_radius_mm=radius_mm,
    )


def gauge(size: Size, use: GaugeUse) -> Gauge:
    """Gauge that decides a size of that use."""
    nominal = float(size.cut_target)
    trust = max(0.001, floor(1000.0 * float(size.band) / GAUGE_TRUST_SHARE) / 1000.0)
    return Gauge(
        id=_named(f"gauge-{use.name.lower()}", size=round(nominal, 3), trust=trust),
        name=f"gauge for {use.value}",
        uses=(use,),
        low_mm=max(0.0, floor(nominal - GAUGE_ROOM_MM)),
        high_mm=ceil(nominal + GAUGE_ROOM_MM),
        step_mm=Fraction(trust).limit_denominator(1000),
        uncertainty_mm=trust,
    )


def indicator() -> Gauge:
    """Dial test indicator."""
    return Gauge(
        id="new-indicator",
        name="dial test indicator",
        uses=(GaugeUse.RUNOUT,),
        low_mm=0.0,
        high_mm=0.8,
        step_mm=INDICATOR_STEP_MM,
        uncertainty_mm=0.01,
    )


def turning_tool() -> Tool:
    """Right-hand turning and facing tool of high-speed steel."""
    return Tool(
        id="new-right-hand",
        name="right-hand turning and facing tool",
        kind=ToolKind.TURNING,
        edge=Edge.HSS,
        nose_radius_mm=NOSE_MM,
        entering_deg=ENTERING_DEG,
    )


def boring_bar(*, hole_dia_mm: float, reach_mm: float) -> Tool:
    """Boring bar of high-speed steel for a hole of that size, half as thick as the hole is wide."""
    bar_mm = float(max(3, floor(0.5 * hole_dia_mm)))
    return Tool(
        id=_named("new-boring", bar=bar_mm, reach=ceil(reach_mm)),
        name=f"{bar_mm:g} mm boring bar",
        kind=ToolKind.BORING,
        edge=Edge.HSS,
        nose_radius_mm=NOSE_MM,
        entering_deg=ENTERING_DEG,
        bar_dia_mm=bar_mm,
        head_mm=1.0,
        reach_mm=ceil(reach_mm),
    )


def wider(size: Size, *, band_mm: float) -> Size:
    """The size with its limits moved apart, evenly, to the hundredth; nominal and rule of the drawing are kept."""
    more = Fraction(ceil(50.0 * (band_mm - float(size.band)) + 1e-9), 100)
    return replace(size, lower=size.lower - more, upper=size.upper + more)


def reamer(size: Size, *, depth_mm: float) -> Reamer:
    """Machine reamer of a size, long enough: its holes scatter as reamed ones do, however fine the limits are."""
    target = size.cut_target
    half = REAMED_MM / 2
    lead = REAMER_LEAD_DIAS * float(target)
    return Reamer(
        id=_named("reamer", dia=round(float(target), 3)),
        kind=ReamerKind.MACHINE,
        dia_mm=target,
        hole_lower_mm=target - half,
        hole_upper_mm=target + half,
        flute_mm=float(ceil(depth_mm + 2.0 * lead)),
        lead_mm=lead,
        lead_dia_mm=float(target) - LEAD_BELOW_MM,
    )


def drill(dia_mm: Fraction, *, depth_mm: float, dubbed: bool) -> Drill:
    """Twist drill whose flutes are longer than the hole is deep."""
    deep = depth_mm + max(FLUTE_ROOM_MM, POINT_SHARE * float(dia_mm))
    flute_mm = ceil(deep / FLUTE_STEP_MM) * FLUTE_STEP_MM
    return Drill(
        id=_named(f"drill-{_dia_name(dia_mm)}{'-dubbed' if dubbed else ''}", flute=flute_mm),
        kind=DrillKind.TWIST,
        dia_mm=dia_mm,
        flute_mm=flute_mm,
        dubbed=dubbed,
    )


def centre_drill(*, below_dia_mm: float) -> Drill:
    """Centre drill whose tip is smaller than a drill that follows it, the usual one or less.

    Below the smallest of the series half of that drill.
    """
    fit = [dia for dia in centre_pilots_mm() if float(dia) < below_dia_mm and dia <= USUAL_CENTRE_MM]
    dia = max(fit, default=Fraction(below_dia_mm).limit_denominator(100) / 2)
    return Drill(
        id=_named("centre", dia=float(dia)), kind=DrillKind.CENTRE, dia_mm=dia, flute_mm=CENTRE_FLUTE_DIAS * float(dia)
    )


def with_dubbed_lips(drill: Drill) -> Drill:
    """The drill with its lips dubbed, so that they do not grab."""
    return replace(drill, id=f"{drill.id}-dubbed", dubbed=True)


def tap(thread: Thread, *, length_mm: float = 0.0) -> Tap:
    """Tap of a thread, with the usual lead of four pitches, cutting at least so deep."""
    lead = TAP_LEAD_PITCHES * float(thread.pitch_mm)
    return Tap(
        id=f"tap-{thread.designation}",
        thread=thread,
        lead_mm=lead,
        length_mm=float(ceil(max(length_mm, TAP_LENGTH_DIAS * float(thread.major_mm) + lead))),
    )


def corner_mm(part: Part, wanted_mm: float) -> float:
    """Round that may be allowed in the inside corners: as wanted, or as large as the drawing bears. [mm]"""
    most = most_corner_mm(part)
    return wanted_mm if wanted_mm <= most else round(floor(most / CORNER_STEP_MM + 1e-6) * CORNER_STEP_MM, 3)


def largest_drill(below_dia_mm: float, *, units: Units, depth_mm: float, dubbed: bool) -> Drill | None:
    """Largest drill of a usual set, by millimetres or fractions of an inch, that is no larger than that."""
    dia = _largest(_usual_drills_mm(units), below_dia_mm, step=BEYOND_STEPS_MM[units])
    return None if dia is None else drill(dia, depth_mm=depth_mm, dubbed=dubbed)


def nearest_drill(below_dia_mm: float, *, depth_mm: float, dubbed: bool) -> Drill | None:
    """Largest drill of any series that is no larger than that, as it goes before a reamer."""
    every = tuple(sorted(size.dia_mm for size in drill_sizes()))
    dia = _largest(every, below_dia_mm, step=DRILL_STEP_MM)
    return None if dia is None else drill(dia, depth_mm=depth_mm, dubbed=dubbed)


def _usual_drills_mm(units: Units) -> tuple[Fraction, ...]:
    if units is Units.INCH:
        return series_mm(DrillSeries.FRACTION)
    return tuple(dia for dia in series_mm(DrillSeries.METRIC) if dia % DRILL_STEP_MM == 0)


def _largest(sold_mm: Sequence[Fraction], below_dia_mm: float, *, step: Fraction) -> Fraction | None:
    """Largest of rising diameters that is no larger than that, by steps beyond the last; ``None`` below the first."""
    if below_dia_mm > float(sold_mm[-1]):
        return max(sold_mm[-1], floor(below_dia_mm / float(step)) * step)
    return max((dia for dia in sold_mm if float(dia) <= below_dia_mm), default=None)


def slow_speed(highest_rpm: float) -> SpindleSpeed | None:
    """Speed at most so high, as a back gear or another belt gives it."""
    rpm = floor(highest_rpm / SPEED_STEP_RPM) * SPEED_STEP_RPM
    return SpindleSpeed(rpm=rpm, position="back gear, or another belt") if rpm > 0 else None


def with_turn(slide: Slide) -> Slide:
    """The slide with the travel of one turn of its handle told."""
    return replace(slide, turn_mm=USUAL_TURN_MM if slide.handle is Handle.CARRIAGE else USUAL_LEAD_MM)


def with_indicator(slide: Slide, *, reach_mm: float) -> Slide:
    """The slide with an indicator that tells where it is over that reach."""
    aid = LengthAid(kind=AidKind.INDICATOR, step_mm=INDICATOR_STEP_MM, range_mm=float(ceil(reach_mm)))
    others = tuple(own for own in slide.aids if own.kind is not AidKind.INDICATOR)
    return replace(slide, aids=(*others, aid))


def with_dial(slide: Slide) -> Slide:
    """The slide with a collar of 100 marks on a screw of usual lead."""
    lead = Fraction(USUAL_LEAD_MM)
    return replace(slide, dial=Dial(lead_mm=lead, marks=100, label_mm=lead / 100))


def with_readout(slide: Slide, *, step_mm: float) -> Slide | None:
    """The slide read by a scale with steps no coarser than that, in place of its dial; none is finer than a micron."""
    fine = next((step for step in FINE_STEPS_MM if float(step) <= step_mm), None)
    # the screw stays, so a turn of it still moves the slide as far
    return None if fine is None else replace(slide, dial=None, readout_step_mm=fine, turn_mm=slide.travel_per_turn_mm)


def with_angle_scale(slide: Slide, *, step_deg: Fraction = Fraction(1, 2), max_deg: float = 60.0) -> Slide:
    """The top slide with a scale to be swung by."""
    own = slide.angle_scale
    along = own.zero_along_axis if own is not None else True
    # a scale that counts from square shows 90 while the slide is parallel
    most = max(max_deg if along else SQUARE_DEG, own.max_deg if own is not None else 0.0)
    return replace(slide, angle_scale=AngleScale(zero_along_axis=along, step_deg=step_deg, max_deg=most))


def with_travel(slide: Slide, *, travel_mm: float) -> Slide:
    """The slide, or one like it, that goes so far."""
    return replace(slide, travel_mm=travel_mm)
