"""Drilling: the ladder chosen for the metal, one step a drill."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from math import ceil, pi

from msgspec import Struct
from msgspec.structs import replace

from handwheel.data.drill_feeds import feed_band
from handwheel.data.forces import force_models
from handwheel.data.materials import DrillPractice, Material
from handwheel.data.speeds import CutKind, cutting_speed
from handwheel.domain import acts as a
from handwheel.domain.errors import DataTableError
from handwheel.domain.exact import Fraction
from handwheel.domain.gauges import GaugeUse
from handwheel.domain.habits import Habits
from handwheel.domain.holding import Holding, Side
from handwheel.domain.hole_tools import Drill, DrillKind
from handwheel.domain.lathe import SpindleSpeed
from handwheel.domain.motion import Edge, Handle, Motion
from handwheel.domain.part import BORE, FRONT_FACE, Aspect, Units
from handwheel.domain.plan import Stage, Step, Zone
from handwheel.domain.remedies import AddToShop, FitDrillChuck, Remedy
from handwheel.domain.said import said, said_short
from handwheel.domain.shop import Shop
from handwheel.domain.size import inch_fraction
from handwheel.domain.tools import Tool, ToolKind
from handwheel.geometry.tool_shapes import silhouette
from handwheel.physics.drilling import point_length_mm, push_n, worn_drill_torque_band_nm
from handwheel.physics.drive import listed_power_w
from handwheel.physics.force import ForceEstimate
from handwheel.physics.power import torque_at_speed_nm
from handwheel.physics.speed import cutting_speed_m_min, spindle_speed_rpm, turning_time_s
from handwheel.planner import offers
from handwheel.planner.cut_case import Feed, Load, Schedule
from handwheel.planner.cut_limits import POWER, PUSH, TORQUE
from handwheel.planner.gentler import GENTLE_SHARES
from handwheel.planner.job import Job, rect
from handwheel.planner.kinds.common import along_drive, gauge_trouble
from handwheel.planner.kinds.room import come_near
from handwheel.planner.kinds.touching import home
from handwheel.planner.quill import quill_trouble
from handwheel.planner.way import Kind, NoWay, Way
from handwheel.planner.writer import CLEAR_MM, Writer, exact

USUAL_CENTRE_MM = 3.0
"""Pilot of the centre drill that is taken if there are several: the nearest to this."""
CENTRE_DEPTH_DIAS = 1.5
"""How deep a centre drill goes, in pilot diameters."""
TOOLPOST_CLEAR_MM = 15.0
"""How far the toolpost tool stands outside the bar while the tailstock drills."""
TAILSTOCK_UP = (
    "clamp the tailstock with the tool's end a few millimetres off the face, the quill drawn back into the tailstock "
    "but for a turn or two"
)
"""Before the spindle starts: the drill must stand near the work, and the quill must still have its travel."""
CHUCK_COMES_LOOSE = "not right back, that pushes the drill chuck off its taper"
"""What a quill does at its end in many tailstocks: the screw ejects what sits in the taper (common practice)."""
DRILL_SHARES = (1.0, 0.75, 0.5)
"""Drills that are offered where there is none, as shares of the largest that the hole and the chuck take."""
TORQUE_ROOM = 1.1
"""How much more torque than a drill needs a speed must give that is asked for."""
PILOT_SHARE = 0.5
"""A drill that goes first, as a share of the one that follows; common practice, no source."""
PECK_DIAS = 1.0
"""Depth between withdrawals, in drill diameters; common practice, no source."""


class DrillCut(Struct, frozen=True, kw_only=True):
    """Speed, feed, time and torque of one drill opening a hole; how much of each limit the upper feed takes up."""

    speed: SpindleSpeed
    low_mm_rev: float
    high_mm_rev: float
    seconds: float
    torque_nm: tuple[float, float]
    binds: str
    loads: tuple[Load, ...] = ()


def drill_cut(
    drill: Drill,
    *,
    hole_dia_mm: float,
    depth_mm: float,
    material: Material,
    shop: Shop,
    max_rpm: float,
    units: Units = Units.MM,
    share: float = 1.0,
) -> DrillCut | str:
    """How a drill is run, or why it cannot be; ``share`` is how much of torque and push its upper feed may take up.

    Its least feed stays, whatever share that takes up: below it the lips rub.
    """
    dia = float(drill.dia_mm)
    try:
        speeds = cutting_speed(material, edge=Edge.HSS, cut=CutKind.DRILL)
    except DataTableError as error:
        return str(error)
    usable = [
        s
        for s in shop.lathe.speeds
        if s.fastest_rpm <= max_rpm and cutting_speed_m_min(s.fastest_rpm, cut_dia_mm=dia) <= speeds.high_m_min
    ]
    if not usable:
        return f"the slowest speed is too fast for a drill of Ø {said_short(dia, units)} in {material.name}"
    low, high = feed_band(drill, material)
    why = "no speed"
    band = torque_band_nm(drill, low, hole_dia_mm=hole_dia_mm, material=material)
    for speed in sorted(usable, key=lambda s: (-s.rpm, s.position)):
        limits = [(torque_at_speed_nm(listed_power_w(shop.lathe, speed), speed_rpm=speed.fastest_rpm), POWER)]
        if speed.torque_limit_nm is not None:
            limits.append((speed.torque_limit_nm, f"{TORQUE} in {speed.position}"))
        limit, binds = min(limits)
        if band[1] > limit:
            why = (
                f"a drill of Ø {said_short(dia, units)} needs {band[1]:.1f} N·m at the least feed; {binds} "
                f"gives {limit:.1f}"
            )
            continue
        solid = torque_band_nm(drill, low, hole_dia_mm=0.0, material=material)[1]
        push = push_n(dia, feed_mm_rev=low, solid_torque_nm=solid, hole_dia_mm=hole_dia_mm)
        if push > shop.habits.quill_push_n:
            return (
                f"a drill of Ø {said_short(dia, units)} in a hole of Ø {said_short(hole_dia_mm, units)} needs a "
                f"push of {push:.0f} N at the least feed; a hand keeps up {shop.habits.quill_push_n:.0f}"
            )
        # torque and thrust grow less than linearly with feed, so a proportional share of the feed is safe
        room, binds = min((limit / band[1], binds), (shop.habits.quill_push_n / push, PUSH))
        top = max(low, min(high, low * room * share))
        least_feed = low
        travel = shop.lathe.tailstock.quill.travel_per_turn_mm
        if travel > 0:  # the crank must not have to be turned faster, or slower, than a hand keeps even
            fastest = 60.0 * travel / (shop.habits.hand_pace_fast_s * speed.rpm)
            slowest = 60.0 * travel / (shop.habits.hand_pace_slow_s * speed.rpm)
            if fastest < low or slowest > top:
                why = (
                    f"at {speed.rpm:g} rev/min the quill cannot be wound evenly at the feed of a drill of Ø "
                    f"{said_short(dia, units)}"
                )
                continue
            top, low = min(top, fastest), max(low, slowest)
        way = depth_mm + _point_way_mm(drill, hole_dia_mm=hole_dia_mm)
        seconds = turning_time_s(way, feed_mm_rev=(low + top) / 2.0, speed_rpm=speed.rpm)
        asked = ((band[1] / most, words) for most, words in limits)
        return DrillCut(
            speed=speed,
            low_mm_rev=low,
            high_mm_rev=top,
            seconds=seconds,
            torque_nm=band,
            binds=binds,
            loads=tuple(
                Load(limit=words, share=part * top / least_feed)
                for part, words in (*asked, (push / shop.habits.quill_push_n, PUSH))
            ),
        )
    return why


def _point_way_mm(drill: Drill, *, hole_dia_mm: float) -> float:
    """Part of the point's length that is fed through metal: all of it in the solid, what is wider than a hole else."""
    dia = float(drill.dia_mm)
    return point_length_mm(dia, point_angle_deg=drill.point_deg) * max(0.0, 1.0 - hole_dia_mm / dia)


