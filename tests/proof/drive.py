"""Speeds, feeds, paces, power and stiffness: drawn first, then raised to what the hardest of some cuts asks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import hypot, inf, pi
from random import Random

from msgspec.structs import replace

from handwheel.data.materials import Material
from handwheel.data.speeds import CutKind, cutting_speed
from handwheel.domain.bars import Bar
from handwheel.domain.habits import Habits
from handwheel.domain.hole_tools import Drill, DrillKind
from handwheel.domain.lathe import Lathe, PowerFeed, SpindleSpeed
from handwheel.domain.motion import Edge
from handwheel.domain.part import FRONT_FACE
from handwheel.domain.slides import AidKind
from handwheel.domain.tools import Tool, ToolKind
from handwheel.physics.deflection import cantilever_stiffness_n_mm, second_moment_mm4
from handwheel.physics.force import Process
from tests.proof import hole
from tests.proof.bores import REAM_SPEED_SHARE, REAMING_MM
from tests.proof.drafts import BACK, BACK_INNER, BACK_OUTER, BORE, OUTSIDE, StepDraft
from tests.proof.needs import MARGIN, CutNeed
from tests.proof.rings import NotDrawnError, Wish
from tests.proof.screws import travel_per_step_mm
from tests.proof.tooling import INNER

STEEL_N_MM2 = 210_000.0
BAR_DAMPING, POST_DAMPING = 0.02, 0.03
"""Damping ratios of a boring bar and of a toolpost (from memory of Altintas)."""
LENGTH_BEYOND_MM = 10.0
"""Room behind a ring over which lengths are told: allowance, slot, overrun."""
MOST_PACE_S = 120.0
"""Slowest turn of a crank that the most patient hand is credited with. [s]"""
WEAKEST_W, STRONGEST_W = 150.0, 2500.0


@dataclass(frozen=True, kw_only=True)
class Feeder:
    """How a cut is fed: the handle's travel in a turn, its wheel, and whether the gearbox can do it."""

    lead_mm: float
    pace_factor: float = 1.0
    along: bool = False
    across: bool = False


@dataclass(frozen=True, kw_only=True)
class Demand:
    """A cut with how it is fed and what gives way: stiffness of the flexible side other than the machine. [N/µm]"""

    need: CutNeed
    feeder: Feeder
    damping: float = 0.0
    other_n_um: float = 0.0


@dataclass(frozen=True, kw_only=True)
class HoleCut:
    """A drill or reamer: the hole before it, its own diameter, its fastest speed. [mm, rev/min]"""

    before_mm: float
    dia_mm: float
    most_rpm: float


@dataclass(frozen=True, kw_only=True)
class Driven:
    """Lathe and habits that can do it, and the torque that the second side's cuts put on the ring. [N·m]"""

    lathe: Lathe
    habits: Habits
    second_side_nm: float


def driven(
    chance: Random,
    wish: Wish,
    tools: Sequence[Tool],
    drills: Sequence[Drill],
    lathe: Lathe,
    habits: Habits,
    *,
    bar: Bar,
) -> Driven:
    """Draw speeds, feeds, power and stiffness, and raise what is not enough."""
    lathe = _with_feeds(chance, wish, lathe)
    demands, holes = _demands(wish, tools, lathe, bar), _holes(wish, drills)
    lathe = replace(lathe, speeds=_speeds(chance, wish.metal, demands, holes, lathe))
    habits = _patient(wish.metal, demands, holes, lathe, habits)
    lathe = _strong(chance, wish.metal, demands, holes, lathe, habits)
    pushes = [hole.thrust_n(one.dia_mm, one.before_mm, wish.metal) for one in holes]
    habits = replace(habits, quill_push_n=max(habits.quill_push_n, MARGIN * max(pushes)))
    return Driven(
        lathe=_stiff(chance, wish.metal, demands, lathe, habits),
        habits=habits,
        second_side_nm=max(_torques_nm(wish, demands, lathe, habits)),
    )


