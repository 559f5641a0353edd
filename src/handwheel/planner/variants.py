"""Variants of a job: which bar, which blade, which ladder of drills, which back allowance."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from handwheel.data.materials import Material
from handwheel.domain.part import Part
from handwheel.domain.shop import Bar, HoldingMeans, Shop, Tool, ToolKind
from handwheel.planner.job import DRILL_CLEAR_DIA_MM, OVERRUN_MM, Job, length_scale, whole_steps_mm
from handwheel.planner.kinds.drill import Ladders, ladders
from handwheel.planner.kinds.part import reach_needed_mm
from handwheel.planner.way import NoWay

LEAST_CLEAN_UP_MM = 0.3
"""Least thickness that roughing must find on the bar beyond the two last cuts; common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Jobs that differ in nothing but the ladder, the second holdings they may use, and why a ladder is missing."""

    jobs: tuple[Job, ...]
    means: tuple[HoldingMeans, ...]
    refused: tuple[NoWay, ...]


def least_bar_dia_mm(part: Part, shop: Shop, metal: Material) -> float:
    """Diameter that a bar must have for the outside to clean up. [mm]"""
    return 2.0 * (part.outside_radius_mm + 2.0 * finish_cut_mm(shop, metal) + LEAST_CLEAN_UP_MM)


def bars_that_clean_up(part: Part, shop: Shop, metal: Material) -> tuple[Bar, ...]:
    """Bars of the metal that are large enough, the smallest first."""
    least = least_bar_dia_mm(part, shop, metal)
    fit = [bar for bar in shop.bars if bar.material == part.material and float(bar.dia_lower_mm) >= least]
    return tuple(sorted(fit, key=lambda bar: (bar.dia_mm, bar.id)))


def finish_cut_mm(shop: Shop, metal: Material) -> float:
    """Depth of each of the two last cuts: the shop's habit, but never less than the metal's least cut and a quarter."""
    least = metal.find("min_depth")
    return max(shop.habits.finish_cut_mm, 1.25 * least.most if least is not None else 0.0)


def variants(part: Part, shop: Shop, metal: Material, bar: Bar) -> Iterable[Group]:
    """Groups of jobs, one for each back allowance that a kind of second holding needs; a job for each ladder."""
    scale = length_scale(shop, part.width_mm)
    blade = blade_for(part, shop)
    if blade is None:
        return
    cut = finish_cut_mm(shop, metal)
    face_stock = whole_steps_mm(shop.habits.face_stock_mm, scale)
    groups = (
        (shop.habits.back_allowance_mm, tuple(m for m in shop.holdings if m.kind != "flat-plate")),
        (shop.habits.rub_allowance_mm, tuple(m for m in shop.holdings if m.kind == "flat-plate")),
    )
    for allowance, means in groups:
        if not means:
            continue
        back = whole_steps_mm(allowance, scale, beyond_mm=part.width_mm + blade.width_mm)
        base = Job(
            part=part,
            shop=shop,
            material=metal,
            bar=bar,
            blade=blade,
            drills=(),
            face_stock_mm=face_stock,
            back_allowance_mm=back,
            finish_cut_mm=cut,
        )
        found = _ladders(base)
        yield Group(
            jobs=tuple(replace(base, drills=drills) for drills in found.chains), means=means, refused=found.refused
        )


def _ladders(job: Job) -> Ladders:
    depth = job.face_stock_mm - job.drill_end_mm + OVERRUN_MM
    below = 2.0 * (job.bore_radius_mm - job.leave_mm) - DRILL_CLEAR_DIA_MM
    return ladders(
        job.shop, material=job.material, hole_below_dia_mm=below, depth_mm=depth, max_rpm=job.shop.lathe.chuck.max_rpm
    )


def blade_for(part: Part, shop: Shop) -> Tool | None:
    """Narrowest parting blade that reaches through the wall; else the one that reaches furthest."""
    blades = [tool for tool in shop.tools if tool.kind is ToolKind.PARTING]
    wall = part.outside_radius_mm - part.bore_radius_mm
    long_enough = [tool for tool in blades if tool.reach_mm >= reach_needed_mm(wall, tool)]
    if long_enough:
        return min(long_enough, key=lambda tool: (tool.width_mm, tool.id))
    return max(blades, key=lambda tool: (tool.reach_mm, tool.id), default=None)