def drilling_s(drill: Drill, cut: DrillCut, *, depth_mm: float, habits: Habits) -> float:
    """Time of a drill in the metal with drawing it out to clear the chips. [s]"""
    return cut.seconds + clearing_s(drill, depth_mm=depth_mm, habits=habits)


def clearing_s(drill: Drill, *, depth_mm: float, habits: Habits) -> float:
    """Time of drawing a drill out to clear the chips: once for each diameter of depth, and once at least. [s]"""
    return habits.handling_s * max(1.0, depth_mm / float(drill.dia_mm))


def torque_band_nm(drill: Drill, feed_mm_rev: float, *, hole_dia_mm: float, material: Material) -> tuple[float, float]:
    """Least and greatest torque over the sources, for a drill with normal wear. [N·m]"""
    kd = material.find("kd_drilling")
    return worn_drill_torque_band_nm(
        force_models(material),
        drill_dia_mm=float(drill.dia_mm),
        feed_mm_rev=feed_mm_rev,
        hole_dia_mm=hole_dia_mm,
        work_constant=kd.most if kd else None,
    )


class Ladders(Struct, frozen=True, kw_only=True):
    """Cheapest ladder to each last drill that is possible, the largest last drill first; why no larger drill is."""

    chains: tuple[tuple[Drill, ...], ...]
    refused: tuple[NoWay, ...]


