"""Between which bounds lathes like this shop's are drawn, and whose word each bound is."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import pi

from msgspec import Struct

from handwheel.bench.asking.records import bias_of_mm, spread_of_mm
from handwheel.bench.learning.believing import believed, has_learned
from handwheel.bench.stops import Stop
from handwheel.data.force_ratios import radial_ratio
from handwheel.data.forces import force_models
from handwheel.data.materials import Material
from handwheel.domain.beliefs import HANGS_ON_METAL, About, Beliefs, Quantity
from handwheel.domain.motion import Edge, Handle
from handwheel.domain.part import Part
from handwheel.domain.tools import Tool, ToolKind
from handwheel.physics.deflection import STEEL_N_MM2
from handwheel.physics.force import Process, worn_force_band
from handwheel.physics.power import power_w
from handwheel.physics.quiet_cut import overhang_stiffness_n_um
from handwheel.physics.thermal import size_change_mm, temperature_rise_k
from handwheel.rehearsal.courses import Block, Course, usual_handle
from handwheel.sim.bite import spring_share
from handwheel.sim.envelope import DEFAULT, AnySpread
from handwheel.sim.spreads import Bell, Even, fixed

MOST_SPRING = 0.6
"""A greater share of a depth would be no cut any more; own judgement, as in `Envelope.widened`."""
HEAT_SHARE = 0.3
"""Share of a cut's heat in the work at low speed or with a blunt tool [HEAT_NOTES]: the upper end of the growth."""
NO_SCREW_MM = 1.0
"""Lead of a slide that nobody winds by a dial; it is in no result. [mm]"""
MOST_RISE_K = 40.0
"""Work that is hotter is not gauged: the rise behind the widest growth of the usual envelope; ours, no source. [K]"""
LEAST_READING_SPREAD_MM = 0.0005
"""No gauge is read more evenly than this, whatever is believed of it; own judgement. [mm]"""
G_PER_KG, MM3_PER_CM3 = 1000.0, 1000.0


class Whose(Struct, frozen=True, kw_only=True):
    """One bound of the virtual lathes: what, from where to where in words, whose word it is."""

    what: str
    words: str
    standing: str


LEARNED = "learned at this lathe"
PHYSICS = "worked out"
SHOP_FILE = "shop file"
SHEET = "the sheet"
USUAL = "small lathes in general, no source"


ANGLE = About(thing=Handle.TOP.value)
MOST_ANGLE_DEG = 5.0
"""A slide further off its angle than this is seen; own judgement. [deg]"""


class Slides(Struct, frozen=True, kw_only=True):
    """How a slide departs from its dial: scale error, and lead; ``mark_mm`` is the smallest step. [mm]"""

    rate: AnySpread
    ring: AnySpread
    mark_mm: float
    lead_mm: float
    slack_mm: float


class World(Struct, frozen=True, kw_only=True):
    """Lathes like this shop's, as far as its file and what was learned tell.

    ``slides`` are by handle, ``spring``, ``wear_mm`` and ``touch_sd_mm`` by tool, ``gauges`` (bias, spread of a
    reading) by gauge, each as a spread; ``warm_mm`` is the growth of each size under steady cutting, ``start_mm`` what
    the size before the first cut is larger than the sheet says [mm]; ``angle_deg`` the error of a swung slide's angle
    if it was learned.
    """

    slides: dict[Handle, Slides]
    spring: dict[str, AnySpread]
    wear_mm: dict[str, AnySpread]
    touch_sd_mm: dict[str, float]
    gauges: dict[str, tuple[AnySpread, AnySpread]]
    warm_mm: dict[str, AnySpread]
    start_mm: dict[str, AnySpread]
    angle_deg: Bell | None
    whose: tuple[Whose, ...]