def _torques_nm(wish: Wish, demands: Sequence[Demand], lathe: Lathe, habits: Habits) -> Iterator[float]:
    """Torques of facing, of the edges and steps at the back, each at its least feed. [N·m]"""
    for demand in demands:
        need = demand.need
        if need.name in (FRONT_FACE, BACK_OUTER, BACK_INNER) or need.name.startswith(BACK_STEP):
            feed = min(feed for _, feed in _choices(demand, wish.metal, lathe, habits))
            arm_mm = min(need.dia_mm, wish.draft.outside) / 2.0
            yield need.force_n(wish.metal, feed) * arm_mm / 1000.0


# what is cut ---------------------------------------------------------------------------------------------------------


def _demands(wish: Wish, tools: Sequence[Tool], lathe: Lathe, stock: Bar) -> tuple[Demand, ...]:
    draft = wish.draft
    turn, bore = (next(tool for tool in tools if tool.kind is kind) for kind in (ToolKind.TURNING, ToolKind.BORING))
    straight = _along_feeder(lathe)
    swung = Feeder(lead_mm=lathe.carriage.travel_per_turn_mm, pace_factor=_WHEEL, along=bool(lathe.feeds_along))
    across = Feeder(lead_mm=lathe.cross.travel_per_turn_mm, across=bool(lathe.feeds_across))
    by_hand = Feeder(lead_mm=lathe.cross.travel_per_turn_mm)
    sweep = Feeder(lead_mm=lathe.top.travel_per_turn_mm)
    rough = 2.0 * (wish.floor + wish.step)
    bar_n_um = boring_bar_n_um(bore, out_mm=bore_out_mm(wish, tools))
    work_n_um = _work_n_um(wish, stock)
    along_step = 2.0 * max(wish.floor, 0.05) + 0.05

    def turning(name: str, cut: CutKind, dia_mm: float, chip_mm: float, feeder: Feeder) -> Demand:
        need = _need(name, cut, Process.TURNING, turn, dia_mm, chip_mm, feeder)
        return Demand(need=need, feeder=feeder, damping=POST_DAMPING, other_n_um=work_n_um)

    def boring(name: str, chip_mm: float, feeder: Feeder, *, finish: bool, at_mm: float = draft.bore) -> Demand:
        need = _need(name, CutKind.BORE, Process.BORING, bore, at_mm, chip_mm, feeder, finish=finish)
        return Demand(need=need, feeder=feeder, damping=BAR_DAMPING, other_n_um=bar_n_um)

    found = [
        turning(FRONT_FACE, CutKind.ROUGH, stock.swept_dia_mm, along_step, across),
        turning("rough outside", CutKind.ROUGH, stock.swept_dia_mm, rough, straight),
        turning(
            "finish outside",
            CutKind.FINISH,
            draft.outside + 4.0 * wish.cut,
            wish.cut,
            swung if wish.fine_outside else straight,
        ),
        boring("rough bore", rough, straight, finish=False),
        boring("finish bore", wish.cut, swung if wish.fine_bore else straight, finish=True),
    ]
    for one in draft.steps:
        stepwise = _step_feeder(wish, lathe, one)
        where, facing = BACK_STEP if one.end == BACK else "", max(0.2, 1.25 * wish.floor) + one.depth_pm
        if one.of == OUTSIDE:
            at = draft.outside
            found += [
                turning(f"{where}step rough", CutKind.ROUGH, at, rough, stepwise),
                turning(f"{where}step shoulder", CutKind.ROUGH, at, facing, across),
                turning(f"{where}step finish", CutKind.FINISH, at, wish.cut, stepwise),
            ]
        else:
            found += [
                boring(f"{where}step rough", rough, stepwise, finish=False, at_mm=one.diameter),
                boring(f"{where}step shoulder", facing, across, finish=False, at_mm=one.diameter),
                boring(f"{where}step finish", wish.cut, stepwise, finish=True, at_mm=one.diameter),
            ]
    for tool in tools:
        if tool.kind in (ToolKind.PARTING, ToolKind.GROOVING):
            need = CutNeed(
                name=tool.name,
                cut=CutKind.PART,
                process=Process.PARTING,
                edge=tool.edge,
                dia_mm=draft.outside,
                chip_mm=tool.width_mm,
                lead_mm=across.lead_mm,
            )
            found.append(Demand(need=need, feeder=across))
    for edge, legs in draft.edges.items():
        inside = edge in INNER
        kinds = (ToolKind.EDGE_INSIDE, ToolKind.BORING) if inside else (ToolKind.EDGE_OUTSIDE, ToolKind.TURNING)
        vee = next((tool for tool in tools if tool.kind is kinds[0]), None)
        tool = vee if vee is not None and legs.along == legs.across else next(t for t in tools if t.kind is kinds[1])
        feeder = by_hand if tool is vee else sweep
        need = CutNeed(
            name=edge,
            cut=CutKind.PART,
            process=Process.BORING if inside else Process.TURNING,
            edge=tool.edge,
            dia_mm=max(draft.dias(BORE)) + 2.0 * legs.across + 1.5 if inside else draft.outside,
            chip_mm=hypot(legs.along, legs.across) * 1.6 + 0.5,
            lead_mm=feeder.lead_mm,
        )
        found.append(Demand(need=need, feeder=feeder))
    return tuple(found)


