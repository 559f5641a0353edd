"""Reach: from sweeps of whole tools to bit masks that the search can test.

The half section of the bar is cut into cells by the outlines of all zones, so each cell lies wholly inside or outside
each zone. A cell is gone once one of the steps that remove it is done. A way is blocked by every cell that its tool
sweeps and its own step does not remove; a cell that no step removes (the finished part, the rest of the bar) forbids
it for good. All region work is done here, once, before the search.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import floor

from msgspec import Struct

from handwheel.data.materials import DrillPractice
from handwheel.domain.contour import Point
from handwheel.domain.holding import Holding, Side
from handwheel.domain.part import BORE
from handwheel.domain.plan import Step
from handwheel.domain.remedies import AddToShop, Remedy
from handwheel.domain.said import said_short
from handwheel.domain.tools import Tool
from handwheel.geometry.bites import Sweep, places
from handwheel.geometry.region import (
    Region,
    bounds_mm,
    faces,
    grown_hull,
    mirrored,
    polygon,
    rectangle,
    turned_round,
)
from handwheel.planner import offers
from handwheel.planner.job import DRILL_CLEAR_DIA_MM, Job
from handwheel.planner.way import NoWay, Way

PAST_AXIS_MM = 0.6
"""How far past the centre line an edge may reach without meeting the far half (facing through the centre)."""
BODY_ROOM_MM = 0.03
"""Room between a tool and what holds the work, besides what each kind keeps: half a step of a settable face
(common practice, no source)."""
BACK_ROOM_MM = 3.0
"""Room that is kept behind a bar when a thinner one is asked for: it is wound off the wall before it goes back."""
THINNEST_BAR_MM = 2.0
"""Thinnest boring bar that is asked for."""
LEAST_SHANK_MM = 4.0
"""Narrowest shank that is asked for."""
WITHIN_MM = 1e-4
_EVERYTHING = -1
"""Stands for a cell that no step removes."""


class Cells(Struct, frozen=True, kw_only=True):
    """Cells of the half section.

    ``removers[i]`` is the mask of the steps that remove cell i; ``on_ring`` is the mask of the cells that belong to
    what parting takes off the bar.
    """

    regions: tuple[Region, ...]
    far: tuple[Region, ...]
    removers: tuple[int, ...]
    on_ring: int


class Reached(Struct, frozen=True, kw_only=True):
    """A way that geometry allows: masks of which at least one step each must be done before."""

    way: Way
    clear: tuple[int, ...]


def cells_of(job: Job, steps: Sequence[Step]) -> Cells:
    """Cut the bar's half section into cells by the zones of the steps."""
    zones = [(i, polygon(zone.region)) for i, step in enumerate(steps) for zone in step.zones]
    low = min(job.jaw_face_mm, job.drill_end_mm - 20.0)
    bar = rectangle(low, job.face_stock_mm, job.bar_bore_radius_mm, job.bar_radius_mm)
    kept = [(part, held) for part, held in faces([bar, *(region for _, region in zones)]) if 0 in held]
    regions = tuple(part for part, _ in kept)
    return Cells(
        regions=regions,
        far=tuple(map(mirrored, regions)),
        removers=tuple(_mask(zones[place - 1][0] for place in held if place) for _, held in kept),
        on_ring=_mask(j for j, part in enumerate(regions) if bounds_mm(part)[0] >= job.raw_back_mm - WITHIN_MM),
    )


def _mask(bits: Iterable[int]) -> int:
    """Mask of some bits, each given once or more."""
    found = 0
    for bit in bits:
        found |= 1 << bit
    return found