def world_of(courses: Sequence[Course], part: Part, beliefs: Beliefs, *, gauges: Iterable[str]) -> World:
    """Lathes like this one for the courses of a sheet, with these gauges."""
    blocks = [block for course in courses for block in course.blocks]
    tools = {course.last.tool.id: course.last.tool for course in courses if course.last.tool is not None}
    handles = {usual_handle(block.stop) for block in blocks} | {Handle.TOP}
    metal = blocks[0].stop.material
    spring = {key: _spring(tool, _cuts_with(courses, key), metal, beliefs) for key, tool in tools.items()}
    warm = {course.key: _warm_mm(course, part, metal) for course in courses}
    read = {key: gauge_spreads(key, beliefs) for key in gauges}
    return World(
        slides={handle: _slide(handle, courses, beliefs) for handle in sorted(handles, key=lambda one: one.value)},
        spring={key: spread for key, (spread, _) in spring.items()},
        wear_mm={key: _wear_mm(key, metal, beliefs) for key in tools},
        touch_sd_mm={key: _touch_sd_mm(key, beliefs) for key in tools},
        gauges=read,
        warm_mm={key: spread for key, (spread, _) in warm.items()},
        start_mm={course.key: _start_mm(course, metal, beliefs) for course in courses},
        angle_deg=_bell(beliefs, Quantity.ANGLE_ERROR, ANGLE, least=-MOST_ANGLE_DEG, most=MOST_ANGLE_DEG)
        if has_learned(beliefs, Quantity.ANGLE_ERROR, ANGLE)
        else None,
        whose=_told(spring, warm, handles, read, beliefs),
    )


def _cuts_with(courses: Sequence[Course], tool: str) -> list[tuple[float, Stop]]:
    """Depth of the last cut of each size that a tool makes, with its stop. [mm]"""
    return [
        (course.last_cut_mm, course.last)
        for course in courses
        if course.last.tool is not None and course.last.tool.id == tool
    ]


def _slide(handle: Handle, courses: Sequence[Course], beliefs: Beliefs) -> Slides:
    about = About(thing=handle.value)
    learned = has_learned(beliefs, Quantity.LEAD_ERROR, about)
    slide = beliefs.shop.lathe.slide(handle)
    steps = [
        float(block.stop.scale.step_mm)
        for course in courses
        for block in course.blocks
        if block.stop.scale is not None and block.stop.scale.handle is handle
    ]
    dial_mm = float(slide.dial.travel_per_mark_mm * slide.dial.step) if slide.dial is not None else 0.0
    mark_mm = steps[0] if steps else dial_mm or float(slide.readout_step_mm or 0.0)
    return Slides(
        rate=_bell(beliefs, Quantity.LEAD_ERROR, about) if learned else DEFAULT.rate,
        ring=fixed(0.0) if learned else DEFAULT.ring,
        mark_mm=mark_mm,
        lead_mm=slide.travel_per_turn_mm or mark_mm or NO_SCREW_MM,
        slack_mm=float(slide.slack_mm),
    )


def _bell(beliefs: Beliefs, quantity: Quantity, about: About, *, least: float = -1.0, most: float = 1.0) -> Bell:
    value, spread = believed(beliefs, quantity, about)
    return Bell(value, spread, least, most)


def _about(quantity: Quantity, thing: str, metal: Material) -> About:
    return About(thing=thing, metal=metal.key if quantity in HANGS_ON_METAL else "")


def _spring(tool: Tool, cuts: Sequence[tuple[float, Stop]], metal: Material, beliefs: Beliefs) -> tuple[AnySpread, str]:
    """Share of a depth that springs away: learned; else as wide as what is worked out and what is usual together."""
    about = _about(Quantity.SPRING, tool.id, metal)
    if has_learned(beliefs, Quantity.SPRING, about):
        return _bell(beliefs, Quantity.SPRING, about, least=0.0, most=MOST_SPRING), LEARNED
    usual = DEFAULT.spring_share
    low, high = (usual.low, usual.high) if isinstance(usual, Even) else (0.0, MOST_SPRING)
    shares = [share for depth, stop in cuts for share in _worked_out_spring(tool, depth, stop, beliefs)]
    if not shares:
        return Even(low, high), USUAL
    # slides that lift in their gibs are in no stiffness, so what is worked out alone would be too rosy
    least, most = max(0.0, min(*shares, low)), min(max(*shares, high), MOST_SPRING)
    words = f"{PHYSICS} {100.0 * min(shares):.1f} to {100.0 * max(shares):.1f} %, and {USUAL}"
    return Even(least, most), words


