"""Whole sets of changes for a part: a well-found shop, a stouter lathe, an easier drawing.

They are tried where the changes that single troubles ask for lead nowhere, each set wider than the one before; what of
a set proves unnecessary is dropped. So even where much is lacking at once something is named that gives a plan.
Measures are common practice, no source, where none is given beside them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import ceil, floor

from msgspec.structs import replace

from handwheel.data.least_cuts import least_last_cut_mm
from handwheel.data.materials import DrillPractice, material
from handwheel.domain.bars import Bar
from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.exact import Fraction
from handwheel.domain.gauges import Gauge, GaugeUse
from handwheel.domain.hole_tools import Drill, DrillKind, Reamer
from handwheel.domain.lathe import Lathe, PowerFeed, SpindleSpeed
from handwheel.domain.motion import Edge
from handwheel.domain.part import BORE, FRONT_INNER_EDGE, Aspect, Part, shoulder_name
from handwheel.domain.remedies import (
    AddToShop,
    AllowCorner,
    AllowSize,
    FitChuck,
    FitDrillChuck,
    FitSlide,
    LeaveEdge,
    LeaveStep,
    LeaveTruth,
    LighterLastCuts,
    Owned,
    Remedy,
    UseLathe,
    has_named,
    with_remedy,
)
from handwheel.domain.shop import Shop
from handwheel.domain.slides import Slide
from handwheel.domain.tools import Hand, Tool, ToolKind
from handwheel.planner import offers
from handwheel.planner.gripping import fitting_chuck
from handwheel.planner.job import DRILL_CLEAR_DIA_MM
from handwheel.planner.kinds.part import reach_needed_mm
from handwheel.planner.known_metal import easy_metal, is_known, known_metal, use_metal
from handwheel.planner.reaming import allowance_mm
from handwheel.planner.variants import finish_cut_mm, least_bar_dia_mm

BAR_SHARE = 0.6
"""Thickness of a boring bar as a share of the hole that it goes into."""
HEAD_SHARE, MOST_HEAD_MM = 0.15, 1.0
"""How far its tip stands out of it."""
REACH_ROOM_MM = 12.0
"""What a bar, a drill or an edge tool needs beyond the width: allowance, blade, overrun, its own clearance."""
BLADE_WIDTHS_MM = (2.0, 1.5)
STANDARD_NOSE_MM = 0.2
SMALLEST_SHANK_MM = 8.0
SHARP_UM = 5.0
"""Radius of a stoned edge: the low end of keen ones in the table of edges (common practice)."""
PILOT_SHARES = (0.65, 0.4, 0.2, 0.1)
"""Drills that go before the last one, as shares of it."""
READOUT_MM = 0.001
LENGTH_READOUT_MM = 0.005
ANGLE_STEP = Fraction(1, 4)
SLOWEST_RPM, SPEED_RATIO = 15.0, 1.5
FINEST_BANDS_MM = {
    Aspect.DIAMETER: 0.03,
    Aspect.WIDTH: 0.1,
    Aspect.DEPTH: 0.1,
    Aspect.LEG_AXIAL: 0.25,
    Aspect.LEG_RADIAL: 0.25,
}
"""Limits that any sound lathe keeps, as whole widths of the tolerance."""
MOST_BAND_SHARE = 0.8
"""A widened tolerance is no wider than this share of the size itself."""
EASY_CORNER_MM = 0.5
STOUT_POWER_W, STOUT_STIFFNESS_N_UM = 2200.0, 50.0
"""A toolroom lathe; 5 to 50 N/µm from memory of Altintas, Manufacturing Automation."""
FASTEST_RPM = 2500.0
TRAVEL_BEYOND_MM = 60.0
"""How much further than the part is wide its top slide and quill go: allowances, blade, the point of a drill, room."""
FEEDS_MM_REV = (0.02, 0.03, 0.04, 0.05, 0.06, 0.08, 0.10, 0.12, 0.16, 0.20, 0.25)
MOST_REAMED_MM = 32.0
"""Up to which bore a reamer is offered too: what goes into a smaller hole is a slender bar."""
LEAST_DRILL_MM = 1.0
"""Thinnest drill that is offered for the tailstock: thinner ones break in it."""
LIGHT_SHARE = 0.6
"""Lighter last cuts as a share of the habit."""


def kits(part: Part, shop: Shop) -> tuple[tuple[Remedy, ...], ...]:
    """Sets of changes, each wider than the one before: things and limits; another lathe; another drawing and metal.

    Of a metal without cutting speeds nothing can be planned, so for that another metal stands in all of them.
    """
    named = () if is_known(material(part.material)) else (use_metal(known_metal(part.material)),)
    needed = named
    easy = easy_metal(part.material)
    other = () if easy == part.material else (use_metal(easy),)
    drawn = _taken(part, shop, needed)
    light, bought, eased = lighter(drawn, shop), things(drawn, shop), easier(drawn)
    redrawn = (*other, *_left_edges(part), *_left_steps(part))
    plain = _taken(part, shop, redrawn)
    return (
        (*needed, *fittings(drawn, shop), *light, *bought, *eased),
        (*needed, UseLathe(lathe=stout_lathe(drawn, shop)), *light, *bought, *eased),
        (
            *redrawn,
            UseLathe(lathe=stout_lathe(plain, shop)),
            *lighter(plain, shop),
            *things(plain, shop),
            *easier(plain),
        ),
    )


def _taken(part: Part, shop: Shop, remedies: Sequence[Remedy]) -> Part:
    """The part as it is once remedies of its drawing have been taken."""
    for remedy in remedies:
        part, _ = with_remedy(part, shop, remedy)
    return part


def _left_steps(part: Part) -> tuple[Remedy, ...]:
    """Steps left out, the innermost of a stack first, and nothing that must run true."""
    shoulders = [f.surface for f in part.sizes if f.aspect is Aspect.DEPTH]
    steps = [c.surface for c in (*part.outer_cylinders, *part.inner_cylinders) if shoulder_name(c.surface) in shoulders]
    is_bound = any(s.truth_group is not None for s in (*part.outer.segments, *part.inner.segments))
    left = tuple(LeaveStep(surface=surface) for surface in sorted(steps, reverse=True))
    return (*left, LeaveTruth()) if is_bound else left


def _left_edges(part: Part) -> tuple[Remedy, ...]:
    """Edges left to the file, but not the bevel that a tap starts in."""
    cut = (Aspect.LEG_AXIAL, Aspect.LEG_RADIAL, Aspect.RADIUS)
    edges = dict.fromkeys(f.surface for f in part.sizes if f.aspect in cut)
    kept = () if part.thread is None else (FRONT_INNER_EDGE,)
    return tuple(LeaveEdge(surface=surface) for surface in edges if surface not in kept)


def things(part: Part, shop: Shop) -> tuple[Remedy, ...]:
    """Whatever can be bought, made or borrowed for this part, and its shop has not under that name."""
    wanted: tuple[Owned, ...] = (
        _bar(part, shop),
        *_tools(part, shop),
        *_drills(part, shop),
        *_reaming(part),
        *_gauges(part),
        *_holdings(part),
    )
    return tuple(AddToShop(thing=thing) for thing in wanted if not has_named(shop, thing))


def _bar(part: Part, shop: Shop) -> Bar:
    return offers.bar(part, least_dia_mm=least_bar_dia_mm(part, shop, material(part.material)), units=shop.units)


def _tools(part: Part, shop: Shop) -> Iterable[Tool]:
    nose = max(offers.LEAST_NOSE_MM, min(STANDARD_NOSE_MM, part.corner_radius_mm))
    yield replace(
        offers.turning_tool(),
        id="kit-turning",
        nose_radius_mm=nose,
        shank_mm=SMALLEST_SHANK_MM,
        edge_radius_um=SHARP_UM,
    )
    reach = ceil(part.width_mm + REACH_ROOM_MM)
    last = _last_drill(part, shop)
    hole = 2.0 * part.bore_radius_mm if last is None else float(last.dia_mm)
    bar = max(1.0, floor(2.0 * BAR_SHARE * hole) / 2.0)
    yield Tool(
        id="kit-boring",
        name=f"{bar:g} mm boring bar",
        kind=ToolKind.BORING,
        edge=Edge.HSS,
        nose_radius_mm=nose,
        edge_radius_um=SHARP_UM,
        entering_deg=offers.ENTERING_DEG,
        bar_dia_mm=bar,
        head_mm=min(MOST_HEAD_MM, HEAD_SHARE * hole),
        reach_mm=reach,
    )
    wall = part.outside_radius_mm - part.bore_radius_mm
    for width in BLADE_WIDTHS_MM:
        yield Tool(
            id=f"kit-blade-{width:g}",
            name=f"{width:g} mm parting blade",
            kind=ToolKind.PARTING,
            edge=Edge.HSS,
            edge_radius_um=SHARP_UM,
            width_mm=width,
            reach_mm=ceil(reach_needed_mm(wall, None)),
        )
    yield replace(offers.edge_tool(inside=False, hole_dia_mm=hole, reach_mm=reach), id="kit-vee-in")
    yield replace(_vee_out(part, hole, reach), id="kit-vee-out")
    yield from _form_tools(part)


def _form_tools(part: Part) -> Iterable[Tool]:
    """A right-hand form tool for each radius of outside and hole: it rounds what looks to the tailstock."""
    rounds = [feature for feature in part.sizes if feature.aspect is Aspect.RADIUS]
    found = (offers.form_tool(part, f.surface, radius_mm=float(f.size.cut_target), hand=Hand.RIGHT) for f in rounds)
    yield from {tool.id: tool for tool in found}.values()


def _vee_out(part: Part, hole_mm: float, reach_mm: float) -> Tool:
    """Edge tool for a hole whose sides are as high as the largest inner edge asks."""
    legs = [float(f.size.upper) for f in part.sizes if f.aspect is Aspect.LEG_RADIAL]
    head = max(offers.INSIDE_HEAD_MM, max(legs, default=0.0) + 0.5)
    head = min(head, 0.3 * hole_mm)
    return replace(
        offers.edge_tool(inside=True, hole_dia_mm=hole_mm, reach_mm=reach_mm),
        head_mm=head,
        width_mm=2.0 * head,
        bar_dia_mm=max(1.0, floor(hole_mm) / 2.0),
    )


def _drills(part: Part, shop: Shop) -> Iterable[Drill]:
    """A centre drill, the largest drill that leaves something to bore, and what goes before it."""
    last = _last_drill(part, shop)
    if last is None:
        return
    found: dict[Fraction, Drill] = {last.dia_mm: last}
    for share in PILOT_SHARES:
        pilot = _drill(part, shop, share * float(last.dia_mm))
        if pilot is not None:
            found.setdefault(pilot.dia_mm, pilot)
    yield from found.values()
    least = min(found)
    if not any(d.kind is DrillKind.CENTRE and d.dia_mm < least for d in shop.drills):
        yield offers.centre_drill(below_dia_mm=float(least))


def _reaming(part: Part) -> Iterable[Reamer | Drill]:
    """A reamer for a small plain bore, into which no stiff boring bar goes, and the drill before it."""
    hole = 2.0 * part.bore_radius_mm
    if hole > MOST_REAMED_MM or len(part.inner_cylinders) > 1 or part.thread is not None:
        return
    size = next(f.size for f in part.sizes if f.surface == BORE and f.aspect is Aspect.DIAMETER)
    reamer = offers.reamer(size, depth_mm=part.width_mm + REACH_ROOM_MM)
    yield reamer
    least, _ = allowance_mm(reamer)
    below = min(float(reamer.dia_mm) - least, float(size.cut_lower))
    drill = offers.nearest_drill(below, depth_mm=part.width_mm + REACH_ROOM_MM, dubbed=_grabs(part))
    if drill is not None:
        yield replace(drill, id=f"kit-drill-{float(drill.dia_mm):g}-under-reamer")


def _last_drill(part: Part, shop: Shop) -> Drill | None:
    """The largest drill that leaves something to bore, roughing and last cuts."""
    cut = finish_cut_mm(shop, material(part.material))
    return _drill(part, shop, 2.0 * (part.bore_radius_mm - 2.0 * cut) - DRILL_CLEAR_DIA_MM)


def _drill(part: Part, shop: Shop, below_dia_mm: float) -> Drill | None:
    """The largest drill below a diameter, its lips as the metal asks, its flutes long enough for the part."""
    found = offers.largest_drill(
        below_dia_mm, units=shop.units, depth_mm=part.width_mm + REACH_ROOM_MM, dubbed=_grabs(part)
    )
    if found is None or found.dia_mm < LEAST_DRILL_MM:
        return None
    return replace(found, id=f"kit-drill-{float(found.dia_mm):g}")


def _grabs(part: Part) -> bool:
    """Whether the metal pulls sharp lips in as soon as there is a hole."""
    return material(part.material).drill_practice is DrillPractice.SINGLE_DUBBED


_OF_EDGES = (Aspect.LEG_AXIAL, Aspect.LEG_RADIAL, Aspect.RADIUS, Aspect.BROKEN)
_USES = {Aspect.WIDTH: GaugeUse.LENGTH, Aspect.DEPTH: GaugeUse.DEPTH}


def _gauges(part: Part) -> Iterable[Gauge]:
    """A gauge for every diameter, width and depth, and an indicator."""
    for feature in part.sizes:
        if feature.aspect in _OF_EDGES:
            continue
        round_use = GaugeUse.BORE if feature.surface.startswith(BORE) else GaugeUse.OUTSIDE
        use = _USES.get(feature.aspect, round_use)
        yield replace(offers.gauge(feature.size, use), id=f"kit-gauge-{feature.surface}-{feature.aspect.name.lower()}")
    yield replace(offers.indicator(), id="kit-indicator")


def _holdings(part: Part) -> Iterable[HoldingMeans]:
    yield from offers.holdings(part)
    yield offers.step_spigot(part)


def fittings(part: Part, shop: Shop) -> tuple[Remedy, ...]:
    """What the shop's own lathe can be fitted with: readouts, a scale at the top slide, slow speeds, a drill chuck."""
    lathe = shop.lathe
    found: list[Remedy] = [FitSlide(slide=slide) for slide in _slides(lathe) if slide != lathe.slide(slide.handle)]
    slowest = min(speed.rpm for speed in lathe.speeds)
    found.extend(AddToShop(thing=_speed(rpm)) for rpm in _series(SLOWEST_RPM, slowest))
    hole = ceil(2.0 * part.bore_radius_mm)
    if lathe.tailstock.chuck_high_dia_mm < hole:
        found.append(FitDrillChuck(largest_dia_mm=float(hole)))
    bar = _bar(part, shop)
    if not lathe.chuck.takes(float(bar.dia_mm), float(bar.dia_mm)):
        found.append(FitChuck(chuck=fitting_chuck(lathe.chuck, bar)))
    return tuple(found)