def ladders(
    shop: Shop,
    *,
    material: Material,
    hole_below_dia_mm: float,
    depth_mm: float,
    max_rpm: float,
    units: Units = Units.MM,
) -> Ladders:
    """Cheapest chain from the centre drill to every drill that may be the last.

    ``depth_mm`` is that of the full diameter, below the faced end. An exact search over all chains: what a drill costs
    depends only on the hole before it, so it is a shortest path. In metals that grab (brass, bronze) a drill that opens
    a hole must have dubbed lips.
    """
    centres = sorted(
        (d for d in shop.drills if d.kind is DrillKind.CENTRE),
        key=lambda d: (abs(float(d.dia_mm) - USUAL_CENTRE_MM), d.id),
    )
    grabs = material.drill_practice is DrillPractice.SINGLE_DUBBED
    # of two drills of one size the one with the lips that suit the metal counts first: it stands last here
    twist = sorted(
        (d for d in shop.drills if d.kind is DrillKind.TWIST), key=lambda d: (d.dia_mm, d.dubbed == grabs, d.id)
    )
    change = shop.habits.drill_change_s + shop.habits.touch_s
    best: dict[str, tuple[float, tuple[Drill, ...]]] = {}
    refused: dict[str, tuple[Fraction, NoWay]] = {}  # of each drill the trouble after the largest hole
    none = _no_drill(shop, hole_below_dia_mm=hole_below_dia_mm, depth_mm=depth_mm, dubbed=grabs, units=units)
    for drill in twist:
        name = f"drill Ø {said_short(drill.dia_mm, units)}"
        trouble = _unfit(drill, shop, hole_below_dia_mm=hole_below_dia_mm, depth_mm=depth_mm, dubbed=grabs, units=units)
        if trouble is not None:
            refused[drill.id] = (drill.dia_mm, trouble)
            continue
        start = tuple(centre for centre in centres if centre.dia_mm < drill.dia_mm)[:1]
        if centres and not start and not best:
            refused[drill.id] = (drill.dia_mm, _centre_too_large(drill, centres, units))
            continue
        chains: list[tuple[float, tuple[Drill, ...]]] = [(0.0, start), *best.values()]
        for cost, chain in chains:
            opened = float(chain[-1].dia_mm) if chain else 0.0
            hole = opened if chain and chain[-1].kind is DrillKind.TWIST else 0.0
            if opened >= float(drill.dia_mm):  # it would drop into the hole, and could not touch its rim
                continue
            if hole and grabs and not drill.dubbed:
                grabbing = NoWay(
                    step="drill",
                    code="drill-grabs",
                    remedies=(AddToShop(thing=offers.with_dubbed_lips(drill)),),
                    tried=name,
                    why=f"sharp lips grab when they open a hole in {material.name}",
                    remedy="dub the lips of a drill of that size and enter it in the shop file",
                )
                refused[drill.id] = (drill.dia_mm, grabbing)
                continue
            least = cost + change + clearing_s(drill, depth_mm=depth_mm, habits=shop.habits)
            if drill.id in best and least >= best[drill.id][0]:  # dearer, even if the cutting took no time
                continue
            cut = drill_cut(
                drill, hole_dia_mm=hole, depth_mm=depth_mm, material=material, shop=shop, max_rpm=max_rpm, units=units
            )
            if isinstance(cut, str):
                undriven = NoWay(
                    step="drill",
                    code="drill-not-driven",
                    remedies=_pilots(drill, shop, material, depth_mm=depth_mm),
                    tried=name,
                    why=cut,
                    remedy="a smaller drill first, a slower speed, or a split point",
                )
                refused[drill.id] = (drill.dia_mm, undriven)
                continue
            total = cost + change + drilling_s(drill, cut, depth_mm=depth_mm, habits=shop.habits)
            if drill.id not in best or total < best[drill.id][0]:
                best[drill.id] = (total, (*chain, drill))
    largest = max((d.dia_mm for d in twist if d.id in best), default=Fraction(0))
    return Ladders(
        chains=tuple(best[d.id][1] for d in reversed(twist) if d.id in best),
        refused=tuple(trouble for dia, trouble in refused.values() if dia > largest) if best or refused else (none,),
    )