def _worked_out_spring(tool: Tool, depth_mm: float, stop: Stop, beliefs: Beliefs) -> tuple[float, ...]:
    """Least and greatest share by force over stiffness; nothing where force or depth are not known."""
    force = _force_n(tool, depth_mm, stop)
    if force is None:
        return ()
    ratio = radial_ratio(depth_mm, tool.nose_radius_mm, tool.entering_deg)
    stiffness = beliefs.shop.lathe.tool_stiffness_n_um
    if tool.kind is ToolKind.BORING and tool.bar_dia_mm > 0.0:
        stiffness = overhang_stiffness_n_um(
            stiffness, length_mm=tool.reach_mm, dia_mm=tool.bar_dia_mm, e_n_mm2=STEEL_N_MM2
        )
    return tuple(
        spring_share(share * newtons, depth_mm=depth_mm, stiffness_n_um=stiffness)
        for share, newtons in ((ratio.least, force[0]), (ratio.most, force[1]))
    )


def _force_n(tool: Tool, depth_mm: float, stop: Stop) -> tuple[float, float] | None:
    """Least and greatest cutting force of a worn edge at that depth; ``None`` where nothing tells. [N]"""
    models = force_models(stop.material)
    if not models or depth_mm <= 0.0 or stop.feed_high_mm_rev <= 0.0:
        return None
    band = worn_force_band(
        models,
        width_mm=depth_mm,
        feed_mm_rev=stop.feed_high_mm_rev,
        process=Process.BORING if tool.kind is ToolKind.BORING else Process.TURNING,
        hss=tool.edge is Edge.HSS,
        entering_angle_deg=tool.entering_deg,
    )
    return band.low_n, band.high_n


def _wear_mm(tool: str, metal: Material, beliefs: Beliefs) -> AnySpread:
    about = _about(Quantity.EDGE_WEAR, tool, metal)
    if has_learned(beliefs, Quantity.EDGE_WEAR, about):
        return _bell(beliefs, Quantity.EDGE_WEAR, about, least=0.0)
    return DEFAULT.wear_mm


def _touch_sd_mm(tool: str, beliefs: Beliefs) -> float:
    about = About(thing=tool)
    if has_learned(beliefs, Quantity.TOUCH_ERROR, about):
        return believed(beliefs, Quantity.TOUCH_ERROR, about)[1]
    return DEFAULT.touch_sd_mm


def gauge_spreads(key: str, beliefs: Beliefs) -> tuple[AnySpread, AnySpread]:
    """What a gauge always reads too much, and the spread of a reading, by its uncertainty or by what was learned."""
    about, gauge = About(thing=key), beliefs.shop.gauge(key)
    middle_mm, apart_mm = believed(beliefs, Quantity.GAUGE_SPREAD, about)
    bias = Bell(0.0, bias_of_mm(gauge))
    if has_learned(beliefs, Quantity.GAUGE_BIAS, about):
        bias = _bell(beliefs, Quantity.GAUGE_BIAS, about)
    if not has_learned(beliefs, Quantity.GAUGE_SPREAD, about):
        # from hand to hand it differs by the same share, whatever the middle is taken to be
        share = apart_mm / middle_mm if middle_mm > 0.0 else 0.0
        middle_mm = spread_of_mm(gauge)
        apart_mm = share * middle_mm
    return bias, Bell(middle_mm, apart_mm, LEAST_READING_SPREAD_MM, 1.0)


def _warm_mm(course: Course, part: Part, metal: Material) -> tuple[AnySpread, str]:
    """Growth of a size by one of its cuts: none, up to that of a ring that keeps the upper share of the heat."""
    grown = [mm for block in course.blocks if (mm := _growth_mm(course, block, part, metal)) is not None]
    if not grown:
        return DEFAULT.warm_dia_mm, USUAL
    return Even(0.0, max(grown)), PHYSICS


