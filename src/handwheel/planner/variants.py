"""Variants of a job: which bar, which blade, which ladder of drills, which back allowance."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil

from msgspec import Struct
from msgspec.structs import replace

from handwheel.data.least_cuts import least_last_cut_mm
from handwheel.data.materials import Material
from handwheel.domain.bars import Bar, BarShape
from handwheel.domain.chucks import HoldingMeans
from handwheel.domain.holding import FACE_COVERED, Side
from handwheel.domain.part import BORE, Part
from handwheel.domain.remedies import AddToShop
from handwheel.domain.said import said, said_short
from handwheel.domain.shop import Shop
from handwheel.domain.tools import Tool, ToolKind
from handwheel.planner.core_hole import core_hole_jobs
from handwheel.planner.gripping import grip_trouble
from handwheel.planner.job import DRILL_CLEAR_DIA_MM, Job, whole_steps_mm
from handwheel.planner.kinds.drill import Ladders, ladders
from handwheel.planner.kinds.part import reach_needed_mm
from handwheel.planner.known_answers import KnownAnswers
from handwheel.planner.ledges import ledges_of
from handwheel.planner.lighter import LighterCuts
from handwheel.planner.reaming import reaming_jobs
from handwheel.planner.way import NoWay

LEAST_CLEAN_UP_MM = 0.3
"""Least thickness that roughing must find on the bar beyond the two last cuts; common practice, no source."""


class Group(Struct, frozen=True, kw_only=True):
    """Jobs that differ in nothing but the ladder, the second holdings they may use, and why a ladder is missing."""

    jobs: tuple[Job, ...]
    means: tuple[HoldingMeans, ...]
    refused: tuple[NoWay, ...]


def least_bar_dia_mm(part: Part, shop: Shop, metal: Material) -> float:
    """Diameter that a bar must have for the outside to clean up. [mm]"""
    return 2.0 * (part.outside_radius_mm + 2.0 * finish_cut_mm(shop, metal) + LEAST_CLEAN_UP_MM)


def most_tube_bore_mm(part: Part, shop: Shop, metal: Material) -> float:
    """Bore that a tube may have at most for the part's bore to clean up. [mm]"""
    return 2.0 * (part.bore_radius_mm - 2.0 * finish_cut_mm(shop, metal) - LEAST_CLEAN_UP_MM)


def bars_that_clean_up(part: Part, shop: Shop, metal: Material) -> tuple[Bar, ...]:
    """Bars of the metal that are large enough, and not too hollow: the least metal to cut away first."""
    least = least_bar_dia_mm(part, shop, metal)
    widest = most_tube_bore_mm(part, shop, metal)
    fit = [
        bar
        for bar in shop.bars
        if bar.material == part.material
        and float(bar.dia_lower_mm) >= least
        and (bar.shape is not BarShape.TUBE or float(bar.bore_upper_mm) <= widest)
    ]
    return tuple(sorted(fit, key=lambda bar: (bar.section_mm2, needs_saw(bar, shop), bar.id)))


def needs_saw(bar: Bar, shop: Shop) -> bool:
    """Whether blanks have to be sawn from the bar, because it does not pass through the spindle."""
    return bar.largest_dia_mm > shop.lathe.spindle_bore_dia_mm


def finish_cut_mm(shop: Shop, metal: Material) -> float:
    """Depth of each of the two last cuts: the shop's habit, but never less than the metal's least cut and a quarter."""
    return max(shop.habits.finish_cut_mm, least_last_cut_mm(metal))