BACK_STEP = "back "
"""How the names of cuts on steps of the back begin."""
_WHEEL = 2.5
"""How much slower the carriage's wheel may be wound than a crank: the shop's habit."""


def _need(
    name: str,
    cut: CutKind,
    process: Process,
    tool: Tool,
    dia_mm: float,
    chip_mm: float,
    feeder: Feeder,
    *,
    finish: bool | None = None,
) -> CutNeed:
    return CutNeed(
        name=name,
        cut=cut,
        process=process,
        edge=tool.edge,
        dia_mm=dia_mm,
        chip_mm=chip_mm,
        lead_mm=feeder.lead_mm,
        pace_factor=feeder.pace_factor,
        nose_mm=tool.nose_radius_mm,
        edge_radius_um=tool.edge_radius_um,
        entering_deg=tool.entering_deg,
        finish=cut is CutKind.FINISH if finish is None else finish,
    )


def _along_feeder(lathe: Lathe) -> Feeder:
    if lathe.feeds_along or lathe.top.dial is None:
        return Feeder(lead_mm=lathe.carriage.travel_per_turn_mm, pace_factor=_WHEEL, along=bool(lathe.feeds_along))
    return Feeder(lead_mm=lathe.top.travel_per_turn_mm)


def _step_feeder(wish: Wish, lathe: Lathe, step: StepDraft) -> Feeder:
    """What feeds up to a shoulder: as other cuts along, unless only the top slide tells its depth; that goes by hand.

    The carriage tells it if a step of its dial, or of an aid that reaches over ring, slot and allowance, is half its
    tolerance or less.
    """
    reach = wish.draft.width + wish.hole.past + LENGTH_BEYOND_MM
    carriage, top = lathe.carriage, lathe.top
    told = [float(aid.step_mm) for aid in carriage.aids if aid.kind is not AidKind.STOP and aid.range_mm >= reach]
    read = travel_per_step_mm(carriage)
    finest = min((*told, *((read,) if read else ())), default=inf)
    if finest <= step.depth_pm or top.travel_per_turn_mm <= 0:
        return _along_feeder(lathe)
    return Feeder(lead_mm=top.travel_per_turn_mm)


def bore_out_mm(wish: Wish, tools: Sequence[Tool]) -> float:
    """How far the boring bar stands out: ring, allowance, slot, and room at both ends. [mm]"""
    blade = next(tool for tool in tools if tool.kind is ToolKind.PARTING)
    return wish.draft.width + blade.width_mm + wish.hole.past + 9.0


def boring_bar_n_um(tool: Tool, *, out_mm: float) -> float:
    """Stiffness of a steel boring bar at its tip. [N/µm]"""
    moment = second_moment_mm4(tool.bar_dia_mm)
    return cantilever_stiffness_n_mm(out_mm, e_n_mm2=STEEL_N_MM2, moment_mm4=moment) / 1000.0


def _work_n_um(wish: Wish, stock: Bar) -> float:
    modulus = wish.metal.range("e_modulus").least * 1000.0
    out = wish.draft.width + 30.0
    moment = second_moment_mm4(wish.draft.outside, bore_dia_mm=float(stock.bore_upper_mm))
    return cantilever_stiffness_n_mm(out, e_n_mm2=modulus, moment_mm4=moment) / 1000.0