def _centre_too_large(drill: Drill, centres: Sequence[Drill], units: Units) -> NoWay:
    """Trouble of a drill that would drop into what every centre drill leaves."""
    dia = float(drill.dia_mm)
    smallest = min(float(centre.dia_mm) for centre in centres)
    return NoWay(
        step="drill",
        code="centre-drill-too-large",
        tried=f"drill Ø {said_short(dia, units)}",
        why=f"the smallest centre drill opens Ø {said_short(smallest, units)}, and the drill would drop into that",
        remedy=f"a centre drill with a tip below Ø {said_short(dia, units)}",
        remedies=(AddToShop(thing=offers.centre_drill(below_dia_mm=dia)),),
    )


def _no_drill(shop: Shop, *, hole_below_dia_mm: float, depth_mm: float, dubbed: bool, units: Units) -> NoWay:
    """Trouble of a shop without any twist drill."""
    most = min(hole_below_dia_mm, shop.lathe.tailstock.chuck_high_dia_mm)
    sizes = [
        offers.largest_drill(share * most, units=shop.units, depth_mm=depth_mm, dubbed=dubbed) for share in DRILL_SHARES
    ]
    return NoWay(
        step="drill",
        code="no-drill",
        tried="every drill of the shop",
        why="the shop has no twist drill, and the bar is solid",
        remedy=f"a drill of at most Ø {said(most, units, places=1)} with {said_short(ceil(depth_mm), units)} of flute",
        remedies=tuple(AddToShop(thing=drill) for drill in sizes if drill is not None),
    )


def _unfit(
    drill: Drill, shop: Shop, *, hole_below_dia_mm: float, depth_mm: float, dubbed: bool, units: Units
) -> NoWay | None:
    """Why a drill does not suit the hole or the drill chuck, or ``None``."""
    dia, chuck = float(drill.dia_mm), shop.lathe.tailstock.chuck_high_dia_mm
    name = f"drill Ø {said_short(drill.dia_mm, units)}"
    if dia > hole_below_dia_mm:
        below = min(hole_below_dia_mm, chuck)
        smaller = offers.largest_drill(below, units=shop.units, depth_mm=depth_mm, dubbed=dubbed)
        return NoWay(
            step="drill",
            code="drill-too-large",
            tried=name,
            why=f"the rough bore must stay below Ø {said(hole_below_dia_mm, units, places=1)}"
            if hole_below_dia_mm > 0
            else "so small a bore leaves nothing for a drill before roughing and the two last cuts",
            remedy="a smaller drill" if hole_below_dia_mm > 0 else "a reamer of that size",
            remedies=() if smaller is None else (AddToShop(thing=smaller),),
        )
    if dia > chuck:
        smaller = offers.largest_drill(chuck, units=shop.units, depth_mm=depth_mm, dubbed=dubbed)
        return NoWay(
            step="drill",
            code="drill-chuck-too-small",
            tried=name,
            why=f"the drill chuck takes Ø {said_short(chuck, units)}",
            remedy="a drill with a reduced shank, one in the taper of the tailstock, or a larger drill chuck",
            remedies=(
                FitDrillChuck(largest_dia_mm=_largest_of(shop, below_dia_mm=hole_below_dia_mm)),
                *(() if smaller is None else (AddToShop(thing=smaller),)),
            ),
        )
    deep = depth_mm + max(offers.FLUTE_ROOM_MM, point_length_mm(dia, point_angle_deg=drill.point_deg))
    if drill.flute_mm < deep:
        return NoWay(
            step="drill",
            code="flutes-too-short",
            tried=name,
            why=f"its flutes are {said_short(drill.flute_mm, units)} long and the hole "
            f"{said(deep, units, places=1)} deep",
            remedy=f"a drill with at least {said_short(ceil(deep), units)} of flute",
            remedies=(AddToShop(thing=offers.drill(drill.dia_mm, depth_mm=depth_mm, dubbed=drill.dubbed)),),
        )
    return None