def _slides(lathe: Lathe) -> tuple[Slide, ...]:
    """The slides of a lathe, each read finely, the top slide with a scale to be swung by."""
    top = offers.with_readout(lathe.top, step_mm=LENGTH_READOUT_MM) or lathe.top
    return (
        offers.with_readout(lathe.cross, step_mm=READOUT_MM) or lathe.cross,
        offers.with_angle_scale(top, step_deg=ANGLE_STEP),
        _turned(offers.with_readout(lathe.carriage, step_mm=LENGTH_READOUT_MM) or lathe.carriage),
    )


def _turned(slide: Slide) -> Slide:
    """The slide with what a turn of its handle moves told, if nobody has."""
    return slide if slide.travel_per_turn_mm > 0 else offers.with_turn(slide)


def _series(low: float, below: float) -> Iterable[float]:
    """Speeds in a geometric series. [rev/min]"""
    rpm = low
    while rpm < below - 1e-9:
        yield float(round(rpm))
        rpm *= SPEED_RATIO


def _speed(rpm: float) -> SpindleSpeed:
    return SpindleSpeed(rpm=rpm, position="back gear, or another belt")


def lighter(part: Part, shop: Shop) -> tuple[Remedy, ...]:
    """Lighter last cuts, if the metal bears them."""
    cut = round(LIGHT_SHARE * shop.habits.finish_cut_mm, 3)
    borne = cut >= least_last_cut_mm(material(part.material))
    return (LighterLastCuts(finish_cut_mm=cut),) if borne else ()