def _holes(wish: Wish, drills: Sequence[Drill]) -> tuple[HoleCut, ...]:
    """What is cut from the tailstock: twist drills, and a reamer at its share of their speed."""
    vc = cutting_speed(wish.metal, edge=Edge.HSS, cut=CutKind.DRILL).high_m_min
    dias = [float(drill.dia_mm) for drill in drills if drill.kind is DrillKind.TWIST]
    found = [
        HoleCut(before_mm=before, dia_mm=dia, most_rpm=1000.0 * vc / (pi * dia))
        for before, dia in zip([0.0, *dias[:-1]], dias, strict=True)
    ]
    if reamer := wish.hole.reamer_dia:
        slow = REAM_SPEED_SHARE * 1000.0 * vc / (pi * reamer)
        found.append(HoleCut(before_mm=reamer - REAMING_MM, dia_mm=reamer, most_rpm=slow))
    return tuple(found)


# speeds, feeds, paces ------------------------------------------------------------------------------------------------


def _with_feeds(chance: Random, wish: Wish, lathe: Lathe) -> Lathe:
    """No gearbox, or one whose feeds begin at the metal's least feed or a little above."""
    least = wish.metal.range("min_feed").most
    if chance.random() < 0.35:
        return replace(lathe, feeds_along=(), feeds_across=())
    first, ratio = least * chance.uniform(1.0, 1.1), chance.uniform(1.25, 1.6)
    along = tuple(round(first * ratio**i, 4) for i in range(chance.randint(3, 8)))
    half = tuple(feed for feed in (*(round(f / 2.0, 4) for f in along), *along) if feed >= 0.01)
    across = tuple(sorted(set(half))) if chance.random() < 0.8 else ()
    return replace(
        lathe,
        feeds_along=tuple(PowerFeed(mm_rev=feed, position=f"along {i}") for i, feed in enumerate(along)),
        feeds_across=tuple(PowerFeed(mm_rev=feed, position=f"across {i}") for i, feed in enumerate(across)),
    )


def _speeds(
    chance: Random, metal: Material, demands: Sequence[Demand], holes: Sequence[HoleCut], lathe: Lathe
) -> tuple[SpindleSpeed, ...]:
    """Speeds from one slow enough for every cut, and for a hand to feed each evenly, upward."""
    centre = _centre_rpm(metal)
    slowest = min(
        *(demand.need.most_rpm(metal) for demand in demands),
        *(one.most_rpm for one in holes),
        centre,
    )
    least = metal.range("min_feed").most
    quickest_hand = [20.0 * d.feeder.lead_mm * d.feeder.pace_factor / (least + 0.05) for d in demands]
    quill = lathe.tailstock.quill.travel_per_turn_mm
    hands = min(*quickest_hand, *(20.0 * quill / hole.least_feed(one.dia_mm, metal) for one in holes))
    first = min(slowest, hands) * chance.uniform(0.6, 0.97)
    ratio = chance.uniform(1.3, 1.8)
    found = [round(first * ratio**i, 1) for i in range(chance.randint(4, 9))]
    return tuple(
        SpindleSpeed(rpm=rpm, position=f"position {i}", measured=chance.random() < 0.3)
        for i, rpm in enumerate(found)
        if i < 3 or rpm <= max(2500.0, centre)
    )


def _centre_rpm(metal: Material) -> float:
    """Fastest speed of the centre drill. [rev/min]"""
    return 1000.0 * cutting_speed(metal, edge=Edge.HSS, cut=CutKind.DRILL).high_m_min / (pi * hole.CENTRE_MM)


def _usable(need: CutNeed, metal: Material, lathe: Lathe) -> list[float]:
    return [speed.rpm for speed in lathe.speeds if speed.rpm <= need.most_rpm(metal)]


def _power_feed(demand: Demand, metal: Material, lathe: Lathe) -> float | None:
    """Least feed of the gearbox that serves a cut, if the gearbox can feed it at all. [mm/rev]"""
    least, most = demand.need.feeds_mm_rev(metal)
    feeds = lathe.feeds_along if demand.feeder.along else lathe.feeds_across if demand.feeder.across else ()
    return min((feed.mm_rev for feed in feeds if least <= feed.mm_rev <= most), default=None)