def _largest_of(shop: Shop, *, below_dia_mm: float) -> float:
    """Largest twist drill of the shop that stays below a diameter. [mm]"""
    return max(float(d.dia_mm) for d in shop.drills if d.kind is DrillKind.TWIST and float(d.dia_mm) <= below_dia_mm)


def _pilots(drill: Drill, shop: Shop, material: Material, *, depth_mm: float) -> tuple[Remedy, ...]:
    """A drill that goes first, and a speed slow enough, for one that the lathe or the hand cannot drive."""
    dia = float(drill.dia_mm)
    pilot = offers.largest_drill(PILOT_SHARE * dia, units=shop.units, depth_mm=depth_mm, dubbed=drill.dubbed)
    found: list[Remedy] = [] if pilot is None else [AddToShop(thing=pilot)]
    try:
        bears = cutting_speed(material, edge=Edge.HSS, cut=CutKind.DRILL).high_m_min
    except DataTableError:
        return tuple(found)
    twist = torque_band_nm(drill, feed_band(drill, material)[0], hole_dia_mm=0.0, material=material)[1]
    power = shop.lathe.motor_power_w * shop.lathe.drive_efficiency
    driven = 60.0 * power / (2.0 * pi * TORQUE_ROOM * twist)
    slow = offers.slow_speed(min(driven, spindle_speed_rpm(bears, cut_dia_mm=dia)))
    limited = any(speed.torque_limit_nm is not None for speed in shop.lathe.speeds)
    if slow is not None and (limited or slow.rpm < min(speed.rpm for speed in shop.lathe.speeds)):
        found.append(AddToShop(thing=slow))
    return tuple(found)


def step_id(job: Job, index: int) -> str:
    """Id of the step of a drill; the bore's own, if the last drill leaves it at size."""
    if job.sized_by_drill and index == len(job.drills) - 1:
        return BORE
    return f"drill-{index + 1}-{job.drills[index].id}"


def last_drill_step(job: Job) -> str:
    """Id of the step after which the hole is as large as drills make it."""
    return step_id(job, len(job.drills) - 1) if job.drills else FRONT_FACE


def _depth_mm(job: Job, drill: Drill) -> float:
    """Depth of the full diameter below the finished front face."""
    if drill.kind is DrillKind.CENTRE:
        return CENTRE_DEPTH_DIAS * float(drill.dia_mm)
    return -job.drill_end_mm


def _steps(job: Job) -> Iterable[Step]:
    before = FRONT_FACE
    for i, drill in enumerate(job.drills):
        sized = step_id(job, i) == BORE
        radius, depth = job.bore_radius_mm if sized else float(drill.dia_mm) / 2.0, _depth_mm(job, drill)
        tip = point_length_mm(float(drill.dia_mm), point_angle_deg=drill.point_deg)
        outline = rect(-depth, job.face_stock_mm, 0.0, radius)
        yield Step(
            id=step_id(job, i),
            kind="drill",
            surface=BORE,
            stage=Stage.FINISH if sized else Stage.ROUGH,
            zones=(
                Zone(
                    id=f"hole-{drill.id}",
                    surface=BORE,
                    region=(type(outline[0])(-depth - tip, 0.0), outline[1], outline[2], outline[3]),
                ),
            ),
            after=(before,),
        )
        before = step_id(job, i)