def easier(part: Part) -> tuple[Remedy, ...]:
    """Limits as any sound lathe keeps them, where those of the drawing are finer; a round in the corners."""
    found: list[Remedy] = []
    for feature in part.sizes:
        if feature.aspect not in FINEST_BANDS_MM:
            continue  # nothing that is cut
        band = min(FINEST_BANDS_MM[feature.aspect], MOST_BAND_SHARE * float(feature.size.cut_target))
        if float(feature.size.band) < band:
            size = offers.wider(feature.size, band_mm=band)
            found.append(AllowSize(surface=feature.surface, aspect=feature.aspect, size=size))
    is_stepped = any(feature.aspect is Aspect.DEPTH for feature in part.sizes)
    corner = offers.corner_mm(part, EASY_CORNER_MM)
    if is_stepped and part.corner_radius_mm < corner:
        found.append(AllowCorner(radius_mm=corner))
    return tuple(found)


def stout_lathe(part: Part, shop: Shop) -> Lathe:
    """A stiff and strong lathe with slow speeds, readouts and long ways, its handles as on the shop's own."""
    own = shop.lathe
    bar = _bar(part, shop)
    cross, top, carriage = _slides(own)
    chuck = own.chuck if own.chuck.takes(float(bar.dia_mm), float(bar.dia_mm)) else fitting_chuck(own.chuck, bar)
    travel = float(ceil(part.width_mm + TRAVEL_BEYOND_MM))
    feeds = tuple(PowerFeed(mm_rev=feed, position=f"{feed:g} mm/rev") for feed in FEEDS_MM_REV)
    return replace(
        own,
        name="another lathe",
        speeds=tuple(_speed(rpm) for rpm in _series(SLOWEST_RPM, FASTEST_RPM)),
        motor_power_w=max(own.motor_power_w, STOUT_POWER_W),
        tool_stiffness_n_um=max(own.tool_stiffness_n_um, STOUT_STIFFNESS_N_UM),
        cross=cross,
        top=replace(top, travel_mm=max(top.travel_mm, travel)),
        carriage=carriage,
        chuck=chuck,
        tailstock=replace(
            own.tailstock,
            quill=replace(own.tailstock.quill, travel_mm=max(own.tailstock.quill.travel_mm, travel)),
            chuck_high_dia_mm=max(own.tailstock.chuck_high_dia_mm, ceil(2.0 * part.bore_radius_mm)),
            play_mm=0.0,
        ),
        feeds_along=own.feeds_along or feeds,
        feeds_across=own.feeds_across or feeds,
    )