def _hand_feeds(demand: Demand, metal: Material, lathe: Lathe, habits: Habits) -> list[tuple[float, float]]:
    """Pairs of speed and feed by which a hand can do it."""
    found = []
    for rpm in _usable(demand.need, metal, lathe):
        band = demand.need.hand_feeds_mm_rev(metal, rpm, fast_s=habits.hand_pace_fast_s, slow_s=habits.hand_pace_slow_s)
        if band is not None:
            found.append((rpm, band[0] + 0.01))
    return found


def _patient(
    metal: Material, demands: Sequence[Demand], holes: Sequence[HoleCut], lathe: Lathe, habits: Habits
) -> Habits:
    """Habits of a hand slow enough for every cut that it has to feed."""
    quill = lathe.tailstock.quill.travel_per_turn_mm

    def serves(tried: Habits) -> bool:
        cuts = all(
            _power_feed(demand, metal, lathe) is not None or _hand_feeds(demand, metal, lathe, tried)
            for demand in demands
        )
        drilled = all(
            any(
                60.0 * quill / (tried.hand_pace_slow_s * speed.rpm) <= hole.least_feed(one.dia_mm, metal) * 0.98
                and hole.least_feed(one.dia_mm, metal) * 1.02 <= 60.0 * quill / (tried.hand_pace_fast_s * speed.rpm)
                for speed in lathe.speeds
                if speed.rpm <= one.most_rpm
            )
            for one in holes
        )
        centred = any(
            60.0 * quill / (tried.hand_pace_slow_s * speed.rpm) <= hole.CENTRE_FEEDS_MM_REV[1] * 0.98
            and hole.CENTRE_FEEDS_MM_REV[0] * 1.02 <= 60.0 * quill / (tried.hand_pace_fast_s * speed.rpm)
            for speed in lathe.speeds
            if speed.rpm <= _centre_rpm(metal)
        )
        return cuts and drilled and centred

    while not serves(habits):
        habits = replace(habits, hand_pace_slow_s=habits.hand_pace_slow_s * 1.4)
        if habits.hand_pace_slow_s > MOST_PACE_S:
            raise NotDrawnError
    return habits


# power and stiffness -------------------------------------------------------------------------------------------------


def _choices(demand: Demand, metal: Material, lathe: Lathe, habits: Habits) -> list[tuple[float, float]]:
    """Pairs of speed and least feed by which a cut can be made: the gearbox's where it has a feed for it."""
    feed = _power_feed(demand, metal, lathe)
    if feed is None:
        return _hand_feeds(demand, metal, lathe, habits)
    return [(rpm, feed) for rpm in _usable(demand.need, metal, lathe)]


def _strong(
    chance: Random, metal: Material, demands: Sequence[Demand], holes: Sequence[HoleCut], lathe: Lathe, habits: Habits
) -> Lathe:
    """A motor strong enough for every cut at its least feed and gentlest speed."""
    asked = [
        min(demand.need.power_w(metal, feed, rpm) for rpm, feed in _choices(demand, metal, lathe, habits))
        for demand in demands
    ]
    fastest = max(speed.rpm for speed in lathe.speeds)
    asked += [hole.torque_nm(one.dia_mm, one.before_mm, metal) * fastest * 2.0 * pi / 60.0 for one in holes]
    drawn = WEAKEST_W * (STRONGEST_W / WEAKEST_W) ** chance.random()
    power = max(drawn, MARGIN * max(asked) / lathe.drive_efficiency)
    return replace(lathe, motor_power_w=float(round(power + 0.5)))


def _stiff(chance: Random, metal: Material, demands: Sequence[Demand], lathe: Lathe, habits: Habits) -> Lathe:
    """A lathe stiff enough that the shallowest passes do not chatter."""
    machine = chance.uniform(8.0, 40.0)
    for demand in demands:
        if not demand.damping:
            continue
        asked = MARGIN * min(
            demand.need.stiffness_n_um(metal, feed, damping=demand.damping)
            for _, feed in _choices(demand, metal, lathe, habits)
        )
        if asked > 0.85 * demand.other_n_um:
            raise NotDrawnError
        machine = max(machine, 1.0 / (1.0 / asked - 1.0 / demand.other_n_um))
    return replace(lathe, tool_stiffness_n_um=round(machine + 0.05, 1))