def _ways(job: Job, step: Step, holding: Holding) -> Iterable[Way | NoWay]:
    if holding.side is not Side.FRONT:
        return
    index = next(i for i in range(len(job.drills)) if step_id(job, i) == step.id)
    drill = job.drills[index]
    if (trouble := quill_trouble(job.shop, step)) is not None:
        yield trouble
        return
    hole = hole_before(job, index)
    depth = _depth_mm(job, drill)

    def run(share: float) -> DrillCut | str:
        return drill_cut(
            drill,
            hole_dia_mm=hole,
            depth_mm=depth,
            material=job.material,
            shop=job.shop,
            max_rpm=holding.max_rpm,
            units=job.units,
            share=share,
        )

    cut = run(1.0)
    if isinstance(cut, str):
        yield NoWay(
            step=step.id,
            code="drill-not-driven",
            remedies=_pilots(drill, job.shop, job.material, depth_mm=depth),
            tried=f"{drill.kind.value} Ø {said_short(drill.dia_mm, job.units)}",
            why=cut,
            remedy="a smaller drill first, or a slower speed",
        )
        return
    if job.gentler is not None:
        cut = _gentler_cut(cut, run)
    if step.id == BORE and (trouble := gauge_trouble(job, step, job.bore_size, GaugeUse.BORE)) is not None:
        yield trouble
        return
    habits = job.shop.habits
    yield Way(
        id=f"{step.id}/{holding.id}",
        step=step,
        holding=holding,
        drill=drill,
        schedule=_as_schedule(drill, cut),
        cut_ms=round(1000 * drilling_s(drill, cut, depth_mm=depth, habits=habits)),
        extra_ms=round(1000 * (habits.touch_s + (habits.measure_s if step.id == BORE else 0.0))),
    )


def _gentler_cut(usual: DrillCut, run: Callable[[float], DrillCut | str]) -> DrillCut:
    """The drill with the least share of torque and push at its upper feed that can be wound; never a coarser feed."""
    eased = (run(share) for share in GENTLE_SHARES)
    fit = (cut for cut in eased if isinstance(cut, DrillCut) and cut.high_mm_rev <= usual.high_mm_rev)
    return next(fit, usual)


def hole_before(job: Job, index: int) -> float:
    """Diameter of the hole that the drills before one of a ladder have left, 0 in the solid. [mm]"""
    return max((float(d.dia_mm) for d in job.drills[:index] if d.kind is DrillKind.TWIST), default=0.0)


def _as_schedule(drill: Drill, cut: DrillCut) -> Schedule:
    dia = float(drill.dia_mm)
    force = cut.torque_nm[1] * 2000.0 / dia
    return Schedule(
        depth_steps=(1,),
        speed=cut.speed,
        feed=Feed(kind=a.FeedKind.HAND, low_mm_rev=cut.low_mm_rev, high_mm_rev=cut.high_mm_rev),
        cutting_speed_m_min=cutting_speed_m_min(cut.speed.rpm, cut_dia_mm=dia),
        pass_s=cut.seconds,
        force=ForceEstimate(
            low_n=cut.torque_nm[0] * 2000.0 / dia, high_n=force, chip_thickness_mm=cut.low_mm_rev / 2.0, in_range=True
        ),
        power_w=cut.torque_nm[1] * cut.speed.rpm * 0.10472,
        torque_nm=cut.torque_nm[1],
        binds=cut.binds,
        total_ms=round(1000 * cut.seconds),
        loads=cut.loads,
    )