def variants(
    part: Part,
    shop: Shop,
    metal: Material,
    bar: Bar,
    blade: Tool,
    *,
    lighter: LighterCuts = (),
    fine: frozenset[str] = frozenset(),
    known: KnownAnswers | None = None,
) -> Iterable[Group]:
    """Groups of jobs, one for each back allowance that a kind of second holding needs; a job for each ladder.

    ``lighter`` names the surfaces whose last cuts are lighter than the habit, ``fine`` those whose last cuts go by the
    swung top slide although whole steps of the cross-slide would do, ``known`` is what other variants share.
    """
    known = known or KnownAnswers()
    draft = Job(
        part=part,
        shop=shop,
        material=metal,
        bar=bar,
        blade=blade,
        drills=(),
        face_stock_mm=shop.habits.face_stock_mm,
        back_allowance_mm=max(shop.habits.back_allowance_mm, shop.habits.rub_allowance_mm),
        finish_cut_mm=finish_cut_mm(shop, metal),
        lighter_cuts=lighter,
        fine_surfaces=fine,
        schedules=known.schedules(shop.lathe, shop.habits, metal),
        bites=known.bites,
    )
    scale = draft.length
    face_stock = whole_steps_mm(shop.habits.face_stock_mm, scale)
    plates = tuple(m for m in shop.holdings if m.kind == "flat-plate")
    covering = tuple(m for m in shop.holdings if m.kind in FACE_COVERED)
    turning = tuple(m for m in shop.holdings if m.kind != "flat-plate")
    if turning and not covering and any(ledge.side is Side.BACK for ledge in ledges_of(part)):
        plates = ()  # steps of the back are turned, and a plate turns nothing
    groups = (
        (shop.habits.back_allowance_mm, turning),
        # what covers the face cannot face it: the plate does, before
        (shop.habits.rub_allowance_mm, (*plates, *covering) if plates else ()),
    )
    for allowance, means in groups:
        if not means:
            continue
        back = whole_steps_mm(allowance, scale, beyond_mm=part.width_mm + blade.width_mm)
        base = replace(draft, face_stock_mm=face_stock, back_allowance_mm=back)
        if (trouble := grip_trouble(base) or _too_short(base)) is not None:
            yield Group(jobs=(), means=means, refused=(trouble,))
            continue
        # what a drill leaves at size needs least: a shop in which only that works is found out soonest
        if ready := core_hole_jobs(base):
            yield Group(jobs=ready, means=means, refused=())
        found = _ladders(base)
        yield Group(
            jobs=tuple(replace(base, drills=drills) for drills in found.chains), means=means, refused=found.refused
        )
        for jobs in reaming_jobs(base):
            yield Group(jobs=jobs, means=means, refused=())


def _too_short(job: Job) -> NoWay | None:
    """Why a bar cannot even be gripped for one part, or ``None``."""
    need = job.stick_out_mm + job.shop.lathe.chuck.jaw_length_mm
    if job.bar.length_mm >= need:
        return None
    longer = replace(job.bar, id=f"{job.bar.id}-long-{ceil(need):g}", length_mm=float(ceil(need)))
    return NoWay(
        step="bar",
        code="bar-too-short",
        tried=f"bar {job.bar.id}",
        why=f"it is {said(job.bar.length_mm, job.units, places=0)} long; "
        f"{said(job.stick_out_mm, job.units, places=0)} out of the jaws and "
        f"{said(job.shop.lathe.chuck.jaw_length_mm, job.units, places=0)} in them are needed",
        remedy=f"a piece of at least {said_short(ceil(need), job.units)}",
        remedies=(AddToShop(thing=longer),),
    )


def _ladders(job: Job) -> Ladders:
    if job.bar.shape is BarShape.TUBE:
        # a drill follows the hole of a tube, which is not in its middle: it is bored from the start
        return Ladders(chains=((),), refused=())
    play = job.shop.lathe.tailstock.play_mm
    below = 2.0 * (job.bore_radius_mm - job.leaves_mm(BORE)) - DRILL_CLEAR_DIA_MM - 2.0 * play
    return ladders(
        job.shop,
        material=job.material,
        hole_below_dia_mm=below,
        depth_mm=-job.drill_end_mm,
        max_rpm=job.shop.lathe.chuck.max_rpm,
        units=job.units,
    )


def blades_for(part: Part, shop: Shop) -> tuple[Tool, ...]:
    """Parting blades that reach through the wall, the narrowest first; else the one that reaches furthest."""
    blades = [tool for tool in shop.tools if tool.kind is ToolKind.PARTING]
    wall = part.outside_radius_mm - part.bore_radius_mm
    long_enough = [tool for tool in blades if tool.reach_mm >= reach_needed_mm(wall, tool)]
    if long_enough:
        return tuple(sorted(long_enough, key=lambda tool: (tool.width_mm, tool.id)))
    return tuple(sorted(blades, key=lambda tool: (-tool.reach_mm, tool.id))[:1])