def reachable(
    job: Job, cells: Cells, steps: Sequence[Step], ways: Sequence[Way]
) -> tuple[tuple[Reached, ...], tuple[NoWay, ...]]:
    """Ways that some order of steps can clear, with their masks; and why the others can never be."""
    index = {step.id: i for i, step in enumerate(steps)}
    free = [way for way in ways if way.tool is None]
    held = [way for way in ways if way.tool is not None]
    found = [Reached(way=way, clear=()) for way in free]
    refused: list[NoWay] = []
    sweeps = [_sweep(job, way, tool) for way in held if (tool := way.as_set) is not None]
    wholes = [whole for whole, _ in sweeps]
    bodies = {holding.id: _bodies(holding, job) for holding in {way.holding.id: way.holding for way in held}.values()}
    owners = [name for name, blocked in bodies.items() for _ in blocked]
    there = [_still_there(cells, way) for way in held]
    not_cut = [mask & ~_removed(cells, index[way.step.id]) for mask, way in zip(there, held, strict=True)]
    near = job.bites.bitten(wholes, cells.regions, not_cut)
    far = job.bites.bitten([rest for _, rest in sweeps], cells.far, there)
    own = [_mask(place for place, name in enumerate(owners) if name == way.holding.id) for way in held]
    struck = job.bites.bitten(wholes, [body for blocked in bodies.values() for body in blocked], own)
    later_steps = _later(steps)
    for row, way in enumerate(held):
        masks = _clear_masks(near[row], cells, later=later_steps[way.step.id])
        opposite = _clear_masks(far[row], cells, later=later_steps[way.step.id])
        trouble = _trouble(job, way, strikes=struck[row] != 0, near=masks, far=opposite)
        if trouble is not None:
            refused.append(trouble)
        else:
            found.append(Reached(way=way, clear=tuple(sorted(masks | opposite))))
    return tuple(found), tuple(refused)


def _still_there(cells: Cells, way: Way) -> int:
    """Mask of the cells that may still stand when a way is taken: of a parted ring its own alone."""
    return cells.on_ring if way.holding.side is Side.BACK else (1 << len(cells.regions)) - 1


def _removed(cells: Cells, step: int) -> int:
    """Mask of the cells that a step, by its index, removes."""
    return _mask(place for place, mask in enumerate(cells.removers) if mask >> step & 1)


def _trouble(job: Job, way: Way, *, strikes: bool, near: set[int], far: set[int]) -> NoWay | None:
    """Why a way can never be taken, in the words of what a person would see."""
    tool = way.tool
    if strikes:
        return NoWay(
            step=way.step.id,
            code="strikes-what-holds",
            tried=_tried(way),
            remedies=_slimmer(way),
            why="the tool or its holder would strike what holds the work",
            remedy="let the work stand out further, or hold it by another surface",
        )
    if _EVERYTHING in far and tool is not None and tool.bar_dia_mm <= 0 and tool.nose_radius_mm > PAST_AXIS_MM / 2.0:
        return NoWay(
            step=way.step.id,
            code="nose-too-round",
            tried=_tried(way),
            why=f"its nose, {said_short(tool.nose_radius_mm, job.units)}, would have to go so far past the centre "
            "that it meets the other side",
            remedy=f"a tool with a nose radius of {said_short(offers.NOSE_MM, job.units)}",
            remedies=(AddToShop(thing=offers.like(tool, nose_radius_mm=offers.NOSE_MM)),),
        )
    if _EVERYTHING in far:
        return NoWay(
            step=way.step.id,
            code="too-thick-for-the-hole",
            tried=_tried(way),
            remedies=(*_thinner(way), *_wider_hole(job, way)),
            why="the tool is too thick for the hole: its back would rub on the opposite wall",
            remedy="a thinner boring bar, or a larger drill before it",
        )
    if _EVERYTHING in near:
        return NoWay(
            step=way.step.id,
            code="cuts-what-must-stay",
            tried=_tried(way),
            remedies=_slimmer(way),
            why="the tool would cut into the finished part or into metal that no step removes",
            remedy="use a narrower tool, or one whose shank stands further back",
        )
    return None