def _write(w: Writer, way: Way) -> None:
    drill, found = way.drill, way.schedule
    if drill is None or found is None:
        msg = f"way {way.id}: has no drill or schedule"
        raise ValueError(msg)
    job, quill = w.job, w.slide(Handle.QUILL)
    dia, depth = float(drill.dia_mm), _depth_mm(job, drill)
    w.stop()
    clear_toolpost(w)
    if w.drill != drill.id:
        w.act(a.FitDrill, drill=drill.id, note=TAILSTOCK_UP)
        w.drill = drill.id
    feed = with_pace(found.feed, quill.travel_per_turn_mm, found.speed.rpm)
    w.run_at(replace(found, feed=feed), cut_dia_mm=dia, handle=Handle.QUILL)
    w.start()
    before = job.drills[: job.drills.index(drill)]
    hole = max((float(d.dia_mm) for d in before), default=0.0)
    contact = "cone of the drill, at the rim of the hole," if hole else "point of the drill"
    w.act(a.Touch, handle=Handle.QUILL, motion=Motion.LEFT, surface=FRONT_FACE, contact=contact)
    tip = point_length_mm(dia, point_angle_deg=drill.point_deg)
    # in an existing hole the cone touches its rim: the point is then already inside
    inside = min(hole, dia) / dia * tip if hole else 0.0
    w.zero(Handle.QUILL, FRONT_FACE, 0.0)
    scale = w.scale(Handle.QUILL)
    if scale is None:
        return
    steps = -(-exact(depth + tip - inside) // scale.step_mm)
    place = steps * scale.step_mm
    reached = float(place) + inside - tip
    w.act(
        a.DrillHole,
        setting=w.setting(Handle.QUILL, place, Motion.LEFT, -reached),
        point_mm=tip,
        peck_mm=PECK_DIAS * dia,
        seconds=found.pass_s,
        note=quill_back(w),
        says=_cautions(job.material, drill, is_led=bool(before), in_a_hole=bool(hole)),
    )
    tailstock_away(w, "drill")
    if drill.kind is DrillKind.TWIST:
        w.bore_dia_mm = max(w.bore_dia_mm, dia)
    if way.step.id == BORE:
        measure_hole(w)


def _cautions(metal: Material, drill: Drill, *, is_led: bool, in_a_hole: bool) -> tuple[str, ...]:
    """Codes of what is said before a drill enters: nothing leads it, or it is pulled in."""
    if drill.kind is not DrillKind.TWIST:
        return ()
    unled = () if is_led else ("drill-unled",)
    grabs = metal.drill_practice is DrillPractice.SINGLE_DUBBED and in_a_hole
    return (*unled, *(("drill-grabs",) if grabs else ()))


def quill_back(w: Writer) -> str:
    """How a drill or reamer leaves the hole, the work still turning: which way the hand goes, and where it stops."""
    return f"wind the quill back, {w.turn_of(Handle.QUILL, Motion.RIGHT).value}, clear of the hole; {CHUCK_COMES_LOOSE}"


def tailstock_away(w: Writer, tool: str) -> None:
    """Stop, then clear the bed: what still stands there would be in the way of whatever the toolpost does next."""
    w.stop(note=f"then slide the tailstock away, clear of carriage and toolpost; take the {tool} out of its chuck")


def clear_toolpost(w: Writer) -> None:
    """Draw the tool of the toolpost out of the tailstock's way, all of it that reaches below its tip too."""
    if w.tool is None:
        return
    below = min(point.radius_mm for piece in silhouette(w.tool) for point in piece.points)
    clear = w.job.bar_radius_mm + TOOLPOST_CLEAR_MM - below
    if w.x_mm < clear:
        _out_of_the_hole(w, w.tool)
        w.retract(Handle.CROSS, Motion.OUT, clear - w.x_mm)
    if w.drawn is not None:
        come_near(w, w.drawn)


def _out_of_the_hole(w: Writer, tool: Tool) -> None:
    """Draw what a tool for holes has on its left out in front of the face: the half of a V stands there."""
    left = min(point.z_mm for piece in silhouette(tool) for point in piece.points)
    drive = along_drive(w.job, w.swing)
    need = w.face_mm + CLEAR_MM - (w.z_mm + left)
    if tool.kind is ToolKind.EDGE_INSIDE and drive is not None and need > 0.0:
        w.retract(drive.handle, Motion.RIGHT, need)


def measure_hole(w: Writer) -> None:
    """Measure the bore that drill or reamer has left at size, the tool of the toolpost drawn in front of the face."""
    drive = along_drive(w.job, w.swing)
    if w.tool is not None and w.live and drive is not None:
        home(w, drive.handle)
    limits = (float(w.job.bore_size.cut_lower), float(w.job.bore_size.cut_upper))
    w.measure(BORE, Aspect.DIAMETER, w.bore_dia_mm, stop_mm=limits, final=limits)


def with_pace(feed: Feed, travel_mm: float, rpm: float) -> Feed:
    """The feed with the paces at which a handle of that travel gives it."""
    if travel_mm <= 0:
        return feed
    return replace(
        feed,
        pace_fast_s=60.0 * travel_mm / (feed.high_mm_rev * rpm),
        pace_slow_s=60.0 * travel_mm / (feed.low_mm_rev * rpm),
    )


def _designation(dia_mm: Fraction) -> str:
    """Size by which a drill is bought: a fraction of an inch if it is one, millimetres otherwise."""
    inches = inch_fraction(dia_mm)
    return f"{inches} in" if inches else f"{float(dia_mm):g} mm"


def _title(way: Way) -> str:
    drill = way.drill
    if drill is None:
        return "Drill"
    if drill.kind is DrillKind.CENTRE:
        return "Centre drill"
    return f"Drill Ø {_designation(drill.dia_mm)}"


KIND = Kind(name="drill", steps=_steps, ways=_ways, write=_write, title=_title)