def _growth_mm(course: Course, block: Block, part: Part, metal: Material) -> float | None:
    stop, density, heat, alpha = block.stop, metal.find("density"), metal.find("specific_heat"), metal.find("alpha")
    known = density is not None and heat is not None and alpha is not None
    if not known or stop.tool is None or not block.cutting_s or not block.speed_m_min:
        return None
    depth = course.most_cut_mm if block in course.planned else course.last_cut_mm
    force = _force_n(stop.tool, depth, stop)
    if force is None or density is None or heat is None or alpha is None:
        return None
    rise_k = temperature_rise_k(
        power_w(force[1], cutting_speed_m_min=block.speed_m_min),
        time_s=block.cutting_s,
        heat_share=HEAT_SHARE,
        mass_kg=_mass_kg(part, density.least),
        specific_heat_j_kg_k=heat.least,
    )
    size = float(course.feature.size.nominal)
    return size_change_mm(size, alpha_per_k=alpha.most * 1e-6, difference_k=min(rise_k, MOST_RISE_K))


def _mass_kg(part: Part, density_g_cm3: float) -> float:
    """Mass of the ring between its greatest and its least diameter. [kg]"""
    area = pi * (part.outside_radius_mm**2 - part.bore_radius_mm**2)
    return area * part.width_mm / MM3_PER_CM3 * density_g_cm3 / G_PER_KG


def _start_mm(course: Course, metal: Material, beliefs: Beliefs) -> AnySpread:
    """What the size is larger before its first cut than the sheet says: of a drilled hole by what the drill cuts."""
    if not course.drill:
        return DEFAULT.blank_dia_mm
    return _bell(beliefs, Quantity.DRILL_OVERSIZE, _about(Quantity.DRILL_OVERSIZE, course.drill, metal))


def _told(
    spring: dict[str, tuple[AnySpread, str]],
    warm: dict[str, tuple[AnySpread, str]],
    handles: Iterable[Handle],
    gauges: dict[str, tuple[AnySpread, AnySpread]],
    beliefs: Beliefs,
) -> tuple[Whose, ...]:
    """Whose word each bound is, in the order in which it matters."""
    rows = [
        Whose(
            what="marks, leads, slack, gauge steps, fine angle",
            words="as they are, an angle as surely as it is checked",
            standing=SHOP_FILE,
        )
    ]
    for key, (spread, standing) in sorted(spring.items()):
        rows.append(Whose(what=f"spring with {key}", words=_share_words(spread), standing=standing))
    for handle in sorted(handles, key=lambda one: one.value):
        learned = has_learned(beliefs, Quantity.LEAD_ERROR, About(thing=handle.value))
        rows.append(
            Whose(
                what=f"scale error of the {handle.value}",
                words="as believed"
                if learned
                else "0.4 % (standard deviation), one in thirty a ring for another screw",
                standing=LEARNED if learned else USUAL,
            )
        )
    if has_learned(beliefs, Quantity.ANGLE_ERROR, ANGLE):
        rows.append(Whose(what="angle of the top slide", words="as believed", standing=LEARNED))
    for key in sorted(gauges):
        learned = any(
            has_learned(beliefs, quantity, About(thing=key))
            for quantity in (Quantity.GAUGE_BIAS, Quantity.GAUGE_SPREAD)
        )
        bias, spread = gauges[key]
        words = f"bias {_bell_words(bias)}, spread of a reading {_bell_words(spread, middle=True)}"
        rows.append(Whose(what=f"gauge {key}", words=words, standing=LEARNED if learned else SHOP_FILE))
    for key, (spread, standing) in warm.items():
        high = spread.high if isinstance(spread, Even) else 0.0
        rows.append(Whose(what=f"growth of {key} by a cut", words=f"0 to {1000.0 * high:.1f} µm", standing=standing))
    rows.append(
        Whose(
            what="touch, setting, periodic error, rubbing, wear, built-up edge, misreads, cooling",
            words="as the virtual lathe has them",
            standing=USUAL,
        )
    )
    return tuple(rows)


def _share_words(spread: AnySpread) -> str:
    match spread:
        case Even():
            return f"{100.0 * spread.low:.1f} to {100.0 * spread.high:.1f} % of the depth"
        case Bell():
            return f"{100.0 * spread.mean:.1f} % of the depth, standard deviation {100.0 * spread.sd:.1f} %"
        case _:
            return "a blend"


def _bell_words(spread: AnySpread, *, middle: bool = False) -> str:
    if not isinstance(spread, Bell):
        return "as it is"
    return f"{1000.0 * spread.mean:.1f} µm" if middle else f"{1000.0 * spread.sd:.1f} µm (standard deviation)"