def _thinner(way: Way) -> tuple[Remedy, ...]:
    """The bar so thin that its back stays clear of the far wall where its edge stands closest to the axis."""
    tool = way.tool
    if tool is None or tool.bar_dia_mm <= 0 or tool.silhouette:
        return ()
    narrowest = min(place.radius_mm for place in way.path)
    room = floor(2.0 * narrowest - tool.head_mm - BACK_ROOM_MM)
    if not THINNEST_BAR_MM <= room < tool.bar_dia_mm:
        return ()
    return (AddToShop(thing=offers.like(tool, bar_dia_mm=float(room))),)


def _wider_hole(job: Job, way: Way) -> tuple[Remedy, ...]:
    """The largest drill that may go before the bar, and the stoutest bar for its hole."""
    tool, below = way.tool, 2.0 * (job.bore_radius_mm - job.leaves_mm(BORE)) - DRILL_CLEAR_DIA_MM
    depth = job.face_stock_mm - job.drill_end_mm
    grabs = job.material.drill_practice is DrillPractice.SINGLE_DUBBED
    most = min(below, job.shop.lathe.tailstock.chuck_high_dia_mm)
    larger = offers.largest_drill(most, units=job.shop.units, depth_mm=depth, dubbed=grabs)
    if larger is None or tool is None or float(larger.dia_mm) <= 2.0 * job.hole_radius_mm:
        return ()
    room = floor(float(larger.dia_mm) - tool.head_mm - BACK_ROOM_MM)
    bars = (AddToShop(thing=offers.like(tool, bar_dia_mm=float(room))),) if room >= THINNEST_BAR_MM else ()
    return (AddToShop(thing=larger), *(bar for bar in bars if room < tool.bar_dia_mm))


def _slimmer(way: Way) -> tuple[Remedy, ...]:
    """The tool with a shank half as wide along the bed: it goes where a thick one strikes."""
    tool = way.tool
    if tool is None or tool.silhouette or tool.shank_mm < 2.0 * LEAST_SHANK_MM:
        return ()
    return (AddToShop(thing=offers.like(tool, shank_mm=tool.shank_mm / 2.0)),)


def _sweep(job: Job, way: Way, tool: Tool) -> tuple[Sweep, Sweep]:
    """Sweep of the whole tool, and of what of it may not cross the centre line, in the part frame."""
    turned = job.width_mm if way.holding.side is Side.BACK else None
    return Sweep(tool, way.path, turned), Sweep(tool, _short_of_axis(way.path), turned)


def _short_of_axis(path: Sequence[Point]) -> tuple[Point, ...]:
    """Path stopped at the centre line where it only just crosses it (a facing cut leaves no pip)."""
    return tuple(Point(p.z_mm, max(p.radius_mm, 0.0)) if p.radius_mm > -PAST_AXIS_MM else p for p in path)


def _bodies(holding: Holding, job: Job) -> list[Region]:
    """What blocks a holding, both halves, in the part frame."""
    # a face ends on the nearest step of its scale, and every place that counts from it with it
    bodies = [grown_hull(outline, BODY_ROOM_MM) for outline in holding.blocked]
    if holding.side is Side.BACK:
        bodies = [turned_round(body, job.width_mm) for body in bodies]
    return [*bodies, *map(mirrored, bodies)]


def _tried(way: Way) -> str:
    name = way.tool.name if way.tool else "by hand"
    return f"{name}, held by {way.holding.id}"


def _later(steps: Sequence[Step]) -> dict[str, int]:
    """For each step the mask of itself and of every step that can only come after it."""
    index = {step.id: i for i, step in enumerate(steps)}
    masks = {step.id: 1 << i for step, i in zip(steps, index.values(), strict=True)}
    grown = True
    while grown:
        grown = False
        for step in steps:
            for before in step.after:
                if before in masks and masks[step.id] & ~masks[before]:
                    masks[before] |= masks[step.id]
                    grown = True
    return masks


def _clear_masks(bitten: int, cells: Cells, *, later: int) -> set[int]:
    """Masks of steps of which one each must be done for the cells that a sweep meets; `_EVERYTHING` if none ever can.

    A step that can only come later cannot have cleared the way, nor can the step itself on the far side.
    """
    return {(cells.removers[place] & ~later) or _EVERYTHING for place in places(bitten)}
